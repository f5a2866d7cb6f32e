"""Racking upright: a placement load at height tips a frame of two uprights; one of them lifts."""

from __future__ import annotations

from dataclasses import replace

from service.contract.load_model_codes import Because, Note, StepCode
from service.contract.things import CAUTIONS_OF
from service.rulebook import Rulebook
from service.site.load_models.actions import Situation, Wrench, force
from service.site.load_models.inputs import Crew, Given, NumberInput, figure_of
from service.site.load_models.model import CrewOfThing, LoadModel, ModelActions, Plate, Working
from service.site.load_models.surfaces import UPRIGHT_ON_SLAB
from service.words import Statement

INPUTS = (
    NumberInput(
        "placement_load_kn",
        "Push while goods are put in",
        "Characteristic horizontal load while goods are put in, across the rack or along the aisle.",
        absent="what the rulebook says",
        unit="kN",
        most=True,
        minimum=0.05,
        maximum=50,
        crew=Crew(hint="Sideways push while goods are put in, across the rack or along the aisle."),
    ),
    NumberInput(
        "fork_uplift_kn",
        "Lift by a truck's fork",
        "Characteristic upward pull on this upright when the fork of a truck catches a beam; 0 only where no truck "
        "serves the rack.",
        absent="what the rulebook says; 0 where it says nothing",
        unit="kN",
        most=True,
        minimum=0,
        maximum=50,
        crew=Crew(
            hint="Upward pull on this upright when the fork of a truck catches a beam; 0 only where no truck "
            "serves the rack."
        ),
    ),
    NumberInput(
        "load_height_mm",
        "Highest beam over the concrete",
        "Height of the highest beam level over the concrete.",
        unit="mm",
        most=True,
        minimum=100,
        maximum=40_000,
    ),
    NumberInput(
        "upright_spacing_mm",
        "Distance between the uprights",
        "Distance between the two uprights of the frame, centre to centre, across the rack.",
        unit="mm",
        least=True,
        minimum=200,
        maximum=5000,
    ),
    NumberInput(
        "frame_mass_kg",
        "Mass of the empty frame",
        "Mass of the empty frame with its share of the beams; half of it holds each upright down.",
        default=0,
        because=Because.NOTHING_HOLDS_DOWN,
        unit="kg",
        least=True,
        minimum=0,
        maximum=20_000,
    ),
)


def _find(given: Given, rulebook: Rulebook, working: Working) -> ModelActions:
    load = _placement(given, rulebook, working)
    height = working.given("h", StepCode.HEIGHT_OF_THE_LOAD, given.figure("load_height_mm"), "mm")
    spacing = working.given("b", StepCode.DISTANCE_OF_THE_UPRIGHTS, given.figure("upright_spacing_mm"), "mm")
    lift = working.step("N_Q", StepCode.LIFT_OF_ONE_UPRIGHT_BY_TIPPING, load * height / spacing, "kN", "H_k·h/b")
    mass = working.given("m", StepCode.MASS_OF_THE_EMPTY_FRAME, given.figure("frame_mass_kg"), "kg")
    down = working.weight("G_k", StepCode.WEIGHT_ON_ONE_UPRIGHT, mass / 2.0, "m/2")
    working.step("N_k", StepCode.LIFT_LESS_WEIGHT_BEFORE_ANY_FACTOR, lift - down, "kN", "N_Q − G_k")
    fork = _fork(given, rulebook, working)
    weight = force(z_kn=-down)
    placing = (
        Situation("load towards the other upright", weight, force(x_kn=load, z_kn=lift)),
        Situation("load away from the other upright", weight, force(x_kn=-load, z_kn=-lift)),
        Situation("load along the aisle, one way", weight, force(y_kn=load)),
        Situation("load along the aisle, the other way", weight, force(y_kn=-load)),
    )
    lifted = tuple(replace(each, name=f"{each.name}, fork lifts", variable=each.variable + fork) for each in placing)
    situations = placing if fork.zero else (*placing, *lifted)
    notes = (
        *(() if given.has("placement_load_kn") else (Statement(Note.PLACEMENT_LOAD_TAKEN, {"push_kn": load}),)),
        _fork_note(fork),
        Statement(Note.OTHER_UPRIGHT_AT_PLUS_X),
        Statement(Note.ONE_UPRIGHT_TAKES_THE_SHEAR),
        Statement(Note.RACK_EMPTY),
        Statement(Note.FOOT_HINGED),
    )
    return ModelActions(UPRIGHT_ON_SLAB, situations, notes)


def _fork(given: Given, rulebook: Rulebook, working: Working) -> Wrench:
    """What a fork that catches a beam pulls up at this upright."""
    if given.has("fork_uplift_kn"):
        return force(z_kn=working.given("U_k", StepCode.FORK_LIFT_AS_GIVEN, given.figure("fork_uplift_kn"), "kN"))
    # Releases before 2026.6.0 have no such figure; the answer says that none is taken.
    if "fork_uplift_kn" not in rulebook.factors["load-models"]["racking"]:
        return Wrench()
    figure = figure_of(rulebook, "load-models", "racking", "fork_uplift_kn")
    return force(z_kn=working.ruled("U_k", StepCode.FORK_LIFT_OF_THE_RULEBOOK, figure, "kN"))


def _fork_note(fork: Wrench) -> Statement:
    if fork.zero:
        return Statement(Note.NO_FORK_UPLIFT)
    return Statement(Note.FORK_UPLIFT_TOGETHER, {"lift_kn": fork.normal_kn})


def _placement(given: Given, rulebook: Rulebook, working: Working) -> float:
    if given.has("placement_load_kn"):
        return working.given("H_k", StepCode.PLACEMENT_LOAD_AS_GIVEN, given.figure("placement_load_kn"), "kN")
    figure = figure_of(rulebook, "load-models", "racking", "placement_load_kn")
    return working.ruled("H_k", StepCode.PLACEMENT_LOAD_OF_THE_RULEBOOK, figure, "kN")


MODEL = LoadModel(
    name="racking_upright",
    title="Racking upright",
    words="One upright of a braced frame while goods are put in at the highest level: tipping lifts it or presses it, "
    "a fork that catches a beam lifts it, and the weight of the empty frame holds it down.",
    inputs=INPUTS,
    surfaces=(UPRIGHT_ON_SLAB,),
    find=_find,
    crew=CrewOfThing(example=Plate(180, 140, 10, 110, 80, 100, 80)),
    cautions=CAUTIONS_OF["racking_upright"],
)
