"""What sets the choices apart for those who order, drill and set them."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from service.contract.sizing_codes import TorqueTool
from service.sizing.candidates import CAST_IN, Candidate, Fastener
from service.sizing.search import Judged, Terms
from service.verification.requirements import IMPACT_DRIVER, left_to_feel, smallest_spacing


@dataclass(frozen=True, slots=True)
class Tightening:
    """What tightens or sets a fastener, with its torque, for an impact wrench the largest (Nm)."""

    tool: TorqueTool
    torque_nm: float | None = None


@dataclass(frozen=True, slots=True)
class Compared:
    """A choice by what differs from one to the next, under the names that its schema has."""

    candidate: Candidate
    tightening: Tightening
    edge_left_over_mm: float | None
    spacing_left_over_mm: float | None
    fixture_thickness_max_mm: float | None
    governing_mode: str | None
    utilisation: float | None


def compared(judged: Judged, answer: Mapping[str, Any], terms: Terms) -> Compared:
    """Describe a choice by what differs from one to the next.

    Args:
        judged: The choice.
        answer: The answer of its verification.
        terms: What the search went by.

    Returns:
        What the comparison of the choice is written from.
    """
    fastener, layout = judged.candidate.fastener, judged.candidate.layout
    edge_min_mm, spacing_min_mm = _least_distances(fastener.row)
    governing = judged.assessment.governing if judged.assessment else None
    return Compared(
        candidate=judged.candidate,
        tightening=tightening(fastener, terms.sizing.site.value("torque_control")),
        edge_left_over_mm=_left_over(terms.member.clearance_mm(layout), edge_min_mm),
        spacing_left_over_mm=_left_over(smallest_spacing(layout), spacing_min_mm),
        fixture_thickness_max_mm=_thickest(fastener.row, answer["fastener"]["length_mm"]),
        governing_mode=None if governing is None else governing[0],
        utilisation=judged.utilisation,
    )


def tightening(fastener: Fastener, torque_control: str) -> Tightening:
    """Name what tightens or sets a fastener: only the tool that it was verified with.

    Args:
        fastener: A fastener of the rulebook.
        torque_control: How the site tightens, as the request says or as it is taken.

    Returns:
        The tool with its torque.
    """
    most = fastener.impact_driver_torque_max_nm
    if fastener.family["mechanism"] == CAST_IN:
        return Tightening(TorqueTool.NONE)
    if torque_control == IMPACT_DRIVER and most is not None:
        return Tightening(TorqueTool.IMPACT_WRENCH, most)
    if fastener.torque_nm is not None and not left_to_feel(fastener.family["mechanism"], torque_control):
        return Tightening(TorqueTool.TORQUE_WRENCH, fastener.torque_nm)
    return Tightening(TorqueTool.BY_HAND)


def _least_distances(row: Mapping[str, Any]) -> tuple[float, float]:
    limits, simple = row["limits"], row["simplified"] or {"edge_mm": 0.0, "spacing_mm": 0.0}
    edge_mm, spacing_mm = float(limits["edge_min_mm"]), float(limits["spacing_min_mm"])
    return max(edge_mm, float(simple["edge_mm"])), max(spacing_mm, float(simple["spacing_mm"]))


def _left_over(given_mm: float, least_mm: float) -> float | None:
    return given_mm - least_mm if math.isfinite(given_mm) else None


def _thickest(row: Mapping[str, Any], length_mm: float | None) -> float | None:
    most = (entry["fixture_thickness_max_mm"] for entry in row["lengths"] if entry["length_mm"] == length_mm)
    return next(most, None)
