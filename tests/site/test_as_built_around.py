"""What stands, lies and was widened around a fixing as built is asked, and what nobody looked at is not taken for seen.

Common practice, no source: that neighbours, toppings and wide holes count is what the verification says of them.
"""

from __future__ import annotations

import copy
from typing import Any

import pytest

from service.contract.as_built import AsBuiltRequest
from service.site.as_built import Record
from service.verification import RefusedRequest, verify
from tests.site.sheet_cases import REQUESTS, book
from tests.site.test_as_built import check_of, checked, codes, entry, only_said, record_of, to_do
from tests.site.test_as_built_standing import GUARDRAIL, as_set
from tests.site.test_sheet_after_pulls import in_wall

AROUND = {"neighbours", "topping", "fixture_holes"}
LOOKED: dict[str, Any] = {"neighbours": [], "bare_concrete": True, "clearance": "normal"}
BESIDE = {"x_mm": -160.0, "y_mm": -75.0, "state": "loaded", "embedment_mm": 75.0}


def pointers(answer: dict[str, Any]) -> set[str]:
    return {change["pointer"] for change in answer["changes"]}


def pulled(topping_of_record: dict[str, Any] | None = None, **done: Any) -> dict[str, Any]:
    """The bolts of the guard rail under a pull and a push across, on a plate that lets a longer gap be clamped."""
    request = copy.deepcopy(GUARDRAIL)
    request["member"]["topping"] = topping_of_record
    request["fixture"]["thickness_mm"] = 10
    request["load_cases"] = [{"name": "pull and push", "normal_kn": 6, "shear_x_kn": -1, "sustained_share": 0}]
    set_so = {"nominal_embedment_mm": 87, "torque_nm": 52, "torque_tool": "calibrated_wrench", "aborted_holes": []}
    return only_said(request, **{**set_so, **done})


def next_check(answer: dict[str, Any], **done: Any) -> dict[str, Any]:
    return check_of(Record(answer["record"]["request"], answer["record"]["answer"]), done)


def test_what_nobody_looked_at_around_it_is_not_taken_for_seen() -> None:
    assert as_set(bare_concrete=None)["verdict"] == "not_shown"
    answer = as_set()
    assert answer["verdict"] == "verified"
    assert set(codes(answer["not_measured"])) >= AROUND - {"topping"}
    taken = answer["to_do"][-1]
    assert taken["code"] == "taken_as_verified"
    assert set(taken["figures"]["measurements"]) >= AROUND - {"topping"}
    looked = as_set(**LOOKED)
    assert not AROUND & set(codes(looked["not_measured"]))
    assert looked["utilisation_after"] == answer["utilisation_after"]
    assert not AROUND & set(codes(next_check(looked, cracks_seen=True)["not_measured"]))


def test_a_neighbour_that_was_seen_counts_as_in_a_request() -> None:
    answer = as_set(neighbours=[BESIDE])
    beside = {**GUARDRAIL, "neighbours": [BESIDE], "fastener": {**GUARDRAIL["fastener"], "length_mm": 120}}
    expected = verify(beside, book())
    assert answer["utilisation_after"] == expected["governing"]["utilisation"]
    assert answer["utilisation_after"] > answer["utilisation_before"]
    assert answer["verdict"] == expected["verdict"]


def test_neighbours_of_the_record_are_kept_and_one_said_again_counts_as_it_is_now() -> None:
    far = {"x_mm": -2000, "y_mm": 0, "state": "unloaded"}
    request = {**copy.deepcopy(GUARDRAIL), "neighbours": [far]}
    done = {"nominal_embedment_mm": 87, "torque_nm": 52, "torque_tool": "calibrated_wrench"}
    none_else = only_said(request, **done, neighbours=[])
    assert none_else["record"]["request"]["neighbours"] == [far]
    other, again = {"x_mm": -2000, "y_mm": 500}, {"x_mm": -2001, "y_mm": 0, "state": "loaded"}
    both = only_said(request, **done, neighbours=[again, other])
    assert both["record"]["request"]["neighbours"] == [again, other]


@pytest.mark.parametrize(
    ("seen", "words"),
    [
        ({"family": "nobody-s"}, "#/as_built/neighbours/0"),
        ({"x_mm": 900}, "#/as_built/neighbours/0/x_mm: the neighbour is said to be on or beyond the x_plus edge"),
    ],
)
def test_neighbours_that_cannot_be_are_refused(seen: dict[str, Any], words: str) -> None:
    with pytest.raises(RefusedRequest, match=words):
        as_set(neighbours=[{**BESIDE, **seen}])


