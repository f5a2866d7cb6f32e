"""Shear with a lever arm: when there is one, and steel failure with it (EN 1992-4:2018, 6.2.2.3 and 7.2.2.3.2)."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from service.engine.arrangement import Grid, adjacent_spacings
from service.engine.codes import Mode
from service.engine.en1992_4 import partial_factors, steel_compression, steel_tension
from service.engine.model import Fastener, Fixing
from service.engine.results import Check
from service.engine.trace import Trace, new_trace

CLAUSE_ARM = "6.2.2.3"
CLAUSE = "7.2.2.3.2"
CLAUSE_SECOND_ORDER = "EN 1993-1-1, 5.2.2"
GROUT_STRENGTH_MIN_MPA = 30.0
GROUT_MAX_MM = 40.0


@dataclass(frozen=True, slots=True)
class LeverArm:
    """l_a and its part a_3 below the surface (mm)."""

    arm_mm: float
    restraint_mm: float


@dataclass(frozen=True, slots=True)
class ShearPath:
    """How shear gets from the fixture into the fasteners: over a lever arm, or across grout that counts as none."""

    arm: LeverArm | None
    grouted: bool


def bears_on_concrete(fixing: Fixing) -> bool:
    """Whether the fixture bears on the concrete, directly or on sound grout, so that it takes contact pressure.

    EN 1992-4:2018, 6.2.1 and 6.2.2.3; grout of at least 30 MPa counts as sound.

    Args:
        fixing: The fixing (mm, MPa).

    Returns:
        False with a stand-off, on weak grout, and where there is no plate.
    """
    fixture = fixing.fixture
    if fixture.stand_off_mm > 0.0 or not fixture.plate:
        return False
    return fixture.grout_mm == 0.0 or (fixture.grout_mpa is not None and fixture.grout_mpa >= GROUT_STRENGTH_MIN_MPA)


def bearing_strength_mpa(fixing: Fixing) -> float:
    """Strength of what the fixture bears on: of the concrete, or of grout that is weaker (MPa). EN 1992-4:2018, 6.2."""
    grout = fixing.fixture.grout_mpa if fixing.fixture.grout_mm > 0.0 else None
    return fixing.member.f_ck_mpa if grout is None else min(grout, fixing.member.f_ck_mpa)


def shear_path(fixing: Fixing, grid: Grid | None, shear_x: bool, shear_y: bool) -> ShearPath:
    """Whether shear acts with a lever arm, without one, or across grout with a factor.

    EN 1992-4:2018, 6.2.2.3; grout leaves no lever arm where it is at least as strong as the member, from memory. So
    stronger concrete is the less favourable there, and concrete that nobody knows is stronger.

    Args:
        fixing: The fixing (mm, MPa).
        grid: The grid in which its fasteners stand, if any.
        shear_x: Whether there is shear in x, or torsion.
        shear_y: Whether there is shear in y, or torsion.

    Returns:
        The lever arm l_a with a_3 (mm), or none.
    """
    fixture, fastener = fixing.fixture, fixing.fastener
    if bears_on_concrete(fixing) and _as_strong_as_the_member(fixing):
        if fixture.grout_mm <= fastener.diameter_mm / 2.0:
            return ShearPath(None, grouted=False)
        if _thick_grout_holds(fixing, grid, shear_x, shear_y):
            return ShearPath(None, grouted=True)
    restraint = 0.0 if fixture.washer_clamped else 0.5 * fastener.diameter_mm
    height = fixture.stand_off_mm + fixture.grout_mm + (fixture.thickness_mm or 0.0) / 2.0
    return ShearPath(LeverArm(lever_arm(restraint, height), restraint), grouted=False)


def _as_strong_as_the_member(fixing: Fixing) -> bool:
    """Whether there is no grout, or none that is weaker than the member may be (MPa)."""
    grout, member = fixing.fixture, fixing.member
    if grout.grout_mm == 0.0:
        return True
    return grout.grout_mpa is not None and grout.grout_mpa >= max(member.f_ck_mpa, member.f_ck_most_mpa)


def lever_arm(restraint_mm: float, height_mm: float) -> float:
    """l_a = a_3 + e_1.

    EN 1992-4:2018, 6.2.2.3.

    Args:
        restraint_mm: a_3, depth of the restraint below the surface: 0.5·d, or 0 with a washer clamped to it (mm).
        height_mm: e_1, height of the shear force above the surface (mm).

    Returns:
        l_a (mm).
    """
    return restraint_mm + height_mm


def _thick_grout_holds(fixing: Fixing, grid: Grid | None, shear_x: bool, shear_y: bool) -> bool:
    diameter = fixing.fastener.diameter_mm
    if fixing.fixture.grout_mm > min(GROUT_MAX_MM, 5.0 * diameter):
        return False
    spacings = adjacent_spacings(fixing.positions, grid, range(len(fixing.positions)))
    apart_x, apart_y = (bool(s) and min(s) >= 10.0 * diameter for s in spacings)
    return (apart_x or not shear_x) and (apart_y or not shear_y)


def bending_resistance(section_modulus_mm3: float, tensile_mpa: float) -> float:
    """M0_Rk,s = 1.2·W_el·f_uk where the assessment gives none.

    EN 1992-4:2018, 7.2.2.3.2.

    Args:
        section_modulus_mm3: W_el (mm³).
        tensile_mpa: f_uk (MPa).

    Returns:
        M0_Rk,s (Nmm).
    """
    return 1.2 * section_modulus_mm3 * tensile_mpa


def restraint_factor(rotation_held: bool) -> float:
    """alpha_M: 2 where the fixture cannot rotate, else 1 (no unit). EN 1992-4:2018, 6.2.2.3."""
    return 2.0 if rotation_held else 1.0


def buckling_length(arm: LeverArm, rotation_held: bool) -> float:
    """L_cr of a pressed fastener whose fixture can move sideways: l_a where it cannot rotate, else 2·l_a (mm).

    Euler's cases of a bar held at both ends against rotation and at one end only; common practice, no clause.

    Args:
        arm: The lever arm, which is the free length (mm).
        rotation_held: Whether the fixture is held against rotation.

    Returns:
        L_cr (mm).
    """
    return 2.0 * arm.arm_mm / restraint_factor(rotation_held)


def second_order(pressed_n: float, resistance_n: float, critical_n: float) -> float:
    """k_2 = 1/(1 − N_Ed/N_cr), by which pressure enlarges the bending that leans the fixture aside.

    EN 1993-1-1:2005, 5.2.2 (5), from memory; EN 1992-4 has none. Beyond the resistance to buckling, where the pressure
    alone is too much, it stays as it is there.

    Args:
        pressed_n: N_Ed in compression (N).
        resistance_n: N_b,Rd, below N_cr (N).
        critical_n: N_cr by Euler, of the length that buckles (N).

    Returns:
        k_2 (no unit), at least 1.
    """
    return 1.0 / (1.0 - min(pressed_n, resistance_n) / critical_n)


def characteristic_resistance(
    alpha_m: float, bending_nmm: float, tension_share: float, arm_mm: float, enlarged: float = 1.0
) -> float:
    """V_Rk,s,M = alpha_M·M0_Rk,s·(1 − N_Ed/N_Rd,s)/(k_2·l_a).

    EN 1992-4:2018, 7.2.2.3.2, without k_2.

    Args:
        alpha_m: 1 or 2 (no unit).
        bending_nmm: M0_Rk,s (Nmm).
        tension_share: N_Ed/N_Rd,s (no unit).
        arm_mm: l_a (mm).
        enlarged: k_2 of a fastener that is pressed (no unit).

    Returns:
        V_Rk,s,M (N), 0 where the axial force leaves nothing.
    """
    return alpha_m * bending_nmm * max(0.0, 1.0 - tension_share) / (enlarged * arm_mm)


def _bending_n(fastener: Fastener, trace: Trace) -> float:
    rules = fastener.rules
    if fastener.steel_bending_nmm is not None:
        return trace.add(
            "M0_Rk,s", fastener.steel_bending_nmm, "Nmm", "assessment", CLAUSE, rules.get("steel_bending_nmm")
        )
    modulus = fastener.section_modulus_mm3
    trace.add("W_el", modulus, "mm3", "assessment", CLAUSE, rules.get("section_modulus_mm3"))
    strength = fastener.tensile_strength_mpa
    trace.add("f_uk", strength, "MPa", "assessment", CLAUSE, rules.get("tensile_strength_mpa"))
    return trace.add("M0_Rk,s", bending_resistance(modulus, strength), "Nmm", "1.2·W_el·f_uk", CLAUSE)


def verify(
    fixing: Fixing,
    tension_n: Sequence[float],
    shear_n: Sequence[tuple[float, float]],
    arm: LeverArm,
    want_trace: bool,
) -> Check:
    """Check each fastener in bending with its tension and give the worst.

    EN 1992-4:2018, 7.2.2.3.2. Utilisation is k_2·V·l_a·gamma_Ms/(alpha_M·M0) + N/N_Rd,s, so that it grows with the
    actions. A compression counts by the resistance to buckling in place of N_Rd,s, and enlarges the bending.

    Args:
        fixing: The fixing.
        tension_n: Axial force of each fastener (N).
        shear_n: Shear in x and y of each fastener (N).
        arm: The lever arm with its restraint (mm).
        want_trace: Whether the working is wanted.

    Returns:
        The worst check.
    """
    checks = [
        _check(fixing, i, tension_n[i], math.hypot(*shear_n[i]), arm, want_trace) for i in range(len(shear_n))
    ]
    return max(checks, key=lambda check: check.utilisation)


def _check(fixing: Fixing, index: int, axial_n: float, shear_n: float, arm: LeverArm, want_trace: bool) -> Check:
    trace = new_trace(want_trace)
    alpha = restraint_factor(fixing.fixture.rotation_held)
    axial_design, enlarged = _axial(fixing, axial_n, arm, trace)
    share = abs(axial_n) / axial_design
    bending = _bending_n(fixing.fastener, trace)
    resistance = characteristic_resistance(alpha, bending, share, arm.arm_mm, enlarged)
    if trace.wanted:
        _trace_arm(fixing, arm, trace)
        trace.add("alpha_M", alpha, "-", "2 rotation held, 1 free", CLAUSE_ARM)
        trace.add("N_Ed", abs(axial_n), "N", "axial force of this fastener", "6.2")
        arms, bends = "l_a", "V_Ed·l_a"
        if axial_n < 0.0:
            arms, bends = "(k_2·l_a)", "k_2·V_Ed·l_a"
            trace.add("k_2", enlarged, "-", "1/(1 - min(N_Ed, N_Rd,s)/N_cr)", CLAUSE_SECOND_ORDER)
        trace.add("V_Rk,s,M", resistance, "N", f"alpha_M·M0_Rk,s·max(0, 1 - N_Ed/N_Rd,s)/{arms}", CLAUSE)
    gamma = partial_factors.steel(fixing, "V", trace)
    used = (enlarged * shear_n * arm.arm_mm * gamma / (alpha * bending) + share) / fixing.site_factor
    if trace.wanted:
        trace.add("V_Rd,s,M", resistance / gamma, "N", "V_Rk,s,M/gamma_Ms", CLAUSE)
        trace.add("V_Ed", shear_n, "N", "shear of this fastener", "6.2")
        trace.add("eta_site", fixing.site_factor, "-", "site reduction factor", "company rule")
        trace.add("beta_V", used, "-", f"({bends}·gamma_Ms/(alpha_M·M0_Rk,s) + N_Ed/N_Rd,s)/eta_site", CLAUSE)
    return Check(
        Mode.STEEL_SHEAR_LEVER_ARM,
        (index,),
        None,
        CLAUSE,
        shear_n,
        resistance,
        gamma,
        resistance / gamma,
        used,
        trace.entries(),
    )


def _axial(fixing: Fixing, axial_n: float, arm: LeverArm, trace: Trace) -> tuple[float, float]:
    """N_Rd,s of a fastener that is pulled, N_b,Rd of one that is pressed (N); and its k_2, 1 where it is pulled."""
    if axial_n >= 0.0:
        pulled = steel_tension.characteristic_n(fixing.fastener, trace) / partial_factors.steel(fixing, "N", trace)
        return trace.add("N_Rd,s", pulled, "N", "N_Rk,s/gamma_Ms", steel_tension.CLAUSE), 1.0
    length = buckling_length(arm, fixing.fixture.rotation_held)
    pressed = steel_compression.characteristic_n(fixing.fastener, length, trace)
    pressed /= partial_factors.steel(fixing, "N", trace)
    trace.add("N_Rd,s", pressed, "N", "N_Rk,s/gamma_Ms", steel_compression.CLAUSE)
    critical = steel_compression.critical_n(fixing.fastener.stress_area_mm2, length)
    return pressed, second_order(-axial_n, pressed, critical)


def _trace_arm(fixing: Fixing, arm: LeverArm, trace: Trace) -> None:
    fixture = fixing.fixture
    trace.add("a_3", arm.restraint_mm, "mm", "0 with a washer clamped to the concrete, else 0.5·d", CLAUSE_ARM)
    height = f"{fixture.stand_off_mm:.6g} + {fixture.grout_mm:.6g} + {fixture.thickness_mm or 0.0:.6g}/2"
    trace.add("e_1", arm.arm_mm - arm.restraint_mm, "mm", height, CLAUSE_ARM)
    trace.add("l_a", arm.arm_mm, "mm", "a_3 + e_1", CLAUSE_ARM)
