"""Guardrail post: a line load on the rail, carried by a post on top of a slab or on its front face.

EN 1991-1-1:2002, 6.4 and Table 6.12: horizontal line load by category of use, acting at the height of the rail but no
higher than 1.20 m.
"""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook import Rulebook
from service.site.load_models.actions import MM_PER_M, Situation, Wrench, force
from service.site.load_models.inputs import (
    Given,
    NumberInput,
    RuleFigure,
    RuleWord,
    Word,
    figure_of,
    needed,
    one_of,
    unwanted,
)
from service.site.load_models.model import Disagreement, LoadModel, ModelActions, Surface, Working
from service.site.load_models.surfaces import POST_ON_SLAB, VERTICAL_FACE

CLAUSE = "EN 1991-1-1, 6.4"
TOP, SIDE = "top", "side"

INPUTS = (
    Word(
        "mounting",
        "Where the post is fixed",
        "Whether the post stands on top of the slab or is fixed to its front face.",
        titles={TOP: "On top of the slab", SIDE: "On its front face"},
    ),
    RuleWord(
        "category",
        "Who uses the place",
        "Category of use, which sets the line load; give this or the line load.",
        absent="the line load must be given",
        file="guard-loads",
        table="categories",
        figure="line_load_kn_per_m",
    ),
    NumberInput(
        "line_load_kn_per_m",
        "Line load on the rail, kN/m",
        "Characteristic horizontal line load on the rail, where a design sets it; give this or the category of use.",
        absent="the category must be given",
        unit="kN/m",
        minimum=0.1,
        maximum=20,
    ),
    NumberInput(
        "rail_height_mm",
        "Height of the rail, mm",
        "Height of the rail over the floor that people stand on.",
        unit="mm",
        minimum=300,
        maximum=3000,
    ),
    NumberInput(
        "post_spacing_mm",
        "Distance to the next post, mm",
        "Distance to the next post; the longer one where they differ.",
        unit="mm",
        minimum=100,
        maximum=6000,
    ),
    Word(
        "post",
        "Which post",
        "Whether posts stand on both sides of it (intermediate) or on one (end).",
        absent="an intermediate post, which carries the more",
        default="intermediate",
        titles={"intermediate": "Between two others", "end": "Last of the rail"},
    ),
    Word(
        "rail",
        "The rail at this post",
        "Whether the rail runs on over this post in one piece, or ends or is jointed at it. One that runs on loads a "
        "post between two others with more than one span.",
        absent="it runs on, which loads the post more",
        default="runs_on",
        titles={"runs_on": "Runs on over it, or not known", "jointed": "Ends or is jointed here"},
    ),
    NumberInput(
        "fixing_below_floor_mm",
        "Fixing below the floor, mm",
        "How far the concrete surface (on top) or the origin of the fixing (at the side) lies below that floor; "
        "must be given where the post is fixed at the side.",
        absent="0 where the post stands on top",
        default=0,
        unit="mm",
        minimum=0,
        maximum=3000,
    ),
    NumberInput(
        "post_off_face_mm",
        "Concrete face to the post, mm",
        "Distance from the face of the concrete to the centre of the post; only where it is fixed at the side, and "
        "needed there.",
        absent="refused where the post is fixed at the side",
        unit="mm",
        minimum=0,
        maximum=1000,
    ),
    NumberInput(
        "mass_kg",
        "Mass of post and rail, kg",
        "Mass of the post and its share of the rail; must be given where the post is fixed at the side.",
        absent="0 on top of a slab, where weight only helps",
        default=0,
        unit="kg",
        minimum=0,
        maximum=2000,
    ),
    Word(
        "directions",
        "Which way people push",
        "Whether the line load may push from either side or only outwards.",
        absent="from either side",
        default="both",
        titles={"both": "Outwards or inwards", "outwards": "Outwards only"},
    ),
    NumberInput(
        "along_kn",
        "Force along the rail, kN",
        "Characteristic force along the rail, at the height of the rail however high it is, of a wire or an end stop; "
        "acts either way together with the line load.",
        absent="0, no such force",
        default=0,
        unit="kN",
        minimum=0,
        maximum=100,
    ),
)


def _disagree(given: Given) -> Iterator[Disagreement]:
    side = given.word("mounting") == SIDE
    yield from one_of(given, "category", "line_load_kn_per_m")
    for name in ("fixing_below_floor_mm", "post_off_face_mm", "mass_kg"):
        yield from needed(given, name, side, "where mounting is side")
    yield from unwanted(given, "post_off_face_mm", not side, "where mounting is top")


def _line_load(given: Given, rulebook: Rulebook, working: Working) -> float:
    if given.has("line_load_kn_per_m"):
        return working.given("q_k", "line load as given", given.figure("line_load_kn_per_m"), "kN/m")
    category = given.word("category")
    entry = rulebook.factors["guard-loads"]["categories"][category]
    words = (
        f"line load of category {category} ({entry['title']}); the standard leaves "
        f"{entry['range_min_kn_per_m']:g} to {entry['range_max_kn_per_m']:g} kN/m to each nation"
    )
    return working.ruled("q_k", words, given.chosen("category", rulebook), "kN/m")


