"""Wall bracket: a mass on an arm, held off a wall; the arm presses at its foot and pulls at its head."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook import Rulebook
from service.site.load_models.actions import MM_PER_M, Situation, force
from service.site.load_models.inputs import Given, NumberInput, unwanted
from service.site.load_models.model import Disagreement, LoadModel, ModelActions, Working
from service.site.load_models.sharing import (
    LARGEST_SHARE,
    LEVELLING,
    PERMANENT_SHARE,
    disagree,
    idle_inputs,
    notes_of,
    share_of_one,
)
from service.site.load_models.surfaces import VERTICAL_FACE

INPUTS = (
    NumberInput(
        "mass_kg",
        "Mass on all brackets, kg",
        "Mass on all brackets together, the brackets themselves left out.",
        unit="kg",
        minimum=0.1,
        maximum=100_000,
    ),
    NumberInput(
        "reach_mm",
        "Wall to the mass, mm",
        "Distance from the wall to the centre of the mass.",
        unit="mm",
        minimum=1,
        maximum=10_000,
    ),
    NumberInput(
        "brackets",
        "Number of brackets",
        "Number of brackets side by side that share the mass; these load cases are for one of them.",
        absent="1",
        default=1,
        unit="1",
        minimum=1,
        maximum=100,
        whole=True,
    ),
    LEVELLING,
    LARGEST_SHARE,
    PERMANENT_SHARE,
    NumberInput(
        "bracket_mass_kg",
        "Mass of one bracket, kg",
        "Mass of one bracket.",
        absent="0, the bracket weighs next to nothing",
        default=0,
        unit="kg",
        minimum=0,
        maximum=5000,
    ),
    NumberInput(
        "bracket_reach_mm",
        "Wall to the bracket's middle, mm",
        "Distance from the wall to the centre of the bracket's own mass.",
        absent="half the distance to the centre of the mass",
        unit="mm",
        minimum=0,
        maximum=10_000,
    ),
    NumberInput(
        "fastener_spacing_mm",
        "Upper to lower fasteners, mm",
        "Distance from the upper fasteners to the lower ones, for the lever shown in the working.",
        absent="the arm to the pressure point, if given",
        unit="mm",
        minimum=10,
        maximum=5000,
    ),
    NumberInput(
        "pressure_arm_mm",
        "Upper fasteners to pressed foot, mm",
        "Distance from the upper fasteners to the point where the foot of the bracket presses, for the lever shown "
        "in the working; in place of the distance between upper and lower fasteners.",
        absent="the distance between upper and lower fasteners, if given, which is less",
        unit="mm",
        minimum=10,
        maximum=5000,
    ),
)


def _disagree(given: Given) -> Iterator[Disagreement]:
    yield from unwanted(
        given, "pressure_arm_mm", given.has("fastener_spacing_mm"), "where fastener_spacing_mm is given"
    )
    without = given.figure("bracket_mass_kg") == 0.0
    yield from disagree(given, "brackets")
    yield from unwanted(given, "bracket_reach_mm", without, "where there is no bracket_mass_kg")


def _find(given: Given, rulebook: Rulebook, working: Working) -> ModelActions:
    mass = working.given("m", "mass on the brackets", given.figure("mass_kg"), "kg")
    count = working.given("n", "number of brackets", given.figure("brackets"), "1")
    share = share_of_one(count, given, rulebook, working, in_line=True)
    load = working.weight("F_k", "weight on the most loaded bracket", mass * share, "m·k_n")
    reach = working.given("e", "centre of the mass off the wall", given.figure("reach_mm"), "mm")
    own = working.weight("G_k", "weight of the bracket", given.figure("bracket_mass_kg"), "m_b")
    own_reach = given.figure("bracket_reach_mm") if given.has("bracket_reach_mm") else reach / 2.0
    working.given("e_b", "centre of the bracket off the wall", own_reach, "mm")
    moment = working.step(
        "M_k", "moment about the origin", (load * reach + own * own_reach) / MM_PER_M, "kNm", "(F_k·e + G_k·e_b)/1000"
    )
    _lever(given, moment, working)
    fixed = working.given("p", "permanent share of the mass", given.figure("permanent_share"), "1")
    carried = force(y_kn=-load, z_mm=reach)
    put = carried * (1.0 - fixed)
    situation = Situation("loaded bracket", carried * fixed + force(y_kn=-own, z_mm=own_reach), put, stays=put)
    notes = (
        *notes_of(count, given, "brackets", in_line=True),
        ("variable_load_stays", "What is put on the bracket stays for long"),
    )
    return ModelActions(VERTICAL_FACE, (situation,), notes, idle_inputs(count, given))


def _lever(given: Given, moment_knm: float, working: Working) -> None:
    """Show what the moment pulls at the upper fasteners, by hand; the verification finds the pressure point itself."""
    name = "pressure_arm_mm" if given.has("pressure_arm_mm") else "fastener_spacing_mm"
    if given.has(name):
        arm = working.given("z", "arm from the upper fasteners to the pressure point", given.figure(name), "mm")
        words = "pull of all upper fasteners together, by hand; a verification finds the pressure point itself"
        working.step("N_o", words, moment_knm * MM_PER_M / arm, "kN", "M_k·1000/z")


MODEL = LoadModel(
    name="wall_bracket",
    title="Wall bracket",
    words="A mass that one or several brackets hold off a wall. Its moment pulls the upper fasteners and presses the "
    "foot of the bracket against the wall.",
    inputs=INPUTS,
    surfaces=(VERTICAL_FACE,),
    disagree=_disagree,
    find=_find,
    cautions=("climbing_and_leaning", "bracket_not_checked"),
)
