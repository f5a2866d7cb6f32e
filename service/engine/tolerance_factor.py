"""One-sided tolerance factor of a normal sample, without a statistics library at run time.

With the mean m and the standard deviation s of n tests, m - k·s is a fractile that the stated content of the
population exceeds with the stated confidence (ISO 16269-6, unknown standard deviation). k is a quantile of
Student's noncentral t distribution: k = t'(confidence; n - 1, z·√n)/√n, z the normal quantile of the content.
"""

from __future__ import annotations

import functools
import math
from statistics import NormalDist

_STEPS = 600
_NEGLIGIBLE = 40.0  # e^-40 of the largest ordinate no longer counts
_LARGEST_SAMPLE = 100_000
_REMEMBERED = 1024


@functools.lru_cache(maxsize=_REMEMBERED)
def tolerance_factor(sample_size: int, content: float, confidence: float) -> float:
    """Tolerance factor k of a one-sided interval, standard deviation unknown.

    ISO 16269-6:2014, one-sided interval, mean and standard deviation unknown (exact by the noncentral t, not a table).

    Args:
        sample_size: Number of tests n, 2 to 100 000 (no unit).
        content: Share of the population beyond the limit, at least 0.5 and below 1, 0.95 for a 5 % fractile (no unit).
        confidence: Probability that the limit is right, above 0 and below 1 (no unit).

    Returns:
        k to about nine significant digits (no unit).

    Raises:
        ValueError: If an argument is out of its range.
    """
    if not 2 <= sample_size <= _LARGEST_SAMPLE:
        raise ValueError(f"sample_size must be from 2 to {_LARGEST_SAMPLE}, found {sample_size}")
    if not 0.5 <= content < 1.0:
        raise ValueError(f"content must be at least 0.5 and below 1, found {content}")
    if not 0.0 < confidence < 1.0:
        raise ValueError(f"confidence must lie between 0 and 1, found {confidence}")
    shift = NormalDist().inv_cdf(content) * math.sqrt(sample_size)
    return noncentral_t_quantile(confidence, sample_size - 1, shift) / math.sqrt(sample_size)


def noncentral_t_probability(t: float, degrees_of_freedom: int, shift: float) -> float:
    """Probability that a noncentral t variable is at most t.

    The definition itself: the mean of Φ(t·s − shift) over s = √(χ²/ν). The trapezium rule in ln s converges
    exponentially, as the integrand and all its derivatives vanish at both ends.

    Args:
        t: Argument (no unit).
        degrees_of_freedom: ν, at least 1 (no unit).
        shift: Noncentrality (no unit).

    Returns:
        Probability, 0 to 1 (no unit).
    """
    return _probability(t, _ordinates(degrees_of_freedom), shift)


def noncentral_t_quantile(probability: float, degrees_of_freedom: int, shift: float) -> float:
    """Argument that a noncentral t variable stays under with a probability; Student's t where the shift is 0.

    Args:
        probability: Probability, above 0 and below 1 (no unit).
        degrees_of_freedom: ν, at least 1 (no unit).
        shift: Noncentrality (no unit).

    Returns:
        The quantile, to about ten significant digits (no unit).
    """
    ordinates = _ordinates(degrees_of_freedom)
    low, high = -1.0, 1.0
    while _probability(low, ordinates, shift) > probability:
        low *= 2.0
    while _probability(high, ordinates, shift) < probability:
        high *= 2.0
    while high - low > 1e-11 * max(1.0, abs(low), abs(high)):
        middle = (low + high) / 2.0
        if _probability(middle, ordinates, shift) < probability:
            low = middle
        else:
            high = middle
    return (low + high) / 2.0


def _ordinates(degrees_of_freedom: int) -> tuple[tuple[float, float], ...]:
    """Values of s = √(χ²/ν) and the weight of each, all weights together 1."""
    low, high = _log_range(degrees_of_freedom)
    step = (high - low) / _STEPS
    places = [low + i * step for i in range(_STEPS + 1)]
    densities = [math.exp(_log_density(u, degrees_of_freedom)) for u in places]
    weight = math.fsum(densities)
    return tuple((math.exp(u), density / weight) for u, density in zip(places, densities, strict=True))


def _probability(t: float, ordinates: tuple[tuple[float, float], ...], shift: float) -> float:
    return sum(weight * _normal_probability(t * s - shift) for s, weight in ordinates)


def _log_density(u: float, degrees_of_freedom: int) -> float:
    """Logarithm of the density of u = ln s, 0 at its largest (u = 0)."""
    return degrees_of_freedom * (u - math.expm1(2.0 * u) / 2.0)


def _log_range(degrees_of_freedom: int) -> tuple[float, float]:
    """Where the density of ln s matters: to the left it falls like e^νu, to the right much faster."""
    low = high = 0.0
    step = 1.0 / math.sqrt(degrees_of_freedom)
    while _log_density(low, degrees_of_freedom) > -_NEGLIGIBLE:
        low -= step
    while _log_density(high, degrees_of_freedom) > -_NEGLIGIBLE:
        high += step / 4.0
    return low, high


def _normal_probability(z: float) -> float:
    return 0.5 * math.erfc(-z / math.sqrt(2.0))
