"""Concrete edge failure in shear (EN 1992-4:2018, 7.2.2.5)."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from service.engine.arrangement import Grid, largest_spacing, nearest_in_line, runs_of_row
from service.engine.codes import Mode
from service.engine.en1992_4 import partial_factors, shear_distribution
from service.engine.en1992_4.concrete_cone import strength_in_formulas
from service.engine.en1992_4.design_check import finish, governing
from service.engine.en1992_4.neighbours import (
    takings,
    touches,
    trace_joined,
    widened_to,
    width_at_edge,
)
from service.engine.en1992_4.projected_area import member_bounds
from service.engine.model import EDGE_NAMES, Fastener, Fixing, Member, Neighbour, Point
from service.engine.results import Check
from service.engine.trace import Trace, new_trace

CLAUSE = "7.2.2.5"
K9_CRACKED = 1.7
K9_UNCRACKED = 2.4
DIAMETER_MAX_MM = 60.0
THICK_FROM_MM = 24.0
STIRRUP_SPACING_MAX_MM = 100.0
EDGE_REINFORCEMENT_FACTOR = 1.4
CLEARANCE_IN_ROW = 2
"""So many fasteners of a row, and rows, are taken to bear in clearance holes near an edge (from memory)."""


def reach_mm(embedment_mm: float, nominal_diameter_mm: float) -> float:
    """Where every edge is beyond max(10·h_ef, 60·d_nom) none is checked; once any is within, all are.

    EN 1992-4:2018, 7.2.2.5; that one near edge has all of them checked is from memory.

    Args:
        embedment_mm: h_ef (mm).
        nominal_diameter_mm: d_nom (mm).

    Returns:
        The distance (mm).
    """
    return max(10.0 * embedment_mm, 60.0 * nominal_diameter_mm)


def reach_of(fastener: Fastener) -> float:
    """``reach_mm`` of a fastener (mm). EN 1992-4:2018, 7.2.2.5."""
    return reach_mm(fastener.embedment_mm, fastener.nominal_diameter_mm)


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


def action_on_edge(towards_n: float, along_n: float, couple_nmm: float, couple_most_n: float, edge_mm: float) -> float:
    """√(V_⊥² + V_∥²/4) + 2·|M|/(3·c_1): what an edge feels of a row's shear and of its couple.

    EN 1992-4:2018, 7.2.2.5: V_Ed/(psi_ec,V·psi_alpha,V) written as an action, so that a row that only turns has one
    too; from memory. The couple does not gain from psi_alpha,V.

    Args:
        towards_n: V_⊥, component towards the edge (N).
        along_n: V_∥, component along the edge (N).
        couple_nmm: M, couple of the row in the plane of the surface (Nmm).
        couple_most_n: What the couple adds at most (N).
        edge_mm: c_1 (mm).

    Returns:
        The action to hold against V0_Rk,c·(A_c,V/A0_c,V)·psi_s,V·psi_h,V·psi_re,V (N).
    """
    turning = min(2.0 * abs(couple_nmm) / (3.0 * edge_mm), couple_most_n)
    return math.hypot(towards_n, 0.5 * along_n) + turning


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
    if is_thin_and_narrow(edge_mm, side_max_mm, thickness_mm):
        return min(edge_mm, max(side_max_mm / 1.5, thickness_mm / 1.5, spacing_max_mm / 3.0))
    return edge_mm


def reach_of_others_mm(fixing: Fixing, points: Sequence[Point], edge: int, edge_mm: float) -> float:
    """How far fasteners of others count along and towards an edge: 3·c_1, of a thin and narrow member 3·c'_1 (mm).

    EN 1992-4:2018, 7.2.2.5: c'_1 stands for c_1 in all that is reckoned at that edge. At c'_1 the body has the whole
    section of the member. What pushes farther off stretches the member as a whole, which is verified as a member. So
    does what pushes beside ours towards an edge beyond max(10·h_ef, 60·d_nom), where the standard finds no failure of
    the edge whatever stands near: there ours is checked as the standard has it, alone. Between two sides that are
    nearer the member is a strip, whose section others share as far as it is theirs.

    Args:
        fixing: The fixing.
        points: Our fasteners there (mm).
        edge: Index into ``EDGE_NAMES``.
        edge_mm: c_1, infinite where nobody tells how far the edge is (mm).

    Returns:
        The distance; 0 where none counts (mm).
    """
    member, sides = fixing.member, (2, 3) if edge < 2 else (0, 1)
    nearest = member.nearest_mm(fixing.positions)
    if min(edge_mm, max(nearest[side] for side in sides)) > reach_of(fixing.fastener):
        return 0.0
    # The farthest from a side, so that no spacing along the edge is more.
    across = max(max(member.distances_mm(points, side)) for side in sides)
    return 3.0 * reduced_edge(edge_mm, across, member.thickness_mm, 0.0)


def is_thin_and_narrow(edge_mm: float, side_max_mm: float, thickness_mm: float) -> bool:
    """Whether c_2,max and h are both less than 1.5·c_1.

    EN 1992-4:2018, 7.2.2.5.

    Args:
        edge_mm: c_1 (mm).
        side_max_mm: The larger distance to a corner edge c_2,max (mm).
        thickness_mm: h (mm).

    Returns:
        True where c'_1 takes the place of c_1.
    """
    return max(side_max_mm, thickness_mm) < 1.5 * edge_mm


@dataclass(frozen=True, slots=True)
class EdgeAction:
    """A reading of what fasteners of a row do to an edge: components (N), their couple (Nmm), and its most (N)."""

    towards_n: float
    along_n: float
    couple_nmm: float
    reading: str
    couple_most_n: float = math.inf

    def size_n(self, edge_mm: float) -> float:
        """What an edge at c_1 (mm) feels (N)."""
        return action_on_edge(self.towards_n, self.along_n, self.couple_nmm, self.couple_most_n, edge_mm)

    @property
    def acts(self) -> bool:
        """Whether there is any."""
        return bool(self.towards_n or self.along_n or (self.couple_nmm and self.couple_most_n))


def feels_added(member: Member, points: Sequence[Point], added: Sequence[int]) -> bool:
    """Whether edges that a member has besides can change what breaks out at its other edges; without neighbours.

    EN 1992-4:2018, 7.2.2.5: a body reaches 1.5·c_1 to either side, and a corner counts within that.

    Args:
        member: The member with those edges (mm).
        points: The fasteners (mm).
        added: The edges, as indices into ``EDGE_NAMES``.

    Returns:
        False where each of them lies beyond all that can break out at another.
    """
    farthest = max((max(member.distances_mm(points, edge)) for edge in range(4) if edge not in added), default=0.0)
    return 1.5 * farthest >= min(member.nearest_mm(points)[edge] for edge in added)


def verify(
    fixing: Fixing,
    grid: Grid | None,
    shear: tuple[float, float],
    torsion_nmm: float,
    want_trace: bool,
    edges: Sequence[int] = range(4),
) -> list[Check]:
    """Check every edge that the shear can break out, once any is in reach.

    EN 1992-4:2018, 7.2.2.5. The row nearest the edge is checked whole and, where it falls apart, in parts; with
    oversize holes each of its fasteners takes all. Each is checked beside the neighbours in reach, and with them, and
    so is each run of it that has such, so that what is taken from one is not evened out. The worst governs. Where the
    standard does not draw the arrangement, see ``rows_at``.

    Args:
        fixing: The fixing.
        grid: The grid in which the fasteners stand, drawn or intended, if any.
        shear: Shear in x and y at the origin (N).
        torsion_nmm: Torsion about the centre of the fasteners (Nmm).
        want_trace: Whether the working is wanted.
        edges: The edges to check, as indices into ``EDGE_NAMES``.

    Returns:
        One check an edge.
    """
    checks: list[Check] = []
    nearest = fixing.member.nearest_mm(fixing.positions)
    if min(nearest) > reach_of(fixing.fastener):
        return checks
    for edge in edges:
        if math.isfinite(nearest[edge]) and (torsion_nmm or any(_push(edge, shear))):
            rows = (_row_of(fixing, edge, front, shear, torsion_nmm) for front in rows_at(fixing, grid, edge))
            pushed = [each for row in rows for each in _pushed_parts(fixing, row, edge)]
            if pushed:
                checks.append(_at_edge(fixing, grid, pushed, edge, want_trace))
    return checks


def _at_edge(fixing: Fixing, grid: Grid | None, pushed: Sequence[_Pushed], edge: int, want_trace: bool) -> Check:
    """The worst check of an edge, of all that may break out together there."""

    def check(pushed: _Pushed, traced: bool) -> Check:
        return _check(fixing, grid, *pushed, edge, traced)

    return governing(pushed, check, want_trace)


def _pushed_parts(fixing: Fixing, row: _Row, edge: int) -> Iterator[_Pushed]:
    """What of a row may break out together, with the readings of what it carries, where that is anything.

    What none of ours pushes has no check, whoever stands near: neighbours push as the worst of ours, and what they push
    besides is for their own verification.

    Yields:
        Each part that is pushed, and the readings.
    """
    for part in _parts_of(fixing, row, edge):
        actions = row.actions(part)
        if any(reading.acts for reading in actions):
            yield part, actions


def _parts_of(fixing: Fixing, row: _Row, edge: int) -> Iterator[_Part]:
    """What of a row breaks out together; near neighbours also each run of it, which they may take the most from."""
    for members in row.wholes():
        yield from _beside_and_with_neighbours(fixing, members, edge)
    if not fixing.neighbours:
        return
    front, along = row.front.members, 1 if edge < 2 else 0
    reach = _reach_mm(fixing, front, edge)
    for run in runs_of_row(fixing.positions, front, along, reach):
        beside, *with_them = _beside_and_with_neighbours(fixing, run, edge)
        if beside.beside or with_them:
            yield from (beside, *with_them)


def _axes(edge: int, vector: tuple[float, float]) -> tuple[float, float]:
    """A vector as its component towards an edge and its component along it."""
    along = 1 if edge < 2 else 0
    outwards = vector[1 - along]
    return outwards if edge % 2 else -outwards, vector[along]


def _push(edge: int, shear: tuple[float, float]) -> tuple[float, float]:
    """Shear towards an edge, which away from it is none, and along it (N)."""
    towards, along = _axes(edge, shear)
    # What is left of a component after rounding must not choose the angle.
    floor = 1e-9 * math.hypot(*shear)
    return towards if towards > floor else 0.0, along if abs(along) > floor else 0.0


@dataclass(frozen=True, slots=True)
class _Part:
    """Fasteners of a row that break out together, and the neighbours that count there."""

    members: tuple[int, ...]
    beside: tuple[Neighbour, ...] = ()
    """Beside them along the edge: these take their side of the width."""
    joined: tuple[Point, ...] = ()
    """One from beside that acts with them."""
    in_line: tuple[Point, ...] = ()
    """In line with them towards the edge, so that they push against the same body and add no width to it."""

    @property
    def more(self) -> int:
        """How many neighbours act with them."""
        return len(self.joined) + len(self.in_line)


_Pushed = tuple[_Part, list[EdgeAction]]
"""Fasteners that break out together, and the readings of what they carry."""


def _reach_mm(fixing: Fixing, members: Sequence[int], edge: int) -> float:
    points = [fixing.positions[i] for i in members]
    return reach_of_others_mm(fixing, points, edge, fixing.member.nearest_mm(points)[edge])


def _beside_and_with_neighbours(fixing: Fixing, members: tuple[int, ...], edge: int) -> list[_Part]:
    """A row, or a part of it, beside the neighbours in reach; with those in line; and with each of the others."""
    if not fixing.neighbours:
        return [_Part(members)]
    points, along = [fixing.positions[i] for i in members], 1 if edge < 2 else 0
    reach = _reach_mm(fixing, members, edge)
    near = [neighbour for neighbour in fixing.neighbours if touches(neighbour.point, points, reach)]
    beside, *turned = takings(points, near, along)
    in_line = tuple(neighbour.point for neighbour in near if neighbour not in beside)
    parts = [_Part(members, beside)]
    if in_line:
        parts.append(_Part(members, beside, (), in_line))
    parts.extend(_Part(members, taking) for taking in turned)
    for one in beside:
        others = tuple(neighbour for neighbour in beside if neighbour is not one)
        parts.append(_Part(members, others, (one.point,), in_line))
    return parts


@dataclass(frozen=True, slots=True)
class Front:
    """Fasteners that may take what is pushed towards an edge.

    Attributes:
        members: The fasteners.
        along_share: Share of the shear along the edge that each of them takes.
        behind: Fasteners whose pushes towards the edge come to these, member by member.
        pushed_only: Whether the push goes through their centre, however far that is from the centre of all, so that
            they take no couple.
        flattened: Whether they are all fasteners, taken as if they stood in one row: they hold torsion so, and forces
            along the edge that oppose each other are not netted.
    """

    members: tuple[int, ...]
    along_share: float
    behind: Mapping[int, tuple[int, ...]]
    pushed_only: bool = False
    flattened: bool = False


def rows_at(fixing: Fixing, grid: Grid | None, edge: int) -> list[Front]:
    """The readings of which fasteners take the shear towards an edge, of which the worst governs.

    EN 1992-4:2018, 6.2.2.2: the row nearest the edge. Where the standard does not draw the arrangement, company rule
    of the method, no source: the row that was intended at its least c_1 with real positions, and the fastener nearest
    the edge alone with the whole push, or with those in line with it; without rows all fasteners as one row in place
    of the intended one. With clearance holes no more than two of a row and two rows are taken to bear, as in the
    groups that 6.2.2.1 covers (from memory).

    Args:
        fixing: The fixing (mm).
        grid: The grid in which the fasteners stand, drawn or intended, if any.
        edge: Index into ``EDGE_NAMES``.

    Returns:
        The readings.
    """
    everyone = tuple(range(len(fixing.positions)))
    if grid is None:
        return [
            Front(everyone, 1.0 / len(everyone), {i: (i,) for i in everyone}, flattened=True),
            *_with_clearance(fixing, grid, edge, _nearest(fixing, grid, edge)),
        ]
    front, lanes = grid.front_row(edge), grid.rows if edge < 2 else grid.columns
    behind = {i: lane for lane in lanes for i in lane if i in front}
    row = Front(front, _along_share(fixing, grid, edge, front), behind)
    found = _with_clearance(fixing, grid, edge, row)
    return found if grid.drawn else [*found, _nearest(fixing, grid, edge)]


def _with_clearance(fixing: Fixing, grid: Grid | None, edge: int, front: Front) -> list[Front]:
    """A row, and with clearance holes each two of it that stand side by side."""
    if fixing.fixture.clearance != "normal" or len(front.members) <= CLEARANCE_IN_ROW:
        return [front]
    along = 1 if edge < 2 else 0
    order = sorted(front.members, key=lambda i: fixing.positions[i][along])
    return [
        front,
        *(
            Front(pair, _along_share(fixing, grid, edge, pair), {i: front.behind[i] for i in pair}, pushed_only=True)
            for pair in pairwise(order)
        ),
    ]


def _nearest(fixing: Fixing, grid: Grid | None, edge: int) -> Front:
    """The fastener nearest an edge, or those in line with it, to which all pushes come."""
    everyone = tuple(range(len(fixing.positions)))
    distances = fixing.member.distances_mm(fixing.positions, edge)
    line = nearest_in_line(fixing.positions, everyone, distances)
    return Front(line, _along_share(fixing, grid, edge, line), dict.fromkeys(line, everyone), pushed_only=True)


def _along_share(fixing: Fixing, grid: Grid | None, edge: int, members: Sequence[int]) -> float:
    """Share of the shear along an edge that each fastener takes: of all, or of those that bear in clearance holes."""
    if fixing.fixture.clearance != "normal" or len(members) > CLEARANCE_IN_ROW:
        return 1.0 / len(fixing.positions)
    if grid is None:
        return 1.0 / min(CLEARANCE_IN_ROW, len(fixing.positions))
    deep = len(grid.columns) if edge < 2 else len(grid.rows)
    return 1.0 / (min(len(grid.front_row(edge)), CLEARANCE_IN_ROW) * min(deep, CLEARANCE_IN_ROW))


@dataclass(frozen=True, slots=True)
class _Row:
    """The row nearest an edge and what acts on it: direct shear (N) and forces by torsion (N)."""

    fixing: Fixing
    edge: int
    front: Front
    towards_n: float
    along_n: float
    turned: tuple[tuple[float, float], ...]
    """By torsion elastically: towards the edge and along it, of each fastener."""
    torsion_of_row_nmm: float
    turned_alone: Mapping[int, float]
    """By the whole torsion taken by the row alone: towards the edge, of each fastener of the row."""

    def wholes(self) -> list[tuple[int, ...]]:
        """The fasteners that break out together: the row, and its parts."""
        if self.fixing.fixture.clearance == "oversize":
            return [(i,) for i in self.front.members]
        return [self.front.members, *parts_of_row(self.fixing, self.front.members, self.edge)]

    def actions(self, part: _Part) -> list[EdgeAction]:
        """The readings of what some fasteners of the row carry, of which the worst governs.

        EN 1992-4:2018, 6.2.2.2 and 7.2.2.5: the component towards the edge goes to the row alone, the one along it to
        all, one away from it is neglected. Torsion: elastic, with and without the pushes of the rows behind; or the
        whole of it as the couple of the row. The safe readings, from memory.

        Args:
            part: The row, or a part of it, with the neighbours that act with it: each pushes as the worst of ours.

        Returns:
            The readings (N, Nmm).
        """
        members, more = part.members, part.more
        if self.fixing.fixture.clearance == "oversize":
            return [EdgeAction(self.towards_n * (1 + more), self.along_n * (1 + more), 0.0, "one fastener")]
        still = not self.torsion_of_row_nmm and all(force == (0.0, 0.0) for force in self.turned)
        count, in_row = len(self.fixing.positions), len(self.front.members)
        along = self._along(part)
        own = {i: self.towards_n / in_row + self.turned[i][0] for i in members}
        # One that acts with them stands to one side of the pushes of the rows behind, which then turn, torsion or not.
        if still and not more:
            return [EdgeAction(sum(own.values()), along, 0.0, "direct")]
        behind = {j for i in members for j in self.front.behind[i]}
        everyone = {i: self.towards_n / count + self.turned[i][0] for i in sorted(behind)}
        readings = [
            self._pushed(part, own, along, "elastic"),
            self._pushed(part, everyone, along, "elastic, with the rows behind"),
        ]
        if in_row > 1 and not self.front.pushed_only:
            readings.append(self._alone(part))
        return readings

    def _along(self, part: _Part) -> float:
        each = [self.along_n * self.front.along_share + self.turned[i][1] for i in part.members]
        own = abs(sum(each))
        if self.front.flattened:
            own = max(sum(max(0.0, force) for force in each), sum(max(0.0, -force) for force in each))
        return own + part.more * max(abs(force) for force in each)

    def _pushed(self, part: _Part, forces_n: Mapping[int, float], along_n: float, reading: str) -> EdgeAction:
        """Forces towards the edge about the middle of some fasteners of the row; those away are not netted."""
        axis = 1 if self.edge < 2 else 0
        positions = self.fixing.positions
        # In line or beside, a neighbour pushes where it stands: nothing jumps where it turns from the one to the other.
        joined = [place[axis] for place in (*part.joined, *part.in_line)]
        places = [*(positions[i][axis] for i in part.members), *joined]
        middle = sum(places) / len(places)
        pushes = [(positions[i][axis], max(0.0, force)) for i, force in forces_n.items()]
        hardest = max(push for _, push in pushes)
        pushes.extend((place, hardest) for place in joined)
        couple = sum(push * (place - middle) for place, push in pushes)
        towards = sum(push for _, push in pushes)
        return EdgeAction(towards, along_n, 0.0 if self.front.pushed_only else couple, reading)

    def _alone(self, part: _Part) -> EdgeAction:
        share = self.along_n * self.front.along_share * (len(part.members) + part.more)
        if part.members == self.front.members and not part.more:
            most = sum(abs(force) for force in self.turned_alone.values())
            return EdgeAction(self.towards_n, share, self.torsion_of_row_nmm, "torsion as the row's couple", most)
        forces = {i: self.towards_n / len(self.front.members) + self.turned_alone[i] for i in part.members}
        return self._pushed(part, forces, share, "torsion as the row's couple")


def _row_of(fixing: Fixing, edge: int, front: Front, shear: tuple[float, float], torsion_nmm: float) -> _Row:
    towards, along = _push(edge, shear)
    points = [fixing.positions[i] for i in front.members]
    of_row = torsion_nmm
    if not front.pushed_only and towards > 0.0:
        of_row = _torsion_about_row(fixing, points, edge, shear, torsion_nmm)
    if front.flattened:
        points = [(0.0, y) if edge < 2 else (x, 0.0) for x, y in points]
    alone = _turned(points, edge, of_row if len(points) > 1 else 0.0)
    return _Row(
        fixing,
        edge,
        front,
        towards,
        along,
        _turned(fixing.positions, edge, torsion_nmm),
        of_row,
        {i: force[0] for i, force in zip(front.members, alone, strict=True)},
    )


def _turned(points: Sequence[Point], edge: int, torsion_nmm: float) -> tuple[tuple[float, float], ...]:
    """Forces of fasteners by torsion: towards an edge and along it (N)."""
    forces = shear_distribution.elastic_shear(points, 0.0, 0.0, torsion_nmm)
    return tuple(_axes(edge, force) for force in forces) if torsion_nmm else forces


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
    reach = 3.0 * min(fixing.member.distances_mm([fixing.positions[i] for i in front], edge))
    parts: list[list[int]] = []
    for i in sorted(front, key=lambda i: fixing.positions[i][axis]):
        if not parts or fixing.positions[i][axis] - fixing.positions[parts[-1][-1]][axis] >= reach:
            parts.append([])
        parts[-1].append(i)
    return [tuple(sorted(part)) for part in parts] if len(parts) > 1 else []


def _torsion_about_row(
    fixing: Fixing, row: Sequence[Point], edge: int, shear: tuple[float, float], torsion_nmm: float
) -> float:
    # The part along the edge goes to all fasteners and keeps its place at their centre; only the part towards the
    # edge moves to the front row, and with it the moment of the distance between the two lines along the edge.
    row_centre, centre = shear_distribution.centre(row), shear_distribution.centre(fixing.positions)
    if edge < 2:
        return torsion_nmm + (row_centre[1] - centre[1]) * shear[0]
    return torsion_nmm - (row_centre[0] - centre[0]) * shear[1]


def _check(
    fixing: Fixing,
    grid: Grid | None,
    part: _Part,
    actions: Sequence[EdgeAction],
    edge: int,
    want_trace: bool,
) -> Check:
    trace = new_trace(want_trace)
    c1, resistance = _resistance(fixing, grid, part, edge, trace)
    action = max(actions, key=lambda reading: reading.size_n(c1))
    if action.couple_nmm == 0.0 and action.size_n(c1) > 0.0:
        size, resistance = _without_couple(action, fixing.member, c1, resistance, trace)
    else:
        size = _with_couple(action, fixing.member, c1, resistance, trace)
    gamma = partial_factors.concrete_in_shear(fixing, trace)
    return finish(
        Mode.CONCRETE_EDGE, CLAUSE, "c", "V", part.members, size, resistance, gamma, fixing.site_factor, trace,
        EDGE_NAMES[edge],
    )  # fmt: skip


def _resistance(fixing: Fixing, grid: Grid | None, part: _Part, edge: int, trace: Trace) -> tuple[float, float]:
    """c_1 (mm) and V_Rk,c without the factors that stand with the action (N)."""
    member, fastener = fixing.member, fixing.fastener
    cone = fastener.cone
    along = 1 if edge < 2 else 0
    ours = tuple(fixing.positions[i] for i in part.members)
    points = (*ours, *(widened_to(place, ours, along) for place in part.joined))
    nearest = member.nearest_mm((*ours, *part.joined, *part.in_line))
    sides = nearest[2:] if edge < 2 else nearest[:2]
    c1, spacing_max = nearest[edge], 0.0
    if is_thin_and_narrow(c1, max(sides), member.thickness_mm):
        spacing_max = largest_spacing(fixing.positions, grid, part.members, along)
        c1 = reduced_edge(c1, max(sides), member.thickness_mm, spacing_max)
    k9 = K9_CRACKED if member.cracked else K9_UNCRACKED
    diameter = min(fastener.nominal_diameter_mm, DIAMETER_MAX_MM)
    length = cone.shear_length_mm or influence_length(fastener.embedment_mm, fastener.nominal_diameter_mm)
    strength = strength_in_formulas(member.f_ck_mpa)
    single = characteristic_resistance(k9, diameter, length, strength, c1)
    # c'_1 is a leave for what is known to be ours: one of unknown depth takes no less for it. Its own c'_1 grows with
    # the thickness, so that it would take more of a thicker member.
    bounds, deeper = member_bounds(member), 1.5 * nearest[edge]
    width = width_at_edge(points, along, 1.5 * c1, bounds, part.beside, deeper)
    height = min(member.thickness_mm, 1.5 * c1)
    psi = (
        corner_factor(min(sides), c1),
        thickness_factor(c1, member.thickness_mm),
        reinforcement_factor(member, c1),
    )
    resistance = single * (width * height / (4.5 * c1**2)) * math.prod(psi)
    if trace.wanted:
        trace_joined(part.more, trace, CLAUSE)
        reduced_by = (max(sides), spacing_max) if c1 < nearest[edge] else None
        _trace_single(fixing, reduced_by, c1, k9, diameter, length, strength, single, trace)
        trace.add("A0_c,V", 4.5 * c1**2, "mm2", "4.5·c_1²", CLAUSE)
        trace.add("A_c,V", width * height, "mm2", f"{width:.6g}·{height:.6g}", CLAUSE)
        _trace_factors(min(sides), psi[0], psi[1], member, trace)
    return c1, resistance


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


def _trace_factors(side_mm: float, psi_s: float, psi_h: float, member: Member, trace: Trace) -> None:
    near = math.isfinite(side_mm)
    if near:
        trace.add("c_2", side_mm, "mm", "distance to the nearer corner edge", CLAUSE)
    trace.add("psi_s,V", psi_s, "-", "min(1, 0.7 + 0.3·c_2/(1.5·c_1))" if near else "1, no corner in reach", CLAUSE)
    trace.add("h", member.thickness_mm, "mm", "request", CLAUSE)
    trace.add("psi_h,V", psi_h, "-", "max(1, √(1.5·c_1/h))", CLAUSE)


def _trace_reinforcement(member: Member, edge_mm: float, trace: Trace) -> None:
    expression = "1.4 cracked with edge bar and stirrups at ≤ 100 mm and ≤ 2·c_1, else 1"
    trace.add("psi_re,V", reinforcement_factor(member, edge_mm), "-", expression, CLAUSE)


def _without_couple(
    action: EdgeAction, member: Member, edge_mm: float, resistance_n: float, trace: Trace
) -> tuple[float, float]:
    """V_Ed and V_Rk,c (N) as the standard writes them, which a row that does not turn allows."""
    size = math.hypot(action.towards_n, action.along_n)
    psi_alpha = direction_factor(action.towards_n, action.along_n)
    resistance = resistance_n * psi_alpha
    if trace.wanted:
        trace.add("e_V", 0.0, "mm", f"along the edge; {action.reading}", CLAUSE)
        trace.add("psi_ec,V", 1.0, "-", "1/(1 + 2·e_V/(3·c_1))", CLAUSE)
        _trace_components(action, trace)
        expression = "√((V_towards² + V_along²)/(V_towards² + 0.25·V_along²))"
        trace.add("psi_alpha,V", psi_alpha, "-", expression, CLAUSE)
        _trace_reinforcement(member, edge_mm, trace)
        factors = "psi_s,V·psi_h,V·psi_ec,V·psi_alpha,V·psi_re,V"
        trace.add("V_Rk,c", resistance, "N", f"V0_Rk,c·(A_c,V/A0_c,V)·{factors}", CLAUSE)
    return size, resistance


def _with_couple(action: EdgeAction, member: Member, edge_mm: float, resistance_n: float, trace: Trace) -> float:
    """What the edge feels (N), direction and couple standing with the action."""
    size = action.size_n(edge_mm)
    if trace.wanted:
        _trace_reinforcement(member, edge_mm, trace)
        trace.add("V_Rk,c", resistance_n, "N", "V0_Rk,c·(A_c,V/A0_c,V)·psi_s,V·psi_h,V·psi_re,V", CLAUSE)
        _trace_components(action, trace)
        trace.add("M_row", abs(action.couple_nmm), "Nmm", f"couple of the row; {action.reading}", "6.2.2.2")
        turning = "2·M_row/(3·c_1)"
        if math.isfinite(action.couple_most_n):
            most = "sum of the forces of this row taking all torsion"
            trace.add("V_most", action.couple_most_n, "N", most, "6.2.2.2")
            turning = f"min({turning}, V_most)"
        trace.add("V_E,edge", size, "N", f"√(V_towards² + 0.25·V_along²) + {turning}", CLAUSE)
    return size


def _trace_components(action: EdgeAction, trace: Trace) -> None:
    trace.add("V_towards", action.towards_n, "N", f"component towards the edge; {action.reading}", "6.2.2.2")
    trace.add("V_along", abs(action.along_n), "N", f"component along the edge; {action.reading}", "6.2.2.2")
