"""What the crew is told: the order of the work, resin, depths, amounts, and what yields no sheet."""

from __future__ import annotations

import copy
import math
import re
from dataclasses import replace
from functools import cache
from typing import Any
from xml.etree.ElementTree import Element, fromstring

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.contract.as_built import AsBuilt
from service.contract.as_built_codes.measurements import fields_of
from service.contract.built import AbortedHole
from service.contract.load_model_codes import Caution
from service.engine.en1992_1_1 import STRENGTH_CLASSES
from service.rulebook import plain
from service.site.as_built import Record, check, new_request
from service.site.as_built.measured import DECISIVE
from service.site.sheet import Job, NoSheet, drawing, make, page
from service.site.sheet.content import Figure, FixingSheet
from service.site.sheet.wording import Wording
from service.verification import verify
from service.verification.aborted_hole import least_distance
from service.verification.refusal import RefusedRequest
from service.words import Audience, Statement, catalogue
from tests.site.sheet_cases import REQUESTS, book, fixing, job, made, nearest_edges, square

SVG = "http://www.w3.org/2000/svg"
ORDER = [
    "tools",
    "surface",
    "mark",
    "scan",
    "fixture_first",
    "drill",
    "clean",
    "resin",
    "set",
    "pour",
    "cure",
    "fixture_on",
    "grout",
    "tighten",
    "check",
    "failed_hole",
    "removal",
]


def only(name: str, **how: Any) -> FixingSheet:
    return made(name, **how).sheet.fixings[0]


def text_of(sheet: FixingSheet, code: str) -> str:
    """The lines of a step, and what is ticked below them."""
    ticks = [tick for tick in sheet.on_site if tick.in_step == code]
    return " | ".join(line.text for step in sheet.steps if step.code == code for line in (*step.lines, *ticks))


@pytest.mark.parametrize("name", REQUESTS)
def test_steps_stand_in_the_order_of_the_work(name: str) -> None:
    codes = [step.code for step in only(name).steps]
    if name == "stand-off":
        # No socket reaches the nut on the concrete once the fixture is on: common practice, no source.
        assert codes.index("set") < codes.index("tighten") < codes.index("fixture_on")
        codes.remove("tighten")
    assert codes == [code for code in ORDER if code in codes]
    assert {"tools", "surface", "set", "check", "failed_hole", "removal"} <= set(codes)
    bonded = REQUESTS[name]["fastener"]["family"].startswith("bonded")
    assert ({"resin", "cure"} <= set(codes)) == bonded
    assert ("drill" in codes) == (name != "studs")


def test_diagonals_are_measured_where_there_are_any() -> None:
    """√(150² + 150²) by hand."""
    assert "Check by measuring from fastener 1 to fastener 4: 212.1 mm" in text_of(only("guardrail"), "mark")
    for name in ("three in a row, close", "drop-ins overhead", "eyebolt"):
        assert "Check by measuring" not in text_of(only(name), "mark")


def test_sides_go_by_letters_and_by_the_words_of_the_caller() -> None:
    """Guardrail post: edges 200 mm from the origin, bolts at 75 mm, so 125 mm to the nearest."""
    own = only("guardrail", side_names={"x_plus": "ahead of you"})
    sides = {side.letter: side for side in own.sides}
    assert [side.name for side in own.sides] == ["y_plus", "x_plus", "y_minus", "x_minus"]
    assert (sides["B"].own_words, sides["D"].own_words) == ("ahead of you", None)
    assert sides["B"].to_edge is not None
    assert sides["B"].to_edge.value == 200 - 75
    assert "From the edge at side B (ahead of you) to the centre of the nearest, fasteners 2, 4: 125 mm" in text_of(
        own, "mark"
    )
    assert "D: left of the plan" in text_of(own, "mark")
    titles = [distance.title for distance in own.distances]
    assert "Nearest fastener to the edge at side B (ahead of you)" in titles
    assert not any("+x" in title for title in titles)
    plain_sheet = only("guardrail")
    assert "From the edge at side B (right of the plan)" in text_of(plain_sheet, "mark")


def test_guardrail_bolt_by_hand() -> None:
    """The figures of the family's file, M12 with 75 mm: hole 12 by 97, fixture 15, 120 long, 87 in the concrete."""
    sheet = only("guardrail")
    assert "Drill Ø12 mm, at least 97 mm and no more than 99 mm deep into the concrete" in text_of(sheet, "drill")
    assert "depth stop at 112 mm from its top" in text_of(sheet, "drill")
    assert "Set depth at least 87 mm and no more than 90 mm, from the concrete surface" in text_of(sheet, "set")
    assert "it projects at least 15 mm and no more than 18 mm out of the fixture" in text_of(sheet, "set")
    assert "Tighten to 52 N·m in one go, with a calibrated torque wrench" in text_of(sheet, "tighten")
    assert "at least 49.4 N·m, no more than 54.6 N·m" in text_of(sheet, "tighten")


def controlled(name: str, control: str | None) -> Job:
    """A fixing that verifies with a tool; its answer is that of the verification with the tool."""
    request = copy.deepcopy(REQUESTS[name])
    request["site"]["torque_control"] = control
    one = job(request)
    assert one.answer["verdict"] == "verified", (name, control)
    return one


def whole(sheet: FixingSheet) -> str:
    """All that the crew reads of steps, conditions and form."""
    form = sheet.to_fill_in
    return " | ".join([
        *(line.text for step in sheet.steps for line in step.lines),
        *(line.text for line in sheet.on_site),
        *(blank.label for blank in (*form.each_fastener, *form.once)),
    ])


def asked_of_torque(sheet: FixingSheet) -> list[tuple[str, float | str]]:
    return [
        (blank.label, blank.asked.value)
        for blank in sheet.to_fill_in.each_fastener
        if blank.as_built == "torque_nm" and blank.asked is not None
    ]


def test_a_tool_that_the_fixing_does_not_verify_with_is_not_named() -> None:
    """Full with a calibrated wrench, over with an impact driver: factor 0.95 in the rules of the site."""
    request = fixing(
        ("screw-stainless", "12", 83), [(0, 0)], {"width_mm": 100, "depth_mm": 100, "thickness_mm": 20}, (12, 0)
    )
    other = copy.deepcopy(request)
    other["site"]["torque_control"] = "impact_driver_set"
    assert (job(request).answer["verdict"], job(other).answer["verdict"]) == ("verified", "not_verified")
    sheet = make([job(request)]).sheet.fixings[0]
    assert "Tighten to 69 N·m and no further, with a calibrated torque wrench set to it" in text_of(sheet, "tighten")
    assert "No impact wrench: the fixing was verified without one" in text_of(sheet, "tighten")
    assert "impact" not in whole(sheet).replace("No impact wrench", "").lower()
    assert "445" not in whole(sheet)
    assert asked_of_torque(sheet) == [("Torque read (N·m)", 69)]


@pytest.mark.parametrize("control", ["calibrated_wrench", "by_feel", "unknown", None])
def test_where_no_torque_is_asked_the_head_is_seated_by_hand_and_seen(control: str | None) -> None:
    """screw-zinc has no installation torque, and a driver torque that it was not verified with."""
    sheet = make([controlled("screw near a corner", control)]).sheet.fixings[0]
    known = control in {"calibrated_wrench", "by_feel"}
    assert text_of(sheet, "tighten") == (
        "The assessment gives no torque: tighten by hand until the head bears on the fixture, then stop | "
        "No impact wrench: the fixing was verified without one"
        + " | Every head seated by hand, seen by someone who signs for it"
        * known
    )
    seen_last = "Every head seated on the fixture without a gap" in text_of(sheet, "check")
    assert seen_last != known
    assert "by hand with ratchet or spanner" in text_of(sheet, "set")
    words = whole(sheet).replace("No impact wrench", "").replace("gives no torque", "")
    assert "impact" not in words.lower()
    assert "torque" not in words
    assert "Head seated, seen by" in words
    conditions = [line.text for line in sheet.on_site if line.code == "torque_control"]
    assert conditions == ["Every head seated by hand, seen by someone who signs for it"] * known


@pytest.mark.parametrize(("name", "most_nm"), [("screw near a corner", 410), ("three in a row, close", 110)])
def test_verified_with_an_impact_driver_only_it_is_named(name: str, most_nm: float) -> None:
    sheet = make([controlled(name, "impact_driver_set")]).sheet.fixings[0]
    assert f"Impact wrench: set to no more than {most_nm} N·m" in text_of(sheet, "tighten")
    assert f"Impact wrench that can be set to no more than {most_nm} N·m" in text_of(sheet, "tools")
    assert "with the impact wrench" in text_of(sheet, "set")
    last = "Do not tighten further with a hand wrench: the fixing was verified with the impact wrench alone"
    assert last in text_of(sheet, "tighten")
    words = whole(sheet).replace(last, "").lower().replace("impact wrench", "")
    assert "wrench" not in words
    assert "torque read" not in words
    assert asked_of_torque(sheet) == [("Impact wrench set to (N·m)", most_nm)]
    [condition] = [line.text for line in sheet.on_site if line.code == "torque_control"]
    assert condition == f"Tightened with an impact wrench set to no more than {most_nm} N·m for this size"


@pytest.mark.parametrize(
    ("name", "control", "words"),
    [
        ("three in a row, close", "calibrated_wrench", "torque at most 9 N·m"),
        ("three in a row, close", "impact_driver_set", "impact wrench at most 110 N·m"),
        ("screw near a corner", "calibrated_wrench", "head seated by hand"),
        ("screw near a corner", "impact_driver_set", "impact wrench at most 410 N·m"),
    ],
)
def test_the_drawing_names_the_same_tool_as_the_steps(name: str, control: str, words: str) -> None:
    drawn = drawing.of_sheet(make([controlled(name, control)]))
    said = {"torque at most", "impact wrench at most", "head seated by hand"}
    assert words in drawn.replace("\u00a0", " ")
    assert {one for one in said if one in drawn} == {one for one in said if one in words}


@pytest.mark.parametrize("control", ["unknown", None])
def test_a_torque_that_is_asked_for_is_read_where_nobody_said_how(control: str | None) -> None:
    sheet = make([controlled("guardrail", control)]).sheet.fixings[0]
    assert "Tighten to 52 N·m in one go, with a torque wrench set to it" in text_of(sheet, "tighten")
    assert "No impact wrench: the assessment gives no figure for one" in text_of(sheet, "tighten")
    assert "feel" not in whole(sheet)
    assert asked_of_torque(sheet) == [("Torque read (N·m)", 52)]


@pytest.mark.parametrize(
    ("name", "torque"), [("drop-ins overhead", "20"), ("resin", "82"), ("three in a row, close", "9")]
)
def test_what_was_answered_by_feel_is_tightened_by_feel_and_no_torque_is_asked(name: str, torque: str) -> None:
    """A crew that was counted without a wrench cannot tick that it has one; nor does the form ask what it read."""
    made_ = make([controlled(name, "by_feel")])
    [sheet] = made_.sheet.fixings
    [tick] = [line for line in sheet.on_site if line.code == "torque_control"]
    assert tick.in_step == "tighten"
    assert "by feel, as it was counted" in tick.text
    assert f"a torque wrench set to {torque} N·m would be better" in tick.text
    assert "torque" not in whole(sheet).replace(tick.text, "").lower()
    assert asked_of_torque(sheet) == []
    assert "torque_tool" not in {blank.as_built for blank in sheet.to_fill_in.once}
    by_feel = "Tighten by feel, lightly, with one hand and nothing that lengthens the tool: no more than"
    assert f"{by_feel} {torque} N·m" in text_of(sheet, "tighten")
    drawn = drawing.of_sheet(made_)
    assert "tightened by feel" in drawn.replace("\u00a0", " ")


