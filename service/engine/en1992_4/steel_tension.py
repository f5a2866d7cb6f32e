"""Steel failure in tension (EN 1992-4:2018, 7.2.1.3)."""

from __future__ import annotations

from collections.abc import Sequence

from service.engine.codes import Mode
from service.engine.en1992_4 import partial_factors
from service.engine.en1992_4.design_check import finish
from service.engine.model import Fastener, Fixing
from service.engine.results import Check
from service.engine.trace import Trace, new_trace

CLAUSE = "7.2.1.3"


def steel_resistance(stress_area_mm2: float, tensile_mpa: float) -> float:
    """N_Rk,s = A_s·f_uk where the assessment gives none.

    EN 1992-4:2018, 7.2.1.3.

    Args:
        stress_area_mm2: A_s of the weakest section (mm²).
        tensile_mpa: f_uk (MPa).

    Returns:
        N_Rk,s (N).
    """
    return stress_area_mm2 * tensile_mpa


def characteristic_n(fastener: Fastener, trace: Trace) -> float:
    """N_Rk,s of one fastener (N), from the assessment or from its section. EN 1992-4:2018, 7.2.1.3."""
    if fastener.steel_tension_n is not None:
        return trace.add(
            "N_Rk,s", fastener.steel_tension_n, "N", "assessment", CLAUSE, fastener.rules.get("steel_tension_n")
        )
    area = trace.add(
        "A_s", fastener.stress_area_mm2, "mm2", "assessment", CLAUSE, fastener.rules.get("stress_area_mm2")
    )
    strength = trace.add(
        "f_uk", fastener.tensile_strength_mpa, "MPa", "assessment", CLAUSE, fastener.rules.get("tensile_strength_mpa")
    )
    return trace.add("N_Rk,s", steel_resistance(area, strength), "N", "A_s·f_uk", CLAUSE)


def verify(fixing: Fixing, tension_n: Sequence[float], want_trace: bool) -> Check:
    """Check the fastener with the largest tension. EN 1992-4:2018, 7.2.1.3, tensions in N."""
    trace = new_trace(want_trace)
    index = max(range(len(tension_n)), key=lambda i: tension_n[i])
    resistance = characteristic_n(fixing.fastener, trace)
    gamma = partial_factors.steel(fixing, "N", trace)
    return finish(
        Mode.STEEL_TENSION, CLAUSE, "s", "N", (index,), tension_n[index], resistance, gamma, fixing.site_factor, trace
    )
