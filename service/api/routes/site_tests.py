"""Site tests: how many to pull and how hard, and what the pulls prove."""

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from service.api.operations import Call, bound
from service.contract.coherence import without_nulls
from service.contract.site_tests import PATHS
from service.rulebook import Rulebook
from service.site.pulls.assessments import assess
from service.site.pulls.plans import plan
from service.verification.answer import cautions_of_rules


def plan_site_tests(call: Call) -> dict[str, Any]:
    """Plan the site tests of a call."""
    return _with_cautions_of_rules(call, plan)


def assess_site_tests(call: Call) -> dict[str, Any]:
    """Assess the pulls of a call."""
    return _with_cautions_of_rules(call, assess)


def _with_cautions_of_rules(
    call: Call, work: Callable[[Mapping[str, Any], Rulebook], dict[str, Any]]
) -> dict[str, Any]:
    """Plan or assess, and say what is suspended or superseded of the rules for the fasteners concerned."""
    request, rulebook, _ = call.resolved()
    asked = without_nulls(request)
    answer = work(asked, rulebook)
    return answer | {"cautions": answer["cautions"] + cautions_of_rules(rulebook, *_fasteners(asked))}


def _fasteners(request: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """Family and size of each fastener that is or was pulled."""
    for name in ("lots", "proof", "allowable_resistance"):
        tests = request.get(name, ())
        for test in (tests,) if isinstance(tests, Mapping) else tests:
            yield test["fastener"]["family"], test["fastener"]["size"]


OPERATIONS = bound(
    PATHS,
    {"planSiteTests": plan_site_tests, "assessSiteTests": assess_site_tests},
)
