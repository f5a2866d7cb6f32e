"""What is suspended is there to be suspended."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from service.rulebook.finding import Finding, pointer_to
from service.rulebook.lint.draft import Draft
from service.rulebook.tree import SUSPENSIONS

RULE = __name__.rpartition(".")[2]
SUMMARY = "suspensions name a family, size or version that exists; a warning, as an earlier version may have had it"


def check(draft: Draft) -> Iterator[Finding]:
    """What is suspended is there to be suspended."""
    given = draft.beside.get(SUSPENSIONS) or {"fasteners": [], "versions": []}
    releases = draft.releases
    versions = [release["version"] for release in releases] + ([draft.rulebook["version"]] if draft.rulebook else [])
    for index, suspended in enumerate(given["versions"]):
        if suspended["version"] not in versions:
            yield _unknown(("versions", index, "version"), suspended["version"], versions)
    families = {family["id"]: family for _, family in draft.families()}
    for index, suspended in enumerate(given["fasteners"]):
        family, size = suspended["family"], suspended.get("size")
        if family not in draft.known_families:
            yield _unknown(("fasteners", index, "family"), family, sorted(draft.known_families))
        elif size is not None and family in families and size not in families[family]["sizes"]:
            yield _unknown(("fasteners", index, "size"), size, families[family]["sizes"])


def _unknown(steps: tuple[str | int, ...], found: str, known: Iterable[str]) -> Finding:
    return Finding(
        file=SUSPENSIONS,
        pointer=pointer_to(*steps),
        rule=RULE,
        severity="warning",
        found=found,
        allowed=", ".join(known),
        tip="correct the name if it is a slip: as it stands, it stops nothing of the rules in this directory",
        message="the rules have nothing of this name",
    )
