"""The stable codes of answers: what the sources can give, what is listed and what is published agree."""

from __future__ import annotations

import ast
import json
from collections import defaultdict
from collections.abc import Iterator, Mapping
from typing import Any

import pytest

from service.contract.fields import LEFT_OUT
from service.rulebook import Rulebook, load
from service.verification import codes, verify
from service.verification.codes import codes_of
from tests.api.holding import ROOT, Contract, HeldClient
from tests.independent.fixings import random_fixing

SOURCES = sorted(p for room in ("verification", "engine") for p in (ROOT / "service" / room).rglob("*.py"))
LISTED: Mapping[str, Mapping[str, str]] = {
    "requirements": codes.REQUIREMENTS,
    "scope_limits": codes.SCOPE_LIMITS,
    "assumptions": codes.ASSUMPTIONS,
    "cautions": codes.CAUTIONS,
    "open_readings": codes.OPEN_READING_CODES,
}
SCHEMA_OF = {
    "requirements": "Requirement",
    "scope_limits": "ScopeLimit",
    "assumptions": "Assumption",
    "cautions": "Caution",
    "open_readings": "OpenReading",
}
# What makes an entry of an answer; its first argument is the code.
MAKERS = {"Requirement": "requirements", "ScopeLimit": "scope_limits", "Caution": "cautions"}
# Names of mappings whose keys are codes.
TABLES = {"_NOTES": "cautions", "_TAKEN": "assumptions", "OPEN_READINGS": "open_readings"}
SAMPLES = 300


@pytest.fixture(scope="module")
def rulebook() -> Rulebook:
    return load(ROOT / "rules")


class Codes(ast.NodeVisitor):
    """Codes of a source by the part of the answer they stand in; where a code is put together, its pieces."""

    def __init__(self) -> None:
        self.found: dict[str, set[str]] = defaultdict(set)
        self.pieced: dict[str, list[tuple[str, ...]]] = defaultdict(list)
        self.makers = dict(MAKERS)

    def visit_FunctionDef(self, node: ast.FunctionDef) -> None:
        first = node.args.args[0].arg if node.args.args else None
        for call in (n for n in ast.walk(node) if isinstance(n, ast.Call)):
            part, code = self._made(call)
            if part and isinstance(code, ast.Name) and code.id == first:
                self.makers[node.name] = part
        self.generic_visit(node)

    def visit_Call(self, node: ast.Call) -> None:
        part, code = self._made(node)
        if part:
            self._take(part, code)
        self.generic_visit(node)

    def visit_Assign(self, node: ast.Assign) -> None:
        self._take_table(node.targets[0], node.value)
        self.generic_visit(node)

    def visit_AnnAssign(self, node: ast.AnnAssign) -> None:
        self._take_table(node.target, node.value)
        self.generic_visit(node)

    def visit_Dict(self, node: ast.Dict) -> None:
        pairs = zip(node.keys, node.values, strict=True)
        entry = {key.value: value for key, value in pairs if isinstance(key, ast.Constant)}
        if set(entry) == {"code", "text"} and isinstance(entry["code"], ast.Constant):
            self._take("cautions", entry["code"])
        self.generic_visit(node)

    def _made(self, call: ast.Call) -> tuple[str | None, ast.expr | None]:
        name = call.func.attr if isinstance(call.func, ast.Attribute) else getattr(call.func, "id", None)
        noted = name == "add" and isinstance(call.func, ast.Attribute) and len(call.args) == 3
        part = "assumptions" if noted else self.makers.get(str(name))
        return part, call.args[0] if call.args else None

    def _take(self, part: str, code: ast.expr | None) -> None:
        if isinstance(code, ast.Constant):
            self.found[part].add(str(code.value))
        elif isinstance(code, ast.JoinedStr):
            pieces = tuple(str(piece.value) if isinstance(piece, ast.Constant) else "" for piece in code.values)
            self.pieced[part].append(pieces)
        else:
            assert isinstance(code, ast.Name | ast.Attribute), ast.dump(code) if code else "a code is left out"

    def _take_table(self, target: ast.expr, value: ast.expr | None) -> None:
        part = TABLES.get(target.id) if isinstance(target, ast.Name) else None
        if part and isinstance(value, ast.Dict):
            self.found[part] |= {str(key.value) for key in value.keys if isinstance(key, ast.Constant)}


