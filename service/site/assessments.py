"""Assessment of pulls on site, of either kind."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.rulebook import Rulebook
from service.site.allowable_tests import assess_allowable
from service.site.plans import STANDARDS
from service.site.proof_assessments import assess_proof
from service.site.pulling import shown_cautions
from service.verification.answer import rulebook_identity


def assess(request: Mapping[str, Any], rulebook: Rulebook) -> dict[str, Any]:
    """Assess pulls on site.

    Args:
        request: An assessment request with ``allowable_resistance`` or ``proof``, without nulls, its ``assessed_on``
            resolved to a day.
        rulebook: The rulebook.

    Returns:
        The answer of the contract.

    Raises:
        RefusedRequest: For a fastener that the rulebook has not, or a gauge that proves nothing.
    """
    allowable = proof = None
    if "proof" in request:
        proof, cautions = assess_proof(request["proof"], rulebook)
    else:
        allowable, cautions = assess_allowable(request["allowable_resistance"], rulebook)
    return {
        "allowable_resistance": allowable,
        "proof": proof,
        "cautions": shown_cautions(rulebook, iter(cautions)),
        "standards": [dict(standard) for standard in STANDARDS],
        "rulebook": rulebook_identity(rulebook),
        "assessed_on": request["assessed_on"],
    }
