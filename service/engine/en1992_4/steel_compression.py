"""Steel failure of a fastener that is pressed where the fixture stands off: buckling (EN 1993-1-1:2005, 6.3.1).

EN 1992-4 gives no resistance for it; its 6.2.1 leaves it to the assessment whether a fastener may be pressed at all.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from service.engine.codes import Mode
from service.engine.en1992_4 import partial_factors
from service.engine.en1992_4.design_check import finish
from service.engine.model import Fastener, Fixing
from service.engine.results import Check
from service.engine.trace import Trace, new_trace

CLAUSE = "EN 1993-1-1, 6.3.1"
E_STEEL_MPA = 210_000.0
IMPERFECTION = 0.49
"""alpha of buckling curve c, which solid sections have (no unit), EN 1993-1-1:2005, Tables 6.1 and 6.2, from memory."""


def second_moment(stress_area_mm2: float) -> float:
    """I = A_s²/(4π) of a round bar (mm⁴), by the circle of the stress area."""
    return stress_area_mm2**2 / (4.0 * math.pi)


def critical_n(stress_area_mm2: float, buckling_length_mm: float) -> float:
    """N_cr = π²·E·I/L_cr² (N).

    EN 1993-1-1:2005, 6.3.1.2, by Euler.

    Args:
        stress_area_mm2: A_s (mm²).
        buckling_length_mm: L_cr (mm).

    Returns:
        N_cr (N).
    """
    return math.pi**2 * E_STEEL_MPA * second_moment(stress_area_mm2) / buckling_length_mm**2


def reduction(slender: float) -> float:
    """χ = 1/(Φ + √(Φ² − λ̄²)) ≤ 1.

    EN 1993-1-1:2005, 6.3.1.2.

    Args:
        slender: λ̄ = √(A_s·f_yk/N_cr) (no unit).

    Returns:
        χ (no unit).
    """
    phi = phi_of(slender)
    return min(1.0, 1.0 / (phi + math.sqrt(phi**2 - slender**2)))


def phi_of(slender: float) -> float:
    """Φ = 0.5·(1 + α·(λ̄ − 0.2) + λ̄²) (no unit). EN 1993-1-1:2005, 6.3.1.2."""
    return 0.5 * (1.0 + IMPERFECTION * (slender - 0.2) + slender**2)


def characteristic_n(fastener: Fastener, buckling_length_mm: float, trace: Trace) -> float:
    """N_Rk,s = N_b,Rk = χ·A_s·f_yk of one fastener (N). EN 1993-1-1:2005, 6.3.1.1.

    Args:
        fastener: The fastener (mm², MPa).
        buckling_length_mm: L_cr (mm).
        trace: Where the working is noted.

    Returns:
        N_Rk,s in compression (N).
    """
    rules = fastener.rules
    area = trace.add("A_s", fastener.stress_area_mm2, "mm2", "assessment", CLAUSE, rules.get("stress_area_mm2"))
    yielding = trace.add(
        "f_yk", fastener.yield_strength_mpa, "MPa", "assessment", CLAUSE, rules.get("yield_strength_mpa")
    )
    length = trace.add("L_cr", buckling_length_mm, "mm", "distance over which it buckles, 2·l_a/alpha_M", CLAUSE)
    critical = trace.add("N_cr", critical_n(area, length), "N", "π·210000·A_s²/(4·L_cr²)", CLAUSE)
    slender = trace.add("lambda", math.sqrt(area * yielding / critical), "-", "√(A_s·f_yk/N_cr)", CLAUSE)
    trace.add("Phi", phi_of(slender), "-", "0.5·(1 + 0.49·(lambda - 0.2) + lambda²)", CLAUSE)
    chi = trace.add("chi", reduction(slender), "-", "min(1, 1/(Phi + √(Phi² - lambda²)))", CLAUSE)
    return trace.add("N_Rk,s", chi * area * yielding, "N", "chi·A_s·f_yk", CLAUSE)


def verify(fixing: Fixing, axial_n: Sequence[float], buckling_length_mm: float, want_trace: bool) -> Check:
    """Check the fastener that is pressed most. EN 1993-1-1:2005, 6.3.1.

    Args:
        fixing: The fixing.
        axial_n: Axial force of each fastener, at least one of them negative (N).
        buckling_length_mm: L_cr (mm).
        want_trace: Whether the working is wanted.

    Returns:
        The check; the partial factor is that of steel in tension, which is the larger.
    """
    trace = new_trace(want_trace)
    index = min(range(len(axial_n)), key=lambda i: axial_n[i])
    resistance = characteristic_n(fixing.fastener, buckling_length_mm, trace)
    gamma = partial_factors.steel(fixing, "N", trace)
    pressed_n, site = -axial_n[index], fixing.site_factor
    return finish(Mode.STEEL_COMPRESSION, CLAUSE, "s", "N", (index,), pressed_n, resistance, gamma, site, trace)
