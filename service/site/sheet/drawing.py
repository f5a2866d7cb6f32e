"""The drawing of a fixing: a section through one fastener and a plan, each to scale and dimensioned."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from xml.etree.ElementTree import Element, SubElement

from service.site.sheet.content import Figure, FixingSheet, plain
from service.site.sheet.make import DEMONSTRATION, Made
from service.site.sheet.paper import (
    LINE_HEIGHT,
    SMALL_MM,
    TEXT_MM,
    THICK,
    THIN,
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
from service.site.sheet.steps import DEMONSTRATION_STEP
from service.site.sheet.tightening import TIGHTENING_EXPANDS, Tool, has_head, tool_of
from service.site.sheet.work import INNER_THREAD, RINGS, THREAD_SHOWS, Work

PAGE_MM = 190.0
MARGIN_MM = 3.0
FIXING_MM = 127.0
HEAD_MM = 15.0
WARNING_MM = 3.6
BOLD = 1.08
SCALES = (1.0, 2.0, 2.5, 5.0, 10.0, 20.0, 25.0, 50.0, 100.0, 200.0, 500.0)
BAR_LENGTHS = (5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0, 5000.0)
STEEL, DARK = "#fff", "#555"


def _label(word: str, figure: Figure) -> str:
    return f"{word} {plain(figure.number)}"


def _tenths(length_mm: float) -> str:
    """Write a length as finely as it can be marked out."""
    return plain(round(length_mm, 1))


def scale_for(extent_mm: float, room_mm: float) -> float:
    """Choose a usual scale.

    Args:
        extent_mm: What is drawn (mm).
        room_mm: Room on the paper (mm).

    Returns:
        How many millimetres one on the paper stands for.
    """
    return next((scale for scale in SCALES if extent_mm / scale <= room_mm), extent_mm / room_mm)


def _scale_bar(paper: Paper, x: float, y: float, scale: float) -> None:
    real = max(length for length in BAR_LENGTHS if length / scale <= 30.0 or length == BAR_LENGTHS[0])
    long = real / scale
    paper.box(x, y, x + long / 2, y + 1.0, fill="#000", width=THIN)
    paper.box(x + long / 2, y, x + long, y + 1.0, fill="#fff", width=THIN)
    paper.text(x + long + 1.5, y + 1.6, f"{plain(real)} mm    1 : {scale:.4g}", size=SMALL_MM)


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
        overhead = self.work.source.overhead and not self.work.cast_in
        title = "Section, drilled upwards" if overhead else "Section"
        self.paper.text(0, HEAD_MM + 3, title, bold=True)
        self._concrete()
        self._under_fixture()
        self._hole()
        self._fixture()
        self._fastener()
        self._dimensions()
        _scale_bar(self.paper, 0, 112, self.scale)
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
        self.paper.shape(corners, fill=f"url(#{self.names}concrete)")
        self.paper.line(self.left, top, self.right, top, width=THICK)

    def _under_fixture(self) -> None:
        if self.work.grout is not None:
            y0, y1 = self.y(0.0), self.y(self.work.grout.number)
            self.paper.box(self.left + 4, y0, self.right - 4, y1, fill=f"url(#{self.names}grout)")

    def _fixture(self) -> None:
        low = self.work.clamped.number - self.work.fixture_thickness.number
        y0, y1 = self.y(low), self.y(self.work.clamped.number)
        clearance = self.work.clearance_hole
        inner = 0.0 if clearance is None else clearance.number / 2 / self.scale
        halves = ((self.left + 4, self.centre - inner), (self.centre + inner, self.right - 4))
        for outer, near in halves if inner else ((self.left + 4, self.right - 4),):
            self.paper.box(outer, y0, near, y1, fill=STEEL)
            self.paper.box(outer, y0, near, y1, fill=f"url(#{self.names}steel)")

    def _hole(self) -> None:
        if self.work.hole_depth is not None:
            resin = self.work.source.mechanism == "bonded"
            self._bar(self.hole / 2, 0.0, -self.work.hole_depth.number, f"url(#{self.names}grout)" if resin else "#fff")

    def _fastener(self) -> None:
        form, radius = self.work.form, self.diameter / 2
        top, reach = self.work.clamped.number, self.work.reach.number
        if form == "welded_headed_stud":
            geometry = self.work.source.selection.size["geometry"]
            self._bar(radius, 0.0, -reach, DARK)
            head = float(geometry["head_diameter_mm"]) / 2
            self._bar(head, -reach + float(geometry["head_thickness_mm"]), -reach, DARK)
            return
        if self.sleeve > self.diameter and form not in THREAD_SHOWS:
            self._bar(self.sleeve / 2, 0.0 if form in INNER_THREAD or form in RINGS else top, -reach, "#bbb")
            self._bar(radius, top, -reach + (0.35 * reach if form in INNER_THREAD else 0.0), DARK)
        else:
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
        corners = [(self.centre - narrow, high), (self.centre + narrow, high), (self.centre + wide, low),
                   (self.centre - wide, low)]  # fmt: skip
        self.paper.shape(corners, fill=DARK)

    def _head(self, top: float) -> None:
        form, across = self.work.form, 0.85 * max(self.diameter, 0.8 * self.sleeve)
        if form in RINGS:
            radius, height = 1.3 * self.diameter / self.scale, top + 1.9 * self.diameter
            self._bar(self.diameter / 2, top, top + 0.7 * self.diameter, DARK)
            self.paper.circle(self.centre, self.y(height), radius, fill="none", width="1.0")
            return
        flat = 0.15 * self.diameter if form in THREAD_SHOWS else 0.1 * self.diameter
        self._bar(1.2 * across, top, top + flat, "#fff")
        self._bar(across, top + flat, top + flat + 0.65 * self.diameter, "#bbb")

    def _dimensions(self) -> None:
        work, clamped = self.work, self.work.clamped.number
        left: list[tuple[str, Figure, float, float]] = []
        if work.reach is not work.nominal_embedment:
            left.append(("reaches", work.reach, 0.0, -work.reach.number))
        elif work.nominal_embedment.number != work.embedment.number:
            left.append(("nominal", work.nominal_embedment, 0.0, -work.nominal_embedment.number))
        left.append(("fixture", work.fixture_thickness, clamped, clamped - work.fixture_thickness.number))
        height = 0.0
        for word, figure in (("grout", work.grout), ("stand-off", work.stand_off)):
            if figure is not None:
                left.append((word, figure, height + figure.number, height))
                height += figure.number
        for x, (word, figure, upper, lower) in zip(self.left_columns, left, strict=False):
            self._measure(x, self.left, _label(word, figure), self.y(upper), self.y(lower))
        # What the crew measures is the nominal one: the effective one must not be taken for it.
        same = work.nominal_embedment.number == work.embedment.number
        right = [("embedment" if same else "effective", work.embedment, -work.embedment.number)]
        if work.hole_depth is not None:
            right.append(("hole", work.hole_depth, -work.hole_depth.number))
        right.append(("member", work.member_thickness, -self.thickness))
        for x, (word, figure, lower) in zip(self.right_columns, right, strict=False):
            self._measure(x, self.right, _label(word, figure), self.y(0.0), self.y(lower))

    def _measure(self, x: float, side: float, words: str, y0: float, y1: float) -> None:
        outward = -1.0 if x < side else 1.0
        for y in (y0, y1):
            self.paper.line(side + outward * 0.8, y, x, y, width=THIN)
        self.paper.measure(x, y0, x, y1)
        half = width_mm(words, TEXT_MM) / 2
        middle = min(max((y0 + y1) / 2, self.top + half - 2), self.bottom + 2 - half)
        self.paper.upright_text(x - 0.8, middle, words)

    def _summary(self) -> None:
        work = self.work
        said = []
        if work.hole_diameter is not None and work.stop is not None:
            said.append(f"hole {work.hole_diameter.text} wide, stop at {work.stop.text}")
        tool = tool_of(work)
        if tool is Tool.WRENCH and work.torque is not None:
            most = "" if work.source.mechanism in TIGHTENING_EXPANDS else "at most "
            said.append(f"torque {most}{work.torque.text}")
        elif tool is Tool.DRIVER and work.impact_driver_torque is not None:
            said.append(f"driver at most {work.impact_driver_torque.text}")
        elif tool is Tool.HAND and has_head(work):
            said.append("head seated by hand")
        self.paper.text(0, 118.5, fitted("; ".join(said), SMALL_MM, 92), size=SMALL_MM)
        if work.source.rulebook.status == "demonstration":
            self.paper.text(0, 122.5, DEMONSTRATION_STEP, size=SMALL_MM, bold=True)


@dataclass(frozen=True)
class Plan:
    """The plan of the fixing, seen from the side of the fixture."""

    work: Work
    paper: Paper
    names: str

    left, right, top, bottom = 125.0, 181.0, 29.0, 91.0
    rim = 7.0
    """Room between what is drawn and the border of the window (mm)."""

    @cached_property
    def outline(self) -> tuple[float, float, float, float]:
        """The fixture: x from, x to, y from, y to (mm)."""
        fixture = self.work.source.request["fixture"]
        centre = fixture.get("centre") or {}
        x, y = float(centre.get("x_mm") or 0.0), float(centre.get("y_mm") or 0.0)
        wide, deep = float(fixture["width_mm"]) / 2, float(fixture["depth_mm"]) / 2
        return x - wide, x + wide, y - deep, y + deep

    @cached_property
    def drawn(self) -> dict[str, float]:
        """Where the edges stand that are near enough to be drawn (mm)."""
        x0, x1, y0, y1 = self.outline
        far = max(0.7 * max(x1 - x0, y1 - y0), 2.5 * self.work.embedment.number)
        found = {}
        for name, figure in self.work.edges.items():
            place = figure.number * (-1.0 if name.endswith("minus") else 1.0)
            border = {"x_minus": x0, "x_plus": x1, "y_minus": y0, "y_plus": y1}[name]
            if abs(place - border) <= far:
                found[name] = place
        return found

    @cached_property
    def extent(self) -> tuple[float, float, float, float]:
        """What has to be seen: x from, x to, y from, y to (mm)."""
        x0, x1, y0, y1 = self.outline
        return (
            min(x0, self.drawn.get("x_minus", x0)), max(x1, self.drawn.get("x_plus", x1)),
            min(y0, self.drawn.get("y_minus", y0)), max(y1, self.drawn.get("y_plus", y1)),
        )  # fmt: skip

    @cached_property
    def scale(self) -> float:
        """How many millimetres one on the paper stands for."""
        x0, x1, y0, y1 = self.extent
        across = scale_for(x1 - x0, self.right - self.left - 2 * self.rim)
        return max(across, scale_for(y1 - y0, self.bottom - self.top - 2 * self.rim))

    def x(self, x_mm: float) -> float:
        """Place an x on the paper (mm)."""
        x0, x1, _, _ = self.extent
        return (self.left + self.right) / 2 + (x_mm - (x0 + x1) / 2) / self.scale

    def y(self, y_mm: float) -> float:
        """Place a y on the paper (mm)."""
        _, _, y0, y1 = self.extent
        return (self.top + self.bottom) / 2 - (y_mm - (y0 + y1) / 2) / self.scale

    def draw(self) -> None:
        """Draw it."""
        self.paper.text(98, HEAD_MM + 3, "Plan, seen from the fixture", bold=True)
        self._axes()
        self._concrete()
        self._sides()
        self._fixture()
        self._holes()
        self._across()
        self._upward()
        _scale_bar(self.paper, 98, 112, self.scale)
        if len(self.drawn) < len(self.work.edges):
            self.paper.text(98, 118.5, "zigzag: broken off, the figure counts", size=SMALL_MM)
        if len(self.work.edges) < len(self.work.sides):
            self.paper.text(98, 122.5, "zigzag without a figure: reckoned without an edge", size=SMALL_MM)

    def _axes(self) -> None:
        x, y = 100.0, 30.0
        self.paper.line(x, y, x + 6, y)
        self.paper.arrow(x, y, x + 6, y)
        self.paper.line(x, y, x, y - 6)
        self.paper.arrow(x, y, x, y - 6)
        self.paper.text(x + 7, y + 0.9, "x", size=SMALL_MM)
        self.paper.text(x + 1.4, y - 5, "y", size=SMALL_MM)

    def _borders(self) -> tuple[float, float, float, float]:
        drawn = self.drawn
        return (
            self.x(drawn["x_minus"]) if "x_minus" in drawn else self.left,
            self.x(drawn["x_plus"]) if "x_plus" in drawn else self.right,
            self.y(drawn["y_minus"]) if "y_minus" in drawn else self.bottom,
            self.y(drawn["y_plus"]) if "y_plus" in drawn else self.top,
        )

    def _concrete(self) -> None:
        left, right, bottom, top = self._borders()
        self.paper.shape([(left, top), (right, top), (right, bottom), (left, bottom)], fill="#f0f0f0", stroke="none")
        sides = (
            ("x_minus", (left, top), (left, bottom)), ("x_plus", (right, top), (right, bottom)),
            ("y_minus", (left, bottom), (right, bottom)), ("y_plus", (left, top), (right, top)),
        )  # fmt: skip
        for name, start, end in sides:
            if name in self.drawn:
                self.paper.line(*start, *end, width="0.8")
            else:
                self.paper.open_line(zigzag(start, end), width=THIN)

    def _fixture(self) -> None:
        x0, x1, y0, y1 = self.outline
        self.paper.box(self.x(x0), self.y(y0), self.x(x1), self.y(y1), fill="#fff", width=THICK)
        fixture = self.work.source.request["fixture"]
        section = fixture.get("attached_section")
        if section is not None:
            x, y = (x0 + x1) / 2, (y0 + y1) / 2
            wide, deep = float(section["width_mm"]) / 2, float(section["depth_mm"]) / 2
            corners = (self.x(x - wide), self.y(y - deep), self.x(x + wide), self.y(y + deep))
            self.paper.box(*corners, fill="none", dash="1.5 1")

    def _sides(self) -> None:
        """Name the sides in the rim, which nothing else is drawn in: beyond an edge, within where it is broken off."""
        left, right, bottom, top = self._borders()
        across, up = (left + right) / 2, (top + bottom) / 2
        starts = {
            "x_minus": left - self.rim if "x_minus" in self.drawn else left,
            "x_plus": right if "x_plus" in self.drawn else right - self.rim,
            "y_minus": bottom if "y_minus" in self.drawn else bottom - self.rim,
            "y_plus": top - self.rim if "y_plus" in self.drawn else top,
        }
        for side in self.work.sides:
            upright = side.name.startswith("x")
            room = (bottom - top if upright else right - left) - self.rim
            lines = wrapped(side.label, SMALL_MM, room, most=2)
            deep = SMALL_MM * LINE_HEIGHT
            first = (self.rim - len(lines) * deep) / 2 + SMALL_MM * 0.8
            for number, words in enumerate(lines):
                down = first + number * deep
                if upright:
                    self.paper.upright_text(starts[side.name] + down, up, words, size=SMALL_MM)
                else:
                    self.paper.text(across, starts[side.name] + down, words, size=SMALL_MM, anchor="middle")

    def _holes(self) -> None:
        clearance = self.work.clearance_hole
        real = clearance.number if clearance is not None else self.work.source.selection.size["geometry"]["diameter_mm"]
        radius = float(real) / 2 / self.scale
        spots = [(self.x(place.x.number), self.y(place.y.number)) for place in self.work.places]
        apart = min(
            (max(abs(a[0] - b[0]), abs(a[1] - b[1])) for n, a in enumerate(spots) for b in spots[n + 1 :]), default=99.0
        )
        for number, (x, y) in enumerate(spots, start=1):
            self.paper.circle(x, y, max(radius, 0.4))
            for dx, dy in ((1.0, 0.0), (0.0, 1.0)):
                reach = radius + 1.0
                self.paper.line(x - dx * reach, y - dy * reach, x + dx * reach, y + dy * reach, width=THIN)
            if apart >= 2 * radius + 5.0:
                self.paper.text(x + 0.71 * radius + 0.5, y - 0.71 * radius - 0.5, str(number), size=SMALL_MM)

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
        y, stops = 96.0, self._stops("x")
        spans = []
        for (real0, x0), (real1, x1) in pairwise(stops):
            self.paper.measure(x0, y, x1, y)
            words = _tenths(real1 - real0)
            spans.append(Span((x0 + x1) / 2, width_mm(words, TEXT_MM), words))
        for _, x in stops if len(stops) > 1 else []:
            self.paper.line(x, self._borders()[2] + 1, x, y + 1, width=THIN)
        for span, row in rows(spans, 1.2):
            base = y + 3.4 + row * TEXT_MM * 1.25
            if row:
                self.paper.line(span.middle, y, span.middle, base - TEXT_MM, width=THIN)
            self.paper.text(span.middle, base, span.words, anchor="middle")
        x0, x1, _, _ = self.outline
        self._extension(self.x(x0), self.x(x1))
        self.paper.text(self.x((x0 + x1) / 2), 24.2, f"fixture {plain(x1 - x0)}", anchor="middle")

    def _extension(self, x0: float, x1: float) -> None:
        self.paper.measure(x0, 25.5, x1, 25.5)
        for x in (x0, x1):
            self.paper.line(x, 24.5, x, self.top - 0.5, width=THIN)

    def _upward(self) -> None:
        x, stops = 120.0, self._stops("y")
        spans = []
        for (real0, y0), (real1, y1) in pairwise(stops):
            self.paper.measure(x, y0, x, y1)
            spans.append(Span((y0 + y1) / 2, TEXT_MM, _tenths(real1 - real0)))
        for _, y in stops if len(stops) > 1 else []:
            self.paper.line(x - 1, y, self._borders()[0] - 1, y, width=THIN)
        spans.sort(key=lambda span: span.middle)
        column = max((width_mm(span.words, TEXT_MM) for span in spans), default=0.0) + 1.5
        for span, row in rows(spans, 0.8):
            end = x - 1.2 - row * column
            if row:
                self.paper.line(end + 0.4, span.middle, x, span.middle, width=THIN)
            self.paper.text(end, span.middle + TEXT_MM * 0.36, span.words, anchor="end")
        _, _, y0, y1 = self.outline
        self.paper.measure(184.5, self.y(y0), 184.5, self.y(y1))
        for y in (self.y(y0), self.y(y1)):
            self.paper.line(self.right + 0.5, y, 185.5, y, width=THIN)
        self.paper.upright_text(189.0, self.y((y0 + y1) / 2), f"fixture {plain(y1 - y0)}")


def of_fixing(fixing: FixingSheet, work: Work) -> Element:
    """Draw one fixing, as an element for a page.

    Args:
        fixing: The fixing.
        work: Its work.

    Returns:
        The SVG element.
    """
    # The page has the cautions right above it.
    return _document(((fixing, work),), f"Drawing of fixing {fixing.number}", None, f"f{fixing.number}-", warned=False)


def of_sheet(made: Made) -> str:
    """Draw all fixings of a sheet, one below the other, as a document of its own.

    Args:
        made: The sheet.

    Returns:
        The SVG document.
    """
    pairs = tuple(zip(made.sheet.fixings, made.works, strict=True))
    return written(_document(pairs, made.sheet.title, made.sheet.notice, "all-", warned=True))


def described(fixing: FixingSheet, work: Work) -> str:
    """Tell the drawing in words, for those who can't see it.

    Args:
        fixing: The fixing.
        work: Its work.

    Returns:
        The words.
    """
    drilled = (
        "nothing is drilled"
        if work.hole_diameter is None or work.hole_depth is None
        else f"holes {work.hole_diameter.text} wide and {work.hole_depth.text} deep"
    )
    places = ", ".join(f"{p.number} at x {p.x.text} and y {p.y.text}" for p in work.places)
    edges = ", ".join(f"{side.words} {side.to_edge.text}" for side in work.sides if side.to_edge is not None)
    return (
        f"Fixing {fixing.number}: section and plan. Fixture {work.fixture_thickness.text} thick, member "
        f"{work.member_thickness.text}, {drilled}, embedment {work.embedment.text}. Fasteners: {places}. "
        f"Edges, from the nearest fastener: {edges or 'none in reach'}."
    )


def _document(
    pairs: Sequence[tuple[FixingSheet, Work]], title: str, notice: str | None, names: str, *, warned: bool
) -> Element:
    head = 8.0 if notice else 0.0
    warnings = [_warnings(fixing) if warned else [] for fixing, _ in pairs]
    height = head + sum(FIXING_MM + WARNING_MM * len(lines) for lines in warnings)
    wide, high = PAGE_MM + 2 * MARGIN_MM, height + 2 * MARGIN_MM
    size = {"width": f"{wide:g}mm", "height": f"{high:g}mm"}
    view = {"viewBox": f"{-MARGIN_MM:g} {-MARGIN_MM:g} {wide:g} {high:g}"}
    read_out = {"role": "img", "aria-labelledby": f"{names}title {names}desc"}
    svg = Element("svg", {"xmlns": "http://www.w3.org/2000/svg", **view, **size, **read_out})
    SubElement(svg, "title", {"id": f"{names}title"}).text = clean(title)
    SubElement(svg, "desc", {"id": f"{names}desc"}).text = clean(" ".join(described(*pair) for pair in pairs))
    _patterns(SubElement(svg, "defs"), names)
    corner = {"x": f"{-MARGIN_MM:g}", "y": f"{-MARGIN_MM:g}"}
    SubElement(svg, "rect", {**corner, "width": "100%", "height": "100%", "fill": "#fff"})
    if notice:
        Paper.within(svg).text(0, 5, fitted(DEMONSTRATION.partition(".")[0], 3.6, PAGE_MM), size=3.6, bold=True)
    down = head
    for (fixing, work), lines in zip(pairs, warnings, strict=True):
        top = Paper.within(svg, down)
        _heading(top, fixing, work)
        for number, words in enumerate(lines, start=1):
            top.text(0, HEAD_MM - 1.5 + number * WARNING_MM - WARNING_MM / 4, words, size=SMALL_MM, bold=True)
        paper = Paper.within(svg, down + WARNING_MM * len(lines))
        down += FIXING_MM + WARNING_MM * len(lines)
        Section(work, paper, names).draw()
        Plan(work, paper, names).draw()
    return svg


def _warnings(fixing: FixingSheet) -> list[str]:
    """Break the cautions that stand before the work into lines."""
    broken = [wrapped(entry.text, SMALL_MM * BOLD, PAGE_MM, most=8) for entry in fixing.before_work]
    return [words for lines in broken for words in lines]


def _heading(paper: Paper, fixing: FixingSheet, work: Work) -> None:
    chosen = fixing.fastener
    bought = f"{work.fasteners} × size {chosen.size}, {chosen.length.text} long, {chosen.article_code}"
    said = f"Fixing {fixing.number}: {bought}"
    if fixing.reference:
        said += f" – {fixing.reference}"
    paper.line(0, 1, PAGE_MM, 1, width=THICK)
    paper.text(0, 6, fitted(said, 3.4, PAGE_MM), size=3.4, bold=True)
    rulebook = work.source.answer["rulebook"]["version"]
    known = f"Rulebook {rulebook}, record {fixing.proof.record_id}; lengths in mm"
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
