"""Ways that a force may act in a plane where nobody knows which: few of them, and each way between is covered.

The corners of a regular polygon drawn about the circle of the force: a resistance that no mean of two load cases
exceeds then holds for every way between them. None is short, and the corners are too much by 1/cos(180°/n).
"""

from __future__ import annotations

from math import cos, pi, radians, sin
from typing import TypeAlias

Way: TypeAlias = tuple[str, float, float]
"""Name of a way, and how much of the force acts along the first and the second axis."""

EIGHT, TWELVE = 8, 12
SQUARE = ((1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0), (1.0, -1.0))


def enlarged(corners: int) -> float:
    """How much larger than the force a corner of the polygon about it is (no unit).

    Args:
        corners: Number of corners.

    Returns:
        The ratio.
    """
    return 1.0 / cos(pi / corners)


def octagon(plane: str) -> tuple[Way, ...]:
    """Eight ways whose sides lie square to the axes, so that a push along an axis is just reached.

    Args:
        plane: The two axes, as ``xy``.

    Returns:
        The ways, by the angle from the first axis to the second.
    """
    return tuple(
        (f"{angle:g}° in {plane}", enlarged(EIGHT) * cos(radians(angle)), enlarged(EIGHT) * sin(radians(angle)))
        for angle in (22.5 + 45.0 * step for step in range(EIGHT))
    )


def all_round() -> tuple[tuple[float, float], ...]:
    """Twelve directions, each an angle (degrees) with how much larger than the force it is taken.

    Returns:
        Angle and ratio.
    """
    return tuple((360.0 / TWELVE * step, enlarged(TWELVE)) for step in range(TWELVE))


def square(plane: str) -> tuple[Way, ...]:
    """Four ways that act in full along both axes at once.

    Args:
        plane: The two axes, as ``xy``.

    Returns:
        The ways.
    """
    return tuple((f"to {_sign(x)}{plane[0]} and {_sign(y)}{plane[1]}", x, y) for x, y in SQUARE)


def _sign(value: float) -> str:
    return "+" if value > 0.0 else "−"
