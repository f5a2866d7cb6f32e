"""The words of a label that stand in lists, and what each means."""

from service.contract.fields import UNKNOWN
from service.contract.verification_codes import Mechanism, TestedMaterial
from service.words import Audience, Code, Meaning, Quantity, Severity, Term, Verbatim

MEANINGS = ("characteristic", "mean_ultimate", "recommended", UNKNOWN)
BASE_MATERIALS = (*(each.value for each in TestedMaterial), UNKNOWN)
"""What a label may say that its loads were found in; few say more than concrete."""
IN_CONCRETE = (TestedMaterial.CONCRETE.value, TestedMaterial.NORMAL_WEIGHT_CONCRETE.value)
"""Of these, what loads in concrete were found in."""
YES_NO_UNKNOWN = ("yes", "no", UNKNOWN)
UNITS = ("value_kn", "value_kg", "value_lb")


def _said(
    sentence: str,
    crew: str | None = None,
    *,
    severity: Severity = Severity.DECIDE,
    concerns: Audience = Audience.ENGINEER,
) -> Meaning:
    """What is said by a sentence that tells when it is given."""
    return Meaning(sentence, sentence, crew, severity=severity, concerns=concerns)


class ProofOf(Code):
    """What has to be shown of the work, so that a label's load is not halved."""

    HOLE = "hole", "hole"
    DEPTH = "depth", "depth"
    TORQUE = "torque", "torque"


class TakenAs(Code):
    """What a load of a label means, as it was taken."""

    CHARACTERISTIC = (
        "characteristic",
        (
            "A load that 95 of 100 fasteners hold in the test, at failure: nothing has been taken off for scatter of "
            "the concrete, of the work or of the load. Never hang it."
        ),
    )
    MEAN_ULTIMATE = (
        "mean_ultimate",
        "What a laboratory pulled on average until something failed: half of the fasteners held less. Never hang it.",
    )
    RECOMMENDED = (
        "recommended",
        (
            "What the label lets one hang in service, its own factors taken off, in the base material and under the "
            "conditions it was found in."
        ),
    )


class LimitIn(Code):
    """In which concrete a limit of a label holds."""

    CRACKED_OR_NOT = Meaning("The label covers cracked concrete.", "in concrete, cracked or not")
    UNCRACKED = Meaning("The concrete is uncracked.", "in uncracked concrete")


class LimitCode(Code):
    """What a label lets one hang."""

    IN_SERVICE = Meaning(
        "The limit of one fastener, its figures rounded down to three digits.",
        (
            (
                "At most {service_kn} kN ({service_kg} kg) in service on one fastener {where}, far from edges and "
                "other fasteners, straight out or across as the label means it; without proof of {missing} stay "
                "below {stay_below_kn} kN ({stay_below_kg} kg)."
            ),
            (
                "At most {service_kn} kN ({service_kg} kg) in service on one fastener {where}, far from edges and "
                "other fasteners, straight out or across as the label means it."
            ),
        ),
        severity=Severity.DECIDE,
        concerns=Audience.CREW,
        figures=(
            Quantity("service_kn", "kN"),
            Quantity("service_kg", "kg"),
            Term("where", LimitIn),
            Term("missing", ProofOf),
            Quantity("stay_below_kn", "kN"),
            Quantity("stay_below_kg", "kg"),
        ),
    )


class Lacking(Code):
    """What an assessment does not name, so that a way to tighten shows nothing."""

    TORQUE = "torque", "no torque"
    DRIVER_TORQUE = "driver_torque", "no torque for an impact wrench"


def _gain(meaning: str, end: str, *figures: Quantity) -> Meaning:
    """What an improvement gains, and for which sizes of the family it is out of reach."""
    known = "{title}: {better_title} in place of {value_title}"
    unknown = "{title}: {better_title} in place of not known"
    but = "; not for {without}, the assessment names {lacking}"
    return Meaning(
        meaning,
        (f"{known}: {end}{but}", f"{unknown}: {end}{but}", f"{known}: {end}", f"{unknown}: {end}"),
        severity=Severity.KNOW,
        figures=(
            Verbatim("title"),
            Verbatim("better"),
            Verbatim("better_title"),
            Verbatim("value"),
            Verbatim("value_title"),
            *figures,
            Verbatim("without"),
            Term("lacking", Lacking),
        ),
    )


