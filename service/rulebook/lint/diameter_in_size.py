"""A size is called after its diameter."""

from __future__ import annotations

import re
from collections.abc import Iterator

from service.rulebook.finding import Finding
from service.rulebook.lint.draft import Draft

RULE = __name__.rpartition(".")[2]
SUMMARY = "size M12 has d = 12 mm (in resin d_nom too), size 12 has d_nom = 12 mm; else a warning"
METRIC = re.compile(r"M?([0-9]+(?:\.[0-9]+)?)")


def check(draft: Draft) -> Iterator[Finding]:
    """A size is called after its diameter."""
    for size in draft.sizes():
        named = METRIC.fullmatch(size.name)
        if named is None:
            continue
        metric, bonded = size.name.startswith("M"), size.family["mechanism"] == "bonded"
        names = ("diameter_mm", "nominal_diameter_mm") if metric and bonded else ("diameter_mm",)
        for name in names if metric else ("nominal_diameter_mm",):
            given = size.content["geometry"][name]
            if given != float(named[1]):
                yield size.warning(
                    RULE,
                    "the size is called after another diameter",
                    "geometry",
                    name,
                    found=f"{given:g} mm at size {size.name}",
                    allowed=f"{named[1]} mm",
                    tip="check the row of the table named as source; neighbouring rows are easily swapped",
                )
