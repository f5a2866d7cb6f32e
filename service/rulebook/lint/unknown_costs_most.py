"""Not knowing a site condition costs at least as much as the worst that is known of it."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding, error, pointer_to
from service.rulebook.lint.draft import Draft

RULE = __name__.rpartition(".")[2]
SUMMARY = "each site condition has the value unknown, and its factor is the least"
FILE = "factors/site-conditions.json"


def check(draft: Draft) -> Iterator[Finding]:
    """Not knowing a site condition costs at least as much as the worst that is known of it."""
    conditions = draft.factor("site-conditions")
    for name, condition in conditions["conditions"].items() if conditions else ():
        factors = {value: entry["factor"] for value, entry in condition["values"].items()}
        least = min(factors.values())
        if factors.get("unknown") != least:
            given = f"factor {factors['unknown']:g}" if "unknown" in factors else "no such value"
            yield error(
                FILE,
                pointer_to("conditions", name, "values", "unknown"),
                RULE,
                "not knowing costs less than knowing the worst",
                found=f"unknown: {given}",
                allowed=f"a value unknown with a factor of at most {least:g}",
                tip="what nobody can say may be the worst that the list names",
            )
