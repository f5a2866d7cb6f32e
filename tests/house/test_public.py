"""What a caller in Python gets: the answers of the service, its refusals, and an engine that loads no web."""

import doctest
import json
import math
import subprocess
import sys
from pathlib import Path
from types import MappingProxyType
from typing import Any

import pytest

import service
from service import RequestRefused, load_rulebook, public, size, verify
from service.cli import main
from service.rulebook.shelf import Shelf

ROOT = Path(__file__).resolve().parents[2]
RULES = ROOT / "rules"
EXAMPLE = ROOT / "deploy" / "example"
NO_FASTENER = {"family": "none", "size": "M12", "embedment_mm": 70}
ON_ITS_EDGE = {"thickness_mm": 250, "edges": {"y_plus_mm": 0}}
RAISED = {"width_mm": 220, "depth_mm": 220, "stand_off_mm": 20}
WEB = ("flask", "marshmallow", "werkzeug", "apispec", "gunicorn", "jsonschema")


@pytest.fixture(scope="module")
def rulebook() -> Shelf:
    """The demonstration; nobody can write into it."""
    return load_rulebook()


def example(name: str) -> dict[str, Any]:
    request: dict[str, Any] = json.loads((EXAMPLE / f"{name}.json").read_text("utf-8"))
    return request


def test_the_examples_of_the_docstrings_are_true() -> None:
    results = doctest.testmod(public)
    assert (results.failed, results.attempted > 3) == (0, True)


def test_what_is_public_is_exported() -> None:
    assert {getattr(service, name) for name in service.__all__} >= {load_rulebook, verify, size, RequestRefused}


@pytest.mark.parametrize(("name", "call", "file"), [("verify", verify, "verification"), ("size", size, "sizing")])
def test_answers_are_those_of_the_command_line(
    name: str, call: Any, file: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([name, "--json", "--rules", str(RULES), str(EXAMPLE / f"{file}.json")]) == 0
    told = json.loads(capsys.readouterr().out)
    assert json.loads(json.dumps(call(example(file), load_rulebook(RULES)))) == told


def test_a_choice_of_size_is_a_request_for_verify(rulebook: Shelf) -> None:
    choice = size(MappingProxyType(example("sizing")), rulebook)["choices"][0]
    assert verify(choice["request"], rulebook)["verdict"] == "verified"


@pytest.mark.parametrize(
    ("changes", "status", "code", "pointer"),
    [
        ({"positions": [{"x_mm": math.nan, "y_mm": 0}]}, 400, "not_finite", "#/positions/0/x_mm"),
        ({"positions": [{"x_mm": 0, "y_mm": 0, "z_mm": 0}]}, 422, "unknown_field", "#/positions/0/z_mm"),
        ({"rulebook": "1999.1.0"}, 422, "unknown_version", "#/rulebook"),
        ({"positions": [{"x_mm": 111, "y_mm": 0}]}, 422, "outside_fixture", "#/positions/0/x_mm"),
        ({"positions": [{"x_mm": 0, "y_mm": 0}], "member": ON_ITS_EDGE}, 422, "outside_member", "#/positions/0/y_mm"),
        ({"fixture": RAISED}, 422, "required", "#/fixture/thickness_mm"),
        ({"fastener": NO_FASTENER}, 422, "unknown_family", "#/fastener/family"),
    ],
)
def test_a_refusal_carries_status_code_and_pointer(
    rulebook: Shelf, changes: dict[str, Any], status: int, code: str, pointer: str
) -> None:
    with pytest.raises(RequestRefused, match=code) as caught:
        verify(example("verification") | changes, rulebook)
    assert caught.value.status == status
    assert (code, pointer) in [(fault.code, fault.pointer) for fault in caught.value.errors]


def test_what_json_has_no_word_for_is_a_type_error(rulebook: Shelf) -> None:
    with pytest.raises(TypeError, match="not JSON serializable"):
        verify(example("verification") | {"fixing_reference": object()}, rulebook)


def test_a_rulebook_that_is_not_there_or_has_errors_is_named(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError, match="nowhere"):
        load_rulebook(tmp_path / "nowhere")
    (tmp_path / "rulebook.json").write_text("{}", "utf-8")
    with pytest.raises(ValueError, match="the rulebook has"):
        load_rulebook(tmp_path)


def test_the_engine_loads_nothing_of_the_web() -> None:
    code = f"import sys, service, service.engine.verification; print([m for m in {WEB!r} if m in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, check=True, capture_output=True, text=True)
    assert done.stdout.strip() == "[]"
