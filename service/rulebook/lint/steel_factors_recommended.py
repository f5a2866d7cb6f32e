"""Where the national choice is the recommended values, the partial factors of steel are those."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from types import MappingProxyType

from service.rulebook.finding import Finding, error
from service.rulebook.lint.draft import Draft
from service.rulebook.tree import RULEBOOK

RULE = __name__.rpartition(".")[2]
SUMMARY = (
    "where the national choice for EN 1992-4, Table 4.1, is recommended values, "
    "the partial factors of steel are those; else a warning"
)
# EN 1992-4, Table 4.1, from memory.
RECOMMENDED = MappingProxyType({
    "steel_tension/persistent/numerator": 1.2,
    "steel_tension/persistent/minimum": 1.4,
    "steel_tension/accidental/numerator": 1.05,
    "steel_tension/accidental/minimum": 1.25,
    "steel_shear/tensile_strength_max_mpa": 800,
    "steel_shear/yield_ratio_max": 0.8,
    "steel_shear/persistent/numerator": 1.0,
    "steel_shear/persistent/minimum": 1.25,
    "steel_shear/persistent/otherwise": 1.5,
    "steel_shear/accidental/numerator": 1.0,
    "steel_shear/accidental/minimum": 1.25,
    "steel_shear/accidental/otherwise": 1.3,
})


def check(draft: Draft) -> Iterator[Finding]:
    """Where the national choice is the recommended values, the partial factors of steel are those."""
    if draft.rulebook is None or not any(
        choice["code"] == "EN 1992-4" and "Table 4.1" in choice["clause"] and choice["choice"] == "recommended values"
        for choice in draft.rulebook["design_basis"]["national_choices"]
    ):
        return
    for path, recommended in RECOMMENDED.items():
        given = draft.rulebook["partial_factors"]
        for name in path.split("/"):
            given = given[name]
        if given != recommended:
            found = error(
                RULEBOOK,
                f"#/partial_factors/{path}",
                RULE,
                "the factor is not the recommended value, as the national choice has it",
                found=f"{given:g}",
                allowed=f"{recommended:g}",
                tip="correct the factor, or name the national annex it is from among national_choices",
            )
            yield replace(found, severity="warning")
