"""Nuts and washers that stand in the open gap under a fixture, and the room that they need there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from service.contract import wanted
from service.contract.verification_codes import RequirementCode
from service.engine.results import CaseResult
from service.verification.fixture_holes import hold_of
from service.verification.hole_depth import HEAD_RESTS_ON_FIXTURE
from service.verification.requirements import TIGHTENED_AGAINST_CONCRETE, Requirement
from service.verification.selection import Selection
from service.verification.tolerance import reaches_mm
from service.words import Value

NUT_AND_WASHER_RATIO: Final = 1.2
"""How high a nut with its washer is at most, to the diameter of their thread.

ISO 4032 and ISO 7089, from memory: 6.8 and 1.8 mm for M8, 14.8 and 3.3 mm for M16, 21.5 and 4.3 mm for M24."""


def tightened_below(fixture: wanted.Fixture, selection: Selection) -> bool:
    """Say whether the torque is that of a nut on the concrete, which no socket reaches once the fixture is on.

    Args:
        fixture: The fixture of a request.
        selection: The fastener.

    Returns:
        True for what its torque expands, under a fixture that stands off with nut and washer on the concrete.
    """
    off = fixture.washer_clamped and fixture.stand_off_mm > 0.0 and hold_of(fixture, selection) == "plate"
    return off and selection.mechanism in TIGHTENED_AGAINST_CONCRETE


def lies_on_nuts(fixture: wanted.Fixture, selection: Selection) -> bool:
    """Say whether the fixture can lie on a nut and washer on each fastener, beside any on the concrete.

    Args:
        fixture: The fixture of a request.
        selection: The fastener.

    Returns:
        False where the gap has no room for them: there it lies on shims.
    """
    return reaches_mm(fixture.stand_off_mm, room_mm(selection, 1 + fixture.washer_clamped))


def room_mm(selection: Selection, nuts: int) -> float:
    """Work out how high so many nuts are, each with a washer (mm).

    Args:
        selection: The fastener.
        nuts: How many.

    Returns:
        Their height (mm).
    """
    return nuts * NUT_AND_WASHER_RATIO * float(selection.size["geometry"]["diameter_mm"])


def _takes_nuts(selection: Selection) -> bool:
    return selection.mechanism != "headed_fastener" and selection.family["form"] not in HEAD_RESTS_ON_FIXTURE


def room_for_nuts(
    selection: Selection, fixture: wanted.Fixture, results: Sequence[CaseResult]
) -> Iterator[Requirement]:
    """Hold the open gap under the fixture against the nuts and washers that the result rests on.

    A nut on the concrete where it was said to be; one under the fixture where that is tightened below it, or where a
    fastener is pressed, as nothing else presses it. What only lies at a height lies on shims as well.

    Args:
        selection: The fastener.
        fixture: The fixture of the request.
        results: The load cases.

    Yields:
        One requirement, where a nut stands in the gap.
    """
    if fixture.stand_off_mm == 0.0 or hold_of(fixture, selection) != "plate" or not _takes_nuts(selection):
        return
    pressed = any(min(result.forces.tension_n) < 0.0 for result in results if result.forces is not None)
    nuts = fixture.washer_clamped + (pressed or tightened_below(fixture, selection))
    if nuts:
        least = room_mm(selection, nuts)
        figures: dict[str, Value] = {"stand_off_mm": fixture.stand_off_mm, "stand_off_min_mm": least, "nuts": nuts}
        path = selection.size_path("geometry", "diameter_mm")
        met = reaches_mm(fixture.stand_off_mm, least)
        yield Requirement(RequirementCode.ROOM_FOR_NUTS, met, figures, path)
