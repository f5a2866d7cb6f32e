"""Whether the fixture is stiff: its elastic bending stress and how far it bends out of plane (EN 1992-4:2018, 6.2.1).

The standard asks for a plate that stays elastic and whose deformation is negligible beside that of the fasteners, and
gives no formula. Bending about the faces of the attached section is common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from service.engine.en1992_4.plate_equilibrium import STEEL_MODULUS_MPA
from service.engine.geometry import LEAST_MM2, Rectangle, area_moments, clip_half_plane, covered_length
from service.engine.model import Displacement, Fixing, Fixture, Point
from service.engine.results import Forces, PlateBending

NEGLIGIBLE_SHARE = 0.2
"""Share of the fasteners' displacement that counts as negligible; own choice, no source.

At that share no fastener takes more than a tenth of the assessment's own load beyond what it has under a rigid plate,
by beams on springs as soft as that displacement says (tests/engine/test_plate_stiffness.py).
"""

ADDED_SHARE = (math.sqrt(1.0 + 4.0 * NEGLIGIBLE_SHARE) - 1.0) / 2.0
"""Share of the assessment's own load that pressure which moves inwards may add to the pull, where that is as large.

Statics: where the plate turns by the displacement of what is pulled, w of bend moves the pressure C inwards so far that
it adds ΔT = C·w·k/(T + ΔT) to the pull T of fasteners of the stiffness k. With C = T = the assessment's load N_0 and
w = 0.2·N_0/k that is s·N_0, with s·(1 + s) = 0.2.
"""

UNKNOWN_THICKNESS_MM = 1.0
"""Thickness that figures stand for where none is given: stress falls with its square, deformation with its cube."""

NUT_DIAMETERS = 1.5
"""Width across the flats of a nut in diameters, ISO 4032; the least width on which a held head bends the plate."""

RELIEF = 3.0
"""How much wider a strip may be for each millimetre that its load lies beside what is attached; own choice."""

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


def cantilever_deflection(loads: Sequence[tuple[float, float]], width_mm: float, thickness_mm: float) -> float:
    """Σ F·a²·(3·A − a)/(6·E·I), how far a strip bends at its outermost load, at the distance A.

    EN 1992-4:2018, 6.2.1 asks for it to be negligible; elastic beam, any textbook of statics.

    Args:
        loads: F (N) and a, its distance from the face (mm), of each load.
        width_mm: b (mm).
        thickness_mm: t (mm).

    Returns:
        Deflection (mm).
    """
    far = max(arm for _, arm in loads)
    turned = sum(force * arm**2 * (3.0 * far - arm) for force, arm in loads)
    return 2.0 * turned / (STEEL_MODULUS_MPA * width_mm * thickness_mm**3)


@dataclass(frozen=True, slots=True)
class Bent:
    """How found forces bend a plate: largest stress (MPa), and how far fasteners and pressure bend it (mm)."""

    thickness_mm: float
    stress_mpa: float
    by_fasteners_mm: float
    by_pressure_mm: float


def bend(fixture: Fixture, positions: Sequence[Point], nut_mm: float, forces: Forces, head_arm_mm: float) -> Bent:
    """Largest bending stress about the four faces of the attached section, and how far the plate bends beyond them.

    EN 1992-4:2018, 6.2.1; what a fastener puts into the plate spreads at 45° to the face, and so does pressure from
    where it acts, but no farther beside what is attached than that holds: a rod holds less than a profile. Beyond each
    face the plate is a cantilever: what pulls, what presses, and pressure count each alone. A fastener within the
    outline of the section bends the plate to its nearest wall. A section that is not given is a point at the centre
    of the fixture, the least favourable.

    Args:
        fixture: The plate (mm).
        positions: Positions of the fasteners (mm).
        nut_mm: Width of their nuts (mm).
        forces: Found forces of fasteners and contact (N).
        head_arm_mm: Moment that a fastener held against rotation puts into the plate, by its shear (mm).

    Returns:
        Stress and deformation, whatever the fasteners give way.
    """
    plate = _Plate(
        fixture,
        positions,
        nut_mm,
        forces,
        fixture.section_mm or (0.0, 0.0),
        UNKNOWN_THICKNESS_MM if fixture.thickness_mm is None else fixture.thickness_mm,
        head_arm_mm,
    )
    parts = tuple(plate.parts())
    return Bent(plate.thickness_mm, plate.stress_mpa(parts), *plate.bends(parts))


def verify(
    fixing: Fixing, forces: Forces, head_arm_mm: float = 0.0, bending: Callable[..., Bent] = bend
) -> PlateBending:
    """How a plate bends, and how much of that is negligible beside the displacement of its fasteners.

    EN 1992-4:2018, 6.2.1; the share that is negligible is our own.

    Args:
        fixing: The fixing (mm, MPa).
        forces: Found forces of fasteners and contact (N).
        head_arm_mm: Moment that a fastener held against rotation puts into the plate, by its shear (mm).
        bending: Who says how a plate bends: ``bend``, or what remembers it.

    Returns:
        Stress, the deformation that is nearest to its limit, and what of the fixture is not given.
    """
    fixture, gives = fixing.fixture, _displacement(fixing, forces)
    bent = bending(fixture, fixing.positions, NUT_DIAMETERS * fixing.fastener.diameter_mm, forces, head_arm_mm)
    negligible = NEGLIGIBLE_SHARE * gives.way_mm
    bends = [_Bend(bent.by_fasteners_mm, negligible)]
    if forces.contact is not None:
        pulled = [force for force in forces.tension_n if force > 0.0]
        own = ADDED_SHARE * gives.load_n * len(pulled)
        by_force = ADDED_SHARE * gives.way_mm / forces.contact.compression_n
        bends.append(_Bend(bent.by_pressure_mm, negligible, by_force * sum(pulled), by_force * own))
    given = {
        "thickness_mm": fixture.thickness_mm,
        "yield_mpa": fixture.yield_mpa,
        "attached_section": fixture.section_mm,
    }
    missing = tuple(name for name, value in given.items() if value is None)
    worst, used = max(bends, key=lambda bend: bend.ratio), max(bend.used for bend in bends)
    return PlateBending(bent.thickness_mm, bent.stress_mpa, worst.deformation_mm, worst.most_mm, used, missing)


def _displacement(fixing: Fixing, forces: Forces) -> Displacement:
    """What a fastener gives way by its assessment, else as far as its steel stretches under the found force."""
    fastener = fixing.fastener
    if fastener.displacement is not None:
        return fastener.displacement
    pull = max(map(abs, forces.tension_n))
    return Displacement(pull, pull * fastener.embedment_mm / (fastener.stress_area_mm2 * STEEL_MODULUS_MPA))


@dataclass(frozen=True, slots=True)
class _Side:
    """The part of the plate beyond a face of the attached section (mm)."""

    axis: int
    sign: float
    face_mm: float
    span_mm: tuple[float, float]
    extent_mm: tuple[float, float]
    """What the section covers of the face's line."""
    beside_mm: float
    """How far beside its extent the section holds the plate: half of its depth, and half of a nut."""
    relief: float
    """How much farther for each millimetre that a load lies beside the section: it bends another face as well."""

    def beyond_mm(self, point: Point) -> float:
        """How far a point lies beyond the face."""
        return self.sign * point[self.axis] - self.face_mm

    def spread(self, low_mm: float, high_mm: float, arm_mm: float) -> tuple[float, float]:
        """What lies between two places across, spread at 45° to the face, as far as the section holds it there."""
        low, high = self.extent_mm
        return (
            max(self.span_mm[0], low_mm - arm_mm, low - self.beside_mm - self.relief * max(0.0, low - low_mm)),
            min(self.span_mm[1], high_mm + arm_mm, high + self.beside_mm + self.relief * max(0.0, high_mm - high)),
        )