def test_too_many_neighbours_with_those_of_the_record_are_refused() -> None:
    many = [{"x_mm": -2000 - 10 * index, "y_mm": 0, "state": "unloaded"} for index in range(60)]
    request = {**copy.deepcopy(GUARDRAIL), "neighbours": many}
    with pytest.raises(RefusedRequest, match="with those of the record"):
        only_said(request, neighbours=[{**one, "y_mm": 900} for one in many], torque_nm=52)


def test_a_topping_that_was_found_under_the_plate_counts() -> None:
    answer = pulled(topping={"kind": "screed", "thickness_mm": 5})
    assert answer["utilisation_after"] > answer["utilisation_before"]
    assert answer["utilisation_after"] == pulled(stand_off_mm=5)["utilisation_after"]
    off = pulled(topping={"kind": "screed", "thickness_mm": 5, "comes_off": True})
    assert off["utilisation_after"] == off["utilisation_before"]
    assert "topping_comes_off" in codes(off["record"]["answer"]["assumptions"])


def test_no_washer_is_clamped_to_the_concrete_on_a_topping() -> None:
    request = copy.deepcopy(GUARDRAIL)
    request["fixture"] |= {"stand_off_mm": 10, "washer_clamped": True}
    for lies_on_it in ({"topping": {"kind": "screed", "thickness_mm": 5}}, {"grout": {"thickness_mm": 5}}):
        answer = only_said(request, **lies_on_it, torque_nm=52)
        assert ("#/fixture/washer_clamped", True, False) in [
            (one["pointer"], one["verified"], one["as_built"]) for one in answer["changes"]
        ]
        assert "tightened_on_concrete" in codes(answer["unmet_requirements"])


def test_a_topping_under_a_plate_of_unknown_thickness_asks_for_it() -> None:
    request = copy.deepcopy(GUARDRAIL)
    del request["fixture"]["thickness_mm"]
    request["fastener"]["length_mm"] = 120
    with pytest.raises(RefusedRequest, match="#/as_built/fixture_thickness_mm: must be given"):
        only_said(request, topping={"kind": "screed", "thickness_mm": 5}, torque_nm=52)


def test_bare_concrete_takes_a_topping_of_the_record_off() -> None:
    answer = pulled({"kind": "plaster", "thickness_mm": 5}, bare_concrete=True)
    assert pointers(answer) >= {"#/member/topping/comes_off"}
    assert answer["utilisation_after"] < answer["utilisation_before"]


@pytest.mark.parametrize("far_mm", [3, 30])
def test_a_moved_bolt_goes_through_a_wider_hole_until_somebody_says_how_wide_it_is(far_mm: float) -> None:
    """M12 in holes of 14 mm: two may get 2 mm nearer or farther (EN 1992-4, Table 6.1, from memory).

    A slot has no size by its word alone: how long it is says whether head or nut spans it.
    """
    moved = [{"number": 1, "x_mm": -75 + far_mm, "y_mm": -75}]
    silent, new_hole, slot = (
        as_set(moved=moved, **said) for said in ({}, {"clearance": "normal"}, {"clearance": "oversize"})
    )
    assert "#/fixture/clearance" in pointers(silent)
    assert "say_fixture_holes" in codes(silent["to_do"])
    assert "fixture_holes" in codes(silent["not_measured"])
    for one in silent["to_do"]:
        assert "fixture_holes" not in one["figures"].get("measurements", ())
    assert silent["utilisation_after"] > new_hole["utilisation_after"]
    assert slot["utilisation_after"] == silent["utilisation_after"]
    sized = as_set(moved=moved, clearance="oversize", fixture_hole_diameter_mm=18)
    for said in (new_hole, sized):
        assert "say_fixture_holes" not in codes(said["to_do"])
        assert "fixture_holes" not in codes(said["not_measured"])
    for said in (silent, slot):
        assert "say_fixture_holes" in codes(said["to_do"])
        assert said["verdict"] != "verified"


def test_a_plate_that_moved_as_a_whole_takes_its_holes_along() -> None:
    shifted = [{"x_mm": place["x_mm"] - 20, "y_mm": place["y_mm"]} for place in GUARDRAIL["positions"]]
    answer = as_set(positions=shifted)
    assert "#/fixture/clearance" not in pointers(answer)
    within = as_set(moved=[{"number": 1, "x_mm": -73, "y_mm": -75}])
    assert "#/fixture/clearance" not in pointers(within)


