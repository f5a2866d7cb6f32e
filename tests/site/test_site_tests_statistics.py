"""What pulls are worth: the confidence that is stated is the confidence that is had.

Source: simulation with a fixed seed against the true fractile of a known population; numpy and SciPy as independent
computations of single sets.
"""

from __future__ import annotations

import functools
import math
import random
from collections.abc import Callable

import numpy as np
import pytest
from scipy.stats import nct, norm

from service.engine.failure_loads import log_normal_fractile, normal_fractile, spread, variation_factor
from service.engine.tolerance_factor import tolerance_factor
from service.site.pulls.loads_shown import at_least, at_most

RUNS = 20_000
CONTENT, CONFIDENCE = 0.95, 0.9
Z = float(norm.ppf(CONTENT))
ERROR = math.sqrt(CONFIDENCE * (1 - CONFIDENCE) / RUNS)
"""Standard error of a share of the runs."""

MEAN, DEVIATION = 20_000.0, 3_000.0
LOADS = [18_368.0, 20_202.5, 17_552.0, 18_980.0, 19_796.0, 20_810.0, 17_960.0]


@functools.cache
def factor_of(n: int) -> float:
    return tolerance_factor(n, CONTENT, CONFIDENCE)


def normal_load(dice: random.Random) -> float:
    return dice.gauss(MEAN, DEVIATION)


def log_normal_load(dice: random.Random) -> float:
    return math.exp(dice.gauss(math.log(MEAN), 0.15))


POPULATIONS = [
    pytest.param(normal_load, normal_fractile, MEAN - Z * DEVIATION, id="normal"),
    pytest.param(log_normal_load, log_normal_fractile, MEAN * math.exp(-Z * 0.15), id="log_normal"),
]


@pytest.mark.parametrize("n", [5, 9])
@pytest.mark.parametrize(("load", "fractile", "true_n"), POPULATIONS)
def test_stated_confidence_is_had(
    n: int,
    load: Callable[[random.Random], float],
    fractile: Callable[[list[float], list[float], float], float],
    true_n: float,
) -> None:
    """Source: simulation, seed 20261125; within three standard errors of 90 %."""
    dice, k = random.Random(20261125), tolerance_factor(n, CONTENT, CONFIDENCE)  # noqa: S311 a simulation
    right = sum(fractile([load(dice) for _ in range(n)], [], k) <= true_n for _ in range(RUNS))
    assert right / RUNS == pytest.approx(CONFIDENCE, abs=3 * ERROR)


@pytest.mark.parametrize("n", [5, 9])
@pytest.mark.parametrize(
    ("load", "true_n"),
    [(normal_load, MEAN - Z * DEVIATION), (log_normal_load, MEAN * math.exp(-Z * 0.15))],
    ids=["normal", "log_normal"],
)
def test_lesser_of_both_is_right_at_least_as_often(
    n: int, load: Callable[[random.Random], float], true_n: float
) -> None:
    """Source: simulation, seed 3; what the rulebook takes is on the safe side of either population."""
    dice, k = random.Random(3), tolerance_factor(n, CONTENT, CONFIDENCE)  # noqa: S311 a simulation
    samples = [[load(dice) for _ in range(n)] for _ in range(RUNS)]
    right = sum(min(normal_fractile(s, [], k), log_normal_fractile(s, [], k)) <= true_n for s in samples)
    assert right / RUNS >= CONFIDENCE - 3 * ERROR


@pytest.mark.parametrize("stop_at", [-0.5, 0.0, 0.5, 1.0, 1.5, 2.0])
@pytest.mark.parametrize("n", [7, 12, 40])
def test_stopped_pulls_cost_no_confidence(stop_at: float, n: int) -> None:
    """Source: simulation, seed 17: pulls are stopped at a load; at least five fail, as the rulebook has it."""
    dice, stop = random.Random(17), MEAN + stop_at * DEVIATION  # noqa: S311 a simulation
    right = runs = 0
    for _ in range(4_000):
        loads = [normal_load(dice) for _ in range(n)]
        failures, bounds = [x for x in loads if x < stop], [stop for x in loads if x >= stop]
        if len(failures) >= 5:
            runs += 1
            k = tolerance_factor(len(failures), CONTENT, CONFIDENCE)
            right += normal_fractile(failures, bounds, k) <= MEAN - Z * DEVIATION
    assert runs > 30
    assert right / runs >= CONFIDENCE - 3 * math.sqrt(CONFIDENCE * (1 - CONFIDENCE) / runs)


@pytest.mark.parametrize("variation", [0.05, 0.1, 0.2])
@pytest.mark.parametrize("lowest_stop", [0.2, 0.8])
@pytest.mark.parametrize("n", [6, 10, 30])
def test_pulls_stopped_anywhere_cost_no_confidence(n: int, lowest_stop: float, variation: float) -> None:
    """Source: simulation, seed 29, 10 000 censored samples: each pull may be stopped at a load of its own."""
    dice, deviation = random.Random(29), variation * MEAN  # noqa: S311 a simulation
    true_n, least = MEAN - Z * deviation, 0.10
    right = runs = 0
    while runs < 10_000:
        pulls = [(dice.gauss(MEAN, deviation), MEAN * dice.uniform(lowest_stop, 1.6)) for _ in range(n)]
        failures = [load for load, stop in pulls if load < stop]
        bounds = [stop for load, stop in pulls if load >= stop]
        if len(failures) < 5:
            continue
        runs += 1
        k = factor_of(len(failures))
        found = min(fractile(failures, bounds, k, least) for fractile in (normal_fractile, log_normal_fractile))
        right += found <= true_n
    assert right / runs >= CONFIDENCE


