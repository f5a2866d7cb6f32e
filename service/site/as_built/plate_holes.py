"""Holes in the plate: a fastener that stands elsewhere goes through another one, or through a slot.

A smaller one stands in the hole that was made for the one that was ordered.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import combinations
from typing import Any

from service.contract.wanted import Fixture
from service.site.as_built.apart import MEASURED_AGAIN_MM
from service.verification.fixture_holes import hold_of, widest_mm
from service.verification.selection import Selection
from service.verification.tolerance import keeps_mm

SAID = ("clearance", "fixture_hole_diameter_mm")
"""The fields of an as-built check that say how wide they are."""
Place = Mapping[str, float]


def has_holes(fixture: Fixture, selection: Selection) -> bool:
    """Say whether fasteners go through holes in a plate.

    Args:
        fixture: The fixture.
        selection: The fastener.

    Returns:
        False for rings, hooks and bare rods, and for studs that are welded to their plate.
    """
    return hold_of(fixture, selection) == "plate" and widest_mm(selection) is not None


def taken_as_oversize(
    given: Mapping[str, Any],
    verified: Sequence[Place],
    stands: Sequence[Place],
    fixture: Fixture,
    selection: Selection,
    made_for_mm: float | None = None,
) -> bool:
    """Say whether the holes of the plate are taken as oversize, as nobody said how wide they are.

    They are where fasteners moved, or another one stands in a hole that may be too wide for it.

    Two fasteners may get nearer or farther by the play of both, the hole less the fastener; a plate that moved as a
    whole takes its holes along.

    Args:
        given: What was said of the work, without nulls.
        verified: Where the fasteners were verified to stand.
        stands: Where the same ones stand (mm).
        fixture: The fixture.
        selection: What is fitted.
        made_for_mm: The hole of the fastener that was ordered, where another one is fitted (mm).

    Returns:
        True where the holes can't be as verified, or need not be, and neither clearance nor diameter was said.
    """
    widest = widest_mm(selection)
    if widest is None or not has_holes(fixture, selection) or any(field in given for field in SAID):
        return False
    if made_for_mm is not None and not keeps_mm(fixture.hole_diameter_mm or made_for_mm, widest):
        return True
    pairs = zip(verified, stands, strict=True)
    moves = [(now["x_mm"] - then["x_mm"], now["y_mm"] - then["y_mm"]) for then, now in pairs]
    return not moves_alike(moves, fixture, selection)


def moves_alike(moves: Sequence[tuple[float, float]], fixture: Fixture, selection: Selection) -> bool:
    """Say whether fasteners moved so that the same plate still fits over them.

    Args:
        moves: How far each moved along x and y (mm).
        fixture: The fixture.
        selection: What is fitted.

    Returns:
        True where none moved against another by more than the play of both, or than a tape may be off where they are
        welded to it.
    """
    widest, play = widest_mm(selection), MEASURED_AGAIN_MM
    if widest is not None and has_holes(fixture, selection):
        play = widest - float(selection.size["geometry"]["diameter_mm"])
    return all(keeps_mm(math.dist(one, other), play) for one, other in combinations(moves, 2))
