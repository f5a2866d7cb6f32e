"""Neighbours in every concrete mode, worked by hand.

Source of the numbers: areas and widths by hand on the formulas of EN 1992-4:2018, from memory; that the midline shares,
and that a neighbour may be loaded as our worst fastener: common practice, no source.
"""

from __future__ import annotations

import dataclasses

import pytest

from service.engine.codes import Limit, Mode
from service.engine.model import Bond, Fastener, Fixing, LoadCase, Neighbour, Point
from service.engine.neighbour_reach import neighbour_reach
from service.engine.results import CaseResult
from service.engine.verification import verify
from tests.engine.calculator import evaluate
from tests.engine.fixings import FAR, INF, bolt, fixing, load_case

M12 = bolt(12.0, 70.0)
"""s_cr,N 210 mm, s_cr,sp 280 mm."""
PULL = load_case(10e3)


def equal(x_mm: float, y_mm: float) -> Neighbour:
    return Neighbour((x_mm, y_mm), 1.0, shared=True)


def result(
    fastener: Fastener,
    positions: list[Point],
    actions: LoadCase,
    *neighbours: Neighbour,
    edges_mm: tuple[float, float, float, float] = FAR,
) -> tuple[Fixing, CaseResult]:
    given = dataclasses.replace(fixing(fastener, positions, actions, edges_mm=edges_mm), neighbours=neighbours)
    (found,) = verify(given, want_trace=True)
    return given, found


def used(mode: Mode, found: CaseResult) -> float:
    return max(check.utilisation for check in found.checks if check.mode is mode)


def times(mode: Mode, *neighbours: Neighbour, **rest: object) -> float:
    """How many times the utilisation is that of the same without neighbours."""
    actions, fastener = rest.pop("actions", PULL), rest.pop("fastener", M12)
    with_them = result(fastener, [(0.0, 0.0)], actions, *neighbours, **rest)[1]  # type: ignore[arg-type]
    alone = result(fastener, [(0.0, 0.0)], actions, **rest)[1]  # type: ignore[arg-type]
    return used(mode, with_them) / used(mode, alone)


def test_an_equal_neighbour_takes_its_side_of_the_midline() -> None:
    # 105 mm to one side and 50 to the midline, of 210.
    assert times(Mode.CONCRETE_CONE, equal(100.0, 0.0)) == pytest.approx(210 / 155)


def test_a_deeper_neighbour_takes_the_whole_overlap() -> None:
    # Its square of side 210 begins 5 mm before our fastener: 100 mm of ours are left of 210.
    assert times(Mode.CONCRETE_CONE, Neighbour((100.0, 0.0), 1.0, shared=False)) == pytest.approx(2.1)
    # Twice as deep, at 300 mm: its square of side 420 begins 90 mm from our fastener: 195 mm are left of 210.
    assert times(Mode.CONCRETE_CONE, Neighbour((300.0, 0.0), 2.0, shared=False)) == pytest.approx(210 / 195)


def test_two_neighbours_across_a_corner_are_not_counted_twice() -> None:
    # Each takes 45 mm by the whole overlap at 165 mm; where both overlap it is taken once.
    left = (210 - 45) * (210 - 45)
    found = times(
        Mode.CONCRETE_CONE, Neighbour((165.0, 0.0), 1.0, shared=False), Neighbour((0.0, 165.0), 1.0, shared=False)
    )
    assert found == pytest.approx(210 * 210 / left)


def test_a_neighbour_near_an_edge_governs_the_group() -> None:
    # 60 mm from the edge, c_cr,N 105: psi_s 0.7 + 0.3·60/105 over the area of both, our own edge out of reach.
    edges = (INF, 160.0, INF, INF)
    joined = 2 * 210 / ((105 + 160) * (0.7 + 0.3 * 60 / 105))
    beside = 210 / (105 + 50)
    assert joined > beside
    assert times(Mode.CONCRETE_CONE, equal(100.0, 0.0), edges_mm=edges) == pytest.approx(joined)


def test_bond_gains_nothing_by_the_number() -> None:
    # s_cr,Np = 7.3·12·√5 = 195.9 mm; psi_g stays that of one fastener.
    bonded = dataclasses.replace(
        bolt(12.0, 110.0), mechanism="bonded", pull_out=None, assessed_bond=Bond(3.0, 1.0, 5.0, None)
    )
    side = 7.3 * 12 * 5**0.5
    assert times(Mode.BOND, equal(100.0, 0.0), fastener=bonded) == pytest.approx(2 * side / (side + 100))