@pytest.mark.parametrize(("name", "torque"), [("guardrail", 52), ("eyebolt", 15), ("undercut in a corner", 78)])
def test_what_its_torque_expands_gets_a_wrench_though_by_feel_was_answered(name: str, torque: int) -> None:
    """Too loose it holds nothing, and nobody sees it: common practice, no source."""
    sheet = make([controlled(name, "by_feel")]).sheet.fixings[0]
    assert asked_of_torque(sheet) == [("Torque read (N·m)", torque)]
    [tick] = [line for line in sheet.on_site if line.code == "torque_control"]
    assert f"torque wrench set to {torque} N·m, and the torque written down" in tick.text
    assert "by feel" not in text_of(sheet, "tighten")
    assert text_of(sheet, "tighten").startswith("Without a calibrated torque wrench nothing is tightened: stop and ask")
    [at_hand] = [line for line in sheet.on_site if line.code == "wrench_at_hand"]
    assert at_hand.in_step is None
    assert "Calibrated torque wrench" in text_of(sheet, "tools")
    [caution] = [one for one in sheet.cautions if one.code == "torque_read_all_the_same"]
    assert "never tighten it by feel" in caution.text


def test_loads_of_an_accident_alone_are_shown_by_an_engineer_before_work() -> None:
    request = copy.deepcopy(REQUESTS["guardrail"])
    assert "accidental_to_be_shown" not in on_site_of(request)
    request["use"]["situation"] = "accidental"
    assert "an engineer has to show that, and that it carries" in on_site_of(request)["accidental_to_be_shown"]


def test_no_wrench_is_ordered_on_what_was_found_tightened_by_feel() -> None:
    """It would click on whatever is as tight or tighter: common practice, no source."""
    request = copy.deepcopy(REQUESTS["guardrail"])
    request["site"]["torque_control"] = "by_feel"
    request["built"] = {"embedment_mm": 75, "measured": ["set_depth", "torque_tool"]}
    sheet = make([job(request)]).sheet.fixings[0]
    assert asked_of_torque(sheet) == []
    assert "tighten" not in [step.code for step in sheet.steps]
    assert sheet.as_built is not None
    assert any("neither tightened nor slackened" in line.text for line in sheet.as_built.lines)


def test_a_plug_is_seated_by_hand_and_asks_for_no_wrench() -> None:
    sheet = only("nylon")
    assert "torque wrench" not in whole(sheet)
    assert "No impact wrench: the assessment gives no figure for one" in text_of(sheet, "tighten")
    assert asked_of_torque(sheet) == []


@pytest.mark.parametrize("name", REQUESTS)
def test_the_fixture_goes_up_before_the_drill_or_on_before_the_torque(name: str) -> None:
    codes = [step.code for step in only(name).steps]
    raised = name == "stand-off"
    through = book().families[REQUESTS[name]["fastener"]["family"]]["setting"] == "through_fixture" and not raised
    assert ("fixture_first" in codes) == through
    assert ("fixture_on" in codes) == (not through and name != "studs")
    if through:
        assert codes.index("fixture_first") < codes.index("drill")
    elif name != "studs" and not raised:
        assert codes.index("set") < codes.index("fixture_on") < codes.index("tighten")


def test_fixture_washer_and_nut_go_on_in_their_order() -> None:
    words = text_of(only("resin"), "fixture_on")
    last = "Then a washer and the nut on each by hand"
    parts = ("Not before the curing time", "the fixture over", last, "flat on the concrete")
    places = [words.index(part) for part in parts]
    assert places == sorted(places)
    grouted = text_of(only("slow resin in a wet hole, grouted"), "fixture_on")
    assert grouted.index(
        "levelling screws under it, clear of the holes, so that it stands level and 6 mm above"
    ) < grouted.index("the fixture over")
    assert "without shims" not in grouted


def test_off_the_concrete_the_nut_on_it_gets_the_torque_before_the_fixture_goes_on() -> None:
    """A bolt that is tightened over shims is not expanded: common practice, no source."""
    sheet = only("stand-off")
    tighten, fixture_on = text_of(sheet, "tighten"), text_of(sheet, "fixture_on")
    assert tighten.startswith("Before the fixture goes on, a washer and nut on each fastener, down onto the concrete")
    assert "Tighten to" in tighten
    assert "A washer and nut on each fastener, tight against the concrete" in tighten
    assert "Not before the nut on the concrete has its torque" in fixture_on
    assert "it stands 40 mm clear of the concrete" in fixture_on
    assert "tightened against the nut between concrete and fixture" in fixture_on
    assert "by hand until all bear" not in fixture_on
    words = " ".join(line.text for step in sheet.steps for line in step.lines)
    assert not [each for each in ("shims", "through the fixture in place", "out of the fixture") if each in words]
    assert "projects at least" in text_of(sheet, "set")
    assert "Deep socket" in text_of(sheet, "tools")
    [torque] = [blank for blank in sheet.to_fill_in.each_fastener if blank.as_built == "torque_nm"]
    assert torque.label == "Torque read at the nut on the concrete (N·m)"
    assert "at the nut on the concrete" in drawing.of_sheet(made("stand-off"))


@pytest.mark.parametrize(("stand_off_mm", "on_nuts"), [(38, False), (39, True)])
def test_a_fixture_lies_on_shims_where_a_nut_under_it_has_no_room(stand_off_mm: float, on_nuts: bool) -> None:
    """Two nuts and washers M16 at 1.2 diameters each, from memory of ISO 4032 and ISO 7089: 38.4 mm."""
    request = copy.deepcopy(REQUESTS["resin"])
    request["fixture"] |= {"stand_off_mm": stand_off_mm, "washer_clamped": True, "rotation": "held"}
    request["load_cases"] = [{"name": "a", "normal_kn": 1, "sustained_share": 0.5}]
    sheet = make([job(request)]).sheet
    assert ("on a nut and washer on each fastener" in text_of(sheet.fixings[0], "fixture_on")) is on_nuts
    assert ("no nut has room under it" in text_of(sheet.fixings[0], "fixture_on")) is not on_nuts
    [below] = [one for one in sheet.materials if "between concrete and fixture" in one.title]
    # Four rods and their spare, as the bill has rods.
    assert below.quantity.number == (10 if on_nuts else 5)
    assert "no less than 19.2 mm for the nuts in it" in whole(sheet.fixings[0])


def test_a_largest_torque_is_never_passed() -> None:
    """A drop-in takes 20 N·m at most, not 21; the torque of a through-bolt is a target."""
    words = text_of(only("drop-ins overhead"), "tighten")
    assert "while tightening: no more than 20 N·m" in words
    for name in REQUESTS:
        for figure in [f for step in only(name).steps for line in step.lines for f in line.figures]:
            if figure.name == "largest_torque_nm":
                family = book().families[REQUESTS[name]["fastener"]["family"]]
                assert family["mechanism"] in {"torque_controlled_expansion", "undercut"}


@pytest.mark.parametrize(("read_nm", "met"), [(18.9, True), (20, True), (20.1, False)])
def test_the_as_built_check_takes_the_torques_that_the_sheet_asks_for(read_nm: float, met: bool) -> None:
    one, done = job(REQUESTS["drop-ins overhead"]), {"torque_nm": read_nm, "torque_tool": "calibrated_wrench"}
    record = Record(one.request, one.answer)
    found = check(record, done, new_request(record, done, book()), book())["as_built_requirements"]
    assert [entry["met"] for entry in found if entry["code"] == "installation_torque"] == [met]


def test_a_hole_is_flushed_only_where_it_is_flooded() -> None:
    assert "Flush" not in text_of(only("slow resin in a wet hole, grouted"), "clean")
    request = copy.deepcopy(REQUESTS["slow resin in a wet hole, grouted"])
    request["use"]["hole"] = "flooded"
    assert "Flush the hole with clean water" in text_of(make([job(request)]).sheet.fixings[0], "clean")


def test_the_setting_tool_is_driven_when_the_sleeve_is_set_not_when_the_hole_is_cleaned() -> None:
    sheet = only("drop-ins overhead")
    assert "setting tool" not in text_of(sheet, "clean")
    assert "Drive the setting tool until its shoulder meets the sleeve" in text_of(sheet, "set")


def test_the_undercut_is_cut_when_the_hole_is_drilled_not_when_it_is_cleaned() -> None:
    sheet = only("undercut in a corner")
    drilling, cleaning = text_of(sheet, "drill"), text_of(sheet, "clean")
    assert drilling.index("Drill against the depth stop") < drilling.index("Cut the undercut with its own tool")
    assert "undercut" not in cleaning
    assert "depth stop" not in cleaning
    assert "Blow the hole out" in cleaning


@pytest.mark.parametrize(
    ("name", "full", "least"),
    [("guardrail", 194, 24), ("resin", 296, 36), ("slow resin in a wet hole, grouted", 470, 48)],
)
def test_distance_to_an_aborted_hole_is_that_of_the_as_built_check(name: str, full: int, least: int) -> None:
    """Twice the depth or twice the hole's diameter, whichever is larger; the rulebook's two factors, by hand."""
    sheet = only(name)
    words = text_of(sheet, "failed_hole")
    assert f"at least {full} mm from the centre of the empty hole if that is" in words
    assert f"never less than {least} mm" in words
    assert sheet.hole_diameter is not None
    shallow = least_distance(book(), sheet.hole_diameter.number, 5)
    assert shallow.distance_mm == least


def distances_of(sheet: FixingSheet) -> dict[str, tuple[str, float | str]]:
    return {distance.code: (distance.title, distance.verified.value) for distance in sheet.distances}


def test_what_is_measured_by_is_not_rounded_and_a_diagonal_says_so() -> None:
    """By hand: 161 mm both ways is a diagonal of 227.69 mm, 140 mm one of 197.99 mm, 150 mm one of 212.13 mm."""
    request = copy.deepcopy(REQUESTS["resin"])
    request["positions"] = [{"x_mm": x, "y_mm": y} for x in (-80.5, 80.5) for y in (-80.5, 80.5)]
    found = distances_of(make([job(request)]).sheet.fixings[0])
    assert found["largest_spacing"] == ("Largest spacing, a diagonal: for information", 227.7)
    assert found["smallest_spacing"] == ("Smallest spacing", 161)
    assert found["nearest_to_x_minus"][1] == 220 - 80.5
    request["positions"] = [{"x_mm": x, "y_mm": y} for x in (-70, 70) for y in (-70, 70)]
    request["fixture"]["attached_section"] |= {"width_mm": 100, "depth_mm": 100}
    assert distances_of(make([job(request)]).sheet.fixings[0])["largest_spacing"][1] == 198
    diagonal = copy.deepcopy(REQUESTS["drop-ins overhead"])
    diagonal["fixture"] |= {"width_mm": 220, "depth_mm": 220, "thickness_mm": 12}
    diagonal["positions"] = [{"x_mm": -75, "y_mm": -75}, {"x_mm": 75, "y_mm": 75}]
    two = distances_of(make([job(diagonal)]).sheet.fixings[0])
    assert two["smallest_spacing"] == ("Smallest spacing, a diagonal", 212.1)


@pytest.mark.parametrize("name", REQUESTS)
def test_a_demonstration_says_so_beside_the_figures_of_each_step(name: str) -> None:
    for step in only(name).steps:
        if step.code in {"drill", "resin", "set", "tighten", "check"}:
            assert step.notice == "DEMONSTRATION: invented figures, do not build"
    company = replace(job(REQUESTS[name]), rulebook=replace(book(), status="company"))
    assert {step.notice for step in make([company]).sheet.fixings[0].steps} == {None}


def test_what_is_written_down_lets_others_tell_what_was_built() -> None:
    form = only("resin").to_fill_in
    each = [blank.label for blank in form.each_fastener]
    for words in (
        "Hole depth",
        "Set depth from the concrete surface",
        "cleaned by",
        "checked clean by",
        "Set by",
        "First tightened or loaded",
        "Torque",
        "Signature",
    ):
        assert any(words in label for label in each), words
    length_mm = job(REQUESTS["resin"]).answer["fastener"]["length_mm"]
    assert {blank.asked.value for blank in form.each_fastener if blank.asked} == {148, 82, length_mm}
    assert {blank.as_built for blank in form.each_fastener} >= {"set_within_working_time", "curing_minutes"}
    once = " ".join(blank.label for blank in form.once)
    for words in (
        "Batch and expiry date of the resin",
        "Batch of the fasteners",
        "Tightening tool",
        "Temperature of the concrete when set",
        "Coldest",
    ):
        assert words in once
    assert len(form.aborted_hole) == 6
    assert only("studs").to_fill_in.aborted_hole == ()


