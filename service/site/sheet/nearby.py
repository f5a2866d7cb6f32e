"""Other anchors, old and aborted holes that the request names: as conditions tell them, and the plan draws them."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from service.contract import wanted
from service.contract.sheet_codes import SheetLineCode
from service.site.sheet.content import Figure, Line, Place, derived
from service.site.sheet.paper import SMALL_MM, Box, Paper, width_mm
from service.site.sheet.work import Work

LEAST_RADIUS_MM = 1.1
"""Smaller than this on the paper nobody tells a hole from an anchor."""
SIDES_OF_A_NUT = 6
ABORTED_SHOWN = 20
PUSH_HEAD_MM, PUSH_LINE = 3.2, "0.9"
"""The arrow of a load: much heavier than a dimension, so that none is taken for the other (mm)."""
ALONG = (0.5, 0.35, 0.65, 0.22, 0.78)
"""Where along a dimension its figure may stand, the best first (no unit)."""


@dataclass(frozen=True, slots=True)
class Nearby:
    """An other anchor, an old hole or an aborted one, and our fastener that is nearest to it.

    Attributes:
        name: Its name on plan and sheet.
        aborted: Whether it is a hole that was begun for this fixing and not used.
        given: What the request says of it.
        x: Where it stands (mm).
        y: Where it stands (mm).
        diameter: Diameter of a hole (mm).
        depth: Depth of a hole (mm).
        nearest: Our nearest fastener.
        distance: From centre to centre (mm).
    """

    name: str
    aborted: bool
    given: wanted.Neighbour
    x: Figure
    y: Figure
    diameter: Figure | None
    depth: Figure | None
    nearest: Place
    distance: Figure


def nearby(work: Work) -> tuple[Nearby, ...]:
    """Find what the request names near the fasteners.

    Args:
        work: The work of the fixing.

    Returns:
        What is near, in the order of the request: neighbours, then aborted holes, of many the first.
    """
    neighbours = work.source.fixing.neighbours or ()
    holes = work.source.fixing.built.aborted_holes[:ABORTED_SHOWN]
    return (
        *(_neighbour(work, index, each) for index, each in enumerate(neighbours)),
        *(_aborted(work, index, each) for index, each in enumerate(holes)),
    )


def _neighbour(work: Work, index: int, given: wanted.Neighbour) -> Nearby:
    place, known = f"#/request/neighbours/{index}", work.source.given
    diameter = depth = None
    if given.is_hole:
        diameter, depth = (known(name, "mm", f"{place}/{name}") for name in ("hole_diameter_mm", "hole_depth_mm"))
    return _placed(work, work.words.say("N{number}", number=index + 1), given, place, (diameter, depth))


def _aborted(work: Work, index: int, hole: wanted.AbortedHole) -> Nearby:
    place, known = f"#/request/built/aborted_holes/{index}", work.source.given
    diameter = work.hole_diameter if hole.diameter_mm is None else known("diameter_mm", "mm", f"{place}/diameter_mm")
    measured = (diameter, known("depth_mm", "mm", f"{place}/depth_mm"))
    name = work.words.say("H{number}", number=index + 1)
    return replace(_placed(work, name, hole.as_neighbour(), place, measured), aborted=True)


def _placed(
    work: Work, name: str, given: wanted.Neighbour, place: str, measured: tuple[Figure | None, Figure | None]
) -> Nearby:
    x, y = (work.source.given(axis, "mm", f"{place}/{axis}") for axis in ("x_mm", "y_mm"))
    nearest = min(work.places, key=lambda place: math.dist(given.point, (place.x.number, place.y.number)))
    apart = round(math.dist(given.point, (nearest.x.number, nearest.y.number)), 1)
    template = "round(hypot({} - {}, {} - {}), 1)"
    distance = derived("neighbour_distance_mm", "mm", apart, template, x, nearest.x, y, nearest.y)
    return Nearby(name, False, given, x, y, *measured, nearest, distance)


def told(work: Work, one: Nearby) -> Line:
    """Say what one is, how far from which fastener, and where.

    Args:
        work: The work of the fixing.
        one: What is near.

    Returns:
        The line.
    """
    tell, code = work.words.tell, SheetLineCode.NEIGHBOUR
    parts: dict[str, Any] = {
        "name": one.name,
        "distance": one.distance,
        "number": str(one.nearest.number),
        "x": one.x,
        "y": one.y,
    }
    if one.given.is_hole:
        parts |= {"diameter": one.diameter, "depth": one.depth}
    if one.aborted:
        return _told_aborted(work, one, parts)
    match one.given.state:
        case "loaded":
            return tell(
                "{name} (x {x}, y {y}): other anchor that carries load; {distance} from fastener {number}",
                **parts,
                code=code,
            )
        case "unloaded":
            return tell(
                "{name} (x {x}, y {y}): other anchor that carries nothing; {distance} from fastener {number}",
                **parts,
                code=code,
            )
        case "open_hole":
            return tell(
                "{name} (x {x}, y {y}): old hole, open, Ø{diameter}, {depth} deep; {distance} from fastener {number}",
                **parts,
                code=code,
            )
        case "filled_hole":
            return tell(
                "{name} (x {x}, y {y}): old hole, filled, Ø{diameter}, {depth} deep; {distance} from fastener {number}",
                **parts,
                code=code,
            )
    return tell(
        "{name} (x {x}, y {y}): other anchor, not known whether it carries load; {distance} from fastener {number}",
        **parts,
        code=code,
    )


def _told_aborted(work: Work, one: Nearby, parts: Mapping[str, Any]) -> Line:
    if one.given.state == "filled_hole":
        return work.words.tell(
            "{name} (x {x}, y {y}): aborted hole of this fixing, filled, Ø{diameter}, {depth} deep; {distance} from "
            "fastener {number}",
            **parts,
            code=SheetLineCode.NEIGHBOUR,
        )
    return work.words.tell(
        "{name} (x {x}, y {y}): aborted hole of this fixing, not filled, Ø{diameter}, {depth} deep; {distance} from "
        "fastener {number}",
        **parts,
        code=SheetLineCode.NEIGHBOUR,
    )


@dataclass(frozen=True)
class Drawn:
    """What is near, on the paper of a plan: nuts in black and white, holes as holes, each with its distance."""

    paper: Paper
    names: str
    scale: float
    room: Box
    """Where texts may stand."""
    taken: list[Box]
    """Where something stands already that no text may cover."""

    def mark(self, one: Nearby, at: tuple[float, float], from_: tuple[float, float], figure: str) -> None:
        """Draw one with its name, and how far it is from our nearest fastener.

        Args:
            one: What is near.
            at: Where it stands on the paper (mm).
            from_: Where our nearest fastener stands on the paper (mm).
            figure: How far apart they are, as it is written.
        """
        self.paper.measure(*from_, *at)
        radius = self._symbol(one, at)
        self.taken.append(Box.about(*at, 2 * radius, 2 * radius))
        self._write(one.name, _around(at, from_, radius, width_mm(one.name, SMALL_MM)))
        self._write(figure, [_between(from_, at, share) for share in ALONG])

    def push(self, ways: Mapping[tuple[float, float], str], from_: tuple[float, float], long: float) -> None:
        """Draw which way loads push.

        Args:
            ways: By unit vector, along and down the paper, the names of what pushes that way.
            from_: Where they act on the paper (mm).
            long: How long an arrow is (mm).
        """
        # It starts clear of a fastener that stands where the load acts.
        on = [box for box in self.taken if box.holds(Box.about(*from_, 0.0, 0.0))]
        clear = max(((box.right - box.left) / 2 for box in on), default=0.0)
        for way, name in ways.items():
            start, tip = _along(from_, way, clear), _along(from_, way, clear + long)
            self.paper.line(*start, *_along(tip, way, -PUSH_HEAD_MM), width=PUSH_LINE)
            self.paper.arrow(*start, *tip, head=PUSH_HEAD_MM)
            wide, high = (abs(tip[axis] - start[axis]) + PUSH_HEAD_MM / 2 for axis in (0, 1))
            self.taken.append(Box.about(*_between(start, tip, 0.5), wide, high))
            spots = (tip, _between(start, tip, 0.5), start)
            places = [place for spot in spots for place in _around(spot, from_, 0.6, width_mm(name, SMALL_MM))]
            # Two arrows without names could be taken for each other: it is written where something stands at worst.
            if not self._write(name, places):
                within = [place for place in places if self.room.holds(_box_of(name, place))] or places
                self._put(name, *min(within, key=lambda place: self._covers(_box_of(name, place))))

    def _symbol(self, one: Nearby, at: tuple[float, float]) -> float:
        """A hole to its width, an anchor as a nut: black where it carries something or nobody knows."""
        if one.given.is_hole and one.diameter is not None:
            radius = max(one.diameter.number / 2 / self.scale, LEAST_RADIUS_MM)
            self.paper.circle(*at, radius, fill="#fff")
            if one.given.state == "filled_hole":
                self.paper.circle(*at, radius, fill=f"url(#{self.names}steel)")
            return radius
        corners = [
            (at[0] + LEAST_RADIUS_MM * math.cos(turn), at[1] + LEAST_RADIUS_MM * math.sin(turn))
            for turn in (2 * math.pi * side / SIDES_OF_A_NUT for side in range(SIDES_OF_A_NUT))
        ]
        self.paper.shape(corners, fill="#000" if one.given.may_be_loaded else "#fff")
        return LEAST_RADIUS_MM

    def _write(self, words: str, places: Iterable[tuple[float, float]]) -> bool:
        """Write at the first place that is free; the line below the plan says the same where none is."""
        for x, y in places:
            box = _box_of(words, (x, y))
            if self.room.holds(box) and not self._covers(box):
                self.taken.append(box)
                self._put(words, x, y)
                return True
        return False

    def _covers(self, box: Box) -> int:
        """How much of what is drawn would lie under a box."""
        return sum(box.meets(other) for other in self.taken)

    def _put(self, words: str, x: float, y: float) -> None:
        self.paper.text(x, y + SMALL_MM * 0.36, words, size=SMALL_MM, anchor="middle")


def _box_of(words: str, at: tuple[float, float]) -> Box:
    """What words about a place take of the paper."""
    return Box.about(*at, width_mm(words, SMALL_MM) + 1.0, SMALL_MM)


def _along(from_: tuple[float, float], way: tuple[float, float], far: float) -> tuple[float, float]:
    return from_[0] + way[0] * far, from_[1] + way[1] * far


def _between(from_: tuple[float, float], to: tuple[float, float], share: float) -> tuple[float, float]:
    return from_[0] + share * (to[0] - from_[0]), from_[1] + share * (to[1] - from_[1])


def _around(
    at: tuple[float, float], from_: tuple[float, float], radius: float, wide: float
) -> list[tuple[float, float]]:
    """Places beside, above and below a symbol, first those that keep clear of its dimension."""
    side, over = radius + 0.8 + wide / 2, radius + 0.8 + SMALL_MM / 2
    around = [(x * side, y * over) for x in (1, 0, -1) for y in (0, -1, 1) if (x, y) != (0, 0)]
    away = (at[0] - from_[0], at[1] - from_[1])
    around.sort(key=lambda by: -(by[0] * away[0] + by[1] * away[1]) / math.hypot(*by))
    return [(at[0] + by[0], at[1] + by[1]) for by in around]


def extent_with(
    outline: tuple[float, float, float, float], some: Sequence[Nearby]
) -> tuple[float, float, float, float]:
    """What has to be drawn to show some of them beside the fixture.

    Args:
        outline: x from, x to, y from, y to (mm).
        some: What is near.

    Returns:
        The same of what has to be drawn (mm).
    """
    x0, x1, y0, y1 = outline
    along_x, along_y = [one.x.number for one in some], [one.y.number for one in some]
    return min([x0, *along_x]), max([x1, *along_x]), min([y0, *along_y]), max([y1, *along_y])
