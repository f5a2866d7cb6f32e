"""Load models by equilibrium: the forces on the thing, summed up apart from the service's own sums, are the load case.

Source: statics. Forces F at points r have the resultant ΣF and the moment Σ r × F about the origin (numpy's cross
product).
"""

# A case a row: the table is read down its columns.
# ruff: noqa: E501

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from service.contract import wanted
from service.contract.load_model_codes import Because
from service.contract.load_models import EXAMPLES
from service.site.load_models import MODELS, load_cases
from service.site.load_models.actions import Situation, Wrench
from service.site.load_models.cases import (
    actions_of,
    design_load_cases,
    sustained_share,
)
from service.site.load_models.inputs import NumberInput, RuleWord, Word, words_of
from service.verification.loads import loads_of
from tests.shipped import shipped_rules

RULEBOOK = shipped_rules()
G_N = 9.80665e-3
COMPONENTS = ("normal_kn", "shear_x_kn", "shear_y_kn", "moment_x_knm", "moment_y_knm", "torsion_knm")
Vector = Sequence[float] | NDArray[np.float64]
Loads = Sequence[tuple[Vector, Vector]]
"""Forces in kN with the points they act at in m."""

lengths = st.floats(10, 3000).map(lambda value: round(value, 3))
masses = st.floats(1, 2000).map(lambda value: round(value, 3))
forces = st.floats(0.01, 20).map(lambda value: round(value, 4))
few = settings(max_examples=25, deadline=None)


AXES = np.eye(3)
ALONG_THE_SHAFT = {
    "x": {"to +x (along)": 1, "to −x (along)": -1},
    "y": {"to +y (across)": 1, "to −y (across)": -1},
    "z": {"up": 1, "down": -1},
}
ACROSS_THE_SHAFT = {"x": "yz", "y": "zx", "z": "xy"}


def in_full_both_ways(plane: str) -> dict[str, NDArray[np.float64]]:
    """A force in full along both axes of a plane."""
    one, other = (AXES["xyz".index(axis)] for axis in plane)
    return {
        f"to {'+−'[x < 0]}{plane[0]} and {'+−'[y < 0]}{plane[1]}": x * one + y * other
        for x, y in ((1, 1), (-1, 1), (-1, -1), (1, -1))
    }


def eight_ways(plane: str) -> dict[str, NDArray[np.float64]]:
    """Corners of the octagon about a circle of radius 1, its sides square to the axes (geometry)."""
    one, other = (AXES["xyz".index(axis)] for axis in plane)
    corner = 1.0 / math.cos(math.pi / 8)
    angles = (22.5 + 45 * step for step in range(8))
    return {
        f"{angle:g}° in {plane}": corner * (math.cos(math.radians(angle)) * one + math.sin(math.radians(angle)) * other)
        for angle in angles
    }


def swings(shaft: str | None, *, crowded: bool) -> dict[str, NDArray[np.float64]]:
    """Each way that what moves pushes, of a shaft that is told or of any."""
    ways = in_full_both_ways if crowded else eight_ways
    planes = ACROSS_THE_SHAFT.values() if shaft is None else (ACROSS_THE_SHAFT[shaft],)
    found = {f"swing {to}": way for plane in planes for to, way in ways(plane).items()}
    if shaft is not None:
        axis = AXES["xyz".index(shaft)]
        found |= {f"swing {to}": sense * axis for to, sense in ALONG_THE_SHAFT[shaft].items()}
    return found


def in_line(count: int) -> float:
    """Share of an inner one of a stiff thing over several spans, 10/8 of a span (statics), levelled."""
    return 1.0 if count == 1 else 1.25 / max(2, count - 1)


def answer(model: str, **inputs: Any) -> dict[str, Any]:
    return load_cases(model, {**inputs, "assessed_on": "2026-11-25"}, RULEBOOK)


