"""Guardrail post: a line load on the rail, carried by a post on top of a slab or on its front face.

EN 1991-1-1:2002, 6.4 and Table 6.12: horizontal line load by category of use, acting at the height of the rail but no
higher than 1.20 m.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from service.contract.load_model_codes import Because, Note, StepCode
from service.contract.things import CAUTIONS_OF
from service.rulebook import Rulebook
from service.site.load_models.actions import MM_PER_M, Situation, Wrench, force
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
    figure_of,
)
from service.site.load_models.model import LoadModel, ModelActions, Surface, Working
from service.site.load_models.spans import Side, carried, carried_at_the_end
from service.site.load_models.surfaces import POST_ON_FACE, POST_ON_SLAB
from service.words import Statement

CLAUSE = "EN 1991-1-1, 6.4"
TOP, SIDE = "top", "side"
BETWEEN, END, CORNER = "intermediate", "end", "corner"
JOINTED = "jointed"
BEAM = "continuous beam, theorem of three moments; loaded where it loads the post most, whatever stands beyond"
AT_THE_SIDE = Where("mounting", Condition.IS, SIDE)
AT_THE_END = Where("post", Condition.IS, END)

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
        crew=Crew(
            first=True,
            hint="Sets the load on the rail; give this or the line load.",
            left_empty="give the line load instead",
        ),
        file="guard-loads",
        table="categories",
        figure="line_load_kn_per_m",
        read_in="kN/m",
    ),
    NumberInput(
        "line_load_kn_per_m",
        "Line load on the rail",
        "Characteristic horizontal line load on the rail, where a design sets it; give this or the category of use.",
        absent="the category must be given",
        crew=Crew(
            first=True,
            hint="From the design, where it has one; give this or who uses the place.",
            left_empty="say who uses the place instead",
        ),
        unit="kN/m",
        most=True,
        minimum=0.1,
        maximum=20,
    ),
    NumberInput(
        "rail_height_mm",
        "Height of the rail",
        "Height of the rail over the floor that people stand on.",
        unit="mm",
        most=True,
        minimum=300,
        maximum=3000,
    ),
    NumberInput(
        "post_spacing_mm",
        "Distance to the next post",
        "Distance to the next post on one side.",
        unit="mm",
        minimum=100,
        maximum=6000,
    ),
    NumberInput(
        "other_post_spacing_mm",
        "Distance to the post behind",
        "Distance to the next post on the other side, or along the other rail at a corner. A short distance beside a "
        "long one can load the post far more than two alike.",
        absent="as on the first side",
        follows="post_spacing_mm",
        unit="mm",
        minimum=100,
        maximum=6000,
    ),
    NumberInput(
        "spacing_beyond_mm",
        "Distance beyond the next post",
        "For the last post of a rail: distance from the next post to the one after it. People who push there turn the "
        "rail about the next post, and this one the other way: the more so, the longer that span is beside the first.",
        absent="as to the next post",
        follows="post_spacing_mm",
        only_where=AT_THE_END,
        unit="mm",
        minimum=100,
        maximum=6000,
    ),
    Word(
        "post",
        "Which post",
        "Whether posts stand on both sides of it (intermediate), on one (end, as both posts of a rail with only two), "
        "or whether it takes two rails that meet at a corner (corner).",
        absent="an intermediate post, which carries more than an end post; a corner must be told",
        default=BETWEEN,
        because=Because.CARRIES_MORE,
        crew=Crew(first=True),
        titles={
            BETWEEN: "Between two others",
            END: "Last of the rail, or of only two",
            CORNER: "At a corner of two rails",
        },
    ),
    Word(
        "rail",
        "The rail at this post",
        "Whether the rail runs on over this post in one piece, or ends or is jointed at it. One that runs on loads a "
        "post between two others with more than one span.",
        absent="it runs on, which loads the post more",
        default="runs_on",
        because=Because.LOADS_THE_POST_MORE,
        titles={"runs_on": "Runs on over it, or not known", JOINTED: "Ends or is jointed here"},
    ),
    NumberInput(
        "fixing_below_floor_mm",
        "Fixing below the floor",
        "How far the concrete surface (on top) or the origin of the fixing (at the side) lies below that floor; "
        "must be given where the post is fixed at the side.",
        default=0,
        because=Because.POST_ON_TOP,
        needed_where=AT_THE_SIDE,
        crew=Crew(
            hint="How far the concrete under the post, or the middle of the plate at the side, lies below that floor.",
            first=True,
        ),
        unit="mm",
        most=True,
        minimum=0,
        maximum=3000,
    ),
    NumberInput(
        "post_off_face_mm",
        "Concrete face to the post's centre",
        "Distance from the face of the concrete to the centre of the post; only where it is fixed at the side, and "
        "needed there.",
        absent="refused where the post is fixed at the side",
        needed_where=AT_THE_SIDE,
        only_where=AT_THE_SIDE,
        crew=Crew(hint="Distance from the face of the concrete to the middle of the post.", first=True),
        unit="mm",
        most=True,
        minimum=0,
        maximum=1000,
    ),
    NumberInput(
        "mass_kg",
        "Mass of post and rail",
        "Mass of the post and its share of the rail; must be given where the post is fixed at the side.",
        default=0,
        because=Because.WEIGHT_ONLY_HELPS,
        needed_where=AT_THE_SIDE,
        crew=Crew(hint="Mass of the post and its share of the rail.", first=True),
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
        because=Because.FROM_EITHER_SIDE,
        titles={"both": "Outwards or inwards", "outwards": "Outwards only"},
    ),
    NumberInput(
        "along_kn",
        "Force along the rail",
        "Characteristic force along the rail, at the height of the rail however high it is, of a wire or an end stop; "
        "acts either way together with the line load.",
        default=0,
        because=Because.NO_SUCH_FORCE,
        unit="kN",
        most=True,
        minimum=0,
        maximum=100,
        crew=Crew(hint="Pull of a wire or an end stop along the rail, at the height of the rail; acts either way."),
    ),
)


def _line_load(given: Given, rulebook: Rulebook, working: Working) -> float:
    if given.has("line_load_kn_per_m"):
        return working.given("q_k", StepCode.LINE_LOAD_AS_GIVEN, given.figure("line_load_kn_per_m"), "kN/m")
    category = given.word("category")
    entry = rulebook.factors["guard-loads"]["categories"][category]
    words = Statement(
        StepCode.LINE_LOAD_OF_THE_CATEGORY,
        {
            "category": category,
            "title": entry["title"],
            "least_kn_per_m": entry["range_min_kn_per_m"],
            "most_kn_per_m": entry["range_max_kn_per_m"],
        },
    )
    return working.ruled("q_k", words, given.chosen("category", rulebook), "kN/m")


def _levers(given: Given, rulebook: Rulebook, working: Working) -> tuple[float, float]:
    """Height over the origin of the line load and of the rail itself (mm)."""
    rail = working.given("h_r", StepCode.HEIGHT_OF_THE_RAIL_OVER_THE_FLOOR, given.figure("rail_height_mm"), "mm")
    # The reason for the height stands beside it; it is the standard's, so that is its source.
    highest = RuleFigure(
        float(rulebook.factors["guard-loads"]["height_max_m"]) * MM_PER_M, "factors/guard-loads#/height_max_m", CLAUSE
    )
    limit = working.ruled("h_max", StepCode.GREATEST_HEIGHT_OF_THE_LINE_LOAD, highest, "mm")
    acts = working.step(
        "h_q",
        StepCode.HEIGHT_OF_THE_LINE_LOAD,
        min(rail, limit),
        "mm",
        "min(h_r, h_max)",
        CLAUSE,
    )
    below = working.given("h_b", StepCode.FIXING_BELOW_THE_FLOOR, given.figure("fixing_below_floor_mm"), "mm")
    height = working.step("h", StepCode.HEIGHT_OF_THE_LOAD_OVER_THE_PLATE, acts + below, "mm", "h_q + h_b")
    return height, working.step("h_A", StepCode.HEIGHT_OF_THE_RAIL_OVER_THE_PLATE, rail + below, "mm", "h_r + h_b")


def _disagree(given: Given) -> Iterator[Disagreement]:
    if given.word("post") == END and given.has("other_post_spacing_mm"):
        words = f"must be left out where post is {END}: there is no post on the other side"
        yield "other_post_spacing_mm", "conflict", words


@dataclass(frozen=True, slots=True)
class _OnThePost:
    """Forces on the post (kN): the way people push, against it from beyond the next post, and of another rail."""

    across_kn: float
    back_kn: float = 0.0
    aside_kn: float = 0.0


def _post_loads(given: Given, rulebook: Rulebook, working: Working) -> _OnThePost:
    line = _line_load(given, rulebook, working)
    spacing = working.given("s", StepCode.SPACING_OF_THE_POSTS, given.figure("post_spacing_mm"), "mm")
    if given.word("post") == END:
        return _at_the_end(given, line, spacing, working)
    other = given.figure("other_post_spacing_mm")
    working.given("s_2", StepCode.SPACING_ON_THE_OTHER_SIDE, other, "mm")
    if given.word("post") == CORNER:
        length = working.step("l", StepCode.LENGTH_OF_RAIL_THAT_AN_END_POST_CARRIES, spacing / 2.0, "mm", "s/2")
        aside = working.step("l_2", StepCode.LENGTH_OF_THE_OTHER_RAIL, other / 2.0, "mm", "s_2/2")
        other_kn = line * aside / MM_PER_M
        working.step("Q_2", StepCode.FORCE_OF_THE_OTHER_RAIL, other_kn, "kN", "q_k·l_2/1000")
        return _OnThePost(_on_the_post(line, length, working), aside_kn=other_kn)
    return _OnThePost(_on_the_post(line, _length_between(given, rulebook, working, (spacing, other)), working))


def _at_the_end(given: Given, line: float, spacing: float, working: Working) -> _OnThePost:
    """What the last post of a rail carries; people may push on any of its spans, and on no other."""
    beyond = working.given("s_b", StepCode.SPACING_BEYOND, given.figure("spacing_beyond_mm"), "mm")
    found = carried_at_the_end(Side(spacing, beyond))
    beam = working.step("l_b", StepCode.LENGTH_OF_RAIL_AS_A_BEAM, found.filling, "mm", BEAM)
    back = working.step("l_r", StepCode.LENGTH_OF_RAIL_THAT_TURNS_IT, -found.least_filling, "mm", BEAM)
    # Where people push either way, the harder of both pushes either way too.
    either_way = given.word("directions") == "both"
    length = working.step(
        "l",
        StepCode.LENGTH_OF_RAIL_THAT_AN_END_POST_CARRIES,
        max(beam, back) if either_way else beam,
        "mm",
        "max(l_b, l_r)" if either_way else "l_b",
    )
    return _OnThePost(_on_the_post(line, length, working), 0.0 if either_way else line * back / MM_PER_M)


def _on_the_post(line: float, length: float, working: Working) -> float:
    return working.step("Q_k", StepCode.FORCE_OF_THE_RAIL_ON_THE_POST, line * length / MM_PER_M, "kN", "q_k·l/1000")


def _length_between(given: Given, rulebook: Rulebook, working: Working, spans: tuple[float, float]) -> float:
    """Length of rail that a post between two others carries (mm)."""
    half = sum(spans) / 2.0
    runs_on = given.word("rail") != JOINTED
    if runs_on:
        # Releases before the rail had an entry of its own have the same statics under the name of the pipe.
        group = "continuous_rail" if "continuous_rail" in rulebook.factors["load-models"] else "continuous_pipe"
        figure = figure_of(rulebook, "load-models", group, "factor")
        share = working.ruled("k_r", StepCode.POST_WHERE_THE_RAIL_RUNS_ON, figure, "1")
    else:
        share = working.step("k_r", StepCode.POST_WHERE_THE_RAIL_IS_JOINTED, 1.0, "1", "½ + ½")
    # People lean where they like: the load stands on the spans that load the post most, and on no other.
    beam = carried((Side(spans[0]), Side(spans[1])), runs_on=runs_on).filling
    working.step("l_b", StepCode.LENGTH_OF_RAIL_AS_A_BEAM, beam, "mm", BEAM)
    return working.step(
        "l", StepCode.LENGTH_OF_RAIL_THAT_THE_POST_CARRIES, max(share * half, beam), "mm", "max(k_r·(s + s_2)/2, l_b)"
    )


def _find(given: Given, rulebook: Rulebook, working: Working) -> ModelActions:
    acting_on = _post_loads(given, rulebook, working)
    across, aside = acting_on.across_kn, acting_on.aside_kn
    height, at_the_rail = _levers(given, rulebook, working)
    mass = working.given("m", StepCode.MASS_OF_THE_POST, given.figure("mass_kg"), "kg")
    weight = working.weight("G_k", StepCode.WEIGHT_OF_THE_POST, mass, "m")
    along = working.given("A_k", StepCode.FORCE_ALONG_THE_RAIL, given.figure("along_kn"), "kN")
    working.step("M_k", StepCode.MOMENT_OF_THE_LINE_LOAD, across * height / MM_PER_M, "kNm", "Q_k·h/1000")
    on_top = given.word("mounting") == TOP
    off = 0.0
    if not on_top:
        off = working.given("a", StepCode.CENTRE_OF_THE_POST_OFF_THE_FACE, given.figure("post_off_face_mm"), "mm")
        working.step("M_G", StepCode.MOMENT_OF_THE_WEIGHT, weight * off / MM_PER_M, "kNm", "G_k·a/1000")
    permanent = force(z_kn=-weight) if on_top else force(y_kn=-weight, z_mm=off)
    pushes = [("outwards", across)]
    if given.word("directions") == "both":
        pushes.append(("inwards", -across))
    if acting_on.back_kn:
        pushes.append(("outwards beyond the next post", -acting_on.back_kn))
    acting = _Acting(on_top, off, height, at_the_rail)
    wires = [(words, acting.wire(square=way[0] * along, in_line=way[1] * along)) for words, way in _wires(along, aside)]
    # A wire that is stretched pulls for good, whether or not anybody leans on the rail.
    situations = (
        *(
            Situation(
                f"guard load {words}{hand}{more}",
                permanent,
                acting.rails(push, turn * aside) + wire,
                stays=wire,
            )
            for words, push in pushes
            for hand, turn in _hands(aside)
            for more, wire in wires
        ),
        *(
            Situation(f"wire{more.removeprefix(' and')} alone", permanent, wire, stays=wire)
            for more, wire in wires
            if along
        ),
    )
    notes = (
        Statement(Note.SPANS_ALIKE),
        *((Statement(Note.CORNER_OF_TWO_RAILS),) if aside else ()),
        *((Statement(Note.WIRE_STAYS),) if along else ()),
    )
    idle = {
        BETWEEN: ("spacing_beyond_mm",),
        END: ("rail", "other_post_spacing_mm"),
        CORNER: ("rail", "spacing_beyond_mm"),
    }[given.word("post")]
    return ModelActions(_surface(on_top), situations, notes, idle)


def _hands(aside_kn: float) -> tuple[tuple[str, float], ...]:
    """Which way the other rail of a corner pushes; which hand the corner is of is not told."""
    if aside_kn == 0.0:
        return (("", 0.0),)
    return (", other rail one way", 1.0), (", other rail the other way", -1.0)


def _wires(along_kn: float, aside_kn: float) -> tuple[tuple[str, tuple[float, float]], ...]:
    """Which way a wire pulls, square to the first rail and along it: at a corner along either rail."""
    if along_kn == 0.0:
        return (("", (0.0, 0.0)),)
    first = ((" and along one way", (0.0, 1.0)), (" and along the other way", (0.0, -1.0)))
    if aside_kn == 0.0:
        return first
    return (*first, (" and along that one way", (1.0, 0.0)), (" and along that the other way", (-1.0, 0.0)))


@dataclass(frozen=True, slots=True)
class _Acting:
    """Where rails and wires act on a post: on top or at the side, and how far from the origin (mm)."""

    on_top: bool
    off_mm: float
    height_mm: float
    at_the_rail_mm: float

    def rails(self, square_kn: float, in_line_kn: float) -> Wrench:
        """What the rails do to the origin: square to the first rail and in line with it (kN)."""
        return self._brought(square_kn, in_line_kn, self.height_mm)

    def wire(self, square: float, in_line: float) -> Wrench:
        """What a wire does to the origin (kN)."""
        return self._brought(square, in_line, self.at_the_rail_mm)

    def _brought(self, square_kn: float, in_line_kn: float, at_mm: float) -> Wrench:
        if self.on_top:
            return force(x_kn=square_kn, y_kn=in_line_kn, z_mm=at_mm)
        return force(x_kn=in_line_kn, z_kn=square_kn, y_mm=at_mm, z_mm=self.off_mm)


def _surface(on_top: bool) -> Surface:
    return POST_ON_SLAB if on_top else POST_ON_FACE


MODEL = LoadModel(
    name="guardrail_post",
    title="Guardrail post",
    words="A post that takes its share of the line load on the rail, or on two rails that meet at a corner, on top of "
    "a slab or on its front face. The load acts at the height of the rail, no higher than 1200 mm (EN 1991-1-1, 6.4).",
    inputs=INPUTS,
    surfaces=(POST_ON_SLAB, POST_ON_FACE),
    find=_find,
    cautions=CAUTIONS_OF["guardrail_post"],
    exactly_one=("category", "line_load_kn_per_m"),
    disagree=_disagree,
)
