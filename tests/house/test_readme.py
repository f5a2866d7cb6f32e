"""The README shows what the service really answers."""

import importlib.util
import json
import re
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def writer() -> ModuleType:
    spec = importlib.util.spec_from_file_location("readme", ROOT / "deploy" / "readme.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_examples_are_what_the_service_answers(writer: ModuleType) -> None:
    text = writer.README.read_text("utf-8")
    assert writer.with_examples(text, writer.examples()) == text, "run deploy/readme.py"


def test_every_example_has_its_block(writer: ModuleType) -> None:
    text = writer.README.read_text("utf-8")
    # The job is followed by tests/site/test_jobs.py.
    assert set(re.findall(r"^<!-- (.+) -->$", text, re.MULTILINE)) == {*writer.examples(), "job"}


def test_an_example_that_has_drifted_is_replaced(writer: ModuleType) -> None:
    text = "before\n<!-- a -->\n```json\n{}\n```\nafter\n"
    assert writer.with_examples(text, {"a": '{"b": 1}'}) == 'before\n<!-- a -->\n```json\n{"b": 1}\n```\nafter\n'


def test_the_readme_finds_a_fixing(writer: ModuleType) -> None:
    assert json.loads(writer.examples()["verification answer"])["verdict"] == "verified"
    assert "First choice: " in writer.examples()["sizing answer"]


def test_what_the_readme_and_the_developers_guide_name_is_there() -> None:
    for page in ("README.md", "DEVELOPERS.md"):
        text = (ROOT / page).read_text("utf-8")
        named = re.findall(r"`((?:service|rules|schemas|tests|deploy)/[\w./-]+)`", text)
        named += re.findall(r"\]\(([\w./-]+)\)", text)
        assert [path for path in named if not (ROOT / path).exists()] == []
        assert named
