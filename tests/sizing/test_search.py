"""What the search proposes, in which order, and why it leaves the others out."""

import math
from collections.abc import Mapping, Sequence
from typing import Any

import pytest

from service.contract.sizing_codes import TorqueTool
from service.contract.wanted import Sizing, made
from service.engine.codes import Limit
from service.engine.results import ScopeLimit
from service.rulebook import Rulebook
from service.sizing import size_with
from service.sizing.bounds import Bound
from service.sizing.candidates import CAST_IN, Candidate, fasteners
from service.sizing.comparison import Tightening, tightening
from service.verification.refusal import RefusedRequest
from service.verification.statements import sentence
from tests.sizing.fakes import (
    Verification,
    answer,
    embedment,
    family,
    hopeless,
    request,
    rulebook,
    shared_load,
    size,
    unmet,
    used,
)


def sized(verify: Verification, asked: Mapping[str, Any], book: Rulebook) -> dict[str, Any]:
    return size_with(verify.judge(asked), asked, made(Sizing, asked), book)


def chosen(found: Mapping[str, Any]) -> list[tuple[str, str, float, int]]:
    return [
        (c["fastener"]["family"], c["fastener"]["size"], c["fastener"]["embedment_mm"], len(c["positions"]))
        for c in found["choices"]
    ]


def test_the_cheapest_candidate_that_passes_is_chosen_and_nothing_dearer_is_verified() -> None:
    verify = shared_load(48)
    found = sized(verify, request(), rulebook(family("screw")))
    assert chosen(found) == [("screw", "M12", 50, 1)]
    assert [(c["fastener"]["size"], c["fastener"]["embedment_mm"]) for c in verify.asked] == [("M8", 45), ("M12", 50)]
    assert found["searched"] == {
        "families": 1,
        "candidates": 9,
        "verified": 2,
        "pruned": 0,
        "skipped_off_fixture": 0,
        "skipped_grids_off_member": 0,
    }


def test_a_single_fastener_outranks_two_with_less_drilling() -> None:
    found = sized(shared_load(60), request(), rulebook(family("screw")))
    assert chosen(found) == [("screw", "M12", 70, 1)]


def test_among_candidates_of_equal_count_and_volume_the_least_used_is_chosen() -> None:
    def by_layout(candidate: Mapping[str, Any]) -> float:
        if len(candidate["positions"]) == 1:
            return 1.5
        return 0.9 if candidate["positions"][1]["x_mm"] == 50 else 0.4

    found = sized(used(by_layout), request(), rulebook(family("screw")))
    assert [p["x_mm"] for p in found["choices"][0]["positions"]] == [-75, 75]
    assert found["choices"][0]["utilisation"] == 0.4


def test_an_order_that_begins_with_the_utilisation_verifies_every_candidate() -> None:
    verify = shared_load(48)
    found = sized(verify, request(), rulebook(family("screw"), order=("utilisation", "fastener_count")))
    assert len(verify.asked) == found["searched"]["candidates"] == 9
    assert chosen(found) == [("screw", "M12", 70, 2)]


