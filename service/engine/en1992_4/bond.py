"""Combined pull-out and concrete failure of bonded fasteners (EN 1992-4:2018, 7.2.1.6)."""

from __future__ import annotations

import math
from collections.abc import Sequence

from service.engine.arrangement import Grid, adjacent_spacings
from service.engine.codes import Mode
from service.engine.en1992_4 import partial_factors
from service.engine.en1992_4.concrete_cone import (
    eccentricity_factor,
    edge_factor,
    reinforcement_stands_apart,
    shell_spalling_factor,
    strength_in_formulas,
    trace_factors,
)
from service.engine.en1992_4.design_check import finish, governing
from service.engine.en1992_4.loaded_group import LoadedGroup, groups_to_check
from service.engine.en1992_4.projected_area import Area
from service.engine.model import Fixing
from service.engine.results import Check
from service.engine.trace import Trace, new_trace

CLAUSE = "7.2.1.6"
SUSTAINED_DEFAULT = 0.6
"""psi0_sus where the assessment gives none, EN 1992-4:2018, 7.2.1.6."""

K3_CRACKED = 7.7
K3_UNCRACKED = 11.0


def sustained_factor(sustained_share: float, assessed_factor: float | None) -> float:
    """psi_sus: 1 up to psi0_sus of sustained action, else psi0_sus + 1 − alpha_sus (no unit).

    EN 1992-4:2018, 7.2.1.6.

    Args:
        sustained_share: alpha_sus, sustained share of the action (no unit).
        assessed_factor: psi0_sus of the assessment, or None (no unit).

    Returns:
        psi_sus (no unit).
    """
    limit = SUSTAINED_DEFAULT if assessed_factor is None else assessed_factor
    return 1.0 if sustained_share <= limit else limit + 1.0 - sustained_share


def characteristic_resistance(psi_sus: float, tau_mpa: float, diameter_mm: float, embedment_mm: float) -> float:
    """N0_Rk,p = psi_sus·tau_Rk·π·d·h_ef.

    EN 1992-4:2018, 7.2.1.6.

    Args:
        psi_sus: Factor of sustained action (no unit).
        tau_mpa: tau_Rk in this member (MPa).
        diameter_mm: d (mm).
        embedment_mm: h_ef (mm).

    Returns:
        N0_Rk,p (N).
    """
    return psi_sus * tau_mpa * math.pi * diameter_mm * embedment_mm


def characteristic_spacing(diameter_mm: float, psi_sus: float, tau_uncracked_mpa: float, embedment_mm: float) -> float:
    """s_cr,Np = 7.3·d·√(psi_sus·tau_Rk), at most 3·h_ef, with tau_Rk of uncracked C20/25.

    EN 1992-4:2018, 7.2.1.6.

    Args:
        diameter_mm: d (mm).
        psi_sus: Factor of sustained action (no unit).
        tau_uncracked_mpa: tau_Rk in uncracked C20/25 (MPa).
        embedment_mm: h_ef (mm).

    Returns:
        s_cr,Np (mm).
    """
    return min(7.3 * diameter_mm * math.sqrt(psi_sus * tau_uncracked_mpa), 3.0 * embedment_mm)


def cone_bond_strength(k3: float, diameter_mm: float, embedment_mm: float, f_ck_mpa: float) -> float:
    """tau_Rk,c = k3/(π·d)·√(h_ef·f_ck): the bond at which the cone governs.

    EN 1992-4:2018, 7.2.1.6.

    Args:
        k3: 7.7 in cracked, 11.0 in uncracked concrete (no unit).
        diameter_mm: d (mm).
        embedment_mm: h_ef (mm).
        f_ck_mpa: Characteristic cylinder strength (MPa).

    Returns:
        tau_Rk,c (MPa).
    """
    return k3 / (math.pi * diameter_mm) * math.sqrt(embedment_mm * f_ck_mpa)


def group_factor_at_zero(count: int, tau_mpa: float, cone_tau_mpa: float) -> float:
    """psi0_g,Np = √n − (√n − 1)·(tau_Rk/tau_Rk,c)^1.5, at least 1 (no unit).

    EN 1992-4:2018, 7.2.1.6.

    Args:
        count: Number n of tensioned fasteners.
        tau_mpa: tau_Rk (MPa).
        cone_tau_mpa: tau_Rk,c (MPa).

    Returns:
        psi0_g,Np (no unit).
    """
    root = math.sqrt(count)
    return max(1.0, root - (root - 1.0) * float((tau_mpa / cone_tau_mpa) ** 1.5))


