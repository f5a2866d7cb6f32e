"""Words of lists as the page asks them, and why an answer is refused, where no other room has them for crews."""

from service.contract.verification_codes import Mode
from service.verification.answer import BASIS_NOTE
from service.words import Code


class Condition(Code):
    """State of the concrete."""

    CRACKED = "cracked", "Cracked"
    UNCRACKED = "uncracked", "Not cracked"


class Hole(Code):
    """State of the holes when the fasteners go in."""

    DRY = "dry", "Dry"
    WET = "wet", "Wet"
    FLOODED = "flooded", "Under water"


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
    FIXTURE_THICKNESS_MISSING = "fixture_thickness_missing", "the sheet needs the thickness of the plate"
    HOLE_TOO_DEEP = "hole_too_deep", "with this plate the fastener reaches too deep into the concrete"
    LENGTH_MISSING = "length_missing", "no length to buy fits this plate"
    NOT_VERIFIED = "not_verified", "this fixing does not pass: there is no sheet for it"
    OUTSIDE_SCOPE = "outside_scope", "the method does not cover this: an engineer has to design it"
    SITE_BELOW_FLOOR = "site_below_floor", "no answer yet: improve the site first"
    TEMPERATURE_NOT_COVERED = "temperature_not_covered", "resin may not be set at this temperature"


class Force(Code):
    """What is asked of a load case that somebody calculated."""

    NORMAL_KN = "normal_kn", "Tension, straight off the concrete"
    SHEAR_X_KN = "shear_x_kn", "Shear along x"
    SHEAR_Y_KN = "shear_y_kn", "Shear along y"
    MOMENT_X_KNM = "moment_x_knm", "Bending about x"
    MOMENT_Y_KNM = "moment_y_knm", "Bending about y"
    TORSION_KNM = "torsion_knm", "Twisting about z"
    PERMANENT_SHARE = "permanent_share", "Share that never changes"
    SUSTAINED_SHARE = "sustained_share", "Share of the pull that stays for long"


class ForceHint(Code):
    """What each of these means."""

    NORMAL_KN = "normal_kn", "Positive where it pulls, negative where it presses. Left empty: 0."
    SHEAR_X_KN = "shear_x_kn", "Positive the way x points. Left empty: 0."
    SHEAR_Y_KN = "shear_y_kn", "Positive the way y points. Left empty: 0."
    MOMENT_X_KNM = "moment_x_knm", "Positive where it lifts the side of positive y. Left empty: 0."
    MOMENT_Y_KNM = "moment_y_knm", "Positive where it lifts the side of negative x. Left empty: 0."
    TORSION_KNM = "torsion_knm", "Positive where it turns x towards y. Left empty: 0."
    PERMANENT_SHARE = "permanent_share", "From 0 to 1; needed with characteristic values, and only with those."
    SUSTAINED_SHARE = "sustained_share", "From 0 to 1; matters for resin. Left empty: all of it."


class Basis(Code):
    """What to know about what an answer rests on."""

    FORMULAS = "formulas", BASIS_NOTE


LISTS: dict[str, type[Code]] = {
    "state": Condition,
    "hole": Hole,
    "torque_control": TorqueControl,
    "strength_evidence": StrengthEvidence,
    "hole_cleaning": HoleCleaning,
    "installer": Installer,
    "drilling": Drilling,
    "refusals": Refused,
    "Mode": Mode,
    "Basis": Basis,
}
"""By the name of the question, or refusals."""
