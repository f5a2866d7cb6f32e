"""What was told of bars, of how a fixture is held and of what stands on it, and found otherwise: the worse counts.

To gain by what was found takes the engineer and a new request.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from service.contract.as_built_codes import AsBuiltRequirementCode, ToDoCode
from service.contract.coherence import HOLDS_CRACKS
from service.contract.terms import EDGE_REINFORCEMENTS
from service.site.as_built.model import Built, Requirement
from service.verification.refusal import Refusal, RefusedRequest
from service.words import Statement

WORSE = {"spacing_mm": min, "diameter_mm": max, "stirrup_spacing_mm": max, "edge": min}
"""Which of two is the less favourable."""
WEAKER = {"spacing_mm": max, "diameter_mm": min, "stirrup_spacing_mm": max, "edge": min}
"""Which of two holds cracks less."""


def put_otherwise(request: dict[str, Any], given: Mapping[str, Any]) -> None:
    """Take what was found of bars, rotation and washers where that is worse, and what stands on a fixture as found.

    Args:
        request: The request for the work as built, as it was verified so far.
        given: What was said of the work, without nulls.

    Raises:
        RefusedRequest: What stands on the fixture is said to be larger than it.
    """
    fixture, member = request["fixture"], request["member"]
    told = member.get("reinforcement")
    # Of bars that nobody knew of, nothing was taken that could be less favourable.
    if isinstance(told, Mapping) and "reinforcement" in given:
        member["reinforcement"] = _bars(told, given["reinforcement"])
    if given.get("rotation") == "free" and fixture.get("rotation") == "held":
        fixture["rotation"] = "free"
    if given.get("washer_clamped") is False and fixture.get("washer_clamped"):
        fixture["washer_clamped"] = False
    section, found = fixture.get("attached_section"), given.get("attached_section", {})
    if section:
        refusals = tuple(_beyond_the_fixture(fixture, found))
        if refusals:
            raise RefusedRequest(*refusals)
        fixture["attached_section"] = {name: found.get(name, told) for name, told in section.items()}


def _beyond_the_fixture(fixture: Mapping[str, Any], found: Mapping[str, Any]) -> Iterator[Refusal]:
    for name in ("width_mm", "depth_mm"):
        if found.get(name, 0) > fixture[name]:
            words = f"must be at most the fixture's {name}, {fixture[name]:.10g}"
            place = f"#/as_built/attached_section/{name}"
            yield Refusal(place, "outside_fixture", words, {"maximum_mm": fixture[name]})


def outlines(request: Mapping[str, Any], before: Mapping[str, Any]) -> Iterator[Mapping[str, Any]]:
    """Read a request with what stands on its fixture as it was found and, where that was told otherwise, as told.

    A larger one is no gain, and may be a loss where fasteners come to stand within its outline.

    Args:
        request: The request for the work as built.
        before: The request of the record.

    Yields:
        One request or two, that of the smaller outline first.
    """
    found, told = (one["fixture"].get("attached_section") for one in (request, before))
    ways = [found] if found == told else sorted((found, told), key=lambda one: float(one["width_mm"] * one["depth_mm"]))
    for section in ways:
        yield {**request, "fixture": {**request["fixture"], "attached_section": section}} if section else request


def attached_elsewhere(built: Built) -> Iterator[Requirement]:
    """Say that what stands on the fixture stands elsewhere than it was verified, and its load with it.

    Args:
        built: The work as built.

    Yields:
        One requirement, or none. No figure may stand beside it: none is of that load.
    """
    if built.given.get("attached_section", {}).get("in_place") is False:
        to_do = (Statement(ToDoCode.ATTACHED_ELSEWHERE),)
        yield Requirement(AsBuiltRequirementCode.ATTACHED_IN_PLACE, False, to_do=to_do, decisive=True)


def _bars(told: Mapping[str, Any], found: Mapping[str, Any]) -> dict[str, Any]:
    """Bars as they count: what is not known of those that were told stays so, which is the least favourable."""
    both = {name: (told[name], found[name]) for name in WORSE if name in found and told.get(name) is not None}
    bars = {**told, **{name: _less(WORSE, name, *pair) for name, pair in both.items()}}
    weaker = any(_less(WEAKER, name, *pair) != pair[0] for name, pair in both.items())
    if told.get(HOLDS_CRACKS) and (weaker or found.get(HOLDS_CRACKS) is False):
        bars[HOLDS_CRACKS] = False
    return bars


def _less(which: Mapping[str, Any], name: str, told: Any, found: Any) -> Any:
    return which[name](told, found, key=EDGE_REINFORCEMENTS.index if name == "edge" else None)
