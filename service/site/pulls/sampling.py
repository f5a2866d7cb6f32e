"""Which fasteners of a lot to pull: spread over its parts, by a draw that anybody can repeat."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

WORST_COUNTS = 2.0
"""A part under the worst conditions is drawn from as if it had so many times its fasteners."""


@dataclass(frozen=True, slots=True)
class PartOfLot:
    """Fasteners of a lot that one team set, or that stand in one place: the first number to the last."""

    name: str
    first: int
    last: int
    worst: bool

    @property
    def size(self) -> int:
        """How many fasteners."""
        return self.last - self.first + 1


@dataclass(frozen=True, slots=True)
class Drawn:
    """A drawn fastener: its number in the lot, and the part it belongs to."""

    number: int
    part: str | None


def rank(seed: int, lot: str, number: int) -> str:
    """What a fastener is drawn by: the SHA-256 of ``seed:lot:number`` in UTF-8; the lowest come first."""
    return hashlib.sha256(f"{seed}:{lot}:{number}".encode()).hexdigest()


@dataclass(frozen=True, slots=True)
class Sample:
    """The fasteners to pull at first, and the further ones that a single failure asks for, both in their order."""

    first: tuple[Drawn, ...]
    further: tuple[Drawn, ...]


def draw(seed: int, lot: str, number: int, parts: Sequence[PartOfLot], first: int, in_all: int) -> Sample:
    """The fasteners of a lot that are pulled, in their order.

    Each part has its turn before any has a second one, those under the worst conditions first; after that the part
    comes next that has been drawn from least for its size. The further ones come from the parts in the same order
    again, so that wherever one fails its part is pulled twice over, as far as it has so many.

    Args:
        seed: Seed of the draw.
        lot: Name of the lot.
        number: Fasteners of the lot, numbered from 1.
        parts: Parts of the lot, together all of it; none: it is one part.
        first: How many to draw at first.
        in_all: How many to draw in all, at most all of them.

    Returns:
        The drawn fasteners.
    """
    waiting = {
        part: sorted(range(part.first, part.last + 1), key=lambda n: rank(seed, lot, n), reverse=True)
        for part in parts or (PartOfLot("", 1, number, False),)
    }
    turns = _turns(waiting, first)
    drawn = [_take(waiting, part) for part in turns]
    further: list[Drawn] = []
    for part in turns:
        if waiting[part] and len(further) < in_all - first:
            further.append(_take(waiting, part))
    further += [_take(waiting, part) for part in _turns(waiting, in_all - first - len(further))]
    return Sample(tuple(drawn), tuple(further))


def _take(waiting: Mapping[PartOfLot, list[int]], part: PartOfLot) -> Drawn:
    return Drawn(waiting[part].pop(), part.name or None)


def _turns(waiting: Mapping[PartOfLot, Sequence[int]], count: int) -> list[PartOfLot]:
    """Parts in the order in which they are drawn from, as often as each still has fasteners."""
    taken = {part: 0 for part, numbers in waiting.items() if numbers}
    turns: list[PartOfLot] = []
    while taken and len(turns) < count:
        part = min(taken, key=lambda p: _turn(p, taken[p]))
        turns.append(part)
        taken[part] += 1
        if taken[part] == len(waiting[part]):
            del taken[part]
    return turns


def _turn(part: PartOfLot, taken: int) -> tuple[bool, bool, float, int]:
    weight = part.size * (WORST_COUNTS if part.worst else 1.0)
    return taken > 0, taken == 0 and not part.worst, taken / weight, part.first
