"""Whether the next fixings of the same kind, as a load model was told of them, stand where none were taken to."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from service.contract.coherence import HOLES_OF_OLD
from service.contract.things import next_ones
from service.contract.wanted import LoadsFrom, made
from service.verification.refusal import Refusal

NONE_WITHIN = ("neighbours_not_given", "no_other_neighbours")
"""Assumptions that say how far other fasteners are away."""
ABOUT = (0.5, 1.5)
"""Where a fastener of the next fixing stands, over the distance from centre to centre."""


def apart_mm(figures: Mapping[str, Any]) -> tuple[str, str | None]:
    """Name the figures of an assumption that hold for the next fixing of the same kind: it is as deep as this one.

    Args:
        figures: The figures of the assumption.

    Returns:
        How far it has to stay away, and how far along or towards an edge; None where no edge matters.
    """
    anywhere = "reach_mm" if figures.get("reach_no_deeper_mm") is None else "reach_no_deeper_mm"
    return anywhere, None if figures.get("reach_at_edge_mm") is None else "reach_at_edge_mm"


def left_out(
    request: Mapping[str, Any], answer: Mapping[str, Any], layouts: Sequence[Sequence[Any]]
) -> Iterator[Refusal]:
    """Find next fixings that stand nearer than any other fastener was taken to, and that nobody named.

    Args:
        request: The request.
        answer: Its answer.
        layouts: The positions of its fasteners, of each choice.

    Yields:
        A reason at most, placed within the request.
    """
    none_within = (one for one in answer["assumptions"] if one["code"] in NONE_WITHIN)
    reach_mm = max((mm for one in none_within for mm in _reaches(one)), default=0.0)
    for source in request.get("loads_from") or ():
        told = made(LoadsFrom, source)
        found = next_ones(told.load_model, told.words, told.numbers)
        for axis in dict.fromkeys(axis for axis, _ in found):
            near = [mm for along, mm in found if along == axis and _gap_mm(axis, mm, layouts) < reach_mm]
            if len(near) > _sides_named(request, axis, near):
                words = (
                    f"must name the fasteners of the next fixing of this kind along {axis}: its load model was told "
                    f"{min(near):g} mm from centre to centre, and none was taken to stand within {reach_mm:g} mm"
                )
                yield Refusal("/neighbours", "required", words, {"fields": ["loads_from"]})
                return


def _reaches(assumption: Mapping[str, Any]) -> Iterator[float]:
    figures = assumption.get("figures") or {}
    yield from (figures[name] for name in apart_mm(figures) if name in figures)


def _gap_mm(axis: str, centres_mm: float, layouts: Sequence[Sequence[Any]]) -> float:
    """Between the nearest fasteners of two fixings in a row, of the widest layout."""
    places = [[float(one[f"{axis}_mm"]) for one in positions] for positions in layouts]
    return centres_mm - max((max(row) - min(row) for row in places), default=0.0)


def _sides_named(request: Mapping[str, Any], axis: str, centres_mm: Sequence[float]) -> int:
    """How many sides of the fixing have a fastener named where the next fixing stands, or end before it."""
    edges = request["member"].get("edges") or {}
    fasteners = [one for one in request.get("neighbours") or () if one.get("state") not in HOLES_OF_OLD]
    named = 0
    for side, sign in (("minus", -1.0), ("plus", 1.0)):
        ends_mm = edges.get(f"{axis}_{side}_mm")
        ends = ends_mm is not None and ends_mm < min(centres_mm, default=0.0)
        stands = any(
            ABOUT[0] * mm <= sign * one[f"{axis}_mm"] <= ABOUT[1] * mm for one in fasteners for mm in centres_mm
        )
        named += ends or stands
    return named
