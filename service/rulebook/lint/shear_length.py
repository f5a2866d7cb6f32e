"""The effective length under shear is the embedment, up to its limit."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding
from service.rulebook.lint.draft import Draft

RULE = __name__.rpartition(".")[2]
SUMMARY = "l_f is h_ef, at most 12·d_nom (d_nom above 24: at most the larger of 8·d_nom and 300 mm); else a warning"
# Tables give whole millimetres.
ROUNDING_MM = 1.0
SLENDER_UP_TO_MM = 24.0


def check(draft: Draft) -> Iterator[Finding]:
    """The effective length under shear is the embedment, up to its limit."""
    for embedment in draft.embedments():
        concrete = embedment.content["concrete"]
        if not concrete or concrete["shear_length_mm"] is None:
            continue
        diameter = embedment.size.content["geometry"]["nominal_diameter_mm"]
        limit = 12.0 * diameter if diameter <= SLENDER_UP_TO_MM else max(8.0 * diameter, 300.0)
        given = min(embedment.content["depth"]["effective_mm"], limit)
        if abs(concrete["shear_length_mm"] - given) > ROUNDING_MM:
            yield embedment.warning(
                RULE,
                "the effective length under shear is not the embedment or its limit",
                "concrete",
                "shear_length_mm",
                found=f"l_f {concrete['shear_length_mm']:g} mm",
                allowed=f"{given:g} mm (EN 1992-4, 7.2.2.5)",
                tip="a shank that is not uniform may have less; check it against the table named as source",
            )
