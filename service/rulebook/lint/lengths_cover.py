"""A fastener is as long as nominal embedment and fixture thickness together."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding
from service.rulebook.lint.draft import Draft

RULE = __name__.rpartition(".")[2]
SUMMARY = "length ≥ h_nom + t_fix of that length; lengths stand shortest first"


def check(draft: Draft) -> Iterator[Finding]:
    """A fastener is as long as nominal embedment and fixture thickness together."""
    for embedment in draft.embedments():
        nominal, before = embedment.content["depth"]["nominal_mm"], 0.0
        for index, entry in enumerate(embedment.content["lengths"]):
            length, fixture = entry["length_mm"], entry["fixture_thickness_max_mm"] or 0
            if length < nominal + fixture:
                yield embedment.error(
                    RULE,
                    "the fastener is too short for its embedment and fixture",
                    "lengths",
                    index,
                    "fixture_thickness_max_mm",
                    found=f"{length:g} mm for h_nom {nominal:g} mm and t_fix {fixture:g} mm",
                    allowed=f"t_fix at most {length - nominal:g} mm",
                    tip="nut and washer take their share of the length as well",
                )
            if length <= before:
                yield embedment.error(
                    RULE,
                    "the lengths do not stand shortest first",
                    "lengths",
                    index,
                    "length_mm",
                    found=f"{length:g} mm after {before:g} mm",
                    allowed=f"over {before:g} mm",
                    tip="sort them; the first that clamps is taken",
                )
            before = length
