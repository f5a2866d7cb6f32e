"""What was really done, and what has become of the verification."""

from collections.abc import Iterator, Mapping
from typing import Any, ClassVar

from service.contract import as_built_codes as words
from service.contract.built import FROM_1, MOST_HOLES, AbortedHole, FastenerNumber, Measured, OtherLength, numbers
from service.contract.checks import Check
from service.contract.codes import refusal
from service.contract.coherence import Disagreement, Rule, given, left_out, neighbours_described, not_both, told
from service.contract.common import Requirement, ScopeLimit
from service.contract.fields import UNKNOWN, Choice, Flag, Items, Number, Part, Word
from service.contract.fixing import Neighbour, Position, Topping
from service.contract.identity import RulebookIdentity, Suspension
from service.contract.paths import Link, Path
from service.contract.quantities import (
    bar_diameter,
    bar_spacing,
    coordinate,
    cylinder_strength,
    extent,
    fastener_length,
    fixture_hole,
    fixture_thickness,
    gap,
    grout_strength,
    member_thickness,
    washer_thickness,
)
from service.contract.recorded import RecordedRequest
from service.contract.request_schema import Gone, RequestSchema
from service.contract.sheets import RequestOrRecord
from service.contract.statement import (
    AnswerSchema,
    Free,
    Said,
    Stated,
    code,
    concerns,
    many,
    number,
    one_of,
    part,
    sentence,
    severity,
    string,
)
from service.contract.terms import (
    APART,
    BASE_MATERIALS,
    CLEARANCES,
    DIGEST,
    EDGE_REINFORCEMENTS,
    HOLES,
    MOST_NEIGHBOURS,
    PROFILES,
    ROTATIONS,
    VERDICTS,
)
from service.contract.verification import GUARDRAIL_POST, VerificationAnswer

ANY_VALUE = ("number", "string", "boolean", "object", "array")


class Moved(RequestSchema):
    """A fastener that stands elsewhere than it was verified."""

    RENAMED: ClassVar[Mapping[str, Gone]] = {"index": Gone(f"is number now, which counts {FROM_1}", ("number",))}

    number = FastenerNumber(required=True)
    x_mm = coordinate("x where it stands.", required=True)
    y_mm = coordinate("y where it stands.", required=True)


class Installed(RequestSchema):
    """A fastener that stands there and is not the one that was ordered."""

    family = Word("Family of the rulebook.", required=True)
    size = Word("Size of the family.", required=True)


class StrengthFound(RequestSchema):
    """Strength of the concrete as it was found."""

    strength_mpa = cylinder_strength(
        "Cylinder strength; one that is lower than verified counts. A higher one counts only where it is less "
        "favourable, over grout that is weaker; to gain by it needs evaluation to EN 13791 by the engineer and a new "
        "request.",
        required=True,
    )
    found_by = Choice(
        "By what. None raises the strength or the evidence that was verified; rebound alone is indicative, and the "
        "rulebook's reduction for it is taken.",
        tuple(one.value for one in words.FoundBy),
        required=True,
    )


class EdgesMeasured(RequestSchema):
    """Edges as they were measured, from the origin of the record."""

    x_minus_mm = coordinate("Distance to the edge in the direction of −x.", absent="as verified")
    x_plus_mm = coordinate("Distance to the edge in the direction of +x.", absent="as verified")
    y_minus_mm = coordinate("Distance to the edge in the direction of −y.", absent="as verified")
    y_plus_mm = coordinate("Distance to the edge in the direction of +y.", absent="as verified")


class NearestEdges(RequestSchema):
    """Edges as a tape shows them, from the fastener that is nearest to each, its middle."""

    x_minus_mm = extent(
        "From the fastener nearest to the edge in the direction of −x to that edge.", absent="as verified"
    )
    x_plus_mm = extent(
        "From the fastener nearest to the edge in the direction of +x to that edge.", absent="as verified"
    )
    y_minus_mm = extent(
        "From the fastener nearest to the edge in the direction of −y to that edge.", absent="as verified"
    )
    y_plus_mm = extent(
        "From the fastener nearest to the edge in the direction of +y to that edge.", absent="as verified"
    )


