"""Drawing on paper: millimetres on an A4 sheet, lines, dimensions and texts that keep out of each other's way."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from xml.etree.ElementTree import Element, SubElement, tostring

from service.rulebook.printable import printable

TEXT_MM = 2.9
SMALL_MM = 2.6
"""7.4 points; nothing on the drawing is smaller."""
LETTER = 0.58
WIDE_LETTER = 1.05
NOT_LATIN = "\u0250"
"""Letters of Latin scripts come before it, with their accents."""
LINE_HEIGHT = 1.25
ARROW_MM = 1.4
THIN, NORMAL, THICK = "0.18", "0.3", "0.5"
BLACK = "#000"


def clean(text: str) -> str:
    """Write a text so that it can stand in a drawing or a page; XML cannot hold every character.

    Args:
        text: Any text.

    Returns:
        The text, what steers or is no character in it as escapes.
    """
    return printable(text)


def width_mm(text: str, size: float) -> float:
    """Reckon how wide a text is at most.

    Args:
        text: The text.
        size: Size of its letters (mm).

    Returns:
        Its width (mm).
    """
    return size * sum(LETTER if letter < NOT_LATIN else WIDE_LETTER for letter in text)


def fitted(text: str, size: float, room: float) -> str:
    """Cut a text to the room there is.

    Args:
        text: The text.
        size: Size of its letters (mm).
        room: Width there is for it (mm).

    Returns:
        The text, with an ellipsis where something was cut.
    """
    if width_mm(text, size) <= room:
        return text
    while text and width_mm(text + "…", size) > room:
        text = text[:-1]
    return text.rstrip() + "…"


def wrapped(text: str, size: float, room: float, most: int) -> list[str]:
    """Break a text into lines; what does not fit into the last is cut.

    Args:
        text: The text.
        size: Size of its letters (mm).
        room: Width there is for it (mm).
        most: Most lines.

    Returns:
        The lines.
    """
    lines: list[str] = []
    rest = text.split(" ")
    while rest and len(lines) < most - 1:
        taken = 1
        while taken < len(rest) and width_mm(" ".join(rest[: taken + 1]), size) <= room:
            taken += 1
        if width_mm(rest[0], size) > room:
            break
        lines.append(" ".join(rest[:taken]))
        rest = rest[taken:]
    return [*lines, fitted(" ".join(rest), size, room)] if rest else lines


def points(coordinates: Sequence[tuple[float, float]]) -> str:
    """Write points for a polyline.

    Args:
        coordinates: Points (mm).

    Returns:
        The attribute.
    """
    return " ".join(f"{x:.2f},{y:.2f}" for x, y in coordinates)


def zigzag(start: tuple[float, float], end: tuple[float, float]) -> list[tuple[float, float]]:
    """Make the line where a drawing breaks off, along one of the axes.

    Args:
        start: Where it begins (mm).
        end: Where it ends (mm).

    Returns:
        Its points.
    """
    (x0, y0), (x1, y1) = start, end
    upright = abs(y1 - y0) >= abs(x1 - x0)
    turns = ((0.0, 0.0), (0.42, 0.0), (0.46, 1.6), (0.54, -1.6), (0.58, 0.0), (1.0, 0.0))
    return [
        (x0 + (x1 - x0) * part + (off if upright else 0.0), y0 + (y1 - y0) * part + (0.0 if upright else off))
        for part, off in turns
    ]


@dataclass(frozen=True)
class Paper:
    """Two groups of the drawing to draw in: lines and areas, and above them the texts."""

    group: Element
    texts: Element

    @classmethod
    def within(cls, parent: Element, down_mm: float = 0.0) -> Paper:
        """Lay paper on a drawing.

        Args:
            parent: The drawing.
            down_mm: How far down it lies (mm).

        Returns:
            The paper.
        """
        place = {"transform": f"translate(0 {down_mm:g})"}
        return cls(SubElement(parent, "g", place), SubElement(parent, "g", place))

    def line(self, x0: float, y0: float, x1: float, y1: float, *, width: str = NORMAL, dash: str | None = None) -> None:
        """Draw a line (mm)."""
        extra = {"stroke-dasharray": dash} if dash else {}
        ends = {"x1": f"{x0:.2f}", "y1": f"{y0:.2f}", "x2": f"{x1:.2f}", "y2": f"{y1:.2f}"}
        SubElement(self.group, "line", {**ends, "stroke": BLACK, "stroke-width": width, **extra})

    def shape(
        self, corners: Sequence[tuple[float, float]], *, fill: str, width: str = NORMAL, stroke: str = BLACK
    ) -> None:
        """Draw a closed shape (mm)."""
        SubElement(
            self.group,
            "polygon",
            {"points": points(corners), "fill": fill, "stroke": stroke, "stroke-width": width},
        )

    def open_line(self, corners: Sequence[tuple[float, float]], *, width: str = NORMAL) -> None:
        """Draw a line of several parts (mm)."""
        attributes = {"points": points(corners), "fill": "none", "stroke": BLACK, "stroke-width": width}
        SubElement(self.group, "polyline", attributes)

    def box(
        self, x0: float, y0: float, x1: float, y1: float, *, fill: str, width: str = NORMAL, dash: str = ""
    ) -> None:
        """Draw a rectangle between two corners (mm)."""
        left, right, top, bottom = min(x0, x1), max(x0, x1), min(y0, y1), max(y0, y1)
        place = {"x": f"{left:.2f}", "y": f"{top:.2f}", "width": f"{right - left:.2f}", "height": f"{bottom - top:.2f}"}
        extra = {"stroke-dasharray": dash} if dash else {}
        SubElement(self.group, "rect", {**place, "fill": fill, "stroke": BLACK, "stroke-width": width, **extra})

    def circle(self, x: float, y: float, radius: float, *, fill: str = "#fff", width: str = NORMAL) -> None:
        """Draw a circle (mm)."""
        place = {"cx": f"{x:.2f}", "cy": f"{y:.2f}", "r": f"{radius:.2f}"}
        SubElement(self.group, "circle", {**place, "fill": fill, "stroke": BLACK, "stroke-width": width})

    def text(
        self, x: float, y: float, words: str, *, size: float = TEXT_MM, anchor: str = "start", bold: bool = False
    ) -> None:
        """Write a text on its base line (mm)."""
        self._write(x, y, words, size, anchor, bold, None)

    def upright_text(self, x: float, y: float, words: str, *, size: float = TEXT_MM) -> None:
        """Write a text that reads upwards, about its middle (mm)."""
        self._write(x, y, words, size, "middle", False, f"rotate(-90 {x:.2f} {y:.2f})")

    def arrow(self, x: float, y: float, to_x: float, to_y: float, *, head: float = ARROW_MM) -> None:
        """Draw the head of an arrow that points from one place to another (mm)."""
        length = math.hypot(to_x - x, to_y - y) or 1.0
        ux, uy = (to_x - x) / length, (to_y - y) / length
        base_x, base_y = to_x - ux * head, to_y - uy * head
        wing = head / 4
        corners = [(to_x, to_y), (base_x - uy * wing, base_y + ux * wing), (base_x + uy * wing, base_y - ux * wing)]
        self.shape(corners, fill=BLACK, width="0.05")

    def measure(self, x0: float, y0: float, x1: float, y1: float) -> None:
        """Draw a dimension line, its arrows inside where there is room and outside where not (mm)."""
        self.line(x0, y0, x1, y1, width=THIN)
        length = math.hypot(x1 - x0, y1 - y0)
        if length >= 3 * ARROW_MM:
            self.arrow(x1, y1, x0, y0)
            self.arrow(x0, y0, x1, y1)
            return
        ux, uy = ((x1 - x0) / length, (y1 - y0) / length) if length else (1.0, 0.0)
        for x, y, side in ((x0, y0, -2 * ARROW_MM), (x1, y1, 2 * ARROW_MM)):
            self.line(x, y, x + side * ux, y + side * uy, width=THIN)
            self.arrow(x + side * ux, y + side * uy, x, y)

    def _write(self, x: float, y: float, words: str, size: float, anchor: str, bold: bool, turned: str | None) -> None:
        attributes = {
            "x": f"{x:.2f}",
            "y": f"{y:.2f}",
            "font-size": f"{size:g}",
            "text-anchor": anchor,
            "font-family": "Helvetica, Arial, sans-serif",
            "fill": BLACK,
            # A rim of white keeps a line behind the text from crossing it.
            "stroke": "#fff",
            "stroke-width": "0.9",
            "stroke-linejoin": "round",
            "paint-order": "stroke",
        }
        if bold:
            attributes["font-weight"] = "bold"
        if turned:
            attributes["transform"] = turned
        SubElement(self.texts, "text", attributes).text = clean(words)


@dataclass(frozen=True, slots=True)
class Box:
    """What something covers of the paper: from left to right and from top to bottom (mm)."""

    left: float
    top: float
    right: float
    bottom: float

    @classmethod
    def about(cls, x: float, y: float, wide: float, high: float) -> Box:
        """Lay a box about a middle (mm)."""
        return cls(x - wide / 2, y - high / 2, x + wide / 2, y + high / 2)

    def meets(self, other: Box) -> bool:
        """Whether two boxes have paper in common."""
        across = min(self.right, other.right) - max(self.left, other.left)
        return across > 0 and min(self.bottom, other.bottom) - max(self.top, other.top) > 0

    def holds(self, other: Box) -> bool:
        """Whether another box lies within."""
        across = self.left <= other.left and other.right <= self.right
        return across and self.top <= other.top and other.bottom <= self.bottom


@dataclass(frozen=True)
class Span:
    """A text that wants to stand about a place along a line."""

    middle: float
    extent: float
    words: str


def rows(spans: Sequence[Span], gap: float) -> Iterator[tuple[Span, int]]:
    """Share texts out among rows, so that none overlaps another of its row.

    Args:
        spans: The texts, in the order of their places.
        gap: Least room between two texts (mm).

    Yields:
        Each text with its row, from 0.
    """
    ends: list[float] = []
    for span in spans:
        start = span.middle - span.extent / 2
        row = next((number for number, end in enumerate(ends) if start >= end + gap), len(ends))
        if row == len(ends):
            ends.append(0.0)
        ends[row] = span.middle + span.extent / 2
        yield span, row


def written(element: Element) -> str:
    """Write an SVG element out.

    Args:
        element: The element.

    Returns:
        The document.
    """
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + tostring(element, encoding="unicode") + "\n"