@pytest.mark.parametrize("name", REQUESTS)
def test_every_blank_goes_into_the_as_built_check_where_that_has_a_field(name: str) -> None:
    form = only(name).to_fill_in
    told = [blank.as_built for blank in (*form.each_fastener, *form.once) if blank.as_built is not None]
    assert len(told) == len(set(told))
    assert {field.partition(".")[0] for field in told} <= AsBuilt().fields.keys()
    assert {blank.as_built for blank in form.aborted_hole if blank.as_built} <= AbortedHole().fields.keys()
    bonded = REQUESTS[name]["fastener"]["family"].startswith("bonded")
    resin_only = {
        "concrete_temperature_c",
        "coldest_until_cured_c",
        "curing_minutes",
        "set_within_working_time",
        "resin_filled",
    }
    assert set(told) & resin_only == (resin_only if bonded else set())


@pytest.mark.parametrize("name", REQUESTS)
def test_a_form_that_is_filled_in_tells_all_that_the_as_built_check_turns_on(name: str) -> None:
    form = only(name).to_fill_in
    told = {blank.as_built for blank in (*form.each_fastener, *form.once)}
    chosen = job(REQUESTS[name]).answer["fastener"]
    torque = book().families[chosen["family"]]["sizes"][chosen["size"]]["setting"]["installation_torque_nm"]
    for codes in DECISIVE[chosen["mechanism"]]:
        if codes != ("torque",) or torque is not None:
            assert told & {field for code in codes for field in fields_of(code)}, codes


def filled_in(one: Job) -> dict[str, Any]:
    """What the as-built check is told by a form on which everything is as the sheet asks."""
    request, form = one.request, make([one]).sheet.fixings[0].to_fill_in
    found: dict[str, Any] = {
        "positions": request["positions"], "hole_cleaned": True, "head_seated": True, "sleeve_expanded": True,
        "mark_shows": True, "resin_filled": True, "weld_tested": True,
        "set_within_working_time": True, "curing_minutes": 100_000, "concrete_temperature_c": 20,
        "coldest_until_cured_c": 15, "hole": request["use"]["hole"], "cracks_seen": False, "drilling": "hammer",
        "installer": "trained", "torque_tool": request["site"]["torque_control"],
        "stand_off_mm": 0, "nearest_edges": nearest_edges(request),
        "material": "normal_weight_concrete", "topping": request["member"].get("topping"),
        "reinforcement": request["member"].get("reinforcement"), "washer_clamped": True, "rotation": "held",
        "attached_section": {"in_place": True}, "aborted_holes": [], "neighbours": [],
    }  # fmt: skip
    # The class that the form asks for is that of cylinders.
    cylinders = STRENGTH_CLASSES.get(request["member"].get("strength_class"))
    blanks = [blank for blank in (*form.each_fastener, *form.once) if blank.as_built is not None]
    asked: dict[str | None, Any] = {one.as_built: one.asked.value for one in blanks if one.asked is not None}
    if "strength_found" in asked:
        asked["strength_found"] = {"strength_mpa": cylinders, "found_by": "specimens"}
    done = {str(blank.as_built): (found | asked)[blank.as_built] for blank in blanks}
    if done.get("topping", found) is None:
        done["bare_concrete"] = True
    of_grout = {name for name in done if name.startswith("grout.")}
    grout = {"grout": {name.partition(".")[2]: done[name] for name in of_grout}} if of_grout else {}
    return {name: value for name, value in done.items() if name not in of_grout} | grout


@pytest.mark.parametrize(
    ("name", "control"),
    [
        *((name, "calibrated_wrench") for name in REQUESTS),
        ("screw near a corner", "impact_driver_set"),
        ("three in a row, close", "impact_driver_set"),
    ],
)
def test_what_is_built_and_written_down_as_the_sheet_asks_still_verifies(name: str, control: str) -> None:
    one = controlled(name, control)
    done, record = filled_in(one), Record(one.request, one.answer)
    assert AsBuilt().validate(done) == {}
    found = check(record, done, new_request(record, done, book()), book())
    assert found["verdict"] == "verified", (found["as_built_requirements"], found["to_do"])


def test_the_set_depth_is_the_nominal_embedment_not_the_effective_one() -> None:
    """M12 with 75 mm effective: 87 mm nominal, in the family's file."""
    blanks = {blank.as_built: blank for blank in only("guardrail").to_fill_in.each_fastener}
    blank = blanks["nominal_embedment_mm"]
    assert (blank.asked and blank.asked.value) == 87
    assert "Set depth from the concrete surface" in blank.label
    assert "embedment_mm" not in blanks


def bought(name: str, kind: str) -> list[tuple[str, float | str]]:
    """Titles and quantities for three of a fixing."""
    return [(m.title, m.quantity.value) for m in made(name).sheet.materials if m.kind == kind]


def test_what_stands_on_the_plate_is_a_condition_where_the_plate_was_checked() -> None:
    request = copy.deepcopy(REQUESTS["guardrail"])
    request["fixture"] |= {"yield_mpa": 235, "attached_section": {"width_mm": 60, "depth_mm": 80, "profile": "hollow"}}
    answer = verify(request, book())
    sheet = make([Job(request, answer, book(), (), 1, "/fixings/0")]).sheet.fixings[0]
    [line] = [line for line in sheet.on_site if line.code == "attached_section"]
    assert "at least 60 mm (x) by 80 mm (y)" in line.text.replace("\u00a0", " ")


def test_grout_is_a_condition_is_bought_is_written_down_and_hardens_before_the_torque() -> None:
    name = "slow resin in a wet hole, grouted"
    sheet = only(name)
    assert {line.code: line.text for line in sheet.on_site}["grout"] == (
        "Grout, hardened, under the whole fixture: 6 mm thick, of at least 40 MPa"
    )
    assert {line.code: line.text for line in sheet.on_site}["concrete_under_grout"].startswith(
        "Concrete no stronger than the grout (40 MPa)"
    )
    assert bought(name, "grout") == [
        (
            (
                "Grout for a gap of 800 mm by 600 mm, 6 mm high: 2.9 litres, and what runs out beside it; of at least "
                "40 MPa when hardened"
            ),
            3,
        )
    ]
    assert any("grout" in blank.label for blank in sheet.to_fill_in.once)
    assert text_of(sheet, "tighten").startswith("Not before the grout under the fixture has hardened")
    assert bought("resin", "grout") == []


def test_what_is_screwed_on_below_a_fixture_and_into_sleeves_is_bought_too() -> None:
    """Three fixings of four bolts, each with a nut on the concrete and one under the fixture; sleeves and a spare."""
    assert bought("stand-off", "nut_and_washer") == [
        ("Nut and washer M16 between concrete and fixture, besides those outside it, spares included", 28)
    ]
    [(title, quantity)] = bought("drop-ins overhead", "bolt")
    assert title.startswith("Bolt, or rod with nut, M10")
    assert quantity == 6 + 1
    assert bought("guardrail", "nut_and_washer") == bought("guardrail", "bolt") == []


def test_every_tool_of_the_steps_is_among_the_tools() -> None:
    for name in REQUESTS:
        tools, setting = text_of(only(name), "tools").lower(), text_of(only(name), "set")
        assert ("hammer" not in setting) or "| hammer" in tools, name
    assert "hand tool that fits the screw's head" in text_of(only("nylon"), "tools").lower()
    assert "Adaptor for turning the ring or hook with the torque wrench" in text_of(only("eyebolt"), "tools")
    assert "the bolt's head, or the nut on the rod" in text_of(only("drop-ins overhead"), "tools")
    assert "and a hammer" in text_of(only("undercut in a corner"), "tools")


def test_no_washer_under_a_head_and_no_hole_under_a_stud() -> None:
    assert "washer under the nut" in text_of(only("guardrail"), "tighten")
    for name in ("sleeves", "three in a row, close"):
        assert "washer" not in text_of(only(name), "tighten")
    assert "hole" not in text_of(only("studs"), "check").replace("whole", "")


def test_the_setting_tool_is_named_once_and_where_older_rules_leave_it_out() -> None:
    assert text_of(only("drop-ins overhead"), "set").count("setting tool") == 1
    one = job(REQUESTS["drop-ins overhead"])
    families = plain(book().families)
    del families["drop-in-zinc"]["installation"]["setting_steps"]
    older = replace(one, rulebook=replace(book(), families=families))
    assert "drive the setting tool in with the hammer" in text_of(make([older]).sheet.fixings[0], "set")


def test_a_hole_that_was_verified_wet_may_be_wet_and_a_failed_one_is_not_topped_up() -> None:
    words = text_of(only("resin"), "resin")
    assert "fill it up" not in words
    assert "top it up with resin" in words
    assert "colder than that" not in text_of(only("resin"), "cure")


def test_nozzles_have_a_hose_only_where_the_work_needs_one() -> None:
    [(short, _)], [(deep, _)] = (
        bought(name, "mixing_nozzle") for name in ("resin", "slow resin in a wet hole, grouted")
    )
    assert "hose" not in short
    assert "piston plug and an extension hose longer than 235 mm" in deep
    assert "piston plug" not in text_of(only("resin"), "tools")
    assert "piston plug" in text_of(only("slow resin in a wet hole, grouted"), "tools")


def test_a_way_of_drilling_that_nobody_said_is_not_called_verified() -> None:
    request = copy.deepcopy(REQUESTS["screw near a corner"])
    request["site"]["drilling"] = "unknown"
    assert "Drilling method: hammer drill, no other" in text_of(make([job(request)]).sheet.fixings[0], "drill")
    verified = text_of(only("screw near a corner"), "drill")
    assert "Drilling method" not in verified
    assert "Holes drilled with a hammer drill and by no other method" in verified


def with_cautions(name: str, *codes: str) -> Any:
    one = job(REQUESTS[name])
    added = [{"code": code, "text": f"Words of {code}."} for code in codes]
    return replace(one, answer={**one.answer, "cautions": [*one.answer["cautions"], *added]})


def test_what_redundancy_and_a_use_without_harm_rest_on_are_conditions() -> None:
    conditions = {line.code: line.text for line in only("nylon").on_site}
    assert conditions["redundant"].startswith("Held at 4 points or more like this one")
    assert "structural engineer has shown that the others carry its share" in conditions["redundant"]
    assert conditions["nobody_hurt_to_be_shown"].startswith("Nobody could be hurt if it failed")
    assert not {"redundant", "nobody_hurt_to_be_shown"} & {line.code for line in only("guardrail").on_site}


def test_cautions_of_the_load_model_reach_the_crew() -> None:
    cautions = ["one_eyebolt_takes_all", "no_one_under_the_load"]
    request = REQUESTS["guardrail"] | {"loads_from": [{"load_model": "eyebolt", "cautions": cautions}]}
    [sheet] = make([job(request)]).sheet.fixings
    said = {line.code: line.text for line in sheet.cautions}
    crew = catalogue(Audience.CREW)
    for code in cautions:
        assert said[code] == crew.sentence(Statement(Caution(code)))
    assert "no_one_under_the_load" in {line.code for line in sheet.before_work}


def test_cautions_that_decide_the_work_come_first_and_in_their_order() -> None:
    one = with_cautions("guardrail", "single_fastener", "sensitive_to_contact_stiffness")
    lines = make([one], newest="2099.1.0").sheet.fixings[0].before_work
    codes = [line.code for line in lines]
    order = ["superseded", "sensitive_to_contact_stiffness", "needs_contact", "single_fastener"]
    assert [code for code in codes if code in order] == order
    assert "over its whole face" in next(line.text for line in lines if line.code == "needs_contact")
    assert "demonstration_data" not in codes


def test_the_crew_sees_before_work_that_an_engineer_has_to_decide_on_the_arrangement() -> None:
    request = copy.deepcopy(REQUESTS["guardrail"])
    request["positions"][1]["x_mm"] = 40
    lines = {line.code: line.text for line in make([job(request)]).sheet.fixings[0].before_work}
    assert "an engineer has to decide whether it may stand" in lines["arrangement_near_edge"]
    assert "arrangement_near_edge" not in {line.code for line in only("guardrail").before_work}


