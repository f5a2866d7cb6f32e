"""The drawing of a fixing: a section through one fastener and a plan, each to scale and dimensioned."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Any
from xml.etree.ElementTree import Element, SubElement

from service.contract.sheet_codes import SheetLineCode
from service.engine.model import EDGE_NAMES
from service.site.sheet.content import FixingSheet, Side
from service.site.sheet.holds import pushes
from service.site.sheet.make import Made, demonstration
from service.site.sheet.nearby import Drawn, Nearby, extent_with, nearby, told
from service.site.sheet.paper import (
    LINE_HEIGHT,
    SMALL_MM,
    TEXT_MM,
    THICK,
    THIN,
    Box,
    Paper,
    Span,
    clean,
    fitted,
    rows,
    width_mm,
    wrapped,
    written,
    zigzag,
)
from service.site.sheet.steps import demonstration_step
from service.site.sheet.tightening import Tool, has_head, tool_of
from service.site.sheet.wording import Wording
from service.site.sheet.work import INNER_THREAD, RINGS, THREAD_SHOWS, Work
from service.verification.length import WELDED_ON
from service.verification.requirements import TIGHTENED_AGAINST_CONCRETE

PAGE_MM = 190.0
MARGIN_MM = 3.0
FIXING_MM = 127.0
HEAD_MM = 15.0
WARNING_MM = 3.6
BOLD = 1.08
LEGEND_MM = 3.5
SUMMARY_MM = 3.3
LINES_BELOW_PLAN = 2
LINES_BELOW_SECTION = 3
SECTION_MM = 92.0
LEAST_SHARE = 1 / 3
"""What the longer side of the fixture takes of the plan at least; farther edges are broken off."""
LEAST_SHARE_BESIDE = 1 / 5
"""The same where other anchors and old holes are drawn beside it; what stands farther off is told, not drawn."""
ROOM_FOR_A_NUMBER_MM = 5.0
PUSH_MM, LEAST_PUSH_MM = 10.0, 6.0
"""How long the arrow of a load is at most, and at least where the fixture is small on the paper."""
SCALES = (1.0, 2.0, 2.5, 4.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 75.0, 100.0, 150.0, 200.0, 500.0)
BAR_LENGTHS = (5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0, 5000.0)
NUT = 0.65
"""How high a nut is drawn, to the diameter of its thread."""
STEEL, DARK = "#fff", "#555"


def _tenths(words: Wording, length_mm: float) -> str:
    """Write a length as finely as it can be marked out."""
    return words.number(round(length_mm, 1))


def scale_for(extent_mm: float, room_mm: float) -> float:
    """Choose a usual scale.

    Args:
        extent_mm: What is drawn (mm).
        room_mm: Room on the paper (mm).

    Returns:
        How many millimetres one on the paper stands for.
    """
    return next((scale for scale in SCALES if extent_mm / scale <= room_mm), extent_mm / room_mm)


def _scale_bar(paper: Paper, words: Wording, x: float, y: float, scale: float) -> None:
    real = max(length for length in BAR_LENGTHS if length / scale <= 30.0 or length == BAR_LENGTHS[0])
    long = real / scale
    paper.box(x, y, x + long / 2, y + 1.0, fill="#000", width=THIN)
    paper.box(x + long / 2, y, x + long, y + 1.0, fill="#fff", width=THIN)
    paper.text(x + long + 1.5, y + 1.6, f"{words.number(real)} mm    1 : {words.number(scale)}", size=SMALL_MM)


@dataclass(frozen=True)
class Section:
    """The section through one fastener."""

    work: Work
    paper: Paper
    names: str

    left, right, top, bottom = 33.0, 66.0, 22.0, 106.0
    left_columns = (27.5, 21.5, 15.5, 9.5)
    right_columns = (72.5, 79.5, 86.5)

    @cached_property
    def diameter(self) -> float:
        """Diameter of the shank (mm)."""
        return float(self.work.source.selection.size["geometry"]["diameter_mm"])

    @cached_property
    def sleeve(self) -> float:
        """Diameter of what stands in the hole (mm)."""
        geometry = self.work.source.selection.size["geometry"]
        return float(geometry["nominal_diameter_mm"])

    @cached_property
    def hole(self) -> float:
        """Diameter of the hole (mm); that of the shank for what is cast in."""
        found = self.work.hole_diameter
        return self.diameter if found is None else found.number

    @cached_property
    def depth(self) -> float:
        """What is deepest: hole or fastener (mm)."""
        found = self.work.hole_depth
        return self.work.nominal_embedment.number if found is None else max(found.number, self.work.reach.number)

    @cached_property
    def above(self) -> float:
        """What stands above the concrete (mm)."""
        shown = self.work.thread_shown
        head = 0.9 * self.diameter if self.work.form not in RINGS else 3.6 * self.diameter
        head = 0.0 if self.work.cast_in else head
        return self.work.clamped.number + max(head, 0.0 if shown is None else shown.number)

    @cached_property
    def scale(self) -> float:
        """How many millimetres one on the paper stands for."""
        by_height = scale_for(self.above + 1.15 * self.depth, self.bottom - self.top)
        by_width = scale_for(3.2 * max(self.hole, self.sleeve, self.diameter), self.right - self.left)
        return max(by_height, by_width)

    @cached_property
    def thickness(self) -> float:
        """Thickness of the member as drawn (mm)."""
        room = (self.bottom - self.top) * self.scale - self.above
        return min(self.work.member_thickness.number, room)

    @property
    def broken(self) -> bool:
        """Whether the member is thicker than is drawn."""
        return self.thickness < self.work.member_thickness.number

    def y(self, z_mm: float) -> float:
        """Place a height above the surface on the paper (mm)."""
        spare = (self.bottom - self.top - (self.above + self.thickness) / self.scale) / 2
        if self.work.source.overhead and not self.work.cast_in:
            return self.bottom - spare - (self.above - z_mm) / self.scale
        return self.top + spare + (self.above - z_mm) / self.scale

    def draw(self) -> None:
        """Draw it."""
        words, overhead = self.work.words, self.work.source.overhead and not self.work.cast_in
        title = words.say("Section, drilled upwards") if overhead else words.say("Section")
        self.paper.text(0, HEAD_MM + 3, title, bold=True)
        self._concrete()
        self._under_fixture()
        self._hole()
        if not self.work.bare:
            self._fixture()
        self._fastener()
        self._dimensions()
        _scale_bar(self.paper, words, 0, 112, self.scale)
        self._summary()

    @property
    def centre(self) -> float:
        """Where the fastener stands on the paper (mm)."""
        return (self.left + self.right) / 2

    def _bar(self, half_mm: float, z0: float, z1: float, fill: str) -> None:
        half = half_mm / self.scale
        self.paper.box(self.centre - half, self.y(z0), self.centre + half, self.y(z1), fill=fill)

    def _concrete(self) -> None:
        top, bottom = self.y(0.0), self.y(-self.thickness)
        left = zigzag((self.left, top), (self.left, bottom))
        right = zigzag((self.right, bottom), (self.right, top))
        below = zigzag((self.left, bottom), (self.right, bottom))[1:-1] if self.broken else []
        corners = [*left, *below, *right]
        self.paper.shape(corners, fill="#f0f0f0", stroke="none")
        if not self.work.masonry:
            self.paper.shape(corners, fill=f"url(#{self.names}concrete)")
        self.paper.line(self.left, top, self.right, top, width=THICK)

    def _under_fixture(self) -> None:
        topping = self.work.topping_left
        if topping is not None:
            # Around the hole it is cut out for resin.
            inner = 0.0 if self.work.cut_out is None else self.hole / self.scale
            for outer, near in ((self.left + 4, self.centre - inner), (self.centre + inner, self.right - 4)):
                self.paper.box(outer, self.y(0.0), near, self.y(topping.thickness.number), fill="#fff")
        if self.work.grout is not None:
            low = 0.0 if topping is None else topping.thickness.number
            y0, y1 = self.y(low), self.y(low + self.work.grout.number)
            self.paper.box(self.left + 4, y0, self.right - 4, y1, fill=f"url(#{self.names}grout)")

    def _fixture(self) -> None:
        low = self.work.clamped.number - self.work.fixture_thickness.number
        y0, y1 = self.y(low), self.y(self.work.clamped.number)
        clearance = self.work.clearance_hole
        inner = 0.0 if clearance is None else clearance.number / 2 / self.scale
        left, right = self.left + 4, self.right - 4
        if self.work.without_plate:
            # No plate: no more than what the ring or hook itself covers.
            half = 2 * self.diameter / self.scale
            left, right = self.centre - half, self.centre + half
        halves = ((left, self.centre - inner), (self.centre + inner, right))
        for outer, near in halves if inner else ((left, right),):
            self.paper.box(outer, y0, near, y1, fill=STEEL)
            self.paper.box(outer, y0, near, y1, fill=f"url(#{self.names}steel)")

    def _hole(self) -> None:
        if self.work.hole_depth is not None:
            resin = self.work.source.mechanism == "bonded"
            self._bar(self.hole / 2, 0.0, -self.work.hole_depth.number, f"url(#{self.names}grout)" if resin else "#fff")

    def _fastener(self) -> None:
        form, radius = self.work.form, self.diameter / 2
        top, reach = self.work.clamped.number, self.work.reach.number
        if form == WELDED_ON:
            geometry = self.work.source.selection.size["geometry"]
            self._bar(radius, top - self.work.fixture_thickness.number, -reach, DARK)
            head = float(geometry["head_diameter_mm"]) / 2
            self._bar(head, -reach + float(geometry["head_thickness_mm"]), -reach, DARK)
            return
        if self.sleeve > self.diameter and form not in THREAD_SHOWS:
            self._bar(self.sleeve / 2, 0.0 if form in INNER_THREAD or form in RINGS else top, -reach, "#bbb")
            self._bar(radius, top, -reach + (0.35 * reach if form in INNER_THREAD else 0.0), DARK)
        else:
            if self.work.source.mechanism == "undercut":
                # The sleeve that is driven over the cone fills the hole down to the undercut.
                self._bar(self.sleeve / 2, 0.0, -reach + 0.9 * self.diameter, "#bbb")
            shown = self.work.thread_shown
            self._bar(radius, top + (0.0 if shown is None else shown.number), -reach, DARK)
        self._foot(reach)
        self._head(top)

    def _foot(self, reach: float) -> None:
        mechanism = self.work.source.mechanism
        if mechanism not in {"torque_controlled_expansion", "undercut"}:
            return
        wide = self.hole / 2 * (1.25 if mechanism == "undercut" else 1.0) / self.scale
        narrow, high = self.diameter / 2 * 0.8 / self.scale, self.y(-reach + 0.9 * self.diameter)
        low = self.y(-reach)
        corners = [
            (self.centre - narrow, high),
            (self.centre + narrow, high),
            (self.centre + wide, low),
            (self.centre - wide, low),
        ]
        self.paper.shape(corners, fill=DARK)

    def _head(self, top: float) -> None:
        form, across = self.work.form, 0.85 * max(self.diameter, 0.8 * self.sleeve)
        if form in RINGS:
            radius, height = 1.3 * self.diameter / self.scale, top + 1.9 * self.diameter
            self._bar(self.diameter / 2, top, top + 0.7 * self.diameter, DARK)
            self.paper.circle(self.centre, self.y(height), radius, fill="none", width="1.0")
            return
        if self.work.bare:
            # What hangs on it and the nut below that are anywhere along the thread.
            return
        flat = 0.15 * self.diameter if form in THREAD_SHOWS else 0.1 * self.diameter
        self._nut(across, top, flat)
        if form in THREAD_SHOWS and self.work.stand_off is not None and self.work.washer_clamped:
            low = top - self.work.fixture_thickness.number
            self._nut(across, low - self.work.stand_off.number, flat)
            if self.work.lies_on_nuts:
                self._nut(across, low, -flat)

    def _nut(self, across: float, z: float, flat: float) -> None:
        """A washer or collar so thick (mm) from a height on, and the nut or head on it; downwards where negative."""
        self._bar(1.2 * across, z, z + flat, "#fff")
        self._bar(across, z + flat, z + flat + math.copysign(NUT * self.diameter, flat), "#bbb")

    def _dimensions(self) -> None:
        work, say = self.work, self.work.words.say
        left, height = [self._on_top()], 0.0
        if work.topping_left is not None:
            label = say("{topping} {length}", topping=work.topping_left.kind, length=work.topping_left.thickness.number)
            left.append((label, work.topping_left.thickness.number, height))
            height = work.topping_left.thickness.number
        if work.grout is not None:
            height += work.grout.number
            left.append((say("grout {length}", length=work.grout.number), height, height - work.grout.number))
        if work.stand_off is not None:
            label = say("stand-off {length}", length=work.stand_off.number)
            left.append((label, height + work.stand_off.number, height))
        for x, (label, upper, lower) in zip(self.left_columns, left, strict=False):
            self._measure(x, self.left, label, self.y(upper), self.y(lower))
        # One depth: what the crew sets to. The one that is calculated with must not be taken for it.
        right = [(say("set depth {length}", length=work.set_depth.number), -work.set_depth.number)]
        if work.hole_depth is not None:
            right.append((say("hole {length}", length=work.hole_depth.number), -work.hole_depth.number))
        right.append((say("{base} {length}", base=work.base, length=work.member_thickness.number), -self.thickness))
        for x, (label, lower) in zip(self.right_columns, right, strict=False):
            self._measure(x, self.right, label, self.y(0.0), self.y(lower))

    def _on_top(self) -> tuple[str, float, float]:
        """What is measured of the fixture, or of what is there in its place, and between which heights (mm)."""
        work, say, top = self.work, self.work.words.say, self.work.clamped.number
        if work.bare and work.projection is not None:
            most, least = work.projection.number, work.least_shown
            if least is None:
                return say("projects {length}", length=most), most, 0.0
            return say("projects {least} to {length}", least=least.number, length=most), most, 0.0
        length = work.fixture_thickness.number
        if work.without_plate:
            return say("under it {length}", length=length), top, top - length
        return say("fixture {length}", length=length), top, top - length

    def _measure(self, x: float, side: float, words: str, y0: float, y1: float) -> None:
        outward = -1.0 if x < side else 1.0
        for y in (y0, y1):
            self.paper.line(side + outward * 0.8, y, x, y, width=THIN)
        self.paper.measure(x, y0, x, y1)
        half = width_mm(words, TEXT_MM) / 2
        middle = min(max((y0 + y1) / 2, self.top + half - 2), self.bottom + 2 - half)
        self.paper.upright_text(x - 0.8, middle, words)

    def _summary(self) -> None:
        for number, (text, bold) in enumerate(self.lines):
            self.paper.text(0, 116.9 + number * SUMMARY_MM, text, size=SMALL_MM, bold=bold)

    @cached_property
    def lines(self) -> list[tuple[str, bool]]:
        """What stands below the section, and whether in bold: hole, tool, and that a demonstration is one."""
        work, say = self.work, self.work.words.say
        said = []
        if work.hole_diameter is not None and work.stop is not None and work.progress.to_set:
            said.append(say("hole Ø{diameter}, depth stop {depth}", diameter=work.hole_diameter, depth=work.stop))
        tool = tool_of(work)
        if tool is Tool.WRENCH and work.torque is not None:
            if work.tightened_below:
                said.append(say("torque {torque}, at the nut on the concrete", torque=work.torque))
            elif work.source.mechanism in TIGHTENED_AGAINST_CONCRETE:
                said.append(say("torque {torque}", torque=work.torque))
            else:
                said.append(say("torque at most {torque}", torque=work.torque))
        elif tool is Tool.DRIVER and work.impact_driver_torque is not None:
            said.append(say("impact wrench at most {torque}", torque=work.impact_driver_torque))
        elif tool is Tool.FEEL:
            said.append(say("tightened by feel"))
        elif tool is Tool.HAND and has_head(work):
            said.append(say("head seated by hand"))
        told = [(line, False) for text in said for line in wrapped(text, SMALL_MM, SECTION_MM, most=2)]
        if work.source.rulebook.status == "demonstration":
            warning = wrapped(demonstration_step(work.words), SMALL_MM * BOLD, SECTION_MM, most=3)
            told += [(line, True) for line in warning]
        return told

    @property
    def below_mm(self) -> float:
        """Room that is needed below the section beside what every section has (mm)."""
        return SUMMARY_MM * max(0, len(self.lines) - LINES_BELOW_SECTION)


@dataclass(frozen=True)
class Plan:
    """The plan of the fixing, seen from the side of the fixture."""

    work: Work
    paper: Paper
    names: str

    left, right, top, bottom = 121.0, 182.0, 29.0, 93.0
    rim = 7.0
    """Room for the names of the sides, between what is drawn and the border of the window (mm)."""
    strip = 9.0
    """Room for an edge that is broken off: concrete, the break, concrete, edge (mm)."""

    @cached_property
    def outline(self) -> tuple[float, float, float, float]:
        """The fixture: x from, x to, y from, y to (mm)."""
        return self.work.source.fixing.fixture.outline_mm

    @cached_property
    def gaps(self) -> dict[str, float]:
        """How far each edge that is given stands from the border of the fixture (mm); negative: under it."""
        x0, x1, y0, y1 = self.outline
        borders = {"x_minus": -x0, "x_plus": x1, "y_minus": -y0, "y_plus": y1}
        return {name: figure.number - borders[name] for name, figure in self.work.edges.items()}

    @cached_property
    def drawn(self) -> frozenset[str]:
        """Edges that stand to scale: the nearest ones, for as long as the fixture takes a third of the window."""
        found: frozenset[str] = frozenset()
        for name in sorted(self.gaps, key=lambda one: (self.gaps[one], one)):
            more = found | {name}
            if self.gaps[name] > 0.0 and not self._large_enough(more):
                break
            found = more
        return found

    @cached_property
    def near(self) -> tuple[Nearby, ...]:
        """Other anchors and old holes that are named."""
        return nearby(self.work)

    @cached_property
    def shown(self) -> tuple[Nearby, ...]:
        """Those that stand to scale: the nearest ones, for as long as the fixture and its numbers can be read."""
        found: tuple[Nearby, ...] = ()
        for one in sorted(self.near, key=lambda each: each.distance.number):
            scale = self._scale_with(self.drawn, (*found, one))
            readable = self._share(scale) >= LEAST_SHARE_BESIDE and self._numbered(scale)
            if scale > self._scale_with(self.drawn) and not readable:
                break
            found = (*found, one)
        return found

    def _large_enough(self, drawn: frozenset[str]) -> bool:
        return self._share(self._scale_with(drawn)) >= LEAST_SHARE

    def _share(self, scale: float) -> float:
        """What the longer side of the fixture takes of the window at a scale."""
        x0, x1, y0, y1 = self.outline
        return max((x1 - x0) / scale / (self.right - self.left), (y1 - y0) / scale / (self.bottom - self.top))

    @cached_property
    def hole(self) -> float:
        """Diameter of the holes in the fixture, else of the fasteners (mm)."""
        clearance = self.work.clearance_hole
        real = clearance.number if clearance is not None else self.work.source.selection.size["geometry"]["diameter_mm"]
        return float(real)

    def _numbered(self, scale: float) -> bool:
        """Whether there is room for the numbers of the fasteners at a scale."""
        spots = [(place.x.number, place.y.number) for place in self.work.places]
        apart = [max(abs(a[0] - b[0]), abs(a[1] - b[1])) for n, a in enumerate(spots) for b in spots[n + 1 :]]
        return all((each - self.hole) / scale >= ROOM_FOR_A_NUMBER_MM for each in apart)

    def _extent_with(self, drawn: frozenset[str], near: tuple[Nearby, ...]) -> tuple[float, float, float, float]:
        x0, x1, y0, y1 = self.outline
        reach = {name: max(self.gaps[name], 0.0) if name in drawn else 0.0 for name in EDGE_NAMES}
        outer = x0 - reach["x_minus"], x1 + reach["x_plus"], y0 - reach["y_minus"], y1 + reach["y_plus"]
        return extent_with(outer, near)

    def _inner_with(self, drawn: frozenset[str]) -> tuple[float, float, float, float]:
        """Room on the paper for what is to scale: left, right, bottom, top (mm)."""
        kept = {
            name: self.rim + (self.strip if name in self.gaps and name not in drawn else 0.0) for name in EDGE_NAMES
        }
        return (
            self.left + kept["x_minus"],
            self.right - kept["x_plus"],
            self.bottom - kept["y_minus"],
            self.top + kept["y_plus"],
        )

    def _scale_with(self, drawn: frozenset[str], near: tuple[Nearby, ...] = ()) -> float:
        x0, x1, y0, y1 = self._extent_with(drawn, near)
        left, right, bottom, top = self._inner_with(drawn)
        return max(scale_for(x1 - x0, right - left), scale_for(y1 - y0, bottom - top))

    @cached_property
    def scale(self) -> float:
        """How many millimetres one on the paper stands for."""
        return self._scale_with(self.drawn, self.shown)

    def x(self, x_mm: float) -> float:
        """Place an x on the paper (mm)."""
        x0, x1, _, _ = self._extent_with(self.drawn, self.shown)
        left, right, _, _ = self._inner_with(self.drawn)
        return (left + right) / 2 + (x_mm - (x0 + x1) / 2) / self.scale

    def y(self, y_mm: float) -> float:
        """Place a y on the paper (mm)."""
        _, _, y0, y1 = self._extent_with(self.drawn, self.shown)
        _, _, bottom, top = self._inner_with(self.drawn)
        return (bottom + top) / 2 - (y_mm - (y0 + y1) / 2) / self.scale

    def draw(self) -> None:
        """Draw it."""
        words = self.work.words
        if self.work.without_plate:
            title = words.say("Plan, looking at the {base}", base=self.work.base)
        else:
            title = words.say("Plan, seen from the fixture")
        self.paper.text(98, HEAD_MM + 3, title, bold=True)
        self._axes()
        self._concrete()
        self._sides()
        if not self.work.without_plate:
            self._fixture()
        self._near(self._holes())
        self._across()
        self._upward()
        _scale_bar(self.paper, words, 98, 112, self.scale)
        for number, text in enumerate(self.lines):
            self.paper.text(98, 118.5 + number * LEGEND_MM, text, size=SMALL_MM)

    @cached_property
    def lines(self) -> list[str]:
        """What stands below the plan: its break lines, names that do not fit on it, and what is near."""
        words, notes = self.work.words, []
        if self.work.progress.standing:
            notes.append(words.say("dark: stands; white: still to be set"))
        section = self.work.source.fixing.fixture.attached_section
        if section is not None and not self.work.without_plate:
            wide, deep = section.width_mm, section.depth_mm
            notes.append(words.say("dashed: what stands on the fixture, {wide} × {deep} mm", wide=wide, deep=deep))
        if len(self.drawn) < len(self.gaps):
            notes.append(words.say("double break line: shortened, the dimension counts"))
        if len(self.gaps) < len(self.work.sides):
            notes.append(words.say("break line: no edge assumed"))
        if self.arrows:
            notes.append(words.say("heavy arrow: which way a load pushes, as What it holds says"))
        names = [self._label(side) for side in self.work.sides if self._broken(side) is None]
        near = [told(self.work, one).text for one in self.near]
        off = [one.name for one in self.near if one not in self.shown]
        if off:
            near.append(words.say("too far off to be drawn: {names}", names=", ".join(off)))
        return [line for text in (*notes, *names, *near) for line in wrapped(text, SMALL_MM, PAGE_MM - 98, most=3)]

    @property
    def below_mm(self) -> float:
        """Room that is needed below the plan beside what every plan has (mm)."""
        return LEGEND_MM * max(0, len(self.lines) - LINES_BELOW_PLAN)

    def _axes(self) -> None:
        x, y = 100.0, 30.0
        self.paper.line(x, y, x + 6, y)
        self.paper.arrow(x, y, x + 6, y)
        self.paper.line(x, y, x, y - 6)
        self.paper.arrow(x, y, x, y - 6)
        self.paper.text(x + 7, y + 0.9, "x", size=SMALL_MM)
        self.paper.text(x + 1.4, y - 5, "y", size=SMALL_MM)

    def _at(self, name: str) -> float:
        """Where the concrete ends on the paper: at its edge, to scale or broken off, or where the window ends (mm)."""
        outward = {"x_minus": -1.0, "x_plus": 1.0, "y_minus": 1.0, "y_plus": -1.0}[name]
        border = {"x_minus": self.left, "x_plus": self.right, "y_minus": self.bottom, "y_plus": self.top}[name]
        if name not in self.gaps:
            return border
        if name not in self.drawn:
            return border - outward * self.rim
        place = self.work.edges[name].number * (-1.0 if name.endswith("minus") else 1.0)
        return self.x(place) if name.startswith("x") else self.y(place)

    def _borders(self) -> tuple[float, float, float, float]:
        return self._at("x_minus"), self._at("x_plus"), self._at("y_minus"), self._at("y_plus")

    def _concrete(self) -> None:
        left, right, bottom, top = self._borders()
        self.paper.shape([(left, top), (right, top), (right, bottom), (left, bottom)], fill="#f0f0f0", stroke="none")
        sides = (
            ("x_minus", (left, top), (left, bottom), (1.0, 0.0)),
            ("x_plus", (right, top), (right, bottom), (-1.0, 0.0)),
            ("y_minus", (left, bottom), (right, bottom), (0.0, -1.0)),
            ("y_plus", (left, top), (right, top), (0.0, 1.0)),
        )
        for name, start, end, inward in sides:
            if name not in self.gaps:
                self.paper.open_line(zigzag(start, end), width=THIN)
            elif name not in self.drawn:
                self._break(start, end, inward)
        for name, start, end, _ in sides:
            if name in self.gaps:
                self.paper.line(*start, *end, width="0.8")

    def _break(self, start: tuple[float, float], end: tuple[float, float], inward: tuple[float, float]) -> None:
        """Take a strip out of the concrete between the fixture and an edge that is far away."""
        lines = [
            zigzag(
                (start[0] + inward[0] * by, start[1] + inward[1] * by),
                (end[0] + inward[0] * by, end[1] + inward[1] * by),
            )
            for by in (3.2, 5.0)
        ]
        self.paper.shape([*lines[0], *reversed(lines[1])], fill="#fff", stroke="none")
        for corners in lines:
            self.paper.open_line(corners, width=THIN)

    def _fixture(self) -> None:
        x0, x1, y0, y1 = self.outline
        self.paper.box(self.x(x0), self.y(y0), self.x(x1), self.y(y1), fill="#fff", width=THICK)
        section = self.work.source.fixing.fixture.attached_section
        if section is not None:
            x, y = (x0 + x1) / 2, (y0 + y1) / 2
            wide, deep = section.width_mm / 2, section.depth_mm / 2
            corners = (self.x(x - wide), self.y(y - deep), self.x(x + wide), self.y(y + deep))
            self.paper.box(*corners, fill="none", dash="1.5 1")

    def _room(self, side: Side) -> tuple[float, float]:
        """From where to where on the paper the name of a side may run: those across go first at the corners (mm)."""
        if side.name.startswith("y"):
            return self.left + self.rim, self.right - self.rim
        _, _, bottom, top = self._borders()
        return (
            top + (0.0 if "y_plus" in self.gaps else self.rim),
            bottom - (0.0 if "y_minus" in self.gaps else self.rim),
        )

    def _label(self, side: Side) -> str:
        """The name of a side with the caller's words for it."""
        if not side.own_words:
            return self.work.words.say("side {letter}", letter=side.letter)
        return self.work.words.say("side {letter}: {name}", letter=side.letter, name=side.own_words)

    def _broken(self, side: Side) -> list[str] | None:
        """The name of a side in the lines that it takes on the plan, None where it does not fit."""
        start, end = self._room(side)
        lines = wrapped(self._label(side), SMALL_MM, end - start, most=2)
        return lines if " ".join(lines) == self._label(side) else None

    def _name(self, side: Side) -> list[str]:
        """The name of a side as it stands on the plan: its letter alone where its words do not fit."""
        return self._broken(side) or [self.work.words.say("side {letter}", letter=side.letter)]

    def _sides(self) -> None:
        """Name the sides in the rim, which nothing else is drawn in: beyond an edge, within where there is none."""
        left, right, bottom, top = self._borders()
        starts = {
            "x_minus": left - self.rim if "x_minus" in self.gaps else left,
            "x_plus": right if "x_plus" in self.gaps else right - self.rim,
            "y_minus": bottom if "y_minus" in self.gaps else bottom - self.rim,
            "y_plus": top - self.rim if "y_plus" in self.gaps else top,
        }
        for side in self.work.sides:
            lines, middle = self._name(side), sum(self._room(side)) / 2
            deep = SMALL_MM * LINE_HEIGHT
            first = starts[side.name] + (self.rim - len(lines) * deep) / 2 + SMALL_MM * 0.8
            for number, words in enumerate(lines):
                down = first + number * deep
                if side.name.startswith("x"):
                    self.paper.upright_text(down, middle, words, size=SMALL_MM)
                else:
                    self.paper.text(middle, down, words, size=SMALL_MM, anchor="middle")

    def _holes(self) -> list[Box]:
        """Draw our holes with their numbers; what they cover of the paper."""
        radius = self.hole / 2 / self.scale
        spots = [(self.x(place.x.number), self.y(place.y.number)) for place in self.work.places]
        numbered = self._numbered(self.scale)
        covered = []
        for place, (x, y) in zip(self.work.places, spots, strict=True):
            self.paper.circle(x, y, max(radius, 0.4), fill=DARK if place.stands else "#fff")
            reach = radius + 1.0
            for dx, dy in ((1.0, 0.0), (0.0, 1.0)):
                self.paper.line(x - dx * reach, y - dy * reach, x + dx * reach, y + dy * reach, width=THIN)
            covered.append(Box.about(x, y, 2 * reach, 2 * reach))
            if numbered:
                left, base, words = x + 0.71 * radius + 0.5, y - 0.71 * radius - 0.5, str(place.number)
                self.paper.text(left, base, words, size=SMALL_MM)
                covered.append(Box(left, base - SMALL_MM, left + width_mm(words, SMALL_MM), base + 0.5))
        return covered

    @cached_property
    def arrows(self) -> dict[tuple[float, float], str]:
        """Which way loads push, along and down the paper, each with the names of those that push that way."""
        names: dict[tuple[float, float], list[str]] = {}
        for one in pushes(self.work):
            x, y = one.towards
            way = (round(x / math.hypot(x, y), 3), round(-y / math.hypot(x, y), 3))
            names.setdefault(way, []).append(one.arrow or "")
        return {way: ", ".join(named) for way, named in names.items()}

    def _near(self, covered: list[Box]) -> None:
        """Draw which way loads push, and what is near, each with the distance to our nearest fastener."""
        inner = self._inner_with(self.drawn)
        ends = [self._at(name) if name in self.drawn else end for name, end in zip(EDGE_NAMES, inner, strict=True)]
        drawn = Drawn(self.paper, self.names, self.scale, Box(ends[0], ends[3], ends[1], ends[2]), covered)
        moved = self.work.source.fixing.built.load_moved
        x0, x1, y0, y1 = self.outline
        long = min(PUSH_MM, max(LEAST_PUSH_MM, min(x1 - x0, y1 - y0) / 2 / self.scale))
        drawn.push(self.arrows, (self.x(moved.x_mm), self.y(moved.y_mm)), long)
        for one in self.shown:
            from_ = (self.x(one.nearest.x.number), self.y(one.nearest.y.number))
            at = (self.x(one.x.number), self.y(one.y.number))
            drawn.mark(one, at, from_, _tenths(self.work.words, one.distance.number))

    def _stops(self, axis: str) -> list[tuple[float, float]]:
        """Where a chain of dimensions stops: real (mm) and on the paper; edges that are broken off at the border."""
        places = sorted({(place.x if axis == "x" else place.y).number for place in self.work.places})
        on_paper = self.x if axis == "x" else self.y
        stops = [(place, on_paper(place)) for place in places]
        left, right, bottom, top = self._borders()
        ends = (left, right) if axis == "x" else (bottom, top)
        for name, sign, border in ((f"{axis}_minus", -1.0, ends[0]), (f"{axis}_plus", 1.0, ends[1])):
            if name in self.work.edges:
                stop = (sign * self.work.edges[name].number, border)
                stops = [stop, *stops] if sign < 0 else [*stops, stop]
        return stops

    def _across(self) -> None:
        y, stops = 98.0, self._stops("x")
        spans = []
        for (real0, x0), (real1, x1) in pairwise(stops):
            self.paper.measure(x0, y, x1, y)
            words = _tenths(self.work.words, real1 - real0)
            spans.append(Span((x0 + x1) / 2, width_mm(words, TEXT_MM), words))
        for _, x in stops if len(stops) > 1 else []:
            self.paper.line(x, self._borders()[2] + 1, x, y + 1, width=THIN)
        for span, row in rows(spans, 1.2):
            base = y + 3.4 + row * TEXT_MM * 1.25
            if row:
                self.paper.line(span.middle, y, span.middle, base - TEXT_MM, width=THIN)
            self.paper.text(span.middle, base, span.words, anchor="middle")
        if self.work.without_plate:
            return
        x0, x1, _, _ = self.outline
        self._extension(self.x(x0), self.x(x1))
        label = self.work.words.say("fixture {length}", length=x1 - x0)
        self.paper.text(self.x((x0 + x1) / 2), 24.2, label, anchor="middle")

    def _extension(self, x0: float, x1: float) -> None:
        self.paper.measure(x0, 25.5, x1, 25.5)
        for x in (x0, x1):
            self.paper.line(x, 24.5, x, self.top - 0.5, width=THIN)

    def _upward(self) -> None:
        x, stops = 116.0, self._stops("y")
        spans = []
        for (real0, y0), (real1, y1) in pairwise(stops):
            self.paper.measure(x, y0, x, y1)
            spans.append(Span((y0 + y1) / 2, TEXT_MM, _tenths(self.work.words, real1 - real0)))
        for _, y in stops if len(stops) > 1 else []:
            self.paper.line(x - 1, y, self._borders()[0] - 1, y, width=THIN)
        spans.sort(key=lambda span: span.middle)
        column = max((width_mm(span.words, TEXT_MM) for span in spans), default=0.0) + 1.5
        for span, row in rows(spans, 0.8):
            end = x - 1.2 - row * column
            if row:
                self.paper.line(end + 0.4, span.middle, x, span.middle, width=THIN)
            self.paper.text(end, span.middle + TEXT_MM * 0.36, span.words, anchor="end")
        if self.work.without_plate:
            return
        _, _, y0, y1 = self.outline
        self.paper.measure(185.0, self.y(y0), 185.0, self.y(y1))
        for y in (self.y(y0), self.y(y1)):
            self.paper.line(self.right + 0.5, y, 186.0, y, width=THIN)
        label = self.work.words.say("fixture {length}", length=y1 - y0)
        self.paper.upright_text(189.0, self.y((y0 + y1) / 2), label)


