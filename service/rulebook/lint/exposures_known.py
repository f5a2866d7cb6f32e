"""Exposures are named in factors/exposures.json."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding, error, pointer_to
from service.rulebook.lint.draft import Draft
from service.rulebook.tree import RULEBOOK

RULE = __name__.rpartition(".")[2]
SUMMARY = "exposures of families and of unknown exist in factors/exposures.json"


def check(draft: Draft) -> Iterator[Finding]:
    """Exposures are named in factors/exposures.json."""
    exposures = draft.factor("exposures")
    if exposures is None:
        return
    named: list[tuple[str, tuple[str | int, ...], str]] = [
        (file, ("exposures", index), name)
        for file, family in draft.families()
        for index, name in enumerate(family["exposures"])
    ]
    if draft.rulebook is not None:
        named.append((RULEBOOK, ("unknown", "exposure"), draft.rulebook["unknown"]["exposure"]))
    for file, steps, name in named:
        if name not in exposures["exposures"]:
            yield error(
                file,
                pointer_to(*steps),
                RULE,
                "the exposure is not known",
                found=name,
                allowed=", ".join(exposures["exposures"]),
                tip="correct the name, or add the exposure to factors/exposures.json with its reason",
            )
