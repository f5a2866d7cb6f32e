"""The files of a rulebook, as they lie in its directory or in a commit."""

from __future__ import annotations

import os
import stat
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import Any

from service.rulebook import strict_json
from service.rulebook.finding import Finding, error

RULEBOOK = "rulebook.json"
README = "README.md"
REGISTER = "register.json"
SUSPENSIONS = "suspensions.json"
SIGNATURES = "signatures"
NOTES = "notes"
FACTORS = (
    "exposures",
    "guard-loads",
    "installation",
    "load-models",
    "site-conditions",
    "site-tests",
    "stated-loads",
    "temperature-ranges",
)
DIRECTORIES = ("families", "factors", "reference")
CONTENT = (RULEBOOK, *DIRECTORIES)
"""What calculates, and so has a part in the digest."""
BESIDE = (REGISTER, SUSPENSIONS)
"""What is said about releases, outside them."""
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
        documents: Parsed documents that calculate, by relative path, in the order of their paths.
        beside: The register and the suspensions, where they are there.
        signatures: Signatures of releases by version.
        strays: What the rulebook does not reach.
        unread: Paths of files that could not be read as JSON.
        findings: Why they could not.
    """

    documents: Mapping[str, Any]
    beside: Mapping[str, Any]
    signatures: Mapping[str, bytes]
    strays: tuple[Stray, ...]
    unread: frozenset[str]
    findings: tuple[Finding, ...]


def of_parsed(
    documents: Mapping[str, Any], beside: Mapping[str, Any], signatures: Mapping[str, bytes] = MappingProxyType({})
) -> Tree:
    """Make a tree of what does not lie in a directory.

    Args:
        documents: Parsed documents that calculate, by path relative to the rules directory.
        beside: The register and the suspensions.
        signatures: Signatures of releases by version.

    Returns:
        The files, with nothing wrong.
    """
    return Tree(documents, beside, signatures, (), frozenset(), ())


def read(rules: Path) -> Tree:
    """Read every file of a rulebook; nothing outside the directory is followed.

    Args:
        rules: The rules directory.

    Returns:
        The documents and what is wrong with the files; a directory that cannot be read is a finding too.
    """
    try:
        entries = list(_entries(rules))
    except OSError as problem:
        fault = (_unreadable(".", problem),)
        return Tree(MappingProxyType({}), MappingProxyType({}), MappingProxyType({}), (), frozenset(), fault)
    return gathered(entries, lambda file: _read(rules, file))


def gathered(
    entries: Iterable[tuple[str, int]], fetch: Callable[[str], tuple[Any, bytes, tuple[Finding, ...]]]
) -> Tree:
    """Sort files by what they are to the rulebook.

    Args:
        entries: Path relative to the rules directory, and mode, of each file, link or special file.
        fetch: Gives a file's document, its bytes, and what is wrong with it.

    Returns:
        The files of the rulebook.
    """
    found: dict[str, Any] = {}
    signatures: dict[str, bytes] = {}
    strays: list[Stray] = []
    findings: list[Finding] = []
    unread: set[str] = set()
    for file, mode in sorted(entries):
        if stat.S_ISREG(mode) and (file == README or (file.startswith(f"{NOTES}/") and file.endswith(".md"))):
            continue
        if not (stat.S_ISREG(mode) and _reached(file)):
            strays.append(Stray(_speakable(file), _nature(mode)))
            continue
        document, raw, faults = fetch(file)
        findings.extend(faults)
        if faults:
            unread.add(file)
        elif file.startswith(f"{SIGNATURES}/"):
            signatures[file.removeprefix(f"{SIGNATURES}/").removesuffix(".sig")] = raw
        else:
            found[file] = document
    return Tree(
        documents=MappingProxyType({file: document for file, document in found.items() if file not in BESIDE}),
        beside=MappingProxyType({file: document for file, document in found.items() if file in BESIDE}),
        signatures=MappingProxyType(signatures),
        strays=tuple(strays),
        unread=frozenset(unread),
        findings=tuple(findings),
    )


def _reached(file: str) -> bool:
    directory, _, name = file.rpartition("/")
    if not directory:
        return file == RULEBOOK or file in BESIDE
    if _speakable(file) != file:
        return False
    if directory == SIGNATURES:
        return name.endswith(".sig")
    if directory == "factors":
        return name.endswith(".json") and name.removesuffix(".json") in FACTORS
    return directory in DIRECTORIES and name.endswith(".json")


def _entries(rules: Path) -> Iterator[tuple[str, int]]:
    for name, mode in _listing(rules):
        if name in {*DIRECTORIES, SIGNATURES, NOTES} and stat.S_ISDIR(mode):
            yield from ((f"{name}/{inner}", inner_mode) for inner, inner_mode in _listing(rules / name))
        else:
            yield name, mode


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


def _read(rules: Path, file: str) -> tuple[Any, bytes, tuple[Finding, ...]]:
    try:
        # A link put in place between listing and opening must not be followed either.
        descriptor = os.open(rules / file, os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK)
        with os.fdopen(descriptor, "rb") as stream:
            raw = stream.read(LARGEST_FILE + 1)
    except OSError as problem:
        return None, b"", (_unreadable(file, problem),)
    if len(raw) > LARGEST_FILE:
        return None, b"", (_too_large(file),)
    if file.startswith(f"{SIGNATURES}/"):
        return None, raw, ()
    document, faults = strict_json.parse(file, raw)
    return document, raw, faults


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
