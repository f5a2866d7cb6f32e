"""Verifying and sizing over HTTP: the published examples, the reference fixings, and what the service fills in."""

import copy
import json
from pathlib import Path
from typing import Any

import pytest
from flask import Flask

from service.contract.coherence import KINDS_OF_FIELDS
from service.contract.document import build
from service.contract.fields import LEFT_OUT
from service.contract.paths_stated import paths
from service.contract.site_tests import PIPE_ON_UNKNOWN_WALL
from service.contract.sizing import GUARDRAIL_POST_FREE_HOLES, PIPE_HANGER_FIXED_HOLES
from service.contract.verification import GUARDRAIL_POST, LEAST_GIVEN
from service.engine.en1992_1_1 import STRENGTH_CLASSES
from service.rulebook.schemas import validators
from service.site.load_models import load_cases
from service.verification.record import record_id
from tests.api.conftest import TODAY
from tests.api.holding import ROOT, HeldClient, errors_of
from tests.shipped import shipped_rules

VERIFICATIONS = "/v1/verifications"
SIZINGS = "/v1/sizings"
IDENTITY = ("Rulebook-Version", "Rulebook-Digest")
EXAMPLES = [
    pytest.param(operation.path, example["value"], id=f"{operation.name}: {name}")
    for operation in paths()
    for name, example in operation.examples.items()
]
REFERENCES = sorted((ROOT / "rules" / "reference").glob("*.json"))


@pytest.mark.parametrize(("path", "example"), EXAMPLES)
def test_published_example_is_answered(client: HeldClient, path: str, example: dict[str, Any]) -> None:
    response = client.post(path, json=example)
    assert response.status_code == 200
    # A replay tells of two rulebooks, the record's and today's, and names neither as its own.
    rulebook = response.get_json().get("rulebook") or client.get("/health/ready").get_json()["rulebook"]
    assert [response.headers[name] for name in IDENTITY] == [rulebook["version"], rulebook["digest"]]


def test_every_operation_with_a_body_or_parameters_has_an_example() -> None:
    for operation in paths():
        assert operation.examples or not operation.body
        assert operation.query_examples or not operation.query
        assert all(parameter.example for parameter in operation.path_parameters)


def test_published_parameters_are_answered(client: HeldClient) -> None:
    for operation in paths():
        if operation.method == "GET":
            path = operation.path.format(**{p.name: p.example for p in operation.path_parameters})
            assert client.get(path, query_string=operation.query_examples).status_code == 200


@pytest.mark.parametrize("path", REFERENCES, ids=lambda path: path.stem)
def test_reference_fixing_is_a_request_of_the_contract(client: HeldClient, path: Path) -> None:
    reference = json.loads(path.read_text(encoding="utf-8"))
    assert client.post(VERIFICATIONS, json=reference["request"]).status_code == 200


def test_verification_comes_to_the_same_when_sent_again(client: HeldClient, guardrail_post: dict[str, Any]) -> None:
    first, second = (client.post(VERIFICATIONS, json=guardrail_post).data for _ in range(2))
    assert first == second


def test_key_order_and_white_space_leave_the_record_as_it_is(
    client: HeldClient, guardrail_post: dict[str, Any]
) -> None:
    plain = client.post(VERIFICATIONS, json=guardrail_post).get_json()
    other = json.dumps(dict(reversed(guardrail_post.items())), indent=3)
    turned = client.post(VERIFICATIONS, data=other, content_type="application/json; charset=UTF-8").get_json()
    assert turned["record"] == plain["record"]


def test_only_full_detail_carries_the_trace(client: HeldClient, guardrail_post: dict[str, Any]) -> None:
    full = client.post(VERIFICATIONS, json=guardrail_post).get_json()
    short = client.post(VERIFICATIONS, json=guardrail_post | {"detail": "summary"}).get_json()
    assert all(check["trace"] for check in full["checks"])
    assert not any("trace" in check for check in short["checks"])


def test_day_left_out_is_today_and_listed_as_an_assumption(client: HeldClient, guardrail_post: dict[str, Any]) -> None:
    del guardrail_post["assessed_on"]
    answer = client.post(VERIFICATIONS, json=guardrail_post).get_json()
    assert answer["assessed_on"] == TODAY.isoformat()
    assert "#/assessed_on" in {assumption["pointer"] for assumption in answer["assumptions"]}


