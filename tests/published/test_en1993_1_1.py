"""Buckling of pressed fasteners. Source: EN 1993-1-1:2005, Figure 6.4, curve c, as design tables print it."""

from __future__ import annotations

import pytest

from service.engine.en1992_4 import steel_compression


@pytest.mark.parametrize(
    ("slender", "chi"),
    [(0.2, 1.000), (0.3, 0.949), (0.5, 0.843), (0.7, 0.725), (1.0, 0.540), (1.5, 0.315), (2.0, 0.196), (3.0, 0.095)],
)
def test_curve_c(slender: float, chi: float) -> None:
    """Source: EN 1993-1-1:2005, Figure 6.4, curve c, values printed to 0.001, from memory."""
    assert steel_compression.reduction(slender) == pytest.approx(chi, abs=6e-4)


def test_stocky_bars_do_not_gain() -> None:
    """Source: EN 1993-1-1:2005, 6.3.1.2: chi is at most 1."""
    assert steel_compression.reduction(0.05) == 1.0
