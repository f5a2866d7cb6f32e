"""How the fasteners stand: the grids that EN 1992-4 draws, their rows and spacings."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from service.engine.model import Point

DEVIATION_SHARE = 0.1
"""A position counts as its place in the grid within this share of the spacing (method reading, from memory)."""

LARGEST_COUNT = 3

TAPE_MM = 0.5
"""What a tape tells apart (mm): an alignment is one within it, so that no last digit decides (method reading)."""


@dataclass(frozen=True, slots=True)
class Grid:
    """A rectangular grid: fastener indices by column (rising x) and by row (rising y)."""

    columns: tuple[tuple[int, ...], ...]
    rows: tuple[tuple[int, ...], ...]

    def front_row(self, edge: int) -> tuple[int, ...]:
        """Fasteners of the row nearest an edge; the edge is an index into ``EDGE_NAMES``."""
        return (self.columns[0], self.columns[-1], self.rows[0], self.rows[-1])[edge]


def recognise_grid(points: Sequence[Point]) -> Grid | None:
    """The grid up to 3 by 3 in which fasteners stand, deviating by at most a tenth of its spacing.

    EN 1992-4:2018, 1.2 and 6.2.2 (arrangements drawn there), from memory.

    Args:
        points: Positions of the fasteners (mm).

    Returns:
        The grid, or None where the arrangement is another one.
    """
    count = len(points)
    exact = _exact_grid(points)
    if exact is not None:
        return exact
    for columns in range(1, LARGEST_COUNT + 1):
        if count % columns == 0 and count // columns <= LARGEST_COUNT:
            grid = _fit(points, columns, count // columns)
            if grid is not None:
                return grid
    return None


def _exact_grid(points: Sequence[Point]) -> Grid | None:
    """A grid whose rows and columns stand in line to the last digit, the usual case, found without measuring."""
    xs, ys = sorted({p[0] for p in points}), sorted({p[1] for p in points})
    if len(xs) > LARGEST_COUNT or len(ys) > LARGEST_COUNT or len(xs) * len(ys) != len(points):
        return None
    columns = tuple(tuple(i for i, p in enumerate(points) if p[0] == x) for x in xs)
    rows = tuple(tuple(i for i, p in enumerate(points) if p[1] == y) for y in ys)
    if any(len(column) != len(ys) for column in columns) or any(len(row) != len(xs) for row in rows):
        return None
    return Grid(columns, rows)


def _fit(points: Sequence[Point], column_count: int, row_count: int) -> Grid | None:
    columns = _bands([p[0] for p in points], column_count)
    rows = _bands([p[1] for p in points], row_count)
    column_means, row_means = _means(points, columns, 0), _means(points, rows, 1)
    spacing_x, spacing_y = _smallest_gap(column_means), _smallest_gap(row_means)
    if spacing_x is None and spacing_y is None:
        return Grid(columns, rows)
    allowed_x = DEVIATION_SHARE * (spacing_x if spacing_x is not None else spacing_y or 0.0)
    allowed_y = DEVIATION_SHARE * (spacing_y if spacing_y is not None else spacing_x or 0.0)
    near = all(
        abs(points[i][0] - mean) <= allowed_x * (1 + 1e-9)
        for band, mean in zip(columns, column_means, strict=True)
        for i in band
    ) and all(
        abs(points[i][1] - mean) <= allowed_y * (1 + 1e-9)
        for band, mean in zip(rows, row_means, strict=True)
        for i in band
    )
    every_place_once = all(len(set(column) & set(row)) == 1 for column in columns for row in rows)
    return Grid(columns, rows) if near and every_place_once else None


def _bands(values: Sequence[float], count: int) -> tuple[tuple[int, ...], ...]:
    order = sorted(range(len(values)), key=lambda i: values[i])
    size = len(values) // count
    return tuple(tuple(sorted(order[k * size : (k + 1) * size])) for k in range(count))


def _means(points: Sequence[Point], bands: Sequence[Sequence[int]], axis: int) -> list[float]:
    return [sum(points[i][axis] for i in band) / len(band) for band in bands]


def _smallest_gap(means: Sequence[float]) -> float | None:
    return min((b - a for a, b in pairwise(means)), default=None)


def adjacent_spacings(
    points: Sequence[Point], grid: Grid | None, members: Sequence[int]
) -> tuple[list[float], list[float]]:
    """Centre distances of neighbouring columns and of neighbouring rows of some of the fasteners (mm).

    Args:
        points: Positions of all fasteners (mm).
        grid: Their grid, or None for another arrangement, where each line that a tape tells is a row of its own.
        members: Indices of the fasteners concerned.

    Returns:
        Spacings in x and spacings in y (mm), empty where there is but one column or row.
    """
    wanted = set(members)
    if grid is None:
        bands_x, bands_y = lines_of(points, wanted, 0), lines_of(points, wanted, 1)
    else:
        bands_x = [[i for i in band if i in wanted] for band in grid.columns]
        bands_y = [[i for i in band if i in wanted] for band in grid.rows]
    spacings = []
    for axis, bands in ((0, bands_x), (1, bands_y)):
        means = _means(points, [band for band in bands if band], axis)
        spacings.append([b - a for a, b in pairwise(means)])
    return spacings[0], spacings[1]


def lines_of(points: Sequence[Point], members: Iterable[int], axis: int) -> list[list[int]]:
    """Fasteners in lines across an axis, each as near to the one before it as a tape tells, along the axis (mm)."""
    lines: list[list[int]] = []
    for i in sorted(members, key=lambda i: points[i][axis]):
        if not lines or points[i][axis] - points[lines[-1][-1]][axis] > TAPE_MM:
            lines.append([])
        lines[-1].append(i)
    return lines


def touching_groups(points: Sequence[Point], members: Sequence[int], side_mm: float) -> list[tuple[int, ...]]:
    """Groups of fasteners whose squares of side ``side_mm`` (mm) overlap, directly or through others."""
    if not members:
        return []
    xs = [points[i][0] for i in members]
    ys = [points[i][1] for i in members]
    if max(xs) - min(xs) < side_mm and max(ys) - min(ys) < side_mm:
        return [tuple(members)]
    left = list(members)
    groups: list[tuple[int, ...]] = []
    while left:
        group = [left.pop(0)]
        for i in group:
            near = [
                j
                for j in left
                if abs(points[i][0] - points[j][0]) < side_mm and abs(points[i][1] - points[j][1]) < side_mm
            ]
            group.extend(near)
            left = [j for j in left if j not in near]
        groups.append(tuple(sorted(group)))
    return groups
