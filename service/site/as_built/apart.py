"""How far two places are apart, and whether both are of one hole."""

from __future__ import annotations

import math
from collections.abc import Mapping

from service.verification.selection import Selection

MEASURED_AGAIN_MM = 2.0
"""So far two measurements of one place may differ; from memory."""


def same_hole(a: Mapping[str, float], b: Mapping[str, float], selection: Selection) -> bool:
    """Whether a fastener measured at two places stands in one hole: two holes can't be nearer than one is wide.

    Args:
        a: A place.
        b: A place.
        selection: What is fitted.

    Returns:
        True where the places are nearer than the diameter of the hole.
    """
    geometry = selection.size["geometry"]
    return apart_mm(a, b) < float(geometry["hole_diameter_mm"] or geometry["nominal_diameter_mm"])


def apart_mm(a: Mapping[str, float], b: Mapping[str, float]) -> float:
    """How far two places are apart.

    Args:
        a: A place.
        b: A place.

    Returns:
        The distance (mm).
    """
    return math.hypot(a["x_mm"] - b["x_mm"], a["y_mm"] - b["y_mm"])
