"""Sizing: request, answer and examples."""

from typing import Any

from service.contract import sizing_codes as codes
from service.contract.checks import ChosenFastener, Governing, SiteReduction, action_combinations
from service.contract.coherence import OF_A_SIZING, Rule
from service.contract.common import Assumption, Basis, Caution
from service.contract.fields import Choice, Day, Flag, Items, Number, Part, Whole, Word
from service.contract.fixing import FIXTURE, LOAD_CASES, MEMBER, SITE, USE, CommonRequest, Position
from service.contract.identity import RulebookIdentity, Suspension
from service.contract.paths import Link, Path
from service.contract.request_schema import RequestSchema
from service.contract.statement import (
    AnswerSchema,
    Free,
    Stated,
    code,
    flag,
    many,
    number,
    one_of,
    part,
    sentence,
    string,
)
from service.contract.terms import APART, CAUSES, MAX_GRID_CASES, MECHANISMS, MODES, SETTINGS
from service.contract.verification import VerificationRequest

PLAIN_OR_SEVERAL = ("number", "string", "boolean", "array", "null")
UTILISATION_OF_CHOICE = (
    "What it comes to: the utilisation of the governing check, or of an edge that is not given and counts at any "
    "distance where that is more; null: no check is left."
)
TORQUE_TOOLS = tuple(each.value for each in codes.TorqueTool)


class PatternAxis(RequestSchema):
    """Rows of fasteners along one axis, evenly spaced."""

    counts = Items(
        Whole("Number of rows.", minimum=1, maximum=5),
        "Numbers of rows to try.",
        fewest=1,
        most=5,
        required=True,
        unique=True,
    )
    spacings_mm = Items(
        Number("Spacing of the rows.", "mm", minimum=10, maximum=5000),
        "Spacings to try; required where a count is above 1.",
        fewest=1,
        most=10,
        unique=True,
        absent="refused where a count is above 1",
    )


class Pattern(RequestSchema):
    """Grids to try, about the fixture's centre."""

    x = Part(PatternAxis, "Along x.", required=True)
    y = Part(PatternAxis, "Along y.", required=True)


class Limits(RequestSchema):
    """What a choice must keep; a limit that is left out or null does not filter."""

    utilisation = Number("Largest utilisation of a choice.", "1", above=0, maximum=1, absent="1", default=1)
    mechanisms = Items(
        Choice("A mechanism.", MECHANISMS),
        "Mechanisms allowed.",
        fewest=1,
        most=len(MECHANISMS),
        unique=True,
        absent="any",
    )
    families = Items(
        Word("A family, as listed at /v1/families."),
        "Families allowed.",
        fewest=1,
        most=100,
        unique=True,
        absent="any",
    )
    removable = Flag("Whether the fastener can be taken out again.", absent="either")
    setting = Choice("When the hole is drilled.", SETTINGS, absent="either")
    hole_depth_mm = Number("Largest depth of a hole.", "mm", minimum=10, maximum=5000, absent="any")
    hole_diameter_mm = Number("Largest diameter of a hole.", "mm", minimum=3, maximum=200, absent="any")


class SizingRequest(CommonRequest):
    """Actions and surroundings for which a fixing is wanted."""

    positions = Items(
        Part(Position, "One fastener."),
        f"Where the fasteners stand, if the holes are fixed; {APART}. Give positions or pattern, not both.",
        fewest=1,
        most=100,
        absent="pattern says which holes are tried; refused without it",
    )
    pattern = Part(
        Pattern,
        f"Grids to try, if the holes are free; their number times that of the load cases or combinations of "
        f"actions is at most {MAX_GRID_CASES}. "
        "Give positions or pattern, not both.",
        absent="positions are fixed; refused without them",
    )
    limits = Part(Limits, "What a choice must keep.", absent="nothing is filtered")
    max_choices = Whole("Largest number of choices in the answer.", minimum=1, maximum=50, absent="5", default=5)

    @staticmethod
    def rules() -> tuple[Rule, ...]:
        """Rules across fields."""
        return OF_A_SIZING


class PositionAnswer(AnswerSchema):
    """Where a fastener stands."""

    x_mm = number("x of the fastener.", "mm")
    y_mm = number("y of the fastener.", "mm")


class Hole(AnswerSchema):
    """The holes to be drilled."""

    diameter_mm = number(
        "Diameter of a hole; null: nothing is drilled.", "mm", nullable=True, of="fastener.hole_diameter_mm"
    )
    depth_mm = number("Depth of a hole; null: nothing is drilled.", "mm", nullable=True, of="fastener.hole_depth_mm")
    count = Whole("Number of holes.", minimum=0, required=True, of="hole_count")
    drilled_volume_mm3 = number("Volume of all holes together.", "mm3", minimum=0)


