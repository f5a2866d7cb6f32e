"""Eyebolt: a pull at an angle, in a known direction or in any."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, radians, sin

from service.rulebook import Rulebook
from service.site.load_models.actions import MM_PER_M, Situation, Wrench, force
from service.site.load_models.inputs import Given, NumberInput, RuleWord, Word, one_of, unwanted
from service.site.load_models.model import Disagreement, LoadModel, ModelActions, Surface, Working
from service.site.load_models.surfaces import SOFFIT, TOP_OF_SLAB, VERTICAL_FACE

SURFACES = {surface.name: surface for surface in (SOFFIT, VERTICAL_FACE, TOP_OF_SLAB)}
STEEPEST_OF_A_MASS = 60.0
"""Greatest angle from plumb of a rope that a mass hangs on (degrees); slings are used at no more (common practice)."""
DOWN = 270.0
"""Direction of straight down on a wall (degrees)."""
ALONG = 90.0
"""Angle of a pull along the surface, from straight out (degrees)."""
ON_A_WALL = {0.0: "to the right", 90.0: "up", 180.0: "to the left", DOWN: "down"}
ON_THE_LEVEL = {0.0: "along x", 90.0: "along y", 180.0: "against x", 270.0: "against y"}
ANY_WAY = tuple(45.0 * step for step in range(8))

INPUTS = (
    Word(
        "surface",
        "What the eyebolt sits in",
        "Surface that the eyebolt sits in.",
        titles={
            SOFFIT.name: "Underside of a slab",
            VERTICAL_FACE.name: "Wall",
            TOP_OF_SLAB.name: "Floor or top of a slab",
        },
    ),
    NumberInput(
        "mass_kg",
        "Mass that hangs on it, kg",
        "Mass that hangs on this one eyebolt, hoist, hook and slings included: under a slab, or straight down along a "
        "wall. A rope over a pulley pulls otherwise: give the pull then.",
        absent="the pull must be given",
        unit="kg",
        minimum=0.1,
        maximum=100_000,
    ),
    NumberInput(
        "pull_kn",
        "Pull of the rope, kN",
        "Characteristic pull of the rope or chain, or of the pulley on the eyebolt, before the dynamic factor; give "
        "this or the mass.",
        absent="the mass must be given",
        unit="kN",
        minimum=0.001,
        maximum=1000,
    ),
    RuleWord(
        "lifting",
        "How it is pulled",
        "How it is pulled, which sets the dynamic factor.",
        absent="what costs most in the rulebook",
        default="unknown",
        file="load-models",
        table="lifting",
        figure="dynamic_factor",
    ),
    NumberInput(
        "angle_degrees",
        "Angle off straight out, degrees",
        "Angle of the pull from straight out of the concrete; 90 pulls along the surface, as a mass on a wall does.",
        unit="degrees",
        minimum=0,
        maximum=90,
    ),
    NumberInput(
        "azimuth_degrees",
        "Direction it leans, degrees",
        "Which way the pull leans, seen by someone who looks at the concrete: 0 along x, 90 along y, 180 against x, "
        "270 against y; on a wall 90 is up and 270 is down. Only where the pull is at an angle.",
        absent="any way, in steps of 45 degrees",
        unit="degrees",
        minimum=-360,
        maximum=360,
    ),
    NumberInput(
        "eye_height_mm",
        "Concrete to the pull, mm",
        "Height of the point of pull in the eye over the concrete.",
        unit="mm",
        minimum=0,
        maximum=1000,
    ),
)


def _disagree(given: Given) -> Iterator[Disagreement]:
    yield from one_of(given, "mass_kg", "pull_kn")
    if given.has("mass_kg"):
        yield from _hanging(given)
    straight = given.figure("angle_degrees") == 0.0
    yield from unwanted(given, "azimuth_degrees", straight, "where angle_degrees is 0")


def _hanging(given: Given) -> Iterator[Disagreement]:
    """Find a mass that cannot hang as it is said to."""
    surface, angle = given.word("surface"), given.figure("angle_degrees")
    if surface == TOP_OF_SLAB.name:
        words = "a mass pulls on an eyebolt in a floor only over a pulley, which sets the pull; give pull_kn"
        yield "mass_kg", "conflict", f"must be left out where surface is {surface}: {words}"
    elif surface == VERTICAL_FACE.name:
        otherwise = "for a rope that leads elsewhere, as over a pulley, give pull_kn in place of mass_kg"
        if angle != ALONG:
            words = "must be 90 where mass_kg hangs on a wall, straight down along it"
            yield "angle_degrees", "conflict", f"{words}; {otherwise}"
        if given.has("azimuth_degrees") and given.figure("azimuth_degrees") % 360.0 != DOWN:
            words = "must be 270 where mass_kg hangs on a wall, which is straight down"
            yield "azimuth_degrees", "conflict", f"{words}; {otherwise}"
    elif angle > STEEPEST_OF_A_MASS:
        words = f"must be at most {STEEPEST_OF_A_MASS:g} where mass_kg hangs under a slab"
        reason = "at such an angle the rope pulls many times the weight; give pull_kn from the lifting plan"
        yield "angle_degrees", "above_maximum", f"{words}: {reason}"


def _steady(given: Given, angle: float, working: Working) -> float:
    """Pull of the rope before the dynamic factor (kN)."""
    if not given.has("mass_kg"):
        return working.given("F", "steady pull of the rope, as given", given.figure("pull_kn"), "kN")
    mass = working.given("m", "mass that hangs on this eyebolt", given.figure("mass_kg"), "kg")
    weight = working.weight("G", "its weight, straight down", mass, "m")
    if given.word("surface") == VERTICAL_FACE.name:
        return working.step("F", "steady pull, straight down along the wall", weight, "kN", "G")
    words = "steady pull of the rope, whose upright part holds the whole weight"
    return working.step("F", words, weight / cos(radians(angle)), "kN", "G/cos α")


def _find(given: Given, rulebook: Rulebook, working: Working) -> ModelActions:
    angle = working.given("α", "angle from straight out", given.figure("angle_degrees"), "degrees")
    steady = _steady(given, angle, working)
    factor = given.chosen("lifting", rulebook)
    pull = working.step(
        "F_k", "pull with the dynamic factor", steady * working.ruled("φ", "dynamic factor", factor, "1"), "kN", "φ·F"
    )
    out = working.step("N_k", "part straight out", pull * cos(radians(angle)), "kN", "F_k·cos α")
    along = working.step("V_k", "part along the surface", pull * sin(radians(angle)), "kN", "F_k·sin α")
    eye = working.given("e", "height of the point of pull", given.figure("eye_height_mm"), "mm")
    working.step("M_k", "moment about the origin", along * eye / MM_PER_M, "kNm", "V_k·e/1000")
    # What is hung for good, or nobody knows for how long, is sustained; what is lifted is set down again.
    stays = 1.0 if given.word("lifting") not in {"hand_hoist", "power_hoist"} else 0.0
    pulls = [(name, force(along * x, along * y, out, z_mm=eye)) for name, x, y in _ways(given, angle)]
    situations = tuple(Situation(name, Wrench(), action, stays=action * stays) for name, action in pulls)
    notes = (
        ("one_eyebolt_takes_all", "This one eyebolt takes the whole of what was given"),
        ("pull_in_the_plane_of_the_eye", "The eye is turned so that the pull acts in its plane"),
    )
    return ModelActions(_surface(given), situations, notes, ("azimuth_degrees",) if _hangs_on_a_wall(given) else ())


def _ways(given: Given, angle_degrees: float) -> Iterator[tuple[str, float, float]]:
    if angle_degrees == 0.0:
        yield "pull straight out", 0.0, 0.0
        return
    if given.has("azimuth_degrees"):
        leans: tuple[float, ...] = (given.figure("azimuth_degrees"),)
    else:
        leans = (DOWN,) if _hangs_on_a_wall(given) else ANY_WAY
    for azimuth in leans:
        name = f"pull at {angle_degrees:.6g}°, leaning to {azimuth:.6g}°{_in_words(given, azimuth)}"
        yield name, cos(radians(azimuth)), sin(radians(azimuth))


def _hangs_on_a_wall(given: Given) -> bool:
    return given.has("mass_kg") and given.word("surface") == VERTICAL_FACE.name


def _in_words(given: Given, azimuth_degrees: float) -> str:
    words = ON_A_WALL if given.word("surface") == VERTICAL_FACE.name else ON_THE_LEVEL
    found = words.get(azimuth_degrees % 360.0)
    return f" ({found})" if found else ""


def _surface(given: Given) -> Surface:
    return SURFACES[given.word("surface")]


MODEL = LoadModel(
    name="eyebolt",
    title="Eyebolt",
    words="A pull at an angle on one eyebolt, with a dynamic factor by how it is lifted. A mass under a slab pulls "
    "with its whole weight straight down whatever the angle, and aside as well; one on a wall hangs straight down.",
    inputs=INPUTS,
    surfaces=tuple(SURFACES.values()),
    disagree=_disagree,
    find=_find,
    cautions=("one_eyebolt_takes_all", "lifting_gear_rules", "no_one_under_the_load"),
)
