"""Actions from request to sheet, as-built check and replay, and records with characteristic load cases before them."""

import copy
from typing import Any

import pytest

from service.verification import verify
from tests.api.holding import HeldClient, errors_of
from tests.shipped import shipped_rules

REQUEST: dict[str, Any] = {
    "assessed_on": "2026-11-25",
    "fastener": {"family": "bolt-expansion-stainless", "size": "M12", "embedment_mm": 75},
    "member": {"strength_class": "C25/30", "state": "cracked", "thickness_mm": 250},
    "positions": [{"x_mm": 0, "y_mm": 0}],
    "fixture": {"width_mm": 100, "depth_mm": 100, "thickness_mm": 10},
    "load_cases": [{"name": "pull", "kind": "characteristic", "permanent_share": 0.4, "normal_kn": 1.0}],
    "use": {"exposure": "external", "hole": "dry", "overhead": False},
    "site": {
        "torque_control": "calibrated_wrench",
        "strength_evidence": "documented",
        "hole_cleaning": "verified",
        "installer": "trained",
        "drilling": "hammer",
    },
}


ACTIONS: list[dict[str, Any]] = [
    {"name": "weight", "kind": "permanent", "normal_kn": 0.4},
    {"name": "load", "kind": "variable", "normal_kn": 0.6},
]
WITH_ACTIONS = {name: value for name, value in REQUEST.items() if name != "load_cases"} | {"actions": ACTIONS}


def test_actions_go_all_the_way(client: HeldClient) -> None:
    """Source of the figure: 1.35·0.4 + 1.5·0.6 = 1.44 kN, by hand."""
    answer = client.post("/v1/verifications", json=WITH_ACTIONS).get_json()
    assert answer["verdict"] == "verified"
    assert [each["normal_kn"] for each in answer["combinations"]] == [1.44]
    record = {"request": WITH_ACTIONS, "answer": answer}
    assert client.post("/v1/replays", json=record).get_json()["outcome"] == "identical"
    assert client.post("/v1/installation-sheets", json={"fixings": [record]}).status_code == 200
    done = {"record": record, "as_built": {"moved": []}}
    built = client.post("/v1/as-built-checks", json=done).get_json()
    assert built["utilisation_after"] == built["utilisation_before"] == answer["governing"]["utilisation"]


def test_a_choice_of_a_sizing_keeps_the_actions(client: HeldClient) -> None:
    rest = {name: value for name, value in WITH_ACTIONS.items() if name != "fastener"}
    (choice,) = client.post("/v1/sizings", json=rest | {"max_choices": 1}).get_json()["choices"]
    assert choice["request"]["actions"] == ACTIONS
    again = client.post("/v1/verifications", json=choice["request"]).get_json()
    assert again["governing"]["utilisation"] == choice["utilisation"]


@pytest.fixture(scope="module")
def record() -> dict[str, Any]:
    """A record as it was made before there were actions."""
    return {"request": REQUEST, "answer": verify(REQUEST, shipped_rules())}


def test_a_record_of_old_still_replays(client: HeldClient, record: dict[str, Any]) -> None:
    found = client.post("/v1/replays", json=record).get_json()
    assert found["outcome"] == "identical"
    assert found["today"]["passes"]


def test_the_crew_of_an_old_record_gets_its_sheet_and_a_check(client: HeldClient, record: dict[str, Any]) -> None:
    assert client.post("/v1/installation-sheets", json={"fixings": [record]}).status_code == 200
    done = {"record": record, "as_built": {"moved": [{"number": 1, "x_mm": 4, "y_mm": 0}]}}
    assert client.post("/v1/as-built-checks", json=done).status_code == 200


def test_a_record_without_its_permanent_share_is_refused(client: HeldClient, record: dict[str, Any]) -> None:
    altered = copy.deepcopy(record)
    del altered["request"]["load_cases"][0]["permanent_share"]
    response = client.post("/v1/replays", json=altered)
    assert [error["pointer"] for error in errors_of(response)] == ["#/request/load_cases/0/permanent_share"]


def test_a_new_request_is_told_to_give_actions(client: HeldClient) -> None:
    response = client.post("/v1/verifications", json=REQUEST)
    assert response.status_code == 422
    told = {error["pointer"]: error["detail"] for error in errors_of(response)}
    assert told.keys() == {"#/load_cases/0/kind", "#/load_cases/0/permanent_share"}
    assert all("give actions in place of load_cases" in words for words in told.values())


def test_loads_of_a_load_model_are_no_accident(client: HeldClient) -> None:
    """Common practice, no source: the lower factors of an accident are not for what acts all the time."""
    post = {"mounting": "top", "line_load_kn_per_m": 1, "rail_height_mm": 1100, "post_spacing_mm": 2000}
    found = client.post("/v1/load-models/guardrail_post", json=post).get_json()
    request = REQUEST | {"load_cases": found["load_cases"], "loads_from": [found["loads_from"]]}
    accident = request | {"use": request["use"] | {"situation": "accidental"}}
    assert client.post("/v1/verifications", json=request).status_code == 200
    [error] = errors_of(client.post("/v1/verifications", json=accident))
    assert (error["pointer"], error["code"], error["figures"]["fields"]) == (
        "#/use/situation", "conflict", ["loads_from"]
    )  # fmt: skip
