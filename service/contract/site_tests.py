"""Plans and assessments of site tests: what a request may say, what an answer holds, and examples for both."""

from collections.abc import Iterator, Mapping
from enum import Enum
from typing import Any

from service.contract import site_test_codes as codes
from service.contract.codes import refusal
from service.contract.coherence import Disagreement, Rule, just_one, same_names
from service.contract.common import Requirement as AnyRequirement
from service.contract.common import Standard
from service.contract.fields import Choice, Day, Flag, Items, Number, Part, Text, Whole
from service.contract.identity import RulebookIdentity
from service.contract.paths import Link, Path
from service.contract.pulls import (
    BRIDGE_FOOT,
    CURING_OVER,
    FAILURE_WORDS,
    FAILURES,
    AllowableTests,
    Gauge,
    PulledFastener,
    SiteTest,
    SiteTestOrigin,
    calibration_fits,
    gauge_faults,
    names_of_pulls_differ,
    one_reading_a_pull,
    reading,
    readings,
)
from service.contract.quantities import bridge_foot
from service.contract.request_schema import RequestSchema
from service.contract.statement import AnswerSchema, Said, code, flag, many, one_of, part, string
from service.contract.statement import number as figure
from service.contract.terms import LARGEST_KN, STATES, STRENGTH_CLASSES

SCHEMES = ("fewer_harder", "more_softer")
LARGEST_LOT = 20_000
MOST_LOTS = 20
MOST_PARTS = 50
MOST_PROVEN = 1_000
DRAW = (
    "Fasteners are drawn by the SHA-256 of `seed:name:number` in UTF-8, the lowest hexadecimal text first, within each "
    "part of the lot; parts take turns, those under the worst conditions first, then by how few were drawn for their "
    "size. After a failure the parts come again in the same order, as often as at first, and then as before."
)


SERVICE_ACTION = Number(
    "Characteristic tension of one fastener in service, the largest of the lot.",
    "kN",
    above=0,
    maximum=LARGEST_KN,
    required=True,
)
STRENGTH_SHOWN = Choice(
    "Strength class of the concrete, where it is shown.", tuple(STRENGTH_CLASSES), absent="C20/25"
)
STATE_SHOWN = Choice(
    "State of the concrete, where it is shown.",
    STATES,
    absent="cracked, but for what is assessed for uncracked concrete only",
)
FOOT_AT_HAND = bridge_foot(
    "Distance from the fastener to the nearest foot of the bridge at hand.",
    absent="the least distance is told and not checked",
)
"""These stand in several requests."""


class NextStep(Enum):
    """What the pulls so far ask for."""

    CONTINUE = "continue"
    ACCEPT = "accept"
    INVESTIGATE_AND_EXTEND = "investigate_and_extend"
    TEST_ALL_AND_RECONSIDER = "test_all_and_reconsider"
    DESIGN_ANEW = "design_anew"


class PartOfLot(RequestSchema):
    """Fasteners of a lot that one team set, or that stand in one place."""

    name = Text("Name of the part; no two of a lot have the same.", longest=80, required=True)
    first = Whole("Number of its first fastener.", minimum=1, maximum=LARGEST_LOT, required=True)
    last = Whole("Number of its last fastener.", minimum=1, maximum=LARGEST_LOT, required=True)
    worst = Flag(
        "True where conditions were or are worst: overhead, wet, near edges, a new team.", absent="false", default=False
    )


class Lot(RequestSchema):
    """Fasteners of one kind in one base material, set in one way, to be proven together."""

    name = Text("Name of the lot; no two have the same.", longest=80, required=True)
    fastener = Part(PulledFastener, "The fastener.", required=True)
    base_material = Text("Base material in words.", longest=200, required=True)
    number = Whole(
        "How many fasteners the lot has, numbered from 1 as they stand.", minimum=1, maximum=LARGEST_LOT, required=True
    )
    service_action_kn = SERVICE_ACTION
    strength_class = STRENGTH_SHOWN
    state = STATE_SHOWN
    scheme = Choice(
        "How many to pull and how hard, as the rulebook has it.", SCHEMES, absent="the rulebook's default scheme"
    )
    seed = Whole(
        "Seed of the draw: chosen once, by somebody who neither sets nor pulls, and kept; whoever tries several until "
        f"the draw suits chooses the fasteners. {DRAW}",
        minimum=0,
        maximum=1_000_000_000,
        required=True,
    )
    parts = Items(
        Part(PartOfLot, "One part."),
        "Parts of the lot by team and place, together all of it, so that the pulls spread over them.",
        fewest=1,
        most=MOST_PARTS,
        absent="the lot is one part",
    )
    support_distance_mm = FOOT_AT_HAND


