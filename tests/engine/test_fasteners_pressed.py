"""Fasteners under levelling nuts or weak grout: pressed by weight or moment, they buckle over their free length.

Source of each figure: EN 1993-1-1, 5.2.2 and 6.3.1, curve c, and EN 1992-4, 6.2.2, worked by hand, from memory.
"""

from __future__ import annotations

import dataclasses
import math

import pytest

from service.engine.codes import Limit, Mode
from service.engine.model import Fastener, Fixing, Fixture
from service.engine.results import Check
from service.engine.verification import verify
from tests.engine.fixings import FLUSH, bolt, fixing, load_case

FOUR = [(x, y) for x in (-100.0, 100.0) for y in (-100.0, 100.0)]
ON_NUTS = dataclasses.replace(FLUSH, stand_off_mm=100.0)
ON_WEAK_GROUT = dataclasses.replace(FLUSH, grout_mm=100.0, grout_mpa=25.0)


def of_mode(given: Fixing, mode: Mode) -> Check | None:
    (case,) = verify(given, want_trace=True)
    assert case.scope_limits == ()
    return next((check for check in case.checks if check.mode is mode), None)


def buckles(
    normal_n: float = 0.0, moment_y_nmm: float = 0.0, fixture: Fixture = ON_NUTS, *, rotation_held: bool = False
) -> Check:
    plate = dataclasses.replace(fixture, rotation_held=rotation_held)
    loads = load_case(normal_n=normal_n, moment_nmm=(0.0, moment_y_nmm))
    check = of_mode(fixing(bolt(16.0, 125.0), FOUR, loads, fixture=plate), Mode.STEEL_COMPRESSION)
    assert check is not None
    return check


def test_weight_on_levelling_nuts_is_held_against_buckling() -> None:
    # By hand, EN 1993-1-1 6.3.1 from memory: A_s 160.85 mm², I = A_s²/4π = 2 058.9 mm⁴, l_a = 100 + 20/2 = 110 mm with
    # the washer clamped, L_cr = 220 mm free to rotate: N_cr = π²·210 000·2 058.9/220² = 88.17 kN,
    # λ = √(160.85·640/88 170) = 1.0805, Φ = 0.5·(1 + 0.49·0.8805 + 1.1675) = 1.2995, χ = 0.4951: 50.97 kN.
    check = buckles(normal_n=-80_000.0)
    assert check.characteristic_n == pytest.approx(50_970, rel=2e-3)
    assert check.action_n == pytest.approx(20_000.0)
    assert check.utilisation == pytest.approx(20.0 / (50.97 / 1.4), rel=2e-3)


def test_a_moment_presses_the_far_fasteners() -> None:
    # By hand: 8 kNm over two pairs 200 mm apart: 20 kN on each.
    assert buckles(moment_y_nmm=8e6).action_n == pytest.approx(20_000.0)
    assert buckles(moment_y_nmm=8e6, fixture=ON_WEAK_GROUT).action_n == pytest.approx(20_000.0)


def test_held_against_rotation_half_the_length_buckles() -> None:
    free, held = buckles(normal_n=-80_000.0), buckles(normal_n=-80_000.0, rotation_held=True)
    lengths = [next(e.value for e in check.trace if e.symbol == "L_cr") for check in (free, held)]
    assert lengths == pytest.approx([220.0, 110.0])
    assert held.utilisation < free.utilisation


def test_a_higher_gap_never_helps() -> None:
    used = [
        buckles(normal_n=-40_000.0, fixture=dataclasses.replace(FLUSH, stand_off_mm=height)).utilisation
        for height in (1.0, 10.0, 40.0, 100.0, 200.0, 400.0)
    ]
    assert used == sorted(used)


