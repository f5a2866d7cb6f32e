"""Room for head, nut and washer beside what stands on the fixture: where there is none they can't be tightened."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final

from service.contract.verification_codes import RequirementCode
from service.engine.en1992_4.plate_holds import to_walls_mm
from service.engine.model import Fixture, Point
from service.verification.fixture_holes import head_across_mm
from service.verification.hole_depth import HEAD_RESTS_ON_FIXTURE
from service.verification.requirements import Requirement
from service.verification.selection import Selection
from service.verification.tolerance import reaches_mm
from service.words import Value

WASHER_RATIO: Final = 1.0
"""Half the width of a common washer to the diameter of the thread, ISO 7089, from memory: 24 mm for M12, 37 for M20."""


def room_beside_section(selection: Selection, fixture: Fixture, positions: Sequence[Point]) -> Iterator[Requirement]:
    """Hold each fastener against the walls of what stands on the fixture.

    Args:
        selection: The fastener.
        fixture: The fixture (mm).
        positions: Positions of the fasteners (mm).

    Yields:
        One requirement that is not met, of the fastener with the least room; nothing where a washer lies flat by all.
    """
    if not fixture.plate or selection.mechanism == "headed_fastener":
        return
    room, number = min((to_walls_mm(fixture, point), number) for number, point in enumerate(positions, start=1))
    least = _least_mm(selection)
    if not reaches_mm(room, least):
        figures: dict[str, Value] = {"room_mm": room, "room_min_mm": least, "number": number}
        yield Requirement(RequirementCode.ROOM_BESIDE_SECTION, False, figures)


def _least_mm(selection: Selection) -> float:
    """Half of a head across its corners where it bears itself, else half of a washer (mm)."""
    if selection.family["form"] in HEAD_RESTS_ON_FIXTURE:
        return round(head_across_mm(selection) / math.sqrt(3.0), 1)
    return WASHER_RATIO * float(selection.size["geometry"]["diameter_mm"])
