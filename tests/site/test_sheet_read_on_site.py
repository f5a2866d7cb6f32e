"""What a foreman stumbled over who built by three printed sheets; each trap as a test of its own."""

from __future__ import annotations

import copy
import re
from html import escape
from pathlib import Path
from typing import Any

import pytest

from service.site.holes.depth_windows import hole_depth_window
from service.site.load_models import load_cases
from service.site.sheet import make
from service.site.sheet.content import FixingSheet
from service.site.sheet.page import page, style
from tests.site.sheet_cases import ONE_TO_SET, REQUESTS, book, job, made

PAGE = Path(__file__).parents[2] / "service" / "api" / "page" / "templates" / "page.html"


@pytest.mark.parametrize("name", REQUESTS)
def test_no_list_stands_in_a_grid_that_a_page_break_could_cut(name: str) -> None:
    """Rows of a grid that goes on over a page are printed over each other: a tick under another tick."""
    gridded = {rule.split("{")[0].strip() for rule in style().split("}") if "display: grid" in rule}
    assert gridded == {"figure.views"}
    shown = page(made(name))
    assert 'class="twin"' not in shown
    ticks = shown.index("tick before starting")
    assert ticks < shown.index("Ticked by (name, date, signature): ____") < shown.index("PPE")


def text_of(sheet: FixingSheet, code: str) -> list[str]:
    return [line.text for step in sheet.steps if step.code == code for line in step.lines]


def only(name: str) -> FixingSheet:
    [fixing] = made(name).sheet.fixings
    return fixing


def ticks_of(request: dict[str, Any]) -> dict[str, str]:
    return {str(line.code): line.text for line in make([job(request)]).sheet.fixings[0].on_site}


@pytest.mark.parametrize("name", [name for name in REQUESTS if name != "studs"])
def test_every_depth_has_a_least_and_a_most(name: str) -> None:
    """A hole that is ordered to the millimetre is too short half of the time; the most is the as-built check's own."""
    made_, request = made(name), REQUESTS[name]
    [fixing], [work] = made_.sheet.fixings, made_.works
    source = work.source
    window = hole_depth_window(
        book(), source.selection, work.length.number, work.clamped.number, request["member"]["thickness_mm"]
    )
    assert window is not None
    asked = {blank.as_built: blank for blank in fixing.to_fill_in.each_fastener}
    hole = asked["hole_depth_mm"]
    assert hole.least is not None
    assert hole.most is not None
    assert (hole.least.number, hole.most.number) == window
    assert f"at least {window[0]:g} mm and no more than {window[1]:g} mm deep" in text_of(fixing, "drill")[0]
    shown = page(made_).replace("\u00a0", " ")
    assert f"Hole depth measured (mm): {window[0]:g} mm to {window[1]:g} mm" in shown
    if "nominal_embedment_mm" in asked:
        depth = asked["nominal_embedment_mm"]
        assert depth.least is not None
        assert depth.most is not None
        assert depth.least.number <= depth.most.number <= window[1]


def test_where_the_member_is_only_as_thick_as_it_has_to_be_the_hole_is_no_deeper() -> None:
    """M12 at 75 mm: h_min 120 mm, h_1 97 mm of its file: of 121 mm one millimetre may go, of 120 mm none."""
    for thickness, most in ((120, 97), (121, 98), (300, 99)):
        request = copy.deepcopy(REQUESTS["guardrail"])
        request["member"]["thickness_mm"] = thickness
        request["load_cases"] = [{"name": "light", "normal_kn": 0.5}]
        request.pop("loads_from", None)
        sheet = make([job(request)]).sheet.fixings[0]
        assert f"at least 97 mm and no more than {most} mm deep" in text_of(sheet, "drill")[0]


def test_a_form_says_at_most_or_required_and_never_both() -> None:
    for name in REQUESTS:
        shown = page(made(name)).replace("\u00a0", " ")
        assert not re.search(r"at (?:most|least)[^<]{0,12}, required", shown)
    for name, asked in (
        ("guardrail", "Torque read (N·m), required: 52 N·m (49.4 N·m to 54.6 N·m)"),
        ("resin", "Torque read (N·m): no more than 82 N·m"),
    ):
        assert asked in page(made(name)).replace("\u00a0", " ")


