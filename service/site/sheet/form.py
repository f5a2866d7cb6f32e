"""What the crew writes down, so that others can tell later what was built."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from service.contract.as_built_codes import Measurement
from service.contract.as_built_codes.measurements import measurement_of
from service.site.sheet.content import Blank, Form
from service.site.sheet.tightening import Tool, has_head, tool_of, torque_range
from service.site.sheet.wording import Wording
from service.site.sheet.work import INNER_THREAD, Work
from service.verification.requirements import TIGHTENED_AGAINST_CONCRETE


def form_of(work: Work) -> Form:
    """List what is written down for a fixing, and is not known by now.

    Args:
        work: The work of the fixing.

    Returns:
        The form; aborted holes only where holes are drilled.
    """
    aborted = tuple(_aborted_hole(work.words)) if work.progress.to_set and not work.cast_in else ()
    return Form(tuple(_each_left(work)), tuple(_once_left(work)), aborted)


def standing_open(work: Work) -> tuple[Measurement, ...]:
    """Find what is still to be measured of fasteners that stand.

    Args:
        work: The work of the fixing.

    Returns:
        What is to be measured, in the order of the form.
    """
    standing = set(work.progress.standing)
    blanks = (blank for blank in _each_left(work) if standing.intersection(blank.numbers))
    codes = (measurement_of(blank.as_built) for blank in blanks)
    return tuple(dict.fromkeys(code for code in codes if code is not None))


def _each_left(work: Work) -> Iterator[Blank]:
    """Of each fastener what is open, and who signs for it; who set one that stands is known."""
    progress, last = work.progress, set[int]()
    for blank in _each_fastener(work):
        code = measurement_of(blank.as_built)
        numbers = progress.to_set if code is None else progress.open_for(code)
        if numbers:
            last.update(numbers)
            yield replace(blank, numbers=numbers)
    signing = tuple(number for number in progress.every if number in last)
    if signing:
        yield Blank(work.words.say("Remarks"), numbers=signing)
        yield Blank(work.words.say("Signature"), numbers=signing)


def _once_left(work: Work) -> Iterator[Blank]:
    progress = work.progress
    for blank in _once(work):
        code = measurement_of(blank.as_built)
        at_edge = code is Measurement.EDGES and work.edges_to_set
        if progress.to_set if code is None else progress.is_open(code) or at_edge:
            yield blank
    if work.fasteners > 1:
        yield Blank(work.words.say("Deviations from this sheet; if all moved alike, did the load move too?"))
    else:
        yield Blank(work.words.say("Deviations from this sheet"))
    yield Blank(work.words.say("Released for loading by, date and time"))


def _aborted_hole(words: Wording) -> Iterator[Blank]:
    say = words.say
    yield Blank(say("x (mm)"), "x_mm")
    yield Blank(say("y (mm)"), "y_mm")
    yield Blank(say("Depth (mm)"), "depth_mm")
    yield Blank(say("Diameter (mm)"), "diameter_mm")
    yield Blank(say("Filled with, on"), "refilled")
    yield Blank(say("To the nearest fastener (mm)"))


def _each_fastener(work: Work) -> Iterator[Blank]:
    say = work.words.say
    yield Blank(say("Position measured, x and y (mm)"), "positions")
    if work.cast_in:
        label = say("Length after welding, from the plate to the end of the head (mm)")
    elif work.form in INNER_THREAD:
        label = say("Length of the sleeve fitted (mm)")
    else:
        label = say("Length fitted (mm)")
    yield Blank(label, "length_mm", work.length)
    if work.cast_in:
        yield Blank(say("Weld tested by"), "weld_tested")
    else:
        yield _hole_depth(work)
        if work.source.fixing.site.value("hole_cleaning") == "stated":
            # Nobody else was verified to look: whoever cleans it signs.
            yield Blank(say("Hole cleaned by"), "hole_cleaned")
        else:
            yield Blank(say("Hole cleaned by"))
            yield Blank(say("Hole checked clean by"), "hole_cleaned")
        yield Blank(say("Set by, date and time"))
        yield from _set(work)
        yield from _tightened(work)


def _hole_depth(work: Work) -> Blank:
    """The depth of the hole: between two figures where the release says by how much it may be deeper."""
    over, label = work.head_over, work.words.say("Hole depth measured (mm)")
    if over is not None:
        label = work.words.say(
            "Hole depth measured (mm), as much deeper as the {topping} measures less than {thickness}",
            topping=over.kind,
            thickness=over.thickness,
        )
    if work.hole_most is None:
        return Blank(label, "hole_depth_mm", work.hole_depth)
    return Blank(label, "hole_depth_mm", work.hole_depth, work.hole_depth, work.hole_most)


def _set(work: Work) -> Iterator[Blank]:
    mechanism, say = work.source.mechanism, work.words.say
    if mechanism == "deformation_controlled_expansion":
        yield Blank(say("Setting tool driven in to its shoulder, seen by"), "sleeve_expanded")
    elif not has_head(work):
        # Where a head rests on the fixture, hole and seated head show the depth; its end cannot be measured.
        label = say("Set depth from the {base} surface (mm)", base=work.base)
        yield Blank(label, "nominal_embedment_mm", work.set_depth, work.set_depth, work.set_most)
    if mechanism == "undercut":
        yield Blank(say("Setting mark visible, seen by"), "mark_shows")
    if mechanism == "bonded":
        yield Blank(say("Resin squeezed out at the {base} surface when set, seen by", base=work.base), "resin_filled")
        yield Blank(say("Set within the working time, yes or no"), "set_within_working_time")
        yield Blank(say("First tightened or loaded, date and time"), "curing_minutes")


def _tightened(work: Work) -> Iterator[Blank]:
    tool, say = tool_of(work), work.words.say
    if tool is Tool.WRENCH and work.torque is not None:
        below = work.tightened_below
        both = work.washer_clamped and work.stand_off is not None and not work.through_fixture
        label = say("Torque read (N·m)")
        if below:
            label = say("Torque read at the nut on the concrete (N·m)")
        elif both:
            label = say("Torque read at the nut on the concrete and at the one outside the fixture, the higher (N·m)")
        if work.source.mechanism in TIGHTENED_AGAINST_CONCRETE:
            yield Blank(label, "torque_nm", work.torque, *torque_range(work, work.torque))
        else:
            yield Blank(label, "torque_nm", work.torque, most=work.torque)
    elif tool is Tool.DRIVER and (torque := work.impact_driver_torque) is not None:
        yield Blank(say("Impact wrench set to (N·m)"), "torque_nm", torque, most=torque)
    if work.holes_to_span:
        yield Blank(say("Washer that spans the hole in the fixture, seen by"))
    yield from _screwed_in(work)
    if has_head(work):
        yield Blank(say("Head seated, seen by"), "head_seated")
    if work.source.fixing.standing_fixture.counts_on_washers:
        yield Blank(say("Washer tight on the concrete, seen by"), "washer_clamped")


def _screwed_in(work: Work) -> Iterator[Blank]:
    """How far what is screwed into a sleeve reaches into it, by the length of a bolt or by a tape."""
    say, (least, most) = work.words.say, work.screwed_in
    if work.form not in INNER_THREAD or least is None or most is None:
        return
    shortest, longest = work.bolt_lengths
    label = say("Bolt: length under its head, its washer taken off (mm)")
    yield Blank(label, "bolt_length_mm", shortest, shortest, longest)
    yield Blank(say("Rod: screwed into the sleeve (mm)"), "screwed_in_mm", least, least, most)


def _once(work: Work) -> Iterator[Blank]:
    say = work.words.say
    yield Blank(say("Batch of the fasteners"))
    if work.bare:
        label = say("Thickness of what hangs on the rod (mm)")
    elif work.without_plate:
        label = say("Thickness of what lies under ring or hook (mm)")
    else:
        label = say("Fixture thickness (mm)")
    yield Blank(label, "fixture_thickness_mm", work.fixture_thickness)
    thickness = work.member_thickness
    yield Blank(say("Thickness of the {base} (mm)", base=work.base), "member_thickness_mm", thickness, thickness)
    if not work.cast_in:
        yield Blank(say("Aborted holes: how many, each told below; 0 where there are none"), "aborted_holes")
    if work.edges:
        yield Blank(say("From the nearest fastener to each edge, by its letter (mm)"), "nearest_edges")
    if work.source.fixing.member.counts_on_bars and not work.masonry:
        label = say("Bars found: how far apart, how thick (mm); along the edge, and its stirrups")
        yield Blank(label, "reinforcement")
    if work.source.fixing.standing_fixture.counts_on_rotation_held:
        yield Blank(say("What holds the fixture against rotation, seen by"), "rotation")
    if work.source.fixing.standing_fixture.counts_on_section:
        label = say("What stands on the fixture: shape, size x by y (mm), and whether it is where the plan has it")
        yield Blank(label, "attached_section")
    if work.stand_off is not None:
        yield Blank(say("Stand-off, clear height (mm)"), "stand_off_mm", work.stand_off)
    if work.grout is not None:
        yield Blank(say("Grout thickness (mm)"), "grout.thickness_mm", work.grout)
        if work.stand_off is None:
            yield Blank(say("Gap left under the fixture, on packers (mm); 0 where it bears all over"), "stand_off_mm")
        if work.grout_strength is not None:
            label = say("Strength that the grout had when first tightened or loaded (MPa), shown by")
            yield Blank(label, "grout.strength_mpa", work.grout_strength, work.grout_strength)
        yield Blank(say("Batch of the grout, date and time placed"))
    if work.clearance_hole is None and work.widest_hole is not None:
        label = say("Widest hole in the fixture, of slots the length (mm)")
        yield Blank(label, "fixture_hole_diameter_mm", most=work.widest_hole)
    if work.washer is not None:
        label = say("Washers over the holes in the fixture, thickness (mm)")
        yield Blank(label, "washer_thickness_mm", most=work.washer)
    if work.holes_filled:
        yield Blank(say("Gap between fasteners and fixture filled with, on, by"))
    if work.cast_in:
        yield Blank(say("Day and time of the pour"))
        label = say("Strength of the concrete when first loaded or welded on, of cylinders (MPa), shown by")
        yield Blank(label, "strength_found", work.concrete_strength, work.concrete_strength)
    else:
        yield Blank(say("Drilled with"), "drilling")
        yield Blank(say("Set by a trained installer, or supervised by"), "installer")
        yield Blank(say("Holes dry, wet or flooded when set"), "hole")
        yield Blank(say("Cracks seen nearby, yes or no"), "cracks_seen")
        yield Blank(say("What the base was found to be made of"), "material")
        yield Blank(say("What was found to lie on it, thickness (mm), taken off or not"), "topping")
        yield Blank(say("Other anchors and old holes found, where (x, y), how deep (mm), or none"), "neighbours")
    if work.source.mechanism == "bonded":
        yield Blank(say("Batch and expiry date of the resin"))
        yield Blank(say("Cartridge temperature (°C)"))
        yield Blank(say("Temperature of the {base} when set (°C)", base=work.base), "concrete_temperature_c")
        yield Blank(say("Coldest that the {base} was until cured (°C)", base=work.base), "coldest_until_cured_c")
    if tool_of(work) in {Tool.WRENCH, Tool.DRIVER}:
        yield Blank(say("Tightening tool, its number, calibrated until"), "torque_tool")
