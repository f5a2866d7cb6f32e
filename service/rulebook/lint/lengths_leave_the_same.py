"""Each length of an embedment leaves the same for nut and washer."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding
from service.rulebook.lint.draft import Draft

RULE = __name__.rpartition(".")[2]
SUMMARY = "length − h_nom − t_fix is the same for each length of an embedment; else a warning"
# Tables give whole millimetres.
ROUNDING_MM = 0.2


def check(draft: Draft) -> Iterator[Finding]:
    """Each length of an embedment leaves the same for nut and washer."""
    for embedment in draft.embedments():
        nominal = embedment.content["depth"]["nominal_mm"]
        first = None
        for index, entry in enumerate(embedment.content["lengths"]):
            rest = entry["length_mm"] - (entry["fixture_thickness_max_mm"] or 0.0)
            # A length that does not cover its fixture is the concern of another rule.
            if entry["fixture_thickness_max_mm"] is None or rest < nominal:
                continue
            first = rest if first is None else first
            if abs(rest - first) > ROUNDING_MM:
                yield embedment.warning(
                    RULE,
                    "this length leaves another rest beyond the fixture than the first one does",
                    "lengths",
                    index,
                    "fixture_thickness_max_mm",
                    found=f"length {entry['length_mm']:g} mm, t_fix {entry['fixture_thickness_max_mm']:g} mm",
                    allowed=f"t_fix {entry['length_mm'] - first:g} mm",
                    tip="check length and t_fix against the table named as source",
                )
