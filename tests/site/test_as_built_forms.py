"""A sheet's form, filled in as a crew measures, for every mechanism: what is harmless passes, what is not does not."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from service.contract.as_built import AsBuilt
from service.contract.as_built_codes import Measurement
from service.contract.as_built_codes.measurements import fields_of
from service.engine.en1992_1_1 import STRENGTH_CLASSES
from service.site.as_built import Record, check, new_request
from service.site.sheet import Job, NoSheet, make
from service.verification import verify
from tests.shipped import shipped_shelf
from tests.site.sheet_cases import REQUESTS, book, met_on_site, nearest_edges

SEEN: dict[str, Any] = {
    "hole_cleaned": True, "head_seated": True, "sleeve_expanded": True, "mark_shows": True, "resin_filled": True,
    "weld_tested": True, "set_within_working_time": True, "curing_minutes": 100_000, "concrete_temperature_c": 20,
    "washer_clamped": True, "coldest_until_cured_c": 15, "cracks_seen": False, "drilling": "hammer",
    "installer": "trained",
}  # fmt: skip


def filled_in(request: dict[str, Any], **read: Any) -> dict[str, Any]:
    """Fill in the form of the sheet as ordered, but for what was read otherwise, and have it checked."""
    record = Record(request, verify(request, book()))
    form = make([Job(request, record.answer, book(), (), 1, "")]).sheet.fixings[0].to_fill_in
    met = met_on_site(request, {})
    done: dict[str, Any] = {"aborted_holes": []}
    for blank in (*form.each_fastener, *form.once):
        if blank.as_built is None:
            continue
        if blank.as_built in SEEN:
            done[blank.as_built] = SEEN[blank.as_built]
        elif blank.as_built == "strength_found":
            strength = STRENGTH_CLASSES[request["member"]["strength_class"]]
            done["strength_found"] = {"strength_mpa": strength, "found_by": "specimens"}
        elif blank.as_built == "positions":
            done["positions"] = request["positions"]
        elif blank.as_built in met:
            done[blank.as_built] = met[blank.as_built]
        elif blank.as_built == "nearest_edges":
            done["nearest_edges"] = nearest_edges(request)
        elif blank.as_built == "topping":
            done["bare_concrete"] = True
        elif blank.as_built == "fixture_hole_diameter_mm":
            done["fixture_hole_diameter_mm"] = request["fixture"].get("hole_diameter_mm")
        elif blank.as_built == "torque_tool":
            done["torque_tool"] = request["site"]["torque_control"]
        elif blank.as_built.startswith("grout."):
            done["grout"] = request["fixture"]["grout"]
        elif blank.as_built == "stand_off_mm" and blank.asked is None:
            done["stand_off_mm"] = 0
        elif blank.asked is not None:
            done[blank.as_built] = blank.asked.value
    off = {name: done[name] + by for name, by in read.pop("off", {}).items()}
    done = {**done, **off, **read}
    assert AsBuilt().validate(done) == {}
    return check(record, done, new_request(record, done, book()), book())


def to_do(answer: dict[str, Any]) -> list[str]:
    return [one["code"] for one in answer["to_do"]]


@pytest.mark.parametrize("name", REQUESTS)
def test_built_as_the_sheet_orders_it_verifies(name: str) -> None:
    answer = filled_in(REQUESTS[name])
    assert answer["verdict"] == "verified", answer["to_do"]
    assert answer["utilisation_after"] == answer["utilisation_before"]


@pytest.mark.parametrize("name", REQUESTS)
def test_each_blank_whose_worse_value_would_be_refused_shows_nothing_while_it_is_blank(name: str) -> None:
    """Who writes down what is wrong is refused, so who writes nothing may not pass; common practice, no source."""
    record = Record(REQUESTS[name], verify(REQUESTS[name], book()))
    said = {"fixture_thickness_mm": 1000}
    nothing = check(record, said, new_request(record, said, book()), book())
    asked = [one for one in nothing["as_built_requirements"] if one["code"] == "decisive_not_measured"]
    blanks = [[Measurement(word) for word in one["figures"].values() if word] for one in asked]
    assert [Measurement.POSITIONS] in blanks
    for codes in blanks:
        fields = {field.partition(".")[0] for code in codes for field in fields_of(code)}
        assert filled_in(REQUESTS[name], **dict.fromkeys(fields))["verdict"] == "not_shown", codes


def around(name: str, **read: Any) -> list[str]:
    """What is asked of what a crew meets, by a filled-in form with blanks."""
    answer = filled_in(REQUESTS[name], **read)
    return [one["code"] for one in answer["not_measured"] if one["decisive"]]


def test_cracks_are_asked_where_uncracked_concrete_was_taken_and_edges_where_one_was_verified() -> None:
    assert around("drop-ins overhead", cracks_seen=None) == ["cracks"]
    assert around("guardrail", cracks_seen=None) == []
    assert around("guardrail", nearest_edges=None) == ["edges"]
    assert around("drop-ins overhead", nearest_edges=None) == []
    two = {"nearest_edges": {"x_minus_mm": 150}}
    assert around("screw near a corner", **two) == ["edges"]


def test_of_wide_holes_the_size_is_asked_that_nobody_told() -> None:
    """22 mm written down is refused, as no head of M12 spans it: a blank can be no better. A slot has a length too."""
    wide = copy.deepcopy(REQUESTS["guardrail"])
    wide["fixture"] |= {"clearance": "oversize", "thickness_mm": 10}
    wide["load_cases"] = [{"name": "light", "normal_kn": 0.3, "shear_x_kn": 0.1}]
    for said, verdict in (
        ({"fixture_hole_diameter_mm": None}, "not_shown"),
        ({"fixture_hole_diameter_mm": None, "clearance": "oversize"}, "not_shown"),
        ({"fixture_hole_diameter_mm": 18}, "verified"),
        ({"fixture_hole_diameter_mm": 22}, "not_verified"),
    ):
        answer = filled_in(wide, **said)
        assert answer["verdict"] == verdict, answer["to_do"]
        assert ("say_fixture_holes" in to_do(answer)) is (verdict == "not_shown")


@pytest.mark.parametrize(
    ("name", "off", "verdict"),
    [
        # Through-bolt: 87 mm in a hole of 97 mm, 52 N·m.
        ("guardrail", {"nominal_embedment_mm": 0.5}, "verified"),
        ("guardrail", {"nominal_embedment_mm": 1}, "verified"),
        ("guardrail", {"nominal_embedment_mm": 3}, "verified"),
        ("guardrail", {"nominal_embedment_mm": -0.5}, "verified"),
        ("guardrail", {"hole_depth_mm": 1}, "verified"),
        ("guardrail", {"hole_depth_mm": -1}, "verified"),
        ("guardrail", {"hole_depth_mm": -1, "nominal_embedment_mm": 1}, "verified"),
        ("guardrail", {"torque_nm": -2.6}, "verified"),
        ("guardrail", {"torque_nm": -3}, "not_verified"),
        ("guardrail", {"torque_nm": 3}, "not_verified"),
        # Sleeve with a hexagon head: the hole alone is measured.
        ("sleeves", {"hole_depth_mm": 1}, "verified"),
        ("sleeves", {"hole_depth_mm": -1}, "verified"),
        ("sleeves", {"hole_depth_mm": -15}, "not_verified"),
        # Screw.
        ("screw near a corner", {"hole_depth_mm": 1}, "verified"),
        ("screw near a corner", {"hole_depth_mm": -1}, "verified"),
        # Drop-in: on the bottom of its hole.
        ("drop-ins overhead", {"hole_depth_mm": 1}, "verified"),
        ("drop-ins overhead", {"hole_depth_mm": 2}, "verified"),
        ("drop-ins overhead", {"hole_depth_mm": 2.5}, "not_verified"),
        ("drop-ins overhead", {"hole_depth_mm": -0.5}, "verified"),
        ("drop-ins overhead", {"hole_depth_mm": -1}, "not_verified"),
        ("drop-ins overhead", {"torque_nm": -7}, "verified"),
        ("drop-ins overhead", {"torque_nm": 0.5}, "not_verified"),
        # Undercut: cut from the bottom of its hole.
        ("undercut in a corner", {"hole_depth_mm": 1, "nominal_embedment_mm": 1}, "verified"),
        ("undercut in a corner", {"hole_depth_mm": 2.5}, "not_verified"),
        ("undercut in a corner", {"hole_depth_mm": -0.5}, "verified"),
        ("undercut in a corner", {"hole_depth_mm": -1}, "not_verified"),
        # Resin: the rod on the bottom of its hole.
        ("resin", {"hole_depth_mm": 2, "nominal_embedment_mm": 2}, "verified"),
        ("resin", {"hole_depth_mm": 3}, "verified"),
        ("resin", {"nominal_embedment_mm": -0.5}, "verified"),
        ("resin", {"hole_depth_mm": -0.5, "nominal_embedment_mm": -0.5}, "verified"),
        ("resin", {"nominal_embedment_mm": 5}, "not_verified"),
        ("resin", {"torque_nm": -6}, "verified"),
        # Frame fixing.
        ("nylon", {"hole_depth_mm": 1}, "verified"),
        ("nylon", {"hole_depth_mm": -1}, "verified"),
    ],
)
def test_what_a_tape_reads_otherwise(name: str, off: dict[str, float], verdict: str) -> None:
    """3 mm deeper set, holes 2 mm deeper and 1 mm shorter, a reading of 0.5 mm: common practice, no source."""
    answer = filled_in(REQUESTS[name], off=off)
    assert answer["verdict"] == verdict, (answer["as_built_requirements"], answer["unmet_requirements"])
    if verdict == "verified":
        assert answer["utilisation_after"] == answer["utilisation_before"]


def test_the_thread_is_in_question_beyond_the_window() -> None:
    """M12 × 120 at its largest fixture of 15 mm: 90 mm set depth is 3 mm deeper than ordered, 91 mm is more."""
    request = {**REQUESTS["guardrail"], "fixture": {**REQUESTS["guardrail"]["fixture"], "thickness_mm": 15}}
    for deeper, verdict in ((0, "verified"), (3, "verified"), (3.1, "not_verified")):
        answer = filled_in(request, off={"nominal_embedment_mm": deeper})
        assert answer["verdict"] == verdict
    [found] = [one for one in answer["as_built_requirements"] if one["code"] == "thread_serves"]
    assert found["limit"] == pytest.approx(11.9)


@pytest.mark.parametrize(("above", "remedy"), [(0.5, "slightly_above"), (5, "overtightened")])
def test_above_the_most_a_torque_is_graded(above: float, remedy: str) -> None:
    """82 N·m for the rod; a wrench may be off by a twentieth, 4.1 N·m."""
    answer = filled_in(REQUESTS["resin"], off={"torque_nm": above})
    assert answer["verdict"] == "not_verified"
    assert [one["code"] for one in answer["to_do"] if one["requirement"] == "installation_torque"] == [remedy]


def test_well_below_the_most_is_a_caution_and_no_more() -> None:
    for read, cautioned in ((0, True), (77, True), (78, False)):
        answer = filled_in(REQUESTS["resin"], torque_nm=read)
        assert answer["verdict"] == "verified"
        assert ("torque_below_asked" in [one["code"] for one in answer["cautions"]]) is cautioned


def met(answer: dict[str, Any], code: str) -> bool | None:
    """Whether a requirement of the work is met."""
    [found] = [one["met"] for one in answer["as_built_requirements"] if one["code"] == code]
    return found  # type: ignore[no-any-return]


@pytest.mark.parametrize(("set_mm", "agrees"), [(90, True), (92, True), (88, True), (86, False), (85, False)])
def test_a_seated_head_and_another_set_depth_contradict_each_other(set_mm: float, agrees: bool) -> None:
    """A screw of 100 mm under its head less a fixture of 10 mm reaches 90 mm; that they agree to 2 mm: from memory."""
    answer = filled_in(REQUESTS["screw near a corner"], nominal_embedment_mm=set_mm)
    assert answer["verdict"] == ("verified" if agrees else "not_shown")
    assert met(answer, "head_seated") is (True if agrees else None)
    assert ("measure_head_again" in to_do(answer)) is not agrees


def test_no_rod_reaches_deeper_than_its_hole() -> None:
    """A hole of 148 mm; that two depths by a tape agree to 1 mm: from memory."""
    assert filled_in(REQUESTS["resin"], nominal_embedment_mm=149)["verdict"] == "verified"
    for set_mm in (149.5, 153):
        answer = filled_in(REQUESTS["resin"], nominal_embedment_mm=set_mm)
        assert answer["verdict"] == "not_verified"
        assert met(answer, "set_depth_in_hole") is False
        assert "measure_depth_again" in to_do(answer)
    assert filled_in(REQUESTS["resin"], nominal_embedment_mm=150, hole_depth_mm=150)["verdict"] == "verified"


def test_resin_has_to_be_seen_at_the_top() -> None:
    """However deep the hole; common practice, no source."""
    for hole_mm in (148, 258):
        assert filled_in(REQUESTS["resin"], hole_depth_mm=hole_mm)["verdict"] == "verified"
        unseen = filled_in(REQUESTS["resin"], hole_depth_mm=hole_mm, resin_filled=None)
        assert unseen["verdict"] == "not_shown"
        [measure] = [one for one in unseen["to_do"] if one["code"] == "measure_each"]
        assert measure["figures"] == {
            "measurement": "resin_filled", "alternative": None, "field": "resin_filled", "fields": None,
        }  # fmt: skip
    answer = filled_in(REQUESTS["resin"], resin_filled=False)
    assert (answer["verdict"], answer["utilisation_after"]) == ("not_verified", None)
    assert met(answer, "resin_filled") is False


MOVED = {"number": 2, "x_mm": 88, "y_mm": -75}


@pytest.mark.parametrize(
    ("done", "asked"),
    [
        ({"moved": [MOVED]}, True),
        ({"moved": [MOVED | {"x_mm": 80}]}, False),  # 5 mm off in a hole of 12 mm is the same hole
        ({"moved": []}, False),
    ],
)
def test_who_moves_a_bolt_is_asked_for_the_hole_that_was_given_up(done: dict[str, Any], asked: bool) -> None:
    done = {**done, "clearance": "normal"}
    unsaid = filled_in(REQUESTS["guardrail"], positions=None, aborted_holes=None, **done)
    assert (unsaid["verdict"], "say_aborted_holes" in to_do(unsaid)) == ("not_shown", True)
    of_the_move = "aborted_holes_said" in [one["code"] for one in unsaid["as_built_requirements"]]
    assert of_the_move is asked
    assert filled_in(REQUESTS["guardrail"], positions=None, **done)["verdict"] == "verified"


OLD_HOLE = {"x_mm": 75, "y_mm": -75, "depth_mm": 10, "refilled": True}


@pytest.mark.parametrize("x_mm", [75, 80, 86.9])
def test_one_set_anew_in_its_used_hole_is_not_verified(x_mm: float) -> None:
    """Spun, pulled and a new one put in: an expansion bolt's hole of 12 mm does not serve twice, nor one beside it."""
    place = {"moved": [{"number": 2, "x_mm": x_mm, "y_mm": -75}]}
    for holes in ([], [OLD_HOLE]):
        answer = filled_in(
            REQUESTS["guardrail"], positions=None, replaced_numbers=[2], aborted_holes=holes, **place
        )
        assert (answer["verdict"], answer["utilisation_after"], answer["record"]) == ("not_verified", None, None)
        assert met(answer, "set_in_new_hole") is False
        assert "set_in_new_hole" in to_do(answer)


