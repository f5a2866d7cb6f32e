"""The characteristic spacing is twice the characteristic edge distance."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding
from service.rulebook.lint.draft import Draft

RULE = __name__.rpartition(".")[2]
SUMMARY = "s_cr,N = 2·c_cr,N and s_cr,sp = 2·c_cr,sp (EN 1992-4, 7.2.1.4 and 7.2.1.7)"
# Tables give whole millimetres.
ROUNDING_MM = 1.0


def check(draft: Draft) -> Iterator[Finding]:
    """The characteristic spacing is twice the characteristic edge distance."""
    for embedment in draft.embedments():
        concrete = embedment.content["concrete"]
        for what, index in (("cone", "N"), ("splitting", "sp")) if concrete else ():
            spacing, edge = concrete[f"{what}_spacing_mm"], concrete[f"{what}_edge_mm"]
            if abs(spacing - 2.0 * edge) > ROUNDING_MM:
                yield embedment.error(
                    RULE,
                    f"the characteristic spacing of {what} is not twice its edge distance",
                    "concrete",
                    f"{what}_spacing_mm",
                    found=f"s_cr,{index} {spacing:g} mm, c_cr,{index} {edge:g} mm",
                    allowed=f"s_cr,{index} = 2·c_cr,{index}",
                    tip="one of the two was misread; the table named as source usually gives both",
                )
