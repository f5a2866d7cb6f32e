"""What bears the fixture where its grout is thinner than verified, and what rests on the strength of the grout."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from service.contract.as_built_codes import AsBuiltRequirementCode, Measurement, ToDoCode
from service.contract.wanted import Fixture, made
from service.rulebook import Rulebook
from service.site.as_built.model import VERIFIED, Built, FoundOnSite, Requirement
from service.verification import verify
from service.verification.tolerance import keeps_mm
from service.words import Statement, Value


def bearings(
    request: Mapping[str, Any], before: Mapping[str, Any], given: Mapping[str, Any]
) -> Iterator[Mapping[str, Any]]:
    """Read a request with the fixture down on thinner grout and, where nobody said so, on packers where it was.

    Args:
        request: The request for the work as built.
        before: The request of the record.
        given: What was said of the work, without nulls.

    Yields:
        The request, and the same with a gap as high as the grout lacks.
    """
    yield request
    lacking_mm = _lacking_mm(request, before, given)
    if lacking_mm:
        fixture = request["fixture"]
        stand_off_mm = float(fixture.get("stand_off_mm") or 0.0) + lacking_mm
        # Nut and washer would clamp on what is left of the grout.
        clamped = bool(fixture.get("washer_clamped")) and not _grout_mm(request)
        yield {**request, "fixture": {**fixture, "stand_off_mm": stand_off_mm, "washer_clamped": clamped}}


def bears(built: Built) -> Iterator[Requirement]:
    """Say that nobody said what the fixture lies on, where its grout is thinner than verified.

    Args:
        built: The work as built.

    Yields:
        One requirement, or none.
    """
    before = built.record.request
    if _lacking_mm(built.request, before, built.given):
        figures: dict[str, Value] = {"thickness_mm": _grout_mm(built.request), "verified_mm": _grout_mm(before)}
        yield Requirement(
            AsBuiltRequirementCode.FIXTURE_BEARS, None, figures, to_do=(Statement(ToDoCode.SAY_GAP),)
        )


def rests_on_grout(request: Mapping[str, Any], found: FoundOnSite, rulebook: Rulebook) -> bool:
    """Say whether a fixing verifies by a strength of its grout that nobody found.

    Args:
        request: The request for the work as built, which verifies.
        found: What was found by now.
        rulebook: The rulebook of the record.

    Returns:
        False too where it verifies without.
    """
    grout = made(Fixture, request["fixture"]).grout
    if not grout.thickness_mm or grout.strength_mpa is None or Measurement.GROUT_STRENGTH in found.said:
        return False
    fixture = {**request["fixture"], "grout": {"thickness_mm": grout.thickness_mm}}
    return bool(verify({**request, "fixture": fixture}, rulebook)["verdict"] != VERIFIED)


def _lacking_mm(request: Mapping[str, Any], before: Mapping[str, Any], given: Mapping[str, Any]) -> float:
    """How much thinner the grout is than verified (mm); 0 too where somebody said what gap is left."""
    lacking_mm = _grout_mm(before) - _grout_mm(request)
    return 0.0 if "stand_off_mm" in given or keeps_mm(lacking_mm, 0.0) else lacking_mm


def _grout_mm(request: Mapping[str, Any]) -> float:
    return made(Fixture, request["fixture"]).grout.thickness_mm
