"""One-sided tolerance factors of normal samples, standard deviation unknown.

Source: ISO 16269-6, tables for the one-sided interval (printed values from memory), and SciPy's noncentral t
distribution as an independent computation.
"""

from __future__ import annotations

import math

import pytest
from scipy.stats import nct, norm

from service.engine.tolerance_factor import noncentral_t_probability, tolerance_factor

# n, content, confidence, k as printed
PRINTED = (
    (5, 0.95, 0.90, 3.400),
    (3, 0.95, 0.90, 5.311),
    (10, 0.95, 0.90, 2.568),
    (2, 0.95, 0.95, 26.260),
    (3, 0.95, 0.95, 7.656),
    (5, 0.95, 0.95, 4.203),
    (10, 0.95, 0.95, 2.911),
    (20, 0.95, 0.95, 2.396),
    (30, 0.95, 0.95, 2.220),
    (100, 0.95, 0.95, 1.927),
)


@pytest.mark.parametrize(("n", "content", "confidence", "k"), PRINTED)
def test_printed_factor(n: int, content: float, confidence: float, k: float) -> None:
    """Source: ISO 16269-6, one-sided, sigma unknown (from memory); n = 5, 95 % and 90 % is the 3.4 of assessments."""
    assert tolerance_factor(n, content, confidence) == pytest.approx(k, abs=6e-4)


@pytest.mark.parametrize("n", [2, 3, 5, 8, 15, 60, 400, 10_000])
@pytest.mark.parametrize("content", [0.5, 0.9, 0.95, 0.99])
@pytest.mark.parametrize("confidence", [0.1, 0.5, 0.75, 0.9, 0.95, 0.99])
def test_factor_equals_the_noncentral_t_of_scipy(n: int, content: float, confidence: float) -> None:
    """Source: SciPy, scipy.stats.nct."""
    quantile = float(nct.ppf(confidence, n - 1, float(norm.ppf(content)) * math.sqrt(n)))
    assert tolerance_factor(n, content, confidence) == pytest.approx(quantile / math.sqrt(n), rel=1e-6, abs=1e-6)


@pytest.mark.parametrize(
    ("t", "nu", "shift"), [(-1.0, 1, 0.0), (0.0, 4, 1.5), (2.5, 4, 1.5), (9.0, 9, 5.2), (40.0, 1, 3.0)]
)
def test_probability_equals_that_of_scipy(t: float, nu: int, shift: float) -> None:
    """Source: SciPy, scipy.stats.nct."""
    assert noncentral_t_probability(t, nu, shift) == pytest.approx(float(nct.cdf(t, nu, shift)), abs=1e-9)


def test_factor_tends_to_the_normal_quantile() -> None:
    """Source: ISO 16269-6; with very many tests only the fractile of the population is left."""
    assert tolerance_factor(100_000, 0.95, 0.5) == pytest.approx(1.6449, abs=1e-3)


@pytest.mark.parametrize(
    ("n", "content", "confidence", "words"),
    [
        (1, 0.95, 0.9, "sample_size must be from 2"),
        (100_001, 0.95, 0.9, "sample_size must be from 2"),
        (5, 1.0, 0.9, "content must be at least 0.5"),
        (5, 0.4, 0.9, "content must be at least 0.5"),
        (5, math.nan, 0.9, "content must be at least 0.5"),
        (5, 0.95, 0.0, "confidence must lie between"),
        (5, 0.95, 1.0, "confidence must lie between"),
    ],
)
def test_arguments_out_of_range_are_refused(n: int, content: float, confidence: float, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        tolerance_factor(n, content, confidence)
