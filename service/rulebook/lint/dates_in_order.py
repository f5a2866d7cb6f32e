"""Nothing ends before it begins."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding, error
from service.rulebook.lint.draft import Draft, approvals
from service.rulebook.tree import RULEBOOK

RULE = __name__.rpartition(".")[2]
SUMMARY = "approvals and the rulebook end no earlier than they begin"


def check(draft: Draft) -> Iterator[Finding]:
    """Nothing ends before it begins."""
    periods = [(file, pointer, approval["from"], approval["until"]) for file, pointer, approval in approvals(draft)]
    if draft.rulebook is not None:
        periods.append((RULEBOOK, "#", draft.rulebook["effective_from"], draft.rulebook["effective_until"]))
    for file, pointer, first, last in periods:
        if last is not None and last < first:
            yield error(
                file,
                pointer,
                RULE,
                "the last day is before the first",
                found=f"{first} to {last}",
                allowed="a last day on or after the first, or null",
                tip="check the years; days are written year-month-day",
            )