def aside(x_mm: float, **done: Any) -> dict[str, Any]:
    """The guard rail far from edges, with all its bolts moved along x."""
    request = copy.deepcopy(GUARDRAIL)
    request["member"]["edges"] = {}
    request["load_cases"] = [{"name": "a", "normal_kn": 8, "shear_y_kn": 1, "moment_y_knm": 0.6, "sustained_share": 0}]
    moved = [{**place, "x_mm": place["x_mm"] + x_mm} for place in request["positions"]]
    set_so = {"nominal_embedment_mm": 87, "torque_nm": 52, "torque_tool": "calibrated_wrench", "aborted_holes": []}
    return only_said(request, positions=moved, **{**set_so, **LOOKED, **done})


@pytest.mark.parametrize("shift_mm", [-200, -30, 30])
def test_a_fixture_that_stands_aside_counts_with_its_load_where_that_is_worse(shift_mm: float) -> None:
    """Far from edges a plate that moved with its load is the same fixing; a load left behind may help or harm."""
    silent, along, stayed = (
        aside(shift_mm, **said) for said in ({}, {"fixture_moved": "with_its_load"}, {"fixture_moved": "load_stayed"})
    )
    assert along["utilisation_after"] == pytest.approx(aside(0)["utilisation_after"], rel=1e-6)
    found = [one["utilisation_after"] for one in (along, stayed)]
    assert silent["utilisation_after"] == max(found)
    assert found[0] != pytest.approx(found[1], rel=0.01)
    [caution] = [one for one in silent["cautions"] if one["code"] == "fixture_moved"]
    assert caution["figures"]["load"] == ("moved" if found[0] > found[1] else "stayed")
    assert caution["figures"]["x_mm"] == shift_mm
    assert "fixture_moved" not in codes(along["cautions"] + stayed["cautions"])
    assert along["record"]["request"]["built"]["load_moved"] == {"x_mm": shift_mm, "y_mm": 0}
    assert not stayed["record"] or "load_moved" not in stayed["record"]["request"]["built"]
    # It is set back, and its load is where it was.
    back = [{**place, "x_mm": place["x_mm"]} for place in GUARDRAIL["positions"]]
    again = next_check(along, positions=back, fixture_moved="with_its_load", **set_again())
    assert again["utilisation_after"] == pytest.approx(along["utilisation_after"], rel=1e-6)


def set_again() -> dict[str, Any]:
    return {"nominal_embedment_mm": 87, "torque_nm": 52, "torque_tool": "calibrated_wrench", "aborted_holes": [],
            **LOOKED}  # fmt: skip


def test_a_fixture_over_slots_may_have_stayed_and_one_bolt_moves_no_plate() -> None:
    stayed = aside(-20, fixture_moved="fixture_stayed")
    assert "#/fixture/centre" not in pointers(stayed)
    one = [{"number": 1, "x_mm": -65, "y_mm": -75}]
    with pytest.raises(RefusedRequest, match="#/as_built/fixture_moved: must be left out"):
        as_set(moved=one, fixture_moved="load_stayed")


def test_concrete_found_to_be_stronger_than_the_grout_gives_shear_a_lever_arm() -> None:
    """EN 1992-4, 6.2.2.3, from memory: grout counts only while it is as strong as the concrete."""
    request = copy.deepcopy(GUARDRAIL)
    request["fixture"]["grout"] = {"thickness_mm": 5, "strength_mpa": 45}
    request["load_cases"] = [{"name": "a", "normal_kn": 2, "shear_y_kn": 6, "sustained_share": 0}]
    as_strong, stronger = (
        only_said(request, strength_found={"strength_mpa": found, "found_by": "cores"}, **set_again())
        for found in (44, 46)
    )
    assert as_strong["utilisation_after"] == pytest.approx(as_strong["utilisation_before"])
    assert stronger["utilisation_after"] > 1.2 * as_strong["utilisation_after"]
    assert ("#/member/strength_most_mpa", None, 46) in [
        (one["pointer"], one["verified"], one["as_built"]) for one in stronger["changes"]
    ]


def on_grout(**found: float | None) -> dict[str, Any]:
    """A base that stands on 6 mm of grout of 40 MPa, with what was found of that; null where nobody looked."""
    request = copy.deepcopy(REQUESTS["slow resin in a wet hole, grouted"])
    request["load_cases"] = [{"name": "weight", "normal_kn": -20, "shear_x_kn": 2, "sustained_share": 0}]
    grout = {name: found.pop(name) for name in ("thickness_mm", "strength_mpa") if found.get(name) is not None}
    torque = book().families[request["fastener"]["family"]]["sizes"][request["fastener"]["size"]]["setting"]
    return checked(request, grout=grout or None, torque_nm=torque["installation_torque_nm"], **found)


