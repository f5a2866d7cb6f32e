"""A hole is at least as deep as the nominal, and that as the effective embedment."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding
from service.rulebook.lint.draft import Draft

RULE = __name__.rpartition(".")[2]
SUMMARY = "h_1 ≥ h_nom ≥ h_ef (a cast-in fastener has no h_1)"
TIP = "look the three depths up again in the table named as source; two of them are often swapped"


def check(draft: Draft) -> Iterator[Finding]:
    """A hole is at least as deep as the nominal, and that as the effective embedment."""
    for embedment in draft.embedments():
        depth = embedment.content["depth"]
        effective, nominal, hole = depth["effective_mm"], depth["nominal_mm"], depth["hole_mm"]
        if nominal < effective:
            yield embedment.error(
                RULE,
                "the nominal embedment is less than the effective one",
                "depth",
                "nominal_mm",
                found=f"h_nom {nominal:g} mm, h_ef {effective:g} mm",
                allowed="h_1 ≥ h_nom ≥ h_ef",
                tip=TIP,
            )
        if hole is not None and hole < nominal:
            yield embedment.error(
                RULE,
                "the hole is not as deep as the nominal embedment",
                "depth",
                "hole_mm",
                found=f"h_1 {hole:g} mm, h_nom {nominal:g} mm",
                allowed="h_1 ≥ h_nom ≥ h_ef",
                tip=TIP,
            )
