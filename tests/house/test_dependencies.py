"""Imports point one way: api, cli → site, audit → sizing → verification → engine, rulebook."""

import ast
import re
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "service"

MAY_IMPORT = {
    "words": set(),
    "engine": set(),
    "rulebook": set(),
    "verification": {"engine", "rulebook", "words"},
    "sizing": {"verification", "rulebook", "words"},
    "audit": {"sizing", "verification", "engine", "rulebook", "words"},
    "site": {"verification", "engine", "rulebook", "words"},
    "contract": {"sizing", "site", "audit", "verification", "rulebook", "words"},
    "api": {"contract", "sizing", "site", "audit", "verification", "rulebook", "words"},
    "cli": {"api", "contract", "sizing", "site", "audit", "verification", "rulebook", "words"},
}
ENGINE_MAY_USE = {
    "__future__",
    "collections",
    "dataclasses",
    "enum",
    "functools",
    "itertools",
    "math",
    "statistics",
    "typing",
}


def modules(room: str) -> list[Path]:
    return sorted((PACKAGE / room).rglob("*.py"))


def imported(module: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(module.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{module}: relative import"
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def rooms_of(module: Path) -> set[str]:
    names = [name.split(".") for name in imported(module)]
    return {parts[1] for parts in names if parts[0] == "service" and len(parts) > 1 and parts[1] in MAY_IMPORT}


def test_every_room_has_its_place_in_the_order() -> None:
    rooms = {path.name for path in PACKAGE.iterdir() if path.is_dir() and modules(path.name)}
    assert rooms <= MAY_IMPORT.keys()
    assert {"engine", "rulebook", "verification", "sizing", "api", "cli"} <= rooms


def test_the_order_has_no_circle() -> None:
    seen: set[str] = set()
    for room, allowed in MAY_IMPORT.items():
        assert allowed <= seen
        seen.add(room)


@pytest.mark.parametrize("room", MAY_IMPORT)
def test_a_room_imports_only_from_rooms_below_it(room: str) -> None:
    wrong = {m.name: sorted(rooms_of(m) - MAY_IMPORT[room] - {room}) for m in modules(room)}
    assert {name: rooms for name, rooms in wrong.items() if rooms} == {}


@pytest.mark.parametrize("module", modules("engine"), ids=lambda m: m.stem)
def test_the_engine_uses_nothing_but_mathematics_and_itself(module: Path) -> None:
    foreign = {name for name in imported(module) if name.split(".")[0] not in ENGINE_MAY_USE}
    assert {name for name in foreign if not name.startswith("service.engine")} == set()


def test_what_the_service_imports_is_declared() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    declared = {re.split(r"[<>=]", text)[0].replace("-", "_") for text in project["dependencies"]}
    used = {name.split(".")[0] for module in PACKAGE.rglob("*.py") for name in imported(module)}
    assert used - set(sys.stdlib_module_names) - {"service"} <= declared


def test_the_check_sees_an_import_that_points_the_wrong_way(tmp_path: Path) -> None:
    module = tmp_path / "concrete_cone.py"
    module.write_text("from service import rulebook\nimport service.api.body\nfrom service.engine import model\n")
    assert rooms_of(module) == {"rulebook", "api", "engine"}
