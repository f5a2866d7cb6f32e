"""Verification and sizing of a new request, whose loads are first held against what their load models were told.

A record replays without that: what it says stays true of the loads it was made for. Sheets and as-built checks ask
anew.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from service import sizing, verification
from service.contract.coherence import without_nulls
from service.rulebook import Rulebook
from service.site.load_models.following import differing
from service.site.load_models.next_ones import left_out
from service.verification.refusal import Refusal, RefusedRequest


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
    answer = verification.verify(request, rulebook, assessed_on_assumed=assessed_on_assumed)
    refuse_left_out(request, answer, [request["positions"]])
    return answer


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
    answer = sizing.size(given, rulebook, assessed_on_assumed=assessed_on_assumed)
    refuse_left_out(given, answer, [choice["request"]["positions"] for choice in answer["choices"]])
    return answer


def refuse_differing(request: Mapping[str, Any], rulebook: Rulebook, place: str = "#") -> None:
    """Refuse a request whose loads are not those that its load models were told.

    Args:
        request: The request, its day resolved.
        rulebook: The rulebook that it is answered by.
        place: Where it stands in what was sent.

    Raises:
        RefusedRequest: They are not.
    """
    _refuse(differing(request, rulebook), place)


def refuse_left_out(
    request: Mapping[str, Any], answer: Mapping[str, Any], layouts: Sequence[Sequence[Any]], place: str = "#"
) -> None:
    """Refuse a request whose next fixings of the same kind stand where no other fastener was taken to.

    Args:
        request: The request.
        answer: Its answer.
        layouts: The positions of its fasteners, of each choice.
        place: Where it stands in what was sent.

    Raises:
        RefusedRequest: They do, and nobody named them.
    """
    _refuse(left_out(request, answer, layouts), place)


def _refuse(reasons: Iterable[Refusal], place: str) -> None:
    if placed := tuple(replace(one, pointer=f"{place}{one.pointer}") for one in reasons):
        raise RefusedRequest(*placed)
