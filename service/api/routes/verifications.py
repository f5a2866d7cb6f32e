"""Verification: does this fixing pass its checks?"""

from typing import Any

from service import verification
from service.api.operations import Call, Link, Operation
from service.contract.site_tests import PIPE_ON_UNKNOWN_WALL
from service.contract.verification import GUARDRAIL_POST, LEAST_GIVEN, VerificationAnswer, VerificationRequest


def verify_fixing(call: Call) -> dict[str, Any]:
    """Verify the fixing of a call.

    Args:
        call: The call, with a verification request as its body.

    Returns:
        The answer.
    """
    request, rulebook, assumed = call.resolved()
    return verification.verify(request, rulebook, assessed_on_assumed=assumed)


OPERATIONS = (
    Operation(
        method="POST",
        path="/v1/verifications",
        name="verifyFixing",
        summary="Does this fixing pass its checks?",
        description=(
            "Verifies one fixing under each of its load cases by EN 1992-4 and the rulebook. A fixing that fails a "
            "check is not an error: the answer is 200 with its verdict. Calculation is pure, so any request may be "
            "sent again."
        ),
        tag="Verification",
        view=verify_fixing,
        body=VerificationRequest,
        examples={
            "guardrail_post": {
                "summary": "Guardrail post on a quay wall, four bolts",
                "value": GUARDRAIL_POST,
            },
            "site_test": {
                "summary": "Pipe bracket on a wall that nobody has data for, by pulls on site",
                "value": PIPE_ON_UNKNOWN_WALL,
            },
            "least_given": {"summary": "The least that may be given", "value": LEAST_GIVEN},
        },
        answer=VerificationAnswer,
        links=(
            Link(
                name="rulebookOfTheAnswer",
                description="The rulebook that the answer was made with.",
                operation="getRulebook",
                parameters={"version": "$response.body#/rulebook/version"},
            ),
        ),
    ),
)
