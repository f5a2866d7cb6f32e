"""Which fasteners of a lot to pull: spread over its parts, by a draw that anybody can repeat."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
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


def draw(seed: int, lot: str, number: int, parts: Sequence[PartOfLot], count: int) -> tuple[Drawn, ...]:
    """The first fasteners of a lot in the order in which they are pulled; more of them go on in the same order.

    Each part has its turn before any has a second one, those under the worst conditions first; after that the part
    comes next that has been drawn from least for its size.

    Args:
        seed: Seed of the draw.
        lot: Name of the lot.
        number: Fasteners of the lot, numbered from 1.
        parts: Parts of the lot, together all of it; none: it is one part.
        count: How many to draw, at most all of them.

    Returns:
        The drawn fasteners.
    """
    waiting = {
        part: sorted(range(part.first, part.last + 1), key=lambda n: rank(seed, lot, n), reverse=True)
        for part in parts or (PartOfLot("", 1, number, False),)
    }
    taken = dict.fromkeys(waiting, 0)
    drawn: list[Drawn] = []
    while waiting and len(drawn) < count:
        part = min(waiting, key=lambda p: _turn(p, taken[p]))
        drawn.append(Drawn(waiting[part].pop(), part.name or None))
        taken[part] += 1
        if not waiting[part]:
            del waiting[part]
    return tuple(drawn)


def _turn(part: PartOfLot, taken: int) -> tuple[bool, bool, float, int]:
    weight = part.size * (WORST_COUNTS if part.worst else 1.0)
    return taken > 0, taken == 0 and not part.worst, taken / weight, part.first