class Comparison(AnswerSchema):
    """What sets a choice apart for those who order, drill and set it."""

    holes = Whole("Holes to drill.", minimum=0, required=True, of="candidate.hole_count")
    hole_diameter_mm = number(
        "Diameter of a hole; null: nothing is drilled.", "mm", nullable=True, of="candidate.fastener.hole_diameter_mm"
    )
    hole_depth_mm = number(
        "Depth of a hole; null: nothing is drilled.", "mm", nullable=True, of="candidate.fastener.hole_depth_mm"
    )
    torque_tool = one_of("Tool that it was verified with.", TORQUE_TOOLS, of="tightening.tool.value")
    torque_nm = number(
        "Torque of that tool, of an impact wrench the largest; null: it has none.",
        "Nm",
        nullable=True,
        of="tightening.torque_nm",
    )
    removable = Flag("Whether it can be taken out again.", required=True, of="candidate.fastener.removable")
    edge_left_over_mm = number(
        "Smallest edge distance less what the assessment asks for; null: no edge.", "mm", nullable=True
    )
    spacing_left_over_mm = number(
        "Smallest spacing less what the assessment asks for; null: one fastener.", "mm", nullable=True
    )
    fixture_thickness_max_mm = number(
        "Thickest fixture, grout and stand-off that the chosen length clamps; null: not limited, or no length chosen.",
        "mm",
        nullable=True,
    )
    governing_mode = one_of("Failure mode that governs; null: no check is left.", MODES, nullable=True)
    utilisation = number(UTILISATION_OF_CHOICE, "1", nullable=True)


class RankingStep(AnswerSchema):
    """One criterion of the rulebook's selection order; the smaller figure ranks first."""

    criterion = string("Criterion, as the rulebook's selection order names it.")
    value = number("Figure of this choice: a number, mm³, a rank or a ratio, by the criterion.", "1")
    next_value = number("Figure of the family that ranks next; null: none does.", "1", nullable=True)
    decides = flag("Whether this is the criterion that puts this choice before the next.")


class Stop(Stated):
    """What keeps a family from passing."""

    kind = one_of(
        "requirement: one is not met; mode: a check is over; limit: a limit of the request; scope: the method does not "
        "cover it; approval: the company does not allow it.",
        CAUSES,
    )
    code = code(
        {word: known.says.meaning for word, known in codes.CAUSES.items()},
        " Those of kind requirement, approval and scope are those of a verification.",
        of="statement.word",
    )
    detail = sentence("The cause in words, with what was asked and what is allowed.", of="sentence")
    left_open = string(
        "Place in the request, a JSON pointer as URI fragment, that leaves open what this was held against, so that "
        "the less favourable was taken; null: nothing was left open.",
        nullable=True,
    )


class Cause(Stop):
    """What stopped a family."""

    figure = Free("What the candidate has or the request asks; null: not one value, see figures.")
    limit = Free("What is allowed; null: not one value, see figures.")
    unit = string("Unit of both; 1: a ratio; null: they have none.", nullable=True)
    also = many(Stop, "What else stops the nearest candidate, a check that is over among it.")


class Reason(Stated):
    """Why a choice passes, ranks where it does or has this size."""

    code = code(codes.ReasonCode, of="statement.word")
    text = sentence("The reason in words.", of="sentence")
    cause = part(
        Cause, "With next_smaller_fails: what stops the next smaller; null with every other code.", nullable=True
    )


class SizingChoice(AnswerSchema):
    """A fixing that passes its checks."""

    rank = Whole("Rank, 1 the best.", minimum=1, required=True)
    request = part(VerificationRequest, "A complete verification request; posts back unchanged.")
    fastener = part(ChosenFastener, "The fastener.")
    positions = many(PositionAnswer, "Where the fasteners stand.")
    hole = part(Hole, "The holes to be drilled.")
    torque_nm = number("Installation torque; null: none is given.", "Nm", nullable=True)
    impact_driver_torque_max_nm = number("Largest torque of an impact wrench; null: none.", "Nm", nullable=True)
    governing = part(Governing, "The check with the highest utilisation; null: no check is left.", nullable=True)
    utilisation = number(UTILISATION_OF_CHOICE, "1", nullable=True)
    comparison = part(Comparison, "The same figures for every choice, to lay them side by side.")
    ranking = many(RankingStep, "Each step of the selection order against the family that ranks next.")
    cautions = many(Caution, "Cautions about this choice alone, beside those of the whole answer.")
    reasons = many(Reason, "Why it ranks here and why in this size.")


