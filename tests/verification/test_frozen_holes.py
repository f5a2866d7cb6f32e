"""Resin in a wet hole that freezes is not verified, not chosen, not set and not accepted as built.

That water in the hole freezes at 0 °C and resin in ice has no bond is common practice, no source. The fast resin of the
demonstration may be set down to −5 °C, in a dry hole or a wet one.
"""

from __future__ import annotations

import copy
from dataclasses import replace
from typing import Any

import pytest

from service.rulebook import Rulebook, plain
from service.site.sheet import NoSheet, make
from service.sizing import size
from service.verification import verify
from tests.site.sheet_cases import REQUESTS, job
from tests.site.test_as_built import checked
from tests.verification.conftest import Request
from tests.verification.test_verdicts import unmet


def rods(hole: str, coldest_c: float | None) -> Request:
    """Bonded rods of the fast resin."""
    request = copy.deepcopy(REQUESTS["resin"])
    request["use"] |= {"hole": hole, "coldest_until_cured_c": coldest_c}
    return request


@pytest.mark.parametrize(
    ("hole", "coldest_c", "met"),
    [
        ("wet", 0, False), ("wet", -5, False), ("wet", 0.1, True), ("wet", None, True), ("dry", -5, True),
        ("unknown", -1, False),
    ],
)  # fmt: skip
def test_no_resin_into_a_wet_hole_that_freezes(
    rulebook: Rulebook, hole: str, coldest_c: float | None, met: bool
) -> None:
    answer = verify(rods(hole, coldest_c), rulebook)
    assert ("hole_not_frozen" not in unmet(answer)) is met
    if not met:
        assert (answer["verdict"], answer["checks"]) == ("not_verified", [])


@pytest.mark.parametrize("off_c", [-1, 0, 1])
def test_no_resin_where_it_has_no_curing_time(rulebook: Rulebook, off_c: int) -> None:
    """A dry hole at −40 °C was verified: the coldest was held against ice alone, not against the resin's own table."""
    table = rulebook.families["bonded-rod-hybrid-fast"]["installation"]["working_and_curing"]
    ends = table[0]["temperature_min_c"] + min(off_c, 0), table[-1]["temperature_max_c"] + max(off_c, 0)
    for coldest_c in ends:
        request = rods("dry", coldest_c)
        answer = verify(request, rulebook)
        within = table[0]["temperature_min_c"] <= coldest_c <= table[-1]["temperature_max_c"]
        assert ("resin_cures" not in unmet(answer)) is within
        assert (answer["verdict"] == "verified") is within
        if not within:
            assert answer["checks"] == []
            offered = size({n: v for n, v in request.items() if n != "fastener"}, rulebook)["choices"]
            assert "bonded-rod-hybrid-fast" not in {one["fastener"]["family"] for one in offered}


def test_an_assessment_may_cover_ice_by_name(rulebook: Rulebook) -> None:
    request = rods("wet", -3)
    name = request["fastener"]["family"]
    family: dict[str, Any] = plain(rulebook.families[name])
    family["assessment"]["covers"]["frozen_hole_conditions"] = ["wet"]
    covered = replace(rulebook, families={**rulebook.families, name: family})
    assert "hole_not_frozen" in unmet(verify(request, rulebook))
    assert "hole_not_frozen" not in unmet(verify(request, covered))


def test_sizing_offers_no_resin_for_a_wet_hole_that_freezes(rulebook: Rulebook) -> None:
    for coldest_c in (-2, 5):
        request = {n: v for n, v in rods("wet", coldest_c).items() if n != "fastener"}
        answer = size(request | {"limits": {"mechanisms": ["bonded"]}}, rulebook)
        causes = [one["cause"] for one in answer["rejected"] if one["family"] == "bonded-rod-hybrid-fast"]
        said = {code for cause in causes for code in (cause["code"], *(one["code"] for one in cause["also"]))}
        assert ("hole_not_frozen" in said) is (coldest_c < 0)


@pytest.mark.parametrize("said", [{"concrete_temperature_c": 0}, {"coldest_until_cured_c": -1}])
def test_as_built_a_wet_hole_that_froze_is_not_accepted(said: dict[str, float]) -> None:
    """Above freezing the same work is accepted; a dry hole may freeze."""
    cured = {"curing_minutes": 10_000}
    for hole, shift, met in (("wet", 0, False), ("wet", 3, True), ("dry", 0, True)):
        warm = {"concrete_temperature_c": 5, "coldest_until_cured_c": 3}
        measured = warm | {name: value + shift for name, value in said.items()}
        measured["coldest_until_cured_c"] = min(measured.values())
        answer = checked(REQUESTS["resin"], torque_nm=80, hole=hole, **measured, **cured)
        found = {one["code"] for one in answer["unmet_requirements"]}
        assert ("hole_not_frozen" not in found) is met
        assert (answer["verdict"] == "verified") is met
        told = [one["code"] for one in answer["to_do"] if one["requirement"] == "hole_not_frozen"]
        assert told == ([] if met else ["set_anew_when_warm"])


def test_no_sheet_for_a_wet_hole_at_a_temperature_that_freezes_it() -> None:
    wet, dry = (job(rods(hole, None)) for hole in ("wet", "dry"))
    for setting_c, coldest_c in ((0.0, None), (4.0, -2.0)):
        make([dry], temperature_c=setting_c, coldest_c=coldest_c)
        with pytest.raises(NoSheet, match="the water in it freezes"):
            make([wet], temperature_c=setting_c, coldest_c=coldest_c)
    frost = "No resin into a wet hole at or below 0 °C"
    for one, told in ((wet, True), (dry, False)):
        [fixing] = make([one]).sheet.fixings
        lines = [line.text for step in fixing.steps for line in step.lines]
        assert any(line.startswith(frost) for line in lines) is told
