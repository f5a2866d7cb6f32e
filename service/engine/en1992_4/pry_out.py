"""Concrete pry-out failure in shear (EN 1992-4:2018, 7.2.2.4)."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from service.engine.arrangement import TAPE_MM, Grid, touching_groups
from service.engine.codes import Mode
from service.engine.en1992_4 import bond, concrete_cone, partial_factors, shear_distribution
from service.engine.en1992_4.design_check import finish, governing
from service.engine.en1992_4.loaded_group import LoadedGroup, without_remainder
from service.engine.en1992_4.neighbours import acting_with
from service.engine.en1992_4.projected_area import left_of_parts, own_share
from service.engine.model import Fixing, Point
from service.engine.results import Check
from service.engine.trace import Trace, new_trace

CLAUSE = "7.2.2.4"


def resistance(k8: float, concrete_n: float) -> float:
    """V_Rk,cp = k8·N_Rk,c, with the smaller of N_Rk,c and N_Rk,p for bonded fasteners.

    EN 1992-4:2018, 7.2.2.4.

    Args:
        k8: Factor of the assessment (no unit).
        concrete_n: N_Rk,c, or the smaller of N_Rk,c and N_Rk,p (N).

    Returns:
        V_Rk,cp (N).
    """
    return k8 * concrete_n


def eccentricity(shear: tuple[float, float], torsion_nmm: float, farthest_mm: float) -> Point:
    """Distance of the shear resultant's line from the centre of the fasteners, split by its direction (mm).

    EN 1992-4:2018, 7.2.2.4: e_V takes the place of e_N; at most the distance of the farthest fastener, from memory.

    Args:
        shear: Resultant shear in x and y (N).
        torsion_nmm: Torsion about the centre of the fasteners (Nmm).
        farthest_mm: Distance of the farthest fastener from that centre (mm).

    Returns:
        Eccentricity in x and y (mm).
    """
    size = math.hypot(*shear)
    distance = min(abs(torsion_nmm) / size, farthest_mm)
    return distance * abs(shear[1]) / size, distance * abs(shear[0]) / size


def turn_against_each_other(points: Sequence[Point], shear_n: Sequence[tuple[float, float]]) -> bool:
    """Whether a component of the fasteners' forces changes sign, by more than a tape's reading of their places.

    EN 1992-4:2018, 7.2.2.4. The resultant has to pass the centre at more than such a reading as well.

    Args:
        points: Fasteners that would break out together (mm).
        shear_n: Shear in x and y of each (N).

    Returns:
        True where each fastener has to be verified alone.
    """
    torsion = _torsion(points, shear_n)
    total = (sum(shear[0] for shear in shear_n), sum(shear[1] for shear in shear_n))
    if abs(torsion) <= TAPE_MM * math.hypot(*total):
        return False
    told = TAPE_MM * abs(torsion) / shear_distribution.polar_sum(points)
    return any(
        min(shear[axis] for shear in shear_n) < -told and max(shear[axis] for shear in shear_n) > told
        for axis in (0, 1)
    )


def _torsion(points: Sequence[Point], shear_n: Sequence[tuple[float, float]]) -> float:
    """Torsion of some forces about the centre of their fasteners (Nmm)."""
    cx, cy = shear_distribution.centre(points)
    return sum((x - cx) * v_y - (y - cy) * v_x for (x, y), (v_x, v_y) in zip(points, shear_n, strict=True))


@dataclass(frozen=True, slots=True)
class _Pried:
    """Fasteners that break out together, and which resistance they do so by."""

    members: tuple[int, ...]
    by_cone: bool
    by_bond: bool


def _pried(fixing: Fixing, sustained_share: float) -> list[_Pried]:
    members = tuple(range(len(fixing.positions)))
    cones = touching_groups(fixing.positions, members, fixing.fastener.cone.cone_spacing_mm)
    bonds: list[tuple[int, ...]] = []
    if fixing.fastener.assessed_bond is not None:
        bonds = touching_groups(fixing.positions, members, bond.spacing_of(fixing, sustained_share))
    return [_Pried(group, group in cones, group in bonds) for group in dict.fromkeys([*cones, *bonds])]


def verify(
    fixing: Fixing, grid: Grid | None, shear_n: Sequence[tuple[float, float]], sustained_share: float, want_trace: bool
) -> Check:
    """Check what breaks out together, apart by the spacing of each resistance, and single ones where forces turn.

    EN 1992-4:2018, 7.2.2.4; from memory.

    Args:
        fixing: The fixing.
        grid: The grid in which all fasteners stand, if any.
        shear_n: Shear in x and y of each fastener (N).
        sustained_share: alpha_sus, for bonded fasteners (no unit).
        want_trace: Whether the working is wanted.

    Returns:
        The worst check.
    """
    parts: list[_Part] = []
    for pried in _pried(fixing, sustained_share):
        points = tuple(fixing.positions[i] for i in pried.members)
        forces = [shear_n[i] for i in pried.members]
        if turn_against_each_other(points, forces):
            parts.extend(_one_of(fixing, points, place, pried, force) for place, force in enumerate(forces))
        else:
            parts.extend(_together(fixing, points, pried, forces, sustained_share))
    return governing(parts, lambda part, traced: _check(fixing, grid, part, sustained_share, traced), want_trace)


def verify_single(
    fixing: Fixing, grid: Grid | None, shear: tuple[float, float], sustained_share: float, want_trace: bool
) -> Check:
    """Check the worst fastener taking the whole shear alone, as with oversize clearance holes.

    EN 1992-4:2018, 6.2.2.2 and 7.2.2.4.

    Args:
        fixing: The fixing.
        grid: The grid in which all fasteners stand, if any.
        shear: The whole shear in x and y (N).
        sustained_share: alpha_sus, for bonded fasteners (no unit).
        want_trace: Whether the working is wanted.

    Returns:
        The worst check.
    """
    bonded = fixing.fastener.assessed_bond is not None
    alone = [_Pried((i,), True, bonded) for i in range(len(fixing.positions))]
    parts = [
        part
        for pried in alone
        for part in _together(fixing, (fixing.positions[pried.members[0]],), pried, [shear], sustained_share)
    ]
    return governing(parts, lambda part, traced: _check(fixing, grid, part, sustained_share, traced), want_trace)


@dataclass(frozen=True, slots=True)
class _Part:
    """What one check is about: the fasteners with their shear (N), and the neighbours a single one shares with."""

    pried: _Pried
    group: LoadedGroup
    place_among: tuple[int, tuple[Point, ...]] | None


def _together(
    fixing: Fixing,
    points: tuple[Point, ...],
    pried: _Pried,
    forces: Sequence[tuple[float, float]],
    sustained_share: float,
) -> list[_Part]:
    """What breaks out together, and beside neighbours what each resistance asks for by its own spacing."""
    parts = [_whole(fixing, points, pried, forces, None)]
    if not fixing.neighbours:
        return parts
    if pried.by_cone:
        by_cone, side = _Pried(pried.members, True, False), fixing.fastener.cone.cone_spacing_mm
        parts.extend(_near_neighbours(fixing, points, by_cone, forces, side))
    if pried.by_bond:
        by_bond, side = _Pried(pried.members, False, True), bond.spacing_of(fixing, sustained_share)
        parts.extend(_near_neighbours(fixing, points, by_bond, forces, side))
    return parts


def _near_neighbours(
    fixing: Fixing, points: tuple[Point, ...], pried: _Pried, forces: Sequence[tuple[float, float]], side_mm: float
) -> Iterator[_Part]:
    """The whole with each neighbour pushed as the worst of ours, and each part of it."""
    hardest = max(forces, key=lambda force: math.hypot(*force))
    for near in acting_with(points, fixing.neighbours, side_mm):
        yield _whole(fixing, (*points, near), pried, [*forces, hardest], near)
    yield from _parts(fixing, points, pried, forces, side_mm, hardest)


def _parts(
    fixing: Fixing,
    points: tuple[Point, ...],
    pried: _Pried,
    forces: Sequence[tuple[float, float]],
    side_mm: float,
    hardest: tuple[float, float],
) -> Iterator[_Part]:
    for places, left_mm2 in left_of_parts(points, side_mm, fixing.member, fixing.neighbours):
        some, pushed = tuple(points[place] for place in places), [forces[place] for place in places]
        of_them = replace(pried, members=tuple(pried.members[place] for place in places))
        part = _whole(fixing, some, of_them, pushed, None)
        yield replace(part, group=replace(part.group, left=(side_mm, left_mm2)))
        if len(places) == 1:
            for near in acting_with(some, fixing.neighbours, side_mm):
                yield _whole(fixing, (*some, near), of_them, [*pushed, hardest], near)


def _whole(
    fixing: Fixing,
    points: tuple[Point, ...],
    pried: _Pried,
    forces: Sequence[tuple[float, float]],
    joined: Point | None,
) -> _Part:
    total = (sum(force[0] for force in forces), sum(force[1] for force in forces))
    size = math.hypot(*total)
    centre = shear_distribution.centre(points)
    offset = (0.0, 0.0)
    if size > 0.0:
        farthest = max(math.dist(centre, point) for point in points)
        off_x, off_y = eccentricity(total, _torsion(points, forces), farthest)
        offset = (without_remainder(off_x), without_remainder(off_y))
    group = LoadedGroup(pried.members, points, fixing.member.nearest_mm(points), size, offset, centre, joined)
    return _Part(pried, group, None)


def _one_of(fixing: Fixing, points: tuple[Point, ...], place: int, pried: _Pried, force: tuple[float, float]) -> _Part:
    point = points[place]
    nearest = fixing.member.nearest_mm((point,))
    group = LoadedGroup((pried.members[place],), (point,), nearest, math.hypot(*force), (0.0, 0.0), point)
    return _Part(pried, group, (place, points))


def _check(fixing: Fixing, grid: Grid | None, part: _Part, sustained_share: float, want_trace: bool) -> Check:
    trace = new_trace(want_trace)
    cone, group = fixing.fastener.cone, part.group
    found = {}
    if part.pried.by_cone:
        found["N_Rk,c"] = _cone_n(fixing, grid, part, trace)
    if part.pried.by_bond:
        found["N_Rk,p"] = _bond_n(fixing, grid, part, sustained_share, trace)
    basis = next(iter(found)) if len(found) == 1 else f"min({', '.join(found)})"
    trace.add("k8", cone.pry_out_factor, "-", "assessment", CLAUSE, fixing.fastener.rules.get("pry_out_factor"))
    resisted = resistance(cone.pry_out_factor, min(found.values()))
    trace.add("V_Rk,cp", resisted, "N", f"k8·{basis}", CLAUSE)
    gamma = partial_factors.concrete_in_shear(fixing, trace)
    return finish(
        Mode.PRY_OUT, CLAUSE, "cp", "V", group.members, group.total_n, resisted, gamma, fixing.site_factor, trace
    )


def _cone_n(fixing: Fixing, grid: Grid | None, part: _Part, trace: Trace) -> float:
    if part.place_among is None:
        return concrete_cone.group_resistance(fixing, grid, part.group, trace)
    geometry = concrete_cone.geometry_of(fixing, grid, part.group.members, part.group.nearest_mm)
    share = own_share(*part.place_among, geometry.spacing_mm, fixing.member, fixing.neighbours)
    return concrete_cone.group_resistance(fixing, grid, part.group, trace, own_area=share)


def _bond_n(fixing: Fixing, grid: Grid | None, part: _Part, sustained_share: float, trace: Trace) -> float:
    if part.place_among is None:
        return bond.group_resistance(fixing, grid, part.group, sustained_share, trace)
    share = own_share(*part.place_among, bond.spacing_of(fixing, sustained_share), fixing.member, fixing.neighbours)
    return bond.group_resistance(fixing, grid, part.group, sustained_share, trace, own_area=share)
