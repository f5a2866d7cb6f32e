"""Equations of EN 1992-4:2018 at points worked by hand, and each factor at its limits.

Source: EN 1992-4:2018; its formulas and clause numbers are from memory, the numbers were worked with a calculator.
Areas stand in `test_shapely.py`, plate forces in `test_section_library.py`.
"""

from __future__ import annotations

import math

import pytest

from service.engine.en1992_4 import (
    blow_out,
    bond,
    concrete_cone,
    concrete_edge,
    interaction,
    lever_arm,
    partial_factors,
    pry_out,
    pull_out,
    splitting,
    steel_shear,
    steel_tension,
)
from service.engine.model import Cone, Member, Reinforcement

HAND = 1e-4
INF = math.inf


def reinforcement(
    spacing: float | None = None, diameter: float | None = None, stirrups: float | None = None, *, held: bool = False
) -> Reinforcement:
    return Reinforcement(spacing, diameter, "none" if stirrups is None else "edge_bar_with_stirrups", stirrups, held)


def member(bars: Reinforcement, *, cracked: bool = True, thickness: float = 200.0) -> Member:
    return Member(25.0, cracked, thickness, (INF, INF, INF, INF), bars)


# --- 4.4.2, Table 4.1 ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("steel", "f_uk", "f_yk", "tension", "shear"),
    [
        ("4.6", 400.0, 240.0, 2.0, 1.667),
        ("5.8", 500.0, 400.0, 1.5, 1.25),
        ("8.8", 800.0, 640.0, 1.5, 1.25),
        ("10.9", 1000.0, 900.0, 1.4, 1.5),
        ("stainless 70", 700.0, 450.0, 1.867, 1.556),
    ],
)
def test_partial_factors_of_steel(steel: str, f_uk: float, f_yk: float, tension: float, shear: float) -> None:
    """Source: EN 1992-4:2018, Table 4.1, recommended values, by hand for common property classes."""
    assert partial_factors.steel_tension(f_uk, f_yk, 1.2, 1.4) == pytest.approx(tension, abs=5e-4), steel
    assert partial_factors.steel_shear(f_uk, f_yk, 1.0, 1.25, 1.5, 800.0, 0.8) == pytest.approx(shear, abs=5e-4), steel


def test_partial_factor_of_concrete() -> None:
    """Source: EN 1992-4:2018, Table 4.1: 1.5 times 1.0, 1.2 or 1.4 in tension; accidental 1.2."""
    assert [partial_factors.concrete(1.5, g) for g in (1.0, 1.2, 1.4)] == pytest.approx([1.5, 1.8, 2.1])
    assert partial_factors.concrete(1.2, 1.0) == 1.2


# --- 7.2.1 tension ------------------------------------------------------------------------------------------------


def test_steel_in_tension() -> None:
    """Source: EN 1992-4:2018, 7.2.1.3, by hand: M12 8.8, 84.3 mm² × 800 MPa."""
    assert steel_tension.steel_resistance(84.3, 800.0) == pytest.approx(67_440.0)


@pytest.mark.parametrize(
    ("k1", "f_ck", "h_ef", "resistance_kn"),
    [(12.7, 30.0, 200.0, 196.745), (7.7, 25.0, 70.0, 22.548), (11.0, 20.0, 100.0, 49.193), (8.9, 25.0, 150.0, 81.752)],
)
def test_cone_of_one_fastener(k1: float, f_ck: float, h_ef: float, resistance_kn: float) -> None:
    """Source: EN 1992-4:2018, 7.2.1.4, by hand; the first is the headed stud of 196.7 kN."""
    assert concrete_cone.characteristic_resistance(k1, f_ck, h_ef) / 1e3 == pytest.approx(resistance_kn, rel=HAND)


def test_strength_in_formulas_ends_at_60() -> None:
    """Source: EN 1992-4:2018, 1.2 (from memory)."""
    assert concrete_cone.strength_in_formulas(60.0) == 60.0
    assert concrete_cone.strength_in_formulas(90.0) == 60.0


