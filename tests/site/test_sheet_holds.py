"""What a sheet says first of what it holds: what the load model was told, and only where the loads follow from it."""

from __future__ import annotations

import copy
from typing import Any
from xml.etree.ElementTree import fromstring

import pytest

from service import verification
from service.contract.load_models import EXAMPLES
from service.site.load_models import MODELS, load_cases
from service.site.load_models.actions import moved_load
from service.site.load_models.inputs import NumberInput
from service.site.sheet import Job, NoSheet, drawing, make
from service.site.sheet.nearby import PUSH_LINE
from service.site.sheet.page import page
from tests.shipped import shipped_rules

SVG = "http://www.w3.org/2000/svg"
BOOK = shipped_rules()
POST = {
    "mounting": "top", "category": "E", "rail_height_mm": 1100, "post_spacing_mm": 1500, "rail": "jointed",
    "mass_kg": 18,
}  # fmt: skip


def fixing(found: dict[str, Any], loads: str = "load_cases") -> dict[str, Any]:
    return {
        "rulebook": BOOK.version,
        "assessed_on": "2026-11-30",
        "fastener": {"family": "bolt-expansion-stainless", "size": "M16", "embedment_mm": 100},
        "member": {"strength_class": "C30/37", "state": "cracked", "thickness_mm": 400},
        "positions": [{"x_mm": x, "y_mm": y} for x in (-150, 150) for y in (-150, 150)],
        "fixture": {
            "width_mm": 400, "depth_mm": 400, "thickness_mm": 25, "yield_mpa": 235,
            "attached_section": {"width_mm": 100, "depth_mm": 100, "profile": "hollow"},
        },
        loads: found[loads],
        "loads_from": [found["loads_from"]],
        "use": {"overhead": False, "exposure": "external", "hole": "dry", **found["use"]},
        "site": {"torque_control": "calibrated_wrench", "strength_evidence": "documented", "hole_cleaning": "verified",
                 "installer": "trained", "drilling": "hammer"},
    }  # fmt: skip


def asked(name: str, **inputs: Any) -> dict[str, Any]:
    return load_cases(name, {**inputs, "assessed_on": "2026-11-30"}, BOOK)


def sheet(request: dict[str, Any]) -> Any:
    answer = verification.verify(request, BOOK)
    return make([Job(request, answer, BOOK, (), 1, "/fixings/0")])


@pytest.mark.parametrize("loads", ["load_cases", "actions"])
def test_a_guardrail_is_told_in_the_terms_of_the_crew(loads: str) -> None:
    made = sheet(fixing(asked("guardrail_post", **POST), loads))
    lines = [line.text for line in made.sheet.fixings[0].holds]
    assert lines[0] == "For: Guardrail post"
    assert any(line.startswith("Who uses the place: ") and line.endswith(", 2 kN/m") for line in lines)
    assert "Height of the rail: no more than 1100 mm" in lines
    assert "Distance to the next post: 1500 mm" in lines
    # A nearer post on one side alone loads this one more, so that the second distance has to be seen as well.
    assert "Distance to the post behind: 1500 mm (nobody said, so taken)" in lines
    assert "The rail at this post: Ends or is jointed here" in lines
    assert "Which post: Between two others (nobody said, so taken)" in lines
    assert lines[-1].startswith("Nothing else hangs on it or pushes it; otherwise stop and ask. For the engineer, by")
    assert "On the whole fixture" not in " ".join(lines)
    shown = page(made).replace("\u00a0", " ")
    assert shown.index("Height of the rail: no more than 1100 mm") < shown.index("What is drilled and set")


def told_of(name: str, **inputs: Any) -> tuple[dict[str, Any], list[Any]]:
    found = asked(name, **inputs)
    request = fixing(found) | {"use": {"overhead": False, "exposure": "dry_internal", "hole": "dry", **found["use"]}}
    return found, list(sheet(request).sheet.fixings[0].holds)


