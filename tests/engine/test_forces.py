"""How actions reach the fasteners. Source: statics, by hand."""

from __future__ import annotations

import dataclasses
import math

import pytest

from service.engine.codes import Mode
from service.engine.en1992_4 import bolt_group, shear_distribution
from service.engine.verification import verify
from tests.engine.fixings import FLUSH, bolt, fixing, load_case

PAIR = ((-100.0, 0.0), (100.0, 0.0))
SQUARE = ((-75.0, -75.0), (75.0, -75.0), (-75.0, 75.0), (75.0, 75.0))


def test_shear_is_shared_equally() -> None:
    assert shear_distribution.elastic_shear(SQUARE, 4000.0, -2000.0, 0.0) == ((1000.0, -500.0),) * 4


def test_torsion_turns_each_fastener_about_the_centre() -> None:
    # By hand: r² = 2·75² for each, Σr² = 45 000 mm²; 4.5 kNm gives 100 N a mm of arm.
    assert shear_distribution.polar_sum(SQUARE) == 45_000.0
    forces = shear_distribution.elastic_shear(SQUARE, 0.0, 0.0, 4.5e6)
    assert forces == ((7500.0, -7500.0), (7500.0, 7500.0), (-7500.0, -7500.0), (-7500.0, 7500.0))


def test_shear_beside_the_centre_is_torsion() -> None:
    # By hand: 1 kN in y at the origin, the group 40 mm to the right: it turns clockwise seen from above.
    centre = shear_distribution.centre([(x + 40.0, y) for x, y in SQUARE])
    assert centre == (40.0, 0.0)
    assert shear_distribution.torsion_about(centre, 0.0, 0.0, 1000.0) == -40_000.0
    assert shear_distribution.torsion_about((0.0, 30.0), 5000.0, 1000.0, 0.0) == 35_000.0


def test_linear_group_takes_normal_force_and_both_moments() -> None:
    # By hand: N/4 = 1000; about x Σy² = 22 500, 0.9e6·75/22 500 = 3000; about y 0.45e6·75/22 500 = 1500.
    forces = bolt_group.linear_forces(SQUARE, 4000.0, 0.9e6, 0.45e6, 1e6)
    assert forces == pytest.approx((1000 - 3000 + 1500, 1000 - 3000 - 1500, 1000 + 3000 + 1500, 1000 + 3000 - 1500))


def test_linear_group_off_the_origin() -> None:
    # By hand: pulling at the origin with the pair at y = 0 and y = 100 puts all the force into the first.
    assert bolt_group.linear_forces([(0.0, 0.0), (0.0, 100.0)], 2000.0, 0.0, 0.0, 2e5) == pytest.approx((2000.0, 0.0))


def test_fasteners_in_line_take_no_moment_across() -> None:
    line = [(-60.0, 0.0), (60.0, 0.0)]
    assert bolt_group.linear_forces(line, 0.0, 0.0, -1.2e5, 1.2e5) == pytest.approx((-1000.0, 1000.0))
    with pytest.raises(bolt_group.BendingOfGroupError, match="moment across it by bending"):
        bolt_group.linear_forces(line, 0.0, 1.2e5, 0.0, 1.2e5)


def test_single_fastener_takes_no_moment_at_all() -> None:
    assert bolt_group.linear_forces([(10.0, 0.0)], 500.0, 0.0, -5000.0, 5000.0) == (500.0,)
    with pytest.raises(bolt_group.BendingOfGroupError, match="by bending"):
        bolt_group.linear_forces([(0.0, 0.0)], 500.0, 0.0, 5000.0, 5000.0)


@pytest.mark.parametrize("alpha_m", [1.0, 2.0])
def test_bending_of_a_stand_off_leaves_the_moments_in_balance(alpha_m: float) -> None:
    # By hand: shear at e_1 above the surface turns the surface by V·e_1; a fastener free to rotate carries just that.
    shear, height, restraint = 3000.0, 40.0, 6.0
    carried = (restraint + height) / alpha_m - restraint
    left_x, left_y = bolt_group.moment_without_bending(0.0, shear * height, shear, 0.0, carried)
    assert left_x == 0.0
    assert left_y == pytest.approx(shear * (height - carried))
    assert left_y == pytest.approx(0.0 if alpha_m == 1.0 else shear * (restraint + height) / 2)


def test_moments_turn_by_the_right_hand_rule() -> None:
    # Shear in y at a height is a negative moment about x, shear in x a positive one about y.
    assert bolt_group.moment_without_bending(-3000.0, 0.0, 0.0, 100.0, 30.0) == (0.0, 0.0)
    assert math.isclose(bolt_group.moment_without_bending(0.0, 3000.0, 100.0, 0.0, 30.0)[1], 0.0)


