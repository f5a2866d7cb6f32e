"""What pulls to failure need before they give a resistance: number, bridge, cured resin, sound readings, scatter."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from service.verification.fixing import N_PER_KN
from service.verification.pulls.fastener import ultimate_n, yield_n
from service.verification.pulls.statistics import Pull, Statistics
from service.verification.requirements import Requirement
from service.verification.selection import Selection
from service.verification.tolerance import reaches_mm

RULES = "factors/site-tests#"
CURES = ("bonded",)
"""Mechanisms that hold only once their resin has cured."""
RELATIVE_TOLERANCE = 1e-3
"""A load is reached, and not exceeded, to a thousandth, which is finer than a gauge is read."""


def requirements_of_pulls(
    tests: Mapping[str, Any],
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
    yield Requirement(
        "site_test_mechanism", mechanism in rules["mechanisms"],
        f"a resistance may come from site tests for: {', '.join(sorted(rules['mechanisms']))}",
        mechanism, ", ".join(sorted(rules["mechanisms"])), None, f"{RULES}/mechanisms", decisive=True,
    )  # fmt: skip
    least = int(asked["number_min"])
    yield Requirement(
        "site_test_number", number >= least,
        f"at least {least} pulls ended in failure of the base material; pulls stopped before, or ended by the steel, "
        "are lower bounds and do not count",
        number, least, None, f"{RULES}/allowable_tests/number_min", decisive=True,
    )  # fmt: skip
    support = float(loading["support_factor_allowable"]) * float(tests["fastener"]["embedment_mm"])
    yield Requirement(
        "site_test_support", reaches_mm(tests["support_distance_mm"], support),
        f"the feet of the bridge stood at least {support:g} mm from the fastener, so that they did not hold down what "
        "would have broken out",
        tests["support_distance_mm"], support, "mm", f"{RULES}/loading/support_factor_allowable", decisive=True,
    )  # fmt: skip
    if mechanism in CURES:
        yield cured(tests, decisive=True)
    yield from _of_steel(selection, pulls)
    if statistics is not None:
        yield from _of_scatter(statistics, asked)


def cured(tests: Mapping[str, Any], *, decisive: bool = False) -> Requirement:
    """Whether the resin had cured before the pulls.

    Args:
        tests: Tests of either kind.
        decisive: Whether a resistance hangs on it.

    Returns:
        The requirement.
    """
    over = tests.get("curing_over")
    words = "the curing time of the resin, at the temperature that the base material had, was over before every pull"
    if not over:
        words += "; a pull before harms the bond: set other fasteners, let them cure, pull those, and say curing_over"
    given_words = "not known" if over is None else "over" if over else "not over"
    return Requirement(
        "site_test_cured", bool(over), words, given_words, "over", None, None, decisive=decisive
    )  # fmt: skip


def _of_steel(selection: Selection, pulls: Sequence[Pull]) -> Iterator[Requirement]:
    most = ultimate_n(selection)
    least = min(most, yield_n(selection))
    if math.isfinite(most):
        too_high = [pull for pull in pulls if pull.load_n > most * (1.0 + RELATIVE_TOLERANCE)]
        worst = max((pull.load_n for pull in pulls), default=0.0)
        yield Requirement(
            "site_test_reading", not too_high,
            f"no reading lies above {most / N_PER_KN:.4g} kN, which the steel of the fastener bears"
            + (f": {_names(too_high)} cannot be right; have the gauge and its table looked at, and pull anew"
               if too_high else ""),
            worst / N_PER_KN, most / N_PER_KN, "kN", None, decisive=True,
        )  # fmt: skip
    broken = [pull for pull in pulls if pull.failure == "steel"]
    if broken and math.isfinite(least):
        weak = [pull for pull in broken if pull.load_n < least * (1.0 - RELATIVE_TOLERANCE)]
        yield Requirement(
            "site_test_steel", not weak,
            f"steel gave way nowhere below {least / N_PER_KN:.4g} kN, at which it may yield"
            + (f": that of {_names(weak)} did, so it is not the fastener that the rulebook knows; set none of "
               "the delivery, and ask its maker" if weak else ""),
            min(pull.load_n for pull in broken) / N_PER_KN, least / N_PER_KN, "kN", None, decisive=True,
        )  # fmt: skip


def _names(pulls: Sequence[Pull]) -> str:
    return ", ".join(pull.name for pull in pulls)


def _of_scatter(statistics: Statistics, asked: Mapping[str, Any]) -> Iterator[Requirement]:
    most = float(asked["variation_max"])
    yield Requirement(
        "site_test_scatter", statistics.spread.variation <= most,
        "the failure loads scatter little enough to stand for one base material and one way of setting; where they "
        "do not, find out why, part what differs, and pull anew",
        statistics.spread.variation, most, None, f"{RULES}/allowable_tests/variation_max", decisive=True,
    )  # fmt: skip
    if statistics.spread.variation <= most:
        # In words, as another requirement may be what keeps the pulls from giving a number.
        yield Requirement(
            "site_test_above_zero", statistics.characteristic_n > 0.0,
            "the lower limit of the failure loads lies above 0",
            "above 0" if statistics.characteristic_n > 0.0 else "not above 0", "above 0", None, None, decisive=True,
        )  # fmt: skip
