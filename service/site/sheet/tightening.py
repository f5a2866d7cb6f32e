"""Putting the fixture on, and tightening it."""

from __future__ import annotations

from collections.abc import Iterator
from enum import Enum

from service.site.sheet.content import Figure, Line, derived, line
from service.site.sheet.source import INSTALLATION
from service.site.sheet.work import HEAD_RESTS_ON_FIXTURE, INNER_THREAD, RINGS, THREAD_SHOWS, Work
from service.verification.requirements import IMPACT_DRIVER
from service.verification.selection import UNKNOWN

CALIBRATED = "calibrated_wrench"
TIGHTENING_EXPANDS = ("torque_controlled_expansion", "undercut")
"""The torque is what expands them: it is a target. To all others it is the most that they may get."""


class Tool(Enum):
    """What a fastener is tightened with: the one tool that it was verified with."""

    NONE = "none"
    HAND = "hand"
    WRENCH = "wrench"
    DRIVER = "driver"


def control_of(work: Work) -> str:
    """Say how the torque is controlled, as verified.

    Args:
        work: The work of the fixing.

    Returns:
        The value of the site condition.
    """
    return str((work.source.request.get("site") or {}).get("torque_control") or UNKNOWN)


def tool_of(work: Work) -> Tool:
    """Say what the crew tightens with.

    Args:
        work: The work of the fixing.

    Returns:
        The impact driver only where it was verified with one; a wrench where the assessment asks for a torque, as a
        reading is never worse than feeling it; else the hand.
    """
    if work.cast_in:
        return Tool.NONE
    if control_of(work) == IMPACT_DRIVER and work.impact_driver_torque is not None:
        return Tool.DRIVER
    return Tool.HAND if work.torque is None else Tool.WRENCH


def has_head(work: Work) -> bool:
    """Say whether a head has to be seated on the fixture.

    Args:
        work: The work of the fixing.

    Returns:
        True for screws, frame fixings and bolts with a head.
    """
    return work.form in HEAD_RESTS_ON_FIXTURE


def torque_range(work: Work, torque: Figure) -> tuple[Figure, Figure]:
    """Say between which readings a torque counts that expands the fastener; to all others it is the most allowed.

    Args:
        work: The work of the fixing.
        torque: Its installation torque (N·m).

    Returns:
        The lowest and the highest reading (N·m).
    """
    share = work.source.rule("torque_tolerance_share", "1", f"{INSTALLATION}#/torque/tolerance_share")
    low, high = torque.number * (1 - share.number), torque.number * (1 + share.number)
    return (
        derived("least_torque_nm", "Nm", low, "{} * (1 - {})", torque, share),
        derived("largest_torque_nm", "Nm", high, "{} * (1 + {})", torque, share),
    )


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


def filled_later(work: Work) -> bool:
    """Say whether the gap under the fixture is filled with grout once the fasteners are set.

    Args:
        work: The work of the fixing.

    Returns:
        False too where the grout only levels the concrete under a fixture that stands off.
    """
    return work.grout is not None and work.stand_off is None and not work.cast_in


def levelled(work: Work) -> Iterator[Line]:
    """Write how the concrete is levelled under a fixture that stands off.

    Args:
        work: The work of the fixing.

    Yields:
        The line, where there is such a layer.
    """
    if work.grout is not None and work.stand_off is not None and not work.cast_in:
        words = "Level the concrete with {} of grout and let it harden before anything is drilled"
        yield line(words, work.grout, code="levelling")


def grout_tools(work: Work) -> Iterator[Line]:
    """List what the gap is filled with.

    Args:
        work: The work of the fixing.

    Yields:
        The line, where a gap is filled.
    """
    if filled_later(work) and work.grout is not None:
        rings = "" if work.source.mechanism == "bonded" else "foam rings or tape to close the holes, "
        yield line(f"Steel packers or levelling screws for {{}}, {rings}boards around the fixture, grout", work.grout)


def fill_gap(work: Work) -> Iterator[Line]:
    """Write how the gap under the fixture is filled: one order, whether the fasteners went in before or after it.

    Args:
        work: The work of the fixing.

    Yields:
        The lines; common practice, no source.
    """
    if not filled_later(work) or work.grout is None:
        return
    hand = "heads lie on it" if has_head(work) else "nuts only hand-tight"
    yield Line(f"All fasteners are set, the fixture level, {hand}; nothing is tightened yet")
    if work.source.mechanism != "bonded":
        yield Line("Keep grout out of the holes: a foam ring or tape around each fastener where it enters the concrete")
    yield Line("Boards around it, dust and standing water out; pour from one side until it comes out at the other")
    yield line("{} of grout under the whole fixture, without air", work.grout)
    strength = work.grout_strength
    until = "" if strength is None else " until it has {}"
    yield line(
        f"Let it harden{until}, for as long as its maker says for the cold there is; until then nothing is tightened "
        "or loaded",
        *(() if strength is None else (strength,)),
    )
    yield Line("Then slacken the levelling screws or take the packers out and fill what they leave; it bears on grout")