class PlannedTests(RequestSchema):
    """Pulls to failure that are planned in a base material that nobody has data for."""

    name = Text("Name of the tests; no two have the same.", longest=80, required=True)
    fastener = Part(PulledFastener, "The fastener.", required=True)
    base_material = Text("Base material in words.", longest=200, required=True)
    pulls = Whole("How many pulls are planned.", minimum=1, maximum=80, absent="the least number of the rulebook")
    expected_variation = Number(
        "Coefficient of variation that is expected of the failure loads, as a ratio.",
        "1",
        above=0,
        maximum=1,
        absent="0.15",
        default=0.15,
    )
    support_distance_mm = FOOT_AT_HAND


class SiteTestPlanRequest(RequestSchema):
    """Site tests to be planned: proof tests of lots, allowable-resistance tests, or both."""

    rulebook = Text("Version of the rulebook.", longest=40, absent="the version in force")
    assessed_on = Day("Day of the plan.", absent="today")
    gauge = Part(Gauge, "The gauge at hand.", absent="loads are given in kN and kg, without readings")
    lots = Items(
        Part(Lot, "One lot."), "Lots to be proven.", fewest=1, most=MOST_LOTS, absent="required unless "
        "allowable_resistance is given",
    )  # fmt: skip
    allowable_resistance = Items(
        Part(PlannedTests, "One base material and fastener."),
        "Allowable-resistance tests to be planned.",
        fewest=1,
        most=MOST_LOTS,
        absent="required unless lots are given",
    )

    @staticmethod
    def rules() -> tuple[Rule, ...]:
        """Rules across fields."""
        return (something_to_plan, names_differ, parts_make_the_lot, gauge_is_sound)


class ProofPull(RequestSchema):
    """One pull of a proof test; exactly one reading, in the unit of all the others."""

    name = Text(
        "Number of the pulled fastener in the lot, as the plan gives it; for a replacement a name of its own. No two "
        "have the same. A fastener that was pulled again because a pull did not count has the last pull here; a "
        "failure stays.",
        longest=40,
        required=True,
    )
    replaces = Text(
        "For a replacement: name of the pull, earlier in the list, whose fastener failed or was harmed and was "
        "replaced by this one.",
        longest=40,
        absent="it is no replacement",
    )
    reading_kn = reading("kN")
    reading_kg = reading("kg")
    reading_lb = reading("lb")
    reading_bar = reading("bar")
    held_minutes = Number(
        "How long the reading was held without sinking.", "min", minimum=0, maximum=1440, required=True
    )
    movement_mm = Number(
        "Movement of the fastener under the load.",
        "mm",
        minimum=0,
        maximum=1000,
        absent="it was not read, so that the pull cannot count as held",
    )
    failure = Choice(f"How it ended. {FAILURE_WORDS}.", FAILURES, required=True)


class ProofTests(RequestSchema):
    """Proof tests of a lot."""

    reference = Text("The caller's own name for the tests.", longest=200, absent="no name")
    name = Text("Name of the lot, as the plan has it: the draw goes by it.", longest=80, required=True)
    tested_on = Day("Day of the pulls.", required=True)
    fastener = Part(PulledFastener, "The fastener.", required=True)
    number = Whole("How many fasteners the lot has.", minimum=1, maximum=LARGEST_LOT, required=True)
    service_action_kn = SERVICE_ACTION
    strength_class = STRENGTH_SHOWN
    state = STATE_SHOWN
    scheme = Choice("The scheme of the plan.", SCHEMES, absent="the rulebook's default scheme")
    seed = Whole(
        f"Seed of the plan, so that anybody can see which fasteners it drew. {DRAW}",
        minimum=0,
        maximum=1_000_000_000,
        required=True,
    )
    parts = Items(
        Part(PartOfLot, "One part."), "Parts of the lot, as the plan has them.", fewest=1, most=MOST_PARTS,
        absent="the lot is one part",
    )  # fmt: skip
    curing_over = CURING_OVER
    gauge = Part(Gauge, "The gauge.", required=True)
    support_distance_mm = BRIDGE_FOOT
    pulls = Items(
        Part(ProofPull, "One pull."), "Every pull, in the order drawn, at most one a fastener, replacements behind.",
        fewest=1, most=MOST_PROVEN, required=True,
    )  # fmt: skip
    cause_of_failure = Text(
        "Why a fastener failed, where one did and the cause was found.",
        longest=400,
        absent="no cause is known; the lot is then not proven after a failure",
    )

    @staticmethod
    def rules() -> tuple[Rule, ...]:
        """Rules across fields."""
        return (
            one_reading_a_pull,
            calibration_fits,
            names_of_pulls_differ,
            one_pull_a_fastener,
            replacements_fit,
            no_more_than_there_are,
            parts_are_the_lot,
        )


