"""Neighbours make nothing better. Source: EN 1992-4:2018, its definition of a group, from memory; common practice."""

from __future__ import annotations

import dataclasses

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from service.engine.arrangement import recognise_grid
from service.engine.codes import Mode
from service.engine.en1992_4 import blow_out
from service.engine.model import Fastener, LoadCase, Neighbour, Point
from service.engine.neighbour_reach import neighbour_reach
from service.engine.results import CaseResult
from service.engine.verification import verify
from tests.engine.fixings import INF, fixing, load_case
from tests.property.test_far_apart import FASTENERS
from tests.property.variations import PROPERTY

SURE_MM = 200.0
"""Nearer than this along x and y a neighbour cuts the squares of every mode of these fasteners (mm)."""
QUICK = settings(PROPERTY, max_examples=40)
NAMES = st.sampled_from(sorted(FASTENERS))
SHAPES = st.sampled_from([(1, 1), (2, 1), (2, 2)])
EDGES = st.tuples(*[st.sampled_from([90.0, 300.0, 450.0, INF])] * 2)
PLACES = st.tuples(st.floats(-450.0, 450.0), st.floats(-450.0, 450.0))
NEIGHBOURS = st.lists(st.builds(Neighbour, PLACES, st.sampled_from([1.0, 1.4]), st.booleans()), min_size=1, max_size=3)
ACTIONS = st.builds(
    load_case,
    st.floats(1e3, 40e3),
    st.tuples(*[st.floats(-5e3, 5e3)] * 2),
    st.tuples(*[st.floats(-1e6, 1e6)] * 2),
    st.sampled_from([0.0, 3e5]),
)
CENTRIC = st.builds(load_case, st.floats(1e3, 40e3), st.tuples(*[st.floats(-5e3, 5e3)] * 2))


def grid(shape: tuple[int, int]) -> list[Point]:
    return [(120.0 * (i - (shape[0] - 1) / 2), 120.0 * (j - (shape[1] - 1) / 2)) for i in range(shape[0])
            for j in range(shape[1])]  # fmt: skip


def asked(
    fastener: Fastener,
    shape: tuple[int, int],
    actions: LoadCase,
    neighbours: list[Neighbour],
    edges: tuple[float, float] = (INF, INF),
) -> CaseResult:
    around = (edges[0] + 60.0 * (shape[0] - 1), INF, edges[1] + 60.0 * (shape[1] - 1), INF)
    inside = [n for n in neighbours if n.point[0] > -around[0] and n.point[1] > -around[2]]
    if len(grid(shape)) == 1:
        actions = dataclasses.replace(actions, torsion_nmm=0.0)
    given_fixing = fixing(fastener, grid(shape), actions, edges_mm=around)
    (found,) = verify(dataclasses.replace(given_fixing, neighbours=tuple(inside)), want_trace=False)
    return found


def used(found: CaseResult) -> dict[tuple[Mode, str | None], float]:
    return {(check.mode, check.edge): check.utilisation for check in found.checks}


def assert_no_better(worse: CaseResult, better: CaseResult) -> None:
    if worse.scope_limits:
        return
    found = used(worse)
    for key, utilisation in used(better).items():
        assert found[key] >= utilisation * (1 - 1e-9), key


@QUICK
@given(name=NAMES, shape=SHAPES, actions=ACTIONS, neighbours=NEIGHBOURS, edges=EDGES)
def test_a_neighbour_never_lowers_a_utilisation(
    name: str, shape: tuple[int, int], actions: LoadCase, neighbours: list[Neighbour], edges: tuple[float, float]
) -> None:
    fastener = FASTENERS[name]
    fewer, more = (asked(fastener, shape, actions, each, edges) for each in (neighbours[:-1], neighbours))
    assert_no_better(more, fewer)


@QUICK
@given(name=NAMES, actions=CENTRIC, place=PLACES, share=st.floats(0.5, 0.99), shared=st.booleans())
def test_nearer_is_never_better(name: str, actions: LoadCase, place: Point, share: float, shared: bool) -> None:
    # Away from edges, towards one fastener: else a neighbour that comes nearer may leave an edge, or another fastener.
    near = Neighbour((place[0] * share, place[1] * share), 1.2, shared)
    far = Neighbour(place, 1.2, shared)
    assert_no_better(*(asked(FASTENERS[name], (1, 1), actions, [each]) for each in (near, far)))


