"""Every file belongs to the rulebook, and none that it needs is missing."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding, error
from service.rulebook.lint.draft import Draft
from service.rulebook.tree import FACTORS, README, RULEBOOK

RULE = __name__.rpartition(".")[2]
SUMMARY = "rulebook.json and every factor file are there, and no file that the rulebook does not reach"
LAYOUT = (
    f"{README}, {RULEBOOK}, families/*.json, {', '.join(f'factors/{name}.json' for name in FACTORS)}, reference/*.json"
)


def check(draft: Draft) -> Iterator[Finding]:
    """Every file belongs to the rulebook, and none that it needs is missing."""
    for stray in draft.strays:
        yield error(
            stray.file,
            "#",
            RULE,
            "nothing in the rulebook reaches this",
            found=stray.nature,
            allowed=LAYOUT,
            tip="move it to where it belongs or take it away; symbolic links are not followed",
        )
    present = draft.documents.keys() | draft.unsound
    for file in (RULEBOOK, *(f"factors/{name}.json" for name in FACTORS)):
        if file not in present:
            yield error(
                file,
                "#",
                RULE,
                "the file is missing",
                found="no such file",
                allowed=LAYOUT,
                tip="put it back from the last commit",
            )
    if not any(file.startswith("families/") for file in present):
        yield error(
            "families",
            "#",
            RULE,
            "there is no family",
            found="no file",
            allowed="at least one family",
            tip="add families/<id>.json",
        )