@pytest.mark.parametrize(("c", "psi"), [(0.0, 0.7), (52.5, 0.85), (105.0, 1.0), (400.0, 1.0), (INF, 1.0)])
def test_psi_s_n(c: float, psi: float) -> None:
    """Source: EN 1992-4:2018, 7.2.1.4: 0.7 at the edge, 1 from c_cr,N = 105 on."""
    assert concrete_cone.edge_factor(c, 105.0) == pytest.approx(psi)


@pytest.mark.parametrize(("h_ef", "psi"), [(40.0, 0.7), (70.0, 0.85), (100.0, 1.0), (200.0, 1.0)])
def test_psi_re_n(h_ef: float, psi: float) -> None:
    """Source: EN 1992-4:2018, 7.2.1.4: 0.5 + h_ef/200, 1 from 100 mm on."""
    assert concrete_cone.shell_spalling_factor(h_ef) == pytest.approx(psi)


@pytest.mark.parametrize(
    ("spacing", "diameter", "apart"),
    [
        (150.0, 16.0, True),
        (149.0, 16.0, False),
        (100.0, 10.0, True),
        (100.0, 12.0, False),
        (99.0, 8.0, False),
        (None, 8.0, False),
        (100.0, None, False),
        (150.0, None, True),
    ],
)
def test_bars_that_stand_apart(spacing: float | None, diameter: float | None, apart: bool) -> None:
    """Source: EN 1992-4:2018, 7.2.1.4: any diameter at 150 mm, up to 10 mm at 100 mm; unknown is dense (safe)."""
    assert concrete_cone.reinforcement_stands_apart(reinforcement(spacing, diameter)) is apart


@pytest.mark.parametrize(("e", "psi"), [(0.0, 1.0), (105.0, 0.5), (52.5, 2 / 3), (30.0, 0.7778)])
def test_psi_ec_n(e: float, psi: float) -> None:
    """Source: EN 1992-4:2018, 7.2.1.4, s_cr,N = 210."""
    assert concrete_cone.eccentricity_factor(e, 210.0) == pytest.approx(psi, rel=HAND)


@pytest.mark.parametrize(("z", "psi"), [(0.0, 2.0), (52.5, 1.5), (105.0, 1.0), (300.0, 1.0)])
def test_psi_m_n(z: float, psi: float) -> None:
    """Source: EN 1992-4:2018, 7.2.1.4: 2 with no lever, 1 from 1.5 h_ef = 105 on."""
    assert concrete_cone.compression_factor(z, 70.0) == pytest.approx(psi)


@pytest.mark.parametrize(
    ("c_max", "s_max", "reduced"),
    [(150.0, 0.0, 100.0), (150.0, 210.0, 100.0), (120.0, 360.0, 120.0), (300.0, 0.0, 200.0), (90.0, 700.0, 200.0)],
)
def test_embedment_of_a_narrow_member(c_max: float, s_max: float, reduced: float) -> None:
    """Source: EN 1992-4:2018, 7.2.1.4 (8), by hand: h_ef 200, c_cr,N 300, s_cr,N 600; never more than h_ef."""
    assert concrete_cone.narrow_member_embedment(200.0, c_max, 300.0, s_max, 600.0) == pytest.approx(reduced)


def test_narrow_member_needs_three_edges() -> None:
    """Source: EN 1992-4:2018, 7.2.1.4 (8), by hand: 150/300 of 200 mm; the spacing of the cone follows."""
    cone = Cone(8.9, 600.0, 300.0, 600.0, 300.0, None, 2.0, None)
    bars = reinforcement()
    two = Member(25.0, True, 400.0, (150.0, INF, 100.0, INF), bars)
    three = Member(25.0, True, 400.0, (150.0, INF, 100.0, 120.0), bars)
    assert concrete_cone.cone_geometry(cone, 200.0, two.nearest_mm([(0.0, 0.0)]), 0.0).embedment_mm == 200.0
    found = concrete_cone.cone_geometry(cone, 200.0, three.nearest_mm([(0.0, 0.0)]), 0.0)
    assert (found.embedment_mm, found.spacing_mm, found.edge_mm) == pytest.approx((100.0, 300.0, 150.0))


