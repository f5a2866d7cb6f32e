"""The set depth, as it is measured, and the effective embedment that the method reckons with."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.verification.selection import Selection
from service.verification.tolerance import keeps_mm, same_mm


def below_tip_mm(selection: Selection) -> float:
    """What the nominal embedment has more than the effective one.

    Args:
        selection: What was chosen.

    Returns:
        The difference (mm); 0 where no embedment is chosen.
    """
    if selection.row is None:
        return 0.0
    depth = selection.row["depth"]
    return float(depth["nominal_mm"]) - float(depth["effective_mm"])


def effective_mm(selection: Selection, given: Mapping[str, Any]) -> float | None:
    """The effective embedment that was said, in whichever way.

    Args:
        selection: What the record's request chose.
        given: What was said.

    Returns:
        The embedment (mm), None where nothing was said of it.
    """
    if "nominal_embedment_mm" in given:
        return float(given["nominal_embedment_mm"]) - below_tip_mm(selection)
    return float(given["embedment_mm"]) if "embedment_mm" in given else None


def looks_nominal(selection: Selection, given: Mapping[str, Any]) -> bool:
    """Whether what was given as effective embedment is the very set depth that a sheet asks for.

    Args:
        selection: What the record's request chose.
        given: What was said.

    Returns:
        True where it is, and the two differ.
    """
    if selection.row is None or "embedment_mm" not in given:
        return False
    depth = selection.row["depth"]
    asked = same_mm(float(given["embedment_mm"]), float(depth["nominal_mm"]))
    return asked and not keeps_mm(below_tip_mm(selection), 0.0)
