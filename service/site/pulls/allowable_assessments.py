"""What pulls to failure are worth: the resistance with its origin and reach, or the reasons why there is none."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import date
from typing import Any

from service.contract import wanted
from service.contract.coherence import without_nulls
from service.contract.pulls import SiteTestOrigin
from service.contract.site_test_codes import SiteTestCautionCode
from service.contract.verification_codes import PullRequirementCode
from service.contract.writing import writer
from service.engine import failure_loads
from service.rulebook import Rulebook
from service.site.pulls.pulling import pulling_of
from service.verification.fixing import N_PER_KN
from service.verification.pulls.evidence import cautions_of_site_test, of_gauge
from service.verification.pulls.reach import UNCRACKED, young_enough
from service.verification.pulls.resistance import SiteTest, read_site_test
from service.verification.pulls.statistics import LOG_NORMAL, Pull, Statistics, statistics_of
from service.verification.statements import rounded, shown_requirement
from service.words import Statement

PLACE = "#/allowable_resistance"
OF_THE_LOADS = (
    PullRequirementCode.SITE_TEST_NUMBER,
    PullRequirementCode.SITE_TEST_SCATTER,
    PullRequirementCode.SITE_TEST_ABOVE_ZERO,
)
HOW = {
    "pull_out": "failure load: the fastener came out",
    "concrete_cone": "failure load: a cone broke out",
    "splitting": "failure load: the base material split",
    "unit_pull_out": "failure load: the brick or block came out",
    "moved": "failure load: stopped because it moved or the load dropped",
    "steel": "lower bound: the steel ended the pull, the base material held more",
    "none": "lower bound: the pull was stopped before the base material failed",
}
WITHOUT = (
    "For information only. Nothing is dropped from the result. A pull may be left out only where its cause is found "
    "and explained, such as a hole that hit a joint or a bridge that slipped, and where the engineer agrees; then the "
    "tests are assessed anew without it, and the explanation stays with them."
)
LOG_NORMAL_WORDS = (
    "Failure loads cannot be below 0 and scatter in proportion to their size, so the log-normal distribution is the "
    "usual choice; a few pulls cannot tell it from the normal one."
)


def assess_allowable(
    tests: Mapping[str, Any], rulebook: Rulebook, day: date
) -> tuple[dict[str, Any], tuple[Statement, ...]]:
    """Assess pulls to failure.

    Args:
        tests: Allowable-resistance tests.
        rulebook: The rulebook.
        day: Day of the assessment, not before that of the pulls.

    Returns:
        Their part of the answer, and its cautions.

    Raises:
        RefusedRequest: For a fastener that the rulebook has not, or a gauge that proves nothing.
    """
    test = read_site_test(wanted.made(wanted.AllowableTests, tests), rulebook, PLACE)
    test = replace(test, requirements=(*test.requirements, young_enough(test.reach, day)))
    rules = rulebook.factors["site-tests"]
    outlying = _outliers(test, float(rules["allowable_tests"]["outlier_significance"]))
    resistance = test.characteristic_n
    return {
        "verdict": "no_resistance" if resistance is None else "resistance",
        "site_test": None if resistance is None else {"id": test.id, "tests": without_nulls(tests)},
        "origin": writer(SiteTestOrigin)(test),
        "design_resistance_kn": None if resistance is None else _kn(resistance / test.partial_factor),
        "pulls": [_shown_pull(pull) for pull in test.pulls],
        "statistics": None if test.statistics is None else _statistics(test.statistics, rules, resistance is not None),
        "outliers": [_shown_outlier(pull, outlier) for pull, outlier in outlying],
        "without_outliers": _without(test, {pull.name for pull, _ in outlying}, rules) if outlying else None,
        "requirements": [shown_requirement(requirement) for requirement in test.requirements],
    }, (*_cautions(test, bool(outlying), rulebook), *of_gauge(test.accuracy))


def _kn(value_n: float) -> float:
    return rounded(value_n / N_PER_KN)


def _shown_pull(pull: Pull) -> dict[str, Any]:
    return {
        "name": pull.name,
        "load_kn": _kn(pull.load_n),
        "failure": pull.failure,
        "counted": pull.failed,
        "text": HOW[pull.failure] + (f", in a crack of {pull.crack_mm:g} mm" if pull.crack_mm else ""),
    }


def _statistics(statistics: Statistics, rules: Mapping[str, Any], gives: bool) -> dict[str, Any]:
    asked = rules["allowable_tests"]
    return {
        "mean_kn": _kn(statistics.spread.mean_n),
        "deviation_kn": _kn(statistics.spread.deviation_n),
        "variation": rounded(statistics.spread.variation),
        "content": rounded(float(asked["content"])),
        "confidence": rounded(float(asked["confidence"])),
        "tolerance_factor": rounded(statistics.tolerance_factor),
        "normal_kn": _kn(statistics.normal_n) if gives else None,
        "log_normal_kn": _kn(statistics.log_normal_n) if gives else None,
        "distribution": statistics.distribution,
        "distribution_reason": _reason(statistics, asked["distribution"]),
        "variation_factor": rounded(statistics.variation_factor),
        "mechanism_factor": rounded(statistics.mechanism_factor),
        "before_cap_kn": _kn(statistics.before_cap_n) if gives else None,
        "steel_kn": _kn(statistics.steel_n),
        "capped": gives and statistics.before_cap_n > statistics.steel_n,
    }


def _reason(statistics: Statistics, wanted: str) -> str:
    name = "log-normal" if statistics.distribution == LOG_NORMAL else "normal"
    if wanted == statistics.distribution:
        return f"The rulebook takes the {name} distribution. {LOG_NORMAL_WORDS}"
    return f"{LOG_NORMAL_WORDS} The rulebook takes the lesser result of both, which is that of the {name} one."


def _outliers(test: SiteTest, significance: float) -> list[tuple[Pull, failure_loads.Outlier]]:
    failed = [pull for pull in test.pulls if pull.failed]
    outliers = failure_loads.outliers([pull.load_n for pull in failed], significance)
    return [(failed[outlier.index], outlier) for outlier in outliers]


def _shown_outlier(pull: Pull, outlier: failure_loads.Outlier) -> dict[str, Any]:
    return {
        "name": pull.name,
        "load_kn": _kn(pull.load_n),
        "statistic": rounded(outlier.statistic),
        "limit": rounded(outlier.limit),
    }


def _without(test: SiteTest, names: set[str], rules: Mapping[str, Any]) -> dict[str, Any]:
    asked = rules["allowable_tests"]
    left = tuple(pull for pull in test.pulls if pull.name not in names)
    number = sum(pull.failed for pull in left)
    statistics = statistics_of(left, test.selection, rules) if number >= int(asked["number_min"]) else None
    others_met = all(r.met for r in test.requirements if r.code not in OF_THE_LOADS)
    even = statistics is not None and statistics.spread.variation <= float(asked["variation_max"])
    positive = statistics is not None and statistics.characteristic_n > 0.0
    gives = statistics is not None and others_met and even and positive
    return {
        "number_of_tests": number,
        "variation": None if statistics is None else rounded(statistics.spread.variation),
        "characteristic_resistance_kn": _kn(statistics.characteristic_n) if statistics is not None and gives else None,
        "text": WITHOUT,
    }


def _cautions(test: SiteTest, outlying: bool, rulebook: Rulebook) -> Iterator[Statement]:
    if test.characteristic_n is not None:
        yield next(iter(cautions_of_site_test(test)))
    if any(not pull.failed for pull in test.pulls):
        yield Statement(SiteTestCautionCode.BOUNDS_NOT_COUNTED)
    least = min((pull.load_n for pull in test.pulls if pull.failed), default=0.0)
    early = tuple(pull.name for pull in test.pulls if pull.too_early(least))
    if early:
        yield Statement(SiteTestCautionCode.STOPPED_TOO_EARLY, {"pulls": early, "least_kn": least / N_PER_KN})
    if len({pull.failure for pull in test.pulls if pull.failed}) > 1:
        yield Statement(SiteTestCautionCode.FAILURES_DIFFER)
    if test.reach.concrete_state == UNCRACKED:
        yield Statement(SiteTestCautionCode.UNCRACKED_ONLY)
    if test.statistics is not None and test.statistics.measured_variation < test.statistics.spread.variation:
        figures = {
            "measured": test.statistics.measured_variation,
            "counted": test.statistics.spread.variation,
        }
        yield Statement(SiteTestCautionCode.SCATTER_SMALL, figures)
    if outlying:
        yield Statement(SiteTestCautionCode.OUTLIER_STAYS)
    pulling = pulling_of(test.selection, test.reach.embedment_mm, rulebook)
    limit = pulling.limit_n
    # A reading beyond what the steel bears was misread: it is asked for again, and condemns nothing.
    readable = [pull.load_n for pull in test.pulls if not pulling.beyond_steel(pull.load_n)]
    if limit is not None and any(load_n > limit for load_n in readable):
        yield Statement(SiteTestCautionCode.LOADED_BEYOND_STEEL, {"load_max_kn": limit / N_PER_KN})
