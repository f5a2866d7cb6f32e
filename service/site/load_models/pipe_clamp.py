"""Pipe or duct clamp: the full pipe of one span, off a soffit or a wall, and what pushes along the pipe."""

from __future__ import annotations

from collections.abc import Iterator
from math import pi

from service.contract.load_model_codes import Because, Caution, Note, Stays, StepCode
from service.rulebook import Rulebook
from service.site.load_models.actions import MM_PER_M, Situation, Wrench, force
from service.site.load_models.inputs import (
    Condition,
    Crew,
    Disagreement,
    Given,
    NumberInput,
    RuleWord,
    Where,
    Word,
    figure_of,
)
from service.site.load_models.model import CrewOfThing, LoadModel, ModelActions, Plate, Working
from service.site.load_models.surfaces import UNDER_THE_PIPE, VERTICAL_FACE
from service.words import Statement

MM2_PER_M2 = 1e6
UNDER, BESIDE = "soffit", "wall"
MASS_NOT_GIVEN = Where("mass_kg", Condition.NOT_GIVEN)
DIAMETER_GIVEN = Where("outer_diameter_mm")
BY_SIZE = ("wall_mm", "material", "contents", "insulation_mass_per_metre_kg")

INPUTS = (
    Word(
        "surface",
        "Where the pipe runs",
        "Whether the pipe runs under a slab or along a wall.",
        titles={UNDER: "Under a slab", BESIDE: "Along a wall"},
    ),
    NumberInput(
        "span_mm",
        "Distance to the next support",
        "Distance to the next support of the pipe, the longer one where they differ; not with the mass of a whole "
        "span.",
        absent="the mass of pipe per support must be given",
        needed_where=MASS_NOT_GIVEN,
        only_where=MASS_NOT_GIVEN,
        crew=Crew(first=True),
        unit="mm",
        minimum=100,
        maximum=20_000,
    ),
    Word(
        "support",
        "Pipe at this support",
        "Whether the pipe runs on over this support, or ends or is jointed at it.",
        absent="runs on, and the middle support gets more than one span",
        default="runs_on",
        because=Because.MORE_THAN_ONE_SPAN,
        titles={"runs_on": "Runs on over it", "jointed": "Ends or is jointed here"},
    ),
    NumberInput(
        "axis_off_surface_mm",
        "Concrete to the pipe's axis",
        "Distance from the concrete to the axis of the pipe.",
        unit="mm",
        minimum=10,
        maximum=3000,
    ),
    NumberInput(
        "mass_kg",
        "Mass of pipe per support",
        "Total mass of full pipe for one support, so from one to the next, insulation included. Where the pipe runs "
        "on, this support is loaded with more than that. Give this, the mass of one metre or the outer diameter.",
        absent="calculated from the mass of one metre or the pipe, and the distance to the next support",
        crew=Crew(first=True),
        unit="kg",
        minimum=0.05,
        maximum=200_000,
    ),
    NumberInput(
        "mass_per_metre_kg",
        "Mass of one metre of pipe",
        "Kilograms per metre of pipe: mass of ONE METRE of the full pipe with insulation, not of the whole span; "
        "give this, the mass of pipe per support or the outer diameter.",
        absent="calculated from the pipe, or the mass of pipe per support",
        crew=Crew(first=True),
        unit="kg/m",
        minimum=0.05,
        maximum=20_000,
    ),
    NumberInput(
        "empty_mass_per_metre_kg",
        "Mass of one metre, empty",
        "Mass of one metre of the empty pipe with insulation: the permanent part of the mass per metre, not above it.",
        default=0,
        because=Because.MASS_ALL_VARIABLE,
        only_where=Where("mass_per_metre_kg"),
        unit="kg/m",
        minimum=0,
        maximum=20_000,
    ),
    NumberInput(
        "outer_diameter_mm",
        "Outer diameter of the pipe",
        "Outer diameter of the pipe, where its mass is not known; its wall is then needed too.",
        absent="the mass must be given",
        unit="mm",
        minimum=5,
        maximum=4000,
    ),
    NumberInput(
        "wall_mm",
        "Thickness of the pipe's wall",
        "Thickness of the pipe's wall, under half of the diameter; needed with the outer diameter.",
        absent="the mass must be given",
        needed_where=DIAMETER_GIVEN,
        only_where=DIAMETER_GIVEN,
        crew=Crew(hint="Thickness of the pipe's wall, under half of the diameter."),
        unit="mm",
        minimum=0.2,
        maximum=200,
    ),
    RuleWord(
        "material",
        "Material of the pipe",
        "Material of the pipe; with the outer diameter.",
        absent="the heaviest in the rulebook",
        only_where=DIAMETER_GIVEN,
        crew=Crew(hint="Material of the pipe.", left_empty="the heaviest of these"),
        default="unknown",
        because=Because.HEAVIEST,
        file="load-models",
        table="pipe_materials",
        figure="density_kg_per_m3",
    ),
    RuleWord(
        "contents",
        "What fills the pipe",
        "What fills the pipe; with the outer diameter.",
        absent="the heaviest in the rulebook",
        only_where=DIAMETER_GIVEN,
        crew=Crew(hint="What fills the pipe.", left_empty="the heaviest of these"),
        default="unknown",
        because=Because.HEAVIEST,
        file="load-models",
        table="pipe_contents",
        figure="density_kg_per_m3",
    ),
    NumberInput(
        "insulation_mass_per_metre_kg",
        "Insulation per metre",
        "Mass of one metre of insulation and cladding; with the outer diameter.",
        default=0,
        because=Because.NO_INSULATION,
        only_where=DIAMETER_GIVEN,
        crew=Crew(hint="Mass of one metre of insulation and cladding."),
        unit="kg/m",
        minimum=0,
        maximum=1000,
    ),
    RuleWord(
        "held",
        "How the support holds it",
        "How the support holds the pipe, which says what thermal movement and surge can push along it.",
        absent="what costs most in the rulebook",
        only_where=Where("along_kn", Condition.NOT_GIVEN),
        crew=Crew(left_empty="the least favourable of these"),
        default="unknown",
        because=Because.COSTS_MOST,
        file="load-models",
        table="along_pipe",
        figure="share",
    ),
    NumberInput(
        "along_kn",
        "Force along the pipe",
        "Characteristic force along the pipe from its design, in place of how the support holds it; a fixed point "
        "needs it.",
        absent="a share of the weight, by how the support holds it",
        unit="kN",
        minimum=0,
        maximum=5000,
        crew=Crew(
            hint="From the design of the pipework, in place of how the support holds it; a fixed point needs it."
        ),
    ),
)


