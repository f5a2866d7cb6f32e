"""Imports point one way: pyproject.toml says which, and import-linter holds them to it."""

import ast
import re
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest
from importlinter.cli import EXIT_STATUS_SUCCESS, lint_imports

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "service"
SETTINGS = ROOT / "pyproject.toml"
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


def test_imports_point_one_way(monkeypatch: pytest.MonkeyPatch) -> None:
    # It would silence every logger that is there, and the tests after this one could not read what is logged.
    monkeypatch.setattr("logging.config.dictConfig", lambda settings: None)
    assert lint_imports(str(SETTINGS), no_cache=True) == EXIT_STATUS_SUCCESS


@pytest.mark.parametrize(
    ("module", "line", "broken"),
    [
        ("engine/concrete_cone.py", "from service import rulebook", "Imports point one way"),
        ("engine/concrete_cone.py", "from service.words import codes", "Imports point one way"),
        ("contract/sheets.py", "import service.api.body", "Imports point one way"),
        ("verification/answer.py", "from service.sizing import layouts", "Imports point one way"),
        ("site/labels.py", "from service.audit import records", "Imports point one way"),
        ("pulls/gauge.py", "", "Imports point one way"),
        ("cli/reading.py", "import flask", "Only the service itself knows the web"),
        ("rulebook/reading.py", "import marshmallow", "Mechanics, rules and words know no schemas of the API"),
    ],
)
def test_the_check_sees_an_import_that_points_the_wrong_way(
    tmp_path: Path, module: str, line: str, broken: str
) -> None:
    rooms = {path.name for path in PACKAGE.iterdir() if path.is_dir() and modules(path.name)}
    for name in ("", *rooms, Path(module).parent.name):
        (tmp_path / "service" / name).mkdir(exist_ok=True)
        (tmp_path / "service" / name / "__init__.py").touch()
    for name in (
        "public.py",
        "api/body.py",
        "audit/records.py",
        "rulebook/shelf.py",
        "sizing/layouts.py",
        "words/codes.py",
    ):
        (tmp_path / "service" / name).touch()
    (tmp_path / "service" / module).write_text(f"{line}\n")
    contracts = SETTINGS.read_text("utf-8").partition("[tool.importlinter]")
    without_exceptions = re.sub(r"(?s)ignore_imports = \[.*?\n\]", "", "".join(contracts[1:]))
    (tmp_path / "pyproject.toml").write_text(without_exceptions)
    run = "import sys; from importlinter.cli import lint_imports; sys.exit(lint_imports(no_cache=True))"
    done = subprocess.run([sys.executable, "-c", run], cwd=tmp_path, capture_output=True, text=True, check=False)
    assert done.returncode == 1, done.stdout + done.stderr
    assert f"{broken} BROKEN" in done.stdout


@pytest.mark.parametrize("module", modules("engine"), ids=lambda m: m.stem)
def test_the_engine_uses_nothing_but_mathematics_and_itself(module: Path) -> None:
    foreign = {name for name in imported(module) if name.split(".")[0] not in ENGINE_MAY_USE}
    assert {name for name in foreign if not name.startswith("service.engine")} == set()


def test_what_the_service_imports_is_declared() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    declared = {re.split(r"[<>=]", text)[0].replace("-", "_") for text in project["dependencies"]}
    used = {name.split(".")[0] for module in PACKAGE.rglob("*.py") for name in imported(module)}
    assert used - set(sys.stdlib_module_names) - {"service"} <= declared
