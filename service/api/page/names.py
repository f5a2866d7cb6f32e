"""Words of lists as the page asks them, and why an answer is refused, where no other room has them for crews."""

from service.contract.verification_codes import BaseMaterial, ConcreteState, HoleState, SectionProfile, ToppingKind
from service.verification.answer import BASIS_NOTE
from service.words import Code


class TorqueControl(Code):
    """How they are tightened."""

    CALIBRATED_WRENCH = "calibrated_wrench", "With a calibrated torque wrench"
    IMPACT_DRIVER_SET = "impact_driver_set", "With an impact wrench that is set for the size"
    BY_FEEL = "by_feel", "By feel"


class StrengthEvidence(Code):
    """What shows the strength of the concrete."""

    DOCUMENTED = "documented", "Test results of this concrete, or cores taken beside the fixing"
    REBOUND_HAMMER = "rebound_hammer", "A rebound hammer"
    DRAWINGS_ONLY = "drawings_only", "Only the drawings"


class HoleCleaning(Code):
    """Who has seen the hole clean."""

    VERIFIED = "verified", "A second person looks into each hole after cleaning"
    STATED = "stated", "Whoever drills says so; nobody else looks"


class Installer(Code):
    """Who sets the fasteners."""

    TRAINED = "trained", "Somebody trained for this kind of fastener"
    SUPERVISED = "supervised", "Somebody not yet trained, supervised by somebody who is"


class Drilling(Code):
    """How the holes are drilled."""

    HAMMER = "hammer", "Hammer drill"
    HOLLOW_BIT = "hollow_bit", "Hammer drill with a hollow bit that draws the dust off"
    DIAMOND_CORE = "diamond_core", "Diamond core drill"


class Refused(Code):
    """Why an answer to a question is refused."""

    REQUIRED = "required", "must be given"
    ABOVE_MAXIMUM = "above_maximum", "this is too much beside your other answers"
    BELOW_MINIMUM = "below_minimum", "this is too little beside your other answers"
    CONFLICT = "conflict", "this does not go with another of your answers"
    NOT_ALLOWED = "not_allowed", "the rulebook does not have this answer: pick another"
    ALL_ZERO = "all_zero", "give at least one force or moment that is not 0"
    OUTSIDE_FIXTURE = "outside_fixture", "this lies beyond the plate"
    OUTSIDE_MEMBER = "outside_member", "a hole would lie beyond the concrete"
    EDGES_CROSSED = "edges_crossed", "the two opposite edges leave no concrete between them"
    TOO_LONG = "too_long", "this is too long"
    CONTROL_CHARACTER = "control_character", "this holds a sign that can’t be used: type it again"
    NO_VERSION_IN_FORCE = "no_version_in_force", "no rulebook is in force today: tell whoever runs the service"
    RESIN_NOT_SEEN = "resin_not_seen", "there is no sheet for resin that the plate hides: take off what lies below it"
    NO_PLATE = "no_plate", "there is no sheet for this bare rod: an engineer has to write what is to be done"
    FIXTURE_THICKNESS_MISSING = "fixture_thickness_missing", "the sheet needs the thickness of the plate"
    LENGTH_MISSING = "length_missing", "no length to buy fits this plate"
    NOT_VERIFIED = "not_verified", "this fixing does not pass: there is no sheet for it"
    OUTSIDE_SCOPE = "outside_scope", "the method does not cover this: an engineer has to design it"
    TEMPERATURE_NOT_COVERED = "temperature_not_covered", "resin may not be set at this temperature"


class Basis(Code):
    """What to know about what an answer rests on."""

    FORMULAS = "formulas", BASIS_NOTE


LISTS: dict[str, type[Code]] = {
    "material": BaseMaterial,
    "topping": ToppingKind,
    "profile": SectionProfile,
    "state": ConcreteState,
    "hole": HoleState,
    "torque_control": TorqueControl,
    "strength_evidence": StrengthEvidence,
    "hole_cleaning": HoleCleaning,
    "installer": Installer,
    "drilling": Drilling,
    "refusals": Refused,
    "Basis": Basis,
}
"""By the name of the question, or refusals."""
