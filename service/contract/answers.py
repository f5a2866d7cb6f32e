"""What an answer holds.

These schemas describe and do not filter: the tests hold every answer against the document made of them.
"""

from collections.abc import Mapping
from typing import Any, ClassVar

from marshmallow import EXCLUDE, Schema, fields

from service.contract.codes import CODES
from service.contract.faults import MOST_ERRORS
from service.contract.fields import UNKNOWN, Choice, Day, Flag, Items, Number, Part, Strict, Whole
from service.contract.given import LONGEST
from service.contract.requests import (
    APPROVALS,
    CLEARANCES,
    EDGE_REINFORCEMENTS,
    HOLES,
    KINDS,
    MECHANISMS,
    ROTATIONS,
    SETTINGS,
    SITUATIONS,
    STATES,
    STRENGTH_CLASSES,
    VerificationRequest,
)
from service.verification import codes

VERDICTS = ("verified", "not_verified", "outside_scope")
MODES = (
    "steel_tension",
    "concrete_cone",
    "pull_out",
    "bond",
    "splitting",
    "blow_out",
    "steel_shear",
    "steel_shear_lever_arm",
    "pry_out",
    "concrete_edge",
    "interaction_steel",
    "interaction_concrete",
    "simplified_resultant",
)
EDGES = ("x_minus", "x_plus", "y_minus", "y_plus")
COMBINATIONS = ("design", "permanent_unfavourable", "permanent_favourable")
CAUSES = ("requirement", "mode", "limit", "scope", "approval")
RULE_STATES = ("released", "working")
RULES_FAULTS = (
    "content_not_found",
    "invalid",
    "new_rules_refused",
    "signature_not_valid",
    "suspension_stops_nothing",
    "tag_disagrees",
    "tag_not_registered",
    "unsigned",
    "working_invalid",
)
DIGEST = "^sha256:[0-9a-f]{64}$"


RECORD_ID = (
    "`sha256:` and the SHA-256, in hexadecimal, of the RFC 8785 form of the object with the members `request`, "
    "`answer`, `rulebook` and `engine`. `request` is the request as it was parsed, no default filled in and no null "
    "taken out, with `assessed_on` and `rulebook` resolved: where they were left out or null, the day and the version "
    "that the answer names stand there. `answer` is the answer without `record` and without `rulebook.commit`. "
    "`rulebook` is the rulebook's digest, `engine` is record.engine. White space, the order of keys and the way a "
    "number is written are not content. It proves that request and answer belong together, not who made them. Vectors: "
    "schemas/record-vectors.json."
)


class AnswerSchema(Schema):
    """An object of an answer; clients tolerate fields added to it."""

    class Meta:
        """Options."""

        unknown = EXCLUDE


class Free(Strict):
    """A value that may be of several JSON types."""

    def __init__(self, description: str, types: tuple[str, ...], **rest: Any) -> None:
        super().__init__(description, type=list(types), **rest)


def number(description: str, unit: str, *, nullable: bool = False, **bounds: float) -> Number:
    """Describe a number that is always there.

    Args:
        description: What it is.
        unit: Its unit.
        nullable: Whether it may be null.
        **bounds: Its range where it has one, as for Number.

    Returns:
        The field.
    """
    return Number(description, unit, required=True, nullable=nullable, **bounds)


def string(description: str, *, nullable: bool = False, **contract: Any) -> Strict:
    """Describe a text that is always there.

    Args:
        description: What it is.
        nullable: Whether it may be null.
        **contract: More of its part of the contract document.

    Returns:
        The field.
    """
    return Strict(description, required=True, nullable=nullable, type="string", **contract)


def code(known: Mapping[str, str], more: str = "") -> Strict:
    """Describe a stable code that says in one word what the text beside it says at length.

    Args:
        known: Meanings of the codes there are so far.
        more: Which others there are.

    Returns:
        The field; the list is open, as answers may gain codes.
    """
    words = f"Stable code; clients tolerate codes that are added. So far: {', '.join(known)}.{more}"
    contract: dict[str, Any] = {"x-known-codes": dict(known)}
    return string(words, **contract)


def flag(description: str) -> Flag:
    """Describe a flag that is always there.

    Args:
        description: What it is.

    Returns:
        The field.
    """
    return Flag(description, required=True)


def one_of(description: str, values: tuple[str, ...], *, nullable: bool = False) -> Choice:
    """Describe a word that is always there.

    Args:
        description: What it is.
        values: The words.
        nullable: Whether it may be null.

    Returns:
        The field.
    """
    return Choice(description, values, required=True, nullable=nullable)


