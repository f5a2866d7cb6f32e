"""Machine base: weight at height, torque, a push, and an equivalent static action in place of what moves."""

from __future__ import annotations

from collections.abc import Iterator
from math import sqrt

from service.rulebook import Rulebook
from service.site.load_models.actions import MM_PER_M, Situation, Wrench, force
from service.site.load_models.inputs import Given, NumberInput, RuleWord, Word, needed, unwanted
from service.site.load_models.model import Disagreement, LoadModel, ModelActions, Working
from service.site.load_models.surfaces import BASE_ON_SLAB

SIDEWAYS = (
    ("+x (along)", 1.0, 0.0),
    ("−x (along)", -1.0, 0.0),
    ("+y (across)", 0.0, 1.0),
    ("−y (across)", 0.0, -1.0),
)
BOTH_WAYS = (("+x and +y", 1.0, 1.0), ("−x and +y", -1.0, 1.0), ("−x and −y", -1.0, -1.0), ("+x and −y", 1.0, -1.0))
AT_45_DEGREES = tuple((f"{name} (45°)", x * sqrt(0.5), y * sqrt(0.5)) for name, x, y in BOTH_WAYS)
IN_FULL_BOTH_WAYS = (
    "push_in_full_both_ways",
    (
        "Which way the push acts is not known, and beside a torque and what swings every way would be more load cases "
        "than a request holds: it was taken in full along and across the base at once, which covers every way and is "
        "up to 41 % too much. Give horizontal_direction where it is known"
    ),
)

INPUTS = (
    NumberInput(
        "mass_kg",
        "Mass of the whole machine, kg",
        "Mass of machine, motor and base frame, as they stand on this one fixture.",
        unit="kg",
        minimum=0.5,
        maximum=500_000,
    ),
    NumberInput(
        "centre_height_mm",
        "Height of the centre of mass, mm",
        "Height of the centre of mass over the concrete.",
        unit="mm",
        minimum=0,
        maximum=20_000,
    ),
    NumberInput(
        "centre_x_mm",
        "Centre of mass, along the base, mm",
        "How far the centre of mass lies from the origin along the base (x), negative the other way.",
        absent="0, over the origin",
        default=0,
        unit="mm",
        minimum=-10_000,
        maximum=10_000,
    ),
    NumberInput(
        "centre_y_mm",
        "Centre of mass, across the base, mm",
        "How far the centre of mass lies from the origin across the base (y), to the left of x seen from above; "
        "negative the other way.",
        absent="0, over the origin",
        default=0,
        unit="mm",
        minimum=-10_000,
        maximum=10_000,
    ),
    RuleWord(
        "machine",
        "Kind of machine",
        "Kind of machine, which sets the dynamic factor.",
        absent="what costs most in the rulebook",
        default="unknown",
        file="load-models",
        table="machines",
        figure="dynamic_factor",
    ),
    NumberInput(
        "torque_knm",
        "Largest torque, kNm",
        "Largest torque in service that the base has to hold; acts either way.",
        absent="0, no torque leaves the machine",
        default=0,
        unit="kNm",
        minimum=0,
        maximum=1000,
    ),
    Word(
        "shaft",
        "How the shaft runs",
        "Which way the shaft runs; needed with a torque.",
        absent="refused where there is a torque",
        titles={"x": "Along the base (x)", "y": "Across the base (y)", "z": "Upright (z)"},
    ),
    NumberInput(
        "horizontal_kn",
        "Push of pipes or belts, kN",
        "Characteristic horizontal force in service, of pipes or belts.",
        absent="0, none",
        default=0,
        unit="kN",
        minimum=0,
        maximum=5000,
    ),
    Word(
        "horizontal_direction",
        "Which way they push",
        "Along or across the base; the push acts either way. Where it is not known, it may act any way.",
        absent="any way, so along, across and at 45 degrees between",
        default="any",
        titles={"any": "Not known, or both", "x": "Along the base (x)", "y": "Across the base (y)"},
    ),
    NumberInput(
        "horizontal_height_mm",
        "Height of that push, mm",
        "Height of that force over the concrete.",
        absent="the height of the centre of mass",
        unit="mm",
        minimum=0,
        maximum=20_000,
    ),
)


NOTHING_PUSHES = (
    "nothing_pushes_sideways",
    (
        "Nothing was said to push it sideways or to move in it, so only its weight is left: people who lean on it, a "
        "knock, pipes that pull and water that shifts are not in these loads; give a push where any of them can be"
    ),
)


def _disagree(given: Given) -> Iterator[Disagreement]:
    torque = given.figure("torque_knm") > 0.0
    yield from needed(given, "shaft", torque, "where there is a torque_knm")
    yield from unwanted(given, "shaft", not torque, "where there is no torque_knm")
    push = given.figure("horizontal_kn") > 0.0
    for name in ("horizontal_direction", "horizontal_height_mm"):
        yield from unwanted(given, name, not push, "where there is no horizontal_kn")


