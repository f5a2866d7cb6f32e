"""Fasteners of other fixings and old holes nearby, from request to verdict.

Numbers by hand on the rulebook's figures: characteristic spacings of EN 1992-4 (from memory), the rest common practice,
no source.
"""

from __future__ import annotations

import copy
import math
import random
from collections.abc import Mapping
from dataclasses import replace
from itertools import pairwise
from typing import Any

import pytest

from service.rulebook import Rulebook, plain
from service.sizing import size
from service.verification import verify
from service.verification.refusal import RefusedRequest
from tests.verification.conftest import Ask, Request

NEAR = {"x_mm": -200, "y_mm": 75}
"""125 mm from the nearest bolt of the guardrail post, of which s_cr,N is 225 and s_cr,sp 285 mm."""


@pytest.fixture
def post(ask: Ask) -> Ask:
    """The guardrail post of the example, by the rules of the checkout."""

    def changed(**parts: Any) -> dict[str, Any]:
        return ask(rulebook=None, **parts)

    return changed


def used(answer: Mapping[str, Any]) -> float:
    return float(answer["governing"]["utilisation"])


def said(answer: Mapping[str, Any], part: str, code: str) -> dict[str, Any]:
    (entry,) = [entry for entry in answer[part] if entry["code"] == code]
    return dict(entry)


def codes(answer: Mapping[str, Any]) -> set[str]:
    return {entry["code"] for entry in answer["assumptions"]}


def test_left_out_says_how_far_others_have_to_be(post: Ask, rulebook: Rulebook) -> None:
    # s_cr,sp 285 mm of ours, and of one that is as deep as any of the rulebook.
    rows = [row for family in rulebook.families.values() for size in family["sizes"].values()
            for row in size["embedments"].values()]  # fmt: skip
    deepest = max(row["depth"]["effective_mm"] for row in rows)
    assert deepest > rulebook.document["unknown"]["neighbour_embedment_mm"]
    said_of_it = said(post(), "assumptions", "neighbours_not_given")
    # Of one that is known to be no deeper than our 75 mm the square is as large as ours; c_1 is 125 mm.
    assert said_of_it["figures"] == {
        "reach_mm": math.ceil(285 * (1 + deepest / 75) / 2), "reach_at_edge_mm": 375,
        "reach_no_deeper_mm": 285, "no_deeper_mm": 75,
    }  # fmt: skip
    assert said_of_it["pointer"] == "#/neighbours"
    # c_1 of the row at the edge is 255 mm: bodies of 3·255 mm reach farther.
    far = post(member={"edges": {"x_plus_mm": 330}})
    assert said(far, "assumptions", "neighbours_not_given")["figures"]["reach_at_edge_mm"] == 765
    none = post(neighbours=[])
    assert "neighbours_not_given" not in codes(none)
    assert said(none, "assumptions", "no_other_neighbours")["figures"] == said_of_it["figures"]
    assert used(post(neighbours=[])) == used(post())


def test_an_edge_and_an_anchor_that_are_both_left_out_may_be_told_together(post: Ask) -> None:
    # The next one in line of unknown depth and an edge 9 m off: no reason to give no number.
    answer = post(neighbours=[{"x_mm": -1500, "y_mm": 0}, {"x_mm": 0, "y_mm": 1500}])
    ended = post(
        neighbours=[{"x_mm": -1500, "y_mm": 0}, {"x_mm": 0, "y_mm": 1500}],
        member={"edges": {"x_minus_mm": 9000, "x_plus_mm": 200, "y_plus_mm": 9000}},
    )
    assert used(ended) == used(answer)


