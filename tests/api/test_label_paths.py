"""Labels and site reductions over HTTP, and bad inputs each with its words."""

# A case a row: the table is read down its columns.
# ruff: noqa: E501

import copy
from typing import Any

import pytest

from service.contract.labels import BY_FEEL, FRAME_FIXING, OLD_BOX, OLD_BOX_LOOKED_AT, OWN_SCREW
from tests.api.holding import HeldClient, errors_of

LABELS = "/v1/labels"
SITE_REDUCTIONS = "/v1/site-reductions"


def test_a_frame_fixing_is_read(client: HeldClient) -> None:
    found = client.post(LABELS, json=FRAME_FIXING).get_json()
    assert found["applied"]["within"] == "stay_below"
    assert found["figures"][0]["units_agree"] is True
    assert found["assessed_on"] == "2026-11-25"


def test_a_figure_on_a_box_is_worth_little(client: HeldClient) -> None:
    found = client.post(LABELS, json=OLD_BOX).get_json()
    assert found["permissible"] is None
    assert [reason["code"] for reason in found["void"]] == [
        "own_screw_not_known", "base_material_not_known", "state_not_known", "site_below_floor"
    ]  # fmt: skip
    found = client.post(LABELS, json=OLD_BOX_LOOKED_AT).get_json()
    assert found["permissible"]["stay_below_kn"] < 3.2 / 20
    assert "demonstration_data" in {caution["code"] for caution in found["cautions"]}


def test_another_screw_gives_no_number(client: HeldClient) -> None:
    found = client.post(LABELS, json=OWN_SCREW).get_json()
    assert found["permissible"] is None
    assert [reason["code"] for reason in found["void"]] == ["own_screw"]


def test_the_site_reduction_is_the_one_of_a_verification(client: HeldClient, guardrail_post: dict[str, Any]) -> None:
    guardrail_post["site"]["torque_control"] = "by_feel"
    verified = client.post("/v1/verifications", json=guardrail_post).get_json()
    asked = {"site": guardrail_post["site"], "family": guardrail_post["fastener"]["family"]}
    explained = client.post(SITE_REDUCTIONS, json=asked).get_json()
    assert explained["site_reduction"] == verified["site_reduction"]
    assert [one["words"].endswith("+11 %") for one in explained["improvements"]] == [True]


def test_family_and_mechanism_come_to_the_same(client: HeldClient) -> None:
    by_family = client.post(SITE_REDUCTIONS, json={"site": BY_FEEL["site"], "family": "bolt-expansion-stainless"})
    by_mechanism = client.post(SITE_REDUCTIONS, json=BY_FEEL)
    assert by_family.get_json() == by_mechanism.get_json()


def test_a_site_that_nobody_knows_comes_to_the_floor_and_says_so(client: HeldClient) -> None:
    found = client.post(SITE_REDUCTIONS, json={"mechanism": "bonded"}).get_json()
    assert found["site_reduction"]["below_floor"] is True
    assert "site_reduction_floor" in {caution["code"] for caution in found["cautions"]}
    assert len(found["assumptions"]) == 5


def bad(path: str, change: dict[str, Any], pointer: str, code: str, words: str) -> Any:
    return pytest.param(path, change, pointer, code, words, id=f"{path[4:]}-{pointer[2:]}-{code}")


@pytest.mark.parametrize(
    ("path", "change", "pointer", "code", "words"),
    [
        bad(LABELS, {"figures": []}, "#/figures", "too_few", "must have at least 1 entry"),
        bad(LABELS, {"figures": [{"meaning": "mean_ultimate"}]}, "#/figures/0/value_kn", "required", "one of value_kn, value_kg, value_lb must be given"),
        bad(LABELS, {"figures": [{"value_kn": 0}]}, "#/figures/0/value_kn", "below_minimum", "must be at least 0.001"),
        bad(LABELS, {"figures": [{"value_kn": True}]}, "#/figures/0/value_kn", "wrong_type", "must be a number"),
        bad(LABELS, {"figures": [{"meaning": "safe", "value_kn": 1}]}, "#/figures/0/meaning", "not_allowed", "must be one of: characteristic, mean_ultimate, recommended, unknown"),
        bad(LABELS, {"figures": [{"value_lbs": 1, "value_kn": 1}]}, "#/figures/0/value_lbs", "unknown_field", "not a field here; the fields are:"),
        bad(LABELS, {"european_assessment": True}, "#/european_assessment", "wrong_type", "must be a text"),
        bad(LABELS, {"mechanism": "nail"}, "#/mechanism", "not_allowed", "must be one of: torque_controlled_expansion,"),
        bad(LABELS, {"base_material": "wood"}, "#/base_material", "not_allowed", "must be one of: concrete, normal_weight_concrete,"),
        bad(LABELS, {"concrete_state": "wet"}, "#/concrete_state", "not_allowed", "must be one of: cracked, uncracked, unknown"),
        bad(LABELS, {"cracked_concrete_covered": True}, "#/cracked_concrete_covered", "wrong_type", "must be a text"),
        bad(LABELS, {"own_screw_used": "no"}, "#/own_screw_used", "wrong_type", "must be true or false"),
        bad(LABELS, {"applied": {}}, "#/applied/value_kn", "required", "one of value_kn, value_kg, value_lb must be given"),
        bad(LABELS, {"site": {"weather": "dry"}}, "#/site/weather", "unknown_field", "no such site condition; the conditions are: torque_control,"),
        bad(LABELS, {"site": {"installer": "me"}}, "#/site/installer", "not_allowed", "must be one of trained, supervised, unknown"),
        bad(LABELS, {"label": {"hole_depth_mm": 0}}, "#/label/hole_depth_mm", "below_minimum", "must be at least 1"),
        bad(LABELS, {"proof": {"hole": 1}}, "#/proof/hole", "wrong_type", "must be true or false"),
        bad(LABELS, {"rulebook": "1999.1.0"}, "#/rulebook", "unknown_version", "no such version"),
        bad(SITE_REDUCTIONS, {"family": "bolt-expansion-stainless"}, "#/mechanism", "conflict", "give family or mechanism, not both"),
        bad(SITE_REDUCTIONS, {"mechanism": None}, "#/family", "required", "family or mechanism must be given"),
        bad(SITE_REDUCTIONS, {"mechanism": None, "family": "nail"}, "#/family", "unknown_family", "unknown; known are"),
        bad(SITE_REDUCTIONS, {"site": {"torque_control": "guess"}}, "#/site/torque_control", "not_allowed", "must be one of calibrated_wrench,"),
        bad(SITE_REDUCTIONS, {"site": []}, "#/site", "wrong_type", "must be an object"),
    ],
)  # fmt: skip
def test_bad_inputs_are_refused_with_words_that_help(
    client: HeldClient, path: str, change: dict[str, Any], pointer: str, code: str, words: str
) -> None:
    value = copy.deepcopy(FRAME_FIXING if path == LABELS else BY_FEEL) | change
    response = client.post(path, json=value)
    assert response.status_code == 422
    [found] = [error for error in errors_of(response) if (error["pointer"], error["code"]) == (pointer, code)]
    assert found["detail"].startswith(words)
