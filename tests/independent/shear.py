"""Shear modes of method.md (EN 1992-4, 6.2.2 and 7.2.2), from memory of the standard. Forces in N, lengths in mm."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING, TypeAlias

from tests.independent import areas, arrangement, tension

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tests.independent.inputs import Action, Fixing, Near
    from tests.independent.tension import Joined

OUTWARD = {"x_minus": (-1.0, 0.0), "x_plus": (1.0, 0.0), "y_minus": (0.0, -1.0), "y_plus": (0.0, 1.0)}


@dataclass(frozen=True)
class ShearForces:
    """Elastic shear of each fastener (N) and the torsion about the centroid (Nmm)."""

    forces: tuple[tuple[float, float], ...]
    torsion: float
    in_balance: bool
    straight: bool

    def size(self, index: int) -> float:
        """Shear of one fastener (N)."""
        return math.hypot(*self.forces[index])


def elastic(fixing: Fixing, action: Action) -> ShearForces:
    """V/n and T·r/Σr² about the centroid; the actions stand at the origin."""
    n = len(fixing.points)
    x_c, y_c = sum(x for x, _ in fixing.points) / n, sum(y for _, y in fixing.points) / n
    torsion = action.torsion - (x_c * action.shear_y - y_c * action.shear_x)
    if abs(torsion) <= max(math.hypot(action.shear_x, action.shear_y) * 1e-6, 1e-6):
        torsion = 0.0
    # what a tape does not tell from shear through the centre: 0.5 mm
    straight = abs(torsion) <= 0.5 * math.hypot(action.shear_x, action.shear_y)
    inertia = sum((x - x_c) ** 2 + (y - y_c) ** 2 for x, y in fixing.points)
    if fixing.clearance == "oversize":  # reading: any one fastener may have to take all shear, torsion has no path
        whole = ((action.shear_x, action.shear_y),) * n
        return ShearForces(whole, torsion, in_balance=straight, straight=straight)
    turn = torsion / inertia if inertia > 0 else 0.0
    v_x, v_y = action.shear_x / n, action.shear_y / n
    forces = tuple((v_x - turn * (y - y_c), v_y + turn * (x - x_c)) for x, y in fixing.points)
    return ShearForces(forces, torsion, in_balance=inertia > 0 or straight, straight=straight)


def steel_resistance(fixing: Fixing, *, grout_factor: bool) -> float:
    """V_Rk,s of one fastener in this fixing."""
    steel = fixing.size["steel"]
    f_uk = steel["tensile_strength_mpa"]
    basic = steel["shear_kn"]
    basic = (0.6 if f_uk <= 500 else 0.5) * fixing.stress_area * f_uk if basic is None else basic * 1e3
    k7 = 1.0
    if len(fixing.points) > 1:  # reading: the assessment's k7 is for groups, one fastener has 1
        given = steel["shear_group_factor"]
        k7 = given if given is not None else (1.0 if steel["ductile"] else 0.8)
    if grout_factor:
        basic *= 1.0 - 0.01 * fixing.grout
    if fixing.embedment / fixing.nominal_diameter < 5 and fixing.strength < 20:
        basic *= 0.8
    return float(k7 * basic)


def grout_is_strong(fixing: Fixing) -> bool:
    """Grout of at least 30 MPa."""
    return fixing.grout_strength is not None and fixing.grout_strength >= 30.0


def grouted(fixing: Fixing) -> bool:
    """Grout thick enough to cost steel resistance, thin enough to leave no lever arm where fasteners stand apart."""
    d = fixing.diameter
    return grout_is_strong(fixing) and d / 2 < fixing.grout <= min(40.0, 5.0 * d)


def has_contact(fixing: Fixing) -> bool:
    """Whether the plate bears on the concrete or on grout that counts (reading: weak grout bears nothing)."""
    return fixing.stand_off == 0.0 and (fixing.grout == 0.0 or grout_is_strong(fixing))


def lever_arm(fixing: Fixing, action: Action, *, straight: bool) -> float | None:
    """l_a (mm) of fasteners in bending, or None where there is no lever arm (6.2.2.3)."""
    if has_contact(fixing):
        strong = fixing.grout == 0.0 or (fixing.grout_strength or 0.0) >= fixing.strength
        if fixing.grout <= fixing.diameter / 2 and strong:
            return None
        if strong and grouted(fixing) and _wide_in_shear_direction(fixing, action, straight=straight):
            return None
    return restraint(fixing) + height_of_shear(fixing)


def restraint(fixing: Fixing) -> float:
    """a_3 (mm)."""
    return 0.0 if fixing.washer_clamped else 0.5 * fixing.diameter


def height_of_shear(fixing: Fixing) -> float:
    """e_1 (mm), to the middle of the fixture."""
    return fixing.stand_off + fixing.grout + (fixing.fixture_thickness or 0.0) / 2.0


def _wide_in_shear_direction(fixing: Fixing, action: Action, *, straight: bool) -> bool:
    """Two or more fasteners at 10 d in each direction that has a component of shear; torsion has both."""
    for axis, component in ((0, action.shear_x), (1, action.shear_y)):
        if component == 0.0 and straight:
            continue
        gaps = areas.axis_gaps(fixing, range(len(fixing.points)), axis)
        if not arrangement.drawn(fixing.points):  # reading: each line that a tape tells is a row of its own
            places = [p[axis] for p in fixing.points]
            found = [places[line[0]] for line in areas.lines(places, arrangement.TAPE)]
            gaps = [b - a for a, b in pairwise(found)]
        if not gaps or min(gaps) < 10.0 * fixing.diameter:
            return False
    return True


def bending_resistance(fixing: Fixing) -> float:
    """M0_Rk,s (Nmm)."""
    steel = fixing.size["steel"]
    if steel["bending_nm"] is not None:
        return float(steel["bending_nm"]) * 1e3
    return float(1.2 * fixing.size["geometry"]["section_modulus_mm3"] * steel["tensile_strength_mpa"])


Pushed: TypeAlias = "tuple[tuple[float, float], tuple[float, float]] | None"
"""A fastener of another fixing that acts with a group: where it stands, and its shear (N)."""


def pry_out_group(
    fixing: Fixing,
    group: Sequence[int],
    shear: ShearForces,
    share: float,
    kinds: Sequence[str] = ("cone", "bond"),
    pushed: Pushed = None,
) -> tuple[float, float]:
    """Action and resistance V_Rk,cp of a group, with the eccentricity of its shear."""
    v, torsion = _resultant(fixing, group, shear, pushed)
    size = math.hypot(*v)
    if size < 1e-9 * max(shear.size(i) for i in range(len(shear.forces))):
        return 0.0, math.inf
    joined = None if pushed is None else pushed[0]
    places = [fixing.points[i] for i in group] + ([] if joined is None else [joined])
    centre = _middle(places)
    e = min(abs(torsion) / size, max(math.dist(place, centre) for place in places))
    split = (e * abs(v[1]) / size, e * abs(v[0]) / size)
    resistance = math.inf
    if "cone" in kinds:
        resistance = tension.cone_resistance(fixing, group, split, 1.0, joined)
    if "bond" in kinds and fixing.size["bond"]:
        resistance = min(resistance, tension.bond_resistance(fixing, group, split, share, joined))
    return size, fixing.row["concrete"]["pry_out_factor"] * resistance


def _resultant(
    fixing: Fixing, group: Sequence[int], shear: ShearForces, pushed: Pushed = None
) -> tuple[tuple[float, float], float]:
    """Shear of a group (N) and its torsion about the group's own centre (Nmm)."""
    acting = [(fixing.points[i], shear.forces[i]) for i in group] + ([] if pushed is None else [pushed])
    v = (sum(force[0] for _, force in acting), sum(force[1] for _, force in acting))
    c = _middle([place for place, _ in acting])
    return v, sum((place[0] - c[0]) * force[1] - (place[1] - c[1]) * force[0] for place, force in acting)


