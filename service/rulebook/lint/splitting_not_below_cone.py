"""Splitting reaches at least as far as the concrete cone."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding
from service.rulebook.lint.draft import Draft

RULE = __name__.rpartition(".")[2]
SUMMARY = "c_cr,sp ≥ c_cr,N and s_cr,sp ≥ s_cr,N"


def check(draft: Draft) -> Iterator[Finding]:
    """Splitting reaches at least as far as the concrete cone."""
    for embedment in draft.embedments():
        concrete = embedment.content["concrete"]
        for what, symbol in (("edge", "c_cr"), ("spacing", "s_cr")) if concrete else ():
            splitting, cone = concrete[f"splitting_{what}_mm"], concrete[f"cone_{what}_mm"]
            if splitting < cone:
                yield embedment.error(
                    RULE,
                    f"the characteristic {what} of splitting is less than that of the cone",
                    "concrete",
                    f"splitting_{what}_mm",
                    found=f"{symbol},sp {splitting:g} mm, {symbol},N {cone:g} mm",
                    allowed=f"{symbol},sp ≥ {symbol},N",
                    tip="check that the columns of cone and splitting were not swapped",
                )
