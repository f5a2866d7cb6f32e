"""What was measured, what was not, and without what nothing is shown."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from types import MappingProxyType
from typing import Any

from service.contract.as_built_codes import AsBuiltRequirementCode, Measurement, ToDoCode
from service.contract.as_built_codes.measurements import fields_of, is_said
from service.contract.terms import HOLES
from service.contract.wanted import Fixture, Member, made
from service.site.as_built.model import Built, Requirement, bonded, cast_in, has_head
from service.site.as_built.plate_holes import has_holes
from service.site.as_built.screwed_in import engagement_mm
from service.site.as_built.torque import by_feel
from service.verification.fixture_holes import washer_mm
from service.verification.requirements import TIGHTENED_AGAINST_CONCRETE
from service.words import Statement, Value

TORQUE, ABORTED = (Measurement.TORQUE,), (Measurement.ABORTED_HOLES,)
GROUT = (Measurement.GROUT_STRENGTH,)
OWN_WORDS: Mapping[Measurement, ToDoCode] = MappingProxyType({
    Measurement.GROUT_STRENGTH: ToDoCode.SAY_GROUT_STRENGTH,
    Measurement.FIXTURE_HOLES: ToDoCode.SAY_FIXTURE_HOLES,
    Measurement.ABORTED_HOLES: ToDoCode.SAY_ABORTED_HOLES,
})
"""What asks for it in words of its own."""
DECISIVE: Mapping[str, tuple[tuple[Measurement, ...], ...]] = MappingProxyType({
    "bonded": (
        (Measurement.DRILLING,),
        (Measurement.HOLE_CLEANED,),
        (Measurement.WORKING_TIME,),
        (Measurement.RESIN_FILLED,),
        (Measurement.CONCRETE_TEMPERATURE,),
        (Measurement.COLDEST_UNTIL_CURED,),
        (Measurement.CURING,),
        (Measurement.HOLE_DEPTH, Measurement.SET_DEPTH),
        (Measurement.TORQUE,),
    ),
    "concrete_screw": (
        (Measurement.HEAD_SEATED,),
        (Measurement.HOLE_DEPTH, Measurement.SET_DEPTH),
        (Measurement.TORQUE,),
    ),
    "torque_controlled_expansion": ((Measurement.SET_DEPTH, Measurement.HEAD_SEATED), (Measurement.TORQUE,)),
    "deformation_controlled_expansion": (
        (Measurement.HOLE_DEPTH,),
        (Measurement.HOLE_CLEANED,),
        (Measurement.SLEEVE_EXPANDED,),
        (Measurement.SCREWED_IN,),
        (Measurement.TORQUE,),
    ),
    "undercut": ((Measurement.HOLE_DEPTH,), (Measurement.MARK_SHOWS,), (Measurement.TORQUE,)),
    "plastic_anchor": ((Measurement.HEAD_SEATED,),),
    "headed_fastener": ((Measurement.WELD_TESTED,), (Measurement.STRENGTH,)),
})
"""Without what nothing is shown, by mechanism, each as alternatives; a torque only where the assessment asks for one.

