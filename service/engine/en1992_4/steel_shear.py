"""Steel failure in shear without a lever arm (EN 1992-4:2018, 7.2.2.3.1)."""

from __future__ import annotations

import math
from collections.abc import Sequence

from service.engine.codes import Mode
from service.engine.en1992_4 import partial_factors
from service.engine.en1992_4.design_check import finish
from service.engine.model import Fastener, Fixing
from service.engine.results import Check
from service.engine.trace import Trace, new_trace

CLAUSE = "7.2.2.3.1"
SHALLOW_RATIO = 5.0
SHALLOW_FACTOR = 0.8
WEAK_CONCRETE_MPA = 20.0


def steel_resistance(stress_area_mm2: float, tensile_mpa: float) -> float:
    """V0_Rk,s = k6·A_s·f_uk with k6 0.6 up to f_uk 500 MPa and 0.5 above, where the assessment gives none.

    EN 1992-4:2018, 7.2.2.3.1.

    Args:
        stress_area_mm2: A_s (mm²).
        tensile_mpa: f_uk (MPa).

    Returns:
        V0_Rk,s (N).
    """
    return (0.6 if tensile_mpa <= 500.0 else 0.5) * stress_area_mm2 * tensile_mpa


def group_factor(assessed: float | None, count: int, ductile: bool) -> float:
    """k7 (no unit): 1.0 for one fastener, in groups of the assessment, else 1.0 for ductile steel and 0.8 for other.

    EN 1992-4:2018, 7.2.2.3.1.

    Args:
        assessed: k7 of the assessment, or None (no unit).
        count: Number of fasteners.
        ductile: Whether the steel stretches by more than 8 %.

    Returns:
        k7 (no unit).
    """
    if count == 1:
        return 1.0
    if assessed is not None:
        return assessed
    return 1.0 if ductile else 0.8


def grout_factor(grout_mm: float) -> float:
    """1 − 0.01·t_grout for shear through a grout layer that counts as no lever arm (no unit).

    EN 1992-4:2018, 7.2.2.3.1.

    Args:
        grout_mm: Thickness of the grout (mm).

    Returns:
        The factor (no unit).
    """
    return 1.0 - 0.01 * grout_mm


def shallow_factor(embedment_mm: float, nominal_diameter_mm: float, f_ck_mpa: float) -> float:
    """0.8 where h_ef/d_nom is below 5 in concrete weaker than C20/25, else 1 (no unit).

    EN 1992-4:2018, 7.2.2.3.1.

    Args:
        embedment_mm: h_ef (mm).
        nominal_diameter_mm: d_nom (mm).
        f_ck_mpa: Characteristic cylinder strength (MPa).

    Returns:
        The factor (no unit).
    """
    shallow = embedment_mm / nominal_diameter_mm < SHALLOW_RATIO and f_ck_mpa < WEAK_CONCRETE_MPA
    return SHALLOW_FACTOR if shallow else 1.0


def reference_resistance_n(fastener: Fastener, trace: Trace) -> float:
    """V0_Rk,s of one fastener (N), from the assessment or from its section. EN 1992-4:2018, 7.2.2.3.1."""
    rules = fastener.rules
    if fastener.steel_shear_n is not None:
        return trace.add("V0_Rk,s", fastener.steel_shear_n, "N", "assessment", CLAUSE, rules.get("steel_shear_n"))
    area = trace.add("A_s", fastener.stress_area_mm2, "mm2", "assessment", CLAUSE, rules.get("stress_area_mm2"))
    strength = trace.add(
        "f_uk", fastener.tensile_strength_mpa, "MPa", "assessment", CLAUSE, rules.get("tensile_strength_mpa")
    )
    trace.add("k6", 0.6 if strength <= 500.0 else 0.5, "-", "0.6 up to f_uk 500 MPa, 0.5 above", CLAUSE)
    return trace.add("V0_Rk,s", steel_resistance(area, strength), "N", "k6·A_s·f_uk", CLAUSE)


def verify(fixing: Fixing, shear_n: Sequence[tuple[float, float]], grouted: bool, want_trace: bool) -> Check:
    """Check the fastener with the largest shear.

    EN 1992-4:2018, 7.2.2.3.1. Shears in N.

    Args:
        fixing: The fixing.
        shear_n: Shear in x and y of each fastener (N).
        grouted: Whether shear crosses a grout layer that counts as no lever arm but with a factor.
        want_trace: Whether the working is wanted.

    Returns:
        The check.
    """
    trace = new_trace(want_trace)
    fastener = fixing.fastener
    sizes = [math.hypot(*shear) for shear in shear_n]
    index = max(range(len(sizes)), key=lambda i: sizes[i])
    reference = reference_resistance_n(fastener, trace)
    k7 = group_factor(fastener.shear_group_factor, len(fixing.positions), fastener.ductile)
    shallow = shallow_factor(fastener.embedment_mm, fastener.nominal_diameter_mm, fixing.member.f_ck_mpa)
    grout = grout_factor(fixing.fixture.grout_mm) if grouted else 1.0
    trace.add(
        "k7",
        k7,
        "-",
        "1.0 for one fastener; in a group: assessment, else 1.0 if ductile, 0.8 if not",
        CLAUSE,
        fastener.rules.get("shear_group_factor"),
    )
    expression = "k7·V0_Rk,s"
    if shallow < 1.0:
        expression += "·0.8"
    if grouted:
        trace.add("t_grout", fixing.fixture.grout_mm, "mm", "request", CLAUSE)
        expression += "·(1 - 0.01·t_grout)"
    resistance = trace.add("V_Rk,s", k7 * reference * shallow * grout, "N", expression, CLAUSE)
    gamma = partial_factors.steel(fixing, "V", trace)
    return finish(
        Mode.STEEL_SHEAR, CLAUSE, "s", "V", (index,), sizes[index], resistance, gamma, fixing.site_factor, trace
    )
