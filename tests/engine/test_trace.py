"""The working of every check can be redone with a pocket calculator. Source: the printed working itself."""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest

from service.rulebook import Rulebook
from service.verification import verify
from tests.engine.calculator import evaluate
from tests.independent.fixings import random_fixing
from tests.pressed import ON_NUTS, covering_compression
from tests.shipped import shipped_rules

GIVEN = (
    "assessment", "request", "national choice", "rulebook", "site reduction factor", "design action",
    "stated load", "at most 60", "smallest", "distance", "resultant against", "along the edge",
    "component", "couple of the row", "sum of the forces",
    "tensioned fasteners", "spacing along", "mean spacing", "axial force", "shear of this fastener",
    "largest edge distance", "largest spacing", "tension of this fastener", "steel in", "largest of", "1.7 cracked",
    "7.7 cracked", "7.5 cracked", "8.7 cracked", "0.6 up to", "2 rotation held", "0 with a washer", "1.4 cracked",
    "1.0 for one fastener",
)  # fmt: skip
"""What a value may be said to be when it is no formula: where it was read."""

PUBLISHED_DIGITS = 2e-5
"""Six significant digits of each figure, a few of them combined."""


@pytest.fixture(scope="module")
def rulebook() -> Rulebook:
    return shipped_rules()


def formula(expression: str) -> str | None:
    """The part of an expression that can be worked out, None where the value was read somewhere."""
    if expression.startswith(GIVEN):
        return None
    # Reasons stand behind a comma and a space that no bracket holds, or behind "where".
    depth = 0
    for place, letter in enumerate(expression):
        depth += (letter == "(") - (letter == ")")
        if depth == 0 and expression.startswith((", ", " where "), place):
            return expression[:place]
    return expression


def redo(check: dict[str, Any], worked: Counter[str]) -> None:
    known: dict[str, float] = {}
    for entry in check["trace"]:
        wanted = formula(entry["expression"])
        if wanted is not None:
            again = evaluate(wanted, known)
            assert entry["value"] == pytest.approx(again, rel=PUBLISHED_DIGITS, abs=1e-9), (check["mode"], entry)
            worked[check["mode"]] += 1
        known[entry["symbol"]] = entry["value"]
    assert check["trace"][-1]["value"] == check["utilisation"]


def test_every_mode_can_be_redone_by_hand(rulebook: Rulebook) -> None:
    worked: Counter[str] = Counter()
    for seed in range(300):
        answer = verify(random_fixing(seed, rulebook.families) | {"detail": "full"}, rulebook)
        for check in answer["checks"]:
            redo(check, worked)
    for check in verify(ON_NUTS, covering_compression(rulebook))["checks"]:
        redo(check, worked)
    assert set(worked) == {
        "steel_compression",
        "steel_tension", "concrete_cone", "pull_out", "bond", "splitting", "blow_out", "steel_shear",
        "steel_shear_lever_arm", "pry_out", "concrete_edge", "interaction_steel", "interaction_concrete",
        "simplified_resultant",
    }  # fmt: skip


def test_every_figure_of_the_rulebook_names_its_place(rulebook: Rulebook) -> None:
    from_the_rulebook = {"assessment", "national choice", "rulebook"}
    for seed in range(60):
        answer = verify(random_fixing(seed, rulebook.families) | {"detail": "full"}, rulebook)
        for check in answer["checks"]:
            for entry in check["trace"]:
                if entry["expression"] in from_the_rulebook:
                    assert entry["rule"] is not None, entry
                if entry["rule"] is not None and entry["expression"] == "assessment":
                    assert figure(rulebook, entry["rule"]) is not None, entry


def figure(rulebook: Rulebook, path: str) -> Any:
    """What stands in the rulebook under a path."""
    name, pointer = path.split("#/")
    group, _, file = name.partition("/")
    found: Any = {"families": rulebook.families, "factors": rulebook.factors}[group][file]
    for step in pointer.split("/"):
        found = found[step.replace("~1", "/").replace("~0", "~")]
    return found
