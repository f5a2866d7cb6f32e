"""Projected areas on the concrete surface (EN 1992-4:2018, 7.2.1.4 and 7.2.1.6)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from service.engine.geometry import Rectangle, area_moments, intersection, nearer_part, square_about, union_strips
from service.engine.model import Member, Point


@dataclass(frozen=True, slots=True)
class Area:
    """An area (mm²) and the sum that gives it."""

    value_mm2: float
    strips: tuple[tuple[float, float], ...]
    corners: tuple[Point, ...]

    def expression(self) -> str:
        """The area as a sum that a pocket calculator redoes: strips, or the corner formula of a polygon."""
        if self.strips:
            return " + ".join(f"{width:.9g}·{height:.9g}" for width, height in self.strips)
        turns = zip(self.corners, (*self.corners[1:], self.corners[0]), strict=True)
        return "0.5·(" + " + ".join(f"({a:.9g}·{d:.9g} - {c:.9g}·{b:.9g})" for (a, b), (c, d) in turns) + ")"


def member_bounds(member: Member) -> Rectangle:
    """The concrete surface as a rectangle (mm), infinite where no edge is in reach."""
    west, east, south, north = member.edges_mm
    return (-west, east, -south, north)


def projected_area(points: Sequence[Point], side_mm: float, member: Member) -> Area:
    """Union of the squares about fasteners, cut by the edges: A_c,N, A_p,N and the like.

    EN 1992-4:2018, 7.2.1.4.

    Args:
        points: Positions of the fasteners (mm).
        side_mm: Side of the square, s_cr (mm).
        member: The concrete with its edges.

    Returns:
        The area (mm²) with its strips.
    """
    bounds = member_bounds(member)
    block = _block_without_gaps(points, side_mm)
    if block is not None:
        x0, x1, y0, y1 = intersection(block, bounds)
        return Area((x1 - x0) * (y1 - y0), ((x1 - x0, y1 - y0),), ())
    strips = union_strips([intersection(square_about(point, side_mm / 2.0), bounds) for point in points])
    return Area(sum(width * height for width, height in strips), tuple(strips), ())


def _block_without_gaps(points: Sequence[Point], side_mm: float) -> Rectangle | None:
    """The rectangle that the squares fill, where they stand in a full grid close enough to leave no gap."""
    xs, ys = sorted({p[0] for p in points}), sorted({p[1] for p in points})
    if len(xs) * len(ys) != len(points):
        return None
    if any(b - a > side_mm for values in (xs, ys) for a, b in pairwise(values)):
        return None
    half = side_mm / 2.0
    return (xs[0] - half, xs[-1] + half, ys[0] - half, ys[-1] + half)


def own_share(index: int, points: Sequence[Point], side_mm: float, member: Member) -> Area:
    """One fastener's own share of the area: its square as far as it is nearest, cut by the edges.

    EN 1992-4:2018, 7.2.2.4.

    Args:
        index: The fastener concerned.
        points: Positions of all fasteners (mm).
        side_mm: Side of the square, s_cr (mm).
        member: The concrete with its edges.

    Returns:
        The area (mm²) with the corners of the share.
    """
    corners = nearer_part(index, points, side_mm / 2.0, member_bounds(member))
    return Area(area_moments(corners)[0], (), tuple(corners))
