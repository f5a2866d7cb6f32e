"""Where two answers differ, value by value."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass
from typing import Any, Literal

from service.audit.changes.figures import is_number, leaves
from service.audit.changes.places import ABSENT, same
from service.contract.replays import LONGEST_TEXT
from service.rulebook.finding import pointer_to

LONGEST_POINTER = 300


@dataclass(frozen=True)
class Difference:
    """A value that is not the same in two answers.

    Attributes:
        pointer: JSON pointer to it.
        recorded: What the record says; null too where it says nothing.
        recomputed: What was calculated; null too where there is nothing.
        relative: By how much more was calculated, as a share of what the record says; None where it can't be said.
        kind: "changed", "added" (only the record has it) or "removed" (the record lacks it).
    """

    pointer: str
    recorded: float | str | bool | None
    recomputed: float | str | bool | None
    relative: float | None
    kind: Literal["changed", "added", "removed"]

    def as_json(self) -> dict[str, Any]:
        """Give the difference as plain data.

        Returns:
            Each attribute by its name.
        """
        return asdict(self)


def differences(recorded: Any, recomputed: Any, *steps: str | int) -> Iterator[Difference]:
    """Compare what a record says with what was calculated, whatever the order of keys and the way of writing numbers.

    Args:
        recorded: A part of the record.
        recomputed: The same part as calculated.
        *steps: Where the part stands.

    Yields:
        Each value that differs, in the order of the record.
    """
    said, found = dict(leaves(recorded, steps)), dict(leaves(recomputed, steps))
    for place in dict.fromkeys((*said, *found)):
        one, other = said.get(place, ABSENT), found.get(place, ABSENT)
        if not same(one, other):
            yield difference(place, one, other)


def difference(place: tuple[str | int, ...], recorded: Any, recomputed: Any) -> Difference:
    """Describe one difference.

    Args:
        place: Where it stands.
        recorded: What the record says, or ABSENT.
        recomputed: What was calculated, or ABSENT.

    Returns:
        The difference; long texts are cut.
    """
    kind: Literal["changed", "added", "removed"] = (
        "added" if recomputed is ABSENT else "removed" if recorded is ABSENT else "changed"
    )
    pointer = _cut(pointer_to(*place), LONGEST_POINTER)
    return Difference(pointer, _shown(recorded), _shown(recomputed), _relative(recorded, recomputed), kind)


def _relative(recorded: Any, recomputed: Any) -> float | None:
    if not (is_number(recorded) and is_number(recomputed)) or recorded == 0:
        return None
    share = (float(recomputed) - float(recorded)) / abs(float(recorded))
    return float(f"{share:.6g}") if math.isfinite(share) else None


def _shown(value: Any) -> Any:
    if isinstance(value, Mapping):
        return "{}"
    if isinstance(value, list | tuple):
        return "[]"
    if isinstance(value, str):
        return _cut(value, LONGEST_TEXT)
    return None if value is ABSENT else value


def _cut(text: str, longest: int) -> str:
    return text if len(text) <= longest else f"{text[: longest - 1]}…"
