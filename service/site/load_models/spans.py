"""What one support of a pipe carries: the continuous beam on its real spans, and the least favourable of what is open.

Of each side the distance to the next support is known, and perhaps to the one after it. Past the last support that is
known, the pipe may end or be jointed, be held as if clamped, run on over one long span or two, or over a short one and
a long one, which turn it there the other way; how short is searched for. No span is taken to be longer than the longest
told on either side, or, where a side was not told, than the longest that the company's pipes have if the rulebook says
it; either is said. The filling of a span counts where it loads this support more, or where it lifts it more: a pipe
fills and empties from one end.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import product
from typing import TypeAlias

from service.site.load_models.continuous_beam import carried_over, reactions

Spans: TypeAlias = tuple[float, ...]
CLAMPED = 0.0
"""A span of no length holds the beam as a clamp does (mm)."""
STEP = 1.35
SHORT = tuple(STEP**-steps for steps in range(1, 13))
"""How short a span may be over the longest, down to 1/36, from where it is near enough a clamp."""
FINER = tuple(STEP ** (fourth / 4.0) for fourth in (-3, -2, -1, 0, 1, 2, 3))
"""Between one of these and the next."""


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
        least_filling: The least of what fills it, where only spans that lift this support are full; never above 0.
        neighbour_lifts: Whether the full pipe lifts off another support.
    """

    pipe: float
    filling: float
    least: float
    least_filling: float
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
        least_filling=one.least_filling + other.least_filling,
        neighbour_lifts=one.neighbour_lifts or other.neighbour_lifts,
    )
    return _at_least_half(sides, both)


def carried_at_the_end(side: Side) -> Carried:
    """Find what the support at the end of a beam carries: of its own span, and of what turns it over the next support.

    Args:
        side: The spans from the end; what stands beyond is taken to be no longer than the longer of them.

    Returns:
        The lengths; the most is never less than half of the span beside it.
    """
    found, half = _envelope(max(side.next_mm, side.beyond_mm or 0.0), side), side.next_mm / 2.0
    return replace(found, pipe=max(found.pipe, half), filling=max(found.filling, half))


def _at_least_half(sides: tuple[Side, Side], found: Carried) -> Carried:
    half = (sides[0].next_mm + sides[1].next_mm) / 2.0
    return replace(found, pipe=max(found.pipe, half), filling=max(found.filling, half))


@dataclass(frozen=True, slots=True)
class _Arm:
    """Spans of one side, from this support outwards, and the moment over the next support that they leave there.

    Attributes:
        spans: The spans.
        all: That moment where all are loaded and none stands over this support (mm²).
        filled: The same where only those are loaded that load this support more.
        lifting: The same where only those are loaded that lift it more.
        share: How much of the moment over this support lessens it.
        short_mm: The short span whose length is searched for; 0: none.
    """

    spans: Spans
    all: float
    filled: float
    lifting: float
    share: float
    short_mm: float = 0.0


_Beam: TypeAlias = tuple[_Arm, ...]
_Length: TypeAlias = Callable[[_Beam], float]


def _envelope(longest_mm: float, *sides: Side) -> Carried:
    """The most and the least over all that may stand beyond."""
    shorts = [share * longest_mm for share in SHORT]
    states = [[*_plain(side, longest_mm), *_turned(side, longest_mm, shorts)] for side in sides]
    if any(map(_end_lifts, product(*states))):
        # An end that lifts holds nothing down: then the pipe is as one that ends at the support before it.
        states = [[*state, _arm((side.next_mm,))] for state, side in zip(states, sides, strict=True)]
    lengths = (_pipe, _filling, lambda beam: -_pipe(beam), lambda beam: -_lifting(beam))
    pipe, filling, least, lifting = (_most(states, sides, longest_mm, length) for length in lengths)
    some = product(
        *(
            [*_plain(side, longest_mm), *_turned(side, longest_mm, shorts[2::3] if side.beyond_mm is None else ())]
            for side in sides
        )
    )
    return Carried(
        pipe=_pipe(pipe),
        filling=_filling(filling),
        least=_pipe(least),
        least_filling=min(_lifting(lifting), 0.0),
        neighbour_lifts=any(_lifts(*_joined(beam)) for beam in (*some, pipe, filling, least)),
    )


