"""Each load model at one thing worked by hand.

Source of each figure: worked by hand from the inputs, g_n = 9.80665 m/s² (BIPM SI Brochure), partial factors 1.35, 1.0
and 1.5 (EN 1990, Table A1.2(B)), 0.9 for weight that keeps the balance (EN 1990, Table A1.2(A)); the line load and its height: EN 1991-1-1, 6.4 and Table 6.12 (from memory).
"""

# A case a row: the table is read down its columns.
# ruff: noqa: E501

from __future__ import annotations

import dataclasses
import math
import re
from typing import Any

import pytest

from service.site.load_models import load_cases
from service.verification.refusal import RefusedRequest
from tests.shipped import shipped_rules

RULEBOOK = shipped_rules()
COMPONENTS = ("normal_kn", "shear_x_kn", "shear_y_kn", "moment_x_knm", "moment_y_knm", "torsion_knm")


def answer(model: str, **inputs: Any) -> dict[str, Any]:
    return load_cases(model, {**inputs, "assessed_on": "2026-11-25"}, RULEBOOK)


def case(found: dict[str, Any], name: str, part: str = "load_cases") -> dict[str, float]:
    [match] = [case for case in found[part] if case["name"] == name]
    return {component: match[component] for component in COMPONENTS if match[component] != 0}


def close(**components: float) -> Any:
    return pytest.approx(components, rel=1e-5)


def value(found: dict[str, Any], symbol: str) -> float:
    [step] = [step for step in found["working"] if step["symbol"] == symbol]
    number: float = step["value"]
    return number


def test_guardrail_post_on_top_of_a_quay_wall() -> None:
    """2.0 kN/m over 1.2 m, and 10/8 of that as the rail runs on: 3 kN; at 1.1 m 3.3 kNm; times 1.5. 18 kg: 0.17652 kN."""
    found = answer(
        "guardrail_post", mounting="top", category="E", rail_height_mm=1100, post_spacing_mm=1200, mass_kg=18
    )
    assert case(found, "guard load outwards, design, weight low") == close(
        normal_kn=-0.1588677, shear_x_kn=4.5, moment_y_knm=4.95
    )
    assert case(found, "guard load outwards, design, weight high") == close(
        normal_kn=-0.2383016, shear_x_kn=4.5, moment_y_knm=4.95
    )
    assert case(found, "guard load inwards, design, weight low") == close(
        normal_kn=-0.1588677, shear_x_kn=-4.5, moment_y_knm=-4.95
    )
    assert len(found["load_cases"]) == 4
    assert case(found, "weight, guardrail post", "actions") == close(normal_kn=-0.1765197)
    assert case(found, "guard load outwards", "actions") == close(shear_x_kn=3.0, moment_y_knm=3.3)


def test_guard_load_acts_no_higher_than_the_standard_says() -> None:
    """EN 1991-1-1, 6.4: at 1.20 m for a rail at 1.30 m; 2.4 kN at 1.2 m is 2.88 kNm."""
    found = answer(
        "guardrail_post", mounting="top", category="E", rail_height_mm=1300, post_spacing_mm=1200, rail="jointed"
    )
    assert value(found, "h_q") == 1200
    [step] = [step for step in found["working"] if step["symbol"] == "h_q"]
    assert step["source"] == "EN 1991-1-1, 6.4"
    assert value(found, "M_k") == pytest.approx(2.88)


@pytest.mark.parametrize(
    ("inputs", "carried"),
    [
        ({}, 2.5),
        ({"rail": "runs_on"}, 2.5),
        ({"rail": "jointed"}, 2.0),
        ({"post": "end"}, 1.0),
        ({"post": "end", "rail": "jointed"}, 1.0),
    ],
)
def test_a_rail_that_runs_on_loads_the_post_between_with_ten_eighths_of_a_span(
    inputs: dict[str, Any], carried: float
) -> None:
    """2.0 kN/m over 1 m. Continuous beam over two spans: middle support 10/8 of one span, ends at most a half (statics)."""
    found = answer("guardrail_post", mounting="top", category="E", rail_height_mm=1000, post_spacing_mm=1000, **inputs)
    assert value(found, "Q_k") == pytest.approx(carried)
    assumed = [assumption["code"] for assumption in found["assumptions"]]
    assert ("rail_not_given" in assumed) == (inputs == {})


