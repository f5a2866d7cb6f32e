"""A signature belongs to a release."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding, error
from service.rulebook.lint.draft import Draft
from service.rulebook.tree import REGISTER, SIGNATURES

RULE = __name__.rpartition(".")[2]
SUMMARY = "each signature is that of a version in the register"


def check(draft: Draft) -> Iterator[Finding]:
    """A signature belongs to a release."""
    if REGISTER in draft.unsound:
        return
    releases = draft.releases
    known = [release["version"] for release in releases]
    for version in sorted(draft.signed - set(known)):
        yield error(
            f"{SIGNATURES}/{version}.sig",
            "#",
            RULE,
            "no release has this signature",
            found=version,
            allowed=", ".join(known) or "none: nothing is released",
            tip="take it away, or put the register's entry back from the last commit",
        )
