"""What the crew writes down, so that others can tell later what was built."""

from __future__ import annotations

from collections.abc import Iterator

from service.site.sheet.content import Blank, Form
from service.site.sheet.work import Work

ABORTED_HOLE = ("x (mm)", "y (mm)", "Depth (mm)", "Diameter (mm)", "Filled with, on", "To the nearest fastener (mm)")


def form_of(work: Work) -> Form:
    """List what is written down for a fixing.

    Args:
        work: The work of the fixing.

    Returns:
        The form; holes given up only where holes are drilled.
    """
    aborted = () if work.cast_in else tuple(Blank(label) for label in ABORTED_HOLE)
    return Form(tuple(_each_fastener(work)), tuple(_once(work)), aborted)


def _each_fastener(work: Work) -> Iterator[Blank]:
    if work.cast_in:
        yield Blank("Place measured, x and y (mm)")
        yield Blank("Weld tested by")
        yield Blank("Remarks")
        yield Blank("Signature")
        return
    yield Blank("Hole depth read (mm)", work.hole_depth)
    yield Blank("Hole cleaned by")
    yield Blank("Hole seen clean by")
    yield Blank("Embedment reached (mm)", work.nominal_embedment)
    yield Blank("Set by, day and time")
    if _bonded(work):
        yield Blank("Released for load, day and time")
    if work.torque is not None:
        yield Blank("Torque read (N·m)", work.torque)
    yield Blank("Remarks")
    yield Blank("Signature")


def _once(work: Work) -> Iterator[Blank]:
    yield Blank("Batch of the fasteners")
    if _bonded(work):
        yield Blank("Batch and expiry of the resin")
        yield Blank("Cartridge °C")
        yield Blank("Concrete °C when set")
        yield Blank("Coldest concrete °C until cured")
    else:
        yield Blank("Concrete °C when set")
    if work.torque is not None or work.impact_driver_torque is not None:
        yield Blank("Number of the wrench or driver, calibrated until")
    yield Blank("Differs from this sheet in")
    yield Blank("Released for load by, day and time")


def _bonded(work: Work) -> bool:
    return work.source.mechanism == "bonded"
