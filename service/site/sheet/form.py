"""What the crew writes down, so that others can tell later what was built."""

from __future__ import annotations

from collections.abc import Iterator

from service.site.sheet.content import Blank, Form
from service.site.sheet.tightening import Tool, has_head, tool_of
from service.site.sheet.work import Work

ABORTED_HOLE = (
    Blank("x (mm)", "x_mm"),
    Blank("y (mm)", "y_mm"),
    Blank("Depth (mm)", "depth_mm"),
    Blank("Diameter (mm)", "diameter_mm"),
    Blank("Filled with, on", "refilled"),
    Blank("To the nearest fastener (mm)"),
)


def form_of(work: Work) -> Form:
    """List what is written down for a fixing.

    Args:
        work: The work of the fixing.

    Returns:
        The form; holes given up only where holes are drilled.
    """
    return Form(tuple(_each_fastener(work)), tuple(_once(work)), () if work.cast_in else ABORTED_HOLE)


def _each_fastener(work: Work) -> Iterator[Blank]:
    yield Blank("Place measured, x and y (mm)", "positions")
    if work.cast_in:
        yield Blank("Weld tested by")
    else:
        yield Blank("Hole depth read (mm)", "hole_depth_mm", work.hole_depth)
        yield Blank("Hole cleaned by")
        yield Blank("Hole seen clean by", "hole_cleaned")
        yield Blank("Set by, day and time")
        yield from _set(work)
        yield from _tightened(work)
    yield Blank("Remarks")
    yield Blank("Signature")


def _set(work: Work) -> Iterator[Blank]:
    mechanism = work.source.mechanism
    if mechanism == "deformation_controlled_expansion":
        yield Blank("Setting tool driven to its shoulder, seen by", "sleeve_expanded")
    elif not has_head(work):
        # Where a head rests on the fixture, hole and seated head show the depth; its end cannot be measured.
        yield Blank("Set depth from the concrete surface, at least (mm)", "nominal_embedment_mm", work.set_depth)
    if mechanism == "undercut":
        yield Blank("Mark shows, seen by", "mark_shows")
    if mechanism == "bonded":
        yield Blank("Resin came out at the top when set, seen by", "resin_filled")
        yield Blank("Set within the working time, yes or no", "set_within_working_time")
        yield Blank("First tightened or loaded, day and time", "curing_minutes")


def _tightened(work: Work) -> Iterator[Blank]:
    tool = tool_of(work)
    if tool is Tool.WRENCH:
        yield Blank("Torque read (N·m)", "torque_nm", work.torque)
    elif tool is Tool.DRIVER:
        yield Blank("Impact driver set to, at most (N·m)", "torque_nm", work.impact_driver_torque)
    if has_head(work):
        yield Blank("Head seated, seen by", "head_seated")


def _once(work: Work) -> Iterator[Blank]:
    yield Blank("Batch of the fasteners")
    yield Blank("Length fitted (mm)", "length_mm", work.length)
    yield Blank("Fixture thickness (mm)", "fixture_thickness_mm", work.fixture_thickness)
    yield Blank("Member thickness (mm), at least", "member_thickness_mm", work.member_thickness)
    if any(edge is not None for edge in (work.source.request["member"].get("edges") or {}).values()):
        yield Blank("From the nearest fastener to each edge, by its letter (mm)", "nearest_edges")
    if work.stand_off is not None:
        yield Blank("Stand-off, free height (mm)", "stand_off_mm", work.stand_off)
    if work.grout is not None:
        yield Blank("Grout thickness (mm)", "grout", work.grout)
        yield Blank("Batch of the grout, day and time it was filled in")
    if not work.cast_in:
        yield Blank("Drilled with", "drilling")
        yield Blank("Set by someone trained, or under whose eyes", "installer")
        yield Blank("Holes dry, wet or flooded when set", "hole")
        yield Blank("Cracks seen near it, yes or no", "cracks_seen")
    if work.source.mechanism == "bonded":
        yield Blank("Batch and expiry of the resin")
        yield Blank("Cartridge °C")
        yield Blank("Concrete °C when set", "concrete_temperature_c")
        yield Blank("Coldest concrete °C until cured", "coldest_until_cured_c")
    if tool_of(work) in {Tool.WRENCH, Tool.DRIVER}:
        yield Blank("Tightened with which tool, its number, calibrated until", "torque_tool")
    yield Blank("Differs from this sheet in")
    yield Blank("Released for load by, day and time")
