"""What was really done, and what has become of the verification."""

from collections.abc import Iterator, Mapping
from typing import Any

from marshmallow import validates_schema

from service.api import examples
from service.api.answers import (
    DIGEST,
    VERDICTS,
    AnswerSchema,
    Check,
    Free,
    Requirement,
    RulebookIdentity,
    ScopeLimit,
    Suspension,
    VerificationAnswer,
    code,
    many,
    number,
    one_of,
    part,
    string,
)
from service.api.codes import refusal
from service.api.coherence import Disagreement
from service.api.fields import Choice, Flag, Items, Number, Part, Whole
from service.api.request_schema import HOLES, RequestSchema, refuse
from service.api.requests import APART, FARTHEST_MM, Position, VerificationRequest
from service.api.shapes.sheets import RequestOrRecord
from service.site import as_built

MOST_HOLES = 100


class Moved(RequestSchema):
    """A fastener that stands elsewhere than it was verified."""

    index = Whole("Index into the positions of the record.", minimum=0, maximum=99, required=True)
    x_mm = Number("x where it stands.", "mm", minimum=-FARTHEST_MM, maximum=FARTHEST_MM, required=True)
    y_mm = Number("y where it stands.", "mm", minimum=-FARTHEST_MM, maximum=FARTHEST_MM, required=True)


class StrengthFound(RequestSchema):
    """Strength of the concrete as it was found."""

    strength_mpa = Number(
        "Cylinder strength; one that is lower than verified counts. A higher one needs evaluation to EN 13791 by the "
        "engineer and a new request.",
        "MPa",
        minimum=5,
        maximum=150,
        required=True,
    )
    found_by = Choice(
        "By what. Neither raises the strength or the evidence that was verified; rebound alone is indicative, and the "
        "rulebook's reduction for it is taken.",
        tuple(as_built.EVIDENCE),
        required=True,
    )


class AbortedHole(RequestSchema):
    """A hole that was begun and given up."""

    x_mm = Number("x of its centre.", "mm", minimum=-FARTHEST_MM, maximum=FARTHEST_MM, required=True)
    y_mm = Number("y of its centre.", "mm", minimum=-FARTHEST_MM, maximum=FARTHEST_MM, required=True)
    depth_mm = Number("Its depth.", "mm", minimum=0, maximum=2000, required=True)
    diameter_mm = Number("Its diameter.", "mm", minimum=1, maximum=200, absent="that of the fastener's hole")
    refilled = Flag(
        "True when it is filled with mortar of high strength that has hardened.", absent="false", default=False
    )


class EdgesMeasured(RequestSchema):
    """Edges as they were measured, from the origin of the record."""

    x_minus_mm = Number(
        "Distance to the edge in the direction of −x.", "mm", minimum=-FARTHEST_MM, maximum=FARTHEST_MM,
        absent="as verified",
    )  # fmt: skip
    x_plus_mm = Number(
        "Distance to the edge in the direction of +x.", "mm", minimum=-FARTHEST_MM, maximum=FARTHEST_MM,
        absent="as verified",
    )  # fmt: skip
    y_minus_mm = Number(
        "Distance to the edge in the direction of −y.", "mm", minimum=-FARTHEST_MM, maximum=FARTHEST_MM,
        absent="as verified",
    )  # fmt: skip
    y_plus_mm = Number(
        "Distance to the edge in the direction of +y.", "mm", minimum=-FARTHEST_MM, maximum=FARTHEST_MM,
        absent="as verified",
    )  # fmt: skip