class ImprovementCode(Code):
    """What one site condition would gain if it alone were brought to its best value."""

    GAINS = _gain("Every resistance grows.", "{gain_percent:+.2g} %", Quantity("gain_percent", "%"))
    GAINS_BELOW_FLOOR = _gain(
        "Every resistance grows, and the factors stay under the floor.",
        "{gain_percent:+.2g} %; still {product:.2g}, below the floor of {floor}",
        Quantity("gain_percent", "%"),
        Quantity("product", "1"),
        Quantity("floor", "1"),
    )


class VoidCode(Code):
    """Why the stated loads of a label say nothing."""

    OWN_SCREW = _said(
        "Another screw than the label's was used: the stated load is void; screw and plug are one fastener.",
        severity=Severity.STOPS,
        concerns=Audience.CREW,
    )
    OWN_SCREW_NOT_KNOWN = _said(
        "Nobody said whose screw, bolt or rod is used. With another than the label's the stated load is void, and "
        "it may be another: look, and say own_screw_used (false where it is the label's own).",
        "Nobody said whose screw, bolt or rod is used. With another than the label's the stated load is void, and "
        "it may be another: look.",
        severity=Severity.STOPS,
        concerns=Audience.CREW,
    )
    OTHER_BASE_MATERIAL = _said(
        "The label speaks of another base material than concrete: its load says nothing here.",
        severity=Severity.STOPS,
        concerns=Audience.CREW,
    )
    BASE_MATERIAL_NOT_KNOWN = _said(
        "Nobody said in what base material the stated load was found. In hollow blocks or aerated concrete it is "
        "a small part of that in concrete: look on the label or data sheet, and say base_material. Where nothing "
        "says it, pull some on site (/v1/site-tests/plans).",
        "Nobody said in what base material the stated load was found. In hollow blocks or aerated concrete it is "
        "a small part of that in concrete: look on the label or data sheet. Where nothing says it, ask for pulls "
        "on site.",
        severity=Severity.STOPS,
        concerns=Audience.CREW,
    )
    LOAD_BEYOND_STEEL = _said(
        "A stated load is more than the strongest steel as thick as the hole would bear: read the label again, the "
        "figure, its unit and the diameter of the hole.",
        severity=Severity.STOPS,
        concerns=Audience.CREW,
    )
    SITE_BELOW_FLOOR = _said(
        "The site is less sure than the rulebook's floor allows: improve the site before anything is fixed, or say "
        "what is sure of it under site.",
        "The site is less sure than the rules allow: improve it before anything is fixed.",
        severity=Severity.STOPS,
        concerns=Audience.CREW,
    )
    HOLE_TOO_SHALLOW = _said(
        "The hole is less deep than the label asks for: the stated load is void.",
        severity=Severity.STOPS,
        concerns=Audience.CREW,
    )
    HOLE_TOO_DEEP = _said(
        "The hole is deeper than the label asks for: a drop-in or an undercut cannot be set at its depth in it, "
        "and the stated load is void. Where it is another kind of fastener, say mechanism.",
        "The hole is deeper than the label asks for: a drop-in or an undercut cannot be set at its depth in it, "
        "and the stated load is void. Where it is another kind of fastener, say which.",
        severity=Severity.STOPS,
        concerns=Audience.CREW,
    )
    OTHER_HOLE_DIAMETER = _said(
        "The hole has another diameter than the label asks for: the stated load is void.",
        severity=Severity.STOPS,
        concerns=Audience.CREW,
    )
    CRACKED_NOT_COVERED = _said(
        "The concrete is cracked, and nobody said that the stated load holds in cracks: it gives no figure here. "
        "Look on the label or data sheet, and say cracked_concrete_covered; where it does not say yes, take a "
        "fastener whose assessment covers cracked concrete.",
        "The concrete is cracked, and nobody said that the stated load holds in cracks: hang nothing by it. Look "
        "on the label or data sheet; where it does not say that it covers cracked concrete, take a fastener whose "
        "assessment does.",
        severity=Severity.STOPS,
        concerns=Audience.CREW,
    )
    STATE_NOT_KNOWN = _said(
        "Nobody said whether the concrete is cracked, so it counts as cracked, and nobody said that the stated "
        "load holds in cracks: it gives no figure here. Look on the label or data sheet, and say "
        "cracked_concrete_covered; or have an engineer show that the concrete is not cracked, and say "
        "concrete_state.",
        "Nobody said whether the concrete is cracked, so it counts as cracked, and nobody said that the stated "
        "load holds in cracks: hang nothing by it. Look on the label or data sheet, or have an engineer show that "
        "the concrete is not cracked.",
        severity=Severity.STOPS,
        concerns=Audience.CREW,
    )
    FIXTURE_TOO_THICK = _said(
        "The fixture is thicker than the label allows: the fastener does not reach its depth, and the stated load "
        "is void.",
        severity=Severity.STOPS,
        concerns=Audience.CREW,
    )


