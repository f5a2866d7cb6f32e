"""Elastic bending stress of the fixture, so that a plate that is not stiff shows (EN 1992-4:2018, 6.2.1).

The standard asks for a stiff plate and gives no formula; bending about the faces of the attached section is common
practice, no source.
"""

from __future__ import annotations

from service.engine.geometry import Rectangle, covered_length
from service.engine.model import Fixing
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


def verify(fixing: Fixing, forces: Forces) -> PlateStress:
    """Largest bending stress about the four faces of the attached section under the found forces.

    EN 1992-4:2018, 6.2.1; a fastener's pull spreads at 45° to the face, the contact resultant over the plate's width.

    Args:
        fixing: The fixing (mm, MPa).
        forces: Found forces of fasteners and contact (N).

    Returns:
        The stress (MPa), or what of the fixture is not given.
    """
    fixture = fixing.fixture
    thickness, section = fixture.thickness_mm, fixture.section_mm
    if thickness is None or section is None or fixture.yield_mpa is None:
        given = {"thickness_mm": thickness, "yield_mpa": fixture.yield_mpa, "attached_section": section}
        return PlateStress(None, tuple(name for name, value in given.items() if value is None))
    largest = 0.0
    for axis, sign in _SIDES:
        face = sign * fixture.centre[axis] + section[axis] / 2.0
        largest = max(
            largest,
            _tension_stress(fixing, forces, axis, sign, face, thickness),
            _contact_stress(fixing, forces, axis, sign, face, thickness),
        )
    return PlateStress(largest)


def _tension_stress(fixing: Fixing, forces: Forces, axis: int, sign: float, face: float, thickness_mm: float) -> float:
    low, high = _plate_span(fixing, 1 - axis)
    moment = 0.0
    strips = []
    for point, tension in zip(fixing.positions, forces.tension_n, strict=True):
        arm = sign * point[axis] - face
        if arm > 0.0 and tension > 0.0:
            moment += tension * arm
            strips.append((max(low, point[1 - axis] - arm), min(high, point[1 - axis] + arm)))
    return bending_stress(moment, covered_length(strips), thickness_mm) if strips else 0.0


def _contact_stress(fixing: Fixing, forces: Forces, axis: int, sign: float, face: float, thickness_mm: float) -> float:
    if forces.contact is None:
        return 0.0
    arm = sign * forces.contact.centre[axis] - face
    if arm <= 0.0:
        return 0.0
    low, high = _plate_span(fixing, 1 - axis)
    return bending_stress(forces.contact.compression_n * arm, high - low, thickness_mm)


def _plate_span(fixing: Fixing, axis: int) -> tuple[float, float]:
    fixture = fixing.fixture
    half = (fixture.width_mm, fixture.depth_mm)[axis] / 2.0
    return fixture.centre[axis] - half, fixture.centre[axis] + half


def plate_over_concrete(fixing: Fixing) -> Rectangle:
    """The part of the plate that lies over concrete (mm). EN 1992-4:2018, 6.2.1."""
    west, east, south, north = fixing.member.edges_mm
    (x0, x1), (y0, y1) = _plate_span(fixing, 0), _plate_span(fixing, 1)
    return max(x0, -west), min(x1, east), max(y0, -south), min(y1, north)
