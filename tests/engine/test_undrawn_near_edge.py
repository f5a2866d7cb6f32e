"""Arrangements that the standard does not draw, near an edge: what governs, told from fixings that it does draw.

Source: the rule is the method's own (common practice, no source). The row that was intended, and the nearest fastener
alone with the whole push, or with those in line with it; the worse governs.
"""

from __future__ import annotations

import dataclasses

import pytest

from service.engine.arrangement import intended_rows, nearest_in_line, recognise_grid
from service.engine.codes import Limit, Mode, Note
from service.engine.model import Clearance, Fastener, Point
from service.engine.results import CaseResult
from service.engine.verification import verify
from tests.engine.fixings import FLUSH, INF, bolt, fixing, load_case

M12 = bolt(12.0, 70.0)
PUSH = (0.0, -9e3)
SQUARE: tuple[Point, ...] = ((-75.0, 0.0), (75.0, 0.0), (-75.0, 150.0), (75.0, 150.0))
SOUTH = (INF, INF, 120.0, INF)
"""An edge 120 mm from y = 0."""


def case_of(
    points: tuple[Point, ...], shear: Point = PUSH, *, clearance: Clearance = "filled", fastener: Fastener = M12,
    normal: float = 0.0,
) -> CaseResult:  # fmt: skip
    """Actions through the centre of the fasteners."""
    x, y = (sum(p[axis] for p in points) / len(points) for axis in (0, 1))
    actions = load_case(normal, shear, (normal * y, -normal * x), x * shear[1] - y * shear[0])
    plate = dataclasses.replace(FLUSH, clearance=clearance, width_mm=1600.0, depth_mm=1600.0)
    (case,) = verify(fixing(fastener, points, actions, edges_mm=SOUTH, fixture=plate), want_trace=True)
    return case


def at_edge(points: tuple[Point, ...], shear: Point = PUSH, *, clearance: Clearance = "filled") -> float:
    checks = case_of(points, shear, clearance=clearance).checks
    return next(check.utilisation for check in checks if check.mode is Mode.CONCRETE_EDGE)


def test_what_stands_nearer_takes_the_whole_push() -> None:
    moved = ((-75.0, -45.0), *SQUARE[1:])
    assert at_edge(moved) == pytest.approx(at_edge(((-75.0, -45.0),)), rel=1e-9)
    assert at_edge(moved) > at_edge(SQUARE)


def test_what_drew_back_leaves_the_other_alone() -> None:
    """A fastener moved away from the edge leaves its neighbour there: 20 % of the spacing is no line any more."""
    moved = ((-75.0, 30.0), *SQUARE[1:])
    assert at_edge(moved) == pytest.approx(at_edge((SQUARE[1],)), rel=1e-9)


def test_shear_along_the_edge_goes_by_the_row_that_was_intended() -> None:
    """Half of it in the row of two at its least distance, its width as it stands: by hand from 7.2.2.5."""
    along, moved = (9e3, 0.0), ((-75.0, 30.0), *SQUARE[1:])
    assert at_edge(moved, along) == pytest.approx(at_edge(SQUARE, along), rel=1e-9)


@pytest.mark.parametrize("count", [4, 5, 6])
def test_a_longer_row_shares_as_one_of_three_does(count: int) -> None:
    """A_c,V/A0_c,V = (3·c_1 + (n - 1)·s)/(3·c_1), by hand."""
    row = tuple((100.0 * i, 0.0) for i in range(count))
    wide = (3 * 120.0 + 100.0 * (count - 1)) / (3 * 120.0)
    assert at_edge(row) == pytest.approx(at_edge(((0.0, 0.0),)) / wide, rel=1e-9)


def test_a_triangle_stands_on_its_base() -> None:
    """The two in line with each other take the push of all, as a row of two does."""
    assert at_edge(((-75.0, 0.0), (75.0, 0.0), (0.0, 130.0))) == pytest.approx(at_edge(SQUARE[:2]), rel=1e-9)


def test_a_triangle_on_its_point_has_one_at_the_edge() -> None:
    assert at_edge(((0.0, 0.0), (-75.0, 130.0), (75.0, 130.0))) == pytest.approx(at_edge(((0.0, 0.0),)), rel=1e-9)


