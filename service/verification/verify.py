"""Verification of a request under a rulebook."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from service.engine import verification as mechanics
from service.engine.model import Fixing
from service.engine.results import CaseResult
from service.rulebook import Rulebook
from service.verification import fixing as assembly
from service.verification import requirements
from service.verification.answer import Outcome, build, largest_plate_stress
from service.verification.assumptions import Assumptions, cracked, reinforcement, strength, use
from service.verification.length import choose_length
from service.verification.record import ENGINE, record_id
from service.verification.refusal import Refusal, RefusedRequest
from service.verification.selection import UNKNOWN, check_allowed_values, check_version, select
from service.verification.site_reduction import site_reduction


def verify(request: Mapping[str, Any], rulebook: Rulebook, *, assessed_on_assumed: bool = False) -> dict[str, Any]:
    """Verify the fixing of a request: EN 1992-4 for the mechanics, the rulebook for every figure.

    Args:
        request: The parsed request, its ``assessed_on`` resolved to a day; no defaults are filled in.
        rulebook: The rulebook to use.
        assessed_on_assumed: Whether the caller filled in the day, which then shows among the assumptions.

    Returns:
        The answer of the contract, with its record.

    Raises:
        RefusedRequest: When the request names something the rulebook does not know, or lacks a needed thickness.
    """
    check_version(request, rulebook)
    check_allowed_values(request, rulebook)
    _check_fixture(request["fixture"])
    assumptions = Assumptions()
    if assessed_on_assumed:
        assumptions.add("assessed_on_today", f"No day given: assessed on {request['assessed_on']}", "#/assessed_on")
    answer = build(_outcome(request, rulebook, assumptions))
    resolved = {**request, "rulebook": rulebook.version}
    answer["record"] = {"id": record_id(resolved, answer, rulebook.digest), "engine": ENGINE}
    return answer


def _check_fixture(fixture: Mapping[str, Any]) -> None:
    raised = (fixture.get("stand_off_mm") or 0.0) > 0.0 or (
        (fixture.get("grout") or {}).get("thickness_mm") or 0.0
    ) > 0.0
    if raised and fixture.get("thickness_mm") is None:
        raise RefusedRequest(
            Refusal(
                "#/fixture/thickness_mm",
                "required",
                "is needed with a stand-off or grout, for the lever arm of the shear",
            )
        )


def _outcome(request: Mapping[str, Any], rulebook: Rulebook, assumptions: Assumptions) -> Outcome:
    selection = select(request, rulebook)
    mechanism = selection.family["mechanism"]
    taken_strength = strength(request["member"], rulebook, assumptions)
    is_cracked = cracked(request["member"], rulebook, assumptions)
    bars = reinforcement(request["member"], assumptions)
    taken_use = use(request, rulebook, selection.family, assumptions)
    site = request.get("site")
    reduction = site_reduction(site, mechanism, rulebook, assumptions)
    member = assembly.member(request, taken_strength, is_cracked, bars)
    points = assembly.positions(request)
    length = choose_length(selection, request["fastener"].get("length_mm"), request["fixture"], assumptions)
    found = [
        *requirements.approval(selection, taken_use, date.fromisoformat(request["assessed_on"])),
        *requirements.assessed_cover(selection, taken_strength, is_cracked, taken_use),
        *requirements.distances(selection, member, points),
        *requirements.surroundings(selection, taken_use, (site or {}).get("drilling") or UNKNOWN),
        *length.requirements,
    ]
    calculated: Fixing | None = None
    results: tuple[CaseResult, ...] = ()
    if all(requirement.met for requirement in found if requirement.decisive):
        calculated = Fixing(
            fastener=assembly.fastener(selection, member, taken_use),
            positions=points,
            member=member,
            fixture=assembly.fixture(request, selection.size["geometry"]["clearance_hole_mm"] is None, assumptions),
            factors=assembly.factors(selection, rulebook, taken_use.situation),
            site_factor=reduction.factor,
            load_cases=assembly.load_cases(request, rulebook, mechanism == "bonded", assumptions),
        )
        results = mechanics.verify(calculated, request.get("detail") == "full")
        stress = largest_plate_stress(results)
        if stress is not None and calculated.fixture.yield_mpa is not None:
            found.append(requirements.plate(stress, calculated.fixture.yield_mpa))
    return Outcome(
        request=request,
        rulebook=rulebook,
        selection=selection,
        length=length,
        site=reduction,
        requirements=tuple(found),
        assumptions=assumptions.all(),
        fixing=calculated,
        results=results,
        situation=taken_use.situation,
    )
