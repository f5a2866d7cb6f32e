"""Every field of the rule files says how a change of it is judged."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from typing import Any

import pytest

from service.audit.changes.rule_fields import RuleField, root, title_of
from service.rulebook.schemas import SUFFIX
from service.rulebook.shipped import SCHEMAS

DIRECTIONS = {"higher_is_less_safe", "lower_is_less_safe", "either", "none"}
# Requests and answers of a record are no rules.
KINDS = sorted(
    path.name.removesuffix(SUFFIX) for path in SCHEMAS.glob("*" + SUFFIX) if path.name != "record.schema.json"
)


def parts(field: RuleField, path: str, depth: int = 0) -> Iterator[tuple[str, RuleField]]:
    """Every field within a schema, references followed, those into requests left out."""
    if path.endswith("/request"):
        return
    yield path, field
    for name in field.schema.get("properties", {}):
        yield from parts(field.member(name), f"{path}/{name}", depth + 1)
    for pattern, inner in field.schema.get("patternProperties", {}).items():
        named = RuleField({"properties": {"*": inner}}, "*").member("*")
        yield from parts(named, f"{path}/{pattern}", depth + 1)
    if "items" in field.schema:
        yield from parts(field.entry(), f"{path}/-", depth + 1)


def fields(kind: str) -> list[tuple[str, RuleField]]:
    schema = json.loads((SCHEMAS / f"{kind}{SUFFIX}").read_bytes())
    if kind == "common":
        return [part for name, inner in schema["$defs"].items() for part in parts(RuleField(inner, name), name)]
    return list(parts(RuleField(schema, kind), kind))


def types(field: RuleField) -> set[str]:
    given = field.schema.get("type", [])
    return {given} if isinstance(given, str) else set(given)


def is_plain_entry(path: str, field: RuleField) -> bool:
    return path.endswith("/-") and not types(field) & {"object", "array"}


@pytest.mark.parametrize("kind", KINDS)
def test_every_leaf_every_list_and_every_map_has_a_direction(kind: str) -> None:
    silent = [
        path
        for path, field in fields(kind)
        if not ("properties" in field.schema and "required" in field.schema and field.schema["required"])
        if not is_plain_entry(path, field) and path != kind
        if field.schema.get("x-direction") not in DIRECTIONS
    ]
    assert silent == []


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind not in {"register", "suspensions"}])
def test_every_list_says_how_it_compares(kind: str) -> None:
    for path, field in fields(kind):
        if "array" in types(field):
            objects = "object" in types(field.entry())
            assert bool(field.key) == objects, path
            assert (field.listing in {"set", "sequence"}) == (not objects), path
            assert all(name in field.entry().schema["properties"] for name in field.key), path


@pytest.mark.parametrize("kind", KINDS)
def test_an_order_names_every_value_once(kind: str) -> None:
    for path, field in fields(kind):
        if field.order:
            assert sorted(field.order) == sorted(value for value in field.schema["enum"] if value is not None), path


@pytest.mark.parametrize("kind", KINDS)
def test_a_word_has_a_direction_only_where_it_has_an_order(kind: str) -> None:
    for path, field in fields(kind):
        if types(field) <= {"string", "null"} and "string" in types(field) and field.schema.get("format") != "date":
            assert field.order or field.schema.get("x-direction", "none") in {"either", "none"}, path


@pytest.mark.parametrize("kind", KINDS)
def test_what_null_means_is_said_only_where_null_may_stand(kind: str) -> None:
    for path, field in fields(kind):
        if "x-null" in field.schema:
            assert "null" in types(field), path
            assert field.null in {"less_safe", "safer"}, path


def test_a_symbol_stands_in_the_description_of_its_field() -> None:
    for path, field in fields("family"):
        if field.symbol is not None and field.symbol not in {"f_ck", "N"}:
            assert re.search(rf"(?<![\w,]){re.escape(field.symbol)}(?!\w|,\w)", field.schema["description"]), path


def test_figures_of_the_standard_have_their_symbol() -> None:
    named = {path.rpartition("/")[2]: field.symbol for path, field in fields("family") if field.symbol}
    assert (named["tension_kn"], named["cracked_kn"], named["member_thickness_min_mm"]) == ("N", "N_Rk,p", "h_min")
    assert len(named) > 40


@pytest.mark.parametrize(
    ("file", "steps", "words", "unit", "null"),
    [
        ("families/x.json", "approval/until", "Last day of the approval", None, "until revoked"),
        ("families/x.json", "approval/status", "What the company allows", None, None),
        ("families/x.json", "approval/uses", "Uses it is restricted to", None, "where every use is allowed"),
        ("families/x.json", "design_method", "Way of verification", None, None),
        ("families/x.json", "assessment/covers/strength_min_mpa", "Lowest cylinder strength f_ck covered", "MPa", None),
        ("rulebook.json", "site_reduction/floor", "Smallest product of the site factors", None, None),
        (
            "factors/guard-loads.json",
            "height_max_m",
            "Greatest height above the floor at which the line load acts",
            "m",
            None,
        ),
        ("families/x.json", "no/such", "such", None, None),
    ],
)
def test_words_and_units_are_those_of_the_description(
    file: str, steps: str, words: str, unit: str | None, null: str | None
) -> None:
    field = root(file)
    for step in steps.split("/"):
        field = field.member(step)
    assert (field.words, field.unit, field.null_words) == (words, unit, null)


@pytest.mark.parametrize(
    ("document", "title"), [({"title": "Bolt"}, "Bolt"), ({"title": 3}, "Anchor family"), ([], "Anchor family")]
)
def test_a_file_is_named_by_its_title_or_its_kind(document: Any, title: str) -> None:
    assert title_of("families/x.json", document) == title
