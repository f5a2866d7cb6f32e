"""Forces of fasteners and contact pressure under a rigid plate (EN 1992-4:2018, 6.2.1)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from service.engine.geometry import Rectangle, area_moments, clip_half_plane, rectangle_corners
from service.engine.model import Point
from service.engine.results import Contact

STEEL_MODULUS_MPA = 210_000.0
"""E_s of fasteners, EN 1992-4:2018, 6.2.1 (from memory)."""

UNLOADED_SHARE = 1e-6
"""Below this share of the largest tension a fastener counts as not loaded."""

PLACE_NOISE = 1e-9
"""What is left of an iteration where the pressure acts at the middle, as a share of the plate's size."""

_ITERATIONS = 200
_TOLERANCE = 1e-10
_DAMPING_MIN = 1e-12

Vector = tuple[float, float, float]
Matrix = tuple[Vector, Vector, Vector]


class NoEquilibriumError(ArithmeticError):
    """The plate finds no position of rest under the actions."""


@dataclass(frozen=True, slots=True)
class PlateForces:
    """Tension of each fastener (N) and the contact under the plate, if any."""

    tension_n: tuple[float, ...]
    contact: Contact | None


def solve(
    positions: Sequence[Point],
    stress_area_mm2: float,
    concrete_modulus_mpa: float,
    contact_area: Rectangle,
    normal_n: float,
    moment_x_nmm: float,
    moment_y_nmm: float,
) -> PlateForces:
    """Elastic forces under a rigid plate: plane strain, fasteners in tension only, concrete in compression only.

    EN 1992-4:2018, 6.2.1. The strain plane is the minimum of a convex energy; Newton's steps are a cracked section's.

    Args:
        positions: Positions of the fasteners (mm).
        stress_area_mm2: A_s of each fastener (mm²).
        concrete_modulus_mpa: E_cm (MPa).
        contact_area: Plate over concrete (mm).
        normal_n: Normal force at the origin, positive when it pulls (N).
        moment_x_nmm: Moment about x (Nmm).
        moment_y_nmm: Moment about y (Nmm).

    Returns:
        Tensions (N) and the contact resultant (N), its place (mm) and largest pressure (MPa).

    Raises:
        NoEquilibriumError: When no position of rest exists or is found.
    """
    scale = max(contact_area[1] - contact_area[0], contact_area[3] - contact_area[2])
    section = _Section(
        tuple((x / scale, y / scale) for x, y in positions),
        STEEL_MODULUS_MPA * stress_area_mm2,
        concrete_modulus_mpa * scale * scale,
        rectangle_corners((
            contact_area[0] / scale,
            contact_area[1] / scale,
            contact_area[2] / scale,
            contact_area[3] / scale,
        )),
    )
    plane = _rest_position(section, (normal_n, -moment_y_nmm / scale, moment_x_nmm / scale))
    tensions = _without_traces(tuple(max(0.0, section.steel * _at(plane, p)) for p in section.fasteners))
    return PlateForces(tensions, _contact(section, plane, scale, max(tensions, default=0.0)))


@dataclass(frozen=True, slots=True)
class _Section:
    fasteners: tuple[Point, ...]
    steel: float
    concrete: float
    plate: list[Point]

    def stiffness_and_energy(self, plane: Vector) -> tuple[Matrix, float]:
        """Tangent stiffness of what takes part at a strain plane, and the elastic energy there."""
        a, b, c = plane
        polygon = clip_half_plane(self.plate, a, b, c)
        s, sx, sy, sxx, sxy, syy = (self.concrete * m for m in area_moments(polygon))
        for x, y in self.fasteners:
            if a + b * x + c * y > 0.0:
                s += self.steel
                sx += self.steel * x
                sy += self.steel * y
                sxx += self.steel * x * x
                sxy += self.steel * x * y
                syy += self.steel * y * y
        matrix = ((s, sx, sy), (sx, sxx, sxy), (sy, sxy, syy))
        return matrix, 0.5 * _dot(plane, _times(matrix, plane))


