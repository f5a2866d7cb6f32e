"""An embedment is filed under its effective depth."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding
from service.rulebook.lint.draft import Draft

RULE = __name__.rpartition(".")[2]
SUMMARY = "the key of an embedment is its effective_mm"


def check(draft: Draft) -> Iterator[Finding]:
    """An embedment is filed under its effective depth."""
    for embedment in draft.embedments():
        effective = embedment.content["depth"]["effective_mm"]
        if embedment.key != f"{effective:g}":
            yield embedment.error(
                RULE,
                "the embedment is filed under another depth than its own",
                "depth",
                "effective_mm",
                found=f'{effective:g} under "{embedment.key}"',
                allowed=f'the key "{effective:g}"',
                tip="requests name the embedment by its key; check which of the two the assessment gives",
            )