def test_pull_out_of_a_head() -> None:
    """Source: EN 1992-4:2018, 7.2.1.5, by hand: d_h 32, d 16, A_h = 603.19 mm², k2 7.5, f_ck 30."""
    assert pull_out.head_area(32.0, 16.0) == pytest.approx(603.186, rel=HAND)
    assert pull_out.headed_resistance(7.5, 603.186, 30.0) == pytest.approx(135_717.0, rel=HAND)
    assert (pull_out.HEAD_FACTOR_CRACKED, pull_out.HEAD_FACTOR_UNCRACKED) == (7.5, 10.5)


@pytest.mark.parametrize(
    ("share", "assessed", "psi"),
    [
        (0.0, 0.75, 1.0),
        (0.75, 0.75, 1.0),
        (0.8, 0.75, 0.95),
        (1.0, 0.75, 0.75),
        (0.6, None, 1.0),
        (0.7, None, 0.9),
        (1.0, None, 0.6),
    ],
)
def test_psi_sus(share: float, assessed: float | None, psi: float) -> None:
    """Source: EN 1992-4:2018, 7.2.1.6: 0.6 where the assessment gives none."""
    assert bond.sustained_factor(share, assessed) == pytest.approx(psi)


def test_bond_of_one_fastener_and_its_spacing() -> None:
    """Source: EN 1992-4:2018, 7.2.1.6, by hand: tau 8 (14 uncracked), d 12, h_ef 110; s_cr,Np at most 3 h_ef."""
    assert bond.characteristic_resistance(1.0, 8.0, 12.0, 110.0) == pytest.approx(33_175.0, rel=HAND)
    assert bond.characteristic_spacing(12.0, 1.0, 14.0, 110.0) == pytest.approx(327.77, rel=HAND)
    assert bond.characteristic_spacing(12.0, 1.0, 14.0, 70.0) == 210.0
    assert bond.characteristic_spacing(12.0, 0.9, 14.0, 110.0) == pytest.approx(310.95, rel=HAND)


def test_group_of_bonded_fasteners() -> None:
    """Source: EN 1992-4:2018, 7.2.1.6, by hand: four at 100 mm, tau 8 against tau_Rk,c 10.711 (C25/30, h_ef 110)."""
    limit = bond.cone_bond_strength(7.7, 12.0, 110.0, 25.0)
    assert limit == pytest.approx(10.711, rel=HAND)
    start = bond.group_factor_at_zero(4, 8.0, limit)
    assert start == pytest.approx(1.35449, rel=HAND)
    assert bond.group_factor(start, 100.0, 327.77) == pytest.approx(1.15869, rel=HAND)


def test_group_factor_of_bond_at_its_limits() -> None:
    """Source: EN 1992-4:2018, 7.2.1.6: √n with no bond to speak of, 1 where bond outdoes the cone or at s_cr,Np."""
    assert bond.group_factor_at_zero(4, 0.0, 10.0) == 2.0
    assert bond.group_factor_at_zero(4, 10.0, 10.0) == 1.0
    assert bond.group_factor_at_zero(9, 20.0, 10.0) == 1.0
    assert bond.group_factor(1.5, 0.0, 300.0) == 1.5
    assert bond.group_factor(1.5, 300.0, 300.0) == 1.0
    assert bond.group_factor(1.5, 900.0, 300.0) == 1.0


@pytest.mark.parametrize(
    ("h", "c_1", "psi"),
    [
        (200.0, 500.0, 1.0),
        (300.0, 500.0, 1.31037),
        (300.0, 100.0, 1.06560),
        (900.0, 900.0, 2.0),
        (900.0, 60.0, 1.0),
        (900.0, INF, 2.0),
    ],
)
def test_psi_h_sp(h: float, c_1: float, psi: float) -> None:
    """Source: EN 1992-4:2018, 7.2.1.7, by hand: h_min 200, h_ef 70; at most ((h_ef + 1.5 c_1)/h_min)^(2/3) and 2."""
    assert splitting.thickness_factor(h, 200.0, 70.0, c_1) == pytest.approx(psi, rel=HAND)