def test_day_given_is_no_assumption(client: HeldClient, guardrail_post: dict[str, Any]) -> None:
    answer = client.post(VERIFICATIONS, json=guardrail_post | {"assessed_on": "2026-06-01"}).get_json()
    assert answer["assessed_on"] == "2026-06-01"
    assert "#/assessed_on" not in {assumption["pointer"] for assumption in answer["assumptions"]}


def test_day_before_any_version_is_in_force_is_refused(client: HeldClient, guardrail_post: dict[str, Any]) -> None:
    del guardrail_post["rulebook"]
    response = client.post(VERIFICATIONS, json=guardrail_post | {"assessed_on": "2019-01-01"})
    assert response.status_code == 422
    assert [(e["code"], e["pointer"]) for e in errors_of(response)] == [("no_version_in_force", "#/assessed_on")]


def test_sizing_without_a_day_is_sized_for_today(client: HeldClient, free_holes: dict[str, Any]) -> None:
    del free_holes["assessed_on"]
    assert client.post(SIZINGS, json=free_holes).get_json()["assessed_on"] == TODAY.isoformat()


def test_choice_posts_back_unchanged_with_the_same_utilisation(client: HeldClient, free_holes: dict[str, Any]) -> None:
    choices = client.post(SIZINGS, json=free_holes).get_json()["choices"]
    assert choices
    for choice in choices:
        answer = client.post(VERIFICATIONS, json=choice["request"]).get_json()
        assert answer["verdict"] == "verified"
        assert answer["governing"]["utilisation"] == choice["utilisation"]


def test_no_choice_is_a_normal_answer(client: HeldClient, free_holes: dict[str, Any]) -> None:
    free_holes["load_cases"][0]["normal_kn"] = 9000
    response = client.post(SIZINGS, json=free_holes)
    assert response.status_code == 200
    assert response.get_json()["choices"] == []
    assert response.get_json()["rejected"]


def test_a_whole_number_may_be_written_with_a_point(client: HeldClient, free_holes: dict[str, Any]) -> None:
    plain = client.post(SIZINGS, json=free_holes | {"max_choices": 1}).get_json()
    free_holes["pattern"]["x"]["counts"] = [1.0, 2.0]
    assert client.post(SIZINGS, json=free_holes | {"max_choices": 1.0}).get_json() == plain


def _optional_fields(schema: str) -> list[tuple[tuple[str | int, ...], dict[str, Any]]]:
    """List the fields of a request that may be left out, those of the first load case with them."""
    schemas = build()["components"]["schemas"]

    def fields_of(name: str, path: tuple[str | int, ...]) -> list[tuple[tuple[str | int, ...], dict[str, Any]]]:
        found = []
        for field, facts in schemas[name].get("properties", {}).items():
            if field not in schemas[name].get("required", []):
                found.append(((*path, field), facts))
            options = [facts, *facts.get("anyOf", []), facts.get("items", {})]
            inner = next((o["$ref"].rpartition("/")[2] for o in options if "$ref" in o), None)
            if inner:
                found += fields_of(inner, (*path, field, 0) if "items" in facts else (*path, field))
        return found

    return fields_of(schema, ())


OPTIONAL = _optional_fields("VerificationRequest")
ONLY_OF_SIZINGS = [
    (path, facts)
    for path, facts in _optional_fields("SizingRequest")
    if path[0] in {"limits", "max_choices", "pattern"} or path == ("fixture", "centre", "x_mm")
]


def _named(path: tuple[str | int, ...], *rest: Any) -> Any:
    return pytest.param(path, *rest, id=".".join(map(str, path)))


DEFAULTS = [_named(path, facts[LEFT_OUT]) for path, facts in OPTIONAL if LEFT_OUT in facts]
# A load case of the examples is a design one, and positions or pattern has to be there.
# A pull and a point have to have one reading: that of the base below.
READINGS = (
    ("site_test", "tests", "pulls", 0, "reading_kn"),
    ("site_test", "tests", "gauge", "points", 0, "reading_kn"),
)
NULLABLE = [_named(path) for path, _ in OPTIONAL if path not in READINGS]
SITE_CONDITIONS = sorted(GUARDRAIL_POST["site"])


