"""The contract document: the same everywhere, and complete."""

import ast
import copy
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from jsonschema import Draft202012Validator
from referencing import Registry, Resource
from referencing.jsonschema import DRAFT202012

from service.contract import document as contract_module
from service.contract.codes import CODES
from service.contract.faults import EXAMPLES
from service.contract.load_models import REQUESTS as LOAD_MODEL_REQUESTS
from service.contract.paths_stated import paths
from service.contract.terms import MODES
from service.contract.verification import GUARDRAIL_POST
from tests.api.holding import COMMITTED, CONTRACT_URI, ROOT, Contract, HeldClient

UNITS = {
    "per_metre_kg": "kg/m",
    "mm": "mm", "mm2": "mm2", "mm3": "mm3", "kn": "kN", "knm": "kNm", "nm": "Nm", "mpa": "MPa", "kg": "kg", "c": "°C",
    "bar": "bar", "percent": "%", "minutes": "min", "lb": "lb", "degrees": "degrees", "kn_per_m": "kN/m",
}  # fmt: skip
# Here a field or the words beside it name the unit.
UNIT_BESIDE = {
    "TraceEntry",
    "ReplayDifference",
    "ToldInput",
    "ToldInputInAnswer",
    "ChangedRule",
    "RuleChange",
    "ReferenceChange",
    "Requirement",
    "SiteTestRequirement",
    "Cause",
    "Relaxation",
    "RejectedGroup",
    "WorkingStep",
    "LoadModelInput",
    "SheetFigure",
    "AsBuiltChange",
    "AsBuiltRequirement",
}
REQUESTS = (
    "VerificationRequest",
    "SizingRequest",
    "ReplayRequest",
    "SiteTestPlanRequest",
    "SiteTestAssessmentRequest",
    "LabelRequest",
    "SiteReductionRequest",
    "InstallationSheetRequest",
    "AsBuiltRequest",
    *(schema.__name__ for schema in LOAD_MODEL_REQUESTS.values()),
)


def test_committed_and_served_are_the_same(client: HeldClient) -> None:
    served = client.get("/openapi.json").data
    assert json.loads(served) == json.loads(COMMITTED.read_bytes()), "write the contract anew"
    assert b"\n" not in served
    assert len(served) < 0.7 * COMMITTED.stat().st_size


@pytest.mark.parametrize("name", ["openapi.json", "record.schema.json"])
def test_writing_gives_the_committed_document(tmp_path: Path, name: str) -> None:
    contract_module.write(tmp_path)
    committed = COMMITTED.with_name(name)
    assert (tmp_path / name).read_bytes() == committed.read_bytes(), "run python -m service.contract.document"


def test_contract_and_routes_name_the_same_operations(app: Flask, contract: Contract) -> None:
    routed = {
        (re.sub(r"<(\w+)>", r"{\1}", rule.rule), method)
        for rule in app.url_map.iter_rules()
        if rule.rule != "/" and not rule.rule.startswith(("/docs", "/page/"))
        for method in (rule.methods or set()) - {"HEAD", "OPTIONS"}
    }
    paths = contract.document["paths"]
    assert routed == {(path, method.upper()) for path, methods in paths.items() for method in methods}


def test_every_reference_leads_somewhere(contract: Contract) -> None:
    text = json.dumps(contract.document)
    for reference in set(re.findall(r'"\$ref": "#/([^"]+)"', text)):
        place: Any = contract.document
        for step in reference.split("/"):
            place = place[step]
        assert place


def test_every_schema_is_a_sound_schema(contract: Contract) -> None:
    for schema in contract.document["components"]["schemas"].values():
        Draft202012Validator.check_schema(schema)


def test_every_link_leads_to_an_operation(contract: Contract) -> None:
    names = {operation.name for operation in paths()}
    linked = {link.operation for operation in paths() for link in operation.links}
    assert {"verifyFixing", "getFamily", "getRulebook"} <= linked <= names


def fields_of(contract: Contract) -> Iterator[tuple[str, str, dict[str, Any]]]:
    """List the fields that the API itself describes; those of rule files are described where the files are."""
    for name, schema in contract.document["components"]["schemas"].items():
        if not name.startswith("Rules"):
            for field, facts in schema.get("properties", {}).items():
                yield name, field, facts
                if "items" in facts:
                    yield name, f"{field}[]", facts["items"]


def is_number(facts: dict[str, Any]) -> bool:
    return bool(
        {"number", "integer"} & set([facts["type"]] if isinstance(facts.get("type"), str) else facts.get("type", []))
    )


def test_every_field_and_every_object_is_described(contract: Contract) -> None:
    undescribed = [(name, field) for name, field, facts in fields_of(contract) if len(facts.get("description", "")) < 5]
    assert undescribed == []
    schemas = contract.document["components"]["schemas"].values()
    assert all(schema.get("description") for schema in schemas if "enum" not in schema)