def test_a_caution_is_said_to_the_crew_and_one_without_figures_in_the_words_of_the_record() -> None:
    """A record of contract version 1 has no figures: its sentence can't be made anew."""
    one = job(REQUESTS["guardrail"])
    torque: dict[str, Any] = {
        "code": "torque_not_asked",
        "text": "Words of the record.",
        "figures": {"family": "screw-zinc", "size": "10", "impact_driver_torque_max_nm": 400},
    }
    old = {name: value for name, value in torque.items() if name != "figures"}
    newer = torque | {"figures": {"another": 1}}
    for caution, of_record in ((torque, False), (old, True), (newer, True)):
        sheet = make([replace(one, answer={**one.answer, "cautions": [caution]})]).sheet
        [line] = sheet.fixings[0].cautions
        assert line.from_ == ("#/answer/cautions/0/text" if of_record else "#/answer/cautions/0")
        assert (line.text == "Words of the record.") is of_record
        assert of_record or line.text.startswith("No torque to read: set it by hand until the head lies on the plate.")
        numbers = [("impact_driver_torque_max_nm", 400, "Nm")]
        assert [(f.name, f.value, f.unit) for f in line.figures if f.unit == "Nm"] == ([] if of_record else numbers)


def test_a_sheet_under_rules_that_are_no_longer_in_force_says_so() -> None:
    newer = "2099.1.0"
    lines = make([job(REQUESTS["guardrail"])], newest=newer).sheet.fixings[0].before_work
    assert lines[0].code == "superseded"
    assert book().version in lines[0].text
    assert f"{newer} is in force" in lines[0].text
    for same_or_lower in (None, book().version, "2019.1.0"):
        quiet = make([job(REQUESTS["guardrail"])], newest=same_or_lower).sheet.fixings[0].before_work
        assert "superseded" not in {line.code for line in quiet}
    stale = make([with_cautions("guardrail", "superseded")], newest=newer).sheet
    [fixing] = stale.fixings
    assert [line.code for line in fixing.before_work].count("superseded") == 1
    assert f"{newer} is in force" in fixing.before_work[0].text
    assert "superseded" not in {line.code for line in fixing.cautions}
    assert stale.rulebook["superseded_by"] == newer
    assert (
        make([with_cautions("guardrail", "superseded")], newest=book().version).sheet.rulebook["superseded_by"] is None
    )


def test_no_sheet_below_the_floor_of_the_site_factors() -> None:
    """0.85 * 0.85 * 0.7 * 0.85 * 0.8 in the rules of the site is 0.344; the floor is 0.4."""
    request = copy.deepcopy(REQUESTS["resin"])
    del request["site"]
    request["load_cases"][0] |= {"normal_kn": 1, "shear_x_kn": 0}
    with pytest.raises(NoSheet, match=r"multiply to 0\.344, below the rulebook's floor of 0\.4") as found:
        make([job(request)])
    [reason] = found.value.reasons
    assert reason.code == "not_verified"
    assert "site below the floor of the rulebook: improve the site first, and fix nothing before" in reason.detail


def test_a_head_on_a_thin_fixture_asks_for_a_deeper_hole() -> None:
    """Common practice, no source: a screw of 100 mm through 10 mm reaches 90 mm, 6 mm more than nominal."""
    sheet = only("screw near a corner")
    assert sheet.hole_depth is not None
    assert sheet.hole_depth.value == 92 + 90 - 84
    assert "reaches 90 mm" in text_of(sheet, "drill")
    assert "Set depth 90 mm, from the concrete surface" in text_of(sheet, "set")
    assert "stop at 108 mm" in text_of(sheet, "drill")


def test_no_sheet_where_the_deeper_hole_leaves_too_little_concrete() -> None:
    request = copy.deepcopy(REQUESTS["sleeves"])
    row = book().families["sleeve-hexagon-zinc"]["sizes"]["M10"]["embedments"]["74"]
    request["member"]["thickness_mm"] = row["limits"]["member_thickness_min_mm"]
    request["fastener"]["length_mm"] = 120
    with pytest.raises(NoSheet, match="take a shorter length") as found:
        make([job(request)])
    [reason] = found.value.reasons
    assert reason.code == "not_verified"
    assert "hole leaves too little concrete behind it" in reason.detail


def test_no_sheet_without_the_thickness_of_the_fixture() -> None:
    request = copy.deepcopy(REQUESTS["guardrail"])
    del request["fixture"]["thickness_mm"]
    with pytest.raises(NoSheet, match="not given of the fixture: thickness of the fixture"):
        make([job(request)])
    # What is only pushed aside does not bend it: that is verified, but how deep to drill it takes to know.
    push = {"name": "push", "shear_x_kn": -1.5}
    pushed = job(request | {"load_cases": [push]})
    assert pushed.answer["verdict"] == "verified"
    with pytest.raises(NoSheet, match="measure it"):
        make([pushed])


def test_a_failing_one_among_several_is_named() -> None:
    heavy = copy.deepcopy(REQUESTS["nylon"])
    heavy["load_cases"][0]["normal_kn"] = 50
    jobs = [job(REQUESTS["guardrail"], index=0), job(heavy, index=1)]
    with pytest.raises(NoSheet, match="resultant, simplified method under 'service'") as found:
        make(jobs)
    assert {(reason.code, reason.pointer) for reason in found.value.reasons} == {("not_verified", "#/fixings/1")}


def test_fixings_under_different_rules_do_not_share_a_sheet() -> None:
    other = replace(book(), digest="sha256:" + "1" * 64)
    jobs = [job(REQUESTS["guardrail"]), replace(job(REQUESTS["guardrail"]), rulebook=other)]
    with pytest.raises(NoSheet, match="one sheet for each"):
        make(jobs)


def test_a_demonstration_says_so_and_a_company_rulebook_does_not() -> None:
    assert "DO NOT BUILD" in (made("guardrail").sheet.notice or "")
    company = replace(job(REQUESTS["guardrail"]), rulebook=replace(book(), status="company"))
    assert make([company]).sheet.notice is None


@given(st.floats(-5, 40, allow_nan=False))
def test_times_of_resin_never_go_towards_danger(temperature_c: float) -> None:
    resin = only("resin", temperature_c=temperature_c).resin
    assert resin is not None
    assert resin.working is not None
    assert resin.curing is not None
    rows = book().families["bonded-rod-hybrid-fast"]["installation"]["working_and_curing"]
    near = [row for row in rows if row["temperature_min_c"] <= temperature_c <= row["temperature_max_c"]]
    assert resin.working.value == min(row["working_minutes"] for row in near)
    assert resin.curing.value == max(row["curing_dry_minutes"] for row in near)
    assert [row.working.value for row in resin.rows if row.holds] == [resin.working.value]
    assert [row.curing_dry.value for row in resin.rows if row.holds_for_curing] == [resin.curing.value]


def test_at_the_border_of_two_ranges_the_worse_time_of_each_holds() -> None:
    """The family's file: 5 to 10 °C 15 and 185 min, 10 to 20 °C 9 and 135 min."""
    resin = only("resin", temperature_c=10).resin
    assert resin is not None
    assert (resin.working and resin.working.value, resin.curing and resin.curing.value) == (9, 185)
    [working] = [row for row in resin.rows if row.holds]
    [curing] = [row for row in resin.rows if row.holds_for_curing]
    assert working.working_range == "from 10 °C to under 20 °C"
    assert curing.curing_range == "above 5 °C to 10 °C"
    assert resin.rows[0].curing_range == "from -5 °C to 0 °C"
    assert resin.rows[-1].working_range == "from 30 °C to 40 °C"


def test_resin_cures_by_the_coldest_until_it_has_cured() -> None:
    """The family's file: set at 15 °C 9 min to work; at -2 °C 360 min to cure, where 15 °C would have 135 min."""
    cold = only("resin", temperature_c=15, coldest_c=-2)
    assert cold.resin is not None
    assert (cold.resin.working and cold.resin.working.value) == 9
    assert (cold.resin.curing and cold.resin.curing.value) == 360
    assert "for 6 h (dry hole, concrete never colder than -2 °C)" in text_of(cold, "cure")
    alone = only("resin", temperature_c=15)
    assert "only if the concrete does not get colder than 15 °C" in text_of(alone, "cure")
    assert "by the coldest it will get until the resin has cured" in text_of(only("resin"), "resin")
    with pytest.raises(NoSheet, match="nor does it cure, in concrete of -6 °C") as found:
        made("resin", temperature_c=15, coldest_c=-6)
    assert found.value.reasons[0].pointer == "#/coldest_until_cured_c"


def test_resin_is_said_in_strokes_that_round_up_and_what_spoils_a_hole() -> None:
    """The rulebook: 13 ml a hole, 5 ml a stroke, so 3 strokes; 20 ml thrown away are 4; cartridge 5 to 40 °C."""
    sheet = only("resin")
    words = text_of(sheet, "resin")
    assert "In each hole 13 ml or more, that is 3 full strokes" in words
    assert "the first 20 ml of each nozzle (4 strokes)" in words
    assert "Cartridge within its shelf life and from 5 °C to 40 °C; if the label is narrower, go by the label" in words
    assert "stop, set nothing, throw the nozzle away. The hole has failed" in words
    assert "extension hose" not in words
    assert "extension hose with a piston plug of the hole's diameter, long enough for 235 mm" in text_of(
        only("slow resin in a wet hole, grouted"), "resin"
    )
    tools = text_of(sheet, "tools")
    assert "working length more than 148 mm" in tools
    assert "free of oil" in tools
    assert "shaft at least as long" in tools


def test_older_rules_that_do_not_say_ask_for_what_is_printed_and_for_a_hose() -> None:
    old = copy.deepcopy(plain(book().factors["installation"]))
    for name in ("stroke_ml", "cartridge_temperature_min_c", "cartridge_temperature_max_c", "deep_hole_mm"):
        del old["resin"][name]
    rules = replace(book(), factors={**book().factors, "installation": old})
    sheet = make([replace(job(REQUESTS["resin"]), rulebook=rules)]).sheet.fixings[0]
    words = text_of(sheet, "resin")
    assert "within the temperatures printed on it" in words
    assert "extension hose with a piston plug" in words
    assert "In each hole 13 ml or more | " in words
    assert sheet.resin is not None
    assert sheet.resin.strokes_of_a_hole is None


def test_a_wet_hole_cures_longer() -> None:
    """The family's file: 3360 min in a wet hole from 10 to 20 °C, which are 56 hours."""
    sheet = only("slow resin in a wet hole, grouted", temperature_c=15)
    assert "for 56 h (wet hole)" in text_of(sheet, "cure")


@pytest.mark.parametrize("temperature_c", [-5.1, 40.5, -40])
def test_no_sheet_outside_the_temperatures_of_the_resin(temperature_c: float) -> None:
    with pytest.raises(NoSheet, match="only from -5 °C to 40 °C") as found:
        made("resin", temperature_c=temperature_c)
    assert found.value.reasons[0].pointer == "#/concrete_temperature_c"


@pytest.mark.parametrize(
    ("coldest_c", "pointers"),
    [(None, {"#/concrete_temperature_c"}), (5, {"#/concrete_temperature_c", "#/coldest_until_cured_c"})],
)
def test_a_temperature_that_nothing_goes_by_is_refused(coldest_c: float | None, pointers: set[str]) -> None:
    with pytest.raises(RefusedRequest, match="no fixing of this sheet is set with resin") as found:
        made("guardrail", temperature_c=12, coldest_c=coldest_c)
    assert {error.pointer for error in found.value.errors} == pointers
    assert {error.code for error in found.value.errors} == {"conflict"}
    mixed = make([job(REQUESTS["guardrail"]), job(REQUESTS["resin"], index=1)], temperature_c=12)
    assert [fixing.resin is None for fixing in mixed.sheet.fixings] == [True, False]


@cache
def two_jobs() -> tuple[Job, Job]:
    """Rods in resin and bolts; however many are made, they are verified once."""
    return job(REQUESTS["resin"], index=0), job(REQUESTS["guardrail"], index=1)