SECTION, PLAN = "section", "plan"
VIEWS = {SECTION: (0.0, 93.0), PLAN: (96.0, 94.0)}
"""Where each view begins on the paper, and how wide it is (mm)."""


def views_of(fixing: FixingSheet, work: Work) -> tuple[Element, Element]:
    """Draw one fixing for a page that puts section and plan side by side, or one below the other on a narrow screen.

    Args:
        fixing: The fixing.
        work: Its work.

    Returns:
        The SVG elements of section and plan.
    """
    return _view(fixing, work, SECTION), _view(fixing, work, PLAN)


def _view(fixing: FixingSheet, work: Work, view: str) -> Element:
    names = f"f{fixing.number}-{view}-"
    start, wide = VIEWS[view]
    # The page has heading and cautions right above it.
    high = FIXING_MM - HEAD_MM - 2 + _below_mm(work)
    svg = _svg((start, HEAD_MM - 1, wide, high), names)
    say = work.words.say
    if view == SECTION:
        title, told = say("Drawing of fixing {number}: section", number=fixing.number), described(fixing, work)
    else:
        title = say("Drawing of fixing {number}: plan", number=fixing.number)
        told = say("It is described with the section of the same fixing.")
    _read_out(svg, names, title, told)
    # The paper lies on the white that reading out has laid.
    paper = Paper.within(svg)
    if view == SECTION:
        Section(work, paper, names).draw()
    else:
        Plan(work, paper, names).draw()
    return svg