def test_every_number_has_its_unit_and_the_name_agrees(contract: Contract) -> None:
    checked = 0
    for name, field, facts in fields_of(contract):
        if name in UNIT_BESIDE or not is_number(facts):
            continue
        suffix = re.findall(r"kn_per_m$|per_metre_kg$|[^_]+$", field.removesuffix("[]"))[0]
        assert facts["x-unit"] == UNITS.get(suffix, "1"), (name, field)
        checked += 1
    assert checked > 80


def request_schemas(contract: Contract) -> set[str]:
    """Name the schemas that requests are made of."""
    schemas = contract.document["components"]["schemas"]
    found: set[str] = set()
    waiting = list(REQUESTS)
    while waiting:
        name = waiting.pop()
        found.add(name)
        waiting += [n for n in re.findall(r"#/components/schemas/(\w+)", json.dumps(schemas[name])) if n not in found]
    return found


def test_every_number_of_a_request_has_a_range(contract: Contract) -> None:
    wanted = request_schemas(contract)
    for name, field, facts in fields_of(contract):
        if name in wanted and is_number(facts):
            assert {"minimum", "exclusiveMinimum"} & set(facts), (name, field)
            assert "maximum" in facts, (name, field)


def test_every_text_and_list_of_a_request_is_bounded(contract: Contract) -> None:
    wanted = request_schemas(contract)
    for name, field, facts in fields_of(contract):
        kinds = facts.get("type", [])
        if name in wanted and "string" in kinds and facts.get("format") != "date":
            assert "maxLength" in facts, (name, field)
        if name in wanted and "array" in kinds:
            assert "maxItems" in facts, (name, field)


def test_every_field_of_a_request_says_whether_it_may_be_left_out(contract: Contract) -> None:
    schemas, wanted = contract.document["components"]["schemas"], request_schemas(contract)
    for name, field, facts in fields_of(contract):
        if name in wanted and not field.endswith("[]"):
            optional = field not in schemas[name].get("required", [])
            assert optional == ("Left out or null: " in facts["description"]), (name, field)
            assert optional == takes_null(facts), (name, field)


def takes_null(facts: dict[str, Any]) -> bool:
    return "null" in facts.get("type", ()) or {"type": "null"} in facts.get("anyOf", ())


def test_every_shared_part_is_referred_to(contract: Contract) -> None:
    referred = set(re.findall(r'"#/components/(\w+/[\w-]+)"', json.dumps(contract.document)))
    parts = {f"{kind}/{name}" for kind, named in contract.document["components"].items() for name in named}
    assert parts == referred


def test_example_of_a_problem_is_one(contract: Contract) -> None:
    for name, response in contract.document["components"]["responses"].items():
        example = response["content"]["application/problem+json"]["example"]
        assert example["status"] == int(name.removeprefix("Problem"))
        contract.conform("Problem", example)


def test_examples_of_problems_are_obtained_again(client: HeldClient, contract: Contract) -> None:
    """The others are of faults of the service, or of requests that hold no example."""
    named_twice = json.dumps(GUARDRAIL_POST).replace('"thickness_mm": 250', '"thickness_mm": 60, "thickness_mm": 250')
    thin, heavy = copy.deepcopy(GUARDRAIL_POST), copy.deepcopy(GUARDRAIL_POST)
    thin["member"]["thickness_mm"], thin["positions"][0]["z_mm"] = 40, 0
    heavy["load_cases"][0]["normal_kn"] = 30
    post = {"width_mm": 120, "depth_mm": 120, "profile": "hollow"}
    heavy["fixture"] |= {"thickness_mm": 20, "attached_section": post}
    obtained = (
        client.post("/v1/verifications", data=named_twice, content_type="application/json"),
        client.get("/v1/words/xx"),
        client.get("/v1/rulebooks", headers={"Accept": "text/html"}),
        client.post("/v1/installation-sheets", json={"fixings": [heavy]}),
        client.post("/v1/verifications", json=thin),
    )
    assert {response.status_code for response in obtained} == set(EXAMPLES)
    responses = contract.document["components"]["responses"]
    for response in obtained:
        shown = responses[f"Problem{response.status_code}"]["content"]["application/problem+json"]["example"]
        assert response.get_json() == shown


def test_requests_are_closed_and_answers_open(contract: Contract) -> None:
    closed = request_schemas(contract)
    for name, schema in contract.document["components"]["schemas"].items():
        if "enum" in schema or "anyOf" in schema:
            continue
        assert (schema.get("additionalProperties") is False) == (name in closed or name == "RulesStrengthFactor"), name


