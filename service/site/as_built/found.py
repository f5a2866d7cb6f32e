"""What earlier checks found and this one found, together: nothing that was found is forgotten by a new record."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from typing import Any

from service.contract.as_built_codes import Measurement
from service.contract.as_built_codes.measurements import OF_EACH_FASTENER, fields_of
from service.site.as_built.apart import MEASURED_AGAIN_MM, apart_mm, same_hole
from service.site.as_built.lengths import is_another
from service.site.as_built.measured import codes_said
from service.site.as_built.model import FoundOnSite, Record, numbers_set, without_nulls
from service.site.as_built.numbering import places_of
from service.site.as_built.set_depth import effective_mm
from service.site.holes.loosened import OF_TIGHTENING, loosened
from service.site.sheet.tightening import answered_by_feel
from service.verification.requirements import BY_FEEL
from service.verification.selection import Selection

SAME_PLACE_MM = 1e-6
CARRIED = (
    "hole_depth_mm", "hole_diameter_mm", "torque_nm", "head_seated", "sleeve_expanded", "bolt_length_mm",
    "screwed_in_mm", "weld_tested", "mark_shows", "hole_cleaned", "concrete_temperature_c", "coldest_until_cured_c",
    "curing_minutes", "set_within_working_time", "resin_filled",
)  # fmt: skip
"""Fields that a request has no place for elsewhere; what has one, as the strength, stands there."""
_FIELDS_OF_TIGHTENING = {field for code in OF_TIGHTENING for field in fields_of(code)}
HOLE_DEPTH, EMBEDMENT = "hole_depth_mm", "embedment_mm"


def found_of(record: Record, as_built: Mapping[str, Any], selection: Selection) -> FoundOnSite:
    """Put what was said now to what earlier checks found; what is newer counts, aborted holes add up.

    Args:
        record: The record, whose request has what earlier checks found.
        as_built: What was said now.
        selection: What the record's request chose.

    Returns:
        Both together.
    """
    given = without_nulls(as_built)
    before = without_nulls(record.request.get("built") or {})
    values = {name: value for name, value in before.items() if name != "measured"}
    said = {code for code in map(Measurement, before.get("measured", ())) if _has_its_value(code, before)}
    in_other_holes = tuple(_in_other_holes(record, given, selection))
    another = record.ordered is not None
    stand_anew = set(in_other_holes) - {number - 1 for number in given.get("to_set_numbers", ())}
    others = bool(stand_anew) or another or is_another(record, given)
    if others:
        # What was found of a fastener says nothing of one in another hole; a hole that is too deep is still there.
        said -= OF_EACH_FASTENER - _felt(record, said)
        stays = {HOLE_DEPTH, "aborted_holes"} if another else {HOLE_DEPTH, EMBEDMENT, "aborted_holes"}
        values = {name: value for name, value in values.items() if name in stays}
    if in_other_holes or given.get("missing_numbers"):
        said.discard(Measurement.ABORTED_HOLES)
    if given.get("moved") or "positions" in given:
        # Where one stands elsewhere, its hole in the plate is another one, or a slot.
        said.discard(Measurement.FIXTURE_HOLES)
    if loosened(record.request, selection):
        # Their fixture came off, or lay on no grout yet: whatever was read before, they were tightened anew.
        said -= OF_TIGHTENING
        values = {name: value for name, value in values.items() if name not in _FIELDS_OF_TIGHTENING}
    if "torque_tool" in given and "torque_nm" not in given:
        values.pop("torque_nm", None)
        said.discard(Measurement.TORQUE)
    if any(name in given for name in fields_of(Measurement.SCREWED_IN)):
        values = {name: value for name, value in values.items() if name not in fields_of(Measurement.SCREWED_IN)}
    now = dict(given)
    reached = effective_mm(selection, given)
    if reached is not None:
        now[EMBEDMENT] = reached
    deepest = now.get(HOLE_DEPTH, values.get(HOLE_DEPTH))
    if others:
        deepest = max((*_holes_before(values, selection), *_said(now, HOLE_DEPTH)), default=None)
        # Those that stay are as shallow as before, and a new one may be shallower.
        now |= {
            name: min(now[name], values[name]) for name in (HOLE_DEPTH, EMBEDMENT) if name in now and name in values
        }
    if "aborted_holes" in given:
        now["aborted_holes"] = _together(values.get("aborted_holes", ()), given["aborted_holes"])
    said |= codes_said(given)
    if given.get("torque_tool") == BY_FEEL and answered_by_feel(record.request, selection.mechanism):
        # It was to be so: what was ordered is nothing that was found.
        said.discard(Measurement.TORQUE_TOOL)
    return FoundOnSite({**values, **now}, frozenset(said), in_other_holes, deepest)


def kept(found: FoundOnSite, reached_mm: float | None) -> dict[str, Any]:
    """Write what the next check has to know.

    Args:
        found: What was found by now.
        reached_mm: The embedment that was reached (mm), None where nothing was said of it.

    Returns:
        What goes into the request as `built`; empty where nothing was found.
    """
    values = {name: found.values[name] for name in CARRIED if name in found.values}
    if reached_mm is not None:
        values[EMBEDMENT] = reached_mm
    if found.deepest_hole_mm is not None:
        # What a shorter one lacks stands in the embedment by now.
        values[HOLE_DEPTH] = found.deepest_hole_mm
    if found.values.get("aborted_holes"):
        values["aborted_holes"] = [dict(hole) for hole in found.values["aborted_holes"]]
    measured = [code.value for code in Measurement if code in found.said]
    return values | ({"measured": measured} if measured else {})


def _felt(record: Record, said: AbstractSet[Measurement]) -> AbstractSet[Measurement]:
    """That it was found tightened by feel where nobody had ordered that: a new fastener does not make it an order."""
    control = (record.request.get("site") or {}).get("torque_control")
    return said & {Measurement.TORQUE_TOOL} if control == BY_FEEL else set()


def _has_its_value(code: Measurement, before: Mapping[str, Any]) -> bool:
    """Whether the value stands beside the word that it was measured, where it has its place there."""
    fields = {"embedment_mm", *CARRIED}.intersection(fields_of(code))
    return not fields or any(field in before for field in fields)


def _said(values: Mapping[str, Any], name: str) -> tuple[float, ...]:
    return (float(values[name]),) if name in values else ()


def _holes_before(values: Mapping[str, Any], selection: Selection) -> Iterator[float]:
    """How deep the holes of earlier fasteners are: as said, at least as deep as what stands in them, or as ordered."""
    yield from _said(values, HOLE_DEPTH)
    depth = None if selection.row is None else selection.row["depth"]
    for reached in _said(values, EMBEDMENT):
        if depth is not None and depth["hole_mm"] is not None and reached > float(depth["effective_mm"]):
            stands_in = depth["nominal_mm" if HOLE_DEPTH in values else "hole_mm"]
            yield float(stands_in) + reached - float(depth["effective_mm"])


def _in_other_holes(record: Record, given: Mapping[str, Any], selection: Selection) -> list[int]:
    """Which fasteners stand in another hole than the record has them in, or are other ones in theirs."""
    verified: Sequence[Mapping[str, float]] = record.request["positions"]
    stands = [*enumerate(given.get("positions", ())), *((one["number"] - 1, one) for one in given.get("moved", ()))]
    moved = {
        index for index, place in stands if index < len(verified) and not same_hole(verified[index], place, selection)
    }
    return sorted(moved.union(number - 1 for number in (*given.get("replaced_numbers", ()), *_set_now(record, given))))


def _set_now(record: Record, given: Mapping[str, Any]) -> set[int]:
    """Places of those that were still to be set when it was checked before, and stand by now."""
    return set(places_of(record.request, "to_set_numbers")).intersection(numbers_set(record.request, given))


def _together(before: Sequence[Mapping[str, Any]], now: Sequence[Mapping[str, Any]]) -> list[Mapping[str, Any]]:
    """Add aborted holes up; one that is said again at its place, as filled by now, counts once, and the deeper."""
    others = [hole for hole in before if not any(_measured_again(hole, newer) for newer in now)]
    return [*others, *(_deeper(newer, [hole for hole in before if _measured_again(hole, newer)]) for newer in now)]


def _measured_again(a: Mapping[str, float], b: Mapping[str, float]) -> bool:
    return apart_mm(a, b) <= MEASURED_AGAIN_MM


def _deeper(hole: Mapping[str, Any], earlier: Sequence[Mapping[str, Any]]) -> Mapping[str, Any]:
    """A hole does not get shallower by being measured again."""
    return {**hole, "depth_mm": max((hole["depth_mm"], *(one["depth_mm"] for one in earlier)))}


def same_place(a: Mapping[str, float], b: Mapping[str, float]) -> bool:
    """Whether two places are one.

    Args:
        a: A place.
        b: A place.

    Returns:
        True where neither coordinate differs.
    """
    return abs(a["x_mm"] - b["x_mm"]) <= SAME_PLACE_MM and abs(a["y_mm"] - b["y_mm"]) <= SAME_PLACE_MM