def test_on_a_strip_without_ends_a_neighbour_beyond_the_distance_that_is_said_changes_nothing(post: Ask) -> None:
    # A strip of 140 mm whose ends nobody tells, pushed along and across; what stands on it farther off pushes too.
    strip: dict[str, Any] = {
        "fastener": {"family": "sleeve-hexagon-zinc", "size": "M8", "embedment_mm": 55, "length_mm": None},
        "member": {
            "strength_class": "C40/50", "state": "uncracked", "thickness_mm": 500,
            "edges": {"x_minus_mm": None, "x_plus_mm": None, "y_minus_mm": 70, "y_plus_mm": 70},
        },
        "positions": [{"x_mm": x, "y_mm": 0} for x in (-300, 0, 300)],
        "fixture": {"width_mm": 720, "depth_mm": 120, "centre": {"x_mm": 0, "y_mm": 0}},
        "load_cases": [{"name": "a", "shear_x_kn": -3, "shear_y_kn": 4}],
    }  # fmt: skip

    def ends(answer: Mapping[str, Any]) -> float:
        return float(said(answer, "assumptions", "edges_count_anywhere")["figures"]["utilisation"])

    alone = post(**strip)
    told = said(alone, "assumptions", "neighbours_not_given")["figures"]["reach_at_edge_mm"]
    # 3·c'_1, c'_1 = h/1.5, by hand.
    assert told == 1000
    for far, times in ((told + 0.5, 1.0), (2 * told, 1.0), (told - 1, 2.0)):
        near = post(**strip, neighbours=[{"x_mm": -300 - far, "y_mm": 0, "state": "loaded", "embedment_mm": 40}])
        assert ends(near) == pytest.approx(times * ends(alone), rel=1e-5)
        assert used(near) == used(alone)
    unknown = post(**strip, neighbours=[{"x_mm": -301 - 500, "y_mm": 0}])
    assert [limit["code"] for limit in unknown["scope_limits"]] == ["neighbours_take_concrete"]


@pytest.mark.parametrize(
    ("apart", "depth", "told"),
    [(226, 75, "nothing"), (224, 75, "more"), (226, 120, "more"), (540, 282, "nothing")],
)
def test_the_distances_that_are_said_are_those_that_count(post: Ask, apart: int, depth: int, told: str) -> None:
    parts: dict[str, Any] = {"positions": [{"x_mm": 0, "y_mm": 0}], "load_cases": [{"name": "pull", "normal_kn": 11}],
                             "member": {"edges": {}}}  # fmt: skip
    alone = post(**parts)
    figures = said(alone, "assumptions", "neighbours_not_given")["figures"]
    # Without an edge splitting does not come in: s_cr,N alone.
    assert (figures["reach_no_deeper_mm"], figures["no_deeper_mm"]) == (225, 75)
    assert figures["reach_mm"] < 540
    near = post(**parts, neighbours=[{"x_mm": apart, "y_mm": 0, "state": "loaded", "embedment_mm": depth}])
    assert (near["checks"] == alone["checks"]) == (told == "nothing")


def test_how_far_old_holes_have_to_be_is_said_apart(post: Ask) -> None:
    # An open hole 150 mm deep and 299 mm from an eyebolt is too near by the rule, though its least spacing is 200 mm.
    parts = {
        "fastener": {"family": "sleeve-eyebolt-zinc", "size": "M8", "embedment_mm": 55, "length_mm": None},
        "positions": [{"x_mm": 0, "y_mm": 0}],
        "load_cases": [{"name": "hanger", "normal_kn": 0.1}],
        "member": {"state": "uncracked"},
    }
    for answer in (post(**parts), post(**parts, neighbours=[])):
        entry = said(answer, "assumptions", "no_old_holes")
        assert entry["figures"] == {"depth_factor": 2, "hole_diameter_factor": 2}
    hole = {"x_mm": 299, "y_mm": 0, "state": "open_hole", "hole_diameter_mm": 8, "hole_depth_mm": 150}
    assert said(post(**parts), "assumptions", "neighbours_not_given")["figures"]["reach_mm"] < 299
    near, far = (said(post(**parts, neighbours=[each]), "requirements", "old_hole_distance")
                 for each in (hole, hole | {"x_mm": 300}))  # fmt: skip
    assert (near["met"], far["met"]) == (False, True)


def test_what_is_not_known_of_a_neighbour_is_taken_the_safe_way(post: Ask) -> None:
    none, unknown = post(neighbours=[]), post(neighbours=[NEAR])
    loaded = post(neighbours=[NEAR | {"state": "loaded"}])
    shallow = post(neighbours=[NEAR | {"state": "loaded", "embedment_mm": 60}])
    idle = post(neighbours=[NEAR | {"state": "unloaded"}])
    assert used(none) == used(idle) < used(shallow) < used(loaded) == used(unknown)
    assert {"neighbour_state_unknown", "neighbour_depth_unknown"} <= codes(unknown)
    assert said(unknown, "assumptions", "neighbour_depth_unknown")["figures"] == {
        "neighbours": [1], "embedment_mm": 120,
    }  # fmt: skip
    assert "neighbour_unloaded_to_be_shown" in codes(idle)
    assert "neighbours" in {reading["code"] for reading in unknown["basis"]["open_readings"]}