def test_guardrail_post_on_the_face_of_a_slab() -> None:
    """End post: half of 1.0 m, 1.0 kN at 1.1 + 0.15 m; its weight 60 mm off the face turns it the same way."""
    found = answer(
        "guardrail_post", mounting="side", category="E", rail_height_mm=1100, post_spacing_mm=1000, post="end",
        fixing_below_floor_mm=150, post_off_face_mm=60, mass_kg=18,
    )  # fmt: skip
    assert case(found, "guard load outwards, design, weight high") == close(
        normal_kn=1.5, shear_y_kn=-0.2383016, moment_x_knm=1.5 * 1.25 + 1.35 * 0.1765197 * 0.06
    )
    assert case(found, "guard load outwards, design, weight alone") == close(
        shear_y_kn=-0.2383016, moment_x_knm=1.35 * 0.1765197 * 0.06
    )


def test_wall_bracket() -> None:
    """180 kg on two brackets, 1.25 uneven: 112.5 kg are 1.103248 kN at 350 mm; its own 6 kg at 175 mm."""
    found = answer(
        "wall_bracket", mass_kg=180, reach_mm=350, brackets=2, levelling="levelled", permanent_share=1,
        bracket_mass_kg=6, fastener_spacing_mm=250,
    )  # fmt: skip
    assert case(found, "loaded bracket, design, weight high") == close(shear_y_kn=-1.568819, moment_x_knm=0.535186)
    assert case(found, "weight, wall bracket", "actions") == close(shear_y_kn=-1.162088, moment_x_knm=0.396434)
    assert value(found, "N_o") == pytest.approx(0.396434 / 0.25, rel=1e-5)


def test_pipe_hanger() -> None:
    """180 kg hang with 1.765197 kN, four tenths of it permanent: 1.35·0.4 + 1.5·0.6 = 1.44 times."""
    found = answer("soffit_hanger", mass_kg=180, permanent_share=0.4)
    assert case(found, "hanging load, design, weight high") == close(normal_kn=2.541884)
    assert case(found, "hanging load, design, weight low") == close(normal_kn=2.294756)
    assert case(found, "hanging load, design, weight alone") == close(normal_kn=0.9532064)
    assert case(found, "weight, soffit hanger", "actions") == close(normal_kn=0.4 * 1.765197)
    assert case(found, "hanging load", "actions") == close(normal_kn=0.6 * 1.765197)


@pytest.mark.parametrize(
    ("hangers", "arrangement", "levelling", "share"),
    [
        (2, None, "levelled", 0.625),
        (2, None, "not_levelled", 0.625),
        (2, None, "unknown", 0.625),
        (3, "in_line", "levelled", 0.625),
        (3, None, "levelled", 0.625),
        (4, "in_line", "levelled", 1.25 / 3),
        (3, "in_line", "not_levelled", 1.0),
        (5, "in_line", "not_levelled", 0.5),
        (8, "in_line", "not_levelled", 0.5),
        (8, "in_line", "levelled", 1.25 / 7),
        (3, "at_corners", "levelled", 1.25 / 3),
        (4, "at_corners", "levelled", 1.25 / 4),
        (4, "at_corners", "not_levelled", 0.5),
    ],
)
def test_the_most_loaded_of_several_hangers(
    hangers: int, arrangement: str | None, levelling: str, share: float
) -> None:
    """The middle of three over two equal spans carries 10/8 of one, 0.625 of the whole: statics of continuous beams.

    Of four the inner ones carry 1.1 of one span, less than the 10/8 taken. A stiff thing on four points that were never
    adjusted rests on two that face each other: statics. 1.25 and 2 of the rulebook.
    """
    found = answer("soffit_hanger", mass_kg=600, hangers=hangers, arrangement=arrangement, levelling=levelling)
    assert value(found, "k_n") == pytest.approx(share, rel=1e-5)
    assert value(found, "F_k") == pytest.approx(600 * share * 9.80665e-3, rel=1e-5)
    told = {note["code"]: note["text"] for note in found["assumptions"]}
    assert "centre is in the middle of the hangers" in told["mass_evenly_spread"]
    assert "give that as largest_share" in told["mass_evenly_spread"]
    inner = hangers > 2 and arrangement != "at_corners"
    assert ("in a line at equal distances" in told["mass_evenly_spread"]) is inner
    assert ("arrangement_not_given" in told) is (hangers > 2 and arrangement is None)


def test_the_middle_one_of_three_brackets() -> None:
    """As of hangers: 10/8 of one of two spans is 0.625; 180 kg are 1.765197 kN."""
    found = answer("wall_bracket", mass_kg=180, reach_mm=350, brackets=3, levelling="levelled")
    assert value(found, "F_k") == pytest.approx(0.625 * 1.765197, rel=1e-5)
    assert "middle of the brackets" in str(found["assumptions"])


