"""What was found of the work, as a crew says it and as a record keeps it."""

from typing import Any

from marshmallow import ValidationError

from service.contract.as_built_codes import Measurement
from service.contract.codes import refusal
from service.contract.fields import Choice, Flag, Items, Number, Part, Whole
from service.contract.quantities import concrete_temperature, coordinate, fastener_length
from service.contract.request_schema import RequestSchema

MOST_HOLES = 100
MOST_KEPT = 500


FROM_1 = "from 1, as the numbers on the sheet do: what was 0 is 1"


class FastenerNumber(Whole):
    """A fastener by its number, as people count."""

    def __init__(self, **rest: Any) -> None:
        words = (
            "Number of the fastener on sheet and drawing: from 1, in the order of the positions as first verified; "
            "those that went missing leave their numbers free."
        )
        super().__init__(words, minimum=1, maximum=100, **rest)

    def read(self, value: Any) -> int:
        """Take a number, and tell somebody who counts from 0 how fasteners are counted."""
        if type(value) in {int, float} and value == 0:
            words = "must be at least 1: fasteners are numbered from 1, as on the sheet"
            raise ValidationError(refusal("below_minimum", words, minimum=self.minimum))
        return super().read(value)


def numbers(description: str, absent: str) -> Items:
    """Describe a list of fasteners by their numbers."""
    return Items(FastenerNumber(), description, most=100, unique=True, absent=absent)


class OtherLength(RequestSchema):
    """A fastener of another length than the rest."""

    number = FastenerNumber(required=True)
    length_mm = fastener_length("Its length.", required=True)


class MovedFrom(RequestSchema):
    """Where a fastener was first verified, that stands or is to stand elsewhere."""

    number = FastenerNumber(required=True)
    x_mm = coordinate("x where it was verified.", required=True)
    y_mm = coordinate("y where it was verified.", required=True)


class LoadMoved(RequestSchema):
    """How far a load moved with its fixture from where it was first verified."""

    x_mm = coordinate("Along x.", required=True)
    y_mm = coordinate("Along y.", required=True)


class AbortedHole(RequestSchema):
    """An aborted hole: begun and not used."""

    x_mm = coordinate("x of its centre.", required=True)
    y_mm = coordinate("y of its centre.", required=True)
    depth_mm = Number("Its depth.", "mm", minimum=0, maximum=2000, required=True)
    diameter_mm = Number("Its diameter.", "mm", minimum=1, maximum=200, absent="that of the fastener's hole")
    refilled = Flag("True when it is filled with high-strength grout that has hardened.", absent="false", default=False)