def resultant(loads: Loads) -> dict[str, float]:
    """Sum forces and their moments about the origin."""
    total = np.sum([np.asarray(force) for force, _ in loads], axis=0)
    moment = np.sum([np.cross(point, force) for force, point in loads], axis=0)
    return dict(zip(COMPONENTS, (total[2], total[0], total[1], *moment), strict=True))


def action(found: dict[str, Any], situation: str, part: str) -> dict[str, float]:
    [match] = [entry for entry in found["situations"] if entry["situation"] == situation]
    components: dict[str, float] = match[part]
    return components


def balanced(found: dict[str, Any], situation: str, permanent: Loads, variable: Loads) -> None:
    """Hold the characteristic actions of a situation, and the design load cases made of them, against the sums."""
    at_rest, moving = resultant(permanent), resultant(variable)
    assert action(found, situation, "permanent") == near(at_rest)
    assert action(found, situation, "variable") == near(moving)
    # EN 1990, Table A1.2(A): weight that presses and so keeps the balance counts 0.9 times; Table A1.2(B) else.
    least = 0.9 if at_rest["normal_kn"] < 0 else 1.0
    for words, factor in (("weight high", 1.35), ("weight low", least)):
        for case in found["load_cases"]:
            if case["name"] == f"{situation}, design, {words}":
                wanted = {name: factor * at_rest[name] + 1.5 * moving[name] for name in COMPONENTS}
                assert {name: case[name] for name in COMPONENTS} == near(wanted)


def near(components: dict[str, float]) -> Any:
    """Six digits are published, so the last may differ."""
    largest = max(abs(value) for value in components.values())
    return pytest.approx(components, rel=1e-5, abs=1e-5 * largest)


@few
@given(
    height=st.floats(300, 3000), below=st.floats(0, 500), spacing=st.floats(200, 4000), mass=masses, along=forces,
    line=st.floats(0.2, 5),
)  # fmt: skip
def test_guardrail_post_on_top(
    height: float, below: float, spacing: float, mass: float, along: float, line: float
) -> None:
    found = answer(
        "guardrail_post", mounting="top", line_load_kn_per_m=line, rail_height_mm=height, post_spacing_mm=spacing,
        fixing_below_floor_mm=below, mass_kg=mass, along_kn=along,
    )  # fmt: skip
    at, at_the_rail = (0, 0, (min(height, 1200) + below) / 1000), (0, 0, (height + below) / 1000)
    weight = [((0, 0, -mass * G_N), (0, 0, 0.5))]
    for words, sense in (("outwards", 1), ("inwards", -1)):
        for way, sign in (("one way", 1), ("the other way", -1)):
            # Inner post of a rail over two spans: 10/8 of one (statics).
            rail = [((sense * 1.25 * line * spacing / 1000, 0, 0), at), ((0, sign * along, 0), at_the_rail)]
            balanced(found, f"guard load {words} and along {way}", weight, rail)


@few
@given(
    height=st.floats(300, 3000), below=st.floats(0, 500), off=st.floats(0, 300), mass=masses, along=forces,
    line=st.floats(0.2, 5),
)  # fmt: skip
def test_guardrail_post_at_the_side(
    height: float, below: float, off: float, mass: float, along: float, line: float
) -> None:
    found = answer(
        "guardrail_post", mounting="side", line_load_kn_per_m=line, rail_height_mm=height, post_spacing_mm=1000,
        fixing_below_floor_mm=below, post_off_face_mm=off, mass_kg=mass, along_kn=along, rail="jointed",
    )  # fmt: skip
    at, at_the_rail = ((0, (up + below) / 1000, off / 1000) for up in (min(height, 1200), height))
    weight = [((0, -mass * G_N, 0), (0, 0.3, off / 1000))]
    for words, sense in (("outwards", 1), ("inwards", -1)):
        for way, sign in (("one way", 1), ("the other way", -1)):
            rail = [((0, 0, sense * line), at), ((sign * along, 0, 0), at_the_rail)]
            balanced(found, f"guard load {words} and along {way}", weight, rail)


