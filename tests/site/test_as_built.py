"""As-built checks: what was really done against what was verified."""

from __future__ import annotations

import copy
from dataclasses import replace
from typing import Any

import pytest

from service.engine.en1992_1_1 import STRENGTH_CLASSES
from service.rulebook.suspensions import Suspension
from service.site.as_built import Record, check, new_request
from service.verification import RefusedRequest, verify
from tests.site.sheet_cases import REQUESTS, book, fixing

FIXTURE = {"width_mm": 300, "depth_mm": 300, "thickness_mm": 10}


def record_of(request: dict[str, Any]) -> Record:
    return Record(request, verify(request, book()))


def checked(request: dict[str, Any], **done: Any) -> dict[str, Any]:
    record = record_of(request)
    return check(record, done, new_request(record, done, book()), book())


def guardrail(**done: Any) -> dict[str, Any]:
    return checked(REQUESTS["guardrail"], **done)


def unmet(answer: dict[str, Any]) -> set[str]:
    found = [entry["code"] for entry in answer["as_built_requirements"] if not entry["met"]]
    return {*found, *(entry["code"] for entry in answer["unmet_requirements"])}


def told(answer: dict[str, Any]) -> str:
    return " ".join(answer["to_do"])


def test_built_as_verified_stays_verified() -> None:
    answer = guardrail()
    assert (answer["verdict"], answer["verdict_before"]) == ("verified", "verified")
    assert answer["utilisation_after"] == answer["utilisation_before"]
    assert answer["changes"] == []
    assert "keep the new record" in told(answer)


def test_the_new_record_names_the_one_it_came_from_and_stands_by_itself() -> None:
    answer = guardrail(moved=[{"index": 1, "x_mm": 80, "y_mm": -75}])
    record = answer["record"]
    assert record["request"]["came_from_record"] == answer["came_from_record"]
    assert answer["came_from_record"] == record_of(REQUESTS["guardrail"]).answer["record"]["id"]
    assert verify(record["request"], book()) == record["answer"]
    without = {name: value for name, value in record["request"].items() if name != "came_from_record"}
    assert verify(without, book())["record"]["id"] != record["answer"]["record"]["id"]


def test_nearer_to_the_edge_is_used_more() -> None:
    answer = guardrail(moved=[{"index": 1, "x_mm": 95, "y_mm": -75}, {"index": 3, "x_mm": 95, "y_mm": 75}])
    assert answer["utilisation_after"] > answer["utilisation_before"]
    assert [(c["pointer"], c["verified"], c["as_built"]) for c in answer["changes"]] == [
        ("#/positions/1/x_mm", 75, 95),
        ("#/positions/3/x_mm", 75, 95),
    ]


def test_below_the_least_edge_distance_nothing_is_verified() -> None:
    """The family's file: c_min of M12 at 70 mm is 70 mm."""
    answer = guardrail(edges={"x_plus_mm": 140})
    assert answer["verdict"] == "not_verified"
    assert "edge_distance" in unmet(answer)
    assert answer["utilisation_after"] is None
    assert "Do not load it" in told(answer)


def test_every_position_or_none() -> None:
    with pytest.raises(RefusedRequest, match="every fastener, 4 of them"):
        guardrail(positions=[{"x_mm": 0, "y_mm": 0}])
    with pytest.raises(RefusedRequest, match="fasteners 0 to 3"):
        guardrail(moved=[{"index": 4, "x_mm": 0, "y_mm": 0}])


@pytest.mark.parametrize(("reached", "counts"), [(70, 70), (69.9, 50), (62, 50), (50, 50), (85, 70)])
def test_the_nearest_shallower_assessed_embedment_counts(reached: float, counts: float) -> None:
    """The family's file: M12 is assessed at 50 and 70 mm; deeper than verified gains nothing."""
    answer = guardrail(embedment_mm=reached)
    assert answer["record"]["request"]["fastener"]["embedment_mm"] == counts
    [said] = [entry for entry in answer["as_built_requirements"] if entry["code"] == "embedment_reached"]
    assert said["met"]
    assert f"{counts} mm" in said["detail"]
    assert answer["utilisation_after"] >= answer["utilisation_before"]


def test_an_embedment_below_every_assessed_one_is_not_verified() -> None:
    answer = guardrail(embedment_mm=45)
    assert answer["verdict"] == "not_verified"
    assert {"embedment_reached", "embedment_assessed"} <= unmet(answer)
    assert answer["utilisation_after"] is None
    assert "drill a new hole" in told(answer)


