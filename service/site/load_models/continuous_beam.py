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


def reactions(spans_mm: Sequence[float], loads: Sequence[float]) -> tuple[float, ...]:
    """Forces of the beam on its supports, positive where the beam rests on them.

    Args:
        spans_mm: Lengths of the spans (mm).
        loads: Even load of each span (force/mm).

    Returns:
        One force a support, in that of the load; those beside a span of no length say nothing.
    """
    moments = support_moments(spans_mm, loads)
    forces = [0.0] * len(moments)
    for i, (span, load) in enumerate(zip(spans_mm, loads, strict=True)):
        turned = (moments[i] - moments[i + 1]) / span if span > 0.0 else 0.0
        forces[i] += load * span / 2.0 + turned
        forces[i + 1] += load * span / 2.0 - turned
    return tuple(forces)


def carried_over(spans_mm: Sequence[float]) -> tuple[tuple[float, ...], float]:
    """What spans in a row leave over the far end of the first, whatever moment stands over its near end.

    That moment is the sum of one part a loaded span, less a share of the moment over the near end.

    Args:
        spans_mm: Lengths of the spans from the near end outwards (mm); the last end is free to turn.

    Returns:
        The part of each span under a load of 1 (mm²), and the share.
    """
    parts, share = [0.0] * len(spans_mm), 0.0
    for i in reversed(range(len(spans_mm) - 1)):
        near, far = spans_mm[i], spans_mm[i + 1]
        diagonal = 2.0 * (near + far) - share * far
        parts = [-far * part for part in parts]
        parts[i] += near**3 / 4.0
        parts[i + 1] += far**3 / 4.0
        parts = [part / diagonal for part in parts]
        share = near / diagonal
    return tuple(parts), share
