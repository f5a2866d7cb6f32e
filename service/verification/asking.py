"""A request from its bytes to its answer, as the service has it, for callers without a web server."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Protocol

from marshmallow import Schema

from service.contract.faults import Refused, told
from service.contract.given import NOTHING
from service.contract.reading import checked, parse
from service.contract.resolution import UNPROCESSABLE, resolved, today
from service.rulebook import Rulebook
from service.rulebook.shelf import Shelf
from service.verification.refusal import RefusedRequest


class Calculation(Protocol):
    """Verification or sizing."""

    def __call__(
        self, request: Mapping[str, Any], rulebook: Rulebook, *, assessed_on_assumed: bool = False
    ) -> dict[str, Any]:
        """Answer a request."""


def ask(raw: bytes, schema: Schema, shelf: Shelf, calculate: Calculation) -> tuple[dict[str, Any], Rulebook]:
    """Read a request strictly, resolve its day and version, and answer it.

    Args:
        raw: The request as JSON.
        schema: Its schema.
        shelf: The versions to answer by.
        calculate: What answers it.

    Returns:
        The answer, and the rulebook that it was made by.

    Raises:
        Refused: The request is refused; each fault says what was given.
    """
    body: Any = NOTHING
    try:
        body = parse(raw)
        request, book, assumed = resolved(checked(schema, body), shelf, today)
        return calculate(request, book, assessed_on_assumed=assumed), book
    except Refused as refused:
        raise Refused(refused.status, told(refused.faults, body), refused.detail) from None
    except RefusedRequest as refused:
        raise Refused(UNPROCESSABLE, told(refused.faults, body)) from None