@pytest.mark.parametrize("thickness_mm", [0, 3, 5.5])
def test_thinner_grout_is_never_verified_before_somebody_says_what_the_fixture_lies_on(thickness_mm: float) -> None:
    """Grout that nobody poured leaves the base on its packers: the form had no blank for that, and it passed."""
    silent = on_grout(thickness_mm=thickness_mm, strength_mpa=40)
    assert (silent["verdict"] == "verified", silent["record"]) == (False, None)
    assert entry(silent, "fixture_bears")["met"] is None
    assert "say_gap" in codes(silent["to_do"])
    flat = on_grout(thickness_mm=thickness_mm, strength_mpa=40, stand_off_mm=0)
    assert flat["verdict"] == "verified"
    on_packers = on_grout(thickness_mm=thickness_mm, strength_mpa=40, stand_off_mm=6 - thickness_mm)
    assert (on_packers["verdict"], on_packers["utilisation_after"]) == (silent["verdict"], silent["utilisation_after"])


@pytest.mark.parametrize("thickness_mm", [6, 7])
def test_grout_as_thick_as_verified_asks_for_no_gap(thickness_mm: float) -> None:
    assert "fixture_bears" not in codes(on_grout(thickness_mm=thickness_mm)["as_built_requirements"])


@pytest.mark.parametrize("thickness_mm", [None, 6])
def test_a_strength_of_grout_that_the_verdict_rests_on_is_asked_for(thickness_mm: float | None) -> None:
    """Without it the base does not bear on the grout, and its rods would take the compression."""
    unsaid = on_grout(thickness_mm=thickness_mm)
    assert {one["code"]: one["decisive"] for one in unsaid["not_measured"]}["grout_strength"] is True
    assert (unsaid["verdict"], to_do(unsaid, "decisive_not_measured")) == ("not_shown", ["say_grout_strength"])
    assert on_grout(thickness_mm=thickness_mm, strength_mpa=40)["verdict"] == "verified"
    assert "grout_strength" not in codes(as_set()["not_measured"])


def test_a_smaller_bolt_stands_in_the_hole_of_the_one_that_was_ordered() -> None:
    """Until somebody says otherwise; bolts of the same size of another family have the same hole."""
    thin = {"installed": {"family": "bolt-expansion-stainless", "size": "M10"}, "torque_nm": 30, "length_mm": 120,
            "nominal_embedment_mm": 73, "hole_depth_mm": 85, "hole_diameter_mm": 10}  # fmt: skip
    silent, slot, measured = (
        as_set(**thin, **said) for said in ({}, {"clearance": "oversize"}, {"fixture_hole_diameter_mm": 12})
    )
    assert "#/fixture/clearance" in pointers(silent)
    assert "say_fixture_holes" in codes(silent["to_do"])
    assert silent["utilisation_after"] == slot["utilisation_after"]
    assert "say_fixture_holes" not in codes(measured["to_do"])
    zinc = {"family": "bolt-expansion-zinc", "size": "M12"}
    alike = as_set(installed=zinc, torque_nm=55, nominal_embedment_mm=82, length_mm=110)
    assert "#/fixture/clearance" not in pointers(alike)


def test_a_stud_welded_to_its_plate_has_no_hole_to_say() -> None:
    assert "fixture_holes" not in codes(only_said(REQUESTS["studs"])["not_measured"])


def test_what_the_hole_of_a_later_move_is_has_to_be_said_again() -> None:
    first = as_set(**LOOKED)
    again = next_check(
        first, moved=[{"number": 1, "x_mm": -70, "y_mm": -75}], aborted_holes=[], torque_nm=52, nominal_embedment_mm=87
    )
    assert "fixture_holes" in codes(again["not_measured"])
    assert to_do(again, None)[0] != "do_not_load" or again["verdict"] == "not_verified"
    assert "say_fixture_holes" in codes(again["to_do"])


@pytest.mark.parametrize(
    ("as_built", "field"),
    [
        ({"undrilled_numbers": [1]}, "undrilled_numbers"),
        ({"bare_concrete": False}, "bare_concrete"),
        ({"bare_concrete": True, "topping": {"kind": "screed", "thickness_mm": 5}}, "bare_concrete"),
        ({"neighbours": [{"x_mm": 0, "y_mm": 300, "state": "open_hole"}]}, "neighbours"),
    ],
)
def test_what_contradicts_itself_is_refused(as_built: dict[str, Any], field: str) -> None:
    found = AsBuiltRequest().validate({"record": record_of(GUARDRAIL).request, "as_built": as_built})
    assert set(found["as_built"]) == {field}


