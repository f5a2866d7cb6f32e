"""Site tests: how many to pull and how hard, and what the pulls prove."""

from collections.abc import Iterator, Mapping
from typing import Any

from service.api.operations import Call, Link, Operation
from service.contract import site_tests as shapes
from service.contract.coherence import without_nulls
from service.site.pulls.assessments import assess
from service.site.pulls.plans import plan
from service.verification.answer import cautions_of_rules


def plan_site_tests(call: Call) -> dict[str, Any]:
    """Plan the site tests of a call.

    Args:
        call: The call, with a plan request as its body.

    Returns:
        The answer.
    """
    request, rulebook, _ = call.resolved()
    asked = without_nulls(request)
    answer = plan(asked, rulebook)
    return answer | {"cautions": answer["cautions"] + cautions_of_rules(rulebook, *_fasteners(asked))}


def assess_site_tests(call: Call) -> dict[str, Any]:
    """Assess the pulls of a call.

    Args:
        call: The call, with an assessment request as its body.

    Returns:
        The answer.
    """
    request, rulebook, _ = call.resolved()
    asked = without_nulls(request)
    answer = assess(asked, rulebook)
    return answer | {"cautions": answer["cautions"] + cautions_of_rules(rulebook, *_fasteners(asked))}


def _fasteners(request: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """Family and size of each fastener that is or was pulled."""
    for name in ("lots", "proof", "allowable_resistance"):
        tests = request.get(name, ())
        for test in (tests,) if isinstance(tests, Mapping) else tests:
            yield test["fastener"]["family"], test["fastener"]["size"]


OPERATIONS = (
    Operation(
        method="POST",
        path="/v1/site-tests/plans",
        name="planSiteTests",
        summary="How many to pull on site, and how hard?",
        description=(
            "Plans proof tests of lots: how many fasteners, which ones, how hard, how long, and what a failure means; "
            "and allowable-resistance tests in a base material that nobody has data for: how many pulls, where, and "
            "what more of them would gain. The draw can be repeated by anybody: the same seed draws the same fasteners."
        ),
        tag="Site tests",
        view=plan_site_tests,
        body=shapes.SiteTestPlanRequest,
        examples={
            "proof": {"summary": "Proof tests of a guardrail on a quay wall", "value": shapes.LOTS},
            "allowable": {"summary": "Pulls to failure in a wall that nobody knows", "value": shapes.UNKNOWN_WALL},
        },
        answer=shapes.SiteTestPlanAnswer,
    ),
    Operation(
        method="POST",
        path="/v1/site-tests/assessments",
        name="assessSiteTests",
        summary="What do the pulls prove?",
        description=(
            "Assesses pulls on site. Pulls to failure become a characteristic resistance of one fastener by a "
            "one-sided tolerance factor, with the rulebook's limits of number and scatter; outliers are named and stay"
            " in the result. It may be used by a verification, marked with its origin and only within its reach. Proof"
            " tests show whether a lot stands, and what failures ask for. Pulls that give no resistance are no error: "
            "the answer is 200 and says why."
        ),
        tag="Site tests",
        view=assess_site_tests,
        body=shapes.SiteTestAssessmentRequest,
        examples={
            "sound": {"summary": "Seven sound pulls to failure", "value": shapes.SOUND_PULLS},
            "outlier": {"summary": "Seven pulls, one of them standing out", "value": shapes.PULLS_WITH_AN_OUTLIER},
            "scatter": {"summary": "Seven pulls that scatter too much", "value": shapes.PULLS_THAT_SCATTER},
            "proof": {"summary": "Proof tests of a guardrail", "value": shapes.PROVEN_LOT},
        },
        answer=shapes.SiteTestAssessmentAnswer,
        links=(
            Link(
                name="rulebookOfTheAssessment",
                description="The rulebook that the pulls were assessed with.",
                operation="getRulebook",
                parameters={"version": "$response.body#/rulebook/version"},
            ),
        ),
    ),
)
