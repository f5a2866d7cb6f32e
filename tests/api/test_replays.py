"""POST /v1/replays: a record as the service gave it, altered ones, and what is no record."""

import copy
import json
from typing import Any

import pytest

from tests.api.holding import HeldClient, errors_of


@pytest.fixture
def record(client: HeldClient, guardrail_post: dict[str, Any]) -> dict[str, Any]:
    answer = client.post("/v1/verifications", json=guardrail_post).get_json()
    return {"request": guardrail_post, "answer": answer}


def test_a_record_is_identical_and_still_passes(client: HeldClient, record: dict[str, Any]) -> None:
    response = client.post("/v1/replays", json=record)
    answer = response.get_json()
    assert response.status_code == 200
    assert (answer["outcome"], answer["cause"], answer["differences"]) == ("identical", None, [])
    assert answer["record"]["consistent"]
    assert answer["record"]["id"] == record["answer"]["record"]["id"]
    assert answer["today"]["passes"]
    assert answer["today"]["after"]["utilisation"] == record["answer"]["governing"]["utilisation"]


def test_white_space_and_the_order_of_keys_are_not_content(client: HeldClient, record: dict[str, Any]) -> None:
    body = json.dumps(record, indent=8, sort_keys=True)
    response = client.post("/v1/replays", data=body, content_type="application/json")
    assert response.get_json()["outcome"] == "identical"


def test_an_altered_figure_is_found_out(client: HeldClient, record: dict[str, Any]) -> None:
    used = record["answer"]["governing"]["utilisation"]
    record["answer"]["governing"]["utilisation"] = used / 4
    answer = client.post("/v1/replays", json=record).get_json()
    assert (answer["outcome"], answer["cause"]) == ("different", "altered")
    shown = {difference["pointer"]: difference for difference in answer["differences"]}
    assert shown["#/answer/governing/utilisation"]["recomputed"] == used
    assert shown["#/answer/governing/utilisation"]["relative"] == 3
    assert "altered" in answer["words"]


def test_an_altered_request_is_found_out(client: HeldClient, record: dict[str, Any]) -> None:
    record["request"]["fixing_reference"] = "PS4-rail-018"
    answer = client.post("/v1/replays", json=record).get_json()
    assert answer["cause"] == "altered"


def test_a_rulebook_that_is_not_here(client: HeldClient, record: dict[str, Any]) -> None:
    record["answer"]["rulebook"]["version"] = "2019.1.0"
    answer = client.post("/v1/replays", json=record).get_json()
    assert answer["outcome"] == "different"
    assert not answer["own_rulebook"]["known"]
    assert answer["own_rulebook"]["known_versions"] != []


def test_a_request_that_left_the_day_open(client: HeldClient, guardrail_post: dict[str, Any]) -> None:
    del guardrail_post["assessed_on"], guardrail_post["rulebook"]
    answer = client.post("/v1/verifications", json=guardrail_post).get_json()
    replayed = client.post("/v1/replays", json={"request": guardrail_post, "answer": answer}).get_json()
    assert replayed["outcome"] == "identical"


@pytest.mark.parametrize(
    ("edit", "pointer", "code"),
    [
        ({"answer": None}, "#/answer", "wrong_type"),
        ({"answer": []}, "#/answer", "wrong_type"),
        ({"answer": {}}, "#/answer/rulebook/digest", "required"),
        ({"request": {}}, "#/request/fastener", "required"),
        ({"request": 5}, "#/request", "wrong_type"),
        ({"more": 1}, "#/more", "unknown_field"),
    ],
)
def test_what_is_no_record(
    edit: dict[str, Any], pointer: str, code: str, client: HeldClient, record: dict[str, Any]
) -> None:
    response = client.post("/v1/replays", json=record | edit)
    assert response.status_code == 422
    assert (pointer, code) in {(error["pointer"], error["code"]) for error in errors_of(response)}


@pytest.mark.parametrize("member", ["rulebook", "record", "assessed_on"])
def test_an_answer_that_was_not_kept_whole(member: str, client: HeldClient, record: dict[str, Any]) -> None:
    del record["answer"][member]
    response = client.post("/v1/replays", json=record)
    assert response.status_code == 422
    assert all(error["pointer"].startswith(f"#/answer/{member}") for error in errors_of(response))
    assert {error["code"] for error in errors_of(response)} == {"required"}


STRANGE: tuple[Any, ...] = (None, True, -1, 1e308, 2**63, "", "\u202e", [], {}, [[{"a": [None]}]], {"": {"~/": 1}})


@pytest.mark.parametrize("strange", STRANGE, ids=repr)
def test_an_answer_may_hold_anything_and_nothing_breaks(
    strange: Any, client: HeldClient, record: dict[str, Any]
) -> None:
    for name in record["answer"]:
        altered = copy.deepcopy(record)
        altered["answer"][name] = strange
        response = client.post("/v1/replays", json=altered)
        assert response.status_code in {200, 422}
        if response.status_code == 200:
            assert response.get_json()["outcome"] == "different" or record["answer"][name] == strange


def test_an_answer_that_nests_without_end(client: HeldClient, record: dict[str, Any]) -> None:
    body = json.dumps(record).replace('"verdict": "verified"', '"verdict": ' + "[" * 900 + "]" * 900)
    response = client.post("/v1/replays", data=body, content_type="application/json")
    assert response.status_code == 422
    assert errors_of(response)[0]["code"] == "nested_too_deep"


def test_a_body_that_is_too_large(client: HeldClient, record: dict[str, Any]) -> None:
    record["answer"]["fixing_reference"] = "x" * 1024 * 1024
    assert client.post("/v1/replays", json=record).status_code == 413
