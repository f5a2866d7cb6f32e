"""Projected areas on the concrete surface (EN 1992-4:2018, 7.2.1.4 and 7.2.1.6)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from service.engine.geometry import Rectangle, intersection, square_about, union_strips
from service.engine.model import Member, Point


@dataclass(frozen=True, slots=True)
class Area:
    """An area (mm²) and the strips it is the sum of (mm by mm)."""

    value_mm2: float
    strips: tuple[tuple[float, float], ...]

    def expression(self) -> str:
        """The sum of products that gives the area."""
        return " + ".join(f"{width:.6g}·{height:.6g}" for width, height in self.strips)


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
    strips = union_strips([intersection(square_about(point, side_mm / 2.0), bounds) for point in points])
    return Area(sum(width * height for width, height in strips), tuple(strips))
