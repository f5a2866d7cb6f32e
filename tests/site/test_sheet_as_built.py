"""The sheet of a fixing that was changed while it was built: what stands, what is left to do, and what is known by now.

Lengths are worked by hand from the places; the rules are common practice, no source.
"""

from __future__ import annotations

import copy
from typing import Any
from xml.etree.ElementTree import fromstring

import pytest

from service.site.sheet import Job, Made, NoSheet, drawing, make
from service.site.sheet.content import FixingSheet
from service.site.sheet.page import page
from service.verification import verify
from tests.site.sheet_cases import REQUESTS, book, fixing, job, square
from tests.site.test_as_built import checked, codes, entry, only_said
from tests.site.test_as_built_around import next_check

SVG = "http://www.w3.org/2000/svg"
PLATE = fixing(
    ("bolt-expansion-zinc", "M12", 75), square(150), {"width_mm": 400, "depth_mm": 400, "thickness_mm": 15}, (4, 1),
    None, {"thickness_mm": 300},
)  # fmt: skip
"""Four bolts far from any edge: 1 and 2 below on the plan, 3 and 4 above, 300 mm apart."""
BAR_MET = {"x_mm": 150, "y_mm": 150, "depth_mm": 20, "diameter_mm": 12, "refilled": True}
MEASURED = {"torque_nm": 57, "torque_tool": "calibrated_wrench", "nominal_embedment_mm": 87}
AXES = "x to the right and y upwards on the plan"
MOVED = {"moved": [{"number": 4, "x_mm": 110, "y_mm": 150}], "aborted_holes": [BAR_MET], "clearance": "normal"}


def record_as_built(**done: Any) -> dict[str, Any]:
    answer = only_said(PLATE, **{**MEASURED, "aborted_holes": [], **done})
    assert answer["verdict"] == "verified", answer["to_do"]
    found: dict[str, Any] = answer["record"]
    return found


def sheet_made(record: dict[str, Any]) -> Made:
    return make([Job(record["request"], record["answer"], book(), (), 1, "/fixings/0")])


def sheet_of(**done: Any) -> FixingSheet:
    return sheet_made(record_as_built(**done)).sheet.fixings[0]


def step(sheet: FixingSheet, code: str) -> list[str]:
    return [line.text for one in sheet.steps if one.code == code for line in one.lines]


def ticks(sheet: FixingSheet) -> list[str]:
    return [line.text for line in sheet.on_site]


def test_an_aborted_hole_is_named_where_the_crew_looks_for_old_holes() -> None:
    """40 mm from bolt 4 a hole is known: a tick that no hole may be there must name it first."""
    told = ticks(sheet_of(**MOVED))
    known = told.index(
        "H1 (x 150 mm, y 150 mm): aborted hole of this fixing, filled, Ø12 mm, 20 mm deep; 40 mm from fastener 4"
    )
    [looked_for] = [line for line in told if line.startswith("Look for old holes")]
    assert "but for those named here" in looked_for
    assert known < told.index(looked_for)
    failed = step(sheet_of(**MOVED), "failed_hole")
    assert "Aborted holes that are there by now, which plan and ticks show: H1" in failed


def test_the_plan_draws_an_aborted_hole_where_it_is() -> None:
    record = record_as_built(**MOVED)
    drawn = fromstring(drawing.of_sheet(sheet_made(record)))  # noqa: S314 our own drawing
    words = [one.text or "" for one in drawn.iter(f"{{{SVG}}}text")]
    assert "H1" in words
    rings = [(float(one.get("cx", "")), float(one.get("cy", "")), one.get("fill"))
             for one in drawn.iter(f"{{{SVG}}}circle") if one.get("stroke")]  # fmt: skip
    scale = [float(text.rpartition(":")[2]) for text in words if " 1 : " in text][-1]
    fourth, hole = rings[3], rings[-1]
    assert (hole[0] - fourth[0]) * scale == pytest.approx(150 - 110, abs=0.2)
    assert hole[1] == pytest.approx(fourth[1])
    # What stands is dark, what is still to be set is white, a filled hole is hatched.
    assert (fourth[2], hole[2]) == ("#555", "url(#all-steel)")
    to_set = only_said(PLATE, **MEASURED, **MOVED, to_set_numbers=[4])["record"]
    again = fromstring(drawing.of_sheet(sheet_made(to_set)))  # noqa: S314 our own drawing
    fills = [one.get("fill") for one in again.iter(f"{{{SVG}}}circle") if one.get("stroke")]
    assert fills[:4] == ["#555", "#555", "#555", "#fff"]


