"""The one criterion by which sizing prefers a fixing over another: the rulebook's selection order."""

from collections.abc import Sequence
from dataclasses import dataclass

UTILISATION = "utilisation"
CRITERIA = ("fastener_count", "drilled_volume", "preference_rank", "availability", UTILISATION)
AVAILABILITY_RANKS = {"stock": 0, "to_order": 1}


@dataclass(frozen=True)
class SelectionFigures:
    """What a fixing is compared by, smaller first; the field names are the criteria a rulebook may list."""

    fastener_count: int
    drilled_volume: float
    preference_rank: int
    availability: int
    utilisation: float

    def value(self, criterion: str) -> float:
        """Give the figure of one criterion.

        Args:
            criterion: A name from the rulebook's `selection_order`.

        Returns:
            The figure; the smaller one is preferred.

        Raises:
            ValueError: The rulebook orders by something that sizing does not know.
        """
        if criterion not in CRITERIA:
            raise ValueError(f"selection_order names {criterion!r}; known are {', '.join(CRITERIA)}")
        return float(getattr(self, criterion))


def selection_key(figures: SelectionFigures, order: Sequence[str]) -> tuple[float, ...]:
    """Turn the figures of a fixing into a sort key, best first.

    Args:
        figures: What the fixing is compared by.
        order: The rulebook's `selection_order`, or the leading part of it.

    Returns:
        The figures in that order.
    """
    return tuple(figures.value(criterion) for criterion in order)


def known_before_verification(order: Sequence[str]) -> tuple[str, ...]:
    """Give the leading criteria that need no verification, so that a search may go through them in order and stop.

    Args:
        order: The rulebook's `selection_order`.

    Returns:
        What stands before the utilisation in it.
    """
    names = tuple(order)
    return names[: names.index(UTILISATION)] if UTILISATION in names else names


def deciding_criterion(better: SelectionFigures, worse: SelectionFigures, order: Sequence[str]) -> str | None:
    """Name the first criterion in which two fixings differ.

    Args:
        better: Figures of the fixing that ranks higher.
        worse: Figures of the one that ranks lower.
        order: The rulebook's `selection_order`.

    Returns:
        The criterion, or None where they are equal in all of them.
    """
    return next((name for name in order if better.value(name) != worse.value(name)), None)
