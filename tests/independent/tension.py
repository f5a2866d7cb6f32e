"""Tension modes of method.md (EN 1992-4, 7.2.1), from memory of the standard. Forces in N, lengths in mm."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, TypeAlias

from tests.independent import areas, arrangement
from tests.independent.inputs import STRENGTH_CLASSES

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tests.independent.inputs import Fixing, Near
    from tests.independent.plate import AxialForces


@dataclass(frozen=True)
class Cone:
    """Embedment, spacing and edge distance of a cone, brought down together in a narrow member."""

    embedment: float
    spacing: float
    edge: float


Joined: TypeAlias = "tuple[float, float] | None"
"""Where a fastener of another fixing stands that acts with a group."""


def smallest_edge(fixing: Fixing, group: Sequence[int], joined: Joined = None) -> float:
    """Smallest edge distance of a group (mm)."""
    places = [fixing.points[i] for i in group] + ([] if joined is None else [joined])
    return min(min(fixing.distances_of(place).values()) for place in places)


def eccentricity(
    fixing: Fixing, group: Sequence[int], weights: Sequence[float], joined: Joined = None
) -> tuple[float, float]:
    """Distance from the centroid of the group to the resultant, each way (mm); the last weight is the joined one's."""
    total = sum(weights)
    found = []
    for axis in (0, 1):
        values = [fixing.points[i][axis] for i in group] + ([] if joined is None else [joined[axis]])
        centroid = sum(values) / len(values)
        found.append(abs(sum(v * w for v, w in zip(values, weights, strict=True)) / total - centroid))
    return found[0], found[1]


def cone_of(fixing: Fixing, group: Sequence[int], joined: Joined = None) -> Cone:
    """The cone of a group; with three or more edges near, that of h'_ef (7.2.1.4 (8))."""
    places = [fixing.points[i] for i in group] + ([] if joined is None else [joined])
    data = fixing.row["concrete"]
    h = fixing.embedment
    spacing = float(data["cone_spacing_mm"] or 3.0 * h)
    edge = float(data["cone_edge_mm"] or 1.5 * h)
    nearest = {name: min(fixing.distances_of(place)[name] for place in places) for name in fixing.edges}
    if sum(c < edge for c in nearest.values()) < 3:
        return Cone(h, spacing, edge)
    ratio = max(c for c in nearest.values() if c <= edge) / edge
    gaps = [g for axis in (0, 1) for g in areas.axis_gaps(fixing, group, axis)]
    if not arrangement.drawn(fixing.points):
        gaps = [arrangement.widest_gap(fixing.points, group, axis) for axis in (0, 1)]
    if gaps:  # reading: a gap wider than s_cr leaves h_ef as it is
        ratio = max(ratio, min(1.0, max(gaps) / spacing))
    return Cone(h * ratio, spacing * ratio, edge * ratio)


def psi_s(c: float, critical: float) -> float:
    """Disturbance of the stress field by the nearest edge."""
    return min(1.0, 0.7 + 0.3 * c / critical)


def psi_re(fixing: Fixing, embedment: float) -> float:
    """Shell spalling. Reading: in a narrow member h'_ef stands here too, which is the lower value."""
    return 1.0 if fixing.wide_bars else min(1.0, 0.5 + embedment / 200.0)


def psi_ec(e: tuple[float, float], spacing: float) -> float:
    """Eccentricity both ways."""
    return 1.0 / (1.0 + 2.0 * e[0] / spacing) / (1.0 + 2.0 * e[1] / spacing)


def basic_cone(fixing: Fixing, embedment: float) -> float:
    """N0_Rk,c."""
    k1 = fixing.row["concrete"]["cracked_factor" if fixing.cracked else "uncracked_factor"]
    return float(k1 * math.sqrt(fixing.f_ck) * embedment**1.5)


def cone_resistance(
    fixing: Fixing, group: Sequence[int], e: tuple[float, float], psi_m: float, joined: Joined = None
) -> float:
    """N_Rk,c of a group."""
    cone = cone_of(fixing, group, joined)
    area = areas.projected_area(fixing, group, cone.spacing, joined)
    edge = smallest_edge(fixing, group, joined)
    return (
        basic_cone(fixing, cone.embedment) * area / cone.spacing**2 * psi_s(edge, cone.edge)
        * psi_re(fixing, cone.embedment) * psi_ec(e, cone.spacing) * psi_m
    )  # fmt: skip


