"""The group factor of steel in shear follows ductility."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding
from service.rulebook.lint.draft import Draft

RULE = __name__.rpartition(".")[2]
SUMMARY = "k_7 is 1.0 for ductile steel and 0.8 otherwise (EN 1992-4, 7.2.2.3.1); else a warning"
DUCTILE, BRITTLE = 1.0, 0.8


def check(draft: Draft) -> Iterator[Finding]:
    """The group factor of steel in shear follows ductility."""
    for size in draft.sizes():
        steel = size.content["steel"]
        if steel is None or steel["shear_group_factor"] is None:
            continue
        given = DUCTILE if steel["ductile"] else BRITTLE
        if steel["shear_group_factor"] != given:
            yield size.warning(
                RULE,
                "the group factor of steel in shear does not go with the ductility",
                "steel",
                "shear_group_factor",
                found=f"k_7 {steel['shear_group_factor']:g}, {'ductile' if steel['ductile'] else 'not ductile'}",
                allowed=f"{given:g}",
                tip="check the factor and whether the rupture elongation is above 8 %",
            )
