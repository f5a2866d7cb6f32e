"""The commands that hold records and figures against the rules: replay, impact, guard."""

import argparse
import sys
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from functools import partial
from pathlib import Path
from typing import Any, BinaryIO, Literal

import orjson
from marshmallow import ValidationError
from rich.console import Console
from rich.progress import BarColumn, Progress, TaskProgressColumn, TextColumn, TimeRemainingColumn

from service.audit.changes import changed_since
from service.audit.impact import (
    BAD,
    KINDS,
    LIMIT,
    LISTED,
    TO_NOT_PASSING,
    Guarding,
    GuardReport,
    Impact,
    LineImpact,
    Outcome,
    PortfolioImpact,
    Section,
    documents_of,
    guard_figures,
    impact_html,
    impact_markdown,
    impact_of_change,
    portfolio_impact,
    processors,
    sections,
    title_of,
)
from service.audit.records import Replay, read_record, replay_record
from service.cli.commands import book_of, loaded
from service.cli.portfolio_lines import portfolio_request
from service.cli.reading import STANDARD_INPUT, RefusalError, UnusableError
from service.cli.shared import DONE, NOT_PASSED, Subcommand, as_json, complain, rules_of
from service.cli.tables import utilisation_words
from service.cli.terminal import printed, table, terminal
from service.contract.faults import Refused, faults_of
from service.contract.names import mode_name, spaced
from service.contract.reading import parse
from service.contract.replays import REPRODUCED, ReplayRequest
from service.contract.resolution import UNPROCESSABLE, today
from service.rulebook import Rulebook, RulebookInvalid
from service.rulebook.book import of_tree
from service.rulebook.repository import Repository, RepositoryFault, UnknownRevision
from service.rulebook.versions import is_version
from service.verification.refusal import RefusedRequest

STATE_WORDS = {
    "identical": ("identical: recomputed, every value is the same", "green"),
    "same_figures": ("same figures: every figure, verdict and code comes out the same", "green"),
    "different": ("different: the record is not what comes out", "red"),
    "impossible": ("impossible: its rulebook is not known here", "yellow"),
}


def add_replay(subparsers: Any, subcommand: Subcommand) -> None:
    """Add the command that replays a record."""
    parser = subcommand(subparsers, "replay", "was this record made by these rules, and does it still pass today?")
    parser.set_defaults(run=replay)
    parser.add_argument(
        "file", metavar="FILE", help='a record as JSON: {"request": …, "answer": …}; - reads standard input'
    )
    parser.add_argument("--json", action="store_true", help="print the answer of POST /v1/replays")


def add_impact(subparsers: Any, subcommand: Subcommand) -> None:
    """Add the command that tells what a change of the rules does."""
    parser = subcommand(subparsers, "impact", "which fixings does a change of the rules touch?")
    parser.set_defaults(run=impact)
    words = (
        "before and after, each a version or a revision: 2026.1.0..HEAD; one left out is the rules as they lie there"
    )
    parser.add_argument("span", metavar="A..B", help=words)
    words = "the company's own records or requests as well, one a line; - reads standard input"
    parser.add_argument("--portfolio", metavar="FILE", help=words)
    parser.add_argument("--out", type=Path, metavar="FILE", help="write the result of each line of the portfolio here")
    parser.add_argument("--no-sizings", dest="sizings", action="store_false", help="do not size the fixings again")
    _add_jobs(parser)
    forms = parser.add_mutually_exclusive_group()
    for name, words in (("json", "JSON"), ("html", "a page for a reviewer"), ("markdown", "Markdown")):
        forms.add_argument(f"--{name}", dest="form", action="store_const", const=name, help=f"print as {words}")


