"""As-built checks over HTTP: records, the new record, bad inputs with their words."""

import json
from typing import Any

import pytest

from service.contract.built import AbortedHole, BuiltBefore
from service.rulebook.schemas import validators
from tests.api.holding import ROOT, HeldClient, errors_of

CHECKS = "/v1/as-built-checks"
VERIFICATIONS = "/v1/verifications"


@pytest.fixture
def record(client: HeldClient, guardrail_post: dict[str, Any]) -> dict[str, Any]:
    """A record as its keeper has it."""
    return {"request": guardrail_post, "answer": client.post(VERIFICATIONS, json=guardrail_post).get_json()}


HOLES = {"clearance": "normal"}
AROUND = {"edges": {"x_plus_mm": 200}, "hole": "dry", "material": "normal_weight_concrete", "bare_concrete": True}
SHOWN = {"torque_nm": 52, "torque_tool": "calibrated_wrench", "nominal_embedment_mm": 87, **AROUND}
NONE: dict[str, Any] = {"moved": [], "aborted_holes": []}


def check(client: HeldClient, record: Any, **done: Any) -> Any:
    return client.post(CHECKS, json={"record": record, "as_built": done})


def test_a_record_built_as_verified(client: HeldClient, record: dict[str, Any]) -> None:
    answer = check(client, record, **NONE, **SHOWN).get_json()
    assert answer["verdict"] == "verified"
    assert answer["came_from_record"] == record["answer"]["record"]["id"]


def test_nothing_said_is_not_shown(client: HeldClient, record: dict[str, Any]) -> None:
    answer = check(client, record).get_json()
    assert answer["verdict"] == "not_shown"
    assert answer["record"] is None
    assert {entry["met"] for entry in answer["as_built_requirements"]} == {None}
    assert {"set_depth", "torque"} <= {entry["code"] for entry in answer["not_measured"]}


def test_the_new_record_is_one_and_may_be_checked_again(client: HeldClient, record: dict[str, Any]) -> None:
    moved = {"moved": [{"number": 1, "x_mm": -85, "y_mm": -75}], "aborted_holes": []}
    first = check(client, record, **moved, **HOLES, **SHOWN).get_json()
    assert client.post("/v1/replays", json=first["record"]).get_json()["outcome"] == "identical"
    second = check(client, first["record"], torque_nm=52).get_json()
    assert second["came_from_record"] == first["record"]["answer"]["record"]["id"]
    sheet = client.post("/v1/installation-sheets", json={"fixings": [second["record"]]})
    assert sheet.status_code == 200


