"""Which length each fastener has that was fitted: one for all, or another one for some of them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.site.as_built.model import Record, numbers_set
from service.site.as_built.numbering import numbers_of


def fitted_mm(record: Record, given: Mapping[str, Any]) -> tuple[float | None, dict[int, float]]:
    """Find the length of most fasteners and those of the others.

    Args:
        record: The record.
        given: What was said of the work, without nulls, each fastener by its place.

    Returns:
        The length (mm), None where none was chosen, and the others (mm) by place.
    """
    length, others = _before_mm(record)
    if "length_mm" in given or "other_lengths" in given:
        others = {one["number"]: one["length_mm"] for one in given.get("other_lengths", ())}
        length = given.get("length_mm", length)
    there = numbers_set(record.request, given)
    return length, {place: other for place, other in others.items() if place in there and other != length}


def is_another(record: Record, given: Mapping[str, Any]) -> bool:
    """Say whether another length was fitted somewhere than the record has.

    Args:
        record: The record.
        given: What was said of the work, without nulls, each fastener by its place.

    Returns:
        False too where the record has chosen none.
    """
    before, others_before = _before_mm(record)
    now, others = fitted_mm(record, given)
    if before is None:
        return False
    there = numbers_set(record.request, given)
    return any(others_before.get(place, before) != others.get(place, now) for place in there)


def _before_mm(record: Record) -> tuple[float | None, dict[int, float]]:
    numbers = numbers_of(record.request)
    others = (record.request.get("built") or {}).get("other_lengths") or ()
    length: float | None = record.answer["fastener"]["length_mm"]
    return length, {numbers.index(one["number"]) + 1: one["length_mm"] for one in others}
