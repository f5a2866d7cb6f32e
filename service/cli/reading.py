"""Reading a request from a file or standard input, by the schemas of the API."""

import sys
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from marshmallow import Schema

from service.api.body import parse
from service.api.operations import Call
from service.api.problems import Fault, Refused, faults_of
from service.api.routes.resolution import resolved
from service.api.serving import Serving, today
from service.rulebook import Rulebook

STANDARD_INPUT = "-"


class UnusableError(Exception):
    """What keeps a command from doing its work, in lines for the person who gave it."""

    def __init__(self, *lines: str) -> None:
        super().__init__("\n".join(lines))
        self.lines = lines


def resolved_request(file: str, schema: Schema, rulebook: Rulebook) -> tuple[dict[str, Any], bool]:
    """Read a request, check it and resolve its day and version as the API does.

    Args:
        file: Path of the file; - for standard input.
        schema: The schema of the request.
        rulebook: The rulebook to answer by.

    Returns:
        The request with its day and no other defaults filled in, and whether the day was filled in.

    Raises:
        UnusableError: The file can't be read or the request is refused.
    """
    try:
        body = parse(_bytes(file))
        faults = tuple(faults_of(schema.validate(body)))
        if not faults:
            return resolved(Call(Serving(rulebook, today), path={}, query={}, body=body))
    except Refused as refused:
        faults = tuple(refused.faults)
    raise UnusableError(*refusal_lines(file, faults))


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