def psi_m(fixing: Fixing, forces: AxialForces) -> float:
    """Help from compression close by. Needs the whole group's couple; a part of a group gets 1."""
    tension = sum(forces.tension)
    if forces.compression < 0.8 * tension or forces.compression <= 0:
        return 1.0
    if smallest_edge(fixing, range(len(fixing.points))) < 1.5 * fixing.embedment:  # any fastener of the fixture
        return 1.0
    x = sum(f * p[0] for f, p in zip(forces.tension, fixing.points, strict=True)) / tension
    y = sum(f * p[1] for f, p in zip(forces.tension, fixing.points, strict=True)) / tension
    z = math.hypot(x - forces.compression_x, y - forces.compression_y)
    return max(1.0, 2.0 - z / (1.5 * fixing.embedment))


def head_area(fixing: Fixing) -> float:
    """Bearing area of a head."""
    d_h = fixing.size["geometry"]["head_diameter_mm"]
    return math.pi / 4.0 * float(d_h**2 - fixing.diameter**2)


def strength_factor(fixing: Fixing, table: dict[str, float]) -> float:
    """Increase with concrete strength; between two classes the lower one's (reading)."""
    below = {STRENGTH_CLASSES[c]: f for c, f in table.items() if STRENGTH_CLASSES[c] <= fixing.strength + 1e-9}
    return below[max(below)] if below else 1.0


def pull_out_resistance(fixing: Fixing) -> float | None:
    """N_Rk,p of one fastener, None where pull-out does not govern."""
    if fixing.family["mechanism"] == "headed_fastener":
        return (7.5 if fixing.cracked else 10.5) * head_area(fixing) * fixing.f_ck
    data = fixing.row["pull_out"]
    if data is None:
        return None
    value = data["cracked_kn" if fixing.cracked else "uncracked_kn"]
    return float(value) * 1e3 * strength_factor(fixing, data["strength_factor"])


@dataclass(frozen=True)
class Bond:
    """Bond strength as it enters the equations."""

    strength: float
    sustained: float
    spacing: float
    single: float


def bond_of(fixing: Fixing, share: float) -> Bond:
    """Bond strength in this state, hole and temperature; the spacing always by uncracked C20/25."""
    data = fixing.size["bond"]
    assert fixing.temperature_range is not None
    table = data["characteristic_mpa"]
    low = table["uncracked"][fixing.hole][fixing.temperature_range]
    tau = table["cracked" if fixing.cracked else "uncracked"][fixing.hole][fixing.temperature_range]
    tau *= strength_factor(fixing, data["strength_factor"])
    allowed = (data["sustained_factor"] or {}).get(fixing.temperature_range, 0.6)
    psi = 1.0 if share <= allowed else allowed + 1.0 - share
    h, d = fixing.embedment, fixing.diameter
    return Bond(tau, psi, min(7.3 * d * math.sqrt(psi * low), 3.0 * h), psi * tau * math.pi * d * h)


def psi_g_bond(fixing: Fixing, group: Sequence[int], bond: Bond) -> float:
    """Group effect of close bonded fasteners."""
    n = len(group)
    if n == 1:
        return 1.0
    k3 = 7.7 if fixing.cracked else 11.0
    limit = k3 / (math.pi * fixing.diameter) * math.sqrt(fixing.embedment * fixing.f_ck)
    start = max(1.0, math.sqrt(n) - (math.sqrt(n) - 1.0) * (bond.strength / limit) ** 1.5)
    means = []
    for axis in (0, 1):
        gaps = areas.axis_gaps(fixing, group, axis)
        if gaps:
            means.append(sum(gaps) / len(gaps))
    if not arrangement.drawn(fixing.points):  # reading: without a grid the farthest of the nearest neighbours
        means = [max(min(math.dist(fixing.points[i], fixing.points[j]) for j in group if j != i) for i in group)]
    s = max(means)  # reading: where rows differ, the larger mean spacing
    return float(max(1.0, start - math.sqrt(s / bond.spacing) * (start - 1.0)))


def bond_resistance(
    fixing: Fixing, group: Sequence[int], e: tuple[float, float], share: float, joined: Joined = None
) -> float:
    """N_Rk,p of a group of bonded fasteners; of others nearby none counts for n."""
    bond = bond_of(fixing, share)
    area = areas.projected_area(fixing, group, bond.spacing, joined)
    return float(
        bond.single * area / bond.spacing**2 * psi_g_bond(fixing, group, bond) * psi_ec(e, bond.spacing)
        * psi_s(smallest_edge(fixing, group, joined), bond.spacing / 2) * psi_re(fixing, fixing.embedment)
    )  # fmt: skip


