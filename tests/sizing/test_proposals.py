"""What sizing proposes, verification confirms: held against the engine and the demonstration rulebook."""

import json
import math
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from service.contract.sizing import SizingRequest
from service.contract.verification import VerificationRequest
from service.rulebook import Rulebook
from service.sizing import size
from service.verification import verify
from tests.shipped import VERSION, shipped_rules

ROOT = Path(__file__).resolve().parents[2]
CLEARANCE = 1.2  # least distance of a clearance hole from the plate edge over its diameter, in the rulebook
BOOK = shipped_rules()


def loads(kn: float) -> st.SearchStrategy[float]:
    return st.floats(-kn, kn).map(lambda value: round(value, 2))


LOAD_CASES = st.fixed_dictionaries({
    "name": st.just("case"),
    "normal_kn": st.floats(0.5, 12).map(lambda value: round(value, 2)),
    "shear_x_kn": loads(6),
    "shear_y_kn": loads(6),
    "moment_x_knm": loads(0.6),
    "moment_y_knm": loads(0.6),
    "sustained_share": st.sampled_from([0, 0.5, 1]),
})
REQUESTS = st.fixed_dictionaries({
    "assessed_on": st.just("2026-11-25"),
    "member": st.fixed_dictionaries({
        "strength_class": st.sampled_from(["C20/25", "C30/37", "unknown"]),
        "state": st.sampled_from(["cracked", "uncracked"]),
        "thickness_mm": st.sampled_from([120, 180, 300]),
        "edges": st.fixed_dictionaries({"x_plus_mm": st.sampled_from([None, 90, 160, 250])}),
    }),
    "pattern": st.just({
        "x": {"counts": [1, 2], "spacings_mm": [80, 120]},
        "y": {"counts": [1, 2], "spacings_mm": [120]},
    }),
    "fixture": st.just({"width_mm": 180, "depth_mm": 180, "thickness_mm": 12}),
    "load_cases": st.lists(LOAD_CASES, min_size=1, max_size=1),
    "use": st.fixed_dictionaries({
        "exposure": st.sampled_from(["dry_internal", "external"]),
        "hole": st.just("dry"),
        "overhead": st.booleans(),
    }),
    "limits": st.fixed_dictionaries({"utilisation": st.sampled_from([None, 0.8])}),
})


def example() -> dict[str, Any]:
    request: dict[str, Any] = json.loads((ROOT / "deploy" / "example" / "sizing.json").read_text("utf-8"))
    return request | {"rulebook": VERSION}


def cap_of(request: Mapping[str, Any]) -> float:
    return float(request["limits"].get("utilisation") or 1.0)


def assert_confirmed(choice: Mapping[str, Any], request: Mapping[str, Any], book: Rulebook) -> None:
    posted = json.loads(json.dumps(choice["request"]))
    assert VerificationRequest().validate(posted) == {}
    answer = verify(posted, book)
    assert answer["verdict"] == "verified"
    assert answer["governing"] == choice["governing"]
    assert choice["utilisation"] <= cap_of(request)
    assert answer["fastener"] == choice["fastener"]
    assert posted["fastener"]["length_mm"] == answer["fastener"]["length_mm"]