def test_lengths_across_are_printed_though_they_differ() -> None:
    """√(300² + 300²) = 424.3, √(260² + 300²) = 397, √(40² + 300²) = 302.7; by hand."""
    square_up = "They do not stand square: so they were verified. Do not square them up"
    as_planned = step(make_of(PLATE), "mark")
    assert as_planned[-2:] == [
        "Check by measuring from fastener 1 to fastener 4: 424.3 mm",
        "Check by measuring from fastener 2 to fastener 3: 424.3 mm",
    ]
    askew = {**PLATE, "positions": [*PLATE["positions"][:3], {"x_mm": 110, "y_mm": 150}]}
    assert step(make_of(askew), "mark")[-4:] == [
        "Check by measuring from fastener 1 to fastener 4: 397 mm",
        "Check by measuring from fastener 2 to fastener 3: 424.3 mm",
        "Check by measuring from fastener 2 to fastener 4: 302.7 mm",
        square_up,
    ]
    nine = step(make_of(REQUESTS["nine in a thick plate"]), "mark")
    assert nine[-2:] == [
        "Check by measuring from fastener 1 to fastener 9: 424.3 mm",
        "Check by measuring from fastener 3 to fastener 7: 424.3 mm",
    ]


def make_of(request: dict[str, Any]) -> FixingSheet:
    return make([job(request)]).sheet.fixings[0]


def test_what_must_not_be_filled_is_the_gap_in_the_plate_and_no_hole_in_the_concrete() -> None:
    at_edge = {**PLATE, "positions": [*PLATE["positions"][:3]]}
    at_edge = {**at_edge, "member": {**PLATE["member"], "edges": {"x_plus_mm": 400, "y_plus_mm": 400}}}
    sheet = make_of(at_edge)
    said = " ".join(line.text for line in sheet.before_work)
    assert "Move no fastener and fill no gap between fastener and plate: an engineer has to decide" in said
    assert "fill anything" not in said
    first = sheet.on_site[0]
    assert first.code == "engineer_decides"
    assert first.text.startswith("Stop: an engineer has to decide whether this may stand. Nothing is drilled")
    assert "by (name, date, signature): ____" in first.text
    assert "engineer_decides" not in {line.code for line in make_of(PLATE).on_site}
    [filled] = [line for line in step(sheet, "failed_hole") if line.startswith("Fill every aborted hole")]
    assert filled.startswith("Fill every aborted hole in the concrete with high-strength grout")


def box(sheet: FixingSheet) -> str:
    assert sheet.as_built is not None
    return "\n".join(line.text for line in sheet.as_built.lines)


def asked(sheet: FixingSheet) -> dict[str, tuple[int, ...]]:
    return {blank.label: blank.numbers for blank in sheet.to_fill_in.each_fastener}


def test_what_stands_is_not_ordered_drilled_or_set_again() -> None:
    record = record_as_built(**MOVED)
    made = sheet_made(record)
    [sheet] = made.sheet.fixings
    assert sheet.as_built is not None
    assert (sheet.as_built.standing, sheet.as_built.to_set) == ((1, 2, 3, 4), ())
    assert made.sheet.materials == ()
    assert [one.code for one in sheet.steps] == ["check", "failed_hole", "removal"]
    assert sheet.fastener.per_fixing.number == 0
    assert "Nothing to order: all stand" in page(made)
    told = box(sheet)
    assert "Fasteners 1, 2, 3, 4 stand and stay" in told
    assert "What stands is tightened: do not tighten it again" in told
    assert "Nothing is left to drill or set" in told
    assert not any("torque" in line for line in step(sheet, "check") if line.startswith("Write down"))