@pytest.mark.parametrize("model", ["soffit_hanger", "wall_bracket"])
@pytest.mark.parametrize(("count", "told", "taken"), [(2, 0.9, 0.9), (2, 1, 1), (3, 0.33, 1 / 3), (4, 0.25, 0.25)])
def test_a_share_that_is_known_takes_the_place_of_the_estimate(
    model: str, count: int, told: float, taken: float
) -> None:
    """A mass beside one of two hangers hangs on that one: statics; never less than the mean."""
    number, more = ("hangers", {}) if model == "soffit_hanger" else ("brackets", {"reach_mm": 350})
    found = answer(model, mass_kg=100, largest_share=told, **{number: count}, **more)
    assert value(found, "k_n") == pytest.approx(taken, rel=1e-5)
    codes = [note["code"] for note in found["assumptions"]]
    assert "largest_share_to_be_shown" in codes
    assert not {"mass_evenly_spread", "levelling_not_given", "arrangement_not_given"} & set(codes)


@pytest.mark.parametrize(
    ("count", "told", "words"),
    [(3, 0.3, "must be at least 0.333 where hangers is 3"), (1, 1, "must be left out where hangers is 1")],
)
def test_a_share_that_cannot_be_is_refused(count: int, told: float, words: str) -> None:
    with pytest.raises(RefusedRequest, match=re.escape(words)) as raised:
        answer("soffit_hanger", mass_kg=100, hangers=count, largest_share=told)
    assert [error.pointer for error in raised.value.errors] == ["#/largest_share"]


def test_racking_upright() -> None:
    """0.5 kN at 3.2 m over 1.0 m lift with 1.6 kN, a fork with 5 kN; half of 95 kg, 0.465816 kN, holds down."""
    found = answer("racking_upright", load_height_mm=3200, upright_spacing_mm=1000, frame_mass_kg=95)
    assert case(found, "load towards the other upright, design, weight low") == close(
        normal_kn=1.5 * 1.6 - 0.9 * 0.4658159, shear_x_kn=0.75
    )
    assert case(found, "load towards the other upright, fork lifts, design, weight low") == close(
        normal_kn=1.5 * 6.6 - 0.9 * 0.4658159, shear_x_kn=0.75
    )
    assert case(found, "load away from the other upright, design, weight high") == close(
        normal_kn=-1.5 * 1.6 - 1.35 * 0.4658159, shear_x_kn=-0.75
    )


def test_a_rack_without_trucks_says_that_no_fork_lifts_it() -> None:
    found = answer("racking_upright", load_height_mm=3200, upright_spacing_mm=1000, fork_uplift_kn=0)
    assert not [case for case in found["load_cases"] if "fork" in case["name"]]
    assert "no_fork_uplift" in [assumption["code"] for assumption in found["assumptions"]]
    assert "fork_uplift" in [caution["code"] for caution in found["cautions"]]


def test_total_mass_of_a_pipe_is_told_however_it_was_given() -> None:
    """10 kg a metre over 4 m are 40 kg from support to support; 10/8 of that, 50 kg, where the pipe runs on."""
    common = {
        "surface": "soffit", "axis_off_surface_mm": 300, "along_kn": 0, "held": "clamped", "span_mm": 4000,
        "other_span_mm": 4000,
    }  # fmt: skip
    by_metre = answer("pipe_clamp", mass_per_metre_kg=10, **common)
    in_all = answer("pipe_clamp", mass_kg=40, **common)
    for found in (by_metre, in_all):
        assert value(found, "m_t") == 50
        [told] = [note["text"] for note in found["assumptions"] if note["code"] == "mass_on_this_support"]
        assert told == "This support carries 50 kg in all, the pipe full"
    assert by_metre["load_cases"] == in_all["load_cases"]
    assert in_all["load_cases"][0]["normal_kn"] == pytest.approx(1.5 * 50 * 9.80665e-3, rel=1e-5)
    jointed = answer("pipe_clamp", mass_kg=40, support="jointed", **common)
    assert value(jointed, "m_t") == 40


