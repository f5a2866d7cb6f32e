"""Lengths that differ only by what floating numbers leave are the same; a thousandth of a millimetre is a difference.

Source: binary floating point (IEEE 754), in which 0.1 + 0.2 is more than 0.3; how much counts is common practice, no
source.
"""

from __future__ import annotations

import pytest

from service.verification.tolerance import keeps_mm, reaches_mm, same_mm

SUM = 0.1 + 0.2
LIMIT = 0.3


def test_what_floating_numbers_leave_misses_no_limit() -> None:
    assert SUM > LIMIT
    assert same_mm(SUM, LIMIT)
    assert keeps_mm(SUM, LIMIT)
    assert reaches_mm(LIMIT, SUM)


@pytest.mark.parametrize("short", [1e-3, 1e-6])
def test_what_can_be_said_of_a_length_counts(short: float) -> None:
    assert not same_mm(80.0, 80.0 - short)
    assert not keeps_mm(80.0 + short, 80.0)
    assert not reaches_mm(80.0 - short, 80.0)
