"""Projected areas and shares of areas. Source: shapely (an independent geometry library), and closed forms by hand."""

from __future__ import annotations

import math
import random

import pytest
import shapely
from shapely import affinity
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from service.engine.en1992_4.neighbours import NoConcreteLeftError
from service.engine.en1992_4.projected_area import left_of_parts, own_share, projected_area
from service.engine.model import Member, Neighbour, Reinforcement

FAR = 1e5
INF = math.inf
NO_BARS = Reinforcement(None, None, "none", None, cracks_held=False)


def member(*edges: float) -> Member:
    west, east, south, north = edges
    return Member(25.0, cracked=True, thickness_mm=200.0, edges_mm=(west, east, south, north), reinforcement=NO_BARS)


def surface(m: Member) -> shapely.Polygon:
    west, east, south, north = (min(e, FAR) for e in m.edges_mm)
    return shapely.box(-west, -south, east, north)


def square(x: float, y: float, side: float) -> shapely.Polygon:
    return shapely.box(x - side / 2, y - side / 2, x + side / 2, y + side / 2)


def random_case(seed: int) -> tuple[list[tuple[float, float]], float, Member]:
    r = random.Random(seed)  # noqa: S311 (no secret is made of it)
    points = [(r.uniform(-200, 200), r.uniform(-200, 200)) for _ in range(r.randint(1, 9))]
    edges = [r.choice((INF, r.uniform(201, 500))) for _ in range(4)]
    return points, r.uniform(60, 600), member(*edges)


@pytest.mark.parametrize("seed", range(60))
def test_union_of_squares_within_the_member(seed: int) -> None:
    """Source: shapely."""
    points, side, m = random_case(seed)
    union = unary_union([square(x, y, side) for x, y in points]).intersection(surface(m))
    area = projected_area(points, side, m)
    assert area.value_mm2 == pytest.approx(union.area, rel=1e-9)
    assert sum(w * h for w, h in area.strips) == pytest.approx(union.area, rel=1e-9)


def nearer_side(to: tuple[float, float], away: tuple[float, float]) -> shapely.Polygon:
    """The half plane that is nearer to one point than to another, as a box turned about the middle."""
    middle = ((to[0] + away[0]) / 2, (to[1] + away[1]) / 2)
    turn = math.degrees(math.atan2(to[1] - away[1], to[0] - away[0]))
    half = shapely.box(middle[0], middle[1] - FAR, middle[0] + 2 * FAR, middle[1] + FAR)
    return affinity.rotate(half, turn, origin=middle)


@pytest.mark.parametrize("seed", range(60))
def test_what_neighbours_leave_of_the_squares(seed: int) -> None:
    """Source: shapely: a neighbour's square as far as it is nearer to it than to any of ours, or the whole of it."""
    points, side, m = random_case(seed)
    r = random.Random(1000 + seed)  # noqa: S311 (no secret is made of it)
    neighbours = [
        Neighbour((r.uniform(-400, 400), r.uniform(-400, 400)), r.choice((1.0, 1.5)), shared=r.random() < 0.6)
        for _ in range(r.randint(1, 4))
    ]
    left: BaseGeometry = unary_union([square(x, y, side) for x, y in points]).intersection(surface(m))
    for neighbour in neighbours:
        lost: BaseGeometry = square(*neighbour.point, side * neighbour.depth_ratio)
        for point in points if neighbour.shared else ():
            lost = lost.intersection(nearer_side(neighbour.point, point))
        left = left.difference(lost)
    if left.area < 1e-6:
        with pytest.raises(NoConcreteLeftError, match="all the concrete"):
            projected_area(points, side, m, neighbours)
    else:
        assert projected_area(points, side, m, neighbours).value_mm2 == pytest.approx(left.area, rel=1e-9)


