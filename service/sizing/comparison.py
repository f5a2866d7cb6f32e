"""What sets the choices apart for those who order, drill and set them."""

import math
from collections.abc import Mapping
from typing import Any

from service.sizing.candidates import CAST_IN, Fastener
from service.sizing.layouts import smallest_spacing_mm
from service.sizing.search import Judged, Terms
from service.verification.requirements import IMPACT_DRIVER
from service.verification.statements import rounded


def compared(judged: Judged, answer: Mapping[str, Any], terms: Terms) -> dict[str, Any]:
    """Describe a choice by what differs from one to the next.

    Args:
        judged: The choice.
        answer: The answer of its verification.
        terms: What the search went by.

    Returns:
        The `comparison` of the choice.
    """
    fastener, layout = judged.candidate.fastener, judged.candidate.layout
    edge_min_mm, spacing_min_mm = _least_distances(fastener.row)
    drilled = fastener.hole_depth_mm is not None
    return {
        "holes": len(layout) if drilled else 0,
        "hole_diameter_mm": fastener.hole_diameter_mm,
        "hole_depth_mm": fastener.hole_depth_mm,
        "torque_tool": torque_tool(fastener, terms.sizing.site.value("torque_control")),
        "removable": fastener.family["removable"],
        "edge_left_over_mm": _left_over(terms.member.clearance_mm(layout), edge_min_mm),
        "spacing_left_over_mm": _left_over(smallest_spacing_mm(layout), spacing_min_mm),
        "fixture_thickness_max_mm": _thickest(fastener.row, answer["fastener"]["length_mm"]),
        "governing_mode": answer["governing"]["mode"] if answer["governing"] else None,
        "utilisation": judged.utilisation,
    }


def torque_tool(fastener: Fastener, torque_control: str) -> str:
    """Name what tightens or sets a fastener: only the tool that it was verified with.

    Args:
        fastener: A fastener of the rulebook.
        torque_control: How the site tightens, as the request says, or unknown.

    Returns:
        The tool in the words of the trade, with its torque.
    """
    most = fastener.impact_driver_torque_max_nm
    if fastener.family["mechanism"] == CAST_IN:
        return "none"
    if torque_control == IMPACT_DRIVER and most is not None:
        return f"impact wrench, at most {most:g} Nm"
    if fastener.torque_nm is not None:
        return f"torque wrench, {fastener.torque_nm:g} Nm"
    return "by hand"


def _least_distances(row: Mapping[str, Any]) -> tuple[float, float]:
    limits, simple = row["limits"], row["simplified"] or {"edge_mm": 0.0, "spacing_mm": 0.0}
    edge_mm, spacing_mm = float(limits["edge_min_mm"]), float(limits["spacing_min_mm"])
    return max(edge_mm, float(simple["edge_mm"])), max(spacing_mm, float(simple["spacing_mm"]))


def _left_over(given_mm: float, least_mm: float) -> float | None:
    return rounded(given_mm - least_mm) if math.isfinite(given_mm) else None


def _thickest(row: Mapping[str, Any], length_mm: float | None) -> float | None:
    most = (entry["fixture_thickness_max_mm"] for entry in row["lengths"] if entry["length_mm"] == length_mm)
    return next(most, None)