@few
@given(mass=masses, reach=lengths, own=masses, own_reach=lengths, share=st.floats(0.1, 0.9), count=st.integers(1, 6))
def test_wall_bracket(mass: float, reach: float, own: float, own_reach: float, share: float, count: int) -> None:
    found = answer(
        "wall_bracket", mass_kg=mass, reach_mm=reach, bracket_mass_kg=own, bracket_reach_mm=own_reach,
        permanent_share=share, brackets=count, levelling="levelled",
    )  # fmt: skip
    part = mass * G_N * in_line(count)
    on = (0, 0, reach / 1000)
    balanced(
        found,
        "loaded bracket",
        [((0, -own * G_N, 0), (0, 0, own_reach / 1000)), ((0, -part * share, 0), on)],
        [((0, -part * (1 - share), 0), on)],
    )


@few
@given(mass=masses, own=masses, share=st.floats(0.1, 0.9), count=st.integers(1, 6))
def test_soffit_hanger(mass: float, own: float, share: float, count: int) -> None:
    found = answer(
        "soffit_hanger", mass_kg=mass, hanger_mass_kg=own, permanent_share=share, hangers=count, levelling="levelled"
    )
    part = mass * G_N * in_line(count)
    here = (0, 0, 0.2)
    balanced(
        found,
        "hanging load",
        [((0, 0, own * G_N), here), ((0, 0, part * share), here)],
        [((0, 0, part * (1 - share)), here)],
    )


@few
@given(load=forces, height=st.floats(500, 12_000), spacing=st.floats(600, 2000), mass=masses, fork=forces)
def test_racking_upright(load: float, height: float, spacing: float, mass: float, fork: float) -> None:
    """The whole frame is in balance: its two feet carry weight and load, and turn against the tipping."""
    found = answer(
        "racking_upright", placement_load_kn=load, load_height_mm=height, upright_spacing_mm=spacing,
        frame_mass_kg=mass, fork_uplift_kn=fork,
    )  # fmt: skip
    lifted = action(found, "load towards the other upright", "variable")["normal_kn"]
    pressed = action(found, "load away from the other upright", "variable")["normal_kn"]
    weight = action(found, "load towards the other upright", "permanent")["normal_kn"]
    here, there = (0, 0, 0), (spacing / 1000, 0, 0)
    on_the_frame = [
        ((load, 0, 0), (0, 0, height / 1000)),
        ((0, 0, -mass * G_N), (spacing / 2000, 0, height / 2000)),
        ((-load, 0, -lifted - weight), here),
        ((0, 0, -pressed - weight), there),
    ]
    scale = load * height / 1000 + mass * G_N
    assert resultant(on_the_frame) == pytest.approx(dict.fromkeys(COMPONENTS, 0.0), abs=1e-5 * scale)
    for way in ("towards", "away from"):
        placed = action(found, f"load {way} the other upright", "variable")
        caught = action(found, f"load {way} the other upright, fork lifts", "variable")
        # Each figure is published with six digits, so the sum of two may be off by one of each.
        slack = 1e-5 * (abs(placed["normal_kn"]) + fork)
        assert caught["normal_kn"] == pytest.approx(placed["normal_kn"] + fork, abs=slack)
        assert caught | {"normal_kn": 0} == near(placed | {"normal_kn": 0})


@few
@given(
    span=st.floats(500, 6000), off=lengths, full=st.floats(1, 300),
    dry=st.floats(0.01, 0.99), along=forces, surface=st.sampled_from(["soffit", "wall"]),
)  # fmt: skip
def test_pipe_clamp(span: float, off: float, full: float, dry: float, along: float, surface: str) -> None:
    """Jointed here between equal spans, a support carries half of each (statics)."""
    found = answer(
        "pipe_clamp", surface=surface, span_mm=span, other_span_mm=span, axis_off_surface_mm=off,
        mass_per_metre_kg=full, empty_mass_per_metre_kg=full * dry, along_kn=along, support="jointed",
        held="sliding_guide", span_beyond_mm=span, other_span_beyond_mm=span,
    )  # fmt: skip
    weight = full * span / 1000 * G_N
    down = np.array((0, 0, 1) if surface == "soffit" else (0, -1, 0))
    axis = (0, 0, off / 1000)
    for way, sign in (("one way", 1), ("the other way", -1)):
        balanced(
            found,
            f"full pipe, pushed along {way}",
            [(down * weight * dry, axis)],
            [(down * weight * (1 - dry), axis), ((sign * along, 0, 0), axis)],
        )


