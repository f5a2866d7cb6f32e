"""Machine base: weight at height, torque, a push, and an equivalent static action in place of what moves."""

from __future__ import annotations

from collections.abc import Iterator

from service.contract.load_model_codes import Because, Note, StepCode
from service.contract.things import CAUTIONS_OF
from service.rulebook import Rulebook
from service.site.load_models.actions import MM_PER_M, Situation, Wrench, force
from service.site.load_models.directions import Way, octagon, square
from service.site.load_models.inputs import Condition, Crew, Given, NumberInput, RuleWord, Where, Word
from service.site.load_models.model import CrewOfThing, LoadModel, ModelActions, Plate, Working
from service.site.load_models.surfaces import BASE_ON_SLAB
from service.words import Statement

TURNED = Where("torque_knm", Condition.ABOVE, above=0.0)
PUSHED = Where("horizontal_kn", Condition.ABOVE, above=0.0)
ALONG = {"x": "along", "y": "across"}
PLANE_OF = {"x": "yz", "y": "zx", "z": "xy"}
"""Plane across the shaft, in which what turns with it pushes."""
AXES = {"x": (1.0, 0.0, 0.0), "y": (0.0, 1.0, 0.0), "z": (0.0, 0.0, 1.0)}

INPUTS = (
    NumberInput(
        "mass_kg",
        "Mass of the whole machine",
        "Mass of machine, motor and base frame, as they stand on this one fixture.",
        unit="kg",
        minimum=0.5,
        maximum=500_000,
    ),
    NumberInput(
        "centre_height_mm",
        "Centre of mass over the concrete",
        "Height of the centre of mass over the concrete.",
        unit="mm",
        minimum=0,
        maximum=20_000,
    ),
    NumberInput(
        "centre_x_mm",
        "Centre of mass, along the base",
        "How far the centre of mass lies from the origin along the base (x), negative the other way.",
        default=0,
        because=Because.OVER_THE_ORIGIN,
        crew=Crew(
            label="Centre of mass ahead of the middle of the plate",
            hint="Seen from where you stand; with a minus where it lies towards you.",
            left_empty="it lies over the middle of the plate",
            directed=True,
        ),
        unit="mm",
        minimum=-10_000,
        maximum=10_000,
    ),
    NumberInput(
        "centre_y_mm",
        "Centre of mass, across the base",
        "How far the centre of mass lies from the origin across the base (y), to the left of x seen from above; "
        "negative the other way.",
        default=0,
        because=Because.OVER_THE_ORIGIN,
        crew=Crew(
            label="Centre of mass to the left of the middle of the plate",
            hint="Seen from where you stand; with a minus where it lies to the right.",
            left_empty="it lies over the middle of the plate",
            directed=True,
        ),
        unit="mm",
        minimum=-10_000,
        maximum=10_000,
    ),
    RuleWord(
        "machine",
        "Kind of machine",
        "Kind of machine, which sets the dynamic factor.",
        absent="what costs most in the rulebook",
        crew=Crew(
            left_empty="the least favourable of these", first=True, hint="Sets how much is added for what moves in it."
        ),
        default="unknown",
        because=Because.COSTS_MOST,
        file="load-models",
        table="machines",
        figure="dynamic_factor",
    ),
    NumberInput(
        "torque_knm",
        "Largest torque",
        "Largest torque in service that the base has to hold; acts either way.",
        default=0,
        because=Because.NO_TORQUE,
        crew=Crew(first=True),
        unit="kNm",
        most=True,
        minimum=0,
        maximum=1000,
    ),
    Word(
        "shaft",
        "How the shaft runs",
        "Which way the shaft runs; needed with a torque. What turns with it pushes any way across it.",
        absent="any way, and refused where there is a torque",
        needed_where=TURNED,
        crew=Crew(hint="Which way the shaft runs. What turns with it pushes any way across it.", first=True),
        titles={"x": "Along the base", "y": "Across the base", "z": "Upright"},
    ),
    NumberInput(
        "horizontal_kn",
        "Push of pipes or belts",
        "Characteristic horizontal force in service, of pipes or belts.",
        default=0,
        because=Because.NOTHING_PUSHES,
        unit="kN",
        most=True,
        minimum=0,
        maximum=5000,
        crew=Crew(hint="Sideways push of pipes or belts in service."),
    ),
    Word(
        "horizontal_direction",
        "Which way they push",
        "Along or across the base; the push acts either way. Where it is not known, it may act any way.",
        absent="any way, and each way between is covered",
        default="any",
        because=Because.EVERY_WAY,
        only_where=PUSHED,
        titles={"any": "Not known, or both", "x": "Along the base", "y": "Across the base"},
    ),
    NumberInput(
        "horizontal_height_mm",
        "Height of push over the concrete",
        "Height of that force over the concrete.",
        absent="the height of the centre of mass",
        only_where=PUSHED,
        unit="mm",
        most=True,
        minimum=0,
        maximum=20_000,
    ),
)


