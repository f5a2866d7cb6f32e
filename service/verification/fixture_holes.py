"""Holes in the fixture: whether the fastener goes through, and whether they are as narrow as its assessment asks."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from service.contract import wanted
from service.contract.verification_codes import RequirementCode
from service.engine.model import Clearance, Hold
from service.verification.requirements import Requirement
from service.verification.selection import Selection
from service.verification.tolerance import keeps_mm, reaches_mm
from service.words import Value

THROUGH_FIXTURE: Final = "through_fixture"
HEAD_RATIO: Final = 1.5
"""Width across flats of a hexagon head to the diameter of its bolt, where the rulebook has none.

About what ISO 4017 and ISO 4032 have, from memory."""
THICKEST_WASHERS: Final = ((6.0, 3.0), (10.0, 4.0), (12.0, 5.0), (20.0, 6.0), (24.0, 8.0), (30.0, 10.0))
"""Up to which diameter of thread a washer over a wide or filled hole is how thick at most (mm).

Thick washers of ISO 6340, from memory; large ones of ISO 7093 are thinner."""
RINGS: Final = ("sleeve_eyebolt", "sleeve_hook")
"""Forms that end in a ring or hook: what hangs in it clamps no plate."""


def hold_of(fixture: wanted.Fixture, selection: Selection) -> Hold:
    """What the fastener holds: a plate, its own ring or hook, or nothing but itself."""
    if selection.family["form"] in RINGS:
        return "ring"
    return "plate" if fixture.plate else "bare"


def goes_without_plate(selection: Selection, fixture: wanted.Fixture) -> Iterator[Requirement]:
    """Whether a fastener can be set without a plate; nothing where it can, or there is one."""
    welded = selection.mechanism == "headed_fastener"
    if hold_of(fixture, selection) == "bare" and (welded or selection.family["setting"] == THROUGH_FIXTURE):
        path = selection.path("setting")
        yield Requirement(RequirementCode.SET_THROUGH_PLATE, False, rule=path, decisive=True)


def widest_mm(selection: Selection) -> float | None:
    """The largest hole in the fixture that counts as normal (mm); None for a stud that is welded to it."""
    hole = selection.size["geometry"]["clearance_hole_mm"]
    return None if hole is None else float(hole)


def is_wide(fixture: wanted.Fixture, selection: Selection) -> bool:
    """Whether the holes that the fixture has are wider than what counts as normal for the fastener."""
    given, widest = fixture.hole_diameter_mm, widest_mm(selection)
    return fixture.plate and given is not None and widest is not None and not keeps_mm(given, widest)


def clearance_of(fixture: wanted.Fixture, selection: Selection) -> Clearance | None:
    """How the holes of the fixture count for a fastener; None where nothing is said of them.

    EN 1992-4:2018, 6.2.2.1 and Table 6.1, from memory. A diameter decides, unless less is asked for.

    Args:
        fixture: The fixture of a request.
        selection: The fastener.

    Returns:
        ``filled``, ``oversize`` or ``normal``.
    """
    if widest_mm(selection) is None and fixture.clearance != "oversize":
        # A stud welded to its plate has no hole to have clearance in.
        return "filled"
    if fixture.clearance in {"filled", "oversize"}:
        return fixture.clearance
    if fixture.hole_diameter_mm is None:
        return fixture.clearance
    return "oversize" if is_wide(fixture, selection) else "normal"


def washer_mm(fixture: wanted.Fixture, selection: Selection) -> float:
    """How thick the washer is that lies over each hole of the fixture, where a common one does not do.

    The length has to reach through it; what a common washer takes is in the assessment's own lengths.

    Args:
        fixture: The fixture of a request.
        selection: The fastener.

    Returns:
        The thickness (mm), as told or else as thick as they come; 0 where the holes are neither filled nor oversize.
    """
    holes = hold_of(fixture, selection) == "plate" and widest_mm(selection) is not None
    if not holes or clearance_of(fixture, selection) not in {"filled", "oversize"}:
        return 0.0
    return thickest_washer_mm(selection) if fixture.washer_thickness_mm is None else fixture.washer_thickness_mm


def thickest_washer_mm(selection: Selection) -> float:
    """How thick a washer over a wide or filled hole comes at most (mm)."""
    diameter = float(selection.size["geometry"]["diameter_mm"])
    return next((thick for thread, thick in THICKEST_WASHERS if keeps_mm(diameter, thread)), diameter / 2.0)


def fastener_passes(selection: Selection, fixture: wanted.Fixture) -> Iterator[Requirement]:
    """Whether the holes of the fixture let the fastener and the drill bit through, and not its head as well.

    Args:
        selection: The fastener.
        fixture: The fixture.

    Yields:
        The requirements; none where no diameter is given.
    """
    if fixture.hole_diameter_mm is None or widest_mm(selection) is None or not fixture.plate:
        return
    geometry = selection.size["geometry"]
    least, path = float(geometry["diameter_mm"]), selection.size_path("geometry", "diameter_mm")
    bit = geometry["hole_diameter_mm"]
    if selection.family["setting"] == THROUGH_FIXTURE and bit is not None and float(bit) > least:
        least, path = float(bit), selection.size_path("geometry", "hole_diameter_mm")
    figures: dict[str, Value] = {"fixture_hole_mm": fixture.hole_diameter_mm, "fixture_hole_min_mm": least}
    met = reaches_mm(fixture.hole_diameter_mm, least)
    yield Requirement(RequirementCode.FASTENER_PASSES_FIXTURE, met, figures, path)
    yield from _head_spans(selection, fixture.hole_diameter_mm)


def widest_under_head_mm(selection: Selection) -> float:
    """The widest hole in the fixture under a head or nut (mm): no washer makes good for a wider one.

    Args:
        selection: A fastener that goes through a hole of its fixture.

    Returns:
        The head itself, or the hole that the assessment has where that is wider.
    """
    return max(head_across_mm(selection), float(selection.size["geometry"]["clearance_hole_mm"]))


def head_across_mm(selection: Selection) -> float:
    """How wide the head or nut of a fastener is across its flats (mm)."""
    known = selection.size["geometry"]["spanner_mm"]
    return HEAD_RATIO * float(selection.size["geometry"]["diameter_mm"]) if known is None else float(known)


def _head_spans(selection: Selection, hole_mm: float) -> Iterator[Requirement]:
    """Whether the head or nut is wider than a hole; nothing where it is, or the assessment itself has such holes."""
    geometry = selection.size["geometry"]
    known, head_mm = geometry["spanner_mm"], head_across_mm(selection)
    most = widest_under_head_mm(selection)
    if not keeps_mm(hole_mm, most):
        figures: dict[str, Value] = {"fixture_hole_mm": hole_mm, "fixture_hole_max_mm": most, "head_mm": head_mm}
        path = selection.size_path("geometry", "diameter_mm" if known is None else "spanner_mm")
        yield Requirement(RequirementCode.HEAD_SPANS_HOLE, False, figures, path)
