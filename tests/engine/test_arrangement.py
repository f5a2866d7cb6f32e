"""Which arrangements count as a grid. Source: design notes on EN 1992-4, 6.2.2, from memory; places by hand."""

from __future__ import annotations

import pytest

from service.engine.arrangement import adjacent_spacings, intended_rows, recognise_grid, touching_groups

SQUARE = ((-75.0, -75.0), (75.0, -75.0), (-75.0, 75.0), (75.0, 75.0))


@pytest.mark.parametrize(
    ("points", "columns", "rows"),
    [
        ([(5.0, 5.0)], 1, 1),
        ([(0.0, 0.0), (100.0, 0.0)], 2, 1),
        ([(0.0, 0.0), (0.0, 60.0), (0.0, 160.0)], 1, 3),
        (SQUARE, 2, 2),
        ([(x * 80.0, y * 120.0) for y in range(3) for x in range(3)], 3, 3),
        ([(x * 80.0, y * 120.0) for y in range(2) for x in range(3)], 3, 2),
    ],
)
def test_grids(points: list[tuple[float, float]], columns: int, rows: int) -> None:
    grid = recognise_grid(points)
    assert grid is not None
    assert (len(grid.columns), len(grid.rows)) == (columns, rows)


@pytest.mark.parametrize(
    "points",
    [
        [(0.0, 0.0), (100.0, 0.0), (0.0, 100.0)],
        [(0.0, 0.0), (100.0, 60.0)],
        [(0.0, 0.0), (100.0, 0.0), (50.0, 90.0)],
        [(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0), (50.0, 50.0)],
        [(x * 50.0, 0.0) for x in range(4)],
    ],
)
def test_other_arrangements(points: list[tuple[float, float]]) -> None:
    assert recognise_grid(points) is None


def test_a_hole_moved_by_a_tenth_of_the_spacing_still_counts() -> None:
    # 14 mm off the other of its column, of 150 in the row where they are nearest to each other.
    moved = (*SQUARE[:3], (89.0, 75.0))
    assert recognise_grid(moved) is not None
    assert recognise_grid((*SQUARE[:3], (115.0, 75.0))) is None


def test_front_rows() -> None:
    grid = recognise_grid(SQUARE)
    assert grid is not None
    assert [grid.front_row(edge) for edge in range(4)] == [(0, 2), (1, 3), (0, 1), (2, 3)]


def test_spacings_of_some_fasteners() -> None:
    points = [(x * 80.0, y * 120.0) for y in range(3) for x in range(3)]
    grid = recognise_grid(points)
    assert adjacent_spacings(points, grid, range(9)) == ([80.0, 80.0], [120.0, 120.0])
    assert adjacent_spacings(points, grid, (0, 2)) == ([160.0], [])


def test_groups_that_touch_through_others() -> None:
    points = [(0.0, 0.0), (100.0, 0.0), (200.0, 0.0), (500.0, 0.0)]
    assert touching_groups(points, range(4), 101.0) == [(0, 1, 2), (3,)]
    assert touching_groups(points, range(4), 100.0) == [(0,), (1,), (2,), (3,)]


def test_coordinates_that_a_tape_calls_one_are_a_line() -> None:
    # By hand: means of 0 and 0.3, and of 100 and 99.8; the third column stands alone.
    points = [(0.0, 0.0), (0.3, 60.0), (100.0, 130.0), (99.8, 210.0), (250.0, 300.0)]
    spacings, _ = adjacent_spacings(points, None, range(5))
    assert spacings == pytest.approx([99.75, 150.1])


@pytest.mark.parametrize("way", [(0.0, -1.0), (0.0, 1.0), (-1.0, 0.0), (1.0, 0.0)])
@pytest.mark.parametrize("share", [0.11, 0.15, 0.2, 0.22])
def test_a_fastener_farther_out_than_a_tenth_is_no_place_of_the_grid(way: tuple[float, float], share: float) -> None:
    """Held against the other of its line: their mean, half way to it, let 22 % of the spacing pass. Places by hand."""
    off = tuple(150.0 * share * part for part in way)
    moved = ((SQUARE[0][0] + off[0], SQUARE[0][1] + off[1]), *SQUARE[1:])
    assert recognise_grid(moved) is None
    assert intended_rows(moved) is not None
    # Of three in a line the stray one is a third of the mean.
    row = ((-150.0, 0.0), (0.0, 0.0), (150.0, 0.0))
    for stray in range(3):
        bent = tuple((x, 150.0 * share if i == stray else y) for i, (x, y) in enumerate(row))
        assert recognise_grid(bent) is None


def test_of_two_that_are_nearer_the_spacing_between_them_counts() -> None:
    """Moved back by 14 of 150 leaves 136 beside 150: which of the two strayed nobody can tell, so 13.6 is a tenth."""
    assert recognise_grid(((-75.0, -62.0), *SQUARE[1:])) is not None
    assert recognise_grid(((-75.0, -61.0), *SQUARE[1:])) is None