def add_guard(subparsers: Any, subcommand: Subcommand) -> None:
    """Add the command that moves figures to see who notices."""
    parser = subcommand(subparsers, "guard", "which figures does no test protect?")
    parser.set_defaults(run=guard)
    parser.add_argument("--since", metavar="REV", help="only figures that changed since a version or revision")
    words = "share of the calculating figures that may be unguarded (default: %(default)s)"
    parser.add_argument("--limit", type=_share, default=LIMIT, help=words)
    parser.add_argument("--json", action="store_true", help="print as JSON")
    _add_jobs(parser)


def replay(arguments: argparse.Namespace) -> int:
    """Replay the record in a file.

    Args:
        arguments: `file`, `rules`, `json`.

    Returns:
        0 where it is identical or has the same figures, and still passes, 1 otherwise, 2 where it can't be replayed.
    """
    found = _replayed(arguments.file, arguments)
    if arguments.json:
        sys.stdout.write(as_json(found.as_json()))
    else:
        _print_replay(found)
    return DONE if found.outcome in REPRODUCED and found.today.passes else NOT_PASSED


def impact(arguments: argparse.Namespace) -> int:
    """Tell what a change of the rules does to reference fixings and to a portfolio.

    Args:
        arguments: `span`, `rules`, `portfolio`, `out`, `sizings`, `jobs`, `form`.

    Returns:
        0; 1 where something no longer passes or a line is bad; 2 where the two can't be compared.
    """
    if arguments.out is not None and arguments.portfolio is None:
        return complain("--out says what becomes of each line of a portfolio. Name one with --portfolio.")
    names = _span(arguments.span)
    old, new = (_side(name, arguments) for name in names)
    called = (names[0] or str(old.path), names[1] or str(new.path))
    day = today().isoformat()
    portfolio = _portfolio(old, new, arguments) if arguments.portfolio is not None else None
    found = impact_of_change(old, new, day, names=called, sizings=arguments.sizings, jobs=arguments.jobs)
    _print_impact(found, portfolio, arguments.form)
    worse = found.counted()[TO_NOT_PASSING]
    if portfolio is not None:
        worse += portfolio.counts[TO_NOT_PASSING] + portfolio.counts[BAD]
    return NOT_PASSED if worse else DONE


def guard(arguments: argparse.Namespace) -> int:
    """Move figures of the working rules, and tell which of them nobody guards.

    Args:
        arguments: `rules`, `since`, `limit`, `jobs`, `json`.

    Returns:
        0 where the unguarded share is within the limit, 1 where it is over it, 2 where the rules can't be used.
    """
    book = _working(arguments)
    since = None if arguments.since is None else documents_of(_side(arguments.since, arguments))
    only = None if since is None else changed_since(documents_of(book), since)
    found = guard_figures(book, today().isoformat(), only=only, limit=arguments.limit, jobs=arguments.jobs)
    if arguments.json:
        sys.stdout.write(as_json(found.as_json()))
    else:
        _print_guard(found)
    return DONE if found.within else NOT_PASSED


def _replayed(file: str, arguments: argparse.Namespace) -> Replay:
    try:
        given = parse(_bytes(file))
        body = ReplayRequest().load(given)
        record = read_record(body["request"], body["answer"])
    except Refused as refused:
        raise RefusalError(file, refused.status, refused.faults) from None
    except ValidationError as error:
        raise RefusalError(file, UNPROCESSABLE, faults_of(error.messages), body=given) from None
    except RefusedRequest as refused:
        raise RefusalError(file, UNPROCESSABLE, refused.faults, body=given) from None
    return replay_record(record, loaded(arguments), today())


def _span(text: str) -> tuple[str, str]:
    before, dots, after = text.partition("..")
    if not dots or after.startswith(".") or text == "..":
        raise UnusableError(
            f"{text!r} names no two states of the rules. Write a version or revision, two dots, another: "
            "2026.1.0..HEAD, or main.. for the rules as they lie there."
        )
    return before, after