@pytest.mark.parametrize(
    ("thickness_mm", "read", "met"),
    [
        (6, {"bolt_length_mm": 16}, True), (6, {"bolt_length_mm": 24}, True), (6, {"bolt_length_mm": 15}, False),
        (6, {"bolt_length_mm": 25}, False), (18, {"bolt_length_mm": 24}, False), (18, {"bolt_length_mm": 28}, True),
        (6, {"screwed_in_mm": 10}, True), (6, {"screwed_in_mm": 18.5}, False), (30, {"bolt_length_mm": 24}, False),
    ],
)  # fmt: skip
def test_a_bolt_reaches_as_far_into_its_sleeve_as_the_assessment_has_it(
    thickness_mm: float, read: dict[str, float], met: bool
) -> None:
    """10 to 18 mm of thread, in the family's file: with a thicker plate the bolts of the bill find too little of it."""
    unread = {"bolt_length_mm": None, "screwed_in_mm": None}
    answer = filled_in(REQUESTS["drop-ins overhead"], fixture_thickness_mm=thickness_mm, **{**unread, **read})
    [held] = [one for one in answer["as_built_requirements"] if one["code"] == "screwed_in"]
    assert (held["met"], answer["verdict"]) == (met, "verified" if met else "not_verified")
    if not met:
        [fit] = [one["figures"] for one in answer["to_do"] if one["requirement"] == "screwed_in"]
        assert fit == {"least_mm": thickness_mm + 10, "most_mm": thickness_mm + 18}
    unsaid = filled_in(REQUESTS["drop-ins overhead"], fixture_thickness_mm=thickness_mm, **unread)
    assert (unsaid["verdict"], "measure_each" in to_do(unsaid)) == ("not_shown", True)


