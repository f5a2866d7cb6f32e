"""What in the request, if it were relaxed, would admit a rejected family; each is tried before it is said."""

from collections.abc import Mapping
from typing import Any

import pytest

from service.contract.wanted import Sizing, made
from service.sizing import size_with
from tests.sizing.fakes import Verification, answer, embedment, family, request, rulebook, shared_load, size, unmet

LONE = {"x": {"counts": [1]}, "y": {"counts": [1]}}


def relaxed(verify: Verification, asked: Mapping[str, Any], *families: Mapping[str, Any]) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = size_with(verify.judge(asked), asked, made(Sizing, asked), rulebook(*families))[
        "relaxations"
    ]
    return found


def test_a_higher_utilisation_is_named_rounded_up() -> None:
    asked = request(limits={"utilisation": 0.5}, pattern=LONE)
    assert relaxed(shared_load(60), asked, family("screw")) == [
        {
            "code": "utilisation",
            "severity": "decide",
            "figures": {"utilisation": 0.858, "utilisation_max": 0.5},
            "pointer": "#/limits/utilisation",
            "given": 0.5,
            "needed": 0.858,
            "operation": "set",
            "values": [0.858],
            "detail": "A utilisation of up to 0.858 in place of 0.5 would admit "
            "Fastener screw (1 of size M12 with h_ef 70 mm)",
            "admits": [
                {
                    "family": "screw",
                    "title": "Fastener screw",
                    "size": "M12",
                    "embedment_mm": 70,
                    "fastener_count": 1,
                }
            ],
            "families": ["screw"],
        }
    ]


@pytest.mark.parametrize(
    ("limits", "pointer", "given", "needed"),
    [
        ({"mechanisms": ["bonded", "undercut"]}, "#/limits/mechanisms", ["bonded", "undercut"], "concrete_screw"),
        ({"families": ["other"]}, "#/limits/families", ["other"], ["screw"]),
        ({"removable": False}, "#/limits/removable", False, True),
        ({"setting": "before_fixture"}, "#/limits/setting", "before_fixture", "through_fixture"),
        ({"hole_depth_mm": 50}, "#/limits/hole_depth_mm", 50, 70),
        ({"hole_diameter_mm": 7}, "#/limits/hole_diameter_mm", 7, 12),
    ],
)
def test_a_limit_that_alone_stops_a_family_is_named_with_what_it_needs(
    limits: dict[str, Any], pointer: str, given: Any, needed: Any
) -> None:
    other = family("other", mechanism="undercut", sizes={"M8": size(6, 9, embedment(10, 20))}, setting="before_fixture")
    asked = request(limits=limits, pattern=LONE)
    (found,) = [r for r in relaxed(shared_load(49), asked, family("screw"), other) if r["pointer"] == pointer]
    assert (found["given"], found["needed"], found["families"]) == (given, needed, ["screw"])


def test_a_family_that_two_limits_stop_is_admitted_by_neither_alone() -> None:
    asked = request(limits={"removable": False, "setting": "before_fixture"})
    assert relaxed(shared_load(10), asked, family("screw")) == []


def grouted(strength_mpa: float | None, **member: Any) -> dict[str, Any]:
    fixture = {"width_mm": 220, "depth_mm": 220, "thickness_mm": 20}
    return request(
        pattern=LONE,
        member={"thickness_mm": 200} | member,
        fixture=fixture | {"grout": {"thickness_mm": 30, "strength_mpa": strength_mpa}},
    )


def on_sound_grout(least_mpa: float) -> Verification:
    def used(candidate: Mapping[str, Any]) -> float:
        return 0.9 if (candidate["fixture"]["grout"].get("strength_mpa") or 0) >= least_mpa else 4.0

    return Verification(lambda candidate: answer(candidate, used(candidate)))


@pytest.mark.parametrize(
    ("member", "needed"), [({}, 30), ({"strength_class": "C25/30"}, 30), ({"strength_class": "C40/50"}, 40)]
)
def test_grout_whose_strength_nobody_said_is_named_where_knowing_it_would_do(
    member: dict[str, Any], needed: float
) -> None:
    # EN 1992-4, 6.2.2.3, from memory: at least 30 MPa, and that of the concrete where the layer is thin.
    asked = grouted(None, **member)
    (found,) = relaxed(on_sound_grout(needed), asked, family("screw"))
    assert (found["pointer"], found["given"], found["needed"], found["operation"], found["values"]) == (
        "#/fixture/grout/strength_mpa",
        None,
        needed,
        "set",
        [needed],
    )
    assert found["detail"].startswith(f"Knowing that the grout reaches {needed} MPa would admit Fastener screw")


def test_grout_is_not_named_where_its_strength_is_known_or_does_not_help() -> None:
    assert relaxed(on_sound_grout(30), grouted(10), family("screw")) == []
    assert relaxed(shared_load(700), grouted(None), family("screw")) == []


def test_a_limit_is_not_named_where_the_family_would_fail_all_the_same() -> None:
    asked = request(limits={"mechanisms": ["bonded"]})
    assert relaxed(shared_load(700), asked, family("screw")) == []


def test_families_that_need_the_same_are_named_together() -> None:
    asked = request(limits={"mechanisms": ["bonded"]})
    (found,) = relaxed(shared_load(10), asked, family("a"), family("b"))
    assert found["families"] == ["a", "b"]
    assert found["detail"].startswith(
        "Allowing the mechanism concrete screw beside bonded would admit Fastener a (1 of size M8"
    )


