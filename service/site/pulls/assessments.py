"""Assessment of pulls on site, of either kind."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from service.rulebook import Rulebook
from service.site.pulls.allowable_assessments import assess_allowable
from service.site.pulls.cautions import shown_cautions
from service.site.pulls.plans import STANDARDS
from service.site.pulls.proof_assessments import assess_proof
from service.verification.answer import rulebook_identity
from service.verification.refusal import Refusal, RefusedRequest


def assess(request: Mapping[str, Any], rulebook: Rulebook) -> dict[str, Any]:
    """Assess pulls on site.

    Args:
        request: An assessment request with ``allowable_resistance`` or ``proof``, without nulls, its ``assessed_on``
            resolved to a day.
        rulebook: The rulebook.

    Returns:
        The answer of the contract.

    Raises:
        RefusedRequest: For a fastener that the rulebook has not, a gauge that proves nothing, or pulls of a day that
            is yet to come.
    """
    allowable = proof = None
    day = date.fromisoformat(request["assessed_on"])
    kind = "proof" if "proof" in request else "allowable_resistance"
    _check_day(request[kind]["tested_on"], day, f"#/{kind}/tested_on")
    if kind == "proof":
        proof, cautions = assess_proof(request["proof"], rulebook)
    else:
        allowable, cautions = assess_allowable(request["allowable_resistance"], rulebook, day)
    return {
        "allowable_resistance": allowable,
        "proof": proof,
        "cautions": shown_cautions(rulebook, iter(cautions)),
        "standards": [dict(standard) for standard in STANDARDS],
        "rulebook": rulebook_identity(rulebook),
        "assessed_on": request["assessed_on"],
    }


def _check_day(tested_on: str, assessed_on: date, place: str) -> None:
    if date.fromisoformat(tested_on) > assessed_on:
        words = f"must not be after the day of the assessment, {assessed_on.isoformat()}: those pulls are yet to come"
        raise RefusedRequest(Refusal(place, "not_allowed", words))
