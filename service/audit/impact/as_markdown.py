"""The impact of a change as Markdown, for the discussion of a proposed change."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from service.audit.impact.portfolio import PortfolioImpact
from service.audit.impact.reference_fixings import Impact
from service.audit.impact.tables import Section, sections, title_of
from service.rulebook.printable import printable

SPECIAL = re.compile(r"([\\`*_{}\[\]<>#|!~&])")


def impact_markdown(impact: Impact, portfolio: PortfolioImpact | None = None) -> str:
    """Write the impact of a change as Markdown.

    Args:
        impact: What it does to the reference fixings.
        portfolio: What it does to a portfolio; None where there is none.

    Returns:
        The document.
    """
    parts = [f"# {_escaped(title_of(impact))}", *(_section(section) for section in sections(impact, portfolio))]
    return "\n\n".join(parts) + "\n"


def _section(section: Section) -> str:
    words = [f"## {_escaped(section.title)}", *map(_escaped, section.before)]
    return "\n\n".join([*words, "\n".join(_table(section))] if section.columns else words)


def _table(section: Section) -> Iterator[str]:
    yield _row(section.columns)
    yield _row("---" for _ in section.columns)
    yield from (_row(map(_escaped, row)) for row in section.rows)


def _row(cells: Iterable[str]) -> str:
    return f"| {' | '.join(cells)} |"


def _escaped(text: str) -> str:
    """Take away what would be more than text: a title or a reference comes from outside."""
    return SPECIAL.sub(r"\\\1", printable(" ".join(text.split())))
