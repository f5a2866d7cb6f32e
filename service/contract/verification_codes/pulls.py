"""Requirements and cautions of resistances that come from pulls on site."""

from __future__ import annotations

from service.contract.verification_codes.cautions import cautioned
from service.contract.verification_codes.requirements import NEAR_EDGES, NEAR_PAIRS, Asked, AskedCode, asked
from service.contract.verification_codes.terms import BaseMaterial, ConcreteState, HoleState, Mechanism, TestedMaterial
from service.words import Audience, Code, Meaning, Quantity, Term, Verbatim


class TestedState(Code):
    """State of the concrete that pulls stand for."""

    CRACKED = Meaning(
        "Every pull stood in a crack of the rulebook's width.",
        "cracked or uncracked concrete, as every pull stood in a crack that counts",
    )
    UNCRACKED = Meaning(
        "Not every pull stood in such a crack.",
        "uncracked concrete only: where a crack may run through a fastener, nothing was shown",
    )
    NOT_CONCRETE = Meaning(
        "The pulls were made in masonry.",
        "masonry, where cracks do not count as they do in concrete: joints do, and a cracked wall is not covered",
    )


class BaseState(Code):
    """State of the base material of a fixing, held against that of the pulls."""

    CRACKED = "cracked", "cracked concrete"
    UNCRACKED = "uncracked", "uncracked concrete"
    MASONRY = Meaning(
        "Masonry, where cracks do not count as they do in concrete.",
        "masonry (set the fasteners in stones or in joints as the pulls were, and none where the wall is cracked)",
    )


class Curing(Code):
    """Whether the resin had cured before the pulls, as far as it was said."""

    OVER = Meaning("It had, before every pull.", "cured before every pull")
    NOT_OVER = Meaning(
        "It had not, before every pull.",
        "not cured before every pull, which harms the bond: set other fasteners, let them cure for the temperature "
        "of the base material, pull those, and say curing_over",
        "not cured before every pull, which harms the bond: set other fasteners, let them cure, and pull those",
    )
    NOT_SAID = Meaning(
        "Nobody said.",
        "nobody said whether it had cured, for the temperature of the base material, before every pull: say "
        "curing_over; where it had not, set other fasteners, let them cure, and pull those",
        "nobody said whether it had cured before every pull: say it; where it had not, set other fasteners, let "
        "them cure, and pull those",
    )


class Distance(Code):
    """Distances that are measured at a pull."""

    EDGE = "edge", "edge"
    SPACING = "spacing", "spacing"


def _like_the_tests(meaning: str, short: str, engineer: str, figure: type[Code] | None = None) -> Asked:
    """What has to be here as it was in the tests."""
    names = ("here", "tested")
    figures = [Verbatim(name) if figure is None else Term(name, figure) for name in names]
    sentence = f"{engineer}: here {{here}}, in the tests {{tested}}"
    return asked(meaning, short, sentence, *figures, given="here", limit="tested", concerns=Audience.CREW)


def _as_far(
    meaning: str,
    short: str,
    engineer: str,
    name: str,
    unmeasured: bool = False,
    near: tuple[Quantity | Term, ...] = (),
) -> Asked:
    """A distance (mm) that has to be as large as in the tests; None is out of reach. Others say where it is not."""
    given, limit = f"{name}_mm", f"{name}_min_mm"
    figures: list[Quantity | Term] = [Quantity(given, "mm"), Quantity(limit, "mm"), *near]
    sentences = [f"{engineer}: {{{given}}} mm, at least {{{limit}}} mm"]
    sentences.append(f"{engineer}: out of reach, at least {{{limit}}} mm")
    if unmeasured:
        figures.append(Term("not_measured", Distance))
        more = "; the {not_measured} was not measured at every pull, so it counts only out of reach: measure it"
        sentences = [f"{each}{more}" for each in sentences] + sentences
    return asked(meaning, short, tuple(sentences), *figures, given=given, limit=limit, concerns=Audience.CREW)