def _on_levelling_nuts() -> dict[str, Any]:
    """Change the example to one with a lever arm, where rotation and washer matter."""
    request = copy.deepcopy(GUARDRAIL_POST)
    request["fixture"]["stand_off_mm"] = 25
    request["load_cases"][0] |= {"normal_kn": 8, "moment_y_knm": 0.1}
    return request


BASES = [pytest.param(GUARDRAIL_POST, id="in contact"), pytest.param(_on_levelling_nuts(), id="stand-off")]


def _by_pulls_on_site() -> dict[str, Any]:
    """Change the example by pulls on site to readings in kN, which need no calibration table."""
    request = copy.deepcopy(PIPE_ON_UNKNOWN_WALL)
    tests = request["site_test"]["tests"]
    tests["gauge"]["points"] = [{"reading_kn": 0, "load_kn": 0}, {"reading_kn": 100, "load_kn": 98}]
    tests["pulls"] = [{"name": f"T{n}", "reading_kn": kn, "failure": "pull_out"} for n, kn in enumerate(range(18, 24))]
    return request


def _base_of(path: tuple[str | int, ...]) -> dict[str, Any]:
    """Choose the request in which a field may be left out by itself."""
    return _by_pulls_on_site() if path[0] == "site_test" and len(path) > 1 else GUARDRAIL_POST


def _two_actions(path: tuple[str | int, ...]) -> list[dict[str, Any]]:
    """Two actions, the first of a kind that has the field."""
    kind = "permanent" if path[-1] in KINDS_OF_FIELDS and "permanent" in KINDS_OF_FIELDS[str(path[-1])] else "variable"
    first = {"name": "first", "kind": kind, "normal_kn": 1, "shear_x_kn": 0.5}
    return [first, {"name": "second", "kind": "variable", "moment_y_knm": 0.2}]


def _loads_told_without(field: str) -> dict[str, Any]:
    """Loads that follow from what a load model was told, first an input of which a field says nothing."""
    post = {"mounting": "top", "category": "A", "rail_height_mm": 1000, "post_spacing_mm": 1500}
    found = load_cases("guardrail_post", post | {"assessed_on": GUARDRAIL_POST["assessed_on"]}, shipped_rules())
    source = found["loads_from"]
    told = sorted(source["told"], key=lambda one: one.get(field) not in {None, False})
    return {"load_cases": found["load_cases"], "loads_from": [source | {"told": told}]}


def _with_and_without(
    base: dict[str, Any], path: tuple[str | int, ...], value: Any
) -> tuple[dict[str, Any], dict[str, Any]]:
    """Write a request once with a value at the path and once without the field."""
    given, left_out = copy.deepcopy(base), copy.deepcopy(base)
    for request in (given, left_out):
        if path == ("load_cases",) or path[:2] == ("actions", 0):
            request["actions"] = _two_actions(path)
            del request["load_cases"]
        if path[:2] == ("built", "aborted_holes") and len(path) > 2:
            request["built"] = {"aborted_holes": [{"x_mm": 0, "y_mm": 0, "depth_mm": 20}]}
        if path[0] == "neighbours" and len(path) > 2:
            request["neighbours"] = [{"x_mm": 150, "y_mm": 400}]
        if path[0] == "loads_from" and len(path) > 2:
            request |= _loads_told_without(str(path[-1]))
        if path[:2] == ("member", "topping") and len(path) > 2:
            request["member"]["topping"] = {"kind": "screed", "thickness_mm": 20}
        place: Any = request
        for step in path[:-1]:
            place = place[step] if isinstance(step, int) else place.setdefault(step, {})
        if request is given:
            place[path[-1]] = value
        else:
            place.pop(path[-1], None)
    return given, left_out


