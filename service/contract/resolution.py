"""What is settled of a request before anything is calculated: its day, and the rulebook to answer it by."""

from collections.abc import Callable, Mapping
from datetime import UTC, date, datetime
from typing import Any

from service.contract.faults import Fault, Refused
from service.rulebook import Rulebook
from service.rulebook.shelf import NoneInForce, Shelf, UnknownVersion

Clock = Callable[[], date]
NOT_FOUND, UNPROCESSABLE = 404, 422


def today() -> date:
    """Read the clock."""
    return datetime.now(UTC).date()


def resolved(request: Mapping[str, Any], shelf: Shelf, clock: Clock) -> tuple[dict[str, Any], Rulebook, bool]:
    """Resolve day and version of a request.

    Args:
        request: The request, each field of it sound.
        shelf: The versions to answer by.
        clock: Gives the day of a request that names none.

    Returns:
        The request with its day, the rulebook to answer it by, and whether the day was filled in.
    """
    assumed = request.get("assessed_on") is None
    day = clock() if assumed else date.fromisoformat(request["assessed_on"])
    book = rulebook_on(shelf, request.get("rulebook"), day, pointer="#/rulebook")
    return {**request, "assessed_on": day.isoformat()}, book, assumed


def rulebook_on(shelf: Shelf, version: str | None, day: date, **place: str) -> Rulebook:
    """Find the rulebook of a request.

    Args:
        shelf: The versions to answer by.
        version: The version that the request names; None: the highest in force on its day.
        day: The day.
        **place: Where the version stands in the request: pointer or parameter, as for Fault.

    Returns:
        The rulebook.

    Raises:
        Refused: The version is not served, or none is in force on the day.
    """
    try:
        return shelf.in_force(day) if version is None else shelf.on(version, day)
    except UnknownVersion as unknown:
        status = NOT_FOUND if place.get("parameter") == "version" else UNPROCESSABLE
        raise Refused(status, [unknown_version(unknown, **place)], "No such version.") from None
    except NoneInForce as none:
        raise Refused(UNPROCESSABLE, [Fault("no_version_in_force", str(none), pointer="#/assessed_on")]) from None


def unknown_version(unknown: UnknownVersion, **place: str) -> Fault:
    """Write the fault for a version that is not served.

    Args:
        unknown: What the shelf says.
        **place: pointer or parameter, as for Fault.

    Returns:
        The fault, with the versions that are.
    """
    words = f": {unknown.why}" if unknown.why else ""
    held, allowed = ", ".join(unknown.known) or "none", {"allowed": list(unknown.known)}
    return Fault("unknown_version", f"no such version is held here{words}; held: {held}", **place, figures=allowed)