class PullRequirementCode(AskedCode):
    """What pulls on site need before they give a resistance, and how far it reaches."""

    SITE_TEST_MECHANISM = asked(
        "The rulebook takes resistances from site tests for the mechanism.",
        "no resistance from site tests for the mechanism",
        "mechanism {mechanism}; the rulebook takes resistances from site tests for: {allowed}",
        Term("mechanism", Mechanism),
        Term("allowed", Mechanism),
        given="mechanism",
        limit="allowed",
    )
    SITE_TEST_NUMBER = asked(
        "Enough pulls ended in failure of the base material.",
        "too few pulls to failure",
        "{failed} pulls ended in failure of the base material, at least {failed_min}; pulls stopped before, or "
        "ended by the steel, are lower bounds and do not count",
        Quantity("failed", "1"),
        Quantity("failed_min", "1"),
        given="failed",
        limit="failed_min",
        concerns=Audience.CREW,
    )
    SITE_TEST_SUPPORT = asked(
        "The legs of the bridge did not hold down what would have broken out.",
        "legs of the bridge too near",
        "bridge legs {support_mm} mm from the fastener, at least {support_min_mm} mm, so that they do not hold "
        "down what would break out",
        Quantity("support_mm", "mm"),
        Quantity("support_min_mm", "mm"),
        given="support_mm",
        limit="support_min_mm",
        concerns=Audience.CREW,
    )
    SITE_TEST_CURED = asked(
        "The resin had cured before the pulls; given for bonded fasteners.",
        "resin not shown to have cured",
        "resin: {curing}",
        Term("curing", Curing),
        concerns=Audience.CREW,
    )
    SITE_TEST_READING = asked(
        "No reading lies above what the steel of the fastener bears.",
        "a reading above what the steel bears",
        (
            (
                "largest pull {load_kn:.4g} kN; the steel of the fastener bears {steel_kn:.4g} kN: {pulls} cannot "
                "be right. Give the reading again, with its unit and its point; where it stands, have the gauge "
                "and its table looked at, and pull again"
            ),
            "largest pull {load_kn:.4g} kN; the steel of the fastener bears {steel_kn:.4g} kN",
        ),
        Quantity("load_kn", "kN"),
        Quantity("steel_kn", "kN"),
        Verbatim("pulls"),
        given="load_kn",
        limit="steel_kn",
        concerns=Audience.CREW,
    )
    SITE_TEST_STEEL = asked(
        "Steel gave way nowhere below its yield load; given only where a pull ended by the steel.",
        "steel gave way too early",
        (
            (
                "least load at which steel gave way {load_kn:.4g} kN; it may yield at {yield_kn:.4g} kN: {pulls} "
                "gave way before, so it is not the fastener of the rulebook; set none of the delivery, and ask "
                "its maker"
            ),
            "least load at which steel gave way {load_kn:.4g} kN; it may yield at {yield_kn:.4g} kN",
        ),
        Quantity("load_kn", "kN"),
        Quantity("yield_kn", "kN"),
        Verbatim("pulls"),
        given="load_kn",
        limit="yield_kn",
        crew=(
            (
                "the steel of {pulls} broke or gave way at {load_kn:.4g} kN; it has to hold {yield_kn:.4g} kN: it "
                "is not the fastener that was ordered; set none of the delivery, and tell the engineer"
            ),
            "the steel gave way at {load_kn:.4g} kN; it has to hold {yield_kn:.4g} kN",
        ),
        concerns=Audience.CREW,
    )
    SITE_TEST_SCATTER = asked(
        "The failure loads scatter little enough.",
        "failure loads scatter too much",
        "coefficient of variation of the failure loads {variation:.3g}, at most {variation_max}; where they "
        "scatter more, find out why, part what differs, and pull again",
        Quantity("variation", "1"),
        Quantity("variation_max", "1"),
        given="variation",
        limit="variation_max",
    )
    SITE_TEST_ABOVE_ZERO = asked(
        "The lower limit of the failure loads lies above 0.",
        "lower limit of the failure loads not above 0",
        "the lower limit of the failure loads has to lie above 0",
    )
    SITE_TEST_STATE = asked(
        "The concrete is as the pulls show it: cracked only where every pull stood in a crack.",
        "pulls show nothing of cracked concrete",
        (
            (
                "not every pull stood in a crack that counts, so the pulls show nothing of {not_shown} concrete, "
                "and concrete of unknown state counts as cracked: pull in cracks of at least {crack_min_mm} mm, "
                "take a fastener assessed for {not_shown} concrete, or have an engineer show that the concrete "
                "stays uncracked for the service life"
            ),
            (
                "not every pull stood in a crack that counts, so the pulls show nothing of {not_shown} concrete, "
                "and concrete of unknown state counts as cracked: take a fastener assessed for {not_shown} "
                "concrete, or have an engineer show that the concrete stays uncracked for the service life"
            ),
            "the base material is {state}; the pulls hold in {tested}",
            "concrete of unknown state counts as cracked; the pulls hold in {tested}",
        ),
        Term("state", BaseState),
        Term("tested", TestedState),
        Term("not_shown", ConcreteState),
        Quantity("crack_min_mm", "mm"),
        given="state",
        limit="tested",
    )
    SITE_TEST_ID = asked(
        "The id of the tests belongs to their content; given only where the request states one.",
        "tests changed since they were assessed",
        "the id of the tests belongs to their content: stated {stated}, found {found}",
        Verbatim("stated"),
        Verbatim("found"),
        given="stated",
        limit="found",
    )
    SITE_TEST_AGE = asked(
        "The tests are not too old on the day of the assessment, and were made before it.",
        "tests too old, or made after the day",
        "tests hold from {tested_on} to {valid_until}, then pull again; assessed on {day}",
        Verbatim("day"),
        Verbatim("tested_on"),
        Verbatim("valid_until"),
        given="day",
    )
    SITE_TEST_FASTENER = asked(
        "The fastener is the one that was pulled.",
        "not the fastener that was pulled",
        "{family} {size}, h_ef {embedment_mm} mm; pulled: {tested_family} {tested_size}, h_ef {tested_embedment_mm} mm",
        Verbatim("family"),
        Verbatim("size"),
        Quantity("embedment_mm", "mm"),
        Verbatim("tested_family"),
        Verbatim("tested_size"),
        Quantity("tested_embedment_mm", "mm"),
    )
    SITE_TEST_DRILLING = _like_the_tests(
        "The holes are drilled as they were for the tests.", "drilled otherwise", "drilling"
    )
    SITE_TEST_HOLE = _like_the_tests(
        "The holes are in the state that they had in the tests.", "hole in another state", "hole", HoleState
    )
    SITE_TEST_TEMPERATURE = asked(
        "The resin is assessed in the temperature range; given for bonded fasteners.",
        "resin not assessed in the temperature range",
        (
            "temperature range {range}: the pulls were made on a cool day, so {share:.3g} of what they give counts",
            "temperature range {range}: not assessed for the resin, so nobody knows what it loses there",
            (
                "temperature range not known, the least favourable counts: the pulls were made on a cool day, so "
                "{share:.3g} of what they give counts"
            ),
            "temperature range not known, so nobody knows what the resin loses there",
        ),
        Verbatim("range"),
        Quantity("share", "1"),
        given="range",
    )
    SITE_TEST_BASE_MATERIAL = _like_the_tests(
        "The base material is the one that was tested, in the same words.",
        "another base material",
        "base material, which has to be the same in the same words, as another wall is another material",
    )
    SITE_TEST_MATERIAL = asked(
        "The base material is of the kind that was tested; given only where it is not.",
        "another kind of base material than in the tests",
        "kind of base material, which has to be as in the tests: here {here}, in the tests {tested}",
        Term("here", BaseMaterial),
        Term("tested", TestedMaterial),
        given="here",
        limit="tested",
        concerns=Audience.CREW,
    )
    SITE_TEST_CONTACT = asked(
        "The fixture stands on the base material, without stand-off or grout.",
        "stand-off or grout, which pulls do not cover",
        "the fixture has to stand on the base material itself: pulls show nothing of bending over a stand-off or grout",
    )
    SITE_TEST_THICKNESS = _as_far(
        "The base material is as thick as it was in the tests.",
        "base material thinner than in the tests",
        "thickness of the base material",
        "thickness",
    )
    SITE_TEST_EDGE = _as_far(
        "Every edge is as far away as it was in the tests.",
        "edge nearer than in the tests",
        "nearest edge",
        "edge",
        unmeasured=True,
        near=NEAR_EDGES,
    )
    SITE_TEST_SHEAR_EDGE = _as_far(
        "Under shear every edge is out of its reach.",
        "edge in reach of shear",
        "nearest edge, as pulls show nothing of shear towards it",
        "edge",
        near=NEAR_EDGES,
    )
    SITE_TEST_SPACING = _as_far(
        "The fasteners stand too far apart to pull on one another.",
        "fasteners too close for single pulls",
        "smallest spacing, as single pulls show nothing of neighbours",
        "spacing",
        unmeasured=True,
        near=NEAR_PAIRS,
    )