def test_the_box_stands_before_every_figure_and_names_what_it_replaces() -> None:
    record = record_as_built(**MOVED)
    written = page(sheet_made(record))
    assert f"It replaces the sheet of record {record['request']['came_from_record']}" in box(sheet_of(**MOVED))
    of_fixing = written[written.index("<h2>") :]
    assert of_fixing.index(">As built<") < of_fixing.index("What it holds") < of_fixing.index("Installation sequence")
    assert "read its box “As built” before anything is ordered or drilled" in written[: written.index("<h2>")]
    assert ">As built<" not in page(sheet_made({"request": PLATE, "answer": verify(PLATE, book())}))


def test_where_a_fastener_was_moved_from_is_told() -> None:
    moved = "Fastener 4 was moved: it stands at x 110 mm, y 150 mm, and was planned at x 150 mm, y 150 mm"
    assert moved in box(sheet_of(**MOVED))
    assert "moved" not in box(sheet_of(moved=[{"number": 4, "x_mm": 152, "y_mm": 150}], clearance="normal"))


def test_only_what_is_still_to_be_set_is_ordered_drilled_and_asked() -> None:
    answer = only_said(PLATE, **MEASURED, **MOVED, to_set_numbers=[4])
    made = sheet_made(answer["record"])
    [sheet] = made.sheet.fixings
    [bolts] = [one for one in made.sheet.materials if one.kind == "fastener"]
    # Spares of the shipped rules: at least one.
    assert bolts.per_fixing[0].quantity.number == 1
    assert bolts.quantity.number == 2
    assert step(sheet, "tools")[0].startswith("1 of article")
    assert "fixture_first" not in [one.code for one in sheet.steps]
    assert {"drill", "clean", "set", "tighten"} <= {one.code for one in sheet.steps}
    assert step(sheet, "mark")[1:] == [
        f"Mark fastener 4 at x 110 mm, y 150 mm: {AXES}, from the fasteners that stand",
        "The fixture needs a hole there for fastener 4, of no more than Ø14 mm: make it before the concrete is drilled",
        (
            "No hole is made beside the old one of fastener 4 before the engineer has confirmed that the fixture "
            "carries its load with both"
        ),
        # By hand from the places.
        "From fastener 3, which stands at x -150 mm, y 150 mm, to the centre of fastener 4: 260 mm",
        "From fastener 2, which stands at x 150 mm, y -150 mm, to the centre of fastener 4: 302.7 mm",
        "From fastener 1, which stands at x -150 mm, y -150 mm, to the centre of fastener 4: 397 mm",
    ]
    told = box(sheet)
    assert "Fasteners 1, 2, 3 stand and stay" in told
    assert "Fastener 4 is still to be set: bill, steps and form are for it" in told
    assert "Fastener 4 is moved: it is set at x 110 mm, y 150 mm, and no longer at x 150 mm, y 150 mm" in told
    assert "Do not load the fixing before all are set and checked as built" in told
    form = asked(sheet)
    assert form["Hole depth measured (mm)"] == (1, 2, 3, 4)
    assert form["Set by, date and time"] == (4,)
    # The plate comes off the others for its new hole.
    assert form["Torque read (N·m)"] == (1, 2, 3, 4)
    assert form["Length fitted (mm)"] == (1, 2, 3, 4)
    left = "length that was fitted, depth of the hole, whether the hole was cleaned and torque"
    assert f"Still to be found out of what stands, and written in the form: {left}" in told
    assert [place.stands for place in sheet.places] == [True, True, True, False]
    known = " ".join(line.text for line in sheet.as_built.known) if sheet.as_built else ""
    assert "set depth 87 mm" in known
    assert "torque" not in known


def test_mortar_that_broke_as_the_fixture_came_off_is_ordered_and_filled_again() -> None:
    """Rods that stand get a new filling washer too: common practice, no source."""
    request = copy.deepcopy(RODS)
    request["fixture"]["clearance"] = "filled"
    made_of_it = sheet_made(only_said(request, **CURED, **LAST)["record"])
    [fixing_sheet] = made_of_it.sheet.fixings
    assert "before it goes on again, then a new filling washer on each, and all are filled anew" in box(fixing_sheet)
    assert "the filling washer and the nut on each" in " ".join(step(fixing_sheet, "fixture_on"))
    [washers] = [one for one in made_of_it.sheet.materials if one.kind == "filling_washer"]
    [rods] = [one for one in made_of_it.sheet.materials if one.kind == "fastener"]
    assert washers.quantity.number == rods.quantity.number + 3
    assert [share.quantity.number for share in washers.per_fixing] == [1 + 3]