@pytest.mark.parametrize(
    ("named", "depth"),
    [({"size": "M16"}, 176), ({}, 176), ({"size": "M10"}, 110), ({"size": "M16", "embedment_mm": 176}, None)],
)
def test_a_named_neighbour_is_as_deep_as_its_family_and_size_can_be(
    post: Ask, rulebook: Rulebook, named: dict[str, Any], depth: int | None
) -> None:
    sizes = rulebook.families["undercut-stainless"]["sizes"]
    depths = {
        name: [row["depth"]["effective_mm"] for row in data["embedments"].values()] for name, data in sizes.items()
    }
    assert (depths["M16"], max(depths.values()), depths["M10"]) == ([176], [176], [110])
    near = {"x_mm": 300, "y_mm": 0, "state": "loaded", "family": "undercut-stainless"} | named
    parts: dict[str, Any] = {
        "positions": [{"x_mm": 0, "y_mm": 0}],
        "load_cases": [{"name": "pull", "normal_kn": 11}],
        "member": {"edges": {}},
    }
    answer, alone = (post(**parts, neighbours=each) for each in ([near], []))
    # A square of 3 times its depth: 110 deep it ends at 300 - 165 mm, 176 deep at 36 mm, of ours from -112.5 to 112.5.
    left = 225 if depth == 110 else 112.5 + 300 - 1.5 * 176
    with_it, without = (
        next(check["utilisation"] for check in each["checks"] if check["mode"] == "concrete_cone")
        for each in (answer, alone)
    )
    assert with_it == pytest.approx(without * 225 / left, rel=1e-4)
    if depth is not None:
        assert said(answer, "assumptions", "neighbour_depth_unknown")["figures"]["embedment_mm"] == depth


def test_more_deeper_or_less_known_is_never_better_to_the_verdict(post: Ask) -> None:
    # From request to verdict: each step says less or worse of a neighbour than the one before.
    r = random.Random(12)  # noqa: S311 (no secret is made of it)
    changed = 0
    for _ in range(14):
        way, far = r.uniform(0.0, 2 * math.pi), r.uniform(60.0, 380.0)
        at = {"x_mm": round(75 + far * math.cos(way), 1), "y_mm": round(75 + far * math.sin(way), 1)}
        if at["x_mm"] > 190:
            continue
        steps: list[list[dict[str, Any]]] = [
            [],
            [at | {"state": "unloaded"}],
            [at | {"state": "loaded", "embedment_mm": 60}],
            [at | {"state": "loaded", "embedment_mm": 75}],
            [at | {"state": "loaded", "embedment_mm": 110}],
            [at | {"state": "unknown"}],
            [at | {"state": "unknown"}, {"x_mm": -260, "y_mm": -140}],
        ]
        answers = [post(neighbours=neighbours) for neighbours in steps]
        for better, worse in pairwise(answers):
            assert not (worse["verdict"] == "verified" and better["verdict"] != "verified")
            if worse["checks"]:
                found = {(c["mode"], c["load_case"], c["combination"], c["edge"]): c["utilisation"]
                         for c in worse["checks"]}  # fmt: skip
                for c in better["checks"]:
                    key = (c["mode"], c["load_case"], c["combination"], c["edge"])
                    assert found[key] >= c["utilisation"] * (1 - 1e-5), key
                    changed += found[key] > c["utilisation"] * 1.001
    assert changed > 20


