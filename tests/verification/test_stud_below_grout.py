"""A stud that is welded to its plate is missing in the concrete by what lies between plate and concrete.

The file of the studs: every length is the nominal embedment of its row, from the plate to the end of the head, so that
any grout takes away from what is assessed. That the assessment means a plate that is flush with the concrete is from
memory.
"""

from __future__ import annotations

import copy
from dataclasses import replace
from typing import Any

import pytest

from service import verification
from service.rulebook import Rulebook
from service.rulebook.book import plain
from service.site.sheet import Job, NoSheet, make
from service.site.sheet.page import page
from service.sizing import size
from tests.site.sheet_cases import REQUESTS, book
from tests.site.test_sheet_job_and_bill import text_of
from tests.verification.test_verdicts import unmet

GROUT_MM = 10


def on_grout(**more: Any) -> dict[str, Any]:
    request = copy.deepcopy(REQUESTS["studs"])
    request["fixture"]["grout"] = {"thickness_mm": GROUT_MM, "strength_mpa": 50}
    request.update(more)
    return request


def with_longer(length_mm: float) -> Rulebook:
    """The rulebook with one more length of the stud."""
    family = plain(book().families["headed-stud"])
    lengths = family["sizes"]["19"]["embedments"]["156"]["lengths"]
    lengths.append({**lengths[0], "length_mm": length_mm, "article_code": "DEMO-LONGER"})
    return replace(book(), families={**book().families, "headed-stud": family})


@pytest.mark.parametrize("length", [{}, {"length_mm": 166}])
def test_grout_under_welded_studs_is_not_verified(length: dict[str, float]) -> None:
    request = on_grout()
    request["fastener"] = request["fastener"] | length
    answer = verification.verify(request, book())
    assert answer["verdict"] == "not_verified"
    assert unmet(answer) == ["length_in_concrete"]
    [found] = [one for one in answer["requirements"] if one["code"] == "length_in_concrete"]
    assert (found["given"], found["limit"], found["unit"]) == (156, 166, "mm")
    with pytest.raises(NoSheet, match="a stud of 166 mm on a plate 10 mm off the concrete reaches 156 mm into it"):
        make([Job(request, answer, book(), (), 1, "/fixings/0")])


def test_nothing_is_asked_of_a_plate_on_the_concrete() -> None:
    answer = verification.verify(REQUESTS["studs"], book())
    assert answer["verdict"] == "verified"
    assert "length_in_concrete" not in {one["code"] for one in answer["requirements"]}


def test_sizing_chooses_no_stud_on_grout() -> None:
    request = {name: part for name, part in on_grout().items() if name not in {"fastener", "positions"}}
    request["positions"] = on_grout()["positions"]
    found = size(request | {"limits": {"families": ["headed-stud"]}}, book())
    assert found["choices"] == []
    assert {one["cause"]["code"] for one in found["rejected"] if one["family"] == "headed-stud"} == {
        "length_in_concrete"
    }


@pytest.mark.parametrize(("length_mm", "verified"), [(175.9, False), (176, True), (181, True)])
def test_a_stud_that_reaches_below_the_grout_is_verified_and_shown_as_it_stands(
    length_mm: float, verified: bool
) -> None:
    rulebook = with_longer(length_mm)
    request = on_grout()
    answer = verification.verify(request, rulebook)
    assert (answer["verdict"] == "verified") == verified
    if not verified:
        return
    assert answer["fastener"]["length_mm"] == length_mm
    made = make([Job(request, answer, rulebook, (), 1, "/fixings/0")])
    fixing, work = made.sheet.fixings[0], made.works[0]
    assert work.set_depth.number == length_mm - GROUT_MM
    said = text_of(fixing, "pour")
    assert "leave 10 mm between plate and concrete" in said
    assert f"no stud less than {length_mm - GROUT_MM:g} mm in the concrete" in said
    assert f"Set depth {length_mm - GROUT_MM:g} mm" in page(made).replace("\u00a0", " ")
