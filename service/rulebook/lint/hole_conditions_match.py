"""There is an installation factor for each hole condition covered and no other."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding
from service.rulebook.lint.draft import Draft

RULE = __name__.rpartition(".")[2]
SUMMARY = "the hole conditions of installation_factor are those the assessment covers"


def check(draft: Draft) -> Iterator[Finding]:
    """There is an installation factor for each hole condition covered and no other."""
    for size in draft.sizes():
        given, covered = (
            [*size.content["factors"]["installation_factor"]],
            size.family["assessment"]["covers"]["hole_conditions"],
        )
        if set(given) != set(covered):
            yield size.error(
                RULE,
                "the installation factors do not stand for the hole conditions covered",
                "factors",
                "installation_factor",
                found=", ".join(given),
                allowed=", ".join(covered) or "none",
                tip="give gamma_inst for each hole condition covered; without a factor it is not covered",
            )