def part(schema: type[Schema], description: str, *, nullable: bool = False) -> Part:
    """Describe an object that is always there.

    Args:
        schema: Its schema.
        description: What it is.
        nullable: Whether it may be null.

    Returns:
        The field.
    """
    return Part(schema, description, required=True, nullable=nullable)


def many(inner: type[Schema] | fields.Field[Any], description: str, *, nullable: bool = False) -> Items:
    """Describe a list that is always there.

    Args:
        inner: Schema or field of an entry.
        description: What it lists.
        nullable: Whether it may be null.

    Returns:
        The field.
    """
    entry = inner if isinstance(inner, fields.Field) else Part(inner, f"One entry: {_first_line(inner)}")
    return Items(entry, description, required=True, nullable=nullable)


def _first_line(schema: type[Schema]) -> str:
    """Take the first line of a schema's docstring."""
    return (schema.__doc__ or "").splitlines()[0]


class Governing(AnswerSchema):
    """The check with the highest utilisation."""

    mode = one_of("Failure mode.", MODES)
    load_case = string("Name of the load case.")
    edge = one_of("Edge of the member, where the mode belongs to one.", EDGES, nullable=True)
    utilisation = number("Utilisation, site reduction included.", "1", minimum=0)


class TraceEntry(AnswerSchema):
    """One step of the calculation."""

    symbol = string("Symbol of EN 1992-4, for example N0_Rk,c.")
    value = Free("Value, rounded to six significant digits.", ("number", "string", "boolean", "null"), required=True)
    unit = string("Unit of the value; null: none.", nullable=True)
    expression = string("How the value follows from earlier ones; null: it is taken as it is.", nullable=True)
    clause = string("Clause or equation; null: none.", nullable=True)
    rule = string("Rulebook path of the figure; null: it is no figure of the rulebook.", nullable=True)


class Check(AnswerSchema):
    """One failure mode under one load case."""

    mode = one_of("Failure mode.", MODES)
    load_case = string("Name of the load case.")
    combination = one_of("Which factors stand on the load case.", COMBINATIONS)
    fasteners = many(Whole("Index into positions.", minimum=0), "Fasteners that the check is about.")
    edge = one_of("Edge of the member, where the mode belongs to one.", EDGES, nullable=True)
    clause = string("Clause of the standard.")
    design_action_kn = number("Design action; null for interaction.", "kN", nullable=True)
    characteristic_resistance_kn = number("Characteristic resistance; null for interaction.", "kN", nullable=True)
    partial_factor = number("Partial factor of the resistance; null for interaction.", "1", nullable=True)
    design_resistance_kn = number(
        "Design resistance, before the site reduction; null for interaction.", "kN", nullable=True
    )
    utilisation = number("Utilisation, site reduction included.", "1", minimum=0)
    trace = Items(Part(TraceEntry, "One step of the calculation."), "Steps in order of use; with detail full only.")


class Requirement(AnswerSchema):
    """A limit that is met or not."""

    code = code(codes.REQUIREMENTS)
    met = flag("Whether it is met.")
    clause = string("Clause of the standard; null: none.", nullable=True)
    detail = string("The requirement in words.")
    given = Free("What the request gives.", ("number", "string", "null"), required=True)
    limit = Free("What is allowed.", ("number", "string", "null"), required=True)
    unit = string("Unit of both; null: none.", nullable=True)
    rule = string("Rulebook path of the limit; null: it is no figure of the rulebook.", nullable=True)


class ScopeLimit(AnswerSchema):
    """Why the method does not cover the case."""

    code = code(codes.SCOPE_LIMITS)
    detail = string("The limit in words.")
    clause = string("Clause of the standard; null: none.", nullable=True)


class ChosenFastener(AnswerSchema):
    """The fastener that the answer is about."""

    family = string("Family.")
    title = string("Title of the family.")
    mechanism = one_of("Mechanism.", MECHANISMS)
    size = string("Size.")
    embedment_mm = number("Effective embedment depth h_ef.", "mm", minimum=0)
    length_mm = number("Length to buy; null: the family has no lengths, or none is found.", "mm", nullable=True)
    article_code = string("Article code of that length; null: none.", nullable=True)


