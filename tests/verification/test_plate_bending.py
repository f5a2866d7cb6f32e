"""What bends the fixture beyond the section that is welded to it: pressure, fasteners that pull, and those that press.

Sources: by hand, a cantilever from the face of the section, σ = 6·M/(b·t²), common practice, no source; the pressure
under a plate that bears all over is N/A ± M·x/I, statics.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest

from service.engine.en1992_4 import plate_stiffness
from service.engine.results import Forces
from tests.engine.fixings import FLUSH, bolt, fixing, load_case
from tests.verification.conftest import Ask

SQUARE = {"width_mm": 220, "depth_mm": 220, "yield_mpa": 235}
CORNERS = [(x, y) for x in (-100.0, 100.0) for y in (-100.0, 100.0)]
THIN = fixing(
    bolt(12, 80),
    CORNERS,
    load_case(),
    fixture=replace(FLUSH, width_mm=280.0, depth_mm=280.0, thickness_mm=8.0, section_mm=(60.0, 60.0), profile="hollow"),
)
"""Four fasteners at ±100 mm under a section of 60 mm: each 70 mm beyond a face, and two of them spread over 220 mm."""


def bent(ask: Ask, thickness_mm: float, section_mm: float, **case: float) -> dict[str, Any]:
    section = {"width_mm": section_mm, "depth_mm": section_mm, "profile": "hollow"}
    fixture = SQUARE | {"thickness_mm": thickness_mm, "attached_section": section}
    return ask(neighbours=[], fixture=fixture, load_cases=[{"name": "a", "sustained_share": 0, **case}])


def test_uniform_pressure_bends_the_plate_as_a_cantilever(ask: Ask) -> None:
    # By hand: 600 kN/220² = 12.4 MPa, 80 mm beyond the face: 6·(12.4·80²/2)/8² = 3 719 MPa.
    answer = bent(ask, 8, 60, normal_kn=-600, shear_x_kn=1)
    assert answer["plate"]["stress_mpa"] == pytest.approx(3719, rel=1e-3)
    assert answer["verdict"] == "not_verified"


@pytest.mark.parametrize(
    ("thickness", "section", "normal", "moment"), [(10, 60, -80, 3), (20, 100, -100, 3)], ids=["thin", "wide section"]
)
def test_pressure_that_grows_to_one_side(ask: Ask, thickness: int, section: int, normal: int, moment: int) -> None:
    # By hand: p = N/A + M·x/I on the whole plate; M about the face = b·∫ p·(x − face) dx.
    side, face = 220.0, section / 2
    mean, slope = -1e3 * normal / side**2, 1e6 * moment / (side**4 / 12)
    far = side / 2
    about_face = side * (
        mean * (far - face) ** 2 / 2 + slope * ((far**3 - face**3) / 3 - face * (far**2 - face**2) / 2)
    )
    expected = 6 * about_face / (side * thickness**2)
    answer = bent(ask, thickness, section, normal_kn=normal, moment_y_knm=moment)
    assert answer["plate"]["stress_mpa"] == pytest.approx(expected, rel=2e-3)


def test_stress_has_no_jump_where_the_resultant_leaves_the_section(ask: Ask) -> None:
    # Before, pressure whose resultant lay within the section bent nothing.
    just = [bent(ask, 20, 60, normal_kn=-400, moment_y_knm=moment)["plate"]["stress_mpa"] for moment in (11.9, 12.1)]
    assert just[0] > 0
    assert just[1] == pytest.approx(just[0], rel=0.03)


def test_pressed_fasteners_bend_the_plate_as_much_as_pulled_ones() -> None:
    pull = Forces((25e3,) * 4, ((0.0, 0.0),) * 4, None)
    push = replace(pull, tension_n=(-25e3,) * 4)
    # By hand: 2·25 kN·70 mm on 220 mm of a plate of 8 mm.
    for forces in (pull, push):
        assert plate_stiffness.verify(THIN, forces).stress_mpa == pytest.approx(6 * 3.5e6 / (220 * 64), rel=1e-6)


def test_a_fastener_that_carries_most_is_not_averaged_with_the_others() -> None:
    uneven = Forces((20e3, 0.5e3, 0.0, 0.0), ((0.0, 0.0),) * 4, None)
    # By hand: the first alone, 20 kN at 70 mm on its own strip of 40 + 70 mm up to the plate's rim.
    assert plate_stiffness.verify(THIN, uneven).stress_mpa == pytest.approx(6 * 1.4e6 / (110 * 64), rel=1e-6)


def test_head_that_cannot_rotate_bends_the_plate() -> None:
    sheared = Forces((0.0,) * 4, ((3e3, 0.0),) * 4, None)
    assert plate_stiffness.verify(THIN, sheared).stress_mpa == 0.0
    # By hand: two fasteners of 3 kN on an arm of l_a/2 = 20 mm, spread over 220 mm.
    assert plate_stiffness.verify(THIN, sheared, 20.0).stress_mpa == pytest.approx(6 * 120e3 / (220 * 64), rel=1e-6)


def test_fasteners_within_a_hollow_section_bend_the_plate_to_its_walls(ask: Ask) -> None:
    """A plate of 1 mm was checked with 0 MPa, as nothing stood beyond the faces of what is welded to it."""
    answer = bent(ask, 1, 200, normal_kn=12)
    # By hand: 12 kN on four fasteners; 6·3 kN·a/(2·a·t²), whatever the distance a to the wall.
    assert answer["plate"]["stress_mpa"] == pytest.approx(3 * 3000 / 1**2, rel=1e-3)
    assert answer["verdict"] == "not_verified"
    assert bent(ask, 15, 200, normal_kn=12)["plate"]["stress_mpa"] == pytest.approx(3 * 3000 / 15**2, rel=1e-3)


@pytest.mark.parametrize(("steel_mpa", "code"), [(80, "fixture_stays_elastic"), (235, "fixture_stiff_enough")])
def test_load_grows_no_further_than_the_plate_bears(ask: Ask, steel_mpa: float, code: str) -> None:
    section = {"width_mm": 60, "depth_mm": 60, "profile": "hollow"}
    fixture = SQUARE | {"thickness_mm": 12, "attached_section": section, "yield_mpa": steel_mpa}
    pull = {"name": "a", "sustained_share": 0}
    answer = ask(neighbours=[], fixture=fixture, load_cases=[pull | {"normal_kn": 6}])
    plate, (may,) = answer["plate"], answer["permissible"]
    # By hand: a plate used to a share in stress or in bend is used up at one over that share of the load.
    assert may["growth"] == pytest.approx(
        1 / max(plate["stress_ratio"], plate["deformation_mm"] / plate["deformation_max_mm"]), rel=1e-5
    )
    more = ask(neighbours=[], fixture=fixture, load_cases=[pull | {"normal_kn": 6 * may["growth"] * 1.001}])
    assert [asked["code"] for asked in more["requirements"] if not asked["met"]] == [code]


def test_pressure_grows_no_further_than_it_may_move_inwards(ask: Ask) -> None:
    section = {"width_mm": 200, "depth_mm": 200, "profile": "solid"}
    gone = {"width_mm": 360, "depth_mm": 360, "thickness_mm": 30}
    places = [{"x_mm": x, "y_mm": y} for x in (-130, 130) for y in (-130, 130)]

    def grown(times: float) -> dict[str, Any]:
        case = {"name": "a", "normal_kn": -5 * times, "moment_y_knm": 0.54 * times, "sustained_share": 0}
        fixture = SQUARE | gone | {"attached_section": section}
        return ask(neighbours=[], positions=places, fixture=fixture, load_cases=[case])

    once, twice = grown(1)["plate"], grown(2)["plate"]
    # By hand: w·g is within a + b/g, as what may be added to the pull stands beside a pull that grows.
    b = 2 * (once["deformation_max_mm"] - twice["deformation_max_mm"])
    a, w = once["deformation_max_mm"] - b, once["deformation_mm"]
    [may] = grown(1)["permissible"]
    assert may["growth"] == pytest.approx((a + math.sqrt(a**2 + 4 * b * w)) / (2 * w), rel=1e-3)
    assert may["growth"] < 0.5 * once["deformation_max_mm"] / w
    assert grown(may["growth"] * 0.999)["verdict"] == "verified"
    more = grown(may["growth"] * 1.001)
    assert [asked["code"] for asked in more["requirements"] if not asked["met"]] == ["fixture_stiff_enough"]


def test_weight_alone_grows_until_plate_or_concrete_is_used_up(ask: Ask) -> None:
    # By hand: 20 kN/220² bears 14.17 MPa/0.413 MPa = 34 times; the plate bends sooner.
    answer = bent(ask, 15, 60, normal_kn=-20)
    (may,) = answer["permissible"]
    assert may["growth"] == pytest.approx(1 / answer["plate"]["stress_ratio"], rel=1e-5)
