"""Steel yields before it breaks."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding
from service.rulebook.lint.draft import Draft

RULE = __name__.rpartition(".")[2]
SUMMARY = "f_yk ≤ f_uk"


def check(draft: Draft) -> Iterator[Finding]:
    """Steel yields before it breaks."""
    for size in draft.sizes():
        steel = size.content["steel"]
        if steel is not None and steel["yield_strength_mpa"] > steel["tensile_strength_mpa"]:
            yield size.error(
                RULE,
                "the yield strength is above the tensile strength",
                "steel",
                "yield_strength_mpa",
                found=f"f_yk {steel['yield_strength_mpa']:g} MPa, f_uk {steel['tensile_strength_mpa']:g} MPa",
                allowed="f_yk ≤ f_uk",
                tip="check that the two were not swapped",
            )
