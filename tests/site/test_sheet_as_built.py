"""The sheet of a fixing that was changed while it was built: what stands, what is left to do, and what is known by now.

Lengths are worked by hand from the places; the rules are common practice, no source.
"""

from __future__ import annotations

from typing import Any
from xml.etree.ElementTree import fromstring

import pytest

from service.site.sheet import Job, Made, drawing, make
from service.site.sheet.content import FixingSheet
from tests.site.sheet_cases import REQUESTS, book, fixing, job, square
from tests.site.test_as_built import only_said

SVG = "http://www.w3.org/2000/svg"
PLATE = fixing(
    ("bolt-expansion-zinc", "M12", 70), square(150), {"width_mm": 400, "depth_mm": 400, "thickness_mm": 15}, (4, 1),
    None, {"thickness_mm": 300},
)  # fmt: skip
"""Four bolts far from any edge: 1 and 2 below on the plan, 3 and 4 above, 300 mm apart."""
BAR_MET = {"x_mm": 150, "y_mm": 150, "depth_mm": 20, "diameter_mm": 12, "refilled": True}
MEASURED = {"torque_nm": 55, "torque_tool": "calibrated_wrench", "nominal_embedment_mm": 82}
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
        "H1: aborted hole of this fixing, filled, Ø12 mm, 20 mm deep; 40 mm from fastener 4 (x 150 mm, y 150 mm)"
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
    assert (fourth[2], hole[2]) == ("#fff", "url(#all-steel)")


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
    [filled] = [line for line in step(sheet, "failed_hole") if line.startswith("Fill every aborted hole")]
    assert filled.startswith("Fill every aborted hole in the concrete with high-strength grout")