def test_in_clearance_holes_two_of_a_row_bear() -> None:
    row = ((-100.0, 0.0), (0.0, 0.0), (100.0, 0.0))
    assert at_edge(row, clearance="normal") == pytest.approx(at_edge(row[:2]), rel=1e-9)
    assert at_edge(row) < at_edge(row[:2])
    # Along the edge too: of three rows of three two rows bear, so that a pair takes half.
    block = tuple((x, y + 100.0 * k) for k in range(3) for x, y in row)
    two = tuple((x, y + 100.0 * k) for k in range(2) for x, y in row[:2])
    assert at_edge(block, (9e3, 0.0), clearance="normal") == pytest.approx(at_edge(two, (9e3, 0.0)), rel=1e-9)


def test_more_than_six_in_a_row_are_not_covered() -> None:
    row = tuple((100.0 * i, 0.0) for i in range(7))
    (limit,) = case_of(row).scope_limits
    assert limit.code is Limit.LONG_ROW_NEAR_EDGE
    assert limit.figures == {"in_row": 7, "in_row_max": 6, "edge_reach_mm": 720.0}


def test_notes_tell_what_is_not_drawn() -> None:
    moved = ((-75.0, -45.0), *SQUARE[1:])
    assert Note.ARRANGEMENT_NEAR_EDGE in case_of(moved).notes
    assert Note.CLEARANCE_HOLES_NEAR_EDGE not in case_of(moved, clearance="normal").notes
    row = ((-100.0, 0.0), (0.0, 0.0), (100.0, 0.0))
    assert Note.CLEARANCE_HOLES_NEAR_EDGE in case_of(row, clearance="normal").notes
    assert not set(case_of(SQUARE, clearance="normal").notes) & {
        Note.ARRANGEMENT_NEAR_EDGE,
        Note.CLEARANCE_HOLES_NEAR_EDGE,
    }


def test_a_head_that_came_nearer_blows_out_alone() -> None:
    headed = dataclasses.replace(bolt(16.0, 300.0), mechanism="headed_fastener", head_diameter_mm=30.0, pull_out=None)
    moved = ((-75.0, -45.0), *SQUARE[1:])
    blown = {
        points: next(c for c in case_of(points, (0.0, 0.0), fastener=headed, normal=pull).checks if c.edge is not None)
        for points, pull in ((moved, 4e4), ((moved[0],), 1e4))
    }
    assert all(check.mode is Mode.BLOW_OUT for check in blown.values())
    alone, together = blown[(moved[0],)], blown[moved]
    assert together.utilisation >= alone.utilisation * (1 - 1e-9)


@pytest.mark.parametrize(
    ("points", "shape"),
    [
        (tuple((100.0 * i, 0.0) for i in range(5)), (5, 1)),
        (((-75.0, -45.0), *SQUARE[1:]), (2, 2)),
        (tuple((100.0 * i, 80.0 * j) for i in range(4) for j in range(2)), (4, 2)),
    ],
)
def test_rows_that_were_intended_are_seen(points: tuple[Point, ...], shape: tuple[int, int]) -> None:
    """Places by hand."""
    assert recognise_grid(points) is None
    grid = intended_rows(points)
    assert grid is not None
    assert not grid.drawn
    assert (len(grid.columns), len(grid.rows)) == shape


def test_a_fastener_half_a_spacing_off_shows_no_row() -> None:
    assert intended_rows(((0.0, 0.0), (100.0, 0.0), (50.0, 90.0))) is None
    assert intended_rows(((-75.0, 110.0), *SQUARE[1:])) is None


def test_in_line_is_a_tenth_of_the_least_spacing() -> None:
    places = ((0.0, 0.0), (150.0, 15.0), (300.0, 16.0))
    reach = 0.1 * 150.0
    line = nearest_in_line(places, range(3), [0.0, reach, 16.0])
    assert line == (0, 1)


def test_a_bolt_a_tenth_and_more_of_the_spacing_nearer_is_cautioned_and_takes_the_push() -> None:
    """It was let pass up to 22 %: 33 of 150 nearer shared the push with the bolt behind it, without a caution."""
    for nearer in (16.0, 33.0):
        moved = ((-75.0, -nearer), *SQUARE[1:])
        assert Note.ARRANGEMENT_NEAR_EDGE in case_of(moved).notes
        assert at_edge(moved) == pytest.approx(at_edge(moved[:1]), rel=1e-9)
    assert Note.ARRANGEMENT_NEAR_EDGE not in case_of(((-75.0, -14.0), *SQUARE[1:])).notes
