"""Plane geometry in pure Python: polygons and unions of rectangles (mm)."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

from service.engine.model import Point

Rectangle = tuple[float, float, float, float]
"""x from, x to, y from, y to (mm)."""

LEAST_MM2 = 1e-6
"""An area below this is what rounding leaves (mm²)."""


def rectangle_corners(rectangle: Rectangle) -> list[Point]:
    """Corners of a rectangle, counter-clockwise (mm)."""
    x0, x1, y0, y1 = rectangle
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]


def intersection(first: Rectangle, second: Rectangle) -> Rectangle:
    """Common part of two rectangles (mm); empty ones have an end before their start."""
    return (
        max(first[0], second[0]),
        min(first[1], second[1]),
        max(first[2], second[2]),
        min(first[3], second[3]),
    )


def clip_half_plane(polygon: Sequence[Point], a: float, b: float, c: float) -> list[Point]:
    """The part of a convex polygon where a + b·x + c·y is not positive.

    Args:
        polygon: Corners in order (mm).
        a: Constant of the line.
        b: Factor of x.
        c: Factor of y.

    Returns:
        Corners of the remaining polygon in the same order, empty when nothing remains.
    """
    kept: list[Point] = []
    if not polygon:
        return kept
    previous = polygon[-1]
    height_before = a + b * previous[0] + c * previous[1]
    for point in polygon:
        height = a + b * point[0] + c * point[1]
        if (height <= 0.0) != (height_before <= 0.0):
            share = height_before / (height_before - height)
            kept.append((
                previous[0] + share * (point[0] - previous[0]),
                previous[1] + share * (point[1] - previous[1]),
            ))
        if height <= 0.0:
            kept.append(point)
        previous, height_before = point, height
    return kept


def clip_rectangle(polygon: Sequence[Point], rectangle: Rectangle) -> list[Point]:
    """The part of a convex polygon within a rectangle, corners in the same order (mm)."""
    if not polygon:
        return []
    x0, x1, y0, y1 = rectangle
    around = _bounds(polygon)
    if around[0] >= x1 or around[1] <= x0 or around[2] >= y1 or around[3] <= y0:
        return []
    kept = clip_half_plane(clip_half_plane(polygon, x0, -1.0, 0.0), -x1, 1.0, 0.0)
    return clip_half_plane(clip_half_plane(kept, y0, 0.0, -1.0), -y1, 0.0, 1.0)


def without(pieces: Iterable[Sequence[Point]], hole: Sequence[Point]) -> list[list[Point]]:
    """What is left of convex pieces where a convex hole is cut out of them.

    Args:
        pieces: Corners of each piece, counter-clockwise (mm).
        hole: Corners of the hole, counter-clockwise (mm).

    Returns:
        Convex pieces that do not overlap where those given do not.
    """
    left: list[list[Point]] = []
    around_hole = _bounds(hole)
    for piece in pieces:
        overlap = intersection(_bounds(piece), around_hole)
        if overlap[0] >= overlap[1] or overlap[2] >= overlap[3]:
            left.append(list(piece))
            continue
        inside, around = list(piece), []
        for (x0, y0), (x1, y1) in zip(hole, (*hole[1:], hole[0]), strict=True):
            a, b, c = (y1 - y0) * x0 - (x1 - x0) * y0, y0 - y1, x1 - x0
            around.append(clip_half_plane(inside, a, b, c))
            inside = clip_half_plane(inside, -a, -b, -c)
        cut = area_moments(inside)[0] > LEAST_MM2
        left.extend([part for part in around if area_moments(part)[0] > LEAST_MM2] if cut else [list(piece)])
    return left


def _bounds(polygon: Sequence[Point]) -> Rectangle:
    """The rectangle about a polygon (mm)."""
    xs, ys = [x for x, _ in polygon], [y for _, y in polygon]
    return min(xs), max(xs), min(ys), max(ys)


def area_moments(polygon: Sequence[Point]) -> tuple[float, float, float, float, float, float]:
    """Integrals of 1, x, y, x², xy and y² over a polygon, corners counter-clockwise (mm², mm³, mm⁴)."""
    area = sx = sy = sxx = sxy = syy = 0.0
    if len(polygon) < 3:
        return (0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    x0, y0 = polygon[-1]
    for x1, y1 in polygon:
        cross = x0 * y1 - x1 * y0
        area += cross
        sx += cross * (x0 + x1)
        sy += cross * (y0 + y1)
        sxx += cross * (x0 * x0 + x0 * x1 + x1 * x1)
        syy += cross * (y0 * y0 + y0 * y1 + y1 * y1)
        sxy += cross * (2.0 * x0 * y0 + x0 * y1 + x1 * y0 + 2.0 * x1 * y1)
        x0, y0 = x1, y1
    return (area / 2.0, sx / 6.0, sy / 6.0, sxx / 12.0, sxy / 24.0, syy / 12.0)


def covered_length(intervals: Sequence[tuple[float, float]]) -> float:
    """Length of the union of intervals (mm)."""
    total = 0.0
    end = float("-inf")
    for start, stop in sorted(intervals):
        if stop > end:
            total += stop - max(start, end)
            end = stop
    return total


def union_strips(rectangles: Sequence[Rectangle]) -> list[tuple[float, float]]:
    """The union of rectangles as strips of (width, covered height) in mm, equal neighbours joined.

    The sum of width times height is the area, and the strips are few enough to redo it by hand.

    Args:
        rectangles: The rectangles (mm).

    Returns:
        The strips from left to right.
    """
    cuts = sorted({x for r in rectangles for x in (r[0], r[1])})
    strips: list[tuple[float, float]] = []
    for left, right in pairwise(cuts):
        height = covered_length([(r[2], r[3]) for r in rectangles if r[0] <= left and r[1] >= right and r[3] > r[2]])
        if height <= 0.0:
            continue
        if strips and abs(strips[-1][1] - height) < 1e-9:
            strips[-1] = (strips[-1][0] + right - left, height)
        else:
            strips.append((right - left, height))
    return strips


def square_about(point: Point, half_mm: float) -> Rectangle:
    """A square of half side ``half_mm`` about a point (mm)."""
    return (point[0] - half_mm, point[0] + half_mm, point[1] - half_mm, point[1] + half_mm)


def nearer_part(index: int, points: Sequence[Point], half_mm: float, bounds: Rectangle) -> list[Point]:
    """The part of the square about one point that is nearer to it than to any other point, cut by the edges.

    Args:
        index: The point concerned.
        points: All points (mm).
        half_mm: Half side of the square (mm).
        bounds: The concrete surface (mm).

    Returns:
        Corners of the part, counter-clockwise, measured from the point (mm).
    """
    x, y = points[index]
    polygon = rectangle_corners(intersection(square_about((x, y), half_mm), bounds))
    for other, (ox, oy) in enumerate(points):
        if other != index:
            mid_x, mid_y = (x + ox) / 2.0, (y + oy) / 2.0
            polygon = clip_half_plane(polygon, -(ox - x) * mid_x - (oy - y) * mid_y, ox - x, oy - y)
    return [(px - x, py - y) for px, py in polygon]
