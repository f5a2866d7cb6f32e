"""Eyebolt: a pull at an angle, in a known direction or in any."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, radians, sin

from service.contract.load_model_codes import Because, Note, StepCode
from service.contract.things import CAUTIONS_OF
from service.rulebook import Rulebook
from service.site.load_models.actions import MM_PER_M, Situation, Wrench, force
from service.site.load_models.directions import TWELVE, all_round, enlarged
from service.site.load_models.inputs import Condition, Crew, Disagreement, Given, NumberInput, RuleWord, Where, Word
from service.site.load_models.model import CrewOfThing, LoadModel, ModelActions, Plate, Surface, Working
from service.site.load_models.surfaces import SOFFIT, TOP_OF_SLAB, VERTICAL_FACE
from service.words import Statement

SURFACES = {surface.name: surface for surface in (SOFFIT, VERTICAL_FACE, TOP_OF_SLAB)}
STEEPEST_OF_A_MASS = 60.0
"""Greatest angle from plumb of a rope that a mass hangs on (degrees); slings are used at no more (common practice)."""
DOWN = 270.0
"""Direction of straight down on a wall (degrees)."""
ALONG = 90.0
"""Angle of a pull along the surface, from straight out (degrees)."""
ON_A_WALL = {0.0: "to the right", 90.0: "up", 180.0: "to the left", DOWN: "down"}
ON_THE_LEVEL = {0.0: "along x", 90.0: "along y", 180.0: "against x", 270.0: "against y"}

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
        "Mass that hangs on it",
        "Mass that hangs on this one eyebolt, hoist, hook and slings included: under a slab, or straight down along a "
        "wall. A rope over a pulley pulls otherwise: give the pull then.",
        absent="the pull must be given",
        crew=Crew(
            hint="Mass that hangs on this one eyebolt, hoist, hook and slings included: under a slab, or straight down "
            "along a wall. With a rope over a pulley, or an eyebolt in a floor, give the pull instead.",
            first=True,
            left_empty="give the pull instead",
        ),
        unit="kg",
        most=True,
        minimum=0.1,
        maximum=100_000,
    ),
    NumberInput(
        "pull_kn",
        "Pull of the rope",
        "Characteristic pull of the rope or chain, or of the pulley on the eyebolt, before the dynamic factor; give "
        "this or the mass.",
        absent="the mass must be given",
        crew=Crew(
            first=True,
            hint="Pull of the rope or chain, or of the pulley on the eyebolt, at rest; give this or the mass.",
            left_empty="give the mass instead",
        ),
        unit="kN",
        most=True,
        minimum=0.001,
        maximum=1000,
    ),
    RuleWord(
        "lifting",
        "How it is pulled",
        "How it is pulled, which sets the dynamic factor.",
        absent="what costs most in the rulebook",
        crew=Crew(left_empty="the least favourable of these", first=True, hint="Sets how much is added for jerks."),
        default="unknown",
        because=Because.COSTS_MOST,
        file="load-models",
        table="lifting",
        figure="dynamic_factor",
    ),
    NumberInput(
        "lifts",
        "How often it lifts",
        "How often a load is lifted and set down, in all the years and with every trial; beyond 1000 times the "
        "fasteners have to be assessed for fatigue, which none in the rulebook is.",
        absent="with a power hoist, or where nobody knows how it is pulled, more often than is covered",
        crew=Crew(hint="In all the years, with every trial. More than 1000 times tires anchors.", first=True),
        whole=True,
        most=True,
        minimum=1,
        maximum=100_000_000,
    ),
    NumberInput(
        "angle_degrees",
        "Angle off straight out",
        "Angle of the pull from straight out of the concrete; 90 pulls along the surface, as a mass on a wall does.",
        crew=Crew(
            hint="0 pulls straight out of the concrete, 90 along it. A mass on a wall: 90. A mass under a slab: 60 at "
            "most; where the rope leans more, give the pull from the lifting plan."
        ),
        unit="degrees",
        minimum=0,
        maximum=90,
    ),
    NumberInput(
        "azimuth_degrees",
        "Direction it leans",
        "Which way the pull leans, seen by someone who looks at the concrete: 0 along x, 90 along y, 180 against x, "
        "270 against y; on a wall 90 is up and 270 is down. Only where the pull is at an angle.",
        absent="any way: twelve ways, each taken so much harder that what lies between is covered",
        only_where=Where("angle_degrees", Condition.ABOVE, above=0.0),
        crew=Crew(
            hint="Which way the pull leans. On or under a slab 0 is ahead of you, and 90 to your left on top, to your "
            "right underneath. On a wall 0 is to the right and 90 is up.",
            directed=True,
        ),
        unit="degrees",
        minimum=-360,
        maximum=360,
    ),
    NumberInput(
        "eye_height_mm",
        "Concrete to the pull",
        "Height of the point of pull in the eye over the concrete.",
        unit="mm",
        most=True,
        minimum=0,
        maximum=1000,
    ),
)


def _disagree(given: Given) -> Iterator[Disagreement]:
    """Find a mass that cannot hang as it is said to."""
    if not given.has("mass_kg"):
        return
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
        return working.given("F", StepCode.STEADY_PULL_AS_GIVEN, given.figure("pull_kn"), "kN")
    mass = working.given("m", StepCode.MASS_THAT_HANGS_ON_THIS_EYEBOLT, given.figure("mass_kg"), "kg")
    weight = working.weight("G", StepCode.ITS_WEIGHT_STRAIGHT_DOWN, mass, "m")
    if given.word("surface") == VERTICAL_FACE.name:
        return working.step("F", StepCode.STEADY_PULL_ALONG_THE_WALL, weight, "kN", "G")
    return working.step(
        "F",
        StepCode.STEADY_PULL_OF_THE_ROPE,
        weight / cos(radians(angle)),
        "kN",
        "G/cos α",
    )


def _find(given: Given, rulebook: Rulebook, working: Working) -> ModelActions:
    angle = working.given("α", StepCode.ANGLE_FROM_STRAIGHT_OUT, given.figure("angle_degrees"), "degrees")
    steady = _steady(given, angle, working)
    factor = given.chosen("lifting", rulebook)
    pull = working.step(
        "F_k",
        StepCode.DYNAMIC_PULL,
        steady * working.ruled("φ", StepCode.DYNAMIC_FACTOR, factor, "1"),
        "kN",
        "φ·F",
    )
    out = working.step("N_k", StepCode.PART_STRAIGHT_OUT, pull * cos(radians(angle)), "kN", "F_k·cos α")
    along = working.step("V_k", StepCode.PART_ALONG_THE_SURFACE, pull * sin(radians(angle)), "kN", "F_k·sin α")
    eye = working.given("e", StepCode.HEIGHT_OF_THE_POINT_OF_PULL, given.figure("eye_height_mm"), "mm")
    working.step("M_k", StepCode.MOMENT, along * eye / MM_PER_M, "kNm", "V_k·e/1000")
    # What is hung for good, or nobody knows for how long, is sustained; what is lifted is set down again.
    stays = 1.0 if given.word("lifting") not in {"hand_hoist", "power_hoist"} else 0.0
    ways = _ways(given, angle)
    if len(ways) > 1:
        working.step("k_w", StepCode.WAYS_BETWEEN, enlarged(TWELVE), "1", "1/cos(180°/12)")
    pulls = [(name, force(along * x, along * y, out, z_mm=eye)) for name, x, y in ways]
    situations = tuple(Situation(name, Wrench(), action, stays=action * stays) for name, action in pulls)
    notes = (
        Statement(Note.ONE_EYEBOLT_TAKES_ALL),
        Statement(Note.PULL_IN_THE_PLANE_OF_THE_EYE),
    )
    idle = ("azimuth_degrees",) if _hangs_on_a_wall(given) else ()
    return ModelActions(_surface(given), situations, notes, idle)


def _ways(given: Given, angle_degrees: float) -> list[tuple[str, float, float]]:
    if angle_degrees == 0.0:
        return [("pull straight out", 0.0, 0.0)]
    leans: tuple[tuple[float, float], ...] = all_round()
    if given.has("azimuth_degrees"):
        leans = ((given.figure("azimuth_degrees"), 1.0),)
    elif _hangs_on_a_wall(given):
        leans = ((DOWN, 1.0),)
    return [
        (
            f"pull at {angle_degrees:.6g}°, leaning to {azimuth:.6g}°{_in_words(given, azimuth)}",
            ratio * cos(radians(azimuth)),
            ratio * sin(radians(azimuth)),
        )
        for azimuth, ratio in leans
    ]


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
    find=_find,
    cautions=CAUTIONS_OF["eyebolt"],
    exactly_one=("mass_kg", "pull_kn"),
    disagree=_disagree,
    crew=CrewOfThing(example=Plate(100, 100, 10, 60, 60, 30, 30)),
)