def test_families_rank_by_the_rulebooks_order_and_say_why() -> None:
    book = rulebook(family("a", preference_rank=3), family("b", preference_rank=2), family("c", preference_rank=1))
    found = sized(shared_load(40), request(max_choices=2), book)
    assert [c["fastener"]["family"] for c in found["choices"]] == ["c", "b"]
    assert [c["rank"] for c in found["choices"]] == [1, 2]
    assert found["choices"][1]["reasons"] == [
        {
            "code": "passes",
            "severity": "know",
            "figures": {
                "mode": "concrete_cone",
                "load_case": "pull",
                "edge": None,
                "utilisation": pytest.approx(40 / 45, rel=1e-5),
                "utilisation_max": 1,
            },
            "text": "Passes: concrete cone governs in load case 'pull', utilisation 0.889 of 1 allowed",
            "cause": None,
        },
        {
            "code": "behind_by_preference_rank",
            "severity": "know",
            "figures": {"other": "Fastener c", "preference_rank": 2, "other_preference_rank": 1},
            "text": "Behind Fastener c: less preferred by the company, rank 2 against rank 1",
            "cause": None,
        },
        {
            "code": "nothing_smaller",
            "severity": "know",
            "figures": {},
            "text": "Nothing smaller is offered in this family",
            "cause": None,
        },
    ]
    assert found["choices"][0]["reasons"][1]["text"] == (
        "Ahead of Fastener b: preferred by the company, rank 1 against rank 2"
    )
    (passed_over,) = found["passed_over"]
    assert passed_over["family"] == "a"
    assert passed_over["fastener_count"] == 1
    assert passed_over["reason"]["text"] == "Behind Fastener b: less preferred by the company, rank 3 against rank 2"


def test_each_step_of_the_selection_order_is_shown_against_the_next_family() -> None:
    book = rulebook(family("a", preference_rank=3), family("b", preference_rank=2))
    first, last = sized(shared_load(40), request(), book)["choices"]
    volume = pytest.approx(math.pi / 4 * 8**2 * 60, rel=1e-5)
    assert first["ranking"] == [
        {"criterion": "fastener_count", "value": 1, "next_value": 1, "decides": False},
        {"criterion": "drilled_volume", "value": volume, "next_value": volume, "decides": False},
        {"criterion": "preference_rank", "value": 2, "next_value": 3, "decides": True},
        {"criterion": "utilisation", "value": 0.888889, "next_value": 0.888889, "decides": False},
    ]
    assert [step["next_value"] for step in last["ranking"]] == [None] * 4
    assert not any(step["decides"] for step in last["ranking"])


def test_a_choice_says_why_the_next_smaller_of_its_family_does_not_do() -> None:
    found = sized(
        shared_load(48),
        request(limits={"removable": True}),
        rulebook(family("screw"), family("other", removable=False)),
    )
    reasons = found["choices"][0]["reasons"]
    assert [reason["text"] for reason in reasons] == [
        "Passes: concrete cone governs in load case 'pull', utilisation 0.96 of 1 allowed",
        "The only one of 2 families that passes; what stops each of the others is under rejected",
        (
            "The next smaller of this family, 1 of size M8 with h_ef 45 mm, does not pass: "
            "concrete cone is over its resistance in load case 'pull': utilisation 1.0667 of 1 allowed"
        ),
    ]
    assert reasons[2]["figures"] == {"fastener_count": 1, "size": "M8", "embedment_mm": 45}
    assert reasons[2]["cause"]["code"] == "concrete_cone"
    assert reasons[2]["cause"]["figures"]["utilisation"] == pytest.approx(48 / 45, rel=1e-5)


def test_the_choices_are_compared_by_what_the_crew_and_the_buyer_ask() -> None:
    found = sized(shared_load(80), request(), rulebook(family("screw")))
    assert found["choices"][0]["comparison"] == {
        "holes": 2,
        "hole_diameter_mm": 8,
        "hole_depth_mm": 60,
        "torque_tool": "torque_wrench",
        "torque_nm": 50,
        "removable": True,
        "edge_left_over_mm": 200,  # x_plus at 300 mm, the fastener at 50 mm, c_min 50 mm
        "spacing_left_over_mm": 40,  # 100 mm, s_min 60 mm
        "fixture_thickness_max_mm": 20,
        "governing_mode": "concrete_cone",
        "utilisation": 0.888889,
    }


