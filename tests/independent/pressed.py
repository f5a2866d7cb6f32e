"""Fasteners that are pressed where the fixture stands off: buckling of a bar that sways (EN 1993-1-1, from memory).

Euler's load comes from finite elements and the reduction from the imperfection that curve c stands for, not from the
formulas of the standard. Forces in N, lengths in mm.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
from scipy.linalg import eigh
from scipy.optimize import brentq

from tests.independent.inputs import STEEL_MODULUS

if TYPE_CHECKING:
    from numpy.typing import NDArray

ELEMENTS = 8
CURVE_C = 0.49


def euler(stress_area: float, length: float, *, held: bool) -> float:
    """Load at which a round bar, clamped in the concrete, sways away; its head turns freely unless it is held.

    Reading: the bar is as thick as its stress area says.
    """
    radius = math.sqrt(stress_area / math.pi)
    stiffness = STEEL_MODULUS * math.pi * radius**4 / 4.0
    bend, press = _bar(length / ELEMENTS)
    count = 2 * (ELEMENTS + 1)
    bends, presses = np.zeros((count, count)), np.zeros((count, count))
    for k in range(ELEMENTS):
        part = slice(2 * k, 2 * k + 4)
        bends[part, part] += stiffness * bend
        presses[part, part] += press
    # moved and turned at each node; nothing moves in the concrete, and a head that is held does not turn
    free = list(range(2, count - 1 if held else count))
    return float(1.0 / eigh(presses[np.ix_(free, free)], bends[np.ix_(free, free)], eigvals_only=True)[-1])


def _bar(a: float) -> tuple[NDArray[np.floating], NDArray[np.floating]]:
    """Stiffness of a piece of a bar against bending (for EI = 1), and what pressure takes from it (for N = 1)."""
    bend = np.array(
        [[12, 6 * a, -12, 6 * a], [6 * a, 4 * a**2, -6 * a, 2 * a**2],
         [-12, -6 * a, 12, -6 * a], [6 * a, 2 * a**2, -6 * a, 4 * a**2]]
    ) / a**3  # fmt: skip
    press = np.array(
        [[36, 3 * a, -36, 3 * a], [3 * a, 4 * a**2, -3 * a, -(a**2)],
         [-36, -3 * a, 36, -3 * a], [3 * a, -(a**2), -3 * a, 4 * a**2]]
    ) / (30 * a)  # fmt: skip
    return bend, press


def buckling(stress_area: float, yield_strength: float, critical: float) -> float:
    """Pressure at which the bar, bent by curve c's imperfection from the start, yields at its edge (Ayrton and Perry).

    Of what it could take unbent; a stocky one, up to a slenderness of 0.2, takes all.
    """
    squash = stress_area * yield_strength
    slender = math.sqrt(squash / critical)
    if slender <= 0.2:
        return squash
    bow = CURVE_C * (slender - 0.2)

    def over(share: float) -> float:
        return (share - 1.0) * (1.0 - share * slender**2) + share * bow

    return float(squash * brentq(over, 0.0, min(1.0, 1.0 / slender**2), xtol=1e-14, rtol=1e-13))


def enlarged(pressure: float, resistance: float, critical: float) -> float:
    """How much more the leaning fixture bends the bar: each bit of sway makes more of it, without end, as a series."""
    ratio, total, term = min(pressure, resistance) / critical, 0.0, 1.0
    while term > 1e-15:
        total, term = total + term, term * ratio
    return total
