"""What the crew is told: the order of the work, resin, depths, amounts, and what yields no sheet."""

from __future__ import annotations

import copy
import math
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.rulebook import plain
from service.site.sheet import NoSheet, make
from service.site.sheet.content import FixingSheet, duration
from tests.site.sheet_cases import REQUESTS, book, fixing, job, made

ORDER = [
    "tools",
    "surface",
    "mark",
    "scan",
    "drill",
    "clean",
    "resin",
    "set",
    "cure",
    "tighten",
    "check",
    "failed_hole",
    "removal",
]


def only(name: str, **how: Any) -> FixingSheet:
    return made(name, **how).sheet.fixings[0]


def text_of(sheet: FixingSheet, code: str) -> str:
    return " | ".join(line.text for step in sheet.steps if step.code == code for line in step.lines)


@pytest.mark.parametrize("name", REQUESTS)
def test_steps_stand_in_the_order_of_the_work(name: str) -> None:
    codes = [step.code for step in only(name).steps]
    assert codes == [code for code in ORDER if code in codes]
    assert {"tools", "surface", "set", "check", "failed_hole", "removal"} <= set(codes)
    bonded = REQUESTS[name]["fastener"]["family"].startswith("bonded")
    assert ({"resin", "cure"} <= set(codes)) == bonded
    assert ("drill" in codes) == (name != "studs")


def test_sides_go_by_letters_and_by_the_words_of_the_caller() -> None:
    """Guardrail post: edges 200 mm from the origin, bolts at 75 mm, so 125 mm to the nearest."""
    own = only("guardrail", side_names={"x_plus": "ahead of you"})
    sides = {side.letter: side for side in own.sides}
    assert [side.name for side in own.sides] == ["y_plus", "x_plus", "y_minus", "x_minus"]
    assert (sides["B"].own_words, sides["D"].own_words) == ("ahead of you", None)
    assert sides["B"].to_edge is not None
    assert sides["B"].to_edge.value == 200 - 75
    assert "Edge at side B (ahead of you) to the middle of the nearest fastener: 125 mm" in text_of(own, "mark")
    assert "D: left of the plan" in text_of(own, "mark")
    titles = [distance.title for distance in own.distances]
    assert "Nearest fastener to the edge at side B (ahead of you)" in titles
    assert not any("+x" in title for title in titles)
    plain_sheet = only("guardrail")
    assert "Edge at side B (right of the plan)" in text_of(plain_sheet, "mark")


def test_guardrail_bolt_by_hand() -> None:
    """The figures of the family's file, M12 with 70 mm: hole 12 by 95, fixture 15, 115 long, 82 in the concrete."""
    sheet = only("guardrail")
    assert "Drill 12 mm wide and 95 mm deep" in text_of(sheet, "drill")
    assert "stop at 110 mm from its top" in text_of(sheet, "drill")
    assert "embedment of at least 82 mm" in text_of(sheet, "set")
    assert "no more than 18 mm stand out" in text_of(sheet, "set")
    assert "Tighten to 50 N·m with a calibrated torque wrench" in text_of(sheet, "tighten")
    assert "from 47.5 N·m to 52.5 N·m" in text_of(sheet, "check")


def test_a_head_on_a_thin_fixture_asks_for_a_deeper_hole() -> None:
    """Common practice, no source: a screw of 100 mm through 10 mm reaches 90 mm, 5 mm more than nominal."""
    sheet = only("screw near a corner")
    assert sheet.hole_depth is not None
    assert sheet.hole_depth.value == 95 + 90 - 85
    assert "reaches 90 mm" in text_of(sheet, "drill")
    assert "stop at 110 mm" in text_of(sheet, "drill")


def test_no_sheet_where_the_deeper_hole_leaves_too_little_concrete() -> None:
    request = copy.deepcopy(REQUESTS["sleeves"])
    row = book().families["sleeve-hexagon-zinc"]["sizes"]["M10"]["embedments"]["70"]
    request["member"]["thickness_mm"] = row["limits"]["member_thickness_min_mm"]
    request["fastener"]["length_mm"] = 110
    with pytest.raises(NoSheet, match="choose a shorter length") as found:
        make([job(request)])
    assert [(r.code, r.pointer) for r in found.value.reasons] == [("hole_too_deep", "#/fixings/0/fastener/length_mm")]


def test_no_sheet_without_the_thickness_of_the_fixture() -> None:
    request = copy.deepcopy(REQUESTS["guardrail"])
    del request["fixture"]["thickness_mm"]
    with pytest.raises(NoSheet, match="measure it"):
        make([job(request)])