class SiteTestAssessmentRequest(RequestSchema):
    """Pulls on site to be assessed, of one kind or the other."""

    rulebook = Text("Version of the rulebook.", longest=40, absent="the version in force")
    assessed_on = Day("Day of the assessment.", absent="today")
    allowable_resistance = Part(
        AllowableTests, "Pulls to failure, for a resistance.", absent="required unless proof is given"
    )
    proof = Part(ProofTests, "Proof tests of a lot.", absent="required unless allowable_resistance is given")

    @staticmethod
    def rules() -> tuple[Rule, ...]:
        """Rules across fields."""
        return (one_kind_of_tests,)


def something_to_plan(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find a plan of nothing."""
    if "lots" not in request and "allowable_resistance" not in request:
        words = "lots or allowable_resistance must be given"
        yield ("lots",), refusal("required", words, fields=["allowable_resistance"])


def names_differ(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find lots or planned tests of one name."""
    yield from same_names(request.get("lots", ()), "lots", "lot")
    yield from same_names(request.get("allowable_resistance", ()), "allowable_resistance", "tests")


def parts_make_the_lot(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find parts that leave fasteners of the lot out, share some, or go beyond it."""
    for index, lot in enumerate(request.get("lots", ())):
        for path, message in parts_are_the_lot(lot):
            yield ("lots", index, *path), message


def parts_are_the_lot(lot: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find parts of one name, and parts that leave fasteners of the lot out, share some, or go beyond it."""
    yield from same_names(lot.get("parts", ()), "parts", "part")
    wanted = 1
    for step, piece in sorted(enumerate(lot.get("parts", ())), key=lambda pair: pair[1]["first"]):
        if piece["first"] != wanted or not wanted <= piece["last"] <= lot["number"]:
            words = f"must begin with {wanted}, the first number left, and end between there and {lot['number']}"
            yield ("parts", step), refusal("outside_lot", words, first=wanted, last=lot["number"])
            break
        wanted = piece["last"] + 1
    else:
        if "parts" in lot and wanted <= lot["number"]:
            words = f"must together be the lot; fasteners {wanted} to {lot['number']} are in no part"
            yield ("parts",), refusal("outside_lot", words, first=wanted, last=lot["number"])


def gauge_is_sound(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find a calibration that is not in one unit or does not rise."""
    points = request.get("gauge", {}).get("points", ())
    if not points:
        return
    found = readings(points[0])
    if len(found) == 1:
        yield from gauge_faults(request["gauge"], found[0])
    else:
        words = "must have one reading: reading_kn, reading_kg, reading_lb or reading_bar"
        yield ("gauge", "points", 0), refusal("conflict" if found else "required", words)


def fastener_of(pull: Mapping[str, Any], lot: int) -> int | None:
    """Number of the pulled fastener in its lot.

    Args:
        pull: A pull of a proof test, without nulls.
        lot: How many fasteners the lot has.

    Returns:
        The number that the name is, None for a replacement and for a name that is no number of the lot.
    """
    name = pull["name"].strip()
    if "replaces" in pull or not (name.isascii() and name.isdecimal()):
        return None
    return int(name) if 1 <= int(name) <= lot else None


def one_pull_a_fastener(tests: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find a fastener that is named twice, its number written in two ways."""
    seen: dict[int, str] = {}
    for index, pull in enumerate(tests["pulls"]):
        number = fastener_of(pull, tests["number"])
        if number is not None and seen.setdefault(number, pull["name"]) != pull["name"]:
            words = f"is fastener {number} again, like {seen[number]}: one pull a fastener, the last that counts"
            yield ("pulls", index, "name"), refusal("duplicate_name", words)


def replacements_fit(tests: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find replacements of nothing, or several of one."""
    before: set[str] = set()
    replaced: set[str] = set()
    for index, pull in enumerate(tests["pulls"]):
        name = pull.get("replaces")
        if name is not None and name not in before:
            words = "must be the name of a pull that stands before it in the list"
            yield ("pulls", index, "replaces"), refusal("not_allowed", words)
        elif name in replaced:
            words = f"{name} has its replacement already; where that one was replaced too, name that one"
            yield ("pulls", index, "replaces"), refusal("conflict", words)
        before.add(pull["name"])
        if name is not None:
            replaced.add(name)


def no_more_than_there_are(tests: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find more pulls than fasteners."""
    if sum("replaces" not in pull for pull in tests["pulls"]) > tests["number"]:
        words = f"must be at most number, the {tests['number']} fasteners of the lot"
        yield ("pulls",), refusal("too_many", words, most=tests["number"])


def one_kind_of_tests(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find an assessment of both kinds of tests, or of none."""
    yield from just_one(request, "allowable_resistance", "proof")


class SiteTestRequirement(AnyRequirement):
    """A limit of site tests that is met or not."""

    code = code(codes.REQUIREMENTS)


class SiteTestCaution(Said):
    """What to beware of with site tests."""

    code = code(codes.CAUTIONS, " And the codes of the rulebook's own cautions, listed at /v1/rulebooks/{version}.")
    text = string("The caution.")


class ShownPulledFastener(AnswerSchema):
    """The fastener that is pulled."""

    family = string("Family.")
    title = string("Title of the family.")
    size = string("Size.")
    embedment_mm = figure("Effective embedment depth h_ef.", "mm", minimum=0)


class PullLoad(AnswerSchema):
    """A load to be reached or not to be passed, and what the gauge has to show for it, whichever way it errs."""

    load_kn = figure("The load.", "kN", minimum=0)
    load_kg = figure("The load as a mass that hangs.", "kg", minimum=0)
    reading_kn = figure("Reading of the gauge; null: it reads in another unit, or none is named.", "kN", nullable=True)
    reading_kg = figure("Reading of the gauge; null: it reads in another unit, or none is named.", "kg", nullable=True)
    reading_lb = figure("Reading of the gauge; null: it reads in another unit, or none is named.", "lb", nullable=True)
    reading_bar = figure(
        "Reading of the gauge; null: it reads in another unit, or none is named.", "bar", nullable=True
    )


class DrawnFastener(AnswerSchema):
    """A fastener that is drawn to be pulled."""

    number = Whole("Its number in the lot.", minimum=1, required=True)
    name = string("The same as text, as a pull of the assessment names it.")
    part = string("Part of the lot; null: the lot has none.", nullable=True)


class AfterOneFailure(AnswerSchema):
    """What to pull once a single fastener has failed and the cause is found."""

    number_in_all = Whole(
        "How many of the lot to have pulled in all, without the replacement.", minimum=0, required=True
    )
    further = many(DrawnFastener, "The further ones, in the order drawn.")
    replacements = Whole(
        "Replacements to pull besides: the new fastener in place of the failed one.", minimum=0, required=True
    )


class ShownPart(AnswerSchema):
    """A part of a lot."""

    name = string("Name of the part.")
    first = Whole("Number of its first fastener.", minimum=1, required=True)
    last = Whole("Number of its last fastener.", minimum=1, required=True)
    worst = flag("Whether conditions are worst there.")


class FastenerAsAsked(AnswerSchema):
    """The fastener, as a request names it."""

    family = string("Family.")
    size = string("Size.")
    embedment_mm = figure("Effective embedment depth h_ef.", "mm", minimum=0)


class ForAssessment(AnswerSchema):
    """What an assessment of the lot asks for and the plan knows."""

    name = string("Name of the lot.")
    fastener = part(FastenerAsAsked, "The fastener.")
    number = Whole("Fasteners of the lot.", minimum=1, required=True)
    service_action_kn = figure("Service action.", "kN", minimum=0)
    strength_class = one_of(
        "Strength class of the concrete; null: not said.", tuple(STRENGTH_CLASSES), nullable=True
    )
    state = one_of("State of the concrete; null: not said.", STATES, nullable=True)
    scheme = one_of("Scheme.", SCHEMES)
    seed = Whole("Seed of the draw.", minimum=0, required=True)
    parts = many(ShownPart, "Parts of the lot; null: it is one part.", nullable=True)
    support_distance_mm = figure("Distance of the feet of the bridge; null: not said.", "mm", nullable=True)


class LotPlan(AnswerSchema):
    """Proof tests of a lot."""

    name = string("Name of the lot.")
    ready = flag("False where a requirement is not met: there is then no load and no draw.")
    fastener = part(ShownPulledFastener, "The fastener.")
    base_material = string("Base material in words.")
    number = Whole("Fasteners of the lot.", minimum=1, required=True)
    scheme = one_of("Scheme.", SCHEMES)
    scheme_title = string("Scheme in words.")
    load_factor = figure("Proof load over the service action.", "1", minimum=1)
    service_action_kn = figure("Service action.", "kN", minimum=0)
    proof_load = part(PullLoad, "Load to be held; null: not ready.", nullable=True)
    hold_minutes = figure("How long to hold it.", "min", minimum=0)
    movement_max_mm = figure("Largest movement at which it is held.", "mm", minimum=0)
    limit_kn = figure(
        "Load that a pull may not exceed, for the fastener itself; null: nothing is known of it.", "kN", nullable=True
    )
    support_distance_min_mm = figure("Least distance of the feet of the bridge.", "mm", minimum=0)
    number_to_pull = Whole("How many to pull at first.", minimum=0, required=True)
    chosen = many(DrawnFastener, f"Which ones, in the order in which they are pulled. {DRAW}")
    after_one_failure = part(AfterOneFailure, "What one failure asks for.")
    for_assessment = part(
        ForAssessment,
        "To be put into `proof` of an assessment as it is, with tested_on, gauge and pulls beside it, and the distance "
        "of the feet where it is null.",
    )
    requirements = many(SiteTestRequirement, "Limits that are met or not.")
    steps = many(string("A step."), "What to do, in order, and what failures mean.")


class MorePulls(AnswerSchema):
    """What a number of pulls gains."""

    pulls = Whole("Number of pulls to failure.", minimum=2, required=True)
    tolerance_factor = figure("One-sided tolerance factor k.", "1")
    expected_share_of_mean = figure(
        "Characteristic resistance over the mean failure load, under the expected variation, before factor and cap.",
        "1",
        minimum=0,
    )


class PlannedTestsPlan(AnswerSchema):
    """Pulls to failure that are planned."""

    name = string("Name of the tests.")
    ready = flag("False where a requirement is not met.")
    fastener = part(ShownPulledFastener, "The fastener.")
    base_material = string("Base material in words.")
    pulls = Whole("How many pulls are planned.", minimum=1, required=True)
    stop_at = part(
        PullLoad, "Load to stop at, for the fastener itself; null: not ready, or nothing is known of it.", nullable=True
    )
    support_distance_min_mm = figure("Least distance of the feet of the bridge.", "mm", minimum=0)
    apart_min_mm = figure("Least distance to each other, to other fasteners and to later fixings.", "mm", minimum=0)
    more_pulls = many(MorePulls, "What more pulls would gain.")
    requirements = many(SiteTestRequirement, "Limits that are met or not.")
    steps = many(string("A step."), "What to do, in order.")


class SiteTestPlanAnswer(AnswerSchema):
    """How many fasteners to pull, which ones, and how hard."""

    lots = many(LotPlan, "Proof tests, a plan a lot.")
    allowable_resistance = many(PlannedTestsPlan, "Allowable-resistance tests.")
    cautions = many(SiteTestCaution, "What to beware of.")
    standards = many(Standard, "Standards that the plan rests on.")
    rulebook = part(RulebookIdentity, "The rulebook.")
    assessed_on = Day("Day of the plan.", required=True)


class AssessedPull(AnswerSchema):
    """A pull to failure, or short of it."""

    name = string("Name of the pulled fastener.")
    load_kn = figure("Least load that the reading may stand for, by the accuracy of the gauge.", "kN", minimum=0)
    failure = one_of("How it ended.", FAILURES)
    counted = flag("Whether the base material failed, so that it counts as a failure load.")
    text = string("What it stands for.")


class PullStatistics(AnswerSchema):
    """How the failure loads became a characteristic resistance."""

    mean_kn = figure("Mean of the failure loads.", "kN", minimum=0)
    deviation_kn = figure(
        "Standard deviation, of the failure loads or of all pulls, whichever is larger.", "kN", minimum=0
    )
    variation = figure("Coefficient of variation.", "1", minimum=0)
    content = figure("Share of all fasteners that exceed the characteristic resistance.", "1", minimum=0)
    confidence = figure("Confidence with which they do.", "1", minimum=0)
    tolerance_factor = figure("One-sided tolerance factor k of the number of failure loads.", "1")
    normal_kn = figure("m − k·s; null: there is no resistance.", "kN", nullable=True)
    log_normal_kn = figure("exp(m − k·s) of the logarithms; null: there is no resistance.", "kN", nullable=True)
    distribution = one_of("Distribution whose result is taken.", ("normal", "log_normal"))
    distribution_reason = string("Why that one.")
    variation_factor = figure("Factor for a large scatter.", "1", minimum=0, maximum=1)
    mechanism_factor = figure(
        "Factor for what a pull of minutes does not show of the mechanism.", "1", minimum=0, maximum=1
    )
    before_cap_kn = figure("Fractile times both factors; null: there is no resistance.", "kN", nullable=True)
    steel_kn = figure("What the fastener itself bears, by its steel and by its label: the cap.", "kN", minimum=0)
    capped = flag("Whether the cap stands in place of what the pulls give.")


class NamedOutlier(AnswerSchema):
    """A pull that stands out by Grubbs' test; it stays in the result."""

    name = string("Name of the pulled fastener.")
    load_kn = figure("Its failure load.", "kN", minimum=0)
    statistic = figure("Distance from the mean over the standard deviation, of loads or logarithms.", "1", minimum=0)
    limit = figure("What a sound sample of this size would seldom exceed.", "1", minimum=0)


class WithoutOutliers(AnswerSchema):
    """What the result would be without the outliers; information only."""

    number_of_tests = Whole("Failure loads that would be left.", minimum=0, required=True)
    variation = figure("Coefficient of variation; null: too few would be left.", "1", nullable=True)
    characteristic_resistance_kn = figure(
        "What the characteristic resistance would be; null: there would be none.", "kN", nullable=True
    )
    text = string("Why it is information only.")


class AllowableAssessment(AnswerSchema):
    """What pulls to failure are worth."""

    verdict = one_of(
        "resistance: they give one; no_resistance: the requirements say why not.", ("resistance", "no_resistance")
    )
    site_test = part(
        SiteTest,
        "To be put into a verification request as it is, with base_material beside it; null: there is no resistance.",
        nullable=True,
    )
    origin = part(SiteTestOrigin, "The resistance with its origin and its reach.")
    design_resistance_kn = figure(
        "Design resistance of one fastener, before the site reduction; null: there is none.", "kN", nullable=True
    )
    pulls = many(AssessedPull, "Every pull.")
    statistics = part(PullStatistics, "How it came about; null: there are too few failure loads.", nullable=True)
    outliers = many(NamedOutlier, "Pulls that stand out; they are named and stay in the result.")
    without_outliers = part(WithoutOutliers, "The result without them; null: none stands out.", nullable=True)
    requirements = many(SiteTestRequirement, "Limits that are met or not.")


class ProvenPull(AnswerSchema):
    """A pull of a proof test."""

    name = string("Name of the pulled fastener.")
    load_kn = figure("Least load that the reading may stand for, by the accuracy of the gauge.", "kN", minimum=0)
    result = one_of(
        "held: it held the proof load; failed; damaged: it held and was pulled beyond what leaves it unharmed, and "
        "counts once its replacement holds; not_counted: it shows nothing.",
        ("held", "failed", "damaged", "not_counted"),
    )
    text = string("Why so, in words.")


class ProofAssessment(AnswerSchema):
    """What proof tests show of a lot."""

    next_step = one_of(
        "What follows; design_anew: whatever the pulls held, the action is more than the fastener holds.",
        tuple(step.value for step in NextStep),
    )
    text = string("What follows, in words.")
    name = string("Name of the lot.")
    fastener = part(ShownPulledFastener, "The fastener.")
    tested_on = Day("Day of the pulls.", required=True)
    scheme = one_of("Scheme.", SCHEMES)
    proof_load_kn = figure("Proof load.", "kN", minimum=0)
    number = Whole("Fasteners of the lot.", minimum=1, required=True)
    number_wanted = Whole(
        "How many of the lot must count in all, those that the plan draws; replacements come besides.",
        minimum=1,
        required=True,
    )
    number_counted = Whole("How many of those count so far.", minimum=0, required=True)
    number_failed = Whole("How many pulls failed, drawn or not, replacements with them.", minimum=0, required=True)
    cause_of_failure = string("Cause of a failure, as given; null: none.", nullable=True)
    pulls = many(ProvenPull, "Every pull.")
    still_to_pull = many(DrawnFastener, "Wanted fasteners that have no pull, or none that counts, in the order drawn.")
    replacements_to_pull = many(
        string("Name of a pull."), "Pulls whose fastener failed or was harmed and has no replacement that held."
    )
    not_drawn = many(string("Name of a pull."), "Pulls of fasteners that the plan did not draw.")
    requirements = many(SiteTestRequirement, "Limits that are met or not.")


class SiteTestAssessmentAnswer(AnswerSchema):
    """What pulls on site prove."""

    allowable_resistance = part(
        AllowableAssessment, "What pulls to failure are worth; null: proof tests were assessed.", nullable=True
    )
    proof = part(ProofAssessment, "What proof tests show; null: pulls to failure were assessed.", nullable=True)
    cautions = many(SiteTestCaution, "What to beware of.")
    standards = many(Standard, "Standards that the assessment rests on.")
    rulebook = part(RulebookIdentity, "The rulebook.")
    assessed_on = Day("Day of the assessment.", required=True)


GAUGE: dict[str, Any] = {
    "certificate": "PS4-G-017",
    "valid_until": "2027-03-01",
    "accuracy_percent": 1,
    "points": [
        {"reading_bar": 0, "load_kn": 0},
        {"reading_bar": 50, "load_kn": 9.8},
        {"reading_bar": 100, "load_kn": 20},
        {"reading_bar": 300, "load_kn": 60.5},
    ],
}
BOLT: dict[str, Any] = {"family": "bolt-expansion-stainless", "size": "M12", "embedment_mm": 75}
LOTS: dict[str, Any] = {
    "gauge": GAUGE,
    "lots": [
        {
            "name": "PS4 quay rail",
            "fastener": BOLT,
            "base_material": "reinforced concrete of the quay wall",
            "number": 140,
            "service_action_kn": 6.2,
            "seed": 2026,
            "parts": [
                {"name": "wall, first team", "first": 1, "last": 90},
                {"name": "corner in spray, second team", "first": 91, "last": 140, "worst": True},
            ],
            "support_distance_mm": 120,
        }
    ],
}
UNKNOWN_WALL: dict[str, Any] = {
    "gauge": GAUGE,
    "allowable_resistance": [
        {
            "name": "PS4 gallery wall",
            "fastener": BOLT,
            "base_material": "no-fines concrete of the gallery, north wall",
            "pulls": 7,
        }
    ],
}


def _to_failure(*readings_bar: float) -> dict[str, Any]:
    return {
        "allowable_resistance": {
            "reference": "PS4-T-3",
            "tested_on": "2026-11-02",
            "base_material": "no-fines concrete of the gallery, north wall",
            "thickness_mm": 200,
            "fastener": BOLT,
            "drilling": "hammer",
            "hole": "dry",
            "gauge": GAUGE,
            "support_distance_mm": 150,
            "pulls": [
                {
                    "name": f"T{number}",
                    "reading_bar": bar,
                    "failure": "concrete_cone",
                    "edge_mm": 250,
                    "spacing_mm": 300,
                }
                for number, bar in enumerate(readings_bar, start=1)
            ],
        }
    }


SOUND_PULLS: dict[str, Any] = _to_failure(92, 101, 88, 95, 99, 104, 90)
PULLS_WITH_AN_OUTLIER: dict[str, Any] = _to_failure(92, 101, 88, 95, 99, 104, 61)
PULLS_THAT_SCATTER: dict[str, Any] = _to_failure(92, 130, 41, 95, 64, 118, 77)
PROVEN_LOT: dict[str, Any] = {
    "proof": {
        "name": "PS4 quay rail",
        "tested_on": "2026-11-20",
        "fastener": BOLT,
        "number": 140,
        "service_action_kn": 6.2,
        "seed": 2026,
        "parts": LOTS["lots"][0]["parts"],
        "gauge": GAUGE,
        "support_distance_mm": 120,
        "pulls": [
            {"name": name, "reading_bar": 48, "held_minutes": 2, "movement_mm": 0.1, "failure": "none"}
            for name in ("127", "7", "92", "62")
        ],
    }
}
PIPE_ON_UNKNOWN_WALL: dict[str, Any] = {
    "assessed_on": "2026-11-25",
    "fastener": BOLT,
    "base_material": "no-fines concrete of the gallery, north wall",
    "site_test": {"tests": SOUND_PULLS["allowable_resistance"]},
    "member": {
        "state": "uncracked",
        "thickness_mm": 200,
        "edges": {"x_minus_mm": 900, "x_plus_mm": None, "y_minus_mm": 900, "y_plus_mm": None},
    },
    "positions": [{"x_mm": 0, "y_mm": -150}, {"x_mm": 0, "y_mm": 150}],
    "fixture": {
        "width_mm": 120,
        "depth_mm": 400,
        "thickness_mm": 12,
        "yield_mpa": 235,
        "attached_section": {"width_mm": 100, "depth_mm": 180, "profile": "hollow"},
    },
    "load_cases": [{"name": "pipe full", "kind": "design", "normal_kn": 3.0, "shear_y_kn": -1.2}],
    "use": {"overhead": False, "exposure": "damp_internal", "hole": "dry"},
    "site": {"drilling": "hammer", "torque_control": "calibrated_wrench", "hole_cleaning": "verified"},
}


PATHS = (
    Path(
        method="POST",
        path="/v1/site-tests/plans",
        name="planSiteTests",
        summary="How many to pull on site, and how hard?",
        description=(
            "Plans proof tests of lots: how many fasteners, which ones, how hard, how long, and what a failure means. "
            "Plans pulls to failure in a base material without data: how many, where, and what more would gain. "
            "Fasteners are randomly selected, and anybody can repeat it: the same seed selects the same fasteners."
        ),
        tag="Site tests",
        body=SiteTestPlanRequest,
        examples={
            "proof": {"summary": "Proof tests of a guardrail on a quay wall", "value": LOTS},
            "allowable": {"summary": "Pulls to failure in a wall without data", "value": UNKNOWN_WALL},
        },
        answer=SiteTestPlanAnswer,
    ),
    Path(
        method="POST",
        path="/v1/site-tests/assessments",
        name="assessSiteTests",
        summary="What do the pulls show?",
        description=(
            "Assesses pulls on site. Pulls to failure give a characteristic resistance of one fastener by a one-sided "
            "tolerance factor, within the rulebook's limits of number and scatter. Outliers are named and stay in the "
            "result. A verification may use it, marked with its origin and only within its reach. Proof tests show "
            "whether a lot passes, and what a failure asks for. Pulls that give no resistance are no error: the answer "
            "is 200 and says why."
        ),
        tag="Site tests",
        body=SiteTestAssessmentRequest,
        examples={
            "sound": {"summary": "Seven sound pulls to failure", "value": SOUND_PULLS},
            "outlier": {"summary": "Seven pulls, one of them standing out", "value": PULLS_WITH_AN_OUTLIER},
            "scatter": {"summary": "Seven pulls that scatter too much", "value": PULLS_THAT_SCATTER},
            "proof": {"summary": "Proof tests of a guardrail", "value": PROVEN_LOT},
        },
        answer=SiteTestAssessmentAnswer,
        links=(
            Link(
                name="rulebookOfTheAssessment",
                description="The rulebook that the pulls were assessed with.",
                operation="getRulebook",
                parameters={"version": "$response.body#/rulebook/version"},
            ),
        ),
    ),
)
