"""The stable codes of answers: what is stated, what is emitted and what is published agree."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from string import Formatter
from typing import Any

import pytest

from service.api.page.names import LISTS
from service.contract import verification_codes as codes
from service.contract.as_built_codes import AsBuiltRequirementCode
from service.contract.known_codes import ENUMERATIONS, known_codes, word_lists
from service.contract.load_model_codes import InputTaken
from service.contract.load_models import inputs_taken
from service.contract.site_test_codes import PlanRequirementCode
from service.contract.sizing_codes import CauseCode
from service.contract.verification_codes import Asked, AssumptionCode, RequirementCode
from service.engine.codes import Limit, Note
from service.engine.codes import Mode as EngineMode
from service.engine.model import EDGE_NAMES
from service.engine.open_readings import OPEN_READINGS
from service.rulebook import Rulebook
from service.verification import verify
from service.verification.requirements import APPROVED_USES
from service.words import Audience, Code, Quantity, Statement, catalogue
from tests.api.holding import ROOT, Contract, HeldClient
from tests.independent.fixings import random_fixing
from tests.shipped import shipped_rules
from tests.words.pseudo import catalogues_script

LISTED: Mapping[str, tuple[Code, ...]] = {
    "requirements": codes.REQUIREMENTS,
    "scope_limits": codes.SCOPE_LIMITS,
    "assumptions": codes.ASSUMPTIONS,
    "cautions": codes.CAUTIONS,
}
SCHEMA_OF = {
    "requirements": "Requirement",
    "scope_limits": "ScopeLimit",
    "assumptions": "Assumption",
    "cautions": "Caution",
}
EVERY = tuple(code for kinds in ENUMERATIONS.values() for kind in kinds for code in kind)
NOT_OF_ANSWERS = {"PlateNotChecked": "its sentence stands in an answer, its code does not"}
SAMPLES = 300
UNITS = {"1": "", "mm": "mm", "MPa": "mpa", "kN": "kn", "Nm": "nm", "ml": "ml", "cm3": "cm3", "kg": "kg", "lb": "lb",
         "°C": "c", "min": "minutes", "%": "percent", "kN/m": "kn_per_m"}  # fmt: skip


@pytest.fixture(scope="module")
def rulebook() -> Rulebook:
    return shipped_rules()


@pytest.mark.parametrize("code", EVERY, ids=lambda code: f"{type(code).__name__}.{code.name}")
@pytest.mark.parametrize("audience", Audience)
def test_every_sentence_has_its_figures_and_no_others(code: Code, audience: Audience) -> None:
    stated = {figure.name for figure in code.says.figures}
    for template in code.says.templates(audience):
        assert {name for _, name, _, _ in Formatter().parse(template) if name} <= stated
    said = {name for a in Audience for t in code.says.templates(a) for _, name, _, _ in Formatter().parse(t) if name}
    # Figures that only decide which sentence is said, or that a client may want beside it.
    drawn = {"near_edges", "near_edge_numbers", "near_edges_mm", "edge_covered_mm", "spacing_covered_mm"}
    drawn |= {"near_first_numbers", "near_second_numbers", "near_spacings_mm"}
    assert stated - said <= {"size", "family", "condition", "input", "better", "value", "unknown"} | drawn


@pytest.mark.parametrize("code", EVERY, ids=lambda code: f"{type(code).__name__}.{code.name}")
def test_a_sentence_is_made_where_no_figure_is_there(code: Code) -> None:
    statement = Statement(code, {figure.name: None for figure in code.says.figures})
    for audience in Audience:
        assert "{" not in catalogue(audience).sentence(statement)


@pytest.mark.parametrize("code", EVERY, ids=lambda code: f"{type(code).__name__}.{code.name}")
def test_the_name_of_a_number_ends_in_its_unit(code: Code) -> None:
    for figure in code.says.figures:
        if isinstance(figure, Quantity):
            ends = UNITS[figure.unit]
            assert figure.name.endswith(f"_{ends}") if ends else not figure.name.endswith(tuple(UNITS.values())[1:])


def test_requirements_name_what_is_given_and_allowed_among_their_figures() -> None:
    for code in (*codes.REQUIREMENTS, *PlanRequirementCode, *AsBuiltRequirementCode):
        assert isinstance(code.says, Asked)
        assert {code.says.given, code.says.limit} - {None} <= {figure.name for figure in code.says.figures}
        assert code.says.short


def test_the_words_of_the_engine_have_their_sentences() -> None:
    assert [mode.value for mode in codes.Mode] == [mode.value for mode in EngineMode]
    assert [limit.value for limit in codes.ScopeLimitCode] == [limit.value for limit in Limit]
    assert tuple(edge.value for edge in codes.Edge) == EDGE_NAMES
    spoken = {code.value for code in (*codes.CautionCode, *AssumptionCode)}
    assert {note.value for note in Note} <= spoken


def test_codes_of_site_conditions_and_of_the_rulebook_are_listed_with_it(rulebook: Rulebook) -> None:
    listed = {part: {entry["code"] for entry in entries} for part, entries in known_codes(rulebook).items()}
    conditions = rulebook.factors["site-conditions"]["conditions"]
    own = {code.value for code in AssumptionCode if code is not AssumptionCode.SITE_CONDITION_UNKNOWN}
    assert listed["assumptions"] - own == {f"{name}_unknown" for name in conditions}
    of_rules = {caution["code"] for caution in rulebook.document["cautions"]}
    assert listed["cautions"] - {code.value for code in codes.CAUTIONS} == of_rules


def answered(answer: Mapping[str, Any]) -> Iterator[tuple[str, Mapping[str, Any]]]:
    for part in LISTED:
        yield from ((part, entry) for entry in answer[part])


def test_codes_of_random_answers_are_listed_with_their_figures(rulebook: Rulebook) -> None:
    listed = {(part, entry["code"]): entry for part, entries in known_codes(rulebook).items() for entry in entries}
    seen = set()
    for seed in range(SAMPLES):
        answer = verify(random_fixing(seed, rulebook.families), rulebook)
        for part, entry in answered(answer):
            known = listed[part, entry["code"]]
            assert list(entry["figures"]) == [figure["name"] for figure in known["figures"]]
            assert entry["severity"] == known["severity"]
            words = {figure["name"]: figure["words"] for figure in known["figures"] if figure["words"]}
            for name, allowed in words.items():
                given = entry["figures"][name]
                assert given is None or {*(given if isinstance(given, list) else [given])} <= {*allowed}
            seen.add(part)
        for entry in answer["basis"]["open_readings"]:
            assert ("open_readings", entry["code"]) in listed
    assert seen == set(LISTED)


def test_every_use_of_an_approval_has_its_code() -> None:
    family = json.loads((ROOT / "schemas" / "family.schema.json").read_text("utf-8"))
    uses = family["properties"]["approval"]["properties"]["uses"]["items"]["enum"]
    assert {f"approved_use_{use}" for use in uses} == {c.value for c in RequirementCode if c.startswith("approved_use")}
    assert {*APPROVED_USES} == {*uses}


def test_listed_codes_are_published(contract: Contract) -> None:
    schemas = contract.document["components"]["schemas"]
    published = {SCHEMA_OF[part]: {code.value: code.says.meaning for code in known} for part, known in LISTED.items()}
    published["OpenReading"] = {code: read.text for code, read in OPEN_READINGS.items()}
    for schema, meanings in published.items():
        field = schemas[schema]["properties"]["code"]
        assert field["x-known-codes"] == meanings
        assert "enum" not in field, "answers may gain codes"
        assert all(code in field["description"] for code in meanings)


def test_version_lists_its_codes(client: HeldClient, rulebook: Rulebook) -> None:
    told = client.get(f"/v1/rulebooks/{rulebook.version}").get_json()["codes"]
    assert told == known_codes(rulebook)
    listed = {part: [entry["code"] for entry in entries] for part, entries in told.items()}
    conditions = rulebook.factors["site-conditions"]["conditions"]
    brought = {
        AssumptionCode.SITE_CONDITION_UNKNOWN: [f"{name}_unknown" for name in conditions],
        CauseCode.MODE_OVER: [mode.value for mode in codes.Mode],
        InputTaken.NOT_GIVEN: [f"{name}_not_given" for name in inputs_taken(InputTaken.NOT_GIVEN)],
        InputTaken.UNKNOWN: [f"{name}_unknown" for name in inputs_taken(InputTaken.UNKNOWN)],
    }
    own = [caution["code"] for caution in rulebook.document["cautions"]]
    for part, kinds in ENUMERATIONS.items():
        stated = [word for kind in kinds for code in kind for word in brought.get(code, [code.value])]
        assert listed[part] == (own if part == "cautions" else []) + stated


def test_every_enumeration_stands_in_the_register() -> None:
    worded = {type(word) for words in word_lists().values() for word in words} | {*LISTS.values()}
    registered = {kind for kinds in ENUMERATIONS.values() for kind in kinds} | worded
    missing = {type(code).__name__ for code, _ in catalogues_script()._codes() if type(code) not in registered}
    assert missing == set(NOT_OF_ANSWERS), "a new enumeration stands in service/contract/known_codes.py"


def test_words_have_a_sentence_for_every_code(client: HeldClient, rulebook: Rulebook) -> None:
    words = client.get("/v1/words/en").get_json()
    own = {caution["code"] for caution in rulebook.document["cautions"]}
    told = client.get(f"/v1/rulebooks/{rulebook.version}").get_json()["codes"]
    # What is wrong with a request is in no answer.
    del told["faults"]
    assert list(words["codes"]) == list(told)
    for part, entries in told.items():
        known = words["codes"][part]
        for entry in entries:
            code, figures = entry["code"], {figure["name"] for figure in entry["figures"]}
            said_as = known.get(code) or next((known[name] for name in known if covers(name, code)), None)
            if said_as is None:
                assert (part, code) in {("cautions", one) for one in own}
                continue
            assert all(said["says"] and {*said["asks"]} <= figures for said in said_as["sentences"])
            assert said_as["terms"].keys() <= figures
            assert all(words["names"][listed] for listed in said_as["terms"].values())


def covers(name: str, code: str) -> bool:
    """Whether a name with a figure in braces is one of a code."""
    before, opened, rest = name.partition("{")
    return bool(opened) and code.startswith(before) and code.endswith(rest.partition("}")[2])


def test_words_give_the_parts_that_are_asked_for(client: HeldClient) -> None:
    whole = client.get("/v1/words/en").get_json()
    some = client.get("/v1/words/en?parts=to_do,not_measured").get_json()
    assert some == whole | {"codes": {part: whole["codes"][part] for part in ("to_do", "not_measured")}}
    refused = client.get("/v1/words/en?parts=to_do,sheet")
    assert (refused.status_code, refused.get_json()["errors"][0]["code"]) == (422, "not_allowed")