def pry_out_single(
    fixing: Fixing, index: int, group: Sequence[int], share: float, kinds: Sequence[str] = ("cone", "bond")
) -> float:
    """V_Rk,cp of one fastener with its own share of the area, shared with the others of its group."""
    c = tension.smallest_edge(fixing, [index])
    resistance = math.inf
    if "cone" in kinds:
        cone = tension.cone_of(fixing, [index])  # reading: h'_ef by the edges of the fastener itself
        resistance = (
            tension.basic_cone(fixing, cone.embedment)
            * areas.own_share(fixing, index, cone.spacing, group) / cone.spacing**2
            * tension.psi_s(c, cone.edge) * tension.psi_re(fixing, cone.embedment)
        )  # fmt: skip
    if "bond" in kinds and fixing.size["bond"]:
        bond = tension.bond_of(fixing, share)
        pulled = (
            bond.single * areas.own_share(fixing, index, bond.spacing, group) / bond.spacing**2
            * tension.psi_s(c, bond.spacing / 2) * tension.psi_re(fixing, fixing.embedment)
        )  # fmt: skip
        resistance = min(resistance, pulled)
    return float(fixing.row["concrete"]["pry_out_factor"]) * resistance


def turned_against_each_other(fixing: Fixing, group: Sequence[int], shear: ShearForces) -> bool:
    """A component of the fasteners' forces changes sign within the group, and its shear is over 0.5 mm off centre.

    Reading: 0.5 mm of a fastener's place may not make the change of sign.
    """
    v, torsion = _resultant(fixing, group, shear)
    if abs(torsion) <= 0.5 * math.hypot(*v):
        return False
    components = [[shear.forces[i][axis] for i in group] for axis in (0, 1)]
    c = _middle([fixing.points[i] for i in group])
    least = 0.5 * abs(torsion) / sum(math.dist(fixing.points[i], c) ** 2 for i in group)
    return any(max(values) > least and min(values) < -least for values in components)