def group_factor(at_zero: float, spacing_mm: float, characteristic_spacing_mm: float) -> float:
    """psi_g,Np = psi0_g − √(s/s_cr,Np)·(psi0_g − 1), at least 1 (no unit).

    EN 1992-4:2018, 7.2.1.6.

    Args:
        at_zero: psi0_g,Np (no unit).
        spacing_mm: Mean spacing s (mm).
        characteristic_spacing_mm: s_cr,Np (mm).

    Returns:
        psi_g,Np (no unit).
    """
    return max(1.0, at_zero - math.sqrt(spacing_mm / characteristic_spacing_mm) * (at_zero - 1.0))


def mean_spacing(fixing: Fixing, grid: Grid | None, group: LoadedGroup) -> float:
    """Mean spacing s of a group (mm), the larger one where columns and rows differ: the safe reading (from memory).

    EN 1992-4:2018, 7.2.1.6.

    Args:
        fixing: The fixing.
        grid: The grid in which all fasteners stand, if any.
        group: The tensioned fasteners.

    Returns:
        s (mm), 0 for a single fastener.
    """
    if len(group.members) == 1:
        return 0.0
    if grid is None or not grid.drawn:
        points = [fixing.positions[i] for i in group.members]
        return max(min(math.dist(point, other) for other in points if other is not point) for point in points)
    spacings = adjacent_spacings(fixing.positions, grid, group.members)
    return max(sum(s) / len(s) for s in spacings if s)


def spacing_of(fixing: Fixing, sustained_share: float) -> float:
    """s_cr,Np of the fixing's fasteners (mm). EN 1992-4:2018, 7.2.1.6.

    Args:
        fixing: The fixing.
        sustained_share: alpha_sus (no unit).

    Returns:
        s_cr,Np (mm).
    """
    bond = fixing.fastener.bond
    psi_sus = sustained_factor(sustained_share, bond.sustained_factor)
    return characteristic_spacing(
        fixing.fastener.diameter_mm, psi_sus, bond.uncracked_reference_mpa, fixing.fastener.embedment_mm
    )


def single_resistance(fixing: Fixing, sustained_share: float, trace: Trace) -> tuple[float, float, float]:
    """N0_Rk,p of one fastener (N), with s_cr,Np (mm) and tau_Rk (MPa). EN 1992-4:2018, 7.2.1.6."""
    fastener, bond, rules = fixing.fastener, fixing.fastener.bond, fixing.fastener.rules
    psi_sus = sustained_factor(sustained_share, bond.sustained_factor)
    tau = bond.characteristic_mpa * bond.strength_factor
    spacing = spacing_of(fixing, sustained_share)
    single = characteristic_resistance(psi_sus, tau, fastener.diameter_mm, fastener.embedment_mm)
    if trace.wanted:
        limit = SUSTAINED_DEFAULT if bond.sustained_factor is None else bond.sustained_factor
        words = "request, or the largest ratio of sustained to total force of a fastener"
        trace.add("alpha_sus", sustained_share, "-", words, CLAUSE)
        trace.add("psi0_sus", limit, "-", "assessment, 0.6 if not given", CLAUSE, rules.get("sustained_factor"))
        expression = "1, alpha_sus ≤ psi0_sus" if sustained_share <= limit else "psi0_sus + 1 - alpha_sus"
        trace.add("psi_sus", psi_sus, "-", expression, CLAUSE)
        trace.add("tau_Rk,C20/25", bond.characteristic_mpa, "MPa", "assessment", CLAUSE, rules.get("bond_mpa"))
        trace.add("psi_c", bond.strength_factor, "-", "assessment", CLAUSE, rules.get("bond_strength_factor"))
        trace.add("tau_Rk", tau, "MPa", "tau_Rk,C20/25·psi_c", CLAUSE)
        trace.add("d", fastener.diameter_mm, "mm", "assessment", CLAUSE, rules.get("diameter_mm"))
        trace.add("h_ef", fastener.embedment_mm, "mm", "assessment", CLAUSE, rules.get("embedment_mm"))
        trace.add("N0_Rk,p", single, "N", "psi_sus·tau_Rk·π·d·h_ef", CLAUSE)
        trace.add(
            "tau_Rk,ucr,C20/25",
            bond.uncracked_reference_mpa,
            "MPa",
            "assessment",
            CLAUSE,
            rules.get("bond_uncracked_mpa"),
        )
        trace.add("s_cr,Np", spacing, "mm", "min(7.3·d·√(psi_sus·tau_Rk,ucr,C20/25), 3·h_ef)", CLAUSE)
        trace.add("c_cr,Np", spacing / 2.0, "mm", "s_cr,Np/2", CLAUSE)
    return single, spacing, tau


