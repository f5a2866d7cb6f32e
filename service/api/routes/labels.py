"""Labels, and the site reduction explained."""

from typing import Any

from service.api.operations import Call, Operation
from service.contract import labels as shapes
from service.contract.coherence import without_nulls
from service.site.labels import reading as labels
from service.site.labels import site_improvements

TAG = "Loads and labels"


def read_label(call: Call) -> dict[str, Any]:
    """Read the label of a call.

    Args:
        call: The call, with a label as its body.

    Returns:
        The answer.
    """
    request, rulebook, _ = call.resolved()
    return labels.read_label(without_nulls(request), rulebook)


def explain_site_reduction(call: Call) -> dict[str, Any]:
    """Explain the site reduction of a call.

    Args:
        call: The call, with a site as its body.

    Returns:
        The answer.
    """
    request, rulebook, _ = call.resolved()
    return site_improvements.explained(without_nulls(request), rulebook)


OPERATIONS = (
    Operation(
        method="POST",
        path="/v1/labels",
        name="readLabel",
        summary="What does a label allow, when it is all that is known?",
        description=(
            "Says what each load on a label or data sheet means, turns it into a permissible service load by the "
            "rulebook's divisors, takes the site reduction off, and lists what a label alone cannot answer. A figure "
            "that is void gives no number. It is no verification, and no record is made of it."
        ),
        tag=TAG,
        view=read_label,
        body=shapes.LabelRequest,
        examples={
            "frame_fixing": {"summary": "Nylon frame fixing with a laboratory load", "value": shapes.FRAME_FIXING},
            "old_box": {"summary": "A figure on a box, and nothing else", "value": shapes.OLD_BOX},
            "old_box_looked_at": {
                "summary": "The same after a look at the box: concrete, and its own screw",
                "value": shapes.OLD_BOX_LOOKED_AT,
            },
            "own_screw": {"summary": "The same frame fixing with another screw", "value": shapes.OWN_SCREW},
        },
        answer=shapes.LabelAnswer,
    ),
    Operation(
        method="POST",
        path="/v1/site-reductions",
        name="explainSiteReduction",
        summary="What does the site cost, and what would gain most?",
        description=(
            "Gives each site condition's factor with its reason, and what each would gain if it alone were brought to "
            "its best value, the one that gains most first."
        ),
        tag=TAG,
        view=explain_site_reduction,
        body=shapes.SiteReductionRequest,
        examples={"by_feel": {"summary": "Tightened by feel, all else at its best", "value": shapes.BY_FEEL}},
        answer=shapes.SiteReductionAnswer,
    ),
)