def test_how_far_spans_beyond_may_be_is_told_with_the_figure_that_was_taken() -> None:
    """Only the company's longest span, which nobody told, is in the loads: a longer one loads this clamp more."""
    pipe = {"surface": "wall", "span_mm": 2400, "other_span_mm": 1500, "axis_off_surface_mm": 140,
            "mass_per_metre_kg": 32, "empty_mass_per_metre_kg": 15}  # fmt: skip
    found, lines = told_of("pipe_clamp", **pipe)
    taken = [one for one in found["assumptions"] if one["code"].startswith("no_longer_span")]
    [line] = [line for line in lines if line.code == taken[0]["code"]]
    [figure] = line.figures
    assert figure.number == taken[0]["figures"]["longest_mm"]
    assert f"farther apart than {figure.number:g} mm" in line.text
    assert figure.rule == "factors/load-models#/longest_pipe_span/span_mm"
    told = dict.fromkeys(("span_beyond_mm", "other_span_beyond_mm"), 2000)
    _, lines = told_of("pipe_clamp", **pipe, **told)
    [line] = [line for line in lines if line.code == "no_longer_span"]
    assert line.figures[0].from_ is not None
    assert line.figures[0].number == 2400


def test_what_a_rack_was_taken_to_carry_is_told_and_what_holds_it_down_as_the_least() -> None:
    rack = {"load_height_mm": 1500, "upright_spacing_mm": 1000, "frame_mass_kg": 140}
    found, lines = told_of("racking_upright", **rack)
    by_code = {line.code: line for line in lines}
    taken = {one["code"]: one["figures"] for one in found["assumptions"]}
    for code, name in (("placement_load_taken", "push_kn"), ("fork_uplift_together", "lift_kn")):
        [figure] = by_code[code].figures
        assert (figure.number, figure.unit) == (taken[code][name], "kN")
        assert figure.rule is not None
        assert figure.rule.startswith("factors/load-models#/racking/")
        assert f"{figure.number:g} kN" in by_code[code].text.replace("\u00a0", " ")
    texts = [line.text for line in lines]
    assert "Distance between the uprights: at least 1000 mm" in texts
    assert "Mass of the empty frame: at least 140 kg" in texts
    assert "Highest beam over the concrete: no more than 1500 mm" in texts
    _, lines = told_of("racking_upright", **rack, placement_load_kn=0.4, fork_uplift_kn=1)
    codes = {line.code: line for line in lines}
    assert "placement_load_taken" not in codes
    assert codes["fork_uplift_together"].figures[0].from_ is not None


def test_an_input_is_told_as_the_most_or_as_the_least_but_never_as_both() -> None:
    numbers = [one for model in MODELS.values() for one in model.inputs if isinstance(one, NumberInput)]
    assert not [one.name for one in numbers if one.most and one.least]


def test_what_a_load_model_was_told_wrongly_yields_no_sheet() -> None:
    """Posts at 2.5 m where 1.5 m were verified; and the load cases of another thing."""
    request = fixing(asked("guardrail_post", **POST))
    wider = copy.deepcopy(request)
    [spacing] = [one for one in wider["loads_from"][0]["told"] if one["input"] == "post_spacing_mm"]
    spacing["number"] = 2500
    other = request | {"load_cases": [{"name": "light", "normal_kn": 0.1}]}
    unknown = copy.deepcopy(request)
    unknown["loads_from"][0]["told"].append({"input": "moon_phase", "word": "full"})
    for wrong in (wider, other, unknown):
        with pytest.raises(NoSheet, match="do not follow from what its load model was told") as raised:
            sheet(wrong)
        assert [(reason.code, reason.pointer) for reason in raised.value.reasons] == [
            ("loads_differ", "#/fixings/0/loads_from/0/told")
        ]


PULLED = {"name": "hoist", "kind": "variable", "normal_kn": 6}


