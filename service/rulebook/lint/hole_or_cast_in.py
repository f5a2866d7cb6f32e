"""A cast-in fastener has no hole; any other has one."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding, error
from service.rulebook.lint.draft import Draft

RULE = __name__.rpartition(".")[2]
SUMMARY = "headed fasteners: hole diameter, hole depth and drilling methods are empty; all others: none of them is"
MESSAGE = "hole and mechanism do not go together"
TIP = "a cast-in fastener has null for its hole and no drilling method"


def check(draft: Draft) -> Iterator[Finding]:
    """A cast-in fastener has no hole; any other has one."""
    for size in draft.sizes():
        drilled = size.family["mechanism"] != "headed_fastener"
        if (size.content["geometry"]["hole_diameter_mm"] is not None) != drilled:
            yield size.error(
                RULE,
                MESSAGE,
                "geometry",
                "hole_diameter_mm",
                found=_given(not drilled),
                allowed=_given(drilled),
                tip=TIP,
            )
        if bool(size.family["installation"]["drilling_methods"]) != drilled:
            yield error(
                size.file,
                "#/installation/drilling_methods",
                RULE,
                MESSAGE,
                found=_given(not drilled),
                allowed=_given(drilled),
                tip=TIP,
            )
        for embedment in size.embedments():
            if (embedment.content["depth"]["hole_mm"] is not None) != drilled:
                yield embedment.error(
                    RULE, MESSAGE, "depth", "hole_mm", found=_given(not drilled), allowed=_given(drilled), tip=TIP
                )


def _given(drilled: bool) -> str:
    return "a hole" if drilled else "no hole"
