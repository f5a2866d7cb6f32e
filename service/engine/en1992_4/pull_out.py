"""Pull-out failure in tension (EN 1992-4:2018, 7.2.1.5)."""

from __future__ import annotations

import math
from collections.abc import Sequence

from service.engine.codes import Mode
from service.engine.en1992_4 import partial_factors
from service.engine.en1992_4.concrete_cone import strength_in_formulas
from service.engine.en1992_4.design_check import finish
from service.engine.model import Fixing
from service.engine.results import Check
from service.engine.trace import Trace, new_trace

CLAUSE = "7.2.1.5"
HEAD_FACTOR_CRACKED = 7.5
HEAD_FACTOR_UNCRACKED = 10.5


def head_area(head_diameter_mm: float, shank_diameter_mm: float) -> float:
    """A_h, bearing area of a round head: π/4·(d_h² − d²).

    EN 1992-4:2018, 7.2.1.5.

    Args:
        head_diameter_mm: d_h (mm).
        shank_diameter_mm: d (mm).

    Returns:
        A_h (mm²).
    """
    return math.pi / 4.0 * (head_diameter_mm**2 - shank_diameter_mm**2)


def headed_resistance(k2: float, head_area_mm2: float, f_ck_mpa: float) -> float:
    """N_Rk,p = k2·A_h·f_ck of a headed fastener.

    EN 1992-4:2018, 7.2.1.5.

    Args:
        k2: 7.5 in cracked, 10.5 in uncracked concrete (no unit).
        head_area_mm2: A_h (mm²).
        f_ck_mpa: Characteristic cylinder strength (MPa).

    Returns:
        N_Rk,p (N).
    """
    return k2 * head_area_mm2 * f_ck_mpa


def assessed_resistance(reference_n: float, strength_factor: float) -> float:
    """N_Rk,p = N_Rk,p(C20/25)·psi_c of a post-installed fastener.

    EN 1992-4:2018, 7.2.1.5, by assessment.

    Args:
        reference_n: N_Rk,p in C20/25 (N).
        strength_factor: psi_c of the assessment (no unit).

    Returns:
        N_Rk,p (N).
    """
    return reference_n * strength_factor


def trace_head_area(fixing: Fixing, clause: str, trace: Trace) -> float:
    """A_h of a headed fastener (mm²), with its working. EN 1992-4:2018, 7.2.1.5."""
    fastener = fixing.fastener
    if fastener.head_diameter_mm is None:
        raise ValueError("a headed fastener needs its head diameter")
    trace.add("d_h", fastener.head_diameter_mm, "mm", "assessment", clause, fastener.rules.get("head_diameter_mm"))
    trace.add("d", fastener.diameter_mm, "mm", "assessment", clause, fastener.rules.get("diameter_mm"))
    area = head_area(fastener.head_diameter_mm, fastener.diameter_mm)
    return trace.add("A_h", area, "mm2", "π/4·(d_h² - d²)", clause)


def characteristic_n(fixing: Fixing, trace: Trace) -> float | None:
    """N_Rk,p of one fastener (N), or None where the assessment finds it not decisive. EN 1992-4:2018, 7.2.1.5."""
    fastener, member = fixing.fastener, fixing.member
    if fastener.headed:
        k2 = HEAD_FACTOR_CRACKED if member.cracked else HEAD_FACTOR_UNCRACKED
        area = trace_head_area(fixing, CLAUSE, trace)
        trace.add("k2", k2, "-", "7.5 cracked, 10.5 uncracked", CLAUSE)
        strength = trace.add("f_ck", strength_in_formulas(member.f_ck_mpa), "MPa", "at most 60", "1.2")
        return trace.add("N_Rk,p", headed_resistance(k2, area, strength), "N", "k2·A_h·f_ck", CLAUSE)
    if fastener.pull_out is None:
        return None
    given = fastener.pull_out
    rules = fastener.rules
    trace.add("N_Rk,p,C20/25", given.reference_n, "N", "assessment", CLAUSE, rules.get("pull_out_n"))
    trace.add("psi_c", given.strength_factor, "-", "assessment", CLAUSE, rules.get("pull_out_strength_factor"))
    resistance = assessed_resistance(given.reference_n, given.strength_factor)
    return trace.add("N_Rk,p", resistance, "N", "N_Rk,p,C20/25·psi_c", CLAUSE)


def verify(fixing: Fixing, tension_n: Sequence[float], want_trace: bool) -> Check | None:
    """Check the fastener with the largest tension, or None where pull-out is not decisive.

    EN 1992-4:2018, 7.2.1.5.

    Args:
        fixing: The fixing.
        tension_n: Tension of each fastener (N).
        want_trace: Whether the working is wanted.

    Returns:
        The check, or None.
    """
    trace = new_trace(want_trace)
    resistance = characteristic_n(fixing, trace)
    if resistance is None:
        return None
    index = max(range(len(tension_n)), key=lambda i: tension_n[i])
    gamma = partial_factors.concrete_in_tension(fixing, "p", trace)
    return finish(
        Mode.PULL_OUT, CLAUSE, "p", "N", (index,), tension_n[index], resistance, gamma, fixing.site_factor, trace
    )
