"""What the fixing is set into and what lies on it: no number where the method does not cover it, and nothing for free.

Which answer is right is common practice and the scope of EN 1992-4, from memory; no figure here has another source.
"""

from __future__ import annotations

import copy
from dataclasses import replace
from typing import Any

import pytest

from service.contract.coherence import washer_below_levelling_grout
from service.contract.fields import UNKNOWN
from service.contract.site_tests import PIPE_ON_UNKNOWN_WALL
from service.contract.verification_codes import BaseMaterial
from service.rulebook import Rulebook
from service.sizing import size
from service.verification import requirements, verify
from tests.verification.conftest import Ask, Request

OTHERS = [each.value for each in BaseMaterial if each != BaseMaterial.NORMAL_WEIGHT_CONCRETE]
PATTERN = {"x": {"counts": [2], "spacings_mm": [150]}, "y": {"counts": [2], "spacings_mm": [150]}}


def codes(items: list[dict[str, Any]]) -> list[str]:
    return [item["code"] for item in items]


def unmet(answer: dict[str, Any]) -> list[str]:
    return [requirement["code"] for requirement in answer["requirements"] if not requirement["met"]]


def sizing(verification: Request) -> Request:
    kept = {name: value for name, value in verification.items() if name not in {"fastener", "positions"}}
    return kept | {"pattern": PATTERN}


@pytest.mark.parametrize("material", [*OTHERS, UNKNOWN])
def test_what_is_no_solid_ordinary_concrete_gives_no_number(ask: Ask, material: str) -> None:
    # Too thin for concrete as well: of what it is not, no requirement of an assessment in concrete is said.
    answer = ask(member={"material": material, "thickness_mm": 100})
    assert (answer["verdict"], codes(answer["scope_limits"])) == ("outside_scope", ["base_material"])
    assert (answer["checks"], answer["fastener_forces"], answer["permissible"]) == ([], [], None)
    assert not {"member_thickness", "strength_covered", "edge_distance"} & set(codes(answer["requirements"]))
    assert not {"material_not_given", "state_unknown"} & set(codes(answer["assumptions"]))
    assert ("hollow_core_strands" in codes(answer["cautions"])) == (material == "hollow_core_slab")


@pytest.mark.parametrize("material", ["masonry", UNKNOWN])
def test_sizing_finds_nothing_outside_concrete(rulebook: Rulebook, request_body: Request, material: str) -> None:
    request_body["member"]["material"] = material
    answer = size(sizing(request_body), rulebook)
    assert answer["choices"] == []
    of_material = [rejected["cause"] for rejected in answer["rejected"] if rejected["cause"]["kind"] == "scope"]
    assert {cause["code"] for cause in of_material} == {"base_material"}
    assert answer["relaxations"] == []


def test_nothing_said_of_the_material_is_the_first_assumption(ask: Ask) -> None:
    said, silent = ask(member={"material": "normal_weight_concrete"}), ask(member={"material": None})
    assert codes(silent["assumptions"])[0] == "material_not_given"
    assert "material_not_given" not in codes(said["assumptions"])
    assert silent["checks"] == said["checks"]


def test_a_strength_that_nobody_shows_verifies_nothing(ask: Ask) -> None:
    answer = ask(member={"strength_class": UNKNOWN})
    assert (answer["verdict"], unmet(answer)) == ("not_verified", ["strength_shown"])
    assert answer["governing"]["utilisation"] < 1.0
    assert ask(member={"strength_class": "C20/25"})["verdict"] == "verified"


def covering_from(rulebook: Rulebook, family: str, f_ck_mpa: float) -> Rulebook:
    """The rulebook with another lowest strength that a family covers."""
    old = rulebook.families[family]
    covers = {**old["assessment"]["covers"], "strength_min_mpa": f_ck_mpa}
    changed = {**old, "assessment": {**old["assessment"], "covers": covers}}
    return replace(rulebook, families={**rulebook.families, family: changed})


