"""As-built checks over HTTP: records, the new record, bad inputs with their words."""

from typing import Any

import pytest

from tests.api.holding import HeldClient, errors_of

CHECKS = "/v1/as-built-checks"
VERIFICATIONS = "/v1/verifications"


@pytest.fixture
def record(client: HeldClient, guardrail_post: dict[str, Any]) -> dict[str, Any]:
    """A record as its keeper has it."""
    return {"request": guardrail_post, "answer": client.post(VERIFICATIONS, json=guardrail_post).get_json()}


TORQUE = {"torque_nm": 50, "torque_tool": "calibrated_wrench"}


def check(client: HeldClient, record: Any, **done: Any) -> Any:
    return client.post(CHECKS, json={"record": record, "as_built": done})


def test_a_record_built_as_verified(client: HeldClient, record: dict[str, Any]) -> None:
    answer = check(client, record, **TORQUE).get_json()
    assert answer["verdict"] == "verified"
    assert answer["came_from_record"] == record["answer"]["record"]["id"]


def test_nothing_said_is_not_shown(client: HeldClient, record: dict[str, Any]) -> None:
    answer = check(client, record).get_json()
    assert answer["verdict"] == "not_shown"
    assert answer["record"] is None
    assert [entry["met"] for entry in answer["as_built_requirements"]] == [None, None]
    assert {"depth", "torque"} <= {entry["code"] for entry in answer["not_measured"]}


def test_the_new_record_is_one_and_may_be_checked_again(client: HeldClient, record: dict[str, Any]) -> None:
    first = check(client, record, moved=[{"index": 0, "x_mm": -85, "y_mm": -75}], **TORQUE).get_json()
    assert client.post("/v1/replays", json=first["record"]).get_json()["outcome"] == "identical"
    second = check(client, first["record"], torque_nm=50).get_json()
    assert second["came_from_record"] == first["record"]["answer"]["record"]["id"]
    sheet = client.post("/v1/installation-sheets", json={"fixings": [second["record"]]})
    assert sheet.status_code == 200


def test_a_request_in_place_of_a_record_is_verified_first(client: HeldClient, record: dict[str, Any]) -> None:
    assert check(client, record["request"]).get_json() == check(client, record).get_json()


def test_an_altered_record_is_refused(client: HeldClient, record: dict[str, Any]) -> None:
    record["request"]["member"]["thickness_mm"] = 400
    response = check(client, record)
    assert response.status_code == 409
    [error] = errors_of(response)
    assert (error["code"], error["pointer"]) == ("record_altered", "#/record/answer/record/id")


def test_it_names_the_record_inside_the_id(client: HeldClient, guardrail_post: dict[str, Any]) -> None:
    named = guardrail_post | {"came_from_record": "sha256:" + "0" * 64}
    plain, chained = (client.post(VERIFICATIONS, json=r).get_json() for r in (guardrail_post, named))
    assert plain["record"]["id"] != chained["record"]["id"]
    assert plain["governing"] == chained["governing"]


def test_a_name_of_another_form_is_no_record(client: HeldClient, guardrail_post: dict[str, Any]) -> None:
    response = client.post(VERIFICATIONS, json=guardrail_post | {"came_from_record": "sha256:abc"})
    assert response.status_code == 422
    assert [error["pointer"] for error in errors_of(response)] == ["#/came_from_record"]


