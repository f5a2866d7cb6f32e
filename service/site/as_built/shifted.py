"""A fixture that stands aside as a whole: it moved with its fasteners, and what it carries came along or stayed."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, TypeAlias

from service.contract.wanted import Fixture, made
from service.site.as_built.apart import MEASURED_AGAIN_MM
from service.site.as_built.plate_holes import moves_alike
from service.site.load_models.actions import moved_load
from service.verification.refusal import Refusal, RefusedRequest
from service.verification.selection import Selection

FIELD = "fixture_moved"
WITH_LOAD, LOAD_STAYED, STAYED = "with_its_load", "load_stayed", "fixture_stayed"
LOADS = ("load_cases", "actions")
Place: TypeAlias = Mapping[str, float]


def shift_of(
    given: Mapping[str, Any],
    stood: Sequence[Place],
    stands: Sequence[Place],
    fixture: Mapping[str, Any],
    selection: Selection,
) -> tuple[float, float]:
    """Say how far the fixture moved with its fasteners.

    Args:
        given: What was said of the work, without nulls.
        stood: Where the fasteners were verified to stand.
        stands: Where the same ones stand (mm).
        fixture: The fixture of the request.
        selection: What is fitted.

    Returns:
        Along x and y (mm); 0 where it stayed, or they did not all move alike.

    Raises:
        RefusedRequest: It is said to have moved with fasteners that did not move alike.
    """
    moves = [(now["x_mm"] - then["x_mm"], now["y_mm"] - then["y_mm"]) for then, now in zip(stood, stands, strict=True)]
    shift = tuple(math.fsum(along) / len(moves) for along in zip(*moves, strict=True))
    told = given.get(FIELD) in {WITH_LOAD, LOAD_STAYED}
    # By how much one fastener alone is off, its fixture is off too: it has no other to turn about or lie askew on.
    along = told or len(moves) == 1 or (fixture.get("plate") is not False and math.hypot(*shift) > MEASURED_AGAIN_MM)
    moved = along and any(shift) and moves_alike(moves, made(Fixture, fixture), selection)
    if told and not moved:
        words = (
            "must be left out, or be fixture_stayed, unless every fastener moved, be it the only one, and all of them "
            "alike"
        )
        raise RefusedRequest(Refusal(f"#/as_built/{FIELD}", "conflict", words, {"fields": ["positions", "moved"]}))
    return (shift[0], shift[1]) if moved and given.get(FIELD) != STAYED else (0.0, 0.0)


def load_moved(request: Mapping[str, Any]) -> tuple[float, float]:
    """Say how far the loads of a request moved with its fixture since they were first verified.

    Args:
        request: The request.

    Returns:
        Along x and y (mm).
    """
    moved = (request.get("built") or {}).get("load_moved") or {}
    return float(moved.get("x_mm", 0.0)), float(moved.get("y_mm", 0.0))


def put_aside(request: dict[str, Any], shift_mm: tuple[float, float]) -> None:
    """Move the fixture with its fasteners.

    Args:
        request: The request for the work as built.
        shift_mm: How far it moved, along x and y (mm).
    """
    if not any(shift_mm):
        return
    centre = request["fixture"].get("centre") or {}
    request["fixture"]["centre"] = {
        name: float(centre.get(name) or 0.0) + moved for name, moved in zip(("x_mm", "y_mm"), shift_mm, strict=True)
    }


def readings(
    request: Mapping[str, Any], given: Mapping[str, Any], shift_mm: tuple[float, float]
) -> Iterator[dict[str, Any]]:
    """Read a request as where its load may act.

    Args:
        request: The request for the work as built, its load where it was verified.
        given: What was said of the work, without nulls.
        shift_mm: How far the fixture moved, along x and y (mm).

    Yields:
        The request with its load left in place, and with it moved along; the one that is right where that was said.
        Within what two measurements of one place may differ the load is as near to its fasteners as it was verified.
    """
    said = given.get(FIELD)
    if said is None and math.hypot(*shift_mm) <= MEASURED_AGAIN_MM:
        said = WITH_LOAD
    if not any(shift_mm) or said != WITH_LOAD:
        yield dict(request)
    if any(shift_mm) and said != LOAD_STAYED:
        yield _with_its_load(request, shift_mm)


def _with_its_load(request: Mapping[str, Any], shift_mm: tuple[float, float]) -> dict[str, Any]:
    """The same with its load moved along, and with how far that is from where it was first verified."""
    x_mm, y_mm = (before + now for before, now in zip(load_moved(request), shift_mm, strict=True))
    built = {**(request.get("built") or {}), "load_moved": {"x_mm": x_mm, "y_mm": y_mm}}
    loads = {name: [moved_load(load, *shift_mm) for load in request[name]] for name in LOADS if request.get(name)}
    return {**request, **loads, "built": built}