def test_strength_that_nobody_knows_is_the_weakest_that_the_family_covers(
    rulebook: Rulebook, request_body: Request
) -> None:
    """It was the company's C20/25 for a family that covers weaker concrete too, and the figure was too good."""
    weak = covering_from(rulebook, request_body["fastener"]["family"], 12)
    told = {name: copy.deepcopy(request_body) for name in (UNKNOWN, "C12/15", "C20/25")}
    for name, body in told.items():
        body["member"]["strength_class"] = name
    used = {name: verify(body, weak)["governing"]["utilisation"] for name, body in told.items()}
    assert used[UNKNOWN] == used["C12/15"] > used["C20/25"]
    answer = verify(told[UNKNOWN], weak)
    [unknown] = [one for one in answer["assumptions"] if one["code"] == "strength_unknown"]
    [shown] = [one for one in answer["requirements"] if one["code"] == "strength_shown"]
    assert unknown["figures"] == shown["figures"] == {"strength_class": "C12/15"}
    # Where the family covers no weaker concrete, the company's word stands.
    assert verify(told[UNKNOWN], rulebook)["governing"] == verify(told["C20/25"], rulebook)["governing"]


def test_a_family_that_begins_above_the_strength_taken_gives_no_figure(
    rulebook: Rulebook, request_body: Request
) -> None:
    request_body["member"]["strength_class"] = UNKNOWN
    answer = verify(request_body, covering_from(rulebook, request_body["fastener"]["family"], 25))
    assert {"strength_shown", "strength_covered"} <= set(unmet(answer))
    assert (answer["verdict"], answer["checks"]) == ("not_verified", [])


def test_sizing_says_which_strength_has_to_be_shown(rulebook: Rulebook, request_body: Request) -> None:
    request_body["member"]["strength_class"] = UNKNOWN
    answer = size(sizing(request_body), rulebook)
    assert answer["choices"] == []
    shown = [change for change in answer["relaxations"] if change["code"] == "strength_shown"]
    assert [(change["pointer"], change["values"]) for change in shown] == [("#/member/strength_class", ["C20/25"])]
    request_body["member"]["strength_class"] = "C20/25"
    families = {choice["fastener"]["family"] for choice in size(sizing(request_body), rulebook)["choices"]}
    assert families & set(shown[0]["families"])


def test_bare_concrete_is_an_assumption_and_what_comes_off_a_condition(ask: Ask) -> None:
    silent, stays = ask(), ask(member={"topping": {"kind": "screed", "thickness_mm": 20}})
    off = ask(member={"topping": {"kind": "screed", "thickness_mm": 20, "comes_off": True}})
    assert "topping_not_given" in codes(silent["assumptions"])
    [condition] = [one for one in off["assumptions"] if one["code"] == "topping_comes_off"]
    assert condition["figures"] == {"topping": "screed", "thickness_mm": 20}
    assert not {"topping_not_given", "topping_comes_off"} & set(codes(stays["assumptions"]))
    # Of what no number is given for, nothing is taken.
    assert "topping_not_given" not in codes(ask(member={"material": "masonry"})["assumptions"])


@pytest.mark.parametrize("kind", ["screed", "plaster", "insulation"])
def test_a_topping_that_stays_is_a_stand_off(ask: Ask, kind: str) -> None:
    pull = [{"name": "pull and push", "normal_kn": 6, "shear_x_kn": 1}]
    topping = {"kind": kind, "thickness_mm": 30}
    over = ask(member={"topping": topping}, load_cases=pull)
    raised = ask(fixture={"stand_off_mm": 30}, load_cases=pull)
    bare = ask(load_cases=pull)
    for part in ("checks", "governing", "fastener"):
        assert over[part] == raised[part], part
    # Torque that expands the bolt is assessed against concrete, on which no nut can lie: common practice, no source.
    of_topping = [one["code"] for one in over["requirements"] if one not in raised["requirements"]]
    assert of_topping == ["tightened_on_concrete"]
    # In the open a nut on the concrete is what it can be tightened against, and without one there is nothing.
    clamped = ask(fixture={"stand_off_mm": 30, "washer_clamped": True}, load_cases=pull)
    assert [one["verdict"] for one in (clamped, raised, over)] == ["verified", "not_verified", "not_verified"]
    said = [one["detail"] for each in (raised, over) for one in each["requirements"] if not one["met"]]
    assert [kind in words for words in said] == [False, True]
    assert ["nut and washer on the concrete" in words for words in said] == [True, False]
    assert codes(over["cautions"]) == codes(raised["cautions"])
    assert over["fastener"]["length_mm"] > bare["fastener"]["length_mm"]
    assert any(check["mode"] == "steel_shear_lever_arm" for check in over["checks"])
    # It lies under what the fixture stands off already.
    both = ask(member={"topping": topping}, fixture={"stand_off_mm": 20}, load_cases=pull)
    assert both["checks"] == ask(fixture={"stand_off_mm": 50}, load_cases=pull)["checks"]


