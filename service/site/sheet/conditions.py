"""What the verification relied on and the site must make true, in words that say what to do."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from service.contract.fields import UNKNOWN
from service.contract.sheet_codes import SheetLineCode
from service.contract.terms import HOLES
from service.contract.verification_codes import (
    ASSUMPTIONS,
    CAUTIONS,
    AssumptionCode,
    CautionCode,
    RequirementCode,
    SectionProfile,
)
from service.engine.en1992_1_1 import STRENGTH_CLASSES
from service.engine.en1992_4.concrete_edge import reach_mm
from service.site.load_models.next_ones import apart_mm
from service.site.sheet import tightening
from service.site.sheet.content import Figure, Line, Tick, derived, met_in
from service.site.sheet.nearby import Nearby, nearby, told
from service.site.sheet.said import said
from service.site.sheet.source import Source
from service.site.sheet.wording import Wording
from service.site.sheet.work import RINGS, Work

SEEN = (
    "neighbours_not_given",
    "no_other_neighbours",
    "no_old_holes",
    "topping_not_given",
)
"""Assumptions about neighbours and topping that a crew can see to be so, in their own words."""
OF_A_SURFACE = ("no_old_holes", "topping_not_given")
"""Of them what needs concrete to look at: before a pour there is none."""
OTHERS_AWAY = ("neighbours_not_given", "no_other_neighbours")
"""Assumptions that say how far other anchors are away: those of the next fixing of the same kind are others too."""
CONDITIONS = (
    "rail_continuity",
    "climbing_and_leaning",
    "one_hanger_fails",
    "only_hanger_fails",
    "fork_uplift",
    "loads_along_the_pipe",
    "this_support_lifts",
    "longer_span_may_lift",
    "next_support_lifts",
    "full_for_the_test",
    "fatigue_and_vibration_not_checked",
    "starting_and_short_circuit",
    "one_eyebolt_takes_all",
    "lifting_gear_rules",
)
"""Cautions of load models that are conditions of the site: they are ticked before work, not only read at the end."""


OF_CONCRETE_STRENGTH = "strength_evidence"
"""The condition of the site that says how the strength of the concrete is known: of masonry the pulls show all."""
LEFT_TO_AN_ENGINEER = frozenset({
    CautionCode.ARRANGEMENT_NEAR_EDGE.value,
    CautionCode.CLEARANCE_HOLES_NEAR_EDGE.value,
})
"""Cautions that leave to an engineer whether the fixing may stand: nobody starts before one has signed."""


def on_site(work: Work) -> Iterator[Line]:
    """List what must be so on site; each condition says itself in which step the crew meets it.

    Args:
        work: The work of the fixing.

    Yields:
        The lines; what is no tick of a step is met before starting.
    """
    source, tell = work.source, work.words.tell
    if any(caution["code"] in LEFT_TO_AN_ENGINEER for caution in source.answer["cautions"]):
        yield tell(
            "Stop: an engineer has to decide whether this may stand. Nothing is drilled, set or loaded before. Decided "
            "that it may, by (name, date, signature): ______________________________",
            code=SheetLineCode.ENGINEER_DECIDES,
        )
    yield from _base_material(work)
    if work.on_the_concrete:
        yield _contact(work)
    yield from _fixture(work)
    yield from _grout(work)
    yield from _concrete(work)
    for index, one in enumerate(nearby(work)):
        yield told(work, one)
        if one.aborted and one.given.state == "filled_hole":
            yield _filled(work, one.name, None)
        elif one.given.may_be_loaded:
            yield from _of_other(work, one, f"#/request/neighbours/{index}")
    yield from _assumed(work)
    yield from _of_loads(work)
    site = tuple(_site(work))
    yield from site
    if not work.cast_in:
        yield met_in("resin" if source.mechanism == "bonded" else "set", _hole(work))
    else:
        line = work.words.tell(
            "Formwork, bars, plate and studs looked at before the pour by (name, date): ____________________. Studs "
            "where the plan has them, each {length} long after welding",
            length=work.length,
            code=SheetLineCode.BEFORE_POUR,
        )
        yield met_in("set", line)
    yield _exposure(source)
    if source.mechanism == "bonded":
        yield from _temperature(work)
    by_hand = tightening.tool_of(work) is tightening.Tool.HAND and "torque_control" in {line.code for line in site}
    if tightening.has_head(work) and tightening.is_open(work) and not by_hand:
        line = tell(
            "Every head seated on the fixture without a gap, seen by someone who signs for it",
            code=SheetLineCode.HEADS_SEATED,
        )
        yield met_in("check", line)
    yield met_in("check", _sound(work))


def _sound(work: Work) -> Line:
    """What is looked at once all is set and tightened."""
    tell, code = work.words.tell, SheetLineCode.SOUND
    if work.cast_in:
        return tell("Plate in position and flat, concrete around it sound and without voids", code=code)
    if work.form in RINGS:
        return tell("Ring or hook screwed home, nothing cracked or spalled, nothing turning in its hole", code=code)
    if work.bare:
        return tell(
            "Rod straight and in position, the nut below locked, nothing cracked or spalled, nothing turning in its "
            "hole",
            code=code,
        )
    return tell(
        "Fixture flat, nothing cracked or spalled, nothing turning in its hole, every fastener in position and "
        "numbered",
        code=code,
    )


def _contact(work: Work) -> Tick:
    tell = work.words.tell
    if work.cast_in:
        line = tell("Plate stiff, and bearing on the concrete over its whole face", code=SheetLineCode.FULL_CONTACT)
        return met_in("check", line)
    line = tell(
        "Fixture stiff, and flat on the {base} over its whole face, without shims; if it rocks, stop and ask",
        base=work.base,
        code=SheetLineCode.FULL_CONTACT,
    )
    return met_in(work.fixture_step, line)


def _base_material(work: Work) -> Iterator[Line]:
    source, tell = work.source, work.words.tell
    if source.answer.get("site_test") is not None:
        yield from _as_pulled(work)
    elif not work.cast_in:
        line = tell(
            "Solid ordinary concrete: where the drill meets brick, block, a hollow or anything light or soft, stop and "
            "ask",
            code=SheetLineCode.BASE_MATERIAL,
        )
        given = source.fixing.member.material is not None
        yield replace(line, from_="#/request/member/material") if given else line
    if work.topping is None:
        return
    if work.topping_left is None:
        line = tell(
            "The {topping} ({thickness}) is off under the whole fixture, down to sound {base}; nothing is marked or "
            "drilled before",
            base=work.base,
            topping=work.topping.kind,
            thickness=work.topping.thickness,
            code=SheetLineCode.TOPPING,
        )
        yield met_in("surface", line)
        return
    if work.cut_out is not None:
        line = tell(
            "The {topping} stays but where it is cut out around the holes. Measured there it is no more than "
            "{thickness} thick: it counts as a gap that carries nothing; where it is thicker, stop and ask",
            topping=work.topping.kind,
            thickness=work.topping.thickness,
            code=SheetLineCode.TOPPING,
        )
        yield met_in("mark", line)
        return
    line = tell(
        "The {topping} stays, measured in each hole and no more than {thickness} thick: it counts as a gap that "
        "carries nothing; where it is thicker, stop and ask",
        topping=work.topping.kind,
        thickness=work.topping.thickness,
        code=SheetLineCode.TOPPING,
    )
    yield met_in("drill", line)


def _as_pulled(work: Work) -> Iterator[Line]:
    """What a request does not say of the pulled ones, and their resistance rests on: where they sat, and how deep."""
    tell = work.words.tell
    yield tell(
        "The pulled ones reached as deep as these do: {depth} into the {base}. The tests tell their effective "
        "embedment, {embedment}, and not that. Said by (name): ____________________; otherwise stop and ask",
        depth=work.set_depth,
        base=work.base,
        embedment=work.embedment,
        code=SheetLineCode.PULLED_AS_DEEP,
    )
    code = SheetLineCode.PULLED_ALIKE
    if work.masonry:
        line = tell(
            "Each hole in the same kind of place as those of the pulled ones: the same kind of brick, block or stone, "
            "in it or in a joint as they sat, as far from joints, and solid or over a cavity as there. Where the bit "
            "drops or meets anything else, stop and ask",
            code=code,
        )
    else:
        line = tell(
            "Each hole in the same kind of place as those of the pulled ones: solid or over a hollow as there. Where "
            "the bit drops or meets anything else, stop and ask",
            code=code,
        )
    yield met_in("drill", line)


def _plate(work: Work) -> Iterator[Line]:
    """Its steel, and what stands on it."""
    tell = work.words.tell
    if work.source.fixing.fixture.yield_mpa is not None:
        given = work.source.given("fixture_yield_mpa", "MPa", "#/request/fixture/yield_mpa")
        yield tell(
            "Yield strength of the fixture's steel at least {strength}",
            strength=given,
            code=SheetLineCode.FIXTURE_STEEL,
        )
    elif any(one["code"] == RequirementCode.FIXTURE_SHOWN_STIFF for one in work.source.answer["requirements"]):
        yield tell("The fixture is of structural steel, S235 or stronger", code=SheetLineCode.FIXTURE_STEEL)
    section = work.source.fixing.fixture.attached_section
    if section is not None:
        place, code = "#/request/fixture/attached_section", SheetLineCode.ATTACHED_SECTION
        width = work.source.given("attached_width_mm", "mm", f"{place}/width_mm")
        depth = work.source.given("attached_depth_mm", "mm", f"{place}/depth_mm")
        yield (
            tell(
                "What stands on the fixture, dashed on the plan, is at least {width} (x) by {depth} (y) where it is "
                "joined to it",
                width=width,
                depth=depth,
                code=code,
            )
            if section.profile is None
            else tell(
                "What stands on the fixture, dashed on the plan: {profile}; it is at least {width} (x) by {depth} (y) "
                "where it is joined to it",
                profile=SectionProfile(section.profile),
                width=width,
                depth=depth,
                code=code,
            )
        )


def _fixture(work: Work) -> Iterator[Line]:
    tell = work.words.tell
    if not work.without_plate:
        yield from _plate(work)
    if work.clearance_hole is None and work.widest_hole is not None:
        line = tell(
            "Wide or slotted holes, whose size nobody told: the widest, measured before washers are ordered, ______ "
            "mm, no more than {most}: wider, stop and ask. The washer covers it all round under head or nut, as the "
            "engineer has confirmed",
            most=work.widest_hole,
            code=SheetLineCode.WIDE_HOLES,
        )
        yield met_in(work.fixture_step, line)
    if work.stand_off is not None:
        code, room = SheetLineCode.STAND_OFF, work.room_for_nuts
        line = (
            tell("Clear height under the fixture no more than {height}", height=work.stand_off, code=code)
            if room is None
            else tell(
                "Clear height under the fixture no more than {height}, and no less than {room} for the nuts in it",
                height=work.stand_off,
                room=room,
                code=code,
            )
        )
        yield met_in(work.fixture_step, line)
        if work.washer_clamped and not work.cast_in:
            line = tell(
                "A washer and nut on each fastener, tight against the concrete", code=SheetLineCode.WASHER_CLAMPED
            )
            yield met_in("tighten" if work.tightened_below else "set" if work.through_fixture else "fixture_on", line)


def _grout(work: Work) -> Iterator[Line]:
    tell, grout = work.words.tell, work.grout
    if grout is None:
        return
    step = "grout" if tightening.filled_later(work) else "set" if work.cast_in else "surface"
    if work.grout_strength is None:
        line = tell(
            "Grout, hardened, under the whole fixture: {thickness} thick; its strength was not given, so the fixture "
            "is verified as if it did not bear on it",
            thickness=grout,
            code=SheetLineCode.GROUT,
        )
        yield met_in(step, line)
    else:
        line = tell(
            "Grout, hardened, under the whole fixture: {thickness} thick, of at least {strength}",
            thickness=grout,
            strength=work.grout_strength,
            code=SheetLineCode.GROUT,
        )
        yield met_in(step, line)
        if _counts_on_weaker_concrete(work):
            yield tell(
                "Concrete no stronger than the grout ({strength}); where it is or may be stronger, ask the engineer",
                strength=work.grout_strength,
                code=SheetLineCode.CONCRETE_UNDER_GROUT,
            )


def _counts_on_weaker_concrete(work: Work) -> bool:
    """Whether grout is said to be as strong as the concrete, so that shear has no lever arm over it."""
    fixture, member = work.source.fixing.fixture, work.source.fixing.member
    known = member.strength_mpa or STRENGTH_CLASSES.get(member.strength_class or "")
    if known is None or fixture.grout.strength_mpa is None or fixture.stand_off_mm:
        return False
    return fixture.grout.strength_mpa >= max(known, member.strength_most_mpa or 0.0)


def _of_other(work: Work, one: Nearby, place: str) -> Iterator[Line]:
    """What the result takes of another anchor and nobody sees on it: how deep it is, and of which kind."""
    tell, source, given = work.words.tell, work.source, one.given
    if given.family is not None and given.size is not None:
        yield tell(
            "{name}: told to be {title}, size {size}; if what shows of it is another, stop and ask",
            name=one.name,
            title=str(source.rulebook.families[given.family]["title"]),
            size=given.size,
            from_=place,
            code=SheetLineCode.NEIGHBOUR,
        )
    if given.embedment_mm is not None:
        yield tell(
            "{name}: counted as no deeper than {depth}, its effective depth, which nobody sees on it. Shown by (name, "
            "how): ____________________; if nobody has shown it, or it is deeper, stop and ask",
            name=one.name,
            depth=source.given("neighbour_embedment_mm", "mm", f"{place}/embedment_mm"),
            code=SheetLineCode.NEIGHBOUR_DEPTH,
        )
    elif (depth := _depth_taken(source, int(place.rpartition("/")[2]) + 1)) is not None:
        yield tell(
            "{name}: nobody told how deep it is, so its effective depth was counted as {depth}; if anything shows that "
            "it may be deeper, stop and ask",
            name=one.name,
            depth=depth,
            code=SheetLineCode.NEIGHBOUR_DEPTH,
        )


def _depth_taken(source: Source, number: int) -> Figure | None:
    """How deep an anchor was taken whose depth nobody told; a record of contract version 1 has no figure."""
    for index, entry in enumerate(source.answer["assumptions"]):
        if entry["code"] == AssumptionCode.NEIGHBOUR_DEPTH_UNKNOWN and number in entry.get("figures", {}).get(
            "neighbours", ()
        ):
            return source.given("neighbour_embedment_mm", "mm", f"#/answer/assumptions/{index}/figures/embedment_mm")
    return None


def _assumed(work: Work) -> Iterator[Line]:
    """Assumptions that the crew can see to be so or not; the others make the verification no less careful."""
    for index, entry in enumerate(work.source.answer["assumptions"]):
        code, from_ = entry["code"], f"#/answer/assumptions/{index}/code"
        if code == "edges_out_of_reach":
            yield _no_edge(work, entry, f"#/answer/assumptions/{index}/figures/edge_reach_mm")
        elif code in SEEN and not (work.cast_in and code in OF_A_SURFACE):
            yield said(work.source, entry, ASSUMPTIONS, f"#/answer/assumptions/{index}")
            if code in OTHERS_AWAY and "figures" in entry:
                yield _next_one(work, entry, f"#/answer/assumptions/{index}/figures")
        elif code in {"neighbour_unloaded_to_be_shown", "old_hole_filled_to_be_shown"}:
            yield _shown_of_neighbours(work, entry, from_)
        elif code == AssumptionCode.ACCIDENTAL_TO_BE_SHOWN:
            yield said(work.source, entry, ASSUMPTIONS, f"#/answer/assumptions/{index}")
        elif code == "redundant_to_be_shown":
            yield from _shared(work, from_)
        elif code == "nobody_hurt_to_be_shown":
            yield work.words.tell(
                "Nobody could be hurt if it failed: it hangs over nobody, keeps nobody from falling and lifts nothing; "
                "otherwise stop and ask",
                from_=from_,
                code=code,
            )
        elif code == "edge_reinforcement_to_be_shown":
            yield work.words.tell(
                "Edge bar and stirrups as the reinforcement drawings show, the embedment at least 2.5 times the cover "
                "of the edge bar, as the engineer confirms",
                from_=from_,
                code=code,
            )
        elif code == "holes_filled_to_be_shown":
            line = work.words.tell(
                "The gap between each fastener and its hole in the fixture is filled", from_=from_, code=code
            )
            yield met_in("fill_holes", line)
        elif code == "rotation_held_to_be_shown":
            yield work.words.tell(
                "The fixture cannot rotate: what holds it carries the moment of that restraint, as the engineer "
                "confirms",
                from_=from_,
                code=code,
            )


def _next_one(work: Work, entry: Mapping[str, Any], place: str) -> Line:
    """How far the next fixing of the same kind has to be away: it is as deep as this one, and carries as much."""
    figures, tell = entry["figures"], work.words.tell
    name, at_edge = apart_mm(figures)
    apart = work.source.given(name, "mm", f"{place}/{name}")
    if at_edge is None:
        return tell(
            "The next fixing like this one counts as other anchors too: from its nearest anchor to the nearest one "
            "here at least {apart}, measured along side A or side B and not slanting; if it is to come nearer, stop "
            "and ask",
            apart=apart,
            code=SheetLineCode.NEXT_FIXING,
        )
    return tell(
        "The next fixing like this one counts as other anchors too: from its nearest anchor to the nearest one here at "
        "least {apart}, measured along side A or side B and not slanting, and at least {at_edge} along an edge; if it "
        "is to come nearer, stop and ask",
        apart=apart,
        at_edge=work.source.given(at_edge, "mm", f"{place}/{at_edge}"),
        code=SheetLineCode.NEXT_FIXING,
    )


def _shown_of_neighbours(work: Work, entry: Mapping[str, Any], from_: str) -> Line:
    """What was stated of neighbours, by the names that they have on the plan: bolts have numbers of their own."""
    unloaded, words = entry["code"] == "neighbour_unloaded_to_be_shown", work.words
    state = "unloaded" if unloaded else "filled_hole"
    names = words.every([one.name for one in nearby(work) if one.given.state == state])
    if unloaded:
        return words.tell(
            "{names}: carries nothing, as stated; an engineer has shown that it never will",
            names=names,
            from_=from_,
            code=entry["code"],
        )
    return _filled(work, names, from_)


def _filled(work: Work, names: str, from_: str | None) -> Line:
    return work.words.tell(
        "{names}: check that it is filled with high-strength grout and that it is hard; if not, stop and report it",
        names=names,
        from_=from_,
        code=AssumptionCode.OLD_HOLE_FILLED_TO_BE_SHOWN,
    )


def _of_loads(work: Work) -> Iterator[Line]:
    """What the loads rest on, as their load model cautions."""
    for index, entry in enumerate(work.source.answer["cautions"]):
        if entry["code"] in CONDITIONS:
            yield said(work.source, entry, CAUTIONS, f"#/answer/cautions/{index}")


def _shared(work: Work, from_: str) -> Iterator[Line]:
    """What redundancy rests on; a record of old has no more than its word, on which nothing new is built."""
    source, stated = work.source, work.source.fixing.use.redundancy
    if stated is not None and stated.bridging_shown_by is not None:
        yield work.words.tell(
            "Held at {points} points or more like this one; if one is left out or fails, stop and ask. "
            "{engineer} has shown that the others carry its share",
            points=source.given("points", "1", "#/request/use/redundancy/points"),
            engineer=stated.bridging_shown_by,
            from_=from_,
            code=SheetLineCode.REDUNDANT,
        )


def _no_edge(work: Work, entry: Mapping[str, Any], place: str) -> Line:
    """An edge that was not given is out of reach, as the answer says; one of contract version 1 has no figures."""
    source, words = work.source, work.words
    reach = source.given("edge_reach_mm", "mm", place) if "figures" in entry else _least_reach(work)
    letters = [side.letter for side in work.sides if side.to_edge is None]
    if work.masonry:
        return words.tell(
            "Towards {sides}: no end, corner or opening of the wall, no movement joint and no crack within {reach} of "
            "any fastener; otherwise stop and ask. Joints between bricks or stones are ticked where it is drilled",
            sides=words.every([words.say("side {letter}", letter=letter) for letter in letters]),
            reach=reach,
            code=AssumptionCode.EDGES_OUT_OF_REACH,
        )
    if len(letters) == 1:
        return words.tell(
            "Side {side}: no edge, joint or opening within {reach} of any fastener; otherwise stop and ask",
            side=letters[0],
            reach=reach,
            code=AssumptionCode.EDGES_OUT_OF_REACH,
        )
    return words.tell(
        "Sides {sides}: no edge, joint or opening within {reach} of any fastener; otherwise stop and ask",
        sides=", ".join(letters),
        reach=reach,
        code=AssumptionCode.EDGES_OUT_OF_REACH,
    )


def _least_reach(work: Work) -> Figure:
    """Where no edge is checked if none is nearer."""
    source = work.source
    diameter = source.rule("nominal_diameter_mm", "mm", source.selection.size_path("geometry", "nominal_diameter_mm"))
    value = reach_mm(work.embedment.number, diameter.number)
    return derived("edge_reach_mm", "mm", value, "max(10 * {}, 60 * {})", work.embedment, diameter)


def _site(work: Work) -> Iterator[Line]:
    source = work.source
    for index, part in enumerate(source.answer["site_reduction"]["parts"]):
        condition, value = str(part["condition"]), str(part["value"])
        if part["rule"] is None or value == UNKNOWN or (work.masonry and condition == OF_CONCRETE_STRENGTH):
            continue
        from_ = f"#/answer/site_reduction/parts/{index}/value"
        if condition == "torque_control" and tightening.never_by_feel(work):
            yield work.words.tell(
                "A calibrated torque wrench is at hand: never tighten it by feel. Without one, stop and ask",
                code=SheetLineCode.WRENCH_AT_HAND,
            )
        line = tightening.condition(work) if condition == "torque_control" else _condition(source, condition, value)
        if line is not None and work.cast_in and condition == OF_CONCRETE_STRENGTH:
            yield met_in("pour", replace(line, from_=from_, code=condition))
        elif line is not None:
            yield replace(line, from_=from_, code=condition)


def _condition(source: Source, condition: str, value: str) -> Line:
    """Say a site condition; one that the company has added is shown by its title and value, as in a form."""
    tell = source.words.tell
    known = {
        ("strength_evidence", "documented"): tell(
            "Test results of the concrete as placed, or of cores taken beside the fixing, are at hand"
        ),
        ("strength_evidence", "rebound_hammer"): tell("The concrete has been tested with a rebound hammer"),
        ("strength_evidence", "drawings_only"): tell("The strength of the concrete is stated on the drawings"),
        ("hole_cleaning", "verified"): met_in(
            "clean", tell("A second person looks into each hole after cleaning and signs for it")
        ),
        ("hole_cleaning", "stated"): met_in("clean", tell("Whoever cleans the holes signs for it")),
        ("installer", "trained"): tell("Set by an installer trained for this kind of fastener and on the site's list"),
        ("installer", "supervised"): met_in(
            "set", tell("Set under supervision of someone trained for this kind of fastener")
        ),
        ("drilling", "hammer"): met_in("drill", tell("Holes drilled with a hammer drill and by no other method")),
        ("drilling", "hollow_bit"): met_in(
            "drill", tell("Holes drilled with a hollow bit and vacuum cleaner and by no other method")
        ),
        ("drilling", "diamond_core"): met_in(
            "drill", tell("Holes drilled with a diamond core drill and by no other method")
        ),
    }
    if (condition, value) in known:
        return known[condition, value]
    title = str(source.read(f"factors/site-conditions#/conditions/{condition}/title"))
    return tell("{condition}: {value}", condition=title, value=value.replace("_", " "))


def _temperature(work: Work) -> Iterator[Line]:
    source, value = work.source, work.temperature_range
    if value is None:
        return
    path = f"factors/temperature-ranges#/ranges/{value}"
    long = source.rule("long_term_max_c", "°C", f"{path}/long_term_max_c")
    short = source.rule("short_term_max_c", "°C", f"{path}/short_term_max_c")
    if source.taken("temperature_range", UNKNOWN) == UNKNOWN:
        yield source.words.tell(
            "The {base} in service never warmer than {long} for long or {short} for a short time (temperature range "
            "{range} of the assessment). It was not known: find out before drilling",
            base=work.base,
            long=long,
            short=short,
            range=value,
            code=SheetLineCode.TEMPERATURE_RANGE,
        )
    else:
        yield source.words.tell(
            "The {base} in service never warmer than {long} for long or {short} for a short time (temperature range "
            "{range} of the assessment)",
            base=work.base,
            long=long,
            short=short,
            range=value,
            code=SheetLineCode.TEMPERATURE_RANGE,
        )


def _concrete(work: Work) -> Iterator[Line]:
    member, tell = work.source.fixing.member, work.words.tell
    thickness = tell(
        "Thickness of the {base} at least {thickness}",
        base=work.base,
        thickness=work.member_thickness,
        code=SheetLineCode.MEMBER_THICKNESS,
    )
    if work.masonry:
        yield tell(
            "Masonry without cracks: a cracked wall is not covered; at a crack stop and ask", code=SheetLineCode.STATE
        )
        yield thickness
        return
    strength, code = work.concrete_strength, SheetLineCode.STRENGTH
    if strength is not None:
        if member.strength_mpa is not None:
            line = tell("Cylinder strength of the concrete at least {strength}", strength=strength, code=code)
        else:
            line = tell("Strength class of the concrete at least {strength}", strength=strength, code=code)
        yield met_in("pour", line) if work.cast_in else line
    if not (work.cast_in and work.state == "cracked"):
        # Whoever casts a plate in has no cracks to look at, and those to come are reckoned with.
        yield _state(work)
    yield thickness
    yield from _reinforcement(work)


def _state(work: Work) -> Line:
    tell, assumed = work.words.tell, work.source.fixing.member.state is None
    if work.state == "cracked":
        line = tell(
            "Verified for cracked concrete: hairline cracks do not stop the work; at open or wet cracks stop and ask",
            code=SheetLineCode.STATE,
        )
    elif work.cast_in:
        line = tell(
            "An engineer has shown that the concrete stays uncracked over its service life (name): ______________",
            code=SheetLineCode.STATE,
        )
    elif assumed:
        line = tell(
            "Uncracked concrete, shown for the service life: a crack near a hole stops the work. It was not known: "
            "find out before drilling",
            code=SheetLineCode.STATE,
        )
    else:
        line = tell(
            "Uncracked concrete, shown for the service life: a crack near a hole stops the work",
            code=SheetLineCode.STATE,
        )
    return line if assumed else replace(line, from_="#/request/member/state")


def _reinforcement(work: Work) -> Iterator[Line]:
    bars = work.source.fixing.member.reinforcement
    if bars is None:
        return
    path, tell, code = "#/request/member/reinforcement", work.words.tell, SheetLineCode.REINFORCEMENT
    if bars.spacing_mm is not None:
        spacing = work.source.given("reinforcement_spacing_mm", "mm", f"{path}/spacing_mm")
        # Bars farther apart hold cracks less, and such as stand closer weaken the cover.
        line = (
            tell("Reinforcement at {spacing} centres, no more and no less", spacing=spacing, code=code)
            if bars.cracks_held_to_0_3_mm
            else tell("Reinforcement at {spacing} centres or more", spacing=spacing, code=code)
        )
        # Nobody sees it before the detector; in the formwork everybody does.
        yield line if work.cast_in else met_in("scan", line)
    if bars.edge != "none":
        line = tell("A bar along the edge, as the reinforcement drawings show", code=SheetLineCode.EDGE_BAR)
        yield replace(line, from_=f"{path}/edge")
    if bars.edge == "edge_bar_with_stirrups" and bars.stirrup_spacing_mm is not None:
        stirrups = work.source.given("stirrup_spacing_mm", "mm", f"{path}/stirrup_spacing_mm")
        yield tell("Stirrups around it at {spacing} centres or less", spacing=stirrups, code=SheetLineCode.STIRRUPS)
    if bars.cracks_held_to_0_3_mm:
        line = tell(
            "Reinforcement that limits cracks to 0.3 mm, as the engineer of the structure confirms",
            code=SheetLineCode.CRACKS_HELD,
        )
        yield replace(line, from_=f"{path}/cracks_held_to_0_3_mm")


def _hole(work: Work) -> Line:
    """The conditions that the result covers: never so that the worst of them reads as an order."""
    taken, given, words = work.hole_condition, work.source.taken("hole", UNKNOWN), work.words
    covered = work.source.selection.family["assessment"]["covers"]["hole_conditions"]
    may = [name for name in HOLES[: HOLES.index(taken) + 1] if name in covered or name == taken]
    never = [name for name in HOLES if name not in may]
    index = work.source.requirement("hole_covered")
    from_ = f"#/answer/requirements/{index}/given" if given == UNKNOWN else "#/request/use/hole"
    named = wetness(words)
    allowed = words.either([named[name] for name in may])
    if not never:
        return words.tell(
            "Hole {allowed} when the fastener is set", allowed=allowed, from_=from_, code=SheetLineCode.HOLE
        )
    barred = words.either([named[name] for name in never])
    if taken == "dry":
        return words.tell(
            "Hole {allowed} when the fastener is set, not {barred}: otherwise stop and ask",
            allowed=allowed,
            barred=barred,
            from_=from_,
            code=SheetLineCode.HOLE,
        )
    return words.tell(
        "Hole {allowed} when the fastener is set, not {barred}: stop if water stands in it",
        allowed=allowed,
        barred=barred,
        from_=from_,
        code=SheetLineCode.HOLE,
    )


def wetness(words: Wording) -> dict[str, str]:
    """Name the conditions of a hole.

    Args:
        words: The words of the crew.

    Returns:
        The name of each condition.
    """
    return {"dry": words.say("dry"), "wet": words.say("wet"), "flooded": words.say("flooded")}


def _title(source: Source, exposure: str) -> str:
    return str(source.rulebook.factors["exposures"]["exposures"][exposure]["title"])


def _exposure(source: Source) -> Line:
    given, tell = str(source.taken("exposure", UNKNOWN)), source.words.tell
    if given != UNKNOWN:
        title = _title(source, given)
        return tell(
            "Surroundings no harsher than: {exposure}",
            exposure=title,
            from_="#/request/use/exposure",
            code=SheetLineCode.EXPOSURE,
        )
    path = "rulebook#/unknown/exposure"
    title = _title(source, str(source.read(path)))
    return tell(
        "Surroundings not known, so taken as: {exposure}", exposure=title, rule=path, code=SheetLineCode.EXPOSURE
    )
