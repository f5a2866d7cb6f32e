"""Forces of fasteners and contact pressure under a rigid plate (EN 1992-4:2018, 6.2.1)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

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
Stiffness = tuple[float, float, float, float, float, float]


class NoEquilibriumError(ArithmeticError):
    """The plate finds no position of rest under the actions."""


@dataclass(frozen=True, slots=True)
class PlateForces:
    """Tension of each fastener (N) and the contact under the plate, if any."""

    tension_n: tuple[float, ...]
    contact: Contact | None
    plane: Vector
    """The strain plane that was found, from which a like problem is solved in fewer steps."""


def solve(
    positions: Sequence[Point],
    stress_area_mm2: float,
    concrete_modulus_mpa: float,
    contact_area: Rectangle,
    normal_n: float,
    moment_x_nmm: float,
    moment_y_nmm: float,
    start: Vector | None = None,
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
        start: Strain plane of a like problem on the same plate to start from.

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
    actions = (normal_n, -moment_y_nmm / scale, moment_x_nmm / scale)
    try:
        plane = _rest_position(section, actions, start)
    except NoEquilibriumError:
        if normal_n <= 0.0:
            raise
        # A plate that hangs on its fasteners alone turns freely about them, and may come to rest from above only.
        lifted = (normal_n / (len(positions) * section.steel), 0.0, 0.0)
        plane = _rest_position(section, actions, lifted)
    tensions = _without_traces(tuple(max(0.0, section.steel * _at(plane, p)) for p in section.fasteners))
    return PlateForces(tensions, _contact(section, plane, scale, max(tensions, default=0.0)), plane)


@dataclass(frozen=True, slots=True)
class _Section:
    fasteners: tuple[Point, ...]
    steel: float
    concrete: float
    plate: list[Point]

    def stiffness(self, polygon: Sequence[Point], fasteners: Sequence[Point]) -> Stiffness:
        """Stiffness of a part in contact with some fasteners: s, sx, sy, sxx, sxy, syy."""
        concrete, steel = self.concrete, self.steel
        area, mx, my, mxx, mxy, myy = area_moments(polygon)
        s, sx, sy = concrete * area, concrete * mx, concrete * my
        sxx, sxy, syy = concrete * mxx, concrete * mxy, concrete * myy
        for x, y in fasteners:
            s += steel
            sx += steel * x
            sy += steel * y
            sxx += steel * x * x
            sxy += steel * x * y
            syy += steel * y * y
        return s, sx, sy, sxx, sxy, syy

    def at(self, plane: Vector) -> _State:
        """What takes part at a strain plane, what it resists, and the elastic energy."""
        a, b, c = plane
        pulled = [point for point in self.fasteners if a + b * point[0] + c * point[1] > 0.0]
        stiffness = self.stiffness(clip_half_plane(self.plate, a, b, c), pulled)
        s, sx, sy, sxx, sxy, syy = stiffness
        resisted = (s * a + sx * b + sy * c, sx * a + sxx * b + sxy * c, sy * a + sxy * b + syy * c)
        return _State(plane, stiffness, resisted, 0.5 * _dot(plane, resisted))


class _State(NamedTuple):
    plane: Vector
    stiffness: Stiffness
    resisted: Vector
    energy: float


def _rest_position(section: _Section, actions: Vector, start: Vector | None) -> Vector:
    # Newton's method on the convex energy with a damping that grows while a step does not lower it: a plate that hangs
    # on fasteners in one line has a free rotation until contact stops it, and undamped steps would overshoot there.
    allowed = _TOLERANCE * max(abs(f) for f in actions)
    whole = section.concrete + section.steel
    damping = _DAMPING_MIN
    if start is None:
        start = _solve(section.stiffness(section.plate, section.fasteners), 0.0, actions)
    state = section.at(start)
    for _ in range(_ITERATIONS):
        missing = _difference(actions, state.resisted)
        if _within(missing, allowed):
            return state.plane
        step = _solve(state.stiffness, damping * whole, missing)
        a, b, c = state.plane
        tried = section.at((a + step[0], b + step[1], c + step[2]))
        gain = state.energy - tried.energy + _dot(actions, step)
        if gain >= 1e-4 * _dot(step, missing) or _within(_difference(actions, tried.resisted), allowed):
            state = tried
            damping = max(_DAMPING_MIN, damping * 1e-3)
        else:
            damping *= 10.0
    raise NoEquilibriumError("the plate finds no position of rest")


def _difference(first: Vector, second: Vector) -> Vector:
    return first[0] - second[0], first[1] - second[1], first[2] - second[2]


def _within(vector: Vector, allowed: float) -> bool:
    a, b, c = vector
    return -allowed <= a <= allowed and -allowed <= b <= allowed and -allowed <= c <= allowed


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
    centre = (_without_noise(x) * scale, _without_noise(y) * scale)
    stiffness = -section.concrete / (scale * scale)
    return Contact(
        compression,
        centre,
        pressure,
        compression / (area * scale * scale),
        tuple((x * scale, y * scale) for x, y in polygon),
        (stiffness * a, stiffness * b / scale, stiffness * c / scale),
    )


def _without_noise(place: float) -> float:
    return place if abs(place) > PLACE_NOISE else 0.0


def _without_traces(tensions: tuple[float, ...]) -> tuple[float, ...]:
    floor = UNLOADED_SHARE * max(tensions, default=0.0)
    return tuple(t if t > floor else 0.0 for t in tensions)


def _at(plane: Vector, point: Point) -> float:
    return plane[0] + plane[1] * point[0] + plane[2] * point[1]


def _dot(first: Vector, second: Vector) -> float:
    return first[0] * second[0] + first[1] * second[1] + first[2] * second[2]


def _solve(stiffness: Stiffness, damping: float, right: Vector) -> Vector:
    s, sx, sy, sxx, sxy, syy = stiffness
    s, sxx, syy = s + damping, sxx + damping, syy + damping
    co_a, co_b, co_c = sxx * syy - sxy * sxy, sxy * sy - sx * syy, sx * sxy - sxx * sy
    determinant = s * co_a + sx * co_b + sy * co_c
    if determinant == 0.0:
        raise NoEquilibriumError("nothing holds the plate")
    co_d, co_e, co_f = s * syy - sy * sy, sy * sx - s * sxy, s * sxx - sx * sx
    p, q, r = right
    return (
        (p * co_a + q * co_b + r * co_c) / determinant,
        (p * co_b + q * co_d + r * co_e) / determinant,
        (p * co_c + q * co_e + r * co_f) / determinant,
    )
