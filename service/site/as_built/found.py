"""What earlier checks found and this one found, together: nothing that was found is forgotten by a new record."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from service.site.as_built.measured import NOT_MEASURED, OF_EACH_FASTENER, codes_said, fields_of
from service.site.as_built.model import Found, Record, without_nulls
from service.site.as_built.set_depth import effective_mm
from service.verification.selection import Selection

SAME_PLACE_MM = 1e-6
CARRIED = (
    "hole_depth_mm", "torque_nm", "head_seated", "sleeve_expanded", "mark_shows", "hole_cleaned",
    "concrete_temperature_c", "coldest_until_cured_c", "curing_minutes", "set_within_working_time",
)  # fmt: skip
"""Fields that a request has no place for elsewhere; what has one, as the strength, stands there."""
DEPTHS = ("hole_depth_mm", "embedment_mm")


def found_of(record: Record, as_built: Mapping[str, Any], selection: Selection) -> Found:
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
    said = {code for code in before.get("measured", ()) if _has_its_value(code, before)}
    other_holes = _stand_in_other_holes(record, given)
    if other_holes:
        # What was found of a fastener says nothing of one in another hole; a hole that is too deep is still there.
        said -= OF_EACH_FASTENER
        values = {name: value for name, value in values.items() if name in (*DEPTHS, "aborted_holes")}
    if "torque_tool" in given and "torque_nm" not in given:
        values.pop("torque_nm", None)
        said.discard("torque")
    now = dict(given)
    reached = effective_mm(selection, given)
    if reached is not None:
        now["embedment_mm"] = reached
    if other_holes:
        now |= {name: max(now[name], values[name]) for name in DEPTHS if name in now and name in values}
    if "aborted_holes" in given:
        now["aborted_holes"] = _together(values.get("aborted_holes", ()), given["aborted_holes"])
    return Found({**values, **now}, frozenset(said | codes_said(given)))


def kept(found: Found, reached_mm: float | None) -> dict[str, Any]:
    """Write what the next check has to know.

    Args:
        found: What was found by now.
        reached_mm: The embedment that was reached (mm), None where nothing was said of it.

    Returns:
        What goes into the request as `built`; empty where nothing was found.
    """
    values = {name: found.values[name] for name in CARRIED if name in found.values}
    if reached_mm is not None:
        values["embedment_mm"] = reached_mm
    if found.values.get("aborted_holes"):
        values["aborted_holes"] = [dict(hole) for hole in found.values["aborted_holes"]]
    measured = [code for code in NOT_MEASURED if code in found.said]
    return values | ({"measured": measured} if measured else {})


def _has_its_value(code: str, before: Mapping[str, Any]) -> bool:
    """Whether the value stands beside the word that it was measured, where it has its place there."""
    fields = {"embedment_mm", *CARRIED}.intersection(fields_of(code))
    return not fields or any(field in before for field in fields)


def _stand_in_other_holes(record: Record, given: Mapping[str, Any]) -> bool:
    """Whether a fastener stands elsewhere than the record has it, or is another one."""
    verified: Sequence[Mapping[str, float]] = record.request["positions"]
    stands = [*enumerate(given.get("positions", ())), *((one["index"], one) for one in given.get("moved", ()))]
    if any(index < len(verified) and not same_place(verified[index], place) for index, place in stands):
        return True
    length = record.answer["fastener"]["length_mm"]
    return length is not None and "length_mm" in given and given["length_mm"] != length


def _together(before: Sequence[Mapping[str, Any]], now: Sequence[Mapping[str, Any]]) -> list[Mapping[str, Any]]:
    """Add aborted holes up; one that is said again at its place, as filled by now, counts once."""
    others = [hole for hole in before if not any(same_place(hole, newer) for newer in now)]
    return [*others, *now]


def same_place(a: Mapping[str, float], b: Mapping[str, float]) -> bool:
    """Whether two places are one.

    Args:
        a: A place.
        b: A place.

    Returns:
        True where neither coordinate differs.
    """
    return abs(a["x_mm"] - b["x_mm"]) <= SAME_PLACE_MM and abs(a["y_mm"] - b["y_mm"]) <= SAME_PLACE_MM
