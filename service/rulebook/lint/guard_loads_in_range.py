"""Guard loads keep to the range that EN 1991-1-1 leaves to the national choice, and act no higher than 1.20 m."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding, error
from service.rulebook.lint.draft import Draft

RULE = __name__.rpartition(".")[2]
SUMMARY = "each line load on guards lies in its range, and acts no higher than 1.20 m (EN 1991-1-1, 6.4)"
FILE = "factors/guard-loads.json"
HEIGHT_MAX_M = 1.2


def check(draft: Draft) -> Iterator[Finding]:
    """Guard loads keep to the range that EN 1991-1-1 leaves to the national choice, and act no higher than 1.20 m."""
    loads = draft.factor("guard-loads")
    if loads is None:
        return
    if loads["height_max_m"] > HEIGHT_MAX_M:
        yield error(
            FILE,
            "#/height_max_m",
            RULE,
            "the line load acts higher than the standard has it",
            found=f"{loads['height_max_m']:g} m",
            allowed=f"at most {HEIGHT_MAX_M:g} m",
            tip="the load acts at the height of the rail, EN 1991-1-1, 6.4",
        )
    for name, category in loads["categories"].items():
        load, least, most = (category[f"{key}_kn_per_m"] for key in ("line_load", "range_min", "range_max"))
        if not least <= load <= most:
            yield error(
                FILE,
                f"#/categories/{name}/line_load_kn_per_m",
                RULE,
                "the line load is outside the range left to the national choice",
                found=f"{load:g} kN/m",
                allowed=f"{least:g} to {most:g} kN/m",
                tip="take a load of the range, EN 1991-1-1, Table 6.12",
            )
