"""The register: which contents were released, when, why, and who agreed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields
from typing import Any

from service.rulebook.canonical import canonical
from service.rulebook.tree import REGISTER, Tree


@dataclass(frozen=True)
class Entry:
    """A release as the register names it.

    Attributes:
        version: Version, CalVer year.number.patch.
        digest: "sha256:" and the digest of the content.
        date: Day of the release, ISO 8601.
        reason: Why there is a release.
        author: Who made it.
        checker: Role of who read it against its sources.
        approver: Role of who agreed to it.
        signatory: Whose key signs it, as the file of allowed signers names them.
    """

    version: str
    digest: str
    date: str
    reason: str
    author: str
    checker: str
    approver: str
    signatory: str

    def message(self) -> bytes:
        """Give what the signatory signs: the whole entry, so that nobody can be given another approver."""
        return canonical(asdict(self))


def entries(tree: Tree) -> tuple[Entry, ...]:
    """Read the register of a tree that passed its checks.

    Args:
        tree: The files of a rules directory.

    Returns:
        The releases, oldest first; none where there is no register.
    """
    return of_document(tree.beside.get(REGISTER) or {"releases": []})


def of_document(register: Mapping[str, Any]) -> tuple[Entry, ...]:
    """Read a register.

    Args:
        register: Content of register.json, which passed its schema.

    Returns:
        The releases, oldest first.
    """
    names = [field.name for field in fields(Entry)]
    return tuple(Entry(**{name: release[name] for name in names}) for release in register["releases"])
