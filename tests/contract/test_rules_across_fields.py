"""Rules across fields stand in code and, where JSON Schema can say them, in the document: both say the same."""

from __future__ import annotations

import json
from collections.abc import Callable
from itertools import product
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from service.contract.coherence import Told, disagreements, told
from service.contract.json_schema import Writer
from service.contract.request_schema import RequestSchema
from service.contract.sizing import SizingRequest
from service.contract.verification import VerificationRequest
from service.rulebook.shipped import SCHEMAS

NOT_THERE = object()
DOCUMENT = json.loads((SCHEMAS / "openapi.json").read_text("utf-8"))["components"]["schemas"]


def _in_a_case(case: dict[str, Any]) -> dict[str, Any]:
    return {"load_cases": [case]}


def _with_cases(request: dict[str, Any]) -> dict[str, Any]:
    return {"load_cases": [], **request}


TRIED: dict[str, tuple[dict[str, list[Any]], Callable[[dict[str, Any]], dict[str, Any]]]] = {
    "Member": (
        {"strength_class": [NOT_THERE, None, "unknown", "C25/30"], "strength_mpa": [NOT_THERE, None, 25]},
        lambda member: {"member": member},
    ),
    "LoadCase": (
        {"kind": [NOT_THERE, None, "design", "characteristic"], "permanent_share": [NOT_THERE, None, 0, 0.6]},
        _in_a_case,
    ),
    "VerificationRequest": (
        {"site_test": [NOT_THERE, None, {"tests": {}}], "base_material": [NOT_THERE, None, "solid brick"]},
        dict,
    ),
    "SizingRequest": (
        {"positions": [NOT_THERE, None, [{"x_mm": 0, "y_mm": 0}]], "pattern": [NOT_THERE, None, {"x": {}}]},
        _with_cases,
    ),
}
"""For each object that a rule is about: values of its fields, and a request around it."""


def _rules() -> dict[str, Told]:
    rules = (*VerificationRequest.rules(), *SizingRequest.rules())
    return {rule.component: rule for rule in rules if isinstance(rule, Told)}


def _objects(component: str) -> list[dict[str, Any]]:
    values = TRIED[component][0]
    drawn = [dict(zip(values, chosen, strict=True)) for chosen in product(*values.values())]
    return [{name: value for name, value in each.items() if value is not NOT_THERE} for each in drawn]


def test_every_rule_of_the_document_is_tried() -> None:
    assert _rules().keys() == TRIED.keys()


@pytest.mark.parametrize("component", TRIED)
def test_document_refuses_what_the_rule_finds_and_nothing_else(component: str) -> None:
    said = Draft202012Validator({"dependentSchemas": DOCUMENT[component]["dependentSchemas"]})
    found = []
    for tried in _objects(component):
        request = TRIED[component][1](tried)
        found.append(bool(disagreements(request, (_rules()[component],))))
        placed = request if component == "SizingRequest" else tried
        assert said.is_valid(placed) != found[-1], tried
    assert {True, False} == set(found)


def test_two_rules_under_one_field_are_no_document() -> None:
    class Doubled(RequestSchema):
        """An object with two rules under one field."""

        @staticmethod
        def rules() -> tuple[Told, ...]:
            """Rules across fields."""
            return tuple(told("Doubled", pull=(form,))(lambda _: iter(())) for form in ({}, {"required": ["push"]}))

    writer = Writer("Doubled", "1")
    writer.spec.components.schema("Doubled", schema=Doubled)
    with pytest.raises(ValueError, match="two rules across fields stand under pull"):
        writer.document()
