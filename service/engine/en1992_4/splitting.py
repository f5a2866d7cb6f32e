"""Splitting of the concrete under load (EN 1992-4:2018, 7.2.1.7)."""

from __future__ import annotations

import math
from collections.abc import Sequence

from service.engine.codes import Mode
from service.engine.en1992_4 import bond, partial_factors, pull_out
from service.engine.en1992_4.concrete_cone import (
    characteristic_resistance,
    eccentricity_factor,
    edge_factor,
    reinforcement_stands_apart,
    shell_spalling_factor,
    strength_in_formulas,
    trace_factors,
)
from service.engine.en1992_4.design_check import finish, governing
from service.engine.en1992_4.loaded_group import LoadedGroup, groups_to_check
from service.engine.en1992_4.neighbours import acting_with
from service.engine.model import Cone, Fixing, Member
from service.engine.results import Check
from service.engine.trace import Trace, new_trace

CLAUSE = "7.2.1.7"
THICKNESS_FACTOR_MAX = 2.0
GROUP_EDGE_SHARE = 1.2


def thickness_factor(thickness_mm: float, thickness_min_mm: float, embedment_mm: float, edge_mm: float) -> float:
    """psi_h,sp = (h/h_min)^(2/3), at least 1, at most max(1, ((h_ef + 1.5·c_1)/h_min)^(2/3)) and 2 (no unit).

    EN 1992-4:2018, 7.2.1.7.

    Args:
        thickness_mm: Member thickness h (mm).
        thickness_min_mm: h_min of the assessment (mm).
        embedment_mm: h_ef (mm).
        edge_mm: Smallest edge distance c_1 (mm).

    Returns:
        psi_h,sp (no unit).
    """
    most = max(1.0, ((embedment_mm + 1.5 * edge_mm) / thickness_min_mm) ** (2.0 / 3.0))
    return float(max(1.0, min((thickness_mm / thickness_min_mm) ** (2.0 / 3.0), most, THICKNESS_FACTOR_MAX)))


def may_be_left_out(member: Member, cone: Cone, nearest_edge_mm: float, count: int, thickness_min_mm: float) -> bool:
    """Whether splitting under load needs no verification.

    EN 1992-4:2018, 7.2.1.7: far from edges in a member that is thick enough, or with the resistances of cracked
    concrete and reinforcement that holds cracks to 0.3 mm.

    Args:
        member: The concrete.
        cone: Figures of the assessment, with c_cr,sp (mm).
        nearest_edge_mm: Smallest edge distance of the tensioned fasteners (mm).
        count: Number of fasteners of the fixing, and of neighbours near them.
        thickness_min_mm: h_min (mm).

    Returns:
        True where the check may be left out.
    """
    if member.cracked and member.reinforcement.cracks_held:
        return True
    share = GROUP_EDGE_SHARE if count > 1 else 1.0
    return nearest_edge_mm >= share * cone.splitting_edge_mm and member.thickness_mm >= thickness_min_mm


def verify(
    fixing: Fixing, whole: LoadedGroup, tension_n: Sequence[float], sustained_share: float, want_trace: bool
) -> Check | None:
    """Check splitting of the tensioned fasteners whose areas touch, each group of them apart.

    EN 1992-4:2018, 7.2.1.7. With a neighbour near even one fastener is a group, which has to be farther from edges.

    Args:
        fixing: The fixing.
        whole: All tensioned fasteners.
        tension_n: Tension of each fastener (N).
        sustained_share: alpha_sus, for bonded fasteners (no unit).
        want_trace: Whether the working is wanted.

    Returns:
        The worst check, or None where splitting may be left out.
    """
    cone = fixing.fastener.cone
    near = acting_with(whole.points, fixing.neighbours, cone.splitting_spacing_mm)
    nearest = min(fixing.member.nearest_mm((*whole.points, *near)))
    thickness_min, count = fixing.fastener.member_thickness_min_mm, len(fixing.positions) + len(near)
    if may_be_left_out(fixing.member, cone, nearest, count, thickness_min):
        return None
    groups = groups_to_check(fixing, whole, tension_n, cone.splitting_spacing_mm)
    return governing(groups, lambda group, traced: _check(fixing, cone, group, sustained_share, traced), want_trace)


