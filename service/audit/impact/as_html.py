"""The impact of a change as one HTML page that needs nothing else, for a reviewer."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from service.audit.impact.portfolio import PortfolioImpact
from service.audit.impact.reference_fixings import Impact
from service.audit.impact.tables import Section, sections, title_of
from service.rulebook.printable import printable

STYLE = """\
body { font: 16px/1.5 system-ui, sans-serif; margin: 2rem auto; max-width: 75rem; padding: 0 1rem; color: #1a1a1a; background: #fff; }
h1 { font-size: 1.6rem; } h2 { font-size: 1.2rem; margin-top: 2rem; }
.wide { overflow-x: auto; }
table { border-collapse: collapse; width: 100%; }
th, td { border: 1px solid #8a8a8a; padding: .35rem .6rem; text-align: left; vertical-align: top; overflow-wrap: anywhere; }
th { background: #eee; overflow-wrap: normal; }
@media print { body { margin: 0; max-width: none; font-size: 11px; } tr { break-inside: avoid; } }
"""  # noqa: E501 lines of a style sheet


def impact_html(impact: Impact, portfolio: PortfolioImpact | None = None) -> str:
    """Write the impact of a change as an HTML page.

    Args:
        impact: What it does to the reference fixings.
        portfolio: What it does to a portfolio; None where there is none.

    Returns:
        The page.
    """
    title = _text(title_of(impact))
    body = "\n".join(_section(section) for section in sections(impact, portfolio))
    return (
        f'<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n<title>{title}</title>\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<style>\n{STYLE}</style>\n</head>\n<body>\n<main>\n<h1>{title}</h1>\n{body}\n</main>\n</body>\n</html>\n"
    )


def _section(section: Section) -> str:
    words = "".join(f"<p>{_text(text)}</p>\n" for text in section.before)
    table = _table(section) if section.columns else ""
    return f"<section>\n<h2>{_text(section.title)}</h2>\n{words}{table}</section>"


def _table(section: Section) -> str:
    head = "".join(f'<th scope="col">{_text(heading)}</th>' for heading in section.columns)
    rows = "\n".join(f"<tr>{_cells(row)}</tr>" for row in section.rows)
    inner = f"<thead><tr>{head}</tr></thead>\n<tbody>\n{rows}\n</tbody>\n"
    # A region that scrolls has to be reached with the keyboard as well.
    label = _text(section.title)
    return f'<div class="wide" role="region" tabindex="0" aria-label="{label}"><table>\n{inner}</table></div>\n'


def _cells(row: Iterable[str]) -> str:
    return "".join(f"<td>{_text(cell)}</td>" for cell in row)


def _text(text: str) -> str:
    return escape(printable(text))
