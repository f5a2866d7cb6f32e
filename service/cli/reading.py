"""Reading a request from a file or standard input, by the schemas of the API."""

import sys
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from marshmallow import Schema

from service.contract.faults import Fault, Refused, document, told
from service.contract.given import NOTHING
from service.contract.reading import parse
from service.contract.resolution import UNPROCESSABLE
from service.contract.sizing import SizingRequest
from service.contract.verification import VerificationRequest
from service.rulebook import Rulebook
from service.rulebook.shelf import Shelf
from service.verification.asking import Calculation, ask

STANDARD_INPUT = "-"
SIZING_FIELDS = {"pattern", "limits", "max_choices"}


class UnusableError(Exception):
    """What keeps a command from doing its work, in lines for the person who gave it."""

    def __init__(self, *lines: str) -> None:
        super().__init__("\n".join(lines))
        self.lines = lines


class RefusalError(UnusableError):
    """A request that is refused, in lines and as the problem document that the service would answer."""

    def __init__(
        self, file: str, status: int, faults: Iterable[Fault], tip: str | None = None, body: object = NOTHING
    ) -> None:
        listed = told(faults, body) if body is not NOTHING else list(faults)
        super().__init__(*refusal_lines(file, listed, tip))
        self.document = document(status, listed)


def answered(file: str, schema: Schema, shelf: Shelf, calculate: Calculation) -> tuple[dict[str, Any], Rulebook]:
    """Read a request and answer it as the API does.

    Args:
        file: Path of the file; - for standard input.
        schema: The schema of the request.
        shelf: The versions to answer by.
        calculate: What answers it.

    Returns:
        The answer, and the rulebook that it was made by.

    Raises:
        RefusalError: The request is refused; an UnusableError tells of a file that can't be read.
    """
    raw = _bytes(file)
    try:
        return ask(raw, schema, shelf, calculate)
    except Refused as refused:
        tip = _other_command(file, schema, parse(raw)) if refused.status == UNPROCESSABLE else None
        raise RefusalError(file, refused.status, refused.faults, tip) from None


def _other_command(file: str, schema: Schema, body: object) -> str | None:
    """The command that takes such a file, where it is the other one."""
    if not isinstance(body, Mapping):
        return None
    if isinstance(schema, SizingRequest) and "fastener" in body:
        return f"It names a fastener, so it is a request to verify. Did you mean: anchor-rulebook verify {file}"
    if isinstance(schema, VerificationRequest) and "fastener" not in body and body.keys() & SIZING_FIELDS:
        return f"It names no fastener, so it is a request to size. Did you mean: anchor-rulebook size {file}"
    return None


def refusal_lines(file: str, faults: Iterable[Fault], tip: str | None = None) -> tuple[str, ...]:
    """Put into words what is wrong with a request.

    Args:
        file: Where the request came from.
        faults: What is wrong.
        tip: What else may have been meant.

    Returns:
        The lines to print.
    """
    places = (f"  {fault.pointer or '#'}: {fault.detail}{_given(fault)} [{fault.code}]" for fault in faults)
    last = tip or "Correct these fields and run the command again."
    return (f"{_name(file)}: the request is refused.", *places, last)


def _given(fault: Fault) -> str:
    return "" if fault.given is None else f" (given: {fault.given})"


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