def _find(given: Given, rulebook: Rulebook, working: Working) -> ModelActions:
    mass = working.given("m", StepCode.MASS, given.figure("mass_kg"), "kg")
    weight = working.weight("G_k", StepCode.WEIGHT, mass, "m")
    height = working.given("h", StepCode.HEIGHT_OF_THE_CENTRE_OF_MASS, given.figure("centre_height_mm"), "mm")
    place = {"x_mm": given.figure("centre_x_mm"), "y_mm": given.figure("centre_y_mm"), "z_mm": height}
    working.given("x_G", StepCode.X_OF_THE_CENTRE_OF_MASS, place["x_mm"], "mm")
    working.given("y_G", StepCode.Y_OF_THE_CENTRE_OF_MASS, place["y_mm"], "mm")
    factor = working.ruled("φ", StepCode.DYNAMIC_FACTOR, given.chosen("machine", rulebook), "1")
    swing = working.step("D_k", StepCode.WHAT_MOVES, (factor - 1.0) * weight, "kN", "(φ − 1)·G_k")
    torques = _torques(given, working, factor)
    anywhere = given.figure("horizontal_kn") > 0.0 and given.word("horizontal_direction") == "any"
    crowded = anywhere and swing > 0.0
    pushes = _pushes(given, working, factor, crowded=crowded)
    working.step("M_D", StepCode.OVERTURNING_BY_WHAT_MOVES, swing * height / MM_PER_M, "kNm", "D_k·h/1000")
    permanent = force(z_kn=-weight, **place)
    still = swing == 0.0 and given.figure("horizontal_kn") == 0.0
    situations = tuple(
        Situation(_name(way, swung, turn), permanent, moving + push + torque, stays=push + torque)
        for way, push in pushes
        for turn, torque in torques
        for swung, moving in _swings(given, swing, place, crowded=crowded)
    )
    notes = (
        Statement(Note.AXES_OF_THE_BASE),
        Statement(Note.WHOLE_BASE_IS_ONE_FIXTURE),
        Statement(Note.SERVICE_TORQUE_STAYS),
        *((Statement(Note.PUSH_IN_FULL_BOTH_WAYS),) if crowded else ()),
        *((Statement(Note.NOTHING_PUSHES_SIDEWAYS),) if still else ()),
    )
    idle = () if given.figure("horizontal_kn") > 0.0 else ("horizontal_direction",)
    return ModelActions(BASE_ON_SLAB, situations, notes, idle)


def _name(*parts: str) -> str:
    return ", ".join(part for part in parts if part) or "at rest"


