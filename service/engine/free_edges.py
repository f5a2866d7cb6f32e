"""How far away an edge has to be that nobody tells of, where one edge in reach has every edge checked."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from service.engine.en1992_4.concrete_edge import feels_added
from service.engine.model import Fixing, Member
from service.engine.results import CaseResult, Check
from service.engine.scope import edge_reach_mm, near_edge
from service.engine.verification import with_edges_farther

STEP_MM = 10.0
"""How closely the distance is looked for, always upwards (mm)."""
CORNERS = (1.1, 1.2, 1.3, 1.4, 1.5)
"""Multiples of the reach at which a corner may still cut the body of an edge in reach, 1.5·c_1 wide (no unit)."""
FARTHEST_MM = 8000.0
"""The farthest told of an edge (mm): so long a tape is at hand. What governs still there counts however far it is."""


@dataclass(frozen=True, slots=True)
class FreeEdges:
    """What holds for edges that are not given: how far away they have to be (mm).

    ``utilisation_anywhere`` is what the fixing would come to (no unit) where their check governs however far they are:
    in a thin and narrow member c'_1 does not grow with the distance. Beyond the distance they come to no more.
    """

    reach_mm: float
    utilisation_anywhere: float | None = None


Found = tuple[tuple[Check, ...] | None, ...]
"""By load case the checks with edges that are not given; None where neighbours leave no concrete."""


def farthest(found: Sequence[FreeEdges]) -> FreeEdges:
    """What holds for several design situations together (mm). EN 1992-4:2018, 7.2.2.5."""
    anywhere = [each.utilisation_anywhere for each in found if each.utilisation_anywhere is not None]
    return FreeEdges(max(each.reach_mm for each in found), max(anywhere, default=None))


def may_govern(fixing: Fixing, results: Sequence[CaseResult]) -> bool:
    """Whether edges that are not given may change the utilisation of a load case from max(10·h_ef, 60·d_nom) on.

    EN 1992-4:2018, 7.2.2.5: only where one that is given lies within. They use no more where they lie farther off, but
    for what their corners leave to named neighbours.

    Args:
        fixing: The fixing, edges that are not given infinitely far away (mm).
        results: Its load cases.

    Returns:
        False where nothing has to be looked for.
    """
    missing = _missing(fixing.member)
    if not missing or not near_edge(fixing) or any(result.scope_limits for result in results):
        return False
    if fixing.neighbours:
        return True
    found = _checks_with(fixing, results, edge_reach_mm(fixing), missing)
    return _governs(found, [result.utilisation for result in results])


def free_edges(fixing: Fixing, results: Sequence[CaseResult], anywhere: Sequence[float]) -> FreeEdges:
    """The distance beyond which edges that are not given change the utilisation of no load case.

    EN 1992-4:2018, 7.2.2.5; that one edge in reach has all of them checked is from memory. With none in reach it is
    max(10·h_ef, 60·d_nom); with one it is where the check of the edges that are not given no longer governs, however
    many of them stand there, or comes to no more than it does anywhere.

    Args:
        fixing: A fixing of which such edges ``may_govern`` (mm).
        results: Its load cases.
        anywhere: What each comes to by such edges that govern anywhere, in that order (no unit); empty where none does.

    Returns:
        The distance from the nearest fastener (mm).
    """
    reach = edge_reach_mm(fixing)
    most = max(anywhere, default=None)
    before = [result.utilisation for result in results]
    if anywhere:
        before = [max(pair) for pair in zip(before, anywhere, strict=True)]
    missing = _missing(fixing.member)

    def governs(far: float) -> bool:
        sets = [missing, *([edge] for edge in missing if _one_may_be_worse(fixing, far))]
        return any(_governs(_checks_with(fixing, results, far, some), before) for some in sets)

    return FreeEdges(_beyond_mm(reach, governs, _corners_mm(fixing, reach) if fixing.neighbours else ()), most)


def _one_may_be_worse(fixing: Fixing, far_mm: float) -> bool:
    """Whether one edge at a distance (mm) may be worse than all of them, as it may among named neighbours alone.

    EN 1992-4:2018, 7.2.2.5: two sides within 1.5·c_1 lessen c_1, and by that what others take; and a member that ends
    before others does not hold them.

    Returns:
        False where all of them are the worst.
    """
    others = fixing.neighbours
    if not others:
        return False
    held = _ended(fixing, far_mm, _missing(fixing.member)).neighbours
    return len(held) < len(others) or far_mm < 1.5 * _farthest_mm(fixing)


def _farthest_mm(fixing: Fixing) -> float:
    """c_1 of the farthest edge that is given (mm)."""
    return max(edge for edge in fixing.member.nearest_mm(fixing.positions) if math.isfinite(edge))


def _corners_mm(fixing: Fixing, reach_mm: float) -> Iterator[float]:
    """Distances beyond a reach at which a corner may cut more off what named neighbours act in than one nearer does.

    EN 1992-4:2018, 7.2.2.5: within 1.5·c_1 of ours it cuts less off them too, the farther it is; and just beyond a
    neighbour that acts with ours, within 3·c_1, it is that one's corner.

    Yields:
        The distances from the nearest fastener (mm).
    """
    most = _farthest_mm(fixing)
    yield from (share * reach_mm for share in CORNERS if share * reach_mm < 1.5 * most)
    for edge in _missing(fixing.member):
        axis, way = edge // 2, 1.0 if edge % 2 else -1.0
        outermost = max(way * point[axis] for point in fixing.positions)
        beyond = (way * one.point[axis] - outermost for one in fixing.neighbours)
        yield from (distance + STEP_MM for distance in beyond if reach_mm < distance + STEP_MM < 3.0 * most)


def _beyond_mm(reach_mm: float, governs: Callable[[float], bool], tried_mm: Iterable[float]) -> float:
    """From where on, looked for upwards from a reach, edges govern no longer (mm). EN 1992-4:2018, 7.2.2.5."""
    near = far = max((distance for distance in tried_mm if governs(distance)), default=reach_mm)
    while far < FARTHEST_MM and governs(far):
        near, far = far, min(2.0 * far, FARTHEST_MM)
    while far - near > STEP_MM:
        middle = (near + far) / 2.0
        near, far = (middle, far) if governs(middle) else (near, middle)
    return reach_mm if far == reach_mm else math.ceil(far / STEP_MM) * STEP_MM


def checks_anywhere(fixing: Fixing, results: Sequence[CaseResult]) -> Found:
    """What load cases come to where edges that are not given govern however far they are; nothing where they do not.

    EN 1992-4:2018, 7.2.2.5: in a member whose sides are both near, c'_1 takes the place of any distance to its end.

    Args:
        fixing: A fixing of which such edges ``may_govern`` (mm).
        results: Its load cases.

    Returns:
        Their checks with such edges, in the order of the load cases; None where neighbours leave no concrete.
    """
    found = _checks_with(fixing, results, FARTHEST_MM, _missing(fixing.member))
    return found if _governs(found, [result.utilisation for result in results]) else ()


def used_by(checks: Sequence[Check] | None) -> float:
    """The largest utilisation of some checks (no unit), infinite where there is no concrete. EN 1992-4:2018, 7.1."""
    return math.inf if checks is None else max((check.utilisation for check in checks), default=0.0)


def open_ends(member: Member) -> tuple[int, ...]:
    """Indices of the edges that are not given between two sides that are. EN 1992-4:2018, 7.2.2.5."""
    missing = _missing(member)
    return () if {0, 1}.isdisjoint(missing) == {2, 3}.isdisjoint(missing) else tuple(missing)


def _checks_with(fixing: Fixing, results: Sequence[CaseResult], distance_mm: float, edges: Sequence[int]) -> Found:
    """The checks with some edges at a distance (mm), none of them given."""
    moved = _ended(fixing, distance_mm, edges)
    changed = range(4) if fixing.neighbours or feels_added(moved.member, fixing.positions, edges) else edges
    return tuple(with_edges_farther(moved, changed, results))


def _missing(member: Member) -> list[int]:
    """Indices of the edges that are not given."""
    return [index for index, edge in enumerate(member.edges_mm) if not math.isfinite(edge)]


def _ended(fixing: Fixing, distance_mm: float, edges: Sequence[int]) -> Fixing:
    """The fixing with some edges at a distance from its nearest fastener (mm)."""
    xs, ys = [p[0] for p in fixing.positions], [p[1] for p in fixing.positions]
    at = (distance_mm - min(xs), distance_mm + max(xs), distance_mm - min(ys), distance_mm + max(ys))
    west, east, south, north = (at[i] if i in edges else edge for i, edge in enumerate(fixing.member.edges_mm))
    member = replace(fixing.member, edges_mm=(west, east, south, north))
    # A member that ended there would not hold the neighbours that stand beyond.
    near = tuple(one for one in fixing.neighbours if -west < one.point[0] < east and -south < one.point[1] < north)
    return replace(fixing, member=member, neighbours=near)


def _governs(found: Found, before: Sequence[float]) -> bool:
    """Whether a load case uses more by some checks than it did (no unit)."""
    return any(used_by(checks) > without * (1.0 + 1e-9) for checks, without in zip(found, before, strict=True))