def _levers(given: Given, rulebook: Rulebook, working: Working) -> tuple[float, float]:
    """Height over the origin of the line load and of the rail itself (mm)."""
    rail = working.given("h_r", "height of the rail over the floor", given.figure("rail_height_mm"), "mm")
    # The reason for the height stands beside it; it is the standard's, so that is its source.
    highest = RuleFigure(
        float(rulebook.factors["guard-loads"]["height_max_m"]) * MM_PER_M, "factors/guard-loads#/height_max_m", CLAUSE
    )
    limit = working.ruled("h_max", "greatest height at which the line load acts", highest, "mm")
    acts = working.step(
        "h_q", "height at which the line load acts over the floor", min(rail, limit), "mm", "min(h_r, h_max)", CLAUSE
    )
    below = working.given("h_b", "fixing below the floor", given.figure("fixing_below_floor_mm"), "mm")
    height = working.step("h", "height of the load over the origin", acts + below, "mm", "h_q + h_b")
    return height, working.step("h_A", "height of the rail over the origin", rail + below, "mm", "h_r + h_b")


def _post_load(given: Given, rulebook: Rulebook, working: Working) -> float:
    line = _line_load(given, rulebook, working)
    spacing = working.given("s", "spacing of the posts", given.figure("post_spacing_mm"), "mm")
    if given.word("post") == "end":
        length = working.step("l", "length of rail that an end post carries", spacing / 2.0, "mm", "s/2")
    else:
        share = _share_of_a_span(given, rulebook, working)
        length = working.step("l", "length of rail that the post carries", share * spacing, "mm", "k_r·s")
    return working.step("Q_k", "force of the rail on the post", line * length / MM_PER_M, "kN", "q_k·l/1000")


def _share_of_a_span(given: Given, rulebook: Rulebook, working: Working) -> float:
    """Load of a post between two others over that of one span (no unit)."""
    if given.word("rail") == "jointed":
        return working.step("k_r", "load of a post over that of one span, rail jointed here", 1.0, "1", "½ + ½")
    # Releases before the rail had an entry of its own have the same statics under the name of the pipe.
    group = "continuous_rail" if "continuous_rail" in rulebook.factors["load-models"] else "continuous_pipe"
    figure = figure_of(rulebook, "load-models", group, "factor")
    return working.ruled("k_r", "load of a post over that of one span, rail running on over it", figure, "1")


def _find(given: Given, rulebook: Rulebook, working: Working) -> ModelActions:
    across = _post_load(given, rulebook, working)
    height, at_the_rail = _levers(given, rulebook, working)
    mass = working.given("m", "mass of the post and its share of the rail", given.figure("mass_kg"), "kg")
    weight = working.weight("G_k", "weight of the post and its share of the rail", mass, "m")
    along = working.given("A_k", "force along the rail", given.figure("along_kn"), "kN")
    working.step("M_k", "moment of the line load about the origin", across * height / MM_PER_M, "kNm", "Q_k·h/1000")
    on_top = given.word("mounting") == TOP
    off = 0.0
    if not on_top:
        off = working.given("a", "centre of the post off the face", given.figure("post_off_face_mm"), "mm")
        working.step("M_G", "moment of the weight about the origin", weight * off / MM_PER_M, "kNm", "G_k·a/1000")
    permanent = force(z_kn=-weight) if on_top else force(y_kn=-weight, z_mm=off)
    senses = (("outwards", 1.0),) if given.word("directions") == "outwards" else (("outwards", 1.0), ("inwards", -1.0))
    ways = (("", 0.0),) if along == 0.0 else ((" and along one way", 1.0), (" and along the other way", -1.0))
    situations = tuple(
        Situation(
            f"guard load {words}{more}",
            permanent,
            _rail(on_top, (sign * across, height), (way * along, at_the_rail), off_mm=off),
        )
        for words, sign in senses
        for more, way in ways
    )
    notes = (("spans_alike", "The posts stand at equal distances and are equally stiff"),)
    idle = ("rail",) if given.word("post") == "end" else ()
    return ModelActions(_surface(on_top), situations, notes, idle)


def _rail(on_top: bool, across: tuple[float, float], along: tuple[float, float], *, off_mm: float) -> Wrench:
    """What the rail does to the origin: across it and along it, each a force (kN) at its height (mm)."""
    (across_kn, across_mm), (along_kn, along_mm) = across, along
    if on_top:
        return force(x_kn=across_kn, z_mm=across_mm) + force(y_kn=along_kn, z_mm=along_mm)
    return force(z_kn=across_kn, y_mm=across_mm, z_mm=off_mm) + force(x_kn=along_kn, y_mm=along_mm, z_mm=off_mm)


def _surface(on_top: bool) -> Surface:
    return POST_ON_SLAB if on_top else VERTICAL_FACE


MODEL = LoadModel(
    name="guardrail_post",
    title="Guardrail post",
    words="A post that takes its share of the line load on the rail, on top of a slab or on its front face. The load "
    "acts at the height of the rail, no higher than 1.20 m (EN 1991-1-1, 6.4).",
    inputs=INPUTS,
    surfaces=(POST_ON_SLAB, VERTICAL_FACE),
    disagree=_disagree,
    find=_find,
    cautions=("guard_infill_not_covered", "rail_continuity", "post_and_rail_not_checked"),
)
