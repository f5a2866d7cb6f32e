"""How far a plate bends, and what a plate that bends as far as is allowed does to the forces of its fasteners.

Source: by hand, cantilevers F·a³/(3·E·I), any textbook of statics; and a beam on springs by the stiffness method, made
here: the plate a beam, rigid where something is welded to it, concrete that only presses, fasteners that only pull.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest

from service.engine.en1992_4 import plate_stiffness
from service.engine.model import Displacement
from service.engine.results import CaseResult, Contact, Forces, PlateBending
from service.engine.verification import verify
from tests.engine.fixings import FLUSH, bolt, fixing, load_case

if TYPE_CHECKING:
    from collections.abc import Sequence


E_STEEL = 210e3
DISPLACEMENT_MM, AT_N = 0.5, 9e3
"""What the fastener gives way by its assessment, and under which load; plausible, no source."""
DEPTH_MM = 200.0
PLATE = replace(FLUSH, width_mm=240.0, depth_mm=240.0, thickness_mm=10.0, section_mm=(60.0, 60.0), profile="hollow")
BOLT = replace(bolt(12, 80), displacement=Displacement(AT_N, DISPLACEMENT_MM))
UNSHEARED = ((0.0, 0.0),) * 4
SQUARE = ((-90.0, -90.0), (90.0, -90.0), (-90.0, 90.0), (90.0, 90.0))


def bent(forces: Forces, positions: Sequence[tuple[float, float]] = SQUARE, **fixture: object) -> PlateBending:
    held = fixing(BOLT, positions, load_case(), fixture=replace(PLATE, **fixture))  # type: ignore[arg-type]
    return plate_stiffness.verify(held, forces)


def test_a_row_beyond_one_face_bends_a_cantilever() -> None:
    row = ((-20.0, 80.0), (20.0, 80.0))
    found = bent(Forces((5e3, 5e3), UNSHEARED[:2], None), row)
    # By hand: 10 kN 50 mm beyond the face, spread at 45° over 40 + 2·50 = 140 mm, of which a section of 60 mm by 60 mm
    # holds 60 + 60 + 18 = 138 mm; of 10 mm: I = 11 500 mm⁴.
    assert found.deformation_mm == pytest.approx(10e3 * 50**3 / (3 * E_STEEL * 11_500), rel=1e-6)
    assert found.deformation_max_mm == pytest.approx(0.2 * DISPLACEMENT_MM)


def test_a_corner_bends_about_both_faces() -> None:
    one = Forces((5e3, 0.0, 0.0, 0.0), UNSHEARED, None)
    # By hand: 60 mm beyond either face, spread over 30 + 60 = 90 mm up to the plate's edge: I = 7 500 mm⁴; twice.
    assert bent(one).deformation_mm == pytest.approx(2 * 5e3 * 60**3 / (3 * E_STEEL * 7_500), rel=1e-6)


def test_a_row_behind_another_adds_what_it_bends() -> None:
    behind = ((0.0, 60.0), (0.0, 100.0))
    # By hand: 2 kN at 30 mm and 1 kN at 70 mm of one strip of 138 mm: Σ F·a²·(3·70 − a)/(6·E·I), I = 11 500 mm⁴.
    turned = 2e3 * 30**2 * (210 - 30) + 1e3 * 70**2 * (210 - 70)
    found = bent(Forces((2e3, 1e3), UNSHEARED[:2], None), behind)
    assert found.deformation_mm == pytest.approx(turned / (6 * E_STEEL * 11_500), rel=1e-6)


def test_pressure_beyond_a_face_bends_the_plate() -> None:
    # By hand: 2 MPa on 240 mm × 20 mm at the edge, 9.6 kN 80 mm beyond the face, on the whole width: I = 20 000 mm⁴;
    # of it 90 mm beyond the other faces, 3.6 kN 45 mm off, on 20 + 45 mm: I = 5 417 mm⁴.
    pressed = ((100, -120), (120, -120), (120, 120), (100, 120))
    contact = Contact(9600.0, (110.0, 0.0), 2.0, 2.0, pressed, (2.0, 0.0, 0.0))
    found = bent(Forces((3e3, 0.0, 3e3, 0.0), UNSHEARED, contact))
    by_hand = 9.6e3 * 80**3 / (3 * E_STEEL * 20_000) + 3.6e3 * 45**3 / (3 * E_STEEL * 5_417)
    assert found.deformation_mm == pytest.approx(by_hand, rel=1e-3)


def test_within_the_outline_the_farther_of_two_walls_counts() -> None:
    one = Forces((5e3,), UNSHEARED[:1], Contact(1.0, (0.0, 0.0), 1.0, 1.0, ((0, 0), (1, 0), (0, 1)), (1.0, 0.0, 0.0)))
    # By hand: 40 mm from a wall in the middle, 60 mm from the outline of 200 mm: F·a³/(3·E·I) on 2·60 mm.
    found = bent(one, ((40.0, 0.0),), section_mm=(200.0, 200.0))
    assert found.deformation_mm == pytest.approx(5e3 * 60**3 / (3 * E_STEEL * 10_000), rel=1e-4)


@pytest.mark.parametrize(
    ("wide", "deep", "strip"), [(60, 60, 120), (20, 20, 58), (20, 180, 160), (1, 180, 179), (60, 1, 79)]
)
def test_a_rod_holds_less_of_the_plate_than_a_profile(wide: float, deep: float, strip: float) -> None:
    found = bent(Forces((5e3, 5e3), UNSHEARED[:2], None), ((-90.0, 0.0), (90.0, 0.0)), section_mm=(wide, deep))
    # By hand: 5 kN beyond the face spreads at 45°, over no more than the section, its depth behind the face and a nut.
    assert found.stress_mpa == pytest.approx(6 * 5e3 * (90 - wide / 2) / (strip * 100))


def test_what_hangs_on_one_fastener_shares_nothing() -> None:
    assert bent(Forces((5e3,), UNSHEARED[:1], None), ((90.0, 0.0),)).deformation_mm == 0.0


def test_without_a_displacement_only_the_steel_stretches() -> None:
    stiff = replace(BOLT, displacement=None)
    held = fixing(stiff, SQUARE, load_case(), fixture=PLATE)
    found = plate_stiffness.verify(held, Forces((5e3, 2e3, 0.0, 0.0), UNSHEARED, None))
    # By hand: F·h_ef/(A_s·E_s).
    assert found.deformation_max_mm == pytest.approx(0.2 * 5e3 * 80 / (stiff.stress_area_mm2 * E_STEEL))


def test_beside_much_pressure_little_of_a_plate_may_bend() -> None:
    """A foot pressed hard was stiff by what its plate bends alone; its bolts took up to half as much again."""
    pressed = ((60, -90), (90, -90), (90, 90), (60, 90))
    pull = Forces((5e3, 0.0, 5e3, 0.0), UNSHEARED, Contact(54e3, (75.0, 0.0), 10.0, 10.0, pressed, (10.0, 0.0, 0.0)))
    # By hand: s·(T + s·N_0)·δ_N0/C, with s·(1 + s) = 0.2, so s = 0.17082; T of two fasteners, N_0 of each.
    s = 0.17082
    assert bent(pull).deformation_max_mm == pytest.approx(s * (10e3 + 2 * s * AT_N) * DISPLACEMENT_MM / 54e3, rel=1e-4)


def test_no_section_bends_a_plate_more_than_one_whose_size_is_not_known() -> None:
    forces = Forces((5e3, 4e3, 3e3, 0.0), UNSHEARED, None)
    unknown = bent(forces, section_mm=None)
    assert unknown.missing == ("attached_section",)
    for width in (1.0, 20.0, 60.0, 120.0, 170.0, 200.0, 240.0):
        for depth in (1.0, 60.0, 170.0, 220.0):
            known = bent(forces, section_mm=(width, depth))
            assert known.stress_mpa <= unknown.stress_mpa * (1 + 1e-9)
            assert known.deformation_mm <= unknown.deformation_mm * (1 + 1e-9)


@pytest.mark.parametrize("arm_mm", [0.0, 0.05, 5.0, 40.0])
def test_a_held_head_bends_the_plate_on_the_width_of_its_nut_at_least(arm_mm: float) -> None:
    """A head a hair beyond the face was spread over nothing: 56 250 MPa, and 0 within the outline."""
    sheared = Forces((0.0,), ((3e3, 0.0),), None)
    held = fixing(BOLT, ((30.0 + arm_mm, 0.0),), load_case(), fixture=PLATE)
    # By hand: 3 kN on an arm of 20 mm; a nut of 1.5·12 mm, spread at 45° to the face.
    width = max(18.0, 2 * arm_mm)
    assert plate_stiffness.verify(held, sheared, 20.0).stress_mpa == pytest.approx(6 * 60e3 / (width * 100))


def _largest_tension(
    half: int, row: int, wall: int, thickness: float, loads: tuple[float, float], firm: float
) -> float:
    """Largest tension of a row of two fasteners at ±row under a plate that bends (N); lengths from its middle (mm)."""
    step = 10.0
    places = np.arange(-half, half + 1, step)
    rigidity = E_STEEL * DEPTH_MM * thickness**3 / 12 / step**3
    beam = rigidity * np.array([
        [12, 6 * step, -12, 6 * step],
        [6 * step, 4 * step**2, -6 * step, 2 * step**2],
        [-12, -6 * step, 12, -6 * step],
        [6 * step, 2 * step**2, -6 * step, 4 * step**2],
    ])
    size = 2 * len(places)
    plate = np.zeros((size, size))
    for index, middle in enumerate(places[:-1] + step / 2):
        here = slice(2 * index, 2 * index + 4)
        plate[here, here] += beam * (1e4 if abs(middle) < wall else 1.0)
    actions = np.zeros(size)
    actions[len(places) - 1 : len(places) + 1] = loads
    # Under a plate that does not bend the forces are those of fasteners with E_s·A_s on concrete with E_cm.
    as_rigid = 31.5e3 * AT_N / DISPLACEMENT_MM / (BOLT.stress_area_mm2 * E_STEEL)
    concrete = np.full(len(places), firm * as_rigid * DEPTH_MM * step)
    concrete[[0, -1]] /= 2
    fasteners = np.where(np.abs(places) == row, 2 * AT_N / DISPLACEMENT_MM, 0.0)
    moved = np.linalg.lstsq(plate + np.eye(size), actions, rcond=None)[0][::2]
    for _ in range(400):
        springs = np.zeros(size)
        springs[::2] = np.where(moved > 0, fasteners, concrete)
        found = np.linalg.solve(plate + np.diag(springs), actions)[::2]
        if np.array_equal(found > 0, moved > 0):
            return float(max(fasteners * np.maximum(found, 0.0)) / 2)
        moved = 0.7 * moved + 0.3 * found
    raise ArithmeticError("the plate finds no position of rest")


def held_by(row: int, wall: int, over: int, normal_n: float, moment_nmm: float) -> CaseResult:
    """Two rows of two fasteners at ±row under a plate of 10 mm, a section over its whole depth in the middle."""
    section = (2.0 * wall, DEPTH_MM)
    plate = replace(PLATE, width_mm=2.0 * (row + over), depth_mm=DEPTH_MM, section_mm=section)
    rows = ((-row, -60.0), (-row, 60.0), (row, -60.0), (row, 60.0))
    held = fixing(BOLT, rows, load_case(normal_n, moment_nmm=(0.0, moment_nmm)), fixture=plate)
    return verify(held, want_trace=False)[0]


def added(row: int, wall: int, over: int, normal_n: float, moment_nmm: float, firm: float) -> float:
    """What the softest plate that is allowed adds to a fastener that pulls as its assessment's own load (no unit)."""
    found = held_by(row, wall, over, normal_n, moment_nmm)
    assert found.forces is not None
    grown = AT_N / max(found.forces.tension_n)
    loads = normal_n * grown, moment_nmm * grown
    plate = held_by(row, wall, over, *loads).plate
    assert plate is not None
    soft = 10.0 * math.cbrt(plate.deformation_mm / plate.deformation_max_mm)
    return _largest_tension(row + over, row, wall, soft, loads, firm) / AT_N - 1.0


@pytest.mark.parametrize("loads", [(0.0, 1e6), (20e3, 0.0), (15e3, 1e6), (-6e3, 1.5e6), (-100e3, 12e6)])
def test_a_plate_as_soft_as_is_allowed_adds_little_to_any_fastener(loads: tuple[float, float]) -> None:
    """Own beams on springs: at the allowed bend no force grows by more than a tenth of the assessment's own load."""
    places = [(row, wall) for row in (50, 100, 150) for wall in (10, 60, 120) if wall < row]
    assert max(added(row, wall, 50, *loads, firm) for row, wall in places for firm in (1.0, 3.0)) < 0.1
