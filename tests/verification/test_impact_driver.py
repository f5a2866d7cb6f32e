"""An impact driver may only tighten what its assessment gives a driver torque for; figures of the families' files."""

from __future__ import annotations

from typing import Any

import pytest

from service import sizing
from service.rulebook import Rulebook
from service.verification import verify
from tests.shipped import VERSION
from tests.site.sheet_cases import REQUESTS
from tests.verification.conftest import Ask


def found(answer: dict[str, Any]) -> list[dict[str, Any]]:
    return [entry for entry in answer["requirements"] if entry["code"] == "impact_driver_allowed"]


def driven(request: dict[str, Any], tool: str | None = "impact_driver_set") -> dict[str, Any]:
    return request | {"site": {**request["site"], "torque_control": tool}}


def test_a_bolt_without_a_driver_torque_is_not_verified_with_one(ask: Ask) -> None:
    answer = ask(rulebook=VERSION, site={"torque_control": "impact_driver_set"})
    [requirement] = found(answer)
    assert not requirement["met"]
    assert "no impact wrench is assessed: tighten to" in requirement["detail"]
    assert answer["verdict"] == "not_verified"
    assert answer["governing"]["utilisation"] < 1


@pytest.mark.parametrize("tool", ["calibrated_wrench", "by_feel", "unknown", None])
def test_another_tool_asks_nothing_of_it(ask: Ask, tool: str | None) -> None:
    assert found(ask(rulebook=VERSION, site={"torque_control": tool})) == []


@pytest.mark.parametrize(
    ("name", "met"),
    [("screw near a corner", True), ("resin", False), ("drop-ins overhead", False), ("nylon", False)],
)
def test_the_assessment_decides(rulebook: Rulebook, name: str, met: bool) -> None:
    """400 N·m for the screw of size 10, none for the others."""
    answer = verify(driven(REQUESTS[name]), rulebook)
    [requirement] = found(answer)
    assert requirement["met"] is met
    assert answer["verdict"] == ("verified" if met else "not_verified")
    assert requirement["rule"].endswith("/setting/impact_driver_torque_max_nm")


def test_nothing_is_tightened_on_a_stud_that_was_cast_in(rulebook: Rulebook) -> None:
    assert found(verify(driven(REQUESTS["studs"]), rulebook)) == []


def test_a_sizing_with_a_driver_finds_only_what_may_have_one(rulebook: Rulebook) -> None:
    wanted = driven(REQUESTS["screw near a corner"])
    answer = sizing.size({name: value for name, value in wanted.items() if name != "fastener"}, rulebook)
    assert answer["choices"]
    families = rulebook.families
    for choice in answer["choices"]:
        fastener = choice["fastener"]
        setting = families[fastener["family"]]["sizes"][fastener["size"]]["setting"]
        assert setting["impact_driver_torque_max_nm"] is not None
