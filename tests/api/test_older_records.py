"""Records of older versions of the contract over HTTP: they replay, and sheets and as-built checks take them."""

import json
from typing import Any

import pytest
from flask import Flask
from werkzeug.test import TestResponse

from service.api import create_app
from service.contract.recorded import asked_today
from service.verification.record import record_id
from tests.api.conftest import TODAY
from tests.api.holding import ROOT, Contract, HeldClient, errors_of
from tests.shipped import FORMER

FILE = ROOT / "tests" / "audit" / "records_of_version_1.json"
KEPT = json.loads(FILE.read_text("utf-8"))["records"]
VERIFIED = [kept for kept in KEPT if kept["answer"]["verdict"] == "verified"]


BELOW_FLOOR = "bonded, unknown site"
"""The floor of the site factors no longer stands in their place, so nothing passes there."""
ASSERTED = "simplified method"
"""It comes out as it was; what it rests on, a redundancy that is only called so, carries no new work."""
NOT_SHOWN_STIFF = {"pulls on site", "stand-off", "guardrail post, whole working"}
"""Nobody told what stands on their plates, or in which shape; neither was asked, or no more than a caution."""
CALCULATED_OTHERWISE = {BELOW_FLOOR, *NOT_SHOWN_STIFF, "outside the method", "frame on grout"}
"""Even pulls count with a tenth of scatter now, so other figures come out and nobody builds on the record; a group in
clearance holes near an edge has figures; pressure bends a plate wherever it acts beyond what is attached; a load grows
no further than the plate stays stiff."""


@pytest.fixture(scope="module")
def former() -> Flask:
    """The service on the releases by which those records were made."""
    return create_app(FORMER, clock=lambda: TODAY)


@pytest.fixture
def older(former: Flask, contract: Contract) -> HeldClient:
    held = HeldClient(former, TestResponse, use_cookies=False)
    held.contract = contract
    return held


def record_of(kept: dict[str, Any]) -> dict[str, Any]:
    return {"request": kept["request"], "answer": kept["answer"]}


@pytest.mark.parametrize("kept", KEPT, ids=lambda kept: kept["name"])
def test_it_replays(kept: dict[str, Any], older: HeldClient) -> None:
    answer = older.post("/v1/replays", json=record_of(kept)).get_json()
    assert answer["outcome"] in (
        {"different"} if kept["name"] in CALCULATED_OTHERWISE else {"identical", "same_figures"}
    )
    assert (answer["record"]["contract_version"], answer["record"]["contract_version_now"]) == (1, 2)
    assert answer["record"]["consistent"]


@pytest.mark.parametrize("kept", VERIFIED, ids=lambda kept: kept["name"])
def test_a_sheet_is_made_of_it_and_names_its_id(kept: dict[str, Any], older: HeldClient) -> None:
    response = older.post("/v1/installation-sheets", json={"fixings": [record_of(kept)]})
    if kept["name"] in CALCULATED_OTHERWISE:
        assert [error["code"] for error in errors_of(response)] == ["record_not_reproduced"]
        anew = older.post("/v1/installation-sheets", json={"fixings": [asked_today(kept["request"])]})
        if kept["name"] == BELOW_FLOOR:
            assert "improve the site first" in errors_of(anew)[0]["detail"]
        elif kept["name"] in NOT_SHOWN_STIFF:
            assert "plate not shown to be stiff" in errors_of(anew)[0]["detail"]
        else:
            assert anew.status_code == 200
        return
    if kept["name"] == ASSERTED:
        assert response.status_code == 409
        said = " ".join(error["detail"] for error in errors_of(response))
        assert "redundant" in said
        return
    assert response.status_code == 200, response.get_json()
    [fixing] = response.get_json()["fixings"]
    assert fixing["proof"]["record_id"] == kept["answer"]["record"]["id"]


@pytest.mark.parametrize("kept", VERIFIED, ids=lambda kept: kept["name"])
def test_what_was_done_is_held_against_it(kept: dict[str, Any], older: HeldClient) -> None:
    response = older.post("/v1/as-built-checks", json={"record": record_of(kept), "as_built": {"hole_cleaned": True}})
    if kept["name"] in CALCULATED_OTHERWISE:
        assert [error["code"] for error in errors_of(response)] == ["record_not_reproduced"]
        return
    assert response.status_code == 200, response.get_json()
    assert response.get_json()["came_from_record"] == kept["answer"]["record"]["id"]


def test_a_sheet_shows_no_words_that_somebody_put_into_a_record(
    client: HeldClient, guardrail_post: dict[str, Any]
) -> None:
    """The id does not cover sentences, so a sheet is made of those that come out."""
    answer = client.post("/v1/verifications", json=guardrail_post).get_json()
    true = client.post("/v1/installation-sheets", json={"fixings": [guardrail_post]}).get_json()
    for caution in answer["cautions"]:
        caution["text"] = "Nothing to beware of."
    answer["fastener"]["title"] = "Another fastener"
    assert answer["record"]["id"] == record_id(guardrail_post, answer, answer["rulebook"]["digest"])
    record = {"request": guardrail_post, "answer": answer}
    assert client.post("/v1/installation-sheets", json={"fixings": [record]}).get_json() == true
    replayed = client.post("/v1/replays", json=record).get_json()
    assert (replayed["outcome"], replayed["cause"]) == ("same_figures", "reworded")
