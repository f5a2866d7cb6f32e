"""Outliers by Grubbs' test.

Source: Grubbs (1950, 1969), tables of the two-sided test at 5 % (printed values from memory), and SciPy's Student t as
an independent computation.
"""

from __future__ import annotations

import math

import pytest
from scipy.stats import t as student

from service.engine.failure_loads import grubbs_limit, outliers


@pytest.mark.parametrize(("n", "limit"), [(3, 1.155), (5, 1.715), (7, 2.020), (10, 2.290), (20, 2.709), (30, 2.908)])
def test_printed_limit(n: int, limit: float) -> None:
    """Source: Grubbs, two-sided at 5 % (from memory)."""
    assert grubbs_limit(n, 0.05) == pytest.approx(limit, abs=1e-3)


@pytest.mark.parametrize("n", [3, 5, 8, 30, 100])
@pytest.mark.parametrize("significance", [0.01, 0.05, 0.1])
def test_limit_equals_that_of_student_t_of_scipy(n: int, significance: float) -> None:
    """Source: SciPy, scipy.stats.t."""
    t = float(student.ppf(1 - significance / (2 * n), n - 2))
    assert grubbs_limit(n, significance) == pytest.approx((n - 1) / math.sqrt(n) * math.sqrt(t * t / (n - 2 + t * t)))


def test_outlier_is_named_with_its_statistic() -> None:
    """Source: worked by hand: mean 10.5, s 3.674 235, (18 - 10.5)/s = 2.041 241 against 1.887 of n = 6."""
    [found] = outliers([9.0, 9.0, 9.0, 9.0, 9.0, 18.0], 0.05)
    assert found.index == 5
    assert found.statistic == pytest.approx(2.0412415)
    assert found.limit == pytest.approx(1.887, abs=6e-4)


def test_low_load_that_only_its_logarithm_shows_is_named() -> None:
    """Source: worked with numpy: G of the loads 1.767 stays under 2.020, that of the logarithms 2.110 does not."""
    assert [outlier.index for outlier in outliers([10.0, 13.0, 16.0, 20.0, 23.0, 18.0, 2.5], 0.05)] == [6]


def test_second_outlier_is_named_after_the_first() -> None:
    """Source: worked by hand: without the farthest the next one stands alone against nine of nearly one size."""
    loads = [20.0, 20.5, 19.5, 20.2, 19.8, 20.1, 19.9, 20.3, 12.0, 5.0]
    assert [outlier.index for outlier in outliers(loads, 0.05)] == [9, 8]


@pytest.mark.parametrize("loads", [[], [4.0], [4.0, 400.0], [7.0, 7.0, 7.0, 7.0], [8.0, 9.0, 10.0, 11.0, 12.0]])
def test_none_is_named_where_none_stands_out(loads: list[float]) -> None:
    """Source: Grubbs; two loads are never far apart, equal ones have no scatter."""
    assert outliers(loads, 0.05) == ()
