"""Every figure of a sheet stands where it says, in rules, record or request, or it is recomputed."""

from __future__ import annotations

import ast
import json
import math
import operator
import re
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from service.contract.verification_codes import CAUTIONS, stated
from service.site.sheet import Job, as_json, make
from service.words import Audience, catalogue
from tests.shipped import VERSION, shipped_shelf
from tests.site.sheet_cases import ONE_TO_SET, REQUESTS, job

TEMPERATURE_C = 12.0
COUNT = 7
AS_BUILT = "as built, some still to be set"
OPERATIONS: dict[type, Callable[..., float]] = {
    ast.Add: operator.add, ast.Sub: operator.sub, ast.Mult: operator.mul, ast.Div: operator.truediv,
    ast.USub: operator.neg,
}  # fmt: skip
FASTENER = re.compile(r"\b[Ff]asteners? ((?:\d+(?:, )?)+)")
FUNCTIONS: dict[str, Callable[..., float]] = {
    "ceil": lambda v: math.ceil(v - 1e-9), "floor": lambda v: math.floor(v + 1e-9), "max": max, "hypot": math.hypot,
    "round": round,
}  # fmt: skip
OF_THE_STANDARD = {"edge_reach_mm": (10, 60), "property_class": (100, 10), "fastener_shear_kn": (100,),
                   "fastener_tension_kn": (100,), "hanging_kg": (100,), "pushing_kg": (100,),
                   "normal_kn": (100,), "mass_kg": (1000, 9.80665), "pull_kn": (1000,), "push_kn": (1000,),
                   "push_x_plus_kn": (1000,), "press_kn": (1000,), "moment_knm": (1000,),
                   "push_height_mm": (1000,)}  # fmt: skip
"""EN 1992-4:2018, 7.2.2.5: edges within max(10 h_ef, 60 d_nom) are checked. ISO 898-1 (from memory): 5.8 is a hundredth
of the strength and the share of its yield. Forces of a fastener are told up to the next
hundredth, limits of the whole fixture down to N and Nm; a height in mm is a thousand times one in m; 100 kg weigh a
little under 1 kN; the standard acceleration of fall is 9.80665 m/s² (3rd CGPM, from memory)."""
NUMBER = re.compile(r"(?<![\w.−-])-?\d+(?:\.\d+)?")


def calculated(expression: str) -> float:
    """Work out an expression of the sheet."""

    def of(node: ast.expr) -> float:
        if isinstance(node, ast.Constant) and isinstance(node.value, int | float):
            return node.value
        if isinstance(node, ast.BinOp):
            return OPERATIONS[type(node.op)](of(node.left), of(node.right))
        if isinstance(node, ast.UnaryOp):
            return OPERATIONS[type(node.op)](of(node.operand))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            return FUNCTIONS[node.func.id](*(of(argument) for argument in node.args))
        raise AssertionError(ast.dump(node))

    return of(ast.parse(expression, mode="eval").body)


def at(value: Any, pointer: str) -> Any:
    for step in pointer.split("/"):
        name = step.replace("~1", "/").replace("~0", "~")
        value = value[int(name)] if isinstance(value, list) else value[name]
    return value


def in_rules(path: str) -> Any:
    file, _, pointer = path.partition("#/")
    return at(shipped_shelf().content(VERSION)[f"{file}.json"], pointer)


def parts_with(value: Any, *names: str) -> Iterator[dict[str, Any]]:
    """Every object within a sheet that has the members."""
    if isinstance(value, dict):
        if set(names) <= value.keys():
            yield value
        for inner in value.values():
            yield from parts_with(inner, *names)
    elif isinstance(value, list):
        for inner in value:
            yield from parts_with(inner, *names)


def loose_numbers(value: Any, place: str = "#") -> Iterator[str]:
    """Places of numbers that stand outside a figure."""
    if isinstance(value, dict):
        if {"value", "rule", "from", "expression"} <= value.keys():
            return
        for name, inner in value.items():
            yield from loose_numbers(inner, f"{place}/{name}")
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            yield from loose_numbers(inner, f"{place}/{index}")
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield place


def hold_figure(figure: dict[str, Any], record: dict[str, Any], body: dict[str, Any]) -> None:
    origins = [name for name in ("rule", "from", "expression") if figure[name] is not None]
    assert len(origins) == 1, figure
    value = figure["value"]
    if figure["rule"]:
        assert value == in_rules(figure["rule"]), figure
    elif figure["from"]:
        root = record if figure["from"].startswith(("#/request", "#/answer")) else body
        found = at(root, figure["from"].removeprefix("#/"))
        assert value == (len(found) if isinstance(found, list) else found), figure
    else:
        assert calculated(figure["expression"]) == pytest.approx(value, rel=1e-5), figure
        given = [abs(inner["value"]) for inner in figure["of"]] + [1, *OF_THE_STANDARD.get(figure["name"], ())]
        for number in re.findall(r"\d+(?:\.\d+)?(?:e[+-]?\d+)?", figure["expression"]):
            assert any(math.isclose(float(number), one, rel_tol=1e-9) for one in given), (number, figure)