def test_a_request_within_an_answer_is_the_request_and_tolerates_added_fields(contract: Contract) -> None:
    schemas = contract.document["components"]["schemas"]
    twins = [name for name in schemas if name.endswith("InAnswer")]
    for name in twins:
        original = schemas[name.removesuffix("InAnswer")]
        said = json.loads(json.dumps(schemas[name]).replace("InAnswer", ""))
        left_out = {"additionalProperties", "dependentSchemas"}
        assert said == {key: value for key, value in original.items() if key not in left_out}
    named = "#/components/schemas/VerificationRequestInAnswer"
    assert len(twins) > 15
    assert schemas["SizingChoice"]["properties"]["request"]["$ref"] == named
    recorded = "#/components/schemas/RecordedRequestInAnswer"
    assert schemas["AsBuiltRecord"]["properties"]["request"]["$ref"] == recorded
    proposed = copy.deepcopy(GUARDRAIL_POST)
    proposed["member"]["added_later"] = 1
    reference = {"$ref": f"{CONTRACT_URI}{named}"}
    registry: Registry[Any] = Registry().with_resource(
        CONTRACT_URI, Resource.from_contents(contract.document, default_specification=DRAFT202012)
    )
    assert Draft202012Validator(reference, registry=registry).is_valid(proposed)


def test_what_may_be_a_request_or_a_record_has_one_name(contract: Contract) -> None:
    schemas = contract.document["components"]["schemas"]
    named = "#/components/schemas/RequestOrRecord"
    assert schemas["AsBuiltRequest"]["properties"]["record"]["$ref"] == named
    assert schemas["InstallationSheetRequest"]["properties"]["fixings"]["items"]["$ref"] == named
    assert [part["$ref"].rpartition("/")[2] for part in schemas["RequestOrRecord"]["anyOf"]] == [
        "VerificationRequest",
        "ReplayRequest",
    ]


def test_every_field_of_an_answer_is_promised_or_explained(contract: Contract) -> None:
    requests = request_schemas(contract)
    left_out = {
        (name, field)
        for name, schema in contract.document["components"]["schemas"].items()
        if not name.startswith("Rules")
        if not name.endswith("InAnswer") and name not in requests
        for field in set(schema.get("properties", ())) - set(schema.get("required", []))
    }
    assert left_out == {
        ("Check", "trace"),
        ("VerificationAnswer", "combinations"),
        ("SizingAnswer", "combinations"),
        ("VerificationAnswer", "site_test"),
        ("Fault", "pointer"),
        ("Fault", "parameter"),
        ("Fault", "given"),
    }


def test_every_operation_says_what_it_does_and_how_it_fails(contract: Contract) -> None:
    for methods in contract.document["paths"].values():
        for operation in methods.values():
            assert operation["summary"]
            assert operation["description"]
            assert {"200", "406", "500"} <= set(operation["responses"])
            refuses_parameters = "ignored" not in operation["description"]
            assert ("422" in operation["responses"]) == refuses_parameters


def codes_used() -> Iterator[str]:
    """Read from the code which codes refusals are made with."""
    places = {"Refusal": 1, "refusal": 0, "Fault": 0}
    for path in (ROOT / "service").rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in places:
                place = places[node.func.id]
                given = node.args[place] if len(node.args) > place else None
                if isinstance(given, ast.Constant) and isinstance(given.value, str):
                    yield given.value


def test_codes_of_refusals_are_published_and_used() -> None:
    assert set(codes_used()) == set(CODES)


def test_codes_and_modes_are_published(contract: Contract) -> None:
    schemas = contract.document["components"]["schemas"]
    assert schemas["FaultCode"]["enum"] == list(CODES)
    assert schemas["Fault"]["properties"]["code"]["$ref"] == "#/components/schemas/FaultCode"
    assert schemas["FailureMode"]["enum"] == list(MODES)
    assert schemas["Check"]["properties"]["mode"]["$ref"] == "#/components/schemas/FailureMode"


def test_every_list_of_words_is_a_component_of_its_own(contract: Contract) -> None:
    lists = {name for name, schema in contract.document["components"]["schemas"].items() if "enum" in schema}
    # A rule across fields names some words of a list again; no type is made of it.
    inline = [
        name
        for name, schema in contract.document["components"]["schemas"].items()
        if not name.startswith("Rules") and name not in lists
        if '"enum"' in json.dumps({key: part for key, part in schema.items() if key != "dependentSchemas"})
    ]
    assert len(lists) > 40
    assert inline == []
    assert '"enum"' not in json.dumps(contract.document["paths"])
    stated = [(name, field) for name, field, facts in fields_of(contract) if "default" in facts]
    assert stated == [], "a client made from the document would state what its user never said"


def test_a_fault_in_the_answer_would_be_found(contract: Contract, app: Flask) -> None:
    response = app.test_client().get("/health/live")
    response.set_data(b'{"status": "livid"}')
    with pytest.raises(AssertionError, match="livid"):
        contract.hold("GET", "/health/live", response)
    response.set_data(b'{"status": "live", "more": 1}')
    with pytest.raises(AssertionError, match="more"):
        contract.hold("GET", "/health/live", response)
    response.set_data(b"{}")
    with pytest.raises(AssertionError, match="status"):
        contract.hold("GET", "/health/live", response)
