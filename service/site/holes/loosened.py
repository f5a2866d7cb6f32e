"""Whether what stands is tightened again as some is still to be set: the fixture comes off, or has no grout yet."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.contract.as_built_codes import Measurement
from service.contract.wanted import Fixture, made, standing_in
from service.verification.below_fixture import tightened_below
from service.verification.fixture_holes import THROUGH_FIXTURE, hold_of
from service.verification.length import NUT_ON_THREAD
from service.verification.selection import Selection

OF_TIGHTENING = frozenset({Measurement.TORQUE, Measurement.HEAD_SEATED})
"""What was measured of a tightening, and holds no longer once it is loosened."""


def through_fixture(request: Mapping[str, Any], selection: Selection) -> bool:
    """Say whether the hole is drilled through the fixture in place.

    Args:
        request: The request of a fixing.
        selection: The fastener.

    Returns:
        False where it is set before its fixture, as it has to be where its torque is that of a nut on the concrete.
    """
    below = tightened_below(made(Fixture, request["fixture"]), selection)
    return selection.family["setting"] == THROUGH_FIXTURE and not below


def comes_off(request: Mapping[str, Any], selection: Selection) -> bool:
    """Say whether the fixture has to be off, or come off again, for what is still to be set.

    Common practice, no source: what is set before its fixture is drilled and set without it; nuts on bolts set through
    it come off where it gets a hole at another place, and what has a head stays in its hole, the fixture under it.

    Args:
        request: The request of a fixing, checked as built.
        selection: The fastener.

    Returns:
        False too where nothing is to be set, or nothing stands.
    """
    built = request.get("built") or {}
    to_set = set(built.get("to_set_numbers") or ())
    cast_in = selection.mechanism == "headed_fastener"
    if not _some_stand(request) or cast_in or hold_of(standing_in(request), selection) != "plate":
        return False
    if not through_fixture(request, selection):
        return True
    moved = {one["number"] for one in built.get("moved_from") or ()}
    return selection.family["form"] in NUT_ON_THREAD and bool(moved & to_set)


def loosened(request: Mapping[str, Any], selection: Selection) -> bool:
    """Say whether what stands is tightened again once all is set, whatever was read of it before.

    Args:
        request: The request of a fixing, checked as built.
        selection: The fastener.

    Returns:
        False where the fixture stays on, and where the torque is that of a nut on the concrete below it.
    """
    fixture = made(Fixture, request["fixture"])
    measured = (request.get("built") or {}).get("measured") or ()
    grouted = fixture.grout.thickness_mm > 0.0 and fixture.stand_off_mm == 0.0
    to_pour = grouted and Measurement.STAND_OFF.value not in measured and _some_stand(request)
    return (comes_off(request, selection) or to_pour) and not tightened_below(fixture, selection)


def _some_stand(request: Mapping[str, Any]) -> bool:
    to_set = (request.get("built") or {}).get("to_set_numbers") or ()
    return 0 < len(to_set) < len(request["positions"])
