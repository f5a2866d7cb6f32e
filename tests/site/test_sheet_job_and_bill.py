"""What a sheet must not leave out: whose job it is, what it holds, cautions, and what is bought, each and in total."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import pytest

from service import verification
from service.rulebook import Rulebook
from service.site.sheet import Job, Made, as_json, drawing, make
from service.site.sheet.content import FixingSheet
from service.site.sheet.page import page
from tests.shipped import shipped_rules
from tests.site.sheet_cases import REQUESTS, job, made


def only(name: str) -> FixingSheet:
    return made(name).sheet.fixings[0]


def text_of(sheet: FixingSheet, code: str) -> str:
    return " | ".join(line.text for step in sheet.steps if step.code == code for line in step.lines)


JOB = {
    "structure": "Pumping station 4",
    "drawing": "PS4-S-210",
    "revision": "C",
    "issued_by": "the works engineer",
    "call": "the works engineer, 555 0100",
}


def test_a_sheet_begins_with_the_job_and_whom_to_call() -> None:
    told = make([job(REQUESTS["resin"] | {"job": JOB})])
    assert as_json(told.sheet.fixings[0].job) == JOB
    shown = page(told)
    for text in (*JOB.values(), "Where this sheet says stop or ask, call: the works engineer, 555 0100"):
        assert text in shown.replace("\u00a0", " ")
    assert "call the works engineer, 555 0100 before anything else" in text_of(told.sheet.fixings[0], "drill")
    untold = page(made("resin"))
    assert "call: ____" in untold
    assert "Drawing: ____" in untold


def test_the_job_decides_nothing_and_lies_in_the_digest() -> None:
    """As the name of the fixing does: the record says which drawing it stands for, and cannot be moved to another."""
    bare, told = job(REQUESTS["resin"]).answer, job(REQUESTS["resin"] | {"job": JOB}).answer
    assert bare["record"]["id"] != told["record"]["id"]
    assert {n: v for n, v in bare.items() if n != "record"} == {n: v for n, v in told.items() if n != "record"}


@pytest.mark.parametrize("name", REQUESTS)
def test_what_it_holds_stands_before_any_figure_and_is_the_most_that_a_fastener_carries(name: str) -> None:
    sheet, answer = only(name), job(REQUESTS[name]).answer
    forces = [one for case in answer["fastener_forces"] for one in case["fasteners"]]
    [line] = [line for line in sheet.holds if line.code == "carries"]
    pull, shear = line.figures
    pulled = max(one["tension_kn"] for one in forces)
    assert pulled - 1e-9 <= pull.number <= pulled + 0.01
    most = max(math.hypot(one["shear_x_kn"], one["shear_y_kn"]) for one in forces)
    assert most - 1e-9 <= shear.number <= most + 0.01
    # A crew weighs: without its factor of 1.5 (EN 1990, Table A1.2(B), from memory), 100 kg weigh a little under 1 kN.
    [acts] = [line for line in sheet.holds if line.code == "acts"]
    assert sheet.holds.index(acts) < sheet.holds.index(line)
    figures = {figure.name: figure for figure in acts.figures}
    [case] = REQUESTS[name]["load_cases"]
    whole = {"pull_kn": max(0.0, case.get("normal_kn", 0)), "push_x_plus_kn": case.get("shear_x_kn", 0)}
    assert {name for name in whole if whole[name]} == figures.keys() & whole.keys()
    for weight, force in (("hanging_kg", "pull_kn"), ("pushing_kg", "push_x_plus_kn")):
        if force in figures:
            mass = figures[weight].number
            assert figures[force].number == whole[force]
            assert 1.5 * mass * 9.81 / 1000 <= whole[force] < 1.5 * (mass + 1) * 10 / 1000
            assert f"without factors the weight of {mass:g} kg" in acts.text
    shown = page(made(name))
    assert shown.index("What it holds") < shown.index("What it rests on") < shown.index("What is drilled and set")


@pytest.mark.parametrize("name", [name for name in REQUESTS if name != "studs"])
def test_asbestos_services_bars_and_props_are_told(name: str) -> None:
    """Common practice, no source."""
    sheet = only(name)
    steps = {step.code: [line.code for line in step.lines] for step in sheet.steps}
    assert steps["surface"][0] == "asbestos_or_lead"
    assert "services_isolated" in steps["scan"]
    assert "bar_hit" in steps["drill"]
    assert steps["removal"][0] == "propped"


def test_what_is_cast_in_is_propped_too_before_it_is_removed() -> None:
    assert text_of(only("studs"), "removal").startswith("Prop or hang up what it holds before anything is undone")


CHECKOUT = shipped_rules()


def by(book: Rulebook, name: str, count: int = 3) -> Made:
    request = {**REQUESTS[name], "rulebook": book.version}
    return make([Job(request, verification.verify(request, book), book, (), count, "/fixings/0")])


def without_screw_in(value: Any) -> Any:
    """Families as rules of before have them."""
    if isinstance(value, Mapping):
        return {name: without_screw_in(one) for name, one in value.items() if not name.startswith("screw_in")}
    return value


def test_a_bolt_for_a_sleeve_has_a_class_and_a_length() -> None:
    """By hand: 500 MPa and 400 are 5.8 (ISO 898-1, from memory); a plate of 6 mm and 10 to 18 mm in the sleeve."""
    sheet = by(CHECKOUT, "drop-ins overhead").sheet
    [bolt] = [material for material in sheet.materials if material.kind == "bolt"]
    assert "M10, of property class 5.8 or higher, 16 mm to 24 mm long under the head besides its washer" in bolt.title
    assert [(share.fixing, share.quantity.number) for share in bolt.per_fixing] == [(1, 2)]
    assert bolt.quantity.number == 7
    assert "Bolt or rod screwed 10 mm to 18 mm into the sleeve" in text_of(sheet.fixings[0], "tighten")
    # Rules of before say nothing of it, and the crew is sent to the assessment.
    before = by(replace(CHECKOUT, families=without_screw_in(CHECKOUT.families)), "drop-ins overhead").sheet
    [old] = [material.title for material in before.materials if material.kind == "bolt"]
    assert "how far the assessment has it screwed in" in old


def test_nozzles_last_no_longer_than_the_resin_is_worked() -> None:
    """By hand from the rulebook: 3 minutes a rod; 9 minutes at 12 °C are 3 rods a nozzle, 2 at 35 °C are one.

    33 fixings of four are 132 rods and 14 spares, in 146 holes of 15 ml, with a fifth more: 2628 ml. Each nozzle takes
    20 ml more out of the cartridges of 400 ml.
    """
    for degrees, nozzles in ((12, 49), (35, 146), (None, 146)):
        bill = {one.kind: one for one in make([job(REQUESTS["resin"], 33)], temperature_c=degrees).sheet.materials}
        assert bill["mixing_nozzle"].quantity.number == nozzles
        needed = 2628 + nozzles * 20
        assert bill["resin_cartridge"].quantity.number == math.ceil(needed / 400)
        assert f"for {needed} ml: 2190 ml in the holes and those of spares, 438 ml for wastage" in (
            bill["resin_cartridge"].title
        )
    few = {one.kind: one for one in make([job(REQUESTS["resin"], 1)], temperature_c=12).sheet.materials}
    assert (few["resin_cartridge"].quantity.number, few["mixing_nozzle"].quantity.number) == (1, 2)


def test_the_least_spacing_is_printed_for_the_crew() -> None:
    sheet = only("guardrail")
    [spacing] = [entry for entry in sheet.distances if entry.code == "smallest_spacing"]
    assert spacing.least is not None
    said = f"The least spacing that the assessment allows at all is {spacing.least.number:g} mm"
    assert said in page(made("guardrail")).replace("\u00a0", " ")


def test_an_undercut_bolt_is_drawn_with_its_sleeve() -> None:
    """Its sleeve is as wide as the hole; no other bolt whose thread shows has one drawn."""
    assert drawing.of_sheet(made("undercut in a corner")).count('fill="#bbb"') == 2
    assert drawing.of_sheet(made("nine in a thick plate")).count('fill="#bbb"') == 1
