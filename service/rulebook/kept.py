"""The last good state of the rules, kept where every process of the service finds it when another has ended.

It lies in two files without a name, which processes that are forked from the one that made them share. So it outlives
each of them, nobody else can reach it, and it ends with the service.
"""

from __future__ import annotations

import fcntl
import hashlib
import os
import sys
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import asdict
from pathlib import Path
from typing import Any

import orjson

from service.rulebook.archive import ReleaseContent
from service.rulebook.book import of_documents
from service.rulebook.digest import held_once
from service.rulebook.register import Entry
from service.rulebook.shelf import Release, ReleaseFault, Shelf
from service.rulebook.suspensions import Suspension
from service.rulebook.tree import of_parsed

NUMBER_BYTES, LENGTH_BYTES, DIGEST_BYTES = 8, 8, 32


class StateLost(RuntimeError):  # noqa: N818 - it is what happened
    """The kept state is not what was written last."""


class KeptState:
    """Holds the newest state in one file while the next is written to the other, each under its digest."""

    def __init__(self) -> None:
        """Make the files; nothing is kept yet."""
        self._files = (_nameless(), _nameless())
        self._known = 0

    @contextmanager
    def locked(self) -> Iterator[None]:
        """Let one process at a time take up rules, so that what was read last is also kept last.

        Yields:
            Nothing; the lock ends with the block, or with the process.
        """
        # A record lock: unlike flock, it holds between processes that share an open file.
        fcntl.lockf(self._files[0], fcntl.LOCK_EX)
        try:
            yield
        finally:
            fcntl.lockf(self._files[0], fcntl.LOCK_UN)

    def keep(self, shelf: Shelf) -> None:
        """Keep a state in place of the one before."""
        number = self._known + 1
        body = number.to_bytes(NUMBER_BYTES) + _written(shelf)
        whole = hashlib.sha256(body).digest() + len(body).to_bytes(LENGTH_BYTES) + body
        file = self._files[number % 2]
        done = 0
        while done < len(whole):
            done += os.pwrite(file, whole[done:], done)
        self._known = number

    def newer(self, path: Path) -> Shelf | None:
        """Give the state that another process kept since this one last kept or asked.

        Args:
            path: The rules directory or the packed rulebook.

        Returns:
            The state; None where there is none newer.

        Raises:
            StateLost: What was kept before is not there whole.
        """
        number, raw = max((_read(file) for file in self._files), key=lambda found: found[0])
        if number < self._known:
            raise StateLost("the last good state of the rules is not what was kept; start the service again")
        if number == self._known:
            return None
        self._known = number
        return _shelf_of(orjson.loads(raw), path)

    def __del__(self) -> None:
        """Close the files."""
        for file in self._files:
            os.close(file)


def _nameless() -> int:
    if sys.platform == "linux":
        return os.memfd_create("anchor-rulebook")
    with tempfile.TemporaryFile() as file:
        return os.dup(file.fileno())


def _read(file: int) -> tuple[int, bytes]:
    """Number and content of a state; number 0 where there is no whole one."""
    head = os.pread(file, DIGEST_BYTES + LENGTH_BYTES, 0)
    length = int.from_bytes(head[DIGEST_BYTES:])
    body = b""
    while len(body) < length and (piece := os.pread(file, length - len(body), len(head) + len(body))):
        body += piece
    if len(body) < max(length, NUMBER_BYTES) or hashlib.sha256(body).digest() != head[:DIGEST_BYTES]:
        return 0, b""
    return int.from_bytes(body[:NUMBER_BYTES]), body[NUMBER_BYTES:]


def _written(shelf: Shelf) -> bytes:
    documents: dict[str, Any] = {}

    working = shelf.working
    state = {
        "working": working
        and {"commit": working.commit, "state": working.state, "files": held_once(shelf.tree.documents, documents)},
        "beside": dict(shelf.tree.beside),
        "releases": [
            {
                "entry": asdict(release.entry),
                "fault": release.fault and asdict(release.fault),
                "content": release.content
                and {"commit": release.content.commit, "files": held_once(release.content.documents, documents)},
            }
            for release in shelf.releases
        ],
        "suspensions": [asdict(suspension) for suspension in shelf.suspensions],
        "faults": [asdict(fault) for fault in shelf.faults_beside],
        "note": shelf.note,
    }
    return orjson.dumps({**state, "documents": documents})


def _shelf_of(state: Mapping[str, Any], path: Path) -> Shelf:
    def content(part: Mapping[str, Any]) -> dict[str, Any]:
        return {file: state["documents"][name] for file, name in part["files"].items()}

    working = state["working"]
    files = content(working) if working else {}
    return Shelf(
        path,
        of_parsed(files, state["beside"]),
        of_documents(files, path=path, commit=working["commit"], state=working["state"]) if working else None,
        tuple(
            Release(
                Entry(**release["entry"]),
                release["fault"] and ReleaseFault(**release["fault"]),
                release["content"] and ReleaseContent(content(release["content"]), release["content"]["commit"]),
            )
            for release in state["releases"]
        ),
        tuple(Suspension(**suspension) for suspension in state["suspensions"]),
        tuple(ReleaseFault(**fault) for fault in state["faults"]),
        state["note"],
    )
