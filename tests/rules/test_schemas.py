"""The schemas of the rule files say enough about every field."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from service.contract.terms import MODES
from service.rulebook.schemas import MEANINGS, check, validators

SCHEMAS = Path(__file__).resolve().parents[2] / "schemas"
BASE = Path(__file__).parent / "base"
FILES = sorted(SCHEMAS.glob("*.schema.json"))
RULE_KINDS = (
    "family",
    "rulebook",
    "site-conditions",
    "exposures",
    "temperature-ranges",
    "guard-loads",
    "installation",
    "load-models",
    "stated-loads",
    "common",
)
DIGEST = "sha256:" + "0" * 64
ANSWER: dict[str, Any] = {
    "verdict": "outside_scope",
    "governing": None,
    "checks": [],
    "requirements": [],
    "scope_limits": [{
        "code": "too_many_fasteners", "severity": "stops", "figures": {"fasteners": 12},
        "detail": "made up for the tests", "clause": None,
    }],
    "fastener": {
        "family": "bolt", "title": "Through-bolt", "mechanism": "torque_controlled_expansion", "size": "M12",
        "embedment_mm": 70, "length_mm": None, "article_code": None,
    },
    "fastener_forces": [],
    "site_reduction": {"factor": 1, "floor": 0.4, "below_floor": False, "parts": []},
    "permissible": None,
    "plate": {
        "status": "not_checked", "reason": "no section", "missing": [],
        "load_case": None, "stress_mpa": None, "yield_mpa": None,
        "stress_ratio": None, "deformation_mm": None,
        "deformation_max_mm": None, "contact_pressure_mpa": None, "utilisation_half_contact_stiffness": None,
    },
    "assumptions": [],
    "cautions": [
        {"code": "demonstration_data", "severity": "decide", "figures": {}, "text": "made up for the tests"}
    ],
    "basis": {"standards": [], "national_choices": [], "open_readings": [], "note": "made up for the tests"},
    "rulebook": {"version": "2026.1.0", "digest": DIGEST, "commit": None, "status": "demonstration",
                 "superseded_by": None},
    "suspensions": [],
    "assessed_on": "2026-11-25",
    "fixing_reference": None,
    "record": {"id": DIGEST, "engine": "anchor-rulebook-engine/0.2.0", "contract_version": 2},
}  # fmt: skip
DIRECTIONS = {"higher_is_less_safe", "lower_is_less_safe", "either", "none"}
AUDITED = {"x-direction", "x-unit", "x-order", "x-null", "x-empty", "x-list", "x-key", "x-symbol"}
UNITS = {
    "mm": "mm", "mm2": "mm2", "mm3": "mm3", "kn": "kN", "knm": "kNm", "nm": "Nm", "mpa": "MPa",
    "c": "°C", "minutes": "min", "ml": "ml", "kg": "kg",
}  # fmt: skip
FIGURE_UNITS = {*UNITS.values(), "m", "kN/m", "kg/m³", "1", "N^0.5 mm^-0.5"}
# Fields of the groups of geometry, steel, depth and concrete, with the symbols of EN 1992-4 (from memory).
SYMBOLS = {
    "diameter_mm": "d", "nominal_diameter_mm": "d_nom", "hole_diameter_mm": "d_0", "clearance_hole_mm": "d_f",
    "stress_area_mm2": "A_s", "section_modulus_mm3": "W_el", "head_diameter_mm": "d_h", "head_thickness_mm": "t_h",
    "tensile_strength_mpa": "f_uk", "yield_strength_mpa": "f_yk", "shear_kn": "V0_Rk,s",
    "bending_nm": "M0_Rk,s", "shear_group_factor": "k7", "gamma_ms_tension": "gamma_Ms", "gamma_ms_shear": "gamma_Ms",
    "installation_torque_nm": "T_inst", "effective_mm": "h_ef", "nominal_mm": "h_nom", "hole_mm": "h_1",
    "fixture_thickness_max_mm": "t_fix", "cracked_kn": "N_Rk,p", "uncracked_kn": "N_Rk,p",
    "cracked_factor": "k_cr,N", "uncracked_factor": "k_ucr,N", "cone_spacing_mm": "s_cr,N", "cone_edge_mm": "c_cr,N",
    "splitting_spacing_mm": "s_cr,sp", "splitting_edge_mm": "c_cr,sp", "splitting_kn": "N0_Rk,sp",
    "pry_out_factor": "k8", "shear_length_mm": "l_f", "member_thickness_min_mm": "h_min", "edge_min_mm": "c_min",
    "spacing_min_mm": "s_min",
}  # fmt: skip


def parts(node: Any, path: str = "#") -> Iterator[tuple[str, dict[str, Any]]]:
    """Every object within a schema, with its path."""
    if isinstance(node, dict):
        yield path, node
        for key, inner in node.items():
            yield from parts(inner, f"{path}/{key}")
    elif isinstance(node, list):
        for index, inner in enumerate(node):
            yield from parts(inner, f"{path}/{index}")


def parts_of(kind: str) -> list[tuple[str, dict[str, Any]]]:
    return list(parts(json.loads((SCHEMAS / f"{kind}.schema.json").read_text(encoding="utf-8"))))


def types_of(part: dict[str, Any]) -> set[str]:
    given = part.get("type", [])
    return {given} if isinstance(given, str) else set(given)


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_schema_is_valid_and_says_what_it_is(file: Path) -> None:
    schema = json.loads(file.read_text(encoding="utf-8"))
    Draft202012Validator.check_schema(schema)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert schema["$id"].endswith(f"/{file.name}")
    assert schema["title"]
    assert schema["description"]


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_every_field_has_a_description(file: Path) -> None:
    fields = [
        (f"{path}/properties/{name}", field)
        for path, part in parts(json.loads(file.read_text(encoding="utf-8")))
        if isinstance(part.get("properties"), dict)
        for name, field in part["properties"].items()
    ]
    assert [path for path, field in fields if not field.get("description")] == []


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_no_object_takes_unknown_fields_but_those_of_an_answer(file: Path) -> None:
    """Answers are open: clients and later engines tolerate added fields in them."""
    schema = json.loads(file.read_text(encoding="utf-8"))
    open_objects = [
        path
        for path, part in parts(schema)
        if "object" in types_of(part) and part.get("additionalProperties") is not False and "propertyNames" not in part
    ]
    of_answers = {"answer", *reached(schema, "answer")} - {"request", *reached(schema, "request")}
    assert [path for path in open_objects if path.split("/")[2] not in of_answers] == []


def reached(schema: dict[str, Any], name: str) -> set[str]:
    """The definitions that one leads to."""
    found: set[str] = set()
    waiting = [name]
    while waiting:
        for _, part in parts(schema.get("$defs", {}).get(waiting.pop(), {})):
            inner = str(part.get("$ref", "")).removeprefix("#/$defs/")
            if inner and inner not in found:
                found.add(inner)
                waiting.append(inner)
    return found


@pytest.mark.parametrize("kind", RULE_KINDS)
def test_every_figure_says_in_which_direction_it_is_less_safe(kind: str) -> None:
    numbers = [(path, part) for path, part in parts_of(kind) if types_of(part) & {"number", "integer"}]
    assert [path for path, part in numbers if part.get("x-direction") not in DIRECTIONS] == []


@pytest.mark.parametrize("kind", RULE_KINDS)
def test_every_figure_has_a_range_and_a_unit(kind: str) -> None:
    for path, part in parts_of(kind):
        if types_of(part) & {"number", "integer"}:
            assert {"minimum", "exclusiveMinimum"} & part.keys(), path
            assert "maximum" in part, path
            assert part["x-unit"] in FIGURE_UNITS, path


@pytest.mark.parametrize("kind", [*RULE_KINDS, "record"])
def test_unit_in_the_name_is_the_unit_of_the_field(kind: str) -> None:
    for path, part in parts_of(kind):
        name = path.rpartition("/")[2]
        unit = name.rpartition("_")[2]
        if (
            types_of(part) & {"number", "integer"}
            and unit in UNITS
            and "/patternProperties/" not in path.rpartition("/properties/")[2]
        ):
            assert part["x-unit"] == UNITS[unit], path


def test_every_figure_with_a_symbol_names_it() -> None:
    properties = [
        (path.rpartition("/")[2], part)
        for path, part in parts_of("family")
        if "/size" in path and types_of(part) & {"number", "integer"}
    ]
    named = {name for name, _ in properties}
    assert named >= SYMBOLS.keys()
    for name, part in properties:
        if name in SYMBOLS:
            assert re.search(rf"(?<![\w,]){re.escape(SYMBOLS[name])}(?!\w|,\w)", part["description"]), name


def test_every_group_with_figures_asks_for_its_source() -> None:
    groups = [
        (path, part)
        for path, part in parts_of("family")
        if "/embedments/" in path or "/sizes/" in path
        if "properties" in part and any(types_of(field) & {"number"} for field in part["properties"].values())
    ]
    within_a_sourced_group = re.compile(r"/(installation_factor|displacement|lengths/items)$")
    without = [
        path
        for path, part in groups
        if "source" not in part.get("required", ()) and not within_a_sourced_group.search(path)
    ]
    assert without == [
        "#/properties/sizes/patternProperties/^[A-Z0-9][A-Za-z0-9.]{0,15}$/properties/embedments/patternProperties/^[1-9][0-9]*(\\.[0-9]+)?$"
    ]


@pytest.mark.parametrize(
    ("kind", "place"),
    [
        ("site-conditions", "values"),
        ("exposures", "exposures"),
        ("temperature-ranges", "ranges"),
    ],
)
def test_every_factor_asks_for_reason_and_source(kind: str, place: str) -> None:
    [entry] = [
        entry
        for path, part in parts_of(kind)
        if path.endswith(f"/properties/{place}")
        for entry in part["patternProperties"].values()
    ]
    assert {"reason", "source"} <= set(entry["required"])


def test_every_group_of_the_rulebook_with_figures_has_reason_and_source() -> None:
    groups = {
        name: part
        for name, part in dict(parts_of("rulebook"))["#"]["properties"].items()
        if any(types_of(inner) & {"number", "integer"} for _, inner in parts(part))
    }
    assert set(groups) == {"partial_factors", "fixture", "unknown", "site_reduction"}
    assert all({"reason", "source"} <= set(part["required"]) for part in groups.values())


def test_validators_are_built_once() -> None:
    assert validators() is validators()


@pytest.mark.parametrize("kind", [*RULE_KINDS, "reference", "record"])
def test_findings_have_words_for_every_keyword_and_place(kind: str) -> None:
    silent = {
        "$schema",
        "$id",
        "$ref",
        "$defs",
        "title",
        "description",
        "type",
        "properties",
        "patternProperties",
        "items",
        "anyOf",
        "propertyNames",
        "x-when-left-out",
        "x-sentence",
        "x-unit",
        "x-known-codes",
    }
    spoken = {"required", "additionalProperties", *AUDITED, *MEANINGS}
    for path, part in parts_of(kind):
        if "type" in part and not isinstance(part["type"], dict):
            assert part.keys() <= silent | spoken, path
            of_a_name = path.endswith(("/propertyNames", "/site/additionalProperties"))
            assert part.get("description") or of_a_name or "/anyOf/" in path, path


def test_a_record_is_a_request_and_its_answer() -> None:
    reference = json.loads((BASE / "reference/post.json").read_text(encoding="utf-8"))
    record = {"request": reference["request"], "answer": ANSWER}
    assert list(validators()["record"].iter_errors(record)) == []


def test_a_record_may_carry_fields_that_a_later_engine_answers_with() -> None:
    reference = json.loads((BASE / "reference/post.json").read_text(encoding="utf-8"))
    record = {"request": reference["request"], "answer": ANSWER | {"fire": None}}
    assert list(validators()["record"].iter_errors(record)) == []


def test_a_record_carries_no_field_that_no_request_has() -> None:
    reference = json.loads((BASE / "reference/post.json").read_text(encoding="utf-8"))
    record = {"request": reference["request"] | {"wind": 1}, "answer": ANSWER}
    [problem] = validators()["record"].iter_errors(record)
    assert problem.validator == "additionalProperties"


def test_a_record_without_its_identity_is_none() -> None:
    reference = json.loads((BASE / "reference/post.json").read_text(encoding="utf-8"))
    identity = {"id": "sha256:0", "engine": "none", "contract_version": 2}
    record = {"request": reference["request"], "answer": ANSWER | {"record": identity}}
    [problem] = validators()["record"].iter_errors(record)
    assert list(problem.absolute_path) == ["answer", "record", "id"]


WRONG = "the value is of the wrong type"


@pytest.mark.parametrize(
    ("path", "value", "pointer", "message", "allowed"),
    [
        (("member", "reinforcement"), "none", "/member/reinforcement", WRONG, "unknown"),
        (("member", "edges"), 5, "/member/edges", WRONG, "object, null"),
        (("member", "edges"), {"x_plus_mm": "far"}, "/member/edges/x_plus_mm", WRONG, "number"),
        (("member", "edges"), {"left_mm": 5}, "/member/edges/left_mm", "the field is not known here", "x_plus_mm"),
        (("site",), {"torque control": "by_feel"}, "/site", "the text is not of the form allowed", "A-Za-z"),
        (("site",), {"torque_control": 5}, "/site/torque_control", WRONG, "string"),
    ],
)  # fmt: skip
def test_what_is_wrong_with_a_reference_fixing_is_said_at_its_place(
    path: tuple[str, ...], value: Any, pointer: str, message: str, allowed: str
) -> None:
    reference = json.loads((BASE / "reference/post.json").read_text(encoding="utf-8"))
    place = reference["request"]
    for step in path[:-1]:
        place = place[step]
    place[path[-1]] = value
    findings = check("reference/post.json", reference)
    assert [(found.pointer, found.message) for found in findings] == [(f"#/request{pointer}", message)]
    assert allowed in str(findings[0].allowed)


def test_a_reference_fixing_may_expect_every_mode_and_nothing_else() -> None:
    reference = json.loads((BASE / "reference/post.json").read_text(encoding="utf-8"))
    for mode in (*MODES, None):
        reference["expected"]["governing_mode"] = mode
        assert check("reference/post.json", reference) == ()
    reference["expected"] = {"verdict": "verifed", "governing_mode": "concrete_con"}
    findings = check("reference/post.json", reference)
    assert [found.tip for found in findings] == ["did you mean concrete_cone?", "did you mean verified?"]
    reference["expected"] = {"verdict": "verified", "governing_mode": 5}
    assert [(found.message, found.allowed) for found in check("reference/post.json", reference)] == [
        (WRONG, "string, null")
    ]