class ReinforcementFound(RequestSchema):
    """Reinforcement near the fixing as it was found; what is more favourable than was verified changes nothing."""

    spacing_mm = bar_spacing(
        "Spacing of the bars at the surface, the smaller of the two directions; where it was verified, a closer one "
        "counts.",
        absent="as verified",
    )
    diameter_mm = bar_diameter(
        "Diameter of the bars at the surface, the larger of the two directions; where it was verified, a thicker one "
        "counts.",
        absent="as verified",
    )
    edge = Choice(
        "Reinforcement along the edge of the member, where several edges are near that of the one with the least; less "
        "than was verified counts.",
        EDGE_REINFORCEMENTS,
        absent="as verified",
    )
    stirrup_spacing_mm = bar_spacing(
        "Spacing of the stirrups along the edge, where it is widest; where it was verified, a wider one counts.",
        absent="as verified",
    )
    cracks_held_to_0_3_mm = Flag(
        "False where the bars that hold the splitting cracks to 0.3 mm are not as they were shown to be.",
        absent="as verified; false where bars or stirrups stand farther apart, bars are thinner or there is less along "
        "the edge than was verified",
    )


class AttachedFound(RequestSchema):
    """What stands on the fixture as it was found."""

    width_mm = extent(
        "Extent along x where it is joined to the fixture, at most as far as that reaches.", absent="as verified"
    )
    depth_mm = extent(
        "Extent along y where it is joined to the fixture, at most as far as that reaches.", absent="as verified"
    )
    profile = Choice(
        "What it is where it is joined to the fixture. Where nobody told it when it was verified, it counted as other "
        "and still does.",
        PROFILES,
        absent="as verified",
    )
    in_place = Flag(
        "True when its middle is where the drawing has it on the fixture; false where it stands elsewhere: its load "
        "acts there too, so nothing holds that was verified, and the verdict is not_verified.",
        absent="nobody looked; as verified",
    )


class GroutFound(RequestSchema):
    """Levelling layer as it was found."""

    thickness_mm = gap("Thickness of the layer; 0 where there is none.", absent="as verified")
    strength_mpa = grout_strength(
        "Compressive strength of the grout when the fixing was first tightened or loaded.",
        absent="as verified; where the fixing does not pass without it the verdict is then not_shown",
    )


