"""What a request says of a fixing: fastener, member, fixture, loads, use and site."""

from collections.abc import Mapping
from typing import Any, ClassVar

from service.contract.fields import (
    UNKNOWN,
    Choice,
    Conditions,
    Day,
    Flag,
    Items,
    Number,
    Part,
    PartOrUnknown,
    Text,
    Whole,
    Word,
)
from service.contract.load_model_codes import Caution
from service.contract.quantities import (
    bar_diameter,
    bar_spacing,
    concrete_temperature,
    coordinate,
    cylinder_strength,
    embedment,
    extent,
    fastener_length,
    fixture_hole,
    fixture_thickness,
    force,
    gap,
    grout_strength,
    member_thickness,
    moment,
    share,
    washer_thickness,
)
from service.contract.request_schema import Gone, RequestSchema
from service.contract.terms import (
    ACTION_KINDS,
    BASE_MATERIALS,
    CLEARANCES,
    DETAILS,
    EDGE_REINFORCEMENTS,
    FARTHEST_MM,
    HOLES,
    KINDS,
    MOST_ACTIONS,
    MOST_NEIGHBOURS,
    NEIGHBOUR_STATES,
    PROFILES,
    ROTATIONS,
    SITUATIONS,
    STATES,
    STRENGTH_CLASSES,
    TOPPINGS,
)
from service.contract.things import THINGS
from service.contract.verification_codes import terms

CONSEQUENCES = tuple(each.value for each in terms.CONSEQUENCES)
LOAD_MODEL_CAUTIONS = tuple(each.value for each in Caution)


class Fastener(RequestSchema):
    """The fastener to be verified, as the rulebook names it."""

    family = Word("Family, as listed at /v1/families.", required=True)
    size = Text("Size of the family, for example M12.", longest=20, required=True)
    embedment_mm = embedment("Effective embedment depth h_ef; one that the rulebook lists for the size.", required=True)
    length_mm = fastener_length(
        "Length of the fastener.", absent="the shortest that clamps fixture, grout and stand-off"
    )


class Edges(RequestSchema):
    """Where the member ends, measured from the origin; a negative distance puts the edge on the other side of it."""

    x_minus_mm = coordinate("Distance from the origin to the edge in the direction of −x.", absent="out of reach")
    x_plus_mm = coordinate("Distance from the origin to the edge in the direction of +x.", absent="out of reach")
    y_minus_mm = coordinate("Distance from the origin to the edge in the direction of −y.", absent="out of reach")
    y_plus_mm = coordinate("Distance from the origin to the edge in the direction of +y.", absent="out of reach")


class Reinforcement(RequestSchema):
    """Reinforcement of the member near the fixing."""

    spacing_mm = bar_spacing(
        "Spacing of the bars at the surface, the smaller of the two directions.", absent="not known"
    )
    diameter_mm = bar_diameter(
        "Diameter of the bars at the surface, the larger of the two directions.", absent="not known"
    )
    edge = Choice("Reinforcement along the edge of the member.", EDGE_REINFORCEMENTS, absent="none", default="none")
    stirrup_spacing_mm = bar_spacing("Spacing of the stirrups along the edge.", absent="not known")
    cracks_held_to_0_3_mm = Flag(
        "True when reinforcement is shown to hold the splitting cracks to 0.3 mm; its bars are then given, at most "
        "300 mm apart.",
        absent="false",
        default=False,
    )


class Topping(RequestSchema):
    """What lies on the concrete where the fixture stands: it holds nothing."""

    kind = Choice("What it is.", TOPPINGS, required=True)
    thickness_mm = Number("Its thickness where it is greatest.", "mm", minimum=1, maximum=500, required=True)
    comes_off = Flag(
        "True when it is taken off down to the concrete under the whole fixture before the hole is drilled. What stays "
        "counts as stand-off: the fasteners bend in it and have to be longer, and the fixture's thickness is needed.",
        absent="false: it stays",
        default=False,
    )


