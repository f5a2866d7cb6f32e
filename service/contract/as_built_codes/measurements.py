"""By which fields of an as-built check each thing is said that can be measured."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from service.contract.as_built_codes.terms import Measurement
from service.contract.fields import UNKNOWN

FIELDS: Mapping[Measurement, tuple[str, ...]] = MappingProxyType({
    Measurement.HOLE_DEPTH: ("hole_depth_mm",),
    Measurement.SET_DEPTH: ("nominal_embedment_mm", "embedment_mm"),
    Measurement.TORQUE: ("torque_nm",),
    Measurement.SCREWED_IN: ("bolt_length_mm", "screwed_in_mm"),
    Measurement.CONCRETE_TEMPERATURE: ("concrete_temperature_c",),
    Measurement.COLDEST_UNTIL_CURED: ("coldest_until_cured_c",),
    Measurement.CURING: ("curing_minutes",),
    Measurement.WORKING_TIME: ("set_within_working_time",),
    Measurement.LENGTH: ("length_mm", "other_lengths"),
    Measurement.POSITIONS: ("positions", "moved"),
    Measurement.EDGES: ("edges", "nearest_edges"),
    Measurement.MEMBER_THICKNESS: ("member_thickness_mm",),
    Measurement.FIXTURE_THICKNESS: ("fixture_thickness_mm",),
    Measurement.WASHER_THICKNESS: ("washer_thickness_mm",),
    Measurement.STAND_OFF: ("stand_off_mm", "grout.thickness_mm"),
    Measurement.GROUT_STRENGTH: ("grout.strength_mpa",),
    Measurement.STRENGTH: ("strength_found",),
    Measurement.CRACKS: ("cracks_seen",),
    Measurement.TOPPING: ("topping", "bare_concrete"),
    Measurement.FIXTURE_HOLES: ("clearance", "fixture_hole_diameter_mm"),
})
"""The fields that say it, where they are not named as the code; a field of a part stands behind a dot."""
OF_EACH_FASTENER = frozenset({
    Measurement.HOLE_DEPTH,
    Measurement.SET_DEPTH,
    Measurement.TORQUE,
    Measurement.TORQUE_TOOL,
    Measurement.HEAD_SEATED,
    Measurement.SLEEVE_EXPANDED,
    Measurement.SCREWED_IN,
    Measurement.WELD_TESTED,
    Measurement.MARK_SHOWS,
    Measurement.HOLE_CLEANED,
    Measurement.HOLE,
    Measurement.CONCRETE_TEMPERATURE,
    Measurement.COLDEST_UNTIL_CURED,
    Measurement.CURING,
    Measurement.WORKING_TIME,
    Measurement.RESIN_FILLED,
    Measurement.DRILLING,
    Measurement.INSTALLER,
    Measurement.POSITIONS,
    Measurement.WASHER_CLAMPED,
})
"""What has to be measured anew where a fastener stands in another hole."""

def fields_of(code: Measurement) -> tuple[str, ...]:
    """Name the fields that say it.

    Args:
        code: What is measured.

    Returns:
        The fields.
    """
    return FIELDS.get(code, (code.value,))


def is_said(given: Mapping[str, Any], field: str) -> bool:
    """Say whether a field was given.

    Args:
        given: What was said, without nulls.
        field: The field; one of a part stands behind a dot.

    Returns:
        True where it was; that nobody knows says nothing.
    """
    part, _, inner = field.partition(".")
    return given.get(part, UNKNOWN) != UNKNOWN and (not inner or is_said(given[part], inner))


def measurement_of(field: str | None) -> Measurement | None:
    """Find what a field says.

    Args:
        field: The field, or None.

    Returns:
        What is measured; None where it says no measurement.
    """
    return next((code for code in Measurement if field in fields_of(code)), None)
