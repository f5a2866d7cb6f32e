"""Records as the service really makes them, against the schema that is published for them.

The fixings are those that other tests calculate a second time, pull and build; no figure is checked here.
"""

from __future__ import annotations

import copy
from collections.abc import Iterator
from typing import Any

import pytest
from jsonschema import Draft202012Validator, FormatChecker

from service.contract import record_schema
from service.contract import site_tests as pulls
from service.contract.terms import MECHANISMS, MODES, VERDICTS
from service.rulebook.schemas import validators
from service.site.as_built import Record, new_request
from service.verification import RefusedRequest, verify
from tests.independent.fixings import random_fixing
from tests.pressed import ON_NUTS, covering_compression
from tests.shipped import VERSION
from tests.site.sheet_cases import REQUESTS, book
from tests.site.test_as_built import turning_on

Made = dict[str, dict[str, Any]]

RANDOM, GROUTED = 230, 30
GROUT = ({"thickness_mm": 20}, {"thickness_mm": 12.5, "strength_mpa": 30}, {"thickness_mm": 0})
STATES: tuple[dict[str, Any], ...] = (
    {},
    {"concrete_state": "uncracked"},
    {"concrete_state": "unknown"},
    {"concrete_state": "cracked"},
    {"concrete_state": "cracked", "crack_width_mm": 0.3},
    {"edge_mm": 150, "spacing_mm": 400},
)
AROUND: tuple[dict[str, Any], ...] = (
    {},
    {"base_material_kind": "masonry"},
    {"curing_over": True, "reference": None},
    {"gauge": pulls.SOUND_PULLS["allowable_resistance"]["gauge"] | {"calibrated_on": "2026-01-15"}},
)


DONE: tuple[dict[str, Any], ...] = (
    {"aborted_holes": [{"x_mm": 400, "y_mm": 400, "depth_mm": 60}]},
    {"moved": [{"number": 1, "x_mm": 1, "y_mm": 1}], "aborted_holes": []},
    {"strength_found": {"strength_mpa": 60, "found_by": "cores"}, "cracks_seen": True},
    {"installer": "supervised", "torque_tool": "by_feel", "torque_nm": 5},
)


@pytest.fixture(scope="module")
def records() -> Made:
    """Records of every kind, by what they are."""
    requests = {**dict(random_ones()), **dict(grouted()), **dict(pulled()), **dict(built())}
    made = {name: {"request": request, "answer": verify(request, book())} for name, request in requests.items()}
    request = ON_NUTS | {"rulebook": VERSION}
    return made | {"pressed": {"request": request, "answer": verify(request, covering_compression(book()))}}


def random_ones() -> Iterator[tuple[str, dict[str, Any]]]:
    for seed in range(RANDOM):
        detail = {"detail": "full" if seed % 2 else "summary"}
        yield f"random {seed}", random_fixing(seed, book().families) | detail


def grouted() -> Iterator[tuple[str, dict[str, Any]]]:
    for seed in range(GROUTED):
        request = random_fixing(RANDOM + seed, book().families)
        request["fixture"] |= {"thickness_mm": 20, "grout": GROUT[seed % len(GROUT)], "stand_off_mm": seed % 2 * 15}
        yield f"grouted {seed}", request


def pulled() -> Iterator[tuple[str, dict[str, Any]]]:
    for place in STATES:
        for around in AROUND:
            request = copy.deepcopy(pulls.PIPE_ON_UNKNOWN_WALL) | {"rulebook": VERSION}
            tests = copy.deepcopy(pulls.SOUND_PULLS["allowable_resistance"]) | around
            tests["pulls"] = [pull | place for pull in tests["pulls"]]
            request["site_test"]["tests"] = tests
            yield f"pulled {place} {around}", request


def built() -> Iterator[tuple[str, dict[str, Any]]]:
    """The requests that as-built checks verify: they keep what was found of the work."""
    for name, request in REQUESTS.items():
        record = Record(request, verify(request, book()))
        for number, done in enumerate(DONE):
            given = turning_on(request, done) | done
            try:
                yield f"built {name} {number}", new_request(record, given, book())
            except RefusedRequest:
                continue  # not every kind of fastener takes every word


def closed(schema: Any) -> Any:
    """The schema, with no object open to fields that it does not name."""
    if isinstance(schema, list):
        return [closed(part) for part in schema]
    if not isinstance(schema, dict):
        return schema
    shut = {"additionalProperties": False} if "properties" in schema and isinstance(schema["properties"], dict) else {}
    return shut | {key: closed(part) for key, part in schema.items()}


def test_the_records_are_of_every_kind(records: Made) -> None:
    assert len(records) >= 300
    answers = [record["answer"] for record in records.values()]
    assert {answer["fastener"]["mechanism"] for answer in answers} == set(MECHANISMS)
    assert {answer["verdict"] for answer in answers} == set(VERDICTS)
    assert {check["mode"] for answer in answers for check in answer["checks"]} == set(MODES)
    states = {answer["site_test"]["reach"]["concrete_state"] for answer in answers if "site_test" in answer}
    assert states == {"uncracked", "cracked", "not_concrete"}
    assert sum("built" in record["request"] for record in records.values()) >= 20
    assert sum("trace" in check for answer in answers for check in answer["checks"]) >= 300


def test_every_record_is_what_the_schema_says_and_holds_nothing_that_it_does_not_name(records: Made) -> None:
    schema = closed(record_schema.build())
    validator = Draft202012Validator(schema, format_checker=FormatChecker(formats=["date"]))
    wrong = {
        f"{name}: {problem.json_path}: {problem.message[:200]}"
        for name, record in records.items()
        for problem in validator.iter_errors(record)
    }
    assert wrong == set()


def test_the_published_schema_takes_fields_that_are_added_to_an_answer_and_none_in_a_request(records: Made) -> None:
    record = copy.deepcopy(records["random 0"])
    record["answer"]["added"] = record["answer"]["plate"]["added"] = 1
    assert list(validators()["record"].iter_errors(record)) == []
    record["request"]["member"]["added"] = 1
    [problem] = validators()["record"].iter_errors(record)
    assert "'added' was unexpected" in problem.message


@pytest.mark.parametrize(
    ("place", "value"),
    [("checks", None), ("verdict", "safe"), ("rulebook", {}), ("assessed_on", "tomorrow"), ("fastener", [])],
)
def test_the_schema_refuses_what_is_no_answer(records: Made, place: str, value: Any) -> None:
    record = copy.deepcopy(records["random 0"])
    record["answer"][place] = value
    assert list(validators()["record"].iter_errors(record))
