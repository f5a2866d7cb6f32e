"""Labels and site reductions: what a request may say, what an answer holds, and examples."""

from collections.abc import Iterator, Mapping
from typing import Any

from service.contract.checks import SiteReduction, TraceEntry
from service.contract.codes import refusal
from service.contract.coherence import Disagreement, Rule, just_one
from service.contract.common import Assumption, Caution
from service.contract.fields import UNKNOWN, Choice, Conditions, Day, Flag, Items, Number, Part, Strict, Whole, Word
from service.contract.identity import RulebookIdentity
from service.contract.label_codes import (
    BASE_MATERIALS,
    MEANINGS,
    UNITS,
    YES_NO_UNKNOWN,
    ImprovementCode,
    LabelAssumptionCode,
    LabelCautionCode,
    LimitCode,
    NotAnsweredCode,
    ProofOf,
    VoidCode,
)
from service.contract.load_models import RulebookChoice
from service.contract.paths import Path
from service.contract.request_schema import RequestSchema
from service.contract.statement import (
    AnswerSchema,
    Said,
    Stated,
    code,
    many,
    number,
    one_of,
    part,
    sentence,
    severity,
    string,
)
from service.contract.terms import LARGEST_KN, MECHANISMS, STATES

LARGEST_KG = 1_000_000
LARGEST_LB = 2_200_000
LEAST = 1e-3
MOST_FIGURES = 10
TAKEN = ("characteristic", "mean_ultimate", "recommended")
WITHIN = ("stay_below", "service", "over", "no_limit")
OTHER_UNIT = "another unit is given"


class InSomeUnit(RequestSchema):
    """A load in one unit or several."""

    value_kn = Number("The load in kN.", "kN", minimum=LEAST, maximum=LARGEST_KN, absent=OTHER_UNIT)
    value_kg = Number(
        "The load in kg, as a mass that hangs.", "kg", minimum=LEAST, maximum=LARGEST_KG, absent=OTHER_UNIT
    )
    value_lb = Number(
        "The load in pounds, as a mass that hangs.", "lb", minimum=LEAST, maximum=LARGEST_LB, absent=OTHER_UNIT
    )

    @staticmethod
    def rules() -> tuple[Rule, ...]:
        """Refuse a load without any unit."""
        return (_some_unit,)


def _some_unit(load: Mapping[str, Any]) -> Iterator[Disagreement]:
    if not any(unit in load for unit in UNITS):
        yield ("value_kn",), refusal("required", f"one of {', '.join(UNITS)} must be given", fields=list(UNITS))


class StatedLoad(InSomeUnit):
    """One load on the label; give each unit that is printed, and they are held against each other."""

    meaning = Choice(
        "What the label says it is: a characteristic load, a mean failure load, one that is recommended or "
        "permissible in service, or unknown.",
        MEANINGS,
        absent="unknown; the least favourable is taken",
        default=UNKNOWN,
    )


class AppliedLoad(InSomeUnit):
    """What one fastener is to carry in service; the largest counts where several units are given."""


class LabelFigures(RequestSchema):
    """What else the label says."""

    hole_diameter_mm = Number(
        "Hole diameter.", "mm", minimum=1, maximum=500, absent="the label does not say, so nobody can prove it"
    )
    hole_depth_mm = Number(
        "Hole depth.", "mm", minimum=1, maximum=5000, absent="the label does not say, so nobody can prove it"
    )
    fixture_thickness_max_mm = Number(
        "Largest fixture thickness.", "mm", minimum=0, maximum=1000, absent="the label does not say"
    )
    torque_nm = Number(
        "Tightening torque.", "Nm", minimum=0, maximum=10_000, absent="the label does not say, so nobody can prove it"
    )


class AsSet(RequestSchema):
    """What was or is to be done on site."""

    hole_diameter_mm = Number("Diameter of the hole.", "mm", minimum=1, maximum=500, absent="as the label has it")
    hole_depth_mm = Number("Depth of the hole.", "mm", minimum=1, maximum=5000, absent="as the label has it")
    fixture_thickness_mm = Number("Thickness of the fixture.", "mm", minimum=0, maximum=1000, absent="not known")