class NotAnsweredCode(Code):
    """What a label alone cannot answer."""

    EDGE_DISTANCE = _said(
        "How near to an edge it may stand; near an edge concrete breaks off far below the stated load.",
    )
    SPACING = _said(
        "How near to each other two may stand.",
    )
    CRACKED_CONCRETE = _said(
        "What is left in cracked concrete; where there is tension in the member, concrete cracks.",
    )
    GROUPS = _said(
        "What a group under one plate holds; it is less than the number times one.",
    )
    SHEAR_AND_BENDING = _said(
        "Shear, shear with a lever arm, and bending of the fastener.",
    )
    LOAD_DIRECTION = _said(
        "In which direction the stated load was pulled.",
    )
    FIRE = _said(
        "How long it holds in a fire; plastic and resin hold nothing when hot.",
    )
    CONCRETE_STRENGTH = _said(
        "In which strength of concrete the stated load was found.",
    )
    MEMBER_THICKNESS = _said(
        "How thick the member must be.",
    )
    SUSTAINED_LOAD_AND_WARMTH = _said(
        "What is left under load that stays, and when it gets warm; plastic creeps.",
    )
    FIXTURE_THICKNESS = _said(
        "What it holds when the fixture is thicker than the label says, or the label says nothing.",
    )
    BASE_MATERIAL = _said(
        "What it holds in another base material than that of the label.",
    )
    CORROSION = _said(
        "How long it lasts where it is damp, outside or near the sea.",
    )


class LoadMeaning(Code):
    """What a load of a label is."""

    CHARACTERISTIC = "characteristic", "characteristic"
    MEAN_ULTIMATE = "mean_ultimate", "mean failure"
    RECOMMENDED = "recommended", "recommended"
    UNKNOWN = "unknown", "not known"


