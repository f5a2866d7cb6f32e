"""Opening a record: does it belong together, and do its rules still give its answer?"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import islice
from typing import Any

from service.rulebook import Rulebook
from service.rulebook.suspensions import Suspension
from service.verification import RefusedRequest, verify
from service.verification.record import record_id

MOST_SHOWN = 5


class RecordNotGood(ValueError):  # noqa: N818 - the record is at fault, not the program
    """A record that nothing can be built on.

    Attributes:
        code: Stable code.
    """

    def __init__(self, code: str, detail: str) -> None:
        """Say what is wrong with it.

        Args:
            code: Stable code.
            detail: What is wrong, and what to do.
        """
        super().__init__(detail)
        self.code = code


@dataclass(frozen=True, slots=True)
class Opened:
    """A record that was replayed: its request with day and version resolved, and its answer."""

    request: Mapping[str, Any]
    answer: Mapping[str, Any]
    rulebook: Rulebook


def resolved_request(record: Mapping[str, Any]) -> dict[str, Any]:
    """Give the request of a record as its id covers it.

    Args:
        record: The record.

    Returns:
        The request with the day and the version that the answer names.
    """
    request, answer = record["request"], record["answer"]
    day = request.get("assessed_on") or answer["assessed_on"]
    return {**request, "assessed_on": day, "rulebook": request.get("rulebook") or answer["rulebook"]["version"]}


def check_identity(record: Mapping[str, Any]) -> None:
    """Hold the id of a record against its content.

    Args:
        record: The record.

    Raises:
        RecordNotGood: They differ: something in it was changed.
    """
    answer = record["answer"]
    given = answer["record"]
    try:
        found = record_id(resolved_request(record), answer, answer["rulebook"]["digest"], given["engine"])
    except (ValueError, TypeError, OverflowError):
        found = None
    if found != given["id"]:
        raise RecordNotGood(
            "record_changed",
            "the id of the record does not match its content, so something in it was changed after it was made; take "
            "the record as it was answered, or verify the request anew",
        )


def open_record(record: Mapping[str, Any], rulebook: Rulebook) -> Opened:
    """Replay a record under its own rules.

    Args:
        record: Request and answer, as they were exchanged.
        rulebook: The rulebook of the version and digest that the answer names.

    Returns:
        The record, found to be true.

    Raises:
        RecordNotGood: Its id does not match, or its rules do not give its answer.
    """
    check_identity(record)
    request, answer = resolved_request(record), record["answer"]
    try:
        # What was suspended when the record was made is part of its answer; what is suspended now is asked elsewhere.
        then = tuple(Suspension(**suspension) for suspension in answer.get("suspensions", ()))
        again = verify(
            request,
            replace(rulebook, suspensions=then),
            assessed_on_assumed=record["request"].get("assessed_on") is None,
        )
    except (RefusedRequest, TypeError) as problem:
        raise RecordNotGood(
            "record_not_reproduced", f"the rules of the record refuse its request: {problem}"
        ) from problem
    if record_id(request, again, rulebook.digest, answer["record"]["engine"]) != answer["record"]["id"]:
        places = ", ".join(islice(_differences(answer, again, "#/answer"), MOST_SHOWN))
        raise RecordNotGood(
            "record_not_reproduced",
            f"verifying the request of the record anew under its own rules gives another answer, at {places}; verify "
            "the request anew and take the new record",
        )
    return Opened(request, answer, rulebook)


def _differences(old: Any, new: Any, place: str) -> Iterator[str]:
    """Name the places where two answers differ."""
    if isinstance(old, Mapping) and isinstance(new, Mapping):
        for name in sorted({*old, *new} - {"record", "commit"}):
            if name not in old or name not in new:
                yield f"{place}/{name}"
            else:
                yield from _differences(old[name], new[name], f"{place}/{name}")
    elif isinstance(old, list) and isinstance(new, list) and len(old) == len(new):
        for index, pair in enumerate(zip(old, new, strict=True)):
            yield from _differences(*pair, f"{place}/{index}")
    elif old != new:
        yield place
