"""Readers of the contract's versions: an answer of an older version in the names of today.

Whoever renames a field of an answer adds it here to the version before; the kept records of that version in the tests
do not replay until it is done.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from service.contract.sentences import EACH
from service.contract.terms import CONTRACT_VERSION, UNSTATED_VERSION

READABLE = tuple(range(UNSTATED_VERSION, CONTRACT_VERSION + 1))


@dataclass(frozen=True)
class Renamed:
    """A member of an answer that has another name today.

    Attributes:
        place: The object that holds it, by names from the answer down; `*` stands for each entry of a list.
        old: Its name then.
        new: Its name today.
        value: Makes today's value of it.
    """

    place: tuple[str, ...]
    old: str
    new: str
    value: Callable[[Any], Any] = lambda value: value


def _from_one(index: Any) -> Any:
    """The number of a fastener, of its index."""
    return index + 1 if type(index) is int else index


def _pointer_of_today(pointer: Any) -> Any:
    return "#/use/redundancy" if pointer == "#/use/redundant" else pointer


def _all_from_one(indices: Any) -> Any:
    return [_from_one(index) for index in indices] if isinstance(indices, list) else indices


REDUNDANCY = Renamed(("assumptions", EACH), "pointer", "pointer", _pointer_of_today)
"""Whether a use is redundant was asked under another name, also for a while in version 2 before it was released."""

RENAMED: Mapping[int, tuple[Renamed, ...]] = MappingProxyType({
    UNSTATED_VERSION: (
        Renamed(("checks", EACH), "fasteners", "fastener_numbers", _all_from_one),
        Renamed(("fastener_forces", EACH, "fasteners", EACH), "index", "number", _from_one),
        Renamed(("site_reduction",), "floor_applied", "below_floor"),
        REDUNDANCY,
    ),
    2: (REDUNDANCY,),
})
"""What has had another name since answers of a version were made, by that version."""

WORDS_THEN: Mapping[int, tuple[str, ...]] = MappingProxyType({UNSTATED_VERSION: ("given", "limit", "unit")})
"""Members of a requirement that held words in a version, "edge 30, spacing 100" in "mm", where figures stand today."""


def asked_then(request: Mapping[str, Any], version: int) -> dict[str, Any]:
    """Read a request as the contract of its day did.

    Args:
        request: The request of a record.
        version: Version of the contract that its answer was written by.

    Returns:
        The request with what it said by leaving it out: who called a use not structural said that nobody could be hurt.
    """
    use = request.get("use")
    if version != UNSTATED_VERSION or not isinstance(use, Mapping) or use.get("structural") is not False:
        return dict(request)
    return {**request, "use": {"consequence": [], **use}}


def in_names_of_today(answer: Mapping[str, Any], version: int) -> dict[str, Any]:
    """Read an answer as if it had been written by today's contract.

    Args:
        answer: The answer, which may hold anything.
        version: Version of the contract that it was written by.

    Returns:
        The answer with the names of today; what it never held stays missing.
    """
    read: Any = dict(answer)
    for renamed in RENAMED.get(version, ()):
        read = _with_new_name(read, renamed.place, renamed)
    made: dict[str, Any] = read
    return made


def became_figures(steps: tuple[str | int, ...], then: object, now: object, version: int) -> bool:
    """Say whether words of a requirement stand among its figures today.

    Args:
        steps: Where they stand in the answer.
        then: What stands there in the record.
        now: What stands there in an answer of today.
        version: Version of the contract that the record was written by.

    Returns:
        Whether they do. A number never became another thing, and words that are still there are compared.
    """
    is_there = len(steps) == 3 and steps[0] == "requirements" and steps[2] in WORDS_THEN.get(version, ())
    return is_there and isinstance(then, str) and not isinstance(now, str)


def _with_new_name(value: Any, place: tuple[str, ...], renamed: Renamed) -> Any:
    if not place:
        if not isinstance(value, dict) or renamed.old not in value:
            return value
        kept = {name: inner for name, inner in value.items() if name != renamed.old}
        return kept | {renamed.new: renamed.value(value[renamed.old])}
    step, *below = place
    if step == EACH:
        return [_with_new_name(entry, tuple(below), renamed) for entry in value] if isinstance(value, list) else value
    if not isinstance(value, dict) or step not in value:
        return value
    return {**value, step: _with_new_name(value[step], tuple(below), renamed)}
