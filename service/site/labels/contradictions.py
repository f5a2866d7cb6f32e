"""Loads of one label that do not go together, in words with both figures."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, permutations

RECOMMENDED = "recommended"
ASCENDING = (RECOMMENDED, "characteristic", "mean_ultimate")
"""Kinds of load from the one that has to be lowest up; of one fastener none may be above the next."""
IMPOSSIBLE, CONTRADICT = "figure_not_what_it_is_called", "figures_contradict"


@dataclass(frozen=True, slots=True)
class Stated:
    """One load of a label.

    Attributes:
        told: The load in words, as "the recommended load of 4 kN".
        meaning: Its meaning as given.
        stated_kn: The load (kN).
        divisor: What it is divided by (no unit).
    """

    told: str
    meaning: str
    stated_kn: float
    divisor: float


@dataclass(frozen=True, slots=True)
class Remark:
    """What does not go together: a stable code, and words with both figures."""

    code: str
    text: str


def impossible(meanings: Sequence[str], stated_kn: Sequence[float]) -> tuple[tuple[int, int], ...]:
    """Find pairs of loads of which one cannot be what it is called.

    A load in service lies below one at failure, and a characteristic load is not above the mean.

    Args:
        meanings: What each load is called.
        stated_kn: The loads (kN).

    Returns:
        Indexes, the load that should be the lower first.
    """
    ranks = {meaning: rank for rank, meaning in enumerate(ASCENDING)}
    found = []
    for low, high in permutations(range(len(meanings)), 2):
        below, above = ranks.get(meanings[low]), ranks.get(meanings[high])
        if below is None or above is None or below >= above:
            continue
        level = meanings[low] == RECOMMENDED and stated_kn[low] == stated_kn[high]
        if level or stated_kn[low] > stated_kn[high]:
            found.append((low, high))
    return tuple(found)


def contradictions(figures: Sequence[Stated], tolerance: float) -> Iterator[Remark]:
    """Remark on each two loads that do not go together.

    Args:
        figures: The loads of a label.
        tolerance: By what share two may differ and still be one, from rounding.

    Yields:
        The remarks.
    """
    pairs = impossible([figure.meaning for figure in figures], [figure.stated_kn for figure in figures])
    for low, high in pairs:
        words = (
            f"{figures[low].told} is not below {figures[high].told}, and has to be: one of them is not what it is "
            "called. Both were taken as loads whose meaning nobody knows, and the lower counts."
        )
        yield Remark(IMPOSSIBLE, _sentence(words))
    for one, other in combinations(range(len(figures)), 2):
        if (one, other) not in pairs and (other, one) not in pairs:
            yield from _apart(figures[one], figures[other], 1.0 + tolerance)


def down(value: float) -> str:
    """Write a figure with three digits, never rounded up: a limit in words must not grow.

    Args:
        value: The figure, above 0.

    Returns:
        The figure in words.
    """
    step = 10.0 ** (math.floor(math.log10(value)) - 2)
    return f"{math.floor(value / step * (1.0 + 1e-12)) * step:.3g}"


def _apart(one: Stated, other: Stated, tolerance: float) -> Iterator[Remark]:
    if one.meaning == other.meaning:
        low, high = sorted((one.stated_kn, other.stated_kn))
        if high > low * tolerance:
            words = (
                f"{one.told} and {other.told} are of one kind and differ: they may be for two directions, depths or "
                "base materials. The lower counts; ask which of them is for this place."
            )
            yield Remark(CONTRADICT, _sentence(words))
        return
    service, failure = (one, other) if one.meaning == RECOMMENDED else (other, one)
    if service.meaning != RECOMMENDED or failure.meaning not in ASCENDING:
        return
    left = failure.stated_kn / failure.divisor
    if service.stated_kn / service.divisor > left * tolerance:
        words = (
            f"{service.told} is more than {failure.told} leaves in service by the rulebook, "
            f"{failure.stated_kn:.3g}/{failure.divisor:g} = {down(left)} kN: the label takes less off than the "
            "rulebook. The lower counts."
        )
        yield Remark(CONTRADICT, _sentence(words))


def _sentence(words: str) -> str:
    return words[0].upper() + words[1:]
