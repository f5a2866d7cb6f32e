"""Figures are compared to a billionth of their unit, as sums of floating numbers miss a limit by less than that."""

from __future__ import annotations

from typing import Final

TOLERANCE: Final = 1e-9
"""In any unit."""
TOLERANCE_MM: Final = TOLERANCE


def same_mm(one: float, other: float) -> bool:
    """Whether two lengths are the same (mm)."""
    return abs(one - other) <= TOLERANCE_MM


def reaches_mm(given: float, least: float) -> bool:
    """Whether a length reaches its least value (mm)."""
    return given >= least - TOLERANCE_MM


def reaches_mpa(given: float, least: float) -> bool:
    """Whether a strength reaches its least value (MPa)."""
    return given >= least - TOLERANCE


def keeps_kn(given: float, most: float) -> bool:
    """Whether a force keeps to its largest value (kN)."""
    return given <= most + TOLERANCE


def keeps_mm(given: float, most: float) -> bool:
    """Whether a length keeps to its largest value (mm)."""
    return given <= most + TOLERANCE_MM