PUSHED = [{"name": "pull and push", "normal_kn": 6, "shear_x_kn": 1}]


@pytest.mark.parametrize(("stand_off_mm", "found"), [(28.8, []), (28.7, ["room_for_nuts"])])
def test_a_gap_has_room_for_the_nuts_that_stand_in_it(ask: Ask, stand_off_mm: float, found: list[str]) -> None:
    """M12, two nuts with washers at 1.2 diameters each, from memory of ISO 4032 and ISO 7089: 2 · 14.4 = 28.8 mm."""
    answer = ask(fixture={"stand_off_mm": stand_off_mm, "washer_clamped": True}, load_cases=PUSHED)
    assert unmet(answer) == found
    [room] = [one for one in answer["requirements"] if one["code"] == "room_for_nuts"]
    assert (room["given"], room["limit"], room["figures"]["nuts"]) == (stand_off_mm, 28.8, 2)
    on_shims = ask(fixture={"stand_off_mm": stand_off_mm}, load_cases=PUSHED)
    assert "room_for_nuts" not in [one["code"] for one in on_shims["requirements"]]


def test_no_nut_is_on_the_concrete_where_grout_levels_it(request_body: Request) -> None:
    fixture = {"stand_off_mm": 40, "washer_clamped": True, "grout": {"thickness_mm": 10, "strength_mpa": 50}}
    body = request_body | {"fixture": request_body["fixture"] | fixture}
    [refused] = list(washer_below_levelling_grout(body))
    assert refused[0] == ("fixture", "washer_clamped")
    for off in ({"stand_off_mm": 0}, {"grout": {"thickness_mm": 0}}, {"washer_clamped": False}):
        assert list(washer_below_levelling_grout(body | {"fixture": body["fixture"] | off})) == []


def test_sizing_says_where_a_nut_on_the_concrete_would_do(rulebook: Rulebook, request_body: Request) -> None:
    body = sizing(request_body)
    body["fixture"] = body["fixture"] | {"stand_off_mm": 40}
    body["load_cases"] = [{"name": "pull", "normal_kn": 6, "shear_x_kn": 1}]
    body["limits"] = {"families": ["bolt-expansion-stainless"]}
    [change] = [one for one in size(body, rulebook)["relaxations"] if one["code"] == "washer_clamped"]
    assert (change["pointer"], change["values"]) == ("#/fixture/washer_clamped", [True])
    body["fixture"] = body["fixture"] | {"washer_clamped": True}
    assert size(body, rulebook)["choices"]


def test_a_thicker_topping_never_helps(ask: Ask) -> None:
    pull = [{"name": "pull and push", "normal_kn": 6, "shear_x_kn": 1}]
    used = [
        ask(member={"topping": {"kind": "insulation", "thickness_mm": thickness}}, load_cases=pull)["governing"]
        for thickness in (1, 5, 20, 60, 150, 400)
    ]
    assert [each["utilisation"] for each in used] == sorted(each["utilisation"] for each in used)
    assert used[0]["utilisation"] > ask(load_cases=pull)["governing"]["utilisation"] - 1e-9


def test_a_topping_that_comes_off_changes_no_figure(ask: Ask) -> None:
    off = ask(member={"topping": {"kind": "plaster", "thickness_mm": 30, "comes_off": True}})
    assert off["checks"] == ask()["checks"]