class Member(RequestSchema):
    """The concrete that holds the fixing."""

    material = Choice(
        "What the fixing is set into. The method covers solid normal-weight concrete only; in anything else, and where "
        "it is unknown, no number is given, except by a site_test in that very material.",
        (*BASE_MATERIALS, UNKNOWN),
        absent="taken as solid normal-weight concrete, which the answer lists as its first assumption",
        default=terms.BaseMaterial.NORMAL_WEIGHT_CONCRETE.value,
    )
    topping = Part(
        Topping,
        "What lies on the concrete; thickness, edges and positions are those of the concrete under it.",
        absent="nothing lies on it, which the answer lists as an assumption",
    )
    strength_class = Choice(
        "Strength class of EN 1992-1-1 Table 3.1, or unknown; a class is refused beside strength_mpa.",
        (*STRENGTH_CLASSES, UNKNOWN),
        absent="unknown, unless strength_mpa is given",
        default=UNKNOWN,
    )
    strength_mpa = cylinder_strength(
        "Characteristic cylinder strength f_ck in place of a strength class; refused beside one.",
        absent="the strength class counts",
    )
    strength_most_mpa = cylinder_strength(
        "The most cylinder strength that the concrete is known to have. It helps no resistance: shear has no lever arm "
        "over grout only where the grout is at least as strong. Below the strength itself, that counts.",
        absent="the strength that is given; where none is, the grout is taken to be weaker",
    )
    state = Choice(
        "State of the concrete around the fixing in service.", (*STATES, UNKNOWN), absent="unknown", default=UNKNOWN
    )
    thickness_mm = member_thickness("Thickness of the member behind the fixing, without topping.", required=True)
    edges = Part(
        Edges,
        "Edges of the member. Every fastener must stand within them, and opposite ones must leave concrete between.",
        absent="every edge is out of reach",
    )
    reinforcement = PartOrUnknown(
        Reinforcement, "Reinforcement near the fixing, or `unknown`.", absent="unknown", default=UNKNOWN
    )


class Position(RequestSchema):
    """Where a fastener stands in the concrete surface: within the fixture and within the edges of the member."""

    x_mm = coordinate("x of the fastener.", required=True)
    y_mm = coordinate("y of the fastener.", required=True)


class Neighbour(RequestSchema):
    """A fastener of another fixing nearby, or an old hole; what is not known is left out."""

    x_mm = coordinate("x of its centre.", required=True)
    y_mm = coordinate("y of its centre.", required=True)
    state = Choice(
        "loaded: a fastener that carries something. unloaded: a fastener that never will, which has to be shown. "
        "open_hole: a hole without a fastener. filled_hole: one that is filled with high-strength grout that has "
        "hardened, which has to be shown; where shear pushes towards it, it counts as open.",
        (*NEIGHBOUR_STATES, UNKNOWN),
        absent="unknown, which counts as loaded",
        default=UNKNOWN,
    )
    family = Word(
        "Family of a fastener, as listed at /v1/families.",
        absent="not known; the least spacing of its assessment is not asked for",
    )
    size = Text(
        "Size of a fastener, as its family has it.",
        longest=20,
        absent="not known; the least spacing of its assessment is not asked for",
    )
    embedment_mm = embedment(
        "Effective embedment depth of a fastener.",
        absent="not known; it takes all concrete that both need, as deep as its family and size can be; without a "
        "family as the rulebook says, or as ours if that is deeper",
    )
    hole_diameter_mm = Number(
        "Diameter of a hole; required for open_hole and filled_hole.",
        "mm",
        minimum=3,
        maximum=500,
        absent="refused for a hole",
    )
    hole_depth_mm = Number(
        "Depth of a hole; required for open_hole and filled_hole.",
        "mm",
        minimum=1,
        maximum=5000,
        absent="refused for a hole",
    )


class AttachedSection(RequestSchema):
    """What stands on the fixture, about the fixture's centre; not larger than the fixture."""

    width_mm = extent("Extent along x of its outline, at most the fixture's width_mm.", required=True)
    depth_mm = extent("Extent along y of its outline, at most the fixture's depth_mm.", required=True)
    profile = Choice(
        "What it is where it is joined to the fixture: solid (a bar, a block or a plate on edge), hollow (a tube or "
        "box, joined all round), an I- or H-section with its web along x or along y, or other (channel, angle, tee, "
        "several parts). Between the walls of a tube and beside an open profile a plate bends more than its outline "
        "tells.",
        PROFILES,
        absent="not known; it counts as other, the least favourable",
    )


