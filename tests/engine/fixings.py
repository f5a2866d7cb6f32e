"""A plain fixing for tests of the engine. Its figures are invented and stand for no product."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from service.engine.model import (
    Cone,
    Displacement,
    Fastener,
    Fixing,
    Fixture,
    LoadCase,
    Member,
    PartialFactors,
    Point,
    PullOut,
    Reinforcement,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

INF = math.inf
FAR = (INF, INF, INF, INF)
FLUSH = Fixture((0.0, 0.0), 400.0, 400.0, 20.0, 235.0, None, "filled", 0.0, 0.0, None, rotation_held=False,
                washer_clamped=True)  # fmt: skip
"""A plate flat on the concrete, its holes filled."""
UNKNOWN_BARS = Reinforcement(None, None, "none", None, cracks_held=False)
FACTORS = PartialFactors(1.5, 1.4, 1.25, "", "", {})


def bolt(diameter_mm: float, embedment_mm: float) -> Fastener:
    """An expansion bolt with s_cr,N = 3 h_ef in cracked concrete."""
    area = 0.2 * math.pi * diameter_mm**2
    cone = Cone(7.7, 3 * embedment_mm, 1.5 * embedment_mm, 4 * embedment_mm, 2 * embedment_mm, None, 2.0, None)
    return Fastener(
        mechanism="torque_expansion",
        diameter_mm=diameter_mm,
        nominal_diameter_mm=diameter_mm,
        stress_area_mm2=area,
        section_modulus_mm3=0.1 * diameter_mm**3,
        head_diameter_mm=None,
        embedment_mm=embedment_mm,
        displacement=Displacement(9e3, 0.5),
        tensile_strength_mpa=800.0,
        yield_strength_mpa=640.0,
        ductile=True,
        steel_tension_n=None,
        steel_shear_n=None,
        steel_bending_nmm=None,
        shear_group_factor=None,
        installation_factor=1.0,
        member_thickness_min_mm=2 * embedment_mm,
        pull_out=PullOut(1e6, 1.0),
        assessed_bond=None,
        assessed_cone=cone,
        simplified=None,
        redundant_indoor_use=False,
        stand_off_compression=True,
        rules={},
    )


def load_case(
    normal_n: float = 0.0,
    shear_n: Point = (0.0, 0.0),
    moment_nmm: Point = (0.0, 0.0),
    torsion_nmm: float = 0.0,
) -> LoadCase:
    """Design actions at the origin."""
    return LoadCase("case", "design", normal_n, *shear_n, *moment_nmm, torsion_nmm, 0.0)


def fixing(
    fastener: Fastener,
    positions: Sequence[Point],
    actions: LoadCase,
    *,
    edges_mm: tuple[float, float, float, float] = FAR,
    thickness_mm: float = 500.0,
    f_ck_mpa: float = 25.0,
    fixture: Fixture = FLUSH,
) -> Fixing:
    """One fixture in cracked concrete, the bars unknown."""
    member = Member(f_ck_mpa, True, thickness_mm, edges_mm, UNKNOWN_BARS)
    return Fixing(fastener, tuple(positions), member, fixture, FACTORS, 1.0, (actions,))
