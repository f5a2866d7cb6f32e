"""An edge that nobody tells of, where another one is in reach.

Source: EN 1992-4:2018, 7.2.2.5, from memory: once an edge is nearer than max(10·h_ef, 60·d_nom) all are checked.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import settings as profile
from hypothesis import strategies as st

from service.engine.arrangement import intended_rows, recognise_grid
from service.engine.en1992_4 import concrete_edge, far_edge
from service.engine.en1992_4.neighbours import is_beside
from service.engine.free_edges import FreeEdges, checks_anywhere, free_edges, reach_with_others_mm, used_by
from service.engine.model import Clearance, Fixing, Neighbour
from service.engine.neighbour_reach import neighbour_reach
from service.engine.results import CaseResult
from service.engine.verification import verify, with_edges_farther
from tests.engine.fixings import FLUSH, INF, bolt, fixing, load_case
from tests.property.variations import PROPERTY

ROW = [(-120.0, 0.0), (0.0, 0.0), (120.0, 0.0)]


def row(shear: tuple[float, float], edges: tuple[float, float, float, float], thickness_mm: float = 146.0) -> Fixing:
    return fixing(bolt(12.0, 70.0), ROW, load_case(2e3, shear), edges_mm=edges, thickness_mm=thickness_mm)


def used(given_fixing: Fixing) -> float:
    (found,) = verify(given_fixing, want_trace=False)
    return found.utilisation


def used_anywhere(given_fixing: Fixing, results: tuple[CaseResult, ...]) -> tuple[float, ...]:
    return tuple(used_by(checks) for checks in checks_anywhere(given_fixing, results))


def free_edges_of(given_fixing: Fixing) -> FreeEdges:
    results = verify(given_fixing, want_trace=False)
    return free_edges(given_fixing, results, max(used_anywhere(given_fixing, results), default=None))


def reach(given_fixing: Fixing) -> float:
    return free_edges_of(given_fixing).reach_mm


def at(given_fixing: Fixing, edges: tuple[float, float, float, float]) -> Fixing:
    return replace(given_fixing, member=replace(given_fixing.member, edges_mm=edges))


def test_a_push_towards_an_edge_beyond_the_reach_governs_once_another_edge_is_near() -> None:
    along = row((30e3, 0.0), (INF, INF, 99.0, INF))
    # 720 mm from the bolt nearest to it, the reach that was told before: an edge just beyond it governs.
    assert used(at(along, (INF, 120.0 + 721.0, 99.0, INF))) > 1.1 * used(along)
    far = reach(along)
    assert far > 720.0
    assert used(at(along, (far + 120.0, far + 120.0, 99.0, far))) == pytest.approx(used(along))
    closer = far - 20.0
    assert used(at(along, (closer + 120.0, closer + 120.0, 99.0, closer))) > used(along)


def test_with_no_edge_in_reach_none_is_checked_beyond_it() -> None:
    assert reach(row((30e3, 0.0), (INF, INF, INF, INF))) == 720.0
    assert reach(row((30e3, 0.0), (INF, INF, 800.0, INF))) == 720.0


def test_in_a_thin_and_narrow_member_an_edge_counts_at_any_distance() -> None:
    # Both sides known, the ends not: c'_1 = max(c_2,max/1.5, h/1.5, s/3) whatever the distance.
    strip = row((30e3, 0.0), (INF, INF, 99.0, 150.0))
    found = free_edges_of(strip)
    assert found.reach_mm == 720.0
    far, farther = (used(at(strip, (INF, east, 99.0, 150.0))) for east in (2e3, 2e4))
    assert found.utilisation_anywhere == pytest.approx(far) == pytest.approx(farther)
    assert far > used(strip)


def test_what_only_pulls_needs_no_more() -> None:
    assert reach(row((0.0, 0.0), (INF, INF, 99.0, INF))) == 720.0


@profile(PROPERTY, max_examples=25)
@given(
    shear=st.tuples(st.floats(-2e4, 2e4), st.floats(-2e4, 2e4)),
    near=st.floats(60.0, 700.0),
    thickness=st.floats(140.0, 400.0),
    more=st.floats(0.0, 3000.0),
)
def test_beyond_the_reach_no_edge_changes_the_utilisation(
    shear: tuple[float, float], near: float, thickness: float, more: float
) -> None:
    one = row(shear, (INF, INF, near, INF), thickness)
    far = reach(one) + more
    assert used(at(one, (far + 120.0, far + 120.0, near, far))) <= used(one) * (1 + 1e-9)


ENDS = st.tuples(st.sampled_from([INF, INF, 400.0, 900.0, 3000.0]), st.sampled_from([INF, 1500.0]))


@profile(PROPERTY, max_examples=40)
@given(
    shear=st.tuples(st.floats(-2e4, 2e4), st.floats(-2e4, 2e4)),
    sides=st.tuples(st.floats(60.0, 300.0), st.floats(60.0, 300.0)),
    ends=ENDS,
    thickness=st.floats(140.0, 600.0),
    across=st.floats(-1.0, 1.0),
    beyond=st.sampled_from([0.5, 400.0]),
    depth=st.sampled_from([1.0, 1.5]),
    turned=st.booleans(),
)
def test_on_a_strip_a_neighbour_beyond_the_told_reach_changes_nothing(
    shear: tuple[float, float],
    sides: tuple[float, float],
    ends: tuple[float, float],
    thickness: float,
    across: float,
    beyond: float,
    depth: float,
    turned: bool,
) -> None:
    alone = row(shear, (ends[0] + 120.0, ends[1] + 120.0, *sides), thickness)
    if turned:
        alone = replace(alone, positions=tuple((y, x) for x, y in ROW), member=replace(
            alone.member, edges_mm=(*sides, *alone.member.edges_mm[:2])))  # fmt: skip
    results = verify(alone, want_trace=False)
    anywhere = used_anywhere(alone, results)
    told = neighbour_reach(alone, results)
    far = 120.0 + max(told.around_mm(depth), told.at_edge_mm(depth) or 0.0) + beyond
    place = (far, across * min(sides))
    other = Neighbour((place[1], place[0]) if turned else place, depth, shared=depth == 1.0)
    if far >= alone.member.edges_mm[3 if turned else 1]:
        return
    near_it = replace(alone, neighbours=(other,))
    found = verify(near_it, want_trace=False)
    assert [(c.mode, c.edge, c.utilisation) for r in found for c in r.checks] == [
        (c.mode, c.edge, c.utilisation) for r in results for c in r.checks
    ]
    assert used_anywhere(near_it, found) == anywhere


def test_on_a_strip_a_neighbour_counts_up_to_where_the_body_has_its_whole_section() -> None:
    # 3·c'_1, c'_1 = h/1.5: by hand. EN 1992-4:2018, 7.2.2.5, from memory: c'_1 takes the place of c_1 throughout.
    strip = row((30e3, 0.0), (INF, INF, 70.0, 70.0), 500.0)
    reach = neighbour_reach(strip, verify(strip, want_trace=False))
    assert reach.at_edge_mm(1.0) == pytest.approx(3.0 * 500.0 / 1.5)
    # By an end that is given, however far it is, no farther.
    ended = at(strip, (INF, 120.0 + 5000.0, 70.0, 70.0))
    assert neighbour_reach(ended, verify(ended, want_trace=False)).edge_mm == pytest.approx(1000.0)
    alone = used_anywhere(strip, verify(strip, want_trace=False))
    within, beyond = (
        replace(strip, neighbours=(Neighbour((120.0 + far, 0.0), 1.0, shared=True),)) for far in (999.0, 1001.0)
    )
    assert used_anywhere(beyond, verify(beyond, want_trace=False)) == alone
    # One that pushes as hard, in line: twice as much.
    twice = pytest.approx(2.0 * max(alone), rel=0.02)
    assert max(used_anywhere(within, verify(within, want_trace=False))) == twice


@profile(PROPERTY, max_examples=25)
@given(
    shear=st.tuples(st.sampled_from([0.0, 5e3, 2e4]), st.sampled_from([-2e4, 0.0, 1e4])),
    near=st.tuples(st.floats(60.0, 1200.0), st.sampled_from([INF, 99.0, 650.0])),
    beyond=st.floats(0.0, 500.0),
    thickness=st.floats(140.0, 800.0),
)
def test_what_is_kept_of_the_checks_before_is_what_checking_anew_finds(
    shear: tuple[float, float], near: tuple[float, float], beyond: float, thickness: float
) -> None:
    one = row(shear, (INF, INF, *near), thickness)
    farther = 720.0 + 120.0 + beyond
    moved = at(one, (farther, farther, near[0], farther if near[1] == INF else near[1]))
    added = [edge for edge in range(4) if edge < 2 or (near[1] == INF and edge == 3)]
    if concrete_edge.feels_added(moved.member, moved.positions, added):
        return
    [found] = with_edges_farther(moved, added, verify(one, want_trace=False))
    assert used_by(found) == pytest.approx(used(moved), rel=1e-12)
    given_edges = [edge for edge in range(4) if edge not in added]
    before, after = (concrete_edge.verify(each, None, shear, 0.0, False, given_edges) for each in (one, moved))
    assert before == after


def test_an_end_that_does_not_govern_alone_may_govern_with_a_neighbour() -> None:
    strip = row((3e3, 15e3), (INF, INF, 70.0, 70.0), 500.0)
    results = verify(strip, want_trace=False)
    assert used_anywhere(strip, results) == ()
    beside = replace(strip, neighbours=(Neighbour((600.0, 0.0), 1.0, shared=True), Neighbour((800.0, 0.0), 1.0, True)))
    assert max(used_anywhere(beside, verify(beside, want_trace=False))) > 1.2 * used(strip)
    assert neighbour_reach(strip, results).edge_mm == pytest.approx(1000.0)


GROUPS = ([(0.0, 0.0)], [(-60.0, 0.0), (60.0, 0.0), (-60.0, 120.0), (60.0, 120.0)], ROW, [(y, x) for x, y in ROW])
SOUTH = (INF, INF, 99.0, INF)


def others_of(given_fixing: Fixing, results: tuple[CaseResult, ...]) -> float:
    told = neighbour_reach(given_fixing, results)
    return max(told.around_mm(1.0), told.at_edge_mm(1.0) or 0.0)


def ended(given_fixing: Fixing, edge: int, away: float, *others: tuple[float, float]) -> Fixing:
    """The fixing with an edge so far from its nearest fastener, and others as deep as ours."""
    edges = list(given_fixing.member.edges_mm)
    edges[edge] = away + max((1 if edge % 2 else -1) * point[edge // 2] for point in given_fixing.positions)
    moved = at(given_fixing, (edges[0], edges[1], edges[2], edges[3]))
    return replace(moved, neighbours=tuple(Neighbour(place, 1.0, shared=True) for place in others))


@profile(PROPERTY, max_examples=30)
@given(
    points=st.sampled_from(GROUPS),
    shear=st.tuples(st.floats(1e3, 2e4), st.floats(-5e3, 2e4)),
    torsion=st.sampled_from([0.0, 5e5]),
    corner=st.sampled_from([INF, 260.0]),
    thickness=st.floats(140.0, 800.0),
    edge=st.sampled_from([1, 3]),
    behind=st.booleans(),
    ahead=st.floats(1.0, 3.0),
    aside=st.floats(-0.99, 0.99),
    more=st.sampled_from([0.5, 700.0]),
)
def test_beyond_what_is_told_of_both_an_edge_and_one_of_others_in_line_change_nothing(
    points: list[tuple[float, float]],
    shear: tuple[float, float],
    torsion: float,
    corner: float,
    thickness: float,
    edge: int,
    behind: bool,
    ahead: float,
    aside: float,
    more: float,
) -> None:
    south = 99.0 - min(y for _, y in points)
    actions = load_case(2e3, shear, torsion_nmm=torsion if len(points) > 1 else 0.0)
    one = fixing(bolt(12.0, 70.0), points, actions, edges_mm=(corner, INF, south, INF), thickness_mm=thickness)
    results = verify(one, want_trace=False)
    others = others_of(one, results)
    told = reach_with_others_mm(one, results, others)
    assert told is not None
    axis = edge // 2
    ours, along = [point[axis] for point in points], [point[1 - axis] for point in points]
    far, middle = others * ahead + 0.5, (min(along) + max(along)) / 2
    place = [0.0, 0.0]
    place[axis] = min(ours) - far if behind else max(ours) + far
    place[1 - axis] = middle + aside * max(0.0, far - (max(along) - middle))
    in_group = all(abs(at_mm) <= 3.0 * told for at_mm in place)
    if not in_group or place[0] <= -corner or place[1] <= -south:
        return
    away = told + more if behind else told + far + more
    both = ended(one, edge, away, (place[0], place[1]))
    assert used(both) <= used(one) * (1 + 1e-9)


def test_an_edge_and_one_of_others_each_far_enough_alone_count_together() -> None:
    along = row((30e3, 0.0), SOUTH)
    results = verify(along, want_trace=False)
    others, edge = others_of(along, results) + 0.5, reach(along) + 0.5
    between = (120.0 + others, 0.0)
    assert used(ended(along, 1, edge)) == pytest.approx(used(along))
    assert used(replace(along, neighbours=(Neighbour(between, 1.0, shared=True),))) == pytest.approx(used(along))
    assert used(ended(along, 1, edge, between)) > 1.5 * used(along)
    told = reach_with_others_mm(along, results, others)
    assert told is not None
    assert told > edge
    # Beyond three times the distance to the edge, 3·c_1, one of others is in no group with ours: by hand.
    assert used(ended(along, 1, edge, (0.0, 3.0 * edge + 1.0))) == pytest.approx(used(along))


def test_of_both_together_nothing_is_told_where_neither_can_count() -> None:
    for shear, edges in (
        ((0.0, 0.0), SOUTH),
        ((30e3, 0.0), (900.0, 900.0, 99.0, 900.0)),
        ((30e3, 0.0), (INF, INF, INF, INF)),
        # Between two edges 3·c'_1 is all that others reach.
        ((30e3, 0.0), (INF, INF, 99.0, 150.0)),
    ):
        one = row(shear, edges)
        assert reach_with_others_mm(one, verify(one, want_trace=False), 300.0) is None



@pytest.mark.parametrize("depth", [(1.0, True), (1.7, False)])
@pytest.mark.parametrize("count", [1, 6])
def test_beside_others_that_are_named_the_told_distance_ends_what_they_take(
    count: int, depth: tuple[float, bool]
) -> None:
    ratio, shared = depth
    beside = [Neighbour((way * 240.0 * k, 0.0), ratio, shared) for k in range(2, 2 + count) for way in (-1.0, 1.0)]
    one = replace(row((0.0, 20e3), (INF, INF, 99.0, INF), 200.0), neighbours=tuple(beside))
    far = reach(one)
    for away in (far, 2 * far, 10 * far):
        assert used(at(one, (away + 120.0, away + 120.0, 99.0, away))) == pytest.approx(used(one))
    # Towards y their bodies reach 1.5·720 mm beyond the last at 1 680 mm, ours 1.5·3 000 beyond 120: by hand there is
    # more left to ours than the 2 580 mm that it has alone at 780 mm, from where on that edge governs no longer.
    if shared:
        assert used(at(one, (INF, INF, 99.0, 800.0))) > 1.1 * used(one)
    else:
        assert verify(at(one, (INF, INF, 99.0, 800.0)), want_trace=False)[0].scope_limits
    assert used(at(one, (INF, INF, 99.0, 3000.0))) == pytest.approx(used(one))
    # The member holds whoever is named, wherever the edge then is.
    sideways = replace(one, neighbours=(Neighbour((1500.0, 0.0), ratio, shared),))
    assert reach(sideways) > 1500.0 - 120.0


PATTERNS = (
    *GROUPS,
    [(0.0, 0.0), (140.0, 0.0), (60.0, 90.0)],
    [(0.0, 0.0), (9.0, 100.0), (-7.0, 210.0), (150.0, 3.0), (141.0, 98.0), (155.0, 200.0)],
    [(0.0, 0.0), (300.0, 0.0), (0.0, 40.0), (300.0, 40.0)],
)


@profile(PROPERTY, max_examples=60)
@given(
    points=st.sampled_from(PATTERNS),
    shear=st.tuples(st.floats(-2e4, 2e4), st.sampled_from([0.0, 3e3, -2e4])),
    torsion=st.sampled_from([0.0, 5e5, -4e6]),
    clearance=st.sampled_from(["filled", "normal", "oversize"]),
    thickness=st.floats(100.0, 1500.0),
    sides=st.tuples(st.floats(60.0, 700.0), st.floats(60.0, 3000.0)),
    edge=st.integers(0, 3),
    away=st.floats(700.0, 5000.0),
    others=st.sampled_from([None, 150.0, 600.0, 2000.0]),
    aside=st.floats(-1.0, 1.0),
)
def test_no_check_of_a_far_edge_uses_more_than_the_most_that_it_can_come_to(
    points: list[tuple[float, float]],
    shear: tuple[float, float],
    torsion: float,
    clearance: Clearance,
    thickness: float,
    sides: tuple[float, float],
    edge: int,
    away: float,
    others: float | None,
    aside: float,
) -> None:
    axis, turning = edge // 2, torsion if clearance != "oversize" and len(points) > 1 else 0.0
    edges = [0.0, 0.0, 0.0, 0.0]
    for index, distance in zip((2 - 2 * axis, 3 - 2 * axis, 2 * axis, 2 * axis + 1), (*sides, away, away), strict=True):
        edges[index] = distance + max((1 if index % 2 else -1) * point[index // 2] for point in points)
    fixture = replace(FLUSH, clearance=clearance)
    one = fixing(bolt(12.0, 70.0), points, load_case(0.0, shear, torsion_nmm=turning), fixture=fixture)
    one = replace(one, member=replace(one.member, thickness_mm=thickness))
    one = at(one, (edges[0], edges[1], edges[2], edges[3]))
    if others is not None:
        outwards, along = (1 if edge % 2 else -1), [point[1 - axis] for point in points]
        ahead = others + max(outwards * point[axis] for point in points)
        edges[edge] += others
        room = max(0.0, others - (max(along) - min(along)))
        place = sum(along) / len(along) + 0.5 * aside * min(room, *sides)
        point = (outwards * ahead, place) if axis == 0 else (place, outwards * ahead)
        one = replace(at(one, (edges[0], edges[1], edges[2], edges[3])), neighbours=(Neighbour(point, 1.0, True),))
        if any(is_beside(one.neighbours[0], [point], 1 - axis) for point in points):
            return
    grid = recognise_grid(one.positions) or intended_rows(one.positions)
    checks = concrete_edge.verify(one, grid, shear, turning, False, [edge])
    most = far_edge.most_used(one, grid, shear, turning, edge)
    assert all(check.utilisation <= most * (1 + 1e-9) for check in checks)