def test_a_bolt_whose_concrete_a_neighbour_takes_is_not_saved_by_the_others(post: Ask) -> None:
    # Of the first bolt's 225 mm the deeper neighbour leaves 10, however near the second stands: 25.006·10/225/1.5 kN,
    # 0.7409 kN. By the lever it takes 10 kN times 115/215, 124.9/224.9 and 125/225: 5.349, 5.554 and 5.556 kN.
    parts: dict[str, Any] = {
        "neighbours": [{"x_mm": -222.5, "y_mm": 0, "state": "loaded", "embedment_mm": 150}],
        "load_cases": [{"name": "pull", "normal_kn": 10}],
        "fixture": {"width_mm": 400, "depth_mm": 400},
        "member": {"edges": {}},
    }
    found = {}
    for apart in (215, 224.9, 225):
        positions = [{"x_mm": -100, "y_mm": 0}, {"x_mm": apart - 100, "y_mm": 0}]
        answer = post(**parts, positions=positions)
        (cone,) = [check for check in answer["checks"] if check["mode"] == "concrete_cone"]
        assert (answer["verdict"], cone["fastener_numbers"]) == ("not_verified", [1])
        found[apart] = cone["utilisation"]
    assert found[215] < found[224.9] < found[225]
    assert found == pytest.approx({215: 5.349 / 0.7409, 224.9: 5.554 / 0.7409, 225: 5.556 / 0.7409}, rel=2e-4)


def test_a_release_that_says_no_depth_gives_the_neighbour_the_whole_overlap(
    request_body: Request, rulebook: Rulebook
) -> None:
    document = copy.deepcopy(plain(rulebook.document))
    del document["unknown"]["neighbour_embedment_mm"]
    old, body = replace(rulebook, document=document), request_body | {"rulebook": None}
    unknown = verify(body | {"neighbours": [NEAR]}, old)
    equal = verify(body | {"neighbours": [NEAR | {"embedment_mm": 75}]}, old)
    assert used(unknown) > used(equal)
    assert said(unknown, "assumptions", "neighbour_depth_unknown")["figures"]["embedment_mm"] == 75


def test_too_near_a_neighbour_there_is_no_resistance(post: Ask) -> None:
    answer = post(neighbours=[{"x_mm": -120, "y_mm": 75, "state": "unloaded"}])
    assert (answer["verdict"], answer["checks"]) == ("not_verified", [])
    entry = said(answer, "requirements", "neighbour_spacing")
    assert not entry["met"]
    assert entry["figures"] == {
        "neighbour": 1, "number": 3, "x_mm": -120, "y_mm": 75, "spacing_mm": 45, "spacing_min_mm": 60,
    }  # fmt: skip


def test_the_larger_of_both_least_spacings_counts(post: Ask, rulebook: Rulebook) -> None:
    rows = rulebook.families["bolt-expansion-stainless"]["sizes"]["M16"]["embedments"].values()
    largest = max(row["limits"]["spacing_min_mm"] for row in rows)
    assert largest > 60
    known = NEAR | {"family": "bolt-expansion-stainless", "size": "M16"}
    entry = said(post(neighbours=[known]), "requirements", "neighbour_spacing")
    assert entry["figures"]["spacing_min_mm"] == largest
    assert entry["rule"].startswith("families/bolt-expansion-stainless#/sizes/M16/")


def test_old_holes_keep_the_distance_of_aborted_ones(post: Ask) -> None:
    hole = {"x_mm": -120, "y_mm": 75, "state": "open_hole", "hole_diameter_mm": 14, "hole_depth_mm": 80}
    answer = post(neighbours=[hole, hole | {"state": "filled_hole"}, hole | {"hole_depth_mm": 20}])
    entries = [entry for entry in answer["requirements"] if entry["code"] == "old_hole_distance"]
    # Twice its depth, or twice the larger diameter where it is filled.
    assert [(entry["met"], entry["figures"]["distance_min_mm"]) for entry in entries] == [
        (False, 160), (True, 28), (True, 40),
    ]  # fmt: skip
    assert answer["verdict"] == "not_verified"
    assert "old_hole_filled_to_be_shown" in codes(answer)


def test_a_filling_does_not_count_where_shear_pushes_or_nobody_knows(post: Ask) -> None:
    ahead = {"x_mm": 120, "y_mm": 75, "state": "filled_hole", "hole_diameter_mm": 14, "hole_depth_mm": 80}
    entry = said(post(neighbours=[ahead]), "requirements", "old_hole_distance")
    assert (entry["figures"]["filling"], entry["figures"]["distance_min_mm"], entry["met"]) == ("pushed", 160, False)
    behind = ahead | {"x_mm": -120}
    thin = said(post(neighbours=[behind], member={"thickness_mm": 100}), "requirements", "old_hole_distance")
    assert thin["figures"]["filling"] == "pushed"


