"""Room for head, nut and washer beside what stands on the fixture: where there is none they can't be tightened."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final

from service.contract import wanted
from service.contract.verification_codes import RequirementCode
from service.engine.model import Point
from service.verification.fixture_holes import head_across_mm, hold_of
from service.verification.hole_depth import HEAD_RESTS_ON_FIXTURE
from service.verification.requirements import Requirement
from service.verification.selection import Selection
from service.verification.tolerance import reaches_mm
from service.words import Value

WASHER_RATIO: Final = 1.0
"""Half the width of a common washer to the diameter of the thread, ISO 7089, from memory: 24 mm for M12, 37 for M20."""


def room_beside_section(
    selection: Selection, fixture: wanted.Fixture, positions: Sequence[Point]
) -> Iterator[Requirement]:
    """Hold each fastener against the walls of what stands on the fixture.

    Args:
        selection: The fastener.
        fixture: The fixture of the request.
        positions: Positions of the fasteners (mm).

    Yields:
        One requirement that is not met, of the fastener with the least room; nothing where a washer lies flat by all.
    """
    section = fixture.attached_section
    if section is None or hold_of(fixture, selection) != "plate" or selection.mechanism == "headed_fastener":
        return
    centre = (fixture.centre.x_mm, fixture.centre.y_mm)
    room, number = min(
        (_to_section_mm(section, (x - centre[0], y - centre[1])), number)
        for number, (x, y) in enumerate(positions, start=1)
    )
    least = _least_mm(selection)
    if not reaches_mm(room, least):
        figures: dict[str, Value] = {"room_mm": room, "room_min_mm": least, "number": number}
        yield Requirement(RequirementCode.ROOM_BESIDE_SECTION, False, figures)


def _least_mm(selection: Selection) -> float:
    """Half of a head across its corners where it bears itself, else half of a washer (mm)."""
    if selection.family["form"] in HEAD_RESTS_ON_FIXTURE:
        return round(head_across_mm(selection) / math.sqrt(3.0), 1)
    return WASHER_RATIO * float(selection.size["geometry"]["diameter_mm"])


def _to_section_mm(section: wanted.AttachedSection, point: Point) -> float:
    """How far a point, from the middle of a section, is from its nearest wall; 0 within what is solid (mm)."""
    half = (section.width_mm / 2.0, section.depth_mm / 2.0)
    across, along = abs(point[0]) - half[0], abs(point[1]) - half[1]
    if section.profile == "i_web_along_x":
        return min(_to_line_mm(across, point[1], half[1]), _to_line_mm(point[1], point[0], half[0]))
    if section.profile == "i_web_along_y":
        return min(_to_line_mm(along, point[0], half[0]), _to_line_mm(point[0], point[1], half[1]))
    if max(across, along) > 0.0:
        return math.hypot(max(across, 0.0), max(along, 0.0))
    # Where the walls of any other profile stand is not known; what it may be bends the plate the more.
    return {"solid": 0.0, "hollow": -max(across, along)}.get(section.profile or "other", math.inf)


def _to_line_mm(off: float, along: float, half_mm: float) -> float:
    """How far a point is from a line that ends at ± half its length (mm)."""
    return math.hypot(off, max(abs(along) - half_mm, 0.0))