def test_a_hole_that_is_short_takes_as_much_off_the_embedment() -> None:
    """h_1 95 mm in the family's file: 8 mm short reaches 62 mm, which counts as 50 mm."""
    by_hole, by_depth = guardrail(hole_depth_mm=87), guardrail(embedment_mm=62)
    assert by_hole["record"]["request"]["fastener"] == by_depth["record"]["request"]["fastener"]
    assert guardrail(hole_depth_mm=100)["changes"] == []


def test_a_cast_in_stud_has_no_hole_to_be_short() -> None:
    with pytest.raises(RefusedRequest, match="give embedment_mm"):
        checked(REQUESTS["studs"], hole_depth_mm=100)


@pytest.mark.parametrize(
    ("torque_nm", "met", "words"),
    [
        (50, True, None),
        (47.5, True, None),
        (52.5, True, None),
        (47.4, False, "not expanded"),
        (0, False, "treat the hole as aborted"),
        (52.6, False, "slackening it does not undo that"),
    ],
)
def test_torque_within_what_a_calibrated_wrench_may_be_off(torque_nm: float, met: bool, words: str | None) -> None:
    """Installation torque 50 N·m in the family's file, a tolerance of a twentieth in the company's rules."""
    answer = guardrail(torque_nm=torque_nm)
    assert answer["verdict"] == ("verified" if met else "not_verified")
    assert ("installation_torque" in unmet(answer)) is not met
    # A record that passes must not stand for work that does not.
    assert (answer["record"] is not None) is met
    assert words is None or words in told(answer)


@pytest.mark.parametrize(("torque_nm", "met"), [(400, True), (401, False), (10, True)])
def test_an_impact_driver_has_a_largest_torque(torque_nm: float, met: bool) -> None:
    """400 N·m in the family's file for the zinc-plated screw of size 10."""
    answer = checked(REQUESTS["screw near a corner"], torque_nm=torque_nm, torque_tool="impact_driver_set")
    assert ("installation_torque" not in unmet(answer)) is met


def test_a_torque_where_none_is_asked_for_shows_nothing() -> None:
    answer = checked(REQUESTS["nylon"], torque_nm=5)
    [said] = answer["as_built_requirements"]
    assert said["met"]
    assert "shows nothing" in said["detail"]


def test_the_tool_changes_the_site_reduction() -> None:
    """0.9 for tightening by feel in the rules of the site."""
    answer = guardrail(torque_tool="by_feel")
    assert answer["utilisation_after"] == pytest.approx(answer["utilisation_before"] / 0.9, rel=1e-5)


def test_a_thicker_fixture_than_the_length_clamps_is_not_verified() -> None:
    """115 mm clamps up to 15 mm in the family's file."""
    assert guardrail(fixture_thickness_mm=15)["verdict"] == "verified"
    answer = guardrail(fixture_thickness_mm=16)
    assert answer["verdict"] == "not_verified"
    assert "fixture_thickness" in unmet(answer)


def test_a_length_that_is_none_of_the_family_is_not_verified() -> None:
    assert "length_listed" in unmet(guardrail(length_mm=117))
    assert guardrail(length_mm=145)["verdict"] == "verified"


def test_a_thinner_member_is_held_against_the_least_thickness() -> None:
    assert "member_thickness" in unmet(guardrail(member_thickness_mm=130))


def test_cracks_that_are_seen_count() -> None:
    answer = checked(REQUESTS["drop-ins overhead"], cracks_seen=True)
    assert answer["verdict"] == "not_verified"
    assert "state_covered" in unmet(answer)
    assert checked(REQUESTS["drop-ins overhead"], cracks_seen=False)["verdict"] == "verified"


def test_a_wet_hole_that_is_not_covered_is_not_verified() -> None:
    assert "hole_covered" in unmet(checked(REQUESTS["resin"], hole="flooded"))