@few
@given(
    mass=masses, height=lengths, x=st.floats(-500, 500), y=st.floats(-500, 500), torque=forces, push=forces, at=lengths,
    shaft=st.sampled_from("xyz"),
)  # fmt: skip
def test_machine_base(
    mass: float, height: float, x: float, y: float, torque: float, push: float, at: float, shaft: str
) -> None:
    found = answer(
        "machine_base", mass_kg=mass, centre_height_mm=height, centre_x_mm=x, centre_y_mm=y, machine="reciprocating",
        torque_knm=torque, shaft=shaft, horizontal_kn=push, horizontal_height_mm=at,
    )  # fmt: skip
    assert len(found["load_cases"]) <= 100
    centre = (x / 1000, y / 1000, height / 1000)
    weight = mass * G_N
    axis = "xyz".index(shaft)
    for name, way in in_full_both_ways("xy").items():
        for words, swing in swings(shaft, crowded=True).items():
            for turn, sense in (("one way", 1), ("other way", -1)):
                # A torque is a pair of forces; 2 · torque apart by 1 m, at the dynamic factor 2 of the rulebook.
                arm, pull = np.roll(np.eye(3), axis, axis=1)[1:]
                pair = sense * 2.0 * torque * pull
                balanced(
                    found,
                    f"push {name}, {words}, torque {turn}",
                    [((0, 0, -weight), centre)],
                    [
                        (weight * swing, centre),
                        (2.0 * push * way, (0, 0, at / 1000)),
                        (pair, tuple(arm / 2)),
                        (-pair, tuple(-arm / 2)),
                    ],
                )


@few
@given(
    mass=masses, height=lengths, push=st.floats(0.01, 5), axis=st.sampled_from(["any", "x", "y"]),
    shaft=st.sampled_from(["none", "x", "y", "z"]),
)  # fmt: skip
def test_a_push_takes_no_load_case_of_a_machine_away(
    mass: float, height: float, push: float, axis: str, shaft: str
) -> None:
    """Each way that what moves pushes is there with the push added, each way that it may act.

    Beside a swing a push whose way is not known acts in full along both axes, as the swing does, within 100 load cases.
    """
    turning = {} if shaft == "none" else {"torque_knm": 0.4, "shaft": shaft}
    machine = {"mass_kg": mass, "centre_height_mm": height, "machine": "rotating_unbalanced"} | turning
    pushed = answer("machine_base", **machine, horizontal_kn=push, horizontal_direction=axis)
    there = {entry["situation"]: entry["variable"] for entry in pushed["situations"]}
    crowded = axis == "any"
    ways = {to: sense * AXES["xyz".index(axis)] for to, sense in ALONG_THE_SHAFT[axis].items()} if not crowded else {}
    moved = swings(None if shaft == "none" else shaft, crowded=crowded)
    place = (0, 0, height / 1000)
    turn = AXES["xyz".index(shaft)] * 1.5 * 0.4 if turning else AXES[0] * 0
    for words, swing in moved.items():
        for to, way in (ways or in_full_both_ways("xy")).items():
            # The dynamic factor 1.5 of the rulebook: half of the weight swings, and the push is half as much again.
            wanted = resultant([(0.5 * mass * G_N * swing, place), (1.5 * push * way, place)])
            for name, moment in zip(COMPONENTS[3:], turn, strict=True):
                wanted[name] += moment
            assert there[f"push {to}, {words}{', torque one way' if turning else ''}"] == near(wanted)
    assert len(there) == len(moved) * len(ways or "four") * (2 if turning else 1)
    told = [note["code"] for note in pushed["assumptions"]]
    assert ("push_in_full_both_ways" in told) is crowded
    names = [case["name"] for case in pushed["load_cases"]]
    assert len(names) <= 100
    assert max(map(len, names)) <= 80


