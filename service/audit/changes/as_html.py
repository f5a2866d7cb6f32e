"""A report of changes as one page for a reviewer: no script, nothing fetched, black on white, made to be printed."""

from __future__ import annotations

import html
from collections.abc import Iterator, Mapping
from typing import Any

from service.audit.changes.report_rows import CAUTION, HEADINGS, Row, Section, counted, reference, sections, title
from service.rulebook.printable import printable

STYLE = """
:root { color-scheme: light; }
* { box-sizing: border-box; }
body { margin: 0 auto; padding: 1.5rem 1.25rem 3rem; max-width: 84rem; color: #000; background: #fff;
  font: 1rem/1.45 "Liberation Sans", Arial, Helvetica, sans-serif; }
h1 { font-size: 1.5rem; line-height: 1.2; margin: 0 0 .75rem; overflow-wrap: anywhere; }
h2 { font-size: 1.2rem; margin: 2.25rem 0 .25rem; padding-top: .5rem; border-top: 3px solid #000; }
p { margin: .4rem 0 .8rem; max-width: 48rem; }
dl { display: grid; grid-template-columns: max-content 1fr; gap: .15rem 1rem; margin: 1rem 0; }
dt { font-weight: bold; }
dd { margin: 0; overflow-wrap: anywhere; }
table { width: 100%; table-layout: fixed; border-collapse: collapse; font-size: .875rem; }
col.what { width: 29%; }
col.value { width: 12.5%; }
col.change { width: 7%; }
col.effect { width: 10%; }
col.by { width: 16%; }
th, td { padding: .45rem .6rem; text-align: left; vertical-align: top; border-bottom: 1px solid #767676;
  overflow-wrap: anywhere; }
thead th { border-bottom: 2px solid #000; white-space: nowrap; }
td.figure, th.figure { text-align: right; white-space: nowrap; font-variant-numeric: tabular-nums; }
td.effect { font-weight: bold; }
tbody th { font-weight: normal; }
.place { display: block; font-weight: bold; }
.rule { display: block; font: .75rem/1.35 "Liberation Mono", monospace; overflow-wrap: anywhere; }
td .line { display: block; }
td.by, td.reason { overflow-wrap: anywhere; }
.faults { border: 3px solid #000; padding: .25rem 1rem 1rem; margin: 1.5rem 0; }
.faults h2 { border: 0; margin: .5rem 0; padding: 0; }
.faults li { margin: .4rem 0; overflow-wrap: anywhere; }
.caution { margin-top: 2rem; border-top: 1px solid #000; padding-top: .75rem; }
@media (max-width: 48rem) {
  body { padding: 1rem .75rem 2rem; }
  table, tbody, tr, th, td { display: block; width: auto !important; }
  thead { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
  tbody tr { border-bottom: 2px solid #000; padding: .5rem 0; }
  tbody th, tbody td { border: 0; padding: .2rem 0; }
  tbody td { display: grid; grid-template-columns: 5.5rem minmax(0, 1fr); gap: .5rem; }
  colgroup { display: none; }
  tbody td.figure { text-align: left; white-space: normal; }
  tbody td::before { content: attr(data-heading); font-weight: normal; }
  tbody td:empty, tbody td.nothing { display: none; }
  dl { grid-template-columns: 1fr; gap: 0; }
  dd { margin-bottom: .4rem; }
}
@media print {
  @page { margin: 14mm; }
  body { padding: 0; max-width: none; font-size: 9.5pt; }
  h2 { break-after: avoid; }
  tr { break-inside: avoid; }
  thead { display: table-header-group; }
}
"""
COLUMNS = ("what", "value", "value", "change", "effect", "by", "reason")


def changes_html(report: Mapping[str, Any]) -> str:
    """Write a report.

    Args:
        report: The report, as `report_changes` gives it.

    Returns:
        The page.
    """
    head = (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">\n"
        f"<title>{_text(title(report))}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n<main>\n"
    )
    return head + "\n".join(_parts(report)) + "\n</main>\n</body>\n</html>\n"


def _parts(report: Mapping[str, Any]) -> Iterator[str]:
    yield f"<h1>{_text(title(report))}</h1>"
    yield f"<p><strong>{_text(counted(report))}</strong></p>"
    yield _sides(report)
    if report["faults"]:
        faults = "".join(f"<li>{_text(fault['detail'])}</li>" for fault in report["faults"])
        yield (f'<section class="faults"><h2>Faults: these changes may not be released</h2><ul>{faults}</ul></section>')
    for section in sections(report):
        yield _section(section)
    fixings = reference(report)
    if fixings is not None:
        yield _section(fixings)
    if report["remarks"]:
        yield "<h2>Remarks</h2><ul>" + "".join(f"<li>{_text(remark)}</li>" for remark in report["remarks"]) + "</ul>"
    yield f'<p class="caution">{_text(CAUTION)}</p>'


def _sides(report: Mapping[str, Any]) -> str:
    entries = [
        f"<dt>{heading}</dt><dd>{_text(report[side]['name'])}, digest {_text(report[side]['digest'])}</dd>"
        for side, heading in (("older", "Older rules"), ("newer", "Newer rules"))
    ]
    return f"<dl>{''.join(entries)}</dl>"


def _section(section: Section) -> str:
    columns = "".join(f'<col class="{column}">' for column in COLUMNS)
    headings = "".join(f'<th scope="col">{heading}</th>' for heading in HEADINGS)
    rows = "\n".join(_row(row) for row in section.rows)
    name = _text(section.title)
    return (
        f"<section><h2>{name} ({len(section.rows)})</h2><p>{_text(section.explained)}</p>"
        f'<table aria-label="{name}"><colgroup>{columns}</colgroup><thead><tr>{headings}</tr></thead>\n'
        f"<tbody>\n{rows}\n</tbody></table></section>"
    )


def _row(row: Row) -> str:
    what = (
        f'<th scope="row"><span class="place">{_text(row.place)}</span>{_text(row.what)}'
        f'<span class="rule">{_text(row.rule)}</span></th>'
    )
    by = "".join(f'<span class="line">{_text(line)}</span>' for line in row.set_by)
    cells = (
        _cell("Old", "figure" if row.numeric else "text", _text(row.old)),
        _cell("New", "figure" if row.numeric else "text", _text(row.new)),
        _cell("Change", "figure" if row.relative else "figure nothing", _text(row.relative)),
        _cell("Effect", "effect", _text(row.effect)),
        _cell("Set by", "by", f"<div>{by}</div>"),
        _cell("Reason", "reason", _text(row.reason)),
    )
    return f"<tr>{what}{''.join(cells)}</tr>"


def _cell(heading: str, kind: str, content: str) -> str:
    return f'<td class="{kind}" data-heading="{heading}">{content}</td>'


def _text(text: str) -> str:
    return html.escape(printable(text))
