"""Pipe or duct clamp: what a support carries of the full pipe, off a soffit or a wall, and what pushes on it."""

from __future__ import annotations

from collections.abc import Iterator
from math import pi
from typing import TypeAlias

from service.contract.fields import UNKNOWN
from service.contract.load_model_codes import Because, Caution, Note, Stays, StepCode
from service.contract.things import CAUTIONS_OF, UNDER_A_SLAB
from service.rulebook import Rulebook
from service.site.load_models.actions import MM_PER_M, Situation, Wrench, force
from service.site.load_models.directions import octagon
from service.site.load_models.inputs import (
    Condition,
    Crew,
    Disagreement,
    Given,
    NumberInput,
    RuleFigure,
    RuleWord,
    Where,
    Word,
    entries_of,
    figure_of,
)
from service.site.load_models.model import CrewOfThing, LoadModel, ModelActions, Plate, Working
from service.site.load_models.spans import Carried, Side, carried, longest_told
from service.site.load_models.surfaces import UNDER_THE_PIPE, VERTICAL_FACE
from service.words import Statement

MM2_PER_M2 = 1e6
BESIDE = "wall"
RUNS_ON = "runs_on"
RUNS_ON_HERE = Where("support", Condition.IS, RUNS_ON)
DIAMETER_GIVEN = Where("outer_diameter_mm")
BEAM = "continuous beam over the supports, theorem of three moments; the most over what may stand beyond"
BEYOND_NOT_KNOWN = (
    "not known: the least favourable of what may stand beyond, none of it longer than the longest told, or than the "
    "longest span of the rulebook"
)
LONGEST_SPAN = "longest_pipe_span"
"""Group of the rulebook: how long the spans of the company's pipes are; releases before it leave that open."""
Push: TypeAlias = tuple[str, float, float]
"""Words, and what acts along and across the pipe (kN)."""
BY_SIZE = ("wall_mm", "material", "contents", "insulation_mass_per_metre_kg")

INPUTS = (
    Word(
        "surface",
        "Where the pipe runs",
        "Whether the pipe runs under a slab or along a wall.",
        titles={UNDER_A_SLAB: "Under a slab", BESIDE: "Along a wall"},
    ),
    NumberInput(
        "span_mm",
        "Distance to the next support",
        "Distance from this support of the pipe to the next one, on one side.",
        unit="mm",
        minimum=100,
        maximum=20_000,
    ),
    NumberInput(
        "other_span_mm",
        "Distance to the support behind",
        "Distance from this support to the next one on the other side; needed where the pipe runs on over this "
        "support, as a short span beside a long one loads it far more than two alike.",
        absent="as on the first side, where the pipe ends or is jointed here",
        needed_where=RUNS_ON_HERE,
        crew=Crew(
            hint="The same on the other side. A short span beside a long one loads this support far more than two "
            "alike.",
            first=True,
        ),
        unit="mm",
        minimum=100,
        maximum=20_000,
    ),
    NumberInput(
        "span_beyond_mm",
        "From the next support onwards",
        "Distance from that next support to the one after it, where the pipe runs on over it in one piece.",
        absent=BEYOND_NOT_KNOWN,
        unit="mm",
        minimum=100,
        maximum=20_000,
    ),
    NumberInput(
        "other_span_beyond_mm",
        "From the support behind onwards",
        "The same on the other side.",
        absent=BEYOND_NOT_KNOWN,
        unit="mm",
        minimum=100,
        maximum=20_000,
    ),
    Word(
        "support",
        "Pipe at this support",
        "Whether the pipe runs on over this support, or ends or is jointed at it.",
        absent="runs on, and this support gets more than one span",
        default=RUNS_ON,
        because=Because.MORE_THAN_ONE_SPAN,
        titles={RUNS_ON: "Runs on over it", "jointed": "Ends or is jointed here"},
    ),
    NumberInput(
        "axis_off_surface_mm",
        "Concrete to the pipe's axis",
        "Distance from the concrete to the axis of the pipe.",
        unit="mm",
        most=True,
        minimum=10,
        maximum=3000,
    ),
    NumberInput(
        "mass_kg",
        "Mass of pipe per span",
        "Total mass of full pipe from this support to the next one, on the side whose distance is asked first, "
        "insulation included. Where the pipe runs on, this support is loaded with more than that. Give this, the mass "
        "of one metre or the outer diameter.",
        absent="calculated from the mass of one metre or the pipe, and the distance to the next support",
        crew=Crew(first=True),
        unit="kg",
        most=True,
        minimum=0.05,
        maximum=200_000,
    ),
    NumberInput(
        "mass_per_metre_kg",
        "Mass of one metre of pipe",
        "Kilograms per metre of pipe: mass of ONE METRE of the full pipe with insulation, not of the whole span; "
        "give this, the mass of pipe per span or the outer diameter.",
        absent="calculated from the pipe, or the mass of pipe per span",
        crew=Crew(first=True),
        unit="kg/m",
        most=True,
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
        most=True,
        minimum=0,
        maximum=1000,
    ),
    RuleWord(
        "held",
        "How the support holds it",
        "How the support holds the pipe, which says what thermal movement and surge can push along it, and whether it "
        "can swing aside.",
        absent="what costs most in the rulebook",
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
        "Characteristic force along the pipe from its design, in place of the share by how the support holds it; a "
        "fixed point needs it.",
        absent="a share of the weight, by how the support holds it",
        unit="kN",
        most=True,
        minimum=0,
        maximum=5000,
        crew=Crew(
            hint="From the design of the pipework, in place of how the support holds it; a fixed point needs it."
        ),
    ),
)


