"""Putting the fixture on, and tightening it."""

from __future__ import annotations

from collections.abc import Iterator

from service.site.sheet.content import Figure, Line, derived, line
from service.site.sheet.source import INSTALLATION
from service.site.sheet.work import INNER_THREAD, RINGS, Work

TIGHTENING_EXPANDS = ("torque_controlled_expansion", "undercut")
"""The torque is what expands them: it is a target. To all others it is the most that they may get."""


def torque_range(work: Work, torque: Figure) -> tuple[Figure, Figure]:
    """Say between which readings a torque counts as the installation torque.

    Args:
        work: The work of the fixing.
        torque: Its installation torque (N·m).

    Returns:
        The lowest and the highest reading (N·m); the highest is the torque itself where it is the most allowed.
    """
    share = work.source.rule("torque_tolerance_share", "1", f"{INSTALLATION}#/torque/tolerance_share")
    least = derived("least_torque_nm", "Nm", torque.number * (1 - share.number), "{} * (1 - {})", torque, share)
    if work.source.mechanism not in TIGHTENING_EXPANDS:
        return least, torque
    most = torque.number * (1 + share.number)
    return least, derived("largest_torque_nm", "Nm", most, "{} * (1 + {})", torque, share)


def fixture_first(work: Work) -> Iterator[Line]:
    """Write how a fixture is put up that is drilled through.

    Args:
        work: The work of the fixing.

    Yields:
        The lines.
    """
    if work.cast_in or not work.through_fixture:
        return
    yield Line("Put the fixture on the marks with its letters A to D as on the plan, and prop or clamp it there")
    yield from _bedding(work)
    if work.clearance_hole is not None:
        yield line("Holes in the fixture at most {}; do not drill or ream them wider", work.clearance_hole)


def fixture_on(work: Work, *, bonded: bool) -> Iterator[Line]:
    """Write how a fixture is put on fasteners that are set already: shim, fixture, washer, nut.

    Args:
        work: The work of the fixing.
        bonded: Whether resin has to have cured first.

    Yields:
        The lines, in the order of the work.
    """
    if work.cast_in or work.through_fixture:
        return
    if bonded:
        yield Line("Not before the curing time is over")
    if work.form in RINGS:
        yield line("What lies under the ring or hook, {} thick, goes on before it is turned down", work.clamped)
        return
    yield from _bedding(work)
    over = "over the sleeves" if work.form in INNER_THREAD else "over the fasteners"
    yield Line(
        f"Then the fixture {over}, its letters A to D as on the plan, without force: no fastener is bent, hammered or "
        "filed to fit. Where it does not fit, stop and ask"
    )
    if work.clearance_hole is not None:
        yield line("Holes in the fixture at most {}; do not drill or ream them wider", work.clearance_hole)
    part = "the bolt, or the nut on its rod," if work.form in INNER_THREAD else "the nut"
    yield Line(f"Then a washer on each, then {part} by hand until all lie on it; tighten only then")


def tighten(work: Work, control: str) -> Iterator[Line]:
    """Write how it is tightened.

    Args:
        work: The work of the fixing.
        control: How the torque is controlled, as verified.

    Yields:
        The lines.
    """
    torque, driver = work.torque, work.impact_driver_torque
    if torque is not None and work.form in INNER_THREAD:
        yield line("Fasten the fixture with bolt or rod at {}, no more", torque)
        yield Line("How far the bolt is screwed in is not in the rulebook: take it from the assessment")
    elif torque is not None:
        washer = "" if work.form in RINGS else ", washer under the nut or head"
        yield line(f"Tighten to {{}} with {_wrench(control)}, in one go, clean thread{washer}", torque)
    if driver is not None:
        start = "Impact driver" if torque is None else "Or impact driver"
        yield line(f"{start}: set to no more than {{}}; stop when the head is seated", driver)
    elif torque is not None:
        yield Line("By hand with a torque wrench only: the assessment names no impact driver")
    elif not work.cast_in:
        yield Line("The assessment asks for no torque: seat the head and turn no further")
        yield Line("Not with an impact driver: the assessment names none")


def torque_read(work: Work) -> Iterator[Line]:
    """Write what a torque has to read.

    Args:
        work: The work of the fixing.

    Yields:
        The lines; none where no torque is asked for.
    """
    if work.torque is None:
        return
    least, most = torque_range(work, work.torque)
    yield line("Read the torque when it is set: at least {}, no more than {}; write it down", least, most)
    yield Line("Read later, a bolt shows less, as its pull settles; that is no reason to tighten it on")


def _wrench(control: str) -> str:
    if control == "calibrated_wrench":
        return "a calibrated torque wrench set to it"
    return "a torque wrench; the verification reckons with a torque that nobody reads"


def _bedding(work: Work) -> Iterator[Line]:
    if work.grout is not None:
        yield line(
            "Shim it up by {} of grout; the grout has hardened under the whole fixture before the torque", work.grout
        )
    if work.stand_off is not None:
        clamped = work.source.request["fixture"].get("washer_clamped")
        if clamped and not work.through_fixture:
            yield Line("First a washer and nut on each fastener, tight against the concrete")
        under = "props or shims" if work.through_fixture else "a nut and washer on each fastener, or shims beside it,"
        yield line(f"It stands {{}} clear of the concrete: {under} under it", work.stand_off)
        if clamped and work.through_fixture:
            yield Line("When its hole is drilled, each fastener gets a washer and nut tight against the concrete")
    if work.grout is None and work.stand_off is None:
        yield Line("It lies flat on the concrete over its whole face, without shims; where it rocks, stop and ask")