class Grout(RequestSchema):
    """Levelling layer between fixture and concrete."""

    thickness_mm = gap("Thickness of the layer.", absent="0", default=0)
    strength_mpa = grout_strength("Compressive strength of the grout.", absent="not known")


class Centre(RequestSchema):
    """Centre of the fixture."""

    x_mm = Number("x of the centre.", "mm", minimum=-5000, maximum=5000, absent="0", default=0)
    y_mm = Number("y of the centre.", "mm", minimum=-5000, maximum=5000, absent="0", default=0)


class Fixture(RequestSchema):
    """The plate, bracket or foot that is held."""

    plate = Flag(
        "False where there is none: a bare rod, or a ring or hook, which never has one. Nothing then bears on the "
        "concrete, takes a moment or shares a load; width_mm, depth_mm and thickness_mm are those of what lies under "
        "nut or ring, and stand_off_mm is the height above the concrete at which a bare rod is pushed across.",
        absent="true",
        default=True,
    )
    width_mm = Number("Extent along x.", "mm", minimum=10, maximum=FARTHEST_MM, required=True)
    depth_mm = Number("Extent along y.", "mm", minimum=10, maximum=FARTHEST_MM, required=True)
    centre = Part(
        Centre, "Centre of the fixture; moves the contact and the attached section only.", absent="at the origin"
    )
    thickness_mm = fixture_thickness(
        "Thickness of the fixture t_fix; required where there is a stand-off, grout or a topping that stays.",
        absent="not known; the length of the fastener is then not checked, and no plate that bends counts as stiff",
    )
    yield_mpa = Number(
        "Yield strength of the fixture.",
        "MPa",
        minimum=50,
        maximum=1500,
        absent="not known; the plate then has to be stiff as the weakest common steel",
    )
    attached_section = Part(
        AttachedSection,
        "What stands on the fixture.",
        absent="not known; the plate then has to be stiff under a point in its middle, and along any one of its rims",
    )
    clearance = Choice(
        "Holes in the fixture: as the standard's table, filled, or larger than the table. Where the holes are there "
        "already, give hole_diameter_mm.",
        CLEARANCES,
        absent="by hole_diameter_mm, and normal without it",
    )
    hole_diameter_mm = fixture_hole(
        "Diameter of the holes that the fixture has. Whether they count as normal or as oversize follows from it for "
        "each fastener, whatever `clearance` says, but that oversize stays oversize and filled stays filled.",
        absent="not known; clearance counts",
    )
    washer_thickness_mm = washer_thickness(
        "Thickness of the washer that lies over each hole of the fixture where the holes are filled or oversize, in "
        "place of the common one; the length has to reach through it as well. Elsewhere it changes nothing.",
        absent="not known; as thick as washers of the size come",
    )
    stand_off_mm = gap("Free height between concrete or grout and fixture.", absent="0", default=0)
    grout = Part(Grout, "Levelling layer.", absent="none")
    rotation = Choice(
        "With a lever arm: whether the fixture is held against rotation or free to rotate.",
        ROTATIONS,
        absent="free, which is the less favourable",
        default="free",
    )
    washer_clamped = Flag(
        "With a lever arm: true when nut and washer clamp the fastener to the concrete; refused where a topping stays, "
        "or grout levels the concrete under a stand-off.",
        absent="false",
        default=False,
    )


class Components(RequestSchema):
    """Forces and moments on the fixture, at the origin in the concrete surface; not all of them zero."""

    normal_kn = force("Normal force, positive when it pulls.", absent="0", default=0)
    shear_x_kn = force("Shear along x.", absent="0", default=0)
    shear_y_kn = force("Shear along y.", absent="0", default=0)
    moment_x_knm = moment("Moment about x, Σ y·F.", absent="0", default=0)
    moment_y_knm = moment("Moment about y, −Σ x·F.", absent="0", default=0)
    torsion_knm = moment("Moment about z, Σ (x·V_y − y·V_x).", absent="0", default=0)