@pytest.mark.parametrize(
    ("done", "pointer", "code", "words"),
    [
        ({"embedment_mm": 0}, "embedment_mm", "below_minimum", "at least 1"),
        ({"embedment_mm": 60, "hole_depth_mm": 80}, "hole_depth_mm", "conflict", "not both"),
        ({"torque_nm": -1}, "torque_nm", "below_minimum", "at least 0"),
        ({"torque_nm": True}, "torque_nm", "wrong_type", "a number"),
        ({"torque_tool": "teeth"}, "torque_tool", "not_allowed", "calibrated_wrench, impact_driver_set, by_feel"),
        ({"hole": "muddy"}, "hole", "not_allowed", "dry, wet, flooded"),
        ({"torque_nm": 50, "torque_tool": "by_feel"}, "torque_nm", "conflict", "by feel nobody reads a torque"),
        ({"head_seated": True}, "head_seated", "conflict", "no head that rests on the fixture"),
        ({"head_seated": "yes"}, "head_seated", "wrong_type", "true or false"),
        ({"hole_cleaned": 0}, "hole_cleaned", "wrong_type", "true or false"),
        ({"concrete_temperature_c": 10}, "concrete_temperature_c", "conflict", "set without resin"),
        ({"concrete_temperature_c": 80}, "concrete_temperature_c", "above_maximum", "at most 60"),
        ({"curing_minutes": -1}, "curing_minutes", "below_minimum", "at least 0"),
        ({"curing_minutes": 60}, "curing_minutes", "conflict", "set without resin"),
        ({"cracks_seen": 1}, "cracks_seen", "wrong_type", "true or false"),
        ({"strength_found": {"strength_mpa": 30}}, "strength_found/found_by", "required", "must be given"),
        (
            {"strength_found": {"strength_mpa": 30, "found_by": "guess"}},
            "strength_found/found_by", "not_allowed", "rebound, cores",
        ),
        ({"moved": []}, "moved", "too_few", "at least 1"),
        ({"moved": [{"index": 9, "x_mm": 0, "y_mm": 0}]}, "moved/0/index", "not_allowed", "0 to 3"),
        ({"moved": [{"index": 1, "x_mm": 0, "y_mm": 0}] * 2}, "moved/1/index", "duplicate_value", "twice"),
        ({"positions": [{"x_mm": 0, "y_mm": 0}]}, "positions", "wrong_count", "4 of them; for some of them use moved"),
        (
            {"positions": [{"x_mm": 0, "y_mm": 0}], "moved": [{"index": 0, "x_mm": 0, "y_mm": 0}]},
            "moved", "conflict", "not both",
        ),
        ({"aborted_holes": [{"x_mm": 0, "y_mm": 0}]}, "aborted_holes/0/depth_mm", "required", "must be given"),
        ({"edges": {"z_mm": 1}}, "edges/z_mm", "unknown_field", "x_minus_mm"),
        ({"weather": "wet"}, "weather", "unknown_field", "the fields are: positions"),
        ({"moved": [{"index": 0, "x_mm": 75, "y_mm": -75}]}, "", "duplicate_position", "as built, positions/1"),
        ({"moved": [{"index": 0, "x_mm": -140, "y_mm": 0}]}, "", "outside_fixture", "within 110 mm"),
        ({"edges": {"x_plus_mm": 60}}, "", "outside_member", "stands on or beyond the x_plus edge"),
    ],
)  # fmt: skip
def test_bad_input_gets_its_words(
    client: HeldClient, record: dict[str, Any], done: dict[str, Any], pointer: str, code: str, words: str
) -> None:
    response = check(client, record, **done)
    assert response.status_code == 422
    place = f"#/as_built/{pointer}".rstrip("/")
    found = [error["detail"] for error in errors_of(response) if (error["pointer"], error["code"]) == (place, code)]
    assert found, errors_of(response)
    assert words in found[0]


@pytest.mark.parametrize(
    ("body", "pointer", "code"),
    [
        ({"as_built": {}}, "#/record", "required"),
        ({"record": 5, "as_built": {}}, "#/record", "wrong_type"),
        ({"record": {"request": {}, "answer": {}}, "as_built": {}}, "#/record/request/fastener", "required"),
    ],
)
def test_without_a_record_there_is_nothing_to_check(
    client: HeldClient, body: dict[str, Any], pointer: str, code: str
) -> None:
    response = client.post(CHECKS, json=body)
    assert response.status_code == 422
    assert (pointer, code) in {(error["pointer"], error["code"]) for error in errors_of(response)}


def test_left_out_and_null_are_the_same(client: HeldClient, record: dict[str, Any]) -> None:
    said = ("positions", "moved", "embedment_mm", "torque_nm", "edges", "strength_found", "cracks_seen")
    added = ("hole_cleaned", "head_seated", "concrete_temperature_c", "curing_minutes")
    nulls = dict.fromkeys((*said, *added))
    assert check(client, record, **nulls).get_json() == check(client, record).get_json()