def _disagree(given: Given) -> Iterator[Disagreement]:
    by_size, by_mass = given.has("outer_diameter_mm"), given.has("mass_per_metre_kg")
    if by_size and given.has("wall_mm") and 2.0 * given.figure("wall_mm") >= given.figure("outer_diameter_mm"):
        limit = given.figure("outer_diameter_mm") / 2.0
        yield "wall_mm", "above_maximum", f"must be under half of outer_diameter_mm, {limit:.10g}"
    if by_mass and given.figure("empty_mass_per_metre_kg") > given.figure("mass_per_metre_kg"):
        limit = given.figure("mass_per_metre_kg")
        yield "empty_mass_per_metre_kg", "above_maximum", f"must be at most mass_per_metre_kg, {limit:.10g}"


def _span(given: Given, rulebook: Rulebook, working: Working) -> tuple[float, float]:
    """Mass of one span (kg): what stays, and what fills it, or may."""
    if given.has("mass_kg"):
        return 0.0, working.given("m_s", StepCode.MASS_OF_ONE_SPAN, given.figure("mass_kg"), "kg")
    empty, filling = _masses(given, rulebook, working)
    metres = working.given("L", StepCode.SPAN, given.figure("span_mm"), "mm") / MM_PER_M
    working.step(
        "m_s",
        StepCode.MASS_OF_ONE_SPAN,
        (empty + filling) * metres,
        "kg",
        "(m_e + m_c)·L/1000",
    )
    return empty * metres, filling * metres


def _masses(given: Given, rulebook: Rulebook, working: Working) -> tuple[float, float]:
    """Mass of one metre (kg): what stays, and what fills it."""
    if given.has("mass_per_metre_kg"):
        full = working.given("m_f", StepCode.MASS_OF_ONE_METRE_FULL, given.figure("mass_per_metre_kg"), "kg")
        empty = working.given("m_e", StepCode.MASS_OF_ONE_METRE_EMPTY, given.figure("empty_mass_per_metre_kg"), "kg")
        return empty, working.step("m_c", StepCode.FILLING_OF_ONE_METRE, full - empty, "kg", "m_f − m_e")
    outer = working.given("D", StepCode.OUTER_DIAMETER, given.figure("outer_diameter_mm"), "mm")
    wall = working.given("t", StepCode.THICKNESS_OF_THE_WALL, given.figure("wall_mm"), "mm")
    metal = working.ruled("ρ_w", StepCode.DENSITY_OF_THE_WALL, given.chosen("material", rulebook), "kg/m³")
    filling = working.ruled("ρ_c", StepCode.DENSITY_OF_THE_FILLING, given.chosen("contents", rulebook), "kg/m³")
    added = working.given("m_i", StepCode.INSULATION_OF_ONE_METRE, given.figure("insulation_mass_per_metre_kg"), "kg")
    inner = outer - 2.0 * wall
    empty = metal * pi / 4.0 * (outer**2 - inner**2) / MM2_PER_M2 + added
    working.step("m_e", StepCode.MASS_OF_ONE_METRE_EMPTY, empty, "kg", "ρ_w·π/4·(D² − (D − 2t)²)/10⁶ + m_i")
    full = filling * pi / 4.0 * inner**2 / MM2_PER_M2
    return empty, working.step("m_c", StepCode.FILLING_OF_ONE_METRE, full, "kg", "ρ_c·π/4·(D − 2t)²/10⁶")