def test_sizing_takes_the_longer_bolt_through_a_topping(rulebook: Rulebook, request_body: Request) -> None:
    request_body["load_cases"] = [{"name": "pull and push", "normal_kn": 6, "shear_x_kn": 1}]
    # None that its torque expands: over a topping none of them verifies.
    expands = requirements.TIGHTENED_AGAINST_CONCRETE
    kept = [name for name, one in rulebook.families.items() if one["mechanism"] not in expands]
    body = sizing(request_body) | {"limits": {"families": kept}}
    screed = {"topping": {"kind": "screed", "thickness_mm": 30}}
    body["member"] = body["member"] | screed
    over = size(body, rulebook)
    every = size(sizing(request_body) | {"member": body["member"]}, rulebook)
    assert {choice["fastener"]["family"] for choice in every["choices"]} <= set(kept)
    body["member"], body["fixture"] = request_body["member"], body["fixture"] | {"stand_off_mm": 30}
    raised = size(body, rulebook)
    told = [(choice["fastener"], choice["positions"]) for choice in over["choices"]]
    assert told == [(choice["fastener"], choice["positions"]) for choice in raised["choices"]]
    assert told


def test_sizing_says_where_taking_the_topping_off_would_do(rulebook: Rulebook, request_body: Request) -> None:
    # A moment presses fasteners over a gap, which no assessment of the demonstration covers.
    body = sizing(request_body)
    body["member"] = body["member"] | {"topping": {"kind": "plaster", "thickness_mm": 20}}
    answer = size(body, rulebook)
    assert answer["choices"] == []
    off = [change for change in answer["relaxations"] if change["code"] == "topping_off"]
    assert [(change["pointer"], change["values"]) for change in off] == [("#/member/topping/comes_off", [True])]
    body["member"]["topping"]["comes_off"] = True
    assert size(body, rulebook)["choices"]


def pulls(member: str | None, tested: str | None, **fixing: Any) -> Request:
    body = copy.deepcopy(PIPE_ON_UNKNOWN_WALL) | {"rulebook": None, "assessed_on": "2026-11-25"} | fixing
    body["member"] = body["member"] | {"material": member}
    body["site_test"] = {"tests": body["site_test"]["tests"] | {"base_material_kind": tested}}
    return body


AGREE = [
    (None, None), (None, "masonry"), (UNKNOWN, None), (UNKNOWN, "hollow_core_slab"), ("masonry", "masonry"),
    ("lightweight_concrete", "lightweight_concrete"), ("hollow_core_slab", "concrete"), ("hollow_core_slab", None),
]  # fmt: skip
DIFFER = [
    ("masonry", "concrete"), ("masonry", None), ("masonry", "hollow_core_slab"), ("hollow_core_slab", "masonry"),
    ("normal_weight_concrete", "lightweight_concrete"),
]  # fmt: skip


@pytest.mark.parametrize(("member", "tested", "agree"), [(*p, True) for p in AGREE] + [(*p, False) for p in DIFFER])
def test_pulls_hold_only_in_the_kind_of_material_that_was_pulled_in(
    rulebook: Rulebook, member: str | None, tested: str | None, agree: bool
) -> None:
    answer = verify(pulls(member, tested), rulebook)
    assert answer["scope_limits"] == []
    assert ("site_test_material" not in unmet(answer)) == agree
    told = [entry["figures"] for entry in answer["requirements"] if entry["code"] == "site_test_material"]
    # Tests that don't say what they were made in were made in concrete, as the document has it.
    assert told == ([] if agree else [{"here": member, "tested": tested or "concrete"}])
    assert bool(answer["checks"]) == agree or "site_test_state" in unmet(answer)
    assert "material_not_given" not in codes(answer["assumptions"])
    hollow = "hollow_core_slab" in {member, tested}
    assert ("hollow_core_strands" in codes(answer["cautions"])) == hollow


def test_pulls_show_nothing_of_bending_over_a_topping(rulebook: Rulebook) -> None:
    body = pulls("masonry", "masonry")
    body["member"]["topping"] = {"kind": "plaster", "thickness_mm": 20}
    body["fixture"]["thickness_mm"] = body["fixture"].get("thickness_mm") or 8
    assert "site_test_contact" in unmet(verify(body, rulebook))
