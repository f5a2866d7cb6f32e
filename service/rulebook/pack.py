"""A packed rulebook: all releases with register and signatures in one file, for places without a repository."""

from __future__ import annotations

import hashlib
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

import orjson

from service.rulebook import strict_json
from service.rulebook.archive import ReleaseContent
from service.rulebook.canonical import canonical
from service.rulebook.digest import digest
from service.rulebook.tree import REGISTER, SUSPENSIONS, Tree

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from pathlib import Path

    from service.rulebook.register import Entry

FORM = "anchor-rulebook-pack/1"
LARGEST_PACK = 200_000_000
PARTS = ("register", "signatures", "suspensions", "documents", "releases")


class PackInvalid(ValueError):  # noqa: N818 - the name is part of the package's interface
    """A file that is no packed rulebook."""


class PackArchive:
    """The contents of a packed rulebook; each is held against its digest before it is given."""

    note = "served from a packed rulebook: its releases and nothing else"
    words = "the packed rulebook holds no content with that digest; pack it again from a full clone"
    tags: frozenset[str] = frozenset()

    def __init__(self, packed: Mapping[str, Any]) -> None:
        """Take a packed rulebook.

        Args:
            packed: The parsed file.
        """
        self._packed = packed

    @property
    def tree(self) -> Tree:
        """Register, signatures and suspensions, as a rules directory would hold them, and no rules."""
        beside = {REGISTER: self._packed["register"], SUSPENSIONS: self._packed["suspensions"]}
        signatures = {version: text.encode() for version, text in self._packed["signatures"].items()}
        return Tree(MappingProxyType({}), beside, signatures, (), frozenset(), ())

    def find(self, entry: Entry) -> ReleaseContent | None:
        """Find the content of a release by its digest.

        Args:
            entry: The register's entry.

        Returns:
            The content, or None.
        """
        release = self._packed["releases"].get(entry.version)
        if release is None:
            return None
        held = self._packed["documents"]
        documents = {file: held.get(name) for file, name in release["files"].items()}
        return ReleaseContent(documents, release["commit"]) if digest(documents) == entry.digest else None

    def tag_fault(self, _entry: Entry) -> None:
        """Know no tags."""


def open_pack(file: Path) -> PackArchive:
    """Open a packed rulebook.

    Args:
        file: The file.

    Returns:
        Its contents.

    Raises:
        PackInvalid: It is none.
    """
    try:
        with file.open("rb") as stream:
            raw = stream.read(LARGEST_PACK + 1)
    except OSError as problem:
        raise PackInvalid(f"{file}: {(problem.strerror or 'it cannot be read').lower()}") from problem
    packed, faults = strict_json.parse(file.name, raw) if len(raw) <= LARGEST_PACK else (None, ())
    if faults or not isinstance(packed, dict) or packed.get("form") != FORM:
        raise PackInvalid(f"{file} is no packed rulebook; anchor-rulebook pack makes one")
    if any(not isinstance(packed.get(part), dict) for part in PARTS):
        raise PackInvalid(f"{file} lacks a part; a packed rulebook has {', '.join(PARTS)}")
    return PackArchive(packed)


def packed(tree: Tree, contents: Iterable[tuple[Entry, ReleaseContent]]) -> bytes:
    """Pack releases.

    Args:
        tree: The rules directory, for register, signatures and suspensions.
        contents: The releases with their contents.

    Returns:
        The file.
    """
    documents: dict[str, Any] = {}
    releases: dict[str, Any] = {}
    for entry, found in contents:
        files = {}
        for file, document in found.documents.items():
            name = hashlib.sha256(canonical(document)).hexdigest()
            documents[name] = document
            files[file] = name
        releases[entry.version] = {"commit": found.commit, "files": files}
    return orjson.dumps(
        {
            "form": FORM,
            "register": tree.beside.get(REGISTER) or {"releases": []},
            "suspensions": tree.beside.get(SUSPENSIONS) or {"fasteners": [], "versions": []},
            "signatures": {version: raw.decode("utf-8", "replace") for version, raw in tree.signatures.items()},
            "documents": documents,
            "releases": releases,
        },
        option=orjson.OPT_SORT_KEYS,
    )
