"""What the application serves from: the rulebook it started with and the clock that says what day it is."""

import hashlib
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Any

from service import __version__
from service.api.problems import Fault, Refused
from service.rulebook import Rulebook

Clock = Callable[[], date]


def today() -> date:
    """Read the clock.

    Returns:
        The day, UTC.
    """
    return datetime.now(UTC).date()


@dataclass(frozen=True)
class Serving:
    """Rulebook and clock; the rulebook is None where the service was started without."""

    loaded: Rulebook | None
    clock: Clock

    @property
    def rulebook(self) -> Rulebook:
        """The rulebook.

        Raises:
            Refused: There is none.
        """
        if self.loaded is None:
            raise Refused(503)
        return self.loaded

    def identity(self) -> dict[str, Any]:
        """Name the rulebook as every answer does.

        Returns:
            Version, digest, commit and status.
        """
        book = self.rulebook
        return {"version": book.version, "digest": book.digest, "commit": book.commit, "status": book.status}

    def entity_tag(self) -> str:
        """Name the state of everything that is told of the rulebook.

        Returns:
            The tag: a digest of what the rulebook is and of the version of the service.
        """
        book = self.rulebook
        state = "\n".join((book.digest, book.commit or "", book.state, __version__))
        return hashlib.sha256(state.encode()).hexdigest()[:32]

    def known_version(self, version: str) -> bool:
        """Say whether the service holds a version.

        Args:
            version: The version.

        Returns:
            Whether it is the one that is loaded.
        """
        return version == self.rulebook.version

    def unknown_version(self, **place: str) -> Fault:
        """Write the fault for a version that the service does not hold.

        Args:
            **place: pointer or parameter, as for Fault.

        Returns:
            The fault, with the versions that it holds.
        """
        return Fault("unknown_version", f"no such version is held here; held: {self.rulebook.version}", **place)
