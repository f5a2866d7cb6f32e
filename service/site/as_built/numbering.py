"""Fasteners by the numbers of the crew's first sheet, which stay as they are where some go missing.

Inside a check a fastener has the number of its place in the record; people say and read the number of the first sheet.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from service.contract import wanted
from service.contract.verification_codes import requirement_code, stated
from service.contract.wanted import made
from service.verification.refusal import Refusal, RefusedRequest
from service.verification.statements import sentence

PLACE: Final = "#/as_built"
LISTS_OF_FASTENERS: Final = (
    "replaced_numbers", "missing_numbers", "undrilled_numbers", "to_set_numbers", "shallow_numbers",
)  # fmt: skip
"""Fields of what was done that name fasteners."""
LISTS_OF_PARTS: Final = ("moved", "other_lengths")
"""Fields of what was done that say something of fasteners, each by its number."""
NUMBERS: Final = frozenset({"number", "near_edge_numbers", "near_first_numbers", "near_second_numbers"})
"""Figures of requirements that number fasteners."""


def numbers_of(request: Mapping[str, Any]) -> tuple[int, ...]:
    """Number the fasteners of a record as the first sheet did.

    Args:
        request: The request of the record.

    Returns:
        Their numbers, in the order of positions.
    """
    return made(wanted.Built, request.get("built") or {}).numbers(len(request["positions"]))


def by_place(request: Mapping[str, Any], given: Mapping[str, Any]) -> dict[str, Any]:
    """Say what was done with the places of the record in place of the numbers on the sheet.

    Args:
        request: The request of the record.
        given: What was said of the work, without nulls.

    Returns:
        The same, each fastener by its place, from 1 in the order of positions.

    Raises:
        RefusedRequest: The record has no such fastener.
    """
    numbers, said = numbers_of(request), dict(given)
    for name in LISTS_OF_FASTENERS:
        if name in given:
            said[name] = [
                _place(number, numbers, f"{PLACE}/{name}/{entry}") for entry, number in enumerate(given[name])
            ]
    for name in LISTS_OF_PARTS:
        if name in given:
            said[name] = [
                {**one, "number": _place(one["number"], numbers, f"{PLACE}/{name}/{entry}/number")}
                for entry, one in enumerate(given[name])
            ]
    return said


def places_of(request: Mapping[str, Any], field: str) -> tuple[int, ...]:
    """Find the fasteners of a record that a field of what earlier checks found names.

    Args:
        request: The request of the record.
        field: The field of `built`, a list of numbers.

    Returns:
        Their places, from 1 in the order of positions.
    """
    numbers, named = numbers_of(request), (request.get("built") or {}).get(field) or ()
    return tuple(numbers.index(number) + 1 for number in named)


def _place(number: int, numbers: Sequence[int], pointer: str) -> int:
    if number in numbers:
        return numbers.index(number) + 1
    words = f"the record has {_named(numbers)}"
    raise RefusedRequest(Refusal(pointer, "no_such_fastener", words, {"fasteners": len(numbers)}))


def _named(numbers: Sequence[int]) -> str:
    """Say which fasteners there are."""
    if len(numbers) == 1:
        return f"fastener {numbers[0]} only"
    if tuple(numbers) == tuple(range(1, len(numbers) + 1)):
        return f"fasteners 1 to {len(numbers)}"
    return f"fasteners {', '.join(map(str, numbers[:-1]))} and {numbers[-1]}"


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