@dataclass(frozen=True, slots=True)
class _Load:
    """What a fastener beyond a face puts into the plate: its force (N), arm (mm) and the moment of its head (Nmm)."""

    number: int
    force_n: float
    arm_mm: float
    across_mm: float
    head_nmm: float


@dataclass(frozen=True, slots=True)
class _Bend:
    """How far something bends the plate, what is negligible at any load, and what is where pressure moves inwards (mm).

    The latter is ``pulled_mm`` + ``own_mm``, of which the second falls as the forces grow.
    """

    deformation_mm: float
    negligible_mm: float
    pulled_mm: float = math.inf
    own_mm: float = 0.0

    @property
    def most_mm(self) -> float:
        """What is negligible under the forces as they are."""
        return min(self.negligible_mm, self.pulled_mm + self.own_mm)

    @property
    def ratio(self) -> float:
        """Deformation over what is negligible; no unit."""
        return self.deformation_mm / self.most_mm if self.deformation_mm > 0.0 else 0.0

    @property
    def used(self) -> float:
        """1/g where g·w = min(w_negligible, w_pulled + w_own/g): how much is used as the forces grow; no unit."""
        if self.deformation_mm == 0.0:
            return 0.0
        at_any_load = self.deformation_mm / self.negligible_mm
        if math.isinf(self.pulled_mm):
            return at_any_load
        root = math.sqrt(self.pulled_mm**2 + 4.0 * self.deformation_mm * self.own_mm)
        return max(at_any_load, 2.0 * self.deformation_mm / (self.pulled_mm + root))


