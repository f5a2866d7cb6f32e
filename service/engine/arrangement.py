"""How the fasteners stand: the grids that EN 1992-4 draws, their rows and spacings."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from service.engine.model import Point

DEVIATION_SHARE = 0.1
"""A position counts as in line with the others of its line within this share of the least spacing (method reading,
from memory). It is held against the farthest of them and never against their mean, which a stray one draws to it."""

LARGEST_COUNT = 3

INTENDED_SHARE = 0.5
"""A position still shows its line among those that were intended within this share of the least spacing, where it is
nearer to it than to the next (company rule of the method)."""

LONGEST_ROW = 6
"""So many fasteners in a row are calculated near an edge; the standard draws three (company rule of the method)."""

TAPE_MM = 0.5
"""What a tape tells apart (mm): an alignment is one within it, so that no last digit decides (method reading)."""


@dataclass(frozen=True, slots=True)
class Grid:
    """A rectangular grid: fastener indices by column (rising x) and by row (rising y).

    ``drawn`` is False for rows that were intended and that the standard does not draw.
    """

    columns: tuple[tuple[int, ...], ...]
    rows: tuple[tuple[int, ...], ...]
    drawn: bool = True

    def front_row(self, edge: int) -> tuple[int, ...]:
        """Fasteners of the row nearest an edge; the edge is an index into ``EDGE_NAMES``."""
        return (self.columns[0], self.columns[-1], self.rows[0], self.rows[-1])[edge]


def recognise_grid(points: Sequence[Point]) -> Grid | None:
    """The grid up to 3 by 3 in which fasteners stand, no two of a line farther out of it than a tenth of the spacing.

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
            fit = _fit(points, columns, count // columns)
            if fit is not None and fit.deviation <= DEVIATION_SHARE * (1 + 1e-9):
                return replace(fit.grid, drawn=True)
    return None


def intended_rows(points: Sequence[Point]) -> Grid | None:
    """The rows and columns that were intended, where they are longer than drawn or a fastener left its place.

    Company rule of the method, no source: each fastener is within half a spacing of the line of the others, and of
    several such grids the one that fits best is meant.

    Args:
        points: Positions of the fasteners (mm), of a group that is no grid of EN 1992-4.

    Returns:
        The grid, not drawn, or None where nothing was in rows.
    """
    count = len(points)
    fits = [_fit(points, columns, count // columns) for columns in range(1, count + 1) if count % columns == 0]
    near = [fit for fit in fits if fit is not None and fit.deviation < INTENDED_SHARE]
    return min(near, key=lambda fit: fit.deviation).grid if near else None


def _exact_grid(points: Sequence[Point]) -> Grid | None:
    """A grid whose rows and columns stand in line to the last digit, the usual case, found without measuring."""
    columns: dict[float, list[int]] = {}
    rows: dict[float, list[int]] = {}
    for i, (x, y) in enumerate(points):
        columns.setdefault(x, []).append(i)
        rows.setdefault(y, []).append(i)
    across, along = len(columns), len(rows)
    if across > LARGEST_COUNT or along > LARGEST_COUNT or across * along != len(points):
        return None
    if {*map(len, columns.values())} != {along} or {*map(len, rows.values())} != {across}:
        return None
    return Grid(tuple(tuple(columns[x]) for x in sorted(columns)), tuple(tuple(rows[y]) for y in sorted(rows)))


@dataclass(frozen=True, slots=True)
class _Fit:
    """A grid and the largest share of its least spacing by which two fasteners of one line are out of it."""

    grid: Grid
    deviation: float


def _fit(points: Sequence[Point], column_count: int, row_count: int) -> _Fit | None:
    columns = _bands([p[0] for p in points], column_count)
    rows = _bands([p[1] for p in points], row_count)
    if not all(len(set(column) & set(row)) == 1 for column in columns for row in rows):
        return None
    grid = Grid(columns, rows, drawn=False)
    spacing_x, spacing_y = _least_spacing(points, rows, 0), _least_spacing(points, columns, 1)
    across_x = spacing_y if spacing_x is None else spacing_x
    across_y = spacing_x if spacing_y is None else spacing_y
    if across_x is None or across_y is None:
        return _Fit(grid, 0.0)
    off_x, off_y = _out_of_line(points, columns, 0), _out_of_line(points, rows, 1)
    return _Fit(grid, max(_share(off_x, across_x), _share(off_y, across_y)))


def _share(off_mm: float, spacing_mm: float) -> float:
    if off_mm == 0.0:
        return 0.0
    return off_mm / spacing_mm if spacing_mm > 0.0 else math.inf


def _bands(values: Sequence[float], count: int) -> tuple[tuple[int, ...], ...]:
    order = sorted(range(len(values)), key=lambda i: values[i])
    size = len(values) // count
    return tuple(tuple(sorted(order[k * size : (k + 1) * size])) for k in range(count))


def _means(points: Sequence[Point], bands: Sequence[Sequence[int]], axis: int) -> list[float]:
    return [sum(points[i][axis] for i in band) / len(band) for band in bands]


def _out_of_line(points: Sequence[Point], lines: Sequence[Sequence[int]], axis: int) -> float:
    """How far the fasteners of any line are apart across it, along the axis (mm)."""
    places = [[points[i][axis] for i in line] for line in lines]
    return max(max(line) - min(line) for line in places)


def _least_spacing(points: Sequence[Point], lanes: Sequence[Sequence[int]], axis: int) -> float | None:
    """Least distance of neighbours in any lane, along the axis (mm), and None where each stands alone in its own."""
    places = [sorted(points[i][axis] for i in lane) for lane in lanes]
    return min((b - a for lane in places for a, b in pairwise(lane)), default=None)


def adjacent_spacings(
    points: Sequence[Point], grid: Grid | None, members: Sequence[int]
) -> tuple[list[float], list[float]]:
    """Centre distances of neighbouring columns and of neighbouring rows of some of the fasteners (mm).

    Args:
        points: Positions of all fasteners (mm).
        grid: Their grid; in an arrangement that is not drawn each line that a tape tells is a row of its own.
        members: Indices of the fasteners concerned.

    Returns:
        Spacings in x and spacings in y (mm), empty where there is but one column or row.
    """
    return _spacings_along(points, grid, members, 0), _spacings_along(points, grid, members, 1)


def _spacings_along(points: Sequence[Point], grid: Grid | None, members: Sequence[int], axis: int) -> list[float]:
    wanted = set(members)
    if grid is None or not grid.drawn:
        bands = lines_of(points, wanted, axis)
    else:
        bands = [[i for i in band if i in wanted] for band in (grid.columns if axis == 0 else grid.rows)]
    means = _means(points, [band for band in bands if band], axis)
    return [b - a for a, b in pairwise(means)]


def largest_spacing(points: Sequence[Point], grid: Grid | None, members: Sequence[int], axis: int) -> float:
    """Largest centre distance of neighbours along an axis, by which narrow members are reckoned with (mm).

    Args:
        points: Positions of all fasteners (mm).
        grid: Their grid; in rows that were intended neighbours are measured where they stand, without rows the
            farthest two count, which is the safe reading.
        members: Indices of the fasteners concerned.
        axis: 0 for x, 1 for y.

    Returns:
        The distance (mm), 0 where there is but one in line.
    """
    wanted = set(members)
    if grid is None:
        along = [points[i][axis] for i in wanted]
        return max(along) - min(along)
    if grid.drawn:
        return max(_spacings_along(points, grid, members, axis), default=0.0)
    lanes = grid.rows if axis == 0 else grid.columns
    sorted_lanes = (sorted(points[i][axis] for i in lane if i in wanted) for lane in lanes)
    return max((b - a for lane in sorted_lanes for a, b in pairwise(lane)), default=0.0)


def nearest_in_line(
    points: Sequence[Point], members: Sequence[int], distances_mm: Sequence[float]
) -> tuple[int, ...]:
    """The one of some fasteners that is nearest an edge, with those of them that stand in line with it.

    Company rule of the method, no source: in line is within a tenth of the least spacing of all fasteners.

    Args:
        points: Positions of all fasteners (mm).
        members: Indices of the fasteners concerned.
        distances_mm: Distance of each fastener to the edge, of all (mm).

    Returns:
        Indices of those in line.
    """
    spacing = min((math.dist(a, b) for i, a in enumerate(points) for b in points[:i]), default=0.0)
    reach = min(distances_mm[i] for i in members) + max(DEVIATION_SHARE * spacing, TAPE_MM)
    return tuple(i for i in members if distances_mm[i] <= reach)


def runs_of_row(
    points: Sequence[Point], members: Sequence[int], axis: int, reach_mm: float
) -> list[tuple[int, ...]]:
    """Parts of a row whose fasteners follow each other along an axis, each within a reach (mm) of the one before."""
    order = sorted(members, key=lambda i: points[i][axis])
    return [
        tuple(sorted(order[start:stop]))
        for start in range(len(order))
        for stop in range(start + 1, len(order) + 1)
        if stop - start < len(order)
        and all(points[b][axis] - points[a][axis] < reach_mm for a, b in pairwise(order[start:stop]))
    ]


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
