"""What an as-built check is made of."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from service.site.holes.depth_windows import Tolerances
from service.site.holes.needed import HEAD_RESTS_ON_FIXTURE
from service.verification.selection import Selection

TOLERANCE = 1e-9

REQUIREMENTS: Mapping[str, str] = MappingProxyType({
    "nothing_measured": "Something of the work was measured; given only where nothing was.",
    "decisive_not_measured": "What this kind of fastener turns on was measured; given only where something was not.",
    "torque_not_read": "A torque was read where the assessment asks for one; given only where none was.",
    "installation_torque": "The torque read is the installation torque, or no more than an impact driver may have.",
    "head_seated": "The head is seated on the fixture; given where it was said, or a short depth puts it in doubt.",
    "set_depth_in_hole": "The fastener reaches no deeper than its hole; given only where it was said to.",
    "embedment_reached": "The embedment that was reached is assessed, or a shallower one is.",
    "thread_serves": "The fitted length clamps the fixture at the depth that was reached.",
    "remaining_thickness": "What is left of the member behind too deep a hole is what the assessment leaves.",
    "sleeve_at_depth": "The hole of a drop-in is no deeper than it may be, as its sleeve rests on the bottom.",
    "undercut_at_depth": "The hole of an undercut is no deeper than it may be, as it is cut from the bottom.",
    "sleeve_expanded": "The setting tool met the sleeve of a drop-in with its shoulder; given where it was said.",
    "mark_shows": "The mark shows that an undercut fastener is expanded; given where it was said.",
    "hole_cleaned": "The hole was cleaned in the steps of the assessment; given where it was said.",
    "setting_temperature": "The resin was set at a temperature of its table; given where it was measured.",
    "working_time": "It was set within the working time of the resin; given where it was said.",
    "curing_time": "The resin had cured before it was tightened or loaded; given where it was said.",
    "resin_filled": "Resin came out at the top of every hole when the rod was set; given where it was said.",
    "aborted_holes_said": "Whether holes were given up was said; given only where a fastener stands in another hole.",
    "aborted_hole_distance": "Each aborted hole, of earlier checks too, is as far from fasteners as the rulebook asks.",
    "strength_shown": "How far the strength that was found is shown, and whether it counts.",
})

CAUTIONS: Mapping[str, str] = MappingProxyType({
    "deeper_hole_more_resin": "The hole is deeper than assessed and takes more resin.",
    "embedment_looks_nominal": "The effective embedment that was given is the set depth that a sheet asks for.",
    "old_hole_left": "A fastener stands elsewhere than an earlier check had it, and no aborted hole is said there.",
    "torque_below_asked": "A torque that is the most allowed was read well below; it may be tightened up to it.",
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
class FoundOnSite:
    """What was found by now, in this check and in earlier ones.

    Attributes:
        values: What was found; `embedment_mm` is the effective one, however it was said.
        said: Codes of what was measured.
        in_other_holes: Fasteners, by their index, that stand in another hole than the record has them in.
        deepest_hole_mm: The deepest hole (mm), of earlier fasteners too, None where nobody said.
    """

    values: Mapping[str, Any]
    said: frozenset[str]
    in_other_holes: tuple[int, ...] = ()
    deepest_hole_mm: float | None = None


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
        tolerances: How far depths may be off.
    """

    record: Record
    given: Mapping[str, Any]
    found: FoundOnSite
    request: Mapping[str, Any]
    verified: Selection
    selection: Selection
    tolerances: Tolerances


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