class PassedOver(AnswerSchema):
    """A family that passes but ranks below the choices."""

    family = string("Family.", of="candidate.fastener.family_id")
    title = sentence("Title of the family.", of="candidate.fastener.title")
    size = string("Size.", of="candidate.fastener.size")
    embedment_mm = number("Effective embedment depth h_ef.", "mm", minimum=0, of="candidate.fastener.embedment_mm")
    fastener_count = Whole("Number of fasteners.", minimum=1, required=True, of="candidate.fastener_count")
    utilisation = number(UTILISATION_OF_CHOICE, "1", nullable=True)
    reason = part(Reason, "Why it ranks below.")


class Nearest(AnswerSchema):
    """The candidate of a family that comes nearest to passing; where all are sure to be over, of the most hopeful."""

    size = string("Size.", of="candidate.fastener.size")
    embedment_mm = number("Effective embedment depth h_ef.", "mm", minimum=0, of="candidate.fastener.embedment_mm")
    positions_count = Whole("Number of fasteners.", minimum=1, required=True, of="candidate.fastener_count")
    utilisation = number("What it comes to, as that of a choice; null: no check was made.", "1", nullable=True)


class Rejected(AnswerSchema):
    """A family without a candidate that passes."""

    family = string("Family.", of="result.family_id")
    title = sentence("Title of the family.", of="result.title")
    cause = part(Cause, "What stopped it.")
    nearest = part(
        Nearest, "The candidate that comes nearest; null: none was tried.", nullable=True, of="result.nearest"
    )


class RejectedGroup(Stated):
    """Families that are rejected for the same reason; figures holds what is the same for all, and null elsewhere."""

    kind = one_of("Kind of the cause, as in rejected.", CAUSES)
    code = string("Code of the cause, as in rejected.", of="statement.word")
    detail = sentence("What they have in common, in words.", of="sentence")
    figure = Free("The figure of the cause where it is the same for all; null: it differs, or there is none.")
    least = number("The smallest of the figures, in unit; null: they are no numbers.", "as told", nullable=True)
    most = number("The largest of them, in unit.", "as told", nullable=True)
    unit = string("Unit of the figures; 1: a ratio; null: they have none.", nullable=True)
    families = many(string("A family."), "The families.")


class Admitted(AnswerSchema):
    """A fixing that would pass."""

    family = string("Family.", of="fastener.family_id")
    title = sentence("Title of the family.", of="fastener.title")
    size = string("Size.", of="fastener.size")
    embedment_mm = number("Effective embedment depth h_ef.", "mm", minimum=0, of="fastener.embedment_mm")
    fastener_count = Whole("Number of fasteners.", minimum=1, required=True)


class Relaxation(Stated):
    """A place in the request that, changed by itself, would let a rejected family pass."""

    code = code(codes.RelaxationCode, of="statement.word")
    pointer = string("Place in the request, a JSON pointer as URI fragment.")
    given = Free("What the request has there; null: nothing.", PLAIN_OR_SEVERAL)
    needed = Free("What would do, to be shown; several where any one of them would.", PLAIN_OR_SEVERAL)
    operation = one_of(
        "How to apply the values at the pointer: set: put the one value there (null drops the limit); append: add them "
        "to the list there; one_of: put any one of them there.",
        ("set", "append", "one_of"),
    )
    values = many(
        Free("A value.", ("number", "string", "boolean", "object", "null")), "What to put at the pointer, as JSON."
    )
    detail = sentence("The same in words, with what would then pass.", of="sentence")
    admits = many(Admitted, "The fixings that would pass, one a family.")
    families = many(string("A family."), "Their families.")


class Searched(AnswerSchema):
    """What the search looked at."""

    families = Whole("Families.", minimum=0, required=True)
    candidates = Whole("Candidates: family, size, embedment and layout.", minimum=0, required=True)
    verified = Whole("Candidates that were calculated.", minimum=0, required=True)
    pruned = Whole(
        "Candidates that a requirement or a bound on their resistance shows to fail; a few of them are calculated "
        "all the same, to name the nearest.",
        minimum=0,
        required=True,
    )
    skipped_off_fixture = Whole(
        "Candidates left out because a clearance hole would come too near the fixture's edge.", minimum=0, required=True
    )
    skipped_grids_off_member = Whole(
        "Grids left out because a fastener would stand outside the member.", minimum=0, required=True
    )


