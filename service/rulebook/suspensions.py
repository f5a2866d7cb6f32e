"""The emergency stop: what is suspended for new work at once, whatever a release says."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from service.rulebook.tree import SUSPENSIONS, Tree


@dataclass(frozen=True)
class Suspension:
    """What is suspended: a version, or a family with all of its sizes or one of them.

    Attributes:
        family: Id of the family; None where a version is suspended.
        size: Name of the size; None for all of them.
        version: The version; None where a family or size is suspended.
        since: Day from which on, ISO 8601.
        reason: Why.
    """

    family: str | None
    size: str | None
    version: str | None
    since: str
    reason: str

    def concerns(self, family: str, size: str | None) -> bool:
        """Say whether a fastener is suspended; of a family without a size, whether any of its sizes is."""
        return self.family == family and (size is None or self.size in {None, size})


def suspensions(tree: Tree) -> tuple[Suspension, ...]:
    """Read the suspensions of a tree that passed its checks.

    Args:
        tree: The files of a rules directory.

    Returns:
        The suspensions; none where there is no such file.
    """
    return of_document(tree.beside.get(SUSPENSIONS) or {"fasteners": [], "versions": []})


def of_document(document: Mapping[str, Any]) -> tuple[Suspension, ...]:
    """Read suspensions.

    Args:
        document: Content of suspensions.json, which passed its schema.

    Returns:
        The suspensions.
    """
    return tuple(
        Suspension(given.get("family"), given.get("size"), given.get("version"), given["since"], given["reason"])
        for given in (*document["fasteners"], *document["versions"])
    )