ACTIONS_INSTEAD = (
    "give actions in place of load_cases: one of kind permanent with the permanent share of each component, and one of "
    "kind variable with the rest; the service factors and combines them"
)


class LoadCase(Components):
    """One complete situation of design actions on the fixture."""

    RENAMED: ClassVar[Mapping[str, Gone]] = {"permanent_share": Gone(f"is gone: {ACTIONS_INSTEAD}")}

    name = Text("Name of the load case; no two have the same.", longest=80, required=True)
    kind = Choice(
        "Design values; characteristic ones are given as actions.",
        KINDS,
        absent="design",
        default="design",
        gone={"characteristic": f"must be design; for characteristic values {ACTIONS_INSTEAD}"},
    )
    sustained_share = share(
        "Sustained part α_sus of the tension, as a ratio; bonded fasteners need it.",
        absent="1, which the answer lists as an assumption for bonded fasteners",
        default=1,
    )


class Redundancy(RequestSchema):
    """Fixing points like this one that share a load; an assessment says from which numbers on others take over."""

    points = Whole(
        "Fixing points that hold the same part, this one among them; 1: it holds alone.",
        minimum=1,
        maximum=10_000,
        required=True,
    )
    fasteners_per_point = Whole(
        "Fasteners of each point, of the one with the fewest; no more count than this fixing has.",
        minimum=1,
        maximum=100,
        absent="1",
        default=1,
    )
    bridging_shown_by = Text(
        "Engineer, by name or role, who has shown that the part carries the share of a point that fails to the others; "
        "what names nobody, as `n/a` or `engineer to confirm`, counts as left out, and so does a role that is not an "
        "engineer's, as `the crew`.",
        longest=200,
        absent="nobody has shown it: not redundant",
        default=UNKNOWN,
    )


def _psi(description: str) -> Number:
    return share(
        f"{description}; refused with any other kind.",
        absent="1, which the answer lists as an assumption where it counts",
        default=1,
    )


class Action(Components):
    """One characteristic action, which the service factors and combines with the others (EN 1990, 6.4.3)."""

    RENAMED: ClassVar[Mapping[str, Gone]] = {
        "permanent_share": Gone(
            "is no part of an action: give what is permanent and what is variable as an action each, with its kind"
        )
    }

    name = Text("Name of the action; no two have the same.", longest=80, required=True)
    kind = Choice(
        "permanent: weight and what else never changes; variable: what comes and goes; accidental: an accident, with "
        "its design value.",
        ACTION_KINDS,
        required=True,
    )
    source = Text(
        "What a permanent action comes from: those of one source are larger or smaller together, so that one γ_G "
        "stands on all of them; refused with any other kind.",
        longest=80,
        absent="a source of its own",
    )
    excludes = Items(
        Text("Name of an action.", longest=80),
        "Names of variable or accidental actions that never act together with this one, as wind from the other side; "
        "it is enough that one of two names the other. Refused with a permanent action.",
        most=MOST_ACTIONS - 1,
        unique=True,
        absent="may act together with any other",
    )
    psi_0 = _psi("Factor ψ_0 of a variable action that accompanies another one")
    psi_1 = _psi("Factor ψ_1 of a variable action that leads beside an accidental one")
    psi_2 = _psi("Factor ψ_2 of a variable action beside an accidental one")
    sustained_share = share(
        "Part of a variable action that stays for long, as a ratio; bonded fasteners need it. Refused with any other "
        "kind: a permanent action stays, an accident does not.",
        absent="1, which the answer lists as an assumption for bonded fasteners",
        default=1,
    )
    holding_down = Flag(
        "True where a permanent action keeps the thing in its place by its weight or as a counterweight, so that it "
        "counts less where it helps; refused with any other kind.",
        absent="true, which the answer lists as an assumption where other actions act beside it",
        default=True,
    )