def acts_of(request: dict[str, Any]) -> list[str]:
    """What the sheet says of the whole fixture."""
    return [line.text for line in sheet(request).sheet.fixings[0].holds if line.code == "acts"]


@pytest.mark.parametrize(
    ("actions", "said"),
    [
        # By hand: 100 kg weigh a little under 1 kN.
        ([PULLED], ["On the whole fixture, without factors (hoist): 6 kN of pull (the weight of 600 kg)"]),
        # By hand: 1.2 kN towards −y, 250 mm off the concrete, turn about +x: M = r × F, 0.25·1.2 = 0.3 kNm.
        ([{"name": "shelf", "kind": "permanent", "shear_y_kn": -1.2, "moment_x_knm": 0.3}], [
            ("On the whole fixture, without factors (shelf): 1.2 kN towards side C (arrow L1; the weight of 120 kg) "
            "and a moment of 0.3 kNm, as of that push 250 mm off the concrete")]),
        # The same moment the other way round is of no push off the concrete: by the right hand it presses at +y.
        ([{"name": "shelf", "kind": "permanent", "shear_y_kn": -1.2, "moment_x_knm": -0.3}], [
            ("On the whole fixture, without factors (shelf): 1.2 kN towards side C (arrow L1; the weight of 120 kg) "
            "and a moment of 0.3 kNm that tilts it towards side A and lifts it at side C")]),
        # By hand: hypot(0.3, 0.4) = 0.5 kN; an accident counts as it is told. +z points at whoever looks at the plan.
        ([PULLED, {"name": "bump", "kind": "accidental", "shear_x_kn": 0.3, "shear_y_kn": 0.4, "torsion_knm": 0.1}], [
            "On the whole fixture, without factors (hoist): 6 kN of pull (the weight of 600 kg)",
            ("On the whole fixture in an accident (bump): 0.3 kN towards side B and at once 0.4 kN towards side A "
            "(arrow L1; together the weight of 50 kg) and a moment of 0.1 kNm that twists it anticlockwise on the "
            "plan")]),
    ],
)  # fmt: skip
def test_the_whole_fixture_is_told_what_acts_on_it(actions: list[dict[str, Any]], said: list[str]) -> None:
    """What one fastener gets comes out of a calculation: no crew can see or weigh it."""
    request = fixing(asked("guardrail_post", **POST))
    del request["loads_from"], request["load_cases"]
    request["actions"] = actions
    assert acts_of(request) == said
    holds = sheet(request).sheet.fixings[0].holds
    told = [line.code for line in holds if line.code in {"acts", "load_ways", "carries"}]
    assert told == ["acts"] * len(said) + ["load_ways", "carries"]


def with_cases(*cases: dict[str, Any]) -> dict[str, Any]:
    request = fixing(asked("guardrail_post", **POST))
    del request["loads_from"]
    request["load_cases"] = [{"name": f"case {number}", **case} for number, case in enumerate(cases, start=1)]
    return request


def test_of_several_design_load_cases_each_is_told_as_it_was_verified() -> None:
    """The most of each component together was never verified: 3 kN of pull with 1.5 kN towards side B is no case."""
    request = with_cases(
        {"normal_kn": 3, "shear_x_kn": 0.15}, {"normal_kn": -1, "shear_x_kn": 1.5, "moment_y_knm": -0.3}
    )
    # By hand, with γ_Q = 1.5 of the rules: 3 kN/1.5 = 2 kN or 200 kg, 1.5 kN/1.5 = 1 kN or 100 kg; pressing is no pull.
    assert acts_of(request) == [
        (
            "On the whole fixture, by design values (case 1), no more than: 3 kN of pull (without factors the weight "
            "of 200 kg) and 0.15 kN towards side B (arrow L1; without factors the weight of 10 kg)"
        ),
        (
            "On the whole fixture, by design values (case 2), no more than: 1.5 kN towards side B (arrow L2; without "
            "factors the weight of 100 kg) and a moment of 0.3 kNm that tilts it towards side D and lifts it at side B"
        ),
    ]
    apart = [line.text for line in sheet(request).sheet.fixings[0].holds if line.code == "one_at_a_time"]
    assert len(apart) == 1
    assert apart[0].startswith("Of the loads by design values only one at a time, as each was verified: never two")