@pytest.mark.parametrize(
    ("torque_control", "named", "most", "with_it"),
    [
        ("calibrated_wrench", 60, 400, Tightening(TorqueTool.TORQUE_WRENCH, 60)),
        ("unknown", 60, 400, Tightening(TorqueTool.TORQUE_WRENCH, 60)),
        ("impact_driver_set", 60, 400, Tightening(TorqueTool.IMPACT_WRENCH, 400)),
        ("calibrated_wrench", None, 400, Tightening(TorqueTool.BY_HAND)),
        ("by_feel", None, None, Tightening(TorqueTool.BY_HAND)),
        ("by_feel", 60, 400, Tightening(TorqueTool.BY_HAND)),
    ],
)
def test_the_tool_is_the_one_that_the_fixing_was_verified_with(
    torque_control: str, named: float | None, most: float | None, with_it: Tightening
) -> None:
    screw = family("screw")
    for sold in screw["sizes"].values():
        sold["setting"] |= {"installation_torque_nm": named, "impact_driver_torque_max_nm": most}
    assert {tightening(fastener, torque_control) for fastener in fasteners(screw)} == {with_it}


@pytest.mark.parametrize("mechanism", ["torque_controlled_expansion", "undercut"])
def test_what_its_torque_expands_is_tightened_with_a_wrench_though_by_feel_was_answered(mechanism: str) -> None:
    bolt = family("bolt", mechanism=mechanism)
    for sold in bolt["sizes"].values():
        sold["setting"]["installation_torque_nm"] = 60
    assert {tightening(one, "by_feel") for one in fasteners(bolt)} == {Tightening(TorqueTool.TORQUE_WRENCH, 60)}


def test_nothing_tightens_what_is_cast_in() -> None:
    studs = fasteners(family("stud", mechanism=CAST_IN))
    assert {tightening(stud, "calibrated_wrench") for stud in studs} == {Tightening(TorqueTool.NONE)}


def test_what_a_bound_shows_to_fail_is_not_assessed() -> None:
    def bound(candidate: Candidate) -> Bound:
        return Bound(0, 60 / len(candidate.layout) / candidate.fastener.embedment_mm)

    verify = shared_load(60)
    verify.bound = bound
    found = sized(verify, request(), rulebook(family("screw")))
    assert chosen(found) == [("screw", "M12", 70, 1)]
    assert found["searched"]["pruned"] == 2
    assert [c["fastener"]["embedment_mm"] for c in verify.asked] == [70, 50]  # the choice, and why not the cheaper one


@pytest.mark.parametrize("load", [40, 150, 700])
def test_a_closer_bound_spares_calculations_and_changes_nothing_else(load: float) -> None:
    grids = {"x": {"counts": [1, 2], "spacings_mm": [60, 80, 100, 120, 140]}, "y": {"counts": [1]}}

    def is_bent(size: str, layout: Sequence[Any]) -> bool:
        return size == "M12" or len(layout) == 1

    def answering(candidate: Mapping[str, Any]) -> dict[str, Any]:
        fastener, layout = candidate["fastener"], candidate["positions"]
        answered = answer(candidate, load / len(layout) / fastener["embedment_mm"])
        if not is_bent(fastener["size"], layout):
            return answered
        return answered | {"verdict": "not_verified", "requirements": [unmet("fixture_stays_elastic", 250, 235)]}

    def closer(candidate: Candidate) -> Bound:
        return Bound(int(is_bent(candidate.fastener.size, candidate.layout)), 0.0)

    found, calculated = [], []
    for bounds in ((), (closer,)):
        verify = Verification(answering)
        verify.closer = bounds
        sizing = sized(verify, request(pattern=grids), rulebook(family("screw"), family("bolt")))
        calculated.append(sizing.pop("searched")["verified"])
        found.append(sizing)
    assert found[0] == found[1]
    assert calculated[0] > calculated[1]


