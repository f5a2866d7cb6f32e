"""The steel resistance in tension is not above what area and strength give."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding
from service.rulebook.lint.draft import Draft

RULE = __name__.rpartition(".")[2]
SUMMARY = "N_Rk,s ≤ 1.05·A_s·f_uk"
# Assessments round the resistance; more than a twentieth is no rounding.
MARGIN = 1.05


def check(draft: Draft) -> Iterator[Finding]:
    """The steel resistance in tension is not above what area and strength give."""
    for size in draft.sizes():
        steel, area = size.content["steel"], size.content["geometry"]["stress_area_mm2"]
        if steel is None or steel["tension_kn"] is None or area is None:
            continue
        most = MARGIN * area * steel["tensile_strength_mpa"] / 1000
        if steel["tension_kn"] > most:
            yield size.error(
                RULE,
                "the steel resistance is more than the stress area can carry",
                "steel",
                "tension_kn",
                found=f"N_Rk,s {steel['tension_kn']:g} kN",
                allowed=f"at most 1.05·A_s·f_uk = {most:.4g} kN",
                tip="check N_Rk,s, A_s and f_uk; A_s is that of the weakest section, often the neck or the thread",
            )