class OfFastener(AnswerSchema):
    """A fastener that an assumption holds for."""

    family = string("Family.")
    size = string("Size.")
    embedment_mm = number("Effective embedment depth h_ef.", "mm", minimum=0)


class SizingAssumption(Assumption):
    """What was taken because the request leaves it open."""

    fasteners = many(
        OfFastener, "The fasteners that it holds for, of the choices or the nearest; null: all.", nullable=True
    )


class SizingAnswer(AnswerSchema):
    """Which approved fixings pass their checks, best first, and why the others do not."""

    choices = many(SizingChoice, "Choices, best first in the rulebook's selection order; may be empty.")
    passed_over = many(PassedOver, "Families that pass but rank below the choices.")
    rejected = many(Rejected, "Families without a candidate that passes.")
    rejected_groups = many(RejectedGroup, "The rejected families by what stops them, the largest group first.")
    relaxations = many(
        Relaxation,
        "Changes to the request, each tried by itself, that would let a rejected family pass: limits, thicknesses, "
        "edges, more fasteners, and facts that the request leaves open; what it states of the site is not among them.",
    )
    searched = part(Searched, "What the search looked at.")
    combinations = action_combinations()
    assumptions = many(SizingAssumption, "What was taken because the request leaves it open.")
    cautions = many(Caution, "What to beware of.")
    basis = part(Basis, "What the answer rests on.")
    rulebook = part(RulebookIdentity, "The rulebook.")
    suspensions = many(Suspension, "What is suspended for new work, and so is not chosen.")
    assessed_on = Day("Day for which the fixing is sized.", required=True)
    site_reduction = part(
        SiteReduction,
        "What is taken off for the best choice, or the nearest candidate; null: none was verified.",
        nullable=True,
    )


GUARDRAIL_POST_FREE_HOLES: dict[str, Any] = {
    "rulebook": "2026.8.2",
    "assessed_on": "2026-11-25",
    "fixing_reference": "PS4-rail-017",
    "member": MEMBER,
    "pattern": {
        "x": {"counts": [1, 2], "spacings_mm": [100, 150]},
        "y": {"counts": [1, 2], "spacings_mm": [100, 150]},
    },
    "fixture": FIXTURE,
    "load_cases": LOAD_CASES,
    "use": USE,
    "site": SITE,
    "limits": {
        "utilisation": 0.9,
        "mechanisms": ["concrete_screw", "torque_controlled_expansion"],
        "families": None,
        "removable": None,
        "setting": "through_fixture",
        "hole_depth_mm": 120,
        "hole_diameter_mm": None,
    },
    "max_choices": 5,
}


PIPE_HANGER_FIXED_HOLES: dict[str, Any] = {
    "member": {"strength_class": "C30/37", "thickness_mm": 200},
    "positions": [{"x_mm": -60, "y_mm": 0}, {"x_mm": 60, "y_mm": 0}],
    "fixture": {
        "width_mm": 180,
        "depth_mm": 80,
        "thickness_mm": 8,
        "yield_mpa": 235,
        "attached_section": {"width_mm": 60, "depth_mm": 60, "profile": "hollow"},
    },
    "load_cases": [{"name": "pipe full", "normal_kn": 3, "sustained_share": 1}],
    "use": {"overhead": True, "exposure": "damp_internal", "hole": "dry"},
}


PATHS = (
    Path(
        method="POST",
        path="/v1/sizings",
        name="sizeFixing",
        summary="Which approved fixing should I use?",
        description=(
            "Searches the families of the rulebook for fixings that pass their checks under the load cases, and ranks "
            "them in the rulebook's selection order. Give positions if the holes are fixed, pattern if they are free. "
            "No choice is a normal answer. A sizing has no record: there is one once the request of a choice is posted "
            "to /v1/verifications, whose answer carries it."
        ),
        tag="Sizing",
        body=SizingRequest,
        examples={
            "free_holes": {
                "summary": "Guardrail post on a quay wall, holes free",
                "value": GUARDRAIL_POST_FREE_HOLES,
            },
            "fixed_holes": {
                "summary": "Pipe hanger under a slab, holes fixed",
                "value": PIPE_HANGER_FIXED_HOLES,
            },
        },
        answer=SizingAnswer,
        links=(
            Link(
                name="verificationOfTheBest",
                description="The best choice, verified; its answer has the same utilisation.",
                operation="verifyFixing",
                request_body="$response.body#/choices/0/request",
            ),
        ),
    ),
)