def test_pipe_along_a_wall() -> None:
    """168.3 × 4.5 mm: 2315.67 mm² of steel, 19930.6 mm² of sewage: 18.178 and 21.924 kg a metre; 3 m · 1.25 of pipe.

    Of the filling 3.8043 m, with 4 m empty and 4 m full past both next supports (the longest span of the rules): no slope
    here, so 2·M_0 + M_1 = 9/4, 3·M_0 + 14·M_1 + 4·M_2 = 27/4 and M_1 + 4·M_2 = 4 of q·m², from which M_1 = −0.05435 and
    M_0 = 1.15217; 2·(1.5 + (M_0 − M_1)/3) = 3.80435.
    """
    found = answer(
        "pipe_clamp", surface="wall", span_mm=3000, other_span_mm=3000, axis_off_surface_mm=180, outer_diameter_mm=168.3, wall_mm=4.5,
        material="steel", contents="sewage", held="sliding_guide",
    )  # fmt: skip
    assert (value(found, "m_e"), value(found, "m_c")) == pytest.approx((18.178, 21.9237), rel=1e-4)
    live = 0.806248 / 3.75 * 3.80435
    down, along = 1.35 * 0.668505 + 1.5 * live, 1.5 * 0.3 * (0.668505 + live)
    found_case = case(found, "full pipe, pushed along one way, design, weight high")
    assert found_case == pytest.approx(
        {
            "shear_x_kn": along,
            "shear_y_kn": -down,
            "moment_x_knm": 0.18 * down,
            "moment_y_knm": 0.18 * along,
        },
        rel=1e-4,
    )


def test_pump_on_a_plinth() -> None:
    """420 kg are 4.118793 kN, a quarter, 1.029698 kN, swings at 450 mm; 1.25 · 1.2 kN at 500 mm; 1.25 · 0.15 kNm."""
    found = answer(
        "machine_base", mass_kg=420, centre_height_mm=450, machine="rotating_balanced", torque_knm=0.15, shaft="x",
        horizontal_kn=1.2, horizontal_direction="x", horizontal_height_mm=500,
    )  # fmt: skip
    name = "push to +x (along), swing to +x (along), torque one way, design, weight low"
    assert case(found, name) == close(
        normal_kn=-0.9 * 4.118793, shear_x_kn=3.794547, moment_x_knm=0.28125, moment_y_knm=1.820046
    )
    # Across the shaft: up in full and aside with tan 22.5°, a corner of the octagon about the circle.
    name = "push to +x (along), swing 112.5° in yz, torque one way, design, weight low"
    aside = 1.5 * 1.029698 * (math.sqrt(2) - 1)
    assert case(found, name) == close(
        normal_kn=-0.9 * 4.118793 + 1.5 * 1.029698,
        shear_x_kn=1.5 * 1.5,
        shear_y_kn=-aside,
        moment_x_knm=0.28125 + aside * 0.45,
        moment_y_knm=1.5 * 1.5 * 0.5,
    )


def test_eyebolt_pulled_askew() -> None:
    """250 kg by hand hoist: 1.25 · 2.451663 = 3.064578 kN down, tan 30° of it aside, 45 mm under the concrete."""
    found = answer(
        "eyebolt", surface="soffit", mass_kg=250, lifting="hand_hoist", angle_degrees=30, azimuth_degrees=0,
        eye_height_mm=45,
    )  # fmt: skip
    assert case(found, "pull at 30°, leaning to 0° (along x), design") == close(
        normal_kn=1.5 * 3.064578, shear_x_kn=1.5 * 1.769335, moment_y_knm=1.5 * 1.769335 * 0.045
    )
    [straight] = found["load_cases"]
    assert straight["sustained_share"] == 0


@pytest.mark.parametrize("angle", [0, 15, 45, 60])
def test_a_mass_under_a_slab_pulls_down_with_its_whole_weight_at_every_angle(angle: float) -> None:
    """Balance of the mass: the upright part of the rope's pull is m·g, the pull m·g/cos α (statics)."""
    found = answer(
        "eyebolt", surface="soffit", mass_kg=100, lifting="steady_pull", angle_degrees=angle, eye_height_mm=40
    )
    for pulled in found["load_cases"]:
        assert pulled["normal_kn"] == pytest.approx(1.5 * 100 * 9.80665e-3, rel=1e-5)
    assert value(found, "F") * math.cos(math.radians(angle)) == pytest.approx(100 * 9.80665e-3, rel=1e-5)
    assert "one_eyebolt_takes_all" in [caution["code"] for caution in found["cautions"]]


def test_a_mass_on_a_wall_hangs_straight_down() -> None:
    """100 kg weigh 0.980665 kN; y is up on a wall."""
    found = answer(
        "eyebolt", surface="vertical_face", mass_kg=100, lifting="steady_pull", angle_degrees=90,
        azimuth_degrees=-90, eye_height_mm=40,
    )  # fmt: skip
    assert case(found, "pull at 90°, leaning to -90° (down), design") == close(
        shear_y_kn=-1.5 * 0.980665, moment_x_knm=1.5 * 0.980665 * 0.04
    )
    unsaid = answer(
        "eyebolt", surface="vertical_face", mass_kg=100, lifting="steady_pull", angle_degrees=90, eye_height_mm=40
    )
    assert [case["name"] for case in unsaid["load_cases"]] == ["pull at 90°, leaning to 270° (down), design"]
    assert "azimuth_degrees_not_given" not in {note["code"] for note in unsaid["assumptions"]}