def test_splitting_is_asked_for_where_a_neighbour_makes_a_group() -> None:
    # c_cr,sp 140 mm: one fastener at 150 mm may leave splitting out, a group has to be 168 mm away.
    edges = (150.0, INF, INF, INF)
    modes = [
        {check.mode for check in result(M12, [(0.0, 0.0)], PULL, *near, edges_mm=edges)[1].checks}
        for near in ((), (equal(0.0, 200.0),), (equal(0.0, 281.0),))
    ]
    assert [Mode.SPLITTING in found for found in modes] == [False, True, False]


def test_pry_out_and_edge_share_with_a_neighbour_beside() -> None:
    towards = load_case(shear_n=(5e3, 0.0))
    assert times(Mode.PRY_OUT, equal(100.0, 0.0), actions=towards) == pytest.approx(210 / 155)
    # c_1 120: bodies of 360 mm along the edge; 180 to one side and 75 to the midline are left.
    edges = (INF, 120.0, INF, INF)
    rest = {"actions": towards, "edges_mm": edges}
    assert times(Mode.CONCRETE_EDGE, equal(0.0, 150.0), **rest) == pytest.approx(360 / 255)
    # In line behind: the front fastener takes both pushes.
    assert times(Mode.CONCRETE_EDGE, equal(-150.0, 0.0), **rest) == pytest.approx(2.0)
    assert times(Mode.CONCRETE_EDGE, equal(0.0, 361.0), **rest) == pytest.approx(1.0)


def test_blow_out_shares_with_a_head_beside_at_the_same_edge() -> None:
    stud = dataclasses.replace(bolt(16.0, 200.0), mechanism="headed_fastener", head_diameter_mm=30.0, pull_out=None)
    rest = {"fastener": stud, "edges_mm": (80.0, INF, INF, INF)}
    # c_1 80: squares of 320 mm; at 200 mm beside, 160 to one side and 100 to the midline are left.
    assert times(Mode.BLOW_OUT, equal(0.0, 200.0), **rest) == pytest.approx(320 / 260)
    # 150 mm from the edge, over half of 200: no head to blow out there.
    assert times(Mode.BLOW_OUT, equal(70.0, 200.0), **rest) == pytest.approx(1.0)


@pytest.mark.parametrize("apart", [150.0, 200.0, 209.9, 210.0])
def test_what_is_taken_from_one_fastener_the_others_do_not_even_out(apart: float) -> None:
    # The deeper one's square ends at -215 + 210 mm; of that of the first, from -205 to 5 mm, 10 mm are left of 210.
    deep = Neighbour((-215.0, 0.0), 2.0, shared=False)
    given, found = result(M12, [(-100.0, 0.0), (apart - 100.0, 0.0)], load_case(10e3), deep)
    (alone,) = verify(dataclasses.replace(given, positions=((-100.0, 0.0),), neighbours=()), want_trace=False)
    assert found.forces is not None
    assert alone.forces is not None
    share = found.forces.tension_n[0] / alone.forces.tension_n[0]
    assert used(Mode.CONCRETE_CONE, found) == pytest.approx(used(Mode.CONCRETE_CONE, alone) * share * 21)


def test_a_column_shares_what_is_left_of_it() -> None:
    # Three 70 mm apart, beside them three that leave 20 mm: one body of 20 mm and 350, not three of 20 and 210.
    beside = [Neighbour((-190.0, y), 1.0, shared=False) for y in (-70.0, 0.0, 70.0)]
    column = [(x, y) for x in (0.0, 209.0) for y in (-70.0, 0.0, 70.0)]
    found = result(M12, column, load_case(60e3), *beside)[1]
    (cone,) = [check for check in found.checks if check.mode is Mode.CONCRETE_CONE]
    assert cone.fasteners == (0, 1, 2)
    (area,) = [entry for entry in cone.trace if entry.symbol == "A_c,N"]
    assert area.value == pytest.approx((105.0 + 85.0) * 350.0)


