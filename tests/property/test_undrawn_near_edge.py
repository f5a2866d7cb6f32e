"""Near an edge, arrangements that the standard does not draw are never better than those that it does.

Source: the rule is the method's own (common practice, no source). Actions pass through the centre of the fasteners
as they stand. Left out, because the rule or the standard has a step there:

- torsion, where a fastener is moved by more than a millimetre: wider spacing holds it with less force;
- a fastener that stands alone in the row nearest the edge and is moved away from it;
- clearance holes, where one is moved: the two that bear may stand wider apart then;
- a fastener that comes in line with the one nearest the edge: two share then what one had to take alone;
- zigzags, in which the rows that were intended change from one to the other.
"""

from __future__ import annotations

import dataclasses
import math

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from service.engine.arrangement import intended_rows, recognise_grid
from service.engine.codes import Mode
from service.engine.model import Clearance, Point
from service.engine.verification import verify
from tests.engine.fixings import FLUSH, INF, bolt, fixing, load_case
from tests.property.variations import PROPERTY

M12 = bolt(12.0, 70.0)
QUICK = settings(PROPERTY, max_examples=50)
GRIDS = st.sampled_from([(1, 1), (2, 1), (1, 2), (3, 1), (2, 2), (2, 3), (3, 3), (4, 1), (1, 5), (6, 1), (2, 4)])
SPACINGS = st.tuples(st.floats(80.0, 300.0), st.floats(80.0, 300.0))
EDGES = st.tuples(st.floats(80.0, 250.0), st.sampled_from([INF, 90.0, 200.0]))
ANGLES = st.floats(0.0, 2.0 * math.pi)
MOVED_AWAY = 0.02
"""So much moving the centre of the fasteners by a millimetre changes what torsion does to each."""


def grid_of(shape: tuple[int, int], steps: tuple[float, float]) -> list[Point]:
    return [(i * steps[0], j * steps[1]) for j in range(shape[1]) for i in range(shape[0])]


def at_south(
    points: list[Point], edges: tuple[float, float], shear: Point, torsion: float = 0.0, clearance: Clearance = "filled"
) -> float:
    """Utilisation of the edge at y_minus, ``edges`` from y = 0 and from x = 0 to x_minus."""
    x, y = (sum(p[axis] for p in points) / len(points) for axis in (0, 1))
    actions = load_case(0.0, shear, (0.0, 0.0), torsion + x * shear[1] - y * shear[0])
    plate = dataclasses.replace(FLUSH, clearance=clearance, width_mm=3000.0, depth_mm=3000.0)
    where = (edges[1], INF, edges[0], INF)
    (case,) = verify(fixing(M12, points, actions, edges_mm=where, fixture=plate), want_trace=False)
    assert not case.scope_limits
    found = [c.utilisation for c in case.checks if c.mode is Mode.CONCRETE_EDGE and c.edge == "y_minus"]
    return max(found, default=0.0)


def nearer(points: list[Point], index: int, by: float) -> list[Point]:
    return [(x, y - by) if i == index else (x, y) for i, (x, y) in enumerate(points)]


@QUICK
@given(shape=GRIDS, steps=SPACINGS, edges=EDGES, angle=ANGLES, who=st.integers(0, 8), by=st.floats(-0.6, 0.45))
def test_a_moved_fastener_is_never_better_than_the_grid_it_came_from(
    shape: tuple[int, int], steps: tuple[float, float], edges: tuple[float, float], angle: float, who: int, by: float
) -> None:
    points = grid_of(shape, steps)
    index = who % len(points)
    assume(by > 0.0 or shape[0] > 1 or points[index][1] > 0.0)
    moved = nearer(points, index, min(by * steps[1], edges[0] - 40.0))
    assume(min(y for _, y in moved) > -edges[0] + 30.0)
    shear = (1e4 * math.cos(angle), 1e4 * math.sin(angle))
    assert at_south(moved, edges, shear) >= at_south(points, edges, shear) * (1 - 1e-9)