@pytest.mark.parametrize("state", ["loaded", "unknown", None])
def test_a_neighbour_that_was_taken_to_carry_is_not_relieved_by_a_look_at_it(state: str | None) -> None:
    """A crew said it carries nothing, and the fixing had the concrete of both."""
    beside = {"x_mm": BESIDE["x_mm"], "y_mm": BESIDE["y_mm"], "state": state}
    request = {**copy.deepcopy(GUARDRAIL), "neighbours": [beside]}
    done = {"nominal_embedment_mm": 87, "torque_nm": 52, "torque_tool": "calibrated_wrench"}
    answer = only_said(request, **done, neighbours=[{**beside, "state": "unloaded"}])
    taken = only_said(request, **done, neighbours=[beside])
    assert answer["utilisation_after"] == taken["utilisation_after"] is not None
    free = {**request, "neighbours": [{**beside, "state": "unloaded"}]}
    assert answer["utilisation_after"] > only_said(free, **done)["utilisation_after"]


def plug(**done: Any) -> dict[str, Any]:
    """One frame fixing in a brick wall, by pulls, through its fixture."""
    return only_said(in_wall("masonry"), **{"head_seated": True, "material": "masonry", "cracks_seen": False, **done})


def test_a_cracked_wall_is_not_covered_and_blank_is_not_uncracked() -> None:
    """Its sheet says so too; common practice, no source."""
    assert plug()["verdict"] == "verified"
    silent = plug(cracks_seen=None)
    assert silent["verdict"] == "not_shown"
    assert [one["code"] for one in silent["not_measured"] if one["decisive"]] == ["cracks"]
    cracked = plug(cracks_seen=True)
    assert (cracked["verdict"], cracked["utilisation_after"], cracked["record"]) == ("not_verified", None, None)
    assert to_do(cracked, "masonry_uncracked") == ["leave_cracked_wall"]


def test_one_alone_that_is_off_takes_its_fixture_along_and_no_moment_acts_on_it() -> None:
    """Drilled through its fixture it can't be off it. Two measurements of one place differ by 2 mm: from memory."""
    with_load = {"fixture_moved": "with_its_load"}
    for off_mm, said in ((1, {}), (1.8, {}), (1, with_load), (5, with_load)):
        answer = plug(moved=[{"number": 1, "x_mm": off_mm, "y_mm": -off_mm / 3}], **said)
        assert answer["verdict"] == "verified", (off_mm, answer["unmet_requirements"], answer["scope_limits"])
        assert answer["utilisation_after"] == pytest.approx(answer["utilisation_before"], rel=1e-9)
        assert "fixture_moved" not in codes(answer["cautions"])
    silent = plug(moved=[{"number": 1, "x_mm": 5, "y_mm": 0}])
    assert (silent["verdict"], "fixture_moved" in codes(silent["cautions"])) == ("outside_scope", True)
    with pytest.raises(RefusedRequest, match="unless every fastener moved, be it the only one"):
        plug(moved=[], **with_load)


@pytest.mark.parametrize("drilling", ["diamond_core", "hollow_bit"])
def test_a_hole_for_resin_that_was_drilled_otherwise_was_cleaned_otherwise_than_it_needs(drilling: str) -> None:
    """Cleaning goes by how a hole was drilled: assessments of bonded fasteners, from memory."""
    request = copy.deepcopy(REQUESTS["slow resin in a wet hole, grouted"])
    done = {"torque_nm": 82, "drilling": drilling}
    answer = checked(request, **done)
    assert (answer["verdict"], answer["utilisation_after"], answer["record"]) == ("not_verified", None, None)
    assert to_do(answer, "drilled_as_ordered") == ["show_cleaning_of_other_hole"]
    request["site"]["drilling"] = drilling
    assert "drilled_as_ordered" not in codes(checked(request, **done)["as_built_requirements"])


def test_studs_whose_welds_nobody_tested_are_not_shown() -> None:
    """Common practice, no source."""
    for said, verdict in ((True, "verified"), (None, "not_shown"), (False, "not_verified")):
        assert checked(REQUESTS["studs"], weld_tested=said)["verdict"] == verdict
    assert only_said(REQUESTS["studs"], moved=[])["verdict"] == "not_shown"
    with pytest.raises(RefusedRequest, match="only studs are welded"):
        as_set(weld_tested=True)
