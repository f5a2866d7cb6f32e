"""Concrete pry-out failure in shear (EN 1992-4:2018, 7.2.2.4)."""

from __future__ import annotations

import math
from collections.abc import Sequence

from service.engine.arrangement import Grid, touching_groups
from service.engine.codes import Mode
from service.engine.en1992_4 import bond, concrete_cone, partial_factors, shear_distribution
from service.engine.en1992_4.design_check import finish, worst
from service.engine.en1992_4.loaded_group import LoadedGroup
from service.engine.en1992_4.projected_area import own_share
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


def eccentricity(shear: tuple[float, float], torsion_nmm: float) -> Point:
    """Distance of the shear resultant's line from the centre of the fasteners, in x and y (mm).

    EN 1992-4:2018, 7.2.2.4: e_V takes the place of e_N.

    Args:
        shear: Resultant shear in x and y (N).
        torsion_nmm: Torsion about the centre of the fasteners (Nmm).

    Returns:
        Eccentricity in x and y (mm).
    """
    size = math.hypot(*shear)
    return abs(torsion_nmm / size * (shear[1] / size)), abs(torsion_nmm / size * (shear[0] / size))


def turn_against_each_other(shear_n: Sequence[tuple[float, float]]) -> bool:
    """Whether shear forces, or their components, of the fasteners change sign. EN 1992-4:2018, 7.2.2.4. Shears in N."""
    floor = 1e-9 * max(math.hypot(*shear) for shear in shear_n)
    return any(
        max(shear[axis] for shear in shear_n) > floor and min(shear[axis] for shear in shear_n) < -floor
        for axis in (0, 1)
    )


def verify(
    fixing: Fixing, grid: Grid | None, shear_n: Sequence[tuple[float, float]], sustained_share: float, want_trace: bool
) -> Check:
    """Check the fasteners in shear together, groups that do not touch, and single ones where torsion turns the forces.

    EN 1992-4:2018, 7.2.2.4; taking the worse of all is the safe reading (from memory).

    Args:
        fixing: The fixing.
        grid: The grid in which all fasteners stand, if any.
        shear_n: Shear in x and y of each fastener (N).
        sustained_share: alpha_sus, for bonded fasteners (no unit).
        want_trace: Whether the working is wanted.

    Returns:
        The worst check.
    """
    cone = fixing.fastener.cone
    members = tuple(range(len(fixing.positions)))
    groups = [members]
    apart = touching_groups(fixing.positions, members, cone.cone_spacing_mm)
    if len(apart) > 1:
        groups.extend(apart)
    checks = [
        check
        for check in (_group_check(fixing, grid, group, shear_n, sustained_share, want_trace) for group in groups)
        if check is not None
    ]
    if turn_against_each_other(shear_n):
        checks.extend(_single_check(fixing, grid, i, shear_n[i], sustained_share, want_trace) for i in members)
    return worst(checks)


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
    alone = [(0.0, 0.0)] * len(fixing.positions)
    checks = []
    for i in range(len(fixing.positions)):
        taken = [*alone[:i], shear, *alone[i + 1 :]]
        check = _group_check(fixing, grid, (i,), taken, sustained_share, want_trace)
        if check is not None:
            checks.append(check)
    return worst(checks)


def _group_check(
    fixing: Fixing,
    grid: Grid | None,
    members: tuple[int, ...],
    shear_n: Sequence[tuple[float, float]],
    sustained_share: float,
    want_trace: bool,
) -> Check | None:
    points = tuple(fixing.positions[i] for i in members)
    total = (sum(shear_n[i][0] for i in members), sum(shear_n[i][1] for i in members))
    size = math.hypot(*total)
    if size <= 1e-9 * max(math.hypot(*shear) for shear in shear_n):
        return None
    cx, cy = shear_distribution.centre(points)
    torsion = sum(
        (x - cx) * shear_n[i][1] - (y - cy) * shear_n[i][0] for i, (x, y) in zip(members, points, strict=True)
    )
    offset = eccentricity(total, torsion)
    offset = (offset[0] if offset[0] > 1e-6 else 0.0, offset[1] if offset[1] > 1e-6 else 0.0)
    group = LoadedGroup(members, points, fixing.member.nearest_mm(points), size, offset, (cx, cy))
    return _check(fixing, grid, group, sustained_share, None, want_trace)


def _single_check(
    fixing: Fixing, grid: Grid | None, index: int, shear: tuple[float, float], sustained_share: float, want_trace: bool
) -> Check:
    point = fixing.positions[index]
    group = LoadedGroup((index,), (point,), fixing.member.nearest_mm((point,)), math.hypot(*shear), (0.0, 0.0), point)
    return _check(fixing, grid, group, sustained_share, index, want_trace)


def _check(
    fixing: Fixing, grid: Grid | None, group: LoadedGroup, sustained_share: float, own: int | None, want_trace: bool
) -> Check:
    trace = new_trace(want_trace)
    cone = fixing.fastener.cone
    concrete_n = _cone_n(fixing, grid, group, own, trace)
    basis = "N_Rk,c"
    if fixing.fastener.assessed_bond is not None:
        bond_n = _bond_n(fixing, grid, group, sustained_share, own, trace)
        concrete_n, basis = min(concrete_n, bond_n), "min(N_Rk,c, N_Rk,p)"
    trace.add("k8", cone.pry_out_factor, "-", "assessment", CLAUSE, fixing.fastener.rules.get("pry_out_factor"))
    found = trace.add("V_Rk,cp", resistance(cone.pry_out_factor, concrete_n), "N", f"k8·{basis}", CLAUSE)
    gamma = partial_factors.concrete_in_shear(fixing, trace)
    return finish(
        Mode.PRY_OUT, CLAUSE, "cp", "V", group.members, group.total_n, found, gamma, fixing.site_factor, trace
    )


def _cone_n(fixing: Fixing, grid: Grid | None, group: LoadedGroup, own: int | None, trace: Trace) -> float:
    if own is None:
        return concrete_cone.group_resistance(fixing, grid, group, trace)
    geometry = concrete_cone.geometry_of(fixing, grid, (own,), group.nearest_mm)
    share = own_share(own, fixing.positions, geometry.spacing_mm, fixing.member)
    return concrete_cone.group_resistance(fixing, grid, group, trace, own_area=share)


def _bond_n(
    fixing: Fixing, grid: Grid | None, group: LoadedGroup, sustained_share: float, own: int | None, trace: Trace
) -> float:
    if own is None:
        return bond.group_resistance(fixing, grid, group, sustained_share, trace)
    spacing = bond.spacing_of(fixing, sustained_share)
    share = own_share(own, fixing.positions, spacing, fixing.member)
    return bond.group_resistance(fixing, grid, group, sustained_share, trace, own_area=share)
