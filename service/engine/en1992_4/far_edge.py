"""The most that a far edge can come to, whichever fasteners push it (EN 1992-4:2018, 7.2.2.5)."""

from __future__ import annotations

import math

from service.engine.arrangement import Grid
from service.engine.en1992_4 import concrete_edge, partial_factors
from service.engine.en1992_4.concrete_cone import strength_in_formulas
from service.engine.en1992_4.neighbours import is_beside
from service.engine.model import Fastener, Fixing, Member
from service.engine.trace import new_trace


def has_one_beside(fixing: Fixing, edge: int) -> bool:
    """Whether neighbours take width from any of ours at an edge. EN 1992-4:2018, 7.2.2.5."""
    along = 1 if edge < 2 else 0
    return any(is_beside(one, [point], along) for one in fixing.neighbours for point in fixing.positions)


def most_used(fixing: Fixing, grid: Grid | None, shear: tuple[float, float], torsion_nmm: float, edge: int) -> float:
    """A utilisation that no check of an edge exceeds, for a fifth of the work that the checks are.

    EN 1992-4:2018, 7.2.2.5: all that a row's readings push acts at once, as far aside as anything stands, against the
    body of one fastener that is the least far from everything. c'_1 of a thin and narrow member takes nothing off that
    body: it is the member's whole section there, and V0_Rk,c/c_1^1.5 falls as c_1 grows.

    Args:
        fixing: The fixing; no neighbour stands beside any of its fasteners at this edge (mm).
        grid: The grid in which the fasteners stand, drawn or intended, if any.
        shear: Shear in x and y at the origin (N).
        torsion_nmm: Torsion about the centre of the fasteners (Nmm).
        edge: Index into ``EDGE_NAMES``.

    Returns:
        The utilisation (no unit).
    """
    along = 1 if edge < 2 else 0
    points = [*fixing.positions, *(one.point for one in fixing.neighbours)]
    nearest = fixing.member.nearest_mm(points)
    c1, sides = nearest[edge], nearest[2:] if edge < 2 else nearest[:2]
    towards, sideways = concrete_edge.most_pushed(fixing, grid, edge, shear, torsion_nmm)
    places = [point[along] for point in points]
    couple = towards * (max(places) - min(places))
    least_mm = min(c1, max(*sides, fixing.member.thickness_mm) / 1.5)
    action = concrete_edge.action_on_edge(towards, sideways, couple, math.inf, least_mm)
    farthest = max(fixing.member.distances_mm(fixing.positions, edge))
    resistance = _least_resistance(fixing.member, fixing.fastener, (c1, farthest), sides)
    gamma = partial_factors.concrete_in_shear(fixing, new_trace(False))
    return action * gamma / (resistance * fixing.site_factor)


def _least_resistance(
    member: Member, fastener: Fastener, c1_mm: tuple[float, float], sides_mm: tuple[float, float]
) -> float:
    """V_Rk,c of one fastener (N): the body at the least c_1, the exponents of the largest, the nearest corner."""
    least, farthest = c1_mm
    width, height = sum(min(1.5 * least, side) for side in sides_mm), min(1.5 * least, member.thickness_mm)
    diameter, length = concrete_edge.effective_rod(fastener)
    alpha, beta = concrete_edge.exponents(diameter, length, farthest)
    strength = strength_in_formulas(member.f_ck_mpa)
    single = concrete_edge.k9(member) * diameter**alpha * length**beta * math.sqrt(strength) * least**1.5
    thin = concrete_edge.thickness_factor(least, member.thickness_mm)
    corner = concrete_edge.corner_factor(min(sides_mm), farthest)
    return float(single) * (width * height / (4.5 * least**2)) * thin * corner