def _swings(given: Given, swing_kn: float, place: dict[str, float], *, crowded: bool) -> Iterator[tuple[str, Wrench]]:
    """What moves, as a static force at the centre of mass: any way across the shaft, which may be any, and along it."""
    if swing_kn == 0.0:
        yield "", Wrench()
        return
    shafts = (given.word("shaft"),) if given.has("shaft") else tuple(PLANE_OF)
    for shaft in shafts:
        plane = PLANE_OF[shaft]
        for name, first, second in square(plane) if crowded else octagon(plane):
            yield f"swing {name}", _towards(plane, first * swing_kn, second * swing_kn, place)
    if len(shafts) == 1:
        for words, sense in _senses(shafts[0]):
            yield f"swing {words}", _towards(f"{shafts[0]}{shafts[0]}", sense * swing_kn, 0.0, place)


def _towards(plane: str, first_kn: float, second_kn: float, place: dict[str, float]) -> Wrench:
    """A force along the two axes of a plane, at the centre of mass."""
    along = [first_kn * one + second_kn * other for one, other in zip(AXES[plane[0]], AXES[plane[1]], strict=True)]
    return force(*along, **place)


def _senses(axis: str) -> tuple[tuple[str, float], ...]:
    """Both ways along an axis."""
    if axis == "z":
        return ("up", 1.0), ("down", -1.0)
    return (f"to +{axis} ({ALONG[axis]})", 1.0), (f"to −{axis} ({ALONG[axis]})", -1.0)


def _pushes(given: Given, working: Working, factor: float, *, crowded: bool) -> list[tuple[str, Wrench]]:
    """The horizontal force with its dynamic factor, each way that it may act."""
    push = working.given("H", StepCode.HORIZONTAL_FORCE_IN_SERVICE, given.figure("horizontal_kn"), "kN")
    if push == 0.0:
        return [("", Wrench())]
    load = working.step("H_k", StepCode.DYNAMIC_HORIZONTAL_FORCE, factor * push, "kN", "φ·H")
    at = given.figure("horizontal_height_mm" if given.has("horizontal_height_mm") else "centre_height_mm")
    working.given("h_H", StepCode.HEIGHT_OF_THE_HORIZONTAL_FORCE, at, "mm")
    return [
        (f"push {name}", force(x_kn=load * x, y_kn=load * y, z_mm=at))
        for name, x, y in _ways(given.word("horizontal_direction"), crowded=crowded)
    ]


def _ways(axis: str, *, crowded: bool) -> tuple[Way, ...]:
    """Name and direction of each way that a push may act."""
    if axis != "any":
        x, y, _ = AXES[axis]
        return tuple((words, sense * x, sense * y) for words, sense in _senses(axis))
    return square("xy") if crowded else octagon("xy")


def _torques(given: Given, working: Working, factor: float) -> list[tuple[str, Wrench]]:
    """The torque with its dynamic factor, either way."""
    torque = working.given("T", StepCode.TORQUE_IN_SERVICE, given.figure("torque_knm"), "kNm")
    if torque == 0.0:
        return [("", Wrench())]
    load = working.step("T_k", StepCode.DYNAMIC_TORQUE, factor * torque, "kNm", "φ·T")
    component = {"x": "moment_x_knm", "y": "moment_y_knm", "z": "torsion_knm"}[given.word("shaft")]
    return [
        ("torque one way", Wrench(**{component: load})),
        ("torque other way", Wrench(**{component: -load})),
    ]


MODEL = LoadModel(
    name="machine_base",
    title="Machine base",
    words="A machine on a slab or plinth: its weight at height, torque and push either way, and (φ − 1) times its "
    "weight in place of what moves: any way across the shaft, and along it, with every push and torque. A push whose "
    "way is not known acts any way. Any way is eight ways, each so much harder (8 %) that it covers what lies between.",
    inputs=INPUTS,
    surfaces=(BASE_ON_SLAB,),
    find=_find,
    cautions=CAUTIONS_OF["machine_base"],
    crew=CrewOfThing(
        words="A machine on a slab or plinth: its weight, its torque and what pushes it, and a force for what moves in "
        "it, any way across its shaft and along it. What only presses is left out.",
        example=Plate(500, 400, 20, 400, 300, 300, 200),
    ),
)
