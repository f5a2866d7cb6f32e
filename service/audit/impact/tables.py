"""The impact of a change in words and tables, for whatever is to print them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from service.audit.impact.outcome import CHANGED, TO_NOT_PASSING, TO_PASSING, UNCHANGED, Outcome
from service.audit.impact.portfolio import BAD, LISTED, LineImpact, PortfolioImpact
from service.audit.impact.reference_fixings import ASKED, FirstChoice, FixingImpact, Impact
from service.contract.names import mode_name, spaced, stop_name

EFFECT_WORDS: Mapping[str, str] = MappingProxyType({
    TO_NOT_PASSING: "passed, no longer passes",
    TO_PASSING: "did not pass, passes now",
    CHANGED: "figures change, verdict stays",
    UNCHANGED: "nothing changes",
    BAD: "bad lines: not examined",
})
CAUTION = (
    "A reference fixing that still passes says nothing about fixings that none of them stands for. Check the change "
    "against its source before approving it. A licensed or chartered engineer decides where people can be hurt."
)
FIXING_COLUMNS = ("Reference fixing", "Fastener", "Verdict", "Governing mode", "Utilisation")


@dataclass(frozen=True)
class Section:
    """A heading with words and a table.

    Attributes:
        title: The heading.
        before: What is to be said before the table.
        columns: Headings of the table; empty where there is none.
        rows: Its rows.
    """

    title: str
    before: tuple[str, ...]
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def title_of(impact: Impact) -> str:
    """Name the comparison."""
    return f"Impact of the rules from {impact.old.name} to {impact.new.name}"


def sections(impact: Impact, portfolio: PortfolioImpact | None) -> tuple[Section, ...]:
    """Lay out the impact of a change.

    Args:
        impact: What it does to the reference fixings.
        portfolio: What it does to a portfolio; None where there is none.

    Returns:
        The sections, what matters most first.
    """
    return (*_of_fixings(impact), *_of_sizings(impact), *(_of_portfolio(portfolio) if portfolio else ()))


def _of_fixings(impact: Impact) -> Iterator[Section]:
    sides = (
        f"Before: rulebook {impact.old.version}, {impact.old.digest}",
        f"After: rulebook {impact.new.version}, {impact.new.digest}",
        "Both are taken as in force, so that the rules decide and not the day of a release.",
        CAUTION,
    )
    rows = tuple((EFFECT_WORDS[effect], str(count)) for effect, count in impact.counted().items())
    yield Section("Reference fixings", sides, ("Effect", "Fixings"), rows)
    for effect in (TO_NOT_PASSING, TO_PASSING, CHANGED):
        found = [fixing for fixing in impact.fixings if fixing.comparison.effect == effect]
        if found:
            yield Section(_capital(EFFECT_WORDS[effect]), (), FIXING_COLUMNS, tuple(map(_fixing_row, found)))


def _fixing_row(fixing: FixingImpact) -> tuple[str, ...]:
    shown = fixing.comparison
    asked = "" if fixing.asked == "as_before" else f"; {ASKED[fixing.asked]}"
    return (
        f"{fixing.title} ({fixing.id}{asked})",
        f"{fixing.family} {fixing.size}, h_ef {fixing.embedment_mm:g} mm",
        _turn(_verdict(shown.before), _verdict(shown.after)),
        _turn(*(_mode(outcome) for outcome in (shown.before, shown.after))),
        _turn(_figure(shown.before.utilisation), _figure(shown.after.utilisation)),
    )


def _of_sizings(impact: Impact) -> Iterator[Section]:
    if impact.sizings is None:
        yield Section("Sizings", ("Not asked for.",), (), ())
        return
    before = (
        "Each reference fixing sized again: the same holes, actions and surroundings, any fastener of the rulebook.",
        f"First choices that stay the same: {impact.sizings_unchanged}. That change: {len(impact.sizings)}.",
    )
    rows = tuple((f"{s.title} ({s.id})", _choice(s.before), _choice(s.after)) for s in impact.sizings)
    yield Section(
        "Sizings", before, ("For the holes and actions of", "First choice before", "After") if rows else (), rows
    )


def _of_portfolio(portfolio: PortfolioImpact) -> Iterator[Section]:
    rows = tuple((EFFECT_WORDS[effect], str(count)) for effect, count in portfolio.counts.items())
    yield Section("Portfolio", (f"{portfolio.lines} lines.",), ("Effect", "Lines"), rows)
    columns = ("Line", "Fixing", "Verdict", "Governing mode", "Utilisation")
    listed = (
        ("Portfolio: passed, no longer pass", portfolio.listed[TO_NOT_PASSING], portfolio.counts[TO_NOT_PASSING]),
        ("Portfolio: did not pass, pass now", portfolio.listed[TO_PASSING], portfolio.counts[TO_PASSING]),
        ("Portfolio: largest changes of utilisation", portfolio.largest, portfolio.counts[CHANGED]),
    )
    for title, lines, count in listed:
        if lines:
            yield Section(title, _more(lines, count), columns, tuple(_line_rows(lines)))
    bad = portfolio.listed[BAD]
    if bad:
        reasons = tuple((str(line.number), line.reason or "") for line in bad)
        yield Section("Portfolio: bad lines", _more(bad, portfolio.counts[BAD]), ("Line", "What is wrong"), reasons)


def _line_rows(lines: Iterable[LineImpact]) -> Iterator[tuple[str, ...]]:
    for line in lines:
        if line.comparison is not None:
            before, after = line.comparison.before, line.comparison.after
            yield (
                str(line.number),
                line.reference or "",
                _turn(_verdict(before), _verdict(after)),
                _turn(_mode(before), _mode(after)),
                _turn(_figure(before.utilisation), _figure(after.utilisation)),
            )


def _more(lines: list[LineImpact], count: int) -> tuple[str, ...]:
    return () if len(lines) == count else (f"{LISTED} of {count} are listed; --out writes all of them to a file.",)


def _verdict(outcome: Outcome) -> str:
    if outcome.refusal is not None:
        return f"refused ({outcome.refusal})"
    unmet = ", ".join(map(stop_name, outcome.unmet))
    return spaced(outcome.verdict) + (f" ({unmet})" if unmet else "")


def _mode(outcome: Outcome) -> str:
    return "none" if outcome.mode is None else mode_name(outcome.mode)


def _choice(choice: FirstChoice) -> str:
    if choice.refusal is not None:
        return f"refused ({choice.refusal})"
    if choice.family is None:
        return "none passes"
    return f"{choice.family} {choice.size}, h_ef {choice.embedment_mm:g} mm, utilisation {_figure(choice.utilisation)}"


def _turn(before: str, after: str) -> str:
    return before if before == after else f"{before} → {after}"


def _figure(value: float | None) -> str:
    return "none" if value is None else f"{value:.4g}"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
