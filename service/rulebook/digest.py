"""The identity of a rulebook: a digest of what it says, not of how it is laid out."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from typing import Any

from service.rulebook.canonical import canonical


def digest(documents: Mapping[str, Any]) -> str:
    """Digest the documents of a rulebook.

    The canonical form of RFC 8785 leaves out white space and the order of keys, so neither is content.

    Args:
        documents: Parsed documents by path relative to the rules directory.

    Returns:
        "sha256:" and the SHA-256 of the mapping's canonical form in hexadecimal.
    """
    return of_parts({file: canonical(document) for file, document in documents.items()})


def held_once(documents: Mapping[str, Any], held: dict[str, Any]) -> dict[str, str]:
    """Put documents among others where each is held once, under its own digest, as releases share most of them.

    Args:
        documents: Parsed documents by path relative to the rules directory.
        held: Those that are held already; what is not among them is added.

    Returns:
        Where each is held, by its path.
    """
    # What releases share is mostly the very same object: its canonical form need not be written for each of them.
    known = {id(document): name for name, document in held.items()}
    names = {
        file: known.get(id(document)) or hashlib.sha256(canonical(document)).hexdigest()
        for file, document in documents.items()
    }
    held |= {names[file]: document for file, document in documents.items()}
    return names


def of_parts(parts: Mapping[str, bytes]) -> str:
    """Digest documents whose canonical forms are known.

    Args:
        parts: Canonical form of each document by its path; these paths sort alike by character and by code unit.

    Returns:
        As `digest`.
    """
    members = b",".join(canonical(file) + b":" + parts[file] for file in sorted(parts))
    return "sha256:" + hashlib.sha256(b"{" + members + b"}").hexdigest()