@dataclass(frozen=True, slots=True)
class _Part:
    """What bends the plate beyond a face: fasteners that pull, and that press; pressure by force, arm and width."""

    side: _Side
    loads: tuple[list[_Load], ...]
    pressed: tuple[tuple[float, float, float], ...]


@dataclass(frozen=True, slots=True)
class _Plate:
    """A plate under found forces (N, mm), with an attached section and a thickness that are given or taken."""

    fixture: Fixture
    positions: Sequence[Point]
    nut_mm: float
    forces: Forces
    section_mm: tuple[float, float]
    thickness_mm: float
    head_arm_mm: float

    def parts(self) -> Iterator[_Part]:
        """What bends the plate beyond each face of the section."""
        for side in self._sides():
            yield _Part(side, tuple(filter(None, self._loads(side))), tuple(self._pressed(side)))

    def stress_mpa(self, parts: Sequence[_Part]) -> float:
        """Largest elastic bending stress."""
        return max(self._stresses(parts), default=0.0)

    def _stresses(self, parts: Sequence[_Part]) -> Iterator[float]:
        thickness = self.thickness_mm
        for index, (_, axial) in self._within():
            head = self.head_arm_mm * math.hypot(*self.forces.shear_n[index])
            # To the nearest wall each bends a strip that spreads at 45°, so its distance a falls out: 6·N·a/(2·a·t²).
            yield bending_stress(axial, 2.0, thickness) + bending_stress(head, self.nut_mm, thickness)
        for part in parts:
            side = part.side
            for loads in part.loads:
                for some in (*((load,) for load in loads), *([loads] if len(loads) > 1 else [])):
                    pulled = sum(load.force_n * load.arm_mm for load in some)
                    held = sum(load.head_nmm for load in some)
                    of_force = bending_stress(pulled, self._width_mm(side, some), thickness) if pulled else 0.0
                    of_heads = (
                        bending_stress(held, self._width_mm(side, some, self.nut_mm), thickness) if held else 0.0
                    )
                    yield of_force + of_heads
            for force, arm, width in part.pressed:
                yield bending_stress(force * arm, width, thickness)

    def bends(self, parts: Sequence[_Part]) -> tuple[float, float]:
        """How far fasteners, and pressure, bend the plate, a corner about both faces (mm)."""
        axial = self.forces.tension_n
        # Where nothing pulls, or one fastener holds what hangs on it, the forces are the same under any plate.
        if not any(axial) or (len(axial) == 1 and self.forces.contact is None):
            return 0.0, 0.0
        of_fasteners, of_pressure = [dict[int, float](), dict[int, float]()], [0.0, 0.0]
        for part in parts:
            axis, found = part.side.axis, of_fasteners[part.side.axis]
            for loads in part.loads:
                for number, bent in self._bent(part.side, loads):
                    found[number] = max(found.get(number, 0.0), bent)
            for force, arm, width in part.pressed:
                bent = cantilever_deflection([(force, arm)], width, self.thickness_mm)
                of_pressure[axis] = max(of_pressure[axis], bent)
        across, along = of_fasteners
        corners = (across.get(number, 0.0) + along.get(number, 0.0) for number in {*across, *along})
        return max((*corners, *self._bent_within())), sum(of_pressure)

    def _bent(self, side: _Side, loads: Sequence[_Load]) -> Iterator[tuple[int, float]]:
        """How far each fastener beyond a face bends the plate there, alone or together with the others."""
        pulling = [load for load in loads if load.force_n > 0.0]
        if not pulling:
            return
        places = [(load.force_n, load.arm_mm) for load in pulling]
        together = cantilever_deflection(places, self._width_mm(side, pulling), self.thickness_mm)
        for load, place in zip(pulling, places, strict=True):
            alone = cantilever_deflection([place], self._width_mm(side, [load]), self.thickness_mm)
            yield load.number, max(alone, together)

    def _bent_within(self) -> Iterator[float]:
        """How far fasteners within the outline bend the plate to the farther of a wall there and one in the middle."""
        yield 0.0
        centre = self.fixture.centre
        for _, (point, axial) in self._within():
            off = [abs(point[axis] - centre[axis]) for axis in (0, 1)]
            to_wall = min(self._outline_mm[axis] / 2.0 - off[axis] for axis in (0, 1))
            arm = max(to_wall, *off)
            if arm > 0.0:
                yield cantilever_deflection([(axial, arm)], 2.0 * arm, self.thickness_mm)

    def _within(self) -> Iterator[tuple[int, tuple[Point, float]]]:
        """Fasteners within the outline of what is attached, which may be hollow, each with its force (N)."""
        outline, centre = self._outline_mm, self.fixture.centre
        for index, (point, axial) in enumerate(zip(self.positions, self.forces.tension_n, strict=True)):
            if all(abs(point[axis] - centre[axis]) <= outline[axis] / 2.0 for axis in (0, 1)):
                yield index, (point, abs(axial))

    @property
    def _outline_mm(self) -> tuple[float, float]:
        """Outline of what is attached; one that is not given may be as large as the plate where that shares forces."""
        fixture = self.fixture
        if fixture.section_mm is not None:
            return fixture.section_mm
        shares = len(self.positions) > 1 or self.forces.contact is not None
        return (fixture.width_mm, fixture.depth_mm) if shares else (-1.0, -1.0)

    def _sides(self) -> Iterator[_Side]:
        centre = self.fixture.centre
        for axis, sign in _SIDES:
            face = sign * centre[axis] + self.section_mm[axis] / 2.0
            across, half = centre[1 - axis], self.section_mm[1 - axis] / 2.0
            beside = (self.section_mm[axis] + self.nut_mm) / 2.0
            # Beside a section that nobody gave nothing is held but the nut's own width, wherever it may end.
            relief = 1.0 if self.fixture.section_mm is None else RELIEF
            yield _Side(
                axis, sign, face, _plate_span(self.fixture, 1 - axis), (across - half, across + half), beside, relief
            )

    def _loads(self, side: _Side) -> Iterator[list[_Load]]:
        """What fasteners beyond a face put into the plate: those that pull, and those that press."""
        if self.head_arm_mm == 0.0 and not any(self.forces.tension_n):
            return
        presses = self.head_arm_mm > 0.0 or min(self.forces.tension_n) < 0.0
        for sense in (1.0, -1.0) if presses else (1.0,):
            loads = []
            each = zip(self.positions, self.forces.tension_n, self.forces.shear_n, strict=True)
            for number, (point, axial, shear) in enumerate(each):
                arm, force = side.beyond_mm(point), max(0.0, sense * axial)
                head = self.head_arm_mm * abs(shear[side.axis])
                if arm > 0.0 and (force > 0.0 or head > 0.0):
                    loads.append(_Load(number, force, arm, point[1 - side.axis], head))
            yield loads

    def _width_mm(self, side: _Side, loads: Sequence[_Load], least_mm: float = 0.0) -> float:
        """Width about a face on which some fasteners bend the plate, each at least on its own."""
        return covered_length([
            side.spread(load.across_mm, load.across_mm, max(load.arm_mm, least_mm / 2.0)) for load in loads
        ])

    def _pressed(self, side: _Side) -> Iterator[tuple[float, float, float]]:
        """Pressure beyond a face: its force (N), arm (mm) and the width it spreads to (mm)."""
        contact = self.forces.contact
        if contact is None:
            return
        across = (-side.sign, 0.0) if side.axis == 0 else (0.0, -side.sign)
        part = clip_half_plane(contact.area, side.face_mm, *across)
        area, sx, sy, sxx, sxy, syy = area_moments(part)
        if area <= LEAST_MM2:
            return
        p, px, py = contact.pressure_plane
        first, along = ((sx, (sxx, sxy)), (sy, (sxy, syy)))[side.axis]
        force = p * area + px * sx + py * sy
        moment = side.sign * (p * first + px * along[0] + py * along[1]) - side.face_mm * force
        arm = moment / force
        places = [point[1 - side.axis] for point in part]
        low, high = side.spread(min(places), max(places), arm)
        yield force, arm, high - low


def _plate_span(fixture: Fixture, axis: int) -> tuple[float, float]:
    half = (fixture.width_mm, fixture.depth_mm)[axis] / 2.0
    return fixture.centre[axis] - half, fixture.centre[axis] + half


def plate_over_concrete(fixing: Fixing) -> Rectangle:
    """The part of the plate that lies over concrete (mm). EN 1992-4:2018, 6.2.1."""
    west, east, south, north = fixing.member.edges_mm
    (x0, x1), (y0, y1) = _plate_span(fixing.fixture, 0), _plate_span(fixing.fixture, 1)
    return max(x0, -west), min(x1, east), max(y0, -south), min(y1, north)
