"""Each minimum stays below the value that goes with the other minimum."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding
from service.rulebook.lint.draft import Draft

RULE = __name__.rpartition(".")[2]
SUMMARY = "the spacing that goes with c_min is at least s_min; the edge distance that goes with s_min is at least c_min"
PAIRS = (("spacing_min_mm", "edge_min_spacing_mm", "s_min"), ("edge_min_mm", "spacing_min_edge_mm", "c_min"))


def check(draft: Draft) -> Iterator[Finding]:
    """Each minimum stays below the value that goes with the other minimum."""
    for embedment in draft.embedments():
        limits = embedment.content["limits"]
        for least, companion, symbol in PAIRS:
            if limits[companion] < limits[least]:
                yield embedment.error(
                    RULE,
                    f"the companion value is below {symbol} itself",
                    "limits",
                    companion,
                    found=f"{limits[companion]:g} mm, {symbol} {limits[least]:g} mm",
                    allowed=f"at least {symbol}",
                    tip="the assessment gives pairs: c_min for s ≥ …, s_min for c ≥ …; copy both of each pair",
                )
        one_sided = limits["edge_min_spacing_mm"] == limits["spacing_min_mm"]
        if one_sided and limits["spacing_min_edge_mm"] > limits["edge_min_mm"]:
            yield embedment.error(
                RULE,
                "the second pair can never act: c_min already goes with s_min",
                "limits",
                "edge_min_spacing_mm",
                found=f"{limits['edge_min_spacing_mm']:g} mm, which is s_min",
                allowed=f"more than s_min, or c ≥ {limits['edge_min_mm']:g} mm for s_min too",
                tip="look the pairs up again: one of the four figures was copied twice",
            )