class AsBuilt(RequestSchema):
    """What was really done; what is left out is taken as verified and listed as not measured."""

    positions = Items(
        Part(Position, "One fastener."),
        f"Where the fasteners stand, every one of them; {APART}. Not beside moved.",
        fewest=1,
        most=100,
        absent="as verified",
    )
    moved = Items(
        Part(Moved, "One fastener."),
        "Fasteners that stand elsewhere, each once. Not beside positions.",
        fewest=1,
        most=100,
        absent="none",
    )
    embedment_mm = Number(
        "Effective embedment that was reached. One that is not assessed counts as the nearest shallower one that is, a "
        "deeper one than verified as the verified one, while the hole for it leaves enough of the member behind it. "
        "Not beside hole_depth_mm.",
        "mm",
        minimum=1,
        maximum=2000,
        absent="as verified",
    )
    hole_depth_mm = Number(
        "Depth of the hole in the concrete that was reached; what it lacks of the assessed depth is taken off the "
        "embedment, and one that is too deep has to leave enough of the member behind it. Not beside embedment_mm.",
        "mm",
        minimum=1,
        maximum=2000,
        absent="as verified",
    )
    length_mm = Number("Length that was fitted.", "mm", minimum=10, maximum=5000, absent="the length of the record")
    torque_nm = Number(
        "Torque that was read when it was set, or that an impact driver was set to; of several, the one farthest from "
        "the installation torque. Not with by_feel, which reads none.",
        "Nm",
        minimum=0,
        maximum=10_000,
        absent="not read; where the assessment asks for a torque the verdict is then not_shown",
    )
    torque_tool = Choice("What it was tightened with.", as_built.TOOLS, absent="as verified")
    fixture_thickness_mm = Number("Thickness of the fixture.", "mm", minimum=0.5, maximum=200, absent="as verified")
    member_thickness_mm = Number("Thickness of the member.", "mm", minimum=60, maximum=10_000, absent="as verified")
    edges = Part(EdgesMeasured, "Edges as they were measured.", absent="as verified")
    strength_found = Part(StrengthFound, "Strength of the concrete as it was found.", absent="as verified")
    cracks_seen = Flag(
        "True when cracks are seen near the fixing: it is then cracked concrete.",
        absent="nobody looked; cracked or not as verified",
    )
    hole = Choice("State of the hole when the fastener was set.", HOLES, absent="as verified")
    hole_cleaned = Flag(
        "True when every hole was cleaned in the steps of the assessment. Not where nothing is drilled.",
        absent="not looked at",
    )
    head_seated = Flag(
        "True when the head of every fastener is seated on the fixture without a gap. Only where a head rests on the "
        "fixture: screws, frame fixings, bolts with a head.",
        absent="not looked at",
    )
    concrete_temperature_c = Number(
        "Temperature of the concrete when the resin was set. Only with resin.",
        "°C",
        minimum=-40,
        maximum=60,
        absent="not measured",
    )
    curing_minutes = Number(
        "Time from setting to tightening or loading, whichever came first. Only with resin.",
        "min",
        minimum=0,
        maximum=1_000_000,
        absent="not known",
    )
    aborted_holes = Items(
        Part(AbortedHole, "One hole."), "Holes that were given up nearby.", fewest=1, most=MOST_HOLES, absent="none"
    )

    @validates_schema(skip_on_field_errors=True)
    def check_coherence(self, data: Mapping[str, Any], **_: Any) -> None:
        """Refuse what is right field by field and wrong together.

        Args:
            data: The work as built, each field of it sound.
        """
        refuse(data, (_said_once, _moved_once))


def _said_once(data: Mapping[str, Any]) -> Iterator[Disagreement]:
    for first, second in (("positions", "moved"), ("embedment_mm", "hole_depth_mm")):
        if first in data and second in data:
            yield (second,), refusal("conflict", f"give {first} or {second}, not both")


def _moved_once(data: Mapping[str, Any]) -> Iterator[Disagreement]:
    seen: set[int] = set()
    for entry, moved in enumerate(data.get("moved", ())):
        if moved["index"] in seen:
            yield ("moved", entry, "index"), refusal("duplicate_value", "must not name the same fastener twice")
        seen.add(moved["index"])


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
    verified = Free(
        "As it was verified; null too where it was left open.",
        ("number", "string", "boolean", "object", "array"),
        required=True,
        nullable=True,
    )
    as_built = Free(
        "As built; null too where it is left open.",
        ("number", "string", "boolean", "object", "array"),
        required=True,
        nullable=True,
    )


