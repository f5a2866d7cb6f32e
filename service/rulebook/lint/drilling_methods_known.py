"""Drilling methods are values of the site condition drilling."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding, error, pointer_to
from service.rulebook.lint.draft import Draft

RULE = __name__.rpartition(".")[2]
SUMMARY = "drilling methods of families are values of the site condition drilling"


def check(draft: Draft) -> Iterator[Finding]:
    """Drilling methods are values of the site condition drilling."""
    factor = draft.factor("site-conditions")
    values = factor["conditions"].get("drilling", {}).get("values", {}) if factor else {}
    for file, family in draft.families() if values else ():
        for index, method in enumerate(family["installation"]["drilling_methods"]):
            if method not in values or method == "unknown":
                yield error(
                    file,
                    pointer_to("installation", "drilling_methods", index),
                    RULE,
                    "no site can state this drilling method",
                    found=method,
                    allowed=", ".join(value for value in values if value != "unknown"),
                    tip="correct the name, or add the method to the site condition drilling with its factor and reason",
                )