class Use(RequestSchema):
    """What the fixing is for and what surrounds it."""

    RENAMED: ClassVar[Mapping[str, Gone]] = {
        "redundant": Gone(
            "proves nothing any more: leave it out, or say in redundancy how many points share the load (points), with "
            "how many fasteners each (fasteners_per_point), and which engineer has shown that the others carry the "
            "share of one that fails (bridging_shown_by)"
        )
    }

    situation = Choice(
        "Design situation of the load cases; of actions their combinations say it, and accidental is refused beside "
        "them.",
        SITUATIONS,
        absent="persistent",
        default="persistent",
    )
    redundancy = Part(
        Redundancy,
        "What takes over if this fixing fails or slips.",
        absent="nothing is known to take over: not redundant",
    )
    structural = Flag("True when the fixing carries part of the structure.", absent="true", default=True)
    consequence = Items(
        Choice("What comes of it.", CONSEQUENCES),
        "What comes of it for people if the fixing fails; empty: nobody could be hurt. Load models state it; of those "
        "in loads_from it counts whatever stands here.",
        most=len(CONSEQUENCES),
        unique=True,
        absent="not known; families that are restricted for it may then not be used",
    )
    overhead = Flag(
        "True when the hole is drilled upwards; false is refused where a load model of loads_from hangs under a slab.",
        absent="true, the less favourable",
        default=True,
    )
    exposure = Word(
        "Exposure to corrosion, an id listed at /v1/rulebooks/{version}, or unknown.",
        absent="unknown; the rulebook says what is taken",
        default=UNKNOWN,
    )
    temperature_range = Word(
        "Temperature range of the concrete, an id listed at /v1/rulebooks/{version}, or unknown; matters for bonded "
        "fasteners.",
        absent="unknown; the rulebook says what is taken",
        default=UNKNOWN,
    )
    hole = Choice(
        "State of the hole when the fastener is set, or unknown.",
        (*HOLES, UNKNOWN),
        absent="unknown; the rulebook says what is taken",
        default=UNKNOWN,
    )
    coldest_until_cured_c = concrete_temperature(
        "Coldest that the concrete is from drilling until the resin has cured, nights included; matters for resin in a "
        "wet or flooded hole.",
        absent="not known; the sheet says not to set resin in a wet hole at or below 0 °C",
    )


MOST_TOLD = 40


class ToldInput(RequestSchema):
    """What a load model was told of one of its inputs, or took: a number or a word."""

    input = Word("Name of the input, as listed at /v1/load-models.", required=True)
    number = Number(
        "The number, in the unit of the input.", "as listed", minimum=-1e6, maximum=1e6, absent="it is told by a word"
    )
    word = Word("The word.", absent="it is told by a number")
    taken = Flag("True where nobody told it and it was taken.", absent="false", default=False)


class LoadsFrom(RequestSchema):
    """A load model that load cases came from, and what it cautions; its answer gives it."""

    load_model = Choice("Name of the load model, as listed at /v1/load-models.", THINGS, required=True)
    cautions = Items(
        Choice("Code of a caution.", LOAD_MODEL_CAUTIONS),
        "Codes of its cautions; they go with the answer and onto the sheet, and so do those that go with such a thing "
        "whatever stands here.",
        most=len(LOAD_MODEL_CAUTIONS),
        unique=True,
        required=True,
    )
    told = Items(
        Part(ToldInput, "One input."),
        "What it was told, and what it took where nothing was told: the first lines of the sheet, each to be ticked. "
        "The sheet is made only where the loads of the request are those that follow from it.",
        most=MOST_TOLD,
        absent="nothing is said of it; the sheet then says what the most loaded fastener carries",
    )


def _of_the_job(what: str, example: str) -> Text:
    return Text(f"{what}, for example {example}.", longest=120, absent="the sheet leaves a line to write it on")


class Job(RequestSchema):
    """Which job a fixing belongs to; it decides nothing, and the digest of the record covers it as the rest."""

    structure = _of_the_job("The structure", "pumping station 4")
    drawing = _of_the_job("The drawing that shows the fixing", "PS4-S-210")
    revision = _of_the_job("Its revision", "C")
    issued_by = _of_the_job("Who issues the sheet", "the works' structural engineer")
    call = _of_the_job("Who is called where the sheet says stop or ask", "a name and a telephone number")


