"""What has to be left of the member behind a hole; one rule for sheets and as-built checks."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.verification.tolerance import reaches_mm


def least_behind_mm(row: Mapping[str, Any]) -> float | None:
    """What the assessment leaves behind its own hole: h_min − h_1.

    Args:
        row: The embedment as the rulebook has it.

    Returns:
        The thickness (mm); None where nothing is drilled.
    """
    hole_mm = row["depth"]["hole_mm"]
    return None if hole_mm is None else float(row["limits"]["member_thickness_min_mm"]) - float(hole_mm)


def too_little_behind(row: Mapping[str, Any], member_mm: float, hole_mm: float) -> bool:
    """Whether a hole leaves less of the member behind it than the assessment's own hole does.

    Args:
        row: The embedment as the rulebook has it.
        member_mm: Thickness of the member (mm).
        hole_mm: Depth of the hole in the member (mm).

    Returns:
        True where it is too deep; never where nothing is drilled.
    """
    least = least_behind_mm(row)
    return least is not None and not reaches_mm(member_mm - hole_mm, least)
