"""The answer to every reference fixing makes a record of the published form."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from service.rulebook import load, plain
from service.rulebook.schemas import validators
from service.verification import verify

RULEBOOK = load(Path(__file__).resolve().parents[2] / "rules")


@pytest.mark.parametrize("reference", RULEBOOK.reference, ids=lambda reference: reference["id"])
def test_request_and_full_answer_make_a_record(reference: dict[str, Any]) -> None:
    request = plain(reference["request"]) | {"detail": "full"}
    record = {"request": request, "answer": verify(request, RULEBOOK)}
    assert [f"{problem.json_path}: {problem.message}" for problem in validators()["record"].iter_errors(record)] == []
