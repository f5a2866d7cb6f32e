"""Racking upright: a placement load at height tips a frame of two uprights; one of them lifts."""

from __future__ import annotations

from service.rulebook import Rulebook
from service.site.load_models.actions import Situation, force
from service.site.load_models.inputs import Figure, Given, figure_of
from service.site.load_models.model import Found, LoadModel, Working, agree
from service.site.load_models.surfaces import TOP_OF_SLAB

INPUTS = (
    Figure(
        "placement_load_kn",
        "Push while goods are put in, kN",
        "Characteristic horizontal load while goods are put in, across the rack or along the aisle.",
        absent="what the rulebook says",
        unit="kN",
        minimum=0.05,
        maximum=50,
    ),
    Figure(
        "load_height_mm",
        "Height of the highest beam, mm",
        "Height of the highest beam level over the concrete.",
        unit="mm",
        minimum=100,
        maximum=40_000,
    ),
    Figure(
        "upright_spacing_mm",
        "Distance between the uprights, mm",
        "Distance between the two uprights of the frame, centre to centre, across the rack.",
        unit="mm",
        minimum=200,
        maximum=5000,
    ),
    Figure(
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


def _find(given: Given, rulebook: Rulebook, working: Working) -> Found:
    load = _placement(given, rulebook, working)
    height = working.given("h", "height of the load", given.figure("load_height_mm"), "mm")
    spacing = working.given("b", "distance of the uprights", given.figure("upright_spacing_mm"), "mm")
    lift = working.step("N_Q", "lift of one upright by tipping", load * height / spacing, "kN", "H_k·h/b")
    mass = working.given("m", "mass of the empty frame", given.figure("frame_mass_kg"), "kg")
    down = working.weight("G_k", "weight on one upright", mass / 2.0, "m/2")
    working.step("N_k", "lift less weight, before any factor", lift - down, "kN", "N_Q − G_k")
    weight = force(z_kn=-down)
    situations = (
        Situation("load towards the other upright", weight, force(x_kn=load, z_kn=lift)),
        Situation("load away from the other upright", weight, force(x_kn=-load, z_kn=-lift)),
        Situation("load along the aisle, one way", weight, force(y_kn=load)),
        Situation("load along the aisle, the other way", weight, force(y_kn=-load)),
    )
    notes = (
        ("other_upright_at_plus_x", "x points across the rack to the other upright of the frame"),
        ("one_upright_takes_the_shear", "This upright takes the whole placement load as shear"),
        ("rack_empty", "The rack is empty: goods would hold it down"),
        ("foot_hinged", "The foot takes no moment: beams and bracing do"),
    )
    return Found(TOP_OF_SLAB, situations, notes)


def _placement(given: Given, rulebook: Rulebook, working: Working) -> float:
    if given.has("placement_load_kn"):
        return working.given("H_k", "placement load as given", given.figure("placement_load_kn"), "kN")
    figure = figure_of(rulebook, "load-models", "racking", "placement_load_kn")
    return working.ruled("H_k", "placement load of the rulebook", figure, "kN")


MODEL = LoadModel(
    name="racking_upright",
    title="Racking upright",
    words="One upright of a braced frame while goods are put in at the highest level: tipping lifts it or presses it, "
    "and the weight of the empty frame holds it down.",
    inputs=INPUTS,
    surfaces=(TOP_OF_SLAB,),
    disagree=agree,
    find=_find,
    cautions=("truck_impact_not_covered", "racking_stability_not_checked"),
)
