"""A small valid rulebook, and broken ones made from it by a few changes."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

RULES_TESTS = Path(__file__).parent
BASE = RULES_TESTS / "base"
REMOVED = object()
Change = Callable[[Mapping[str, Any]], Path]


@pytest.fixture
def base(tmp_path: Path) -> Path:
    """A copy of the small valid rulebook."""
    return Path(shutil.copytree(BASE, tmp_path / "rules"))


@pytest.fixture
def broken(base: Path) -> Change:
    """Apply the changes of a case file: "set" and "remove" by file and pointer, "write" and "delete" by file."""

    def change(case: Mapping[str, Any]) -> Path:
        for place, value in case.get("set", {}).items():
            _put(base, place, value)
        for place in case.get("remove", ()):
            _put(base, place, REMOVED)
        for file, text in case.get("write", {}).items():
            (base / file).parent.mkdir(exist_ok=True)
            (base / file).write_text(text, encoding="utf-8")
        for file in case.get("delete", ()):
            (base / file).unlink()
        return base

    return change


def _put(rules: Path, place: str, value: object) -> None:
    file, _, pointer = place.partition("#/")
    document = json.loads((rules / file).read_text(encoding="utf-8"))
    *steps, last = (step.replace("~1", "/").replace("~0", "~") for step in pointer.split("/"))
    inner = document
    for step in steps:
        inner = inner[int(step)] if isinstance(inner, list) else inner[step]
    if value is REMOVED:
        del inner[last]
    elif isinstance(inner, list):
        inner[int(last)] = value
    else:
        inner[last] = value
    (rules / file).write_text(json.dumps(document), encoding="utf-8")
