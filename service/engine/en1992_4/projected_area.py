"""Projected areas on the concrete surface (EN 1992-4:2018, 7.2.1.4 and 7.2.1.6)."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise

from service.engine.arrangement import touching_groups
from service.engine.en1992_4.neighbours import (
    NoConcreteLeftError,
    near_squares,
    nearer_than,
    shares_of,
    taken_from,
)
from service.engine.geometry import (
    LEAST_MM2,
    Rectangle,
    area_moments,
    clip_rectangle,
    intersection,
    nearer_part,
    rectangle_corners,
    square_about,
    union_strips,
    without,
)
from service.engine.model import Member, Neighbour, Point


@dataclass(frozen=True, slots=True)
class Area:
    """An area (mm²) and the sum that gives it."""

    value_mm2: float
    strips: tuple[tuple[float, float], ...]
    pieces: tuple[tuple[Point, ...], ...]

    def expression(self) -> str:
        """The area as a sum that a pocket calculator redoes: strips, or the corner formula of a polygon."""
        if self.strips:
            return " + ".join(f"{width:.9g}·{height:.9g}" for width, height in self.strips)
        return "0.5·(" + " + ".join(turn for piece in self.pieces for turn in _turns(piece)) + ")"


def _turns(corners: Sequence[Point]) -> list[str]:
    pairs = zip(corners, (*corners[1:], corners[0]), strict=True)
    return [f"({a:.9g}·{d:.9g} - {c:.9g}·{b:.9g})" for (a, b), (c, d) in pairs]


def _of_pieces(pieces: Iterable[Sequence[Point]], taken: Iterable[Sequence[Point]]) -> Area:
    """What is left of pieces that do not overlap."""
    left = [list(piece) for piece in pieces]
    for part in taken:
        left = without(left, part)
    value = sum(area_moments(piece)[0] for piece in left)
    if value < LEAST_MM2:
        raise NoConcreteLeftError
    return Area(value, (), tuple(tuple(piece) for piece in left))


def member_bounds(member: Member) -> Rectangle:
    """The concrete surface as a rectangle (mm), infinite where no edge is in reach."""
    west, east, south, north = member.edges_mm
    return (-west, east, -south, north)


def projected_area(
    points: Sequence[Point], side_mm: float, member: Member, neighbours: Iterable[Neighbour] = ()
) -> Area:
    """Union of the squares about fasteners, cut by the edges and by neighbours: A_c,N, A_p,N and the like.

    EN 1992-4:2018, 7.2.1.4.

    Args:
        points: Positions of the fasteners (mm).
        side_mm: Side of the square, s_cr (mm).
        member: The concrete with its edges.
        neighbours: What stands near and does not act with these fasteners.

    Returns:
        The area (mm²) with its strips, or its pieces where neighbours take part of it.
    """
    bounds = member_bounds(member)
    taken = taken_from(points, side_mm, neighbours)
    block = _block_without_gaps(points, side_mm)
    if taken:
        squares = [square_about(point, side_mm / 2.0) for point in points] if block is None else [block]
        pieces: list[list[Point]] = []
        for square in squares:
            corners = rectangle_corners(intersection(square, bounds))
            pieces = [*without(pieces, corners), corners]
        return _of_pieces(pieces, taken)
    if block is not None:
        x0, x1, y0, y1 = intersection(block, bounds)
        return Area((x1 - x0) * (y1 - y0), ((x1 - x0, y1 - y0),), ())
    strips = union_strips([intersection(square_about(point, side_mm / 2.0), bounds) for point in points])
    return Area(sum(width * height for width, height in strips), tuple(strips), ())


def _block_without_gaps(points: Sequence[Point], side_mm: float) -> Rectangle | None:
    """The rectangle that the squares fill, where they stand in a full grid close enough to leave no gap."""
    xs, ys = sorted({p[0] for p in points}), sorted({p[1] for p in points})
    if len(xs) * len(ys) != len(points):
        return None
    if any(b - a > side_mm for values in (xs, ys) for a, b in pairwise(values)):
        return None
    half = side_mm / 2.0
    return (xs[0] - half, xs[-1] + half, ys[0] - half, ys[-1] + half)


def left_of_parts(
    points: Sequence[Point], side_mm: float, member: Member, neighbours: Iterable[Neighbour]
) -> list[tuple[tuple[int, ...], float]]:
    """What neighbours leave of the squares of each part of a group that they cut, however the rest of it stands.

    EN 1992-4:2018, 7.2.1.4: no fastener bears on concrete outside its own square. That each part has to carry its own
    on what is left of its squares is common practice, no source; the midline is that between its own fasteners and a
    neighbour, so that load on the others frees nothing.

    Args:
        points: Positions of the fasteners of the group (mm).
        side_mm: Side of the square, s_cr (mm).
        member: The concrete with its edges.
        neighbours: What stands near and does not act with these fasteners.

    Returns:
        Places among the points, of fasteners whose squares hold together, and their area (mm²); never all of them.

    Raises:
        NoConcreteLeftError: Neighbours take all of a part.
    """
    near = near_squares(points, side_mm, neighbours) if len(points) > 1 else []
    if not near:
        return []
    cells = _cells(points, side_mm, member)
    whole = [rectangle_corners(square_about(each.point, half)) for each, half in near if not each.shared]
    left, cut = _left_of_cells(cells, whole)
    shares = [_Share(at, piece, points, cells) for at, piece in shares_of(near)]
    found = []
    for count in range(1, len(points)):
        for places in combinations(range(len(points)), count):
            if len(touching_groups(points, places, side_mm)) > 1:
                continue
            beyond_midline = sum(share.lost_to(places) for share in shares)
            if cut.isdisjoint(places) and beyond_midline <= LEAST_MM2:
                continue
            area = sum(value for over, value in left.items() if not over.isdisjoint(places)) - beyond_midline
            if area < LEAST_MM2:
                raise NoConcreteLeftError
            found.append((places, area))
    return found


_Cells = list[tuple[frozenset[int], Rectangle]]
"""Rectangles by which squares lie over each (mm)."""


def _cells(points: Sequence[Point], side_mm: float, member: Member) -> _Cells:
    squares = [intersection(square_about(point, side_mm / 2.0), member_bounds(member)) for point in points]
    found = []
    for x0, x1 in pairwise(sorted({x for square in squares for x in square[:2]})):
        for y0, y1 in pairwise(sorted({y for square in squares for y in square[2:]})):
            over = frozenset(
                i for i, (a, b, c, d) in enumerate(squares) if a <= x0 and x1 <= b and c <= y0 and y1 <= d
            )
            if over:
                found.append((over, (x0, x1, y0, y1)))
    return found


def _left_of_cells(cells: _Cells, taken: Sequence[Sequence[Point]]) -> tuple[dict[frozenset[int], float], set[int]]:
    """What whole squares leave, by which of ours lie over it (mm²), and the places of ours that are cut."""
    found: dict[frozenset[int], float] = {}
    cut: set[int] = set()
    for over, (x0, x1, y0, y1) in cells:
        left = [rectangle_corners((x0, x1, y0, y1))]
        for part in taken:
            left = without(left, part)
        area = sum(area_moments(piece)[0] for piece in left)
        found[over] = found.get(over, 0.0) + area
        if (x1 - x0) * (y1 - y0) - area > LEAST_MM2:
            cut |= over
    return found, cut


class _Share:
    """A piece of a neighbour's square, of which each part of ours loses what lies on the other side of the midline."""

    def __init__(self, at: Point, piece: list[Point], points: Sequence[Point], cells: _Cells) -> None:
        self._at, self._piece, self._points, self._cells = at, piece, points, cells
        # Few of ours stand next to a neighbour, so that many parts lose the same.
        self._known: dict[tuple[Point, ...], dict[frozenset[int], float]] = {}

    def lost_to(self, places: Sequence[int]) -> float:
        """What some of ours lose (mm²)."""
        beyond = nearer_than(self._piece, self._at, [self._points[place] for place in places])
        key = tuple(beyond)
        if key not in self._known:
            self._known[key] = self._by_cell(beyond)
        return sum(area for over, area in self._known[key].items() if not over.isdisjoint(places))

    def _by_cell(self, beyond: list[Point]) -> dict[frozenset[int], float]:
        found: dict[frozenset[int], float] = {}
        for over, rectangle in self._cells:
            area = area_moments(clip_rectangle(beyond, rectangle))[0]
            if area > 0.0:
                found[over] = found.get(over, 0.0) + area
        return found


def own_share(
    index: int, points: Sequence[Point], side_mm: float, member: Member, neighbours: Iterable[Neighbour] = ()
) -> Area:
    """One fastener's own share of the area: its square as far as it is nearest, cut by the edges and by neighbours.

    EN 1992-4:2018, 7.2.2.4.

    Args:
        index: The fastener concerned.
        points: Positions of all fasteners (mm).
        side_mm: Side of the square, s_cr (mm).
        member: The concrete with its edges.
        neighbours: What stands near.

    Returns:
        The area (mm²) with the corners of the share.
    """
    corners = nearer_part(index, points, side_mm / 2.0, member_bounds(member))
    x, y = points[index]
    taken = taken_from((points[index],), side_mm, neighbours)
    return _of_pieces([corners], [[(px - x, py - y) for px, py in part] for part in taken])