LEAST_EMPTY = 0.2
"""What a pipe weighs by itself at least, of the whole, where nobody told: a plastic one full of water; from memory."""
LIFTS_BY = 1.5 / 0.9
"""How much more a variable load counts than a permanent one that holds down; EN 1990, Table A1.2(A), from memory."""


def _disagree(given: Given) -> Iterator[Disagreement]:
    by_size, by_mass = given.has("outer_diameter_mm"), given.has("mass_per_metre_kg")
    if by_size and given.has("wall_mm") and 2.0 * given.figure("wall_mm") >= given.figure("outer_diameter_mm"):
        limit = given.figure("outer_diameter_mm") / 2.0
        yield "wall_mm", "above_maximum", f"must be under half of outer_diameter_mm, {limit:.10g}"
    if by_size and given.figure("axis_off_surface_mm") < given.figure("outer_diameter_mm") / 2.0:
        limit = given.figure("outer_diameter_mm") / 2.0
        words = f"must be at least half of outer_diameter_mm, {limit:.10g}: the pipe does not reach into the concrete"
        yield "axis_off_surface_mm", "below_minimum", words
    if by_mass and given.figure("empty_mass_per_metre_kg") > given.figure("mass_per_metre_kg"):
        limit = given.figure("mass_per_metre_kg")
        yield "empty_mass_per_metre_kg", "above_maximum", f"must be at most mass_per_metre_kg, {limit:.10g}"


def _masses(given: Given, rulebook: Rulebook, working: Working) -> tuple[float, float]:
    """Mass of one metre (kg): what stays, and what fills it, or may."""
    if given.has("mass_kg"):
        span = working.given("m_s", StepCode.MASS_OF_ONE_SPAN, given.figure("mass_kg"), "kg")
        metres = given.figure("span_mm") / MM_PER_M
        working.given("m_e", StepCode.MASS_OF_ONE_METRE_EMPTY, 0.0, "kg")
        return 0.0, working.step("m_c", StepCode.FILLING_OF_ONE_METRE, span / metres, "kg", "1000·m_s/L_1")
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


def _sides(given: Given) -> tuple[Side, Side]:
    """The spans on both sides, the other one as the first where it is not told."""
    span = given.figure("span_mm")
    other = given.figure("other_span_mm") if given.has("other_span_mm") else span
    beyond, behind = (
        given.figure(name) if given.has(name) else None for name in ("span_beyond_mm", "other_span_beyond_mm")
    )
    return Side(span, beyond), Side(other, behind)


def _longest_of_the_rules(given: Given, rulebook: Rulebook) -> RuleFigure | None:
    """How long spans of the company's pipes are; None where the rulebook leaves it open or no side needs it."""
    told = all(side.beyond_mm is not None for side in _sides(given))
    if told or LONGEST_SPAN not in rulebook.factors["load-models"]:
        return None
    return figure_of(rulebook, "load-models", LONGEST_SPAN, "span_mm")


def _carried(given: Given, longest: RuleFigure | None, working: Working) -> Carried:
    """Lengths of pipe that this support carries (mm)."""
    one, other = sides = _sides(given)
    working.given("L_1", StepCode.SPAN, one.next_mm, "mm")
    working.given("L_2", StepCode.SPAN_ON_THE_OTHER_SIDE, other.next_mm, "mm")
    for symbol, side in (("L_3", one), ("L_4", other)):
        if side.beyond_mm is not None:
            working.given(symbol, StepCode.SPAN_BEYOND, side.beyond_mm, "mm")
    most = 0.0 if longest is None else working.ruled("L_m", StepCode.LONGEST_SPAN_OF_THE_RULEBOOK, longest, "mm")
    found = carried(sides, runs_on=given.word("support") == RUNS_ON, longest_mm=most)
    working.step("l_G", StepCode.LENGTH_OF_PIPE_ON_THIS_SUPPORT, found.pipe, "mm", BEAM)
    working.step("l_Q", StepCode.LENGTH_OF_FILLING_ON_THIS_SUPPORT, found.filling, "mm", BEAM)
    return found