def test_more_than_four_hangers_do_not_stand_at_corners() -> None:
    """A stiff thing that was never adjusted rests on two of them, however many there are: statics."""
    with pytest.raises(RefusedRequest, match="must be in_line where hangers is 6: corners are three or four"):
        answer("soffit_hanger", mass_kg=600, hangers=6, arrangement="at_corners")


@pytest.mark.parametrize(
    ("inputs", "pointer", "words"),
    [
        ({"surface": "top_of_slab", "angle_degrees": 0}, "#/mass_kg", "only over a pulley, which sets the pull; give pull_kn"),
        ({"surface": "vertical_face", "angle_degrees": 30}, "#/angle_degrees", "must be 90 where mass_kg hangs on a wall"),
        ({"surface": "vertical_face", "angle_degrees": 90, "azimuth_degrees": 90}, "#/azimuth_degrees", "must be 270 where"),
        ({"surface": "soffit", "angle_degrees": 89}, "#/angle_degrees", "must be at most 60 where mass_kg hangs under a slab"),
    ],
)  # fmt: skip
def test_a_mass_that_cannot_hang_so_is_refused(inputs: dict[str, Any], pointer: str, words: str) -> None:
    with pytest.raises(RefusedRequest, match=re.escape(words)) as raised:
        answer("eyebolt", mass_kg=100, eye_height_mm=40, **inputs)
    assert [error.pointer for error in raised.value.errors] == [pointer]


def test_a_rulebook_without_the_newer_figures_is_answered_without_resting_on_weight() -> None:
    """Releases up to 2026.5.0: no weight holds down, a rail runs on as a pipe does, and no fork lifts, which is said."""
    newer = RULEBOOK.factors["load-models"]
    older = {name: entry for name, entry in newer.items() if name not in {"holding_down", "continuous_rail"}}
    older["racking"] = {name: entry for name, entry in newer["racking"].items() if name != "fork_uplift_kn"}
    book = dataclasses.replace(RULEBOOK, factors={**RULEBOOK.factors, "load-models": older})
    day = {"assessed_on": "2026-11-25"}
    pump = load_cases("machine_base", {"mass_kg": 420, "centre_height_mm": 450} | day, book)
    # What swings in plan alone leaves no normal force where the weight counts for nothing.
    low = [c["normal_kn"] for c in pump["load_cases"] if c["name"] == "swing 22.5° in xy, design, weight low"]
    assert low == [0]
    assert value(pump, "γ_G,stb") == 0
    assert "weight_holds_down" in [caution["code"] for caution in pump["cautions"]]
    post = {"mounting": "top", "category": "E", "rail_height_mm": 1000, "post_spacing_mm": 1000}
    [share] = [s for s in load_cases("guardrail_post", post | day, book)["working"] if s["symbol"] == "k_r"]
    assert (share["value"], share["rule"]) == (1.25, "factors/load-models#/continuous_pipe/factor")
    rack = load_cases("racking_upright", {"load_height_mm": 3200, "upright_spacing_mm": 1000} | day, book)
    assert "no_fork_uplift" in [assumption["code"] for assumption in rack["assumptions"]]


def test_weight_that_hangs_is_no_weight_that_holds_down() -> None:
    """EN 1990, Table A1.2(B): 1.0 times, where the weight itself pulls."""
    found = answer("soffit_hanger", mass_kg=180, permanent_share=1)
    assert "γ_G,stb" not in [step["symbol"] for step in found["working"]]
    assert "weight_holds_down" not in [caution["code"] for caution in found["cautions"]]


def test_a_mass_is_turned_into_a_force_by_the_standard_acceleration() -> None:
    """BIPM SI Brochure: g_n = 9.80665 m/s²."""
    found = answer("soffit_hanger", mass_kg=1000)
    assert value(found, "g_n") == 9.80665
    assert value(found, "F_k") == pytest.approx(9.80665)


@pytest.mark.parametrize(
    ("machine", "push_kn", "said"),
    [("no_moving_parts", 0, True), ("no_moving_parts", 0.5, False), ("unknown", 0, False)],
)
def test_a_machine_that_nothing_pushes_is_said_to_be_so(machine: str, push_kn: float, said: bool) -> None:
    found = answer("machine_base", mass_kg=420, centre_height_mm=1200, machine=machine, horizontal_kn=push_kn)
    assert ("nothing_pushes_sideways" in {note["code"] for note in found["assumptions"]}) is said
