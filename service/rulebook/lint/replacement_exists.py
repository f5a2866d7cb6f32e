"""A replacement is another family that may be used."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding, error
from service.rulebook.lint.draft import Draft, approvals

RULE = __name__.rpartition(".")[2]
SUMMARY = "the replacement of a family or size is another known family, neither suspended nor withdrawn"
GONE = ("suspended", "withdrawn")


def check(draft: Draft) -> Iterator[Finding]:
    """A replacement is another family that may be used."""
    status = {family["id"]: family["approval"]["status"] for _, family in draft.families()}
    usable = {name for name in draft.known_families if status.get(name) not in GONE}
    for file, pointer, approval in approvals(draft):
        replacement = approval["replacement"]
        # A size may be replaced by another size of its own family, a family not by itself.
        itself = draft.documents[file]["id"] if pointer == "#/approval" else None
        allowed = sorted(usable - {itself})
        if replacement is not None and replacement not in allowed:
            yield error(
                file,
                f"{pointer}/replacement",
                RULE,
                "the replacement cannot be used in place of it",
                found=f"{replacement}, {'itself' if replacement == itself else status.get(replacement, 'unknown')}",
                allowed=", ".join(allowed),
                tip="name a family that the company allows, or null",
            )