def test_other_anchors_and_old_holes_go_by_letters() -> None:
    """Bolts have numbers: "the old hole no. 2" would be sought at bolt 2."""
    lines = [line.text for line in made("among other anchors and old holes").sheet.fixings[0].on_site]
    assert any(line.startswith("N2: carries nothing, as stated") for line in lines)
    assert any(line.startswith("N4: check that it is filled") for line in lines)
    assert not any(re.search(r"(?:anchors|holes) no\. \d", line) for line in lines)


def test_the_next_hanger_of_the_row_is_told_how_far_it_has_to_stay_away() -> None:
    answer = job(REQUESTS["drop-ins overhead"]).answer
    [taken] = [one for one in answer["assumptions"] if one["code"] == "neighbours_not_given"]
    apart = taken["figures"]["reach_no_deeper_mm"] or taken["figures"]["reach_mm"]
    said = ticks_of(REQUESTS["drop-ins overhead"])["next_fixing"]
    assert f"to the nearest one here at least {apart:g} mm" in said
    assert ticks_of(REQUESTS["drop-ins overhead"] | {"neighbours": []})["next_fixing"] == said


POST = {"mounting": "top", "category": "E", "rail_height_mm": 1100, "post_spacing_mm": 1000, "post": "intermediate",
        "mass_kg": 18}  # fmt: skip
PUMP = {"mass_kg": 650, "centre_height_mm": 520, "machine": "rotating_balanced", "torque_knm": 0.4, "shaft": "x",
        "horizontal_kn": 2.0, "horizontal_direction": "any", "horizontal_height_mm": 600}  # fmt: skip


@pytest.mark.parametrize(
    ("model", "given", "codes"),
    [
        ("guardrail_post", POST, {"rail_continuity"}),
        ("machine_base", PUMP, {"fatigue_and_vibration_not_checked", "starting_and_short_circuit"}),
    ],
)
def test_what_the_loads_rest_on_is_ticked_before_work(model: str, given: dict[str, Any], codes: set[str]) -> None:
    """In the small print at the back nobody reads that a gate sends more to its post."""
    found = load_cases(model, {**given, "assessed_on": "2026-11-25"}, book())
    request = copy.deepcopy(REQUESTS["guardrail"])
    request["member"]["thickness_mm"], request["member"]["edges"] = 400, {}
    request["loads_from"] = [{name: part for name, part in found["loads_from"].items() if name != "told"}]
    request["load_cases"] = [{"name": "light", "normal_kn": 0.5}]
    assert codes <= ticks_of(request).keys()


def test_a_hole_that_failed_stops_the_work_first() -> None:
    call = {"call": "the works engineer, 555 0100"}
    for name, request in REQUESTS.items():
        if name == "studs":
            continue
        lines = text_of(make([job(request | {"job": call})]).sheet.fixings[0], "failed_hole")
        assert lines[0].startswith("Stop and call the works engineer, 555 0100. Drill no other hole")
        distances = [line for line in lines if "from the centre of the empty hole" in line or "down to" in line]
        assert all(line.startswith("For the engineer") for line in distances)
        assert "from every edge of the concrete" in distances[0]
        assert not any("direction of the shear" in line for line in lines)
    pushed = text_of(made("guardrail").sheet.fixings[0], "failed_hole")
    assert any(re.search(r"does not lie towards side [ABCD] \(", line) for line in pushed)


def test_working_time_is_a_word_of_resin_alone() -> None:
    for name in REQUESTS:
        shown = page(made(name))
        assert "Hours of work" in shown
        assert ("orking time" in shown) == (made(name).works[0].source.mechanism == "bonded")


def test_nobody_relies_on_resin_that_has_not_cured() -> None:
    said = " ".join(text_of(made("resin").sheet.fixings[0], "cure"))
    assert "Until then hang nothing on it and let nobody rely on it: keep the place fenced off" in said


