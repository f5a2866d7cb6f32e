"""Pry-out under torsion. Source: statics, by hand, with the reading of the design notes on 7.2.2.4 (from memory)."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import pytest

from service.engine.codes import Mode
from service.engine.en1992_4 import pry_out
from service.engine.verification import verify
from tests.engine.fixings import bolt, fixing, load_case

if TYPE_CHECKING:
    from collections.abc import Sequence

    from service.engine.model import Point
    from service.engine.results import Check

RECTANGLE = tuple((x, y) for y in (-80.0, 80.0) for x in (-100.0, 100.0))


def pried(shear_n: Point, torsion_nmm: float, points: Sequence[Point] = RECTANGLE) -> Check:
    actions = load_case(shear_n=shear_n, torsion_nmm=torsion_nmm)
    (case,) = verify(fixing(bolt(16.0, 85.0), points, actions), want_trace=True)
    (check,) = [c for c in case.checks if c.mode is Mode.PRY_OUT]
    return check


def worked(check: Check) -> dict[str, float]:
    return {entry.symbol: entry.value for entry in check.trace}


def test_a_newton_of_shear_beside_torsion_changes_nothing() -> None:
    alone = pried((0.0, 0.0), 2e6)
    for shear in ((1.0, 1.0), (10.0, 0.0), (0.0, -10.0)):
        assert pried(shear, 2e6).utilisation == pytest.approx(alone.utilisation, rel=2e-3)


def test_torsion_is_held_by_single_fasteners_with_their_own_share() -> None:
    # By hand: 2e6·√(100² + 80²)/65 600 N of each; its share of the square of side 255 is cut at 100 and at 80 mm.
    check = pried((0.0, 0.0), 2e6)
    assert len(check.fasteners) == 1
    assert check.action_n == pytest.approx(2e6 * math.hypot(100, 80) / 65_600)
    assert worked(check)["A_c,N"] == pytest.approx((127.5 + 100) * (127.5 + 80))


def test_shear_that_outweighs_the_torsion_acts_on_the_group_off_its_centre() -> None:
    # By hand: 2 kNm adds up to 2438 N in x and 3049 N in y to 5000 N each way of each fastener, so none turns.
    # e = 2e6/√(20 000² + 20 000²) = 70.71 mm, split evenly: 50 mm in x and in y.
    check = pried((20_000.0, 20_000.0), 2e6)
    assert check.fasteners == (0, 1, 2, 3)
    assert worked(check)["e_N,x"] == pytest.approx(50.0)
    assert worked(check)["e_N,y"] == pytest.approx(50.0)


def test_resultant_is_no_farther_off_than_the_farthest_fastener() -> None:
    assert pry_out.eccentricity((3.0, 4.0), 1e9, 50.0) == pytest.approx((40.0, 30.0))
    assert pry_out.eccentricity((3.0, 4.0), 50.0, 50.0) == pytest.approx((8.0, 6.0))


@pytest.mark.parametrize(("off_centre_mm", "fasteners"), [(0.0, 4), (0.4, 4), (0.49, 4), (0.51, 1), (2.0, 1)])
def test_what_a_tape_does_not_tell_does_not_part_a_group(off_centre_mm: float, fasteners: int) -> None:
    # Source: common practice, no source: a tape tells 0.5 mm.
    assert len(pried((10_000.0, 0.0), 10_000.0 * off_centre_mm).fasteners) == fasteners


def test_the_smallest_turn_of_one_component_parts_a_group() -> None:
    # By hand: at 25 mm off centre 250 kNmm give y-forces of ±250e3·100/65 600 = 381 N; a change of sign that 0.5 mm of
    # a fastener's place could make, 250e3·0.5/65 600 N, is none.
    just_not, just_so = ((10_000.0, 4 * 250e3 * 99.5 / 65_600 + more) for more in (1e-3, -1e-3))
    assert len(pried(just_not, 250e3).fasteners) == 4
    assert len(pried(just_so, 250e3).fasteners) == 1


def test_a_pair_a_tenth_of_a_millimetre_out_of_line_stays_a_group() -> None:
    # By hand: shear along y beside a smaller torsion turns no force of a pair in x.
    for out_mm in (0.0, 0.1):
        pair = [(-100.0, -out_mm), (100.0, out_mm)]
        assert len(pried((0.0, 10_000.0), 100e3, pair).fasteners) == 2
