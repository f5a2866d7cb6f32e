"""What pulls are worth: the confidence that is stated is the confidence that is had.

Source: simulation with a fixed seed against the true fractile of a known population; numpy and SciPy as independent
computations of single sets.
"""

from __future__ import annotations

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
