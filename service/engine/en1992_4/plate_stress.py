"""Elastic bending stress of the fixture, so that a plate that is not stiff shows (EN 1992-4:2018, 6.2.1).

The standard asks for a stiff plate and gives no formula; bending about the faces of the attached section is common
practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from service.engine.geometry import LEAST_MM2, Rectangle, area_moments, clip_half_plane, covered_length
from service.engine.model import Fixing, Point
from service.engine.results import Forces, PlateStress

_SIDES = ((0, -1.0), (0, 1.0), (1, -1.0), (1, 1.0))


def bending_stress(moment_nmm: float, width_mm: float, thickness_mm: float) -> float:
    """6·M/(b·t²), elastic stress of a rectangular plate strip.

    EN 1992-4:2018, 6.2.1 asks for it to stay elastic.

    Args:
        moment_nmm: Bending moment of the strip (Nmm).
        width_mm: b (mm).
        thickness_mm: t (mm).

    Returns:
        Stress (MPa).
    """
    return 6.0 * moment_nmm / (width_mm * thickness_mm**2)


def verify(fixing: Fixing, forces: Forces, head_arm_mm: float = 0.0) -> PlateStress:
    """Largest bending stress about the four faces of the attached section under the found forces.

    EN 1992-4:2018, 6.2.1; what a fastener puts into the plate spreads at 45° to the face, and so does pressure from
    where it acts. Beyond each face the plate is a cantilever: what pulls, what presses, and pressure count each alone.
    A fastener within the outline of the section bends the plate to its nearest wall.

    Args:
        fixing: The fixing (mm, MPa).
        forces: Found forces of fasteners and contact (N).
        head_arm_mm: Moment that a fastener held against rotation puts into the plate, by its shear (mm).

    Returns:
        The stress (MPa), or what of the fixture is not given.
    """
    fixture = fixing.fixture
    thickness, section = fixture.thickness_mm, fixture.section_mm
    if thickness is None or section is None or fixture.yield_mpa is None:
        given = {"thickness_mm": thickness, "yield_mpa": fixture.yield_mpa, "attached_section": section}
        return PlateStress(None, tuple(name for name, value in given.items() if value is None))
    largest = _within(fixing, forces, section, thickness)
    presses = head_arm_mm > 0.0 or min(forces.tension_n) < 0.0
    senses = (1.0, -1.0) if presses else (1.0,)
    for axis, sign in _SIDES:
        face = sign * fixture.centre[axis] + section[axis] / 2.0
        side = _Side(axis, sign, face, _plate_span(fixing, 1 - axis))
        strips = [strip for sense in senses for strip in _fasteners(fixing, forces, side, sense, head_arm_mm)]
        for strip in (*strips, *_contact(forces, side)):
            largest = max(largest, bending_stress(strip.moment_nmm, strip.width_mm, thickness))
    return PlateStress(largest)


def _within(fixing: Fixing, forces: Forces, section: tuple[float, float], thickness_mm: float) -> float:
    """Stress where fasteners stand within the outline of what is attached, which may be hollow (MPa)."""
    # To the nearest wall each bends a strip that spreads at 45°, so its distance a falls out: 6·N·a/(2·a·t²).
    centre = fixing.fixture.centre
    inside = (
        abs(axial)
        for point, axial in zip(fixing.positions, forces.tension_n, strict=True)
        if all(abs(point[axis] - centre[axis]) <= section[axis] / 2.0 for axis in (0, 1))
    )
    return bending_stress(max(inside, default=0.0), 2.0, thickness_mm)


@dataclass(frozen=True, slots=True)
class _Side:
    """The part of the plate beyond a face of the attached section (mm)."""

    axis: int
    sign: float
    face_mm: float
    span_mm: tuple[float, float]

    def beyond_mm(self, point: Point) -> float:
        """How far a point lies beyond the face."""
        return self.sign * point[self.axis] - self.face_mm

    def spread(self, low_mm: float, high_mm: float, arm_mm: float) -> tuple[float, float]:
        """What lies between two places across, spread at 45° to the face."""
        return max(self.span_mm[0], low_mm - arm_mm), min(self.span_mm[1], high_mm + arm_mm)


@dataclass(frozen=True, slots=True)
class _Strip:
    """A strip of the plate that bends about a face: its moment (Nmm) and width (mm)."""

    moment_nmm: float
    width_mm: float


def _fasteners(fixing: Fixing, forces: Forces, side: _Side, sense: float, head_arm_mm: float) -> Iterator[_Strip]:
    """What fasteners beyond the face that pull (sense 1) or press (-1) put into the plate: each alone, and together."""
    moment = 0.0
    spreads = []
    for point, axial, shear in zip(fixing.positions, forces.tension_n, forces.shear_n, strict=True):
        arm = side.beyond_mm(point)
        if arm <= 0.0:
            continue
        part = max(0.0, sense * axial) * arm + head_arm_mm * abs(shear[side.axis])
        if part > 0.0:
            moment += part
            spreads.append(side.spread(point[1 - side.axis], point[1 - side.axis], arm))
            yield _Strip(part, covered_length(spreads[-1:]))
    if len(spreads) > 1:
        yield _Strip(moment, covered_length(spreads))


def _contact(forces: Forces, side: _Side) -> Iterator[_Strip]:
    """What the pressure beyond the face puts into the plate: the integral of p·(distance from the face)."""
    contact = forces.contact
    if contact is None:
        return
    across = (-side.sign, 0.0) if side.axis == 0 else (0.0, -side.sign)
    part = clip_half_plane(contact.area, side.face_mm, *across)
    area, sx, sy, sxx, sxy, syy = area_moments(part)
    if area <= LEAST_MM2:
        return
    p, px, py = contact.pressure_plane
    first, along = ((sx, (sxx, sxy)), (sy, (sxy, syy)))[side.axis]
    moment = side.sign * (p * first + px * along[0] + py * along[1])
    force = p * area + px * sx + py * sy
    moment -= side.face_mm * force
    places = [point[1 - side.axis] for point in part]
    low, high = side.spread(min(places), max(places), moment / force)
    yield _Strip(moment, high - low)


def _plate_span(fixing: Fixing, axis: int) -> tuple[float, float]:
    fixture = fixing.fixture
    half = (fixture.width_mm, fixture.depth_mm)[axis] / 2.0
    return fixture.centre[axis] - half, fixture.centre[axis] + half


def plate_over_concrete(fixing: Fixing) -> Rectangle:
    """The part of the plate that lies over concrete (mm). EN 1992-4:2018, 6.2.1."""
    west, east, south, north = fixing.member.edges_mm
    (x0, x1), (y0, y1) = _plate_span(fixing, 0), _plate_span(fixing, 1)
    return max(x0, -west), min(x1, east), max(y0, -south), min(y1, north)
