"""Which rows fasteners stand in, for the rule of method.md on arrangements that the standard does not draw.

A company rule of the method, with no source; written here apart from the engine.
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from tests.independent import areas

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from numpy.typing import NDArray

TAPE = 0.5


def drawn(points: Sequence[tuple[float, float]]) -> bool:
    """Whether the standard draws it: a grid up to three by three, a line wide by at most a tenth of a spacing."""
    return any(worst <= 0.1 + 1e-9 and label.max() < 3 for worst, label in _fits(points))


def lanes(points: Sequence[tuple[float, float]], axis: int) -> list[list[int]] | None:
    """Fasteners in lines across an axis, ascending: columns for x, rows for y; None where nothing is in rows.

    No line is wide by half a spacing; the grid that fits best is meant.
    """
    worst, label = min(_fits(points), key=lambda fit: fit[0], default=(np.inf, np.empty((0, 2), dtype=int)))
    if worst >= 0.5:
        return None
    of_axis = label[:, axis]
    return [[int(i) for i in np.flatnonzero(of_axis == k)] for k in range(of_axis.max() + 1)]


def _fits(points: Sequence[tuple[float, float]]) -> Iterator[tuple[float, NDArray[np.int_]]]:
    """Every way to see a grid in it: width of the widest line, in spacings, and each one's column and row."""
    p, n = np.array(points), len(points)
    for columns in (k for k in range(1, n + 1) if n % k == 0):
        # label every fastener by its place in the order along x and along y
        label = np.empty((n, 2), dtype=int)
        label[np.argsort(p[:, 0], kind="stable"), 0] = np.arange(n) // (n // columns)
        label[np.argsort(p[:, 1], kind="stable"), 1] = np.arange(n) // columns
        if len({(int(a), int(b)) for a, b in label}) < n:
            continue
        # the table of places by column and row: lines run along one of its axes, spacings along the other
        table = np.empty((columns, n // columns, 2))
        table[label[:, 0], label[:, 1]] = p
        widths = [float(np.ptp(table[..., k], axis=1 - k).max()) for k in (0, 1)]
        gaps = [np.diff(np.sort(table[..., k], axis=k), axis=k) for k in (0, 1)]
        least = [float(g.min()) if g.size else None for g in gaps]
        spacings = [least[k] if least[k] is not None else least[1 - k] for k in (0, 1)]
        yield max((w / s if s else np.inf) if w > 0 else 0.0 for w, s in zip(widths, spacings, strict=True)), label


def longest_row(points: Sequence[tuple[float, float]]) -> int:
    """Number of fasteners in the longest row or column; 0 where nothing is in rows."""
    counts = [len(found) for axis in (0, 1) if (found := lanes(points, axis)) is not None]
    return max(counts, default=0)


def in_line(points: Sequence[tuple[float, float]], members: Sequence[int], distances: Sequence[float]) -> list[int]:
    """The fastener nearest an edge with those within a tenth of the least spacing of it."""
    spacing = areas.row_tolerance(points)
    nearest = min(distances[i] for i in members)
    return [i for i in members if distances[i] - nearest <= max(spacing, TAPE)]


def widest_gap(points: Sequence[tuple[float, float]], group: Sequence[int], axis: int) -> float:
    """Largest spacing of neighbours along an axis where the standard draws no grid (mm).

    Reading: measured along the rows that were intended; without rows the farthest two count.
    """
    rows = lanes(points, 1 - axis)
    found = [group] if rows is None else [[i for i in row if i in group] for row in rows]
    places = [sorted(points[i][axis] for i in row) for row in found if row]
    if rows is None:
        return max(places[0]) - min(places[0])
    return max((b - a for row in places for a, b in pairwise(row)), default=0.0)
