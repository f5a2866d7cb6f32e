"""The stable codes of answers: what is stated, what is emitted and what is published agree."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from string import Formatter
from typing import Any

import pytest

from service.contract import sizing_codes
from service.contract import verification_codes as codes
from service.contract.as_built_codes import AsBuiltCautionCode, AsBuiltRequirementCode, ToDoCode
from service.contract.known_codes import ON_SITE, known_codes
from service.contract.label_codes import (
    ImprovementCautionCode,
    ImprovementCode,
    LabelAssumptionCode,
    LabelCautionCode,
    LimitCode,
    NotAnsweredCode,
    VoidCode,
)
from service.contract.site_test_codes import PlanRequirementCode, SiteTestCautionCode
from service.contract.sizing_codes import CauseCode, ReasonCode, RelaxationCode
from service.contract.verification_codes import Asked, AssumptionCode, RequirementCode, codes_of
from service.engine.codes import Limit, Note
from service.engine.codes import Mode as EngineMode
from service.engine.model import EDGE_NAMES
from service.engine.open_readings import OPEN_READINGS
from service.rulebook import Rulebook, load
from service.verification import verify
from service.verification.requirements import APPROVED_USES
from service.words import Audience, Code, Quantity, Statement, catalogue
from tests.api.holding import ROOT, Contract, HeldClient
from tests.independent.fixings import random_fixing

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
EVERY: tuple[Code, ...] = (
    *(code for listed in LISTED.values() for code in listed),
    *LabelCautionCode,
    *LabelAssumptionCode,
    *ImprovementCautionCode,
    *ImprovementCode,
    *LimitCode,
    *NotAnsweredCode,
    *VoidCode,
    *SiteTestCautionCode,
    *PlanRequirementCode,
    *AsBuiltRequirementCode,
    *ToDoCode,
    *AsBuiltCautionCode,
    *ReasonCode,
    *CauseCode,
    *RelaxationCode,
)
SAMPLES = 300
UNITS = {"1": "", "mm": "mm", "MPa": "mpa", "kN": "kn", "Nm": "nm", "ml": "ml", "cm3": "cm3", "kg": "kg", "lb": "lb",
         "°C": "c", "min": "minutes", "%": "percent"}  # fmt: skip


@pytest.fixture(scope="module")
def rulebook() -> Rulebook:
    return load(ROOT / "rules")


@pytest.mark.parametrize("code", EVERY, ids=lambda code: f"{type(code).__name__}.{code.name}")
@pytest.mark.parametrize("audience", Audience)
def test_every_sentence_has_its_figures_and_no_others(code: Code, audience: Audience) -> None:
    stated = {figure.name for figure in code.says.figures}
    for template in code.says.templates(audience):
        assert {name for _, name, _, _ in Formatter().parse(template) if name} <= stated
    said = {name for a in Audience for t in code.says.templates(a) for _, name, _, _ in Formatter().parse(t) if name}
    # Figures that only decide which sentence is said, or that a client may want beside it.
    assert stated - said <= {"size", "family", "condition", "input"}


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
    listed = {part: {entry["code"] for entry in entries} for part, entries in codes_of(rulebook).items()}
    conditions = rulebook.factors["site-conditions"]["conditions"]
    own = {code.value for code in AssumptionCode if code is not AssumptionCode.SITE_CONDITION_UNKNOWN}
    assert listed["assumptions"] - own == {f"{name}_unknown" for name in conditions}
    of_rules = {caution["code"] for caution in rulebook.document["cautions"]}
    assert listed["cautions"] - {code.value for code in codes.CAUTIONS} == of_rules


def answered(answer: Mapping[str, Any]) -> Iterator[tuple[str, Mapping[str, Any]]]:
    for part in LISTED:
        yield from ((part, entry) for entry in answer[part])


def test_codes_of_random_answers_are_listed_with_their_figures(rulebook: Rulebook) -> None:
    listed = {(part, entry["code"]): entry for part, entries in codes_of(rulebook).items() for entry in entries}
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
    assert told | codes_of(rulebook) | sizing_codes.listed() == told
    listed = [entry["code"] for part in ON_SITE for entry in told[part]]
    assert listed == [code.value for codes_of_part in ON_SITE.values() for code in codes_of_part]
