"""The pry-out factor is 1 for shallow fasteners and 2 for others."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding
from service.rulebook.lint.draft import Draft

RULE = __name__.rpartition(".")[2]
SUMMARY = "k_8 is 1.0 below h_ef = 60 mm and 2.0 from there; else a warning"
DEEP_FROM_MM = 60.0


def check(draft: Draft) -> Iterator[Finding]:
    """The pry-out factor is 1 for shallow fasteners and 2 for others."""
    for embedment in draft.embedments():
        concrete = embedment.content["concrete"]
        if not concrete:
            continue
        given = 2.0 if embedment.content["depth"]["effective_mm"] >= DEEP_FROM_MM else 1.0
        if concrete["pry_out_factor"] != given:
            yield embedment.warning(
                RULE,
                "the pry-out factor is not the usual one for this embedment",
                "concrete",
                "pry_out_factor",
                found=f"k_8 {concrete['pry_out_factor']:g}",
                allowed=f"{given:g} at this embedment",
                tip="an assessment may give another one; let the checker confirm it against the table named as source",
            )