def test_a_load_case_that_another_one_covers_is_not_told() -> None:
    """One that presses less is covered by none that presses more, as what presses holds the fixture on."""
    assert len(acts_of(with_cases({"shear_x_kn": 2, "normal_kn": 1}, {"shear_x_kn": 1, "normal_kn": -3}))) == 1
    assert len(acts_of(with_cases({"shear_x_kn": 2, "normal_kn": -3}, {"shear_x_kn": 1, "normal_kn": -1}))) == 2
    assert len(acts_of(with_cases({"shear_x_kn": 2}, {"shear_x_kn": -1}))) == 2
    assert len(acts_of(with_cases({"shear_x_kn": 1}, {"shear_x_kn": 2}))) == 1


def test_of_very_many_load_cases_the_largest_are_told_and_that_there_are_more() -> None:
    cases = [{"shear_x_kn": 0.1 * number, "shear_y_kn": 0.1 * (20 - number)} for number in range(1, 20)]
    said = acts_of(with_cases(*cases))
    assert len(said) == 13
    assert said[-1] == (
        "The 12 largest of 19 load cases that were verified stand here; for any other ask the engineer"
    )
    assert "1.9 kN towards side B" in said[0] + said[1]


@pytest.mark.parametrize(
    ("cases", "said"),
    [
        ([{"shear_x_kn": -2}],
         "Each only the way it says, as its arrow on the plan shows, and none towards side A, B or C"),
        ([{"shear_x_kn": one} for one in (-2, 2)] + [{"shear_y_kn": one} for one in (-2, 2)],
         "Each only the way it says, as its arrow on the plan shows: turned round"),
        ([{"normal_kn": 2}], "Only the way it says: no push or slanting pull towards any side"),
    ],
)  # fmt: skip
def test_that_a_load_acts_no_other_way_is_to_be_ticked(cases: list[dict[str, Any]], said: str) -> None:
    """Towards an edge on the other side far less may hold: the other way round nothing was verified."""
    [line] = [one for one in sheet(with_cases(*cases)).sheet.fixings[0].holds if one.code == "load_ways"]
    assert line.text.startswith(said)
    assert line.text.endswith("not verified, so stop and ask")


def test_the_plan_has_an_arrow_the_way_that_each_load_pushes() -> None:
    request = with_cases({"shear_x_kn": -2}, {"shear_x_kn": 1, "shear_y_kn": 1}, {"normal_kn": 1})
    made = sheet(request)
    drawn = fromstring(drawing.of_sheet(made))  # noqa: S314 our own drawing
    heavy = [one for one in drawn.iter(f"{{{SVG}}}line") if one.get("stroke-width") == PUSH_LINE]
    ways = [tuple(float(one.get(f"{axis}2", "")) - float(one.get(f"{axis}1", "")) for axis in "xy") for one in heavy]
    # By hand: towards −x, and up to the right at 45°; what only pulls has none.
    assert len(ways) == 2
    assert ways[0][0] < 0.0 == ways[0][1]
    assert ways[1][0] == pytest.approx(-ways[1][1], abs=0.02)
    assert ways[1][0] > 0.0
    named = [one.text for one in drawn.iter(f"{{{SVG}}}text") if (one.text or "").startswith("L")]
    assert sorted(name or "" for name in named if len(name or "") == 2) == ["L1", "L2"]