class AsBuiltRequirement(AnswerSchema):
    """What the work as built has to keep beside the verification."""

    code = code(as_built.REQUIREMENTS)
    met = Flag("Whether it is met; null: nobody measured what would show it.", required=True, nullable=True)
    detail = string("The requirement in words.")
    given = Free("What was done.", ("number", "string"), required=True, nullable=True)
    limit = Free("What is allowed.", ("number", "string"), required=True, nullable=True)
    unit = string("Unit of both; null: none.", nullable=True)
    rule = string("Rulebook path of what it goes by.", nullable=True)
    to_do = string("What to do; null: nothing.", nullable=True)


class NotMeasured(AnswerSchema):
    """What nobody measured, and was therefore taken as verified."""

    code = code(as_built.NOT_MEASURED)
    text = string("The same in words.")


class AsBuiltCaution(AnswerSchema):
    """What to beware of."""

    code = code(as_built.CAUTIONS)
    text = string("The caution in words.")


class AsBuiltRecord(AnswerSchema):
    """The new record."""

    request = Part(
        VerificationRequest, "The request as built; came_from_record names the record it came from.", required=True
    )
    answer = part(VerificationAnswer, "The answer to it.")


class AsBuiltAnswer(AnswerSchema):
    """Whether the fixing still verifies as it was built."""

    verdict = one_of(
        "Verdict as built: that of the verification; not_verified where a requirement of the work is not met; "
        "not_shown where nothing is against it, but nobody measured what would show a requirement of the work.",
        as_built.VERDICTS,
    )
    verdict_before = one_of("Verdict of the record.", VERDICTS)
    utilisation_before = number("Utilisation of the record; null: no check.", "1", nullable=True)
    utilisation_after = number(
        "Utilisation as built; null: no check, or no resistance is assessed for what was built.", "1", nullable=True
    )
    changes = many(AsBuiltChange, "What differs from what was verified.")
    as_built_requirements = many(AsBuiltRequirement, "Requirements of the work as built.")
    not_measured = many(NotMeasured, "What matters to this fastener and was not said; it was taken as verified.")
    unmet_requirements = many(Requirement, "Requirements of the verification that are not met now.")
    checks_over = many(Check, "Checks that are over now; none where no resistance is assessed for what was built.")
    scope_limits = many(ScopeLimit, "Why the method does not cover it as built.")
    cautions = many(AsBuiltCaution, "What to beware of.")
    to_do = many(string("One thing."), "What to do next, in order.")
    came_from_record = string("Id of the record that it came from.", pattern=DIGEST)
    record = part(
        AsBuiltRecord,
        "The new record; its verdict is the verdict above. Null where only a requirement of the work is not met or not "
        "shown, or no resistance is assessed for what was built: no record shows such work, so none is given until it "
        "is mended or measured.",
        nullable=True,
    )
    suspensions = many(Suspension, "What is suspended for new work today and touches it.")
    rulebook = part(RulebookIdentity, "The rulebook of both records.")


MOVED_AND_ABORTED: dict[str, Any] = {
    "record": examples.GUARDRAIL_POST,
    "as_built": {
        "moved": [{"index": 1, "x_mm": 85, "y_mm": -75}],
        "torque_nm": 50,
        "torque_tool": "calibrated_wrench",
        "aborted_holes": [{"x_mm": 75, "y_mm": -40, "depth_mm": 30, "diameter_mm": 12, "refilled": False}],
    },
}
SHORT_AND_WEAK: dict[str, Any] = {
    "record": examples.GUARDRAIL_POST,
    "as_built": {
        "embedment_mm": 62,
        "torque_nm": 30,
        "torque_tool": "calibrated_wrench",
        "strength_found": {"strength_mpa": 22, "found_by": "rebound"},
        "cracks_seen": True,
    },
}