GROUTED = fixing(
    ("screw-zinc", "10", 69), square(100),
    {"width_mm": 300, "depth_mm": 300, "thickness_mm": 20, "yield_mpa": 235,
     "attached_section": {"width_mm": 150, "depth_mm": 150, "profile": "hollow"},
     "grout": {"thickness_mm": 10, "strength_mpa": 50}},
    (6, 1), None, {"thickness_mm": 400, "strength_most_mpa": 45},
)  # fmt: skip
RODS = REQUESTS["resin"]
CURED = {
    "hole_depth_mm": 150, "nominal_embedment_mm": 148, "hole": "dry", "hole_cleaned": True, "resin_filled": True,
    "set_within_working_time": True, "concrete_temperature_c": 12, "coldest_until_cured_c": 10, "curing_minutes": 300,
    "torque_nm": 82, "torque_tool": "calibrated_wrench",
}  # fmt: skip
LAST = {"to_set_numbers": [4], "undrilled_numbers": [4], "aborted_holes": []}
NEW_HOLE = {"moved": [{"number": 4, "x_mm": 70, "y_mm": 150}], "to_set_numbers": [4], "clearance": "normal",
            "aborted_holes": [BAR_MET]}  # fmt: skip


@pytest.mark.parametrize(("request_body", "done", "off", "again"), [
    (RODS, CURED | LAST, True, True),
    (PLATE, MEASURED | LAST, False, False),
    (PLATE, MEASURED | NEW_HOLE, True, True),
    (GROUTED, {"head_seated": True, "hole_depth_mm": 99, **LAST}, False, True),
    (REQUESTS["stand-off"], {"torque_nm": 123, "torque_tool": "calibrated_wrench", "nominal_embedment_mm": 116,
                             "washer_clamped": True, **LAST}, True, False),
])  # fmt: skip
def test_what_its_fixture_comes_off_is_tightened_again_and_asked_again(
    request_body: dict[str, Any], done: dict[str, Any], off: bool, again: bool
) -> None:
    """Three nuts stayed finger-tight, and the form asked nothing of them: common practice, no source."""
    answer = only_said(request_body, **done)
    sheet = sheet_made(answer["record"]).sheet.fixings[0]
    told, tighten = box(sheet), step(sheet, "tighten")
    assert ("The fixture comes off" in told, "Leave the fixture in place" in told) == (off, not off)
    assert ("all are tightened once all are set" in told) is again
    assert ("do not tighten it again" in told) is (not again)
    assert any(line.startswith("Only fastener 4") for line in tighten) is (not again)
    assert any(line.startswith("Crosswise") for line in tighten) is again
    read = [blank for blank in sheet.to_fill_in.each_fastener if blank.as_built in {"torque_nm", "head_seated"}]
    assert {blank.numbers for blank in read} == ({(1, 2, 3, 4)} if again else {(4,)})
    # Given up, the one that was to be set leaves the others loosened: the next check asks for them.
    given_up = {"missing_numbers": [4], "undrilled_numbers": [4], "to_set_numbers": None, "cracks_seen": False}
    lacking = codes(next_check(answer, **given_up)["not_measured"])
    assert bool({"torque", "head_seated"} & set(lacking)) is again


def test_rods_that_stand_have_a_sheet_for_the_last_while_the_plate_is_off() -> None:
    """No torque before all are set, and nobody has waited for the resin yet: both can be told later."""
    left = dict.fromkeys(("torque_nm", "torque_tool", "curing_minutes"))
    answer = only_said(RODS, **{**CURED, **LAST, **left})
    assert (answer["verdict"], answer["record"] is not None) == ("not_shown", True)
    later = next_check(answer, to_set_numbers=[4], undrilled_numbers=[4], torque_nm=82, torque_tool="calibrated_wrench")
    assert "curing_time" in {one["code"] for one in later["as_built_requirements"] if one["met"] is None}