def test_new_bolts_take_the_place_of_the_ones_that_were_measured_before() -> None:
    first = filled_in(REQUESTS["drop-ins overhead"])
    assert again(first, fixture_thickness_mm=9)["verdict"] == "not_verified"
    assert again(first, fixture_thickness_mm=9, bolt_length_mm=20)["verdict"] == "verified"


def test_one_set_anew_elsewhere_has_left_a_hole() -> None:
    """24 mm is twice the hole of 12 mm, from which a filled hole no longer counts: common practice, no source."""
    done = {"positions": None, "replaced_numbers": [2], "moved": [MOVED | {"x_mm": 99}], "clearance": "normal"}
    unsaid = filled_in(REQUESTS["guardrail"], aborted_holes=[], **{**done, "moved": [MOVED]})
    assert (unsaid["verdict"], met(unsaid, "aborted_holes_said")) == ("not_shown", None)
    assert "say_aborted_holes" in to_do(unsaid)
    assert met(filled_in(REQUESTS["guardrail"], aborted_holes=[OLD_HOLE], **done), "aborted_hole_distance") is True


@pytest.mark.parametrize(
    ("name", "verdict"),
    [("resin", "not_verified"), ("screw near a corner", "not_verified"), ("drop-ins overhead", "not_verified"),
     ("undercut in a corner", "not_verified"), ("studs", "not_verified"), ("nylon", "verified")],
)  # fmt: skip
def test_only_what_comes_out_of_its_hole_leaves_it_for_another(name: str, verdict: str) -> None:
    """By the words of each family on removal; a plug is pulled and a new one used."""
    assert filled_in(REQUESTS[name], replaced_numbers=[1])["verdict"] == verdict


