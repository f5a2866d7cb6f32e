"""A post-installed metal fastener keeps to the limits of EN 1992-4."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding
from service.rulebook.lint.draft import Draft, Size

RULE = __name__.rpartition(".")[2]
SUMMARY = "post-installed metal fasteners: h_ef ≥ 40 mm (≥ 30 mm if for redundant use only), d ≥ 6 mm, f_uk ≤ 1000 MPa"
EXEMPT = ("headed_fastener", "plastic_anchor")
LEAST_MM = 40
LEAST_REDUNDANT_MM = 30
LEAST_DIAMETER_MM = 6
MOST_STRENGTH_MPA = 1000


def check(draft: Draft) -> Iterator[Finding]:
    """A post-installed metal fastener keeps to the limits of EN 1992-4."""
    for size in draft.sizes():
        if size.family["mechanism"] in EXEMPT:
            continue
        yield from _steel(size)
        least = LEAST_REDUNDANT_MM if size.family["assessment"]["covers"]["redundant_use_only"] else LEAST_MM
        for embedment in size.embedments():
            effective = embedment.content["depth"]["effective_mm"]
            if effective < least:
                yield embedment.error(
                    RULE,
                    "the embedment is less than the method covers",
                    "depth",
                    "effective_mm",
                    found=f"h_ef {effective:g} mm",
                    allowed=f"h_ef ≥ {least} mm",
                    tip="30 mm is covered for redundant use: set redundant_use_only if the assessment says so",
                )


def _steel(size: Size) -> Iterator[Finding]:
    diameter, steel = size.content["geometry"]["diameter_mm"], size.content["steel"]
    if diameter < LEAST_DIAMETER_MM:
        yield size.error(
            RULE,
            "the fastener is thinner than the method covers",
            "geometry",
            "diameter_mm",
            found=f"d {diameter:g} mm",
            allowed=f"d ≥ {LEAST_DIAMETER_MM} mm",
            tip="leave the size out",
        )
    if steel is not None and steel["tensile_strength_mpa"] > MOST_STRENGTH_MPA:
        yield size.error(
            RULE,
            "the steel is stronger than the method covers",
            "steel",
            "tensile_strength_mpa",
            found=f"f_uk {steel['tensile_strength_mpa']:g} MPa",
            allowed=f"f_uk ≤ {MOST_STRENGTH_MPA} MPa",
            tip="take the strength of the assessment, not that of a test",
        )