def _find(given: Given, rulebook: Rulebook, working: Working) -> ModelActions:
    empty, filling = _span(given, rulebook, working)
    factor = 1.0
    if given.word("support") == "runs_on":
        figure = figure_of(rulebook, "load-models", "continuous_pipe", "factor")
        factor = working.ruled("k_c", StepCode.SUPPORT_WHERE_THE_PIPE_RUNS_ON, figure, "1")
    else:
        working.given("k_c", StepCode.SUPPORT_WHERE_THE_PIPE_IS_JOINTED, factor, "1")
    total = working.step("m_t", StepCode.TOTAL_MASS_ON_THIS_SUPPORT, (empty + filling) * factor, "kg", "m_s·k_c")
    dead, live = _weights(given, empty * factor, filling * factor, working)
    along = _along(given, rulebook, working, dead + live)
    off = working.given("a", StepCode.AXIS_OF_THE_PIPE_OFF_THE_SURFACE, given.figure("axis_off_surface_mm"), "mm")
    under = given.word("surface") == UNDER
    working.step("M_A", StepCode.MOMENT_OF_THE_FORCE_ALONG_THE_PIPE, along * off / MM_PER_M, "kNm", "A_k·a/1000")
    if not under:
        working.step(
            "M_G",
            StepCode.MOMENT_OF_THE_WEIGHT,
            (dead + live) * off / MM_PER_M,
            "kNm",
            "(G_k + Q_k)·a/1000",
        )
    ways = (("", 0.0),) if along == 0.0 else ((", pushed along one way", 1.0), (", pushed along the other way", -1.0))
    situations = tuple(
        Situation(f"full pipe{words}", _hung(dead, off, under=under), filled, stays=filled)
        for words, way in ways
        for filled in (_hung(live, off, under=under) + force(x_kn=way * along, z_mm=off),)
    )
    notes = (
        Statement(Note.MASS_ON_THIS_SUPPORT, {"mass_kg": total}),
        Statement(Note.X_ALONG_THE_PIPE),
        Statement(Note.VARIABLE_LOAD_STAYS, {"what": Stays.FULL_PIPE}),
    )
    idle = () if given.has("outer_diameter_mm") else BY_SIZE
    per_metre = () if given.has("mass_per_metre_kg") else ("empty_mass_per_metre_kg",)
    held = ("held",) if given.has("along_kn") else ()
    return ModelActions(UNDER_THE_PIPE if under else VERTICAL_FACE, situations, notes, (*idle, *per_metre, *held))


def _weights(given: Given, empty_kg: float, filling_kg: float, working: Working) -> tuple[float, float]:
    """Permanent and variable weight on the support (kN)."""
    if given.has("mass_kg"):
        working.step("G_k", StepCode.PERMANENT_WEIGHT, 0.0, "kN", "0, all of the mass counts as variable")
        return 0.0, working.weight("Q_k", StepCode.WEIGHT_OF_THE_FULL_PIPE, filling_kg, "m_t")
    dead = working.weight("G_k", StepCode.WEIGHT_OF_THE_EMPTY_PIPE, empty_kg, "m_e·L·k_c/1000")
    return dead, working.weight("Q_k", StepCode.WEIGHT_OF_THE_FILLING, filling_kg, "m_c·L·k_c/1000")


def _along(given: Given, rulebook: Rulebook, working: Working, weight_kn: float) -> float:
    if given.has("along_kn"):
        return working.given("A_k", StepCode.FORCE_ALONG_THE_PIPE_AS_GIVEN, given.figure("along_kn"), "kN")
    share = working.ruled("k_A", StepCode.FORCE_ALONG_THE_PIPE_OVER_WEIGHT, given.chosen("held", rulebook), "1")
    return working.step("A_k", StepCode.FORCE_ALONG_THE_PIPE, share * weight_kn, "kN", "k_A·(G_k + Q_k)")


def _hung(weight_kn: float, off_mm: float, *, under: bool) -> Wrench:
    return force(z_kn=weight_kn, z_mm=off_mm) if under else force(y_kn=-weight_kn, z_mm=off_mm)


MODEL = LoadModel(
    name="pipe_clamp",
    title="Pipe or duct clamp",
    words="One support of a level pipe or duct, full, under a slab or on a wall, with what thermal movement or surge "
    "pushes along it, either way.",
    inputs=INPUTS,
    surfaces=(UNDER_THE_PIPE, VERTICAL_FACE),
    find=_find,
    cautions=(Caution.LOADS_ALONG_THE_PIPE, Caution.FULL_FOR_THE_TEST),
    exactly_one=("mass_per_metre_kg", "outer_diameter_mm", "mass_kg"),
    disagree=_disagree,
    crew=CrewOfThing(
        told_apart="One support of a level pipe or duct, full, under a slab or on a wall, where something may also "
        "push along the pipe.",
        example=Plate(200, 100, 8, 130, 60, 60, 60),
    ),
)