def test_what_nobody_has_tightened_is_still_to_be_tightened() -> None:
    answer = only_said(PLATE, nominal_embedment_mm=87, **MOVED, to_set_numbers=[4])
    [sheet] = sheet_made(answer["record"]).sheet.fixings
    assert asked(sheet)["Torque read (N·m)"] == (1, 2, 3, 4)
    assert "do not tighten it again" not in box(sheet)
    assert not any(line.startswith("Only") for line in step(sheet, "tighten"))
    assert any(line.startswith("Crosswise") for line in step(sheet, "tighten"))
    left = "length that was fitted, depth of the hole, whether the hole was cleaned and torque"
    assert f"Still to be found out of what stands, and written in the form: {left}" in box(sheet)


def test_numbers_are_those_of_the_first_sheet() -> None:
    hole = {"x_mm": 150, "y_mm": -150, "depth_mm": 40, "diameter_mm": 12, "refilled": True}
    made = sheet_made(record_as_built(missing_numbers=[2], aborted_holes=[hole]))
    [sheet] = made.sheet.fixings
    assert [place.number for place in sheet.places] == [1, 3, 4]
    told = "Fastener 2 is not there: the rest were verified without it and keep the numbers of the first sheet"
    assert told in box(sheet)
    assert "Fasteners 1, 3, 4 stand and stay" in box(sheet)
    assert asked(sheet)["Hole depth measured (mm)"] == (1, 3, 4)
    drawn = [one.text for one in fromstring(drawing.of_sheet(made)).iter(f"{{{SVG}}}text")]  # noqa: S314 our own
    assert {"1", "3", "4"} <= set(drawn)
    assert "2" not in drawn


def test_another_length_is_told_and_each_fastener_has_a_line_for_its_own() -> None:
    rail = REQUESTS["guardrail"]
    rows = book().families["bolt-expansion-stainless"]["sizes"]["M12"]["embedments"]["75"]["lengths"]
    usual = verify(rail, book())["fastener"]["length_mm"]
    longer = min(row["length_mm"] for row in rows if row["length_mm"] > usual)
    tight = {"torque_nm": 52, "torque_tool": "calibrated_wrench", "nominal_embedment_mm": 87}
    answer = only_said(rail, **tight, other_lengths=[{"number": 3, "length_mm": longer}])
    told = box(sheet_made(answer["record"]).sheet.fixings[0])
    assert f"Fastener 3 is {longer:g} mm long, where the others are {usual:g} mm" in told
    form = make_of(PLATE).to_fill_in
    assert [blank.numbers for blank in form.each_fastener if blank.as_built == "length_mm"] == [(1, 2, 3, 4)]
    assert "length_mm" not in [blank.as_built for blank in form.once]


def test_a_hole_that_nobody_has_filled_is_still_to_be_filled() -> None:
    open_hole = {"x_mm": 150, "y_mm": 320, "depth_mm": 40, "diameter_mm": 12, "refilled": False}
    assert "Still to be filled with high-strength grout: H1" in step(sheet_of(aborted_holes=[open_hole]), "failed_hole")
    asks = "High-strength grout for one aborted hole that is still to be filled"
    for to_set in ({}, {"to_set_numbers": [4], "undrilled_numbers": [4]}):
        record = only_said(PLATE, **MEASURED, aborted_holes=[open_hole], **to_set)["record"]
        made = sheet_made(record)
        [grout] = [one for one in made.sheet.materials if one.title == asks]
        assert grout.quantity.number == 1
        first = "First fill H1 with high-strength grout and let it harden: the plan shows where"
        assert step(made.sheet.fixings[0], "drill")[:1] == ([first] if to_set else [])
    filled = sheet_made(record_as_built(aborted_holes=[open_hole | {"refilled": True}]))
    assert asks not in [one.title for one in filled.sheet.materials]


def test_what_stands_is_of_one_fixing() -> None:
    record = record_as_built(**MOVED)
    with pytest.raises(NoSheet, match="it stands as it was checked"):
        make([Job(record["request"], record["answer"], book(), (), 2, "/fixings/0")])