class FastenerForce(AnswerSchema):
    """Forces of one fastener."""

    index = Whole("Index into positions.", minimum=0, required=True)
    x_mm = number("x of the fastener.", "mm")
    y_mm = number("y of the fastener.", "mm")
    tension_kn = number("Tension; negative: compression in the fastener.", "kN")
    shear_x_kn = number("Shear along x.", "kN")
    shear_y_kn = number("Shear along y.", "kN")
    shear_kn = number("Resultant shear.", "kN", minimum=0)


class Contact(AnswerSchema):
    """Pressure between fixture and concrete."""

    compression_kn = number("Resultant of the pressure.", "kN", minimum=0)
    x_mm = number("x of the resultant.", "mm")
    y_mm = number("y of the resultant.", "mm")
    pressure_mpa = number("Highest pressure.", "MPa", minimum=0)


class LoadCaseForces(AnswerSchema):
    """Forces under one load case."""

    load_case = string("Name of the load case.")
    combination = one_of("Which factors stand on the load case.", COMBINATIONS)
    fasteners = many(FastenerForce, "Forces of each fastener.")
    contact = part(Contact, "Contact between fixture and concrete; null: none.", nullable=True)


class SiteFactor(AnswerSchema):
    """What one condition of the site costs."""

    condition = string("Condition, for example torque_control.")
    value = string("Value of the condition.")
    factor = number("Factor on the resistance.", "1", minimum=0, maximum=1)
    reason = string("Why it is so, in words.")
    rule = string("Rulebook path of the factor; null: the condition does not matter for the mechanism.", nullable=True)


class SiteReduction(AnswerSchema):
    """What is taken off because of how sure the site can be."""

    factor = number("Product of the site factors, at least the floor.", "1", minimum=0, maximum=1)
    floor = number("Floor of the product.", "1", minimum=0, maximum=1)
    floor_applied = flag("Whether the floor stands in place of the product.")
    parts = many(SiteFactor, "The factors.")


class Permissible(AnswerSchema):
    """What the group may carry in service in the direction and eccentricity of a load case."""

    load_case = string("Name of the load case.")
    growth = number("Factor by which all actions may grow together; null: no check limits it.", "1", nullable=True)
    service_kn = number("What the group may carry in service; null: no check limits it.", "kN", nullable=True)
    service_kg = number("The same as a hanging mass; null unless it is a pure pull.", "kg", nullable=True)
    basis = string("How the figures follow.")


class Plate(AnswerSchema):
    """Whether the fixture is stiff enough for the method."""

    status = one_of("Whether the plate was checked.", ("checked", "not_checked"))
    reason = string("Why not; null: it was.", nullable=True)
    load_case = string("Name of the governing load case; null: none.", nullable=True)
    stress_mpa = number("Elastic stress in the plate.", "MPa", nullable=True)
    yield_mpa = number("Yield strength of the plate.", "MPa", nullable=True)
    stress_ratio = number("Stress over yield strength.", "1", nullable=True)
    contact_pressure_mpa = number("Highest contact pressure.", "MPa", nullable=True)
    utilisation_half_contact_stiffness = number(
        "Governing utilisation under half the contact stiffness.", "1", nullable=True
    )


class Assumption(AnswerSchema):
    """What was taken because the request leaves it open."""

    code = code(codes.ASSUMPTIONS, " And `<condition>_unknown` for each site condition of the rulebook.")
    text = string("What was taken.")
    pointer = string("Place in the request as a JSON pointer; null: none.", nullable=True)


class Caution(AnswerSchema):
    """What to beware of."""

    code = code(codes.CAUTIONS, " And the codes of the rulebook's own cautions, listed at /v1/rulebooks/{version}.")
    text = string("The caution.")


class Standard(AnswerSchema):
    """A standard that the answer rests on."""

    code = string("Number of the standard.")
    edition = string("Edition.")
    used_for = string("What it is used for.")


class NationalChoice(AnswerSchema):
    """A choice that the standard leaves to each nation."""

    code = string("Number of the standard.")
    clause = string("Clause.")
    choice = string("What is chosen.")


class OpenReading(AnswerSchema):
    """A point where the standard can be read in two ways; the safe reading is taken."""

    code = code(codes.OPEN_READING_CODES)
    clause = string("Clause.")
    text = string("The reading taken.")


class Basis(AnswerSchema):
    """What the answer rests on."""

    standards = many(Standard, "Standards.")
    national_choices = many(NationalChoice, "Choices left to each nation.")
    open_readings = many(OpenReading, "Open readings that were used.")
    note = string("What to know about the basis.")