class Proof(RequestSchema):
    """What somebody can show; it counts where the label has the figure."""

    hole = Flag("True when the diameter of the hole can be shown.", absent="false", default=False)
    depth = Flag("True when the depth of the hole can be shown.", absent="false", default=False)
    torque = Flag(
        "True when the torque can be shown; matters for mechanisms whose torque does.", absent="false", default=False
    )


def _site() -> Conditions:
    return Conditions(
        "How sure the site can be: conditions and their values as listed at /v1/rulebooks/{version}.",
        absent="each condition is unknown; the rulebook says what unknown costs",
    )


class LabelRequest(RulebookChoice):
    """A label or data sheet, when it is all that is known of a fastener."""

    figures = Items(
        Part(StatedLoad, "One stated load."), "Loads on the label.", fewest=1, most=MOST_FIGURES, required=True
    )
    label = Part(LabelFigures, "What else the label says.", absent="nothing")
    as_set = Part(AsSet, "What was or is to be done on site.", absent="as the label has it")
    proof = Part(Proof, "What somebody can show.", absent="nothing can be shown")
    european_assessment = Choice(
        "Whether a European assessment stands behind the stated loads.",
        YES_NO_UNKNOWN,
        absent="unknown, taken as no",
        default=UNKNOWN,
    )
    mechanism = Choice(
        "How the fastener holds; plastic_anchor is the nylon frame fixing of the trade.",
        (*MECHANISMS, UNKNOWN),
        absent="unknown; the mechanism that the site costs most is taken",
        default=UNKNOWN,
    )
    base_material = Choice(
        "What the label says its loads were found in; concrete where it says no more. Only loads found in concrete, or "
        "in normal_weight_concrete, give a figure, for solid normal-weight concrete; aerated concrete is a "
        "lightweight_concrete.",
        BASE_MATERIALS,
        absent="unknown, and the stated loads give no figure",
        default=UNKNOWN,
    )
    concrete_state = Choice(
        "State of the concrete where it is set; cracked or unknown gives a figure only where cracked_concrete_covered "
        "is yes.",
        (*STATES, UNKNOWN),
        absent="unknown, which counts as cracked",
        default=UNKNOWN,
    )
    cracked_concrete_covered = Choice(
        "Whether the label or data sheet says that its loads hold in cracked concrete.",
        YES_NO_UNKNOWN,
        absent="unknown, taken as no",
        default=UNKNOWN,
    )
    own_screw_used = Flag(
        "True when another screw, bolt or rod than the label's is used, which voids the stated loads; false when it is "
        "the label's own.",
        absent="not known, and the stated loads give no figure",
    )
    site = _site()
    applied = Part(AppliedLoad, "What one fastener is to carry.", absent="what would be left is not told")


class SiteReductionRequest(RulebookChoice):
    """A site whose reduction is to be explained."""

    site = _site()
    family = Word("Family, as listed at /v1/families; give this or mechanism.", absent="the mechanism must be given")
    mechanism = Choice("How the fastener holds; give this or family.", MECHANISMS, absent="the family must be given")

    @staticmethod
    def rules() -> tuple[Rule, ...]:
        """Refuse both of family and mechanism, and neither."""
        return (_family_or_mechanism,)


