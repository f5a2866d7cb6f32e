"""Load models: an entry of a map that comes or goes may let fixings pass more easily or less, as the use has it.

Where the word of a request is gone, another word is given, or "unknown" and so the costliest of what is left, which may
be lower than before: neither way counts as safer. Directions are common practice, no source.
"""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

import pytest

from service.audit.changes.changed_values import Change, changes_of
from tests.audit.changes_repository import REMOVED, put

RULES = Path(__file__).parents[2] / "rules"
FILE = "factors/load-models.json"
COSTLIEST = {
    "uneven_shares": "not_levelled",
    "pipe_materials": "stainless_steel",
    "pipe_contents": "sewage",
    "along_pipe": "clamped",
    "machines": "reciprocating",
    "lifting": "power_hoist",
}


def document() -> dict[str, Any]:
    parsed: dict[str, Any] = json.loads((RULES / FILE).read_text("utf-8"))
    return parsed


def judged(old: dict[str, Any], new: dict[str, Any]) -> Change:
    [change] = changes_of({FILE: old}, {FILE: new}).values
    return change


@pytest.mark.parametrize(("table", "word"), COSTLIEST.items())
def test_an_entry_that_goes_or_comes_counts_as_neither_safer_nor_less_safe(table: str, word: str) -> None:
    whole, less = document(), document()
    del less[table][word]
    gone, come = judged(whole, less), judged(less, whole)
    assert (gone.kind, gone.effect) == ("removed", "depends_on_the_fixing")
    assert (come.kind, come.effect) == ("added", "depends_on_the_fixing")
    assert gone.effect.guarded


@pytest.mark.parametrize(
    ("pointer", "value", "effect"),
    [
        ("machines/reciprocating/dynamic_factor", 1.5, "less_safe"),
        ("machines/reciprocating/dynamic_factor", 2.5, "safer"),
        ("continuous_rail/factor", 1.1, "less_safe"),
        ("continuous_rail", REMOVED, "depends_on_the_fixing"),
        ("longest_pipe_span/span_mm", 3000, "less_safe"),
        ("longest_pipe_span/span_mm", 6000, "safer"),
        ("holding_down/factor", 1.0, "less_safe"),
        ("holding_down/factor", 0.8, "safer"),
        ("holding_down", REMOVED, "depends_on_the_fixing"),
        ("racking/fork_uplift_kn", 3.0, "less_safe"),
        ("racking/fork_uplift_kn", 6.0, "safer"),
        ("racking/fork_uplift_kn", REMOVED, "depends_on_the_fixing"),
    ],
)
def test_a_figure_goes_the_way_that_its_load_does(pointer: str, value: Any, effect: str) -> None:
    changed = copy.deepcopy(document())
    put(changed, pointer, value)
    assert judged(document(), changed).effect == effect
