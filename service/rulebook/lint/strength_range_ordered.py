"""The range of concrete strengths covered is a range."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding, error
from service.rulebook.lint.draft import Draft

RULE = __name__.rpartition(".")[2]
SUMMARY = "strength_min_mpa ≤ strength_max_mpa"


def check(draft: Draft) -> Iterator[Finding]:
    """The range of concrete strengths covered is a range."""
    for file, family in draft.families():
        covers = family["assessment"]["covers"]
        if covers["strength_min_mpa"] > covers["strength_max_mpa"]:
            yield error(
                file,
                "#/assessment/covers/strength_max_mpa",
                RULE,
                "the highest strength covered is below the lowest",
                found=f"{covers['strength_min_mpa']:g} to {covers['strength_max_mpa']:g} MPa",
                allowed=f"at least {covers['strength_min_mpa']:g} MPa",
                tip="both are cylinder strengths f_ck, the first number of a class",
            )
