"""The files of a rulebook, as they lie in its directory."""

from __future__ import annotations

import os
import stat
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from service.rulebook import strict_json
from service.rulebook.finding import Finding, error

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from pathlib import Path

RULEBOOK = "rulebook.json"
README = "README.md"
FACTORS = ("exposures", "guard-loads", "installation", "site-conditions", "temperature-ranges")
DIRECTORIES = ("families", "factors", "reference")
LARGEST_FILE = 1_000_000


@dataclass(frozen=True)
class Stray:
    """Something in the rules directory that the rulebook does not reach.

    Attributes:
        file: Its path, relative to the rules directory.
        nature: What it is, in words.
    """

    file: str
    nature: str


@dataclass(frozen=True)
class Tree:
    """What lies under a rules directory.

    Attributes:
        documents: Parsed documents by relative path, in the order of their paths.
        strays: What the rulebook does not reach.
        unread: Paths of files that could not be read as JSON.
        findings: Why they could not.
    """

    documents: Mapping[str, Any]
    strays: tuple[Stray, ...]
    unread: frozenset[str]
    findings: tuple[Finding, ...]


def read(rules: Path) -> Tree:
    """Read every file of a rulebook; nothing outside the directory is followed.

    Args:
        rules: The rules directory.

    Returns:
        The documents and what is wrong with the files; a directory that cannot be read is a finding too.
    """
    documents: dict[str, Any] = {}
    strays: list[Stray] = []
    findings: list[Finding] = []
    unread: set[str] = set()
    try:
        entries = list(_entries(rules))
    except OSError as problem:
        return Tree(MappingProxyType({}), (), frozenset(), (_unreadable(".", problem),))
    for entry in entries:
        if isinstance(entry, Stray):
            strays.append(entry)
            continue
        document, faults = _document(rules, entry)
        if faults:
            findings.extend(faults)
            unread.add(entry)
        else:
            documents[entry] = document
    return Tree(MappingProxyType(documents), tuple(strays), frozenset(unread), tuple(findings))


def _entries(rules: Path) -> Iterator[str | Stray]:
    for name, mode in _listing(rules):
        if name in DIRECTORIES and stat.S_ISDIR(mode):
            yield from _files_in(rules, name)
        elif name == RULEBOOK and stat.S_ISREG(mode):
            yield name
        elif not (name == README and stat.S_ISREG(mode)):
            yield Stray(_speakable(name), _nature(mode))


def _files_in(rules: Path, directory: str) -> Iterator[str | Stray]:
    for name, mode in _listing(rules / directory):
        path = f"{directory}/{_speakable(name)}"
        reached = name.endswith(".json") and stat.S_ISREG(mode) and path == f"{directory}/{name}"
        if reached and directory == "factors":
            reached = name.removesuffix(".json") in FACTORS
        yield path if reached else Stray(path, _nature(mode))


def _listing(directory: Path) -> list[tuple[str, int]]:
    with os.scandir(directory) as entries:
        return sorted((entry.name, entry.stat(follow_symlinks=False).st_mode) for entry in entries)


def _speakable(name: str) -> str:
    return os.fsencode(name).decode("utf-8", "backslashreplace")


def _nature(mode: int) -> str:
    if stat.S_ISLNK(mode):
        return "a symbolic link"
    if stat.S_ISDIR(mode):
        return "a directory"
    return "a file" if stat.S_ISREG(mode) else "a special file"


def _document(rules: Path, file: str) -> tuple[Any, tuple[Finding, ...]]:
    try:
        # A link put in place between listing and opening must not be followed either.
        descriptor = os.open(rules / file, os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK)
        with os.fdopen(descriptor, "rb") as stream:
            raw = stream.read(LARGEST_FILE + 1)
    except OSError as problem:
        return None, (_unreadable(file, problem),)
    if len(raw) > LARGEST_FILE:
        return None, (_too_large(file),)
    return strict_json.parse(file, raw)


def _unreadable(file: str, problem: OSError) -> Finding:
    return error(
        file,
        "#",
        "readable_files",
        "this cannot be read",
        found=(problem.strerror or "an input/output error").lower(),
        allowed="a directory of rules that the service may read",
        tip="check the path and who may read it",
    )


def _too_large(file: str) -> Finding:
    return error(
        file,
        "#",
        "readable_files",
        "the file is too large for a person to review",
        found=f"over {LARGEST_FILE} bytes",
        allowed=f"at most {LARGEST_FILE} bytes",
        tip="split the family",
    )