@settings(max_examples=20, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
@given(request=REQUESTS)
def test_a_choice_posted_back_is_verified_with_the_same_utilisation(request: dict[str, Any]) -> None:
    assert SizingRequest().validate(request) == {}
    found = size(request, BOOK)
    for choice in found["choices"]:
        assert_confirmed(choice, request, BOOK)
    named = [c["fastener"]["family"] for c in found["choices"]]
    named += [entry["family"] for entry in found["passed_over"] + found["rejected"]]
    assert sorted(named) == sorted(BOOK.families)


def test_the_example_finds_choices_that_verification_confirms() -> None:
    found = size(example(), BOOK)
    assert len(found["choices"]) == 3
    for choice in found["choices"]:
        assert_confirmed(choice, example(), BOOK)


def test_combinations_of_actions_stand_beside_the_choices_that_they_govern() -> None:
    request = {name: value for name, value in example().items() if name != "load_cases"}
    weight = {"name": "weight", "kind": "permanent", "normal_kn": 1}
    acting = [weight, {"name": "wind", "kind": "variable", "shear_x_kn": 2}]
    found = size(request | {"actions": acting, "rulebook": None}, BOOK)
    assert found["choices"]
    named = {each["name"] for each in found["combinations"]}
    for choice in found["choices"]:
        assert choice["governing"]["load_case"] in named
        assert verify(choice["request"], BOOK)["combinations"] == found["combinations"]
    assert "combinations" not in size(request | {"load_cases": example()["load_cases"], "rulebook": None}, BOOK)


def test_no_cheaper_candidate_of_a_chosen_family_passes() -> None:
    choice = size(example(), BOOK)["choices"][0]
    family = BOOK.families[choice["fastener"]["family"]]
    cheaper = 0
    for name, data in family["sizes"].items():
        for row in data["embedments"].values():
            hole = data["geometry"]["hole_diameter_mm"], row["depth"]["hole_mm"]
            volume = len(choice["positions"]) * math.pi / 4 * hole[0] ** 2 * hole[1]
            if volume < choice["hole"]["drilled_volume_mm3"] * (1 - 1e-5):
                cheaper += 1
                fastener = {"family": family["id"], "size": name, "embedment_mm": row["depth"]["effective_mm"]}
                answer = verify(choice["request"] | {"fastener": fastener}, BOOK)
                used = answer["governing"]["utilisation"] if answer["governing"] else 0.0
                assert answer["verdict"] != "verified" or used > cap_of(example())
    assert cheaper > 0


def test_choices_keep_the_clearance_holes_off_the_plate_edge() -> None:
    request = example()
    request["fixture"] |= {"width_mm": 180, "depth_mm": 180}
    found = size(request, BOOK)
    assert found["searched"]["skipped_off_fixture"] > 0
    for choice in found["choices"]:
        hole_mm = BOOK.families[choice["fastener"]["family"]]["sizes"][choice["fastener"]["size"]]["geometry"]
        outermost_mm = max(max(abs(p["x_mm"]), abs(p["y_mm"])) for p in choice["positions"])
        assert 90 - outermost_mm >= CLEARANCE * hole_mm["clearance_hole_mm"]


def test_a_lower_cap_on_the_utilisation_never_adds_a_family() -> None:
    def families(cap: float) -> set[str]:
        request = example() | {"limits": {"utilisation": cap}, "max_choices": 50}
        return {choice["fastener"]["family"] for choice in size(request, BOOK)["choices"]}

    assert families(0.3) < families(1.0)


@pytest.mark.parametrize(
    ("family", "kind", "code"),
    [
        ("sleeve-hook-zinc", "approval", "approval_status"),
        ("screw-zinc", "requirement", "exposure_allowed"),
        ("headed-stud", "limit", "cast_in_not_asked_for"),
    ],
)
def test_the_rejections_of_the_example_name_their_cause(family: str, kind: str, code: str) -> None:
    causes = {entry["family"]: entry["cause"] for entry in size(example(), BOOK)["rejected"]}
    assert (causes[family]["kind"], causes[family]["code"]) == (kind, code)


def test_cast_in_studs_are_sized_where_they_are_asked_for() -> None:
    request = example()
    request["limits"] = {"mechanisms": ["headed_fastener"]}
    request["use"]["exposure"] = "dry_internal"
    (choice,) = size(request, BOOK)["choices"]
    assert choice["hole"] == {"diameter_mm": None, "depth_mm": None, "count": 0, "drilled_volume_mm3": 0}
    assert_confirmed(choice, request, BOOK)


def test_the_assumed_day_is_listed() -> None:
    found = size(example(), BOOK, assessed_on_assumed=True)
    assert any("2026-11-25" in assumption["text"] for assumption in found["assumptions"])