def _side(name: str, arguments: argparse.Namespace) -> Rulebook:
    """The rules of a version, of a revision, or for an empty name those that lie in the directory."""
    if not name:
        return _working(arguments)
    if is_version(name):
        return book_of(name, arguments)
    rules = rules_of(arguments)
    repository = Repository.of(rules)
    if repository is None:
        raise UnusableError(
            f"{rules}: there is no git repository here, so {name!r} can't be looked up.",
            "Name versions, or the rules directory of a clone with --rules.",
        )
    try:
        commit = repository.commit(name)
        return of_tree(repository.tree(commit), path=rules, commit=commit)
    except (UnknownRevision, RepositoryFault) as problem:
        raise UnusableError(str(problem)) from None
    except RulebookInvalid as invalid:
        raise UnusableError(f"the rules at {name} can't be calculated with.", *str(invalid).splitlines()) from None


def _working(arguments: argparse.Namespace) -> Rulebook:
    shelf = loaded(arguments)
    if shelf.working is None:
        words = "the rules that lie there can't be calculated with. See why with: anchor-rulebook lint"
        raise UnusableError(f"{shelf.path}: {words}")
    return shelf.working


def _bytes(file: str) -> bytes:
    with _opened(file) as source:
        return source.read()


@contextmanager
def _opened(file: str) -> Iterator[BinaryIO]:
    if file == STANDARD_INPUT:
        yield sys.stdin.buffer
        return
    with _stream(Path(file), "rb", "Give the path of a file, or - for standard input.") as source:
        yield source


def _stream(path: Path, mode: Literal["rb", "wb"], advice: str) -> BinaryIO:
    try:
        return path.open(mode)
    except OSError as error:
        reason = error.strerror or "it can't be opened"
        raise UnusableError(f"{path}: {reason}. {advice}") from None


def _portfolio(old: Rulebook, new: Rulebook, arguments: argparse.Namespace) -> PortfolioImpact:
    with ExitStack() as stack:
        source = stack.enter_context(_opened(arguments.portfolio))
        out = (
            None
            if arguments.out is None
            else stack.enter_context(_stream(arguments.out, "wb", "Give the path of a file that can be written."))
        )
        console = terminal(stderr=True)
        bar = stack.enter_context(_progress(console))
        task = bar.add_task("portfolio", total=_size(arguments.portfolio))
        bad = 0

        def each(line: LineImpact) -> None:
            nonlocal bad
            if out is not None:
                out.write(orjson.dumps(line.as_json(), option=orjson.OPT_APPEND_NEWLINE))
            if line.reason is not None:
                bad += 1
                if bad <= LISTED:
                    told = printed(f"anchor-rulebook: line {line.number}: {line.reason}")
                    console.print(told, soft_wrap=True)

        found = portfolio_impact(
            old,
            new,
            source,
            partial(portfolio_request, today().isoformat()),
            jobs=arguments.jobs,
            each=each,
            progress=lambda done: bar.update(task, completed=done),
        )
        if bad > LISTED:
            more = printed(f"anchor-rulebook: {bad - LISTED} more lines are bad; --out writes all of them to a file")
            console.print(more, soft_wrap=True)
    return found


def _size(file: str) -> int | None:
    return None if file == STANDARD_INPUT else Path(file).stat().st_size


def _progress(console: Console) -> Progress:
    columns = (TextColumn("{task.description}"), BarColumn(), TaskProgressColumn(), TimeRemainingColumn())
    return Progress(*columns, console=console, disable=not console.is_terminal, transient=True)


def _print_impact(found: Impact, portfolio: PortfolioImpact | None, form: str | None) -> None:
    if form == "json":
        sys.stdout.write(
            as_json({"impact": found.as_json(), "portfolio": None if portfolio is None else portfolio.as_json()})
        )
    elif form == "html":
        sys.stdout.write(impact_html(found, portfolio))
    elif form == "markdown":
        sys.stdout.write(impact_markdown(found, portfolio))
    else:
        console = terminal()
        console.print(printed(title_of(found), style="bold"))
        for section in sections(found, portfolio):
            _print_section(console, section)


