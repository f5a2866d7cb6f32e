"""The reference fixings come out as a person reasoned they would. Source: the reasoning in each file, by hand."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from service.rulebook import load, plain
from service.verification import verify

RULEBOOK = load(Path(__file__).parents[2] / "rules")
MINIMUM = 20


@pytest.mark.parametrize("fixing", RULEBOOK.reference, ids=lambda fixing: str(fixing["id"]))
def test_reference_fixing(fixing: Any) -> None:
    answer = verify({"assessed_on": "2026-11-25", **plain(fixing["request"])}, RULEBOOK)
    expected = fixing["expected"]
    assert answer["verdict"] == expected["verdict"]
    if expected["governing_mode"] is not None:
        assert answer["governing"]["mode"] == expected["governing_mode"]
    if answer["verdict"] == "verified" and expected["governing_mode"] is None:
        assert answer["governing"] is None


def test_there_are_enough_of_them() -> None:
    assert len(RULEBOOK.reference) >= MINIMUM
    assert {fixing["expected"]["verdict"] for fixing in RULEBOOK.reference} == {
        "verified", "not_verified", "outside_scope"
    }  # fmt: skip
