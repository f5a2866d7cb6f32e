"""Concrete cone failure in tension (EN 1992-4:2018, 7.2.1.4)."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from service.engine.arrangement import Grid, largest_spacing
from service.engine.codes import Mode
from service.engine.en1992_4 import partial_factors
from service.engine.en1992_4.design_check import finish, governing
from service.engine.en1992_4.loaded_group import LoadedGroup, groups_to_check
from service.engine.en1992_4.neighbours import trace_joined
from service.engine.en1992_4.projected_area import Area
from service.engine.model import Cone, Fixing, Reinforcement
from service.engine.results import Check, Contact
from service.engine.trace import Trace, new_trace

CLAUSE = "7.2.1.4"
NARROW_EDGES = 3
STRENGTH_MAX_MPA = 60.0
"""f_ck in the formulas is at most that of C60/75 (MPa), EN 1992-4:2018, 1.2, from memory."""


def strength_in_formulas(f_ck_mpa: float) -> float:
    """f_ck as the formulas take it: at most 60 (MPa). EN 1992-4:2018, 1.2, from memory."""
    return min(f_ck_mpa, STRENGTH_MAX_MPA)


def characteristic_resistance(k1: float, f_ck_mpa: float, embedment_mm: float) -> float:
    """Resistance of one fastener to concrete cone failure, far from edges and neighbours: k1·√f_ck·h_ef^1.5.

    EN 1992-4:2018, 7.2.1.4.

    Args:
        k1: Product factor for cracked or uncracked concrete (N^0.5 mm^-0.5).
        f_ck_mpa: Characteristic cylinder strength (MPa).
        embedment_mm: Effective embedment depth h_ef (mm).

    Returns:
        N0_Rk,c (N).
    """
    return float(k1 * math.sqrt(f_ck_mpa) * embedment_mm**1.5)


def edge_factor(edge_mm: float, characteristic_edge_mm: float) -> float:
    """psi_s,N = 0.7 + 0.3·c/c_cr, at most 1 (no unit).

    EN 1992-4:2018, 7.2.1.4.

    Args:
        edge_mm: Smallest edge distance c (mm).
        characteristic_edge_mm: c_cr (mm).

    Returns:
        psi_s,N (no unit).
    """
    return min(1.0, 0.7 + 0.3 * edge_mm / characteristic_edge_mm)


def shell_spalling_factor(embedment_mm: float) -> float:
    """psi_re,N = 0.5 + h_ef/200, at most 1, where reinforcement stands close (no unit).

    EN 1992-4:2018, 7.2.1.4.

    Args:
        embedment_mm: Effective embedment depth h_ef (mm).

    Returns:
        psi_re,N (no unit).
    """
    return min(1.0, 0.5 + embedment_mm / 200.0)


def reinforcement_stands_apart(reinforcement: Reinforcement) -> bool:
    """Whether bars stand at 150 mm or more, or 10 mm ones at 100 mm or more. EN 1992-4:2018, 7.2.1.4."""
    if reinforcement.spacing_mm is None:
        return False
    thin = reinforcement.diameter_mm is not None and reinforcement.diameter_mm <= 10.0
    return reinforcement.spacing_mm >= 150.0 or (thin and reinforcement.spacing_mm >= 100.0)


def eccentricity_factor(eccentricity_mm: float, characteristic_spacing_mm: float) -> float:
    """psi_ec = 1/(1 + 2·e/s_cr) in one direction (no unit).

    EN 1992-4:2018, 7.2.1.4.

    Args:
        eccentricity_mm: Eccentricity e of the resultant in that direction (mm).
        characteristic_spacing_mm: s_cr (mm).

    Returns:
        psi_ec (no unit).
    """
    return 1.0 / (1.0 + 2.0 * eccentricity_mm / characteristic_spacing_mm)


def compression_factor(lever_mm: float, embedment_mm: float) -> float:
    """psi_M,N = 2 − z/(1.5·h_ef), at least 1 (no unit).

    EN 1992-4:2018, 7.2.1.4.

    Args:
        lever_mm: Lever arm z of the tension and the compression resultant (mm).
        embedment_mm: Effective embedment depth h_ef (mm).

    Returns:
        psi_M,N (no unit).
    """
    return max(1.0, 2.0 - lever_mm / (1.5 * embedment_mm))


def narrow_member_embedment(
    embedment_mm: float,
    edge_max_mm: float,
    characteristic_edge_mm: float,
    spacing_max_mm: float,
    characteristic_spacing_mm: float,
) -> float:
    """h'_ef of a member with three or more near edges: the larger of c_max/c_cr·h_ef and s_max/s_cr·h_ef, at most h_ef.

    EN 1992-4:2018, 7.2.1.4.

    Args:
        embedment_mm: Effective embedment depth h_ef (mm).
        edge_max_mm: Largest edge distance not above c_cr (mm).
        characteristic_edge_mm: c_cr (mm).
        spacing_max_mm: Largest spacing of neighbours, 0 for one fastener (mm).
        characteristic_spacing_mm: s_cr (mm).

    Returns:
        h'_ef (mm).
    """
    share = max(edge_max_mm / characteristic_edge_mm, spacing_max_mm / characteristic_spacing_mm)
    return embedment_mm * min(1.0, share)


@dataclass(frozen=True, slots=True)
class ConeGeometry:
    """Depth, s_cr and c_cr that the cone is calculated with (mm)."""

    embedment_mm: float
    spacing_mm: float
    edge_mm: float
    narrow_by: tuple[float, float] | None
    """c_max and s_max of a narrow member (mm)."""

    @property
    def prime(self) -> str:
        """Mark of the reduced distances in the working."""
        return "" if self.narrow_by is None else "'"


def is_narrow(cone: Cone, nearest_mm: Sequence[float]) -> bool:
    """Whether three or more edges are nearer than c_cr,N.

    EN 1992-4:2018, 7.2.1.4.

    Args:
        cone: Figures of the assessment.
        nearest_mm: Distance of the group to each edge (mm).

    Returns:
        True for a narrow member.
    """
    return sum(c < cone.cone_edge_mm for c in nearest_mm) >= NARROW_EDGES


def cone_geometry(cone: Cone, embedment_mm: float, nearest_mm: Sequence[float], spacing_max_mm: float) -> ConeGeometry:
    """Depth and characteristic distances, reduced in a narrow member.

    EN 1992-4:2018, 7.2.1.4.

    Args:
        cone: Figures of the assessment.
        embedment_mm: h_ef (mm).
        nearest_mm: Distance of the group to each edge (mm).
        spacing_max_mm: Largest spacing of neighbours in the group (mm).

    Returns:
        The geometry (mm).
    """
    if not is_narrow(cone, nearest_mm):
        return ConeGeometry(embedment_mm, cone.cone_spacing_mm, cone.cone_edge_mm, None)
    edge_max = max(c for c in nearest_mm if c <= cone.cone_edge_mm)
    reduced = narrow_member_embedment(embedment_mm, edge_max, cone.cone_edge_mm, spacing_max_mm, cone.cone_spacing_mm)
    share = reduced / embedment_mm
    return ConeGeometry(reduced, cone.cone_spacing_mm * share, cone.cone_edge_mm * share, (edge_max, spacing_max_mm))


def geometry_of(fixing: Fixing, grid: Grid | None, members: Sequence[int], nearest: Sequence[float]) -> ConeGeometry:
    """Depth and characteristic distances of some fasteners and their nearest edges (mm). EN 1992-4:2018, 7.2.1.4."""
    cone, depth = fixing.fastener.cone, fixing.fastener.embedment_mm
    if not is_narrow(cone, nearest):
        return cone_geometry(cone, depth, nearest, 0.0)
    spacing_max = max(largest_spacing(fixing.positions, grid, members, axis) for axis in (0, 1))
    return cone_geometry(cone, depth, nearest, spacing_max)


def group_resistance(
    fixing: Fixing,
    grid: Grid | None,
    group: LoadedGroup,
    trace: Trace,
    lever_mm: float | None = None,
    own_area: Area | None = None,
) -> float:
    """N_Rk,c = N0·(A_c,N/A0_c,N)·psi_s·psi_re·psi_ec,x·psi_ec,y·psi_M of one group of fasteners.

    EN 1992-4:2018, 7.2.1.4.

    Args:
        fixing: The fixing with the figures of the assessment.
        grid: The grid in which all fasteners stand, if any.
        group: The fasteners that act together (mm, N).
        trace: Where the working goes.
        lever_mm: z where psi_M counts (mm); None leaves it at 1.
        own_area: A single fastener's own share, in place of A_c,N (mm²).

    Returns:
        N_Rk,c (N).
    """
    fastener, member = fixing.fastener, fixing.member
    cone = fastener.cone
    geometry = geometry_of(fixing, grid, group.members, group.nearest_mm)
    single = _trace_single(fixing, cone, geometry, trace)
    area = own_area or group.area(geometry.spacing_mm, fixing, trace)
    edge = min(group.nearest_mm)
    psi_s = edge_factor(edge, geometry.edge_mm)
    psi_re = 1.0 if reinforcement_stands_apart(member.reinforcement) else shell_spalling_factor(geometry.embedment_mm)
    psi_x = eccentricity_factor(group.eccentricity_mm[0], geometry.spacing_mm)
    psi_y = eccentricity_factor(group.eccentricity_mm[1], geometry.spacing_mm)
    psi_m = 1.0 if lever_mm is None else compression_factor(lever_mm, fastener.embedment_mm)
    reference = geometry.spacing_mm**2
    resistance = single * (area.value_mm2 / reference) * psi_s * psi_re * psi_x * psi_y * psi_m
    if trace.wanted:
        trace.add("A0_c,N", reference, "mm2", f"s{geometry.prime}_cr,N²", CLAUSE)
        trace.add("A_c,N", area.value_mm2, "mm2", area.expression(), CLAUSE)
        trace_factors(
            trace, f"{geometry.prime}_cr,N", edge, psi_s, psi_re, geometry.embedment_mm, group, psi_x, psi_y, CLAUSE
        )
        if lever_mm is not None:
            trace.add("z", lever_mm, "mm", "distance of the tension and the compression resultant", CLAUSE)
        trace.add("psi_M,N", psi_m, "-", "1" if lever_mm is None else "max(1, 2 - z/(1.5·h_ef))", CLAUSE)
        trace.add(
            "N_Rk,c",
            resistance,
            "N",
            "N0_Rk,c·(A_c,N/A0_c,N)·psi_s,N·psi_re,N·psi_ec,x·psi_ec,y·psi_M,N",
            CLAUSE,
        )
    return resistance


def _trace_single(fixing: Fixing, cone: Cone, geometry: ConeGeometry, trace: Trace) -> float:
    rules = fixing.fastener.rules
    strength = strength_in_formulas(fixing.member.f_ck_mpa)
    single = characteristic_resistance(cone.cone_factor, strength, geometry.embedment_mm)
    if trace.wanted:
        prime = geometry.prime
        trace.add("k1", cone.cone_factor, "N^0.5 mm^-0.5", "assessment", CLAUSE, rules.get("cone_factor"))
        trace.add("f_ck", strength, "MPa", "at most 60", "1.2")
        trace.add("h_ef", fixing.fastener.embedment_mm, "mm", "assessment", CLAUSE, rules.get("embedment_mm"))
        trace.add("s_cr,N", cone.cone_spacing_mm, "mm", "assessment", CLAUSE, rules.get("cone_spacing_mm"))
        trace.add("c_cr,N", cone.cone_edge_mm, "mm", "assessment", CLAUSE, rules.get("cone_edge_mm"))
        if geometry.narrow_by is not None:
            trace.add("c_max", geometry.narrow_by[0], "mm", "largest edge distance not above c_cr,N", CLAUSE)
            trace.add("s_max", geometry.narrow_by[1], "mm", "largest spacing of neighbours", CLAUSE)
            depth = "h_ef·min(1, max(c_max/c_cr,N, s_max/s_cr,N))"
            trace.add("h'_ef", geometry.embedment_mm, "mm", depth, CLAUSE)
            trace.add("s'_cr,N", geometry.spacing_mm, "mm", "s_cr,N·h'_ef/h_ef", CLAUSE)
            trace.add("c'_cr,N", geometry.edge_mm, "mm", "c_cr,N·h'_ef/h_ef", CLAUSE)
        trace.add("N0_Rk,c", single, "N", f"k1·√f_ck·h{prime}_ef^1.5", CLAUSE)
    return single


def trace_factors(
    trace: Trace,
    characteristic: str,
    edge_mm: float,
    psi_s: float,
    psi_re: float,
    embedment_mm: float,
    group: LoadedGroup,
    psi_x: float,
    psi_y: float,
    clause: str,
) -> None:
    """Note the factors that cone, bond and splitting share (no unit; edge distance, depth and eccentricity in mm).

    EN 1992-4:2018, 7.2.1.4.
    """
    trace_joined(group.joined is not None, trace, clause)
    near = math.isfinite(edge_mm)
    if near:
        trace.add("c", edge_mm, "mm", "smallest edge distance of these fasteners", clause)
    trace.add(
        f"psi_s,{characteristic.rpartition(',')[2]}",
        psi_s,
        "-",
        f"min(1, 0.7 + 0.3·c/c{characteristic})" if near else "1, no edge in reach",
        clause,
    )
    dense = psi_re < 1.0
    depth = f"{embedment_mm:.6g}"
    trace.add(
        "psi_re,N",
        psi_re,
        "-",
        f"min(1, 0.5 + {depth}/200)" if dense else "1",
        clause,
    )
    trace.add("e_N,x", group.eccentricity_mm[0], "mm", "resultant against the centre of gravity in x", clause)
    trace.add("e_N,y", group.eccentricity_mm[1], "mm", "resultant against the centre of gravity in y", clause)
    trace.add("psi_ec,x", psi_x, "-", f"1/(1 + 2·e_N,x/s{characteristic})", clause)
    trace.add("psi_ec,y", psi_y, "-", f"1/(1 + 2·e_N,y/s{characteristic})", clause)


def lever_of_moment(fixing: Fixing, group: LoadedGroup, contact: Contact | None) -> float | None:
    """Z where psi_M counts: no fastener of the fixture near an edge, no little compression, no long lever.

    EN 1992-4:2018, 7.2.1.4; that compressed fasteners count for the edge is from memory.

    Args:
        fixing: The fixing with all its fasteners (mm).
        group: All tensioned fasteners (mm, N).
        contact: The pressure under the fixture, if any (N, mm).

    Returns:
        z (mm), or None where psi_M is 1.
    """
    if contact is None or contact.compression_n < 0.8 * group.total_n:
        return None
    embedment_mm = fixing.fastener.embedment_mm
    if min(fixing.member.nearest_mm(fixing.positions)) < 1.5 * embedment_mm:
        return None
    lever = math.dist(group.resultant_at, contact.centre)
    return lever if lever < 1.5 * embedment_mm else None


def verify(
    fixing: Fixing,
    grid: Grid | None,
    whole: LoadedGroup,
    tension_n: Sequence[float],
    contact: Contact | None,
    want_trace: bool,
) -> Check:
    """Check the tensioned fasteners whose cones touch, each group of them apart.

    EN 1992-4:2018, 7.2.1.4. A group verified apart, a part of one, or one with neighbours,
    takes no credit for pressure under the fixture.

    Args:
        fixing: The fixing.
        grid: The grid in which all fasteners stand, if any.
        whole: All tensioned fasteners.
        tension_n: Tension of each fastener (N).
        contact: The pressure under the fixture, if any (N, mm).
        want_trace: Whether the working is wanted.

    Returns:
        The worst check.
    """
    groups = groups_to_check(fixing, whole, tension_n, fixing.fastener.cone.cone_spacing_mm)
    lever = lever_of_moment(fixing, whole, contact)

    def check(group: LoadedGroup, traced: bool) -> Check:
        return _check(fixing, grid, group, lever if group is whole else None, traced)

    return governing(groups, check, want_trace)


def _check(fixing: Fixing, grid: Grid | None, group: LoadedGroup, lever_mm: float | None, want_trace: bool) -> Check:
    trace = new_trace(want_trace)
    resistance = group_resistance(fixing, grid, group, trace, lever_mm)
    gamma = partial_factors.concrete_in_tension(fixing, "c", trace)
    return finish(
        Mode.CONCRETE_CONE, CLAUSE, "c", "N", group.members, group.total_n, resistance, gamma, fixing.site_factor, trace
    )