def test_a_moved_stud_leaves_no_hole() -> None:
    answer = filled_in(
        REQUESTS["studs"], positions=None, aborted_holes=None, moved=[{"number": 1, "x_mm": -70, "y_mm": -100}]
    )
    assert "aborted_holes_said" not in [one["code"] for one in answer["as_built_requirements"]]


@pytest.mark.parametrize(
    ("strength_mpa", "verdict"), [(None, "not_shown"), (30, "verified"), (45, "verified"), (10, "not_verified")]
)
def test_what_is_cast_in_turns_on_the_strength_that_the_concrete_had_when_it_was_loaded(
    strength_mpa: float | None, verdict: str
) -> None:
    """C30/37 was verified; struck after a day it may have next to none."""
    found = None if strength_mpa is None else {"strength_mpa": strength_mpa, "found_by": "specimens"}
    answer = filled_in(REQUESTS["studs"], strength_found=found)
    assert answer["verdict"] == verdict
    asked = [one["code"] for one in answer["not_measured"] if one["decisive"]]
    assert asked == (["strength"] if strength_mpa is None else [])


def again(first: dict[str, Any], **done: Any) -> dict[str, Any]:
    assert first["verdict"] == "verified"
    record = Record(first["record"]["request"], first["record"]["answer"])
    return check(record, done, new_request(record, done, book()), book())