def _below_mm(work: Work) -> float:
    """Room that section or plan needs below it (mm)."""
    nowhere = Paper.within(Element("g"))
    return max(Section(work, nowhere, "").below_mm, Plan(work, nowhere, "").below_mm)


def of_sheet(made: Made) -> str:
    """Draw all fixings of a sheet, one below the other, as a document of its own.

    Args:
        made: The sheet.

    Returns:
        The SVG document.
    """
    return written(_document(made))


def described(fixing: FixingSheet, work: Work) -> str:
    """Tell the drawing in words, for those who can't see it.

    Args:
        fixing: The fixing.
        work: Its work.

    Returns:
        The words.
    """
    words = work.words
    said = [
        words.say("Fixing {number}: section and plan.", number=fixing.number),
        words.say(
            "Thickness of the {base} {member}, set depth {depth}.",
            base=work.base,
            member=work.member_thickness,
            depth=work.set_depth,
        ),
    ]
    if not work.without_plate:
        said.insert(1, words.say("Fixture {fixture} thick.", fixture=work.fixture_thickness))
    if work.hole_diameter is None or work.hole_depth is None:
        said.append(words.say("Nothing is drilled."))
    else:
        said.append(words.say("Holes Ø{diameter}, {depth} deep.", diameter=work.hole_diameter, depth=work.hole_depth))
    said.extend(words.say("Fastener {number} at x {x}, y {y}.", number=p.number, x=p.x, y=p.y) for p in work.places)
    said.extend(f"{line.text}." for line in fixing.holds if line.code == SheetLineCode.ACTS and pushes(work))
    edges = [(work.named(side), side.to_edge) for side in work.sides if side.to_edge is not None]
    if fixing.as_built is not None:
        said.extend(f"{line.text}." for line in fixing.as_built.lines)
    said.extend(f"{told(work, one).text}." for one in nearby(work))
    said.extend(
        words.say("Nearest fastener to the edge at {side}: {distance}.", side=side, distance=distance)
        for side, distance in edges
    )
    return " ".join(said if edges else [*said, words.say("No edge within reach.")])