def test_actions_that_exclude_each_other_are_told_never_to_be_together() -> None:
    request = fixing(asked("guardrail_post", **POST))
    del request["loads_from"], request["load_cases"]
    request["actions"] = [
        {"name": "hoist", "kind": "variable", "normal_kn": 1, "excludes": ["rope"]},
        {"name": "rope", "kind": "variable", "shear_x_kn": 1, "excludes": ["hoist"]},
    ]
    lines = [line.text for line in sheet(request).sheet.fixings[0].holds if line.code == "one_at_a_time"]
    assert lines == ["hoist: never together with rope", "rope: never together with hoist"]


def test_what_acts_beside_a_thing_that_was_told_is_told_too() -> None:
    request = fixing(asked("guardrail_post", **POST), "actions")
    assert acts_of(request) == []
    request["actions"].append({"name": "sign on the post", "kind": "permanent", "shear_x_kn": 0.2})
    assert acts_of(request) == [
        (
            "On the whole fixture, without factors (sign on the post): 0.2 kN towards side B (arrow L1; the weight of "
            "20 kg)"
        )
    ]


def test_where_nothing_is_told_the_most_loaded_fastener_is() -> None:
    request = fixing(asked("guardrail_post", **POST))
    del request["loads_from"][0]["told"]
    apart, *acts, ways, presses, carries = sheet(request).sheet.fixings[0].holds
    assert {line.code for line in acts} == {"acts"}
    assert [line.code for line in (apart, ways, presses, carries)] == [
        "one_at_a_time", "load_ways", "presses", "carries",
    ]  # fmt: skip
    # By hand: the post of 18 kg under the higher factor, 1.35·0.1765 kN = 0.2383 kN; 0.2383/9.80665 = 24.3 kg.
    assert presses.text.startswith("It counts on 0.24 kN (25 kg) that press on the fixture all the while")


def test_weight_that_the_result_counts_on_has_to_be_there() -> None:
    request = fixing(asked("guardrail_post", **POST), "actions")
    request["fixture"]["thickness_mm"] = 40
    request["actions"].append({"name": "counterweight", "kind": "permanent", "normal_kn": -15, "holding_down": False})
    lines = [line.text for line in sheet(request).sheet.fixings[0].holds if line.code == "presses"]
    # By hand: 15 kN/9.80665 m/s² = 1 529.6 kg.
    assert any("15 kN (1530 kg)" in line and "(counterweight)" in line for line in lines), lines


@pytest.mark.parametrize(("field", "value"), [("sustained_share", 0), ("psi_0", 0.7)])
def test_a_load_that_is_said_to_act_less_than_the_load_model_has_it_is_another(field: str, value: float) -> None:
    part = "actions" if field == "psi_0" else "load_cases"
    found = (
        asked("wall_bracket", mass_kg=100, reach_mm=300) if part == "load_cases" else asked("guardrail_post", **POST)
    )
    request = fixing(found, part)
    changed = [one for one in request[part] if one["kind"] in {"design", "variable"}]
    for one in changed:
        one[field] = value
    with pytest.raises(NoSheet, match="loads of the request do not follow"):
        sheet(request)


@pytest.mark.parametrize(
    ("model", "value"), [(name, one["value"]) for name in MODELS for one in EXAMPLES[name].values()]
)
def test_what_a_load_model_tells_gives_its_loads_again(model: str, value: dict[str, Any]) -> None:
    found = asked(model, **value)
    given = {one["input"]: one["number"] if one["word"] is None else one["word"]
             for one in found["loads_from"]["told"] if not one["taken"]}  # fmt: skip
    assert given == {name: told for name, told in value.items() if told != "unknown"}
    assert asked(model, **given)["load_cases"] == found["load_cases"]


def test_the_sheet_says_which_side_is_up_or_outwards_where_its_load_model_knows() -> None:
    bracket = fixing(asked("wall_bracket", mass_kg=20, reach_mm=100))
    post = fixing(asked("guardrail_post", **POST))
    for request, named in (
        (bracket, {"y_plus": "up", "y_minus": "down"}),
        (post, {"x_plus": "outwards over the edge", "x_minus": "away from the edge"}),
    ):
        made = sheet(request)
        found = made.sheet.fixings[0]
        assert {side.name: side.own_words for side in found.sides if side.own_words} == named
        [letters] = [line.text for step in found.steps for line in step.lines if line.text.startswith("Hold the plan")]
        assert all(words in letters for words in named.values())
        assert all(words in page(made) for words in named.values())


