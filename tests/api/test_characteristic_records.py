"""Records with characteristic load cases, which new requests may not have, replay, and the work by them goes on."""

import copy
from typing import Any

import pytest

from service.rulebook import load
from service.verification import verify
from tests.api.holding import HeldClient, errors_of
from tests.shipped import RULES

REQUEST: dict[str, Any] = {
    "assessed_on": "2026-11-25",
    "fastener": {"family": "bolt-expansion-stainless", "size": "M12", "embedment_mm": 70},
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


@pytest.fixture(scope="module")
def record() -> dict[str, Any]:
    """A record as it was made before there were actions."""
    return {"request": REQUEST, "answer": verify(REQUEST, load(RULES))}


def test_it_still_replays(client: HeldClient, record: dict[str, Any]) -> None:
    found = client.post("/v1/replays", json=record).get_json()
    assert found["outcome"] == "identical"
    assert found["today"]["passes"]


def test_its_crew_gets_the_sheet_and_what_they_did_is_checked(client: HeldClient, record: dict[str, Any]) -> None:
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