def test_one_pull_that_was_stopped_early_takes_nothing_away() -> None:
    """A stop at 2 kN beside failures of about 20 kN used to double the scatter; one at the least failure counts."""
    k = factor_of(len(LOADS))
    assert spread(LOADS, [2_000.0]) == spread(LOADS, [])
    assert spread(LOADS, [min(LOADS)]).deviation_n > 0
    assert normal_fractile(LOADS, [2_000.0], k) == normal_fractile(LOADS, [], k)
    assert normal_fractile(LOADS, [40_000.0], k) < normal_fractile(LOADS, [], k)


def test_survivors_above_the_failures_never_raise_the_result() -> None:
    """Failures of 6.1 to 7.9 kN and three that held 9 kN: numpy's deviation of all eight, the mean of the five."""
    failures, held = [6_100.0, 6_600.0, 7_000.0, 7_400.0, 7_900.0], [9_000.0] * 3
    k = factor_of(5)
    by_hand = float(np.mean(failures)) - k * float(np.std([*failures, *held], ddof=1))
    assert normal_fractile(failures, held, k, 0.10) == pytest.approx(by_hand)
    assert normal_fractile(failures, held, k, 0.10) < normal_fractile(failures, [], k, 0.10)


def test_even_readings_show_no_even_base_material() -> None:
    """Five readings of 7.0: s is 0.7; k of 5 is 3.400 (ISO 16269-6, from memory), so that 7.0 − 2.38 is 4.62."""
    k = factor_of(5)
    assert k == pytest.approx(3.400, abs=1e-3)
    even = [7.0] * 5
    assert normal_fractile(even, [], k, 0.10) == pytest.approx(4.62, abs=5e-3)
    assert log_normal_fractile(even, [], k, 0.10) == pytest.approx(7 * math.exp(-k * math.sqrt(math.log(1.01))))
    assert normal_fractile(even, [], k) == 7.0


def test_counting_stopped_pulls_as_failures_would_cost_confidence() -> None:
    """Source: simulation, seed 17: why they are not; the same pulls, stopped at the mean, taken as failure loads."""
    dice, k = random.Random(17), tolerance_factor(12, CONTENT, CONFIDENCE)  # noqa: S311 a simulation
    samples = [[min(normal_load(dice), MEAN) for _ in range(12)] for _ in range(4_000)]
    right = sum(normal_fractile(sample, [], k) <= MEAN - Z * DEVIATION for sample in samples)
    assert right / 4_000 < CONFIDENCE - 0.1


def test_fractiles_of_a_set_equal_those_of_numpy_and_scipy() -> None:
    """Source: numpy (mean, standard deviation with n - 1) and SciPy (noncentral t)."""
    n = len(LOADS)
    k = float(nct.ppf(CONFIDENCE, n - 1, Z * math.sqrt(n))) / math.sqrt(n)
    logs = np.log(LOADS)
    normal = np.mean(LOADS) - k * np.std(LOADS, ddof=1)
    log_normal = math.exp(logs.mean() - k * logs.std(ddof=1))
    ours = tolerance_factor(n, CONTENT, CONFIDENCE)
    assert normal_fractile(LOADS, [], ours) == pytest.approx(normal, rel=1e-8)
    assert log_normal_fractile(LOADS, [], ours) == pytest.approx(log_normal, rel=1e-8)


def test_bounds_have_no_part_in_the_mean_and_widen_the_scatter_only() -> None:
    """Source: numpy; a bound far above widens the scatter, one in the middle would narrow it and does not."""
    alone = spread(LOADS, [])
    assert spread(LOADS, [19_000.0]) == alone
    wide = spread(LOADS, [40_000.0])
    assert wide.mean_n == alone.mean_n
    assert wide.deviation_n == pytest.approx(float(np.std([*LOADS, 40_000.0], ddof=1)))


@pytest.mark.parametrize(("variation", "factor"), [(0.0, 1.0), (0.2, 1.0), (0.25, 1 / 1.15), (0.3, 1 / 1.3)])
def test_large_scatter_takes_something_off(variation: float, factor: float) -> None:
    """Source: assessments of fasteners, 1/(1 + 0.03·(v - 20)) with v in per cent (from memory)."""
    assert variation_factor(variation, 0.2, 3.0) == pytest.approx(factor)


def test_one_failure_has_no_scatter() -> None:
    with pytest.raises(ValueError, match="at least two failure loads are needed, found 1"):
        spread([5_000.0], [6_000.0])


@pytest.mark.parametrize(
    ("load_n", "most", "least"),
    [
        (34_048, "34.04 kN", "34.05 kN"),
        (9_300, "9.3 kN", "9.3 kN"),
        (6.2 * 1.5 * 1000, "9.3 kN", "9.3 kN"),
        (0, "0 kN", "0 kN"),
    ],
)
def test_loads_for_a_crew_are_rounded_to_the_side_that_does_no_harm(load_n: float, most: str, least: str) -> None:
    assert (at_most(load_n), at_least(load_n)) == (most, least)
