"""The reference fixings come out as a person reasoned they would. Source: the reasoning in each file, by hand."""

from __future__ import annotations

from typing import Any

import pytest

from service.rulebook import plain
from service.verification import verify
from tests.shipped import shipped_rules

RULEBOOK = shipped_rules()
MINIMUM = 60


@pytest.mark.parametrize("fixing", RULEBOOK.reference, ids=lambda fixing: str(fixing["id"]))
def test_reference_fixing(fixing: Any) -> None:
    request = {"assessed_on": "2026-11-25", **plain(fixing["request"])}
    answer = verify(request, RULEBOOK)
    expected = fixing["expected"]
    assert answer["verdict"] == expected["verdict"]
    if expected["governing_mode"] is not None:
        assert answer["governing"]["mode"] == expected["governing_mode"]
    if answer["verdict"] == "verified" and expected["governing_mode"] is None:
        assert answer["governing"] is None


def test_every_row_of_the_rulebook_has_one() -> None:
    named = {
        (
            f["request"]["fastener"]["family"],
            f["request"]["fastener"]["size"],
            f"{f['request']['fastener']['embedment_mm']:g}",
        )
        for f in RULEBOOK.reference
    }
    rows = {
        (family["id"], size, name)
        for family in RULEBOOK.families.values()
        for size, data in family["sizes"].items()
        for name in data["embedments"]
    }
    assert rows - named == set()
    assert len(RULEBOOK.reference) >= MINIMUM


def test_every_verdict_and_mode_is_expected_somewhere() -> None:
    assert {fixing["expected"]["verdict"] for fixing in RULEBOOK.reference} == {
        "verified", "not_verified", "outside_scope"
    }  # fmt: skip
    assert {fixing["expected"]["governing_mode"] for fixing in RULEBOOK.reference} >= {
        "steel_tension", "concrete_cone", "pull_out", "bond", "splitting", "blow_out", "steel_shear",
        "steel_shear_lever_arm", "pry_out", "concrete_edge", "interaction_concrete", "simplified_resultant",
    }  # fmt: skip
