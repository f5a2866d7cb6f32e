"""Versions of the rulebook: answers."""

from service.contract.common import Caution, NationalChoice, Standard
from service.contract.fields import UNKNOWN, Day
from service.contract.identity import Suspension
from service.contract.paths import Link, Path, PathParameter
from service.contract.statement import AnswerSchema, concerns, many, number, one_of, part, severity, string, words
from service.contract.terms import (
    ACTION_KINDS,
    BASE_MATERIALS,
    CLEARANCES,
    DIGEST,
    EDGE_REINFORCEMENTS,
    HOLES,
    KINDS,
    MECHANISMS,
    PROFILES,
    ROTATIONS,
    RULE_STATES,
    RULES_FAULTS,
    SETTINGS,
    SITUATIONS,
    STATES,
    STRENGTH_CLASSES,
    TOPPINGS,
)


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


class AllowedValues(AnswerSchema):
    """The values that a request may give, for forms."""

    site = many(SiteCondition, "Conditions of the site.")
    exposure = many(AllowedExposure, "Exposures.")
    temperature_range = many(AllowedTemperatureRange, "Temperature ranges.")
    material = words("Base materials.", (*BASE_MATERIALS, UNKNOWN))
    topping = words("What may lie on the base material.", TOPPINGS)
    strength_class = words("Strength classes of EN 1992-1-1 Table 3.1.", (*STRENGTH_CLASSES, UNKNOWN))
    state = words("States of the concrete.", (*STATES, UNKNOWN))
    edge_reinforcement = words("Reinforcement along an edge.", EDGE_REINFORCEMENTS)
    clearance = words("Holes in the fixture.", CLEARANCES)
    profile = words("Profiles of what stands on the fixture.", PROFILES)
    rotation = words("Rotation of the fixture.", ROTATIONS)
    situation = words("Design situations.", SITUATIONS)
    hole = words("States of the hole.", (*HOLES, UNKNOWN))
    load_case_kind = words("Kinds of load case.", KINDS)
    action_kind = words("Kinds of action.", ACTION_KINDS)
    mechanism = words("Mechanisms.", MECHANISMS)
    setting = words("When the hole is drilled.", SETTINGS)


TAKEN_HOLE = "`dry`, `wet`, `flooded`, or `wettest_covered`: the wettest that the assessment of the family covers."


class TakenWhenUnknown(AnswerSchema):
    """What is assumed where a thing is not known."""

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


class KnownFigure(AnswerSchema):
    """A figure that goes with a code."""

    name = string("Name among the figures of the code.")
    unit = string("Unit of a number, 1 a ratio or a count; null: a name or a word.", nullable=True)
    words = many(
        string("A word."), "The words it may be, of which the figure is one or several; null: no list.", nullable=True
    )


class KnownCode(AnswerSchema):
    """A stable code of an answer."""

    code = string("Code.")
    meaning = string("When it is given.")
    severity = severity()
    concerns = concerns()
    figures = many(KnownFigure, "The figures that go with it.")


class KnownFaultFigure(AnswerSchema):
    """A figure that may go with a fault."""

    name = string("Name among the figures of the fault.")
    meaning = string("What it says.")


class KnownFault(AnswerSchema):
    """A stable code of what is wrong with a request."""

    code = string("Code.")
    meaning = string("When it is given.")
    figures = many(KnownFaultFigure, "The figures that may go with it; a fault has those that are known there.")


class KnownCodes(AnswerSchema):
    """The stable codes that an answer under the version may hold; later versions may add to them."""

    requirements = many(KnownCode, "Codes of requirements.")
    scope_limits = many(KnownCode, "Codes of limits of the method.")
    assumptions = many(KnownCode, "Codes of assumptions, those of the rulebook's site conditions among them.")
    cautions = many(KnownCode, "Codes of cautions, the rulebook's own among them.")
    open_readings = many(KnownCode, "Codes of open readings.")
    reasons = many(KnownCode, "Codes of reasons of a sizing.")
    causes = many(KnownCode, "Codes of causes of a sizing, beside requirements and limits of the method.")
    relaxations = many(KnownCode, "Codes of relaxations of a sizing.")
    load_model_assumptions = many(
        KnownCode, "Codes of assumptions of load models, those of inputs left out or not known among them."
    )
    load_model_cautions = many(KnownCode, "Codes of cautions of load models, beside the rulebook's own.")
    load_model_steps = many(KnownCode, "Codes of steps in the working of load models.")
    label_cautions = many(KnownCode, "Codes of cautions of a label, beside the rulebook's own.")
    label_assumptions = many(KnownCode, "Codes of assumptions of a label, beside site conditions.")
    label_limits = many(KnownCode, "Codes of what a label lets one hang.")
    void = many(KnownCode, "Codes of why the stated loads of a label say nothing.")
    not_answered = many(KnownCode, "Codes of what a label cannot answer.")
    improvements = many(KnownCode, "Codes of what an improvement of the site gains.")
    improvement_cautions = many(KnownCode, "Codes of cautions of a site reduction, beside the rulebook's own.")
    site_test_requirements = many(KnownCode, "Codes of requirements of planned pulls, beside those of verifications.")
    site_test_cautions = many(KnownCode, "Codes of cautions of pulls, beside those of verifications.")
    as_built_requirements = many(KnownCode, "Codes of requirements of the work as built.")
    as_built_cautions = many(KnownCode, "Codes of cautions of an as-built check.")
    not_measured = many(
        KnownCode, "Codes of what can be measured of the work; an entry is as severe as it is decisive."
    )
    to_do = many(KnownCode, "Codes of what is to be done after an as-built check.")
    sheet_lines = many(
        KnownCode, "Codes of lines of a sheet, beside those of cautions, assumptions, site conditions and the rules."
    )
    faults = many(KnownFault, "Codes of what is wrong with a request, in the errors of a problem document.")


class RulebookDetail(RulebookSummary):
    """A version of the rulebook, with the values that a request may give under it."""

    design_basis = part(DesignBasis, "What it designs by.")
    cautions = many(Caution, "What every answer says.")
    selection_order = many(string("A criterion."), "Criteria by which sizing ranks, the first first.")
    site_reduction_floor = number("Floor of the site reduction.", "1", minimum=0, maximum=1)
    taken_when_unknown = part(TakenWhenUnknown, "What is taken where the request leaves it open.")
    allowed = part(AllowedValues, "The values that a request may give.")
    codes = part(KnownCodes, "The stable codes that an answer may hold, with their meaning.")


PATHS = (
    Path(
        method="GET",
        path="/v1/rulebooks",
        name="listRulebooks",
        summary="Which versions of the rulebook are held?",
        description="Lists the versions that the service holds, with digest, dates and state.",
        tag="Rulebook",
        answer=RulebookList,
        changes_with_the_rulebook=True,
        links=(
            Link(
                name="firstRulebook",
                description="The first version of the list in full.",
                operation="getRulebook",
                parameters={"version": "$response.body#/rulebooks/0/version"},
            ),
        ),
    ),
    Path(
        method="GET",
        path="/v1/rulebooks/{version}",
        name="getRulebook",
        summary="What may a request say under a version?",
        description=(
            "Gives a version with its design basis, what it assumes where a thing is not known, the values that a "
            "request may give and the stable codes that an answer may hold."
        ),
        tag="Rulebook",
        path_parameters=(PathParameter("version", "Version, year.number.patch.", "2026.8.2"),),
        answer=RulebookDetail,
        changes_with_the_rulebook=True,
    ),
)
