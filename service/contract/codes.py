"""The stable codes that stand beside the words of a refusal."""

from collections.abc import Mapping
from types import MappingProxyType

CODES: Mapping[str, str] = MappingProxyType({
    "above_maximum": "A number is above its published range.",
    "all_zero": "Every component of a load case is zero.",
    "below_minimum": "A number is below its published range.",
    "calibration_expired": "The calibration of a gauge was over on the day of the pulls.",
    "conflict": "Two fields that exclude each other are both given.",
    "control_character": "A text holds a control character or one that turns the direction of writing.",
    "duplicate_key": "An object names the same key twice.",
    "duplicate_name": "Two load cases, pulls, lots or parts of a lot have the same name.",
    "duplicate_parameter": "A query parameter is given twice.",
    "duplicate_position": "Two fasteners stand in the same place.",
    "duplicate_value": "A list that offers alternatives names one of them twice.",
    "edges_crossed": "Two opposite edges of the member leave nothing between them.",
    "fixture_thickness_missing": "A sheet needs the thickness of the fixture.",
    "length_as_built": "The length serves only where it was set by now; new fasteners are sized anew.",
    "length_missing": "No length to buy was found.",
    "malformed_json": "The body is not JSON.",
    "mixed_rulebooks": "The fixings of a sheet stand under different rules.",
    "nested_too_deep": "The body nests deeper than the service reads.",
    "no_version_in_force": "No version of the rulebook is in force on the day.",
    "not_allowed": "A value is not one of those allowed.",
    "not_finite": "A number is not finite, or too large to be held.",
    "not_older": "The version to compare with is newer than the one that it is compared with.",
    "not_rising": "The points of a calibration do not rise.",
    "not_unicode": "The body is not UTF-8, or a text holds half of a surrogate pair.",
    "not_verified": "A fixing does not verify, so there is no sheet for it.",
    "outside_calibration": "A reading or load is outside the calibration of its gauge.",
    "outside_fixture": "Something stands outside the fixture's outline.",
    "outside_lot": "A part of a lot is not within the lot, or two parts share fasteners.",
    "outside_member": "A fastener stands on or beyond an edge of the member.",
    "outside_scope": "The method does not cover a fixing, so there is no sheet for it.",
    "record_altered": "The id of a record does not match its content.",
    "record_not_reproduced": "The rules of a record give another answer than the one in it.",
    "renamed_field": "The field has another name, and counts otherwise: the detail says how.",
    "required": "A field is missing.",
    "rulebook_not_served": "The rules of a record are not served here.",
    "temperature_not_covered": "Resin may not be set at the temperature.",
    "too_few": "A list has too few entries.",
    "too_long": "A text is too long.",
    "too_many": "A list has too many entries.",
    "too_short": "A text is too short.",
    "unknown_family": "This rulebook has no such family.",
    "unknown_field": "The contract has no such field.",
    "unknown_language": "The service has no words in such a language.",
    "unknown_parameter": "The path has no such query parameter.",
    "unknown_size": "No such size in this rulebook.",
    "unknown_version": "The service holds no such version of the rulebook.",
    "wrong_count": "A list does not have as many entries as what it goes with.",
    "wrong_type": "A value has the wrong type.",
})


def refusal(code: str, detail: str) -> str:
    """Write a refusal as the one string that a marshmallow message can be.

    Args:
        code: One of CODES.
        detail: What is wrong and what is allowed.

    Returns:
        The code and the words, to be parted again by `parted`.
    """
    return f"{code}: {detail}"


def parted(message: str) -> tuple[str, str]:
    """Part a message made by `refusal`.

    Args:
        message: The message.

    Returns:
        Its code and its words.
    """
    code, _, detail = message.partition(": ")
    return code, detail
