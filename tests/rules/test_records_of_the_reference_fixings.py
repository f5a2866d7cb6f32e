"""The answer to every reference fixing makes a record of the published form."""

from __future__ import annotations

from typing import Any

import pytest

from service.rulebook import plain
from service.rulebook.schemas import validators
from service.verification import verify
from tests.shipped import shipped_rules

RULEBOOK = shipped_rules()


@pytest.mark.parametrize("reference", RULEBOOK.reference, ids=lambda reference: reference["id"])
def test_request_and_full_answer_make_a_record(reference: dict[str, Any]) -> None:
    request = plain(reference["request"]) | {"detail": "full"}
    record = {"request": request, "answer": verify(request, RULEBOOK)}
    assert [f"{problem.json_path}: {problem.message}" for problem in validators()["record"].iter_errors(record)] == []
