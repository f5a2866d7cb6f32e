"""What holds a plate against bending: the walls, lines or the point at which something stands on it (EN 1992-4, 6.2.1).

The standard gives no formula; what each profile holds is our own reading of it, no source, and is held against plate
elements (tests/engine/test_plate_holds.py).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product
from typing import Literal

from service.engine.geometry import clip_half_plane
from service.engine.model import Fixture, Point

RELIEF = 3.0
"""How much wider a strip may be for each millimetre that its load lies beside what is attached; own choice."""

_NOWHERE = (-1.0, -1.0)


@dataclass(frozen=True, slots=True)
class PlateHold:
    """Something that holds the plate, about its own centre (mm)."""

    centre: Point
    extent_mm: tuple[float, float]
    within: Literal["nothing_bends", "walls", "anything"] = "nothing_bends"
    """What bends the plate within its outline: nothing where it is solid, else up to its walls or what may be there."""
    outline_mm: tuple[float, float] = _NOWHERE
    takes: tuple[tuple[tuple[float, float, float], ...], ...] = ((),)
    """Parts of the plate whose pressure it takes, each where a + b·x + c·y is not positive for all of its lines."""

    @property
    def relief(self) -> float:
        """How much farther beside it a strip reaches for each millimetre that a load lies there.

        It bends another face as well; behind a line or a point there is none.
        """
        return RELIEF if min(self.extent_mm) > 0.0 else 1.0

    def off_mm(self, point: Point) -> float:
        """How far a point is from it; 0 within its extent."""
        off = (max(abs(point[axis] - self.centre[axis]) - self.extent_mm[axis] / 2.0, 0.0) for axis in (0, 1))
        return math.hypot(*off)

    def pressed(self, area: Sequence[Point]) -> Iterator[list[Point]]:
        """Parts of a pressed area whose pressure it takes."""
        for lines in self.takes:
            yield _clipped(area, lines)

    def part_within(self, area: Sequence[Point]) -> list[Point]:
        """What of an area lies within its outline."""
        (x, y), (half_x, half_y) = self.centre, (self.outline_mm[0] / 2.0, self.outline_mm[1] / 2.0)
        sides = ((x - half_x, -1.0, 0.0), (-x - half_x, 1.0, 0.0), (y - half_y, 0.0, -1.0), (-y - half_y, 0.0, 1.0))
        return _clipped(area, sides)


def _clipped(area: Sequence[Point], lines: Sequence[tuple[float, float, float]]) -> list[Point]:
    left = list(area)
    for line in lines:
        left = clip_half_plane(left, *line)
    return left


def what_holds(fixture: Fixture, shares: bool) -> tuple[tuple[PlateHold, ...], ...]:
    """What may hold a plate: the readings of what was told, of which the least favourable counts.

    EN 1992-4:2018, 6.2.1; where nobody told what stands there, it may be a point in the middle or a leg along any rim
    of the plate. Of any other profile, or one that nobody told, only an angle is sure to reach the four faces.

    Args:
        fixture: The plate and what stands on it (mm).
        shares: Whether the plate shares what acts on it between fasteners or with the concrete.

    Returns:
        Readings, each of one hold or of lines, where each fastener counts by the line that holds it best.
    """
    section, centre = fixture.section_mm, fixture.centre
    if section is not None:
        if fixture.profile == "solid":
            return ((PlateHold(centre, section),),)
        if fixture.profile == "hollow":
            return ((PlateHold(centre, section, within="walls", outline_mm=section),),)
        if fixture.profile == "i_web_along_x":
            return (_flanges_and_web(centre, section, 0),)
        if fixture.profile == "i_web_along_y":
            return (_flanges_and_web(centre, section, 1),)
    plate = (fixture.width_mm, fixture.depth_mm)
    # The walls of what stands there may be the rim of the plate; what one fastener alone holds may have none.
    outline = section or (plate if shares else _NOWHERE)
    point = (PlateHold(centre, (0.0, 0.0), "anything", outline),)
    if not shares:
        return (point,)
    if section is None:
        return (point, *((rim,) for rims in _faces(centre, plate) for rim in rims))
    across, along = _faces(centre, section)
    return (point, *product(across, along))


def _faces(centre: Point, outline: tuple[float, float]) -> tuple[tuple[PlateHold, PlateHold], ...]:
    """The faces of an outline as lines that hold the plate and take no pressure: those across x, those across y."""
    (x, y), (wide, deep) = centre, outline
    return (
        (
            PlateHold((x - wide / 2.0, y), (0.0, deep), takes=()),
            PlateHold((x + wide / 2.0, y), (0.0, deep), takes=()),
        ),
        (
            PlateHold((x, y - deep / 2.0), (wide, 0.0), takes=()),
            PlateHold((x, y + deep / 2.0), (wide, 0.0), takes=()),
        ),
    )


def _flanges_and_web(centre: Point, section: tuple[float, float], web: int) -> tuple[PlateHold, ...]:
    """Web, along an axis, and flanges as lines; pressure goes to the nearer one: from the joint they part at 45°."""
    half = section[web] / 2.0

    def line(along: float, across: float, limit: float) -> tuple[float, float, float]:
        """Where along·u + across·v is at least a limit, u along the web and v across it, from the centre."""
        factors = (along, across) if web == 0 else (across, along)
        return (limit + factors[0] * centre[0] + factors[1] * centre[1], -factors[0], -factors[1])

    middle = (section[0], 0.0) if web == 0 else (0.0, section[1])
    near_web = tuple(line(along, across, -half) for along in (-1.0, 1.0) for across in (-1.0, 1.0))
    holds = [PlateHold(centre, middle, takes=(near_web,))]
    for end, flange in zip((-1.0, 1.0), _faces(centre, section)[web], strict=True):
        beyond = (line(end, 0.0, half),)
        before = tuple(
            (line(-end, 0.0, -half), line(end, 0.0, 0.0), line(0.0, side, 0.0), line(end, side, half))
            for side in (-1.0, 1.0)
        )
        holds.append(replace(flange, takes=(beyond, *before)))
    return tuple(holds)


def to_walls_mm(fixture: Fixture, point: Point) -> float:
    """How far a point is from the nearest wall of what stands on a plate.

    Args:
        fixture: The plate and what stands on it (mm).
        point: The point (mm).

    Returns:
        The distance (mm): 0 within what is solid, infinite where nobody knows of a wall.
    """
    section, centre = fixture.section_mm, fixture.centre
    if section is None:
        return math.inf
    if fixture.profile in {"i_web_along_x", "i_web_along_y"}:
        [lines] = what_holds(fixture, shares=True)
        return min(line.off_mm(point) for line in lines)
    beyond = PlateHold(centre, section).off_mm(point)
    if beyond > 0.0 or fixture.profile == "solid":
        return beyond
    # Where the walls of any other profile stand is not known; what it may be bends the plate the more.
    within = fixture.profile == "hollow"
    return min(face.off_mm(point) for faces in _faces(centre, section) for face in faces) if within else math.inf


def panel_share(width_mm: float, depth_mm: float) -> float:
    """M/p of a plate that rests on four walls (mm²): p·l²/8 shared between both directions as stiff strips do.

    Strips that share a load by their fourth powers, any textbook of statics; a plate that the walls clamp bends less.

    Args:
        width_mm: From wall to wall one way (mm).
        depth_mm: The other way (mm).

    Returns:
        Moment on a unit of width for a unit of pressure (mm²).
    """
    short, long = sorted((width_mm, depth_mm))
    return short**2 / 8.0 * long**4 / (short**4 + long**4)


def plate_span(fixture: Fixture, axis: int) -> tuple[float, float]:
    """Where a plate ends along an axis: from, to (mm)."""
    half = (fixture.width_mm, fixture.depth_mm)[axis] / 2.0
    return fixture.centre[axis] - half, fixture.centre[axis] + half