@pytest.mark.parametrize("number", [1, 2, 3, 4])
def test_one_number_names_one_fastener_wherever_people_read(
    client: HeldClient, record: dict[str, Any], number: int
) -> None:
    stood = record["request"]["positions"][number - 1]
    place = {"x_mm": stood["x_mm"] * 1.1, "y_mm": stood["y_mm"]}
    answer = check(client, record, moved=[{"number": number, **place}], aborted_holes=[], **HOLES, **SHOWN).get_json()
    assert answer["record"]["request"]["positions"][number - 1] == place
    anew = check(client, record, replaced_numbers=[number], **SHOWN).get_json()
    (unsaid,) = [one for one in anew["as_built_requirements"] if "in another hole than verified" in one["detail"]]
    assert f"fastener {number};" in unsaid["detail"]
    full = client.post(VERIFICATIONS, json=answer["record"]["request"] | {"detail": "full"}).get_json()
    for check_made in full["checks"]:
        assert set(check_made["fastener_numbers"]) <= {1, 2, 3, 4}
    assert all([one["number"] for one in case["fasteners"]] == [1, 2, 3, 4] for case in full["fastener_forces"])
    sheet = client.post("/v1/installation-sheets", json={"fixings": [answer["record"]]}).get_json()
    (drawn,) = [one for one in sheet["fixings"][0]["places"] if one["number"] == number]
    assert (drawn["x"]["value"], drawn["y"]["value"]) == (place["x_mm"], place["y_mm"])


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
        ({"embedment_mm": 60, "nominal_embedment_mm": 72}, "nominal_embedment_mm", "conflict", "not both"),
        ({"nominal_embedment_mm": "82"}, "nominal_embedment_mm", "wrong_type", "a number"),
        ({"coldest_until_cured_c": 5}, "coldest_until_cured_c", "conflict", "set without resin"),
        ({"set_within_working_time": True}, "set_within_working_time", "conflict", "set without resin"),
        ({"sleeve_expanded": True}, "sleeve_expanded", "conflict", "only a drop-in"),
        ({"mark_shows": True}, "mark_shows", "conflict", "only an undercut"),
        ({"drilling": "teeth"}, "drilling", "not_allowed", "must be one of hammer"),
        ({"installer": "teeth"}, "installer", "not_allowed", "must be one of trained"),
        ({"stand_off_mm": -1}, "stand_off_mm", "below_minimum", "at least 0"),
        ({"grout": {"thickness_mm": 501}}, "grout/thickness_mm", "above_maximum", "at most 500"),
        (
            {"aborted_holes": [{"x_mm": 300, "y_mm": 0, "depth_mm": 30}]},
            "aborted_holes/0/x_mm", "outside_member", "no concrete: measure again",
        ),
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
        ({"moved": [{"number": 10, "x_mm": 0, "y_mm": 0}]}, "moved/0/number", "no_such_fastener", "1 to 4"),
        ({"moved": [{"number": 2, "x_mm": 0, "y_mm": 0}] * 2}, "moved/1/number", "duplicate_value", "twice"),
        ({"positions": [{"x_mm": 0, "y_mm": 0}]}, "positions", "wrong_count", "4 of them; for some of them use moved"),
        (
            {"positions": [{"x_mm": 0, "y_mm": 0}], "moved": [{"number": 1, "x_mm": 0, "y_mm": 0}]},
            "moved", "conflict", "not both",
        ),
        ({"aborted_holes": [{"x_mm": 0, "y_mm": 0}]}, "aborted_holes/0/depth_mm", "required", "must be given"),
        ({"edges": {"z_mm": 1}}, "edges/z_mm", "unknown_field", "x_minus_mm"),
        ({"edges": {"x_plus_mm": 200}, "nearest_edges": {"x_plus_mm": 125}}, "nearest_edges", "conflict", "not both"),
        ({"nearest_edges": {"x_plus_mm": 0}}, "nearest_edges/x_plus_mm", "below_minimum", "at least 1"),
        ({"moved": [{"number": 0, "x_mm": 0, "y_mm": 0}]}, "moved/0/number", "below_minimum", "numbered from 1"),
        ({"moved": [{"index": 1, "x_mm": 0, "y_mm": 0}]}, "moved/0/index", "renamed_field", "what was 0 is 1"),
        ({"replaced": [2]}, "replaced", "renamed_field", "is replaced_numbers now"),
        ({"replaced_numbers": [0]}, "replaced_numbers/0", "below_minimum", "numbered from 1"),
        ({"replaced_numbers": [5]}, "replaced_numbers/0", "no_such_fastener", "fasteners 1 to 4"),
        ({"replaced_numbers": [2, 2]}, "replaced_numbers", "duplicate_value", "twice"),
        ({"resin_filled": True}, "resin_filled", "conflict", "set without resin"),
        ({"weather": "wet"}, "weather", "unknown_field", "the fields are: "),
        ({"moved": [{"number": 1, "x_mm": 75, "y_mm": -75}]}, "moved/0", "duplicate_position", "fasteners 1 and 2"),
        ({"moved": [{"number": 1, "x_mm": -140, "y_mm": 0}]}, "moved/0/x_mm", "outside_fixture", "within 110 mm"),
        ({"moved": [{"number": 1, "x_mm": -140, "y_mm": 0}]}, "moved/0/x_mm", "outside_fixture", "Do not load it"),
        ({"edges": {"x_plus_mm": 60}}, "edges/x_plus_mm", "outside_member", "stands on or beyond the x_plus edge"),
        ({"edges": {"x_plus_mm": 60}}, "edges/x_plus_mm", "outside_member", "Do not load it"),
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
    ("done", "figures"),
    [
        ({"moved": [{"number": 0, "x_mm": 0, "y_mm": 0}]}, {"minimum": 1}),
        ({"missing_numbers": [0]}, {"minimum": 1}),
        ({"shallow_numbers": [1]}, {"fields": ["nominal_embedment_mm", "embedment_mm", "hole_depth_mm"]}),
        (
            {"shallow_numbers": [1], "hole_depth_mm": 90, "missing_numbers": [1], "undrilled_numbers": [1]},
            {"fields": ["missing_numbers"]},
        ),
        ({"moved": [{"index": 1, "x_mm": 0, "y_mm": 0, "number": 2}]}, {"new_fields": ["number"]}),
        ({"replaced": [2]}, {"new_fields": ["replaced_numbers"]}),
        ({"installed": {"family": "bolt-expansion-stainless", "size": "M10"}}, {"fields": ["installed"]}),
    ],
)
def test_bad_input_gets_its_figures(
    client: HeldClient, record: dict[str, Any], done: dict[str, Any], figures: dict[str, Any]
) -> None:
    [error] = errors_of(check(client, record, **done))
    assert error["figures"] == figures


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
    added = (
        "hole_cleaned", "head_seated", "concrete_temperature_c", "curing_minutes", "coldest_until_cured_c", "drilling",
        "installer", "stand_off_mm", "grout", "nominal_embedment_mm", "sleeve_expanded", "mark_shows", "aborted_holes",
        "set_within_working_time", "resin_filled", "nearest_edges", "replaced_numbers",
    )  # fmt: skip
    nulls = dict.fromkeys((*said, *added))
    assert check(client, record, **nulls).get_json() == check(client, record).get_json()


