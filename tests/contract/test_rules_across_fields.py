"""Rules across fields stand in code and, where JSON Schema can say them, in the document: both say the same."""

from __future__ import annotations

import json
from collections.abc import Callable
from itertools import product
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from service.contract.as_built import AsBuilt
from service.contract.coherence import Told, disagreements, told
from service.contract.json_schema import Writer
from service.contract.recorded import RecordedRequest
from service.contract.request_schema import RequestSchema
from service.contract.sizing import SizingRequest
from service.contract.verification import VerificationRequest
from service.rulebook.shipped import SCHEMAS

NOT_THERE = object()
DOCUMENT = json.loads((SCHEMAS / "openapi.json").read_text("utf-8"))["components"]["schemas"]


def _in_a_case(case: dict[str, Any]) -> dict[str, Any]:
    return {"load_cases": [case]}


ONE_ACTION: dict[str, Any] = {"name": "any", "kind": "permanent"}
LOADS: dict[str, list[Any]] = {"load_cases": [NOT_THERE, None, [{}]], "actions": [NOT_THERE, None, [ONE_ACTION]]}
OF_ACTION: dict[str, list[Any]] = {
    "kind": ["permanent", "variable", "accidental"],
    **{name: [NOT_THERE, None, 0.5] for name in ("psi_0", "psi_1", "sustained_share")},
    "excludes": [NOT_THERE, None, ["other"]],
    "holding_down": [NOT_THERE, True],
    "source": [NOT_THERE, "frame"],
}
OF_NEIGHBOUR: dict[str, list[Any]] = {
    "state": [NOT_THERE, None, "unknown", "loaded", "open_hole", "filled_hole"],
    "family": [NOT_THERE, "bolt"],
    "size": [NOT_THERE, None, "M12"],
    "embedment_mm": [NOT_THERE, 70],
    "hole_diameter_mm": [NOT_THERE, None, 14],
    "hole_depth_mm": [NOT_THERE, 80],
}
OF_LOAD: dict[str, list[Any]] = {
    "name": ["any"],
    **{name: [NOT_THERE, None, 0, -0.5] for name in ("normal_kn", "shear_y_kn", "torsion_knm")},
}
TRIED: dict[str, tuple[str, dict[str, list[Any]], Callable[[dict[str, Any]], dict[str, Any]]]] = {
    "strength_given_once": (
        "Member",
        {"strength_class": [NOT_THERE, None, "unknown", "C25/30"], "strength_mpa": [NOT_THERE, None, 25]},
        lambda member: {"member": member},
    ),
    "permanent_share_fits_the_kind": (
        "RecordedLoadCase",
        {"kind": [NOT_THERE, None, "design", "characteristic"], "permanent_share": [NOT_THERE, None, 0, 0.6]},
        _in_a_case,
    ),
    "fields_of_the_kind": ("Action", OF_ACTION, lambda action: {"actions": [{"name": "any", **action}]}),
    "neighbours_described": ("Neighbour", OF_NEIGHBOUR, lambda neighbour: {"neighbours": [neighbour]}),
    "some_load": ("LoadCase", OF_LOAD, _in_a_case),
    "some_action": ("Action", OF_LOAD, lambda action: {"actions": [action]}),
    "said_once": (
        "AsBuilt",
        {
            "positions": [NOT_THERE, None, [{"x_mm": 0, "y_mm": 0}]],
            "moved": [NOT_THERE, None, [{"number": 1, "x_mm": 0, "y_mm": 0}]],
            "missing_numbers": [NOT_THERE, [2]],
            "embedment_mm": [NOT_THERE, 70],
            "nominal_embedment_mm": [NOT_THERE, None, 80],
            "edges": [NOT_THERE, {"x_plus_mm": 100}],
            "nearest_edges": [NOT_THERE, {"x_plus_mm": 60}],
        },
        dict,
    ),
    "_length_of_another": (
        "AsBuilt",
        {
            "installed": [NOT_THERE, None, {"family": "bolt-expansion-stainless", "size": "M10"}],
            "length_mm": [NOT_THERE, None, 115],
        },
        dict,
    ),
    "load_cases_or_actions": ("VerificationRequest", LOADS | {"member": [{}]}, dict),
    "base_material_goes_with_tests": (
        "VerificationRequest",
        {"site_test": [NOT_THERE, None, {"tests": {}}], "base_material": [NOT_THERE, None, "solid brick"]},
        dict,
    ),
    "positions_or_pattern": (
        "SizingRequest",
        {
            "positions": [NOT_THERE, None, [{"x_mm": 0, "y_mm": 0}]],
            "pattern": [NOT_THERE, None, {"x": {}}],
            "fixture": [{}],
        },
        dict,
    ),
}
"""For each rule: the object that it is about, values of its fields, and a request around it."""


def _rules() -> dict[str, Told]:
    schemas = (VerificationRequest, RecordedRequest, SizingRequest, AsBuilt)
    return {rule.find.__name__: rule for each in schemas for rule in each.rules() if isinstance(rule, Told)}


def _objects(rule: str) -> list[dict[str, Any]]:
    values = TRIED[rule][1]
    drawn = [dict(zip(values, chosen, strict=True)) for chosen in product(*values.values())]
    return [{name: value for name, value in each.items() if value is not NOT_THERE} for each in drawn]


def test_every_rule_of_the_document_is_tried() -> None:
    assert _rules().keys() == TRIED.keys()


@pytest.mark.parametrize("rule", TRIED)
def test_document_refuses_what_the_rule_finds_and_nothing_else(rule: str) -> None:
    component, _, around = TRIED[rule]
    forms = _rules()[rule].forms
    said = DOCUMENT[component]["dependentSchemas"]
    validator = Draft202012Validator({"dependentSchemas": {name: said[name] for name in forms}})
    found = []
    for tried in _objects(rule):
        request = around(tried)
        found.append(bool(disagreements(request, (_rules()[rule],))))
        assert validator.is_valid(tried) != found[-1], tried
    assert {True, False} == set(found)


def test_a_rule_of_what_two_schemas_have_in_common_stands_in_each_of_them() -> None:
    for component in ("VerificationRequest", "RecordedRequest", "SizingRequest"):
        assert "member" in DOCUMENT[component]["dependentSchemas"], component


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
