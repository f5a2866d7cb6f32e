"""Which way a change of what site tests and labels ask goes: each is guarded that lets a fixing pass more easily.

The directions are common practice, no source: what a figure of the rules allows more of is less safe when it rises.
"""

# A case a row: the tables are read down their columns.
# ruff: noqa: E501

from __future__ import annotations

import pytest

from service.audit.changes.directions import of_values
from service.audit.changes.rule_fields import RuleField, root
from service.contract.changes import Effect


def field(file: str, *names: str) -> RuleField:
    found = root(file)
    for name in names:
        found = found.member(name)
    return found


TESTS, LOADS = "factors/site-tests.json", "factors/stated-loads.json"
CHANGES = [
    pytest.param(field(TESTS, "loading", "steel_yield_share_max"), 0.8, 1.0, Effect.LESS_SAFE, id="pulled nearer to yield"),
    pytest.param(field(TESTS, "loading", "steel_yield_share_max"), 0.8, 0.7, Effect.SAFER, id="pulled less hard"),
    pytest.param(field(TESTS, "allowable_tests", "crack_width_min_mm"), 0.3, 0.1, Effect.LESS_SAFE, id="narrower cracks"),
    pytest.param(field(TESTS, "allowable_tests", "outlier_significance"), 0.05, 0.01, Effect.DEPENDS, id="fewer outliers named"),
    pytest.param(field(TESTS, "allowable_tests", "outlier_significance"), 0.05, 0.1, Effect.DEPENDS, id="more outliers named"),
    pytest.param(field(TESTS, "proof_tests", "after_one_failure", "times_first_min"), 3, 2, Effect.LESS_SAFE, id="fewer after a failure"),
    pytest.param(field(LOADS, "agreement", "tolerance"), 0.02, 0.1, Effect.DEPENDS, id="two figures agree more easily"),
    pytest.param(field(LOADS, "agreement", "tolerance"), 0.02, 0.01, Effect.DEPENDS, id="two figures agree less easily"),
]  # fmt: skip


@pytest.mark.parametrize(("changed", "old", "new", "effect"), CHANGES)
def test_change_goes_the_way_that_it_works(changed: RuleField, old: float, new: float, effect: Effect) -> None:
    assert of_values(changed, old, new) is effect


@pytest.mark.parametrize("changed", [case.values[0] for case in CHANGES])
def test_no_change_of_them_goes_unguarded(changed: RuleField) -> None:
    found = {of_values(changed, 0.5, 0.6), of_values(changed, 0.5, 0.4)}
    assert any(effect.guarded for effect in found)
