"""Pipe or duct clamp: the full pipe of one span, off a soffit or a wall, and what pushes along the pipe."""

from __future__ import annotations

from collections.abc import Iterator
from math import pi

from service.rulebook import Rulebook
from service.site.load_models.actions import MM_PER_M, Situation, Wrench, force
from service.site.load_models.inputs import Given, NumberInput, RuleWord, Word, figure_of, needed, one_of, unwanted
from service.site.load_models.model import Disagreement, LoadModel, ModelActions, Working
from service.site.load_models.surfaces import SOFFIT, VERTICAL_FACE

MM2_PER_M2 = 1e6
UNDER, BESIDE = "soffit", "wall"
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
        "Distance to the next support, mm",
        "Distance to the next support of the pipe, the longer one where they differ; not with the mass of a whole "
        "span.",
        absent="the mass of pipe per support must be given",
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
        titles={"runs_on": "Runs on over it", "jointed": "Ends or is jointed here"},
    ),
    NumberInput(
        "axis_off_surface_mm",
        "Concrete to the pipe's axis, mm",
        "Distance from the concrete to the axis of the pipe.",
        unit="mm",
        minimum=10,
        maximum=3000,
    ),
    NumberInput(
        "mass_kg",
        "Mass of pipe per support, kg",
        "Total mass of full pipe for one support, so from one to the next, insulation included. Where the pipe runs "
        "on, this support is loaded with more than that. Give this, the mass of one metre or the outer diameter.",
        absent="calculated from the mass of one metre or the pipe, and the distance to the next support",
        unit="kg",
        minimum=0.05,
        maximum=200_000,
    ),
    NumberInput(
        "mass_per_metre_kg",
        "Mass of one metre of pipe, kg",
        "Kilograms per metre of pipe: mass of ONE METRE of the full pipe with insulation, not of the whole span; "
        "give this, the mass of pipe per support or the outer diameter.",
        absent="calculated from the pipe, or the mass of pipe per support",
        unit="kg",
        minimum=0.05,
        maximum=20_000,
    ),
    NumberInput(
        "empty_mass_per_metre_kg",
        "Mass of one metre, empty, kg",
        "Mass of one metre of the empty pipe with insulation: the permanent part of the mass per metre, not above it.",
        absent="0, all of the mass per metre counts as variable",
        default=0,
        unit="kg",
        minimum=0,
        maximum=20_000,
    ),
    NumberInput(
        "outer_diameter_mm",
        "Outer diameter of the pipe, mm",
        "Outer diameter of the pipe, where its mass is not known; its wall is then needed too.",
        absent="the mass must be given",
        unit="mm",
        minimum=5,
        maximum=4000,
    ),
    NumberInput(
        "wall_mm",
        "Thickness of the pipe's wall, mm",
        "Thickness of the pipe's wall, under half of the diameter; needed with the outer diameter.",
        absent="the mass must be given",
        unit="mm",
        minimum=0.2,
        maximum=200,
    ),
    RuleWord(
        "material",
        "Material of the pipe",
        "Material of the pipe; with the outer diameter.",
        absent="the heaviest in the rulebook",
        default="unknown",
        file="load-models",
        table="pipe_materials",
        figure="density_kg_per_m3",
    ),
    RuleWord(
        "contents",
        "What fills the pipe",
        "What fills the pipe; with the outer diameter.",
        absent="the heaviest in the rulebook",
        default="unknown",
        file="load-models",
        table="pipe_contents",
        figure="density_kg_per_m3",
    ),
    NumberInput(
        "insulation_mass_per_metre_kg",
        "Insulation per metre, kg",
        "Mass of one metre of insulation and cladding; with the outer diameter.",
        absent="0, no insulation",
        default=0,
        unit="kg",
        minimum=0,
        maximum=1000,
    ),
    RuleWord(
        "held",
        "How the support holds it",
        "How the support holds the pipe, which says what warmth and braking can push along it.",
        absent="what costs most in the rulebook",
        default="unknown",
        file="load-models",
        table="along_pipe",
        figure="share",
    ),
    NumberInput(
        "along_kn",
        "Force along the pipe, kN",
        "Characteristic force along the pipe from its design, in place of how the support holds it; a fixed point "
        "needs it.",
        absent="a share of the weight, by how the support holds it",
        unit="kN",
        minimum=0,
        maximum=5000,
    ),
)