@given(st.integers(1, 300), st.integers(1, 300))
def test_amounts_are_enough_and_not_one_too_many(first: int, second: int) -> None:
    rules = plain(book().factors["installation"])
    resin, spares = rules["resin"], rules["spares"]
    rods, bolts = two_jobs()
    sheet = make([replace(rods, count=first), replace(bolts, count=second)]).sheet
    amounts = {(m.kind, m.article_code): m.quantity.number for m in sheet.materials}
    volume = book().families["bonded-rod-hybrid-fast"]["sizes"]["M16"]["embedments"]["148"]["resin_volume_ml"]
    spare = amounts["fastener", "DEMO-1209"] - 4 * first
    in_strokes = math.ceil(volume / resin["stroke_ml"]) * resin["stroke_ml"]
    needed = (4 * first + spare) * in_strokes * (1 + resin["wastage_share"])
    cartridges, nozzles = amounts["resin_cartridge", None], amounts["mixing_nozzle", None]
    assert cartridges * resin["cartridge_ml"] >= needed + nozzles * resin["discarded_ml"] - 1e-6
    # With one fewer as many nozzles as those come with, or as there are rods at 2 minutes each, take too much.
    least = max((cartridges - 1) * resin["nozzles_per_cartridge"], 4 * first + spare)
    assert (cartridges - 1) * resin["cartridge_ml"] < math.ceil(needed) + least * resin["discarded_ml"]
    for made_times, code in ((first, "DEMO-1209"), (second, "DEMO-0201")):
        extra = amounts["fastener", code] - 4 * made_times
        assert extra >= max(spares["fewest"], 4 * made_times * spares["share"] - 1e-9)
        assert extra < max(spares["fewest"], 4 * made_times * spares["share"]) + 1


def test_gaps_in_the_fixture_that_were_verified_filled_are_filled_ordered_and_written_down() -> None:
    """Shear on every fastener counts on it, and the sheet had no more than a tick: common practice, no source."""
    request = copy.deepcopy(REQUESTS["guardrail"])
    request["fixture"]["clearance"] = "filled"
    made_of_it = make([job(request)])
    sheet = made_of_it.sheet.fixings[0]
    assert "press mortar into the gap around each fastener" in text_of(sheet, "fill_holes")
    codes = [step.code for step in sheet.steps]
    assert codes.index("tighten") < codes.index("fill_holes") < codes.index("check")
    assert "gets its filling washer" in text_of(sheet, "fixture_first")
    [washers] = [one for one in made_of_it.sheet.materials if one.kind == "filling_washer"]
    [bolts] = [one for one in made_of_it.sheet.materials if one.kind == "fastener"]
    assert washers.quantity.value == bolts.quantity.value
    assert any("Gap between fasteners and fixture filled" in blank.label for blank in sheet.to_fill_in.once)
    assert "fill_holes" not in [step.code for step in only("guardrail").steps]


@pytest.mark.parametrize(("cleaning", "checked"), [("verified", True), ("stated", False)])
def test_the_form_asks_for_a_second_person_where_one_was_verified(cleaning: str, checked: bool) -> None:
    request = copy.deepcopy(REQUESTS["guardrail"])
    request["site"]["hole_cleaning"] = cleaning
    request["load_cases"] = [{"name": "light", "normal_kn": 0.3, "shear_x_kn": 0.1, "sustained_share": 0.5}]
    form = make([job(request)]).sheet.fixings[0].to_fill_in
    labels = {blank.label: blank.as_built for blank in form.each_fastener}
    assert ("Hole checked clean by" in labels) == checked
    assert list(labels.values()).count("hole_cleaned") == 1


def test_washers_that_span_wide_holes_are_ordered_put_on_and_written_down() -> None:
    """A caution alone named them: common practice, no source."""
    for name, wide_mm in (("guardrail", 18), ("resin", 22)):
        request = copy.deepcopy(REQUESTS[name])
        request["fixture"]["hole_diameter_mm"] = wide_mm
        request["load_cases"] = [{"name": "light", "normal_kn": 0.3, "shear_x_kn": 0.1, "sustained_share": 0.5}]
        request.pop("actions", None)
        made_of_it = make([job(request)])
        sheet = made_of_it.sheet.fixings[0]
        [washers] = [one for one in made_of_it.sheet.materials if one.kind == "spanning_washer"]
        [fasteners] = [one for one in made_of_it.sheet.materials if one.kind == "fastener"]
        thick = 5 if name == "guardrail" else 6  # M12 and M16: thick washers of ISO 6340, from memory
        assert f"that spans a hole of Ø{wide_mm} mm in the fixture, no thicker than {thick} mm" in washers.title
        [asked] = [one for one in sheet.to_fill_in.once if one.as_built == "washer_thickness_mm"]
        assert asked.most is not None
        assert asked.most.number == thick
        assert washers.quantity.value == fasteners.quantity.value
        step = "fixture_first" if name == "guardrail" else "fixture_on"
        assert "Under each nut or head the washer that spans these holes" in text_of(sheet, step)
        assert [one.numbers for one in sheet.to_fill_in.each_fastener if one.label.startswith("Washer that spans")]
        filled = copy.deepcopy(request)
        filled["fixture"]["clearance"] = "filled"
        for other in (make([job(filled)]), make([job(REQUESTS[name])])):
            assert "spanning_washer" not in {one.kind for one in other.sheet.materials}
            assert "spans" not in text_of(other.sheet.fixings[0], step)


def test_a_head_on_a_washer_lets_the_screw_reach_less_deep_and_the_hole_serves_a_thinner_one() -> None:
    """A screw whose length is used up by its plate is set less deep by the washer: it was ordered all the same."""
    request = copy.deepcopy(REQUESTS["screw near a corner"])
    usual = book().families["screw-zinc"]["sizes"]["10"]["geometry"]["clearance_hole_mm"]
    request["fixture"] |= {"hole_diameter_mm": usual + 0.4, "washer_thickness_mm": 4}
    request["load_cases"] = [{"name": "light", "normal_kn": 0.3, "shear_x_kn": 0.1}]
    work = make([job(request)]).works[0]
    assert work.set_depth.number == work.length.number - request["fixture"]["thickness_mm"] - 4
    assert work.set_depth.number >= work.nominal_embedment.number
    assert work.hole_depth is not None
    assert work.hole_depth.number - work.reach.number == pytest.approx(
        work.source.selection.row["depth"]["hole_mm"] - work.nominal_embedment.number  # type: ignore[index]
    )
    assert work.reach.number == work.set_depth.number + 4
    request["fastener"]["length_mm"] = work.length.number
    request["fixture"]["thickness_mm"] += work.set_depth.number - work.nominal_embedment.number
    make([job(request)])
    request["fixture"]["thickness_mm"] += 1
    with pytest.raises(NoSheet, match="with a washer of 4 mm over each hole"):
        make([job(request)])


def test_wide_holes_whose_size_nobody_told_are_measured_and_spanned() -> None:
    """No figure of a common hole stands on the sheet of a slotted plate: common practice, no source."""
    request = copy.deepcopy(REQUESTS["guardrail"])
    request["fixture"]["clearance"] = "oversize"
    request["load_cases"] = [{"name": "light", "normal_kn": 0.3, "shear_x_kn": 0.1}]
    request.pop("actions", None)
    made_of_it = make([job(request)])
    sheet = made_of_it.sheet.fixings[0]
    assert sheet.clearance_hole is None
    assert "Holes in the fixture no more than" not in page.page(made_of_it)
    [washers] = [one for one in made_of_it.sheet.materials if one.kind == "spanning_washer"]
    # What the check as built refuses beyond: width of the nut across its flats.
    most = made_of_it.works[0].source.selection.size["geometry"]["spanner_mm"]
    ordered = f"wide or slotted holes of the fixture, measured before it is ordered and no wider than {most} mm"
    assert ordered in washers.title.replace("\u00a0", " ")
    [tick] = [line for line in sheet.on_site if line.code == "wide_holes"]
    assert tick.in_step == "fixture_first"
    assert f"no more than {most} mm: wider, stop and ask" in tick.text.replace("\u00a0", " ")
    [hole] = [blank for blank in sheet.to_fill_in.once if blank.as_built == "fixture_hole_diameter_mm"]
    assert hole.most is not None
    assert hole.most.number == most


def test_spares_have_their_resin_too() -> None:
    """The rulebook: 13 ml a hole are three strokes of 5 ml; 33 fixings of four are 132 rods and ceil(13.2) spares.

    By hand: 146 holes of 15 ml are 2 190 ml, with wastage 438 ml more.
    """
    sheet = make([job(REQUESTS["resin"], 33)]).sheet
    amounts = {material.kind: material for material in sheet.materials}
    assert amounts["fastener"].quantity.value == 132 + 14
    said = "2190 ml in the holes and those of spares, 438 ml for wastage"
    assert said in amounts["resin_cartridge"].title
    assert amounts["bit"].quantity.value == math.ceil(146 / 40)


def test_one_article_and_one_bit_for_fixings_that_share_them() -> None:
    jobs = [job(REQUESTS["guardrail"], 2, 0), job(REQUESTS["guardrail"], 3, 1)]
    sheet = make(jobs).sheet
    assert [(m.kind, m.for_fixings) for m in sheet.materials] == [
        ("fastener", (1, 2)),
        ("bit", (1, 2)),
        ("grout_for_holes", (1, 2)),
    ]
    assert sheet.materials[0].quantity.number == 20 + 2
    assert sheet.working_time.number == sum(fixing.minutes.number for fixing in sheet.fixings)


def test_overhead_is_slower_and_better_protected() -> None:
    above = only("drop-ins overhead")
    codes = {line.code for line in above.protective_equipment}
    assert {"silicate_dust", "eye_protection", "overhead_work"} <= codes
    down = copy.deepcopy(REQUESTS["drop-ins overhead"])
    down["use"]["overhead"] = False
    below = make([job(down, 3)]).sheet.fixings[0]
    assert "overhead_work" not in {line.code for line in below.protective_equipment}
    assert below.minutes.number < above.minutes.number
    left_out = copy.deepcopy(down)
    del left_out["use"]["overhead"]
    assert "overhead_work" in {line.code for line in make([job(left_out)]).sheet.fixings[0].protective_equipment}


def test_what_the_verification_relied_on_must_be_so_on_site() -> None:
    codes = {line.code: line.text for line in only("resin").on_site}
    assert codes["hole_cleaning"] == "A second person looks into each hole after cleaning and signs for it"
    assert "calibrated torque wrench" in codes["torque_control"]
    assert codes["strength"].endswith("C30/37")
    assert codes["temperature_range"].startswith(
        "The concrete in service never warmer than 24 °C for long or 40 °C for a short time"
    )
    assert "whole face" in codes["full_contact"]
    assert "full_contact" not in {line.code for line in only("stand-off").on_site}
    assert codes["edges_out_of_reach"] == (
        "Side B: no edge, joint or opening within 1480 mm of any fastener; otherwise stop and ask"
    )
    assert "state" in {line.code for line in only("drop-ins overhead").on_site}
    assert "hole" in codes
    assert not {"hole", "state"} & {line.code for line in only("studs").on_site}


def on_site_of(request: dict[str, Any]) -> dict[str | None, str]:
    return {line.code: line.text for line in make([job(request)]).sheet.fixings[0].on_site}


def test_what_was_only_assumed_must_be_so_on_site_too() -> None:
    """rulebook.json takes cracked and aggressive; screw-zinc covers dry and wet holes."""
    request = fixing(("screw-zinc", "10", 69), [(0, 0)], {"width_mm": 80, "depth_mm": 80, "thickness_mm": 10}, (1, 0))
    del request["site"], request["use"]
    request["member"] = {"thickness_mm": 300, "strength_class": "C20/25"}
    request["use"] = {"exposure": "dry_internal"}
    found = on_site_of(request)
    assert list(found) == [
        "base_material",
        "full_contact",
        "fixture_steel",
        "attached_section",
        "strength",
        "state",
        "member_thickness",
        "edges_out_of_reach",
        "topping_not_given",
        "neighbours_not_given",
        "next_fixing",
        "no_old_holes",
        "hole",
        "exposure",
        "heads_seated",
        "sound",
    ]
    # Source: s_cr,N of the rulebook, as no edge is near, and a neighbour that is as deep as any of it, worked by hand.
    concrete = book().families["screw-zinc"]["sizes"]["10"]["embedments"]["69"]["concrete"]
    sizes = [size for family in book().families.values() for size in family["sizes"].values()]
    deepest = max(row["depth"]["effective_mm"] for size in sizes for row in size["embedments"].values())
    near = concrete["cone_spacing_mm"]
    reach = math.ceil(near * (1 + deepest / 69) / 2)
    assert found["neighbours_not_given"] == (
        f"Look for other anchors. None may stand in the square that reaches {near} mm to each side of an anchor; "
        f"up to {reach} mm only such as the engineer names as no deeper than 69 mm by their assessment, which nobody "
        "can see on them. If another stands there, stop, measure where it is and report it"
    )
    assert found["no_old_holes"] == (
        "Look for old holes, filled ones too: but for those named here none nearer to an anchor than 2 times its own "
        "depth or 2 times its width. If there is one, or nobody knows how deep it is, stop, measure where it is and "
        "report it"
    )
    assert found["base_material"].startswith("Solid ordinary concrete: where the drill meets brick")
    assert found["state"].startswith("Verified for cracked concrete")
    assert found["hole"] == ("Hole dry or wet when the fastener is set, not flooded: stop if water stands in it")


