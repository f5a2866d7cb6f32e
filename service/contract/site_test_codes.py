"""The codes of what is said about site tests; clients tolerate codes that are added."""

from __future__ import annotations

from service.contract.verification_codes import (
    AskedCode,
    CautionCode,
    ConcreteState,
    Mode,
    PullCautionCode,
    PullRequirementCode,
)
from service.contract.verification_codes.cautions import cautioned
from service.contract.verification_codes.requirements import asked
from service.words import Audience, Code, Meaning, Quantity, Severity, Term, Verbatim


class PullLimit(Code):
    """What a pull must not go beyond."""

    LABEL = Meaning("What the label of the fastener states.", "what its label states")
    YIELD = Meaning("A share of A_s·f_yk.", "a share of A_s·f_yk", "a share of what its steel bears")


class PlanRequirementCode(AskedCode):
    """What pulls need before they are made."""

    PULL_BELOW_STEEL = asked(
        "The pull stays below the rulebook's share of the yield load of the fastener, and below what its label states.",
        "pull beyond what the fastener bears",
        (
            (
                "pull {load_kn:.4g} kN, at most {load_max_kn:.4g} kN ({limit}), or the fastener is harmed: take "
                "the scheme {softer}, or have an engineer decide"
            ),
            "pull {load_kn:.4g} kN, at most {load_max_kn:.4g} kN ({limit}), so that the fastener is not harmed",
        ),
        Quantity("load_kn", "kN"),
        Quantity("load_max_kn", "kN"),
        Term("limit", PullLimit),
        Verbatim("softer"),
        given="load_kn",
        limit="load_max_kn",
    )
    WITHIN_RESISTANCE = asked(
        "The service action, factored as a variable one, is within what a single fastener holds by its assessment.",
        "more than the fastener holds",
        "{service_kn:.4g} kN in service times {factor} is {action_kn:.4g} kN; one fastener holds "
        "{resistance_kn:.4g} kN ({mode}, {strength_class}, {state}): where that is less, no pull makes up for it, "
        "and the fixing needs another design",
        Quantity("service_kn", "kN"),
        Quantity("factor", "1"),
        Quantity("action_kn", "kN"),
        Quantity("resistance_kn", "kN"),
        Term("mode", Mode),
        Verbatim("strength_class"),
        Term("state", ConcreteState),
        given="action_kn",
        limit="resistance_kn",
    )
    FEET_FAR_ENOUGH = asked(
        "The legs of the bridge stand far enough from the fastener.",
        "legs of the bridge too near",
        "bridge legs {support_mm} mm from the fastener, at least {support_min_mm} mm: nearer, they hold down what "
        "would break out, and the pull proves nothing",
        Quantity("support_mm", "mm"),
        Quantity("support_min_mm", "mm"),
        given="support_mm",
        limit="support_min_mm",
        concerns=Audience.CREW,
    )
    ENOUGH_PULLS_PLANNED = asked(
        "At least as many pulls are planned as a resistance needs.",
        "too few pulls planned",
        "{planned} pulls planned, at least {planned_min} to failure of the base material, or there is no "
        "resistance; plan some more for those that the steel or the bridge ends",
        Quantity("planned", "1"),
        Quantity("planned_min", "1"),
        given="planned",
        limit="planned_min",
    )


