"""The stable codes that stand beside the words of a refusal, and the figures that go with each."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

FIGURES: Mapping[str, str] = MappingProxyType({
    "above": "The number has to be above this, in the unit of the field.",
    "allowed": "What may stand there: words, names of fields or parameters, or versions.",
    "column": "Column of the text of the body.",
    "came_to": "How many there would be.",
    "count": "How many entries the list has to have.",
    "edge": "The edge of the member, as in x_minus.",
    "fasteners": "How many fasteners the record has.",
    "fewest": "The fewest entries.",
    "fields": "The other fields that it does not go with, or of which one is needed; in the same object or around it.",
    "first": "The first number that is left in the lot, from 1.",
    "last": "The last number of the lot, from 1.",
    "limit": "Code of the limit of the method, as in scope_limits.",
    "line": "Line of the text of the body.",
    "load_case": "Name of the load case of the check that is over.",
    "longest": "The most characters.",
    "maximum": "The largest that is allowed, in the unit of the field.",
    "maximum_mm": "The largest distance from the centre of the fixture, or extent of the section, in mm.",
    "minimum": "The least that is allowed, in the unit of the field.",
    "mode": "Failure mode of the check that is over.",
    "most": "The most entries, or the most of what came_to counts.",
    "new_fields": "The fields that say it now; in the same object.",
    "other_number": "Number of the other entry of the list, from 1.",
    "requirement": "Code of the requirement that is not met.",
    "shortest": "The fewest characters.",
    "smallest": "The least size of a number that is not 0, in the unit of the field.",
    "utilisation": "Utilisation of the check that is over, a ratio.",
})
"""The figures of faults: what each says."""


@dataclass(frozen=True, slots=True)
class FaultCode:
    """What a code of a refusal stands for.

    Attributes:
        meaning: When it is given.
        figures: Names of the figures that may go with it; a refusal has those of them that are known there.
    """

    meaning: str
    figures: tuple[str, ...] = ()


class Refusing(str):
    """The words of a refusal with its code before them: the one string that a marshmallow message can be."""

    __slots__ = ("figures",)
    figures: Mapping[str, Any]


CODES: Mapping[str, FaultCode] = MappingProxyType({
    "above_maximum": FaultCode("A number is above its published range.", ("maximum",)),
    "all_zero": FaultCode("Every component of a load case or action is zero, or actions cancel each other."),
    "below_minimum": FaultCode("A number is below its published range.", ("minimum", "above", "smallest")),
    "calibration_expired": FaultCode("The calibration of a gauge was over on the day of the pulls."),
    "conflict": FaultCode("Two fields that exclude each other are both given.", ("fields",)),
    "control_character": FaultCode("A text holds a control character or one that turns the direction of writing."),
    "duplicate_key": FaultCode("An object names the same key twice."),
    "duplicate_name": FaultCode(
        "Two load cases, actions, pulls, lots or parts of a lot have the same name.", ("other_number",)
    ),
    "duplicate_parameter": FaultCode("A query parameter is given twice."),
    "duplicate_position": FaultCode("Two fasteners stand in the same place.", ("other_number",)),
    "duplicate_value": FaultCode("A list that offers alternatives names one of them twice.", ("other_number",)),
    "edges_crossed": FaultCode("Two opposite edges of the member leave nothing between them.", ("fields",)),
    "resin_not_seen": FaultCode("No sheet has resin set through a fixture over a topping that stays, which hides it."),
    "no_plate": FaultCode("A sheet is made for fixings with a plate, a ring or a hook."),
    "fixture_thickness_missing": FaultCode("A sheet needs the thickness of the fixture."),
    "length_as_built": FaultCode("The length serves only where it was set by now; new fasteners are sized anew."),
    "length_missing": FaultCode("No length to buy was found."),
    "loads_differ": FaultCode("The loads are not those that follow from what their load model was told."),
    "malformed_json": FaultCode("The body is not JSON.", ("line", "column")),
    "mixed_rulebooks": FaultCode("The fixings of a sheet stand under different rules."),
    "nested_too_deep": FaultCode("The body nests deeper than the service reads."),
    "no_such_fastener": FaultCode("The record has no fastener of that number.", ("fasteners",)),
    "no_version_in_force": FaultCode("No version of the rulebook is in force on the day."),
    "not_a_day": FaultCode("A text is no day of the calendar, or not written as YYYY-MM-DD."),
    "not_allowed": FaultCode("A value is not one of those allowed.", ("allowed",)),
    "not_finite": FaultCode("A number is not finite, or too large to be held."),
    "not_older": FaultCode("The version to compare with is newer than the one that it is compared with."),
    "not_rising": FaultCode("The points of a calibration do not rise."),
    "not_unicode": FaultCode("The body is not UTF-8, or a text holds half of a surrogate pair."),
    "not_verified": FaultCode(
        "A fixing does not verify, so there is no sheet for it.", ("requirement", "mode", "load_case", "utilisation")
    ),
    "outside_calibration": FaultCode("A reading or load is outside the calibration of its gauge."),
    "outside_fixture": FaultCode("Something stands outside the fixture's outline.", ("maximum_mm",)),
    "outside_lot": FaultCode("A part of a lot is not within the lot, or two parts share fasteners.", ("first", "last")),
    "outside_member": FaultCode("A fastener stands on or beyond an edge of the member.", ("edge",)),
    "outside_scope": FaultCode("The method does not cover a fixing, so there is no sheet for it.", ("limit",)),
    "record_altered": FaultCode("The id of a record does not match its content."),
    "record_not_reproduced": FaultCode("The rules of a record give another answer than the one in it."),
    "removed_field": FaultCode("The field is gone and no other says the same: the detail says what to give instead."),
    "renamed_field": FaultCode("The field has another name, counting otherwise: the detail says how.", ("new_fields",)),
    "required": FaultCode("A field is missing.", ("fields",)),
    "rulebook_not_served": FaultCode("The rules of a record are not served here."),
    "temperature_not_covered": FaultCode("Resin may not be set at the temperature."),
    "too_few": FaultCode("A list has too few entries.", ("fewest",)),
    "too_long": FaultCode("A text is too long.", ("longest",)),
    "too_many": FaultCode("A list has too many entries.", ("most",)),
    "too_many_combinations": FaultCode("Actions come to too many combinations.", ("came_to", "most")),
    "too_many_grids": FaultCode("A pattern gives more grids than are searched.", ("came_to", "most")),
    "too_short": FaultCode("A text is too short.", ("shortest",)),
    "unknown_family": FaultCode("This rulebook has no such family.", ("allowed",)),
    "unknown_field": FaultCode("The contract has no such field.", ("allowed",)),
    "unknown_language": FaultCode("The service has no words in such a language.", ("allowed",)),
    "unknown_parameter": FaultCode("The path has no such query parameter.", ("allowed",)),
    "unknown_size": FaultCode("No such size in this rulebook.", ("allowed",)),
    "unknown_version": FaultCode("The service holds no such version of the rulebook.", ("allowed",)),
    "wrong_count": FaultCode("A list does not have as many entries as what it goes with.", ("count",)),
    "wrong_type": FaultCode("A value has the wrong type."),
})


def refusal(code: str, detail: str, **figures: Any) -> str:
    """Write a refusal as the one string that a marshmallow message can be.

    Args:
        code: One of CODES.
        detail: What is wrong and what is allowed.
        **figures: What the code names as its figures, as far as it is known.

    Returns:
        The code and the words, to be parted again by `parted`.
    """
    message = Refusing(f"{code}: {detail}")
    message.figures = figures
    return message


def parted(message: str) -> tuple[str, str, Mapping[str, Any]]:
    """Part a message made by `refusal`."""
    code, _, detail = message.partition(": ")
    return code, detail, message.figures if isinstance(message, Refusing) else {}
