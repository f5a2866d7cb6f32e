"""What was released is never edited: a changed content has a version of its own."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.digest import digest
from service.rulebook.finding import Finding, error
from service.rulebook.lint.draft import Draft
from service.rulebook.tree import RULEBOOK
from service.rulebook.versions import order

RULE = __name__.rpartition(".")[2]
SUMMARY = "rules that differ from every release have a version above all of them"


def check(draft: Draft) -> Iterator[Finding]:
    """What was released is never edited: a changed content has a version of its own."""
    releases = draft.releases
    # Of a rulebook with an unsound file nobody can say what its content is.
    if not releases or draft.rulebook is None or draft.unsound:
        return
    version, latest = draft.rulebook["version"], releases[-1]["version"]
    released = {release["version"]: release["digest"] for release in releases}
    if version in released:
        found = digest(draft.documents)
        if found != released[version]:
            yield _fault("the rules were edited after their version was released", found, released[version], version)
    elif order(version) < order(latest):
        yield _fault("the version is below one that was released", version, f"above {latest}", version)


def _fault(message: str, found: str, allowed: str, version: str) -> Finding:
    return error(
        RULEBOOK,
        "#/version",
        RULE,
        message,
        found=found,
        allowed=allowed,
        tip=f"give the changed rules a version above every release; git log -p shows what became of {version}",
    )
