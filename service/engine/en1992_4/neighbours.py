"""Fasteners of other fixings that stand near: what they take of the concrete, and where they act with ours.

EN 1992-4:2018 knows one fixing. That ours keep their side of the midline, and act in one group with a neighbour loaded
as the worst of them where that is worse, is common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from service.engine.arrangement import TAPE_MM
from service.engine.geometry import (
    Rectangle,
    clip_half_plane,
    covered_length,
    rectangle_corners,
    square_about,
    without,
)
from service.engine.model import Neighbour, Point
from service.engine.trace import Trace


class NoConcreteLeftError(ArithmeticError):
    """Neighbours take all the concrete that a check stands on, so that there is no resistance."""

    def __init__(self) -> None:
        super().__init__("neighbours take all the concrete")


def trace_joined(count: int, trace: Trace, clause: str) -> None:
    """Note how many neighbours act with the fasteners of a check (no unit). EN 1992-4:2018, definition of a group."""
    if count:
        expression = "neighbours in one group with these fasteners, each loaded as the worst of them"
        trace.add("n_nb", count, "-", expression, clause)


def touches(point: Point, others: Iterable[Point], reach_mm: float) -> bool:
    """Whether a point stands nearer than a reach (mm) to another, both along x and along y. EN 1992-4:2018, 7.2.1.4."""
    return any(abs(point[0] - x) < reach_mm and abs(point[1] - y) < reach_mm for x, y in others)


def acting_with(points: Sequence[Point], neighbours: Iterable[Neighbour], spacing_mm: float) -> tuple[Point, ...]:
    """Neighbours within the characteristic spacing of some fasteners: with them they are one group.

    EN 1992-4:2018, definition of a group, from memory; a neighbour of a neighbour does not count.

    Args:
        points: Our fasteners (mm).
        neighbours: What stands near.
        spacing_mm: s_cr of the mode (mm).

    Returns:
        Where those neighbours stand (mm).
    """
    return tuple(each.point for each in neighbours if touches(each.point, points, spacing_mm))


def taken_from(points: Sequence[Point], side_mm: float, neighbours: Iterable[Neighbour]) -> list[list[Point]]:
    """What neighbours take of the squares about our fasteners: their own squares, or their side of the midline.

    Common practice, no source; the squares are those of EN 1992-4:2018, 7.2.1.4.

    Args:
        points: Our fasteners (mm).
        side_mm: Side of our squares, s_cr (mm).
        neighbours: What stands near.

    Returns:
        Corners of each part that is lost, counter-clockwise (mm).
    """
    lost = []
    for neighbour, half in near_squares(points, side_mm, neighbours):
        part = rectangle_corners(square_about(neighbour.point, half))
        lost.append(nearer_than(part, neighbour.point, points) if neighbour.shared else part)
    return [part for part in lost if part]


def near_squares(
    points: Sequence[Point], side_mm: float, neighbours: Iterable[Neighbour]
) -> list[tuple[Neighbour, float]]:
    """Neighbours whose squares reach ours, each with half the side of its own (mm). EN 1992-4:2018, 7.2.1.4."""
    halves = ((each, side_mm * each.depth_ratio / 2.0) for each in neighbours)
    return [(each, half) for each, half in halves if touches(each.point, points, side_mm / 2.0 + half)]


def nearer_than(part: Sequence[Point], to: Point, points: Iterable[Point]) -> list[Point]:
    """What of a part is nearer to one point than to any of the others (mm). EN 1992-4:2018, 7.2.1.4."""
    left = list(part)
    for x, y in points:
        constant = to[0] ** 2 + to[1] ** 2 - x**2 - y**2
        left = clip_half_plane(left, constant, 2.0 * (x - to[0]), 2.0 * (y - to[1]))
    return left


def shares_of(near: Sequence[tuple[Neighbour, float]]) -> list[tuple[Point, list[Point]]]:
    """The squares of neighbours that share with ours, in convex pieces of which none lies over another (mm).

    EN 1992-4:2018, 7.2.1.4. Where several lie over each other the piece is that of the nearest: what that one leaves
    to ours, the others leave too. What a deeper neighbour takes whole is in none.

    Args:
        near: Neighbours with half the side of their squares (mm).

    Returns:
        Where the neighbour of each piece stands, and the piece.
    """
    found: list[tuple[Point, list[Point]]] = []
    for index, (one, half) in enumerate(near):
        if not one.shared:
            continue
        pieces = [rectangle_corners(square_about(one.point, half))]
        for other_index, (other, reach) in enumerate(near):
            if other_index == index:
                continue
            of_other = rectangle_corners(square_about(other.point, reach))
            if other.shared and other.point != one.point:
                of_other = nearer_than(of_other, other.point, [one.point])
            elif other.shared and other_index > index:
                continue
            if of_other:
                pieces = without(pieces, of_other)
        found.extend((one.point, piece) for piece in pieces)
    return found


def width_at_edge(
    points: Sequence[Point],
    along: int,
    reach_mm: float,
    bounds: Rectangle,
    beside: Iterable[Neighbour],
    deeper_reach_mm: float,
) -> float:
    """Width on the side face: the reach to either side of each fastener, cut by corners and by neighbours beside it.

    EN 1992-4:2018, 7.2.1.8 and 7.2.2.5. A neighbour in line with a fastener towards the edge shares its whole body and
    cuts nothing off it; it counts by acting in one group. What is beside ours cuts off its side, however it stands to
    another that acts with ours.

    Args:
        points: Our fasteners (mm).
        along: Axis along the edge: 0 is x, 1 is y.
        reach_mm: How far the body reaches along the edge from each fastener (mm).
        bounds: The concrete surface (mm).
        beside: What stands near enough to count at this edge, and beside ours.
        deeper_reach_mm: How far the body of one that is deeper, or of unknown depth, reaches along the edge (mm).

    Returns:
        The width (mm).

    Raises:
        NoConcreteLeftError: Neighbours take all of it.
    """
    low, high = bounds[2 * along], bounds[2 * along + 1]
    ours = [(max(p[along] - reach_mm, low), min(p[along] + reach_mm, high)) for p in points]
    lost = [_lost_along(each, points, along, reach_mm if each.shared else deeper_reach_mm) for each in beside]
    if not lost:
        return covered_length(ours)
    left = covered_length([*ours, *lost]) - covered_length(lost)
    if left < 1e-6:
        raise NoConcreteLeftError
    return left


def is_beside(neighbour: Neighbour, points: Iterable[Point], along: int) -> bool:
    """Whether a neighbour is farther from each fastener along the edge than across it. EN 1992-4:2018, 7.2.2.5."""
    x = neighbour.point
    return all(abs(x[along] - p[along]) >= abs(x[1 - along] - p[1 - along]) for p in points)


def widened_to(place: Point, points: Iterable[Point], along: int) -> Point:
    """How far a neighbour beside our fasteners widens the body that they push together.

    EN 1992-4:2018, 7.2.2.5; common practice, no source: by as much as it is farther along the edge than across it, so
    that what is in line adds nothing and nothing jumps where it turns from the one into the other.

    Args:
        place: Where the neighbour stands (mm).
        points: Our fasteners (mm).
        along: Axis along the edge: 0 is x, 1 is y.

    Returns:
        The place to which the width reaches in its stead (mm).
    """
    nearest = min(points, key=lambda p: abs(place[along] - p[along]))
    off = place[along] - nearest[along]
    added = max(0.0, abs(off) - abs(place[1 - along] - nearest[1 - along]))
    at = nearest[along] + math.copysign(added, off)
    return (place[0], at) if along else (at, place[1])


def takings(points: Sequence[Point], standing: Iterable[Neighbour], along: int) -> list[tuple[Neighbour, ...]]:
    """What neighbours near an edge may take of the width of some fasteners, of which the worst governs.

    EN 1992-4:2018, 7.2.1.8 and 7.2.2.5; common practice, no source. One beside them takes its side. One that is in line
    with some of them and deeper, or of unknown depth, takes no less than where it just stands beside them, as far along
    as it is across, so that nothing jumps where it turns from the one into the other.

    Args:
        points: Our fasteners (mm).
        standing: What stands near enough to count at this edge and does not act with them.
        along: Axis along the edge: 0 is x, 1 is y.

    Returns:
        The neighbours beside them; and with those that are turned there, to each side where a tape tells none.
    """
    near = list(standing)
    beside = tuple(each for each in near if is_beside(each, points, along))
    deeper = [each for each in near if not each.shared and each not in beside]
    turned = (tuple(_turned_beside(deeper, points, along, way)) for way in (-1.0, 1.0))
    return [beside, *((*beside, *taking) for taking in dict.fromkeys(turned) if taking)]


def _turned_beside(
    neighbours: Iterable[Neighbour], points: Sequence[Point], along: int, way: float
) -> Iterator[Neighbour]:
    """Neighbours in line put beside the nearest of ours, where they stand beside all there; the way if none is told."""
    for neighbour in neighbours:
        at, across = neighbour.point[along], neighbour.point[1 - along]
        nearest = min(points, key=lambda p: abs(at - p[along]))
        off, far = at - nearest[along], abs(across - nearest[1 - along])
        place = nearest[along] + math.copysign(far, off if abs(off) > TAPE_MM else way)
        others = (p for p in points if p != nearest)
        if all(abs(place - p[along]) >= abs(across - p[1 - along]) for p in others):
            yield replace(neighbour, point=(across, place) if along else (place, across))


def _lost_along(neighbour: Neighbour, points: Iterable[Point], along: int, reach_mm: float) -> tuple[float, float]:
    at = neighbour.point[along]
    start, stop = at - reach_mm, at + reach_mm
    if neighbour.shared:
        for p in points:
            middle = (at + p[along]) / 2.0
            start, stop = (max(start, middle), stop) if p[along] < at else (start, min(stop, middle))
    return start, max(start, stop)
