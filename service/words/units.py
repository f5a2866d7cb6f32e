"""Units of the contract as people write them."""

from collections.abc import Mapping
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


def written(unit: str) -> str:
    """Write a unit for people.

    Args:
        unit: The unit as the contract has it; ``1`` is a ratio or a count.

    Returns:
        The unit, empty for a ratio or a count.
    """
    return WRITTEN.get(unit, unit)