def _svg(view: tuple[float, float, float, float], names: str) -> Element:
    x, y, wide, high = view
    size = {"width": f"{wide:g}mm", "height": f"{high:g}mm", "viewBox": f"{x:g} {y:g} {wide:g} {high:g}"}
    read_out = {"role": "img", "aria-labelledby": f"{names}title {names}desc"}
    return Element("svg", {"xmlns": "http://www.w3.org/2000/svg", **size, **read_out})


def _read_out(svg: Element, names: str, title: str, said: str) -> None:
    SubElement(svg, "title", {"id": f"{names}title"}).text = clean(title)
    SubElement(svg, "desc", {"id": f"{names}desc"}).text = clean(said)
    _patterns(SubElement(svg, "defs"), names)
    x, y, _, _ = svg.get("viewBox", "").split(" ")
    SubElement(svg, "rect", {"x": x, "y": y, "width": "100%", "height": "100%", "fill": "#fff"})


def _document(made: Made) -> Element:
    pairs = tuple(zip(made.sheet.fixings, made.works, strict=True))
    names, notice = "all-", made.sheet.notice
    head = 8.0 if notice else 0.0
    warnings = [_warnings(fixing) for fixing, _ in pairs]
    heights = [
        FIXING_MM + WARNING_MM * len(lines) + _below_mm(work) for (_, work), lines in zip(pairs, warnings, strict=True)
    ]
    wide, high = PAGE_MM + 2 * MARGIN_MM, head + sum(heights) + 2 * MARGIN_MM
    svg = _svg((-MARGIN_MM, -MARGIN_MM, wide, high), names)
    _read_out(svg, names, made.sheet.title, " ".join(described(*pair) for pair in pairs))
    if notice:
        warning, _ = demonstration(made.words)
        Paper.within(svg).text(0, 5, fitted(warning, 3.6, PAGE_MM), size=3.6, bold=True)
    down = head
    for (fixing, work), lines, height in zip(pairs, warnings, heights, strict=True):
        top = Paper.within(svg, down)
        _heading(top, fixing, work)
        for number, words in enumerate(lines, start=1):
            top.text(0, HEAD_MM - 1.5 + number * WARNING_MM - WARNING_MM / 4, words, size=SMALL_MM, bold=True)
        paper = Paper.within(svg, down + WARNING_MM * len(lines))
        down += height
        Section(work, paper, names).draw()
        Plan(work, paper, names).draw()
    return svg


