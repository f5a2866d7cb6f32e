"""Fasteners that carry something together: their resultant and its eccentricity (EN 1992-4:2018, 6.2 and 7.2.1.4)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from service.engine.arrangement import touching_groups
from service.engine.en1992_4.neighbours import acting_with
from service.engine.en1992_4.projected_area import Area, left_of_parts, projected_area
from service.engine.model import Fixing, Neighbour, Point
from service.engine.trace import Trace


@dataclass(frozen=True, slots=True)
class LoadedGroup:
    """Tensioned fasteners acting together (indices, mm, N)."""

    members: tuple[int, ...]
    points: tuple[Point, ...]
    nearest_mm: tuple[float, float, float, float]
    """Distance of the group to each of the four edges."""
    total_n: float
    eccentricity_mm: Point
    resultant_at: Point
    joined: Point | None = None
    """A neighbour that acts with them, loaded as the worst of ours; it stands among the points, not the members."""
    left: tuple[float, float] | None = None
    """Side of the squares (mm) and what neighbours leave of them (mm²), where that is known already."""

    def area(self, side_mm: float, fixing: Fixing, trace: Trace) -> Area:
        """Union of the squares of a side (mm) as far as edges and neighbours leave it. EN 1992-4:2018, 7.2.1.4."""
        if self.left is not None and self.left[0] == side_mm and not trace.wanted:
            return Area(self.left[1], (), ())
        return projected_area(self.points, side_mm, fixing.member, self.beside(fixing.neighbours))

    def beside(self, neighbours: Sequence[Neighbour]) -> Sequence[Neighbour]:
        """The neighbours that take concrete from this group; none where one acts with it: that is the other reading."""
        return neighbours if self.joined is None else ()


def tensioned(fixing: Fixing, tension_n: Sequence[float], members: Sequence[int]) -> LoadedGroup | None:
    """The tensioned ones among some fasteners, or None when none is.

    EN 1992-4:2018, 7.2.1.4: the eccentricity e_N is that of the resultant against the centre of gravity of the
    tensioned fasteners.

    Args:
        fixing: The fixing with its positions and edges (mm).
        tension_n: Tension of each fastener, zero where not loaded (N).
        members: Indices to look at.

    Returns:
        The group with its resultant (N) and eccentricities (mm).
    """
    positions = fixing.positions
    loaded = tuple(i for i in members if tension_n[i] > 0.0)
    if not loaded:
        return None
    points = tuple(positions[i] for i in loaded)
    total = sum(tension_n[i] for i in loaded)
    at_x = sum(tension_n[i] * positions[i][0] for i in loaded) / total
    at_y = sum(tension_n[i] * positions[i][1] for i in loaded) / total
    centre_x = sum(x for x, _ in points) / len(points)
    centre_y = sum(y for _, y in points) / len(points)
    offset = (without_remainder(abs(at_x - centre_x)), without_remainder(abs(at_y - centre_y)))
    return LoadedGroup(loaded, points, fixing.member.nearest_mm(points), total, offset, (at_x, at_y))


def joined(fixing: Fixing, group: LoadedGroup, near: Point, worst_n: float) -> LoadedGroup:
    """A group with one of the neighbours near it, which is loaded as the worst of ours.

    EN 1992-4:2018, 7.2.1.4; that a neighbour is loaded so is common practice, no source.

    Args:
        fixing: The fixing with its edges (mm).
        group: Our tensioned fasteners.
        near: Where the neighbour stands (mm).
        worst_n: Tension of the worst of ours (N).

    Returns:
        The group, its members still only ours.
    """
    points = (*group.points, near)
    total = group.total_n + worst_n
    at, offset = [], []
    for axis in (0, 1):
        place = (group.total_n * group.resultant_at[axis] + worst_n * near[axis]) / total
        at.append(place)
        offset.append(without_remainder(abs(place - sum(p[axis] for p in points) / len(points))))
    nearest = fixing.member.nearest_mm(points)
    return LoadedGroup(group.members, points, nearest, total, (offset[0], offset[1]), (at[0], at[1]), near)


def groups_to_check(
    fixing: Fixing,
    whole: LoadedGroup,
    tension_n: Sequence[float],
    side_mm: float,
    neighbours: Sequence[Neighbour] | None = None,
) -> list[LoadedGroup]:
    """The groups of tensioned fasteners: those whose squares overlap, directly or through others.

    EN 1992-4:2018, 7.2.1.4 and the definition of a group, from memory: fasteners beyond the characteristic spacing of
    each other are verified apart, and only apart. Each is checked with every neighbour near it as well, one by one, so
    that no neighbour evens out what another does; and beside neighbours each part of it, so that the others do not even
    out what a neighbour takes from one.

    Args:
        fixing: The fixing with its positions and edges (mm).
        whole: All tensioned fasteners.
        tension_n: Tension of each fastener, zero where not loaded (N).
        side_mm: Side of the squares, the characteristic spacing of the mode (mm).
        neighbours: What stands near and counts in this mode, the parts of whose rows are asked for by the mode itself;
            left out: all of it.

    Returns:
        The groups, the whole where it holds together, and their parts.
    """
    apart = touching_groups(fixing.positions, whole.members, side_mm)
    groups = [whole]
    if len(apart) > 1:
        each = (tensioned(fixing, tension_n, members) for members in apart)
        groups = [group for group in each if group is not None]
    counted = fixing.neighbours if neighbours is None else neighbours
    if not counted:
        return groups
    parts = _parts(fixing, groups, tension_n, side_mm) if neighbours is None else []
    with_neighbours = [
        joined(fixing, group, near, max(tension_n))
        for group in (*groups, *(part for part in parts if len(part.members) == 1))
        for near in acting_with(group.points, counted, side_mm)
    ]
    return [*groups, *parts, *with_neighbours]


def _parts(
    fixing: Fixing, groups: Sequence[LoadedGroup], tension_n: Sequence[float], side_mm: float
) -> list[LoadedGroup]:
    """Each part of the groups that neighbours cut, which has to carry its own on what is left of its squares."""
    found = []
    for group in groups:
        for places, left_mm2 in left_of_parts(group.points, side_mm, fixing.member, fixing.neighbours):
            part = tensioned(fixing, tension_n, [group.members[place] for place in places])
            if part is not None:
                found.append(replace(part, left=(side_mm, left_mm2)))
    return found


def without_remainder(eccentricity_mm: float) -> float:
    """An eccentricity (mm), 0 where it is but a remainder of rounding or of the equilibrium. EN 1992-4:2018, 6.2."""
    return eccentricity_mm if eccentricity_mm > 1e-6 else 0.0