def _taken_of_spans(given: Given, longest: RuleFigure | None) -> tuple[Statement, ...]:
    """What is taken of the spans that were not told."""
    sides = _sides(given)
    alike = () if given.has("other_span_mm") else (Statement(Note.OTHER_SPAN_ALIKE, {"span_mm": sides[1].next_mm}),)
    told = longest_told(sides)
    if longest is not None and longest.value > told:
        return (*alike, Statement(Note.NO_LONGER_SPAN_THAN_THE_RULES, {"longest_mm": longest.value}))
    return (*alike, Statement(Note.NO_LONGER_SPAN, {"longest_mm": told}))


def _find(given: Given, rulebook: Rulebook, working: Working) -> ModelActions:
    empty, filling = _masses(given, rulebook, working)
    longest = _longest_of_the_rules(given, rulebook)
    on_this = _carried(given, longest, working)
    total = (empty * on_this.pipe + filling * on_this.filling) / MM_PER_M
    working.step("m_t", StepCode.TOTAL_MASS_ON_THIS_SUPPORT, total, "kg", "(m_e·l_G + m_c·l_Q)/1000")
    dead = working.weight("G_k", StepCode.WEIGHT_OF_THE_EMPTY_PIPE, empty * on_this.pipe / MM_PER_M, "m_e·l_G/1000")
    live = working.weight("Q_k", StepCode.WEIGHT_OF_THE_FILLING, filling * on_this.filling / MM_PER_M, "m_c·l_Q/1000")
    pushes = _pushes(given, rulebook, working, dead + live)
    off = working.given("a", StepCode.AXIS_OF_THE_PIPE_OFF_THE_SURFACE, given.figure("axis_off_surface_mm"), "mm")
    most = max(along for _, along, _ in pushes) * off / MM_PER_M
    working.step("M_A", StepCode.MOMENT_OF_THE_FORCE_ALONG_THE_PIPE, most, "kNm", "max(A_k, S_k)·a/1000")
    under = given.word("surface") == UNDER_A_SLAB
    if not under:
        working.step("M_G", StepCode.MOMENT_OF_THE_WEIGHT, (dead + live) * off / MM_PER_M, "kNm", "(G_k + Q_k)·a/1000")
    situations = tuple(
        Situation(f"full pipe{words}", _hung(dead, off, under=under), filled, stays=filled)
        for words, along, across in pushes
        for filled in (_hung(live, off, under=under) + _pushed(along, across, off, under=under),)
    )
    lifted = tuple(_lifted(on_this, empty, filling, off, under=under, working=working))
    notes = (
        Statement(Note.MASS_ON_THIS_SUPPORT, {"mass_kg": total}),
        Statement(Note.X_ALONG_THE_PIPE if under else Note.X_ALONG_THE_PIPE_ON_A_WALL),
        Statement(Note.PIPE_OF_ONE_STIFFNESS),
        *_taken_of_spans(given, longest),
        Statement(Note.VARIABLE_LOAD_STAYS, {"what": Stays.FULL_PIPE}),
    )
    told = given.has("span_beyond_mm") and given.has("other_span_beyond_mm")
    cautions = (
        *(() if told or lifted or longest is not None else (Caution.LONGER_SPAN_MAY_LIFT,)),
        *((Caution.THIS_SUPPORT_LIFTS,) if lifted else ()),
        *((Caution.NEXT_SUPPORT_LIFTS,) if on_this.neighbour_lifts else ()),
    )
    idle = () if given.has("outer_diameter_mm") else BY_SIZE
    per_metre = () if given.has("mass_per_metre_kg") else ("empty_mass_per_metre_kg",)
    surface = UNDER_THE_PIPE if under else VERTICAL_FACE
    return ModelActions(surface, (*situations, *lifted), notes, (*idle, *per_metre), cautions)


