"""Resin in a wet hole where water freezes; one rule for verification, sizing, sheets and as-built checks."""

from __future__ import annotations

from service.verification.selection import Selection

FREEZING_C = 0.0
"""Water in a hole freezes at or below it (°C)."""


def freezes(selection: Selection, hole: str, coldest_c: float | None) -> bool:
    """Whether resin would stand in ice, which no assessment covers but by name.

    Args:
        selection: What is fitted.
        hole: Condition of the hole.
        coldest_c: The coldest that the concrete gets until the resin has cured (°C), None where nobody knows.

    Returns:
        True for a bonded fastener in a wet or flooded hole at or below freezing.
    """
    if selection.mechanism != "bonded" or hole == "dry" or coldest_c is None or coldest_c > FREEZING_C:
        return False
    return hole not in selection.family["assessment"]["covers"].get("frozen_hole_conditions", ())