def test_of_a_family_that_no_bound_admits_the_most_hopeful_are_calculated_to_say_by_how_much() -> None:
    grids = {"x": {"counts": [1, 2], "spacings_mm": [60, 80, 100, 120, 140]}, "y": {"counts": [1]}}
    verify = shared_load(700)
    verify.bound = lambda candidate: Bound(0, 600 / len(candidate.layout) / candidate.fastener.embedment_mm)
    found = sized(verify, request(pattern=grids), rulebook(family("screw")))
    assert found["searched"]["pruned"] == found["searched"]["candidates"] == 18
    assert found["searched"]["verified"] == 5
    assert found["rejected"][0]["nearest"] == {
        "size": "M12",
        "embedment_mm": 70,
        "positions_count": 2,
        "utilisation": 5.0,
    }


def test_where_no_bound_tells_them_apart_a_few_are_calculated() -> None:
    verify = shared_load(700)
    verify.bound = hopeless
    found = sized(verify, request(), rulebook(family("screw")))
    assert found["searched"]["verified"] == 8 < found["searched"]["candidates"]


def test_a_choice_carries_its_verification_request_with_day_version_and_length() -> None:
    asked = request(fixing_reference="PS4-rail-017", detail="full", limits={"utilisation": 0.95}, max_choices=1)
    found = sized(shared_load(40), asked, rulebook(family("screw")))
    assert found["choices"][0]["request"] == {
        "rulebook": "2026.1.0",
        "assessed_on": "2026-11-25",
        "fixing_reference": "PS4-rail-017",
        "fastener": {"family": "screw", "size": "M8", "embedment_mm": 45, "length_mm": 100},
        "member": asked["member"],
        "positions": [{"x_mm": 0, "y_mm": 0}],
        "fixture": asked["fixture"],
        "load_cases": asked["load_cases"],
        "detail": "full",
    }


def test_the_hole_is_counted_and_its_volume_is_that_of_a_cylinder() -> None:
    found = sized(shared_load(80), request(), rulebook(family("screw")))
    hole = found["choices"][0]["hole"]
    volume = 2 * math.pi / 4 * 8**2 * 60
    assert hole == {"diameter_mm": 8, "depth_mm": 60, "count": 2, "drilled_volume_mm3": pytest.approx(volume, rel=1e-5)}


def test_the_limit_on_the_utilisation_is_kept() -> None:
    asked = request(limits={"utilisation": 0.5}, pattern={"x": {"counts": [1]}, "y": {"counts": [1]}})
    found = sized(shared_load(60), asked, rulebook(family("screw")))
    assert found["choices"] == []
    (rejected,) = found["rejected"]
    assert rejected["cause"] == {
        "kind": "limit",
        "code": "utilisation",
        "severity": "stops",
        "figures": {
            "mode": "concrete_cone",
            "edge": None,
            "utilisation": pytest.approx(60 / 70, rel=1e-5),
            "utilisation_max": 0.5,
        },
        "detail": "concrete cone uses 0.85714; limits.utilisation allows 0.5",
        "left_open": None,
        "figure": pytest.approx(60 / 70, rel=1e-5),
        "limit": 0.5,
        "unit": "1",
        "also": [],
    }
    assert rejected["nearest"] == {
        "size": "M12",
        "embedment_mm": 70,
        "positions_count": 1,
        "utilisation": pytest.approx(60 / 70, rel=1e-5),
    }


def test_an_overloaded_family_is_rejected_by_its_governing_mode() -> None:
    found = sized(shared_load(700), request(), rulebook(family("screw")))
    (rejected,) = found["rejected"]
    assert (rejected["cause"]["kind"], rejected["cause"]["code"]) == ("mode", "concrete_cone")
    assert (rejected["cause"]["figure"], rejected["cause"]["limit"]) == (5.0, 1.0)
    assert rejected["nearest"]["positions_count"] == 2


