"""Whether the fixture is stiff: its elastic bending stress and how far it bends out of plane (EN 1992-4:2018, 6.2.1).

The standard asks for a plate that stays elastic and whose deformation is negligible beside that of the fasteners, and
gives no formula. Bending about what is attached is common practice, no source; what holds the plate there is in
``plate_holds``.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from service.engine.en1992_4.plate_equilibrium import STEEL_MODULUS_MPA
from service.engine.en1992_4.plate_holds import PlateHold, panel_share, plate_span, what_holds
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
    """Largest bending stress about what is attached, and how far the plate bends beside it.

    EN 1992-4:2018, 6.2.1; what a fastener puts into the plate spreads at 45° to the face, and so does pressure from
    where it acts, but no farther beside what is attached than that holds: a rod holds less than a profile. Beyond each
    face the plate is a cantilever: what pulls, what presses, and pressure count each alone. A fastener within a hollow
    section bends the plate to its nearest wall. Where several lines hold the plate, each of them alone would bend it
    more than all of them, so each fastener counts as the one does that holds it best.

    Args:
        fixture: The plate (mm).
        positions: Positions of the fasteners (mm).
        nut_mm: Width of their nuts (mm).
        forces: Found forces of fasteners and contact (N).
        head_arm_mm: Moment that a fastener held against rotation puts into the plate, by its shear (mm).

    Returns:
        Stress and deformation, whatever the fasteners give way.
    """
    thickness = UNKNOWN_THICKNESS_MM if fixture.thickness_mm is None else fixture.thickness_mm
    shares = len(positions) > 1 or forces.contact is not None
    # Where nothing pulls, or one fastener holds what hangs on it, the forces are the same under any plate.
    counts = shares and any(forces.tension_n)
    readings = [
        _about([_Plate(fixture, positions, nut_mm, forces, hold, thickness, head_arm_mm) for hold in holds], counts)
        for holds in what_holds(fixture, shares)
    ]
    return Bent(thickness, *map(max, zip(*readings, strict=True)))


def _about(plates: Sequence[_Plate], bends: bool) -> tuple[float, float, float]:
    """Stress (MPa) about what holds a plate; how far fasteners and pressure bend it (mm), where that counts."""
    parts = [(plate, tuple(plate.parts())) for plate in plates]
    pressed = max(plate.stress_by_pressure_mpa(some) for plate, some in parts)
    stress = max(pressed, _as_best_held([plate.stresses_mpa(some) for plate, some in parts]))
    if not bends:
        return stress, 0.0, 0.0
    by_pressure = max(plate.bend_by_pressure_mm(some) for plate, some in parts)
    return stress, _as_best_held([plate.bends_mm(some) for plate, some in parts]), by_pressure


def _as_best_held(found: Sequence[Mapping[int, float]]) -> float:
    """The largest of what fasteners cause, each about what holds it best: a line that it stands on, wholly."""
    numbers = {number for each in found for number in each}
    return max((min(each.get(number, 0.0) for each in found) for number in numbers), default=0.0)


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
    given: dict[str, object] = {
        "thickness_mm": fixture.thickness_mm,
        "yield_mpa": fixture.yield_mpa,
        "attached_section": fixture.section_mm,
    }
    if fixture.section_mm is not None:
        given["profile"] = fixture.profile
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
    """A plate under found forces (N, mm) that one thing holds, of a thickness that is given or taken."""

    fixture: Fixture
    positions: Sequence[Point]
    nut_mm: float
    forces: Forces
    hold: PlateHold
    thickness_mm: float
    head_arm_mm: float

    def parts(self) -> Iterator[_Part]:
        """What bends the plate beyond each face of what holds it."""
        pieces = () if self.forces.contact is None else tuple(self.hold.pressed(self.forces.contact.area))
        for side in self._sides():
            yield _Part(side, tuple(filter(None, self._loads(side))), tuple(self._pressed(side, pieces)))

    def stress_by_pressure_mpa(self, parts: Sequence[_Part]) -> float:
        """Largest elastic bending stress by pressure, beyond the faces and within walls."""
        return max(self._pressed_mpa(parts))

    def _pressed_mpa(self, parts: Sequence[_Part]) -> Iterator[float]:
        yield 0.0
        for part in parts:
            for force, arm, width in part.pressed:
                yield bending_stress(force * arm, width, self.thickness_mm)
        if self.hold.within == "walls" and self.forces.contact is not None:
            plane, within = self.forces.contact.pressure_plane, self.hold.part_within(self.forces.contact.area)
            largest = max((plane[0] + plane[1] * x + plane[2] * y for x, y in within), default=0.0)
            yield bending_stress(largest * panel_share(*self.hold.extent_mm), 1.0, self.thickness_mm)

    def stresses_mpa(self, parts: Sequence[_Part]) -> dict[int, float]:
        """Largest elastic bending stress that each fastener has a part in."""
        thickness, found = self.thickness_mm, dict[int, float]()
        for index, _, axial in self._within():
            head = self.head_arm_mm * math.hypot(*self.forces.shear_n[index])
            # To the nearest wall each bends a strip that spreads at 45°, so its distance a falls out: 6·N·a/(2·a·t²).
            found[index] = bending_stress(axial, 2.0, thickness) + bending_stress(head, self.nut_mm, thickness)
        for part in parts:
            for loads in part.loads:
                for some in (*((load,) for load in loads), *([loads] if len(loads) > 1 else [])):
                    stress = self._stress_mpa(part.side, some)
                    for load in some:
                        found[load.number] = max(found.get(load.number, 0.0), stress)
        return found

    def _stress_mpa(self, side: _Side, loads: Sequence[_Load]) -> float:
        pulled = sum(load.force_n * load.arm_mm for load in loads)
        held = sum(load.head_nmm for load in loads)
        of_force = bending_stress(pulled, self._width_mm(side, loads), self.thickness_mm) if pulled else 0.0
        of_heads = bending_stress(held, self._width_mm(side, loads, self.nut_mm), self.thickness_mm) if held else 0.0
        return of_force + of_heads

    def bends_mm(self, parts: Sequence[_Part]) -> dict[int, float]:
        """How far each fastener bends the plate, a corner about both faces."""
        found: list[dict[int, float]] = [{}, {}]
        for part in parts:
            of_axis = found[part.side.axis]
            for loads in part.loads:
                for number, bent in self._bent(part.side, loads):
                    of_axis[number] = max(of_axis.get(number, 0.0), bent)
        across, along = found
        corners = {number: across.get(number, 0.0) + along.get(number, 0.0) for number in {*across, *along}}
        return corners | {number: max(corners.get(number, 0.0), bent) for number, bent in self._bent_within()}

    def bend_by_pressure_mm(self, parts: Sequence[_Part]) -> float:
        """How far pressure beyond faces bends the plate, a corner about both; within walls it moves to all sides."""
        found = [0.0, 0.0]
        for part in parts:
            for force, arm, width in part.pressed:
                bent = cantilever_deflection([(force, arm)], width, self.thickness_mm)
                found[part.side.axis] = max(found[part.side.axis], bent)
        return sum(found)

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

    def _bent_within(self) -> Iterator[tuple[int, float]]:
        """How far each fastener within bends the plate, to its nearest wall or the farther of what may hold there."""
        for index, point, axial in self._within():
            off = [abs(point[axis] - self.hold.centre[axis]) for axis in (0, 1)]
            to_wall = min(self.hold.outline_mm[axis] / 2.0 - off[axis] for axis in (0, 1))
            arm = to_wall if self.hold.within == "walls" else max(to_wall, *off)
            if arm > 0.0:
                yield index, cantilever_deflection([(axial, arm)], 2.0 * arm, self.thickness_mm)

    def _within(self) -> Iterator[tuple[int, Point, float]]:
        """Fasteners within the outline of what may be hollow, each with its force (N)."""
        if self.hold.within == "nothing_bends":
            return
        outline, centre = self.hold.outline_mm, self.hold.centre
        for index, (point, axial) in enumerate(zip(self.positions, self.forces.tension_n, strict=True)):
            if all(abs(point[axis] - centre[axis]) <= outline[axis] / 2.0 for axis in (0, 1)):
                yield index, point, abs(axial)

    def _sides(self) -> Iterator[_Side]:
        centre, extent = self.hold.centre, self.hold.extent_mm
        for axis, sign in _SIDES:
            face = sign * centre[axis] + extent[axis] / 2.0
            across, half = centre[1 - axis], extent[1 - axis] / 2.0
            beside = (extent[axis] + self.nut_mm) / 2.0
            span = plate_span(self.fixture, 1 - axis)
            yield _Side(axis, sign, face, span, (across - half, across + half), beside, self.hold.relief)

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

    def _pressed(self, side: _Side, pieces: Sequence[Sequence[Point]]) -> Iterator[tuple[float, float, float]]:
        """Pressure beyond a face: its force (N), arm (mm) and the width it spreads to (mm)."""
        across = (-side.sign, 0.0) if side.axis == 0 else (0.0, -side.sign)
        beyond = [clip_half_plane(piece, side.face_mm, *across) for piece in pieces]
        found = [self._force_and_moment(side, part) for part in beyond]
        force = sum(each for each, _ in found)
        if force <= 0.0:
            return
        arm = sum(moment for _, moment in found) / force
        places = [point[1 - side.axis] for part in beyond for point in part]
        low, high = side.spread(min(places), max(places), arm)
        yield force, arm, high - low

    def _force_and_moment(self, side: _Side, part: Sequence[Point]) -> tuple[float, float]:
        """Force of the pressure on an area (N), and its moment about a face (Nmm)."""
        area, sx, sy, sxx, sxy, syy = area_moments(part)
        if area <= LEAST_MM2 or self.forces.contact is None:
            return 0.0, 0.0
        p, px, py = self.forces.contact.pressure_plane
        first, along = ((sx, (sxx, sxy)), (sy, (sxy, syy)))[side.axis]
        force = p * area + px * sx + py * sy
        return force, side.sign * (p * first + px * along[0] + py * along[1]) - side.face_mm * force


def plate_over_concrete(fixing: Fixing) -> Rectangle:
    """The part of the plate that lies over concrete (mm). EN 1992-4:2018, 6.2.1."""
    west, east, south, north = fixing.member.edges_mm
    (x0, x1), (y0, y1) = plate_span(fixing.fixture, 0), plate_span(fixing.fixture, 1)
    return max(x0, -west), min(x1, east), max(y0, -south), min(y1, north)