def test_other_anchors_and_old_holes_are_told_and_no_more_of_them() -> None:
    request = fixing(("screw-zinc", "10", 69), [(0, 0)], {"width_mm": 80, "depth_mm": 80, "thickness_mm": 10}, (1, 0))
    hole = {"x_mm": -60, "y_mm": 20, "state": "filled_hole", "hole_diameter_mm": 12, "hole_depth_mm": 20}
    lines = make([job(request | {"neighbours": [{"x_mm": 400, "y_mm": 0}, hole]})]).sheet.fixings[0].on_site
    told = [line.text for line in lines if "neighbour" in (line.code or "") or "old_hole" in (line.code or "")]
    assert [told[0], told[2]] == [
        "N1 (x 400 mm, y 0 mm): other anchor, not known whether it carries load; 400 mm from fastener 1",
        "N2 (x -60 mm, y 20 mm): old hole, filled, Ø12 mm, 20 mm deep; 63.2 mm from fastener 1",
    ]
    assert told[3].startswith("N2: check that it is filled with high-strength grout and that it is hard; if not, stop")
    assert told[4].startswith("Look for other anchors. Beside those named here none may stand in the square")
    assert "no_other_neighbours" in on_site_of(request | {"neighbours": []})


@pytest.mark.parametrize(
    ("other", "said"),
    [
        ({"state": "loaded", "embedment_mm": 41}, [
            ("N1: counted as no deeper than 41 mm, its effective depth, which nobody sees on it. Shown by (name, how): "
            "____________________; if nobody has shown it, or it is deeper, stop and ask")]),
        ({"embedment_mm": 41}, [
            ("N1: counted as no deeper than 41 mm, its effective depth, which nobody sees on it. Shown by (name, how): "
            "____________________; if nobody has shown it, or it is deeper, stop and ask")]),
        # What carries nothing takes no concrete, however deep it is.
        ({"state": "unloaded", "embedment_mm": 41}, []),
    ],
)  # fmt: skip
def test_how_deep_another_anchor_was_counted_is_to_be_ticked(other: dict[str, Any], said: list[str]) -> None:
    """Nobody sees how deep it is; where it is deeper the result does not hold."""
    request = fixing(("screw-zinc", "10", 69), [(0, 0)], {"width_mm": 80, "depth_mm": 80, "thickness_mm": 10}, (1, 0))
    made_of = make([job(request | {"neighbours": [{"x_mm": 400, "y_mm": 0, **other}]})])
    lines = [line for line in made_of.sheet.fixings[0].on_site if line.code == "neighbour_depth"]
    assert [line.text for line in lines] == said
    assert [line.figures[0].number for line in lines] == [41] * len(said)


def test_an_anchor_of_unknown_depth_is_told_with_the_depth_that_was_taken() -> None:
    request = fixing(("screw-zinc", "10", 69), [(0, 0)], {"width_mm": 80, "depth_mm": 80, "thickness_mm": 10}, (1, 0))
    kind = {"family": "bolt-expansion-zinc", "size": "M12"}
    one = job(request | {"neighbours": [{"x_mm": 400, "y_mm": 0, "state": "loaded", **kind}]})
    [taken] = [entry for entry in one.answer["assumptions"] if entry["code"] == "neighbour_depth_unknown"]
    lines = make([one]).sheet.fixings[0].on_site
    [depth] = [line for line in lines if line.code == "neighbour_depth"]
    assert depth.figures[0].number == taken["figures"]["embedment_mm"]
    assert depth.text.startswith("N1: nobody told how deep it is, so its effective depth was counted as ")
    told = [line.text for line in lines if line.code == "neighbour"]
    assert told[1].startswith("N1: told to be ")
    assert told[1].endswith(", size M12; if what shows of it is another, stop and ask")


def test_the_plan_draws_other_anchors_and_old_holes_where_they_are() -> None:
    drawn = fromstring(drawing.of_sheet(made("among other anchors and old holes")))  # noqa: S314 our own drawing
    texts = [(one.text or "", float(one.get("x", "")), float(one.get("y", ""))) for one in drawn.iter(f"{{{SVG}}}text")]
    shown = [words for words, _, _ in texts]
    (scale,) = (float(words.rpartition(":")[2]) for words, x, _ in texts if " 1 : " in words and x > 96)
    rings = [(float(one.get("cx", "")), float(one.get("cy", "")), float(one.get("r", "")), one.get("fill"))
             for one in drawn.iter(f"{{{SVG}}}circle") if one.get("stroke")]  # fmt: skip
    fasteners, holes = rings[:4], rings[4:]
    # Of a hexagon the corners are as many to either side of its middle.
    nuts = [(*(sum(axis) / 6 for axis in zip(*corners, strict=True)), fill) for corners, fill in hexagons(drawn)]
    origin = [sum(axis) / 4 for axis in zip(*((x, y) for x, y, *_ in fasteners), strict=True)]
    places = [((x - origin[0]) * scale, (origin[1] - y) * scale) for x, y, *_ in (*nuts, *holes)]
    expected = [(-60, -180), (-200, 75), (-190, -75), (-150, 180), (-150, 180)]
    for place, right in zip(places, expected, strict=True):
        assert place == pytest.approx(right, abs=0.2)
    # What carries load, or may, is black; an open hole is empty, and a filled one hatched over its width.
    assert [fill for *_, fill in nuts] == ["#fff", "#000"]
    assert [fill for *_, fill in holes] == ["#fff", "#fff", "url(#all-steel)"]
    assert [radius for _, _, radius, _ in holes] == pytest.approx([1.1, 1.1, 1.1])
    # By hand: from the nearest bolt 15 and 105 mm, 125 and 0, 115 and 0, 75 and 105.
    for words in ("N1", "N2", "N3", "N4", "106.1", "125", "115", "129"):
        assert words in shown
    assert "N5" not in shown
    assert "too far off to be drawn: N5" in shown
    below = " ".join(shown)
    for words in (
        "): other anchor, not known whether it carries load; 125 mm",
        "): other anchor that carries nothing",
        "): old hole, open, Ø14 mm, 40 mm deep",
        "): old hole, filled, Ø20 mm",
        "828.4 mm from fastener 1",
    ):
        assert words in below
        assert words in (drawn.findtext(f"{{{SVG}}}desc") or "")


def hexagons(drawn: Element) -> list[tuple[list[tuple[float, float]], str]]:
    found = []
    for shape in drawn.iter(f"{{{SVG}}}polygon"):
        corners = [tuple(map(float, pair.split(","))) for pair in shape.get("points", "").split(" ")]
        if len(corners) == 6 and shape.get("fill") in {"#fff", "#000"}:
            found.append(([(x, y) for x, y in corners], shape.get("fill", "")))
    return found


def test_a_hole_that_may_be_wet_is_not_ordered_to_be_wet() -> None:
    assert {line.code: line.text for line in only("slow resin in a wet hole, grouted").on_site}["hole"].startswith(
        "Hole dry or wet when the fastener is set"
    )
    assert {line.code: line.text for line in only("resin").on_site}["hole"].startswith(
        "Hole dry when the fastener is set, not wet"
    )


@pytest.mark.parametrize(
    ("hole", "words"),
    [
        ("flooded", "Hole dry, wet or flooded when the fastener is set"),
        ("unknown", "Hole dry, wet or flooded when the fastener is set"),
        ("dry", "Hole dry when the fastener is set, not wet or flooded: otherwise stop and ask"),
    ],
)
def test_the_hole_may_be_as_dry_as_it_likes(hole: str, words: str) -> None:
    """rulebook.json takes a hole that nobody knows as flooded where resin fills it."""
    request = copy.deepcopy(REQUESTS["slow resin in a wet hole, grouted"])
    request["use"]["hole"] = hole
    assert on_site_of(request)["hole"] == words


def test_a_temperature_range_that_was_assumed_is_named_with_its_temperatures() -> None:
    """The least favourable of the family is the hottest that it is assessed for: the least bond in its file."""
    request = copy.deepcopy(REQUESTS["resin"])
    del request["use"]["temperature_range"]
    request["load_cases"][0]["normal_kn"] = 3
    bond = book().families["bonded-rod-hybrid-fast"]["sizes"]["M16"]["bond"]["characteristic_mpa"]["cracked"]["dry"]
    least = min((value, name) for name, value in bond.items() if value is not None)[1]
    words = on_site_of(request)["temperature_range"]
    assert f"temperature range {least} of the assessment" in words
    assert words.endswith("It was not known: find out before drilling")
    answer = job(request).answer
    assert "temperature_range_unknown" in {entry["code"] for entry in answer["assumptions"]}


def test_all_else_that_the_result_rests_on_must_be_so_on_site() -> None:
    request = copy.deepcopy(REQUESTS["guardrail"])
    request["fixture"]["yield_mpa"] = 235
    request["member"]["reinforcement"] = {
        "spacing_mm": 200,
        "edge": "edge_bar_with_stirrups",
        "stirrup_spacing_mm": 100,
        "cracks_held_to_0_3_mm": True,
    }
    found = on_site_of(request)
    assert found["fixture_steel"] == "Yield strength of the fixture's steel at least 235 MPa"
    assert found["reinforcement"] == "Reinforcement at 200 mm centres, no more and no less"
    assert found["stirrups"] == "Stirrups around it at 100 mm centres or less"
    assert {"edge", "cracks_held"} <= found.keys()
    raised = {line.code: line.text for line in only("stand-off").on_site}
    height = "Clear height under the fixture no more than 40 mm, and no less than 38.4 mm for the nuts in it"
    assert raised["stand_off"] == height
    assert "washer_clamped" in raised
    grouted = copy.deepcopy(REQUESTS["slow resin in a wet hole, grouted"])
    del grouted["fixture"]["grout"]["strength_mpa"]
    grouted["load_cases"][0] |= {"shear_x_kn": 0}
    assert (
        "its strength was not given, so the fixture is verified as if it did not bear on it"
        in on_site_of(grouted)["grout"]
    )


def grouted_bolts() -> dict[str, Any]:
    """Through-set bolts under a fixture on grout."""
    return fixing(
        ("bolt-expansion-stainless", "M16", 100),
        square(200),
        {"width_mm": 600, "depth_mm": 600, "thickness_mm": 20, "grout": {"thickness_mm": 30, "strength_mpa": 45}},
        (6, 0),
        {"exposure": "external"},
        {"thickness_mm": 500},
    )


@pytest.mark.parametrize("through", [True, False])
def test_grout_goes_in_once_the_fasteners_are_set_and_hardens_before_the_torque(through: bool) -> None:
    """Common practice, no source."""
    request = grouted_bolts() if through else REQUESTS["slow resin in a wet hole, grouted"]
    sheet = make([job(request)]).sheet.fixings[0]
    codes = [step.code for step in sheet.steps]
    first = "fixture_first" if through else "fixture_on"
    assert codes.index("set") < codes.index("grout") < codes.index("tighten")
    assert codes.index(first) < codes.index("grout")
    assert "no grout yet" in text_of(sheet, first)
    words = text_of(sheet, "grout")
    parts = ("All fasteners are set", "pour from one side", "Let it harden until it has", "slacken the levelling")
    assert [words.index(part) for part in parts] == sorted(words.index(part) for part in parts)
    assert "until then nothing is tightened or loaded" in words
    assert ("foam rings" in text_of(sheet, "tools")) == through
    assert ("Keep grout out of the holes" in words) == through
    assert "shim" not in whole(sheet).lower()
    assert "grout" not in [step.code for step in only("resin").steps]


