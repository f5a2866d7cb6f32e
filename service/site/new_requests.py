"""Verification and sizing of a new request, whose loads are first held against what their load models were told.

A record replays without that: what it says stays true of the loads it was made for. Sheets and as-built checks ask
anew.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from service import sizing, verification
from service.contract.coherence import without_nulls
from service.rulebook import Rulebook
from service.site.load_models.following import differing
from service.verification.refusal import RefusedRequest


def verify(request: Mapping[str, Any], rulebook: Rulebook, *, assessed_on_assumed: bool = False) -> dict[str, Any]:
    """Verify the fixing of a new request.

    Args:
        request: The request as the contract reads it, its ``assessed_on`` resolved to a day.
        rulebook: The rulebook to use.
        assessed_on_assumed: Whether the caller filled in the day.

    Returns:
        The answer of the contract, with its record.

    Raises:
        RefusedRequest: It names something the rulebook does not know, or its loads are not those of its load models.
    """
    refuse_differing(request, rulebook)
    return verification.verify(request, rulebook, assessed_on_assumed=assessed_on_assumed)


def size(request: Mapping[str, Any], rulebook: Rulebook, *, assessed_on_assumed: bool = False) -> dict[str, Any]:
    """Size the fixing of a new request.

    Args:
        request: The sizing request as the contract reads it, its ``assessed_on`` resolved to a day.
        rulebook: The rulebook to use.
        assessed_on_assumed: Whether the caller filled in the day.

    Returns:
        The answer of the contract.

    Raises:
        RefusedRequest: As for ``verify``.
    """
    # A sizing has no record, so nothing hangs on how the request was written.
    given = without_nulls(request)
    refuse_differing(given, rulebook)
    return sizing.size(given, rulebook, assessed_on_assumed=assessed_on_assumed)


def refuse_differing(request: Mapping[str, Any], rulebook: Rulebook, place: str = "#") -> None:
    """Refuse a request whose loads are not those that its load models were told.

    Args:
        request: The request, its day resolved.
        rulebook: The rulebook that it is answered by.
        place: Where it stands in what was sent.

    Raises:
        RefusedRequest: They are not.
    """
    if reasons := tuple(replace(one, pointer=f"{place}{one.pointer}") for one in differing(request, rulebook)):
        raise RefusedRequest(*reasons)