def group_resistance(
    fixing: Fixing,
    grid: Grid | None,
    group: LoadedGroup,
    sustained_share: float,
    trace: Trace,
    own_area: Area | None = None,
) -> float:
    """N_Rk,p = N0·(A_p,N/A0_p,N)·psi_g·psi_s·psi_re·psi_ec,x·psi_ec,y of one group of bonded fasteners.

    EN 1992-4:2018, 7.2.1.6.

    Args:
        fixing: The fixing with the figures of the assessment.
        grid: The grid in which all fasteners stand, if any.
        group: The fasteners that act together (mm, N).
        sustained_share: alpha_sus (no unit).
        trace: Where the working goes.
        own_area: A single fastener's own share, in place of A_p,N (mm²).

    Returns:
        N_Rk,p (N).
    """
    fastener, member = fixing.fastener, fixing.member
    single, spacing, tau = single_resistance(fixing, sustained_share, trace)
    area = own_area or group.area(spacing, fixing, trace)
    edge = min(group.nearest_mm)
    psi_g = _group_factor(fixing, grid, group, tau, spacing, trace)
    psi_s = edge_factor(edge, spacing / 2.0)
    psi_re = 1.0 if reinforcement_stands_apart(member.reinforcement) else shell_spalling_factor(fastener.embedment_mm)
    psi_x = eccentricity_factor(group.eccentricity_mm[0], spacing)
    psi_y = eccentricity_factor(group.eccentricity_mm[1], spacing)
    resistance = single * (area.value_mm2 / spacing**2) * psi_g * psi_s * psi_re * psi_x * psi_y
    if trace.wanted:
        trace.add("A0_p,N", spacing**2, "mm2", "s_cr,Np²", CLAUSE)
        trace.add("A_p,N", area.value_mm2, "mm2", area.expression(), CLAUSE)
        trace_factors(trace, "_cr,Np", edge, psi_s, psi_re, fastener.embedment_mm, group, psi_x, psi_y, CLAUSE)
        trace.add(
            "N_Rk,p",
            resistance,
            "N",
            "N0_Rk,p·(A_p,N/A0_p,N)·psi_g,Np·psi_s,Np·psi_re,N·psi_ec,x·psi_ec,y",
            CLAUSE,
        )
    return resistance


def _group_factor(
    fixing: Fixing, grid: Grid | None, group: LoadedGroup, tau_mpa: float, spacing_mm: float, trace: Trace
) -> float:
    count = len(group.members)
    if count == 1:
        return trace.add("psi_g,Np", 1.0, "-", "1, one fastener", CLAUSE)
    fastener, member = fixing.fastener, fixing.member
    k3 = K3_CRACKED if member.cracked else K3_UNCRACKED
    strength = strength_in_formulas(member.f_ck_mpa)
    cone_tau = cone_bond_strength(k3, fastener.diameter_mm, fastener.embedment_mm, strength)
    at_zero = group_factor_at_zero(count, tau_mpa, cone_tau)
    mean = mean_spacing(fixing, grid, group)
    factor = group_factor(at_zero, mean, spacing_mm)
    if trace.wanted:
        trace.add("k3", k3, "-", "7.7 cracked, 11.0 uncracked", CLAUSE)
        trace.add("f_ck", strength, "MPa", "at most 60", "1.2")
        trace.add("tau_Rk,c", cone_tau, "MPa", "k3/(π·d)·√(h_ef·f_ck)", CLAUSE)
        trace.add("n", count, "-", "tensioned fasteners of this group", CLAUSE)
        trace.add("psi0_g,Np", at_zero, "-", "max(1, √n - (√n - 1)·(tau_Rk/tau_Rk,c)^1.5)", CLAUSE)
        trace.add("s", mean, "mm", "mean spacing, the larger of columns and rows", CLAUSE)
        trace.add("psi_g,Np", factor, "-", "max(1, psi0_g,Np - √(s/s_cr,Np)·(psi0_g,Np - 1))", CLAUSE)
    return factor


def verify(
    fixing: Fixing,
    grid: Grid | None,
    whole: LoadedGroup,
    tension_n: Sequence[float],
    sustained_share: float,
    want_trace: bool,
) -> Check:
    """Check the tensioned fasteners whose areas touch, each group of them apart.

    EN 1992-4:2018, 7.2.1.6.

    Args:
        fixing: The fixing.
        grid: The grid in which all fasteners stand, if any.
        whole: All tensioned fasteners.
        tension_n: Tension of each fastener (N).
        sustained_share: alpha_sus (no unit).
        want_trace: Whether the working is wanted.

    Returns:
        The worst check.
    """
    groups = groups_to_check(fixing, whole, tension_n, spacing_of(fixing, sustained_share))
    return governing(groups, lambda group, traced: _check(fixing, grid, group, sustained_share, traced), want_trace)


def _check(fixing: Fixing, grid: Grid | None, group: LoadedGroup, sustained_share: float, want_trace: bool) -> Check:
    trace = new_trace(want_trace)
    resistance = group_resistance(fixing, grid, group, sustained_share, trace)
    gamma = partial_factors.concrete_in_tension(fixing, "p", trace)
    return finish(
        Mode.BOND, CLAUSE, "p", "N", group.members, group.total_n, resistance, gamma, fixing.site_factor, trace
    )
