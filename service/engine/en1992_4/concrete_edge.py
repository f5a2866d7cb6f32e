"""Concrete edge failure in shear (EN 1992-4:2018, 7.2.2.5)."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from service.engine.arrangement import Grid, adjacent_spacings
from service.engine.codes import Mode
from service.engine.en1992_4 import partial_factors, shear_distribution
from service.engine.en1992_4.concrete_cone import strength_in_formulas
from service.engine.en1992_4.design_check import finish, worst
from service.engine.geometry import covered_length
from service.engine.model import EDGE_NAMES, Fixing, Member, Point
from service.engine.results import Check
from service.engine.trace import Trace, new_trace

CLAUSE = "7.2.2.5"
K9_CRACKED = 1.7
K9_UNCRACKED = 2.4
DIAMETER_MAX_MM = 60.0
THICK_FROM_MM = 24.0
STIRRUP_SPACING_MAX_MM = 100.0
EDGE_REINFORCEMENT_FACTOR = 1.4


def reach_mm(embedment_mm: float, nominal_diameter_mm: float) -> float:
    """Edges within max(10·h_ef, 60·d_nom) are checked.

    EN 1992-4:2018, 7.2.2.5.

    Args:
        embedment_mm: h_ef (mm).
        nominal_diameter_mm: d_nom (mm).

    Returns:
        The distance (mm).
    """
    return max(10.0 * embedment_mm, 60.0 * nominal_diameter_mm)


def influence_length(embedment_mm: float, nominal_diameter_mm: float) -> float:
    """l_f = h_ef, at most 12·d_nom up to 24 mm diameter, at most max(8·d_nom, 300 mm) above.

    EN 1992-4:2018, 7.2.2.5, where the assessment gives none.

    Args:
        embedment_mm: h_ef (mm).
        nominal_diameter_mm: d_nom (mm).

    Returns:
        l_f (mm).
    """
    if nominal_diameter_mm <= THICK_FROM_MM:
        return min(embedment_mm, 12.0 * nominal_diameter_mm)
    return min(embedment_mm, max(8.0 * nominal_diameter_mm, 300.0))


def characteristic_resistance(
    k9: float, nominal_diameter_mm: float, length_mm: float, f_ck_mpa: float, edge_mm: float
) -> float:
    """V0_Rk,c = k9·d_nom^alpha·l_f^beta·√f_ck·c_1^1.5, alpha = 0.1·√(l_f/c_1), beta = 0.1·(d_nom/c_1)^0.2.

    EN 1992-4:2018, 7.2.2.5.

    Args:
        k9: 1.7 in cracked, 2.4 in uncracked concrete (no unit).
        nominal_diameter_mm: d_nom, at most 60 (mm).
        length_mm: l_f (mm).
        f_ck_mpa: Characteristic cylinder strength (MPa).
        edge_mm: c_1 (mm).

    Returns:
        V0_Rk,c (N).
    """
    alpha, beta = exponents(nominal_diameter_mm, length_mm, edge_mm)
    return float(k9 * nominal_diameter_mm**alpha * length_mm**beta * math.sqrt(f_ck_mpa) * edge_mm**1.5)


def exponents(nominal_diameter_mm: float, length_mm: float, edge_mm: float) -> tuple[float, float]:
    """Alpha = 0.1·√(l_f/c_1) and beta = 0.1·(d_nom/c_1)^0.2 (no unit).

    EN 1992-4:2018, 7.2.2.5.

    Args:
        nominal_diameter_mm: d_nom (mm).
        length_mm: l_f (mm).
        edge_mm: c_1 (mm).

    Returns:
        alpha and beta (no unit).
    """
    return 0.1 * math.sqrt(length_mm / edge_mm), float(0.1 * (nominal_diameter_mm / edge_mm) ** 0.2)


def corner_factor(side_edge_mm: float, edge_mm: float) -> float:
    """psi_s,V = 0.7 + 0.3·c_2/(1.5·c_1), at most 1 (no unit).

    EN 1992-4:2018, 7.2.2.5.

    Args:
        side_edge_mm: c_2, the smaller distance to a corner edge (mm).
        edge_mm: c_1 (mm).

    Returns:
        psi_s,V (no unit).
    """
    return min(1.0, 0.7 + 0.3 * side_edge_mm / (1.5 * edge_mm))


def thickness_factor(edge_mm: float, thickness_mm: float) -> float:
    """psi_h,V = √(1.5·c_1/h), at least 1 (no unit).

    EN 1992-4:2018, 7.2.2.5.

    Args:
        edge_mm: c_1 (mm).
        thickness_mm: h (mm).

    Returns:
        psi_h,V (no unit).
    """
    return max(1.0, math.sqrt(1.5 * edge_mm / thickness_mm))


def eccentricity_factor(eccentricity_mm: float, edge_mm: float) -> float:
    """psi_ec,V = 1/(1 + 2·e_V/(3·c_1)) (no unit).

    EN 1992-4:2018, 7.2.2.5.

    Args:
        eccentricity_mm: e_V along the edge (mm).
        edge_mm: c_1 (mm).

    Returns:
        psi_ec,V (no unit).
    """
    return 1.0 / (1.0 + 2.0 * eccentricity_mm / (3.0 * edge_mm))


def direction_factor(towards_n: float, along_n: float) -> float:
    """psi_alpha,V = √(1/(cos²α + 0.25·sin²α)): 1 towards the edge, 2 along it (no unit).

    EN 1992-4:2018, 7.2.2.5.

    Args:
        towards_n: Component towards the edge (N).
        along_n: Component along the edge (N).

    Returns:
        psi_alpha,V (no unit).
    """
    return math.hypot(towards_n, along_n) / math.hypot(towards_n, 0.5 * along_n)


def reinforcement_factor(member: Member, edge_mm: float) -> float:
    """psi_re,V: 1.4 in cracked concrete with an edge bar and close stirrups, else 1 (no unit).

    EN 1992-4:2018, 7.2.2.5: stirrups at 100 mm or less and at 2·c_1 or less.

    Args:
        member: The concrete with its reinforcement.
        edge_mm: c_1 (mm).

    Returns:
        psi_re,V (no unit).
    """
    bars = member.reinforcement
    if not member.cracked or bars.edge != "edge_bar_with_stirrups" or bars.stirrup_spacing_mm is None:
        return 1.0
    close = bars.stirrup_spacing_mm <= min(STIRRUP_SPACING_MAX_MM, 2.0 * edge_mm)
    return EDGE_REINFORCEMENT_FACTOR if close else 1.0


def reduced_edge(edge_mm: float, side_max_mm: float, thickness_mm: float, spacing_max_mm: float) -> float:
    """c'_1 of a thin and narrow member: max(c_2,max/1.5, h/1.5, s_2,max/3), else c_1.

    EN 1992-4:2018, 7.2.2.5.

    Args:
        edge_mm: c_1 (mm).
        side_max_mm: The larger distance to a corner edge c_2,max (mm).
        thickness_mm: h (mm).
        spacing_max_mm: Largest spacing along the edge, 0 for one fastener (mm).

    Returns:
        c'_1 (mm).
    """
    if side_max_mm < 1.5 * edge_mm and thickness_mm < 1.5 * edge_mm:
        return min(edge_mm, max(side_max_mm / 1.5, thickness_mm / 1.5, spacing_max_mm / 3.0))
    return edge_mm


@dataclass(frozen=True, slots=True)
class EdgeAction:
    """What one edge has to carry: components (N), eccentricity along the edge (mm), and the fasteners."""

    members: tuple[int, ...]
    towards_n: float
    along_n: float
    eccentricity_mm: float
    reading: str

    @property
    def size_n(self) -> float:
        """V_Ed of the row (N)."""
        return math.hypot(self.towards_n, self.along_n)


def verify(
    fixing: Fixing, grid: Grid | None, shear: tuple[float, float], torsion_nmm: float, want_trace: bool
) -> list[Check]:
    """Check every edge in reach that the shear can break out.

    EN 1992-4:2018, 7.2.2.5.

    Args:
        fixing: The fixing.
        grid: The grid in which the fasteners stand; without one no edge is in reach.
        shear: Shear in x and y at the origin (N).
        torsion_nmm: Torsion about the centre of the fasteners (Nmm).
        want_trace: Whether the working is wanted.

    Returns:
        One check an edge.
    """
    checks: list[Check] = []
    if grid is None:
        return checks
    reach = reach_mm(fixing.fastener.embedment_mm, fixing.fastener.nominal_diameter_mm)
    nearest = fixing.member.nearest_mm(fixing.positions)
    for edge in range(4):
        if nearest[edge] <= reach:
            actions = list(edge_actions(fixing, grid.front_row(edge), edge, shear, torsion_nmm))
            found = [_check(fixing, grid, action, edge, want_trace) for action in actions if action.size_n > 0.0]
            if found:
                checks.append(worst(found))
    return checks


def _axes(edge: int, vector: tuple[float, float]) -> tuple[float, float]:
    """A vector as its component towards an edge and its component along it."""
    x, y = vector
    return ((-x, y), (x, y), (-y, x), (y, x))[edge]


def edge_actions(
    fixing: Fixing, front: tuple[int, ...], edge: int, shear: tuple[float, float], torsion_nmm: float
) -> Iterator[EdgeAction]:
    """The readings of what the row nearest an edge carries, of which the worst governs.

    EN 1992-4:2018, 6.2.2.2 and 7.2.2.5: the component towards the edge goes to the front row alone, the one along it
    to all, one away from it is neglected. With torsion both the elastic forces of the front row and the torsion about
    its centre over its shear are taken, and fasteners of the row 3·c_1 or more apart are also checked as
    separate groups: the safe readings (from memory). With oversize holes one fastener takes all.

    Args:
        fixing: The fixing.
        front: Fasteners of the row nearest the edge.
        edge: Index into ``EDGE_NAMES``.
        shear: Shear in x and y at the origin (N).
        torsion_nmm: Torsion about the centre of all fasteners (Nmm).

    Yields:
        Actions on the row (N, mm).
    """
    towards, along = _axes(edge, shear)
    # What is left of a component after rounding must not choose the angle.
    floor = 1e-9 * math.hypot(*shear)
    towards = towards if towards > floor else 0.0
    along = along if abs(along) > floor else 0.0
    if fixing.fixture.clearance == "oversize":
        for i in front:
            yield EdgeAction((i,), towards, along, 0.0, "one fastener")
        return
    for part in parts_of_row(fixing, front, edge):
        yield _elastic_action(fixing, front, part, edge, towards, along, torsion_nmm)
    share = along * len(front) / len(fixing.positions)
    if torsion_nmm == 0.0:
        yield EdgeAction(front, towards, share, 0.0, "direct")
        return
    yield _elastic_action(fixing, front, front, edge, towards, along, torsion_nmm)
    direct = math.hypot(towards, share)
    if direct > 0.0:
        row_centre = shear_distribution.centre([fixing.positions[i] for i in front])
        turning = _torsion_about_row(fixing, row_centre, edge, shear, torsion_nmm, towards > 0.0)
        yield EdgeAction(front, towards, share, abs(turning) / direct, "torsion about the front row")


def parts_of_row(fixing: Fixing, front: tuple[int, ...], edge: int) -> list[tuple[int, ...]]:
    """Groups of a row that stand 3·c_1 or more apart, so that each breaks out alone.

    EN 1992-4:2018, 7.2.2.5.

    Args:
        fixing: The fixing (mm).
        front: Fasteners of the row nearest the edge.
        edge: Index into ``EDGE_NAMES``.

    Returns:
        The groups along the edge; none where the row holds together.
    """
    axis = 1 if edge < 2 else 0
    reach = 3.0 * fixing.member.nearest_mm([fixing.positions[i] for i in front])[edge]
    parts: list[list[int]] = []
    for i in sorted(front, key=lambda i: fixing.positions[i][axis]):
        if not parts or fixing.positions[i][axis] - fixing.positions[parts[-1][-1]][axis] >= reach:
            parts.append([])
        parts[-1].append(i)
    return [tuple(sorted(part)) for part in parts] if len(parts) > 1 else []


def _torsion_about_row(
    fixing: Fixing, row_centre: Point, edge: int, shear: tuple[float, float], torsion_nmm: float, towards: bool
) -> float:
    # The part along the edge goes to all fasteners and keeps its place at their centre; only the part towards the
    # edge moves to the front row, and with it the moment of the distance between the two lines along the edge.
    if not towards:
        return torsion_nmm
    centre = shear_distribution.centre(fixing.positions)
    if edge < 2:
        return torsion_nmm + (row_centre[1] - centre[1]) * shear[0]
    return torsion_nmm - (row_centre[0] - centre[0]) * shear[1]


def _elastic_action(
    fixing: Fixing,
    front: tuple[int, ...],
    members: tuple[int, ...],
    edge: int,
    towards_n: float,
    along_n: float,
    torsion_nmm: float,
) -> EdgeAction:
    turned = shear_distribution.elastic_shear(fixing.positions, 0.0, 0.0, torsion_nmm)
    parts = [_axes(edge, turned[i]) for i in members]
    pushes = [max(0.0, towards_n / len(front) + part[0]) for part in parts]
    along = sum(along_n / len(fixing.positions) + part[1] for part in parts)
    total = sum(pushes)
    axis = 1 if edge < 2 else 0
    places = [fixing.positions[i][axis] for i in members]
    middle = sum(places) / len(places)
    lever = sum(push * (place - middle) for push, place in zip(pushes, places, strict=True))
    # Like the torsion of the other reading, the moment of the row is set against its whole shear.
    size = math.hypot(total, along)
    offset = abs(lever) / size if size > 0.0 else 0.0
    reading = "elastic" if len(members) == len(front) else "elastic, this part of the row"
    return EdgeAction(members, total, along, offset if offset > 1e-6 else 0.0, reading)


def _check(fixing: Fixing, grid: Grid, action: EdgeAction, edge: int, want_trace: bool) -> Check:
    trace = new_trace(want_trace)
    resistance = _resistance(fixing, grid, action, edge, trace)
    gamma = partial_factors.concrete_in_shear(fixing, trace)
    return finish(
        Mode.CONCRETE_EDGE,
        CLAUSE,
        "c",
        "V",
        action.members,
        action.size_n,
        resistance,
        gamma,
        fixing.site_factor,
        trace,
        EDGE_NAMES[edge],
    )


def _resistance(fixing: Fixing, grid: Grid, action: EdgeAction, edge: int, trace: Trace) -> float:
    member, fastener = fixing.member, fixing.fastener
    cone = fastener.cone
    points = tuple(fixing.positions[i] for i in action.members)
    nearest = member.nearest_mm(points)
    sides = nearest[2:] if edge < 2 else nearest[:2]
    along = 1 if edge < 2 else 0
    spacing_max = max(adjacent_spacings(fixing.positions, grid, action.members)[along], default=0.0)
    c1 = reduced_edge(nearest[edge], max(sides), member.thickness_mm, spacing_max)
    k9 = K9_CRACKED if member.cracked else K9_UNCRACKED
    diameter = min(fastener.nominal_diameter_mm, DIAMETER_MAX_MM)
    length = cone.shear_length_mm or influence_length(fastener.embedment_mm, fastener.nominal_diameter_mm)
    strength = strength_in_formulas(member.f_ck_mpa)
    single = characteristic_resistance(k9, diameter, length, strength, c1)
    width = _width(points, along, c1, member)
    height = min(member.thickness_mm, 1.5 * c1)
    psi = (
        corner_factor(min(sides), c1),
        thickness_factor(c1, member.thickness_mm),
        eccentricity_factor(action.eccentricity_mm, c1),
        direction_factor(action.towards_n, action.along_n),
        reinforcement_factor(member, c1),
    )
    resistance = single * (width * height / (4.5 * c1**2)) * math.prod(psi)
    if trace.wanted:
        reduced_by = (max(sides), spacing_max) if c1 < nearest[edge] else None
        _trace_single(fixing, reduced_by, c1, k9, diameter, length, strength, single, trace)
        trace.add("A0_c,V", 4.5 * c1**2, "mm2", "4.5·c_1²", CLAUSE)
        trace.add("A_c,V", width * height, "mm2", f"{width:.6g}·{height:.6g}", CLAUSE)
        _trace_factors(action, min(sides), psi, member, trace)
        trace.add(
            "V_Rk,c",
            resistance,
            "N",
            "V0_Rk,c·(A_c,V/A0_c,V)·psi_s,V·psi_h,V·psi_ec,V·psi_alpha,V·psi_re,V",
            CLAUSE,
        )
    return resistance


def _width(points: Sequence[Point], along: int, edge_mm: float, member: Member) -> float:
    low, high = (2, 3) if along == 1 else (0, 1)
    reach = 1.5 * edge_mm
    return covered_length([
        (max(p[along] - reach, -member.edges_mm[low]), min(p[along] + reach, member.edges_mm[high])) for p in points
    ])


def _trace_single(
    fixing: Fixing,
    reduced_by: tuple[float, float] | None,
    c1: float,
    k9: float,
    diameter: float,
    length: float,
    strength: float,
    single: float,
    trace: Trace,
) -> None:
    rules = fixing.fastener.rules
    alpha, beta = exponents(diameter, length, c1)
    trace.add("k9", k9, "-", "1.7 cracked, 2.4 uncracked", CLAUSE)
    trace.add("d_nom", diameter, "mm", "assessment, at most 60", CLAUSE, rules.get("nominal_diameter_mm"))
    if fixing.fastener.cone.shear_length_mm is None:
        trace.add("h_ef", fixing.fastener.embedment_mm, "mm", "assessment", CLAUSE, rules.get("embedment_mm"))
        longest = "12·d_nom" if diameter <= THICK_FROM_MM else "max(8·d_nom, 300)"
        trace.add("l_f", length, "mm", f"min(h_ef, {longest})", CLAUSE)
    else:
        trace.add("l_f", length, "mm", "assessment", CLAUSE, rules.get("shear_length_mm"))
    trace.add("f_ck", strength, "MPa", "at most 60", "1.2")
    if reduced_by is None:
        trace.add("c_1", c1, "mm", "smallest distance of the row to this edge", CLAUSE)
    else:
        trace.add("c_2,max", reduced_by[0], "mm", "distance to the farther corner edge", CLAUSE)
        trace.add("h", fixing.member.thickness_mm, "mm", "request", CLAUSE)
        trace.add("s_2,max", reduced_by[1], "mm", "largest spacing along the edge", CLAUSE)
        trace.add("c_1", c1, "mm", "max(c_2,max/1.5, h/1.5, s_2,max/3), c'_1 of a thin and narrow member", CLAUSE)
    trace.add("alpha", alpha, "-", "0.1·√(l_f/c_1)", CLAUSE)
    trace.add("beta", beta, "-", "0.1·(d_nom/c_1)^0.2", CLAUSE)
    trace.add("V0_Rk,c", single, "N", "k9·d_nom^alpha·l_f^beta·√f_ck·c_1^1.5", CLAUSE)


def _trace_factors(action: EdgeAction, side_mm: float, psi: tuple[float, ...], member: Member, trace: Trace) -> None:
    near = math.isfinite(side_mm)
    if near:
        trace.add("c_2", side_mm, "mm", "distance to the nearer corner edge", CLAUSE)
    trace.add("psi_s,V", psi[0], "-", "min(1, 0.7 + 0.3·c_2/(1.5·c_1))" if near else "1, no corner in reach", CLAUSE)
    trace.add("h", member.thickness_mm, "mm", "request", CLAUSE)
    trace.add("psi_h,V", psi[1], "-", "max(1, √(1.5·c_1/h))", CLAUSE)
    trace.add("e_V", action.eccentricity_mm, "mm", f"along the edge; {action.reading}", CLAUSE)
    trace.add("psi_ec,V", psi[2], "-", "1/(1 + 2·e_V/(3·c_1))", CLAUSE)
    trace.add("V_towards", action.towards_n, "N", f"component towards the edge; {action.reading}", "6.2.2.2")
    trace.add("V_along", abs(action.along_n), "N", f"component along the edge; {action.reading}", "6.2.2.2")
    trace.add("psi_alpha,V", psi[3], "-", "√((V_towards² + V_along²)/(V_towards² + 0.25·V_along²))", CLAUSE)
    trace.add("psi_re,V", psi[4], "-", "1.4 cracked with edge bar and stirrups at ≤ 100 mm and ≤ 2·c_1, else 1", CLAUSE)
