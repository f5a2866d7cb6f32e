"""A family is used only where its steel lasts."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding, error, pointer_to
from service.rulebook.lint.draft import Draft

RULE = __name__.rpartition(".")[2]
SUMMARY = "the corrosion resistance class of a family suffices for each of its exposures"
CLASSES = (None, "I", "II", "III", "IV", "V")


def check(draft: Draft) -> Iterator[Finding]:
    """A family is used only where its steel lasts."""
    factor = draft.factor("exposures")
    exposures = factor["exposures"] if factor else {}
    for file, family in draft.families():
        given = family["material"]["corrosion_resistance_class"]
        for index, name in enumerate(family["exposures"]):
            needed = exposures[name]["corrosion_resistance_class_min"] if name in exposures else None
            if CLASSES.index(given) < CLASSES.index(needed):
                yield error(
                    file,
                    pointer_to("exposures", index),
                    RULE,
                    "the steel does not last in this exposure",
                    found=f"{name} with class {given or 'none (not stainless)'}",
                    allowed=f"class {needed} or higher in {name}",
                    tip="take the exposure out of the list, or correct the class of the material",
                )
