"""Sizing: which approved fixing passes its checks under these actions, and which of them is preferred."""

from collections.abc import Mapping
from typing import Any

from service import verification
from service.rulebook import Rulebook
from service.sizing import answer
from service.sizing.layouts import Layout, fixture_region, layouts, member_region
from service.sizing.search import Terms, Verify, search_family
from service.verification.refusal import Refusal, RefusedRequest
from service.verification.selection import check_allowed_values, check_version

__all__ = ["size"]

DEFAULT_MAX_CHOICES = 5


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

    def verify(candidate: Mapping[str, Any]) -> Mapping[str, Any]:
        return verification.verify(candidate, rulebook, assessed_on_assumed=assessed_on_assumed)

    return size_with(verify, request, rulebook)


def size_with(verify: Verify, request: Mapping[str, Any], rulebook: Rulebook) -> dict[str, Any]:
    """Size with a given verification.

    Args:
        verify: Judges one candidate's verification request.
        request: The sizing request as parsed, with `assessed_on` resolved to a day.
        rulebook: The rules to size by.

    Returns:
        The answer of `POST /v1/sizings`.

    Raises:
        RefusedRequest: The request makes no sense, or names what the rulebook does not have.
    """
    check_version(request, rulebook)
    check_allowed_values(request, rulebook)
    _refuse_unknown_families(request, rulebook)
    offered = layouts(request)
    on_member = offered if request.get("pattern") is None else _on_member(offered, request)
    terms = Terms(
        request=request,
        layouts=on_member,
        plate=fixture_region(request),
        hole_edge_factor=rulebook.document["fixture"]["hole_edge_distance_factor"],
        order=tuple(rulebook.document["selection_order"]),
        verify=verify,
    )
    results = [search_family(family, terms) for family in rulebook.families.values()]
    best_first = answer.ranked(results, terms.order)
    max_choices = request.get("max_choices") or DEFAULT_MAX_CHOICES
    return {
        "choices": answer.choices(best_first, terms, max_choices),
        "passed_over": answer.passed_over(best_first, terms, max_choices),
        "rejected": answer.rejected(results),
        "searched": answer.searched(results, layouts_off_member=len(offered) - len(on_member)),
    } | answer.common(results, best_first[:max_choices], request, rulebook)


def _on_member(offered: tuple[Layout, ...], request: Mapping[str, Any]) -> tuple[Layout, ...]:
    member = member_region(request)
    return tuple(layout for layout in offered if member.clearance_mm(layout) > 0)


def _refuse_unknown_families(request: Mapping[str, Any], rulebook: Rulebook) -> None:
    wanted = (request.get("limits") or {}).get("families") or ()
    known = ", ".join(sorted(rulebook.families))
    refusals = tuple(
        Refusal(f"#/limits/families/{index}", "unknown_family", f"{family!r} is not in the rulebook; known are {known}")
        for index, family in enumerate(wanted)
        if family not in rulebook.families
    )
    if refusals:
        raise RefusedRequest(*refusals)