def _rest_position(section: _Section, actions: Vector) -> Vector:
    # Newton's method on the convex energy with a damping that grows while a step does not lower it: a plate that hangs
    # on fasteners in one line has a free rotation until contact stops it, and undamped steps would overshoot there.
    size = max(abs(f) for f in actions)
    whole = section.concrete + section.steel
    damping = _DAMPING_MIN
    plane = _first_guess(section, actions)
    matrix, energy = section.stiffness_and_energy(plane)
    for _ in range(_ITERATIONS):
        resisted = _times(matrix, plane)
        missing = (actions[0] - resisted[0], actions[1] - resisted[1], actions[2] - resisted[2])
        if max(abs(f) for f in missing) <= _TOLERANCE * size:
            return plane
        step = _solve3(_damped(matrix, damping * whole), missing)
        tried = (plane[0] + step[0], plane[1] + step[1], plane[2] + step[2])
        tried_matrix, tried_energy = section.stiffness_and_energy(tried)
        gain = energy - tried_energy + _dot(actions, step)
        if gain >= 1e-4 * _dot(step, missing) or _residual(tried_matrix, tried, actions) <= _TOLERANCE * size:
            plane, matrix, energy = tried, tried_matrix, tried_energy
            damping = max(_DAMPING_MIN, damping * 1e-3)
        else:
            damping *= 10.0
    raise NoEquilibriumError("the plate finds no position of rest")


def _residual(matrix: Matrix, plane: Vector, actions: Vector) -> float:
    resisted = _times(matrix, plane)
    return max(abs(a - r) for a, r in zip(actions, resisted, strict=True))


def _damped(matrix: Matrix, damping: float) -> Matrix:
    (a, b, c), (d, e, f), (g, h, i) = matrix
    return ((a + damping, b, c), (d, e + damping, f), (g, h, i + damping))


def _first_guess(section: _Section, actions: Vector) -> Vector:
    s, sx, sy, sxx, sxy, syy = (section.concrete * m for m in area_moments(section.plate))
    for x, y in section.fasteners:
        s += section.steel
        sx += section.steel * x
        sy += section.steel * y
        sxx += section.steel * x * x
        sxy += section.steel * x * y
        syy += section.steel * y * y
    return _solve3(((s, sx, sy), (sx, sxx, sxy), (sy, sxy, syy)), actions)


def _contact(section: _Section, plane: Vector, scale: float, largest_tension_n: float) -> Contact | None:
    a, b, c = plane
    polygon = clip_half_plane(section.plate, a, b, c)
    area, sx, sy, sxx, sxy, syy = area_moments(polygon)
    compression = -section.concrete * (a * area + b * sx + c * sy)
    if compression <= UNLOADED_SHARE * largest_tension_n:
        return None
    x = -section.concrete * (a * sx + b * sxx + c * sxy) / compression
    y = -section.concrete * (a * sy + b * sxy + c * syy) / compression
    pressure = max(-_at(plane, corner) for corner in polygon) * section.concrete / (scale * scale)
    return Contact(compression, (_without_noise(x) * scale, _without_noise(y) * scale), pressure)


def _without_noise(place: float) -> float:
    return place if abs(place) > PLACE_NOISE else 0.0


def _without_traces(tensions: tuple[float, ...]) -> tuple[float, ...]:
    floor = UNLOADED_SHARE * max(tensions, default=0.0)
    return tuple(t if t > floor else 0.0 for t in tensions)


def _at(plane: Vector, point: Point) -> float:
    return plane[0] + plane[1] * point[0] + plane[2] * point[1]


def _dot(first: Vector, second: Vector) -> float:
    return first[0] * second[0] + first[1] * second[1] + first[2] * second[2]


def _times(matrix: Matrix, vector: Vector) -> Vector:
    return (_dot(matrix[0], vector), _dot(matrix[1], vector), _dot(matrix[2], vector))


def _solve3(matrix: Matrix, right: Vector) -> Vector:
    (a, b, c), (d, e, f), (g, h, i) = matrix
    co_a, co_b, co_c = e * i - f * h, f * g - d * i, d * h - e * g
    determinant = a * co_a + b * co_b + c * co_c
    if determinant == 0.0:
        raise NoEquilibriumError("nothing holds the plate")
    r, s, t = right
    return (
        (r * co_a + s * (c * h - b * i) + t * (b * f - c * e)) / determinant,
        (r * co_b + s * (a * i - c * g) + t * (c * d - a * f)) / determinant,
        (r * co_c + s * (b * g - a * h) + t * (a * e - b * d)) / determinant,
    )