def test_the_bill_has_what_the_steps_need() -> None:
    bill = {material.kind: material for material in made("resin").sheet.materials}
    assert bill["nut_and_washer"].quantity.number == bill["fastener"].quantity.number
    assert bill["fastener"].quantity.number - bill["grout_for_holes"].quantity.number == 12
    assert bill["bit"].title.endswith("as the depth stop takes room")
    assert "setting_tool" in {material.kind for material in made("drop-ins overhead").sheet.materials}
    assert made("studs").sheet.materials[-1].kind == "fastener"
    # By hand: 800 by 600 by 6 mm are 2.88 litres.
    [grout] = [m for m in made("slow resin in a wet hole, grouted").sheet.materials if m.kind == "grout"]
    assert "2.9 litres" in grout.title


def test_overhead_the_stop_is_measured_from_below() -> None:
    request = copy.deepcopy(REQUESTS["screw near a corner"])
    request["use"]["overhead"] = True
    request["load_cases"] = [{"name": "light", "normal_kn": 0.3}]
    assert "from its underside" in " ".join(text_of(make([job(request)]).sheet.fixings[0], "drill"))


def test_four_bolts_are_tightened_crosswise_and_two_are_not() -> None:
    assert "Crosswise: after each one the one opposite it" in text_of(made("guardrail").sheet.fixings[0], "tighten")
    assert not any("Crosswise" in line for line in text_of(made("sleeves").sheet.fixings[0], "tighten"))


def test_every_page_says_whom_to_call() -> None:
    request = REQUESTS["guardrail"] | {"job": {"call": "the works engineer, 555 0100"}}
    shown = page(make([job(request)]))
    [head] = re.findall(r'<div class="head"[^>]*><p>([^<]*Fixing 1[^<]*)</p>', shown)
    assert head.endswith("call: the works engineer, 555 0100")


def test_a_hole_wetter_than_verified_stops_the_work() -> None:
    """Cleaning does not dry a hole: a wet one was not verified."""
    for hole, words in (("dry", "not wet or flooded: otherwise stop"), ("wet", "not flooded: stop if water")):
        request = copy.deepcopy(REQUESTS["slow resin in a wet hole, grouted"])
        request["use"]["hole"] = hole
        [tick] = [tick for tick in make([job(request)]).sheet.fixings[0].on_site if tick.code == "hole"]
        assert words in tick.text
        assert tick.in_step == "resin"


def test_cracks_do_not_stop_what_was_verified_for_them() -> None:
    for name, cracked in (("guardrail", True), ("drop-ins overhead", False)):
        assert (made(name).works[0].state == "cracked") == cracked
        lines = text_of(made(name).sheet.fixings[0], "surface")
        assert any(line.startswith("Look for cracks") for line in lines) != cracked


def test_who_scans_looks_deeper_than_the_bit_goes() -> None:
    assert "Scan each position deeper than 99 mm" in text_of(made("guardrail").sheet.fixings[0], "scan")[0]


def test_where_the_shear_pushes_every_way_no_hole_comes_nearer() -> None:
    request = copy.deepcopy(REQUESTS["guardrail"])
    request["member"]["thickness_mm"], request["member"]["edges"] = 400, {}
    request.pop("loads_from", None)
    request["load_cases"] = [
        {"name": f"{x} {y}", "normal_kn": 0.5, "shear_x_kn": x, "shear_y_kn": y}
        for x in (-0.5, 0.5)
        for y in (-0.5, 0.5)
    ]
    lines = text_of(make([job(request)]).sheet.fixings[0], "failed_hole")
    assert "For the engineer: no nearer, filled or not, as the shear pushes towards every side" in lines
    assert not any("down to" in line for line in lines)


def test_twelve_hangers_are_written_down_side_by_side() -> None:
    """One column a hanger, five to a page: not two sheets of paper for each."""
    request = copy.deepcopy(REQUESTS["eyebolt"])
    one, twelve = (page(make([job(request, count)])) for count in (1, 12))
    assert twelve.count("copy ____<") == 5
    assert "copy ____<" not in one
    for blank in make([job(request)]).sheet.fixings[0].to_fill_in.once:
        assert blank.label.replace("&", "&amp;") in twelve.replace("\u00a0", " ")
    assert "Once for the fixing" in one
    assert "Once for the fixing" not in twelve
    assert page(make([job(REQUESTS["guardrail"], 12)])).count("copy ____<") == 0