def test_a_failing_one_among_several_is_named() -> None:
    heavy = copy.deepcopy(REQUESTS["nylon"])
    heavy["load_cases"][0]["normal_kn"] = 50
    jobs = [job(REQUESTS["guardrail"], index=0), job(heavy, index=1)]
    with pytest.raises(NoSheet, match="simplified_resultant under 'service'") as found:
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
    assert [row.holds for row in resin.rows] == [row in near for row in rows]


def test_at_the_border_of_two_ranges_the_worse_time_of_each_holds() -> None:
    """The family's file: 5 to 10 °C 12 and 120 min, 10 to 20 °C 8 and 90 min."""
    resin = only("resin", temperature_c=10).resin
    assert resin is not None
    assert (resin.working and resin.working.value, resin.curing and resin.curing.value) == (8, 120)


def test_a_wet_hole_cures_longer() -> None:
    """The family's file: 2880 min in a wet hole from 10 to 20 °C, which are 48 hours."""
    sheet = only("slow resin in a wet hole, grouted", temperature_c=15)
    assert "for 48 h (wet hole)" in text_of(sheet, "cure")


@pytest.mark.parametrize("temperature_c", [-5.1, 40.5, -40])
def test_no_sheet_outside_the_temperatures_of_the_resin(temperature_c: float) -> None:
    with pytest.raises(NoSheet, match="only from -5 °C to 40 °C") as found:
        made("resin", temperature_c=temperature_c)
    assert found.value.reasons[0].pointer == "#/concrete_temperature_c"


def test_a_temperature_does_not_matter_without_resin() -> None:
    assert only("guardrail", temperature_c=-30).resin is None


@given(st.integers(1, 300), st.integers(1, 300))
def test_amounts_are_enough_and_not_one_too_many(first: int, second: int) -> None:
    rules = plain(book().factors["installation"])
    resin, spares = rules["resin"], rules["spares"]
    sheet = make([job(REQUESTS["resin"], first, 0), job(REQUESTS["guardrail"], second, 1)]).sheet
    amounts = {(m.kind, m.article_code): m.quantity.number for m in sheet.materials}
    volume = book().families["bonded-rod-hybrid-fast"]["sizes"]["M16"]["embedments"]["125"]["resin_volume_ml"]
    needed = 4 * first * volume * (1 + resin["wastage_share"])
    usable = resin["cartridge_ml"] - resin["nozzles_per_cartridge"] * resin["discarded_ml"]
    cartridges = amounts["resin_cartridge", None]
    assert cartridges * usable >= needed - 1e-6
    assert (cartridges - 1) * usable < math.ceil(needed)
    for made_times, code in ((first, "DEMO-1209"), (second, "DEMO-0201")):
        extra = amounts["fastener", code] - 4 * made_times
        assert extra >= max(spares["fewest"], 4 * made_times * spares["share"] - 1e-9)
        assert extra < max(spares["fewest"], 4 * made_times * spares["share"]) + 1


def test_one_article_and_one_bit_for_fixings_that_share_them() -> None:
    jobs = [job(REQUESTS["guardrail"], 2, 0), job(REQUESTS["guardrail"], 3, 1)]
    sheet = make(jobs).sheet
    assert [(m.kind, m.for_fixings) for m in sheet.materials] == [("fastener", (1, 2)), ("bit", (1, 2))]
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
    assert codes["hole_cleaning"].endswith("verified")
    assert codes["torque_control"].endswith("calibrated wrench")
    assert codes["strength"].endswith("C30/37")
    assert "state" in {line.code for line in only("drop-ins overhead").on_site}
    assert "hole" in codes
    assert "hole" not in {line.code for line in only("studs").on_site}


def test_a_site_that_nobody_knows_asks_for_nothing() -> None:
    request = fixing(("screw-zinc", "10", 67), [(0, 0)], {"width_mm": 80, "depth_mm": 80, "thickness_mm": 10}, (1, 0))
    del request["site"], request["use"]
    request["member"] = {"thickness_mm": 300}
    request["use"] = {"exposure": "dry_internal"}
    sheet = make([job(request)]).sheet.fixings[0]
    assert [line.code for line in sheet.on_site] == ["member_thickness", "exposure"]


@pytest.mark.parametrize(
    ("minutes", "words"), [(8, "8 min"), (119, "119 min"), (120, "2 h"), (150, "2 h 30 min"), (2.5, "2.5 min")]
)
def test_times_are_written_without_rounding(minutes: float, words: str) -> None:
    assert duration(minutes) == words


def test_no_sheet_calls_a_fixing_safe() -> None:
    for name in REQUESTS:
        for step in only(name).steps:
            assert not any("safe " in line.text or line.text.endswith("safe") for line in step.lines)
