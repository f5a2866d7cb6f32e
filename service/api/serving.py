"""What the application serves from at one moment: every version it can answer by, and the clock."""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from service import __version__
from service.contract.faults import Refused
from service.contract.resolution import Clock
from service.rulebook import Rulebook
from service.rulebook.shelf import NoneInForce, ReleaseFault, Shelf, UnknownVersion
from service.verification.answer import rulebook_identity


@dataclass(frozen=True)
class Serving:
    """A snapshot; a request finishes under the one it began with.

    Attributes:
        loaded: The versions; None where there is no rulebook.
        clock: Says what day it is.
        faults: What is wrong with what lies there now.
        kept: Whether what was good last is served in place of what lies there now.
        stopped: Whether nothing is answered until the faults are mended.
    """

    loaded: Shelf | None
    clock: Clock
    faults: tuple[ReleaseFault, ...] = ()
    kept: bool = False
    stopped: bool = False

    @property
    def shelf(self) -> Shelf:
        """The versions.

        Raises:
            Refused: There is none to answer by.
        """
        if self.stopped:
            raise Refused(503, detail=f"Answers are stopped: {'; '.join(fault.detail for fault in self.faults)}.")
        if self.loaded is None or not self.loaded.versions:
            raise Refused(503)
        return self.loaded

    @property
    def rulebook(self) -> Rulebook:
        """The rulebook for what names no version: the highest in force today, or the newest where none is.

        Raises:
            Refused: There is none.
        """
        try:
            return self.shelf.in_force(self.clock())
        except NoneInForce:
            try:
                return self.shelf.newest()
            except UnknownVersion:
                raise Refused(503) from None

    def identity(self) -> dict[str, Any]:
        """Name the rulebook as every answer does."""
        return rulebook_identity(self.rulebook)

    def entity_tag(self) -> str:
        """Name the state of everything that is told of the rulebooks.

        Returns:
            The tag: a digest of what is served and suspended, and of the version of the service.
        """
        book, shelf = self.rulebook, self.shelf
        # A release's documents are told by its digest.
        releases = [(release.entry, release.state) for release in shelf.releases]
        stopped = list(shelf.suspensions)
        told = [book.digest, book.commit, book.state, __version__, list(shelf.versions), releases, stopped]
        return hashlib.sha256(repr(told).encode()).hexdigest()[:32]


def headers_of(answer: Mapping[str, Any], serving: Serving) -> tuple[str, str]:
    """Name the rulebook that an answer was made by, for its headers.

    Args:
        answer: The answer.
        serving: What it was served from.

    Returns:
        Version and digest: those that the answer itself names, or else those of the rulebook in force.
    """
    named = answer.get("rulebook")
    if isinstance(named, Mapping) and "digest" in named and "version" in named:
        return named["version"], named["digest"]
    if "digest" in answer and "version" in answer:
        return answer["version"], answer["digest"]
    return serving.rulebook.version, serving.rulebook.digest
