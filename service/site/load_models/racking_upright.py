"""Racking upright: a placement load at height tips a frame of two uprights; one of them lifts."""

from __future__ import annotations

from dataclasses import replace

from service.rulebook import Rulebook
from service.site.load_models.actions import Situation, Wrench, force
from service.site.load_models.inputs import Given, NumberInput, figure_of
from service.site.load_models.model import LoadModel, ModelActions, Working, agree
from service.site.load_models.surfaces import UPRIGHT_ON_SLAB

INPUTS = (
    NumberInput(
        "placement_load_kn",
        "Push while goods are put in, kN",
        "Characteristic horizontal load while goods are put in, across the rack or along the aisle.",
        absent="what the rulebook says",
        unit="kN",
        minimum=0.05,
        maximum=50,
    ),
    NumberInput(
        "fork_uplift_kn",
        "Lift by a truck's fork, kN",
        "Characteristic upward pull on this upright when the fork of a truck catches a beam; 0 only where no truck "
        "serves the rack.",
        absent="what the rulebook says; 0 where it says nothing",
        unit="kN",
        minimum=0,
        maximum=50,
    ),
    NumberInput(
        "load_height_mm",
        "Height of the highest beam, mm",
        "Height of the highest beam level over the concrete.",
        unit="mm",
        minimum=100,
        maximum=40_000,
    ),
    NumberInput(
        "upright_spacing_mm",
        "Distance between the uprights, mm",
        "Distance between the two uprights of the frame, centre to centre, across the rack.",
        unit="mm",
        minimum=200,
        maximum=5000,
    ),
    NumberInput(
        "frame_mass_kg",
        "Mass of the empty frame, kg",
        "Mass of the empty frame with its share of the beams; half of it holds each upright down.",
        absent="0, nothing holds it down",
        default=0,
        unit="kg",
        minimum=0,
        maximum=20_000,
    ),
)


def _find(given: Given, rulebook: Rulebook, working: Working) -> ModelActions:
    load = _placement(given, rulebook, working)
    height = working.given("h", "height of the load", given.figure("load_height_mm"), "mm")
    spacing = working.given("b", "distance of the uprights", given.figure("upright_spacing_mm"), "mm")
    lift = working.step("N_Q", "lift of one upright by tipping", load * height / spacing, "kN", "H_k·h/b")
    mass = working.given("m", "mass of the empty frame", given.figure("frame_mass_kg"), "kg")
    down = working.weight("G_k", "weight on one upright", mass / 2.0, "m/2")
    working.step("N_k", "lift less weight, before any factor", lift - down, "kN", "N_Q − G_k")
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
        _fork_note(fork),
        ("other_upright_at_plus_x", "x points across the rack to the other upright of the frame"),
        ("one_upright_takes_the_shear", "This upright takes the whole placement load as shear"),
        ("rack_empty", "The rack is empty: goods would hold it down"),
        ("foot_hinged", "The foot takes no moment: beams and bracing do"),
    )
    return ModelActions(UPRIGHT_ON_SLAB, situations, notes)


def _fork(given: Given, rulebook: Rulebook, working: Working) -> Wrench:
    """What a fork that catches a beam pulls up at this upright."""
    words = "lift by a fork that catches a beam"
    if given.has("fork_uplift_kn"):
        return force(z_kn=working.given("U_k", f"{words}, as given", given.figure("fork_uplift_kn"), "kN"))
    # Releases before 2026.6.0 have no such figure; the answer says that none is taken.
    if "fork_uplift_kn" not in rulebook.factors["load-models"]["racking"]:
        return Wrench()
    figure = figure_of(rulebook, "load-models", "racking", "fork_uplift_kn")
    return force(z_kn=working.ruled("U_k", f"{words}, of the rulebook", figure, "kN"))


def _fork_note(fork: Wrench) -> tuple[str, str]:
    if fork.zero:
        return (
            "no_fork_uplift",
            "NO lift by the fork of a truck is taken: these load cases are for a rack without trucks",
        )
    return (
        "fork_uplift_together",
        f"A fork that catches a beam lifts this upright with {fork.normal_kn:.6g} kN, together with the placement load",
    )


def _placement(given: Given, rulebook: Rulebook, working: Working) -> float:
    if given.has("placement_load_kn"):
        return working.given("H_k", "placement load as given", given.figure("placement_load_kn"), "kN")
    figure = figure_of(rulebook, "load-models", "racking", "placement_load_kn")
    return working.ruled("H_k", "placement load of the rulebook", figure, "kN")


MODEL = LoadModel(
    name="racking_upright",
    title="Racking upright",
    words="One upright of a braced frame while goods are put in at the highest level: tipping lifts it or presses it, "
    "a fork that catches a beam lifts it, and the weight of the empty frame holds it down.",
    inputs=INPUTS,
    surfaces=(UPRIGHT_ON_SLAB,),
    disagree=agree,
    find=_find,
    cautions=("fork_uplift", "truck_impact_not_covered", "racking_stability_not_checked"),
)
