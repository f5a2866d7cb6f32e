"""Units of the contract as people write them."""

from collections.abc import Mapping
from math import ceil
from types import MappingProxyType

WRITTEN: Mapping[str, str] = MappingProxyType({
    "1": "",
    "Nm": "N·m",
    "kNm": "kN·m",
    "mm2": "mm²",
    "mm3": "mm³",
    "degrees": "°",
})
"""Those that are written otherwise than the contract has them."""
ROUNDING = 1e-9
"""What floating point leaves on a whole number."""


def written(unit: str) -> str:
    """Write a unit for people.

    Args:
        unit: The unit as the contract has it; ``1`` is a ratio or a count.

    Returns:
        The unit, empty for a ratio or a count.
    """
    return WRITTEN.get(unit, unit)


def up(value: float) -> int:
    """Round up to a whole number.

    Args:
        value: The number.

    Returns:
        The whole number; what floating point leaves on one does not count.
    """
    return ceil(value - ROUNDING)


def hundredths(utilisation: float) -> int:
    """Round a utilisation up to whole hundredths: one that is over its resistance never reads as met."""
    return up(utilisation * 100)
