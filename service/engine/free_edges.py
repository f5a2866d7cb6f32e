"""How far away an edge has to be that nobody tells of, where one edge in reach has every edge checked."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from service.engine.codes import Mode
from service.engine.en1992_4.concrete_edge import feels_added
from service.engine.model import Fixing, Member, Neighbour
from service.engine.results import CaseResult, Check
from service.engine.scope import edge_reach_mm, near_edge
from service.engine.verification import far_edges_decide, with_edges_farther

STEP_MM = 10.0
"""How closely the distance is looked for, always upwards (mm)."""
FINER = 1.25
"""Ratio of the distances that are tried where others are named (no unit)."""
FARTHEST_MM = 1e5
"""Where the search gives up (mm); no edge of a building matters from there."""
IN_LINE = 0.99
"""How far along an edge, by how far across, one of others stands that is just in line and turns the most (no unit)."""


@dataclass(frozen=True, slots=True)
class FreeEdges:
    """What holds for edges that are not given: how far away they have to be (mm).

    ``utilisation_anywhere`` is what the fixing would come to (no unit) where their check governs however far they are:
    in a thin and narrow member c'_1 does not grow with the distance. Then the distance is that of one edge alone.
    """

    reach_mm: float
    utilisation_anywhere: float | None = None


Governing = tuple[tuple[Check, ...] | None, ...]
"""By load case the checks with edges that are not given, where those govern; else empty."""


def farthest(found: Sequence[FreeEdges]) -> FreeEdges:
    """What holds for several design situations together (mm). EN 1992-4:2018, 7.2.2.5."""
    anywhere = [each.utilisation_anywhere for each in found if each.utilisation_anywhere is not None]
    return FreeEdges(max(each.reach_mm for each in found), max(anywhere, default=None))


def free_edges(fixing: Fixing, results: Sequence[CaseResult], anywhere: float | None) -> FreeEdges:
    """The distance beyond which edges that are not given change the utilisation of no load case.

    EN 1992-4:2018, 7.2.2.5; that one edge in reach has all of them checked is from memory. With none in reach it is
    max(10·h_ef, 60·d_nom); with one it is where the check of the edges that are not given no longer governs, however
    many of them stand there.

    Args:
        fixing: The fixing, edges that are not given infinitely far away (mm).
        results: Its load cases.
        anywhere: Their ``utilisation_anywhere`` (no unit).

    Returns:
        The distance from the nearest fastener (mm).
    """
    reach = edge_reach_mm(fixing)
    near_one = near_edge(fixing) and not any(result.scope_limits for result in results)
    if anywhere is not None or not near_one or all(math.isfinite(edge) for edge in fixing.member.edges_mm):
        return FreeEdges(reach, anywhere)
    first, *tried = _with_those_named_mm(fixing, reach) if fixing.neighbours else [reach]
    return FreeEdges(_beyond_mm(first, lambda far: bool(_governing(fixing, results, far)), tried))


def reach_with_others_mm(fixing: Fixing, results: Sequence[CaseResult], others_mm: float) -> float | None:
    """The distance from ours and from one of others beyond which an edge that is not given changes nothing.

    EN 1992-4:2018, 7.2.2.5: one of others in line with ours doubles what such an edge feels, at the c_1 of whichever
    stands nearer to it, so that neither the distance of edges alone nor that of others alone is enough. Between two
    edges that are given others count within 3·c'_1, and as far none stands.

    Args:
        fixing: The fixing without others, edges that are not given infinitely far away (mm).
        results: Its load cases.
        others_mm: How far others were taken to stand from it (mm).

    Returns:
        The distance; None where none is needed.
    """
    sheared = any(check.mode is Mode.PRY_OUT for result in results for check in result.checks)
    given = [math.isfinite(edge) for edge in fixing.member.edges_mm]
    if not sheared or all(given) or open_ends(fixing.member) or not near_edge(fixing):
        return None
    added = [edge for edge in range(4) if not given[edge]]

    def governs(distance_mm: float) -> bool:
        return any(
            far_edges_decide(moved, [edge], results)
            and _uses_more(with_edges_farther(moved, [edge], results), results)
            for edge in added
            for moved in _with_one_ahead(fixing, edge, distance_mm, others_mm)
        )

    return _beyond_mm(edge_reach_mm(fixing), governs)


def _with_one_ahead(fixing: Fixing, edge: int, distance_mm: float, ahead_mm: float) -> Iterator[Fixing]:
    """Put one of others before an edge at a distance, the other edges that are not given at the same from ours (mm).

    Yields:
        The fixing with it to either side as far as it is in line with all of ours: there it turns what pushes the most.
    """
    edges = list(_ended(fixing, distance_mm).member.edges_mm)
    edges[edge] += ahead_mm
    ahead = edges[edge] - distance_mm
    member = replace(fixing.member, edges_mm=(edges[0], edges[1], edges[2], edges[3]))
    across = edge // 2
    along = [point[1 - across] for point in fixing.positions]
    first, last = 1.0 - edges[2 - 2 * across], edges[3 - 2 * across] - 1.0
    middle = (min(along) + max(along)) / 2.0
    aside = max(0.0, IN_LINE * ahead_mm - (max(along) - middle))
    for place in (max(middle - aside, first), min(middle + aside, last)):
        at = ahead if edge % 2 else -ahead
        one = Neighbour((place, at) if across else (at, place), 1.0, shared=True)
        yield replace(fixing, member=member, neighbours=(one,))


def _beyond_mm(from_mm: float, governs: Callable[[float], bool], tried_mm: Iterable[float] = ()) -> float:
    """From where on, looked for upwards, edges govern no longer (mm). EN 1992-4:2018, 7.2.2.5."""
    near = far = max((distance for distance in tried_mm if governs(distance)), default=from_mm)
    while governs(far) and far < FARTHEST_MM:
        near, far = far, 2.0 * far
    while far - near > STEP_MM:
        middle = (near + far) / 2.0
        near, far = (middle, far) if governs(middle) else (near, middle)
    return from_mm if far == from_mm else math.ceil(far / STEP_MM) * STEP_MM


def _with_those_named_mm(fixing: Fixing, reach_mm: float) -> list[float]:
    """Distances to be tried beside named ones: from where the member holds them all to where no more come in (mm)."""
    added = [edge for edge in range(4) if not math.isfinite(fixing.member.edges_mm[edge])]
    first = max(reach_mm, *(_outwards_mm(fixing, edge) + STEP_MM for edge in added))
    count = math.ceil(math.log((first + 3.0 * reach_mm) / first, FINER))
    return [first * FINER**index for index in range(count + 1)]


def _outwards_mm(fixing: Fixing, edge: int) -> float:
    """How much nearer to an edge the nearest of others stands than the nearest of ours (mm)."""
    way, axis = (1.0 if edge % 2 else -1.0), edge // 2
    ours = max(way * point[axis] for point in fixing.positions)
    return max(way * other.point[axis] for other in fixing.neighbours) - ours


def checks_anywhere(fixing: Fixing, results: Sequence[CaseResult]) -> Governing:
    """What load cases come to where edges that are not given govern however far they are; nothing where they do not.

    EN 1992-4:2018, 7.2.2.5: in a member whose sides are both near, c'_1 takes the place of any distance to its end.

    Args:
        fixing: The fixing, edges that are not given infinitely far away (mm).
        results: Its load cases.

    Returns:
        Their checks with such edges, in the order of the load cases; None where neighbours leave no concrete.
    """
    if not open_ends(fixing.member) or not near_edge(fixing) or any(result.scope_limits for result in results):
        return ()
    return _governing(fixing, results, FARTHEST_MM)


def used_by(checks: Sequence[Check] | None) -> float:
    """The largest utilisation of some checks (no unit), infinite where there is no concrete. EN 1992-4:2018, 7.1."""
    return math.inf if checks is None else max((check.utilisation for check in checks), default=0.0)


def open_ends(member: Member) -> tuple[int, ...]:
    """Indices of the edges that are not given between two sides that are. EN 1992-4:2018, 7.2.2.5."""
    given = [math.isfinite(edge) for edge in member.edges_mm]
    along, across = given[:2], given[2:]
    if all(along) == all(across):
        return ()
    return tuple(edge for edge in range(4) if not given[edge])


def _governing(fixing: Fixing, results: Sequence[CaseResult], distance_mm: float) -> Governing:
    """The checks with edges at a distance wherever none is given; nothing where no load case uses more."""
    moved = _ended(fixing, distance_mm)
    added = [index for index, edge in enumerate(fixing.member.edges_mm) if not math.isfinite(edge)]
    apart = not (fixing.neighbours or feels_added(moved.member, fixing.positions, added))
    if apart and not far_edges_decide(moved, added, results):
        return ()
    changed = added if apart else range(4)
    found = with_edges_farther(moved, changed, results)
    return tuple(found) if _uses_more(found, results) else ()


def _ended(fixing: Fixing, distance_mm: float) -> Fixing:
    """The fixing with edges at a distance from its nearest fastener wherever none is given (mm)."""
    xs, ys = [p[0] for p in fixing.positions], [p[1] for p in fixing.positions]
    at = (distance_mm - min(xs), distance_mm + max(xs), distance_mm - min(ys), distance_mm + max(ys))
    west, east, south, north = (
        edge if math.isfinite(edge) else there for edge, there in zip(fixing.member.edges_mm, at, strict=True)
    )
    member = replace(fixing.member, edges_mm=(west, east, south, north))
    return replace(fixing, member=member)


def _uses_more(found: Sequence[tuple[Check, ...] | None], results: Sequence[CaseResult]) -> bool:
    """Whether a load case uses more by some checks than it did."""
    before = [result.utilisation for result in results]
    return any(used_by(checks) > without * (1.0 + 1e-9) for checks, without in zip(found, before, strict=True))