@pytest.mark.parametrize(
    ("c", "count", "cracked", "held", "left_out"),
    [
        (140.0, 1, True, False, True),
        (139.9, 1, True, False, False),
        (140.0, 4, True, False, False),
        (168.0, 4, True, False, True),
        (60.0, 4, True, True, True),
        (60.0, 4, False, True, False),
    ],
)
def test_when_splitting_may_be_left_out(c: float, count: int, cracked: bool, held: bool, left_out: bool) -> None:
    """Source: EN 1992-4:2018, 7.2.1.7: c_cr,sp 140, 1.2 times that for groups, or cracks held in cracked concrete."""
    cone = Cone(7.7, 210.0, 105.0, 280.0, 140.0, None, 2.0, 70.0)
    concrete = member(reinforcement(held=held), cracked=cracked)
    assert splitting.may_be_left_out(concrete, cone, c, count, 140.0) is left_out


def test_blow_out() -> None:
    """Source: EN 1992-4:2018, 7.2.1.8, by hand: k5 8.7, c_1 80, A_h 603.19, f_ck 30."""
    assert blow_out.characteristic_resistance(8.7, 80.0, 603.186, 30.0) == pytest.approx(93_626.0, rel=HAND)


def test_factors_of_blow_out_at_their_limits() -> None:
    """Source: EN 1992-4:2018, 7.2.1.8: corner 0.7 to 1 at 2 c_1, group √n to 1 at 4 c_1, eccentricity."""
    assert [blow_out.corner_factor(c, 80.0) for c in (0.0, 160.0, INF)] == pytest.approx([0.7, 1.0, 1.0])
    assert [blow_out.group_factor(4, s, 80.0) for s in (0.0, 160.0, 320.0, 500.0)] == pytest.approx([
        2.0,
        1.5,
        1.0,
        1.0,
    ])
    assert blow_out.eccentricity_factor(160.0, 80.0) == pytest.approx(0.5)


# --- 7.2.2 shear --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("f_uk", "resistance"), [(500.0, 25_290.0), (501.0, 21_117.0), (800.0, 33_720.0)])
def test_steel_in_shear(f_uk: float, resistance: float) -> None:
    """Source: EN 1992-4:2018, 7.2.2.3.1, by hand: M12, k6 0.6 up to 500 MPa, 0.5 above."""
    assert steel_shear.steel_resistance(84.3, f_uk) == pytest.approx(resistance, rel=HAND)


def test_factors_of_steel_in_shear() -> None:
    """Source: EN 1992-4:2018, 7.2.2.3.1: k7 is 1 for one fastener or ductile steel, else 0.8; grout; weak."""
    assert steel_shear.group_factor(None, 1, ductile=False) == 1.0
    assert steel_shear.group_factor(None, 4, ductile=True) == 1.0
    assert steel_shear.group_factor(None, 4, ductile=False) == 0.8
    assert steel_shear.group_factor(0.8, 4, ductile=True) == 0.8
    assert steel_shear.group_factor(0.8, 1, ductile=True) == 1.0
    assert steel_shear.grout_factor(20.0) == pytest.approx(0.8)
    assert steel_shear.shallow_factor(59.9, 12.0, 16.0) == 0.8
    assert steel_shear.shallow_factor(60.0, 12.0, 16.0) == 1.0
    assert steel_shear.shallow_factor(40.0, 12.0, 20.0) == 1.0