@pytest.mark.parametrize("control", ["calibrated_wrench", "unknown"])
def test_the_torque_is_asked_for_in_one_voice(control: str) -> None:
    sheet = make([controlled("guardrail", control)]).sheet.fixings[0]
    words = whole(sheet)
    assert "nobody reads" not in words
    assert "no reading" not in words
    assert "in one go" in text_of(sheet, "tighten")
    assert "the torque read at each fastener while tightening: at least 49.4 N·m" in text_of(sheet, "tighten")
    conditions = [line.text for line in sheet.on_site if line.code == "torque_control"]
    assert (
        conditions
        == {
            "calibrated_wrench": ["Tightened with a calibrated torque wrench, and the reading written down"],
            "unknown": [],
        }[control]
    )


def test_the_crew_gets_one_depth() -> None:
    """M12 with 75 mm effective and 87 mm nominal; a screw whose head lets it reach 90 mm, not its nominal 84 mm."""
    for name, effective in (("guardrail", "75 mm"), ("screw near a corner", "84 mm")):
        sheet = only(name)
        words = whole(sheet)
        assert "nominal" not in words
        assert "effective" not in words
        assert effective not in text_of(sheet, "set")
        drawn = drawing.of_sheet(made(name))
        assert "nominal" not in drawn
        assert ">effective" not in drawn
    assert ">set depth 87<" in drawing.of_sheet(made("guardrail"))
    assert ">set depth 90<" in drawing.of_sheet(made("screw near a corner"))


@pytest.mark.parametrize("name", ["screw near a corner", "nylon", "sleeves", "three in a row, close"])
def test_where_a_head_rests_on_the_fixture_hole_and_head_are_written_down_and_no_set_depth(name: str) -> None:
    sheet = only(name)
    told = {blank.as_built: blank.asked for blank in sheet.to_fill_in.each_fastener}
    assert "nominal_embedment_mm" not in told
    assert "head_seated" in told
    assert told["hole_depth_mm"] == sheet.hole_depth


def test_what_a_nozzle_wastes_is_told_apart_from_what_the_holes_take() -> None:
    [(title, _)] = bought("resin", "resin_cartridge")
    assert re.search(r"ml for wastage, and \d+ ml for the first 20 ml of each nozzle, which are thrown away", title)


@pytest.mark.parametrize(
    ("minutes", "words"), [(8, "8 min"), (119, "119 min"), (120, "2 h"), (150, "2 h 30 min"), (2.5, "2.5 min")]
)
def test_times_are_written_without_rounding(minutes: float, words: str) -> None:
    assert Wording(catalogue(Audience.CREW)).text(Figure("time", minutes, "min")) == words


def test_no_sheet_calls_a_fixing_safe() -> None:
    for name in REQUESTS:
        for step in only(name).steps:
            assert not any("safe " in line.text or line.text.endswith("safe") for line in step.lines)


@pytest.mark.parametrize(
    ("name", "step", "words"),
    [
        ("guardrail", "set", "at least 87 mm and no more than 90 mm, from the concrete surface"),
        ("guardrail", "drill", "at least 97 mm and no more than 99 mm deep into the concrete"),
        ("resin", "drill", "at least 148 mm and no more than 150 mm deep into the concrete"),
        ("resin", "set", "at least 148 mm and no more than 150 mm, from the concrete surface"),
        ("screw near a corner", "drill", "and no more than"),
        ("drop-ins overhead", "drill", "at least 46 mm and no more than 48 mm deep into the concrete"),
        ("drop-ins overhead", "drill", "In a deeper hole the fastener cannot be used"),
        ("guardrail", "drill", "Measure the first hole before you drill the next"),
        ("guardrail", "drill", "A deeper hole is written down: the as-built check says whether it serves"),
        ("guardrail", "mark", "Mark to the millimetre, and write down where each really stands"),
    ],
)
def test_the_sheet_says_how_deep_is_too_deep(name: str, step: str, words: str) -> None:
    """87, 97, 148 and 46 mm ordered; 3 and 2 mm of the rulebook; a rod reaches no deeper than its hole."""
    assert words in text_of(only(name), step)


def test_what_stands_before_its_fixture_is_measured_from_the_concrete() -> None:
    """Set 148 to 150 mm deep, a rod of 195 mm shows 47 to 45 mm: depth itself cannot be measured once it is set."""
    said = text_of(only("resin"), "set")
    assert "it projects at least 45 mm and no more than 47 mm from the concrete" in said
    assert "out of the fixture" not in said
    assert "no more than 18 mm out of the fixture" in text_of(only("guardrail"), "set")


def test_where_it_may_fall_on_people_the_place_beneath_is_closed_off_before_the_first_hole() -> None:
    def closed(**changed: Any) -> bool:
        request = {**copy.deepcopy(REQUESTS["guardrail"]), **changed}
        steps = make([job(request)]).sheet.fixings[0].steps
        surface = next(step for step in steps if step.code == "surface")
        return "closed_beneath" in [line.code for line in surface.lines]

    use = REQUESTS["guardrail"]["use"]
    assert closed(use=use | {"consequence": ["people_below"]})
    assert not closed(use=use | {"consequence": ["fall_protection"]})
    # A clamp under a slab hangs over whoever walks there, whatever else was answered.
    hung = [{"load_model": "pipe_clamp", "cautions": []}]
    assert closed(use=use | {"consequence": ["fall_protection"]}, loads_from=hung)


@pytest.mark.parametrize("name", ["guardrail", "resin", "studs", "screw near a corner"])
def test_nothing_is_loaded_before_someone_with_a_name_has_released_it(name: str) -> None:
    request = copy.deepcopy(REQUESTS[name])
    assert "checked and the engineer has released it below" in text_of(make([job(request)]).sheet.fixings[0], "check")
    request["job"] = {"issued_by": "R. Holt"}
    [fixing_sheet] = make([job(request)]).sheet.fixings
    assert "Not loaded until all of this is checked and R. Holt has released it below" in text_of(fixing_sheet, "check")


def test_rules_that_know_no_tolerance_print_none() -> None:
    older = {name: entry for name, entry in book().factors["installation"].items() if name != "depth_tolerance"}
    rules = replace(book(), factors={**book().factors, "installation": older})
    one = replace(job(REQUESTS["guardrail"]), rulebook=rules)
    assert "No deeper" not in text_of(make([one]).sheet.fixings[0], "set")


def test_an_undercut_needs_its_tool() -> None:
    def bought(name: str) -> set[str]:
        return {material.kind for material in make([job(REQUESTS[name])]).sheet.materials}

    assert "undercutting_tool" in bought("undercut in a corner")
    assert "undercutting_tool" not in bought("guardrail")


def test_sheets_name_exposures_and_resin_as_people_do() -> None:
    sheet = make([job(REQUESTS["resin"])]).sheet
    titles = " ".join(material.title for material in sheet.materials)
    assert REQUESTS["resin"]["fastener"]["family"] not in titles
    said = next(line.text for line in only("guardrail").on_site if line.code == "exposure")
    assert said == "Surroundings no harsher than: Outdoors"


def test_no_sheet_before_the_strength_of_the_concrete_is_shown() -> None:
    request = copy.deepcopy(REQUESTS["guardrail"])
    request["member"]["strength_class"] = None
    with pytest.raises(NoSheet, match="strength of the concrete not shown"):
        make([job(request)])


def over(kind: str, name: str = "guardrail", **topping: Any) -> FixingSheet:
    request = copy.deepcopy(REQUESTS[name])
    request["member"]["topping"] = {"kind": kind, "thickness_mm": 25, **topping}
    request["load_cases"] = [{"name": "light", "normal_kn": 0.3, "shear_x_kn": 0.1, "sustained_share": 0.5}]
    return make([job(request)]).sheet.fixings[0]


def test_a_topping_that_stays_is_drilled_through_and_counts_to_the_stop_and_the_bolt() -> None:
    """By hand from the sheet without it: stop 63 mm through the plate and screw 55 mm, plus 20 mm of screed each."""
    sheet = over("screed", "three in a row, close", thickness_mm=20)
    bare = only("three in a row, close")
    assert "depth stop at 63 mm from its top" in text_of(bare, "drill")
    # One limit for hole, form and scan, that of the screed as measured.
    window = "at least 58 mm and no more than 60 mm deep into the concrete where the screed measures 20 mm, and both"
    assert f"{window} as much more as it measures less" in text_of(sheet, "drill")
    assert "Scan each position deeper than 80 mm" in text_of(sheet, "scan")
    assert "Scan each position deeper than 60 mm" in text_of(bare, "scan")
    [depth] = [blank for blank in sheet.to_fill_in.each_fastener if blank.as_built == "hole_depth_mm"]
    assert depth.label.endswith("as much deeper as the screed measures less than 20 mm")
    assert "Set depth at least" in text_of(sheet, "set")
    # The head ends it: through 10 mm of screed the screw reaches 10 mm deeper, and so has the hole to.
    assert "depth stop at 83 mm from the outside of the fixture, also where the screed is thinner" in text_of(
        sheet, "drill"
    )
    assert "55 mm long" in text_of(bare, "tools")
    assert "75 mm long" in text_of(sheet, "tools")
    found = {line.code: line.text for line in sheet.on_site}
    assert found["topping"].startswith("The screed stays, measured in each hole and no more than 20 mm thick")
    assert {line.code: line.in_step for line in sheet.on_site}["topping"] == "drill"
    assert "full_contact" not in found
    assert "Take plaster, screed" not in text_of(sheet, "surface")
    assert "Take plaster, screed" in text_of(only("guardrail"), "surface")
    assert "flat on the concrete" not in whole(sheet)


@pytest.mark.parametrize("kind", ["screed", "plaster", "insulation"])
def test_no_bolt_that_its_torque_expands_is_tightened_over_a_topping_that_stays(kind: str) -> None:
    with pytest.raises(NoSheet, match="not tightened against the concrete"):
        over(kind)


def test_a_sleeve_under_a_topping_is_drilled_for_from_the_top_of_it() -> None:
    bare, covered = only("drop-ins overhead"), over("insulation", "drop-ins overhead")
    stop = int(text_of(bare, "drill").split("depth stop at ")[1].split(" ")[0])
    said = "drill through the insulation down to the concrete first and measure it in each hole: the depth stop"
    how = f"from the top of the insulation is {stop} mm and what it measures, {stop + 25} mm at 25 mm"
    assert f"{said} {how}" in text_of(covered, "drill")
    # Nobody sees or taps the concrete through insulation.
    assert "Open the insulation beside each mark" in text_of(covered, "mark")
    assert "There tap the concrete and look for cracks and old holes" in text_of(covered, "mark")
    assert "Tap it" not in text_of(covered, "surface")


def test_around_a_rod_in_resin_what_stays_on_the_concrete_is_cut_out() -> None:
    """Cut out around each hole, it changes no depth: resin is seen at the concrete, and not in wool or screed."""
    bare = only("resin")
    sheet = over("screed", "resin", thickness_mm=20)
    for code in ("drill", "clean"):
        assert text_of(sheet, code) == text_of(bare, code)
    assert "marked 148 mm from its end" in text_of(sheet, "set")
    assert "measures" not in text_of(sheet, "set")
    # The rule has the volume for 148 mm, 13 ml: no more, as nothing above the concrete is filled.
    assert "In each hole 13 ml or more" in text_of(sheet, "resin")
    assert "squeezed out and seen at the concrete surface" in text_of(sheet, "resin")
    marked = text_of(sheet, "mark")
    assert "Cut the screed out around each mark" in marked
    assert marked.index("Cut the screed out") < marked.index("There tap the concrete")
    assert "Tap it" not in text_of(sheet, "surface")
    assert {tick.code: tick.in_step for tick in sheet.on_site}["topping"] == "mark"
    assert "Make good what was cut out of the screed" in text_of(sheet, "fixture_on")
    seen = [blank.label for blank in sheet.to_fill_in.each_fastener if blank.as_built == "resin_filled"]
    assert seen == ["Resin squeezed out at the concrete surface when set, seen by"]