@pytest.mark.parametrize("name", [name for name, request in REQUESTS.items() if len(request["positions"]) > 1])
def test_of_every_kind_only_the_last_is_left_to_do(name: str) -> None:
    request, last = REQUESTS[name], len(REQUESTS[name]["positions"])
    answer = checked(request, to_set_numbers=[last], undrilled_numbers=[last], aborted_holes=[])
    assert answer["verdict"] == "not_shown"
    made = sheet_made(answer["record"])
    [sheet] = made.sheet.fixings
    assert {number for blank in sheet.to_fill_in.each_fastener for number in blank.numbers} >= {last}
    setters = [blank.numbers for blank in sheet.to_fill_in.each_fastener if blank.as_built in {None, "weld_tested"}][:1]
    assert setters == [(last,)]
    assert {one.per_fixing[0].quantity.number for one in made.sheet.materials if one.kind == "fastener"} == {1}
    everything = {one.code for one in make_of(request).steps} - {"fixture_first"}
    grouted = {"grout"} if request["fixture"].get("grout") else set()
    assert everything - grouted <= {one.code for one in sheet.steps} <= everything
    assert "<html" in page(made)


def test_what_was_set_less_deep_has_a_sheet_as_long_as_no_more_of_it_is_to_be_set() -> None:
    """The length of the record is not listed for the embedment that counts now, 57 mm, and its thread serves."""
    rail = REQUESTS["guardrail"]
    shallow = {"torque_nm": 52, "torque_tool": "calibrated_wrench", "nominal_embedment_mm": 79}
    done = only_said(rail, **shallow)
    assert done["record"]["request"]["fastener"]["embedment_mm"] == 57
    sheet = sheet_made(done["record"]).sheet.fixings[0]
    assert sheet.as_built is not None
    assert "set depth 79 mm" in " ".join(line.text for line in sheet.as_built.known)
    one_left = only_said(rail, **shallow, to_set_numbers=[2], undrilled_numbers=[2])
    assert one_left["record"] is not None
    with pytest.raises(NoSheet, match="size new fasteners anew"):
        sheet_made(one_left["record"])


@pytest.mark.parametrize(("number", "place"), [(1, (-150, -115)), (4, (150, 185))])
def test_the_paper_lets_no_hole_come_nearer_than_the_check_does(number: int, place: tuple[float, float]) -> None:
    """Shear upwards: below the new place a filled hole counts, unless another fastener, farther down, pushes to it."""
    upwards = {**PLATE, "load_cases": [{"name": "up", "normal_kn": 0.5, "shear_y_kn": 1}]}
    lines = step(make_of(upwards), "failed_hole")
    [nearer] = [line for line in lines if "down to 24 mm only if" in line]
    assert "does not lie towards side A" in nearer
    [no_nearer] = [line for line in lines if "no nearer" in line]
    assert "to the holes of fasteners 3, 4: the shear of another one pushes towards them" in no_nearer
    x, y = PLATE["positions"][number - 1].values()
    hole = {"x_mm": x, "y_mm": y, "depth_mm": 30, "diameter_mm": 12, "refilled": True}
    moved = {"number": number, "x_mm": place[0], "y_mm": place[1]}
    answer = only_said(upwards, **MEASURED, moved=[moved], aborted_holes=[hole], clearance="normal")
    said = entry(answer, "aborted_hole_distance")
    assert (said["figures"]["filling"], said["met"]) == (("grout", True) if number == 1 else ("pushed", False))


@pytest.mark.parametrize(("number", "at_edge"), [(4, True), (3, False)])
def test_what_is_still_to_be_set_nearest_to_an_edge_is_set_out_from_it(number: int, at_edge: bool) -> None:
    """The edge lies 400 mm from the middle of the plate, and 400 - 150 = 250 mm from the row at it; by hand."""
    beside = {**PLATE, "member": {**PLATE["member"], "edges": {"x_plus_mm": 400}}}
    left: dict[str, Any] = {"to_set_numbers": [number], "undrilled_numbers": [number]}
    answer = only_said(beside, **MEASURED, aborted_holes=[], nearest_edges={"x_plus_mm": 250}, **left)
    sheet = sheet_made(answer["record"]).sheet.fixings[0]
    told = [line for line in step(sheet, "mark") if line.startswith("From the edge at side B")]
    assert [f"to the centre of fastener {number}: 250 mm" in line for line in told] == ([True] if at_edge else [])
    assert ("nearest_edges" in [blank.as_built for blank in sheet.to_fill_in.once]) == at_edge
