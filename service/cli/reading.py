"""Reading a request from a file or standard input, by the schemas of the API."""

import sys
from collections.abc import Iterable
from datetime import date
from pathlib import Path
from typing import Any

from marshmallow import Schema

from service.api.body import parse
from service.api.problems import Fault, Refused, faults_of

STANDARD_INPUT = "-"


class UnusableError(Exception):
    """What keeps a command from doing its work, in lines for the person who gave it."""

    def __init__(self, *lines: str) -> None:
        super().__init__("\n".join(lines))
        self.lines = lines


def read_request(file: str, schema: Schema) -> Any:
    """Read a request and check it.

    Args:
        file: Path of the file; - for standard input.
        schema: The schema of the request.

    Returns:
        The request as parsed, with no defaults filled in.

    Raises:
        UnusableError: The file can't be read or the request is refused.
    """
    try:
        request = parse(_bytes(file))
    except Refused as refused:
        raise UnusableError(*refusal_lines(file, refused.faults)) from None
    faults = tuple(faults_of(schema.validate(request)))
    if faults:
        raise UnusableError(*refusal_lines(file, faults))
    return request


def with_day(request: dict[str, Any], today: date) -> tuple[dict[str, Any], bool]:
    """Fill in the day of assessment where the request leaves it out.

    Args:
        request: The request.
        today: The day to take.

    Returns:
        The request with its day, and whether the day was filled in.
    """
    if "assessed_on" in request:
        return request, False
    return request | {"assessed_on": today.isoformat()}, True


def refusal_lines(file: str, faults: Iterable[Fault]) -> tuple[str, ...]:
    """Put into words what is wrong with a request.

    Args:
        file: Where the request came from.
        faults: What is wrong.

    Returns:
        The lines to print.
    """
    places = (f"  {fault.pointer or '#'}: {fault.detail} [{fault.code}]" for fault in faults)
    return (f"{_name(file)}: the request is refused.", *places, "Mend these places and run the command again.")


def _bytes(file: str) -> bytes:
    if file == STANDARD_INPUT:
        return sys.stdin.buffer.read()
    try:
        return Path(file).read_bytes()
    except OSError as error:
        reason = error.strerror or "it can't be read"
        raise UnusableError(f"{file}: {reason}. Give the path of a JSON file, or - for standard input.") from None


def _name(file: str) -> str:
    return "standard input" if file == STANDARD_INPUT else file
