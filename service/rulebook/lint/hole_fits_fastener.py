"""A screw cuts its thread into the concrete; any other fastener fits into its hole."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding
from service.rulebook.lint.draft import Draft

RULE = __name__.rpartition(".")[2]
SUMMARY = "concrete screw: d_0 < d (its thread); other drilled fasteners: d_0 ≥ d_nom"


def check(draft: Draft) -> Iterator[Finding]:
    """A screw cuts its thread into the concrete; any other fastener fits into its hole."""
    for size in draft.sizes():
        geometry = size.content["geometry"]
        hole, diameter, nominal = geometry["hole_diameter_mm"], geometry["diameter_mm"], geometry["nominal_diameter_mm"]
        if hole is None:
            continue
        if size.family["mechanism"] == "concrete_screw":
            fits, found, allowed = (
                hole < diameter,
                f"d_0 {hole:g} mm, thread d {diameter:g} mm",
                f"under {diameter:g} mm",
            )
        else:
            fits, found, allowed = hole >= nominal, f"d_0 {hole:g} mm, d_nom {nominal:g} mm", f"at least {nominal:g} mm"
        if not fits:
            yield size.error(
                RULE,
                "the fastener does not fit the hole it is set in",
                "geometry",
                "hole_diameter_mm",
                found=found,
                allowed=allowed,
                tip="a screw's hole is slightly smaller than its thread; every other fastener goes in freely",
            )