def test_a_place_measured_again_is_the_same_hole() -> None:
    """12 mm wide: what was measured of it stays while it is nearer than that."""
    first = filled_in(REQUESTS["guardrail"])
    for off, same in ((1, True), (11.9, True), (12, False)):
        moved = [{"number": 2, "x_mm": 75 + off, "y_mm": -75}]
        answer = again(first, moved=moved, aborted_holes=[], clearance="normal")
        assert answer["verdict"] == ("verified" if same else "not_shown")
        assert ("old_hole_left" in [one["code"] for one in answer["cautions"]]) is not same
    replaced = again(first, replaced_numbers=[2], moved=[MOVED], aborted_holes=[], clearance="normal")
    assert replaced["verdict"] == "not_shown"
    assert {"set_depth", "torque"} <= {one["code"] for one in replaced["not_measured"] if one["decisive"]}


def test_a_new_bolt_that_is_shallow_is_not_hidden_by_the_old_ones() -> None:
    """75 mm effective at 87 mm set depth: 79 mm are 67 mm, which count as 57 mm, however deep the others are."""
    done = {"nominal_embedment_mm": 79, "torque_nm": 52, "aborted_holes": [], "hole": "dry", "clearance": "normal"}
    answer = again(filled_in(REQUESTS["guardrail"]), moved=[MOVED], **done)
    assert answer["verdict"] == "verified"
    assert answer["record"]["request"]["fastener"]["embedment_mm"] == 57
    drop_ins = filled_in(REQUESTS["drop-ins overhead"], hole_depth_mm=47)
    done = {"hole_cleaned": True, "sleeve_expanded": True, "screwed_in_mm": 10, "torque_nm": 20, "aborted_holes": []}
    elsewhere = {"moved": [{"number": 1, "x_mm": -75, "y_mm": 0}], "clearance": "normal", "hole": "dry"}
    for hole_mm, verdict in ((46, "verified"), (44, "not_verified")):
        assert again(drop_ins, **elsewhere, hole_depth_mm=hole_mm, **done)["verdict"] == verdict