class RulebookIdentity(AnswerSchema):
    """The rulebook that an answer was made with."""

    version = string("Version.")
    digest = string("Digest of all its files.", pattern=DIGEST)
    commit = string("Commit; null: the files are not committed.", nullable=True)
    status = string("Status; demonstration: every figure is invented.")
    superseded_by = string(
        "The higher version in force on the day, where the request names a lower one; null: there is none.",
        nullable=True,
    )


class Record(AnswerSchema):
    """What proves that request and answer belong together."""

    id = string(RECORD_ID, pattern=DIGEST)
    engine = string("Engine and its version, name/version.")


class Suspension(AnswerSchema):
    """Something that is suspended for new work, in whatever version of the rulebook."""

    family = string("Family that is suspended; null: a version is.", nullable=True)
    size = string("Size that is suspended; null: every size of the family.", nullable=True)
    version = string("Version of the rulebook that is suspended; null: a family or size is.", nullable=True)
    since = Day("Day from which on it is suspended.", required=True)
    reason = string("Why it is suspended.")


class SiteTestReach(AnswerSchema):
    """Where a resistance from pulls on site holds."""

    family = string("Family that was pulled.")
    size = string("Size that was pulled.")
    embedment_mm = number("Effective embedment that was pulled.", "mm", minimum=0)
    base_material = string("Base material in the words of the tests.")
    drilling = string("Drilling method.")
    hole = one_of("State of the holes.", HOLES)
    concrete_state = one_of(
        "Concrete that it holds in. uncracked: in uncracked concrete only; cracked: in cracked and uncracked concrete, "
        "as every pull stood in a crack; not_concrete: masonry, where cracks do not count as such.",
        ("uncracked", "cracked", "not_concrete"),
    )
    crack_width_mm = number(
        "Width of the narrowest crack that a pull stood in; null: it does not hold in cracked concrete.",
        "mm",
        minimum=0,
        nullable=True,
    )
    edge_min_mm = number("Least distance to an edge.", "mm", minimum=0)
    edge_min_under_shear_mm = number(
        "Least distance to an edge where a load case shears the fasteners.", "mm", minimum=0
    )
    spacing_min_mm = number("Least spacing of the fasteners.", "mm", minimum=0)
    thickness_min_mm = number("Least thickness of the base material.", "mm", minimum=0)


class SiteTestOrigin(AnswerSchema):
    """Pulls on site that a resistance comes from."""

    id = string(
        "Identity of the tests: `sha256:` and the SHA-256, in hexadecimal, of the RFC 8785 form of the tests as they "
        "were given, without what is null in them.",
        pattern=DIGEST,
    )
    origin = one_of("Where the resistance comes from: pulls on site, not an assessment.", ("site_test",))
    reference = string("The caller's own name for the tests; null: none.", nullable=True)
    number_of_tests = Whole("Pulls that ended in failure of the base material.", minimum=0, required=True)
    number_of_pulls = Whole("All pulls.", minimum=0, required=True)
    tested_on = Day("Day of the pulls.", required=True)
    valid_until = Day("Last day on which the resistance may be used for new work.", required=True)
    characteristic_resistance_kn = number(
        "Characteristic resistance of one fastener, before what the steel of the verified fixing caps it to; null: the "
        "pulls give none.",
        "kN",
        nullable=True,
    )
    partial_factor = number("Partial factor to the design resistance.", "1", minimum=0)
    reach = part(SiteTestReach, "Where it holds.")


class VerificationAnswer(AnswerSchema):
    """Whether a fixing passes its checks, and why."""

    verdict = one_of(
        "verified: every check at most 1 after the site reduction and every requirement met; not_verified: a check is "
        "over or a requirement is not met; outside_scope: the method does not cover the case, "
        "and no resistance is invented.",
        VERDICTS,
    )
    governing = part(Governing, "The check with the highest utilisation; null: no check.", nullable=True)
    checks = many(Check, "Every check of every load case.")
    requirements = many(Requirement, "Limits that are met or not.")
    scope_limits = many(ScopeLimit, "Why the method does not cover the case; empty unless outside_scope.")
    fastener = part(ChosenFastener, "The fastener.")
    fastener_forces = many(LoadCaseForces, "Forces of the fasteners under each load case.")
    site_reduction = part(SiteReduction, "What is taken off for how sure the site can be.")
    permissible = many(Permissible, "What the group may carry, a load case each; null unless verified.", nullable=True)
    plate = part(Plate, "Whether the fixture is stiff enough.")
    assumptions = many(Assumption, "What was taken because the request leaves it open.")
    cautions = many(Caution, "What to beware of.")
    site_test = Part(SiteTestOrigin, "Where the resistance comes from; only where the request has a site_test.")
    basis = part(Basis, "What the answer rests on.")
    rulebook = part(RulebookIdentity, "The rulebook.")
    suspensions = many(
        Suspension,
        "What is suspended for new work and touches this answer: its fastener, its version, or a higher version that "
        "was passed by.",
    )
    assessed_on = Day("Day for which the fixing is assessed.", required=True)
    fixing_reference = string("The caller's own name for the fixing; null: none.", nullable=True)
    record = part(Record, "What proves that request and answer belong together.")


