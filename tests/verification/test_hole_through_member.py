"""A hole that goes too far into the member, or through it, is not verified, not chosen and not drilled.

The file of the zinc-plated screw: size 8 at h_ef 55 mm reaches 67 mm in a hole of 75 mm, in a member of 100 mm: 25 mm
stay. A screw of 100 mm under its head below a plate of 11 mm reaches 89 mm, and asks for a hole of 75 + 89 − 67 mm,
which is 97 mm. That the rest of the member is what the assessment means by h_min is from memory.
"""

from __future__ import annotations

import copy
from typing import Any

import pytest

from service.rulebook import Rulebook
from service.sizing import size
from service.verification import verify
from tests.shipped import SHARED
from tests.verification.conftest import Ask, Request
from tests.verification.test_verdicts import LOAD, codes, unmet

HOLE_MM, LEFT_MM = 97, 25


def screw(ask: Ask, member_mm: float, fixture: dict[str, Any] | None = None, **parts: Any) -> dict[str, Any]:
    """The answer for one long screw in a slab."""
    answer: dict[str, Any] = ask(
        fastener={"family": "screw-zinc", "size": "8", "embedment_mm": 55, "length_mm": 100},
        member={"thickness_mm": member_mm, "edges": {}},
        positions=[{"x_mm": 0, "y_mm": 0}],
        fixture={"width_mm": 100, "depth_mm": 100, "thickness_mm": 11} if fixture is None else fixture,
        load_cases=[LOAD | {"normal_kn": 0.5}],
        use={"exposure": "dry_internal", "overhead": False},
        **parts,
    )
    return answer


def entry(answer: dict[str, Any]) -> dict[str, Any]:
    found: dict[str, Any]
    [found] = [one for one in answer["requirements"] if one["code"] == "hole_leaves_member"]
    return found


@pytest.mark.parametrize(
    ("member_mm", "met"), [(100, False), (HOLE_MM, False), (121.9, False), (HOLE_MM + LEFT_MM, True), (250, True)]
)
def test_the_hole_leaves_what_the_assessment_leaves(ask: Ask, member_mm: float, met: bool) -> None:
    answer = screw(ask, member_mm)
    assert answer["verdict"] == ("verified" if met else "not_verified")
    if member_mm < 100:
        assert "member_thickness" in unmet(answer)
    assert (bool(answer["checks"]), entry(answer)["met"]) == (met, met)
    assert (entry(answer)["given"], entry(answer)["limit"]) == (pytest.approx(member_mm - HOLE_MM), LEFT_MM)


def test_the_hole_that_the_assessment_itself_asks_for_is_not_asked_about(ask: Ask) -> None:
    """A plate of 33 mm takes up all that the screw is longer; a bolt with a nut is set as deep as it is marked."""
    packed = screw(ask, 100, {"width_mm": 100, "depth_mm": 100, "thickness_mm": 33})
    assert packed["verdict"] == "verified"
    assert "hole_leaves_member" not in codes(packed["requirements"])
    assert "hole_leaves_member" not in codes(ask(member={"thickness_mm": 120})["requirements"])


def test_a_fixture_that_nobody_measured_is_taken_as_thin(ask: Ask) -> None:
    """The whole 100 mm may lie in the concrete: 75 + 100 − 67 = 108 mm, and 25 mm behind it."""
    fixture = {"width_mm": 100, "depth_mm": 100, "attached_section": None}
    found = {}
    for member_mm in (132.9, 133):
        body = screw(ask, member_mm, fixture | {"thickness_mm": None})
        found[member_mm] = (body["verdict"], entry(body)["figures"]["hole_depth_mm"])
        assert "the fixture not given and taken as thin" in entry(body)["detail"]
    assert found == {132.9: ("not_verified", 108), 133: ("verified", 108)}


def test_a_hole_that_was_measured_is_as_deep_as_it_is_but_no_less_than_what_stands_in_it(ask: Ask) -> None:
    """The tip at 89 mm in a hole of 90 mm leaves 30 mm of 120 mm; no hole holds 89 mm of screw in 80 mm."""
    assert screw(ask, 120)["verdict"] == "not_verified"
    assert screw(ask, 120, built={"hole_depth_mm": 90})["verdict"] == "verified"
    assert entry(screw(ask, 120, built={"hole_depth_mm": 80}))["figures"]["hole_depth_mm"] == 89


def test_a_plug_that_comes_out_at_the_back_is_not_verified(ask: Ask) -> None:
    """The file of the plug: size 10 reaches 72 mm in a hole of 83 mm, in a member of 120 mm; 125 mm is its longest.

    Below a plate of 5 mm that reaches 120 mm, and asks for a hole of 83 + 120 − 72 = 131 mm.
    """
    answer = ask(
        fastener={"family": "nylon-frame-fixing", "size": "10", "embedment_mm": 72, "length_mm": 125},
        member={"thickness_mm": 120, "edges": {}},
        positions=[{"x_mm": 0, "y_mm": 0}],
        fixture={"width_mm": 100, "depth_mm": 100, "thickness_mm": 5},
        load_cases=[LOAD | {"normal_kn": 0.1}],
        use={"exposure": "dry_internal", "overhead": False, "redundancy": SHARED, "structural": False},
    )
    assert answer["verdict"] == "not_verified"
    assert "hole_leaves_member" in unmet(answer)


def sizing_of(body: Request, member_mm: float) -> Request:
    """Screws of the sizes 6 and 8, below a plate of 3 mm."""
    request = copy.deepcopy(body)
    for name in ("fastener", "detail"):
        request.pop(name, None)
    return request | {
        "member": request["member"] | {"thickness_mm": member_mm, "edges": {}},
        "positions": [{"x_mm": 0, "y_mm": 0}],
        "fixture": {"width_mm": 100, "depth_mm": 100, "thickness_mm": 3},
        "load_cases": [LOAD | {"normal_kn": 1}],
        "use": request["use"] | {"exposure": "dry_internal", "overhead": False},
        "limits": {"families": ["screw-zinc"], "hole_diameter_mm": 8},
    }


def test_sizing_offers_no_screw_whose_hole_leaves_too_little(rulebook: Rulebook, request_body: Request) -> None:
    """The shortest screw is 55 mm: 52 mm below the plate, 2 mm beyond the 50 mm of a hole of 58 mm; 42 mm stay."""
    found = {member_mm: size(sizing_of(request_body, member_mm), rulebook) for member_mm in (100, 101.9, 102)}
    assert [len(answer["choices"]) for answer in found.values()] == [0, 0, 1]
    [choice] = found[102]["choices"]
    assert verify(choice["request"], rulebook)["verdict"] == "verified"


def test_sizing_says_why_and_how_thick_the_concrete_would_have_to_be(rulebook: Rulebook, request_body: Request) -> None:
    answer = size(sizing_of(request_body, 100), rulebook)
    [rejected] = [one for one in answer["rejected"] if one["family"] == "screw-zinc"]
    cause = rejected["cause"]
    assert (cause["code"], cause["kind"]) == ("hole_leaves_member", "requirement")
    assert (cause["figure"], cause["limit"]) == (40, 42)
    assert [one["needed"] for one in answer["relaxations"] if one["pointer"] == "#/member/thickness_mm"] == [102]