Common practice, no source: it is what the standing of each mechanism turns on and nobody can tell from outside later.
What `_met_on_site` names comes to it, whatever the mechanism.
"""


def codes_said(given: Mapping[str, Any]) -> frozenset[Measurement]:
    """Of what was something said.

    Args:
        given: What was said, without nulls.

    Returns:
        What was measured.
    """
    return frozenset(code for code in Measurement if any(is_said(given, field) for field in fields_of(code)))


def not_measured(built: Built) -> tuple[Measurement, ...]:
    """What matters to this fastener and nobody said.

    Args:
        built: The work as built.

    Returns:
        What was not measured, in the order of the list.
    """
    beside, said = set(_beside_the_point(built)), _said(built)
    return tuple(code for code in Measurement if code not in beside and code not in said)


def missing(built: Built) -> tuple[tuple[Measurement, ...], ...]:
    """Without what nothing is shown, as far as nobody said it.

    Args:
        built: The work as built.

    Returns:
        What was not measured, each as alternatives that matter to this fastener.
    """
    beside = set(_beside_the_point(built))
    if built.selection.size["setting"]["installation_torque_nm"] is None:
        beside.add(Measurement.TORQUE)
    turns_on = DECISIVE[_mechanism(built)] + tuple((code,) for code in _met_on_site(built))
    if _mechanism(built) in TIGHTENED_AGAINST_CONCRETE:
        # Off the concrete a torque that was read shows nothing of a nut that is not there; elsewhere it is beside.
        turns_on += ((Measurement.WASHER_CLAMPED,),)
    if built.rests_on_grout:
        turns_on += (GROUT,)
    wanted = (tuple(code for code in codes if code not in beside) for codes in turns_on)
    said = _said(built)
    return tuple(codes for codes in wanted if codes and said.isdisjoint(codes))


def _met_on_site(built: Built) -> Iterator[Measurement]:
    """Name what only whoever sets it meets, and of which a worse finding than was verified would be refused.

    One that is written down is held against the limits; one that is left out would pass unseen. What a drawing or a
    delivery note tells before anybody starts, as thicknesses and lengths, is not among it.

    Args:
        built: The work as built.

    Yields:
        What has to be said; some of it of this fastener and this verification alone.
    """
    yield Measurement.POSITIONS
    if _edges_verified(built.request):
        yield Measurement.EDGES
    if built.hole_size_not_told:
        yield Measurement.FIXTURE_HOLES
    if cast_in(built.selection):
        return
    yield from (Measurement.ABORTED_HOLES, Measurement.MATERIAL, Measurement.TOPPING)
    if _worse_hole_counts(built):
        yield Measurement.HOLE
    if built.masonry or built.request["member"].get("state") == "uncracked":
        yield Measurement.CRACKS


def _worse_hole_counts(built: Built) -> bool:
    """Whether a wetter hole than was verified is not assessed, or holds resin less well."""
    wettest = HOLES[-1]
    covered = built.selection.family["assessment"]["covers"]["hole_conditions"]
    taken = (built.request.get("use") or {}).get("hole")
    return bool(taken != wettest and (bonded(built.selection) or wettest not in covered))


def _edges_verified(request: Mapping[str, Any]) -> frozenset[str]:
    """The edges that a request names."""
    return frozenset(name for name, distance in (request["member"].get("edges") or {}).items() if distance is not None)


def _said(built: Built) -> AbstractSet[Measurement]:
    """What was said and is whole: every hole that was left, every edge that was verified, and how wide holes are."""
    before = (built.record.request.get("built") or {}).get("measured") or ()
    told = {name for field in fields_of(Measurement.EDGES) for name in built.given.get(field, ())}
    edges_open = Measurement.EDGES.value not in before and not _edges_verified(built.record.request) <= told
    lacking = {
        Measurement.ABORTED_HOLES: bool(built.holes_not_told),
        Measurement.EDGES: edges_open,
        Measurement.FIXTURE_HOLES: built.hole_size_not_told,
    }
    return built.found.said - {code for code, lacks in lacking.items() if lacks}


def decisive(built: Built) -> Iterator[Requirement]:
    """Say that nothing is shown without what was not measured; torque and aborted holes have words of their own.

    Args:
        built: The work as built.

    Yields:
        One requirement for each thing that was not measured.
    """
    lacking = missing(built)
    left_holes = bool(built.found.in_other_holes or built.missing or built.holes_not_told)
    for codes in lacking:
        if codes != TORQUE and not (codes == ABORTED and left_holes):
            yield _decisive(codes)
    if ABORTED in lacking and left_holes:
        yield _aborted_holes(built)


def _decisive(codes: Sequence[Measurement]) -> Requirement:
    measurement, alternative = (*codes, None)[:2]
    what: dict[str, Value] = {"measurement": measurement, "alternative": alternative}
    fields = tuple(field for code in codes for field in fields_of(code))
    alone = len(fields) == 1
    said_as: dict[str, Value] = {"field": fields[0] if alone else None, "fields": None if alone else fields}
    each = Statement(ToDoCode.MEASURE_EACH, what | said_as)
    to_do = Statement(OWN_WORDS[codes[0]]) if codes[0] in OWN_WORDS else each
    return Requirement(AsBuiltRequirementCode.DECISIVE_NOT_MEASURED, None, what, to_do=(to_do,))


def _aborted_holes(built: Built) -> Requirement:
    said = Measurement.ABORTED_HOLES in built.found.said
    numbers = {*built.holes_not_told, *(() if said else (index + 1 for index in built.found.in_other_holes))}
    figures: dict[str, Value] = {"numbers": built.named(sorted(numbers or built.missing))}
    to_do = (Statement(ToDoCode.SAY_ABORTED_HOLES),)
    return Requirement(AsBuiltRequirementCode.ABORTED_HOLES_SAID, None, figures, to_do=to_do)


def nothing(built: Built) -> Iterator[Requirement]:
    """Say that nothing was said of the work, where nothing was.

    Args:
        built: The work as built.

    Yields:
        One requirement, or none.
    """
    if built.given:
        return
    if built.found.said:
        to_do = (Statement(ToDoCode.REPORT_WHAT_IS_NEW),)
        yield Requirement(AsBuiltRequirementCode.NOTHING_NEW_REPORTED, None, to_do=to_do)
    else:
        yield Requirement(AsBuiltRequirementCode.NOTHING_MEASURED, None, to_do=(Statement(ToDoCode.MEASURE_ALL),))


def all_set(built: Built) -> Iterator[Requirement]:
    """Say which fasteners are still to be set, where some are.

    Args:
        built: The work as built.

    Yields:
        One requirement, or none.
    """
    if built.to_set:
        yield Requirement(AsBuiltRequirementCode.ALL_SET, None, {"numbers": built.named(built.to_set)})


def _mechanism(built: Built) -> str:
    return str(built.selection.family["mechanism"])


def _beside_the_point(built: Built) -> Iterator[Measurement]:
    selection = built.selection
    setting, installation = selection.size["setting"], selection.family["installation"]
    no_torque = setting["installation_torque_nm"] is None and setting["impact_driver_torque_max_nm"] is None
    if no_torque or built.bare or by_feel(built):
        yield Measurement.TORQUE_TOOL
        yield Measurement.TORQUE
    if not has_head(selection):
        yield Measurement.HEAD_SEATED
    if not installation["cleaning_steps"]:
        yield Measurement.HOLE_CLEANED
    if cast_in(selection):
        yield from (Measurement.HOLE, Measurement.HOLE_DEPTH, Measurement.DRILLING, Measurement.INSTALLER)
        yield Measurement.MATERIAL
    else:
        yield Measurement.WELD_TESTED
    if not bonded(selection):
        yield from (
            Measurement.CONCRETE_TEMPERATURE,
            Measurement.COLDEST_UNTIL_CURED,
            Measurement.CURING,
            Measurement.WORKING_TIME,
            Measurement.RESIN_FILLED,
        )
    if _mechanism(built) == "deformation_controlled_expansion":
        # It is set flush by a tool that rests on the concrete: the hole decides how deep.
        yield Measurement.SET_DEPTH
    else:
        yield Measurement.SLEEVE_EXPANDED
    if engagement_mm(selection) is None:
        yield Measurement.SCREWED_IN
    if _mechanism(built) != "undercut":
        yield Measurement.MARK_SHOWS
    if not has_holes(built.fixture, selection):
        yield Measurement.FIXTURE_HOLES
    fixture = made(Fixture, built.request["fixture"])
    if not fixture.raised:
        yield Measurement.STAND_OFF
    if not fixture.grout.thickness_mm or fixture.grout.strength_mpa is None:
        yield Measurement.GROUT_STRENGTH
    if not made(Member, built.request["member"]).counts_on_bars:
        yield Measurement.REINFORCEMENT
    if not built.fixture.counts_on_washers:
        yield Measurement.WASHER_CLAMPED
    if not washer_mm(built.fixture, selection):
        yield Measurement.WASHER_THICKNESS
    if not built.fixture.counts_on_rotation_held:
        yield Measurement.ROTATION
    if not built.fixture.counts_on_section:
        yield Measurement.ATTACHED_SECTION