class PositionAnswer(AnswerSchema):
    """Where a fastener stands."""

    x_mm = number("x of the fastener.", "mm")
    y_mm = number("y of the fastener.", "mm")


class Hole(AnswerSchema):
    """The holes to be drilled."""

    diameter_mm = number("Diameter of a hole; null: nothing is drilled.", "mm", nullable=True)
    depth_mm = number("Depth of a hole; null: nothing is drilled.", "mm", nullable=True)
    count = Whole("Number of holes.", minimum=0, required=True)
    drilled_volume_mm3 = number("Volume of all holes together.", "mm3", minimum=0)


class Comparison(AnswerSchema):
    """What sets a choice apart for those who order, drill and set it."""

    holes = Whole("Holes to drill.", minimum=0, required=True)
    hole_diameter_mm = number("Diameter of a hole; null: nothing is drilled.", "mm", nullable=True)
    hole_depth_mm = number("Depth of a hole; null: nothing is drilled.", "mm", nullable=True)
    torque_tool = string("What tightens it, with its torque: torque wrench, impact driver, or none.")
    removable = flag("Whether it can be taken out again.")
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
    utilisation = number("Utilisation of the governing check; null: no check is left.", "1", nullable=True)


class RankingStep(AnswerSchema):
    """One criterion of the rulebook's selection order; the smaller figure ranks first."""

    criterion = string("Criterion, as the rulebook's selection order names it.")
    value = number("Figure of this choice: a number, mm³, a rank or a ratio, by the criterion.", "1")
    next_value = number("Figure of the family that ranks next; null: none does.", "1", nullable=True)
    decides = flag("Whether this is the criterion that puts this choice before the next.")


class SizingChoice(AnswerSchema):
    """A fixing that passes its checks."""

    rank = Whole("Rank, 1 the best.", minimum=1, required=True)
    request = part(VerificationRequest, "A complete verification request; posts back unchanged.")
    fastener = part(ChosenFastener, "The fastener.")
    positions = many(PositionAnswer, "Where the fasteners stand.")
    hole = part(Hole, "The holes to be drilled.")
    torque_nm = number("Installation torque; null: none is given.", "Nm", nullable=True)
    impact_driver_torque_max_nm = number("Largest torque of an impact driver; null: none.", "Nm", nullable=True)
    governing = part(Governing, "The check with the highest utilisation; null: no check is left.", nullable=True)
    utilisation = number("Utilisation of the governing check; null: no check is left.", "1", nullable=True)
    comparison = part(Comparison, "The same figures for every choice, to lay them side by side.")
    ranking = many(RankingStep, "Each step of the selection order against the family that ranks next.")
    cautions = many(Caution, "Cautions about this choice alone, beside those of the whole answer.")
    reasons = many(string("A reason."), "Why it ranks here and why in this size, in words.")


class PassedOver(AnswerSchema):
    """A family that passes but ranks below the choices."""

    family = string("Family.")
    title = string("Title of the family.")
    size = string("Size.")
    embedment_mm = number("Effective embedment depth h_ef.", "mm", minimum=0)
    fastener_count = Whole("Number of fasteners.", minimum=1, required=True)
    utilisation = number("Utilisation of the governing check; null: no check is left.", "1", nullable=True)
    reason = string("Why it ranks below.")


class Cause(AnswerSchema):
    """What stopped a family."""

    kind = one_of(
        "requirement: one is not met; mode: a check is over; limit: a limit of the request; scope: the method does not "
        "cover it; approval: the company does not allow it.",
        CAUSES,
    )
    code = string("Stable code of the requirement, mode, limit or scope.")
    detail = string("The cause in words, with what was asked and what is allowed.")
    figure = Free(
        "What the candidate has or the request asks; null: none.", ("number", "string", "null"), required=True
    )
    limit = Free("What is allowed; null: none.", ("number", "string", "null"), required=True)
    unit = string("Unit of both; 1: a ratio; null: they have none.", nullable=True)
    also = many(
        string("A code."), "Codes of what else stops the nearest candidate, a mode among them where one is over."
    )


