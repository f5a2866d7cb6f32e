"""Soffit hanger: a mass that hangs on one or several hangers under a slab."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook import Rulebook
from service.site.load_models.actions import Situation, force
from service.site.load_models.inputs import Given, NumberInput
from service.site.load_models.model import Disagreement, LoadModel, ModelActions, Working
from service.site.load_models.sharing import (
    ARRANGEMENT,
    IN_LINE,
    LARGEST_SHARE,
    LEVELLING,
    PERMANENT_SHARE,
    disagree,
    idle_inputs,
    notes_of,
    share_of_one,
)
from service.site.load_models.surfaces import SOFFIT

INPUTS = (
    NumberInput(
        "mass_kg", "Mass on all hangers, kg", "Mass on all hangers together.", unit="kg", minimum=0.1, maximum=100_000
    ),
    NumberInput(
        "hangers",
        "Number of hangers",
        "Number of hangers that share the mass; these load cases are for one of them.",
        absent="1",
        default=1,
        unit="1",
        minimum=1,
        maximum=100,
        whole=True,
    ),
    ARRANGEMENT,
    LEVELLING,
    LARGEST_SHARE,
    PERMANENT_SHARE,
    NumberInput(
        "hanger_mass_kg",
        "Mass of one hanger, kg",
        "Mass of one hanger.",
        absent="0, the hanger weighs next to nothing",
        default=0,
        unit="kg",
        minimum=0,
        maximum=5000,
    ),
)


def _disagree(given: Given) -> Iterator[Disagreement]:
    yield from disagree(given, "hangers")


def _find(given: Given, rulebook: Rulebook, working: Working) -> ModelActions:
    mass = working.given("m", "mass on the hangers", given.figure("mass_kg"), "kg")
    count = working.given("n", "number of hangers", given.figure("hangers"), "1")
    in_line = given.word("arrangement") == IN_LINE
    share = share_of_one(count, given, rulebook, working, in_line=in_line)
    load = working.weight("F_k", "weight on the most loaded hanger", mass * share, "m·k_n")
    own = working.weight("G_k", "weight of the hanger", given.figure("hanger_mass_kg"), "m_h")
    fixed = working.given("p", "permanent share of the mass", given.figure("permanent_share"), "1")
    working.step("N_k", "pull on the fixing", load + own, "kN", "F_k + G_k")
    pull = force(z_kn=load)
    hung = pull * (1.0 - fixed)
    situation = Situation("hanging load", pull * fixed + force(z_kn=own), hung, stays=hung)
    notes = (
        *notes_of(count, given, "hangers", in_line=in_line),
        ("hangs_plumb", "The hanger hangs plumb"),
        ("variable_load_stays", "What hangs there stays for long"),
    )
    return ModelActions(SOFFIT, (situation,), notes, idle_inputs(count, given))


MODEL = LoadModel(
    name="soffit_hanger",
    title="Soffit hanger",
    words="A mass that hangs on one or several hangers under a slab; the hanger that gets the most of it.",
    inputs=INPUTS,
    surfaces=(SOFFIT,),
    disagree=_disagree,
    find=_find,
    cautions=("one_hanger_fails",),
)
