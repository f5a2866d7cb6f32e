"""The commands that tell what changed in the rules, and what a figure was before."""

import argparse
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from service.audit.changes import (
    HASH_SHOWN,
    changes_between,
    changes_html,
    changes_markdown,
    history_of,
    percent,
    value_words,
)
from service.cli.commands import book_of
from service.cli.reading import UnusableError
from service.cli.shared import DONE, NOT_PASSED, Subcommand, as_json, rules_of
from service.cli.terminal import Cell, printed, table, terminal, warn
from service.rulebook.repository import Repository
from service.rulebook.versions import is_version


def add_changes(subparsers: Any, subcommand: Subcommand) -> None:
    """Add the command that tells what changed."""
    parser = subcommand(subparsers, "changes", "what changed between two versions of the rules, and who is behind it?")
    parser.set_defaults(run=changes)
    words = "two versions or revisions, older and newer: 2026.1.0..2026.2.0, main..my-branch; one left out is HEAD"
    parser.add_argument("span", metavar="A..B", help=words)
    forms = parser.add_mutually_exclusive_group()
    forms.add_argument("--markdown", dest="form", action="store_const", const="markdown", help="Markdown (default)")
    forms.add_argument("--json", dest="form", action="store_const", const="json", help="JSON")
    forms.add_argument("--html", dest="form", action="store_const", const="html", help="a page for a reviewer")
    parser.set_defaults(form="markdown")
    parser.add_argument("--output", type=Path, metavar="FILE", help="write to a file instead of standard output")


def add_history(subparsers: Any, subcommand: Subcommand) -> None:
    """Add the command that tells every value of a figure."""
    parser = subcommand(subparsers, "history", "why is this figure what it is? every value that it ever had")
    parser.set_defaults(run=history)
    words = "path of a figure, as in the trace of an answer: families/bolt-expansion-zinc#/sizes/M12/steel/tension_kn"
    parser.add_argument("path", metavar="PATH", help=words)
    parser.add_argument("--json", action="store_true", help="print as JSON")


def changes(arguments: argparse.Namespace) -> int:
    """Tell what changed between two revisions.

    Args:
        arguments: `span`, `form`, `output`, `rules`.

    Returns:
        0; 1 where a change towards less safety names no checker or approver; 2 where the two can't be compared.
    """
    writers = {"json": as_json, "html": changes_html, "markdown": changes_markdown}
    older, newer = _span(arguments.span)
    repository = _repository(arguments)
    report = changes_between(repository, *(_revision(name, arguments) for name in (older, newer)))
    _write(writers[arguments.form](report), arguments.output)
    for fault in report["faults"]:
        warn(f"anchor-rulebook: {fault['detail']}")
    return NOT_PASSED if report["faults"] else DONE


def history(arguments: argparse.Namespace) -> int:
    """Tell every value that a figure ever had.

    Args:
        arguments: `path`, `json`, `rules`.

    Returns:
        0; 2 where there never was such a figure.
    """
    told = history_of(_repository(arguments), arguments.path)
    if arguments.json:
        sys.stdout.write(as_json(told))
    else:
        _print_history(told)
    return DONE


def _span(text: str) -> tuple[str, str]:
    older, dots, newer = text.partition("..")
    if not dots or newer.startswith("."):
        raise UnusableError(
            f"{text!r} names no two versions or revisions. Write the older one, two dots, the newer one: 2026.1.0..HEAD"
        )
    return older or "HEAD", newer or "HEAD"


def _revision(name: str, arguments: argparse.Namespace) -> str:
    """The commit of a version, found by its digest so that no tag is needed; a revision as it is."""
    return (book_of(name, arguments).commit or name) if is_version(name) else name


def _repository(arguments: argparse.Namespace) -> Repository:
    rules: Path = rules_of(arguments)
    if not rules.is_dir():
        raise UnusableError(f"{rules}: no such directory. Name the directory of a rulebook with --rules.")
    repository = Repository.of(rules)
    if repository is None:
        raise UnusableError(
            f"{rules}: there is no git repository that may be read here, so nothing can be told of its history.",
            "Name the rules directory of a clone with --rules.",
        )
    return repository


def _write(text: str, output: Path | None) -> None:
    if output is None:
        sys.stdout.write(text)
        return
    try:
        output.write_text(text, encoding="utf-8")
    except OSError as error:
        reason = error.strerror or "it can't be written"
        raise UnusableError(f"{output}: {reason}. Give the path of a file that can be written.") from None


def _print_history(told: Mapping[str, Any]) -> None:
    console = terminal()
    unit = f" ({told['unit']})" if told["unit"] else ""
    console.print(printed(f"{told['words']}{unit}", style="bold"))
    console.print(printed(f"{told['title']}; {told['rule']}"))
    headings = ("Value", "Change", "Version", "Set by", "Reason")
    console.print(table(headings, map(_cells, told["values"]), right=(0, 1)))
    for remark in told["remarks"]:
        console.print(printed(remark))


def _cells(value: Mapping[str, Any]) -> tuple[Cell, ...]:
    shown = value_words(value["value"], None, None) if value["there"] else "not there"
    who = (
        f"author: {value['author']}",
        *(f"{role}: {value[role] or 'none named'}" for role in ("checker", "approver")),
    )
    return (
        shown,
        percent(value["relative"]),
        value["version"] or "",
        (f"{value['date']}, commit {value['commit'][:HASH_SHOWN]}", *who),
        value["reason"] or value["subject"],
    )
