"""Between which depths a hole and a fastener in it count as ordered; one rule for sheets and as-built checks."""

from __future__ import annotations

from dataclasses import dataclass

from service.rulebook import Rulebook
from service.verification.hole_depth import HEAD_RESTS_ON_FIXTURE, least_behind_mm, needed_hole_mm, tip_mm
from service.verification.selection import Selection

DEPTH_TOLERANCE = "factors/installation#/depth_tolerance"
SET_FLUSH = "deformation_controlled_expansion"
EXPANDED_AT_THE_BOTTOM = (SET_FLUSH, "undercut")


@dataclass(frozen=True, slots=True)
class Tolerances:
    """How far depths as built may be off what was ordered (mm); nothing where a release does not say.

    Attributes:
        set_deeper_mm: How much deeper a fastener may be set before its thread is in question.
        hole_deeper_mm: How much deeper a hole may be from whose bottom a fastener is expanded.
        hole_shorter_mm: How much shorter a hole may be where the set depth is shown otherwise.
        reading_mm: How closely a depth is read.
    """

    set_deeper_mm: float = 0.0
    hole_deeper_mm: float = 0.0
    hole_shorter_mm: float = 0.0
    reading_mm: float = 0.0


def tolerances_of(rulebook: Rulebook) -> Tolerances:
    """Read the tolerances of a rulebook.

    Args:
        rulebook: The rulebook with its factors.

    Returns:
        The tolerances; all 0 where its release has none.
    """
    rules = rulebook.factors["installation"].get("depth_tolerance")
    if rules is None:
        return Tolerances()
    return Tolerances(
        float(rules["set_deeper_mm"]),
        float(rules["hole_deeper_mm"]),
        float(rules["hole_shorter_mm"]),
        float(rules["reading_mm"]),
    )


def hole_depth_window(
    rulebook: Rulebook, selection: Selection, length_mm: float | None, clamped_mm: float | None, member_mm: float
) -> tuple[float, float] | None:
    """Between which depths a hole is drilled.

    Args:
        rulebook: The rulebook with its factors.
        selection: What is fitted.
        length_mm: Its length (mm), None where it is not known.
        clamped_mm: Fixture, stand-off and grout together (mm), None where that is not known.
        member_mm: Thickness of the member (mm).

    Returns:
        The depth that is ordered and the most that it may be (mm), no more than leaves enough of the member behind;
        None where nothing is drilled.
    """
    row = selection.row
    ordered = None if row is None else needed_hole_mm(selection.family["form"], row, length_mm, clamped_mm)
    if row is None or ordered is None:
        return None
    most = ordered + tolerances_of(rulebook).hole_deeper_mm
    behind = least_behind_mm(row)
    return ordered, max(ordered, most if behind is None else min(most, member_mm - behind))


def set_depth_window(
    rulebook: Rulebook, selection: Selection, length_mm: float | None, clamped_mm: float | None, member_mm: float
) -> tuple[float, float] | None:
    """Between which depths a fastener is set, from the concrete surface to its end in the concrete.

    Args:
        rulebook: The rulebook with its factors.
        selection: What is fitted.
        length_mm: Its length (mm), None where it is not known.
        clamped_mm: Fixture, stand-off and grout together (mm), None where that is not known.
        member_mm: Thickness of the member (mm).

    Returns:
        The least and the most (mm), no deeper than the hole may be; both the same where its head, its flush sleeve or
        the formwork decides, or the release has no tolerance; None where no embedment is chosen.
    """
    row, form = selection.row, selection.family["form"]
    if row is None:
        return None
    least = tip_mm(form, row, length_mm, clamped_mm)
    hole = hole_depth_window(rulebook, selection, length_mm, clamped_mm, member_mm)
    if hole is None or form in HEAD_RESTS_ON_FIXTURE or selection.family["mechanism"] == SET_FLUSH:
        return least, least
    return least, max(least, min(least + tolerances_of(rulebook).set_deeper_mm, hole[1]))
