"""Concrete blow-out of headed fasteners near an edge (EN 1992-4:2018, 7.2.1.8)."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from service.engine.arrangement import Grid, adjacent_spacings, nearest_in_line, runs_of_row
from service.engine.codes import Mode
from service.engine.en1992_4 import partial_factors
from service.engine.en1992_4.concrete_cone import strength_in_formulas
from service.engine.en1992_4.design_check import finish, governing, worst
from service.engine.en1992_4.loaded_group import LoadedGroup, groups_to_check, tensioned
from service.engine.en1992_4.neighbours import takings, touches, trace_joined, width_at_edge
from service.engine.en1992_4.projected_area import member_bounds
from service.engine.en1992_4.pull_out import trace_head_area
from service.engine.model import EDGE_NAMES, Fixing, Member, Neighbour, Point
from service.engine.results import Check
from service.engine.trace import Trace, new_trace

CLAUSE = "7.2.1.8"
K5_CRACKED = 8.7
K5_UNCRACKED = 12.2
EDGE_SHARE = 0.5


def characteristic_resistance(k5: float, edge_mm: float, head_area_mm2: float, f_ck_mpa: float) -> float:
    """N0_Rk,cb = k5·c_1·√A_h·√f_ck.

    EN 1992-4:2018, 7.2.1.8.

    Args:
        k5: 8.7 in cracked, 12.2 in uncracked concrete (N^0.5 mm^-1).
        edge_mm: c_1 (mm).
        head_area_mm2: A_h (mm²).
        f_ck_mpa: Characteristic cylinder strength (MPa).

    Returns:
        N0_Rk,cb (N).
    """
    return k5 * edge_mm * math.sqrt(head_area_mm2) * math.sqrt(f_ck_mpa)


def corner_factor(side_edge_mm: float, edge_mm: float) -> float:
    """psi_s,Nb = 0.7 + 0.3·c_2/(2·c_1), at most 1 (no unit).

    EN 1992-4:2018, 7.2.1.8.

    Args:
        side_edge_mm: c_2 (mm).
        edge_mm: c_1 (mm).

    Returns:
        psi_s,Nb (no unit).
    """
    return min(1.0, 0.7 + 0.3 * side_edge_mm / (2.0 * edge_mm))


def group_factor(count: int, spacing_mm: float, edge_mm: float) -> float:
    """psi_g,Nb = √n + (1 − √n)·s_2/(4·c_1), at least 1 (no unit).

    EN 1992-4:2018, 7.2.1.8.

    Args:
        count: Number n of tensioned fasteners along the edge.
        spacing_mm: s_2 along the edge (mm).
        edge_mm: c_1 (mm).

    Returns:
        psi_g,Nb (no unit).
    """
    root = math.sqrt(count)
    return max(1.0, root + (1.0 - root) * spacing_mm / (4.0 * edge_mm))


def eccentricity_factor(eccentricity_mm: float, edge_mm: float) -> float:
    """psi_ec,Nb = 1/(1 + 2·e_N/(4·c_1)) (no unit).

    EN 1992-4:2018, 7.2.1.8.

    Args:
        eccentricity_mm: e_N along the edge (mm).
        edge_mm: c_1 (mm).

    Returns:
        psi_ec,Nb (no unit).
    """
    return 1.0 / (1.0 + 2.0 * eccentricity_mm / (4.0 * edge_mm))


def side_area(
    points: Sequence[Point],
    edge: int,
    edge_mm: float,
    member: Member,
    embedment_mm: float,
    neighbours: Sequence[Neighbour] = (),
) -> tuple[float, float]:
    """A_c,Nb on the side face: squares of side 4·c_1 about the heads, cut by corners, neighbours and the underside.

    EN 1992-4:2018, 7.2.1.8.

    Args:
        points: Tensioned fasteners along the edge (mm).
        edge: Index into ``EDGE_NAMES``.
        edge_mm: c_1 (mm).
        member: The concrete.
        embedment_mm: h_ef (mm).
        neighbours: What stands near this edge and does not act with these fasteners.

    Returns:
        Width and height whose product is the area (mm, mm).
    """
    reach = 2.0 * edge_mm
    width = width_at_edge(points, 1 if edge < 2 else 0, reach, member_bounds(member), neighbours, reach)
    above = min(reach, embedment_mm)
    below = min(reach, member.thickness_mm - embedment_mm)
    return width, above + below


def verify(fixing: Fixing, grid: Grid | None, tension_n: Sequence[float], want_trace: bool) -> list[Check]:
    """Check each edge whose nearest row of tensioned fasteners stands within half the embedment.

    EN 1992-4:2018, 7.2.1.8. Where the standard does not draw the arrangement, company rule of the method, no source:
    the tensioned row that was intended at its least c_1, without rows all that stand so near as one; and the tensioned
    fastener nearest the edge with those in line with it. The worse governs.

    Args:
        fixing: The fixing.
        grid: The grid in which the fasteners stand, drawn or intended, if any.
        tension_n: Tension of each fastener (N).
        want_trace: Whether the working is wanted.

    Returns:
        One check an edge; none for fasteners without a head.
    """
    checks: list[Check] = []
    if not fixing.fastener.headed:
        return checks
    reach = EDGE_SHARE * fixing.fastener.embedment_mm
    for edge in range(4):
        rows = [tensioned(fixing, tension_n, row) for row in _tensioned_rows(fixing, grid, edge, tension_n, reach)]
        found = [
            _edge_check(fixing, grid, tension_n, row, edge, want_trace)
            for row in rows
            if row is not None and row.nearest_mm[edge] <= reach
        ]
        if found:
            checks.append(worst(found))
    return checks


def _tensioned_rows(
    fixing: Fixing, grid: Grid | None, edge: int, tension_n: Sequence[float], reach_mm: float
) -> list[tuple[int, ...]]:
    if grid is not None and grid.drawn:
        return [_nearest_tensioned_row(grid, edge, tension_n)]
    pulled = [i for i, force in enumerate(tension_n) if force > 0.0]
    if not pulled:
        return []
    distances = fixing.member.distances_mm(fixing.positions, edge)
    if grid is None:
        together = tuple(i for i in pulled if distances[i] <= reach_mm)
    else:
        together = _nearest_tensioned_row(grid, edge, tension_n)
    return [together, nearest_in_line(fixing.positions, pulled, distances)]


def _nearest_tensioned_row(grid: Grid, edge: int, tension_n: Sequence[float]) -> tuple[int, ...]:
    bands = grid.columns if edge < 2 else grid.rows
    ordered = bands if edge % 2 == 0 else tuple(reversed(bands))
    return next((band for band in ordered if any(tension_n[i] > 0.0 for i in band)), ())


def _edge_check(
    fixing: Fixing, grid: Grid | None, tension_n: Sequence[float], row: LoadedGroup, edge: int, want_trace: bool
) -> Check:
    edge_mm = row.nearest_mm[edge]
    of_row = [force if i in row.members else 0.0 for i, force in enumerate(tension_n)]
    near = _near_edge(fixing, row, edge)
    groups = groups_to_check(fixing, row, of_row, 4.0 * edge_mm, near)
    if near:
        groups.extend(_runs(fixing, row, of_row, near, edge))
    along = 1 if edge < 2 else 0
    cases = [(group, cutting) for group in groups for cutting in takings(group.points, group.beside(near), along)]
    return governing(cases, lambda case, traced: _check(fixing, grid, *case, edge, traced), want_trace)


def _runs(
    fixing: Fixing, row: LoadedGroup, of_row: Sequence[float], near: Sequence[Neighbour], edge: int
) -> Iterator[LoadedGroup]:
    """Parts of a row from which a neighbour takes, each of which carries its own on the width that is left."""
    along, reach = 1 if edge < 2 else 0, 4.0 * row.nearest_mm[edge]
    for run in runs_of_row(fixing.positions, row.members, along, reach):
        part = tensioned(fixing, of_row, run)
        counted = [] if part is None else [each for each in near if touches(each.point, part.points, reach)]
        if part is not None and any(takings(part.points, counted, along)):
            yield part


def _near_edge(fixing: Fixing, row: LoadedGroup, edge: int) -> list[Neighbour]:
    """Neighbours that may have heads near the edge too, not farther from a row than its heads reach along it."""
    depth, reach = fixing.fastener.embedment_mm, 4.0 * row.nearest_mm[edge]
    return [
        neighbour
        for neighbour in fixing.neighbours
        if fixing.member.nearest_mm((neighbour.point,))[edge] <= EDGE_SHARE * depth * neighbour.depth_ratio
        and touches(neighbour.point, row.points, reach)
    ]


def _check(
    fixing: Fixing, grid: Grid | None, group: LoadedGroup, cutting: Sequence[Neighbour], edge: int, want_trace: bool
) -> Check:
    trace = new_trace(want_trace)
    member = fixing.member
    nearest = group.nearest_mm
    c1 = nearest[edge]
    c2 = min(nearest[2:] if edge < 2 else nearest[:2])
    k5 = K5_CRACKED if member.cracked else K5_UNCRACKED
    head = trace_head_area(fixing, CLAUSE, trace)
    strength = strength_in_formulas(member.f_ck_mpa)
    single = characteristic_resistance(k5, c1, head, strength)
    along = 1 if edge < 2 else 0
    width, height = side_area(group.points, edge, c1, member, fixing.fastener.embedment_mm, cutting)
    spacings = adjacent_spacings(fixing.positions, grid, group.members)[along]
    spacing = sum(spacings) / len(spacings) if spacings else 0.0
    if grid is None or not grid.drawn:
        spacing = max(spacings, default=0.0)
    psi_s = corner_factor(c2, c1)
    # Without rows nothing says that fasteners stand beside each other, which is what psi_g,Nb is for.
    psi_g = 1.0 if grid is None else group_factor(len(group.members), spacing, c1)
    psi_ec = eccentricity_factor(group.eccentricity_mm[along], c1)
    resistance = single * (width * height / (16.0 * c1**2)) * psi_s * psi_g * psi_ec
    if trace.wanted:
        trace_joined(group.joined is not None, trace, CLAUSE)
        _trace(trace, k5, c1, c2, strength, single, width, height, len(group.members), spacing)
        trace.add("psi_s,Nb", psi_s, "-", "min(1, 0.7 + 0.3·c_2/(2·c_1))" if math.isfinite(c2) else "1", CLAUSE)
        beside = "1 without rows" if grid is None else "max(1, √n + (1 - √n)·s_2/(4·c_1))"
        trace.add("psi_g,Nb", psi_g, "-", beside, CLAUSE)
        trace.add("e_N", group.eccentricity_mm[along], "mm", "along the edge", CLAUSE)
        trace.add("psi_ec,Nb", psi_ec, "-", "1/(1 + 2·e_N/(4·c_1))", CLAUSE)
        trace.add("N_Rk,cb", resistance, "N", "N0_Rk,cb·(A_c,Nb/A0_c,Nb)·psi_s,Nb·psi_g,Nb·psi_ec,Nb", CLAUSE)
    gamma = partial_factors.concrete_in_tension(fixing, "cb", trace)
    return finish(
        Mode.BLOW_OUT,
        CLAUSE,
        "cb",
        "N",
        group.members,
        group.total_n,
        resistance,
        gamma,
        fixing.site_factor,
        trace,
        EDGE_NAMES[edge],
    )


def _trace(
    trace: Trace,
    k5: float,
    c1: float,
    c2: float,
    strength_mpa: float,
    single_n: float,
    width: float,
    height: float,
    count: int,
    spacing_mm: float,
) -> None:
    trace.add("k5", k5, "N^0.5 mm^-1", "8.7 cracked, 12.2 uncracked", CLAUSE)
    trace.add("c_1", c1, "mm", "distance of the row to this edge", CLAUSE)
    if math.isfinite(c2):
        trace.add("c_2", c2, "mm", "distance to the nearer corner edge", CLAUSE)
    trace.add("f_ck", strength_mpa, "MPa", "at most 60", "1.2")
    trace.add("N0_Rk,cb", single_n, "N", "k5·c_1·√A_h·√f_ck", CLAUSE)
    trace.add("A0_c,Nb", 16.0 * c1**2, "mm2", "(4·c_1)²", CLAUSE)
    trace.add("A_c,Nb", width * height, "mm2", f"{width:.6g}·{height:.6g}", CLAUSE)
    trace.add("n", count, "-", "tensioned fasteners along this edge", CLAUSE)
    trace.add("s_2", spacing_mm, "mm", "spacing along the edge", CLAUSE)
