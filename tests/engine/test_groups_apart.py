"""Groups that do not touch are verified apart, and only apart.

Source: the definition of a group in EN 1992-4:2018 (from memory), and statics by hand.
"""

from __future__ import annotations

import dataclasses

import pytest

from service.engine.codes import Mode
from service.engine.verification import verify
from tests.engine.fixings import FLUSH, bolt, fixing, load_case

BOLT = bolt(12.0, 70.0)
STAND_OFF = dataclasses.replace(FLUSH, stand_off_mm=30.0, thickness_mm=10.0)


def test_two_bolts_a_metre_apart_take_what_each_takes_alone() -> None:
    # By hand: 210 mm is s_cr,N; a force of 3:1 on two bolts 1000 mm apart is 3/4 of it on one.
    points = [(-500.0, 0.0), (500.0, 0.0)]
    pulled = fixing(BOLT, points, load_case(8000.0, moment_nmm=(0.0, -2e6)), fixture=STAND_OFF)
    alone = fixing(BOLT, [(0.0, 0.0)], load_case(6000.0), fixture=STAND_OFF)
    (both,), (one,) = verify(pulled, want_trace=False), verify(alone, want_trace=False)
    cone, own = (next(c for c in case.checks if c.mode is Mode.CONCRETE_CONE) for case in (both, one))
    assert cone.fasteners == (1,)
    assert cone.utilisation == pytest.approx(own.utilisation)
    assert "separate_groups" in both.open_readings


def test_pressure_under_the_fixture_gives_nothing_to_a_group_apart() -> None:
    # By hand: the two pulled bolts stand 210 mm apart along the moment's axis: s_cr,N. A tenth less and they touch.
    def psi_m(apart_mm: float) -> float:
        points = [(x, y) for x in (-40.0, 40.0) for y in (-apart_mm / 2, apart_mm / 2)]
        plate = dataclasses.replace(FLUSH, width_mm=140.0)
        bent = fixing(BOLT, points, load_case(moment_nmm=(0.0, -2e6)), fixture=plate)
        (case,) = verify(bent, want_trace=True)
        cone = next(c for c in case.checks if c.mode is Mode.CONCRETE_CONE)
        return next(entry.value for entry in cone.trace if entry.symbol == "psi_M,N")

    assert psi_m(209.0) > 1.05
    assert psi_m(210.0) == 1.0