class AsBuilt(Measured):
    """What was really done; what is left out is taken as verified and listed as not measured."""

    RENAMED: ClassVar[Mapping[str, Gone]] = {
        "replaced": Gone(f"is replaced_numbers now, which count {FROM_1}", ("replaced_numbers",))
    }

    positions = Items(
        Part(Position, "One fastener."),
        f"Where the fasteners stand, every one of them; {APART}. Not beside moved.",
        fewest=1,
        most=100,
        absent="as verified",
    )
    moved = Items(
        Part(Moved, "One fastener."),
        "Fasteners that stand elsewhere, each once; an empty list says that somebody looked and none does. Nearer than "
        "the diameter of its hole it is the same hole, measured again; farther it is another one, of which everything "
        "has to be measured anew and aborted_holes said. Not beside positions.",
        most=100,
        absent="none",
    )
    replaced_numbers = numbers(
        "Fasteners that were taken out and set anew: of these everything has to be measured anew, and aborted_holes "
        "said, with the hole that each left; moved says where each stands now. Where the fastener cannot be taken out, "
        "or its hole does not serve twice, one that is set anew in the old hole is not verified.",
        absent="none but those that moved by more than the diameter of their hole",
    )
    missing_numbers = numbers(
        "Fasteners that are not there: never set, broken off or taken out. The rest are verified without them, and "
        "aborted_holes has to be said, with the hole of each unless undrilled_numbers names it. The new record keeps "
        "which they are, and those that stand keep their numbers. Not beside positions.",
        absent="none",
    )
    undrilled_numbers = numbers(
        "Of missing_numbers those whose hole was never drilled; of to_set_numbers those with nothing in the "
        "concrete: not drilled yet, or with a hole that is sound and empty, and is used as it is.",
        absent="none: each that is missing or still to be set has left a hole, which has to be among aborted_holes",
    )
    to_set_numbers = numbers(
        "Fasteners that are not set yet and still are to be, where positions or moved has them; what is measured is of "
        "the others, which stand. What became of the hole of each has to be said, under aborted_holes or "
        "undrilled_numbers: nothing is drilled where a fastener sits. The verdict is not_shown until they are set and "
        "checked; where nothing is against it there is a new record all the same, and its sheet orders the work for "
        "these alone.",
        absent="none: those of the record that were still to be set are set by now, and of these everything has to be "
        "measured, and aborted_holes said",
    )
    shallow_numbers = numbers(
        "Fasteners that are as shallow as embedment_mm, nominal_embedment_mm or hole_depth_mm says, where the others "
        "were measured and reach the depth that the sheet asks for. The fixing is verified as if all were; where it "
        "does not pass, these alone are replaced.",
        absent="the depth that was said counts as that of every fastener, and all would be replaced",
    )
    fixture_moved = Choice(
        "Where every fastener moved, and all alike: with_its_load where the fixture moved with them, and what it "
        "carries with it; load_stayed where the load acts where it was verified, as that of a pipe does; "
        "fixture_stayed where the fixture did not move either, as over slots.",
        ("with_its_load", "load_stayed", "fixture_stayed"),
        absent="the fixture moved with fasteners that all moved alike, and with_its_load or load_stayed counts, "
        "whichever is less favourable",
    )
    installed = Part(
        Installed,
        "What stands there, where it is not the family or size that was ordered: wrong product, diameter or steel. It "
        "is verified with what stands there, by its own approval; its length has to be given, its set depth and bit to "
        "be said.",
        absent="as ordered",
    )
    nominal_embedment_mm = Number(
        "Set depth that was reached, as the sheet asks for it: from the concrete surface to the end of the fastener in "
        "the concrete, so the length of the fastener less what projects from the concrete, fixture included. Turned "
        "into the effective embedment by the difference that the family has; of several, the shallowest where one is "
        "shallower than ordered, else the deepest. Not beside embedment_mm.",
        "mm",
        minimum=1,
        maximum=2000,
        absent="as verified, or as embedment_mm or the hole has it",
    )
    length_mm = fastener_length(
        "Length that was fitted; of a fastener that has another one, other_lengths has it.",
        absent="the length of the record",
    )
    other_lengths = Items(
        Part(OtherLength, "One fastener."),
        "Fasteners that were fitted with another length than length_mm, each once; an empty list says that there are "
        "none. What a length decides has to be so with each of them: the least favourable counts.",
        most=100,
        absent="those of the record, where length_mm is left out too",
    )
    torque_tool = Choice(
        "What it was tightened with, from the first turn to the last: what was tightened by feel or with an impact "
        "wrench first stays so, as what a wrench put on later clicks at is no reading of that.",
        words.TOOLS,
        absent="as verified",
    )
    fixture_thickness_mm = fixture_thickness("Thickness of the fixture.", absent="as verified")
    member_thickness_mm = member_thickness("Thickness of the member.", absent="as verified")
    edges = Part(
        EdgesMeasured, "Edges as they were measured from the origin. Not beside nearest_edges.", absent="as verified"
    )
    nearest_edges = Part(
        NearestEdges,
        "Edges as they were measured from the nearest fastener, as the sheet shows them; turned into distances from "
        "the origin by where the fasteners stand now. Not beside edges.",
        absent="as verified, or as edges has it",
    )
    strength_found = Part(StrengthFound, "Strength of the concrete as it was found.", absent="as verified")
    cracks_seen = Flag(
        "True when cracks are seen near the fixing: it is then cracked concrete.",
        absent="nobody looked; cracked or not as verified",
    )
    hole = Choice("State of the hole when the fastener was set.", HOLES, absent="as verified")
    drilling = Word(
        "How the holes were drilled: a value of the site condition as listed at /v1/rulebooks/{version}. Not where "
        "nothing is drilled.",
        absent="as verified",
    )
    installer = Word(
        "Who set it: a value of the site condition as listed at /v1/rulebooks/{version}.", absent="as verified"
    )
    reinforcement = Part(
        ReinforcementFound,
        "Reinforcement near the fixing as it was found, by a cover meter or before concrete was placed. Where nothing "
        "was known of it when it was verified, nothing is gained by finding it.",
        absent="nobody looked; as verified",
    )
    rotation = Choice(
        "Whether the fixture is held against rotation, as it stands; free counts. Where it was verified as free, held "
        "changes nothing.",
        ROTATIONS,
        absent="nobody looked; as verified",
    )
    washer_clamped = Flag(
        "True when nut and washer clamp every fastener to the concrete; false counts. Where it was verified without, "
        "or a topping or levelling grout lies on it, true changes nothing.",
        absent="nobody looked; as verified",
    )
    attached_section = Part(
        AttachedFound,
        "What stands on the fixture as it was found; the plate is checked with it and with what was verified, and the "
        "worse counts. Where its size was not told when it was verified, it counted as a point and still does.",
        absent="nobody looked; as verified",
    )
    stand_off_mm = gap(
        "Free height between concrete or grout and fixture.",
        absent="as verified; where the grout is thinner than verified, higher by as much or not, whichever is less "
        "favourable, and the verdict is never verified",
    )
    grout = Part(GroutFound, "Levelling layer as it was found.", absent="as verified")
    neighbours = Items(
        Part(Neighbour, "One fastener or hole."),
        "Fasteners of other fixings and old holes that were seen nearby; an empty list says that somebody looked and "
        "there are none but those of the record, which are kept. One said again at its place takes the place of the "
        "earlier; that it never carries anything is not seen by looking at it.",
        most=MOST_NEIGHBOURS,
        absent="nobody looked; those of the record count",
    )
    washer_thickness_mm = washer_thickness(
        "Thickness of the thickest washer that lies over a hole of the fixture where the holes are filled or oversize.",
        absent="as verified",
    )
    material = Choice(
        "What the base was found to be made of. Another material than normal-weight concrete counts, also one that "
        "nobody can name (unknown); where the record has another one, finding normal-weight concrete takes the "
        "engineer and a new request.",
        (*BASE_MATERIALS, UNKNOWN),
        absent="nobody looked; as verified",
    )
    topping = Part(
        Topping,
        "What was found to lie on the concrete under the fixture; comes_off: it was taken off. What stays counts as "
        "stand-off, no washer is then clamped to the concrete, and the fixture's thickness is needed. Not beside "
        "bare_concrete.",
        absent="as verified, or as bare_concrete has it",
    )
    bare_concrete = Flag(
        "True when somebody looked and nothing of screed, plaster or insulation lies under the fixture; false is "
        "refused: give topping.",
        absent="nobody looked; as verified",
    )
    clearance = Choice(
        "Holes in the fixture as they are: as the standard's table, filled, or larger than the table, as slots are.",
        CLEARANCES,
        absent="as verified; oversize where fasteners stand farther from each other, or nearer, than the holes of the "
        "plate let them, or where installed needs a smaller hole than what was ordered, and fixture_hole_diameter_mm "
        "is left out too",
    )
    fixture_hole_diameter_mm = fixture_hole(
        "Diameter of the widest hole in the fixture, of slots the length, and clearance oversize with it.",
        absent="as verified, or as clearance has it; where holes are oversize and nobody told how wide the verdict is "
        "then not_shown",
    )
    aborted_holes = Items(
        Part(AbortedHole, "One hole."),
        "Aborted holes nearby; an empty list says that somebody looked and there are none. Those of earlier "
        "checks are kept; one said again at its place, as filled by now, takes the place of the earlier, with the "
        "deeper of both depths.",
        most=MOST_HOLES,
        absent="nobody looked; those of earlier checks count",
    )

    @staticmethod
    def rules() -> tuple[Rule, ...]:
        """Rules across fields."""
        return (
            said_once, _moved_once, _moved_and_missing, _undrilled_does_not_stand, _bare_or_not, _length_of_another,
            _set_or_not, _shallow_stands, _other_length_once, neighbours_described,
        )  # fmt: skip


