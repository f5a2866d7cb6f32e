"""The bending resistance is the one that section modulus and strength give."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding
from service.rulebook.lint.draft import Draft

RULE = __name__.rpartition(".")[2]
SUMMARY = "M0_Rk,s is within 3 % of 1.2·W_el·f_uk; else a warning"
# Assessments round the resistance.
MARGIN = 0.03


def check(draft: Draft) -> Iterator[Finding]:
    """The bending resistance is the one that section modulus and strength give."""
    for size in draft.sizes():
        steel, modulus = size.content["steel"], size.content["geometry"]["section_modulus_mm3"]
        if steel is None or steel["bending_nm"] is None or modulus is None:
            continue
        given = 1.2 * modulus * steel["tensile_strength_mpa"] / 1000
        if abs(steel["bending_nm"] - given) > MARGIN * given:
            yield size.warning(
                RULE,
                "the bending resistance is not what section modulus and strength give",
                "steel",
                "bending_nm",
                found=f"M0_Rk,s {steel['bending_nm']:g} Nm",
                allowed=f"1.2·W_el·f_uk = {given:.4g} Nm, give or take {MARGIN:.0%}",
                tip="check M0_Rk,s, W_el and f_uk against the table named as source",
            )
