"""Wall bracket: a mass on an arm, held off a wall; the arm presses at its foot and pulls at its head."""

from __future__ import annotations

from collections.abc import Iterator

from service.contract.load_model_codes import Because, Note, Points, Stays, StepCode
from service.contract.things import CAUTIONS_OF
from service.rulebook import Rulebook
from service.site.load_models.actions import MM_PER_M, Situation, force
from service.site.load_models.inputs import Condition, Crew, Disagreement, Given, NumberInput, Where
from service.site.load_models.model import CrewOfThing, LoadModel, ModelActions, Shared, Working
from service.site.load_models.sharing import (
    LEVELLING,
    PERMANENT_SHARE,
    disagree,
    idle_inputs,
    largest_share,
    notes_of,
    share_of_one,
)
from service.site.load_models.surfaces import VERTICAL_FACE
from service.words import Statement

INPUTS = (
    NumberInput(
        "mass_kg",
        "Mass on all brackets",
        "Mass on all brackets together, the brackets themselves left out.",
        unit="kg",
        most=True,
        minimum=0.1,
        maximum=100_000,
    ),
    NumberInput(
        "reach_mm",
        "Wall to the mass",
        "Distance from the wall to the centre of the mass.",
        unit="mm",
        most=True,
        minimum=1,
        maximum=10_000,
    ),
    NumberInput(
        "brackets",
        "Number of brackets",
        "Number of brackets side by side that share the mass; these load cases are for one of them.",
        absent="1",
        default=1,
        crew=Crew(hint="How many brackets side by side share that mass.", first=True),
        unit="1",
        minimum=1,
        maximum=100,
        whole=True,
    ),
    LEVELLING,
    largest_share("brackets"),
    PERMANENT_SHARE,
    NumberInput(
        "bracket_mass_kg",
        "Mass of one bracket",
        "Mass of one bracket.",
        default=0,
        because=Because.BRACKET_WEIGHS_LITTLE,
        unit="kg",
        most=True,
        minimum=0,
        maximum=5000,
    ),
    NumberInput(
        "bracket_reach_mm",
        "Wall to the bracket's middle",
        "Distance from the wall to the centre of the bracket's own mass.",
        absent="half the distance to the centre of the mass",
        only_where=Where("bracket_mass_kg", Condition.ABOVE, above=0.0),
        unit="mm",
        most=True,
        minimum=0,
        maximum=10_000,
    ),
    NumberInput(
        "fastener_spacing_mm",
        "Upper to lower fasteners",
        "Distance from the upper fasteners to the lower ones, for the lever shown in the working.",
        absent="the arm to the pressure point, if given",
        unit="mm",
        minimum=10,
        maximum=5000,
    ),
    NumberInput(
        "pressure_arm_mm",
        "Upper fasteners to pressed foot",
        "Distance from the upper fasteners to the point where the foot of the bracket presses, for the lever shown "
        "in the working; in place of the distance between upper and lower fasteners.",
        absent="the distance between upper and lower fasteners, if given, which is less",
        only_where=Where("fastener_spacing_mm", Condition.NOT_GIVEN),
        unit="mm",
        minimum=10,
        maximum=5000,
    ),
)


def _disagree(given: Given) -> Iterator[Disagreement]:
    yield from disagree(given, "brackets")


def _find(given: Given, rulebook: Rulebook, working: Working) -> ModelActions:
    mass = working.given("m", StepCode.MASS_ON_THE_BRACKETS, given.figure("mass_kg"), "kg")
    count = working.given("n", StepCode.NUMBER_OF_BRACKETS, given.figure("brackets"), "1")
    share = share_of_one(count, given, rulebook, working, in_line=True)
    load = working.weight("F_k", StepCode.WEIGHT_ON_THE_MOST_LOADED_BRACKET, mass * share, "m·k_n")
    reach = working.given("e", StepCode.CENTRE_OF_THE_MASS_OFF_THE_WALL, given.figure("reach_mm"), "mm")
    own = working.weight("G_k", StepCode.WEIGHT_OF_THE_BRACKET, given.figure("bracket_mass_kg"), "m_b")
    own_reach = given.figure("bracket_reach_mm") if given.has("bracket_reach_mm") else reach / 2.0
    working.given("e_b", StepCode.CENTRE_OF_THE_BRACKET_OFF_THE_WALL, own_reach, "mm")
    moment = working.step(
        "M_k",
        StepCode.MOMENT,
        (load * reach + own * own_reach) / MM_PER_M,
        "kNm",
        "(F_k·e + G_k·e_b)/1000",
    )
    _lever(given, moment, working)
    fixed = working.given("p", StepCode.PERMANENT_SHARE_OF_THE_MASS, given.figure("permanent_share"), "1")
    carried = force(y_kn=-load, z_mm=reach)
    put = carried * (1.0 - fixed)
    situation = Situation("loaded bracket", carried * fixed + force(y_kn=-own, z_mm=own_reach), put, stays=put)
    notes = (
        *notes_of(count, given, Points.BRACKETS, in_line=True),
        Statement(Note.VARIABLE_LOAD_STAYS, {"what": Stays.WHAT_IS_PUT_ON}),
    )
    return ModelActions(VERTICAL_FACE, (situation,), notes, idle_inputs(count, given))


def _lever(given: Given, moment_knm: float, working: Working) -> None:
    """Show what the moment pulls at the upper fasteners, by hand; the verification finds the pressure point itself."""
    name = "pressure_arm_mm" if given.has("pressure_arm_mm") else "fastener_spacing_mm"
    if given.has(name):
        arm = working.given("z", StepCode.ARM_TO_THE_PRESSURE_POINT, given.figure(name), "mm")
        working.step(
            "N_o",
            StepCode.PULL_OF_THE_UPPER_FASTENERS,
            moment_knm * MM_PER_M / arm,
            "kN",
            "M_k·1000/z",
        )


MODEL = LoadModel(
    name="wall_bracket",
    title="Wall bracket",
    words="A mass that one or several brackets hold off a wall. Its moment pulls the upper fasteners and presses the "
    "foot of the bracket against the wall.",
    inputs=INPUTS,
    surfaces=(VERTICAL_FACE,),
    find=_find,
    cautions=CAUTIONS_OF["wall_bracket"],
    disagree=_disagree,
    crew=CrewOfThing(shared=Shared("brackets", "bracket", "brackets")),
)
