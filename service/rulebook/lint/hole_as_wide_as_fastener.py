"""A hole without resin is as wide as its fastener."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding
from service.rulebook.lint.draft import Draft

RULE = __name__.rpartition(".")[2]
SUMMARY = "d_0 = d_nom for fasteners that are drilled and set without resin; else a warning"


def check(draft: Draft) -> Iterator[Finding]:
    """A hole without resin is as wide as its fastener."""
    for size in draft.sizes():
        geometry = size.content["geometry"]
        hole, outside = geometry["hole_diameter_mm"], geometry["nominal_diameter_mm"]
        # A hole that is too narrow, or too wide for the thread of a screw, is the concern of another rule.
        screw = size.family["mechanism"] == "concrete_screw"
        fits = hole is not None and (hole < geometry["diameter_mm"] if screw else hole >= outside)
        if fits and size.family["mechanism"] != "bonded" and hole != outside:
            yield size.warning(
                RULE,
                "the hole is not as wide as the fastener in it",
                "geometry",
                "hole_diameter_mm",
                found=f"d_0 {hole:g} mm, d_nom {outside:g} mm",
                allowed="d_0 = d_nom",
                tip="check both against the table named as source",
            )