DEPTHS = ("nominal_embedment_mm", "embedment_mm", "hole_depth_mm")
"""Fields that say how deep fasteners stand."""
NOT_BESIDE = {
    "moved": "positions",
    "missing_numbers": "positions",
    "nominal_embedment_mm": "embedment_mm",
    "nearest_edges": "edges",
    "bare_concrete": "topping",
}
"""What a field is not given beside, as both say the same."""


@told("AsBuilt", **{second: (left_out(second), left_out(first)) for second, first in NOT_BESIDE.items()})
def said_once(data: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find what is said in two ways."""
    for second, first in NOT_BESIDE.items():
        yield from not_both(data, first, second)


def _moved_once(data: Mapping[str, Any]) -> Iterator[Disagreement]:
    seen: dict[int, int] = {}
    for entry, moved in enumerate(data.get("moved", ())):
        first = seen.setdefault(moved["number"], entry)
        if first != entry:
            words = "must not name the same fastener twice"
            yield ("moved", entry, "number"), refusal("duplicate_value", words, other_number=first + 1)


def _moved_and_missing(data: Mapping[str, Any]) -> Iterator[Disagreement]:
    missing = set(data.get("missing_numbers", ()))
    for entry, moved in enumerate(data.get("moved", ())):
        if moved["number"] in missing:
            words = "is said to be missing too: say one or the other"
            yield ("moved", entry, "number"), refusal("conflict", words, fields=["missing_numbers"])
    for entry, replaced in enumerate(data.get("replaced_numbers", ())):
        if replaced in missing:
            words = "is said to be missing too: say one or the other"
            yield ("replaced_numbers", entry), refusal("conflict", words, fields=["missing_numbers"])


def _undrilled_does_not_stand(data: Mapping[str, Any]) -> Iterator[Disagreement]:
    for entry, undrilled in enumerate(data.get("undrilled_numbers", ())):
        if undrilled not in (*data.get("missing_numbers", ()), *data.get("to_set_numbers", ())):
            words = "must be one of missing_numbers or to_set_numbers: what stands there has a hole"
            fields = ["missing_numbers", "to_set_numbers"]
            yield ("undrilled_numbers", entry), refusal("conflict", words, fields=fields)


def _set_or_not(data: Mapping[str, Any]) -> Iterator[Disagreement]:
    for field in ("missing_numbers", "replaced_numbers"):
        for entry, to_set in enumerate(data.get("to_set_numbers", ())):
            if to_set in data.get(field, ()):
                words = f"is one of {field} too: say one or the other"
                yield ("to_set_numbers", entry), refusal("conflict", words, fields=[field])
    if data.get("to_set_numbers") and "installed" in data:
        words = "can't be given beside installed: no more of it is set before an engineer has decided"
        yield ("to_set_numbers",), refusal("conflict", words, fields=["installed"])


def _shallow_stands(data: Mapping[str, Any]) -> Iterator[Disagreement]:
    shallow = data.get("shallow_numbers", ())
    if shallow and not any(field in data for field in DEPTHS):
        words = "can't be given without a depth: say how shallow they are"
        yield ("shallow_numbers",), refusal("conflict", words, fields=list(DEPTHS))
    for field in ("missing_numbers", "to_set_numbers"):
        for entry, one in enumerate(shallow):
            if one in data.get(field, ()):
                words = f"is one of {field} too: what does not stand has no depth"
                yield ("shallow_numbers", entry), refusal("conflict", words, fields=[field])


def _other_length_once(data: Mapping[str, Any]) -> Iterator[Disagreement]:
    seen: dict[int, int] = {}
    for entry, other in enumerate(data.get("other_lengths", ())):
        place = ("other_lengths", entry, "number")
        first = seen.setdefault(other["number"], entry)
        if first != entry:
            words = "must not name the same fastener twice"
            yield place, refusal("duplicate_value", words, other_number=first + 1)
        for field in ("missing_numbers", "to_set_numbers"):
            if other["number"] in data.get(field, ()):
                words = f"is one of {field} too, so that it has no length that was fitted"
                yield place, refusal("conflict", words, fields=[field])


def _bare_or_not(data: Mapping[str, Any]) -> Iterator[Disagreement]:
    if data.get("bare_concrete") is False:
        words = "must be true or left out: where something lies under the fixture, say what under topping"
        yield ("bare_concrete",), refusal("conflict", words, fields=["topping"])


@told("AsBuilt", installed=(left_out("installed"), given("length_mm")))
def _length_of_another(data: Mapping[str, Any]) -> Iterator[Disagreement]:
    if "installed" in data and "length_mm" not in data:
        words = "must be given beside installed: of another fastener the length of the record says nothing"
        yield ("length_mm",), refusal("required", words, fields=["installed"])


class AsBuiltRequest(RequestSchema):
    """A record, and what was really done."""

    record = RequestOrRecord(
        "The record that the work was done by; a verification request in its place is verified first and taken as the "
        "record.",
        required=True,
    )
    as_built = Part(AsBuilt, "What was really done.", required=True)


class AsBuiltChange(AnswerSchema):
    """A value of the request that is not as it was verified."""

    pointer = string("Its place in the request.")
    verified = Free("As it was verified; null too where it was left open.", ANY_VALUE, nullable=True)
    as_built = Free("As built; null too where it is left open.", ANY_VALUE, nullable=True)


class AsBuiltRequirement(Said):
    """What the work as built has to keep beside the verification."""

    code = code(words.AsBuiltRequirementCode, of="code.value")
    severity = severity(of="code.says.weight.value")
    met = Flag("Whether it is met; null: nobody measured what would show it.", required=True, nullable=True)
    detail = sentence("The requirement in words.", of="statement")
    given = Free("What was done; null: not one value, see figures.")
    limit = Free("What is allowed; null: not one value, see figures.")
    unit = string("Unit of both; null: none.", nullable=True)
    rule = string("Rulebook path of what it goes by; null: it goes by no figure of the rulebook.", nullable=True)


class ToDo(Stated):
    """Something to do next."""

    code = code(words.ToDoCode, of="statement.word")
    concerns = concerns(of="statement.code.says.concerns.value")
    text = sentence("What to do, in words.", of="statement")
    requirement = string(
        "Code of the requirement that it answers, one of as_built_requirements or unmet_requirements; null: of none.",
        nullable=True,
    )


class NotMeasured(AnswerSchema):
    """What nobody measured."""

    code = code(words.Measurement, of="code.value")
    severity = severity(of="asks.says.weight.value")
    concerns = concerns(of="asks.says.concerns.value")
    fields_ = many(string("Name of a field."), "Fields of an as-built check that say it; one will do.", of="fields")
    fields_.data_key = "fields"
    text = sentence("The same in words.", of="statement")
    decisive = Flag(
        "True where nothing is shown without it: what this kind of fastener turns on, and what only whoever sets it "
        "meets, of which a worse finding would be refused. The verdict is then not verified.",
        required=True,
    )


class AsBuiltCaution(Said):
    """What to beware of."""

    code = code(words.AsBuiltCautionCode)
    text = sentence("The caution in words.")


class AsBuiltRecord(AnswerSchema):
    """The new record."""

    request = Part(
        RecordedRequest, "The request as built; came_from_record names the record it came from.", required=True
    )
    answer = part(VerificationAnswer, "The answer to it.")


class AsBuiltAnswer(AnswerSchema):
    """Whether the fixing still verifies as it was built."""

    verdict = one_of(
        "Verdict as built: that of the verification; not_verified where a requirement of the work is not met; "
        "not_shown where nothing is against it, but nobody measured what this kind of fastener turns on.",
        words.VERDICTS,
    )
    verdict_before = one_of("Verdict of the record.", VERDICTS)
    utilisation_before = number("Utilisation of the record; null: no check.", "1", nullable=True)
    utilisation_after = number(
        "Utilisation as built; null: no check, or no resistance is assessed for what was built.", "1", nullable=True
    )
    changes = many(AsBuiltChange, "What differs from what was verified.")
    as_built_requirements = many(AsBuiltRequirement, "Requirements of the work as built.")
    not_measured = many(
        NotMeasured,
        "What matters to this fastener and was not said, now or in an earlier check; what is not decisive was taken as "
        "verified.",
    )
    unmet_requirements = many(
        Requirement, "Requirements of the verification that are not met now; fasteners as the record numbers them."
    )
    checks_over = many(
        Check,
        "Checks that are over now, of fasteners as the record numbers them; none where no resistance is assessed for "
        "what was built.",
    )
    run_out_requirements = many(
        Requirement,
        "Requirements of the verification that were met on the day of the record and are not today. What is set stays "
        "judged by its day; they stop new work.",
    )
    scope_limits = many(ScopeLimit, "Why the method does not cover it as built.")
    cautions = many(AsBuiltCaution, "What to beware of.")
    to_do = many(ToDo, "What to do next, in order.")
    came_from_record = string("Id of the record that it came from.", pattern=DIGEST)
    record = part(
        AsBuiltRecord,
        "The new record, which keeps what was found as `built` of its request; null unless the verdict is verified: "
        "no record stands for work that does not pass, or is not shown to. While fasteners are still to be set it is "
        "the record by which they are, where nothing is against it: the verdict is not_shown then.",
        nullable=True,
    )
    suspensions = many(Suspension, "What is suspended for new work today and touches it.")
    rulebook = part(RulebookIdentity, "The rulebook of both records.")


MOVED_AND_ABORTED: dict[str, Any] = {
    "record": GUARDRAIL_POST,
    "as_built": {
        "moved": [{"number": 2, "x_mm": 85, "y_mm": -75}],
        "torque_nm": 50,
        "torque_tool": "calibrated_wrench",
        "nominal_embedment_mm": 82,
        "aborted_holes": [{"x_mm": 75, "y_mm": -40, "depth_mm": 30, "diameter_mm": 12, "refilled": False}],
    },
}
STILL_TO_SET: dict[str, Any] = {
    "record": GUARDRAIL_POST,
    "as_built": {**MOVED_AND_ABORTED["as_built"], "to_set_numbers": [2]},
}
SHORT_AND_WEAK: dict[str, Any] = {
    "record": GUARDRAIL_POST,
    "as_built": {
        "nominal_embedment_mm": 74,
        "torque_nm": 30,
        "torque_tool": "calibrated_wrench",
        "strength_found": {"strength_mpa": 22, "found_by": "rebound"},
        "cracks_seen": True,
    },
}


PATHS = (
    Path(
        method="POST",
        path="/v1/as-built-checks",
        name="checkAsBuilt",
        summary="Does it still verify as it was built?",
        description=(
            "Takes a record and what was really done: holes moved, a depth that was not reached, another length, the "
            "torque read, cleaning and curing, another strength or base material found, cracks, aborted holes, "
            "neighbours, a topping, wider holes in the fixture, and bars, hold or attached section other than told. "
            "Verifies the fixing as built under the rules of the record and today's suspensions. The answer says what "
            "is not met, what was not measured, and what to do; it stays not_shown until the decisive measurements are "
            "given. Only what verifies as built gets a new record, and what nothing is against while some are still to "
            "be set (to_set_numbers). That record names the one it came from and keeps what was found for the next "
            "check, aborted holes above all. An altered record is refused: 409."
        ),
        tag="The work on site",
        body=AsBuiltRequest,
        examples={
            "moved": {
                "summary": "A hole that met a bar, aborted and drilled anew beside it",
                "value": MOVED_AND_ABORTED,
            },
            "unfinished": {
                "summary": "A hole that met a bar: that fastener is still to be set beside it, the others stand",
                "value": STILL_TO_SET,
            },
            "short": {"summary": "Not deep enough, not tight enough, weaker concrete", "value": SHORT_AND_WEAK},
        },
        answer=AsBuiltAnswer,
        may_conflict=True,
        links=(
            Link(
                name="verificationAsBuilt",
                description="The request as built, verified by itself.",
                operation="verifyFixing",
                request_body="$response.body#/record/request",
            ),
        ),
    ),
)