def of_sources() -> Codes:
    """Read every source twice: a helper that is handed a code may be called above its definition."""
    visitor = Codes()
    for _ in range(2):
        visitor.found.clear()
        visitor.pieced.clear()
        for path in SOURCES:
            visitor.visit(ast.parse(path.read_text("utf-8")))
    return visitor


def put_together() -> dict[str, set[str]]:
    """Write out the codes that are put together from a name of the request or of the rule files."""
    family = json.loads((ROOT / "schemas" / "family.schema.json").read_text("utf-8"))
    uses = family["properties"]["approval"]["properties"]["uses"]["items"]["enum"]
    conditions = json.loads((ROOT / "rules" / "factors" / "site-conditions.json").read_text("utf-8"))["conditions"]
    contract = json.loads((ROOT / "schemas" / "openapi.json").read_text("utf-8"))
    flags = [
        name
        for name, facts in contract["components"]["schemas"]["Use"]["properties"].items()
        if facts.get(LEFT_OUT) != "unknown"
    ]
    return {
        "requirements": {f"approved_use_{use}" for use in uses},
        "assumptions": {f"{name}_not_given" for name in flags},
        "of_site": {f"{name}_unknown" for name in conditions},
    }


PIECED = {"requirements": [("approved_use_", "")], "assumptions": [("", "_not_given"), ("", "_unknown")]}


def test_codes_that_are_put_together_are_of_known_kinds() -> None:
    pieced = of_sources().pieced
    assert {part: sorted(pieces) for part, pieces in pieced.items()} == PIECED


@pytest.mark.parametrize("part", LISTED)
def test_codes_of_the_sources_are_the_listed_ones(part: str) -> None:
    found = of_sources().found[part] | put_together().get(part, set())
    assert found == set(LISTED[part])


def test_codes_of_site_conditions_and_of_the_rulebook_are_listed_with_it(rulebook: Rulebook) -> None:
    listed = codes_of(rulebook)
    assert set(listed["assumptions"]) - set(codes.ASSUMPTIONS) == put_together()["of_site"]
    own = {caution["code"] for caution in rulebook.document["cautions"]}
    assert set(listed["cautions"]) - set(codes.CAUTIONS) == own


def answered(answer: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    for part in ("requirements", "scope_limits", "assumptions", "cautions"):
        yield from ((part, entry["code"]) for entry in answer[part])
    yield from (("open_readings", entry["code"]) for entry in answer["basis"]["open_readings"])


def test_codes_of_random_answers_are_listed(rulebook: Rulebook) -> None:
    listed = {(part, code) for part, meanings in codes_of(rulebook).items() for code in meanings}
    seen = {
        pair for seed in range(SAMPLES) for pair in answered(verify(random_fixing(seed, rulebook.families), rulebook))
    }
    assert seen - listed == set()
    assert {part for part, _ in seen} == set(LISTED)


def test_listed_codes_are_published(contract: Contract) -> None:
    schemas = contract.document["components"]["schemas"]
    for part, meanings in LISTED.items():
        field = schemas[SCHEMA_OF[part]]["properties"]["code"]
        assert field["x-known-codes"] == dict(meanings)
        assert "enum" not in field, "answers may gain codes"
        assert all(code in field["description"] for code in meanings)


def test_version_lists_its_codes(client: HeldClient, rulebook: Rulebook) -> None:
    told = client.get(f"/v1/rulebooks/{rulebook.version}").get_json()["codes"]
    assert {part: {e["code"]: e["meaning"] for e in entries} for part, entries in told.items()} == codes_of(rulebook)


def test_reading_the_sources_finds_a_code_behind_a_helper() -> None:
    visitor = Codes()
    helper = "def _at_least(code, given):\n    return Requirement(code, given)\n"
    visitor.visit(ast.parse(helper + '_at_least("thin", 1)\n'))
    assert visitor.found["requirements"] == {"thin"}