def test_shear_with_a_lever_arm() -> None:
    """Source: EN 1992-4:2018, 7.2.2.3.2, by hand: M12 8.8, 1.2 × 109.2 × 800 = 104.8 Nm, l_a = 6 + 24 = 30 mm."""
    bending = lever_arm.bending_resistance(109.2, 800.0)
    assert bending == pytest.approx(104_832.0)
    arm = lever_arm.lever_arm(6.0, 24.0)
    assert arm == 30.0
    assert lever_arm.characteristic_resistance(2.0, bending, 0.25, arm) == pytest.approx(5_241.6)
    assert lever_arm.characteristic_resistance(1.0, bending, 0.0, arm) == pytest.approx(3_494.4)
    assert lever_arm.characteristic_resistance(1.0, bending, 1.2, arm) == 0.0
    assert (lever_arm.restraint_factor(True), lever_arm.restraint_factor(False)) == (2.0, 1.0)


def test_pry_out() -> None:
    """Source: EN 1992-4:2018, 7.2.2.4, by hand; the line of 10 kN in y with 1 kNm of torsion lies 100 mm off in x."""
    assert pry_out.resistance(2.0, 22_548.0) == 45_096.0
    assert pry_out.eccentricity((0.0, 10_000.0), 1e6, 150.0) == pytest.approx((100.0, 0.0))
    assert pry_out.eccentricity((6_000.0, 8_000.0), 1e6, 150.0) == pytest.approx((80.0, 60.0))


def test_edge_of_one_fastener() -> None:
    """Source: EN 1992-4:2018, 7.2.2.5, by hand: d_nom 12, l_f 70, C25/30, c_1 100: alpha 0.08367, beta 0.06544."""
    assert concrete_edge.exponents(12.0, 70.0, 100.0) == pytest.approx((0.083666, 0.065439), rel=HAND)
    cracked = concrete_edge.characteristic_resistance(1.7, 12.0, 70.0, 25.0, 100.0)
    assert cracked == pytest.approx(13_818.0, rel=HAND)
    assert concrete_edge.characteristic_resistance(2.4, 12.0, 70.0, 25.0, 100.0) == pytest.approx(19_508.0, rel=HAND)


@pytest.mark.parametrize(
    ("h_ef", "d_nom", "l_f"),
    [
        (70.0, 12.0, 70.0),
        (200.0, 12.0, 144.0),
        (288.0, 24.0, 288.0),
        (400.0, 24.0, 288.0),
        (400.0, 30.0, 300.0),
        (400.0, 40.0, 320.0),
    ],
)
def test_influence_length(h_ef: float, d_nom: float, l_f: float) -> None:
    """Source: EN 1992-4:2018, 7.2.2.5: at most 12 d_nom up to 24 mm, above that max(8 d_nom, 300)."""
    assert concrete_edge.influence_length(h_ef, d_nom) == l_f


def test_factors_of_the_edge_at_their_limits() -> None:
    """Source: EN 1992-4:2018, 7.2.2.5: corner, thickness, eccentricity."""
    assert [concrete_edge.corner_factor(c, 100.0) for c in (0.0, 75.0, 150.0, INF)] == pytest.approx([0.7, 0.85, 1, 1])
    assert [concrete_edge.thickness_factor(100.0, h) for h in (600.0, 150.0, 37.5)] == pytest.approx([1.0, 1.0, 2.0])
    ec = [concrete_edge.action_on_edge(1.0, 0.0, e, INF, 100.0) for e in (0.0, 150.0)]
    assert [1.0 / action for action in ec] == pytest.approx([1.0, 0.5])


@pytest.mark.parametrize(("angle", "psi"), [(0.0, 1.0), (30.0, 1.10940), (45.0, 1.26491), (60.0, 1.51186), (90.0, 2.0)])
def test_psi_alpha_v(angle: float, psi: float) -> None:
    """Source: EN 1992-4:2018, 7.2.2.5: 1 at 0°, 2 at 90°, between them by hand."""
    radians = math.radians(angle)
    towards, along = math.cos(radians), math.sin(radians)
    assert concrete_edge.direction_factor(towards, along) == pytest.approx(psi, rel=HAND)
    assert concrete_edge.direction_factor(towards, -along) == pytest.approx(psi, rel=HAND)
    assert concrete_edge.action_on_edge(towards, along, 0.0, INF, 100.0) == pytest.approx(1.0 / psi, rel=HAND)
    assert concrete_edge.action_on_edge(towards, -along, 0.0, INF, 100.0) == pytest.approx(1.0 / psi, rel=HAND)


