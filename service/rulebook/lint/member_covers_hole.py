"""The smallest member is thicker than the hole is deep."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding
from service.rulebook.lint.draft import Draft

RULE = __name__.rpartition(".")[2]
SUMMARY = "h_min > h_1 (cast in: > h_nom)"


def check(draft: Draft) -> Iterator[Finding]:
    """The smallest member is thicker than the hole is deep."""
    for embedment in draft.embedments():
        depth, thickness = embedment.content["depth"], embedment.content["limits"]["member_thickness_min_mm"]
        symbol, deepest = ("h_nom", depth["nominal_mm"]) if depth["hole_mm"] is None else ("h_1", depth["hole_mm"])
        if thickness <= deepest:
            yield embedment.error(
                RULE,
                "the smallest member is not thicker than what goes into it",
                "limits",
                "member_thickness_min_mm",
                found=f"h_min {thickness:g} mm, {symbol} {deepest:g} mm",
                allowed=f"h_min > {symbol}",
                tip="take h_min from the assessment; it leaves concrete behind the hole",
            )
