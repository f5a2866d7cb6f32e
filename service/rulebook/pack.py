"""A packed rulebook: all releases with register and signatures in one file, for places without a repository."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

import orjson

from service.rulebook import schemas, strict_json
from service.rulebook.archive import ReleaseContent
from service.rulebook.digest import digest, held_once
from service.rulebook.register import Entry
from service.rulebook.tree import REGISTER, SUSPENSIONS, Tree, of_parsed

FORM = "anchor-rulebook-pack/1"
LARGEST_PACK = 200_000_000
SHOWN = 5
PARTS = ("register", "signatures", "suspensions", "documents", "releases")


class PackInvalid(ValueError):  # noqa: N818 - the name is part of the package's interface
    """A file that is no packed rulebook."""


class PackArchive:
    """The contents of a packed rulebook; each is held against its digest before it is given."""

    note = "served from a packed rulebook: its releases and nothing else"
    lacking = "the packed rulebook holds no content with that digest; pack it again from a full clone"
    whole = True
    tags: frozenset[str] = frozenset()

    def __init__(self, packed: Mapping[str, Any]) -> None:
        """Take a packed rulebook."""
        self._packed = packed

    @property
    def tree(self) -> Tree:
        """Register, signatures and suspensions, as a rules directory would hold them, and no rules."""
        beside = {REGISTER: self._packed["register"], SUSPENSIONS: self._packed["suspensions"]}
        signatures = {version: text.encode() for version, text in self._packed["signatures"].items()}
        return of_parsed({}, beside, signatures)

    def find(self, entry: Entry) -> ReleaseContent | None:
        """Find the content of a release by its digest."""
        release = self._packed["releases"].get(entry.version)
        if release is None:
            return None
        held = self._packed["documents"]
        documents = {file: held.get(name) for file, name in release["files"].items()}
        whole = None not in documents.values() and digest(documents) == entry.digest
        return ReleaseContent(documents, release["commit"]) if whole else None

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
    wrong = [*_wrong_parts(packed)] or [*_wrong_inside(packed)]
    if wrong:
        # Nothing of it is served: what is left out could be a suspension.
        raise PackInvalid(f"{file}: {'; '.join(wrong[:SHOWN])}; mend it, or pack it again: anchor-rulebook pack")
    return PackArchive(packed)


def _wrong_parts(packed: Mapping[str, Any]) -> Iterator[str]:
    parts = f"a packed rulebook has {', '.join(PARTS)}"
    for part in PARTS:
        if not isinstance(packed.get(part), dict):
            yield f"the part {part} is {'no object' if part in packed else 'missing'}; {parts}"
    for name in packed.keys() - {"form", *PARTS}:
        yield f"the part {name} is not known; {parts}"


def _wrong_inside(packed: Mapping[str, Any]) -> Iterator[str]:
    for file, part in ((REGISTER, "register"), (SUSPENSIONS, "suspensions")):
        yield from (f"{part}: {finding.text}" for finding in schemas.check(file, packed[part]))
    for version, text in packed["signatures"].items():
        if not isinstance(text, str):
            yield f"signatures: the signature of {version} is no text"
    for name, document in packed["documents"].items():
        if not isinstance(document, dict):
            yield f"documents: {name} is no object"
    for version, release in packed["releases"].items():
        yield from (f"releases: {version}: {wrong}" for wrong in _wrong_release(release))


def _wrong_release(release: object) -> Iterator[str]:
    if not isinstance(release, dict) or release.keys() != {"commit", "files"}:
        yield "it is no object with commit and files"
        return
    commit, files = release["commit"], release["files"]
    if not isinstance(commit, str | None):
        yield "commit is neither text nor null"
    if not isinstance(files, dict) or not all(isinstance(name, str) for name in files.values()):
        yield "files is no object that names a document for each path"


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
        releases[entry.version] = {"commit": found.commit, "files": held_once(found.documents, documents)}
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