def _print_section(console: Console, section: Section) -> None:
    console.print(printed("", section.title, style="bold"))
    for text in section.before:
        console.print(printed(text))
    if section.columns:
        console.print(table(section.columns, section.rows))


def _print_replay(found: Replay) -> None:
    console = terminal()
    state, style = STATE_WORDS[found.outcome]
    console.print(printed(state, style=f"bold {style}"))
    console.print(printed(found.words))
    if found.refusal is not None:
        console.print(printed(f"Its own rules refuse its request: {found.refusal}."))
    if found.differences:
        rows = (
            (d.pointer, _shown(d.recorded), _shown(d.recomputed), "" if d.relative is None else f"{d.relative:+.3%}")
            for d in found.differences
        )
        console.print(table(("Where", "Record", "Recomputed", "Difference"), rows))
    if found.more:
        console.print(printed("There are more differences than these."))
    today_now = found.today
    console.print(printed("", f"Today, {today_now.assessed_on}", style="bold"))
    console.print(printed(today_now.words))
    if today_now.after is not None:
        before = "not known" if today_now.before is None else _outcome(today_now.before)
        console.print(printed(f"Before: {before}. Today: {_outcome(today_now.after)}."))
    if today_now.changed:
        rows = ((figure.path, _shown(figure.old), _shown(figure.new), figure.change) for figure in today_now.changed)
        console.print(table(("Figure that it stands on", "Then", "Today", ""), rows))


def _outcome(outcome: Outcome) -> str:
    if outcome.mode is None or outcome.utilisation is None:
        return spaced(outcome.verdict)
    used = utilisation_words(outcome.utilisation)
    return f"{spaced(outcome.verdict)}, {mode_name(outcome.mode)} governs with utilisation {used}"


def _print_guard(found: GuardReport) -> None:
    console = terminal()
    heading = (
        f"Rulebook {found.version}: {len(found.calculating)} figures that calculate, {found.fixings} reference fixings"
    )
    console.print(printed(heading, style="bold"))
    counted = found.counted()
    rows = [(f"guarded by {kind}", str(counted[kind])) for kind in KINDS]
    rows.append(("guarded by nothing", str(len(found.unguarded))))
    console.print(table(("Moved by 5 % up and down", "Figures"), rows))
    state = "within" if found.within else "over"
    console.print(printed(f"Unguarded share {found.share:.1%}, {state} the limit of {found.limit:.1%}."))
    if found.unguarded:
        console.print(table(("Nothing notices", "Value", "5 % up", "5 % down"), map(_guard_row, found.unguarded)))
    idle = [guarding for guarding in found.setting if not guarding.guarded]
    console.print(printed(f"Setting data, which enters no check: {len(found.setting)} figures, {len(idle)} unguarded."))


def _guard_row(guarding: Guarding) -> tuple[str, ...]:
    figure = guarding.figure
    return figure.path, f"{figure.value:g}", guarding.up or "nothing", guarding.down or "nothing"


def _shown(value: object) -> str:
    return "none" if value is None else f"{value:.10g}" if isinstance(value, float) else str(value)


def _add_jobs(parser: argparse.ArgumentParser) -> None:
    words = "number of processes (default: one for each processor, %(default)s)"
    parser.add_argument("--jobs", type=_jobs, default=processors(), metavar="N", help=words)


def _jobs(text: str) -> int:
    if not text.isdecimal() or not 0 < int(text) <= 256:
        raise argparse.ArgumentTypeError(f"must be a number from 1 to 256, not {text!r}")
    return int(text)


def _share(text: str) -> float:
    try:
        share = float(text)
    except ValueError:
        share = -1.0
    if not 0.0 <= share <= 1.0:
        raise argparse.ArgumentTypeError(f"must be a share from 0 to 1, not {text!r}")
    return share
