"""Soffit hanger: a mass that hangs on one or several hangers under a slab."""

from __future__ import annotations

from collections.abc import Iterator

from service.contract.load_model_codes import Because, Caution, Note, Points, Stays, StepCode
from service.contract.things import CAUTIONS_OF
from service.rulebook import Rulebook
from service.site.load_models.actions import Situation, force
from service.site.load_models.inputs import Crew, Disagreement, Given, NumberInput
from service.site.load_models.model import CrewOfThing, LoadModel, ModelActions, Plate, Shared, Working
from service.site.load_models.sharing import (
    ARRANGEMENT,
    IN_LINE,
    LEVELLING,
    PERMANENT_SHARE,
    disagree,
    idle_inputs,
    largest_share,
    notes_of,
    share_of_one,
)
from service.site.load_models.surfaces import UNDER_THE_HANGER
from service.words import Statement

INPUTS = (
    NumberInput(
        "mass_kg",
        "Mass on all hangers",
        "Mass on all hangers together.",
        crew=Crew(
            label="Mass on all hangers together",
            hint="A hanger is one plate with all its bolts or rods, not one rod. All that hangs on the hangers you "
            "count below.",
        ),
        unit="kg",
        most=True,
        minimum=0.1,
        maximum=100_000,
    ),
    NumberInput(
        "hangers",
        "Number of hangers",
        "Number of hangers that share the mass; these load cases are for one of them.",
        absent="1",
        default=1,
        crew=Crew(
            hint="How many plates share that mass. One plate with two rods is one hanger, not two.",
            first=True,
        ),
        unit="1",
        minimum=1,
        maximum=100,
        whole=True,
    ),
    ARRANGEMENT,
    LEVELLING,
    largest_share("hangers"),
    PERMANENT_SHARE,
    NumberInput(
        "hanger_mass_kg",
        "Mass of one hanger",
        "Mass of one hanger.",
        default=0,
        because=Because.HANGER_WEIGHS_LITTLE,
        unit="kg",
        most=True,
        minimum=0,
        maximum=5000,
    ),
)


def _disagree(given: Given) -> Iterator[Disagreement]:
    yield from disagree(given, "hangers")


def _find(given: Given, rulebook: Rulebook, working: Working) -> ModelActions:
    mass = working.given("m", StepCode.MASS_ON_THE_HANGERS, given.figure("mass_kg"), "kg")
    count = working.given("n", StepCode.NUMBER_OF_HANGERS, given.figure("hangers"), "1")
    in_line = given.word("arrangement") == IN_LINE
    share = share_of_one(count, given, rulebook, working, in_line=in_line)
    load = working.weight("F_k", StepCode.WEIGHT_ON_THE_MOST_LOADED_HANGER, mass * share, "m·k_n")
    own = working.weight("G_k", StepCode.WEIGHT_OF_THE_HANGER, given.figure("hanger_mass_kg"), "m_h")
    fixed = working.given("p", StepCode.PERMANENT_SHARE_OF_THE_MASS, given.figure("permanent_share"), "1")
    working.step("N_k", StepCode.PULL_ON_THE_FIXING, load + own, "kN", "F_k + G_k")
    pull = force(z_kn=load)
    hung = pull * (1.0 - fixed)
    situation = Situation("hanging load", pull * fixed + force(z_kn=own), hung, stays=hung)
    notes = (
        *notes_of(count, given, Points.HANGERS, in_line=in_line),
        Statement(Note.HANGS_PLUMB),
        Statement(Note.VARIABLE_LOAD_STAYS, {"what": Stays.WHAT_HANGS}),
    )
    fails = Caution.ONE_HANGER_FAILS if count > 1.0 else Caution.ONLY_HANGER_FAILS
    return ModelActions(UNDER_THE_HANGER, (situation,), notes, idle_inputs(count, given), (fails,))


MODEL = LoadModel(
    name="soffit_hanger",
    title="Soffit hanger",
    words="A mass that hangs on one or several hangers under a slab; the hanger that gets the most of it.",
    inputs=INPUTS,
    surfaces=(UNDER_THE_HANGER,),
    find=_find,
    cautions=CAUTIONS_OF["soffit_hanger"],
    disagree=_disagree,
    crew=CrewOfThing(
        told_apart="Anything that hangs straight down under a slab, by its weight alone.",
        example=Plate(100, 100, 8, 60, 60, 30, 30),
        shared=Shared("hangers", "hanger", "hangers"),
    ),
)
