"""What was measured, what was not, and without what nothing is shown."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from types import MappingProxyType
from typing import Any

from service.contract.as_built_codes import NOT_MEASURED
from service.contract.wanted import Fixture, made
from service.site.as_built.model import Built, Requirement, bonded, cast_in, has_head

FIELDS: Mapping[str, tuple[str, ...]] = MappingProxyType({
    "hole_depth": ("hole_depth_mm",),
    "set_depth": ("nominal_embedment_mm", "embedment_mm"),
    "torque": ("torque_nm",),
    "concrete_temperature": ("concrete_temperature_c",),
    "coldest_until_cured": ("coldest_until_cured_c",),
    "curing": ("curing_minutes",),
    "working_time": ("set_within_working_time",),
    "length": ("length_mm",),
    "positions": ("positions", "moved"),
    "edges": ("edges", "nearest_edges"),
    "member_thickness": ("member_thickness_mm",),
    "fixture_thickness": ("fixture_thickness_mm",),
    "stand_off": ("stand_off_mm", "grout"),
    "strength": ("strength_found",),
    "cracks": ("cracks_seen",),
})
"""The fields that say it, where they are not named as the code."""
OF_EACH_FASTENER = frozenset({
    "hole_depth", "set_depth", "torque", "torque_tool", "head_seated", "sleeve_expanded", "mark_shows", "hole_cleaned",
    "hole", "concrete_temperature", "coldest_until_cured", "curing", "working_time", "resin_filled", "drilling",
    "installer",
})  # fmt: skip
"""What has to be measured anew where a fastener stands in another hole."""
TORQUE, ABORTED = ("torque",), ("aborted_holes",)
DECISIVE: Mapping[str, tuple[tuple[str, ...], ...]] = MappingProxyType({
    "bonded": (
        ("hole_cleaned",), ("resin_filled",), ("concrete_temperature",), ("coldest_until_cured",), ("curing",),
        ("hole_depth", "set_depth"), ("torque",),
    ),
    "concrete_screw": (("head_seated",), ("hole_depth", "set_depth"), ("torque",)),
    "torque_controlled_expansion": (("set_depth", "head_seated"), ("torque",)),
    "deformation_controlled_expansion": (("hole_depth",), ("hole_cleaned",), ("sleeve_expanded",), ("torque",)),
    "undercut": (("hole_depth",), ("mark_shows",), ("torque",)),
    "plastic_anchor": (("head_seated",),),
    "headed_fastener": (("positions",),),
})  # fmt: skip
"""Without what nothing is shown, by mechanism, each as alternatives; a torque only where the assessment asks for one.

Common practice, no source: it is what the standing of each mechanism turns on and nobody can tell from outside later.
"""


def codes_said(given: Mapping[str, Any]) -> frozenset[str]:
    """Of what was something said.

    Args:
        given: What was said, without nulls.

    Returns:
        Codes of NOT_MEASURED.
    """
    return frozenset(code for code in NOT_MEASURED if any(field in given for field in fields_of(code)))


def fields_of(code: str) -> tuple[str, ...]:
    """Name the fields that say it.

    Args:
        code: One of NOT_MEASURED.

    Returns:
        The fields.
    """
    return FIELDS.get(code, (code,))


def not_measured(built: Built) -> tuple[str, ...]:
    """What matters to this fastener and nobody said.

    Args:
        built: The work as built.

    Returns:
        Codes of NOT_MEASURED, in its order.
    """
    beside = set(_beside_the_point(built))
    return tuple(code for code in NOT_MEASURED if code not in beside and code not in built.found.said)


def missing(built: Built) -> tuple[tuple[str, ...], ...]:
    """Without what nothing is shown, as far as nobody said it.

    Args:
        built: The work as built.

    Returns:
        Codes of NOT_MEASURED, each as alternatives that matter to this fastener.
    """
    beside = set(_beside_the_point(built))
    if built.selection.size["setting"]["installation_torque_nm"] is None:
        beside.add("torque")
    turns_on = DECISIVE[_mechanism(built)] + (
        (ABORTED,) if built.found.in_other_holes and not cast_in(built.selection) else ()
    )
    wanted = (tuple(code for code in codes if code not in beside) for codes in turns_on)
    return tuple(codes for codes in wanted if codes and built.found.said.isdisjoint(codes))


def decisive(built: Built) -> Iterator[Requirement]:
    """Say that nothing is shown without what was not measured; torque and aborted holes have words of their own.

    Args:
        built: The work as built.

    Yields:
        One requirement, or none.
    """
    open_ = [codes for codes in missing(built) if codes not in {TORQUE, ABORTED}]
    if open_:
        yield _decisive(open_)
    if ABORTED in missing(built):
        yield _aborted_holes(built)


def _decisive(open_: Sequence[tuple[str, ...]]) -> Requirement:
    words = "; ".join(" or ".join(NOT_MEASURED[code] for code in codes) for codes in open_)
    fields = ", ".join(" or ".join(field for code in codes for field in fields_of(code)) for codes in open_)
    return Requirement(
        "decisive_not_measured",
        None,
        f"nothing is shown of this kind of fastener without: {words}",
        None,
        None,
        None,
        None,
        f"measure it on every fastener and say {fields}",
    )


def _aborted_holes(built: Built) -> Requirement:
    which = ", ".join(f"{index}" for index in built.found.in_other_holes)
    return Requirement(
        "aborted_holes_said",
        None,
        f"fastener {which} stands in another hole than it was verified in or checked in before, and nobody said "
        "whether a hole was aborted for it, which weakens the concrete",
        None,
        None,
        None,
        None,
        "say aborted_holes: each aborted hole with its place and depth, or an empty list where there is none",
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


def _mechanism(built: Built) -> str:
    return str(built.selection.family["mechanism"])


def _beside_the_point(built: Built) -> Iterator[str]:
    selection = built.selection
    setting, installation = selection.size["setting"], selection.family["installation"]
    if setting["installation_torque_nm"] is None and setting["impact_driver_torque_max_nm"] is None:
        yield "torque_tool"
        yield "torque"
    if not has_head(selection):
        yield "head_seated"
    if not installation["cleaning_steps"]:
        yield "hole_cleaned"
    if cast_in(selection):
        yield from ("hole", "hole_depth", "drilling", "installer")
    if not bonded(selection):
        yield from ("concrete_temperature", "coldest_until_cured", "curing", "working_time", "resin_filled")
    if _mechanism(built) == "deformation_controlled_expansion":
        # It is set flush by a tool that rests on the concrete: the hole decides how deep.
        yield "set_depth"
    else:
        yield "sleeve_expanded"
    if _mechanism(built) != "undercut":
        yield "mark_shows"
    if not made(Fixture, built.request["fixture"]).raised:
        yield "stand_off"
