"""A report of changes as Markdown, for a comment on a proposed change and for release notes."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator, Mapping
from typing import Any

from service.audit.changes.report_rows import CAUTION, HEADINGS, Row, Section, counted, reference, sections, title
from service.rulebook.printable import printable

# What Markdown, or a site that shows it, would take for more than text; an underscore within a word is one.
MARKS = re.compile(
    r"[\\`*\[\]|~]|(?<!\w)_|_(?!\w)|^[-+=](?=\s)|@(?=\w)|#(?=\d)|^#|^\d+(?=[.)]\s)|(?<=\w)(?=://)|(?<=www)(?=\.)",
    re.IGNORECASE,
)


def changes_markdown(report: Mapping[str, Any], *, heading: int = 1) -> str:
    """Write a report.

    Args:
        report: The report, as `report_changes` gives it.
        heading: Level of its heading.

    Returns:
        The Markdown.
    """
    return "\n".join(_lines(report, heading)) + "\n"


def escaped(text: str) -> str:
    """Write a text so that it reads as it is, on one line."""
    line = printable(" ".join(text.split()))
    return MARKS.sub(_mark, html.escape(line, quote=False))


def _mark(found: re.Match[str]) -> str:
    # An address, a mention or a number of something else must not become a link: a comment in between keeps it text.
    text = found[0]
    return f"{text}<!-- -->" if text in {"", "@", "#"} or text.isdigit() else f"\\{text}"


def _lines(report: Mapping[str, Any], heading: int) -> Iterator[str]:
    marks = "#" * heading
    yield f"{marks} {escaped(title(report))}"
    yield ""
    yield f"**{escaped(counted(report))}**"
    yield ""
    if report["faults"]:
        yield f"{marks}# Faults: these changes may not be released"
        yield ""
        yield from (f"- {escaped(fault['detail'])}" for fault in report["faults"])
        yield ""
    for section in sections(report):
        yield from _section(section, marks)
    fixings = reference(report)
    if fixings is not None:
        yield from _section(fixings, marks)
    if report["remarks"]:
        yield from (f"- {escaped(remark)}" for remark in report["remarks"])
        yield ""
    yield f"_{CAUTION}_"


def _section(section: Section, marks: str) -> Iterator[str]:
    yield f"{marks}# {section.title} ({len(section.rows)})"
    yield ""
    yield section.explained
    yield ""
    yield f"| {' | '.join(HEADINGS)} |"
    yield f"| --- | ---: | ---: | ---: |{' --- |' * (len(HEADINGS) - 4)}"
    yield from (_table_row(row) for row in section.rows)
    yield ""


def _table_row(row: Row) -> str:
    what = f"**{escaped(row.place)}**<br>{escaped(row.what)}<br><code>{escaped(row.rule)}</code>"
    by = "<br>".join(escaped(line) for line in row.set_by)
    cells = (what, *map(escaped, (row.old, row.new, row.relative, row.effect)), by, escaped(row.reason))
    return f"| {' | '.join(cells)} |"
