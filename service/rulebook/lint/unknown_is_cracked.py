"""Concrete of unknown state counts as cracked."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding, error
from service.rulebook.lint.draft import Draft
from service.rulebook.tree import RULEBOOK

RULE = __name__.rpartition(".")[2]
SUMMARY = "unknown.state of rulebook.json is cracked (EN 1992-4, 4.7)"


def check(draft: Draft) -> Iterator[Finding]:
    """Concrete of unknown state counts as cracked."""
    if draft.rulebook is not None and draft.rulebook["unknown"]["state"] != "cracked":
        yield error(
            RULEBOOK,
            "#/unknown/state",
            RULE,
            "concrete is cracked until it is shown to be uncracked",
            found=draft.rulebook["unknown"]["state"],
            allowed="cracked",
            tip="uncracked concrete has to be shown by its stresses, EN 1992-4, 4.7",
        )