def test_no_sheet_where_a_fixture_hides_the_resin_over_a_topping() -> None:
    request = copy.deepcopy(REQUESTS["resin"])
    request["member"]["topping"] = {"kind": "screed", "thickness_mm": 20}
    request["load_cases"] = [{"name": "light", "normal_kn": 0.3, "shear_x_kn": 0.1, "sustained_share": 0.5}]
    family = book().families["bonded-rod-hybrid-fast"]
    through = {**book().families, "bonded-rod-hybrid-fast": {**family, "setting": "through_fixture"}}
    rules = replace(book(), families=through)
    with pytest.raises(NoSheet, match="how resin is seen at the concrete"):
        make([Job(request, verify(request, rules), rules, (), None, "/fixings/0")])


@pytest.mark.parametrize(("name", "over_mm"), [("resin", 0), ("three in a row, close", 20), ("guardrail", 0)])
def test_what_goes_to_the_bottom_of_a_hole_is_as_long_as_the_bit(name: str, over_mm: float) -> None:
    """Lance and brush were as long as the hole in the concrete, without screed and plate over it."""
    made_of = only(name) if over_mm == 0 else over("screed", name, thickness_mm=over_mm)
    tools, drilled = text_of(made_of, "tools"), text_of(made_of, "drill")
    bit, hole = re.search(r"working length more than (\d+) mm", tools), re.search(r"at least (\d+) mm", drilled)
    assert bit is not None
    assert hole is not None
    plate = 0 if name == "resin" else made_of.fixture_thickness.number
    assert int(bit[1]) == int(hole[1]) + over_mm + plate
    assert "hose or lance at least as long as the bit has to be" in tools
    assert ("its shaft at least as long as the bit has to be" in tools) == (name == "resin")
    assert not re.search(r"longer than \d", tools)


def test_along_an_edge_the_drawing_says_where_and_the_nearest_are_named() -> None:
    """One edge alone gives no place along it: two crews would fix at two heights."""
    marked = text_of(only("guardrail"), "mark")
    assert "Where along side B (right of the plan): from the drawing of the job" in marked
    assert "nearest, fasteners 2, 4: 125 mm" in marked
    told = make([job(REQUESTS["guardrail"] | {"job": {"drawing": "PS4-101"}})]).sheet.fixings[0]
    assert "Where along side B (right of the plan): from drawing PS4-101" in text_of(told, "mark")
    for name in ("resin", "screw near a corner", "undercut in a corner"):
        assert "Where along" not in text_of(only(name), "mark")
    assert "to the centre of the fastener: 150 mm" in text_of(only("screw near a corner"), "mark")
    assert "Set out the first fastener from the drawing of the job" in text_of(only("eyebolt"), "mark")


def test_a_topping_that_comes_off_is_a_line_of_the_surface() -> None:
    sheet = over("plaster", comes_off=True)
    assert text_of(sheet, "surface").index("may hold asbestos or lead") < text_of(sheet, "surface").index(
        "The plaster (25 mm) is off under the whole fixture, down to sound concrete"
    )
    assert "depth stop at 112 mm from its top" in text_of(sheet, "drill")


def bare_rod(**fixture: Any) -> dict[str, Any]:
    """A rod in resin on which something hangs."""
    under_the_nut = {"plate": False, "width_mm": 30, "depth_mm": 30, "thickness_mm": 5}
    return fixing(
        ("bonded-rod-epoxy-slow", "M16", 148), [(0, 0)], under_the_nut | fixture, (5, 0),
        {"temperature_range": "I"}, {"thickness_mm": 400},
    )  # fmt: skip


def test_a_bare_rod_in_resin_has_a_sheet_that_clamps_nothing() -> None:
    sheet = make([job(bare_rod())]).sheet.fixings[0]
    steps = {step.code: " ".join(line.text for line in step.lines) for step in sheet.steps}
    assert "tighten" not in steps
    assert "5 mm thick, with a washer and nut below it" in steps["fixture_on"]
    assert "Not before the curing time is over" in steps["fixture_on"]
    assert "Rod straight" in text_of(sheet, "check")
    told = {line.code for line in sheet.on_site}
    assert not {"full_contact", "torque_control"} & told
    blanks = {blank.as_built for blank in (*sheet.to_fill_in.each_fastener, *sheet.to_fill_in.once)}
    assert not {"torque_nm", "torque_tool"} & blanks
    assert {"resin_filled", "nominal_embedment_mm"} <= blanks
    words = " ".join(text for code, text in steps.items() if code != "surface").casefold()
    assert not [each for each in ("fixture", " plate ", "torque wrench") if each in words]
    assert "without rocking" not in steps["surface"]
    assert sheet.clearance_hole is None
    shown = page.page(make([job(bare_rod())]))
    assert "Set before anything hangs on it" in shown
    assert "Holes in the fixture" not in shown
    assert drawing.of_sheet(make([job(bare_rod())])).count("<svg") == 1


def test_what_is_cast_in_is_looked_at_before_the_pour_and_waits_for_its_concrete() -> None:
    """Nobody can tick the strength, old holes or bare concrete of what is not poured yet."""
    sheet = only("studs")
    ticks = {tick.code: tick for tick in sheet.on_site}
    assert not {"no_old_holes", "topping_not_given"} & ticks.keys()
    assert {code for code, tick in ticks.items() if tick.in_step == "pour"} == {"strength", "strength_evidence"}
    assert ticks["before_pour"].in_step == "set"
    length = sheet.fastener.length.number
    assert f"each {length:g} mm long after welding" in ticks["before_pour"].text
    waits = "weld nothing to the plate before the concrete has reached C30/37"
    assert waits in text_of(sheet, "pour")
    assert text_of(sheet, "pour").index("compact the concrete") < text_of(sheet, "pour").index(waits)
    form = (*sheet.to_fill_in.each_fastener, *sheet.to_fill_in.once)
    blanks = {blank.as_built or blank.label: blank for blank in form}
    assert "Day and time of the pour" in blanks
    assert blanks["strength_found"].least is not None
    assert blanks["strength_found"].least.value == "C30/37"
    assert blanks["length_mm"].label.startswith("Length after welding")
    assert "pour" not in [step.code for step in only("guardrail").steps]


def test_that_concrete_stays_uncracked_is_shown_before_it_is_poured() -> None:
    request = copy.deepcopy(REQUESTS["studs"])
    request["member"]["state"] = "uncracked"
    [state] = [tick for tick in make([job(request)]).sheet.fixings[0].on_site if tick.code == "state"]
    assert state.text.startswith("An engineer has shown that the concrete stays uncracked")


def drawn(request: dict[str, Any]) -> list[str]:
    """The texts of the drawing of a sheet."""
    document = fromstring(drawing.of_sheet(make([job(request)])))  # noqa: S314 our own drawing
    return [text.text or "" for text in document.iter(f"{{{SVG}}}text")]


def without_plate(name: str) -> dict[str, Any]:
    """A ring or a bare rod without a plate."""
    if name == "bare rod":
        return bare_rod()
    return REQUESTS[name] | {"fixture": REQUESTS[name]["fixture"] | {"plate": False}}


@pytest.mark.parametrize("name", ["bare rod", "eyebolt"])
def test_where_there_is_no_plate_neither_drawing_nor_form_has_one(name: str) -> None:
    """On the plan a square lay on the ceiling, and a fitter looked for a plate."""
    request = without_plate(name)
    texts = drawn(request)
    assert "Plan, looking at the concrete" in texts
    assert not [text for text in texts if "fixture" in text]
    assert [text for text in texts if text.startswith("projects" if name == "bare rod" else "under it 3")]
    sheet = make([job(request)]).sheet.fixings[0]
    [thickness] = [blank for blank in sheet.to_fill_in.once if blank.as_built == "fixture_thickness_mm"]
    assert thickness.label.startswith("Thickness of what")
    assert sheet.holds[0].text.startswith("On it as a whole")
    assert not {"fixture_steel", "attached_section"} & {tick.code for tick in sheet.on_site}
    with_plate = drawn(REQUESTS["guardrail"])
    assert [text for text in with_plate if text.startswith("fixture")]


@pytest.mark.parametrize(("thickness_mm", "nuts"), [(5, 2), (15, 1)])
def test_what_locks_the_nut_below_a_hanging_load_is_ordered(thickness_mm: float, nuts: int) -> None:
    """Two nuts of M16, each with a washer, take 2 × 1.2 × 16 = 38.4 mm of thread; else there is no room for both."""
    request = bare_rod(thickness_mm=thickness_mm)
    made_of = make([job(request)])
    hung, bill = text_of(made_of.sheet.fixings[0], "fixture_on"), {one.kind: one for one in made_of.sheet.materials}
    room = made_of.works[0].thread_shown
    assert room is not None
    # Set as deep as it may be, 2 mm deeper than ordered, as the sheet says: so much less shows.
    assert (room.number - 2 >= 38.4) == (nuts == 2)
    assert ("Lock that nut with a second one" in hung) == (nuts == 2)
    assert ("a second nut that locks it" in bill["nut_and_washer"].title) == (nuts == 2)
    assert ("Lock that nut with the thread-locking adhesive" in hung) == ("thread_adhesive" in bill) == (nuts == 1)
    assert "nut below locked" in text_of_ticks(made_of.sheet.fixings[0])


def text_of_ticks(sheet: FixingSheet) -> str:
    return " ".join(tick.text for tick in sheet.on_site)


def test_what_hangs_from_a_rod_is_as_thick_as_told_whatever_the_rod_goes_through() -> None:
    """60 mm of insulation were added to the 5 mm that hang on the rod."""
    through = bare_rod()
    through["member"]["topping"] = {"kind": "insulation", "thickness_mm": 10, "comes_off": False}
    sheet = make([job(through)]).sheet.fixings[0]
    assert "what hangs from the rod, 5 mm thick" in text_of(sheet, "fixture_on")


def test_a_nut_on_the_concrete_of_a_rod_in_resin_gets_no_more_than_the_rod_may_have() -> None:
    """82 N·m for M16, in the family's file: at whichever of its two nuts."""
    request = copy.deepcopy(REQUESTS["resin"])
    request["fixture"] |= {"stand_off_mm": 40, "washer_clamped": True}
    request["load_cases"] = [{"name": "a", "normal_kn": 2, "sustained_share": 0}]
    sheet = make([job(request)]).sheet.fixings[0]
    assert "as the nuts at the fixture are: no more than 82 N·m" in text_of(sheet, "fixture_on")
    [torque] = [blank for blank in sheet.to_fill_in.each_fastener if blank.as_built == "torque_nm"]
    assert torque.label.startswith("Torque read at the nut on the concrete and at the one outside the fixture")


def test_no_sheet_tells_how_a_bare_rod_is_pushed_or_hangs_in_a_sleeve() -> None:
    raised = bare_rod(stand_off_mm=20)
    sleeve = bare_rod(washer_clamped=True) | {
        "fastener": {"family": "undercut-stainless", "size": "M10", "embedment_mm": 110}
    }
    for request in (raised, sleeve):
        with pytest.raises(NoSheet, match="an engineer has to write what is to be done"):
            make([job(request)])


def test_a_ring_without_a_plate_has_a_sheet_that_speaks_of_none() -> None:
    """The crew was told to have a nut and washer on the concrete, and that nobody checked how stiff the plate is."""
    request = copy.deepcopy(REQUESTS["eyebolt"])
    request["fixture"]["plate"] = False
    one = job(request)
    said = {caution["code"] for caution in one.answer["cautions"]}
    assert "plate_not_checked" not in said
    assert "tightened_on_concrete" not in [asked["code"] for asked in one.answer["requirements"]]
    assert one.answer["plate"]["reason"] == "there is none"
    sheet = make([one]).sheet.fixings[0]
    words = " ".join(line.text for step in sheet.steps if step.code != "surface" for line in step.lines)
    assert "the ring or hook kept on its thread" in words
    assert "Ring or hook screwed home" in text_of(sheet, "check")
    assert not [each for each in ("fixture", " plate ") if each in words.casefold()]
