"""What nobody measured, and was therefore taken as verified."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import MappingProxyType

from service.site.as_built.model import Built, Requirement, bonded, cast_in, has_head

NOT_MEASURED: Mapping[str, str] = MappingProxyType({
    "depth": "depth of the hole or embedment",
    "torque": "torque",
    "torque_tool": "tool that tightened it",
    "head_seated": "whether the head is seated on the fixture",
    "hole_cleaned": "whether the hole was cleaned",
    "hole": "whether the hole was dry",
    "concrete_temperature": "temperature of the concrete at setting",
    "curing": "curing time that was waited",
    "length": "length that was fitted",
    "positions": "positions",
    "edges": "distances to the edges",
    "member_thickness": "thickness of the member",
    "fixture_thickness": "thickness of the fixture",
    "strength": "strength of the concrete",
    "cracks": "whether there are cracks",
    "aborted_holes": "aborted holes nearby",
})
FIELDS: Mapping[str, tuple[str, ...]] = MappingProxyType({
    "depth": ("hole_depth_mm", "embedment_mm"),
    "torque": ("torque_nm",),
    "concrete_temperature": ("concrete_temperature_c",),
    "curing": ("curing_minutes",),
    "length": ("length_mm",),
    "positions": ("positions", "moved"),
    "member_thickness": ("member_thickness_mm",),
    "fixture_thickness": ("fixture_thickness_mm",),
    "strength": ("strength_found",),
    "cracks": ("cracks_seen",),
})
"""The fields that say it, where they are not named as the code."""


def not_measured(built: Built) -> tuple[str, ...]:
    """What matters to this fastener and nobody said.

    Args:
        built: The work as built.

    Returns:
        Codes of NOT_MEASURED, in its order.
    """
    beside = set(_beside_the_point(built))
    return tuple(
        code
        for code in NOT_MEASURED
        if code not in beside and not any(field in built.given for field in FIELDS.get(code, (code,)))
    )


def nothing(built: Built) -> Iterator[Requirement]:
    """Say that nothing was measured, where nothing was.

    Args:
        built: The work as built.

    Yields:
        One requirement, or none.
    """
    if not built.given:
        yield Requirement(
            "nothing_measured",
            None,
            "nothing was said of the work, so nothing of it is shown",
            None,
            None,
            None,
            None,
            "measure what is listed under not_measured and say it",
        )


def _beside_the_point(built: Built) -> Iterator[str]:
    setting, installation = built.selection.size["setting"], built.selection.family["installation"]
    if setting["installation_torque_nm"] is None and setting["impact_driver_torque_max_nm"] is None:
        yield "torque_tool"
        yield "torque"
    if not has_head(built.selection):
        yield "head_seated"
    if not installation["cleaning_steps"]:
        yield "hole_cleaned"
    if cast_in(built.selection):
        yield "hole"
    if not bonded(built.selection):
        yield "concrete_temperature"
        yield "curing"
