"""Places that cannot be, or where nothing holds: what was said of them is refused, with what to do."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from service.site.as_built.found import same_place
from service.verification.refusal import Refusal

PLACE = "#/as_built"
DO_NOT_LOAD = "Do not load it: measure again, and if it is so, tell the engineer who designed it"
SIDES = (("x", "minus", 1.0), ("x", "plus", -1.0), ("y", "minus", 1.0), ("y", "plus", -1.0))


def out_of_place(
    given: Mapping[str, Any], request: Mapping[str, Any], places: Sequence[int], named: Sequence[int]
) -> Iterator[Refusal]:
    """Find fasteners off the member or the fixture or in one place, and aborted holes and neighbours off the member.

    Args:
        given: What was said, without nulls.
        request: The request for the work as built.
        places: The places of its fasteners in the record, from 1.
        named: The numbers that people know them by.

    Yields:
        What is wrong, at the place in what was said.
    """
    positions: Sequence[Mapping[str, float]] = request["positions"]
    edges = request["member"].get("edges") or {}
    for index, (number, place) in enumerate(zip(places, positions, strict=True)):
        for axis, edge in _beyond(place, edges):
            pointer = (
                _of_fastener(given, number, axis)
                or f"{PLACE}/{'nearest_edges' if 'nearest_edges' in given else 'edges'}/{edge}_mm"
            )
            beyond = f"fastener {named[index]} stands on or beyond the {edge} edge"
            words = f"{beyond}, where nothing holds it. {DO_NOT_LOAD}"
            yield Refusal(pointer, "outside_member", words, {"edge": edge})
        yield from _off_the_fixture(given, request["fixture"], number, named[index], place)
        for earlier, (other, before) in enumerate(zip(places[:index], positions[:index], strict=True)):
            if same_place(place, before):
                pointer = _of_fastener(given, number, None) or _of_fastener(given, other, None) or PLACE
                words = f"fasteners {named[earlier]} and {named[index]} are said to stand in one place: measure again"
                yield Refusal(pointer, "duplicate_position", words, {"other_number": named[earlier]})
    for listed, what in (("aborted_holes", "hole"), ("neighbours", "neighbour")):
        for entry, place in enumerate(given.get(listed, ())):
            for axis, edge in _beyond(place, edges):
                beyond = f"the {what} is said to be on or beyond the {edge} edge"
                words = f"{beyond}, where there is no concrete: measure again"
                yield Refusal(f"{PLACE}/{listed}/{entry}/{axis}_mm", "outside_member", words, {"edge": edge})


def _beyond(place: Mapping[str, float], edges: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    for axis, side, sign in SIDES:
        edge = edges.get(f"{axis}_{side}_mm")
        if edge is not None and float(edge) + sign * place[f"{axis}_mm"] <= 0:
            yield axis, f"{axis}_{side}"


def _off_the_fixture(
    given: Mapping[str, Any], fixture: Mapping[str, Any], number: int, named: int, place: Mapping[str, float]
) -> Iterator[Refusal]:
    centre = fixture.get("centre") or {}
    for axis, extent in (("x", "width_mm"), ("y", "depth_mm")):
        reach = float(fixture[extent]) / 2
        if abs(place[f"{axis}_mm"] - float(centre.get(f"{axis}_mm") or 0.0)) > reach:
            pointer = _of_fastener(given, number, axis) or PLACE
            within = f"must be within {reach:.10g} mm of the fixture's centre to hold it"
            words = f"fastener {named} {within}. {DO_NOT_LOAD}"
            yield Refusal(pointer, "outside_fixture", words, {"maximum_mm": reach})


def _of_fastener(given: Mapping[str, Any], number: int, axis: str | None) -> str | None:
    """Where the place of a fastener was said, None where it was not."""
    end = "" if axis is None else f"/{axis}_mm"
    if "positions" in given:
        return f"{PLACE}/positions/{number - 1}{end}"
    moved = enumerate(given.get("moved", ()))
    return next((f"{PLACE}/moved/{entry}{end}" for entry, one in moved if one["number"] == number), None)