def test_the_nearest_candidate_is_the_one_with_the_fewest_unmet_requirements() -> None:
    def verify(candidate: Mapping[str, Any]) -> dict[str, Any]:
        short = [unmet("member_thickness", 200, 220)]
        if candidate["fastener"]["size"] == "M12":
            short.append(unmet("edge_distance", 40, 70))
        share = 0.2 if candidate["fastener"]["size"] == "M12" else 0.8
        return answer(candidate, share, verdict="not_verified", requirements=short)

    found = sized(Verification(verify), request(), rulebook(family("screw")))
    (rejected,) = found["rejected"]
    assert rejected["nearest"]["size"] == "M8"
    assert rejected["cause"] == {
        "kind": "requirement",
        "code": "member_thickness",
        "severity": "stops",
        "figures": {"thickness_mm": 200, "thickness_min_mm": 220},
        "detail": "member thickness h 200 mm, at least 220 mm",
        "left_open": None,
        "figure": 200,
        "limit": 220,
        "unit": "mm",
        "also": [],
    }


@pytest.mark.parametrize(
    ("code", "kind"),
    [("approval_status", "approval"), ("approved_use_redundant", "approval"), ("strength_covered", "requirement")],
)
def test_several_unmet_requirements_are_all_named(code: str, kind: str) -> None:
    def verify(candidate: Mapping[str, Any]) -> dict[str, Any]:
        short = [unmet(code, 1, 2), unmet("edge_distance", 40, 70)]
        return answer(candidate, None, verdict="not_verified", requirements=short)

    (rejected,) = sized(Verification(verify), request(), rulebook(family("screw")))["rejected"]
    assert rejected["cause"]["kind"] == kind
    # The request says nothing of redundancy.
    left_open = "; the request leaves this open, so the less favourable was taken" if "redundant" in code else ""
    assert rejected["cause"]["detail"] == sentence(unmet(code, 1, 2).statement) + left_open
    assert rejected["cause"]["also"] == [
        {
            "kind": "requirement",
            "code": "edge_distance",
            "severity": "stops",
            "figures": {
                "edge_mm": 40,
                "edge_min_mm": 70,
                "near_edges": None,
                "near_edge_numbers": None,
                "near_edges_mm": None,
            },
            "detail": "nearest edge c 40 mm, at least 70 mm",
            "left_open": None,
        }
    ]


def test_a_requirement_in_words_says_what_was_asked_and_what_is_allowed() -> None:
    def verify(candidate: Mapping[str, Any]) -> dict[str, Any]:
        short = [unmet("exposure_allowed", "external", "dry_internal")]
        return answer(candidate, 0.4, verdict="not_verified", requirements=short)

    asked = request(use={"exposure": "external"})
    (rejected,) = sized(Verification(verify), asked, rulebook(family("screw")))["rejected"]
    assert rejected["cause"] == {
        "kind": "requirement",
        "code": "exposure_allowed",
        "severity": "stops",
        "figures": {"exposure": "external", "allowed": "dry_internal"},
        "detail": "exposure external; allowed: dry_internal",
        "left_open": None,
        "figure": "external",
        "limit": "dry_internal",
        "unit": None,
        "also": [],
    }


def test_a_case_outside_the_method_is_said_to_be_so_and_has_no_figure() -> None:
    def verify(candidate: Mapping[str, Any]) -> dict[str, Any]:
        limits = [ScopeLimit(Limit.TOO_MANY_FASTENERS, "1.2", {"fasteners": 12, "fasteners_max": 9})]
        return answer(candidate, None, verdict="outside_scope", scope_limits=limits)

    (rejected,) = sized(Verification(verify), request(), rulebook(family("screw")))["rejected"]
    assert rejected["cause"] == {
        "kind": "scope",
        "code": "too_many_fasteners",
        "severity": "stops",
        "figures": {"fasteners": 12, "fasteners_max": 9},
        "detail": "12 fasteners; the method covers groups up to 3 by 3, at most 9",
        "left_open": None,
        "figure": None,
        "limit": None,
        "unit": None,
        "also": [],
    }


def test_fasteners_that_carry_nothing_pass_without_a_figure() -> None:
    found = sized(used(lambda _: None), request(), rulebook(family("screw")))
    choice = found["choices"][0]
    assert choice["governing"] is None
    assert choice["utilisation"] is None
    assert choice["reasons"][0]["text"] == "Passes: no check is left to make, the fasteners are not loaded"