class PullCautionCode(Code):
    """Cautions of a resistance that comes from pulls on site."""

    SITE_TEST_REACH = cautioned(
        "The resistance comes from pulls on site and holds only within their reach.",
        (
            (
                "The resistance comes from {failed} pulls to failure on {tested_on}, not from an assessment. It "
                "holds for {family} {size} with {embedment_mm} mm embedment in {base_material}, until "
                "{valid_until}, at the distances that the requirements say, set as the pulled ones were. Every "
                "pull stood in a crack of {crack_mm} mm or more; wider cracks are beyond it. Pulls of minutes show "
                "nothing of years, fire or shaking, and pulls on a cool day nothing of warmth. A licensed or "
                "chartered engineer has to agree to its use."
            ),
            (
                "The resistance comes from {failed} pulls to failure on {tested_on}, not from an assessment. It "
                "holds for {family} {size} with {embedment_mm} mm embedment in {base_material}, until "
                "{valid_until}, at the distances that the requirements say, set as the pulled ones were. It holds "
                "in {tested}. Pulls of minutes show nothing of years, fire or shaking, and pulls on a cool day "
                "nothing of warmth. A licensed or chartered engineer has to agree to its use."
            ),
        ),
        Quantity("failed", "1"),
        Verbatim("tested_on"),
        Verbatim("valid_until"),
        Verbatim("family"),
        Verbatim("size"),
        Quantity("embedment_mm", "mm"),
        Verbatim("base_material"),
        Term("tested", TestedState),
        Quantity("crack_mm", "mm"),
    )
    GAUGE_ACCURACY_NOT_STATED = cautioned(
        "How accurate the gauge is was not stated; the rulebook's figure was taken at the side that costs more.",
        "How accurate the gauge is was not stated: ±{taken_percent:.3g} % was taken, each load at the side that "
        "costs more. It stands on the certificate or on the gauge: give it.",
        Quantity("taken_percent", "%"),
    )
    SITE_TEST_FORCES = cautioned(
        "The forces of the fasteners were found with the stiffness of concrete.",
        "The forces of the fasteners were found under a stiff fixture on concrete. A softer base material brings "
        "the pressure nearer to the fasteners, and more tension from a moment: see the utilisation under half the "
        "contact stiffness, and have the pressure on the base material checked.",
    )
