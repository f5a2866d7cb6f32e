"""The register names its releases in order, each content once."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from service.rulebook.finding import Finding, error, pointer_to
from service.rulebook.lint.draft import Draft
from service.rulebook.tree import REGISTER
from service.rulebook.versions import order

RULE = __name__.rpartition(".")[2]
SUMMARY = (
    "versions of the register grow, its days do not go back, no digest stands twice, and checker and approver of a "
    "release are different roles"
)


def check(draft: Draft) -> Iterator[Finding]:
    """The register names its releases in order, each content once."""
    releases = draft.releases
    for index, (earlier, later) in enumerate(pairwise(releases), start=1):
        if order(later["version"]) <= order(earlier["version"]):
            yield _fault(index, "version", "the version does not grow", later["version"], f"above {earlier['version']}")
        if later["date"] < earlier["date"]:
            yield _fault(index, "date", "the day goes back", later["date"], f"{earlier['date']} or later")
    seen: dict[str, str] = {}
    for index, release in enumerate(releases):
        if release["digest"] in seen:
            allowed = f"a digest of its own; this one is that of {seen[release['digest']]}"
            yield _fault(index, "digest", "the content was released before", release["digest"], allowed)
        seen.setdefault(release["digest"], release["version"])
        if release["checker"] == release["approver"]:
            found = release["approver"]
            yield _fault(index, "approver", "checker and approver are the same", found, "two different roles")


def _fault(index: int, field: str, message: str, found: str, allowed: str) -> Finding:
    return error(
        REGISTER,
        pointer_to("releases", index, field),
        RULE,
        message,
        found=found,
        allowed=allowed,
        tip="entries are added by anchor-rulebook release and never edited; put the register back from the last commit",
    )
