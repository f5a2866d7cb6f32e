"""Sizing: which approved fixing should be used?"""

from typing import Any

from service import sizing
from service.api.operations import Call, Link, Operation
from service.contract.coherence import without_nulls
from service.contract.sizing import GUARDRAIL_POST_FREE_HOLES, PIPE_HANGER_FIXED_HOLES, SizingAnswer, SizingRequest


def size_fixing(call: Call) -> dict[str, Any]:
    """Size the fixing of a call.

    Args:
        call: The call, with a sizing request as its body.

    Returns:
        The answer.
    """
    request, rulebook, assumed = call.resolved()
    # A sizing has no record, so nothing hangs on how the request was written.
    return sizing.size(without_nulls(request), rulebook, assessed_on_assumed=assumed)


OPERATIONS = (
    Operation(
        method="POST",
        path="/v1/sizings",
        name="sizeFixing",
        summary="Which approved fixing should I use?",
        description=(
            "Searches the families of the rulebook for fixings that pass their checks under the load cases, and ranks "
            "them in the rulebook's selection order. Give positions if the holes are fixed, pattern if they are free. "
            "No choice is a normal answer. A sizing has no record: there is one once the request of a choice is posted "
            "to /v1/verifications, whose answer carries it."
        ),
        tag="Sizing",
        view=size_fixing,
        body=SizingRequest,
        examples={
            "free_holes": {
                "summary": "Guardrail post on a quay wall, holes free",
                "value": GUARDRAIL_POST_FREE_HOLES,
            },
            "fixed_holes": {
                "summary": "Pipe hanger under a slab, holes fixed",
                "value": PIPE_HANGER_FIXED_HOLES,
            },
        },
        answer=SizingAnswer,
        links=(
            Link(
                name="verificationOfTheBest",
                description="The best choice, verified; its answer has the same utilisation.",
                operation="verifyFixing",
                request_body="$response.body#/choices/0/request",
            ),
        ),
    ),
)
