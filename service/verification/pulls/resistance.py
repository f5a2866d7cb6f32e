"""A resistance from pulls on site: what the pulls are worth, and where that holds.

The method of EN 1992-4 is for concrete. In a base material that nobody has data for, pulls to failure at the place
itself give a characteristic resistance of one fastener, as a lower fractile with its confidence; the rulebook says how
many pulls, how much scatter, what factor, and how far the result reaches. A verification recomputes it from the pulls.
"""

from __future__ import annotations

import hashlib
from dataclasses import asdict, dataclass
from datetime import date
from typing import Any

from service.contract import wanted
from service.contract.fields import UNKNOWN
from service.rulebook import Rulebook
from service.rulebook.canonical import canonical
from service.verification.pulls.fastener import pulled_fastener
from service.verification.pulls.gauge import Accuracy, accuracy_of, loads_measured
from service.verification.pulls.reach import CRACKED, Reach, reach_of
from service.verification.pulls.requirements import requirements_of_pulls
from service.verification.pulls.statistics import Pull, Statistics, statistics_of
from service.verification.refusal import Refusal, RefusedRequest
from service.verification.requirements import Requirement
from service.verification.selection import Selection


@dataclass(frozen=True, slots=True)
class SiteTest:
    """Allowable-resistance tests, and what follows from them; ``statistics`` is None where nothing does."""

    id: str
    reference: str | None
    selection: Selection
    pulls: tuple[Pull, ...]
    requirements: tuple[Requirement, ...]
    statistics: Statistics | None
    partial_factor: float
    reach: Reach
    accuracy: Accuracy

    @property
    def origin(self) -> str:
        """Where the resistance comes from, in one word."""
        return "site_test"

    @property
    def number_of_pulls(self) -> int:
        """How many pulls there are."""
        return len(self.pulls)

    @property
    def number(self) -> int:
        """How many pulls ended in failure of the base material."""
        return sum(pull.failed for pull in self.pulls)

    @property
    def characteristic_n(self) -> float | None:
        """Characteristic resistance of one fastener (N), None where the pulls give none."""
        met = all(requirement.met for requirement in self.requirements)
        return self.statistics.characteristic_n if self.statistics is not None and met else None


def content_id(tests: wanted.AllowableTests) -> str:
    """``sha256:`` and the SHA-256 of the RFC 8785 form of the tests as given; what is null counts as left out."""
    return f"sha256:{hashlib.sha256(canonical(asdict(tests, dict_factory=_given))).hexdigest()}"


def _given(fields: list[tuple[str, Any]]) -> dict[str, Any]:
    """What a request gives of an object: no default of the tests is a value that a request could give."""
    given = {name: value for name, value in fields if value is not None and value != ()}
    return {name: value.isoformat() if isinstance(value, date) else value for name, value in given.items()}


def read_site_test(tests: wanted.AllowableTests, rulebook: Rulebook, place: str) -> SiteTest:
    """What allowable-resistance tests are worth under a rulebook.

    Args:
        tests: The tests of a request.
        rulebook: The rulebook.
        place: Where they stand in the request, as a JSON pointer.

    Returns:
        The resistance with its reach, or what keeps the pulls from giving one.

    Raises:
        RefusedRequest: For a family, size or embedment that the rulebook has not, or a gauge that proves nothing.
    """
    rules = rulebook.factors["site-tests"]
    selection = pulled_fastener(tests.fastener, rulebook, place)
    _check_drilling(tests.drilling, rulebook, f"{place}/drilling")
    loads = loads_measured(tests.gauge, tests.tested_on, tests.pulls, rules, place)
    # A resistance rests on the least that each reading may stand for.
    pulls = tuple(
        Pull(pull.name, load.least_n, pull.failure, _crack_mm(pull))
        for pull, load in zip(tests.pulls, loads, strict=True)
    )
    number = sum(pull.failed for pull in pulls)
    enough = number >= rules["allowable_tests"]["number_min"]
    statistics = statistics_of(pulls, selection, rules) if enough else None
    return SiteTest(
        id=content_id(tests),
        reference=tests.reference,
        selection=selection,
        pulls=pulls,
        requirements=tuple(requirements_of_pulls(tests, selection, rules, pulls, statistics)),
        statistics=statistics,
        partial_factor=float(rules["allowable_tests"]["partial_factor"]),
        reach=reach_of(tests, selection, rules, pulls),
        accuracy=accuracy_of(tests.gauge, rules),
    )


def _crack_mm(pull: wanted.PullToFailure) -> float:
    # A crack that nobody measured is no crack of the width that a pull in cracked concrete needs.
    return pull.crack_width_mm or 0.0 if pull.concrete_state == CRACKED else 0.0


def _check_drilling(drilling: str, rulebook: Rulebook, place: str) -> None:
    # Unknown would be the same as unknown: whoever sets the fixing has to know how the holes of the tests were made.
    known = [
        name for name in rulebook.factors["site-conditions"]["conditions"]["drilling"]["values"] if name != UNKNOWN
    ]
    if drilling not in known:
        words = f"must be one of {', '.join(known)}"
        raise RefusedRequest(Refusal(place, "not_allowed", words, {"allowed": list(known)}))