class LabelCautionCode(Code):
    """Cautions of labels."""

    LABEL_IS_NO_ASSESSMENT = _said(
        "A label is no European assessment. Where people can be hurt take a fastener with a valid assessment, "
        "verify it, and leave the approval to a licensed or chartered engineer.",
    )
    TORQUE_DOES_NOT_DECIDE = _said(
        "Two newton-metres of torque more or less do not decide: hole, depth and base material do.",
        severity=Severity.KNOW,
    )
    STAY_WELL_BELOW = _said(
        "Nobody can show hole, depth and torque: stay well below the limit.",
        concerns=Audience.CREW,
    )
    ULTIMATE_IS_NOT_SERVICE = _said(
        "The stated load is one at failure. What may hang there is a small part of it.",
    )
    MEANING_NOT_KNOWN = _said(
        "The label does not say what its load means: the least favourable was taken.",
    )
    NO_ASSESSMENT_KNOWN = _said(
        "Without a European assessment nobody has tested cracks, creep and bad holes.",
    )
    FIGURES_DISAGREE = Meaning(
        "A load of the label differs from unit to unit by more than rounding.",
        (
            (
                "In the {meaning} load of {value_kg} kg, {value_lb} lb, {value_kn} kN the units differ by more "
                "than rounding: one was copied wrong. The least, {stated_kn} kN, counts."
            ),
            (
                "In the {meaning} load of {value_kg} kg, {value_lb} lb the units differ by more than rounding: one "
                "was copied wrong. The least, {stated_kn} kN, counts."
            ),
            (
                "In the {meaning} load of {value_kg} kg, {value_kn} kN the units differ by more than rounding: one "
                "was copied wrong. The least, {stated_kn} kN, counts."
            ),
            (
                "In the {meaning} load of {value_lb} lb, {value_kn} kN the units differ by more than rounding: one "
                "was copied wrong. The least, {stated_kn} kN, counts."
            ),
        ),
        severity=Severity.DECIDE,
        figures=(
            Term("meaning", LoadMeaning),
            Quantity("value_kg", "kg"),
            Quantity("value_lb", "lb"),
            Quantity("value_kn", "kN"),
            Quantity("stated_kn", "kN"),
        ),
    )
    FIGURES_CONTRADICT = Meaning(
        "Two loads of the label do not go together.",
        (
            (
                "The {one} load of {one_kn} kN is more than the {other} load of {other_kn} kN leaves "
                "in service by the rulebook, {other_kn:.3g}/{divisor} = {left_kn} kN: the label takes less off "
                "than the rulebook. The lower counts."
            ),
            (
                "The {one} loads of {one_kn} kN and {other_kn} kN are of one kind and differ: they may be for two "
                "directions, depths or base materials. The lower counts; ask which of them is for this place."
            ),
        ),
        severity=Severity.DECIDE,
        figures=(
            Term("one", LoadMeaning),
            Quantity("one_kn", "kN"),
            Term("other", LoadMeaning),
            Quantity("other_kn", "kN"),
            Quantity("divisor", "1"),
            Quantity("left_kn", "kN"),
        ),
    )
    FIGURE_NOT_WHAT_IT_IS_CALLED = Meaning(
        "A load of the label cannot be what it is called.",
        "The {low} load of {low_kn} kN is not below the {high} load of {high_kn} kN, and has to be: one "
        "of them is not what it is called. Both were taken as loads whose meaning nobody knows, and the lower "
        "counts.",
        severity=Severity.DECIDE,
        figures=(
            Term("low", LoadMeaning),
            Quantity("low_kn", "kN"),
            Term("high", LoadMeaning),
            Quantity("high_kn", "kN"),
        ),
    )
    ONLY_IN_CONCRETE = _said(
        "This holds in sound concrete only, not in masonry, blocks, plaster or screed, whatever the wall looks "
        "like from outside.",
        concerns=Audience.CREW,
    )
    PLASTIC_REDUNDANT_ONLY = _said(
        "Plastic plugs are for redundant, non-structural uses, where others take over when one fails.",
    )
    OVER_THE_LIMIT = Meaning(
        "The load is more than the label allows here.",
        "The load is more than the label allows here: do not hang it.",
        severity=Severity.STOPS,
        concerns=Audience.CREW,
    )
    OVER_WELL_BELOW = _said(
        "The load is within what the label allows, but not well below it, and nobody can show hole, depth and "
        "torque.",
        concerns=Audience.CREW,
    )
    SITE_REDUCTION_FLOOR = Meaning(
        "The site factors multiply to less than the floor.",
        (
            (
                "The site factors multiply to {product:.2g}, less than the rulebook's floor of {floor}: improve "
                "the site before fixing anything. Not known: {unknown_titles}."
            ),
            (
                "The site factors multiply to {product:.2g}, less than the rulebook's floor of {floor}: improve "
                "the site before fixing anything."
            ),
        ),
        severity=Severity.STOPS,
        figures=(Quantity("product", "1"), Quantity("floor", "1"), Verbatim("unknown"), Verbatim("unknown_titles")),
    )