def splitting_waived(fixing: Fixing, pulled: Sequence[int]) -> bool:
    """No splitting check. Reading: edge distance of those that pull, a group where the fixing is one."""
    if fixing.cracked and fixing.cracks_held:
        return True
    limits, concrete = fixing.row["limits"], fixing.row["concrete"]
    others = areas.reached(fixing, pulled, concrete["splitting_spacing_mm"])
    factor = 1.0 if len(fixing.points) + len(others) == 1 else 1.2
    edge = min(smallest_edge(fixing, pulled, joined) for joined in (None, *(one.at for one in others)))
    far = edge >= factor * concrete["splitting_edge_mm"]
    return bool(far and fixing.thickness >= limits["member_thickness_min_mm"])


def splitting_resistance(
    fixing: Fixing, group: Sequence[int], e: tuple[float, float], share: float, joined: Joined = None
) -> float:
    """N_Rk,sp of a group. Reading: no h'_ef here, which gives the lower resistance."""
    concrete = fixing.row["concrete"]
    spacing, edge = concrete["splitting_spacing_mm"], concrete["splitting_edge_mm"]
    if concrete["splitting_kn"] is not None:
        basic = concrete["splitting_kn"] * 1e3
    else:
        pull_out = bond_of(fixing, share).single if fixing.size["bond"] else pull_out_resistance(fixing)
        basic = min(basic_cone(fixing, fixing.embedment), math.inf if pull_out is None else pull_out)
    c = smallest_edge(fixing, group, joined)
    h_min = fixing.row["limits"]["member_thickness_min_mm"]
    psi_h = max(1.0, (fixing.thickness / h_min) ** (2 / 3))
    psi_h = min(psi_h, max(1.0, ((fixing.embedment + 1.5 * c) / h_min) ** (2 / 3)), 2.0)
    area = areas.projected_area(fixing, group, spacing, joined)
    return float(
        basic * area / spacing**2 * psi_s(c, edge) * psi_re(fixing, fixing.embedment) * psi_ec(e, spacing) * psi_h
    )


def blow_out_resistance(
    fixing: Fixing, edge: str, group: Sequence[int], e: float, taking: Sequence[Near] = (), joined: Joined = None
) -> float:
    """N_Rk,cb of a row along an edge; the area on the side face ends at corners and at the far face."""
    places = [fixing.points[i] for i in group] + ([] if joined is None else [joined])
    c_1 = min(fixing.distances_of(place)[edge] for place in places)
    axis = 1 if edge.startswith("x") else 0
    across = ("y_minus", "y_plus") if axis == 1 else ("x_minus", "x_plus")
    k5 = 8.7 if fixing.cracked else 12.2
    basic = k5 * c_1 * math.sqrt(head_area(fixing)) * math.sqrt(fixing.f_ck)
    along = [fixing.points[i][axis] for i in group]
    low, high = -min(fixing.edges[across[0]], areas.FAR), min(fixing.edges[across[1]], areas.FAR)
    # reading: the head lies at h_ef, 2 c_1 above is always inside, 2 c_1 below may reach the far face
    height = 2.0 * c_1 + min(2.0 * c_1, fixing.thickness - fixing.embedment)
    beside = [(one.at[axis], 4.0 * c_1, one.shares) for one in taking]
    area = areas.covered_length([place[axis] for place in places], 4.0 * c_1, low, high, beside) * height
    c_2 = min(fixing.distances_of(place)[name] for place in places for name in across)
    n, gaps = len(group), sorted(along)
    s_2 = max((b - a for a, b in pairwise(gaps)), default=4.0 * c_1)
    psi_g = max(1.0, math.sqrt(n) + (1.0 - math.sqrt(n)) * s_2 / (4.0 * c_1))
    if not arrangement.drawn(fixing.points) and arrangement.lanes(fixing.points, axis) is None:
        psi_g = 1.0  # reading: without rows nothing says that they stand beside each other
    corner = min(1.0, 0.7 + 0.3 * c_2 / (2.0 * c_1))
    return basic * area / (4.0 * c_1) ** 2 * corner * psi_g / (1.0 + 2.0 * e / (4.0 * c_1))


def is_beside(at: tuple[float, float], places: Sequence[tuple[float, float]], axis: int) -> bool:
    """Whether another fastener is no farther across an edge than along it, from each of some."""
    return all(abs(at[axis] - p[axis]) >= abs(at[1 - axis] - p[1 - axis]) for p in places)