@pytest.mark.parametrize("name", REQUESTS)
def test_every_caution_is_printed_and_none_twice(name: str) -> None:
    """Of what stands twice the second is skipped, and with it what stands once."""
    made_ = made(name)
    shown = page(made_).replace("\u00a0", " ")
    for line in made_.sheet.fixings[0].cautions:
        assert shown.count(escape(line.text, quote=False).replace("\u00a0", " ")) == 1, line.text


def test_a_form_of_more_columns_than_a_phone_shows_says_that_it_slides() -> None:
    """The line is shown on a narrow screen alone; two columns fit there."""
    # Five columns of fasteners and then four; the six of aborted holes; the five of the resin's times.
    for name, tables in (("nine in a thick plate", 3), ("nylon", 1), ("resin", 3), ("studs", 1)):
        assert page(made(name)).count('class="slide"') == tables, name
    assert ".slide { display: none" in style()


def test_words_are_those_of_fitters() -> None:
    for name in REQUESTS:
        shown = page(made(name))
        for word in ("Exposure", "Member ", "of the member", "taken as nobody said"):
            assert word not in shown.partition("More cautions")[0], (name, word)


def test_the_page_asks_about_the_next_hanger_as_about_any_anchor() -> None:
    """Who makes twelve of them answers No to other anchors, as none stands there yet."""
    asked = PAGE.read_text("utf-8").partition('id="others-asked"')[2].partition("</fieldset>")[0]
    assert "The next hanger, post or plate of the same job counts as one, even if it is set later." in asked


LATER = {
    "full_contact": {"fixture_first", "fixture_on", "check"},
    "grout": {"grout"},
    "stand_off": {"fixture_first", "fixture_on"},
    "washer_clamped": {"set", "tighten", "fixture_on"},
    "hole": {"resin", "set"},
    "reinforcement": {"scan"},
    "hole_cleaning": {"clean"},
    "drilling": {"drill"},
    "torque_control": {"tighten"},
    "heads_seated": {"check"},
    "sound": {"check"},
}
"""What nobody can tick before starting, and in which step it is met; common practice, no source."""
OF_A_POUR = {"before_pour": {"set"}, "strength": {"pour"}, "strength_evidence": {"pour"}}
"""The same of what is cast in."""


@pytest.mark.parametrize("name", REQUESTS)
def test_what_comes_later_is_ticked_in_its_step_and_not_before_starting(name: str) -> None:
    """A crew that has to tick before starting that a bolt is tight ticks all or none."""
    [fixing] = made(name).sheet.fixings
    later = LATER | (OF_A_POUR if name == "studs" else {})
    for tick in fixing.on_site:
        assert tick.in_step in later.get(str(tick.code), {None}), tick
    assert {tick.in_step for tick in fixing.on_site} - {None} <= {step.code for step in fixing.steps}
    shown = page(made(name)).replace("\u00a0", " ")
    before = shown[shown.index("tick before starting") : shown.index("Ticked by (name, date, signature)")]
    assert before.count("<li>") == sum(tick.in_step is None for tick in fixing.on_site)
    assert "Ticked in these steps by (name, date, signature): ____" in shown


def test_of_what_stands_the_ticks_of_steps_that_are_done_are_looked_at_first() -> None:
    request = copy.deepcopy(ONE_TO_SET)
    request["built"]["to_set_numbers"] = []
    [fixing] = make([job(request)]).sheet.fixings
    steps = {step.code for step in fixing.steps}
    assert "drill" not in steps
    assert {tick.code: tick.in_step for tick in fixing.on_site}["drilling"] is None