def test_a_washer_over_a_wide_hole_that_is_thicker_than_told_is_not_verified_where_the_length_lacks_it() -> None:
    """By hand: the plate leaves the length 3 mm for the washer; one of 5 mm takes 2 mm that are not there."""
    request = copy.deepcopy(REQUESTS["guardrail"])
    request["load_cases"] = [{"name": "light", "normal_kn": 0.3, "shear_x_kn": 0.1}]
    request["fixture"] |= {"hole_diameter_mm": 18, "washer_thickness_mm": 3}
    [clamped] = [one for one in verify(request, book())["requirements"] if one["code"] == "fixture_thickness"]
    figures = clamped["figures"]
    request["fastener"]["length_mm"] = figures["length_mm"]
    request["fixture"]["thickness_mm"] += figures["clamped_max_mm"] - figures["clamped_mm"]
    assert filled_in(request)["verdict"] == "verified"
    assert filled_in(request, washer_thickness_mm=2)["verdict"] == "verified"
    thicker = filled_in(request, washer_thickness_mm=5)
    assert (thicker["verdict"], thicker["verdict_before"]) == ("not_verified", "verified")
    unsaid = filled_in(request, washer_thickness_mm=None)
    assert "washer_thickness" in [one["code"] for one in unsaid["not_measured"]]