def _disagree(given: Given) -> Iterator[Disagreement]:
    yield from one_of(given, "mass_per_metre_kg", "outer_diameter_mm", "mass_kg")
    whole = given.has("mass_kg")
    yield from needed(given, "span_mm", not whole, "where mass_kg not given")
    yield from unwanted(given, "span_mm", whole, "where mass_kg given")
    by_size = given.has("outer_diameter_mm")
    yield from needed(given, "wall_mm", by_size, "where outer_diameter_mm is given")
    for name in BY_SIZE:
        yield from unwanted(given, name, not by_size, "where outer_diameter_mm is not given")
    by_mass = given.has("mass_per_metre_kg")
    yield from unwanted(given, "empty_mass_per_metre_kg", not by_mass, "where mass_per_metre_kg is not given")
    yield from unwanted(given, "held", given.has("along_kn"), "where along_kn is given")
    if by_size and given.has("wall_mm") and 2.0 * given.figure("wall_mm") >= given.figure("outer_diameter_mm"):
        limit = given.figure("outer_diameter_mm") / 2.0
        yield "wall_mm", "above_maximum", f"must be under half of outer_diameter_mm, {limit:.10g}"
    if by_mass and given.figure("empty_mass_per_metre_kg") > given.figure("mass_per_metre_kg"):
        limit = given.figure("mass_per_metre_kg")
        yield "empty_mass_per_metre_kg", "above_maximum", f"must be at most mass_per_metre_kg, {limit:.10g}"


def _span(given: Given, rulebook: Rulebook, working: Working) -> tuple[float, float]:
    """Mass of one span (kg): what stays, and what fills it, or may."""
    if given.has("mass_kg"):
        return 0.0, working.given(
            "m_s", "mass of full pipe from one support to the next", given.figure("mass_kg"), "kg"
        )
    empty, filling = _masses(given, rulebook, working)
    metres = working.given("L", "span", given.figure("span_mm"), "mm") / MM_PER_M
    working.step(
        "m_s", "mass of full pipe from one support to the next", (empty + filling) * metres, "kg", "(m_e + m_c)·L/1000"
    )
    return empty * metres, filling * metres


def _masses(given: Given, rulebook: Rulebook, working: Working) -> tuple[float, float]:
    """Mass of one metre (kg): what stays, and what fills it."""
    if given.has("mass_per_metre_kg"):
        full = working.given("m_f", "mass of one metre of the full pipe", given.figure("mass_per_metre_kg"), "kg")
        empty = working.given("m_e", "mass of one metre empty", given.figure("empty_mass_per_metre_kg"), "kg")
        return empty, working.step("m_c", "mass of the filling of one metre", full - empty, "kg", "m_f − m_e")
    outer = working.given("D", "outer diameter", given.figure("outer_diameter_mm"), "mm")
    wall = working.given("t", "thickness of the wall", given.figure("wall_mm"), "mm")
    metal = working.ruled("ρ_w", "density of the wall", given.chosen("material", rulebook), "kg/m³")
    filling = working.ruled("ρ_c", "density of the filling", given.chosen("contents", rulebook), "kg/m³")
    added = working.given("m_i", "insulation of one metre", given.figure("insulation_mass_per_metre_kg"), "kg")
    inner = outer - 2.0 * wall
    empty = metal * pi / 4.0 * (outer**2 - inner**2) / MM2_PER_M2 + added
    working.step("m_e", "mass of one metre empty", empty, "kg", "ρ_w·π/4·(D² − (D − 2t)²)/10⁶ + m_i")
    full = filling * pi / 4.0 * inner**2 / MM2_PER_M2
    return empty, working.step("m_c", "mass of the filling of one metre", full, "kg", "ρ_c·π/4·(D − 2t)²/10⁶")


