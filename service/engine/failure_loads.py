"""What failure loads say of the fasteners that were not pulled: fractile, scatter and outliers of a sample.

A pull that was stopped before the base material failed is a lower bound and no failure load. It has no part in the
mean. Stopped below the least failure it says nothing and is left out; stopped at or above it, it has a part in the
standard deviation where that makes it larger: leaving out the strongest pulls alone would make the sample look more
even than it is. A handful of even readings does not show an even base material, so a least variation can be asked for.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from service.engine.tolerance_factor import noncentral_t_quantile

FEWEST_FOR_OUTLIERS = 3
REMEMBERED = 1024


@dataclass(frozen=True, slots=True)
class Spread:
    """Mean and standard deviation of a sample (N)."""

    mean_n: float
    deviation_n: float

    @property
    def variation(self) -> float:
        """Coefficient of variation (no unit)."""
        return self.deviation_n / self.mean_n


@dataclass(frozen=True, slots=True)
class Outlier:
    """A failure load that stands out: its index in the sample, Grubbs' statistic and its limit (no unit)."""

    index: int
    statistic: float
    limit: float


def spread(failures_n: Sequence[float], bounds_n: Sequence[float], least_deviation_n: float = 0.0) -> Spread:
    """Mean of the failure loads, and their standard deviation with or without the lower bounds, whichever is larger.

    Args:
        failures_n: Failure loads, at least two (N).
        bounds_n: Loads of pulls that were stopped before failure (N); those below the least failure do not count.
        least_deviation_n: The least that counts as standard deviation (N).

    Returns:
        Mean and standard deviation (N).

    Raises:
        ValueError: If there are fewer than two failures.
    """
    if len(failures_n) < 2:
        raise ValueError(f"at least two failure loads are needed, found {len(failures_n)}")
    mean, alone = math.fsum(failures_n) / len(failures_n), _deviation(failures_n)
    counted = [bound for bound in bounds_n if bound >= min(failures_n)]
    return Spread(mean, max(alone, _deviation([*failures_n, *counted]), least_deviation_n))


def normal_fractile(
    failures_n: Sequence[float], bounds_n: Sequence[float], factor: float, least_variation: float = 0.0
) -> float:
    """Lower limit m - k·s of normally distributed failure loads.

    ISO 16269-6:2014, one-sided interval, mean and standard deviation unknown.

    Args:
        failures_n: Failure loads (N).
        bounds_n: Loads of pulls that ended before failure (N).
        factor: Tolerance factor k of the number of failures (no unit).
        least_variation: The least that counts as coefficient of variation (no unit).

    Returns:
        The limit, which may lie below 0 where the scatter is large (N).
    """
    found = spread(failures_n, bounds_n, least_variation * math.fsum(failures_n) / len(failures_n))
    return found.mean_n - factor * found.deviation_n


def log_normal_fractile(
    failures_n: Sequence[float], bounds_n: Sequence[float], factor: float, least_variation: float = 0.0
) -> float:
    """Lower limit exp(m - k·s) of failure loads whose logarithms are normally distributed.

    ISO 16269-6:2014, one-sided interval, of the logarithms.

    Args:
        failures_n: Failure loads, above 0 (N).
        bounds_n: Loads of pulls that ended before failure, above 0 (N).
        factor: Tolerance factor k of the number of failures (no unit).
        least_variation: The least that counts as coefficient of variation (no unit).

    Returns:
        The limit (N).
    """
    # Of a log-normal variable the deviation of the logarithm is √ln(1 + v²).
    least = math.sqrt(math.log1p(least_variation**2))
    found = spread([math.log(x) for x in failures_n], [math.log(x) for x in bounds_n], least)
    return math.exp(found.mean_n - factor * found.deviation_n)


def variation_factor(variation: float, free: float, slope: float) -> float:
    """What a large scatter takes off beyond the tolerance factor: 1/(1 + slope·(v - free)), at most 1.

    Args:
        variation: Coefficient of variation v (no unit).
        free: Coefficient of variation up to which nothing is taken off (no unit).
        slope: Strength of the reduction (no unit).

    Returns:
        Factor on the resistance (no unit).
    """
    return 1.0 / (1.0 + slope * max(0.0, variation - free))


def outliers(failures_n: Sequence[float], significance: float) -> tuple[Outlier, ...]:
    """Failure loads that a sound sample would hold too rarely, by Grubbs' test at both ends, farthest first.

    Grubbs (1950), with the limit by Student's t. The test is made on the loads and on their logarithms; where either
    names the farthest load, it is named and the rest is tested again. Naming is all: nothing is dropped.

    Args:
        failures_n: Failure loads, above 0 (N).
        significance: Probability at which a sound sample would show such a load, both ends together (no unit).

    Returns:
        The outliers; none of fewer than three loads.
    """
    found: list[Outlier] = []
    left = list(range(len(failures_n)))
    while len(left) >= FEWEST_FOR_OUTLIERS:
        limit = grubbs_limit(len(left), significance)
        farthest = max((_farthest([scale(failures_n[i]) for i in left]) for scale in SCALES), key=lambda pair: pair[1])
        if farthest[1] <= limit:
            break
        found.append(Outlier(left.pop(farthest[0]), farthest[1], limit))
    return tuple(found)


@functools.lru_cache(maxsize=REMEMBERED)
def grubbs_limit(sample_size: int, significance: float) -> float:
    """Largest distance from the mean over the standard deviation that a normal sample shows.

    Grubbs (1950): (n - 1)/√n · √(t²/(n - 2 + t²)), t the 1 - α/(2n) quantile of Student's t with n - 2 degrees.

    Args:
        sample_size: Number n, at least 3 (no unit).
        significance: α, both ends together (no unit).

    Returns:
        The limit (no unit).
    """
    n = sample_size
    t = noncentral_t_quantile(1.0 - significance / (2.0 * n), n - 2, 0.0)
    return (n - 1) / math.sqrt(n) * math.sqrt(t * t / (n - 2 + t * t))


def _identity(load_n: float) -> float:
    return load_n


SCALES: tuple[Callable[[float], float], ...] = (_identity, math.log)


def _farthest(values: Sequence[float]) -> tuple[int, float]:
    mean, deviation = math.fsum(values) / len(values), _deviation(values)
    index = max(range(len(values)), key=lambda i: abs(values[i] - mean))
    return index, abs(values[index] - mean) / deviation if deviation > 0.0 else 0.0


def _deviation(values: Sequence[float]) -> float:
    mean = math.fsum(values) / len(values)
    return math.sqrt(math.fsum((value - mean) ** 2 for value in values) / (len(values) - 1))
