"""Places in a rule file that stay the same when lists are put in another order, and what stands there."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final, TypeGuard

from service.audit.changes.rule_fields import RuleField
from service.rulebook.finding import pointer_to


class Absent:
    """Nothing stands there, not even null."""

    def __repr__(self) -> str:
        return "ABSENT"


ABSENT: Final = Absent()


@dataclass(frozen=True)
class Keyed:
    """The step to an object of a list by what tells it apart from the others.

    Attributes:
        values: Values of its key, written out.
        occurrence: 0 for the first with them.
    """

    values: tuple[str, ...]
    occurrence: int


@dataclass(frozen=True)
class Element:
    """The step to a value of a list that is a set.

    Attributes:
        written: The value, written out.
    """

    written: str


Step = str | int | Keyed | Element


def same(one: object, other: object) -> bool:
    """Say whether two values mean the same: 2 and 2.0 do, 1 and true do not, the order of keys does not count.

    Args:
        one: A value of a document.
        other: Another.

    Returns:
        Whether they do.
    """
    if isinstance(one, Mapping) and isinstance(other, Mapping):
        return one.keys() == other.keys() and all(same(value, other[name]) for name, value in one.items())
    if is_list(one) and is_list(other):
        return len(one) == len(other) and all(map(same, one, other))
    return isinstance(one, bool) == isinstance(other, bool) and one == other


def is_list(value: object) -> TypeGuard[Sequence[Any]]:
    """Say whether a value is a list of a document, as it was parsed or as a read-only view."""
    return isinstance(value, list | tuple)


def is_group(value: object) -> TypeGuard[Mapping[str, Any] | Sequence[Any]]:
    """Say whether a value holds others."""
    return isinstance(value, Mapping) or is_list(value)


def is_number(value: object) -> TypeGuard[float]:
    """Say whether a value is a number; true and false are none."""
    return isinstance(value, int | float) and not isinstance(value, bool)


def or_null(value: object) -> Any:
    """Give what is shown of a value: null where nothing stands."""
    return None if value is ABSENT else value


def keyed(field: RuleField, entries: Sequence[Any]) -> list[Keyed] | None:
    """Tell the objects of a list apart by their keys.

    Args:
        field: The list.
        entries: Its entries.

    Returns:
        A step for each of them; None where the list has no keys, or an entry lacks its own.
    """
    if not field.key or not all(isinstance(entry, Mapping) and set(field.key) <= entry.keys() for entry in entries):
        return None
    seen: Counter[tuple[str, ...]] = Counter()
    steps = []
    for entry in entries:
        values = tuple(written(entry[name]) for name in field.key)
        steps.append(Keyed(values, seen[values]))
        seen[values] += 1
    return steps


def written(value: object) -> str:
    """Write a plain value so that 2 and 2.0 are the same and 1 and true are not."""
    return f"{value:.17g}" if is_number(value) else str(value)


def found(field: RuleField, document: object, steps: Sequence[Step]) -> Any:
    """Look up what stands at a place.

    Args:
        field: RuleField of the document's root.
        document: The document; ABSENT where there is none.
        steps: The way to the place.

    Returns:
        The value there, or ABSENT.
    """
    value = document
    for step in steps:
        value = _next(field, value, step)
        field = below(field, step)
    return value


def below(field: RuleField, step: Step) -> RuleField:
    """Describe what a step leads to.

    Args:
        field: Where the step starts.
        step: The step.

    Returns:
        The field there.
    """
    return field.member(step) if isinstance(step, str) else field.entry()


def pointer(field: RuleField, document: object, steps: Sequence[Step]) -> str:
    """Write the way to a place as a JSON pointer into one document.

    Args:
        field: RuleField of the document's root.
        document: The document.
        steps: The way, which need not go as deep as the document.

    Returns:
        The pointer, as a fragment; it ends at a list where the place is a value of a set.
    """
    ways: list[str | int] = []
    value = document
    for step in steps:
        if isinstance(step, Element):
            break
        ways.append(_index(field, value, step) if isinstance(step, Keyed) else step)
        value, field = _next(field, value, step), below(field, step)
    return pointer_to(*ways)


def _index(field: RuleField, value: Any, step: Keyed) -> int:
    steps = keyed(field, value) if is_list(value) else None
    return steps.index(step) if steps and step in steps else 0


def _next(field: RuleField, value: Any, step: Step) -> Any:
    if isinstance(step, str):
        return value.get(step, ABSENT) if isinstance(value, Mapping) else ABSENT
    if not is_list(value):
        return ABSENT
    if isinstance(step, int):
        return value[step] if step < len(value) else ABSENT
    if isinstance(step, Element):
        return next((entry for entry in value if written(entry) == step.written), ABSENT)
    steps = keyed(field, value)
    return value[steps.index(step)] if steps and step in steps else ABSENT