def _single_resistance(fixing: Fixing, cone: Cone, sustained_share: float, trace: Trace) -> float:
    rules = fixing.fastener.rules
    if cone.splitting_n is not None:
        return trace.add("N0_Rk,sp", cone.splitting_n, "N", "assessment", CLAUSE, rules.get("splitting_n"))
    strength = strength_in_formulas(fixing.member.f_ck_mpa)
    cone_n = characteristic_resistance(cone.cone_factor, strength, fixing.fastener.embedment_mm)
    trace.add("k1", cone.cone_factor, "N^0.5 mm^-0.5", "assessment", CLAUSE, rules.get("cone_factor"))
    trace.add("f_ck", strength, "MPa", "at most 60", "1.2")
    trace.add("h_ef", fixing.fastener.embedment_mm, "mm", "assessment", CLAUSE, rules.get("embedment_mm"))
    trace.add("N0_Rk,c", cone_n, "N", "k1·√f_ck·h_ef^1.5", CLAUSE)
    if fixing.fastener.assessed_bond is not None:
        bond_n = bond.single_resistance(fixing, sustained_share, trace)[0]
        return trace.add("N0_Rk,sp", min(cone_n, bond_n), "N", "min(N0_Rk,c, N0_Rk,p)", CLAUSE)
    pulled_n = pull_out.characteristic_n(fixing, trace)
    if pulled_n is None:
        return trace.add("N0_Rk,sp", cone_n, "N", "N0_Rk,c, pull-out not decisive by assessment", CLAUSE)
    return trace.add("N0_Rk,sp", min(cone_n, pulled_n), "N", "min(N0_Rk,c, N_Rk,p)", CLAUSE)


def _check(fixing: Fixing, cone: Cone, group: LoadedGroup, sustained_share: float, want_trace: bool) -> Check:
    trace = new_trace(want_trace)
    member, fastener = fixing.member, fixing.fastener
    single = _single_resistance(fixing, cone, sustained_share, trace)
    spacing = cone.splitting_spacing_mm
    area = group.area(spacing, fixing, trace)
    edge = min(group.nearest_mm)
    psi_s = edge_factor(edge, cone.splitting_edge_mm)
    psi_re = 1.0 if reinforcement_stands_apart(member.reinforcement) else shell_spalling_factor(fastener.embedment_mm)
    psi_x = eccentricity_factor(group.eccentricity_mm[0], spacing)
    psi_y = eccentricity_factor(group.eccentricity_mm[1], spacing)
    psi_h = thickness_factor(member.thickness_mm, fastener.member_thickness_min_mm, fastener.embedment_mm, edge)
    resistance = single * (area.value_mm2 / spacing**2) * psi_s * psi_re * psi_x * psi_y * psi_h
    if trace.wanted:
        rules = fastener.rules
        trace.add("s_cr,sp", spacing, "mm", "assessment", CLAUSE, rules.get("splitting_spacing_mm"))
        trace.add("c_cr,sp", cone.splitting_edge_mm, "mm", "assessment", CLAUSE, rules.get("splitting_edge_mm"))
        trace.add("A0_c,N", spacing**2, "mm2", "s_cr,sp²", CLAUSE)
        trace.add("A_c,N", area.value_mm2, "mm2", area.expression(), CLAUSE)
        trace_factors(trace, "_cr,sp", edge, psi_s, psi_re, fastener.embedment_mm, group, psi_x, psi_y, CLAUSE)
        _trace_thickness(fixing, edge, psi_h, trace)
        trace.add(
            "N_Rk,sp",
            resistance,
            "N",
            "N0_Rk,sp·(A_c,N/A0_c,N)·psi_s,sp·psi_re,N·psi_ec,x·psi_ec,y·psi_h,sp",
            CLAUSE,
        )
    gamma = partial_factors.concrete_in_tension(fixing, "sp", trace)
    return finish(
        Mode.SPLITTING, CLAUSE, "sp", "N", group.members, group.total_n, resistance, gamma, fixing.site_factor, trace
    )


def _trace_thickness(fixing: Fixing, edge_mm: float, psi_h: float, trace: Trace) -> None:
    fastener = fixing.fastener
    trace.add("h_ef", fastener.embedment_mm, "mm", "assessment", CLAUSE, fastener.rules.get("embedment_mm"))
    trace.add("h", fixing.member.thickness_mm, "mm", "request", CLAUSE)
    trace.add(
        "h_min",
        fastener.member_thickness_min_mm,
        "mm",
        "assessment",
        CLAUSE,
        fastener.rules.get("member_thickness_min_mm"),
    )
    if math.isfinite(edge_mm):
        expression = "max(1, min((h/h_min)^(2/3), max(1, ((h_ef + 1.5·c)/h_min)^(2/3)), 2))"
    else:
        expression = "max(1, min((h/h_min)^(2/3), 2))"
    trace.add("psi_h,sp", psi_h, "-", expression, CLAUSE)
