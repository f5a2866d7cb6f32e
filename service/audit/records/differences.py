"""Where two answers differ, value by value, and whether it is a figure, something gained, or only a wording."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any, Literal

from service.audit.changes.figures import leaves
from service.audit.changes.places import ABSENT, is_number, or_null, same
from service.audit.records.versions import became_figures
from service.contract.replays import LONGEST_TEXT
from service.contract.sentences import is_sentence
from service.rulebook.finding import pointer_to

LONGEST_POINTER = 300
TOLD_BY: Mapping[str, tuple[str, ...]] = {
    "checks": ("mode", "load_case", "edge"),
    "requirements": ("code",),
    "scope_limits": ("code",),
    "assumptions": ("code", "pointer"),
    "cautions": ("code",),
    "open_readings": ("code",),
    "standards": ("code",),
    "national_choices": ("code", "clause"),
    "parts": ("condition",),
    "trace": ("symbol",),
}
"""Members that tell the entries of a list apart, so that an entry gained does not move the others."""

Kind = Literal["changed", "added", "removed", "reworded"]
Steps = tuple[str | int, ...]


@dataclass(frozen=True)
class Difference:
    """A value that is not the same in two answers.

    Attributes:
        pointer: JSON pointer to it.
        recorded: What the record says; null too where it says nothing.
        recomputed: What was calculated; null too where there is nothing.
        relative: By how much more was calculated, as a share of what the record says; None where it can't be said.
        kind: "changed", "added" (only the record has it), "removed" (the record lacks it: the answer has gained it)
            or "reworded" (a sentence in other words).
    """

    pointer: str
    recorded: float | str | bool | None
    recomputed: float | str | bool | None
    relative: float | None
    kind: Kind

    @property
    def contradicts(self) -> bool:
        """Whether something that the record says is not what comes out."""
        return self.kind in {"changed", "added"}

    @property
    def of_figures(self) -> bool:
        """Whether a number is among what differs."""
        return is_number(self.recorded) or is_number(self.recomputed)

    def as_json(self) -> dict[str, Any]:
        """Give the difference as plain data."""
        return asdict(self)


def answer_differences(recorded: Any, recomputed: Any, version: int) -> Iterator[Difference]:
    """Compare what a record says with what was calculated, whatever the order of keys and the way of writing numbers.

    Args:
        recorded: Content of the record's answer, in the names of today.
        recomputed: The same as calculated.
        version: Version of the contract that the record was written by.

    Yields:
        Each value that differs, in the order of the record.
    """
    for steps, one, other in _unlike(recorded, recomputed, ()):
        both_texts = isinstance(one, str) and isinstance(other, str)
        worded = (is_sentence(steps) and both_texts) or became_figures(steps, one, other, version)
        yield difference(("answer", *steps), one, other, reworded=worded)


def difference(place: Steps, recorded: Any, recomputed: Any, *, reworded: bool = False) -> Difference:
    """Describe one difference.

    Args:
        place: Where it stands.
        recorded: What the record says, or ABSENT.
        recomputed: What was calculated, or ABSENT.
        reworded: Whether both say the same in other words.

    Returns:
        The difference; long texts are cut.
    """
    kind: Kind = "added" if recomputed is ABSENT else "removed" if recorded is ABSENT else "changed"
    pointer = _cut(pointer_to(*place), LONGEST_POINTER)
    shown = _shown(recorded), _shown(recomputed)
    return Difference(pointer, *shown, _relative(recorded, recomputed), "reworded" if reworded else kind)


def _unlike(one: Any, other: Any, steps: Steps) -> Iterator[tuple[Steps, Any, Any]]:
    """Each value that differs, with its place; a part that only one side has is gone through value by value."""
    if isinstance(one, Mapping) and isinstance(other, Mapping):
        for name in dict.fromkeys((*one, *other)):
            yield from _unlike(one.get(name, ABSENT), other.get(name, ABSENT), (*steps, name))
    elif isinstance(one, list) and isinstance(other, list):
        told_by = TOLD_BY.get(str(steps[-1]), ()) if steps else ()
        for index, (entry, match) in enumerate(_paired(one, other, told_by)):
            yield from _unlike(entry, match, (*steps, index))
    elif one is ABSENT:
        yield from ((place, ABSENT, value) for place, value in leaves(other, steps))
    elif other is ABSENT:
        yield from ((place, value, ABSENT) for place, value in leaves(one, steps))
    elif not same(one, other):
        said, found = dict(leaves(one, steps)), dict(leaves(other, steps))
        yield from ((p, said.get(p, ABSENT), found.get(p, ABSENT)) for p in dict.fromkeys((*said, *found)))


def _paired(one: Sequence[Any], other: Sequence[Any], names: tuple[str, ...]) -> Iterator[tuple[Any, Any]]:
    """Entries of the first list with those of the second that they are told by; what is left over pairs by order."""
    left = list(other)
    matches = [_taken(left, entry, names) for entry in one]
    # Two codes are never one that changed: the one was lost and the other gained.
    alike = tuple(name for name in names if name == "code")
    for entry, match in zip(one, matches, strict=True):
        yield entry, _next(left, entry, alike) if match is ABSENT else match
    yield from ((ABSENT, entry) for entry in left)


def _next(left: list[Any], entry: Any, alike: tuple[str, ...]) -> Any:
    """Take the next entry that is left; where entries have a code, the next with the same one."""
    if alike:
        return _taken(left, entry, alike)
    return left.pop(0) if left else ABSENT


def _taken(left: list[Any], entry: Any, names: tuple[str, ...]) -> Any:
    """Take the first entry with the same names out of a list."""
    if names and isinstance(entry, Mapping):
        for index, candidate in enumerate(left):
            if isinstance(candidate, Mapping) and all(same(entry.get(n), candidate.get(n)) for n in names):
                return left.pop(index)
    return ABSENT


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
    return or_null(value)


def _cut(text: str, longest: int) -> str:
    return text if len(text) <= longest else f"{text[: longest - 1]}…"