def _warnings(fixing: FixingSheet) -> list[str]:
    """Break the cautions that stand before the work into lines."""
    broken = [wrapped(entry.text, SMALL_MM * BOLD, PAGE_MM, most=8) for entry in fixing.before_work]
    return [words for lines in broken for words in lines]


def _heading(paper: Paper, fixing: FixingSheet, work: Work) -> None:
    chosen, say = fixing.fastener, work.words.say
    parts: dict[str, Any] = {
        "number": fixing.number,
        "size": chosen.size,
        "length": chosen.length,
        "article": chosen.article_code,
    }
    if fixing.as_built is None:
        said = say(
            "Fixing {number}: {count} of size {size}, {length} long, {article}", count=work.fasteners, **parts
        )
    else:
        said = say(
            "Fixing {number}: {standing} stand, {count} to set, size {size}, {length} long, {article}",
            standing=len(fixing.as_built.standing),
            count=len(fixing.as_built.to_set),
            **parts,
        )
    if fixing.reference:
        said += f" – {fixing.reference}"
    paper.line(0, 1, PAGE_MM, 1, width=THICK)
    paper.text(0, 6, fitted(said, 3.4, PAGE_MM), size=3.4, bold=True)
    known = say(
        "Lengths in mm; rulebook {version}, record {record}",
        version=work.source.answer["rulebook"]["version"],
        record=fixing.proof.record_id,
    )
    paper.text(0, 10.5, fitted(known, SMALL_MM, PAGE_MM), size=SMALL_MM)