@pytest.mark.parametrize(("beside_mm", "line"), [(0.1, True), (0.74, True), (0.76, False)])
def test_fasteners_that_a_tape_calls_a_line_take_no_moment_across(beside_mm: float, line: bool) -> None:
    # By hand: the middle of three, off by d, stands 2/3·d beside the axis of the group: 0.5 mm at d = 0.75.
    row = [(-100.0, 0.0), (0.0, beside_mm), (100.0, 0.0)]
    if line:
        with pytest.raises(bolt_group.BendingOfGroupError, match="moment across it by bending"):
            bolt_group.linear_forces(row, 0.0, 1e6, 0.0, 1e6)
    else:
        assert len(bolt_group.linear_forces(row, 0.0, 1e6, 0.0, 1e6)) == 3


@pytest.mark.parametrize(("off_mm", "held"), [(0.0, True), (0.4, True), (0.6, False)])
def test_a_pull_that_a_tape_puts_on_the_line_needs_no_bending(off_mm: float, held: bool) -> None:
    # Source: common practice, no source: a tape tells 0.5 mm. The pull acts at the origin.
    row = [(-100.0, off_mm), (100.0, off_mm)]
    if held:
        assert bolt_group.linear_forces(row, 2000.0, 0.0, 0.0, 2e5) == pytest.approx((1000.0, 1000.0))
    else:
        with pytest.raises(bolt_group.BendingOfGroupError, match="moment across it by bending"):
            bolt_group.linear_forces(row, 2000.0, 0.0, 0.0, 2e5)


@pytest.mark.parametrize(("off_mm", "limits"), [(0.0, 0), (0.4, 0), (0.49, 0), (0.51, 1)])
def test_shear_beside_one_fastener_is_torsion_once_a_tape_tells_it(off_mm: float, limits: int) -> None:
    # Source: common practice, no source: a tape tells 0.5 mm.
    alone = fixing(bolt(12.0, 70.0), [(off_mm, 0.0)], load_case(shear_n=(0.0, 5000.0)))
    (case,) = verify(alone, want_trace=False)
    assert len(case.scope_limits) == limits
    if not limits:
        assert case.forces is not None
        assert case.forces.shear_n == ((0.0, 5000.0),)


@pytest.mark.parametrize(("off_mm", "arm"), [(0.4, False), (0.6, True)])
def test_torsion_that_a_tape_does_not_tell_asks_for_no_spacing_across(off_mm: float, arm: bool) -> None:
    # By hand: grout asks for 10·12 mm in the direction of shear; a pair in x has none in y, where torsion turns too.
    plate = dataclasses.replace(FLUSH, grout_mm=20.0, grout_mpa=40.0)
    pair = [(-80.0, off_mm), (80.0, off_mm)]
    (case,) = verify(fixing(bolt(12.0, 70.0), pair, load_case(shear_n=(5000.0, 0.0)), fixture=plate), want_trace=False)
    assert (Mode.STEEL_SHEAR_LEVER_ARM in {check.mode for check in case.checks}) == arm


def test_torsion_of_a_tenth_of_a_millimetre_still_reaches_the_fasteners_of_a_group() -> None:
    # By hand: 0.1·10 000 Nmm over a pair 200 apart: ±5 N along y.
    (case,) = verify(fixing(bolt(12.0, 70.0), PAIR, load_case(shear_n=(10_000.0, 0.0), torsion_nmm=1e3)),
                     want_trace=False)  # fmt: skip
    assert case.forces is not None
    assert case.forces.shear_n[0] == pytest.approx((5000.0, -5.0))
    assert case.forces.shear_n[1] == pytest.approx((5000.0, 5.0))


@pytest.mark.parametrize("place", [(-75.0, -45.0), (-700.0, 300.0)])
def test_a_plate_hangs_on_one_fastener_far_from_its_middle(place: tuple[float, float]) -> None:
    """Statics: a pull through the fastener needs no contact, wherever in the fixture it stands."""
    wide = dataclasses.replace(FLUSH, width_mm=1600.0, depth_mm=1600.0)
    pull = load_case(1e4, (0.0, 0.0), (1e4 * place[1], -1e4 * place[0]))
    (case,) = verify(fixing(bolt(16.0, 300.0), [place], pull, fixture=wide), want_trace=False)
    assert not case.scope_limits
    assert case.forces is not None
    assert case.forces.tension_n == pytest.approx((1e4,), rel=1e-9)
    assert case.forces.contact is None