@dataclass(frozen=True)
class Company:
    """Fasteners of other fixings at an edge: one that acts with ours, those in line behind them, those beside them."""

    joined: Joined = None
    in_line: tuple[tuple[float, float], ...] = ()
    beside: tuple[Near, ...] = ()

    @property
    def more(self) -> int:
        """How many act with ours."""
        return len(self.in_line) + (self.joined is not None)


def reach_of_others(fixing: Fixing, edge: str, part: Sequence[int]) -> float:
    """3·c_1, where the member is thin and narrow 3·c'_1, as that takes the place of c_1 (reading: by the far side).

    Reading: beyond max(10·h_ef, 60·d_nom) ours is checked alone, but towards the end of a strip between nearer sides.
    """
    across = ("y_minus", "y_plus") if edge.startswith("x") else ("x_minus", "x_plus")
    places = [fixing.distances(i) for i in part]
    everywhere = [fixing.distances(i) for i in range(len(fixing.points))]
    strip = max(min(place[side] for place in everywhere) for side in across) <= fixing.reach
    if min(place[edge] for place in places) > fixing.reach and not strip:
        return 0.0
    widest = max(place[side] for place in places for side in across)
    return min(3.0 * min(place[edge] for place in places), 2.0 * max(widest, fixing.thickness))


def companies(fixing: Fixing, edge: str, part: Sequence[int]) -> list[Company]:
    """The readings of what others do to a part of a row, of which the worst governs.

    Those beside it take their side of its width; those in line with it push the same body; one beside acts with it.
    What is in line and shares nothing takes of a single fastener as much as if it stood beside it, as far off.
    """
    axis = 1 if edge.startswith("x") else 0
    places = [fixing.points[i] for i in part]
    near = areas.reached(fixing, part, reach_of_others(fixing, edge, part))
    beside = tuple(one for one in near if tension.is_beside(one.at, places, axis))
    line = [one for one in near if one not in beside]
    in_line = tuple(one.at for one in line)
    found = [Company(beside=beside)]
    if line:
        found.append(Company(in_line=in_line, beside=beside))
    found += [Company(beside=tuple(taking)) for taking in takings(fixing, part, near, axis)[1:]]
    for one in beside:
        found.append(Company(one.at, in_line, tuple(other for other in beside if other is not one)))
    return found


def takings(fixing: Fixing, part: Sequence[int], near: Sequence[Near], axis: int) -> list[list[Near]]:
    """What takes width of a part: those beside it; also those in line that share nothing, put beside all of it."""
    places = [fixing.points[i] for i in part]
    beside = [one for one in near if tension.is_beside(one.at, places, axis)]
    line = [one for one in near if one not in beside and not one.shares]
    found = [beside]
    for way in (-1.0, 1.0):  # reading: what a tape calls in line may take either side
        put = [replace(one, at=at) for one in line if (at := _put_beside(one.at, places, axis, way)) is not None]
        found += [[*beside, *put]] if put else []
    return found