def _find(given: Given, rulebook: Rulebook, working: Working) -> ModelActions:
    empty, filling = _span(given, rulebook, working)
    factor = 1.0
    if given.word("support") == "runs_on":
        figure = figure_of(rulebook, "load-models", "continuous_pipe", "factor")
        factor = working.ruled("k_c", "load of a support over one span where the pipe runs on", figure, "1")
    else:
        working.given("k_c", "load of a support over one span where the pipe is jointed", factor, "1")
    total = working.step("m_t", "total mass on this support", (empty + filling) * factor, "kg", "m_s·k_c")
    dead, live = _weights(given, empty * factor, filling * factor, working)
    along = _along(given, rulebook, working, dead + live)
    off = working.given("a", "axis of the pipe off the surface", given.figure("axis_off_surface_mm"), "mm")
    under = given.word("surface") == UNDER
    working.step(
        "M_A", "moment of the force along the pipe about the origin", along * off / MM_PER_M, "kNm", "A_k·a/1000"
    )
    if not under:
        working.step(
            "M_G", "moment of the weight about the origin", (dead + live) * off / MM_PER_M, "kNm", "(G_k + Q_k)·a/1000"
        )
    ways = (("", 0.0),) if along == 0.0 else ((", pushed along one way", 1.0), (", pushed along the other way", -1.0))
    situations = tuple(
        Situation(f"full pipe{words}", _hung(dead, off, under=under), filled, stays=filled)
        for words, way in ways
        for filled in (_hung(live, off, under=under) + force(x_kn=way * along, z_mm=off),)
    )
    notes = (
        ("mass_on_this_support", f"This support carries {total:.4g} kg in all, the pipe full"),
        ("x_along_the_pipe", "x points along the pipe, which runs level"),
        ("variable_load_stays", "The pipe stays full, and what pushes along it may stay"),
    )
    idle = () if given.has("outer_diameter_mm") else BY_SIZE
    per_metre = () if given.has("mass_per_metre_kg") else ("empty_mass_per_metre_kg",)
    held = ("held",) if given.has("along_kn") else ()
    return ModelActions(SOFFIT if under else VERTICAL_FACE, situations, notes, (*idle, *per_metre, *held))


def _weights(given: Given, empty_kg: float, filling_kg: float, working: Working) -> tuple[float, float]:
    """Permanent and variable weight on the support (kN)."""
    if given.has("mass_kg"):
        working.step("G_k", "permanent weight on the support", 0.0, "kN", "0, all of the mass counts as variable")
        return 0.0, working.weight("Q_k", "weight of the full pipe on the support", filling_kg, "m_t")
    dead = working.weight("G_k", "weight of the empty pipe on the support", empty_kg, "m_e·L·k_c/1000")
    return dead, working.weight("Q_k", "weight of the filling on the support", filling_kg, "m_c·L·k_c/1000")


def _along(given: Given, rulebook: Rulebook, working: Working, weight_kn: float) -> float:
    words = "force along the pipe"
    if given.has("along_kn"):
        return working.given("A_k", f"{words} as given", given.figure("along_kn"), "kN")
    share = working.ruled("k_A", f"{words} over the weight on the support", given.chosen("held", rulebook), "1")
    return working.step("A_k", words, share * weight_kn, "kN", "k_A·(G_k + Q_k)")


def _hung(weight_kn: float, off_mm: float, *, under: bool) -> Wrench:
    return force(z_kn=weight_kn, z_mm=off_mm) if under else force(y_kn=-weight_kn, z_mm=off_mm)


MODEL = LoadModel(
    name="pipe_clamp",
    title="Pipe or duct clamp",
    words="One support of a level pipe or duct, full, under a slab or on a wall, with what warmth or braking pushes "
    "along it, either way.",
    inputs=INPUTS,
    surfaces=(SOFFIT, VERTICAL_FACE),
    disagree=_disagree,
    find=_find,
    cautions=("loads_along_the_pipe", "full_for_the_test"),
)
