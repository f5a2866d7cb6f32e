"""The section modulus is that of a round section with the stress area."""

from __future__ import annotations

import math
from collections.abc import Iterator

from service.rulebook.finding import Finding
from service.rulebook.lint.draft import Draft

RULE = __name__.rpartition(".")[2]
SUMMARY = "W_el is within 3 % of A_s^1.5 / (4·√π); else a warning"
# Tables round both.
MARGIN = 0.03


def check(draft: Draft) -> Iterator[Finding]:
    """The section modulus is that of a round section with the stress area."""
    for size in draft.sizes():
        area, modulus = (size.content["geometry"][name] for name in ("stress_area_mm2", "section_modulus_mm3"))
        if area is None or modulus is None:
            continue
        given = area**1.5 / (4.0 * math.sqrt(math.pi))
        if abs(modulus - given) > MARGIN * given:
            yield size.warning(
                RULE,
                "section modulus and stress area are not those of one round section",
                "geometry",
                "section_modulus_mm3",
                found=f"W_el {modulus:g} mm³, A_s {area:g} mm²",
                allowed=f"W_el = A_s^1.5 / (4·√π) = {given:.4g} mm³, give or take {MARGIN:.0%}",
                tip="check both against the table named as source; a section may be other than round",
            )