def test_a_family_known_from_its_label_asks_for_its_spacing(post: Ask, rulebook: Rulebook) -> None:
    least = rulebook.families["sleeve-eyebolt-zinc"]["sizes"]["M8"]["embedments"]["55"]["simplified"]["spacing_mm"]
    parts = {
        "fastener": {"family": "sleeve-eyebolt-zinc", "size": "M8", "embedment_mm": 55, "length_mm": None},
        "positions": [{"x_mm": 0, "y_mm": 0}],
        "load_cases": [{"name": "hanger", "normal_kn": 0.1}],
        "member": {"state": "uncracked"},
        "use": {"exposure": "dry_internal"},
    }
    alone = said(post(**parts), "assumptions", "neighbours_not_given")
    assert alone["figures"] == {
        "reach_mm": least, "reach_at_edge_mm": None, "reach_no_deeper_mm": None, "no_deeper_mm": None,
    }  # fmt: skip
    near = post(**parts, neighbours=[{"x_mm": 1 - least, "y_mm": 0}])
    assert said(near, "requirements", "neighbour_spacing")["figures"]["spacing_min_mm"] == least
    assert near["checks"] == []


@pytest.mark.parametrize(("ours_mm", "theirs_mm"), [(125, 65), (65, 125)])
def test_whichever_of_both_stands_at_the_edge_the_spacing_there_is_asked(
    post: Ask, rulebook: Rulebook, ours_mm: float, theirs_mm: float
) -> None:
    """Ours 125 mm from the edge and the other 65 mm was verified 60 mm apart; as our own pair it was refused."""
    limits = rulebook.families["bolt-expansion-stainless"]["sizes"]["M12"]["embedments"]["75"]["limits"]
    assert theirs_mm < limits["spacing_min_edge_mm"] or ours_mm < limits["spacing_min_edge_mm"]
    answer = post(
        positions=[{"x_mm": 0, "y_mm": 0}],
        member={"edges": {"x_plus_mm": ours_mm}},
        neighbours=[{"x_mm": ours_mm - theirs_mm, "y_mm": 0, "embedment_mm": 75}],
        fixture={"attached_section": None},
    )
    figures = said(answer, "requirements", "neighbour_spacing")["figures"]
    assert (figures["spacing_mm"], figures["spacing_min_mm"]) == (60, limits["edge_min_spacing_mm"])
    assert answer["verdict"] == "not_verified"


def test_names_that_the_rulebook_does_not_know_are_refused(post: Ask) -> None:
    with pytest.raises(RefusedRequest, match="#/neighbours/0/family"):
        post(neighbours=[NEAR | {"family": "no-such"}])
    with pytest.raises(RefusedRequest, match="#/neighbours/0/size"):
        post(neighbours=[NEAR | {"family": "bolt-expansion-stainless", "size": "M99"}])


def test_sizing_proposes_nothing_lighter_for_a_neighbour(rulebook: Rulebook) -> None:
    request = {
        "assessed_on": "2026-11-30",
        "member": {"strength_class": "C25/30", "thickness_mm": 250},
        "positions": [{"x_mm": 0, "y_mm": 0}],
        "fixture": {"width_mm": 100, "depth_mm": 100, "thickness_mm": 10},
        "load_cases": [{"name": "pull", "normal_kn": 4}],
        "use": {"exposure": "dry_internal", "hole": "dry", "temperature_range": "I"},
    }
    free, near = size(request, rulebook), size(request | {"neighbours": [{"x_mm": 90, "y_mm": 0}]}, rulebook)
    best = {choice["fastener"]["family"]: choice["utilisation"] for choice in free["choices"]}
    assert len(near["choices"]) < len(free["choices"]) or any(
        choice["utilisation"] > best.get(choice["fastener"]["family"], 0) for choice in near["choices"]
    )
    assert "neighbours_not_given" in {entry["code"] for entry in free["assumptions"]}


def test_a_neighbour_beyond_where_an_edge_that_is_not_given_may_be_is_no_fault(post: Ask) -> None:
    far = [{"x_mm": -2000, "y_mm": 0, "state": "loaded", "embedment_mm": 75}]
    assert post(neighbours=far)["checks"] == post(neighbours=[])["checks"]