@pytest.fixture(scope="module", params=[*REQUESTS, AS_BUILT])
def sheet(request: pytest.FixtureRequest) -> tuple[dict[str, Any], Job]:
    one = job(ONE_TO_SET) if request.param == AS_BUILT else job(REQUESTS[request.param], COUNT)
    bonded = one.answer["fastener"]["mechanism"] == "bonded"
    made = make([one], temperature_c=TEMPERATURE_C if bonded else None)
    return json.loads(json.dumps(as_json(made.sheet))), one


def test_every_figure_stands_where_it_says(sheet: tuple[dict[str, Any], Job]) -> None:
    shown, one = sheet
    record = {"request": one.request, "answer": one.answer}
    body = {"concrete_temperature_c": TEMPERATURE_C, "counts": [COUNT]}
    figures = list(parts_with(shown, "value", "rule", "from", "expression"))
    assert len(figures) > 60
    for figure in figures:
        hold_figure(figure, record, body)


def test_the_reach_of_edges_is_the_one_that_was_verified_with(sheet: tuple[dict[str, Any], Job]) -> None:
    """The sheet works the distance out; the record says it in its assumption."""
    shown, one = sheet
    said = [entry["text"] for entry in one.answer["assumptions"] if entry["code"] == "edges_out_of_reach"]
    reaches = [f["value"] for f in parts_with(shown, "value", "rule") if f["name"] == "edge_reach_mm"]
    assert len(reaches) == len(said)
    assert all(f" {reach:g} mm" in text for reach, text in zip(reaches, said, strict=True))


def test_no_number_stands_outside_a_figure(sheet: tuple[dict[str, Any], Job]) -> None:
    shown, _ = sheet
    of_materials = r"materials/\d+/for_fixings/\d+|materials/\d+/per_fixing/\d+/fixing"
    of_fasteners = r"places/\d+/number|to_fill_in/each_fastener/\d+/numbers/\d+|as_built/(standing|to_set)/\d+"
    numbering = re.compile(rf"#/(fixings/\d+/number|fixings/\d+/({of_fasteners})|{of_materials})$")
    assert [place for place in loose_numbers(shown) if not numbering.match(place)] == []


def test_every_number_in_the_words_is_one_of_the_figures(sheet: tuple[dict[str, Any], Job]) -> None:
    shown, one = sheet
    chosen = one.answer["fastener"]
    lines = list(parts_with(shown, "text", "figures"))
    assert len(lines) > 20
    for entry in lines:
        if entry["rule"] or (entry["from"] or "").endswith("/text"):
            continue
        text = entry["text"]
        for name in (chosen["title"], chosen["article_code"], f", size {chosen['size']},"):
            text = text.replace(name, "")
        for word in [f["value"] for f in entry["figures"] if isinstance(f["value"], str)]:
            text = re.sub(rf"(?<![\w.]){re.escape(word)}(?!\w|\.\d)", "", text)
        # A fastener goes by its number, which is a name and no figure.
        places = {place["number"] for fixing in shown["fixings"] for place in fixing["places"]}
        missing = set(one.request.get("built", {}).get("missing_numbers", ()))
        named = {int(number) for found in FASTENER.findall(text) for number in re.findall(r"\d+", found)}
        assert named <= places | missing
        text = FASTENER.sub("", text)
        values = [f["value"] for f in entry["figures"] if not isinstance(f["value"], str)]
        hours = [part for v in values for part in (v, v // 60, v % 60)]
        for number in NUMBER.findall(text):
            assert any(math.isclose(float(number), value) for value in hours), (number, entry)


def test_words_of_the_rulebook_and_of_the_record_are_word_by_word(sheet: tuple[dict[str, Any], Job]) -> None:
    shown, one = sheet
    record = {"request": one.request, "answer": one.answer}
    compared = 0
    for entry in parts_with(shown, "text", "figures"):
        if entry["rule"] and isinstance(found := in_rules(entry["rule"]), str):
            assert entry["text"] == found
            compared += 1
        if entry["from"] and entry["from"].startswith("#/answer/cautions"):
            found = at(record, entry["from"].removeprefix("#/"))
            if not isinstance(found, str):
                # Made from code and figures for the crew: as the API itself makes its sentence for the engineer.
                statement = stated(found, CAUTIONS)
                assert statement is not None
                assert catalogue(Audience.ENGINEER).sentence(statement) == found["text"]
                found = catalogue(Audience.CREW).sentence(statement)
            assert entry["text"] == found
            compared += 1
    assert compared > 8


def test_a_figure_that_is_not_where_it_says_is_found() -> None:
    figure = {"value": 96, "rule": "families/bolt-expansion-stainless#/sizes/M12/embedments/75/depth/hole_mm",
              "from": None, "expression": None, "of": []}  # fmt: skip
    with pytest.raises(AssertionError, match="hole_mm"):
        hold_figure(figure, {}, {})
    with pytest.raises(AssertionError, match="expression"):
        hold_figure({"value": 4, "rule": None, "from": None, "expression": "1 + 2", "of": []}, {}, {})