def test_a_row_at_an_edge_does_not_even_out_what_is_taken_from_its_end() -> None:
    # c_1 120: bodies of 360 mm; the neighbour's reaches 180 - 100 mm past the first, so that 100 are left to the first.
    edges = (INF, 120.0, INF, INF)
    taken = Neighbour((0.0, -275.0), 1.5, shared=False)
    points, push = [(0.0, -175.0), (0.0, 175.0)], load_case(shear_n=(10e3, 0.0))
    beside = result(M12, points, push, taken, edges_mm=edges)[1]
    single = result(M12, [(0.0, 0.0)], load_case(shear_n=(5e3, 0.0)), edges_mm=edges)[1]
    assert used(Mode.CONCRETE_EDGE, beside) == pytest.approx(used(Mode.CONCRETE_EDGE, single) * 3.6)


@pytest.mark.parametrize("c1", [110.0, 250.0])
def test_nothing_jumps_where_a_neighbour_turns_from_beside_into_line(c1: float) -> None:
    # Beside by 80 mm along and 79 across the body is but 1 mm wider than that of one fastener, and both push it.
    edges, push = (INF, c1, INF, INF), load_case(shear_n=(5e3, 0.0))
    rest = {"actions": push, "edges_mm": edges}
    beside, in_line = (times(Mode.CONCRETE_EDGE, equal(*at), **rest) for at in ((-79.0, 80.0), (-80.0, 79.0)))
    assert beside == pytest.approx(2 * 3 * c1 / (3 * c1 + 1))
    assert in_line == pytest.approx(2.0)
    straight = times(Mode.CONCRETE_EDGE, equal(0.0, 80.0), **rest)
    assert straight == pytest.approx(2 * 3 * c1 / (3 * c1 + 80))


def test_nothing_jumps_where_torsion_begins_beside_a_neighbour() -> None:
    # Two rows behind push a front of one; with a neighbour beside it the pushes turn, whether or not there is torsion.
    column, edges = [(0.0, y) for y in (-119.0, 0.0, 119.0)], (INF, INF, 204.0, 223.0)
    found = []
    for near in ([], [equal(-152.6, 175.4)]):
        for torsion in (0.0, 0.01):
            push = load_case(shear_n=(7e3, 4e3), torsion_nmm=torsion)
            found.append(used(Mode.CONCRETE_EDGE, result(M12, column, push, *near, edges_mm=edges)[1]))
    assert found[1] == pytest.approx(found[0], rel=1e-6)
    assert found[3] == pytest.approx(found[2], rel=1e-6)


def test_nothing_jumps_where_a_neighbour_turns_into_line_beside_a_row_under_torsion() -> None:
    # 242 mm across the edge from the nearest of two rows of two, and a tenth more or less along it.
    square, edges = [(x, y) for x in (0.0, 174.0) for y in (0.0, 174.0)], (90.0, INF, INF, INF)
    push = load_case(shear_n=(0.0, -5e3), torsion_nmm=1e6)
    beside, in_line = (
        used(Mode.CONCRETE_EDGE, result(M12, square, push, equal(242.0, along), edges_mm=edges)[1])
        for along in (-242.05, -241.95)
    )
    assert beside == pytest.approx(in_line, rel=0.01)


def test_a_deeper_neighbour_takes_as_much_in_line_as_just_beside() -> None:
    # Bodies of 330 mm: a deeper one 80 mm away along the edge leaves 80 of it, and no more where it is behind.
    rest = {"actions": load_case(shear_n=(5e3, 0.0)), "edges_mm": (INF, 110.0, INF, INF)}
    places = ((-79.9, 80.0), (-80.0, 79.9), (-80.0, 0.0))
    found = [times(Mode.CONCRETE_EDGE, Neighbour(at, 1.0, shared=False), **rest) for at in places]
    assert found == [pytest.approx(330 / 80)] * 3


def test_a_deeper_neighbour_takes_as_much_from_a_row_in_line_as_just_beside() -> None:
    # A body of 2·300 + 70 mm: a deeper one 150 mm along from the row leaves 220 of it, and no more where it is behind.
    row, edges, push = [(0.0, -35.0), (0.0, 35.0)], (INF, 200.0, INF, INF), load_case(shear_n=(5e3, 0.0))
    alone = used(Mode.CONCRETE_EDGE, result(M12, row, push, edges_mm=edges)[1])
    for at in ((-149.9, -185.0), (-150.0, -184.9), (-150.0, -35.0)):
        near = Neighbour(at, 1.0, shared=False)
        found = used(Mode.CONCRETE_EDGE, result(M12, row, push, near, edges_mm=edges)[1])
        assert found == pytest.approx(alone * 670 / 220, rel=1e-3)