def _told(side: Side) -> Spans:
    return (side.next_mm,) if side.beyond_mm is None else (side.next_mm, side.beyond_mm)


def _plain(side: Side, longest_mm: float) -> list[_Arm]:
    """What may stand on one side where no short span turns it."""
    further = ((), (CLAMPED,), (longest_mm,), (longest_mm, longest_mm))
    return [_arm((*_told(side), *spans)) for spans in further]


def _turned(side: Side, longest_mm: float, shorts_mm: Iterable[float]) -> list[_Arm]:
    """What may stand on one side where a short span and a long one turn it."""
    return [_arm((*_told(side), min(short, longest_mm), longest_mm), short) for short in shorts_mm]


def _arm(spans: Spans, short_mm: float = 0.0) -> _Arm:
    parts, share = carried_over(spans)
    # The span beside a support always loads it, one further on where it lessens the moment over the next support.
    filled = parts[0] + sum(part for part in parts[1:] if part < 0.0)
    lifting = sum(part for part in parts[1:] if part > 0.0)
    return _Arm(spans, sum(parts), filled, lifting, share, short_mm)


def _most(states: Sequence[Sequence[_Arm]], sides: Sequence[Side], longest_mm: float, length: _Length) -> _Beam:
    """The beam of the most of a length, each side apart from the other; short spans between those of the states too."""
    found = max(product(*states), key=length)
    between = (
        [arm, *_turned(side, longest_mm, (arm.short_mm * finer for finer in FINER if arm.short_mm > 0.0))]
        for arm, side in zip(found, sides, strict=True)
    )
    return max(product(*between), key=length)


def _pipe(beam: _Beam) -> float:
    return _length(beam, [arm.all for arm in beam])


def _filling(beam: _Beam) -> float:
    return _length(beam, [arm.filled for arm in beam])


def _lifting(beam: _Beam) -> float:
    return _length(beam, [arm.lifting for arm in beam], beside=0.0)


def _length(beam: _Beam, moments: Sequence[float], beside: float = 1.0) -> float:
    """What this support carries, by the three moments over it (0 where it ends) and the load of what is beside it."""
    here = _moment_here(beam, moments, beside)
    length = 0.0
    for arm, moment in zip(beam, moments, strict=True):
        near = arm.spans[0]
        length += beside * near / 2.0 + (here - moment + arm.share * here) / near
    return length


def _moment_here(beam: _Beam, moments: Sequence[float], beside: float = 1.0) -> float:
    if len(beam) == 1:
        return 0.0
    (one, other), (left, right) = beam, moments
    a, b = one.spans[0], other.spans[0]
    loaded = beside * (a**3 + b**3) / 4.0
    return (loaded - a * left - b * right) / (a * (2.0 - one.share) + b * (2.0 - other.share))


def _joined(beam: _Beam) -> tuple[Spans, int]:
    """The spans of one side or of both in a row, and which of their supports is this one."""
    if len(beam) == 1:
        return beam[0].spans, 0
    one, other = beam
    return (*reversed(one.spans), *other.spans), len(one.spans)


def _end_lifts(beam: _Beam) -> bool:
    """Whether an end lifts: this one, or one by a span that is told; a long last span holds its own end down."""
    here = _moment_here(beam, [arm.all for arm in beam])
    for arm in beam:
        last = {1: here, 2: arm.all - arm.share * here}.get(len(arm.spans), 0.0)
        if CLAMPED not in arm.spans and last > arm.spans[-1] ** 2 / 2.0:
            return True
    return len(beam) == 1 and _pipe(beam) < 0.0


def _lifts(beam: Spans, here: int) -> bool:
    """Whether another support lifts at which a length of pipe ends on both sides, or at the end of the beam."""
    forces = reactions(beam, [1.0] * len(beam))
    return any(
        force < 0.0 and support != here and CLAMPED not in beam[max(0, support - 1) : support + 1]
        for support, force in enumerate(forces)
    )