class SiteTestCautionCode(Code):
    """Cautions of site tests."""

    PROOF_IS_NO_RESISTANCE = cautioned(
        "A proof test shows that the setting is sound; it gives no resistance.",
        "A proof test shows that the fasteners of a batch were set soundly. It gives no resistance and replaces no "
        "design.",
    )
    NOT_IN_THE_LINE_OF_THE_PULL = cautioned(
        "A fastener or a bridge may let go at once.",
        "A fastener, a bridge or a hose may let go at once: keep everybody out of the line of the pull, and the "
        "ground below a soffit clear. Only a competent person pulls.",
        severity=Severity.STOPS,
        concerns=Audience.CREW,
    )
    BASIS_FROM_MEMORY = cautioned(
        "The rules were written from knowledge of the standard, not from its text.",
        "Numbers and steps of proof tests were written from knowledge of BS 8539 and have not been checked against "
        "the published text.",
        severity=Severity.KNOW,
    )
    LABEL_ONLY = cautioned(
        "The fastener is known from its label.",
        "The fastener is known from its label. A hook or an eye opens, and plastic gives way, long before a bolt "
        "of the same size: it is not pulled beyond what the label states, unless its maker agrees.",
        concerns=Audience.CREW,
    )
    NUMBER_RAISED = cautioned(
        "More are pulled than the rule asks for, so that each part of the batch has one.",
        "Batch {name}: the rule asks for a number of {asked}; {drawn} are drawn, so that each part has one.",
        Verbatim("name"),
        Quantity("asked", "1"),
        Quantity("drawn", "1"),
        severity=Severity.KNOW,
    )
    BOUNDS_NOT_COUNTED = cautioned(
        "Pulls that ended before the base material failed are lower bounds.",
        "Pulls that were stopped, or that the steel ended, show only that the base material holds that much. They "
        "are no failure loads: they have no part in the number and the mean, and one in the scatter where they "
        "reach the least failure load and make it larger.",
        severity=Severity.KNOW,
    )
    STOPPED_TOO_EARLY = cautioned(
        "Pulls were stopped below the least failure load: they show nothing and are left out.",
        "Stopped below the least failure load of {least_kn:.4g} kN, and left out of number, mean and scatter: "
        "{pulls}. A pull that was stopped because it moved or the load dropped is a failure: say moved.",
        Verbatim("pulls"),
        Quantity("least_kn", "kN"),
    )
    FAILURES_DIFFER = cautioned(
        "The pulls ended in different failures.",
        "The pulls ended in different failures. They were taken as one sample; where one failure has clearly lower "
        "loads, find out where it rules and pull more there.",
    )
    UNCRACKED_ONLY = cautioned(
        "The pulls show nothing of cracked concrete.",
        "Not every pull stood in a crack that counts, so the resistance holds only where the concrete is shown to "
        "stay uncracked for the service life, which is the engineer's to show. Concrete of unknown state counts as "
        "cracked.",
    )
    SCATTER_SMALL = cautioned(
        "The pulls scatter by less than what counts at least.",
        "The pulls scatter by {measured:.2g} of their mean; {counted:.2g} was counted. Few pulls of one place and "
        "one crew may be more alike than the fixings to come (EN 1990, D.7, from memory): pull where the base "
        "material looks weakest.",
        Quantity("measured", "1"),
        Quantity("counted", "1"),
    )
    OUTLIER_STAYS = cautioned(
        "A pull stands out; it stays in the result.",
        "A pull stands out. It stays in the result: only an explained cause may take it out. A low one is what a "
        "fixing may meet.",
    )
    LOADED_BEYOND_STEEL = cautioned(
        "Fasteners were pulled beyond what leaves them unharmed.",
        "Pulls went beyond {load_max_kn:.4g} kN, where the fastener itself comes to harm: replace such fasteners, "
        "whether they held or not, and use none of them again; a reading beyond may be the steel's.",
        Quantity("load_max_kn", "kN"),
        concerns=Audience.CREW,
    )
    PULLS_OF_OTHERS = cautioned(
        "Pulls were made on fasteners that were not drawn; their failures count, the rest does not.",
        "Not drawn by the plan: {pulls}. They do not count towards the number, while a failure among them counts "
        "as one. The draw follows from name, number, seed and parts of the batch: where these are not those of the "
        "plan, give those.",
        Verbatim("pulls"),
        concerns=Audience.CREW,
    )


REQUIREMENTS: tuple[Code, ...] = (*PullRequirementCode, *PlanRequirementCode)
CAUTIONS: tuple[Code, ...] = (
    PullCautionCode.SITE_TEST_REACH,
    CautionCode.SUSPENDED,
    CautionCode.SUPERSEDED,
    *SiteTestCautionCode,
)
"""Beside these an answer repeats the cautions of the rulebook, each with a code of its own."""
