"""Fasteners by the numbers of the record that was sent, which the crew's sheet has, where some are missing now."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from service.contract.verification_codes import requirement_code, stated
from service.verification.statements import sentence

NUMBERS: Final = frozenset({"number", "near_edge_numbers", "near_first_numbers", "near_second_numbers"})
"""Figures of requirements that number fasteners."""


def requirement_by_record(entry: Mapping[str, Any], numbers: Sequence[int]) -> dict[str, Any]:
    """Say a requirement of the work as built with the numbers of the record.

    Args:
        entry: The requirement, as the verification of what stands answers it.
        numbers: Number in the record of each fastener that stands, in order.

    Returns:
        The same of the record's fasteners.

    Raises:
        ValueError: Its figures are not those of its code.
    """
    figures = {
        name: _by_record(value, numbers) if name in NUMBERS else value for name, value in entry["figures"].items()
    }
    statement = stated({**entry, "figures": figures}, (requirement_code(entry["code"]),))
    if statement is None:
        raise ValueError(f"{entry['code']} is not stated by its figures")
    return {**entry, "figures": figures, "detail": sentence(statement)}


def check_by_record(check: Mapping[str, Any], numbers: Sequence[int]) -> dict[str, Any]:
    """Say which fasteners of the record a check is about.

    Args:
        check: The check, as the verification of what stands answers it.
        numbers: Number in the record of each fastener that stands, in order.

    Returns:
        The same of the record's fasteners.
    """
    return {**check, "fastener_numbers": _by_record(check["fastener_numbers"], numbers)}


def _by_record(value: Any, numbers: Sequence[int]) -> Any:
    if isinstance(value, list | tuple):
        return [numbers[number - 1] for number in value]
    return None if value is None else numbers[value - 1]
