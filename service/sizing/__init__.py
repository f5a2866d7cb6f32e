"""Sizing: which approved fixing passes its checks under these actions, and which of them is preferred."""

from collections.abc import Mapping
from typing import Any

from service import verification
from service.contract import wanted
from service.rulebook import Rulebook
from service.sizing import answer
from service.sizing.bounds import Bound, Bounds
from service.sizing.candidates import Candidate
from service.sizing.layouts import Layout, Rectangle, fixture_region, layouts, member_region
from service.sizing.search import Judge, Terms, search_family
from service.verification import Assessment, Assessor
from service.verification.loads import loads_of
from service.verification.refusal import Refusal, RefusedRequest
from service.verification.selection import check_allowed_values, check_version

__all__ = ["size"]


def size(request: Mapping[str, Any], rulebook: Rulebook, *, assessed_on_assumed: bool = False) -> dict[str, Any]:
    """Find the approved fixings that pass their checks, best first in the rulebook's selection order.

    Args:
        request: The sizing request as parsed, with `assessed_on` resolved to a day.
        rulebook: The rules to size by.
        assessed_on_assumed: Whether the day was filled in by the caller's service.

    Returns:
        The answer of `POST /v1/sizings`.

    Raises:
        RefusedRequest: The request makes no sense, or names what the rulebook does not have.
    """
    sizing = wanted.made(wanted.Sizing, request)
    return size_with(_judge(sizing, rulebook, assessed_on_assumed), request, sizing, rulebook)


def _judge(sizing: wanted.Sizing, rulebook: Rulebook, assessed_on_assumed: bool) -> Judge:
    options = {"assessed_on_assumed": assessed_on_assumed}
    assessor = Assessor(sizing, rulebook, **options)

    def assess(candidate: Candidate) -> Assessment:
        return assessor.assess(*candidate.fastener.row_key, candidate.layout)

    def by_what_is_asked(candidate: Candidate) -> Bound:
        return Bound(assessor.unmet_before_checks(*candidate.fastener.row_key, candidate.layout), 0.0)

    def assess_under(changed: wanted.Sizing, candidate: Candidate) -> Assessment:
        return Assessor(changed, rulebook, **options).assess(*candidate.fastener.row_key, candidate.layout)

    def verify(candidate: Mapping[str, Any]) -> Mapping[str, Any]:
        return verification.verify(candidate, rulebook, **options)

    def under(changed: wanted.Sizing) -> Judge:
        return _judge(changed, rulebook, assessed_on_assumed)

    return Judge(assess, verify, (Bounds(sizing, rulebook), by_what_is_asked), assess_under, under)


def size_with(judge: Judge, request: Mapping[str, Any], sizing: wanted.Sizing, rulebook: Rulebook) -> dict[str, Any]:
    """Size with a given judge of candidates.

    Args:
        judge: Who assesses, bounds and verifies candidates.
        request: The sizing request as parsed, with `assessed_on` resolved to a day.
        sizing: What it wants.
        rulebook: The rules to size by.

    Returns:
        The answer of `POST /v1/sizings`.

    Raises:
        RefusedRequest: The request makes no sense, or names what the rulebook does not have.
    """
    check_version(sizing.rulebook, sizing.assessed_on, rulebook)
    check_allowed_values(sizing.use, sizing.site, rulebook)
    _refuse_unknown_families(sizing.limits, rulebook)
    loads = loads_of(sizing, rulebook)
    offered = layouts(sizing, loads.number)
    member = member_region(sizing.member)
    on_member = offered if sizing.pattern is None else _on_member(offered, member)
    terms = Terms(
        request=request,
        sizing=sizing,
        layouts=on_member,
        member=member,
        plate=fixture_region(sizing.fixture),
        hole_edge_factor=rulebook.document["fixture"]["hole_edge_distance_factor"],
        order=tuple(rulebook.document["selection_order"]),
        judge=judge,
    )
    results = (search_family(family, terms) for family in rulebook.families.values())
    sized = answer.found(results, terms, sizing.max_choices)
    return answer.built(sized, request, loads, layouts_off_member=len(offered) - len(on_member))


def _on_member(offered: tuple[Layout, ...], member: Rectangle) -> tuple[Layout, ...]:
    return tuple(layout for layout in offered if member.clearance_mm(layout) > 0)


def _refuse_unknown_families(limits: wanted.Limits, rulebook: Rulebook) -> None:
    known = sorted(rulebook.families)
    allowed = {"allowed": known}
    refusals = tuple(
        Refusal(
            f"#/limits/families/{index}",
            "unknown_family",
            f"{family!r} is not in the rulebook; known are {', '.join(known)}",
            allowed,
        )
        for index, family in enumerate(limits.families or ())
        if family not in rulebook.families
    )
    if refusals:
        raise RefusedRequest(*refusals)