@pytest.mark.parametrize(("hole", "words"), [("dry", "no more dust"), ("wet", "no slurry"), ("flooded", "no slurry")])
def test_a_wet_hole_is_cleaned_of_slurry_and_not_of_dust(hole: str, words: str) -> None:
    """Common practice, no source: wet dust does not come out with two strokes of air, it sticks to the wall."""
    request = copy.deepcopy(REQUESTS["slow resin in a wet hole, grouted"])
    request["use"]["hole"] = hole
    [fixing] = make([job(request)], temperature_c=12).sheet.fixings
    lines = text_of(fixing, "clean")
    flooded = hole == "flooded"
    assert words in lines[2 if flooded else 0]
    # Where water is spoken of there is a step that flushes, and the water is brought along.
    assert ("Flush the hole with clean water" in lines[0]) == flooded
    assert any("water comes out clear" in line for line in lines) == flooded
    assert any("Clean water with a hose" in line for line in text_of(fixing, "tools")) == flooded
    assert f"({hole} hole)" in " ".join(text_of(fixing, "cure"))


def test_what_is_looked_for_on_a_brush_has_a_brush() -> None:
    """A screw in a wet hole had a pump alone."""
    request = copy.deepcopy(REQUESTS["screw near a corner"])
    assert not any("Brush of the hole" in line for line in text_of(make([job(request)]).sheet.fixings[0], "tools"))
    request["use"]["hole"] = "wet"
    made_of_it = make([job(request)]).sheet
    assert "stays on the brush" in text_of(made_of_it.fixings[0], "clean")[0]
    assert any("Brush of the hole" in line for line in text_of(made_of_it.fixings[0], "tools"))
    assert any("Brush for a hole of Ø10 mm" in item.title for item in made_of_it.materials)


def test_what_is_set_before_its_plate_is_marked_through_it() -> None:
    """A hole of the plate that is a millimetre wider forgives half a millimetre: no tape sets that out."""
    assert any("through the holes of the fixture or a template" in line for line in text_of(only("resin"), "mark"))
    assert not any("template" in line for line in text_of(only("guardrail"), "mark"))


def test_what_holds_a_rod_overhead_is_among_the_tools() -> None:
    request = copy.deepcopy(REQUESTS["resin"])
    request["use"]["overhead"] = True
    [fixing] = make([job(request)]).sheet.fixings
    assert any("Overhead: hold each rod with a wedge or cap" in line for line in text_of(fixing, "resin"))
    assert any(line.startswith("Wedges or caps") for line in text_of(fixing, "tools"))
    assert not any(line.startswith("Wedges or caps") for line in text_of(only("resin"), "tools"))


def test_the_plan_says_how_large_what_stands_on_the_plate_is() -> None:
    section = REQUESTS["resin"]["fixture"]["attached_section"]
    said = f"dashed: what stands on the fixture, {section['width_mm']} × {section['depth_mm']} mm"
    assert said in page(made("resin")).replace("\u00a0", " ")


def test_the_first_fixing_does_not_repeat_the_warning_that_stands_above_it() -> None:
    shown = page(make([job(REQUESTS["resin"]), job(REQUESTS["guardrail"])]))
    assert shown.count("DO NOT BUILD FROM THIS SHEET") == 2
    assert page(made("resin")).count("DO NOT BUILD FROM THIS SHEET") == 1


def test_what_is_filled_in_fits_a_phone() -> None:
    """The table of four columns was cut at the right edge: what was once for the fixing nobody could fill in there."""
    at = style().index("max-width: 600px")
    on_a_phone = style()[at : style().index("@media print", at)]
    assert ".few table.form, .once table.form { min-width: 0; }" in on_a_phone
    assert page(made("sleeves")).count('class="once"') == 1


def test_of_those_in_the_form_what_is_still_to_be_set_stands_first() -> None:
    """On a narrow screen the columns of what stands, all but filled in, hid those to be filled in."""
    request = copy.deepcopy(ONE_TO_SET)
    # Of none that stands was a torque read, so that all are in the form.
    request["built"]["measured"] = ["hole_depth", "set_depth"]
    heads = re.findall(r"<th[^>]*>(\d+): x", page(make([job(request)])).replace("\u00a0", " "))
    assert heads[:2] == ["9", "10"]
    assert sorted(heads[2:], key=int) == heads[2:]
    assert heads[2:]