class CommonRequest(RequestSchema):
    """What verification and sizing both need."""

    rulebook = Text("Version of the rulebook.", longest=40, absent="the version in force")
    assessed_on = Day("Day for which the fixing is assessed.", absent="today, which the answer lists as an assumption")
    fixing_reference = Text("The caller's own name for the fixing.", longest=200, absent="no name")
    job = Part(Job, "Which job it belongs to; it decides nothing.", absent="each of its fields left out")
    member = Part(Member, "The concrete that holds the fixing.", required=True)
    fixture = Part(Fixture, "The plate, bracket or foot that is held.", required=True)
    neighbours = Items(
        Part(Neighbour, "One fastener or hole."),
        "Fasteners of other fixings and old holes nearby, in the member; an empty list says that there are none. They "
        "never make a result better.",
        most=MOST_NEIGHBOURS,
        absent="none near enough to matter, which the answer lists as an assumption with the distance; refused where a "
        "load model of loads_from was told that the next fixing of its kind stands nearer",
    )
    load_cases = Items(
        Part(LoadCase, "One load case."),
        "Load cases with design values: alternatives, never added. Give load_cases or actions, not both.",
        fewest=1,
        most=100,
        absent="actions must be given",
    )
    actions = Items(
        Part(Action, "One action."),
        "Characteristic actions, which the service combines by EN 1990, 6.4.3; the answer lists the combinations. Give "
        "load_cases or actions, not both.",
        fewest=1,
        most=MOST_ACTIONS,
        absent="load_cases must be given",
    )
    loads_from = Items(
        Part(LoadsFrom, "One load model."),
        "Load models that the load cases or actions came from, as their answers give them; beside load_cases one at "
        "most that carries what it was told. What it answers to that has to stand among the loads as it is; more may "
        "stand beside it.",
        most=20,
        absent="load cases or actions were made otherwise; no caution of a load model is repeated",
    )
    use = Part(Use, "What the fixing is for.", absent="each of its fields left out")
    site = Conditions(
        "How sure the site can be: conditions and their values as listed at /v1/rulebooks/{version}, for example "
        "torque_control: calibrated_wrench.",
        absent="each condition is unknown; the rulebook says what unknown costs",
    )
    detail = Choice("Whether each check carries its trace.", DETAILS, absent="summary", default="summary")


MEMBER: dict[str, Any] = {
    "material": "normal_weight_concrete",
    "strength_class": "C25/30",
    "state": "cracked",
    "thickness_mm": 250,
    "edges": {"x_minus_mm": None, "x_plus_mm": 200, "y_minus_mm": None, "y_plus_mm": None},
    "reinforcement": {
        "spacing_mm": 150,
        "diameter_mm": 10,
        "edge": "none",
        "stirrup_spacing_mm": None,
        "cracks_held_to_0_3_mm": False,
    },
}


FIXTURE: dict[str, Any] = {
    "width_mm": 220,
    "depth_mm": 220,
    "thickness_mm": 15,
    "yield_mpa": 235,
    "attached_section": {"width_mm": 60, "depth_mm": 60, "profile": "hollow"},
    "clearance": "normal",
    "stand_off_mm": 0,
    "grout": {"thickness_mm": 0, "strength_mpa": None},
    "rotation": "held",
    "washer_clamped": False,
}


LOAD_CASES: list[dict[str, Any]] = [
    {
        "name": "guard load",
        "kind": "design",
        "normal_kn": -0.3,
        "shear_x_kn": 1.5,
        "shear_y_kn": 0,
        "moment_x_knm": 0,
        "moment_y_knm": 1.65,
        "torsion_knm": 0,
        "sustained_share": 0,
    }
]


USE: dict[str, Any] = {
    "situation": "persistent",
    "redundancy": {"points": 1},
    "structural": True,
    "consequence": ["fall_protection"],
    "overhead": False,
    "exposure": "external",
    "temperature_range": None,
    "hole": "dry",
}


SITE: dict[str, Any] = {
    "torque_control": "calibrated_wrench",
    "strength_evidence": "documented",
    "hole_cleaning": "verified",
    "installer": "trained",
    "drilling": "hammer",
}