def tools(work: Work) -> Iterator[Line]:
    """List what it is tightened with.

    Args:
        work: The work of the fixing.

    Yields:
        The lines: one tool, and the spanner for it.
    """
    tool = tool_of(work)
    if tool is Tool.DRIVER and work.impact_driver_torque is not None:
        yield line("Impact driver with no more than {}", work.impact_driver_torque)
    elif tool is Tool.WRENCH:
        yield Line("Torque wrench" + (", calibrated" if control_of(work) == CALIBRATED else ""))
    if work.spanner is None:
        yield from _tool_to_match(work, tool)
    elif tool is not Tool.NONE:
        kind = {Tool.DRIVER: "Impact socket", Tool.HAND: "Ratchet with socket, or spanner,"}.get(
            tool, "Spanner or socket"
        )
        yield line(f"{kind} {{}}", work.spanner)


def tighten(work: Work) -> Iterator[Line]:
    """Write how it is tightened: with the tool that it was verified with and no other.

    Args:
        work: The work of the fixing.

    Yields:
        The lines.
    """
    tool = tool_of(work)
    if filled_later(work):
        yield Line("Not before the grout under the fixture has hardened")
    if tool is Tool.DRIVER and work.impact_driver_torque is not None:
        yield line("Impact driver: set to no more than {}; stop when the head is seated", work.impact_driver_torque)
        yield Line("Not tightened on with a wrench afterwards: it was verified with the impact driver")
    elif tool is Tool.WRENCH and work.torque is not None:
        yield from _with_wrench(work, work.torque)
    elif tool is Tool.HAND:
        until = "until its head lies on the fixture, then stop" if has_head(work) else "hand-tight, and no further"
        yield Line(f"The assessment asks for no torque: by hand {until}")
    if tool in {Tool.HAND, Tool.WRENCH}:
        named = "the assessment names none" if work.impact_driver_torque is None else "it was verified without one"
        yield Line(f"No impact driver: {named}")


def tightened(work: Work) -> Iterator[Line]:
    """Write what is looked at once it is tightened.

    Args:
        work: The work of the fixing.

    Yields:
        The lines: what a torque has to read, and whether the head is seated.
    """
    if tool_of(work) is Tool.WRENCH and work.torque is not None:
        words = "Write down for each what the wrench read when it was tightened: "
        if work.source.mechanism in TIGHTENING_EXPANDS:
            yield line(words + "at least {}, no more than {}", *torque_range(work, work.torque))
        else:
            yield line(words + "no more than {}", work.torque)
        yield Line("Tried later, a bolt shows less, as its pull settles; that is no reason to tighten it on")
    if has_head(work):
        yield Line("Every head seated on the fixture without a gap, seen by someone who signs for it")


def condition(work: Work) -> Line | None:
    """Write what must be so on site of the tightening, as the verification relied on it.

    Args:
        work: The work of the fixing.

    Returns:
        The line; None where the verification relied on nothing.
    """
    control, tool = control_of(work), tool_of(work)
    if tool is Tool.DRIVER and work.impact_driver_torque is not None:
        return line("Tightened with an impact driver set to no more than {} for this size", work.impact_driver_torque)
    if control == UNKNOWN:
        return None
    if tool is Tool.HAND:
        return Line(
            "Every head seated by hand and seen by someone who signs for it"
            if has_head(work)
            else "Every fastener tightened by hand, and seen by someone who signs for it"
        )
    if control == CALIBRATED:
        return Line("Tightened with a calibrated torque wrench, and the reading written down")
    if work.torque is None:
        return None
    return line("Tightened with a torque wrench set to {}, and the torque written down", work.torque)


def _with_wrench(work: Work, torque: Figure) -> Iterator[Line]:
    if work.form in INNER_THREAD:
        yield line(f"Fasten the fixture with bolt or rod at {{}}, no more, with {_wrench(work)}", torque)
        yield Line("How far the bolt is screwed in is not in the rulebook: take it from the assessment")
        return
    washer = ", washer under the nut" if work.form in THREAD_SHOWS else ""
    on = "in one go" if work.source.mechanism in TIGHTENING_EXPANDS else "no further"
    yield line(f"Tighten to {{}} with {_wrench(work)}, {on}, clean thread{washer}", torque)


def _tool_to_match(work: Work, tool: Tool) -> Iterator[Line]:
    """What turns it, where the rulebook has no size of spanner."""
    if tool is Tool.HAND:
        yield Line("Hand tool that fits the head of its screw")
    elif tool is Tool.WRENCH:
        fits = "the ring or hook" if work.form in RINGS else "the head of the bolt, or the nut of the rod"
        yield Line(f"What fits between the torque wrench and {fits}")


def _wrench(work: Work) -> str:
    return "a calibrated torque wrench set to it" if control_of(work) == CALIBRATED else "a torque wrench set to it"


def _bedding(work: Work) -> Iterator[Line]:
    if filled_later(work) and work.grout is not None:
        yield line(
            "Steel packers or levelling screws under it, clear of the holes, so that it stands level and {} above the "
            "concrete; no grout yet",
            work.grout,
        )
    if work.stand_off is not None:
        clamped = work.washer_clamped
        if clamped and not work.through_fixture:
            yield Line("First a washer and nut on each fastener, tight against the concrete")
        under = "props or shims" if work.through_fixture else "a nut and washer on each fastener, or shims beside it,"
        yield line(f"It stands {{}} clear of the concrete: {under} under it", work.stand_off)
        if clamped and work.through_fixture:
            yield Line("When its hole is drilled, each fastener gets a washer and nut tight against the concrete")
    if work.grout is None and work.stand_off is None:
        yield Line("It lies flat on the concrete over its whole face, without shims; where it rocks, stop and ask")