def test_a_record_of_two_things_as_alternatives_yields_no_sheet() -> None:
    """Both hang there; each load case of the record is one of them alone."""
    bracket, hanger = asked("wall_bracket", mass_kg=20, reach_mm=100), asked("soffit_hanger", mass_kg=50, hangers=1)
    both = fixing(bracket) | {
        "load_cases": [*bracket["load_cases"], *hanger["load_cases"]],
        "loads_from": [bracket["loads_from"], hanger["loads_from"]],
    }
    with pytest.raises(NoSheet, match="alternatives and never added") as raised:
        sheet(both)
    assert [(reason.code, reason.pointer) for reason in raised.value.reasons] == [
        ("conflict", "#/fixings/0/use/overhead"), ("conflict", "#/fixings/0/loads_from/1"),
    ]  # fmt: skip


def test_a_load_that_moved_with_its_fixture_still_follows_from_its_load_model() -> None:
    request = fixing(asked("guardrail_post", **POST))
    moved = [moved_load(moved_load(case, 30.3, -7), 10, 0.7) for case in request["load_cases"]]
    beside = request | {"load_cases": moved, "built": {"load_moved": {"x_mm": 40.3, "y_mm": -6.3}}}
    assert sheet(beside).sheet.fixings[0].holds[0].text == "For: Guardrail post"
    with pytest.raises(NoSheet, match="do not follow"):
        sheet(request | {"load_cases": moved})


PIPE = {"span_mm": 2000, "other_span_mm": 2000, "mass_kg": 60, "held": "sliding_guide", "axis_off_surface_mm": 150}
RACK = {"load_height_mm": 2000, "upright_spacing_mm": 1000, "frame_mass_kg": 120}


@pytest.mark.parametrize(
    ("name", "inputs", "closed"),
    [
        ("racking_upright", RACK, False),
        ("guardrail_post", POST | {"category": "A"}, False),
        (
            "guardrail_post",
            POST | {"category": "A", "mounting": "side", "fixing_below_floor_mm": 400, "post_off_face_mm": 60},
            True,
        ),
        ("pipe_clamp", PIPE | {"surface": "wall"}, True),
        ("pipe_clamp", PIPE | {"surface": "soffit"}, True),
    ],
)
def test_the_place_beneath_is_closed_off_where_there_is_one(name: str, inputs: dict[str, Any], closed: bool) -> None:
    """Under a rack's foot nobody is, however many people the rack may fall on."""
    request = fixing(asked(name, **inputs))
    request["use"]["overhead"] = inputs.get("surface") == "soffit"
    if inputs.get("mounting") == "side":
        request["member"]["edges"] = {"y_plus_mm": inputs["fixing_below_floor_mm"], "y_minus_mm": 400}
    [made] = sheet(request).sheet.fixings
    [surface] = [step for step in made.steps if step.code == "surface"]
    codes = [line.code for line in surface.lines]
    assert ("closed_beneath" in codes) == closed
    # Who fixes what keeps people from falling works where nothing does yet.
    assert ("secured_at_edge" in codes) == (name == "guardrail_post")


@pytest.mark.parametrize(("surface", "runs"), [("wall", "from left to right"), ("soffit", "the way you look")])
def test_a_pipe_runs_as_the_plan_has_it(surface: str, runs: str) -> None:
    """Who stands in front of a wall looks into it, and no pipe runs there."""
    request = fixing(asked("pipe_clamp", **PIPE, surface=surface))
    request["use"]["overhead"] = surface == "soffit"
    [said] = [line.text for line in sheet(request).sheet.fixings[0].holds if "The pipe runs" in line.text]
    assert runs in said
