"""The contract tried out with generated requests, right ones and wrong ones, one by one and in sequence."""

import copy
import tomllib
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import pytest
import schemathesis
from flask import Flask
from hypothesis import settings
from schemathesis.config import SchemathesisConfig
from schemathesis.core.result import Ok
from schemathesis.generation.stateful.state_machine import StepInput, StepOutput
from schemathesis.schemas import BaseSchema

from service.contract.sizing import PIPE_HANGER_FIXED_HOLES
from service.contract.verification import GUARDRAIL_POST
from tests.api.holding import TIMES


def _config(mode: str | None = None) -> SchemathesisConfig:
    told = tomllib.loads(Path(__file__).with_name("schemathesis.toml").read_text("utf-8"))
    told["generation"]["max-examples"] *= TIMES
    if TIMES > 1:
        told["operations"] = [one for one in told["operations"] if "phases" not in one]
    if mode is not None:
        told["generation"]["mode"] = mode
    return SchemathesisConfig.from_dict(told)


CONFIG = _config()
OF_LONG_BODIES = ["makeInstallationSheet", "checkAsBuilt", "assessSiteTests"]
OPERATIONS = schemathesis.pytest.from_fixture("schema")
"""Thousands of requests at boundaries are made with a test: where it runs, not in each process that gathers tests."""
COHERENT = {"verifyFixing": GUARDRAIL_POST, "sizeFixing": PIPE_HANGER_FIXED_HOLES}
PAIRS = (("sizeFixing", "verifyFixing"), ("listFamilies", "getFamily"), ("listRulebooks", "getRulebook"))
INDEPENDENT = ("fixing_reference", "detail", "max_choices")


def _linked(app: Flask) -> list[BaseSchema]:
    """The operations that a link leads from or to: with all others beside them few links would be followed.

    In the long run all of them at once; in every run pair by pair, and from right requests, as wrong ones lead nowhere.
    """
    schema = _schema(app, _config("positive") if TIMES == 1 else CONFIG)
    operations = [operation for path in schema.raw_schema["paths"].values() for operation in path.values()]
    taken: Iterable[Iterable[str]] = PAIRS
    if TIMES > 1:
        ends = set()
        for operation in operations:
            links = [one for answer in operation["responses"].values() for one in answer.get("links", {}).values()]
            ends |= {operation["operationId"] for _ in links[:1]} | {link["operationId"] for link in links}
        taken = [ends]
    # Operations that the configuration names are included whatever else is: only by leaving out are they left out.
    names = {operation["operationId"] for operation in operations}
    return [schema.exclude(operation_id=sorted(names - {*these})) for these in taken]


@pytest.fixture
def schema(request: pytest.FixtureRequest, app: Flask) -> BaseSchema:
    # Schemathesis 4.32 still asks a test for its name where pytest had it before 9.2.
    request.node._nodeid = request.node.nodeid
    return _schema(app, CONFIG)


def _schema(app: Flask, config: SchemathesisConfig) -> BaseSchema:
    schema = schemathesis.openapi.from_wsgi("/openapi.json", app, config=config)
    # Which fields of it go together has more alternatives than the generator works out, and then it makes nothing at
    # all; tests/contract/test_rules_across_fields.py holds the service and the contract to them.
    del schema.raw_schema["components"]["schemas"]["AsBuilt"]["dependentSchemas"]
    return schema


@OPERATIONS.include(operation_id=OF_LONG_BODIES).parametrize()
def test_service_keeps_its_contract_with_long_bodies(case: schemathesis.Case[Any]) -> None:
    case.call_and_validate()


@OPERATIONS.exclude(operation_id=OF_LONG_BODIES).parametrize()
def test_service_keeps_its_contract(case: schemathesis.Case[Any]) -> None:
    case.call_and_validate()


def test_service_keeps_its_contract_along_links(app: Flask) -> None:
    followed: set[tuple[str, int]] = set()
    for schema in _linked(app):
        _follow(schema, followed)
    assert {("verifyFixing", 200), ("getFamily", 200), ("getRulebook", 200)} <= followed


def _follow(schema: BaseSchema, followed: set[tuple[str, int]]) -> None:
    class AlongLinks(schema.as_state_machine()):  # type: ignore[misc]
        """Starts from requests that agree with themselves, as generated ones next to never do; takes links whole."""

        def step(self, given: StepInput) -> StepOutput:
            case = given.case
            name = case.operation.definition.raw["operationId"]
            linked = given.transition.request_body if given.transition else None
            if case.meta and case.meta.generation.mode.is_positive:
                if linked and isinstance(linked.value, Ok):
                    case.body = linked.value.ok()
                elif name == "listFamilies":
                    # With filters made up there is hardly a family left that a link could lead to.
                    case.query = {}
                elif name in COHERENT:
                    body: Any = case.body
                    generated = {field: body[field] for field in INDEPENDENT if field in body}
                    case.body = copy.deepcopy(COHERENT[name]) | generated
            output: StepOutput = super().step(given)
            if given.transition is not None and given.applied_parameters:
                followed.add((name, output.response.status_code))
            return output

    AlongLinks.run(
        settings=settings(
            max_examples=8 if TIMES == 1 else 38 * TIMES,
            stateful_step_count=4,
            deadline=None,
            derandomize=True,
            database=None,
        )
    )