@pytest.mark.parametrize(
    ("limits", "code"),
    [
        ({"mechanisms": ["bonded"]}, "mechanisms"),
        ({"families": ["other"]}, "families"),
        ({"removable": False}, "removable"),
        ({"setting": "before_fixture"}, "setting"),
        ({"hole_depth_mm": 50}, "hole_depth_mm"),
        ({"hole_diameter_mm": 7}, "hole_diameter_mm"),
    ],
)
def test_a_limit_leaves_a_family_out(limits: dict[str, Any], code: str) -> None:
    book = rulebook(family("screw"), family("other", mechanism="undercut", removable=True))
    found = sized(shared_load(10), request(limits=limits), book)
    causes = {r["family"]: r["cause"] for r in found["rejected"]}
    assert (causes["screw"]["kind"], causes["screw"]["code"]) == ("limit", code)
    assert "screw" not in [choice["fastener"]["family"] for choice in found["choices"]]


def test_a_limit_that_is_null_does_not_filter() -> None:
    names = ("utilisation", "mechanisms", "families", "removable", "setting", "hole_depth_mm", "hole_diameter_mm")
    open_limits = sized(shared_load(48), request(limits=dict.fromkeys(names)), rulebook(family("s")))
    assert open_limits == sized(shared_load(48), request(), rulebook(family("s")))


def test_a_limit_on_the_hole_leaves_out_the_sizes_beyond_it_only() -> None:
    found = sized(shared_load(60), request(limits={"hole_depth_mm": 70}), rulebook(family("screw")))
    assert chosen(found) == [("screw", "M8", 45, 2)]


def test_the_candidate_stopped_by_a_limit_is_named_with_figure_and_limit() -> None:
    found = sized(shared_load(1), request(limits={"hole_depth_mm": 55}), rulebook(family("screw")))
    (rejected,) = found["rejected"]
    assert (rejected["cause"]["figure"], rejected["cause"]["limit"]) == (60, 55)
    assert rejected["nearest"] == {"size": "M8", "embedment_mm": 45, "positions_count": 1, "utilisation": None}


def test_cast_in_fasteners_are_considered_only_where_asked_for() -> None:
    stud = family("stud", mechanism="headed_fastener", sizes={"16": size(None, None, embedment(100, None))})
    verify = shared_load(10)
    (rejected,) = sized(verify, request(), rulebook(stud))["rejected"]
    assert rejected["cause"]["code"] == "cast_in_not_asked_for"
    found = sized(verify, request(limits={"mechanisms": ["headed_fastener"]}), rulebook(stud))
    assert found["choices"][0]["hole"] == {
        "diameter_mm": None,
        "depth_mm": None,
        "count": 0,
        "drilled_volume_mm3": 0,
    }


def test_a_clearance_hole_too_near_the_plate_edge_skips_the_size_in_that_grid() -> None:
    pair = {"x": {"counts": [2], "spacings_mm": [90]}, "y": {"counts": [1]}}
    asked = request(fixture={"width_mm": 120, "depth_mm": 220}, pattern=pair)
    found = sized(shared_load(10), asked, rulebook(family("screw")))
    assert chosen(found) == [("screw", "M8", 45, 2)]  # 15 mm is left; 1.2 × 9 mm is needed for M8, 1.2 × 14 for M12
    tight = asked | {"fixture": {"width_mm": 110, "depth_mm": 220}}
    found = sized(shared_load(10), tight, rulebook(family("screw")))
    (rejected,) = found["rejected"]
    assert rejected["cause"]["code"] == "hole_edge_distance"
    assert (rejected["cause"]["figure"], rejected["cause"]["limit"]) == (10, pytest.approx(10.8))
    assert found["searched"]["skipped_off_fixture"] == 3