def _calculated(client: HeldClient, request: dict[str, Any]) -> dict[str, Any]:
    """Verify, and keep what was calculated; record and assumptions tell the two requests apart by right."""
    response = client.post(VERIFICATIONS, json=request)
    assert response.status_code == 200, response.get_json()
    return {key: value for key, value in response.get_json().items() if key not in {"record", "assumptions"}}


@pytest.mark.parametrize("base", BASES)
@pytest.mark.parametrize(("path", "default"), DEFAULTS)
def test_published_default_is_what_leaving_out_means(
    client: HeldClient, base: dict[str, Any], path: tuple[str | int, ...], default: Any
) -> None:
    given, left_out = _with_and_without(_base_of(path) if path[0] == "site_test" else base, path, default)
    answers = [_calculated(client, request) for request in (given, left_out)]
    if path[0] == "site_test":
        # The id of pulls is one of their words, by right.
        assert answers[0]["site_test"].pop("id") != answers[1]["site_test"].pop("id")
    assert answers[0] == answers[1]


@pytest.mark.parametrize("path", NULLABLE)
def test_null_is_the_same_as_leaving_out(client: HeldClient, path: tuple[str | int, ...]) -> None:
    given, left_out = _with_and_without(_base_of(path), path, None)
    assert _calculated(client, given) == _calculated(client, left_out)


@pytest.mark.parametrize("condition", SITE_CONDITIONS)
def test_null_for_a_site_condition_is_the_same_as_leaving_it_out(client: HeldClient, condition: str) -> None:
    given, left_out = _with_and_without(GUARDRAIL_POST, ("site", condition), None)
    assert _calculated(client, given) == _calculated(client, left_out)


def _nulls_for_all_left_out() -> dict[str, Any]:
    """Write the least request as a form would send it: every field there, and null where nothing was filled in."""
    request = copy.deepcopy(LEAST_GIVEN)
    for path, _ in sorted(OPTIONAL, key=lambda found: len(found[0])):
        place: Any = request
        for step in path[:-1]:
            place = None if place is None else place[step]
        if place is not None:
            place.setdefault(path[-1], None)
    request["member"]["edges"] = dict.fromkeys(("x_minus_mm", "x_plus_mm", "y_minus_mm", "y_plus_mm"))
    request["site"] = dict.fromkeys(SITE_CONDITIONS)
    return request


def test_request_with_null_everywhere_is_answered_as_the_least_one(client: HeldClient) -> None:
    nulls = _nulls_for_all_left_out()
    assert _calculated(client, nulls) == _calculated(client, LEAST_GIVEN)


def test_record_keeps_the_nulls_of_its_request(client: HeldClient) -> None:
    request = _nulls_for_all_left_out()
    answer = client.post(VERIFICATIONS, json=request).get_json()
    resolved = request | {"assessed_on": TODAY.isoformat(), "rulebook": answer["rulebook"]["version"]}
    assert record_id(resolved, answer, answer["rulebook"]["digest"]) == answer["record"]["id"]
    assert list(validators()["record"].iter_errors({"request": request, "answer": answer})) == []


def _sized(client: HeldClient, request: dict[str, Any]) -> dict[str, Any]:
    response = client.post(SIZINGS, json=request)
    assert response.status_code == 200, response.get_json()
    answer: dict[str, Any] = response.get_json()
    for choice in answer["choices"]:
        del choice["request"]
    return answer


SIZING_FIELDS = [
    _named(path, value)
    for path, facts in ONLY_OF_SIZINGS
    if path not in {("pattern",), ("pattern", "x", "spacings_mm"), ("pattern", "y", "spacings_mm")}
    for value in ([None, facts[LEFT_OUT]] if LEFT_OUT in facts else [None])
]


@pytest.mark.parametrize(("path", "value"), SIZING_FIELDS)
def test_null_or_the_default_in_a_sizing_is_what_leaving_out_means(
    client: HeldClient, path: tuple[str | int, ...], value: Any
) -> None:
    base = GUARDRAIL_POST_FREE_HOLES | {"pattern": {axis: {"counts": [1]} for axis in "xy"}}
    given, left_out = _with_and_without(base, path, value)
    assert _sized(client, given) == _sized(client, left_out)