def test_a_cast_in_fastener_is_no_relaxation_where_nobody_asked_for_it() -> None:
    stud = family("stud", mechanism="headed_fastener", sizes={"16": size(None, None, embedment(100, None))})
    assert relaxed(shared_load(10), request(), stud) == []


def test_more_fasteners_are_tried_with_the_nearest_candidate() -> None:
    asked = request(pattern={"x": {"counts": [2], "spacings_mm": [100]}, "y": {"counts": [1], "spacings_mm": [100]}})
    (found,) = relaxed(shared_load(200), asked, family("screw"))
    assert (found["pointer"], found["given"], found["needed"]) == ("#/pattern", 2, 4)
    assert found["operation"] == "set"
    assert found["values"][0]["x"]["counts"] == [2]
    assert found["values"][0]["y"]["counts"] == [2]
    assert "4 of size M12 with h_ef 70 mm" in found["detail"]


def test_no_more_fasteners_are_offered_than_the_fixture_has_room_for() -> None:
    pair = {"x": {"counts": [2], "spacings_mm": [100]}, "y": {"counts": [1], "spacings_mm": [100]}}
    asked = request(pattern=pair, fixture={"width_mm": 220, "depth_mm": 110})
    assert relaxed(shared_load(200), asked, family("screw")) == []


def test_a_thicker_member_is_named_where_it_alone_is_short() -> None:
    def verify(candidate: Mapping[str, Any]) -> dict[str, Any]:
        thickness = candidate["member"]["thickness_mm"]
        if thickness < 240:
            short = [unmet("member_thickness", thickness, 240)]
            return answer(candidate, None, verdict="not_verified", requirements=short)
        return answer(candidate, 0.7)

    (found,) = relaxed(Verification(verify), request(), family("screw"))
    assert (found["pointer"], found["given"], found["needed"]) == ("#/member/thickness_mm", 200, 240)


def test_a_thicker_fixture_is_named_where_it_bends_too_much() -> None:
    def verify(candidate: Mapping[str, Any]) -> dict[str, Any]:
        stress_mpa = 400 * (10 / candidate["fixture"]["thickness_mm"]) ** 2
        if stress_mpa > 235:
            short = [unmet("fixture_stays_elastic", stress_mpa, 235)]
            return answer(candidate, 0.5, verdict="not_verified", requirements=short)
        return answer(candidate, 0.5)

    asked = request(fixture={"width_mm": 220, "depth_mm": 220, "thickness_mm": 10})
    (found,) = relaxed(Verification(verify), asked, family("screw"))
    assert (found["pointer"], found["given"], found["needed"]) == ("#/fixture/thickness_mm", 10, 14)


def test_an_edge_farther_away_is_named_where_it_governs() -> None:
    def verify(candidate: Mapping[str, Any]) -> dict[str, Any]:
        share = 450 / candidate["member"]["edges"]["x_plus_mm"]
        edge = {"mode": "concrete_edge", "load_case": "pull", "edge": "x_plus", "utilisation": share}
        return answer(candidate, share, governing=edge)

    (found,) = relaxed(Verification(verify), request(), family("screw"))
    assert (found["pointer"], found["given"], found["needed"]) == ("#/member/edges/x_plus_mm", 300, 450)


def outdoors_unless_said(candidate: Mapping[str, Any]) -> dict[str, Any]:
    exposure = candidate.get("use", {}).get("exposure", "external")
    if exposure == "external":
        short = [unmet("exposure_allowed", exposure, ("dry_internal", "damp_internal"))]
        return answer(candidate, 0.4, verdict="not_verified", requirements=short)
    return answer(candidate, 0.4)


def test_what_the_request_states_of_the_site_is_not_offered_to_be_changed() -> None:
    asked = request(use={"exposure": "external"})
    assert relaxed(Verification(outdoors_unless_said), asked, family("screw")) == []


def test_a_fact_left_open_is_named_with_what_would_do() -> None:
    (found,) = relaxed(Verification(outdoors_unless_said), request(), family("screw"))
    assert (found["pointer"], found["given"]) == ("#/use/exposure", None)
    assert found["needed"] == ["dry_internal", "damp_internal"]
    assert found["detail"].startswith("Knowing the exposure: dry_internal, damp_internal would admit")


@pytest.mark.parametrize(("bears_any", "offered"), [(True, True), (False, False)])
def test_a_least_strength_is_offered_where_stronger_concrete_passes_as_well(bears_any: bool, offered: bool) -> None:
    """Over grout that is weaker than the concrete shear has a lever arm: at least C20/25 may be C40/50."""

    def verify(candidate: Mapping[str, Any]) -> dict[str, Any]:
        if candidate["member"].get("strength_class") is None:
            lacking = unmet("strength_shown", None, "C20/25")
            return answer(candidate, 0.4, verdict="not_verified", requirements=[lacking])
        stronger = candidate["member"].get("strength_most_mpa") is not None
        return answer(candidate, 4.0 if stronger and not bears_any else 0.4)

    open_strength = request(member=request()["member"] | {"strength_class": None})
    found = relaxed(Verification(verify), open_strength, family("screw"))
    assert [one["code"] for one in found] == (["strength_shown"] if offered else [])