def test_an_aborted_hole_measured_again_counts_once() -> None:
    """2 mm between two measurements of one place: from memory."""
    hole = {"x_mm": 0.0, "y_mm": 0.0, "depth_mm": 30.0}
    first = filled_in(REQUESTS["guardrail"], aborted_holes=[hole])
    for off, counted in ((1.5, 1), (3, 2)):
        record = again(first, aborted_holes=[hole | {"x_mm": off}])["record"]
        assert len(record["request"]["built"]["aborted_holes"]) == counted
    shallow = again(first, aborted_holes=[hole | {"x_mm": 1.0, "depth_mm": 5.0}])["record"]
    assert [one["depth_mm"] for one in shallow["request"]["built"]["aborted_holes"]] == [30]


def test_an_undercut_set_a_little_deeper_does_not_spoil_the_next_check() -> None:
    """3 mm deeper in a hole of 152 mm; the bolt beside it is set anew."""
    first = filled_in(REQUESTS["undercut in a corner"], off={"nominal_embedment_mm": 3})
    done = {"hole_depth_mm": 152, "nominal_embedment_mm": 138, "mark_shows": True, "torque_nm": 78, "aborted_holes": []}
    elsewhere = {"moved": [{"number": 1, "x_mm": -90, "y_mm": -80}], "clearance": "normal", "hole": "dry"}
    assert again(first, **elsewhere, **done)["verdict"] == "verified"


def test_edges_as_the_sheet_measures_them() -> None:
    """200 mm from the origin, the nearest bolt at x 75 mm: 125 mm from it; one that moved to 85 mm leaves 115 mm."""
    request = REQUESTS["guardrail"]
    assert request["member"]["edges"]["x_plus_mm"] == 200
    from_origin = filled_in(request, edges={"x_plus_mm": 190, "x_minus_mm": 300}, nearest_edges=None)
    from_nearest = filled_in(request, nearest_edges={"x_plus_mm": 115, "x_minus_mm": 225})
    assert from_nearest["changes"] == from_origin["changes"] != []
    moved = {"positions": None, "moved": [{"number": 2, "x_mm": 85, "y_mm": -75}]}
    assert "#/member/edges/x_plus_mm" not in [
        one["pointer"] for one in filled_in(request, nearest_edges={"x_plus_mm": 115}, **moved)["changes"]
    ]
    assert "edges" not in [one["code"] for one in from_nearest["not_measured"]]


def test_no_sheet_for_new_bolts_is_made_of_one_that_is_short() -> None:
    """M12 × 120 set at 86 mm counts as 57 mm deep, and set new at 69 mm its nut would not find its thread."""
    record = filled_in(REQUESTS["guardrail"], nominal_embedment_mm=86)["record"]
    sheet = make([Job(record["request"], record["answer"], book(), (), 1, "")]).sheet
    assert sheet.materials == ()
    assert not {"drill", "set"} & {step.code for step in sheet.fixings[0].steps}
    one_left = {"to_set_numbers": [2], "undrilled_numbers": [2]}
    left = filled_in(REQUESTS["guardrail"], nominal_embedment_mm=86, **one_left)["record"]
    unmarked = {**record["request"], "built": {"embedment_mm": record["request"]["built"]["embedment_mm"]}}
    for request in (left["request"], unmarked):
        with pytest.raises(NoSheet, match="size new fasteners anew"):
            make([Job(request, verify(request, book()), book(), (), 1, "")])


def test_by_an_older_release_depths_have_no_tolerance() -> None:
    """Its rules name none: 46 mm are 46 mm."""
    old = shipped_shelf().book("2026.1.0")
    request = {**REQUESTS["drop-ins overhead"], "rulebook": old.version}
    record = Record(request, verify(request, old))
    done = met_on_site(request, {"hole_cleaned": True, "sleeve_expanded": True, "torque_nm": 20})
    for hole_mm, verdict in ((46, "verified"), (45.9, "not_verified"), (46.1, "not_verified")):
        said = {**done, "hole_depth_mm": hole_mm}
        assert check(record, said, new_request(record, said, old), old)["verdict"] == verdict
