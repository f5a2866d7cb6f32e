"""A rod without a plate: it takes a pull, and a push at a height that is given; nothing bears and nothing is shared."""

from __future__ import annotations

from typing import Any

import pytest

from service.rulebook import Rulebook
from service.sizing import size
from service.verification import verify
from tests.verification.conftest import Request

ROD = {"family": "bonded-rod-epoxy-slow", "size": "M16", "embedment_mm": 148}
PULL = {"name": "hanger", "normal_kn": 8, "sustained_share": 0.5}


@pytest.fixture
def bare(request_body: Request) -> Request:
    """One rod without a plate, far from the edge."""
    return request_body | {
        "fastener": ROD,
        "positions": [{"x_mm": 0, "y_mm": 0}],
        "fixture": {"plate": False, "width_mm": 30, "depth_mm": 30, "thickness_mm": 3},
        "member": request_body["member"] | {"thickness_mm": 400, "edges": {"x_plus_mm": 2000}},
        "use": request_body["use"] | {"temperature_range": "I", "exposure": "dry_internal"},
        "load_cases": [PULL],
    }


def limits(answer: dict[str, Any]) -> list[str]:
    return [limit["code"] for limit in answer["scope_limits"]]


def test_a_pull_is_that_of_a_plate_without_the_plate(bare: Request, rulebook: Rulebook) -> None:
    alone = verify(bare, rulebook)
    plate = {"width_mm": 200, "depth_mm": 200, "thickness_mm": 3}
    held = verify(bare | {"fixture": plate}, rulebook)
    assert (alone["verdict"], alone["checks"]) == ("verified", held["checks"])
    assert alone["plate"]["reason"] == "there is none"
    assert "hole_edge_distance" not in [asked["code"] for asked in alone["requirements"]]
    assert "plate_not_checked" not in [caution["code"] for caution in alone["cautions"]]


@pytest.mark.parametrize("loads", [{"normal_kn": -2}, {"normal_kn": 2, "moment_y_knm": 0.01}])
def test_pressed_or_levered_it_gives_no_number(bare: Request, rulebook: Rulebook, loads: dict[str, float]) -> None:
    answer = verify(bare | {"load_cases": [{"name": "wrong way", **loads}]}, rulebook)
    assert (answer["verdict"], answer["checks"], limits(answer)) == ("outside_scope", [], ["without_plate"])


def test_two_bare_rods_share_nothing(bare: Request, rulebook: Rulebook) -> None:
    wide = bare["fixture"] | {"width_mm": 400}
    pair = [{"x_mm": x, "y_mm": 0} for x in (-150, 150)]
    assert limits(verify(bare | {"positions": pair, "fixture": wide}, rulebook)) == ["without_plate"]


def test_a_push_bends_it_by_the_height_at_which_it_acts(bare: Request, rulebook: Rulebook) -> None:
    pushed = [{"name": "brace", "normal_kn": 2, "shear_x_kn": 0.5, "moment_y_knm": 0, "sustained_share": 0}]
    assert limits(verify(bare | {"load_cases": pushed}, rulebook)) == ["height_not_given"]
    # By hand: 0.5 kN at 20 mm and half the 3 mm that lie under the nut: 0.01075 kNm at the surface; at 10 mm 0.00575.
    used = []
    for height, moment in ((20, 0.01075), (10, 0.00575)):
        fixture = bare["fixture"] | {"stand_off_mm": height}
        answer = verify(bare | {"fixture": fixture, "load_cases": [pushed[0] | {"moment_y_knm": moment}]}, rulebook)
        assert (limits(answer), answer["verdict"]) == ([], "verified")
        used.append(next(c["utilisation"] for c in answer["checks"] if c["mode"] == "steel_shear_lever_arm"))
    assert used[0] > used[1]
    no_moment = verify(bare | {"fixture": fixture, "load_cases": pushed}, rulebook)
    assert limits(no_moment) == ["moment_on_line_of_fasteners"]


def test_what_is_set_through_a_plate_needs_one(bare: Request, rulebook: Rulebook, request_body: Request) -> None:
    answer = verify(bare | {"fastener": request_body["fastener"]}, rulebook)
    assert "set_through_plate" in [asked["code"] for asked in answer["requirements"] if not asked["met"]]
    assert answer["checks"] == []
    stud = {"family": "headed-stud", "size": "16", "embedment_mm": 91}
    welded = verify(bare | {"fastener": stud}, rulebook)
    assert "set_through_plate" in [asked["code"] for asked in welded["requirements"] if not asked["met"]]


def test_sizing_offers_what_goes_without_a_plate(bare: Request, rulebook: Rulebook) -> None:
    body = {name: value for name, value in bare.items() if name not in {"fastener", "positions"}}
    answer = size(body | {"pattern": {"x": {"counts": [1]}, "y": {"counts": [1]}}}, rulebook)
    settings = {rulebook.families[choice["fastener"]["family"]]["setting"] for choice in answer["choices"]}
    assert settings == {"before_fixture"}