def _family_or_mechanism(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    yield from just_one(request, "family", "mechanism")


class SiteImprovement(Stated):
    """What one site condition would gain if it alone were brought to its best value."""

    code = code(ImprovementCode, of="statement.word")
    condition = string("Condition, for example torque_control.")
    title = string("Its title.")
    value = string("Its value now.")
    better = string("Its best value.")
    factor = number("Its factor now.", "1", minimum=0, maximum=1)
    better_factor = number("Its factor then.", "1", minimum=0, maximum=1)
    reduction = number("The site reduction then.", "1", minimum=0, maximum=1)
    gain = number("By how much every resistance grows, as a ratio: 0.11 is 11 % more.", "1", minimum=0)
    reason = string("Why the best value costs least.")
    words = sentence("The improvement in words.", of="statement")


class SiteReductionAnswer(AnswerSchema):
    """What is taken off for how sure the site can be, and what would gain most."""

    mechanism = one_of("The mechanism that it was found for.", MECHANISMS)
    site_reduction = part(SiteReduction, "The reduction, each condition with its factor and reason.")
    improvements = many(SiteImprovement, "What would gain most, first; conditions at their best are left out.")
    assumptions = many(Assumption, "What was taken because the request leaves it open.")
    cautions = many(Caution, "What to beware of.")
    rulebook = part(RulebookIdentity, "The rulebook.")
    assessed_on = Day("Day for which the answer is made.", required=True)


def _true_false_none(description: str) -> Strict:
    return Flag(description, required=True, nullable=True)


class StatedLoadRead(AnswerSchema):
    """One stated load, and what it means."""

    meaning_given = one_of("Its meaning as given.", MEANINGS)
    meaning_taken = one_of("Its meaning as taken.", TAKEN)
    words = sentence("What that means.")
    stated_kn = number("The load; the least where it stands in several units.", "kN", minimum=0)
    units_agree = _true_false_none("Whether its units are one load but for rounding; null: it stands in one unit.")
    kilograms_in_lb = number("What its kilograms are in pounds; null: it has no kilograms.", "lb", nullable=True)
    divisor = number("What it is divided by to a service load.", "1", minimum=1)
    reason = string("Why it is divided by that.")
    rule = string("Rulebook path of the divisor.")
    permissible_kn = number(
        "What is left, before the site reduction; null: the stated loads are void.", "kN", nullable=True
    )


class LabelLimit(Stated):
    """What may hang on one fastener in service, in the concrete and direction that words says."""

    code = code(LimitCode, of="statement.word")
    governing_figure = Whole(
        "Index into figures of the one that allows least.", minimum=0, required=True, of="limit.governing"
    )
    label_kn = number("What the label allows.", "kN", minimum=0, of="limit.label_kn")
    label_kg = number("The same as a hanging mass.", "kg", minimum=0)
    service_kn = number("What is left of it after the site reduction.", "kN", minimum=0, of="limit.here_kn")
    service_kg = number("The same as a hanging mass.", "kg", minimum=0)
    missing_proof = many(
        one_of("What nobody can show.", tuple(one.value for one in ProofOf)),
        "What nobody can show, or the label does not state.",
        of="limit.missing",
    )
    share_without_proof = number(
        "Share of service_kn to stay below; 1 where all is shown.", "1", minimum=0, maximum=1, of="limit.share"
    )
    stay_below_kn = number("What to stay below.", "kN", minimum=0, of="limit.below_kn")
    stay_below_kg = number("The same as a hanging mass.", "kg", minimum=0)
    words = sentence(
        "The limit in words, rounded down, with where it holds: without these the figure is none.", of="statement"
    )


class VoidReason(Said):
    """Why the stated loads say nothing."""

    code = code(VoidCode, of="code.value")
    severity = severity(of="code.says.weight.value")
    text = sentence("The reason in words.", of="statement")


class AppliedRead(AnswerSchema):
    """What would be left over a load in service."""

    service_kn = number("The load.", "kN", minimum=0)
    left_kn = number(
        "What is left to stay_below_kn, negative when it is over; null: there is no limit.", "kN", nullable=True
    )
    left_kg = number("The same as a hanging mass.", "kg", nullable=True)
    growth = number("stay_below_kn over the load; null: there is no limit.", "1", nullable=True)
    within = one_of(
        "stay_below: within what to stay below; service: within service_kn, but not well below it; over: beyond; "
        "no_limit: the label gives none.",
        WITHIN,
    )


class NotAnswered(Said):
    """What a label alone cannot answer."""

    code = code(NotAnsweredCode, of="code.value")
    severity = severity(of="code.says.weight.value")
    text = sentence("The question in words.", of="statement")


class LabelCaution(Said):
    """What to beware of."""

    code = code(LabelCautionCode, " Beside these suspended, superseded and the cautions of the rulebook.")
    text = sentence("The caution in words.")


class LabelAssumption(Assumption):
    """What was taken because the request leaves it open."""

    code = code(LabelAssumptionCode, " Beside these a site condition with _unknown.")


class LabelAnswer(AnswerSchema):
    """What a label's stated loads mean and allow, and what they cannot answer."""

    figures = many(StatedLoadRead, "Each stated load.")
    permissible = part(LabelLimit, "What may hang there; null: the stated loads are void, or may be.", nullable=True)
    void = many(VoidReason, "Why the stated loads are void or may be, with what to say; empty where they are not.")
    applied = part(AppliedRead, "What would be left; null: no load in service was given.", nullable=True)
    mechanism = one_of("The mechanism as taken.", MECHANISMS)
    site_reduction = part(SiteReduction, "What is taken off for how sure the site can be.")
    improvements = many(SiteImprovement, "What on site would gain most, first.")
    not_answered = many(NotAnswered, "What a label alone cannot answer.")
    trace = many(TraceEntry, "Steps in order of use; empty where the stated loads are void.")
    assumptions = many(LabelAssumption, "What was taken because the request leaves it open.")
    cautions = many(LabelCaution, "What to beware of.")
    rulebook = part(RulebookIdentity, "The rulebook.")
    assessed_on = Day("Day for which the answer is made.", required=True)


FRAME_FIXING: dict[str, Any] = {
    "figures": [{"meaning": "mean_ultimate", "value_kg": 250, "value_lb": 551}],
    "label": {"hole_diameter_mm": 10, "hole_depth_mm": 80, "fixture_thickness_max_mm": 30},
    "as_set": {"fixture_thickness_mm": 20},
    "proof": {"hole": True, "depth": True},
    "european_assessment": "no",
    "mechanism": "plastic_anchor",
    "base_material": "concrete",
    "concrete_state": "uncracked",
    "own_screw_used": False,
    "site": {"strength_evidence": "drawings_only", "installer": "trained", "drilling": "hammer"},
    "applied": {"value_kg": 15},
}
OLD_BOX: dict[str, Any] = {"figures": [{"value_kn": 3.2}]}
OLD_BOX_LOOKED_AT: dict[str, Any] = OLD_BOX | {
    "base_material": "concrete",
    "concrete_state": "uncracked",
    "own_screw_used": False,
    "site": {"hole_cleaning": "verified", "installer": "trained"},
}
OWN_SCREW: dict[str, Any] = FRAME_FIXING | {"own_screw_used": True}
BY_FEEL: dict[str, Any] = {
    "site": {
        "torque_control": "by_feel",
        "strength_evidence": "documented",
        "hole_cleaning": "verified",
        "installer": "trained",
        "drilling": "hammer",
    },
    "mechanism": "torque_controlled_expansion",
}


TAG = "Loads and labels"

PATHS = (
    Path(
        method="POST",
        path="/v1/labels",
        name="readLabel",
        summary="What does a label allow, when it is all that is known?",
        description=(
            "Says what each load on a label or data sheet means, turns it into a permissible service load by the "
            "rulebook's divisors, takes the site reduction off, and lists what a label alone cannot answer. A figure "
            "that is void gives no number. It is no verification, and no record is made of it."
        ),
        tag=TAG,
        body=LabelRequest,
        examples={
            "frame_fixing": {"summary": "Nylon frame fixing with a laboratory load", "value": FRAME_FIXING},
            "old_box": {"summary": "A figure on a box, and nothing else", "value": OLD_BOX},
            "old_box_looked_at": {
                "summary": "The same after a look: its own screw, in concrete that an engineer showed to be uncracked, "
                "set by somebody trained in holes that were seen clean",
                "value": OLD_BOX_LOOKED_AT,
            },
            "own_screw": {"summary": "The same frame fixing with another screw", "value": OWN_SCREW},
        },
        answer=LabelAnswer,
    ),
    Path(
        method="POST",
        path="/v1/site-reductions",
        name="explainSiteReduction",
        summary="What does the site cost, and what would gain most?",
        description=(
            "Gives each site condition's factor with its reason, and what each would gain if it alone were brought to "
            "its best value, the one that gains most first."
        ),
        tag=TAG,
        body=SiteReductionRequest,
        examples={"by_feel": {"summary": "Tightened by feel, all else at its best", "value": BY_FEEL}},
        answer=SiteReductionAnswer,
    ),
)