def test_couple_on_an_edge() -> None:
    """Source: by hand: 6 kNmm about 100 mm is 2·6000/300 = 40 N beside √(30² + (80/2)²) = 50 N, and at most 25 N."""
    assert concrete_edge.action_on_edge(30.0, 80.0, -6000.0, INF, 100.0) == pytest.approx(90.0)
    assert concrete_edge.action_on_edge(30.0, 80.0, 6000.0, 25.0, 100.0) == pytest.approx(75.0)


@pytest.mark.parametrize(
    ("stirrups", "cracked", "c_1", "psi"),
    [
        (100.0, True, 60.0, 1.4),
        (101.0, True, 60.0, 1.0),
        (100.0, True, 49.0, 1.0),
        (100.0, False, 60.0, 1.0),
        (None, True, 60.0, 1.0),
    ],
)
def test_psi_re_v(stirrups: float | None, cracked: bool, c_1: float, psi: float) -> None:
    """Source: EN 1992-4:2018, 7.2.2.5: 1.4 in cracked concrete with an edge bar and stirrups at ≤ 100 and ≤ 2 c_1."""
    concrete = member(reinforcement(stirrups=stirrups), cracked=cracked)
    assert concrete_edge.reinforcement_factor(concrete, c_1) == psi


@pytest.mark.parametrize(
    ("c_1", "c_2", "h", "s", "reduced"),
    [
        (300.0, 150.0, 200.0, 120.0, 133.333),
        (300.0, 300.0, 200.0, 120.0, 200.0),
        (300.0, 150.0, 200.0, 600.0, 200.0),
        (300.0, 150.0, 200.0, 1200.0, 300.0),
        (300.0, 450.0, 200.0, 120.0, 300.0),
        (300.0, 150.0, 450.0, 120.0, 300.0),
    ],
)
def test_edge_distance_of_a_thin_and_narrow_member(c_1: float, c_2: float, h: float, s: float, reduced: float) -> None:
    """Source: EN 1992-4:2018, 7.2.2.5: max(c_2/1.5, h/1.5, s_2/3) where both are under 1.5 c_1; at most c_1."""
    assert concrete_edge.reduced_edge(c_1, c_2, h, s) == pytest.approx(reduced, rel=HAND)


def test_reach_of_an_edge() -> None:
    """Source: EN 1992-4:2018, 7.2.2.5: max(10 h_ef, 60 d_nom)."""
    assert concrete_edge.reach_mm(70.0, 12.0) == 720.0
    assert concrete_edge.reach_mm(200.0, 12.0) == 2000.0


# --- 7.2.3 together -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("n", "v", "used"), [(0.6, 0.8, 1.0), (0.0, 0.9, 0.9), (1.0, 1.0, math.sqrt(2.0)), (0.3, 0.4, 0.5)]
)
def test_interaction_of_steel(n: float, v: float, used: float) -> None:
    """Source: EN 1992-4:2018, 7.2.3: the inverse of the growth that brings β_N² + β_V² to 1."""
    assert interaction.steel_utilisation(n, v) == pytest.approx(used)


@pytest.mark.parametrize(
    ("n", "v", "used"),
    [(0.8, 0.5, 1.04556), (0.6, 0.6, 0.95244), (0.0, 0.7, 0.7), (1.1, 0.05, 1.1), (1.0, 0.2, 1.0), (0.9, 0.3, 1.0)],
)
def test_interaction_of_concrete(n: float, v: float, used: float) -> None:
    """Source: EN 1992-4:2018, 7.2.3, by hand: the milder of the power and the straight line, each β at most 1."""
    assert interaction.concrete_utilisation(n, v) == pytest.approx(used, rel=HAND)