def test_bending_counts_the_pressure_by_its_buckling() -> None:
    plate = dataclasses.replace(ON_NUTS, stand_off_mm=200.0)
    pushed = load_case(normal_n=-40_000.0, shear_n=(1000.0, 0.0))
    pulled = load_case(normal_n=40_000.0, shear_n=(1000.0, 0.0))
    bent = [
        of_mode(fixing(bolt(16.0, 125.0), FOUR, loads, fixture=plate), Mode.STEEL_SHEAR_LEVER_ARM)
        for loads in (pushed, pulled)
    ]
    assert all(check is not None for check in bent)
    assert bent[0].utilisation > bent[1].utilisation  # type: ignore[union-attr]


@pytest.mark.parametrize(("gap_mm", "critical_n"), [(100.0, 88_170.0), (200.0, 24_190.0)])
def test_what_presses_enlarges_the_bending(gap_mm: float, critical_n: float) -> None:
    """By hand: 1/(1 − N/N_cr) on the bending; N_cr = π²·210 000·2 058.9/(2·l_a)², l_a = gap + 10. It was left out."""
    plate = dataclasses.replace(ON_NUTS, stand_off_mm=gap_mm)
    pushed = load_case(normal_n=-20_000.0, shear_n=(2_000.0, 0.0))
    check = of_mode(fixing(bolt(16.0, 125.0), FOUR, pushed, fixture=plate), Mode.STEEL_SHEAR_LEVER_ARM)
    assert check is not None
    assert check.partial_factor is not None
    assert check.characteristic_n is not None
    found = {entry.symbol: entry.value for entry in check.trace}
    enlarged = 1.0 / (1.0 - found["N_Ed"] / critical_n)
    assert found["k_2"] == pytest.approx(enlarged, rel=1e-3)
    bent = enlarged * 500.0 * (gap_mm + 10.0) * check.partial_factor / (found["alpha_M"] * found["M0_Rk,s"])
    assert check.utilisation == pytest.approx(bent + found["N_Ed"] / found["N_Rd,s"], rel=1e-3)
    plain = found["alpha_M"] * found["M0_Rk,s"] * (1.0 - found["N_Ed"] / found["N_Rd,s"]) / (gap_mm + 10.0)
    assert check.characteristic_n == pytest.approx(plain / enlarged, rel=1e-3)


def test_bending_of_a_pressed_fastener_grows_on_beyond_its_buckling() -> None:
    """No figure jumps or turns where the pressure alone is too much."""
    used = []
    for pressed_n in (40e3, 120e3, 144e3, 148e3, 350e3, 360e3, 400e3):
        loads = load_case(normal_n=-pressed_n, shear_n=(2_000.0, 0.0))
        check = of_mode(fixing(bolt(16.0, 125.0), FOUR, loads, fixture=ON_NUTS), Mode.STEEL_SHEAR_LEVER_ARM)
        assert check is not None
        used.append(check.utilisation)
    assert used == sorted(used)
    assert used[-1] > used[0] > 0.0


SOUND = dataclasses.replace(bolt(16.0, 125.0), steel_tension_n=1e5)


@pytest.mark.parametrize(
    "fastener",
    [
        dataclasses.replace(SOUND, stand_off_compression=False),
        dataclasses.replace(SOUND, stress_area_mm2=0.0),
        dataclasses.replace(SOUND, yield_strength_mpa=0.0),
    ],
    ids=["not assessed", "no stress area", "no yield strength"],
)
def test_what_no_assessment_covers_gives_no_number(fastener: Fastener) -> None:
    (case,) = verify(fixing(fastener, FOUR, load_case(normal_n=-8e4), fixture=ON_NUTS), want_trace=False)
    assert [limit.code for limit in case.scope_limits] == [Limit.STAND_OFF_COMPRESSION]
    assert case.checks == ()


def test_a_plate_on_the_concrete_presses_no_fastener() -> None:
    assert of_mode(fixing(bolt(16.0, 125.0), FOUR, load_case(normal_n=-8e4)), Mode.STEEL_COMPRESSION) is None
    assert math.isfinite(buckles(normal_n=-1.0).utilisation)
