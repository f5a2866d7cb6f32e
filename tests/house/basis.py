"""The basis table: clause, function, tests and their source, read from the code itself.

``python -m tests.house.basis`` writes `tests/BASIS.md`; a test fails while the two differ.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]
ENGINE = ROOT / "service" / "engine"
TABLE = ROOT / "tests" / "BASIS.md"
FOLDERS = ("published", "engine", "property", "independent")
STANDARD = re.compile(
    r"(EN 199[02](?:-\d)*)(?::\d{4})?,\s*"
    r"((?:Annex [A-Z]|Table \d[\d.]*\d|[\d.]*\d)(?:\s*(?:,|and)\s*[\d.]*\d)*)"
)
SOURCE = re.compile(r"(?:Source|Numbers come from)[: ]\s*(.+?)(?:\.\s|\.$|$)", re.DOTALL)
WHOLE_METHOD = "service.verification"

HEAD = """# The basis

Which clause stands behind which function, which test holds it, and where the test's number comes from. Made by
`python -m tests.house.basis` from docstrings and imports. Clause numbers were written from memory of the standards.

Every function of the method is also held, as part of the whole, by the second calculation in `tests/independent/` on
random fixings and by the reworked traces of `tests/engine/test_trace.py`; the last column names tests that call the
function itself.

| standard and clause | function | tests that call it, and their source |
| --- | --- | --- |
"""


@dataclass(frozen=True)
class Function:
    """A public function of the engine and its clause."""

    module: str
    name: str
    clause: str


@dataclass(frozen=True)
class Use:
    """A test that calls a function, and the source it names."""

    file: str
    test: str
    source: str


def functions() -> Iterator[Function]:
    """Public functions of the engine whose docstring names a clause."""
    for path in sorted(ENGINE.rglob("*.py")):
        module = ".".join(path.relative_to(ROOT).with_suffix("").parts)
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
                found = STANDARD.search(ast.get_docstring(node) or "")
                if found is not None:
                    yield Function(module, node.name, f"{found[1]}, {found[2]}")


def source_of(*docstrings: str | None) -> str | None:
    """The source that the nearest docstring names, None where none does."""
    for text in docstrings:
        found = SOURCE.search(text or "")
        if found is not None:
            return " ".join(found[1].split())
    return None


def uses() -> dict[tuple[str, str], list[Use]]:
    """Tests by the function of the engine that they call."""
    found: dict[tuple[str, str], list[Use]] = {}
    for folder in FOLDERS:
        for path in sorted((ROOT / "tests" / folder).glob("test_*.py")):
            tree = ast.parse(path.read_text(encoding="utf-8"))
            modules, names = _imports(tree)
            helpers = {
                n.name: n for n in tree.body if isinstance(n, ast.FunctionDef) and not n.name.startswith("test_")
            }
            for node in tree.body:
                if not (isinstance(node, ast.FunctionDef) and node.name.startswith("test_")):
                    continue
                source = source_of(ast.get_docstring(node), ast.get_docstring(tree)) or "not named"
                use = Use(str(path.relative_to(ROOT)), node.name, source)
                for called in sorted(_called(node, helpers, modules, names)):
                    found.setdefault(called, []).append(use)
    return found


def _imports(tree: ast.Module) -> tuple[dict[str, str], dict[str, tuple[str, str]]]:
    modules: dict[str, str] = {}
    names: dict[str, tuple[str, str]] = {}
    for node in tree.body:
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("service.engine"):
            for alias in node.names:
                whole = f"{node.module}.{alias.name}"
                if (ROOT / (whole.replace(".", "/") + ".py")).exists():
                    modules[alias.asname or alias.name] = whole
                else:
                    names[alias.asname or alias.name] = (node.module or "", alias.name)
    return modules, names


def _called(
    node: ast.FunctionDef,
    helpers: dict[str, ast.FunctionDef],
    modules: dict[str, str],
    names: dict[str, tuple[str, str]],
) -> set[tuple[str, str]]:
    found: set[tuple[str, str]] = set()
    waiting, seen = [node], {node.name}
    while waiting:
        for part in ast.walk(waiting.pop()):
            if isinstance(part, ast.Attribute) and isinstance(part.value, ast.Name) and part.value.id in modules:
                found.add((modules[part.value.id], part.attr))
            elif isinstance(part, ast.Name) and part.id in names:
                found.add(names[part.id])
            elif isinstance(part, ast.Name) and part.id in helpers and part.id not in seen:
                seen.add(part.id)
                waiting.append(helpers[part.id])
    return found


def table() -> str:
    """The table in Markdown."""
    by_function = uses()
    lines = []
    for function in sorted(functions(), key=lambda f: (_order(f.clause), f.module, f.name)):
        tests = by_function.get((function.module, function.name), [])
        cells = "; ".join(
            f"`{Path(use.file).parent.name}/{Path(use.file).name}::{use.test}` ({use.source})" for use in tests
        )
        module = function.module.removeprefix("service.engine.")
        lines.append(f"| {function.clause} | `{module}.{function.name}` | {cells or 'only as part of the whole'} |\n")
    return HEAD + "".join(lines)


def _order(clause: str) -> list[tuple[int, str]]:
    return [(int(part), "") if part.isdigit() else (0, part) for part in re.split(r"[\s.,]+", clause) if part]


if __name__ == "__main__":
    TABLE.write_text(table(), encoding="utf-8")