def _put_beside(
    at: tuple[float, float], places: Sequence[tuple[float, float]], axis: int, way: float
) -> tuple[float, float] | None:
    """As far along from the nearest as it is across; None where it would not stand beside the others there."""
    order = sorted(places, key=lambda p: abs(at[axis] - p[axis]))
    off, across = at[axis] - order[0][axis], abs(at[1 - axis] - order[0][1 - axis])
    put = list(at)
    put[axis] = order[0][axis] + math.copysign(across, off if abs(off) > arrangement.TAPE else way)
    return (put[0], put[1]) if tension.is_beside((put[0], put[1]), order[1:], axis) else None


def _widened(at: tuple[float, float], places: Sequence[tuple[float, float]], axis: int) -> float:
    """Where along the edge the body reaches by one beside: by how much farther along than across it stands."""
    x, across = min(((p[axis], abs(at[1 - axis] - p[1 - axis])) for p in places), key=lambda p: abs(at[axis] - p[0]))
    return x + math.copysign(max(0.0, abs(at[axis] - x) - across), at[axis] - x)


@dataclass(frozen=True)
class EdgeRow:
    """What one row does to an edge: shear towards and along it (N), the couple about its centre (Nmm), its most (N)."""

    fasteners: tuple[int, ...]
    towards: float
    along: float
    moment: float
    moment_adds_at_most: float = math.inf
    company: Company = Company()

    def action(self, c_1: float) -> float:
        """V_Ed·(1 + 2e/(3 c_1))/psi_alpha with nothing divided (N)."""
        return math.hypot(self.towards, self.along / 2.0) + min(
            2.0 * self.moment / (3.0 * c_1), self.moment_adds_at_most
        )


@dataclass(frozen=True)
class Takers:
    """Fasteners taken to resist at an edge; who pushes on them, and how they hold torsion.

    ``kind``: "row" (drawn or intended), "nearest" (to which all pushes come), "pair" (two of a row in clearance
    holes) or "all" (no rows: all as one row).
    """

    row: list[int]
    kind: str


def takers(fixing: Fixing, edge: str) -> list[Takers]:
    """Who takes the shear towards an edge; the worst governs (method.md, arrangements the standard does not draw)."""
    everyone = list(range(len(fixing.points)))
    distances = [fixing.distances(i)[edge] for i in everyone]
    standard = arrangement.drawn(fixing.points)
    rows = arrangement.lanes(fixing.points, 0 if edge.startswith("x") else 1)
    row = everyone if rows is None else rows[0 if edge.endswith("minus") else -1]
    found = [Takers(row, "all" if rows is None else "row")]
    if not standard:
        found.append(Takers(arrangement.in_line(fixing.points, everyone, distances), "nearest"))
    split = found[-1 if rows is None else 0].row
    if loose(fixing) and len(split) > 2:
        axis = 1 if edge.startswith("x") else 0
        order = sorted(split, key=lambda i: fixing.points[i][axis])
        found += [Takers([i, j], "pair") for i, j in pairwise(order)]
    return found


def loose(fixing: Fixing) -> bool:
    """Whether fasteners stand in clearance holes; what is cast in has none."""
    return fixing.clearance == "normal" and fixing.size["geometry"]["clearance_hole_mm"] is not None