@QUICK
@given(
    name=NAMES,
    shape=SHAPES,
    actions=ACTIONS,
    edges=EDGES,
    way=st.sampled_from([(1, 0), (0, 1), (1, 1), (-1, 0)]),
    deeper=st.sampled_from([1.0, 1.5]),
)
def test_beyond_its_reach_a_neighbour_changes_nothing(
    name: str,
    shape: tuple[int, int],
    actions: LoadCase,
    edges: tuple[float, float],
    way: tuple[int, int],
    deeper: float,
) -> None:
    fastener, points = FASTENERS[name], grid(shape)
    alone = asked(fastener, shape, actions, [], edges)
    around = (edges[0] + 60.0 * (shape[0] - 1), INF, edges[1] + 60.0 * (shape[1] - 1), INF)
    reach = neighbour_reach(fixing(fastener, points, actions, edges_mm=around), [alone])
    far = max(reach.around_mm(deeper), reach.at_edge_mm(deeper) or 0.0) + 1e-6
    from_ = points[0] if way[0] < 0 else points[-1]
    corner = (from_[0] + way[0] * far, from_[1] + way[1] * far)
    beyond = asked(fastener, shape, actions, [Neighbour(corner, deeper, shared=deeper == 1.0)], edges)
    assert used(beyond) == used(alone)


@pytest.mark.parametrize(
    ("name", "apart", "near", "actions"),
    [
        ("headed", 174.0, (147.0, 270.0), load_case(35e3, (0.0, 0.0), (7e5, 0.0))),
        ("headed", 230.0, (309.0, 331.0), load_case(36e3, (500.0, 4500.0), (-1e6, 3e5))),
    ],
)
def test_the_working_changes_no_figure(name: str, apart: float, near: Point, actions: LoadCase) -> None:
    # Part of the first's square is nearer to the second than to the neighbour, which the first's own part has lost.
    one = fixing(FASTENERS[name], [(0.0, 0.0), (apart, 0.0)], actions, edges_mm=(90.0, INF, INF, INF))
    one = dataclasses.replace(one, neighbours=(Neighbour(near, 1.0, shared=True),))
    (traced,), (plain,) = (verify(one, want_trace=wanted) for wanted in (True, False))
    assert used(traced) == pytest.approx(used(plain), rel=1e-9)


@QUICK
@given(apart=st.floats(70.0, 180.0), two=st.sampled_from([None, 65.0, 120.0]), edge=st.sampled_from([60.0, 100.0]))
def test_no_blow_out_jumps_where_a_neighbour_turns_from_beside_into_line(
    apart: float, two: float | None, edge: float
) -> None:
    # Blow-out alone: a cone would be cut long before. A deeper one took its overlap beside ours, and nothing in line.
    points = [(0.0, 0.0), *([] if two is None else [(two, 0.0)])]
    ours = fixing(FASTENERS["headed"], points, load_case(30e3, (0.0, 0.0)), edges_mm=(INF, INF, edge, INF))

    def found(place: Point) -> float:
        near = dataclasses.replace(ours, neighbours=(Neighbour(place, 3.0, shared=False),))
        forces = [30e3] * len(points)
        checks = blow_out.verify(near, recognise_grid(near.positions), forces, want_trace=False)
        return max(check.utilisation for check in checks)

    beside, in_line, straight = (found((-x, apart)) for x in (apart + 0.01, apart - 0.01, 0.0))
    assert in_line == pytest.approx(beside, rel=1e-3)
    # It takes no less straight behind ours than at the turn.
    assert straight >= beside * (1 - 1e-3)


@settings(QUICK, max_examples=60)
@example(
    name="bolt",
    sides=(83.3, 193.6),
    end=355.0,
    place=(195.0, 38.0),
    thickness=240.0,
    thicker=1.17,
    two=False,
    shared=False,
)
@given(
    name=NAMES,
    sides=st.tuples(st.floats(60.0, 300.0), st.floats(60.0, 300.0)),
    end=st.floats(150.0, 700.0),
    place=st.tuples(st.floats(-250.0, 250.0), st.floats(-1.0, 1.0)),
    thickness=st.floats(130.0, 400.0),
    thicker=st.sampled_from([1.02, 1.2, 2.0]),
    two=st.booleans(),
    shared=st.booleans(),
)
def test_beside_a_neighbour_a_thicker_member_is_no_worse(
    name: str,
    sides: tuple[float, float],
    end: float,
    place: Point,
    thickness: float,
    thicker: float,
    two: bool,
    shared: bool,
) -> None:
    points = [(0.0, 0.0), *([(-90.0, 0.0)] if two else [])]
    # Near enough to count at either thickness: at 3·c'_1 what pushes with ours counts at once.
    at = (place[0], place[1] * min(sides) if abs(place[1]) <= 1.0 else place[1])
    if at[0] >= end - 10.0:
        return
    neighbour = Neighbour(at, 1.0, shared=shared)
    found = []
    for h in (thickness, thickness * thicker):
        one = fixing(FASTENERS[name], points, load_case(0.0, (5e3, 2e3)), edges_mm=(INF, end, *sides), thickness_mm=h)
        (result,) = verify(dataclasses.replace(one, neighbours=(neighbour,)), want_trace=False)
        found.append(result)
    thin, thick = found
    if thin.scope_limits:
        return
    assert not thick.scope_limits
    before = used(thin)
    for key, utilisation in used(thick).items():
        # With c'_1 the exponents and psi_s,V of the standard grow too: by 0.1 % at most, without neighbours as well.
        assert key[0] is not Mode.CONCRETE_EDGE or utilisation <= before[key] * 1.002


