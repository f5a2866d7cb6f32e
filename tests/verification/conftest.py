"""The demonstration rulebook and the example request that the tests vary."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from service.rulebook import Rulebook
from service.verification import verify
from tests.shipped import VERSION, shipped_rules

ROOT = Path(__file__).parents[2]

Request = dict[str, Any]
Ask = Callable[..., dict[str, Any]]


@pytest.fixture(scope="session")
def rulebook() -> Rulebook:
    return shipped_rules()


@pytest.fixture
def request_body() -> Request:
    body: Request = json.loads((ROOT / "deploy" / "example" / "verification.json").read_text(encoding="utf-8"))
    return copy.deepcopy(body) | {"rulebook": VERSION}


@pytest.fixture
def ask(rulebook: Rulebook, request_body: Request) -> Ask:
    """Verify the example with some of its parts changed: ``ask(member={"thickness_mm": 100})``."""

    def changed(**parts: Any) -> dict[str, Any]:
        body = copy.deepcopy(request_body)
        for name, part in parts.items():
            body[name] = body[name] | part if isinstance(part, dict) and isinstance(body.get(name), dict) else part
        return verify(body, rulebook)

    return changed