class Nearest(AnswerSchema):
    """The candidate of a family that comes nearest to passing; where all are sure to be over, of the most hopeful."""

    size = string("Size.")
    embedment_mm = number("Effective embedment depth h_ef.", "mm", minimum=0)
    positions_count = Whole("Number of fasteners.", minimum=1, required=True)
    utilisation = number("Utilisation of its governing check; null: no check was made.", "1", nullable=True)


class Rejected(AnswerSchema):
    """A family without a candidate that passes."""

    family = string("Family.")
    title = string("Title of the family.")
    cause = part(Cause, "What stopped it.")
    nearest = part(Nearest, "The candidate that comes nearest; null: none was tried.", nullable=True)


class RejectedGroup(AnswerSchema):
    """Families that are rejected for the same reason."""

    kind = one_of("Kind of the cause, as in rejected.", CAUSES)
    code = string("Stable code of the cause.")
    detail = string("What they have in common, in words.")
    families = many(string("A family."), "The families.")


class Relaxation(AnswerSchema):
    """A place in the request that, changed by itself, would let a rejected family pass."""

    pointer = string("Place in the request, a JSON pointer as URI fragment.")
    given = Free(
        "What the request has there; a list is written with commas; null: nothing.",
        ("number", "string", "boolean", "null"),
        required=True,
    )
    needed = Free("What would do, to be shown.", ("number", "string", "boolean", "null"), required=True)
    operation = one_of(
        "How to apply the values at the pointer: set: put the one value there (null drops the limit); append: add them "
        "to the list there; one_of: put any one of them there.",
        ("set", "append", "one_of"),
    )
    values = many(
        Free("A value.", ("number", "string", "boolean", "object", "null")), "What to put at the pointer, as JSON."
    )
    detail = string("The same in words, with what would then pass.")
    families = many(string("A family."), "Families that would pass.")


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
    assumptions = many(Assumption, "What was taken because the request leaves it open.")
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


class Approval(AnswerSchema):
    """What the company allows."""

    class Meta(AnswerSchema.Meta):
        """Options; `from` is a word of Python's own."""

        include: ClassVar[dict[str, fields.Field[Any]]] = {
            "from": Day("First day of the approval.", required=True),
        }

    status = one_of("Status.", APPROVALS)
    uses = many(string("A use."), "Uses that a restriction leaves; null: every use.", nullable=True)
    until = string("Last day, ISO 8601; null: no end.", nullable=True)
    replacement = string("Family that stands in its place; null: none.", nullable=True)
    reason = string("Why it is so, in words.")


class SizeApproval(AnswerSchema):
    """A size of a family and what the company allows of it."""

    size = string("Size.")
    status = one_of("Status of this size today: a suspension, its own approval, or else the family's.", APPROVALS)
    approval = part(Approval, "Approval of this size's own, which outranks the family's; null: none.", nullable=True)
    embedments_mm = many(number("Effective embedment depth h_ef.", "mm", minimum=0), "Embedments of this size.")


class FamilySummary(AnswerSchema):
    """A family in short."""

    id = string("Family.")
    title = string("Title.")
    mechanism = one_of("Mechanism.", MECHANISMS)
    setting = one_of("When the hole is drilled.", SETTINGS)
    removable = flag("Whether it can be taken out again.")
    exposures = many(string("An exposure."), "Exposures it may be used in.")
    preference_rank = Whole("Rank in the company's preference, 1 the first.", minimum=1, required=True)
    approval = part(Approval, "What the company allows of the family.")
    sizes = many(SizeApproval, "Its sizes.")


class RulesPart(Strict):
    """A part of the rulebook as its file has it; the schema of the file is the schema of the answer."""

    def __init__(self, description: str, component: str) -> None:
        self.component = component
        super().__init__(description, required=True)


class FamilyDetail(AnswerSchema):
    """A family in full."""

    family = RulesPart("The family as its file in the rulebook has it.", "RulesFamily")
    suspensions = many(Suspension, "What of the family is suspended for new work, whatever its approval says.")
    rulebook = part(RulebookIdentity, "The rulebook.")