@few
@given(
    towards=st.floats(0, 360), shaft=st.sampled_from(["none", "x", "y", "z"]),
    kind=st.sampled_from(["no_moving_parts", "rotating_balanced"]),
)  # fmt: skip
def test_a_push_any_way_lies_among_those_taken(towards: float, shaft: str, kind: str) -> None:
    """Along any direction some load case reaches the whole push (geometry)."""
    turning = {} if shaft == "none" else {"torque_knm": 0.4, "shaft": shaft}
    found = answer("machine_base", mass_kg=60, centre_height_mm=300, machine=kind, horizontal_kn=2, **turning)
    along = (math.cos(math.radians(towards)), math.sin(math.radians(towards)))
    most = max(case["shear_x_kn"] * along[0] + case["shear_y_kn"] * along[1] for case in found["load_cases"])
    factor = 1.0 if kind == "no_moving_parts" else 1.25
    assert most >= 1.5 * factor * 2 * (1 - 1e-5)


@few
@given(towards=st.floats(0, 360), shaft=st.sampled_from("xyz"))
def test_what_turns_pushes_any_way_across_its_shaft(towards: float, shaft: str) -> None:
    """A force that turns with an upright shaft was taken along the axes alone: 29 % short at 45 degrees (geometry)."""
    found = answer(
        "machine_base", mass_kg=60, centre_height_mm=300, machine="reciprocating", torque_knm=0.4, shaft=shaft
    )
    one, other = ("xyz".index(axis) for axis in ACROSS_THE_SHAFT[shaft])
    names = ("shear_x_kn", "shear_y_kn", "normal_kn")
    weight = 60 * G_N
    reached = max(
        entry["variable"][names[one]] * math.cos(math.radians(towards))
        + entry["variable"][names[other]] * math.sin(math.radians(towards))
        for entry in found["situations"]
    )
    assert weight * (1 - 1e-5) <= reached <= weight / math.cos(math.pi / 8) * (1 + 1e-5)


def test_the_smallest_push_leaves_the_swing_across_it() -> None:
    """10 N along the base once took the swing across it away; 400 kg swing with 1.0 times their weight at 600 mm.

    Across the base alone that is a side of the octagon, so its corners reach it.
    """
    machine = {"mass_kg": 400, "centre_height_mm": 600, "machine": "reciprocating"}
    for more in ({}, {"horizontal_kn": 0.01, "horizontal_direction": "x"}):
        found = answer("machine_base", **machine, **more)
        across = max(abs(case["moment_x_knm"]) for case in found["load_cases"])
        assert across == pytest.approx(1.5 * 400 * G_N * 0.6, rel=1e-5)


