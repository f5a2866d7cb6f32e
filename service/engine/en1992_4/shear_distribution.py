"""How shear and torsion reach the fasteners (EN 1992-4:2018, 6.2.2)."""

from __future__ import annotations

from collections.abc import Sequence

from service.engine.model import Point


def centre(points: Sequence[Point]) -> Point:
    """Centre of gravity of equal fasteners (mm). EN 1992-4:2018, 6.2.2."""
    xs, ys = zip(*points, strict=True)
    return sum(xs) / len(points), sum(ys) / len(points)


def torsion_about(point: Point, torsion_nmm: float, shear_x_n: float, shear_y_n: float) -> float:
    """Torsion about a point from shear and torsion at the origin (Nmm).

    EN 1992-4:2018, 6.2.2, by statics: T - (x·Vy - y·Vx).

    Args:
        point: Where the torsion is wanted (mm).
        torsion_nmm: Torsion at the origin (Nmm).
        shear_x_n: Shear in x (N).
        shear_y_n: Shear in y (N).

    Returns:
        Torsion about the point (Nmm).
    """
    return torsion_nmm - (point[0] * shear_y_n - point[1] * shear_x_n)


def polar_sum(points: Sequence[Point]) -> float:
    """Sum of the squared distances to the centre of gravity, Σr² (mm²). EN 1992-4:2018, 6.2.2."""
    cx, cy = centre(points)
    return sum((x - cx) ** 2 + (y - cy) ** 2 for x, y in points)


def elastic_shear(
    points: Sequence[Point], shear_x_n: float, shear_y_n: float, torsion_nmm: float
) -> tuple[tuple[float, float], ...]:
    """Shear of each fastener when all take part elastically: V/n and T·r/Σr².

    EN 1992-4:2018, 6.2.2.2.

    Args:
        points: Positions of the fasteners (mm).
        shear_x_n: Shear in x (N).
        shear_y_n: Shear in y (N).
        torsion_nmm: Torsion about the centre of the group (Nmm).

    Returns:
        Shear in x and y of each fastener (N).
    """
    count = len(points)
    if torsion_nmm == 0.0:
        return ((shear_x_n / count, shear_y_n / count),) * count
    cx, cy = centre(points)
    per_arm = torsion_nmm / polar_sum(points)
    return tuple((shear_x_n / count - per_arm * (y - cy), shear_y_n / count + per_arm * (x - cx)) for x, y in points)