def test_pattern_may_be_null_beside_positions_and_positions_beside_pattern(client: HeldClient) -> None:
    positions = PIPE_HANGER_FIXED_HOLES
    assert _sized(client, positions | {"pattern": None}) == _sized(client, positions)
    pattern = GUARDRAIL_POST_FREE_HOLES
    assert _sized(client, pattern | {"positions": None}) == _sized(client, pattern)


def test_unknown_class_beside_a_strength_is_the_default_filled_in(client: HeldClient) -> None:
    member = {"thickness_mm": 250, "strength_mpa": 25}
    given = GUARDRAIL_POST | {"member": member | {"strength_class": "unknown"}}
    assert _calculated(client, given) == _calculated(client, GUARDRAIL_POST | {"member": member})


PRESSED = {"name": "pump at rest", "normal_kn": -12}


def test_pressure_alone_is_verified_with_no_check_left(client: HeldClient, guardrail_post: dict[str, Any]) -> None:
    answer = client.post(VERIFICATIONS, json=guardrail_post | {"load_cases": [PRESSED]}).get_json()
    assert answer["verdict"] == "verified"
    assert answer["governing"] is None
    assert answer["checks"] == []
    assert "compression_only" in {caution["code"] for caution in answer["cautions"]}
    (forces,) = answer["fastener_forces"]
    assert forces["contact"]["compression_kn"] == pytest.approx(12)
    assert {fastener["tension_kn"] for fastener in forces["fasteners"]} == {0}
    (permissible,) = answer["permissible"]
    # No check is left to limit it; the plate that is bent by the pressure does.
    assert permissible["growth"] == pytest.approx(1 / answer["plate"]["stress_ratio"], rel=1e-5)


def test_pressure_beside_another_load_case_leaves_its_checks_as_they_are(
    client: HeldClient, guardrail_post: dict[str, Any]
) -> None:
    alone = client.post(VERIFICATIONS, json=guardrail_post).get_json()
    guardrail_post["load_cases"].append(PRESSED)
    both = client.post(VERIFICATIONS, json=guardrail_post).get_json()
    assert both["verdict"] == alone["verdict"]
    assert both["governing"] == alone["governing"]
    assert both["checks"] == alone["checks"]
    assert "compression_only" in {caution["code"] for caution in both["cautions"]}
    assert [forces["load_case"] for forces in both["fastener_forces"]] == ["guard load", "pump at rest"]
    growth = {entry["load_case"]: entry["growth"] for entry in both["permissible"]}
    bent = client.post(VERIFICATIONS, json=guardrail_post | {"load_cases": [PRESSED]}).get_json()
    assert growth["pump at rest"] == bent["permissible"][0]["growth"]
    assert growth["guard load"] == alone["permissible"][0]["growth"]


def test_pressure_alone_is_sized_without_a_governing_check(client: HeldClient, free_holes: dict[str, Any]) -> None:
    sized = client.post(SIZINGS, json=free_holes | {"load_cases": [PRESSED]}).get_json()
    assert sized["choices"]
    for choice in sized["choices"]:
        assert (choice["governing"], choice["utilisation"]) == (None, None)
        verified = client.post(VERIFICATIONS, json=choice["request"]).get_json()
        assert (verified["verdict"], verified["governing"]) == ("verified", None)


def test_pressure_beside_another_load_case_is_sized_by_the_other(
    client: HeldClient, free_holes: dict[str, Any]
) -> None:
    alone = client.post(SIZINGS, json=free_holes).get_json()["choices"]
    free_holes["load_cases"] = [*free_holes["load_cases"], PRESSED]
    both = client.post(SIZINGS, json=free_holes).get_json()["choices"]
    assert alone
    assert [choice["fastener"] for choice in both] == [choice["fastener"] for choice in alone]
    assert [choice["governing"] for choice in both] == [choice["governing"] for choice in alone]


def test_published_strength_classes_are_those_of_the_engine(client: HeldClient, app: Flask) -> None:
    version = app.test_client().get("/v1/rulebooks").get_json()["rulebooks"][0]["version"]
    allowed = client.get(f"/v1/rulebooks/{version}").get_json()["allowed"]
    assert allowed["strength_class"] == [*STRENGTH_CLASSES, "unknown"]