@pytest.mark.parametrize(
    ("strength", "found_by", "taken"), [(22, "rebound", 22), (45, "rebound", 25), (45, "cores", 45)]
)
def test_rebound_never_raises_the_strength_that_was_verified(strength: float, found_by: str, taken: float) -> None:
    assert STRENGTH_CLASSES["C25/30"] == 25
    answer = guardrail(strength_found={"strength_mpa": strength, "found_by": found_by})
    request = answer["record"]["request"]
    assert request["member"]["strength_mpa"] == taken
    assert request["site"]["strength_evidence"] == ("rebound_hammer" if found_by == "rebound" else "documented")
    assert any("indicative" in e["detail"] for e in answer["as_built_requirements"]) is (found_by == "rebound")


def single(shear_kn: float = 0.0) -> dict[str, Any]:
    return fixing(("bolt-expansion-zinc", "M12", 70), [(0, 0)], FIXTURE, (2, shear_kn))


def hole(x_mm: float, depth_mm: float, **more: Any) -> dict[str, Any]:
    return {"x_mm": x_mm, "y_mm": 0, "depth_mm": depth_mm, **more}


@pytest.mark.parametrize(
    ("aborted", "least"),
    [
        (hole(50, 30), 60),  # twice the depth
        (hole(50, 5), 24),  # twice the diameter of the fastener's own hole, 12 mm
        (hole(50, 5, diameter_mm=20), 40),  # twice the larger diameter
        (hole(50, 30, refilled=True), 24),  # filled with mortar of high strength
    ],
)
def test_distance_to_an_aborted_hole(aborted: dict[str, Any], least: float) -> None:
    """Common practice, no source: twice the depth, or twice the diameter where it is filled."""
    for off, met in ((-0.1, False), (0.0, True), (0.1, True)):
        answer = checked(single(), aborted_holes=[aborted | {"x_mm": least + off}])
        [said] = answer["as_built_requirements"]
        assert (said["met"], said["limit"]) == (met, least)
        assert answer["verdict"] == ("verified" if met else "not_verified")


def test_a_filled_hole_where_the_shear_pushes_counts_as_empty() -> None:
    ahead, behind = hole(40, 30, refilled=True), hole(-40, 30, refilled=True)
    assert checked(single(shear_kn=1), aborted_holes=[behind])["verdict"] == "verified"
    answer = checked(single(shear_kn=1), aborted_holes=[ahead])
    assert answer["verdict"] == "not_verified"
    assert "the shear pushes towards it" in answer["as_built_requirements"][0]["detail"]
    assert "move the fastener" in told(answer)


def test_an_aborted_hole_is_measured_from_where_the_fastener_stands_now() -> None:
    request = single()
    near = hole(30, 30)
    assert checked(request, aborted_holes=[near])["verdict"] == "not_verified"
    moved = checked(request, aborted_holes=[near], moved=[{"index": 0, "x_mm": -30, "y_mm": 0}])
    assert moved["verdict"] == "verified"
    assert "high strength" in told(checked(request, aborted_holes=[near]))


def test_an_aborted_hole_beside_what_no_resistance_is_given_for_counts_as_empty() -> None:
    answer = guardrail(embedment_mm=45, aborted_holes=[{"x_mm": 75, "y_mm": -40, "depth_mm": 30, "refilled": True}])
    assert "aborted_hole_distance" in unmet(answer)


def test_what_is_suspended_today_shows() -> None:
    record = record_of(REQUESTS["guardrail"])
    stop = Suspension("bolt-expansion-stainless", None, None, "2026-11-20", "clips of a bad batch")
    today = replace(book(), suspensions=(stop,))
    answer = check(record, {}, new_request(record, {}, today), today)
    assert [entry["reason"] for entry in answer["suspensions"]] == ["clips of a bad batch"]
    assert answer["verdict"] == "not_verified"
    assert "not_suspended" in unmet(answer)


def test_overload_is_told_with_what_to_do() -> None:
    heavy = copy.deepcopy(REQUESTS["guardrail"])
    heavy["load_cases"][0]["moment_y_knm"] = 3.6
    answer = checked(heavy, strength_found={"strength_mpa": 20, "found_by": "rebound"}, embedment_mm=50)
    assert answer["verdict_before"] == "verified"
    assert answer["checks_over"]
    assert "overloaded in" in told(answer)
    assert "/v1/sizings" in told(answer)


def test_the_record_that_came_in_is_left_alone() -> None:
    before = copy.deepcopy(REQUESTS["guardrail"])
    guardrail(moved=[{"index": 0, "x_mm": -80, "y_mm": -75}], edges={"x_plus_mm": 190}, torque_tool="by_feel")
    assert REQUESTS["guardrail"] == before
