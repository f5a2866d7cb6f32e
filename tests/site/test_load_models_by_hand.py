"""Each load model at one thing worked by hand.

Source of each figure: worked by hand from the inputs, g_n = 9.80665 m/s² (BIPM SI Brochure), partial factors 1.35, 1.0
and 1.5 (EN 1990, Table A1.2(B)); the line load and its height: EN 1991-1-1, 6.4 and Table 6.12 (from memory).
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from service.rulebook import load
from service.site.load_models import load_cases

RULEBOOK = load(Path(__file__).parents[2] / "rules")
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
    """2.0 kN/m over 1.2 m is 2.4 kN; at 1.1 m 2.64 kNm; times 1.5. 18 kg weigh 0.17652 kN."""
    found = answer(
        "guardrail_post", mounting="top", category="E", rail_height_mm=1100, post_spacing_mm=1200, mass_kg=18
    )
    assert case(found, "guard load outwards, design, weight low") == close(
        normal_kn=-0.1765197, shear_x_kn=3.6, moment_y_knm=3.96
    )
    assert case(found, "guard load outwards, design, weight high") == close(
        normal_kn=-0.2383016, shear_x_kn=3.6, moment_y_knm=3.96
    )
    assert case(found, "guard load inwards, design, weight low") == close(
        normal_kn=-0.1765197, shear_x_kn=-3.6, moment_y_knm=-3.96
    )
    assert len(found["load_cases"]) == 4
    assert found["characteristic_load_cases"] == []


def test_guard_load_acts_no_higher_than_the_standard_says() -> None:
    """EN 1991-1-1, 6.4: at 1.20 m for a rail at 1.30 m; 2.4 kN at 1.2 m is 2.88 kNm."""
    found = answer("guardrail_post", mounting="top", category="E", rail_height_mm=1300, post_spacing_mm=1200)
    assert value(found, "h_q") == 1200
    [step] = [step for step in found["working"] if step["symbol"] == "h_q"]
    assert step["source"] == "EN 1991-1-1, 6.4"
    assert value(found, "M_k") == pytest.approx(2.88)


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
    assert case(found, "loaded bracket, characteristic", "characteristic_load_cases") == close(
        shear_y_kn=-1.162088, moment_x_knm=0.396434
    )
    assert value(found, "N_o") == pytest.approx(0.396434 / 0.25, rel=1e-5)


def test_pipe_hanger() -> None:
    """180 kg hang with 1.765197 kN, four tenths of it permanent: 1.35·0.4 + 1.5·0.6 = 1.44 times."""
    found = answer("soffit_hanger", mass_kg=180, permanent_share=0.4)
    assert case(found, "hanging load, design, weight high") == close(normal_kn=2.541884)
    assert case(found, "hanging load, design, weight low") == close(normal_kn=2.294756)
    assert case(found, "hanging load, design, weight alone") == close(normal_kn=0.9532064)
    [characteristic] = found["characteristic_load_cases"]
    assert (characteristic["normal_kn"], characteristic["permanent_share"]) == (pytest.approx(1.765197, rel=1e-5), 0.4)


def test_three_hangers_that_were_never_levelled() -> None:
    """Half as much again as a third is a half."""
    found = answer("soffit_hanger", mass_kg=600, hangers=3, levelling="not_levelled")
    assert value(found, "k_n") == 0.5
    assert value(found, "F_k") == pytest.approx(300 * 9.80665e-3, rel=1e-5)


def test_racking_upright() -> None:
    """0.5 kN at 3.2 m over 1.0 m lift with 1.6 kN; half of 95 kg, 0.465816 kN, holds down."""
    found = answer("racking_upright", load_height_mm=3200, upright_spacing_mm=1000, frame_mass_kg=95)
    assert case(found, "load towards the other upright, design, weight low") == close(
        normal_kn=1.5 * 1.6 - 0.4658159, shear_x_kn=0.75
    )
    assert case(found, "load away from the other upright, design, weight high") == close(
        normal_kn=-1.5 * 1.6 - 1.35 * 0.4658159, shear_x_kn=-0.75
    )


def test_pipe_along_a_wall() -> None:
    """168.3 × 4.5 mm: 2315.67 mm² of steel, 19930.6 mm² of sewage: 18.178 and 21.924 kg a metre; 3 m · 1.25."""
    found = answer(
        "pipe_clamp", surface="wall", span_mm=3000, axis_off_surface_mm=180, outer_diameter_mm=168.3, wall_mm=4.5,
        material="steel", contents="sewage", held="sliding_guide",
    )  # fmt: skip
    assert (value(found, "m_e"), value(found, "m_c")) == pytest.approx((18.178, 21.9237), rel=1e-4)
    down, along = 1.35 * 0.668505 + 1.5 * 0.806248, 1.5 * 0.3 * (0.668505 + 0.806248)
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
    name = "in service, push to +x, torque one way, swing to +x, design, weight low"
    assert case(found, name) == close(
        normal_kn=-4.118793, shear_x_kn=3.794547, moment_x_knm=0.28125, moment_y_knm=1.820046
    )


def test_eyebolt_pulled_askew() -> None:
    """250 kg by hand hoist: 1.25 · 2.451663 = 3.064578 kN at 30 degrees, 45 mm over the concrete."""
    found = answer(
        "eyebolt", surface="soffit", mass_kg=250, lifting="hand_hoist", angle_degrees=30, azimuth_degrees=0,
        eye_height_mm=45,
    )  # fmt: skip
    assert case(found, "pull at 30°, leaning to 0°, design") == close(
        normal_kn=3.981004, shear_x_kn=2.298434, moment_y_knm=0.1034295
    )
    [straight] = found["load_cases"]
    assert straight["sustained_share"] == 0


def test_a_mass_is_turned_into_a_force_by_the_standard_acceleration() -> None:
    """BIPM SI Brochure: g_n = 9.80665 m/s²."""
    found = answer("soffit_hanger", mass_kg=1000)
    assert value(found, "g_n") == 9.80665
    assert value(found, "F_k") == pytest.approx(9.80665)