def _along_share(fixing: Fixing, edge: str, who: Takers) -> float:
    """Share of the shear along an edge that each takes; in clearance holes two rows of two at most bear."""
    n = len(fixing.points)
    if not loose(fixing) or who.kind == "all" or len(who.row) > 2:
        return 1.0 / n
    axis = 0 if edge.startswith("x") else 1
    across = arrangement.lanes(fixing.points, axis)
    if across is None:
        return 0.5  # reading: without rows two bear
    return 1.0 / (min(len(across), 2) * min(n // len(across), 2))


def row_actions(fixing: Fixing, edge: str, action: Action, shear: ShearForces) -> list[EdgeRow]:
    """What those at an edge carry, whole and in parts that stand far apart; the worst governs.

    The component towards the edge goes to the row alone, the one along it to all, one away is neglected. Torsion:
    (a) the forces of the row as they are, with and without the pushes of the fasteners behind it where they stand;
    (b) the whole torsion as the couple of the row beside the direct shear, adding at most the sum of the forces by
    which the row alone would hold it.
    Reading: without the fasteners behind, the row takes the whole direct push; with them each takes its own share.
    Reading: a part under (b) has the forces by which the row alone would hold the torsion.
    """
    n_x, n_y = OUTWARD[edge]
    towards = max(0.0, action.shear_x * n_x + action.shear_y * n_y)
    along = (action.shear_x, action.shear_y)[1 if n_x else 0]
    if fixing.clearance == "oversize":
        alone = {i for who in takers(fixing, edge) for i in who.row}
        return [
            EdgeRow((i,), towards * (1 + with_it.more), along * (1 + with_it.more), 0.0, company=with_it)
            for i in sorted(alone)
            for with_it in companies(fixing, edge, [i])
        ]
    return [load for who in takers(fixing, edge) for load in _actions_of(fixing, edge, who, action, shear)]


def _actions_of(fixing: Fixing, edge: str, who: Takers, action: Action, shear: ShearForces) -> list[EdgeRow]:
    n_x, n_y = OUTWARD[edge]
    axis = 1 if n_x else 0
    row, n = who.row, len(fixing.points)
    share = _along_share(fixing, edge, who)
    along = (action.shear_x, action.shear_y)[axis]
    place = [p[axis] for p in fixing.points]
    direct = action.shear_x * n_x + action.shear_y * n_y
    towards = max(0.0, direct)
    by_torsion = [f[0] * n_x + f[1] * n_y - direct / n for f in shear.forces]
    sideways = [f[axis] - along / n for f in shear.forces]
    # what is nearest, or two of a row, is only pushed, through its centre, and takes no couple
    pushed = who.kind in {"nearest", "pair"}
    torsion = shear.torsion
    if not pushed:
        torsion = _torsion_about_row(fixing, edge, row, towards, shear)
    centre = _middle([fixing.points[i] for i in row])
    # in one row the couple is held by what stands apart along the edge
    arms = {i: abs(place[i] - centre[axis]) if who.kind == "all" else math.dist(fixing.points[i], centre) for i in row}
    inertia = sum(arm**2 for arm in arms.values())
    # one more of the torsion turns what stands farther along x towards +y, what stands farther along y towards -x
    sign = -n_x if axis == 1 else n_y
    found = []
    reach = reach_of_others(fixing, edge, row)
    runs = [run for run in areas.runs(fixing.points, row, axis, reach) if companies(fixing, edge, run) != [Company()]]
    for part, company in ((p, c) for p in (row, *_parts(fixing, edge, row), *runs) for c in companies(fixing, edge, p)):
        acting = [*company.in_line, *([] if company.joined is None else [company.joined])]
        joined = [at[axis] for at in acting]
        middle = sum([*(place[i] for i in part), *joined]) / (len(part) + len(joined))
        beside_edge = [along * share + sideways[i] for i in part]
        along_part = sum(beside_edge)
        if who.kind == "all":  # opposing forces are not netted
            along_part = max(sum(f for f in beside_edge if f > 0), -sum(f for f in beside_edge if f < 0))
        along_part = abs(along_part) + company.more * max(map(abs, beside_edge))
        pushed_by = _behind(fixing, edge, who, part)
        cases = [
            ({i: towards / len(row) + by_torsion[i] for i in part}, along_part),
            ({i: towards / n + by_torsion[i] for i in pushed_by}, along_part),
        ]
        if len(row) > 1 and (len(part) < len(row) or company.more) and not pushed:
            alone = {
                i: towards / len(row) + sign * torsion * (place[i] - centre[axis]) / inertia for i in part
            }  # fmt: skip
            cases.append((alone, along * share * (len(part) + company.more)))
        for forces, beside in cases:
            pushes = [(place[i], f) for i, f in forces.items() if f > 0.0]
            hardest = max((f for _, f in pushes), default=0.0)
            pushes += [(at, hardest) for at in joined]
            couple = 0.0 if pushed else abs(sum(f * (at - middle) for at, f in pushes))
            total = sum(f for _, f in pushes)
            found.append(EdgeRow(tuple(part), total, beside, couple, company=company))
        if len(row) > 1 and len(part) == len(row) and not company.more and not pushed:
            most = abs(torsion) * (sum(abs(place[i] - centre[axis]) for i in row)) / inertia
            found.append(EdgeRow(tuple(row), towards, along * share * len(row), abs(torsion), most, company))
    return found


def _behind(fixing: Fixing, edge: str, who: Takers, part: Sequence[int]) -> list[int]:
    """The fasteners whose pushes towards the edge come to a part: those in line behind it; all, to the nearest."""
    if who.kind == "all":
        return list(part)
    if who.kind == "nearest":
        return list(range(len(fixing.points)))
    axis = 1 if edge.startswith("x") else 0
    across = arrangement.lanes(fixing.points, axis)
    if across is None:
        return list(range(len(fixing.points)))
    return [i for lane in across if set(lane) & set(part) for i in lane]


def _middle(points: Sequence[tuple[float, float]]) -> tuple[float, float]:
    return sum(x for x, _ in points) / len(points), sum(y for _, y in points) / len(points)


def _parts(fixing: Fixing, edge: str, row: Sequence[int]) -> list[list[int]]:
    """Reading: fasteners 3 c_1 or more apart along the edge break out alone, each part with its own share."""
    axis = 1 if edge.startswith("x") else 0
    apart = 3.0 * min(fixing.distances(i)[edge] for i in row)
    order = sorted(row, key=lambda i: fixing.points[i][axis])
    parts = [[order[0]]]
    for previous, i in pairwise(order):
        if fixing.points[i][axis] - fixing.points[previous][axis] >= apart:
            parts.append([])
        parts[-1].append(i)
    return parts if len(parts) > 1 else []


def _torsion_about_row(fixing: Fixing, edge: str, row: Sequence[int], towards: float, shear: ShearForces) -> float:
    n_x, n_y = OUTWARD[edge]
    axis = 1 if n_x else 0
    centre = sum(p[axis] for p in fixing.points) / len(fixing.points)
    row_centre = sum(fixing.points[i][axis] for i in row) / len(row)
    # moment of the component towards the edge, moved from the centre of all to that of the row: r × n·V
    moved = (centre - row_centre) * towards
    return shear.torsion + (-moved * n_x if axis == 1 else moved * n_y)


def edge_resistance(fixing: Fixing, edge: str, load: EdgeRow) -> tuple[float, float]:
    """V_Rk,c of a row without its direction and eccentricity, and the c_1 that was used (7.2.2.5)."""
    axis, row = (1 if edge.startswith("x") else 0), load.fasteners
    across = ("y_minus", "y_plus") if axis == 1 else ("x_minus", "x_plus")
    company, ours = load.company, [fixing.points[i] for i in row]
    acting = [*ours, *company.in_line, *([] if company.joined is None else [company.joined])]
    c_1 = straight = min(fixing.distances_of(place)[edge] for place in acting)
    sides = [min(fixing.distances_of(place)[name] for place in acting) for name in across]
    h = fixing.thickness
    along = sorted(place[axis] for place in ours)
    if max(sides) < 1.5 * c_1 and h < 1.5 * c_1:
        widest = max((b - a for a, b in pairwise(along)), default=0.0)
        if not arrangement.drawn(fixing.points):
            widest = arrangement.widest_gap(fixing.points, row, axis)
        c_1 = min(c_1, max(max(sides) / 1.5, h / 1.5, widest / 3.0))
    d = min(fixing.nominal_diameter, 60.0)
    l_f = fixing.row["concrete"]["shear_length_mm"]
    if l_f is None:
        l_f = min(fixing.embedment, 12.0 * d if d <= 24 else max(8.0 * d, 300.0))
    basic = (
        (1.7 if fixing.cracked else 2.4) * d ** (0.1 * math.sqrt(l_f / c_1)) * l_f ** (0.1 * (d / c_1) ** 0.2)
        * math.sqrt(fixing.f_ck) * c_1**1.5
    )  # fmt: skip
    low, high = -min(fixing.edges[across[0]], areas.FAR), min(fixing.edges[across[1]], areas.FAR)
    centres = along if company.joined is None else [*along, _widened(company.joined, ours, axis)]
    # reading: c'_1 lessens nothing that one of unknown depth takes
    beside = [(one.at[axis], 3.0 * (c_1 if one.shares else straight), one.shares) for one in company.beside]
    area = areas.covered_length(centres, 3.0 * c_1, low, high, beside) * min(1.5 * c_1, h)
    stirrups = fixing.edge_stirrups
    held = fixing.cracked and stirrups is not None and stirrups <= min(100.0, 2.0 * c_1)
    resistance = (
        basic * area / (4.5 * c_1**2) * min(1.0, 0.7 + 0.3 * min(sides) / (1.5 * c_1))
        * max(1.0, math.sqrt(1.5 * c_1 / h)) * (1.4 if held else 1.0)
    )  # fmt: skip
    return float(resistance), c_1