def _patterns(defs: Element, names: str) -> None:
    steel = SubElement(defs, "pattern", _pattern(f"{names}steel", 1.6))
    SubElement(steel, "path", {"d": "M0 1.6 L1.6 0", "stroke": "#000", "stroke-width": "0.15"})
    grout = SubElement(defs, "pattern", _pattern(f"{names}grout", 1.2))
    SubElement(grout, "rect", {"width": "1.2", "height": "1.2", "fill": "#ddd"})
    SubElement(grout, "circle", {"cx": "0.6", "cy": "0.6", "r": "0.2", "fill": "#000"})
    concrete = SubElement(defs, "pattern", _pattern(f"{names}concrete", 9.0))
    for corners in ("1,2 2.4,2.6 1.4,3.4", "6,5.4 7.2,4.8 7,6.2", "3.2,7 4,7.8 3,8.2"):
        look = {"points": corners, "fill": "none", "stroke": "#888", "stroke-width": "0.15"}
        SubElement(concrete, "polygon", look)
    for x, y in ((5, 1.2), (7.8, 2.4), (1, 6), (5.2, 8.2), (4.2, 4)):
        SubElement(concrete, "circle", {"cx": f"{x:g}", "cy": f"{y:g}", "r": "0.18", "fill": "#888"})


def _pattern(name: str, size: float) -> dict[str, str]:
    return {"id": name, "width": f"{size:g}", "height": f"{size:g}", "patternUnits": "userSpaceOnUse"}