@QUICK
@given(
    shape=GRIDS, steps=SPACINGS, edges=EDGES, angle=ANGLES, moves=st.lists(st.floats(-0.45, 0.45), max_size=4),
    torsion=st.sampled_from([0.0, 0.0, 1e6, -1e6]), clearance=st.sampled_from(["filled", "normal"]),
)  # fmt: skip
def test_a_millimetre_nearer_the_edge_is_never_better(
    shape: tuple[int, int],
    steps: tuple[float, float],
    edges: tuple[float, float],
    angle: float,
    moves: list[float],
    torsion: float,
    clearance: Clearance,
) -> None:
    points = grid_of(shape, steps)
    for i, by in enumerate(moves[: len(points)]):
        points = nearer(points, i, by * 100.0)
    assume(min(y for _, y in points) > -edges[0] + 40.0)
    assume(len(points) > 1 or not torsion)
    nearest = min(range(len(points)), key=lambda i: points[i][1])
    closer = nearer(points, nearest, 1.0)
    rows = [recognise_grid(places) or intended_rows(places) for places in (points, closer)]
    assume((rows[0] and rows[0].rows) == (rows[1] and rows[1].rows) or rows[1] is None)
    shear = (1e4 * math.cos(angle), 1e4 * math.sin(angle))
    before, after = (at_south(places, edges, shear, torsion, clearance) for places in (points, closer))
    assert after >= before * (1 - (MOVED_AWAY if torsion else 1e-9))


@QUICK
@given(
    shape=GRIDS, steps=SPACINGS, edges=EDGES, move=st.floats(-0.45, 0.45), angles=st.tuples(ANGLES, ANGLES),
    sizes=st.tuples(st.floats(0.0, 2e4), st.sampled_from([1.0, 1e3])),
    twists=st.tuples(st.floats(-2e6, 2e6), st.sampled_from([-1e3, 0.0, 1e3])),
    clearance=st.sampled_from(["filled", "normal"]),
)  # fmt: skip
def test_a_small_action_more_makes_no_jump(
    shape: tuple[int, int],
    steps: tuple[float, float],
    edges: tuple[float, float],
    move: float,
    angles: tuple[float, float],
    sizes: tuple[float, float],
    twists: tuple[float, float],
    clearance: Clearance,
) -> None:
    """Each reading is a norm of the actions, which grows by no more than what is added to it."""
    points = nearer(grid_of(shape, steps), 0, move * 100.0)
    assume(min(y for _, y in points) > -edges[0] + 30.0)
    first, small = (
        ((size * math.cos(angle), size * math.sin(angle)), twist if len(points) > 1 else 0.0)
        for size, angle, twist in zip(sizes, angles, twists, strict=True)
    )
    both = ((first[0][0] + small[0][0], first[0][1] + small[0][1]), first[1] + small[1])
    before, after = (at_south(points, edges, *action, clearance) for action in (first, both))
    back = ((-small[0][0], -small[0][1]), -small[1])
    most = 2.0 * sum(at_south(points, edges, *action, clearance) for action in (small, back))
    assert abs(after - before) <= most + 1e-9 * max(before, after)


@QUICK
@given(shape=GRIDS, steps=SPACINGS, edges=EDGES, move=st.floats(-0.45, 0.45), angle=ANGLES, more=st.floats(1.0, 4.0))
def test_more_load_never_helps(
    shape: tuple[int, int],
    steps: tuple[float, float],
    edges: tuple[float, float],
    move: float,
    angle: float,
    more: float,
) -> None:
    points = nearer(grid_of(shape, steps), 0, move * 100.0)
    assume(min(y for _, y in points) > -edges[0] + 30.0)
    shear = (1e4 * math.cos(angle), 1e4 * math.sin(angle))
    once = at_south(points, edges, shear)
    assert math.isclose(at_south(points, edges, (more * shear[0], more * shear[1])), more * once, rel_tol=1e-9)