@pytest.mark.parametrize("seed", range(30))
def test_what_neighbours_leave_of_each_part(seed: int) -> None:
    """Source: shapely: the union of the part's own squares less what neighbours take of the whole group."""
    points, side, m = random_case(seed)
    r = random.Random(2000 + seed)  # noqa: S311 (no secret is made of it)
    neighbours = [Neighbour((r.uniform(-400, 400), r.uniform(-400, 400)), 1.0, shared=False) for _ in range(2)]
    lost = unary_union([square(*neighbour.point, side) for neighbour in neighbours])
    own = [square(x, y, side).intersection(surface(m)) for x, y in points]
    if any(each.difference(lost).area < 1e-6 for each in own):
        with pytest.raises(NoConcreteLeftError, match="all the concrete"):
            left_of_parts(points, side, m, neighbours)
        return
    for places, area in left_of_parts(points, side, m, neighbours):
        assert area == pytest.approx(unary_union([own[i] for i in places]).difference(lost).area, rel=1e-9)


@pytest.mark.parametrize("seed", range(40))
def test_share_of_one_fastener(seed: int) -> None:
    """Source: shapely: the part of the square on this side of every middle line."""
    points, side, m = random_case(seed)
    shares = []
    for i, (x, y) in enumerate(points):
        own = square(x, y, side).intersection(surface(m))
        for j, (ox, oy) in enumerate(points):
            if j != i:
                plane = affinity.rotate(
                    shapely.box(-FAR, -FAR, 0, FAR), math.degrees(math.atan2(oy - y, ox - x)), (0, 0)
                )
                own = own.intersection(affinity.translate(plane, (x + ox) / 2, (y + oy) / 2))
        shares.append(own_share(i, points, side, m).value_mm2)
        assert shares[-1] == pytest.approx(own.area, rel=1e-6, abs=1e-3)
    if len(points) == 1:
        assert shares[0] == pytest.approx(projected_area(points, side, m).value_mm2, rel=1e-12)


S = 210.0  # s_cr of h_ef 70


@pytest.mark.parametrize(
    ("points", "edges", "closed_form"),
    [
        ([(0, 0)], (INF,) * 4, S * S),
        ([(0, 0)], (INF, 60, INF, INF), S * (S / 2 + 60)),
        ([(0, 0)], (50, INF, INF, 60), (S / 2 + 50) * (S / 2 + 60)),
        ([(0, 0)], (50, 40, 60, INF), (50 + 40) * (S / 2 + 60)),
        ([(-50, 0), (50, 0)], (INF,) * 4, S * (S + 100)),
        ([(-105, 0), (105, 0)], (INF,) * 4, 2 * S * S),
        ([(-200, 0), (200, 0)], (INF,) * 4, 2 * S * S),
        ([(-50, 0), (50, 0)], (INF, 130, INF, INF), S * (S / 2 + 100 + 80)),
        ([(x, y) for x in (-60, 60) for y in (-40, 40)], (INF,) * 4, (S + 120) * (S + 80)),
        ([(x, y) for x in (-60, 60) for y in (-40, 40)], (INF, 110, 90, INF), (S / 2 + 120 + 50) * (S / 2 + 80 + 50)),
        ([(x, y) for x in (-150, 150) for y in (-140, 140)], (INF,) * 4, 4 * S * S),
        ([(x, y) for x in (-80, 0, 80) for y in (-90, 0, 90)], (INF,) * 4, (S + 160) * (S + 180)),
    ],
)
def test_regular_group_by_closed_form(
    points: list[tuple[float, float]], edges: tuple[float, ...], closed_form: float
) -> None:
    """Source: by hand, and shapely again: one, two and four fasteners, apart and close, at an edge, in a corner."""
    m = member(*edges)
    union = unary_union([square(x, y, S) for x, y in points]).intersection(surface(m)).area
    assert union == pytest.approx(closed_form, rel=1e-12)
    assert projected_area(points, S, m).value_mm2 == pytest.approx(closed_form, rel=1e-12)