class ImprovementCautionCode(Code):
    """Cautions of what a site could do about its reduction."""

    SITE_REDUCTION_FLOOR = Meaning(
        "The site factors multiply to less than the floor.",
        (
            (
                "The site factors multiply to {product:.2g}, below the rulebook's floor of {floor}: nothing is "
                "verified and no sheet is given. Improve the site and ask again before fixing anything. No single "
                "improvement is enough; these together bring it to {improved:.2g}: {together}. Not known: "
                "{unknown_titles}."
            ),
            (
                "The site factors multiply to {product:.2g}, below the rulebook's floor of {floor}: nothing is "
                "verified and no sheet is given. Improve the site and ask again before fixing anything. No single "
                "improvement is enough; these together bring it to {improved:.2g}: {together}."
            ),
            (
                "The site factors multiply to {product:.2g}, below the rulebook's floor of {floor}: nothing is "
                "verified and no sheet is given. Improve the site and ask again before fixing anything. The best "
                "single improvement: {best}. Not known: "
                "{unknown_titles}."
            ),
            (
                "The site factors multiply to {product:.2g}, below the rulebook's floor of {floor}: nothing is "
                "verified and no sheet is given. Improve the site and ask again before fixing anything. The best "
                "single improvement: {best}."
            ),
            (
                "The site factors multiply to {product:.2g}, below the rulebook's floor of {floor}: nothing is "
                "verified and no sheet is given. Improve the site and ask again before fixing anything. No "
                "improvement that the rulebook knows brings it to the floor. Not known: "
                "{unknown_titles}."
            ),
            (
                "The site factors multiply to {product:.2g}, below the rulebook's floor of {floor}: nothing is "
                "verified and no sheet is given. Improve the site and ask again before fixing anything. No "
                "improvement that the rulebook knows brings it to the floor."
            ),
        ),
        severity=Severity.STOPS,
        figures=(
            Quantity("product", "1"),
            Quantity("floor", "1"),
            Verbatim("unknown"), Verbatim("unknown_titles"),
            Verbatim("best"),
            Verbatim("together"),
            Quantity("improved", "1"),
        ),
    )


class LabelAssumptionCode(Code):
    """What is taken where a label does not say it."""

    MEANING_TAKEN = Meaning(
        "A load whose meaning nobody knows was taken as what divides it most.",
        "A load whose meaning nobody knows was taken as what divides it most: {taken}.",
        severity=Severity.DECIDE,
        figures=(Term("taken", LoadMeaning),),
    )
    NOT_ASSESSED_TAKEN = _said(
        "Whether a European assessment stands behind it is not known: taken as none.",
    )
    MECHANISM_TAKEN = Meaning(
        "How the fastener holds is not known: the mechanism that the site costs most was taken.",
        "How the fastener holds is not known: the mechanism that the site costs most was taken, {taken}.",
        severity=Severity.DECIDE,
        figures=(Term("taken", Mechanism),),
    )
    ANY_DIRECTION = _said(
        "The permissible load is for the direction that the label means, straight out or across; the least of "
        "the derivable ones governs.",
    )
    UNCRACKED_TO_BE_SHOWN = _said(
        "Uncracked concrete was stated and has to be shown.",
    )
    SINGLE_FASTENER = _said(
        "One fastener far from edges and others.",
    )
    MEANING_DOUBTED = Meaning(
        "A load that cannot be what it is called was taken as one whose meaning nobody knows.",
        "A load that cannot be what it is called was taken as one whose meaning nobody knows: {taken}.",
        severity=Severity.DECIDE,
        figures=(Term("taken", LoadMeaning),),
    )