def test_grids_beyond_the_member_are_skipped_and_counted() -> None:
    asked = request(member={"thickness_mm": 200, "edges": {"x_plus_mm": 60}})
    verify = shared_load(80)
    found = sized(verify, asked, rulebook(family("screw")))
    assert found["searched"]["skipped_grids_off_member"] == 1
    assert chosen(found) == [("screw", "M8", 45, 2)]
    assert max(p["x_mm"] for asked in verify.asked for p in asked["positions"]) == 50


def test_families_that_the_same_requirement_stops_are_grouped() -> None:
    def verify(candidate: Mapping[str, Any]) -> dict[str, Any]:
        name = candidate["fastener"]["family"]
        short = [] if name == "c" else [unmet("exposure_allowed", "external", f"only {name}")]
        return answer(candidate, 3.0, verdict="not_verified", requirements=short)

    book = rulebook(family("a"), family("b"), family("c"))
    assert sized(Verification(verify), request(), book)["rejected_groups"] == [
        {
            "kind": "requirement",
            "code": "exposure_allowed",
            "severity": "stops",
            "figures": {"exposure": "external", "allowed": None},
            "detail": "exposure not allowed: external",
            "figure": "external",
            "least": None,
            "most": None,
            "unit": None,
            "families": ["a", "b"],
        },
        {
            "kind": "mode",
            "code": "concrete_cone",
            "severity": "stops",
            "figures": {
                "mode": "concrete_cone",
                "load_case": "pull",
                "edge": None,
                "utilisation": 3,
                "utilisation_max": 1,
            },
            "detail": "concrete cone is over its resistance in load case 'pull': utilisation 3 of 1 allowed",
            "figure": 3,
            "least": 3,
            "most": 3,
            "unit": "1",
            "families": ["c"],
        },
    ]


def test_a_pattern_wholly_off_the_member_is_answered_with_the_cautions() -> None:
    asked = request(pattern={"x": {"counts": [2], "spacings_mm": [700]}, "y": {"counts": [1]}})
    found = sized(shared_load(1), asked, rulebook(family("screw")))
    assert found["choices"] == []
    assert found["rejected"][0]["cause"]["code"] == "no_layout"
    assert found["site_reduction"] is None
    assert [caution["code"] for caution in found["cautions"]] == ["demonstration_data"]


def test_an_unknown_family_is_refused_with_the_known_ones() -> None:
    asked = request(limits={"families": ["a", "rivet"]})
    with pytest.raises(RefusedRequest, match=r"#/limits/families/1: 'rivet' is not in the rulebook; known are a, b"):
        sized(shared_load(1), asked, rulebook(family("a"), family("b")))


def test_a_version_that_is_not_served_is_refused_even_where_nothing_is_verified() -> None:
    with pytest.raises(RefusedRequest, match=r"#/rulebook: unknown; known is 2026\.1\.0"):
        sized(shared_load(1), request(rulebook="2019.1.0"), rulebook())


def test_every_family_is_either_chosen_or_passed_over_or_rejected() -> None:
    book = rulebook(family("a"), family("b"), family("c", removable=False), family("d"))
    found = sized(shared_load(40), request(limits={"removable": True}, max_choices=2), book)
    named = [c["fastener"]["family"] for c in found["choices"]]
    named += [e["family"] for e in found["passed_over"]] + [e["family"] for e in found["rejected"]]
    assert sorted(named) == ["a", "b", "c", "d"]


def test_what_the_choices_assume_and_rest_on_is_listed_once() -> None:
    found = sized(shared_load(40), request(), rulebook(family("a"), family("b")))
    assert [a["code"] for a in found["assumptions"]] == ["sustained_share"]
    assert [r["code"] for r in found["basis"]["open_readings"]] == ["pry_out"]
    assert found["site_reduction"]["factor"] == 0.9
    assert found["rulebook"]["version"] == "2026.1.0"
    assert found["rulebook"]["digest"] == "sha256:00"
