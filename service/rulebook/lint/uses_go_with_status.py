"""A restriction names its uses, and uses are named only where there is one."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding, error
from service.rulebook.lint.draft import Draft, approvals

RULE = __name__.rpartition(".")[2]
SUMMARY = "status restricted has uses; status approved has none (null)"


def check(draft: Draft) -> Iterator[Finding]:
    """A restriction names its uses, and uses are named only where there is one."""
    for file, pointer, approval in approvals(draft):
        status, uses = approval["status"], approval["uses"]
        if (status == "restricted" and uses is None) or (status == "approved" and uses is not None):
            yield error(
                file,
                f"{pointer}/uses",
                RULE,
                "status and uses say different things",
                found=f"{status}, uses {'null' if uses is None else ', '.join(uses)}",
                allowed="restricted with uses, or approved with null",
                tip="decide which one is meant; suspended and withdrawn may have either",
            )