@pytest.mark.parametrize("off", [-0.4, -0.0, 0.0, 0.4])
def test_in_line_by_tape_a_deeper_neighbour_takes_the_worse_side(off: float) -> None:
    # Of a body from 165 mm below ours to a corner 100 above, one 80 mm behind leaves 80 if turned up, 15 if down.
    rest = {"actions": load_case(shear_n=(5e3, 0.0)), "edges_mm": (INF, 110.0, INF, 100.0)}
    found = times(Mode.CONCRETE_EDGE, Neighbour((-80.0, off), 1.0, shared=False), **rest)
    assert found == pytest.approx((165 + 100) / 15, rel=0.01)


def test_beside_ours_a_neighbour_takes_its_side_though_it_is_in_line_with_another() -> None:
    # c_1 94: a body of 282 mm; the deeper one 170 mm along begins 29 mm past ours. The other, farther off and behind,
    # acts with ours, but frees nothing of that: twice the push on (141 + 29) mm.
    edges, push = (INF, INF, INF, 94.0), load_case(shear_n=(0.0, 5e3))
    deeper, other = Neighbour((170.0, 0.0), 1.3, shared=False), equal(244.0, -155.0)
    found = times(Mode.CONCRETE_EDGE, deeper, other, actions=push, edges_mm=edges)
    assert found == pytest.approx(2 * 282 / 170)


def test_an_edge_that_nothing_pushes_is_not_asked_what_others_leave_it() -> None:
    # A body of 300 mm to either side; beyond s_cr,sp 280 mm two deeper ones take all of it, by hand.
    around, edges = [Neighbour((0.0, y), 1.0, shared=False) for y in (-285.0, 285.0)], (INF, 200.0, INF, INF)
    away, towards = (load_case(5e3, (push, 0.0)) for push in (-5e3, 5e3))
    alone, among = (result(M12, [(0.0, 0.0)], away, *near, edges_mm=edges)[1] for near in ((), around))
    assert among.scope_limits == ()
    assert among.checks == alone.checks
    pushed = result(M12, [(0.0, 0.0)], towards, *around, edges_mm=edges)[1]
    assert [limit.code for limit in pushed.scope_limits] == [Limit.NEIGHBOURS_TAKE_CONCRETE]


def test_nothing_left_gives_no_resistance() -> None:
    around = [Neighbour((x, 0.0), 1.0, shared=False) for x in (-90.0, 90.0)]
    found = result(M12, [(0.0, 0.0)], PULL, *around)[1]
    assert found.checks == ()
    assert [limit.code for limit in found.scope_limits] == [Limit.NEIGHBOURS_TAKE_CONCRETE]


def test_the_reach_is_that_of_the_checks_that_were_made() -> None:
    # s_cr,sp 280 mm, but beyond 1.2·140 + 280 mm to an edge no neighbour brings splitting up: then s_cr,N.
    for edge, reach in ((447.0, 280.0), (449.0, 210.0), (INF, 210.0)):
        given, found = result(M12, [(0.0, 0.0)], PULL, edges_mm=(edge, INF, INF, INF))
        assert neighbour_reach(given, [found]).around_mm(1.0) == pytest.approx(reach)
    given, found = result(M12, [(0.0, 0.0)], load_case(shear_n=(5e3, 0.0)), edges_mm=(INF, 120.0, INF, INF))
    far = neighbour_reach(given, [found])
    assert far.around_mm(2.0) == pytest.approx(1.5 * 210.0)
    assert far.at_edge_mm(2.0) == pytest.approx(360.0)


def test_the_working_of_an_area_that_a_neighbour_cuts_can_be_redone() -> None:
    found = result(M12, [(0.0, 0.0), (120.0, 30.0)], PULL, equal(-100.0, 40.0))[1]
    (cone,) = [check for check in found.checks if check.mode is Mode.CONCRETE_CONE]
    (area,) = [entry for entry in cone.trace if entry.symbol == "A_c,N"]
    assert evaluate(area.expression, {}) == pytest.approx(area.value)
