"""Public functions of the engine name their clause and the unit of every figure."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

ENGINE = Path(__file__).resolve().parents[2] / "service" / "engine"
CLAUSE = re.compile(r"EN 199\d(-\d)+|EN 1990")
UNITS = r"N|mm|mm²|mm³|mm⁴|MPa|Nmm|N/mm|no unit|degrees|radians"
UNIT = re.compile(rf"\([^()]*\b({UNITS})\b[^()]*\)|\([^()]*(mm[²³⁴]|N\^0\.5)[^()]*\)")

# Pure geometry has coefficients of a line, and picking the worst check belongs to no clause.
NO_UNITS = ("geometry-clip_half_plane",)
NO_CLAUSE = ("design_check-worst",)

Function = ast.FunctionDef


def public_functions(text: str) -> Iterator[Function]:
    return (n for n in ast.parse(text).body if isinstance(n, ast.FunctionDef) and not n.name.startswith("_"))


def figures(function: Function) -> list[str]:
    arguments = [*function.args.args, *function.args.kwonlyargs]
    return [a.arg for a in arguments if isinstance(a.annotation, ast.Name) and a.annotation.id == "float"]


def gives_a_figure(function: Function) -> bool:
    return isinstance(function.returns, ast.Name) and function.returns.id == "float"


def missing_units(function: Function) -> list[str]:
    text = ast.get_docstring(function) or ""
    body, _, returns = text.partition("Returns:")
    missing = []
    if "Args:" in text:
        entries = dict(re.findall(r"^ {4}(\w+): (.*(?:\n {8}.*)*)", body.partition("Args:")[2], re.MULTILINE))
        missing = [name for name in figures(function) if not UNIT.search(entries.get(name, ""))]
    if gives_a_figure(function) and not UNIT.search(returns or body):
        missing.append("Returns")
    return missing


ALL = [
    (module, function)
    for module in sorted(ENGINE.rglob("*.py"))
    for function in public_functions(module.read_text("utf-8"))
]


def cases(exempt: tuple[str, ...], rooms: str = "") -> list[Any]:
    named = [(f"{module.stem}-{function.name}", module, function) for module, function in ALL if rooms in str(module)]
    return [pytest.param(module, function, id=name) for name, module, function in named if name not in exempt]


@pytest.mark.parametrize(("module", "function"), cases(NO_UNITS))
def test_a_public_function_names_the_unit_of_each_figure(module: Path, function: Function) -> None:
    assert missing_units(function) == [], f"{module.name}: {function.name}"


@pytest.mark.parametrize(("module", "function"), cases(NO_CLAUSE, "en199"))
def test_a_function_of_the_standard_names_its_clause(module: Path, function: Function) -> None:
    of_module = ast.get_docstring(ast.parse(module.read_text("utf-8"))) or ""
    assert CLAUSE.search(f"{of_module} {ast.get_docstring(function)}"), f"{module.name}: {function.name}"


def test_the_check_misses_no_unit() -> None:
    (function,) = public_functions(
        "def cone(k1: float, depth_mm: float) -> float:\n"
        '    """Cone.\n\n'
        "    Args:\n        k1: Factor.\n        depth_mm: Depth (mm).\n\n"
        '    Returns:\n        Force.\n    """\n'
    )
    assert missing_units(function) == ["k1", "Returns"]