@pytest.mark.parametrize(
    ("model", "without", "more"),
    [
        ("guardrail_post", {"mounting": "top", "category": "E", "rail_height_mm": 1000, "post_spacing_mm": 1000}, {"along_kn": 0.3}),
        ("guardrail_post", {"mounting": "side", "category": "E", "rail_height_mm": 1000, "post_spacing_mm": 1000, "fixing_below_floor_mm": 100, "post_off_face_mm": 50, "mass_kg": 20}, {"along_kn": 0.3}),
        ("racking_upright", {"load_height_mm": 3000, "upright_spacing_mm": 1000, "fork_uplift_kn": 0}, {"fork_uplift_kn": 2}),
        ("pipe_clamp", {"surface": "wall", "mass_kg": 60, "span_mm": 2000, "other_span_mm": 2000, "held": "sliding_guide", "axis_off_surface_mm": 150, "along_kn": 0}, {"along_kn": 0.5}),
        ("pipe_clamp", {"surface": "soffit", "mass_kg": 60, "span_mm": 2000, "other_span_mm": 2000, "held": "sliding_guide", "axis_off_surface_mm": 150, "along_kn": 0}, {"along_kn": 0.5}),
        ("machine_base", {"mass_kg": 60, "centre_height_mm": 300, "machine": "reciprocating", "shaft": "x"}, {"torque_knm": 0.1}),
        ("machine_base", {"mass_kg": 60, "centre_height_mm": 300, "machine": "reciprocating"}, {"horizontal_kn": 0.01, "horizontal_direction": "y"}),
    ],
)  # fmt: skip
def test_one_more_load_leaves_every_load_case_at_least_as_it_was(
    model: str, without: dict[str, Any], more: dict[str, Any]
) -> None:
    """Every component of every load case is reached, or passed, by some load case with the further load."""
    before, after = answer(model, **without)["load_cases"], answer(model, **without | more)["load_cases"]
    for case in before:
        named = [name for name in COMPONENTS if case[name] != 0]
        assert any(
            all(math.copysign(1.0, case[name]) * (other[name] - case[name]) >= -1e-4 for name in named)
            for other in after
        ), case["name"]


@few
@given(pull=forces, angle=st.floats(1, 90), azimuth=st.floats(-180, 180).map(round), eye=st.floats(0, 200))
def test_eyebolt(pull: float, angle: float, azimuth: float, eye: float) -> None:
    angle = round(angle, 2)
    found = answer(
        "eyebolt", surface="top_of_slab", pull_kn=pull, lifting="power_hoist", angle_degrees=angle,
        azimuth_degrees=azimuth, eye_height_mm=eye,
    )  # fmt: skip
    tilt, turn = math.radians(angle), math.radians(azimuth)
    rope = np.array((math.sin(tilt) * math.cos(turn), math.sin(tilt) * math.sin(turn), math.cos(tilt)))
    [entry] = found["situations"]
    assert entry["situation"].startswith(f"pull at {angle:g}°, leaning to {azimuth:g}°")
    balanced(
        found, entry["situation"], [((0, 0, 0), (0, 0, 0))],
        [(1.6 * pull * rope, (0, 0, eye / 1000))],
    )  # fmt: skip
    assert found["load_cases"][0]["normal_kn"] == pytest.approx(1.5 * 1.6 * pull * math.cos(tilt), rel=1e-5, abs=1e-9)


def test_an_eyebolt_pulled_nobody_knows_which_way_is_pulled_every_way() -> None:
    found = answer("eyebolt", surface="soffit", pull_kn=2, angle_degrees=45, eye_height_mm=40)
    directions = {round(math.degrees(math.atan2(c["shear_y_kn"], c["shear_x_kn"]))) % 360 for c in found["load_cases"]}
    assert directions == set(range(0, 360, 30))
    # Each way between is covered: the corners of a polygon of twelve about the circle (geometry).
    most = [math.hypot(c["shear_y_kn"], c["shear_x_kn"]) for c in found["load_cases"]]
    pull = 1.5 * 1.6 * 2 * math.sin(math.radians(45))
    assert most == pytest.approx([pull / math.cos(math.radians(15))] * 12, rel=1e-5)


def test_what_the_rulebook_words_unknown_costs_most() -> None:
    known = [
        answer("eyebolt", surface="soffit", pull_kn=2, angle_degrees=0, eye_height_mm=0, lifting=word)
        for word in RULEBOOK.factors["load-models"]["lifting"]
    ]
    unknown = answer("eyebolt", surface="soffit", pull_kn=2, angle_degrees=0, eye_height_mm=0)
    largest = max(found["load_cases"][0]["normal_kn"] for found in known)
    assert unknown["load_cases"][0]["normal_kn"] == largest
    taken = {assumption["code"]: assumption["figures"] for assumption in unknown["assumptions"]}["lifting_not_given"]
    worst = RULEBOOK.factors["load-models"]["lifting"][taken["taken"]]["dynamic_factor"]
    assert worst == max(entry["dynamic_factor"] for entry in RULEBOOK.factors["load-models"]["lifting"].values())


