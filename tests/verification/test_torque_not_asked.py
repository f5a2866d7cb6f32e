"""A wrench shows nothing where the assessment names no torque; figures of the families' files."""

from __future__ import annotations

import pytest

from service.rulebook import Rulebook
from service.verification import verify
from tests.site.sheet_cases import REQUESTS


def said(rulebook: Rulebook, name: str, tool: str) -> list[str]:
    request = REQUESTS[name] | {"site": {**REQUESTS[name]["site"], "torque_control": tool}}
    answer = verify(request, rulebook)
    return [one["text"] for one in answer["cautions"] if one["code"] == "torque_not_asked"]


def test_a_torque_that_is_read_where_none_is_asked_is_remarked_on(rulebook: Rulebook) -> None:
    """The screw of size 10 has no installation torque and a driver torque of 410 Nm."""
    [text] = said(rulebook, "screw near a corner", "calibrated_wrench")
    assert text.startswith("The assessment names no torque for screw-zinc 10: a torque wrench shows nothing.")
    driven = "to use an impact wrench (at most 410 N·m), say so and verify it again."
    assert text.endswith(f"until the head lies on the fixture; {driven}")


@pytest.mark.parametrize(
    ("name", "tool"),
    [
        ("screw near a corner", "by_feel"),
        ("screw near a corner", "impact_driver_set"),
        ("resin", "calibrated_wrench"),
        ("nylon", "calibrated_wrench"),
        ("studs", "calibrated_wrench"),
    ],
)
def test_nothing_is_said_where_a_torque_is_asked_or_none_is_read(rulebook: Rulebook, name: str, tool: str) -> None:
    """Of plastic plugs and cast-in studs the site asks for no torque at all."""
    assert said(rulebook, name, tool) == []
