"""What pulls to failure need before they give a resistance: number, bridge, cured resin, sound readings, scatter."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from service.contract import wanted
from service.contract.verification_codes import Curing, Mechanism, PullRequirementCode
from service.verification.fixing import N_PER_KN
from service.verification.pulls.fastener import ultimate_n, yield_n
from service.verification.pulls.statistics import Pull, Statistics
from service.verification.requirements import Requirement
from service.verification.selection import Selection
from service.verification.tolerance import reaches_mm
from service.words import Value

RULES = "factors/site-tests#"
CURES = ("bonded",)
"""Mechanisms that hold only once their resin has cured."""
RELATIVE_TOLERANCE = 1e-3
"""A load is reached, and not exceeded, to a thousandth, which is finer than a gauge is read."""


def requirements_of_pulls(
    tests: wanted.AllowableTests,
    selection: Selection,
    rules: Mapping[str, Any],
    pulls: Sequence[Pull],
    statistics: Statistics | None,
) -> Iterator[Requirement]:
    """What pulls to failure need before they give a resistance, wherever it is used.

    Args:
        tests: The tests of a request.
        selection: The pulled fastener.
        rules: The rulebook's rules of site tests.
        pulls: The pulls, with their loads (N).
        statistics: What follows from them, None where they are too few.

    Yields:
        The requirements, each of them decisive.
    """
    asked, loading = rules["allowable_tests"], rules["loading"]
    mechanism, number = selection.family["mechanism"], sum(pull.failed for pull in pulls)
    yield for_mechanism(mechanism, rules, decisive=True)
    least = int(asked["number_min"])
    yield Requirement(
        PullRequirementCode.SITE_TEST_NUMBER,
        number >= least,
        {"failed": number, "failed_min": least},
        f"{RULES}/allowable_tests/number_min",
        decisive=True,
    )
    support = float(loading["support_factor_allowable"]) * tests.fastener.embedment_mm
    yield Requirement(
        PullRequirementCode.SITE_TEST_SUPPORT,
        reaches_mm(tests.support_distance_mm, support),
        {"support_mm": tests.support_distance_mm, "support_min_mm": support},
        f"{RULES}/loading/support_factor_allowable",
        decisive=True,
    )
    if mechanism in CURES:
        yield cured(tests.curing_over, decisive=True)
    yield from _of_steel(selection, pulls)
    if statistics is not None:
        yield from _of_scatter(statistics, asked)


def cured(over: bool | None, *, decisive: bool = False) -> Requirement:
    """Whether the resin had cured before the pulls.

    Args:
        over: Whether the curing time was over, None where the request does not say.
        decisive: Whether a resistance hangs on it.

    Returns:
        The requirement.
    """
    said = {True: Curing.OVER, False: Curing.NOT_OVER, None: Curing.NOT_SAID}[over]
    return Requirement(PullRequirementCode.SITE_TEST_CURED, said is Curing.OVER, {"curing": said}, decisive=decisive)


def for_mechanism(mechanism: str, rules: Mapping[str, Any], *, decisive: bool = False) -> Requirement:
    """Whether the rulebook takes resistances from site tests for a mechanism.

    Args:
        mechanism: Mechanism of the pulled fastener.
        rules: The rulebook's rules of site tests.
        decisive: Whether a resistance hangs on it.

    Returns:
        The requirement.
    """
    allowed = tuple(Mechanism(name) for name in sorted(rules["mechanisms"]))
    figures: dict[str, Value] = {"mechanism": Mechanism(mechanism), "allowed": allowed}
    rule = f"{RULES}/mechanisms"
    return Requirement(PullRequirementCode.SITE_TEST_MECHANISM, mechanism in allowed, figures, rule, decisive=decisive)


def _of_steel(selection: Selection, pulls: Sequence[Pull]) -> Iterator[Requirement]:
    most = ultimate_n(selection)
    least = min(most, yield_n(selection))
    if math.isfinite(most):
        too_high = [pull for pull in pulls if pull.load_n > most * (1.0 + RELATIVE_TOLERANCE)]
        worst = max((pull.load_n for pull in pulls), default=0.0)
        yield Requirement(
            PullRequirementCode.SITE_TEST_READING,
            not too_high,
            {"load_kn": worst / N_PER_KN, "steel_kn": most / N_PER_KN, "pulls": _names(too_high)},
            decisive=True,
        )
    broken = [pull for pull in pulls if pull.failure == "steel"]
    if broken and math.isfinite(least):
        weak = [pull for pull in broken if pull.load_n < least * (1.0 - RELATIVE_TOLERANCE)]
        load_n = min(pull.load_n for pull in broken)
        yield Requirement(
            PullRequirementCode.SITE_TEST_STEEL,
            not weak,
            {"load_kn": load_n / N_PER_KN, "yield_kn": least / N_PER_KN, "pulls": _names(weak)},
            decisive=True,
        )


def _names(pulls: Sequence[Pull]) -> tuple[str, ...]:
    return tuple(pull.name for pull in pulls)


def _of_scatter(statistics: Statistics, asked: Mapping[str, Any]) -> Iterator[Requirement]:
    most = float(asked["variation_max"])
    variation = statistics.spread.variation
    yield Requirement(
        PullRequirementCode.SITE_TEST_SCATTER,
        variation <= most,
        {"variation": variation, "variation_max": most},
        f"{RULES}/allowable_tests/variation_max",
        decisive=True,
    )
    if variation <= most:
        # Without a number, as another requirement may be what keeps the pulls from giving one.
        yield Requirement(PullRequirementCode.SITE_TEST_ABOVE_ZERO, statistics.characteristic_n > 0.0, decisive=True)
