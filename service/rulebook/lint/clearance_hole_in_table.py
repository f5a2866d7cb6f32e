"""A clearance hole is larger than what passes through it, and not larger than the table allows."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding
from service.rulebook.lint.draft import Draft

RULE = __name__.rpartition(".")[2]
SUMMARY = (
    "over the diameter that bears on the fixture, at most its table value "
    "(d up to 8: + 1 mm, up to 24: + 2 mm, above: + 3 mm)"
)


def check(draft: Draft) -> Iterator[Finding]:
    """A clearance hole is larger than what passes through it, and not larger than the table allows."""
    for size in draft.sizes():
        geometry = size.content["geometry"]
        clearance, bearing = geometry["clearance_hole_mm"], geometry["diameter_mm"]
        if size.family["setting"] == "through_fixture":
            bearing = max(bearing, geometry["nominal_diameter_mm"])
        most = bearing + _clearance(bearing)
        if clearance is not None and not bearing < clearance <= most:
            yield size.error(
                RULE,
                "the clearance hole does not fit the fastener",
                "geometry",
                "clearance_hole_mm",
                found=f"d_f {clearance:g} mm on {bearing:g} mm",
                allowed=f"over {bearing:g} mm, at most {most:g} mm",
                tip="through the fixture goes the sleeve, else only the bolt; a larger hole is oversize",
            )


def _clearance(bearing_mm: float) -> float:
    if bearing_mm < 10:
        return 1.0
    return 2.0 if bearing_mm <= 24 else 3.0
