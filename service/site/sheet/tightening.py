"""Putting the fixture on, and tightening it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from enum import Enum
from typing import Any

from service.contract.as_built_codes import Measurement
from service.contract.fields import UNKNOWN
from service.contract.sheet_codes import SheetLineCode
from service.site.sheet.content import Figure, Line, Tick, derived, met_in
from service.site.sheet.source import INSTALLATION
from service.site.sheet.work import HEAD_RESTS_ON_FIXTURE, INNER_THREAD, RINGS, THREAD_SHOWS, Work
from service.verification.requirements import BY_FEEL, IMPACT_DRIVER, TIGHTENED_AGAINST_CONCRETE, left_to_feel

CALIBRATED = "calibrated_wrench"

CROSSWISE_FROM = 4
"""So many fasteners are tightened crosswise, so that the fixture is drawn down evenly; common practice, no source."""


class Tool(Enum):
    """What a fastener is tightened with: the one tool that it was verified with."""

    NONE = "none"
    HAND = "hand"
    FEEL = "feel"
    WRENCH = "wrench"
    DRIVER = "driver"


def control_of(work: Work) -> str:
    """Say how the torque is controlled, as verified.

    Args:
        work: The work of the fixing.

    Returns:
        The value of the site condition.
    """
    return work.source.fixing.site.value("torque_control")


def answered_by_feel(request: Mapping[str, Any], mechanism: str) -> bool:
    """Say whether a request answered that it is tightened by feel, so that no torque is read: the result counts that.

    Args:
        request: The request of a fixing.
        mechanism: What makes its fasteners hold.

    Returns:
        False too where an as-built check found it so: nobody had ordered that.
    """
    found = (request.get("built") or {}).get("measured") or ()
    control = (request.get("site") or {}).get("torque_control")
    return left_to_feel(mechanism, control) and Measurement.TORQUE_TOOL.value not in found


def tool_of(work: Work) -> Tool:
    """Say what the crew tightens with.

    Args:
        work: The work of the fixing.

    Returns:
        The impact wrench only where it was verified with one; a wrench where the assessment asks for a torque, unless
        by feel was answered and will do; else the hand. Nothing where nothing is clamped.
    """
    if work.cast_in or work.bare:
        return Tool.NONE
    if control_of(work) == IMPACT_DRIVER and work.impact_driver_torque is not None:
        return Tool.DRIVER
    if work.torque is None:
        return Tool.HAND
    return Tool.FEEL if answered_by_feel(work.source.request, work.source.mechanism) else Tool.WRENCH


def never_by_feel(work: Work) -> bool:
    """Say whether by feel was answered for what its torque expands or seats: a wrench has to be found all the same.

    Args:
        work: The work of the fixing.

    Returns:
        False too where no wrench is used.
    """
    return control_of(work) == BY_FEEL and tool_of(work) is Tool.WRENCH


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
    tell = work.words.tell
    yield tell("Put the fixture on the marks, its letters A to D as on the plan, and prop or clamp it there")
    yield from _bedding(work)
    yield from _clearance(work)
    if work.holes_filled:
        yield tell("Each fastener gets its filling washer under head or nut before it is driven in")


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
    tell, sleeve = work.words.tell, work.form in INNER_THREAD
    if bonded:
        yield tell("Not before the curing time is over")
    if work.cut_out is not None:
        yield tell("Make good what was cut out of the {topping}, flush with it", topping=work.cut_out.kind)
    if work.form in RINGS:
        yield tell(
            "Screw the ring or hook off again. Whatever goes under it, {thickness} thick, goes on before it is screwed "
            "down",
            thickness=work.clamped,
        )
        return
    if work.bare:
        yield tell(
            "Screw on what hangs from the rod, {thickness} thick, with a washer and nut below it: hand-tight, as "
            "nothing is clamped",
            thickness=work.fixture_thickness,
        )
        if work.second_nut:
            yield tell("Lock that nut with a second one, tightened against it while a spanner holds the first")
        else:
            yield tell(
                "Lock that nut with the thread-locking adhesive, as its data sheet says for the steel of the rod: the "
                "thread has no room for a second nut"
            )
        yield tell("It hangs straight and pulls in line with the rod; nothing presses, levers or pushes it aside")
        return
    yield from _bedding(work)
    if sleeve:
        yield tell(
            "Put the fixture over the sleeves, its letters A to D as on the plan, without force: no fastener is bent, "
            "hammered or filed to fit. If it does not fit, stop and ask"
        )
    else:
        yield tell(
            "Put the fixture over the fasteners, its letters A to D as on the plan, without force: no fastener is "
            "bent, hammered or filed to fit. If it does not fit, stop and ask"
        )
    yield from _clearance(work)
    if sleeve:
        yield tell(
            "Then a washer and bolt, or a washer and nut on the rod, on each by hand until all bear on the fixture; "
            "tighten only then"
        )
        if work.holes_filled:
            yield tell("Where a washer is named, it is the filling washer")
    elif work.tightened_below:
        yield tell(
            "Then a washer and nut on each, tightened against the nut between concrete and fixture, which a second "
            "spanner holds: snug, or with the torque that the assessment gives for it, and the nut on the concrete "
            "must not turn"
        )
    elif work.holes_filled:
        yield tell(
            "Then the filling washer and the nut on each by hand until all bear on the fixture; tighten only then"
        )
    else:
        yield tell("Then a washer and the nut on each by hand until all bear on the fixture; tighten only then")


def fill_holes(work: Work) -> Iterator[Line]:
    """Write how the gap between each fastener and its hole in the fixture is filled, where it was verified so.

    Args:
        work: The work of the fixing.

    Yields:
        The lines; common practice, no source.
    """
    if not work.holes_filled:
        return
    tell = work.words.tell
    yield tell(
        "Through the filling washer press mortar into the gap around each fastener until it comes out; only the washer "
        "and the mortar that the assessment names"
    )
    yield tell("No mortar into a gap that is wet, dirty or already loaded: stop and ask")
    yield tell("Load nothing until it has hardened, as long as its data sheet says at the temperature on site")


def filled_later(work: Work) -> bool:
    """Say whether the gap under the fixture is filled with grout once the fasteners are set.

    Args:
        work: The work of the fixing.

    Returns:
        False too where the grout only levels the concrete under a fixture that stands off.
    """
    return work.grout is not None and work.stand_off is None and not work.cast_in


def is_open(work: Work) -> bool:
    """Say whether something is still to be tightened: what is to be set, and what stands where nobody read a torque.

    Args:
        work: The work of the fixing.

    Returns:
        False where all stand, and were tightened or need no more than a hand.
    """
    if tool_of(work) is Tool.NONE:
        return bool(work.progress.to_set)
    return bool(_left(work))


def grout_is_open(work: Work) -> bool:
    """Say whether grout is still to be placed: nothing is tightened before it has hardened.

    Args:
        work: The work of the fixing.

    Returns:
        False where there is none, or all that stands on it is tightened or its thickness was measured.
    """
    return work.grout is not None and is_open(work) and not work.progress.measured(Measurement.STAND_OFF)


def levelled(work: Work) -> Iterator[Line]:
    """Write how the concrete is levelled under a fixture that stands off.

    Args:
        work: The work of the fixing.

    Yields:
        The line, where there is such a layer.
    """
    if work.grout is not None and work.stand_off is not None and not work.cast_in:
        yield work.words.tell(
            "Level the concrete with {thickness} of grout and let it harden before anything is drilled",
            thickness=work.grout,
            code=SheetLineCode.LEVELLING,
        )


def grout_tools(work: Work) -> Iterator[Line]:
    """List what the gap is filled with.

    Args:
        work: The work of the fixing.

    Yields:
        The line, where a gap is filled.
    """
    if not filled_later(work) or work.grout is None:
        return
    if work.source.mechanism == "bonded":
        yield work.words.tell(
            "Steel packers or levelling screws for {thickness}, boards around the fixture, grout", thickness=work.grout
        )
    else:
        yield work.words.tell(
            "Steel packers or levelling screws for {thickness}, foam rings or tape to seal the holes, boards around "
            "the fixture, grout",
            thickness=work.grout,
        )


def fill_gap(work: Work) -> Iterator[Line]:
    """Write how the gap under the fixture is filled: one order, whether the fasteners went in before or after it.

    Args:
        work: The work of the fixing.

    Yields:
        The lines; common practice, no source.
    """
    if not filled_later(work) or work.grout is None:
        return
    tell, strength = work.words.tell, work.grout_strength
    if has_head(work):
        yield tell("All fasteners are set, the fixture level, heads bearing on it; nothing is tightened yet")
    else:
        yield tell("All fasteners are set, the fixture level, nuts only hand-tight; nothing is tightened yet")
    if work.source.mechanism != "bonded":
        yield tell("Keep grout out of the holes: a foam ring or tape around each fastener where it enters the concrete")
    yield tell("Concrete under it rough and clean, wetted as the grout's data sheet says, standing water out")
    yield tell("Boards around it; pour from one side until it comes out at the other, without air")
    if strength is None:
        yield tell(
            "Let it harden for as long as its maker's data sheet says at the temperature on site; until then nothing "
            "is tightened or loaded"
        )
    else:
        yield tell(
            "Let it harden until it has {strength}, for as long as its maker's data sheet says at the temperature on "
            "site; until then nothing is tightened or loaded",
            strength=strength,
        )
    yield tell(
        "Then slacken the levelling screws or take the packers out and fill the gaps they leave, so that the fixture "
        "bears on grout; what fills them hardens as long before anything is tightened"
    )


def tools(work: Work) -> Iterator[Line]:
    """List what it is tightened with.

    Args:
        work: The work of the fixing.

    Yields:
        The lines: one tool, and the spanner for it.
    """
    tool, tell = tool_of(work), work.words.tell
    if tool is Tool.DRIVER and work.impact_driver_torque is not None:
        yield tell("Impact wrench that can be set to no more than {torque}", torque=work.impact_driver_torque)
    elif tool is Tool.WRENCH and (control_of(work) == CALIBRATED or never_by_feel(work)):
        yield tell("Calibrated torque wrench")
    elif tool is Tool.WRENCH:
        yield tell("Torque wrench")
    if work.second_nut and work.spanner is not None:
        yield tell("Two spanners {size}, for one nut against the other", size=work.spanner)
    elif work.spanner is None:
        yield from _tool_to_match(work, tool)
    elif tool is Tool.WRENCH and work.tightened_below:
        yield tell(
            "Deep socket {size} for the torque wrench, long enough to go over the thread down to the concrete",
            size=work.spanner,
        )
        yield tell("Two spanners {size} for the nuts at the fixture", size=work.spanner)
    elif tool is Tool.DRIVER:
        yield tell("Impact socket {size}", size=work.spanner)
    elif tool in {Tool.HAND, Tool.FEEL}:
        yield tell("Ratchet with socket, or spanner, {size}", size=work.spanner)
    elif tool is Tool.WRENCH:
        yield tell("Socket {size} for the torque wrench", size=work.spanner)


def tighten(work: Work) -> Iterator[Line]:
    """Write how it is tightened: with the tool that it was verified with and no other.

    Args:
        work: The work of the fixing.

    Yields:
        The lines.
    """
    tool, tell, left = tool_of(work), work.words.tell, _left(work)
    if left != work.progress.every:
        yield Line(
            work.words.count(
                "Only fastener {numbers}: the others are tightened by now",
                "Only fasteners {numbers}: the others are tightened by now",
                len(left),
                numbers=", ".join(map(str, left)),
            )
        )
    if work.tightened_below:
        yield tell(
            "Before the fixture goes on, a washer and nut on each fastener, down onto the concrete: that nut is the "
            "one that is tightened, and its torque expands the fastener"
        )
    if filled_later(work):
        yield tell("Not before the grout under the fixture has hardened")
    if tool is Tool.DRIVER and work.impact_driver_torque is not None:
        yield tell(
            "Impact wrench: set to no more than {torque}; stop when the head is seated",
            torque=work.impact_driver_torque,
        )
        yield tell("Do not tighten further with a hand wrench: the fixing was verified with the impact wrench alone")
    elif tool is Tool.WRENCH and work.torque is not None:
        yield from _with_wrench(work, work.torque)
    elif tool is Tool.FEEL and work.torque is not None:
        # A long spanner gives a small thread twice the most that it may have; common practice, no source.
        yield tell(
            "Tighten by feel, lightly, with one hand and nothing that lengthens the tool: no more than {torque}",
            torque=work.torque,
        )
        yield from _thread(work)
    elif tool is Tool.HAND and has_head(work):
        yield tell("The assessment gives no torque: tighten by hand until the head bears on the fixture, then stop")
    elif tool is Tool.HAND:
        yield tell("The assessment gives no torque: hand-tight and no further")
    if len(left) >= CROSSWISE_FROM and tool is not Tool.NONE and not work.tightened_below:
        yield tell("Crosswise: after each one the one opposite it")
    if tool in {Tool.HAND, Tool.FEEL, Tool.WRENCH}:
        if work.impact_driver_torque is None:
            yield tell("No impact wrench: the assessment gives no figure for one")
        else:
            yield tell("No impact wrench: the fixing was verified without one")


def _left(work: Work) -> tuple[int, ...]:
    """The fasteners that are still to be tightened; what needs no torque is tight once it is set."""
    match tool_of(work):
        case Tool.NONE:
            return work.progress.every
        case Tool.HAND | Tool.FEEL:
            return work.progress.every if work.progress.loosened else work.progress.to_set
    return work.progress.open_for(Measurement.TORQUE)


def tightened(work: Work) -> Iterator[Line]:
    """Write what a torque shows once it is tightened.

    Args:
        work: The work of the fixing.

    Yields:
        The line, where a torque is read.
    """
    if tool_of(work) is Tool.WRENCH:
        yield work.words.tell(
            "Once all are tightened, a torque read later is lower as preload relaxes; do not retighten"
        )


def _read(work: Work, torque: Figure) -> Line:
    tell = work.words.tell
    if work.source.mechanism in TIGHTENED_AGAINST_CONCRETE:
        least, most = torque_range(work, torque)
        return tell(
            "Write down the torque read at each fastener while tightening: at least {least}, no more than {most}",
            least=least,
            most=most,
        )
    return tell("Write down the torque read at each fastener while tightening: no more than {most}", most=torque)


def condition(work: Work) -> Tick | None:
    """Write what must be so on site of the tightening, as the verification relied on it.

    Args:
        work: The work of the fixing.

    Returns:
        The line, met when it is tightened; None where the verification relied on nothing.
    """
    line = _condition(work)
    return None if line is None else met_in("tighten", line)


def _condition(work: Work) -> Line | None:
    control, tool, tell = control_of(work), tool_of(work), work.words.tell
    if work.bare:
        return None
    if tool is Tool.DRIVER and work.impact_driver_torque is not None:
        return tell(
            "Tightened with an impact wrench set to no more than {torque} for this size",
            torque=work.impact_driver_torque,
        )
    if control == UNKNOWN:
        return None
    if tool is Tool.HAND:
        if has_head(work):
            return tell("Every head seated by hand, seen by someone who signs for it")
        return tell("Every fastener tightened by hand, seen by someone who signs for it")
    if tool is Tool.FEEL and work.torque is not None:
        return tell(
            "Each one tightened by feel, as it was counted, and seen by someone who signs for it. Nothing shows that "
            "later: a torque wrench set to {torque} would be better",
            torque=work.torque,
        )
    if control == CALIBRATED:
        return tell("Tightened with a calibrated torque wrench, and the reading written down")
    if work.torque is None:
        return None
    return tell("Tightened with a torque wrench set to {torque}, and the torque written down", torque=work.torque)


def _with_wrench(work: Work, torque: Figure) -> Iterator[Line]:
    tell, without = work.words.tell, never_by_feel(work)
    calibrated = control_of(work) == CALIBRATED or without
    if without:
        yield tell("Without a calibrated torque wrench nothing is tightened: stop and ask")
    if work.form in INNER_THREAD:
        if calibrated:
            yield tell(
                "Tighten bolt or nut to {torque} and no further, with a calibrated torque wrench set to it",
                torque=torque,
            )
        else:
            yield tell("Tighten bolt or nut to {torque} and no further, with a torque wrench set to it", torque=torque)
        yield _read(work, torque)
        yield from _thread(work)
        return
    if work.source.mechanism in TIGHTENED_AGAINST_CONCRETE:
        if calibrated:
            yield tell("Tighten to {torque} in one go, with a calibrated torque wrench set to it", torque=torque)
        else:
            yield tell("Tighten to {torque} in one go, with a torque wrench set to it", torque=torque)
    elif calibrated:
        yield tell("Tighten to {torque} and no further, with a calibrated torque wrench set to it", torque=torque)
    else:
        yield tell("Tighten to {torque} and no further, with a torque wrench set to it", torque=torque)
    yield _read(work, torque)
    yield from _thread(work)


def _thread(work: Work) -> Iterator[Line]:
    if work.form in INNER_THREAD:
        yield _screwed_in(work)
    elif work.form in THREAD_SHOWS:
        yield work.words.tell("Thread clean, washer under the nut")
    else:
        yield work.words.tell("Thread clean")


def _screwed_in(work: Work) -> Line:
    """How far a bolt goes into its sleeve: too short strips the thread, too long drives the plug or meets the end."""
    tell, (least, most) = work.words.tell, work.screwed_in
    if least is None or most is None:
        return tell("How far the bolt is screwed in is not in the rulebook: take it from the assessment")
    return tell("Bolt or rod screwed {least} to {most} into the sleeve", least=least, most=most)


def _tool_to_match(work: Work, tool: Tool) -> Iterator[Line]:
    """What turns it, where the rulebook has no size of spanner."""
    tell = work.words.tell
    if tool is Tool.HAND:
        yield tell("Hand tool that fits the screw's head")
    elif tool is Tool.FEEL and work.form in RINGS:
        yield tell("Bar that turns the ring or hook")
    elif tool is Tool.FEEL:
        yield tell("Spanner that fits the bolt's head, or the nut on the rod")
    elif tool is Tool.WRENCH and work.form in RINGS:
        yield tell("Adaptor for turning the ring or hook with the torque wrench")
    elif tool is Tool.WRENCH:
        yield tell("Socket for the torque wrench that fits the bolt's head, or the nut on the rod")


def _clearance(work: Work) -> Iterator[Line]:
    if work.clearance_hole is not None:
        yield work.words.tell(
            "Holes in the fixture no more than Ø{diameter}; do not drill or ream them wider",
            diameter=work.clearance_hole,
        )
    if work.holes_to_span and work.washer is not None:
        yield work.words.tell(
            "Under each nut or head the washer that spans these holes, no thicker than {washer}, as the engineer names "
            "it; without it, or with a common one, nothing is tightened",
            washer=work.washer,
        )


def _bedding(work: Work) -> Iterator[Line]:
    tell, clamped = work.words.tell, work.washer_clamped
    if filled_later(work) and work.grout is not None:
        yield tell(
            "Steel packers or levelling screws under it, clear of the holes, so that it stands level and {height} "
            "above the concrete; no grout yet",
            height=work.grout,
        )
    if work.stand_off is not None and work.through_fixture:
        yield tell("It stands {height} clear of the concrete, on props or shims", height=work.stand_off)
        if clamped:
            yield tell("Once its hole is drilled, each fastener gets a washer and nut tight against the concrete")
    elif work.stand_off is not None and work.tightened_below:
        yield tell(
            "Not before the nut on the concrete has its torque on each fastener: no socket reaches it later. Then a "
            "nut and washer on each between concrete and fixture, so that it stands {height} clear of the concrete",
            height=work.stand_off,
        )
    elif work.stand_off is not None:
        if clamped and work.torque is not None:
            # To what its torque does not expand, that is a most: at either nut.
            yield tell(
                "First a washer and nut on each fastener, tightened against the concrete as the nuts at the fixture "
                "are: no more than {torque}",
                torque=work.torque,
            )
        elif clamped:
            yield tell("First a washer and nut on each fastener, tight against the concrete")
        if work.lies_on_nuts:
            yield tell(
                "It stands {height} clear of the concrete, on a nut and washer on each fastener or on shims beside "
                "them",
                height=work.stand_off,
            )
        else:
            yield tell(
                "It stands {height} clear of the concrete, on shims beside the fasteners: no nut has room under it",
                height=work.stand_off,
            )
