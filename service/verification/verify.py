"""Verification of a request under a rulebook."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.contract import wanted
from service.rulebook import Rulebook
from service.verification.answer import build
from service.verification.assessor import Assessor
from service.verification.record import record_of


def verify(request: Mapping[str, Any], rulebook: Rulebook, *, assessed_on_assumed: bool = False) -> dict[str, Any]:
    """Verify the fixing of a request: EN 1992-4 for the mechanics, the rulebook for every figure.

    Args:
        request: The request as the contract reads it, its ``assessed_on`` resolved to a day; no defaults filled in.
        rulebook: The rulebook to use.
        assessed_on_assumed: Whether the caller filled in the day, which then shows among the assumptions.

    Returns:
        The answer of the contract, with its record.

    Raises:
        RefusedRequest: When the request names something the rulebook does not know.
    """
    fixing = wanted.made(wanted.Verification, request)
    answer = build(Assessor(fixing, rulebook, assessed_on_assumed=assessed_on_assumed).outcome())
    resolved = {**request, "rulebook": rulebook.version}
    answer["record"] = record_of(resolved, answer, rulebook.digest)
    return answer