def _find(given: Given, rulebook: Rulebook, working: Working) -> ModelActions:
    mass = working.given("m", "mass", given.figure("mass_kg"), "kg")
    weight = working.weight("G_k", "weight", mass, "m")
    height = working.given("h", "height of the centre of mass", given.figure("centre_height_mm"), "mm")
    place = {"x_mm": given.figure("centre_x_mm"), "y_mm": given.figure("centre_y_mm"), "z_mm": height}
    working.given("x_G", "x of the centre of mass", place["x_mm"], "mm")
    working.given("y_G", "y of the centre of mass", place["y_mm"], "mm")
    factor = working.ruled("φ", "dynamic factor", given.chosen("machine", rulebook), "1")
    swing = working.step(
        "D_k", "what moves, as a static force at the centre of mass", (factor - 1.0) * weight, "kN", "(φ − 1)·G_k"
    )
    torques = _torques(given, working, factor)
    anywhere = given.figure("horizontal_kn") > 0.0 and given.word("horizontal_direction") == "any"
    crowded = anywhere and swing > 0.0 and len(torques) > 1
    pushes = _pushes(given, working, factor, crowded=crowded)
    working.step("M_D", "overturning of D_k sideways about the origin", swing * height / MM_PER_M, "kNm", "D_k·h/1000")
    permanent = force(z_kn=-weight, **place)
    still = swing == 0.0 and given.figure("horizontal_kn") == 0.0
    situations = tuple(
        Situation(_name(way, swung, turn), permanent, moving + push + torque, stays=push + torque)
        for way, push in pushes
        for turn, torque in torques
        for swung, moving in _swings(swing, place)
    )
    notes = (
        (
            "axes_of_the_base",
            "x runs along the base as it is drawn and y across it, to the left of x seen from above",
        ),
        ("whole_base_is_one_fixture", "The whole base is one fixture with all its fasteners, stiff enough for that"),
        ("service_torque_stays", "Torque and push stay for long; what swings does not"),
        *((IN_FULL_BOTH_WAYS,) if crowded else ()),
        *((NOTHING_PUSHES,) if still else ()),
    )
    idle = () if given.figure("horizontal_kn") > 0.0 else ("horizontal_direction",)
    return ModelActions(BASE_ON_SLAB, situations, notes, idle)


def _name(*parts: str) -> str:
    return ", ".join(part for part in parts if part) or "at rest"


def _swings(swing_kn: float, place: dict[str, float]) -> Iterator[tuple[str, Wrench]]:
    """What moves, as a static force at the centre of mass: up, down and each way, whichever way anything pushes."""
    if swing_kn == 0.0:
        yield "", Wrench()
        return
    yield "swing up", force(z_kn=swing_kn, **place)
    yield "swing down", force(z_kn=-swing_kn, **place)
    for name, x, y in SIDEWAYS:
        yield f"swing to {name}", force(x_kn=swing_kn * x, y_kn=swing_kn * y, **place)


def _pushes(given: Given, working: Working, factor: float, *, crowded: bool) -> list[tuple[str, Wrench]]:
    """The horizontal force with its dynamic factor, each way that it may act."""
    push = working.given("H", "horizontal force in service", given.figure("horizontal_kn"), "kN")
    if push == 0.0:
        return [("", Wrench())]
    load = working.step("H_k", "horizontal force with the dynamic factor", factor * push, "kN", "φ·H")
    at = given.figure("horizontal_height_mm" if given.has("horizontal_height_mm") else "centre_height_mm")
    working.given("h_H", "height of the horizontal force", at, "mm")
    ways = BOTH_WAYS if crowded else _ways(given.word("horizontal_direction"))
    return [(f"push to {name}", force(x_kn=load * x, y_kn=load * y, z_mm=at)) for name, x, y in ways]


def _ways(axis: str) -> tuple[tuple[str, float, float], ...]:
    """Name and direction of each way that a push may act."""
    if axis == "any":
        return SIDEWAYS + AT_45_DEGREES
    return tuple(way for way in SIDEWAYS if axis in way[0])


def _torques(given: Given, working: Working, factor: float) -> list[tuple[str, Wrench]]:
    """The torque with its dynamic factor, either way."""
    torque = working.given("T", "torque in service", given.figure("torque_knm"), "kNm")
    if torque == 0.0:
        return [("", Wrench())]
    load = working.step("T_k", "torque with the dynamic factor", factor * torque, "kNm", "φ·T")
    component = {"x": "moment_x_knm", "y": "moment_y_knm", "z": "torsion_knm"}[given.word("shaft")]
    return [
        ("torque one way", Wrench(**{component: load})),
        ("torque other way", Wrench(**{component: -load})),
    ]


MODEL = LoadModel(
    name="machine_base",
    title="Machine base",
    words="A machine on a slab or plinth: its weight at height, torque and push either way, and (φ − 1) times its "
    "weight in place of what moves: each way along and across the base, up and down, with every push and torque. A "
    "push whose way is not known acts at 45 degrees too.",
    inputs=INPUTS,
    surfaces=(BASE_ON_SLAB,),
    disagree=_disagree,
    find=_find,
    cautions=("fatigue_and_vibration_not_checked", "starting_and_short_circuit"),
)