class FamilyList(AnswerSchema):
    """The families of the rulebook that pass the filters."""

    families = many(FamilySummary, "Families, in the order of their ids.")
    rulebook = part(RulebookIdentity, "The rulebook.")


class RegisteredRelease(AnswerSchema):
    """What the register says of a release."""

    date = Day("Day of the release.", required=True)
    reason = string("Why there is a release.")
    author = string("Who made it.")
    checker = string("Role of who read the changes against their sources.")
    approver = string("Role of who agreed to it.")
    signatory = string("Whose key signs it, as the file of allowed signers names them.")


class RulebookSummary(AnswerSchema):
    """A version of the rulebook in short."""

    version = string("Version, year.number.patch.")
    name = string("Name.")
    status = string("Status; demonstration: every figure is invented.")
    digest = string("Digest of all its files.", pattern=DIGEST)
    commit = string("Earliest commit that holds it; null: the files are not committed.", nullable=True)
    state = one_of("released: the register names exactly this content; working: it may still change.", RULE_STATES)
    effective_from = Day("First day in force.", required=True)
    effective_until = string("Last day in force, ISO 8601; null: until replaced.", nullable=True)
    signatory = string("Role whose key signs the release.")
    release = part(RegisteredRelease, "What the register says of the release; null: it is none.", nullable=True)
    suspensions = many(Suspension, "What is suspended for new work and concerns this version.")


class RefusedRelease(AnswerSchema):
    """A release of the register that is not served."""

    version = string("Version, year.number.patch.")
    code = one_of("Stable code.", RULES_FAULTS)
    detail = string("Why, and what would help.")


class RulebookList(AnswerSchema):
    """The versions of the rulebook that the service holds."""

    rulebooks = many(RulebookSummary, "Versions, oldest first.")
    refused = many(RefusedRelease, "Releases that the register names and that are not served.")
    suspensions = many(Suspension, "All that is suspended for new work.")


class ConditionValue(AnswerSchema):
    """A value of a site condition."""

    value = string("Value, as the request gives it.")
    factor = number("Factor on the resistance.", "1", minimum=0, maximum=1)
    reason = string("Why it is so, in words.")


class SiteCondition(AnswerSchema):
    """A site condition and its values."""

    condition = string("Condition, as the request names it.")
    title = string("What it is.")
    applies_to = many(one_of("A mechanism.", MECHANISMS), "Mechanisms it matters for.")
    values = many(ConditionValue, "Values.")


class AllowedExposure(AnswerSchema):
    """An exposure that a request may give."""

    exposure = string("Exposure, as the request gives it; unknown among them.")
    title = string("What it is.")
    reason = string("Why it is told apart.")


class AllowedTemperatureRange(AnswerSchema):
    """A temperature range that a request may give."""

    temperature_range = string("Range, as the request gives it; unknown among them.")
    title = string("What it is.")
    long_term_max_c = number("Highest temperature in the long run; null: unknown.", "°C", nullable=True)
    short_term_max_c = number("Highest temperature for a short time; null: unknown.", "°C", nullable=True)
    reason = string("Why it is told apart.")


def words(description: str, values: tuple[str, ...]) -> Items:
    """Describe a list of words for a form.

    Args:
        description: What they are for.
        values: The words.

    Returns:
        The field.
    """
    return many(one_of("A value.", values), description)


class AllowedValues(AnswerSchema):
    """The values that a request may give, for forms."""

    site = many(SiteCondition, "Conditions of the site.")
    exposure = many(AllowedExposure, "Exposures.")
    temperature_range = many(AllowedTemperatureRange, "Temperature ranges.")
    strength_class = words("Strength classes of EN 1992-1-1 Table 3.1.", (*STRENGTH_CLASSES, UNKNOWN))
    state = words("States of the concrete.", (*STATES, UNKNOWN))
    edge_reinforcement = words("Reinforcement along an edge.", EDGE_REINFORCEMENTS)
    clearance = words("Holes in the fixture.", CLEARANCES)
    rotation = words("Rotation of the fixture.", ROTATIONS)
    situation = words("Design situations.", SITUATIONS)
    hole = words("States of the hole.", (*HOLES, UNKNOWN))
    load_case_kind = words("Kinds of load case.", KINDS)
    mechanism = words("Mechanisms.", MECHANISMS)
    setting = words("When the hole is drilled.", SETTINGS)


TAKEN_HOLE = "`dry`, `wet`, `flooded`, or `wettest_covered`: the wettest that the assessment of the family covers."


