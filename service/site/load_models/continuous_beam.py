"""A beam that runs on over several supports, by the theorem of three moments (statics, Clapeyron 1857).

Spans stand in a row; a span of no length at an end clamps the beam there. Moments are those over the supports, positive
where the beam hogs.
"""

from __future__ import annotations

from collections.abc import Sequence


def support_moments(spans_mm: Sequence[float], loads: Sequence[float]) -> tuple[float, ...]:
    """Moments over all supports of a continuous beam of one stiffness.

    M_(i−1)·l_i + 2·M_i·(l_i + l_(i+1)) + M_(i+1)·l_(i+1) = (q_i·l_i³ + q_(i+1)·l_(i+1)³)/4, and none at both ends.

    Args:
        spans_mm: Lengths of the spans (mm).
        loads: Even load of each span (force/mm).

    Returns:
        One moment a support, from the first to the last (force·mm).
    """
    inner = len(spans_mm) - 1
    pulls = [load * span**3 / 4.0 for load, span in zip(loads, spans_mm, strict=True)]
    diagonal = [2.0 * (spans_mm[i] + spans_mm[i + 1]) for i in range(inner)]
    right = [pulls[i] + pulls[i + 1] for i in range(inner)]
    for i in range(1, inner):
        factor = spans_mm[i] / diagonal[i - 1]
        diagonal[i] -= factor * spans_mm[i]
        right[i] -= factor * right[i - 1]
    moments = [0.0] * (inner + 2)
    for i in reversed(range(inner)):
        moments[i + 1] = (right[i] - spans_mm[i + 1] * moments[i + 2]) / diagonal[i]
    return tuple(moments)


def reaction(spans_mm: Sequence[float], loads: Sequence[float], support: int) -> float:
    """Force of the beam on one of its supports, positive where the beam rests on it.

    Args:
        spans_mm: Lengths of the spans (mm).
        loads: Even load of each span (force/mm).
        support: Which support, the first is 0; the spans beside it have a length.

    Returns:
        The force, in that of the load.
    """
    moments = support_moments(spans_mm, loads)
    here, force = moments[support], 0.0
    if support > 0:
        span = spans_mm[support - 1]
        force += loads[support - 1] * span / 2.0 + (here - moments[support - 1]) / span
    if support < len(spans_mm):
        span = spans_mm[support]
        force += loads[support] * span / 2.0 + (here - moments[support + 1]) / span
    return force


def lengths_carried(spans_mm: Sequence[float], support: int) -> tuple[float, ...]:
    """What a support carries of the load of each span, as a length of that load.

    Args:
        spans_mm: Lengths of the spans (mm).
        support: Which support.

    Returns:
        One length a span (mm), negative where its load lifts the beam off this support.
    """
    count = range(len(spans_mm))
    return tuple(reaction(spans_mm, [1.0 if one == loaded else 0.0 for one in count], support) for loaded in count)
