"""What one support of a pipe carries: the continuous beam on its real spans, and the least favourable of what is open.

Of each side the distance to the next support is known. What is beyond it may be known; where it is not, the pipe may
end or be jointed at that next support, be held there as if clamped, run on over a long span, or over a short one and a
long one, which turn it there. No span is taken to be longer than the longest told on either side, or, where a side was
not told, than the longest that the company's pipes have if the rulebook says it; either is said. So it is with what
stands beyond the second support. The filling of a span counts where it loads this support more: a pipe fills and
empties from one end.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product
from typing import TypeAlias

from service.site.load_models.continuous_beam import lengths_carried, reaction

Spans: TypeAlias = tuple[float, ...]
CLAMPED = 0.0
"""A span of no length holds the beam as a clamp does (mm)."""


@dataclass(frozen=True, slots=True)
class Side:
    """Spans on one side of the support.

    Attributes:
        next_mm: Distance to the next support.
        beyond_mm: From there to the one after it; None: not known.
    """

    next_mm: float
    beyond_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Carried:
    """Lengths of pipe that a support carries (mm), negative where they lift it off.

    Attributes:
        pipe: The most of the pipe itself.
        filling: The most of what fills it.
        least: The least of the full pipe.
        neighbour_lifts: Whether the full pipe lifts off another support.
    """

    pipe: float
    filling: float
    least: float
    neighbour_lifts: bool


def longest_told(sides: tuple[Side, Side]) -> float:
    """The longest span told on either side (mm)."""
    return max(span for side in sides for span in (side.next_mm, side.beyond_mm or 0.0))


def carried(sides: tuple[Side, Side], *, runs_on: bool, longest_mm: float = 0.0) -> Carried:
    """Find what a support carries of a pipe.

    Args:
        sides: The spans on both sides.
        runs_on: Whether the pipe runs on over this support; else it ends or is jointed there.
        longest_mm: How long spans further on may be, where that is more than the longest told.

    Returns:
        The lengths; the most is never less than half of both spans beside it.
    """
    longest = max(longest_mm, longest_told(sides))
    if runs_on:
        return _at_least_half(sides, _envelope(longest, *sides))
    one, other = (_envelope(longest, side) for side in sides)
    both = Carried(
        pipe=one.pipe + other.pipe,
        filling=one.filling + other.filling,
        least=one.least + other.least,
        neighbour_lifts=one.neighbour_lifts or other.neighbour_lifts,
    )
    return _at_least_half(sides, both)


def _at_least_half(sides: tuple[Side, Side], found: Carried) -> Carried:
    half = (sides[0].next_mm + sides[1].next_mm) / 2.0
    return replace(found, pipe=max(found.pipe, half), filling=max(found.filling, half))


def _envelope(longest_mm: float, *sides: Side) -> Carried:
    """The most and the least over all that may stand beyond."""
    states = [_beams(side, longest_mm) for side in sides]
    beams = [_joined(parts) for parts in product(*states)]
    if any(_end_lifts(beam) for beam, _ in beams):
        # An end that lifts holds nothing down: then the pipe is as one that ends at the support before it.
        states = [[*state, (side.next_mm,)] for state, side in zip(states, sides, strict=True)]
        beams = [_joined(parts) for parts in product(*states)]
    shares = [lengths_carried(beam, here) for beam, here in beams]
    return Carried(
        pipe=max(map(sum, shares)),
        filling=max(sum(length for length in each if length > 0.0) for each in shares),
        least=min(map(sum, shares)),
        neighbour_lifts=any(_lifts(beam, here) for beam, here in beams),
    )


def _beams(side: Side, longest_mm: float) -> list[Spans]:
    """What may stand on one side, from this support outwards, no span longer than the longest."""
    if side.beyond_mm is None:
        short = ((side.next_mm, share * longest_mm, longest_mm) for share in (0.1, 0.25, 0.5))
        return [(side.next_mm,), (side.next_mm, CLAMPED), (side.next_mm, longest_mm), *short]
    known = (side.next_mm, side.beyond_mm)
    return [known, (*known, CLAMPED), (*known, longest_mm)]


def _joined(parts: Sequence[Spans]) -> tuple[Spans, int]:
    """A beam of what stands on one side or on both, and which of its supports is this one."""
    if len(parts) == 1:
        return parts[0], 0
    one, other = parts
    return (*reversed(one), *other), len(one)


def _supports(beam: Spans) -> Iterator[int]:
    """Supports that a length of pipe ends at on both sides, or at the end of the beam."""
    for support in range(len(beam) + 1):
        if CLAMPED not in beam[max(0, support - 1) : support + 1]:
            yield support


def _end_lifts(beam: Spans) -> bool:
    ends = {0, len(beam)}
    return any(reaction(beam, [1.0] * len(beam), end) < 0.0 for end in ends & set(_supports(beam)))


def _lifts(beam: Spans, here: int) -> bool:
    return any(reaction(beam, [1.0] * len(beam), other) < 0.0 for other in _supports(beam) if other != here)
