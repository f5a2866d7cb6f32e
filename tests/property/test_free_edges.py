"""An edge that nobody tells of, where another one is in reach.

Source: EN 1992-4:2018, 7.2.2.5, from memory: once an edge is nearer than max(10·h_ef, 60·d_nom) all are checked.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import settings as profile
from hypothesis import strategies as st

from service.engine.en1992_4 import concrete_edge
from service.engine.free_edges import FARTHEST_MM, FreeEdges, checks_anywhere, free_edges, may_govern, used_by
from service.engine.model import Fixing, Neighbour
from service.engine.neighbour_reach import neighbour_reach
from service.engine.results import CaseResult
from service.engine.verification import verify, with_edges_farther
from tests.engine.fixings import INF, bolt, fixing, load_case
from tests.property.variations import PROPERTY

ROW = [(-120.0, 0.0), (0.0, 0.0), (120.0, 0.0)]


def row(shear: tuple[float, float], edges: tuple[float, float, float, float], thickness_mm: float = 146.0) -> Fixing:
    return fixing(bolt(12.0, 70.0), ROW, load_case(2e3, shear), edges_mm=edges, thickness_mm=thickness_mm)


def used(given_fixing: Fixing) -> float:
    (found,) = verify(given_fixing, want_trace=False)
    return found.utilisation


def used_anywhere(given_fixing: Fixing, results: tuple[CaseResult, ...]) -> tuple[float, ...]:
    if not may_govern(given_fixing, results):
        return ()
    return tuple(used_by(checks) for checks in checks_anywhere(given_fixing, results))


def free_edges_of(given_fixing: Fixing) -> FreeEdges:
    results = verify(given_fixing, want_trace=False)
    if not may_govern(given_fixing, results):
        return FreeEdges(concrete_edge.reach_of(given_fixing.fastener))
    return free_edges(given_fixing, results, used_anywhere(given_fixing, results))


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


def test_no_edge_is_told_to_be_farther_than_a_tape_is_long_and_what_governs_there_counts() -> None:
    six = [(x, y) for x in (-157.0, 0.0, 157.0) for y in (-225.0, 225.0)]
    edges, along = (INF, 314.0, INF, INF), load_case(2e3, (0.0, -200e3))
    slab = fixing(bolt(19.0, 156.0), six, along, edges_mm=edges, thickness_mm=220.0)
    found = free_edges_of(slab)
    assert found.reach_mm == FARTHEST_MM
    assert found.utilisation_anywhere is not None

    def ended(far: float) -> float:
        return used(at(slab, (far + 157.0, 314.0, far + 225.0, far + 225.0)))

    assert ended(FARTHEST_MM) == pytest.approx(found.utilisation_anywhere)
    assert found.utilisation_anywhere > ended(1.2 * FARTHEST_MM) > used(slab)


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
    allowed = max([used(one), *used_anywhere(one, verify(one, want_trace=False))])
    assert used(at(one, (far + 120.0, far + 120.0, near, far))) <= allowed * (1 + 1e-9)


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


@pytest.mark.parametrize(("ratio", "shared"), [(1.0, True), (1.7, False)])
def test_at_an_edge_beyond_the_reach_others_count_for_nothing(ratio: float, shared: bool) -> None:
    def beside(edges: tuple[float, float, float, float], *places: tuple[float, float]) -> Fixing:
        others = tuple(Neighbour(place, ratio, shared) for place in places)
        return replace(row((0.0, 6e3), edges, 200.0), neighbours=others)

    far, near = (INF, INF, 99.0, 730.0), (INF, INF, 99.0, 710.0)
    # Beside and in line towards y plus, no tension reaches them: within 720 mm they take width and push along.
    for places in ([(-900.0, 0.0), (900.0, 0.0)], [(0.0, 600.0)]):
        assert used(beside(far, *places)) == pytest.approx(used(beside(far)))
        found = verify(beside(near, *places), want_trace=False)[0]
        assert found.scope_limits or found.utilisation > 1.2 * used(beside(near))


PATTERNS = (
    [(0.0, 0.0)],
    [(-60.0, 0.0), (60.0, 0.0), (-60.0, 120.0), (60.0, 120.0)],
    ROW,
    [(0.0, 0.0), (140.0, 0.0), (60.0, 90.0)],
)


@profile(PROPERTY, max_examples=40)
@given(
    points=st.sampled_from(PATTERNS),
    shear=st.tuples(st.floats(-2e4, 2e4), st.floats(-2e4, 2e4)),
    torsion=st.sampled_from([0.0, 5e5]),
    thickness=st.floats(140.0, 800.0),
    places=st.lists(st.tuples(st.floats(-1.0, 1.0), st.floats(-1.0, 1.0), st.booleans()), min_size=1, max_size=4),
    more=st.tuples(*[st.sampled_from([0.5, 700.0, 1e9])] * 3),
)
def test_others_and_edges_each_as_far_as_is_told_change_nothing_together(
    points: list[tuple[float, float]],
    shear: tuple[float, float],
    torsion: float,
    thickness: float,
    places: list[tuple[float, float, bool]],
    more: tuple[float, float, float],
) -> None:
    south = 99.0 - min(y for _, y in points)
    actions = load_case(2e3, shear, torsion_nmm=torsion if len(points) > 1 else 0.0)
    alone = fixing(bolt(12.0, 70.0), points, actions, edges_mm=(INF, INF, south, INF), thickness_mm=thickness)
    results = verify(alone, want_trace=False)
    told, edge = neighbour_reach(alone, results), reach(alone)
    away = max(told.around_mm(1.0), told.at_edge_mm(1.0) or 0.0) + 0.5
    at_most = [max(way * point[axis] for point in points) for axis in (0, 1) for way in (-1.0, 1.0)]
    others = [
        Neighbour((side * (at_most[1] + away + 900.0 * abs(x)), y * 900.0), 1.0, shared=True)
        for x, y, plus in places
        for side in (1.0 if plus else -1.0,)
        if y * 900.0 > -south
    ]
    ends = [most + edge + extra for most, extra in zip((at_most[0], at_most[1], at_most[3]), more, strict=True)]
    held = [one for one in others if -ends[0] < one.point[0] < ends[1] and one.point[1] < ends[2]]
    both = replace(at(alone, (ends[0], ends[1], south, ends[2])), neighbours=tuple(held))
    assert used(both) <= used(alone) * (1 + 1e-9)


def test_in_a_strip_others_count_as_far_as_any_of_ours_says() -> None:
    # Two rows across a strip of 826 mm: each is nearer to a side than 600 mm, the farther side of each is not.
    rows = [(x, y) for x in (-26.5, 26.5) for y in (-207.0, 0.0, 207.0)]
    strip = fixing(
        bolt(10.0, 60.0), rows, load_case(2e3, (3.9e3, 0.0)), edges_mm=(INF, INF, 383.0, 443.0), thickness_mm=250.0
    )
    results = verify(strip, want_trace=False)
    told = neighbour_reach(strip, results)
    # The middle row alone has c'_1 = 443/1.5, by hand: whoever stands within 3·c'_1 counts there.
    assert (told.at_edge_mm(1.0) or 0.0) >= 3.0 * 443.0 / 1.5
    beyond = replace(strip, neighbours=(Neighbour((26.5 + (told.at_edge_mm(1.0) or 0.0) + 1.0, 0.0), 1.5, False),))
    assert used(beyond) == pytest.approx(used(strip))


@pytest.mark.parametrize(
    ("points", "edges", "shear", "thickness", "others", "kept"),
    [
        # With x minus and x plus both at 730 mm c_1 is less, and with it what others take; with the one it is not.
        pytest.param(
            PATTERNS[3], (INF, INF, 583.7, INF), (17833.0, 13394.0), 140.0,
            [((-554.07, 100.54), 1.0, True), ((423.87, 15.81), 1.0, True)], (1e9, 730.5, 1e9), id="one of two sides",
        ),
        # The one at 1354 mm acts with ours, and has the corner 66 mm beyond it.
        pytest.param(
            PATTERNS[3], (INF, 640.15, 364.04, INF), (3229.0, 0.0), 400.0,
            [((-577.14, -157.79), 1.0, True), ((-580.75, 692.34), 1.0, True), ((-1228.17, 1354.68), 1.7, False)],
            (1720.0, 0.0, 1420.0), id="corner by another",
        ),
        # A member that ends at 930 mm to all sides does not hold the one at 1285 mm.
        pytest.param(
            ROW, (INF, 779.96, INF, INF), (-5090.0, 0.0), 400.0,
            [((-642.66, 225.5), 1.7, False), ((-1285.33, 451.0), 1.0, False), ((-482.16, 498.6), 1.0, True),
             ((399.46, 516.9), 1.7, False), ((409.11, 403.69), 1.0, True)], (1e9, 0.0, 920.0), id="held by the member",
        ),
    ],
)  # fmt: skip
def test_among_named_ones_each_edge_as_far_as_is_told_changes_nothing(
    points: list[tuple[float, float]],
    edges: tuple[float, float, float, float],
    shear: tuple[float, float],
    thickness: float,
    others: list[tuple[tuple[float, float], float, bool]],
    kept: tuple[float, float, float],
) -> None:
    """Found by random search; kept: x minus, x plus and y plus, those that are not given."""
    alone = fixing(bolt(12.0, 70.0), points, load_case(2e3, shear), edges_mm=edges, thickness_mm=thickness)
    one = replace(alone, neighbours=tuple(Neighbour(*other) for other in others))
    told = reach(one)
    ahead = (-min(x for x, _ in points), max(x for x, _ in points), max(y for _, y in points))
    west, east, north = (max(told + 0.5, far) + most for far, most in zip(kept, ahead, strict=True))
    ended = (west, east if edges[1] == INF else edges[1], 1e9 if edges[2] == INF else edges[2], north)
    assert used(at(one, ended)) <= used(one) * (1 + 1e-9)
