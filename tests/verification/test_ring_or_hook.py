"""A ring or a hook has no plate: what would press, lever or be shared by one gives no number. Common practice."""

from __future__ import annotations

from typing import Any

import pytest

from service.rulebook import Rulebook, plain
from service.verification import verify

PULL = {"name": "bundle", "normal_kn": 0.2}


@pytest.fixture
def eyebolt(rulebook: Rulebook) -> dict[str, Any]:
    """The reference fixing of an eyebolt, on a day of its own."""
    found: dict[str, Any] = next(plain(f["request"]) for f in rulebook.reference if f["id"] == "cable-tray-eyebolt")
    return {"assessed_on": "2026-11-25"} | found


@pytest.mark.parametrize(
    "loads",
    [
        {"normal_kn": -0.5},
        {"normal_kn": 0.2, "moment_y_knm": 0.005},
        {"normal_kn": -0.5, "moment_y_knm": 0.02},
        {"shear_x_kn": 0.1, "moment_x_knm": 0.001},
    ],
)
def test_pressed_or_levered_it_gives_no_number(eyebolt: dict[str, Any], rulebook: Rulebook, loads: Any) -> None:
    answer = verify(eyebolt | {"load_cases": [PULL, {"name": "wrong way", **loads}]}, rulebook)
    assert (answer["verdict"], answer["checks"]) == ("outside_scope", [])
    assert [limit["code"] for limit in answer["scope_limits"]] == ["without_plate"]


def test_several_share_nothing(eyebolt: dict[str, Any], rulebook: Rulebook) -> None:
    places = [{"x_mm": x, "y_mm": 0} for x in (-150, 150)]
    wide = eyebolt["fixture"] | {"width_mm": 400, "depth_mm": 400}
    answer = verify(eyebolt | {"load_cases": [PULL], "positions": places, "fixture": wide}, rulebook)
    assert [limit["code"] for limit in answer["scope_limits"]] == ["without_plate"]


@pytest.mark.parametrize("loads", [{"normal_kn": 0.3}, {"normal_kn": 0.3, "shear_x_kn": 0.3}, {"shear_y_kn": 0.3}])
def test_a_pull_straight_or_slanting_is_what_its_label_is_for(
    eyebolt: dict[str, Any], rulebook: Rulebook, loads: dict[str, float]
) -> None:
    answer = verify(eyebolt | {"load_cases": [{"name": "pull", **loads}]}, rulebook)
    assert (answer["scope_limits"], answer["governing"]["mode"]) == ([], "simplified_resultant")


def test_over_a_gap_it_is_not_covered(eyebolt: dict[str, Any], rulebook: Rulebook) -> None:
    raised = eyebolt["fixture"] | {"stand_off_mm": 10, "thickness_mm": 5}
    answer = verify(eyebolt | {"load_cases": [PULL], "fixture": raised}, rulebook)
    assert "simplified_with_stand_off" in [limit["code"] for limit in answer["scope_limits"]]


@pytest.mark.parametrize("thickness", [None, 0.5])
@pytest.mark.parametrize("more", [{}, {"rotation": "held", "washer_clamped": False}])
def test_how_a_plate_would_be_held_is_nothing_to_a_ring(
    eyebolt: dict[str, Any], rulebook: Rulebook, thickness: float | None, more: dict[str, Any]
) -> None:
    fixture = eyebolt["fixture"] | {"thickness_mm": thickness} | more
    answer = verify(eyebolt | {"load_cases": [{"name": "pull", "shear_y_kn": 0.3}], "fixture": fixture}, rulebook)
    assert (answer["scope_limits"], answer["governing"]["mode"]) == ([], "simplified_resultant")


@pytest.mark.parametrize("thickness", [2, 8])
def test_what_lies_under_it_is_a_gap_to_a_pull_across(
    eyebolt: dict[str, Any], rulebook: Rulebook, thickness: float
) -> None:
    over = eyebolt | {"fixture": eyebolt["fixture"] | {"thickness_mm": thickness}}
    across, straight = (
        verify(over | {"load_cases": [{"name": "pull", **loads}]}, rulebook)
        for loads in ({"normal_kn": 0.3, "shear_x_kn": 0.3}, {"normal_kn": 0.3})
    )
    assert [limit["code"] for limit in across["scope_limits"]] == ["simplified_with_stand_off"]
    assert straight["scope_limits"] == []