class TakenWhenUnknown(AnswerSchema):
    """What is taken where nobody knows."""

    strength_class = string("Strength class.")
    state = string("State of the concrete.")
    exposure = string("Exposure.")
    hole = string(f"State of the hole of a bonded fastener. {TAKEN_HOLE}")
    hole_without_resin = string(f"State of the hole of any other fastener. {TAKEN_HOLE}")
    temperature_range = string(
        "Temperature range of a bonded fastener: an id, or `weakest_covered`, of the ranges that the assessment covers "
        "the one with the least bond."
    )
    reason = string("Why it is so, in words.")


class DesignBasis(AnswerSchema):
    """What the rulebook designs by."""

    standards = many(Standard, "Standards.")
    national_choices = many(NationalChoice, "Choices left to each nation.")


class KnownCode(AnswerSchema):
    """A stable code of an answer."""

    code = string("Code.")
    meaning = string("What it means.")


class KnownCodes(AnswerSchema):
    """The stable codes that an answer under the version may hold; later versions may add to them."""

    requirements = many(KnownCode, "Codes of requirements.")
    scope_limits = many(KnownCode, "Codes of limits of the method.")
    assumptions = many(KnownCode, "Codes of assumptions, those of the rulebook's site conditions among them.")
    cautions = many(KnownCode, "Codes of cautions, the rulebook's own among them.")
    open_readings = many(KnownCode, "Codes of open readings.")


class RulebookDetail(RulebookSummary):
    """A version of the rulebook, with the values that a request may give under it."""

    design_basis = part(DesignBasis, "What it designs by.")
    cautions = many(Caution, "What every answer says.")
    selection_order = many(string("A criterion."), "Criteria by which sizing ranks, the first first.")
    site_reduction_floor = number("Floor of the site reduction.", "1", minimum=0, maximum=1)
    taken_when_unknown = part(TakenWhenUnknown, "What is taken where the request leaves it open.")
    allowed = part(AllowedValues, "The values that a request may give.")
    codes = part(KnownCodes, "The stable codes that an answer may hold, with their meaning.")


class Liveness(AnswerSchema):
    """The process runs."""

    status = one_of("live.", ("live",))


class RulesFault(AnswerSchema):
    """Something that is wrong with the rules, while others are served."""

    version = string("Version that it concerns; null: none or all.", nullable=True)
    code = one_of("Stable code.", RULES_FAULTS)
    detail = string("What is wrong and what would help.")


class Readiness(AnswerSchema):
    """The service can answer."""

    status = one_of("ready.", ("ready",))
    rulebook = part(RulebookIdentity, "The rulebook in force today, or the newest where none is.")
    versions = many(string("A version."), "Versions that are served, oldest first.")
    note = string("What is to be said of the place that the rules come from; null: nothing.", nullable=True)
    faults = many(RulesFault, "What keeps a version from being served, or new rules from being taken up.")


class Fault(AnswerSchema):
    """One thing that is wrong with a request."""

    code = Choice("Stable code.", tuple(CODES), required=True)
    detail = string("What is wrong and what is allowed.")
    pointer = Strict(
        "Place in the body, a JSON pointer as URI fragment; there unless parameter is.",
        type="string",
        pattern="^#(/.*)?$",
    )
    parameter = Strict("Name of the path or query parameter; there unless pointer is.", type="string")
    given = Strict(
        "What was given there, as JSON in the body and as it stands in a parameter, cut where it is long; left out "
        "where nothing was, or a group or list.",
        type="string",
        maxLength=LONGEST,
    )


class Problem(AnswerSchema):
    """Why a request got no answer (RFC 9457)."""

    type = string("Kind of problem, a URN that does not change.")
    title = string("Kind of problem in words.")
    status = Whole("Status of the response.", minimum=400, maximum=599, required=True)
    detail = string("What is wrong with this request.")
    errors = many(
        Fault,
        f"Each thing that is wrong, at most {MOST_ERRORS} of them; the detail says so where there are more. Empty "
        "where the detail says it all.",
    )


class ContractDocument(AnswerSchema):
    """The contract: an OpenAPI document."""

    openapi = string("Version of OpenAPI.")
    info = Strict("Title and version.", type="object", required=True)
    paths = Strict("Paths.", type="object", required=True)
    servers = Strict("Where the service is.", type="array", required=True)
    tags = Strict("Groups of operations.", type="array", required=True)
    components = Strict("Schemas, responses and headers.", type="object", required=True)