def test_a_stand_off_needs_the_thickness_of_the_fixture(client: HeldClient, guardrail_post: dict[str, Any]) -> None:
    fixture = {name: guardrail_post["fixture"][name] for name in ("width_mm", "depth_mm")}
    [error] = errors_of(check(client, guardrail_post | {"fixture": fixture}, stand_off_mm=5, **SHOWN))
    assert (error["code"], error["pointer"]) == ("required", "#/as_built/fixture_thickness_mm")


def test_aborted_holes_beyond_what_a_record_keeps_are_refused(client: HeldClient, record: dict[str, Any]) -> None:
    holes = [{"x_mm": -1000 - number, "y_mm": 0, "depth_mm": 1} for number in range(500)]
    kept = record["request"] | {"built": {"aborted_holes": holes}}
    [error] = errors_of(check(client, kept, aborted_holes=[{"x_mm": -900, "y_mm": 0, "depth_mm": 1}]))
    assert (error["code"], error["pointer"]) == ("too_many", "#/as_built/aborted_holes")


def test_an_empty_list_says_that_there_are_none(client: HeldClient, record: dict[str, Any]) -> None:
    answer = check(client, record, **NONE, **SHOWN).get_json()
    assert answer["verdict"] == "verified"
    assert not {"positions", "aborted_holes"} & {entry["code"] for entry in answer["not_measured"]}


def test_every_position_may_be_said_and_is_pointed_to(client: HeldClient, record: dict[str, Any]) -> None:
    positions = [dict(place) for place in record["request"]["positions"]]
    positions[2]["x_mm"] = -140
    [error] = errors_of(check(client, record, positions=positions, **SHOWN))
    assert error["pointer"] == "#/as_built/positions/2/x_mm"


def test_what_was_found_stands_in_the_new_record_and_in_the_next_check(
    client: HeldClient, record: dict[str, Any]
) -> None:
    far = {"x_mm": 0, "y_mm": 0, "depth_mm": 20}
    first = check(client, record, moved=[], aborted_holes=[far], **SHOWN).get_json()
    assert first["record"]["request"]["built"]["aborted_holes"] == [far]
    assert list(validators()["record"].iter_errors(first["record"])) == []
    near = check(client, first["record"], moved=[{"number": 4, "x_mm": 10, "y_mm": 10}], **SHOWN).get_json()
    assert near["verdict"] != "verified"
    assert near["record"] is None
    assert any("aborted hole at x 0" in entry["detail"] for entry in near["as_built_requirements"])


def test_what_earlier_checks_found_is_not_calculated_with(client: HeldClient, guardrail_post: dict[str, Any]) -> None:
    built = {"hole_depth_mm": 300, "torque_nm": 5, "measured": ["torque"], "head_seated": None}
    plain, kept = (
        client.post(VERIFICATIONS, json=body).get_json() for body in (guardrail_post, guardrail_post | {"built": built})
    )
    assert kept["record"]["id"] != plain["record"]["id"]
    assert {**kept, "record": None} == {**plain, "record": None}


@pytest.mark.parametrize(
    ("built", "pointer", "code"),
    [
        ({"weather": "wet"}, "weather", "unknown_field"),
        ({"torque_nm": "50"}, "torque_nm", "wrong_type"),
        ({"measured": ["weather"]}, "measured/0", "not_allowed"),
        ({"measured": ["torque", "torque"]}, "measured", "duplicate_value"),
        ({"nominal_embedment_mm": 82}, "nominal_embedment_mm", "unknown_field"),
        ({"aborted_holes": [{"x_mm": 0, "y_mm": 0}]}, "aborted_holes/0/depth_mm", "required"),
    ],
)
def test_what_earlier_checks_found_is_read_strictly(
    client: HeldClient, guardrail_post: dict[str, Any], built: dict[str, Any], pointer: str, code: str
) -> None:
    response = client.post(VERIFICATIONS, json=guardrail_post | {"built": built})
    assert response.status_code == 422
    assert (f"#/built/{pointer}", code) in [(error["pointer"], error["code"]) for error in errors_of(response)]


def test_the_schema_of_records_keeps_what_the_contract_has() -> None:
    kept = json.loads((ROOT / "schemas" / "record.schema.json").read_text("utf-8"))["$defs"]
    assert "built" in kept["request"]["properties"]
    assert kept["BuiltBefore"]["properties"].keys() == BuiltBefore().fields.keys()
    assert kept["AbortedHole"]["properties"].keys() == AbortedHole().fields.keys()
