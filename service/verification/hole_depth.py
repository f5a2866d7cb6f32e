"""How deep a hole has to be for the fastener that goes into it, and what it has to leave of the member.

One rule for verification, sizing, sheets and as-built checks.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.verification.tolerance import keeps_mm, reaches_mm

HEAD_RESTS_ON_FIXTURE = ("hexagon_head_screw", "frame_fixing", "sleeve_hexagon_bolt")
"""Forms whose head decides how deep they reach: a thinner fixture lets them reach deeper."""


def tip_mm(form: str, row: Mapping[str, Any], length_mm: float | None, clamped_mm: float | None) -> float:
    """How deep the tip reaches into the concrete.

    Args:
        form: Form of the fastener.
        row: The embedment as the rulebook has it.
        length_mm: Length of the fastener (mm), None where it is not known.
        clamped_mm: Fixture, stand-off and grout together (mm), None where that is not known.

    Returns:
        The nominal embedment (mm); what is left of the length under its head where that reaches deeper.
    """
    nominal = float(row["depth"]["nominal_mm"])
    if form not in HEAD_RESTS_ON_FIXTURE or length_mm is None or clamped_mm is None:
        return nominal
    under_head = length_mm - clamped_mm
    return nominal if keeps_mm(under_head, nominal) else under_head


def needed_hole_mm(
    form: str, row: Mapping[str, Any], length_mm: float | None, clamped_mm: float | None
) -> float | None:
    """How deep the hole in the concrete has to be: where the tip reaches deeper than nominal, deeper by as much.

    Args:
        form: Form of the fastener.
        row: The embedment as the rulebook has it.
        length_mm: Length of the fastener (mm), None where it is not known.
        clamped_mm: Fixture, stand-off and grout together (mm), None where that is not known.

    Returns:
        The depth (mm); None where nothing is drilled.
    """
    hole_mm = row["depth"]["hole_mm"]
    if hole_mm is None:
        return None
    return float(hole_mm) + tip_mm(form, row, length_mm, clamped_mm) - float(row["depth"]["nominal_mm"])


def least_behind_mm(row: Mapping[str, Any]) -> float | None:
    """What the assessment leaves behind its own hole: h_min − h_1.

    Args:
        row: The embedment as the rulebook has it.

    Returns:
        The thickness (mm); None where nothing is drilled.
    """
    hole_mm = row["depth"]["hole_mm"]
    return None if hole_mm is None else float(row["limits"]["member_thickness_min_mm"]) - float(hole_mm)


def hole_leaves_member(row: Mapping[str, Any], member_mm: float, hole_mm: float) -> bool:
    """Whether a hole leaves as much of the member behind it as the assessment's own hole does.

    Args:
        row: The embedment as the rulebook has it.
        member_mm: Thickness of the member (mm).
        hole_mm: Depth of the hole in the member (mm).

    Returns:
        False where it is too deep; True where nothing is drilled.
    """
    least = least_behind_mm(row)
    return least is None or reaches_mm(member_mm - hole_mm, least)
