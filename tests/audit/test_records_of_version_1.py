"""Records that were made before answers stated a version of the contract: they are kept and still replay.

They were made by the code of that time; `records_of_version_1.json` says by which, and they are never made anew.
"""

from __future__ import annotations

import copy
import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from service.audit.records import Replay, read_record, replay_record
from service.contract.replays import ANOTHER_ENGINE, NOT_MADE_HERE
from service.rulebook.shelf import Shelf
from service.verification.record import ENGINE
from tests.shipped import former_shelf

KEPT = json.loads(Path(__file__).with_name("records_of_version_1.json").read_text("utf-8"))["records"]
DAY = date(2026, 11, 25)
CALCULATED_OTHERWISE = {
    "bonded, unknown site": {"#/answer/verdict", "#/answer/site_reduction/factor"},
    "frame on grout": {"#/answer/plate/stress_mpa"},
    "guardrail post, whole working": {"#/answer/permissible/0/growth"},
    "stand-off": {"#/answer/verdict"},
    "outside the method": {"#/answer/verdict", "#/answer/scope_limits/0/detail", "#/answer/governing"},
    "pulls on site": {"#/answer/governing/utilisation", "#/answer/checks/0/characteristic_resistance_kn"},
}
"""Where other figures come out since, and which: the floor of the site factors stood in their place, 0.4 for 0.344;
even pulls counted with less scatter than a tenth; a group in clearance holes near an edge had no figure;
pressure bent a plate only where its resultant stood beyond the attached section; no plate had to bend little beside its
fasteners, and one that was not told counted as stiff."""
every_record = pytest.mark.parametrize("kept", KEPT, ids=lambda kept: kept["name"])


@pytest.fixture(scope="module")
def shelf() -> Shelf:
    return former_shelf()


def replayed(record: dict[str, Any], shelf: Shelf) -> Replay:
    return replay_record(read_record(record["request"], record["answer"]), shelf, DAY)


@every_record
def test_it_keeps_its_id_and_its_figures_come_out(kept: dict[str, Any], shelf: Shelf) -> None:
    found = replayed(kept, shelf)
    assert found.record.contract_version == 1
    assert found.consistent
    contradicted = {entry.pointer for entry in found.differences if entry.contradicts}
    if kept["name"] in CALCULATED_OTHERWISE:
        cause = NOT_MADE_HERE if found.record.engine == ENGINE else ANOTHER_ENGINE
        assert (found.outcome, found.cause) == ("different", cause)
        assert CALCULATED_OTHERWISE[kept["name"]] <= contradicted
        return
    assert contradicted == set()
    assert found.outcome in {"identical", "same_figures"}


@every_record
@pytest.mark.parametrize(
    "steps", [("cautions", 0, "text"), ("basis", "note"), ("verdict",), ("fastener", "size"), ("plate", "status")]
)
def test_its_id_covers_figures_and_sentences(steps: tuple[str | int, ...], kept: dict[str, Any], shelf: Shelf) -> None:
    altered = copy.deepcopy(kept)
    place = altered["answer"]
    for step in steps[:-1]:
        place = place[step]
    place[steps[-1]] += " altered"
    found = replayed(altered, shelf)
    assert (found.outcome, found.cause) == ("different", "altered")


@every_record
def test_it_does_not_become_one_of_version_2_by_stating_it(kept: dict[str, Any], shelf: Shelf) -> None:
    altered = copy.deepcopy(kept)
    altered["answer"]["record"]["contract_version"] = 2
    assert replayed(altered, shelf).cause == "altered"


def test_every_verdict_and_the_pulls_are_among_them() -> None:
    assert {kept["answer"]["verdict"] for kept in KEPT} == {"verified", "not_verified", "outside_scope"}
    assert any("site_test" in kept["request"] for kept in KEPT)
    assert any(check.get("trace") for kept in KEPT for check in kept["answer"]["checks"])


def test_what_a_record_only_asserts_reproduces_it_and_carries_nothing_today(shelf: Shelf) -> None:
    [kept] = [kept for kept in KEPT if (kept["request"].get("use") or {}).get("redundant")]
    found = replayed(kept, shelf)
    assert found.outcome in {"identical", "same_figures"}
    assert found.today.before is not None
    assert found.today.before.passes
    assert found.today.after is not None
    asserted = {"redundant_use", "approved_use_redundant", "approved_use_non_structural"}
    assert asserted <= set(found.today.after.unmet)