def test_what_is_taken_for_an_input_is_a_number_in_its_unit_or_a_word_of_its_list() -> None:
    """Every input of every load model that something is taken for, held against what the model asks for."""
    seen = set()
    for model in MODELS.values():
        request = model.given({})
        for assumption in request.assumptions((), RULEBOOK):
            figures = assumption.statement.figures
            asked = request.inputs[str(figures["input"])]
            if isinstance(asked, NumberInput):
                assert figures["taken"] == asked.default
                assert figures["unit"] == (None if asked.unit == "1" else asked.unit)
            else:
                assert isinstance(asked, RuleWord | Word)
                allowed = words_of(RULEBOOK, asked) if isinstance(asked, RuleWord) else asked.values
                assert (figures["taken"] in allowed, figures["unit"]) == (True, None)
            seen.add(figures["because"])
    assert seen - {None} == set(Because)


def test_the_reason_of_what_is_taken_stands_in_the_sentence() -> None:
    post = {"mounting": "top", "category": "E", "rail_height_mm": 1100, "post_spacing_mm": 1200}
    taken = {one["code"]: one for one in answer("guardrail_post", **post)["assumptions"]}
    assert taken["along_kn_not_given"]["figures"] == {
        "input": "along_kn", "taken": 0, "unit": "kN", "because": "no_such_force",
    }  # fmt: skip
    assert taken["along_kn_not_given"]["text"] == "along_kn not given: 0 kN, no such force"
    assert taken["rail_not_given"]["text"] == "rail not given: runs_on, which loads the post more"


@few
@given(share=st.floats(0.01, 0.99), pull=forces)
def test_actions_of_one_direction_come_to_the_largest_design_load_case(share: float, pull: float) -> None:
    whole = Wrench(normal_kn=pull, shear_x_kn=0.3 * pull)
    situation = Situation("any", whole * share, whole * (1 - share))
    actions = tuple(wanted.made(wanted.Action, each) for each in actions_of([situation], "Thing"))
    fixing = wanted.made(wanted.Fixing, FIXTURE_ONLY)
    found = loads_of(replace(fixing, actions=actions), RULEBOOK).combinations
    largest = max(case["normal_kn"] for case in design_load_cases([situation], RULEBOOK))
    assert max(each.components.normal_kn for each in found) == pytest.approx(largest, rel=1e-4)


FIXTURE_ONLY = {
    "assessed_on": "2026-11-25",
    "member": {"thickness_mm": 200},
    "fixture": {"width_mm": 100, "depth_mm": 100},
}


def test_what_varies_in_a_situation_excludes_what_varies_in_the_others() -> None:
    weight = Wrench(normal_kn=-2.0)
    pushed = [Situation(name, weight, Wrench(shear_x_kn=way)) for name, way in (("left", -1.0), ("right", 1.0))]
    found = actions_of(pushed, "Thing")
    assert [(each["name"], each["kind"], each.get("excludes")) for each in found] == [
        ("weight, thing", "permanent", None), ("left", "variable", ["right"]), ("right", "variable", ["left"]),
    ]  # fmt: skip
    assert found[0]["holding_down"]


def test_a_thing_without_actions_to_post_has_none_and_no_empty_list() -> None:
    """Posted beside the load cases an empty list is refused."""
    found = answer("machine_base", mass_kg=60, centre_height_mm=300, machine="reciprocating")
    assert found["actions"] is None
    assert found["load_cases"]


def test_actions_are_left_out_where_no_request_could_have_them() -> None:
    many = [Situation(str(number), Wrench(normal_kn=1.0), Wrench(shear_x_kn=number)) for number in range(1, 13)]
    assert actions_of(many, "Thing") == []
    assert len(actions_of(many[:-1], "Thing")) == 12
    alone = [Situation("a", Wrench(normal_kn=1.0), Wrench()), Situation("b", Wrench(), Wrench())]
    assert actions_of(alone, "Thing") == []


