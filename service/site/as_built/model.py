"""What an as-built check is made of."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from service.site.needed_hole import HEAD_RESTS_ON_FIXTURE
from service.site.sheet.work import THREAD_SHOWS
from service.verification.selection import Selection

TOLERANCE = 1e-9

REQUIREMENTS: Mapping[str, str] = MappingProxyType({
    "nothing_measured": "Something of the work was measured; given only where nothing was.",
    "decisive_not_measured": "What this kind of fastener turns on was measured; given only where something was not.",
    "torque_not_read": "A torque was read where the assessment asks for one; given only where none was.",
    "installation_torque": "The torque read is the installation torque, or no more than an impact driver may have.",
    "head_seated": "The head is seated on the fixture; given where it was said, or a short depth puts it in doubt.",
    "embedment_reached": "The embedment that was reached is assessed, or a shallower one is.",
    "thread_serves": "The fitted length clamps the fixture at the depth that was reached.",
    "remaining_thickness": "What is left of the member behind too deep a hole is what the assessment leaves.",
    "sleeve_at_depth": "A drop-in is set in a hole no deeper than assessed, as its sleeve rests on the bottom.",
    "undercut_at_depth": "An undercut stands as deep as assessed, so its hole is no deeper.",
    "sleeve_expanded": "The setting tool met the sleeve of a drop-in with its shoulder; given where it was said.",
    "mark_shows": "The mark shows that an undercut fastener is expanded; given where it was said.",
    "hole_cleaned": "The hole was cleaned in the steps of the assessment; given where it was said.",
    "setting_temperature": "The resin was set at a temperature of its table; given where it was measured.",
    "working_time": "It was set within the working time of the resin; given where it was said.",
    "curing_time": "The resin had cured before it was tightened or loaded; given where it was said.",
    "aborted_hole_distance": "Each aborted hole, of earlier checks too, is as far from fasteners as the rulebook asks.",
    "strength_shown": "How far the strength that was found is shown, and whether it counts.",
})

CAUTIONS: Mapping[str, str] = MappingProxyType({
    "deeper_hole_more_resin": "The hole is deeper than assessed and takes more resin.",
    "embedment_looks_nominal": "The effective embedment that was given is the set depth that a sheet asks for.",
    "old_hole_left": "A fastener stands elsewhere than an earlier check had it, and no aborted hole is said there.",
    "run_out_since": "Something that it was verified with has run out or changed since.",
    "strength_not_raised": "More strength was found than was verified; it does not count here.",
})


@dataclass(frozen=True, slots=True)
class Record:
    """A record that was found to be true: its request with day and version resolved, and its answer."""

    request: Mapping[str, Any]
    answer: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Requirement:
    """What the work as built has to keep beside the verification, and what to do.

    ``met`` is None where nobody has measured what would show it. ``decisive`` marks what no resistance is assessed
    without, so that no figure may stand beside it.
    """

    code: str
    met: bool | None
    detail: str
    given: float | str | None
    limit: float | str | None
    unit: str | None
    rule: str | None
    to_do: str | None = None
    decisive: bool = False


@dataclass(frozen=True, slots=True)
class Found:
    """What was found by now, in this check and in earlier ones.

    Attributes:
        values: What was found; `embedment_mm` is the effective one, however it was said.
        said: Codes of what was measured.
    """

    values: Mapping[str, Any]
    said: frozenset[str]


@dataclass(frozen=True, slots=True)
class Built:
    """The work as built beside the record it was done by.

    Attributes:
        record: The record.
        given: What was said of it now, without what is null.
        found: What was found by now, also in earlier checks.
        request: The request as built.
        verified: What the record's request chose.
        selection: What the request as built chooses.
    """

    record: Record
    given: Mapping[str, Any]
    found: Found
    request: Mapping[str, Any]
    verified: Selection
    selection: Selection


def without_nulls(given: Mapping[str, Any]) -> dict[str, Any]:
    """Take what was said of the work; null says nothing, and neither does a part in which all is null.

    Args:
        given: What was really done.

    Returns:
        The same without nulls.
    """
    said = {
        name: without_nulls(value) if isinstance(value, Mapping) else value
        for name, value in given.items()
        if value is not None
    }
    return {name: value for name, value in said.items() if value != {}}


def cast_in(selection: Selection) -> bool:
    """Whether nothing is drilled.

    Args:
        selection: What was chosen.

    Returns:
        True for what was placed before the pour.
    """
    return bool(selection.family["mechanism"] == "headed_fastener")


def bonded(selection: Selection) -> bool:
    """Whether resin holds it.

    Args:
        selection: What was chosen.

    Returns:
        True for bonded fasteners.
    """
    return bool(selection.family["mechanism"] == "bonded")


def has_head(selection: Selection) -> bool:
    """Whether a head rests on the fixture.

    Args:
        selection: What was chosen.

    Returns:
        True for screws, frame fixings and bolts with a head.
    """
    return selection.family["form"] in HEAD_RESTS_ON_FIXTURE


def shows_thread(selection: Selection) -> bool:
    """Whether its thread stands out above the fixture.

    Args:
        selection: What was chosen.

    Returns:
        True for bolts and rods with a nut.
    """
    return selection.family["form"] in THREAD_SHOWS
