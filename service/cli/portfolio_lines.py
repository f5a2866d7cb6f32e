"""A line of a portfolio, read as strictly as the service reads a body."""

from collections.abc import Mapping
from datetime import date
from functools import cache
from itertools import islice
from typing import Any

from service.contract.faults import Fault, Refused, faults_of
from service.contract.reading import parse
from service.contract.recorded import RecordedRequest

SHOWN = 3
RECORD_MEMBERS = frozenset({"request", "answer"})


def portfolio_request(today: str, raw: bytes) -> Mapping[str, Any] | str:
    """Read a line: a record, or a bare verification request.

    Args:
        today: Day for a line that names none, ISO 8601.
        raw: The line.

    Returns:
        The request with its day; in words what is wrong, where it can't be verified.
    """
    if not raw.strip():
        return "the line is empty"
    try:
        body = parse(raw)
    except Refused as refused:
        return _words(tuple(islice(refused.faults, SHOWN + 1)), at_root=True)
    is_record = isinstance(body, dict) and body.keys() >= RECORD_MEMBERS
    request = body["request"] if is_record else body
    faults = tuple(islice(faults_of(_schema().validate(request)), SHOWN + 1))
    if faults:
        return _words(faults, at_root=not is_record)
    answered_on = _day(body["answer"]) if is_record else None
    return {**request, "assessed_on": request.get("assessed_on") or answered_on or today}


@cache
def _schema() -> RecordedRequest:
    # A schema costs more to build than to use. Fixings of a portfolio are older than the service, as records are.
    return RecordedRequest()


def _day(answer: object) -> str | None:
    given = answer.get("assessed_on") if isinstance(answer, dict) else None
    if not isinstance(given, str):
        return None
    try:
        return date.fromisoformat(given).isoformat()
    except ValueError:
        return None


def _words(faults: tuple[Fault, ...], *, at_root: bool) -> str:
    root = "#" if at_root else "#/request"
    places = [f"{root}{(fault.pointer or '#')[1:]}: {fault.detail} [{fault.code}]" for fault in faults[:SHOWN]]
    return "; ".join([*places, "and more"] if len(faults) > SHOWN else places)