def test_actions_of_several_things_can_be_posted_together() -> None:
    """Each called its weight "weight", and two of them were refused for it (duplicate_name)."""
    found = [answer(model, **next(iter(each.values()))["value"])["actions"] or [] for model, each in EXAMPLES.items()]
    names = Counter(action["name"] for actions in found for action in actions)
    assert [name for name, times in names.items() if times > 1] == []
    weights = [action for actions in found for action in actions if action["kind"] == "permanent"]
    # A weight presses, or it is said that it holds nothing down.
    assert [action["holding_down"] for action in weights] == [action["normal_kn"] < 0 for action in weights]
    assert {action["holding_down"] for action in weights} == {True, False}


def test_what_only_presses_is_left_out_while_something_pulls() -> None:
    situations = [
        Situation("pressed", Wrench(normal_kn=-1.0), Wrench(normal_kn=-1.0)),
        Situation("pulled", Wrench(normal_kn=-1.0), Wrench(normal_kn=3.0)),
    ]
    names = [case["name"] for case in design_load_cases(situations, RULEBOOK)]
    assert names == ["pulled, design, weight high", "pulled, design, weight low"]
    [alone] = design_load_cases(situations[:1], RULEBOOK)
    assert alone["normal_kn"] == -2.85


@pytest.mark.parametrize(
    ("sustained", "total", "share"),
    [
        (Wrench(normal_kn=1), Wrench(normal_kn=4), 0.25),
        (Wrench(normal_kn=-1), Wrench(normal_kn=-1, moment_x_knm=2), 0.0),
        (Wrench(normal_kn=1, moment_y_knm=1), Wrench(normal_kn=4, moment_y_knm=2), 0.5),
        (Wrench(moment_x_knm=-1), Wrench(moment_x_knm=2), 0.0),
        (Wrench(moment_x_knm=-1), Wrench(moment_x_knm=2, moment_y_knm=1), 1.0),
        (Wrench(normal_kn=1), Wrench(normal_kn=-1), 1.0),
        (Wrench(moment_x_knm=3), Wrench(moment_x_knm=2), 1.0),
        (Wrench(), Wrench(normal_kn=1), 0.0),
    ],
)
def test_sustained_share_is_the_highest_of_pull_and_moments(sustained: Wrench, total: Wrench, share: float) -> None:
    assert sustained_share(sustained, total) == share


def _says_its_unit(asked: Any) -> bool:
    """Whether the name ends in the unit; of one metre of a thing its mass is told."""
    ending = "_per_metre_kg" if asked.unit == "kg/m" else f"_{asked.unit.lower()}".replace("/m", "_per_m")
    return bool(asked.name.endswith(ending))


@pytest.mark.parametrize("model", MODELS.values(), ids=lambda model: model.name)
def test_every_input_says_its_unit_range_and_what_leaving_it_out_means(model: Any) -> None:
    for asked in model.inputs:
        assert asked.words.endswith(".")
        assert not re.search(r"[a-z]_[a-z]", f"{asked.words} {asked.absent or ''}")
        if hasattr(asked, "unit"):
            assert asked.minimum < asked.maximum
            assert asked.unit == "1" or _says_its_unit(asked)
        if asked.default is not None:
            assert asked.absent is not None


@pytest.mark.parametrize("model", MODELS.values(), ids=lambda model: model.name)
def test_every_input_has_a_short_title_of_its_own_without_its_unit(model: Any) -> None:
    titles = [asked.title for asked in model.inputs]
    assert len(set(titles)) == len(titles)
    for asked in model.inputs:
        name = asked.title.partition(", ")[0]
        assert 2 <= len(name.split()) <= 6
        assert name[0].isupper()
        assert "_" not in name
        if getattr(asked, "unit", "1") != "1":
            assert re.search(rf"\b{asked.unit}\b", asked.title) is None
        for title in getattr(asked, "titles", {}).values():
            assert 1 <= len(title.split()) <= 8
            assert "_" not in title
