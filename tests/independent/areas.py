"""Areas and groupings by shapely, for any arrangement of fasteners."""

from __future__ import annotations

import math
from itertools import combinations, pairwise
from typing import TYPE_CHECKING

import numpy as np
import shapely
from shapely import affinity
from shapely.ops import unary_union

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shapely.geometry.base import BaseGeometry

    from tests.independent.inputs import Fixing, Near

FAR = 1e6
LEAST_AREA = 1e-6


class NoConcreteError(ArithmeticError):
    """Other fasteners leave no concrete."""


def member_surface(fixing: Fixing) -> shapely.Polygon:
    """The concrete surface; an edge out of reach is put a kilometre away."""
    e = {name: min(value, FAR) for name, value in fixing.edges.items()}
    return shapely.box(-e["x_minus"], -e["y_minus"], e["x_plus"], e["y_plus"])


def square(point: tuple[float, float], side: float) -> shapely.Polygon:
    """A square about a fastener, parallel to the axes."""
    x, y = point
    return shapely.box(x - side / 2, y - side / 2, x + side / 2, y + side / 2)


def projected_area(
    fixing: Fixing, group: Sequence[int], side: float, joined: tuple[float, float] | None = None
) -> float:
    """Union of the squares of a group within the member (mm2), less what other fasteners have of it.

    With one of the others that acts with them its square counts as well, and none has anything: the other reading.
    """
    squares = unary_union([square(fixing.points[i], side) for i in group])
    if joined is not None:
        return float(squares.union(square(joined, side)).intersection(member_surface(fixing)).area)
    left = squares.intersection(member_surface(fixing)).difference(taken(fixing, group, side))
    if left.area < LEAST_AREA:
        raise NoConcreteError
    return float(left.area)


def taken(fixing: Fixing, group: Sequence[int], side: float) -> BaseGeometry:
    """What others have of the concrete about a group: their squares, or what is nearer to them than to any of it."""
    found = []
    for one in fixing.near:
        part: BaseGeometry = square(one.at, side * one.ratio)
        if one.shares:
            for i in group:
                part = part.intersection(_nearer(one.at, fixing.points[i]))
        found.append(part)
    return unary_union(found)


def parts(fixing: Fixing, group: Sequence[int], side: float) -> list[list[int]]:
    """Smaller parts of a group that hold together and of whose squares others have something."""
    found = []
    for count in range(1, len(group)):
        for some in combinations(group, count):
            lost = taken(fixing, some, side).intersection(member_surface(fixing))
            cut = any(square(fixing.points[i], side).intersection(lost).area > LEAST_AREA for i in some)
            if cut and len(clusters(fixing.points, some, side)) == 1:
                found.append(list(some))
    return found


def reached(fixing: Fixing, group: Sequence[int], reach: float) -> list[Near]:
    """Others that stand nearer to one of a group than a reach, both along x and along y."""
    return [
        one
        for one in fixing.near
        if any(max(abs(one.at[0] - x), abs(one.at[1] - y)) < reach for x, y in (fixing.points[i] for i in group))
    ]


def own_share(fixing: Fixing, index: int, side: float, group: Sequence[int]) -> float:
    """The part of one fastener's square nearer to it than to any other fastener of its group (mm2).

    Reading: for a grid this is the virtual edge at half the spacing; for other arrangements the same by nearness.
    """
    here = fixing.points[index]
    area = square(here, side).intersection(member_surface(fixing))
    for j in group:
        if j != index:
            area = area.intersection(_nearer(here, fixing.points[j]))
    left = area.difference(taken(fixing, [index], side))
    if left.area < LEAST_AREA:
        raise NoConcreteError
    return float(left.area)


def _nearer(here: tuple[float, float], there: tuple[float, float]) -> shapely.Polygon:
    dx, dy = there[0] - here[0], there[1] - here[1]
    half_plane = shapely.box(-FAR, -FAR, 0.0, FAR)
    turned = affinity.rotate(half_plane, math.degrees(math.atan2(dy, dx)), origin=(0.0, 0.0))
    return affinity.translate(turned, here[0] + dx / 2, here[1] + dy / 2)


def clusters(points: Sequence[tuple[float, float]], members: Sequence[int], side: float) -> list[list[int]]:
    """Fasteners whose squares of this side overlap, directly or through others."""
    left, found = set(members), []
    while left:
        reached, queue = set[int](), [min(left)]
        while queue:
            i = queue.pop()
            reached.add(i)
            queue += [j for j in left - reached if _overlap(points[i], points[j], side)]
        left -= reached
        found.append(sorted(reached))
    return sorted(found)


def _overlap(a: tuple[float, float], b: tuple[float, float], side: float) -> bool:
    return max(abs(a[0] - b[0]), abs(a[1] - b[1])) < side * (1 - 1e-9)


def covered_length(
    centres: Sequence[float], width: float, low: float, high: float, others: Sequence[tuple[float, float, bool]] = ()
) -> float:
    """Length of a line covered by intervals about centres, within limits (mm).

    Others on that line, by place and width, have as much about theirs, or, where they share, what is nearer to them.
    """
    lines = unary_union([shapely.box(c - width / 2, 0.0, c + width / 2, 1.0) for c in centres])
    for at, wide, shares in others:
        theirs: BaseGeometry = shapely.box(at - wide / 2, 0.0, at + wide / 2, 1.0)
        for c in centres if shares else ():
            middle = (at + c) / 2
            theirs = theirs.intersection(shapely.box(middle, 0, FAR, 1) if c < at else shapely.box(-FAR, 0, middle, 1))
        lines = lines.difference(theirs)
    left = float(lines.intersection(shapely.box(low, 0.0, high, 1.0)).area)
    if left < LEAST_AREA:
        raise NoConcreteError
    return left


def row_tolerance(points: Sequence[tuple[float, float]]) -> float:
    """How far fasteners of one row may stand apart: a tenth of the spacing (mm)."""
    if len(points) < 2:
        return 0.0
    p = np.array(points)
    gaps = np.hypot(*(p[:, None, :] - p[None, :, :]).transpose(2, 0, 1))
    return 0.1 * float(gaps[gaps > 0].min()) + 1e-6


def lines(values: Sequence[float], tolerance: float) -> list[list[int]]:
    """Indices of values that lie on one line each, ascending."""
    order = sorted(range(len(values)), key=lambda i: values[i])
    found = [[order[0]]]
    for previous, i in pairwise(order):
        if values[i] - values[previous] > tolerance:
            found.append([])
        found[-1].append(i)
    return found


def axis_gaps(fixing: Fixing, members: Sequence[int], axis: int) -> list[float]:
    """Gaps between neighbouring lines of fasteners along an axis (mm), lines by their mean."""
    values = [fixing.points[i][axis] for i in members]
    means = [float(np.mean([values[i] for i in line])) for line in lines(values, row_tolerance(fixing.points))]
    return [b - a for a, b in pairwise(means)]


def runs(points: Sequence[tuple[float, float]], row: Sequence[int], axis: int, reach: float) -> list[list[int]]:
    """Smaller parts of a row that follow each other along an axis, each within a reach of the one before."""
    order = sorted(row, key=lambda i: points[i][axis])
    spans = [order[a:b] for a in range(len(order)) for b in range(a + 1, len(order) + 1) if b - a < len(order)]
    return [span for span in spans if all(points[b][axis] - points[a][axis] < reach for a, b in pairwise(span))]
