"""What to pull on site: proof tests of lots, and allowable-resistance tests where nobody has data."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import chain
from typing import Any

from service.rulebook import Rulebook
from service.site.pulls.allowable_plans import PlannedFailures
from service.site.pulls.cautions import shown_cautions
from service.site.pulls.loads_shown import gauge_of_plan
from service.site.pulls.proof_plans import PlannedLot
from service.verification.answer import rulebook_identity
from service.verification.pulls.evidence import of_gauge

STANDARDS = (
    {"code": "BS 8539", "edition": "2012+A1:2021", "used_for": "proof tests: how many, how hard, what a failure means"},
    {"code": "ISO 16269-6", "edition": "2014", "used_for": "one-sided tolerance factors of pulls to failure"},
)


def plan(request: Mapping[str, Any], rulebook: Rulebook) -> dict[str, Any]:
    """Plan site tests.

    Args:
        request: A plan request, its ``assessed_on`` resolved to a day, without nulls.
        rulebook: The rulebook.

    Returns:
        The answer of the contract.

    Raises:
        RefusedRequest: For a fastener that the rulebook has not, or a gauge that does not cover the loads.
    """
    gauge = gauge_of_plan(request.get("gauge"), request["assessed_on"], rulebook.factors["site-tests"])
    lots = [PlannedLot(lot, rulebook, f"#/lots/{i}") for i, lot in enumerate(request.get("lots", ()))]
    tests = [PlannedFailures(item, rulebook) for item in _placed(request.get("allowable_resistance", ()))]
    cautions = chain(
        *(lot.cautions() for lot in lots), *(test.cautions() for test in tests), of_gauge(gauge.accuracy)
    )
    return {
        "lots": [lot.shown(gauge) for lot in lots],
        "allowable_resistance": [test.shown(gauge) for test in tests],
        "cautions": shown_cautions(rulebook, cautions),
        "standards": [dict(standard) for standard in STANDARDS],
        "rulebook": rulebook_identity(rulebook),
        "assessed_on": request["assessed_on"],
    }


def _placed(items: Sequence[Mapping[str, Any]]) -> Iterator[tuple[str, Mapping[str, Any]]]:
    return ((f"#/allowable_resistance/{index}", item) for index, item in enumerate(items))
