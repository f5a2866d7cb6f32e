"""Loads of one label that do not go together, with both figures."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, permutations

from service.contract.label_codes import LabelCautionCode, LoadMeaning
from service.words import Statement, Value

RECOMMENDED = "recommended"
ASCENDING = (RECOMMENDED, "characteristic", "mean_ultimate")
"""Kinds of load from the one that has to be lowest up; of one fastener none may be above the next."""


@dataclass(frozen=True, slots=True)
class Stated:
    """One load of a label.

    Attributes:
        meaning: Its meaning as given.
        stated_kn: The load (kN).
        divisor: What it is divided by (no unit).
    """

    meaning: str
    stated_kn: float
    divisor: float


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


def contradictions(figures: Sequence[Stated], tolerance: float) -> Iterator[Statement]:
    """Remark on each two loads that do not go together.

    Args:
        figures: The loads of a label.
        tolerance: By what share two may differ and still be one, from rounding.

    Yields:
        The remarks.
    """
    pairs = impossible([figure.meaning for figure in figures], [figure.stated_kn for figure in figures])
    for low, high in pairs:
        below, above = figures[low], figures[high]
        said: dict[str, Value] = {
            "low": LoadMeaning(below.meaning),
            "low_kn": below.stated_kn,
            "high": LoadMeaning(above.meaning),
            "high_kn": above.stated_kn,
        }
        yield Statement(LabelCautionCode.FIGURE_NOT_WHAT_IT_IS_CALLED, said)
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


def _apart(one: Stated, other: Stated, tolerance: float) -> Iterator[Statement]:
    if one.meaning == other.meaning:
        low, high = sorted((one.stated_kn, other.stated_kn))
        if high > low * tolerance:
            yield _contradict(one, other, None, None)
        return
    service, failure = (one, other) if one.meaning == RECOMMENDED else (other, one)
    if service.meaning != RECOMMENDED or failure.meaning not in ASCENDING:
        return
    left = failure.stated_kn / failure.divisor
    if service.stated_kn / service.divisor > left * tolerance:
        yield _contradict(service, failure, failure.divisor, float(down(left)))


def _contradict(one: Stated, other: Stated, divisor: float | None, left_kn: float | None) -> Statement:
    figures: dict[str, Value] = {
        "one": LoadMeaning(one.meaning),
        "one_kn": one.stated_kn,
        "other": LoadMeaning(other.meaning),
        "other_kn": other.stated_kn,
        "divisor": divisor,
        "left_kn": left_kn,
    }
    return Statement(LabelCautionCode.FIGURES_CONTRADICT, figures)