@QUICK
@given(name=NAMES, apart=st.floats(60.0, 500.0), turned=st.booleans(), actions=CENTRIC, edge=st.sampled_from([90, 300]))
def test_a_loaded_neighbour_is_no_better_than_half_of_two(
    name: str, apart: float, turned: bool, actions: LoadCase, edge: float
) -> None:
    at = (0.0, apart) if turned else (apart, 0.0)
    edges = (float(edge), INF, INF, INF)
    one = fixing(FASTENERS[name], [(0.0, 0.0)], actions, edges_mm=edges)
    (beside,) = verify(dataclasses.replace(one, neighbours=(Neighbour(at, 1.0, shared=True),)), want_trace=False)
    both = load_case(2 * actions.normal_n, (2 * actions.shear_x_n, 2 * actions.shear_y_n),
                     (at[1] * actions.normal_n, -at[0] * actions.normal_n),
                     at[0] * actions.shear_y_n - at[1] * actions.shear_x_n)  # fmt: skip
    (two,) = verify(fixing(FASTENERS[name], [(0.0, 0.0), at], both, edges_mm=edges), want_trace=False)
    found = used(beside)
    for key, utilisation in used(two).items():
        # One fixture hands all push towards an edge to its front row, however far behind the other row stands.
        behind = key[0] is Mode.CONCRETE_EDGE and not turned and apart >= 3 * edge
        if not behind and key[0] in {
            Mode.CONCRETE_CONE,
            Mode.BOND,
            Mode.SPLITTING,
            Mode.BLOW_OUT,
            Mode.PRY_OUT,
            Mode.CONCRETE_EDGE,
        }:
            assert found.get(key, 0.0) >= utilisation * (1 - 1e-6), key


@QUICK
@given(
    name=NAMES,
    shape=st.sampled_from([(2, 1), (3, 1), (2, 2)]),
    apart=st.floats(60.0, 700.0),
    actions=ACTIONS,
    neighbours=NEIGHBOURS,
    edge=st.sampled_from([90.0, 300.0, INF]),
)
def test_beside_neighbours_a_group_is_no_better_than_each_of_its_fasteners_alone(
    name: str, shape: tuple[int, int], apart: float, actions: LoadCase, neighbours: list[Neighbour], edge: float
) -> None:
    # What is left of its own square carries a fastener's own force, however near the next one of the group stands.
    points = [(apart * i, apart * j) for i in range(shape[0]) for j in range(shape[1])]
    edges = (edge, INF, INF, INF)
    near = tuple(n for n in neighbours if n.point[0] > -edge)
    pull = dataclasses.replace(actions, shear_x_n=0.0, shear_y_n=0.0, torsion_nmm=0.0)
    group = dataclasses.replace(fixing(FASTENERS[name], points, pull, edges_mm=edges), neighbours=near)
    (together,) = verify(group, want_trace=False)
    if together.scope_limits or together.forces is None:
        return
    found = used(together)
    for point, tension_n in zip(points, together.forces.tension_n, strict=True):
        cut = any(max(abs(n.point[0] - point[0]), abs(n.point[1] - point[1])) < SURE_MM for n in near)
        if cut and tension_n > 0.0:
            own = load_case(tension_n, moment_nmm=(point[1] * tension_n, -point[0] * tension_n))
            fixture = dataclasses.replace(group.fixture, centre=point)
            one = dataclasses.replace(group, positions=(point,), load_cases=(own,), fixture=fixture)
            (alone,) = verify(one, want_trace=False)
            assert not alone.scope_limits
            for key, utilisation in used(alone).items():
                if key[0] in {Mode.CONCRETE_CONE, Mode.BOND, Mode.SPLITTING}:
                    assert found[key] >= utilisation * (1 - 1e-6), key