class Measured(RequestSchema):
    """What can be found of fasteners, and what the request has no other place for."""

    embedment_mm = Number(
        "Effective embedment h_ef that was reached: what the method reckons with, and not what a tape shows. One that "
        "is not assessed counts as the nearest shallower one that is, a deeper one than verified as the verified one, "
        "while the hole for it leaves enough of the member behind it. Who measures gives nominal_embedment_mm.",
        "mm",
        minimum=1,
        maximum=2000,
        absent="as verified, or as the set depth or the hole has it",
    )
    hole_depth_mm = Number(
        "Depth of the hole in the concrete, measured from the concrete surface to the bottom of the cleaned hole, "
        "plaster and screed not counted; of several, the one farthest from what was asked. What it lacks of the "
        "assessed depth is taken off the embedment, and one that is too deep has to leave enough of the member behind.",
        "mm",
        minimum=1,
        maximum=2000,
        absent="not measured; as the sheet orders it",
    )
    hole_diameter_mm = Number(
        "Diameter of the bit that the holes were drilled with. Not where nothing is drilled.",
        "mm",
        minimum=1,
        maximum=200,
        absent="as the sheet orders it; where another fastener stands there than was ordered, and it needs another "
        "bit, the verdict is then not_shown",
    )
    torque_nm = Number(
        "Torque that was read when it was set, or that an impact wrench was set to; of several, the one farthest from "
        "the installation torque; of what is not expanded by its torque, the highest. Not with by_feel, which reads "
        "none, and not where the assessment names none.",
        "Nm",
        minimum=0,
        maximum=10_000,
        absent="not read; where the assessment asks for a torque the verdict is then not_shown, unless the record "
        "answered by_feel and its torque does not expand it",
    )
    hole_cleaned = Flag(
        "True when every hole was cleaned in the steps of the assessment. Not where nothing is drilled.",
        absent="not looked at",
    )
    head_seated = Flag(
        "True when the head of every fastener is seated on the fixture without a gap. Only where a head rests on the "
        "fixture: screws, frame fixings, bolts with a head.",
        absent="not looked at",
    )
    sleeve_expanded = Flag(
        "True when the setting tool was driven until its shoulder met the sleeve, at every one. Only for drop-ins.",
        absent="not looked at",
    )
    bolt_length_mm = Number(
        "Length of the bolt under its head, its washer taken off; of several, the one farthest from what the sheet "
        "orders. What fixture and gap leave of it is screwed into the sleeve. Only for sleeves with an inner thread.",
        "mm",
        minimum=1,
        maximum=2000,
        absent="not measured, or screwed_in_mm says it; where the assessment says how far it is to be screwed in the "
        "verdict is else not_shown",
    )
    screwed_in_mm = Number(
        "How far bolt or rod is screwed into the sleeve; of several, the one farthest from what the sheet orders. Only "
        "for sleeves with an inner thread.",
        "mm",
        minimum=0,
        maximum=2000,
        absent="not measured, or bolt_length_mm says it",
    )
    weld_tested = Flag(
        "True when the weld of every stud was tested as its welding standard asks, and passed. Only for studs that are "
        "welded to their plate.",
        absent="not looked at; the verdict is then not_shown",
    )
    mark_shows = Flag(
        "True when the mark shows that it is expanded, on every one. Only for undercut fasteners.",
        absent="not looked at",
    )
    concrete_temperature_c = concrete_temperature(
        "Temperature of the concrete when the resin was set. Only with resin.", absent="not measured"
    )
    coldest_until_cured_c = concrete_temperature(
        "Coldest that the concrete was from setting until the curing time was over, nights included; the curing time "
        "goes by it. Only with resin.",
        absent="not measured; the curing time is then not shown",
    )
    curing_minutes = Number(
        "Time from setting to tightening or loading, whichever came first. Only with resin.",
        "min",
        minimum=0,
        maximum=1_000_000,
        absent="not known",
    )
    set_within_working_time = Flag(
        "True when every one was set before the working time of the resin was over, false when it had begun to "
        "stiffen. Only with resin.",
        absent="not looked at",
    )
    resin_filled = Flag(
        "True when every hole was filled from the bottom until resin came out at the surface of the concrete as the "
        "rod was set. Only with resin.",
        absent="not looked at; the verdict is then not_shown",
    )


class BuiltBefore(Measured):
    """What earlier as-built checks found; kept for the next one.

    The embedment is reckoned with, as to whether the nut of the fitted length still finds its thread, and a hole that
    was measured to be less deep than its length asks for, as to what is left of the member behind it.
    """

    measured = Items(
        Choice("One thing.", tuple(one.value for one in Measurement)),
        "What was measured by now.",
        most=len(Measurement),
        unique=True,
        absent="nothing",
    )
    aborted_holes = Items(Part(AbortedHole, "One hole."), "Aborted holes nearby.", most=MOST_KEPT, absent="none")
    missing_numbers = numbers(
        "Fasteners that are not there, by their numbers. Those that stand keep theirs, in the order of positions, on "
        "sheets and in as-built checks, so that the crew's first sheet stays right.",
        absent="none; the fasteners are numbered from 1 in the order of positions",
    )
    to_set_numbers = numbers(
        "Fasteners that are not set yet, by their numbers: positions has where they are to be. A sheet orders the work "
        "for these alone, and the next as-built check takes them as set unless it says otherwise.",
        absent="none; every fastener stands",
    )
    moved_from = Items(
        Part(MovedFrom, "One fastener."),
        "Fasteners that stand, or are to stand, elsewhere than they were first verified, with where that was; a sheet "
        "tells the crew.",
        most=100,
        absent="none",
    )
    load_moved = Part(
        LoadMoved,
        "How far the loads moved with a fixture that stands aside as a whole; their moments say so already, and a "
        "sheet holds them against their load model as they were.",
        absent="they act where they were first verified",
    )
    other_lengths = Items(
        Part(OtherLength, "One fastener."),
        "Fasteners of another length than length_mm of the fastener. What a length decides is verified for each of "
        "them.",
        most=100,
        absent="none; all have one length",
    )