def _lifted(
    on_this: Carried, empty: float, filling: float, off_mm: float, *, under: bool, working: Working
) -> Iterator[Situation]:
    """The pipe pushes this support up, where a long span beyond the next one turns it about that."""
    # It does so hardest half full: the spans beside this support are still empty, or empty first.
    known = empty > 0.0
    own = 0.0 if known else LEAST_EMPTY
    loaded = own * on_this.least + (1.0 - own) * on_this.least_filling
    if empty * on_this.least + LIFTS_BY * filling * loaded >= 0.0:
        return
    length = working.step("l_u", StepCode.LENGTH_OF_PIPE_THAT_LIFTS, on_this.least, "mm", BEAM)
    working.step("l_v", StepCode.LENGTH_OF_FILLING_THAT_LIFTS, on_this.least_filling, "mm", BEAM)
    dead = working.weight("G_u", StepCode.LIFT_BY_THE_EMPTY_PIPE, empty * length / MM_PER_M, "m_e·l_u/1000")
    by = "m_c·l_v/1000" if known else f"m_c·({own:g}·l_u + {1.0 - own:g}·l_v)/1000"
    live = working.weight("Q_u", StepCode.LIFT_BY_THE_FILLING, filling * loaded / MM_PER_M, by)
    filled = _hung(live, off_mm, under=under)
    yield Situation("half-filled pipe lifts here", _hung(dead, off_mm, under=under), filled, stays=filled, told=True)


def _pushes(given: Given, rulebook: Rulebook, working: Working, weight_kn: float) -> tuple[Push, ...]:
    """What pushes on the pipe beside its weight: each way along it, and any way where it can swing."""
    along = _along(given, rulebook, working, weight_kn)
    swing = _swing(given, rulebook, working, weight_kn)
    ways = [(f", swinging {name}", swing * x, swing * y) for name, x, y in octagon("xy")] if swing > 0.0 else []
    # What swings as hard along the pipe covers the push along it.
    if along > swing:
        ways += [(", pushed along one way", along, 0.0), (", pushed along the other way", -along, 0.0)]
    return tuple(ways) or (("", 0.0, 0.0),)


def _along(given: Given, rulebook: Rulebook, working: Working, weight_kn: float) -> float:
    if given.has("along_kn"):
        return working.given("A_k", StepCode.FORCE_ALONG_THE_PIPE_AS_GIVEN, given.figure("along_kn"), "kN")
    share = working.ruled("k_A", StepCode.FORCE_ALONG_THE_PIPE_OVER_WEIGHT, given.chosen("held", rulebook), "1")
    return working.step("A_k", StepCode.FORCE_ALONG_THE_PIPE, share * weight_kn, "kN", "k_A·(G_k + Q_k)")


def _swing(given: Given, rulebook: Rulebook, working: Working, weight_kn: float) -> float:
    """Push of a support that swings, any way (kN); of one that nobody knows, the hardest that does."""
    held = given.inputs["held"]
    if not isinstance(held, RuleWord):
        raise TypeError("held is no word of the rulebook")
    table = entries_of(rulebook, held)
    words = tuple(table) if given.word("held") == UNKNOWN else (given.word("held"),)
    # Releases before 2026.7.0 do not say what swings: then anything may.
    swinging = [word for word in words if table[word].get("swings", True)]
    if not swinging:
        return 0.0
    word = max(swinging, key=lambda each: float(table[each]["share"]))
    figure = figure_of(rulebook, held.file, held.table, word, held.figure)
    share = working.ruled("k_S", StepCode.SWING_OVER_WEIGHT, figure, "1")
    return working.step("S_k", StepCode.SWING_ANY_WAY, share * weight_kn, "kN", "k_S·(G_k + Q_k)")


def _hung(weight_kn: float, off_mm: float, *, under: bool) -> Wrench:
    return force(z_kn=weight_kn, z_mm=off_mm) if under else force(y_kn=-weight_kn, z_mm=off_mm)


def _pushed(along_kn: float, across_kn: float, off_mm: float, *, under: bool) -> Wrench:
    """A push at the axis of the pipe: across it is aside under a slab, and off the wall or on to it at a wall."""
    if under:
        return force(x_kn=along_kn, y_kn=across_kn, z_mm=off_mm)
    return force(x_kn=along_kn, z_kn=across_kn, z_mm=off_mm)


MODEL = LoadModel(
    name="pipe_clamp",
    title="Pipe or duct clamp",
    words="One support of a level pipe or duct, full, under a slab or on a wall: what it carries of the pipe as a beam "
    "that runs on over its supports, with what thermal movement or surge pushes along it, either way, and any way "
    "where it can swing.",
    inputs=INPUTS,
    surfaces=(UNDER_THE_PIPE, VERTICAL_FACE),
    find=_find,
    cautions=CAUTIONS_OF["pipe_clamp"],
    exactly_one=("mass_per_metre_kg", "outer_diameter_mm", "mass_kg"),
    disagree=_disagree,
    crew=CrewOfThing(
        told_apart="One support of a level pipe or duct, full, under a slab or on a wall, where something may also "
        "push along the pipe.",
        example=Plate(200, 100, 8, 130, 60, 60, 60),
    ),
)
