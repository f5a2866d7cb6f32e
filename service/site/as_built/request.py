"""The request for the work as built; it names the record that it came from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from copy import deepcopy
from types import MappingProxyType
from typing import Any

from service.contract.as_built_codes import Measurement
from service.contract.as_built_codes.measurements import fields_of
from service.contract.fields import UNKNOWN
from service.contract.recorded import asked_today
from service.contract.terms import MOST_NEIGHBOURS
from service.contract.wanted import Fixture, Member, Neighbour, PulledFastener, made
from service.rulebook import Rulebook
from service.site.as_built.apart import MEASURED_AGAIN_MM, apart_mm, same_hole
from service.site.as_built.depth import assessed_embedment, reached_mm
from service.site.as_built.found import found_of, kept
from service.site.as_built.lengths import fitted_mm
from service.site.as_built.model import (
    FoundOnSite,
    Record,
    bonded,
    cast_in,
    has_head,
    numbers_standing,
    still_felt,
    without_nulls,
)
from service.site.as_built.numbering import by_place, numbers_of
from service.site.as_built.otherwise import put_otherwise
from service.site.as_built.places import out_of_place
from service.site.as_built.plate_holes import taken_as_oversize
from service.site.as_built.screwed_in import has_inner_thread
from service.site.as_built.shifted import put_aside, shift_of
from service.site.as_built.standing import as_it_stands
from service.site.holes.depth_windows import Tolerances, tolerances_of
from service.site.holes.loosened import loosened
from service.verification.assumptions import Assumptions
from service.verification.assumptions import strength as assumed_strength
from service.verification.neighbours import check_named
from service.verification.refusal import Refusal, RefusedRequest
from service.verification.requirements import IMPACT_DRIVER
from service.verification.selection import Selection, select
from service.verification.site_reduction import names_torque

EVIDENCE: Mapping[str, str] = MappingProxyType({
    "rebound": "rebound_hammer",
    "cores": "documented",
    "specimens": "documented",
})
SITE: Mapping[str, str] = MappingProxyType({
    "torque_tool": "torque_control",
    "drilling": "drilling",
    "installer": "installer",
})
"""Site conditions that were found, by the field that says them."""
OF_RESIN = (
    "concrete_temperature_c",
    "coldest_until_cured_c",
    "curing_minutes",
    "set_within_working_time",
    "resin_filled",
)
CARRIES = ("loaded", UNKNOWN)
"""States in which a neighbour takes concrete."""
PLACE = "#/as_built"
COLD = ("concrete_temperature_c", "coldest_until_cured_c")
LEAST_EMBEDMENT_MM = 10
"""The least that a request may name; what was reached below it is less than any that is assessed all the same."""


def new_request(record: Record, as_built: Mapping[str, Any], rulebook: Rulebook) -> dict[str, Any]:
    """Write the request for the work as built.

    Args:
        record: The record, found to be true.
        as_built: What was really done; what is left out is as it was verified.
        rulebook: The rulebook of the record.

    Returns:
        A verification request.

    Raises:
        RefusedRequest: What is said of the work does not fit the record.
    """
    given = by_place(record.request, without_nulls(as_built))
    record = as_it_stands(record, given, rulebook)
    selection = select(made(PulledFastener, record.request["fastener"]), rulebook)
    found = found_of(record, given, selection)
    before = {} if record.ordered is not None else without_nulls(record.request.get("built") or {})
    refusals = [
        *_out_of_place(selection, given, PLACE),
        *_out_of_place(selection, before, f"{record.place}/built"),
        *_torque_without_sense(record, selection, given),
        *_colder(found),
    ]
    if refusals:
        raise RefusedRequest(*refusals)
    request: dict[str, Any] = deepcopy(asked_today(record.request))
    request["came_from_record"] = record.answer["record"]["id"]
    numbers, named = numbers_standing(record.request, given), numbers_of(record.request)
    places = _positions(record.request["positions"], given)
    request["positions"] = [places[number - 1] for number in numbers]
    # What hangs on the wall was settled when it was bought: another length or article is never chosen silently.
    request["fastener"]["length_mm"], other_lengths = fitted_mm(record, given)
    standing = [named[number - 1] for number in numbers]
    stood = [record.request["positions"][number - 1] for number in numbers]
    _put_around(request, given)
    put_otherwise(request, given)
    _put_under(request, given)
    fixture = made(Fixture, request["fixture"])
    if taken_as_oversize(given, stood, request["positions"], fixture, selection, record.made_for_mm):
        request["fixture"]["clearance"] = "oversize"
    put_aside(request, shift_of(given, stood, request["positions"], request["fixture"], selection))
    _put_neighbours(request, given, rulebook)
    _put_depth(request, record, found, selection, tolerances_of(rulebook))
    _put_coldest(request, found, selection)
    if "strength_found" in given:
        _put_strength(request, given["strength_found"], rulebook)
    site = {name: given[field] for field, name in SITE.items() if field in given}
    before, now = (request.get("site") or {}).get("torque_control", UNKNOWN), site.get("torque_control")
    # No impact wrench that the sheet forbids is a gain, and no wrench over what was found tightened by feel.
    held = now == IMPACT_DRIVER or still_felt(record, found, numbers)
    if now is not None and held and _is_gain(now, before, selection, rulebook):
        del site["torque_control"]
        anew = now != IMPACT_DRIVER and loosened(record.request, selection)
        if not anew and request.get("built", {}).get("measured"):
            # What an impact wrench was set to, or another one showed later, is no torque of how it was tightened.
            request["built"].pop("torque_nm", None)
            request["built"]["measured"] = [one for one in request["built"]["measured"] if one != Measurement.TORQUE]
    if site:
        request["site"] = {**(request.get("site") or {}), **site}
    kept_ones: dict[str, Any] = {
        "load_moved": (record.request.get("built") or {}).get("load_moved"),
        "missing_numbers": _missing(record.request, standing),
        "to_set_numbers": [named[place - 1] for place in given.get("to_set_numbers", ())],
        "moved_from": list(_moved_from(record.request, request["positions"], standing, selection)),
        "other_lengths": [
            {"number": named[place - 1], "length_mm": length} for place, length in sorted(other_lengths.items())
        ],
    }
    if any(kept_ones.values()):
        request["built"] = {**(request.get("built") or {}), **{name: ones for name, ones in kept_ones.items() if ones}}
    refusals = list(out_of_place(given, request, numbers, standing))
    if refusals:
        raise RefusedRequest(*refusals)
    return request


def _is_gain(now: str, before: str, selection: Selection, rulebook: Rulebook) -> bool:
    """Whether a way of tightening counts more than another one does for a fastener."""
    values = rulebook.factors["site-conditions"]["conditions"]["torque_control"]["values"]

    def factor(control: str) -> float:
        counted = control if names_torque(selection.size) else values[control].get("without_torque", control)
        return float(values[counted]["factor"])

    return factor(now) > factor(before)


def _put_depth(
    request: dict[str, Any], record: Record, found: FoundOnSite, selection: Selection, tolerances: Tolerances
) -> None:
    verified = float(record.request["fastener"]["embedment_mm"])
    reached = reached_mm(selection, found, request, tolerances)
    if reached is not None:
        counts = assessed_embedment(selection, min(reached, verified), tolerances)
        request["fastener"]["embedment_mm"] = max(counts, LEAST_EMBEDMENT_MM)
    measured = found.values.get("embedment_mm", reached if reached is not None and reached < verified else None)
    built = kept(found, None if measured is None else max(measured, LEAST_EMBEDMENT_MM))
    request.pop("built", None)
    if built:
        request["built"] = built


def _missing(before: Mapping[str, Any], standing: Sequence[int]) -> list[int]:
    """Which fasteners of the first sheet are not there, so that the others keep their numbers."""
    numbered = (*numbers_of(before), *((before.get("built") or {}).get("missing_numbers") or ()))
    return sorted(set(numbered) - set(standing))


def _moved_from(
    before: Mapping[str, Any],
    positions: Sequence[Mapping[str, float]],
    standing: Sequence[int],
    selection: Selection,
) -> Iterator[dict[str, Any]]:
    """Where those were first verified that stand in another hole, or are to."""
    first = dict(zip(numbers_of(before), before["positions"], strict=True))
    first |= {one["number"]: one for one in (before.get("built") or {}).get("moved_from") or ()}
    for number, place in zip(standing, positions, strict=True):
        if not same_hole(first[number], place, selection):
            yield {"number": number, "x_mm": first[number]["x_mm"], "y_mm": first[number]["y_mm"]}


def _put_coldest(request: dict[str, Any], found: FoundOnSite, selection: Selection) -> None:
    """Take the coldest that was said of the concrete, when the resin was set or until it had cured."""
    said = [float(found.values[name]) for name in COLD if found.values.get(name) is not None]
    if bonded(selection) and said:
        request["use"] = {**(request.get("use") or {}), "coldest_until_cured_c": min(said)}


def _put_around(request: dict[str, Any], given: Mapping[str, Any]) -> None:
    fixture, member = request["fixture"], request["member"]
    if "fixture_thickness_mm" in given:
        fixture["thickness_mm"] = given["fixture_thickness_mm"]
    if "washer_thickness_mm" in given:
        fixture["washer_thickness_mm"] = given["washer_thickness_mm"]
    if "stand_off_mm" in given:
        fixture["stand_off_mm"] = given["stand_off_mm"]
    if "grout" in given:
        fixture["grout"] = {**(fixture.get("grout") or {}), **given["grout"]}
    if "member_thickness_mm" in given:
        member["thickness_mm"] = given["member_thickness_mm"]
    if "edges" in given:
        member["edges"] = {**(member.get("edges") or {}), **given["edges"]}
    if "nearest_edges" in given:
        member["edges"] = {**(member.get("edges") or {}), **_from_origin(request["positions"], given["nearest_edges"])}
    if given.get("cracks_seen"):
        member["state"] = "cracked"
    if "hole" in given:
        request["use"] = {**(request.get("use") or {}), "hole": given["hole"]}


def _put_under(request: dict[str, Any], given: Mapping[str, Any]) -> None:
    """Take what was found of the holes in the fixture, and of what lies under it."""
    fixture, member = request["fixture"], request["member"]
    if "clearance" in given:
        fixture["clearance"] = given["clearance"]
    if "fixture_hole_diameter_mm" in given:
        fixture["hole_diameter_mm"] = given["fixture_hole_diameter_mm"]
    _put_material(request, given)
    if "topping" in given:
        member["topping"] = given["topping"]
    elif given.get("bare_concrete") and member.get("topping"):
        member["topping"] = {**member["topping"], "comes_off": True}
    if made(Member, member).topping_left_mm > 0:
        if fixture.get("thickness_mm") is None:
            words = "must be given where a topping stays under the fixture"
            raise RefusedRequest(Refusal(f"{PLACE}/fixture_thickness_mm", "required", words, {"fields": ["topping"]}))
        fixture["washer_clamped"] = False
    under = made(Fixture, fixture)
    if under.stand_off_mm > 0.0 and under.grout.thickness_mm > 0.0:
        # A washer that lies on it, as on a topping, clamps nothing to the concrete.
        fixture["washer_clamped"] = False


def _put_material(request: dict[str, Any], given: Mapping[str, Any]) -> None:
    """Take the base material as found, unless it is better than the one that was verified.

    Pulls show the material that was pulled: there each material that can be named counts, and one that cannot leaves
    that of the record.
    """
    found, member = given.get("material"), request["member"]
    if found is None:
        return
    pulled = request.get("site_test") is not None
    if found != UNKNOWN if pulled else made(Member, member).of_the_method:
        member["material"] = found


def _put_neighbours(request: dict[str, Any], given: Mapping[str, Any], rulebook: Rulebook) -> None:
    """Add the neighbours that were seen to those that were named; none is forgotten."""
    if "neighbours" not in given:
        return
    seen = [dict(neighbour) for neighbour in given["neighbours"]]
    check_named(tuple(made(Neighbour, neighbour) for neighbour in seen), rulebook, f"{PLACE}/neighbours")
    before = request.get("neighbours") or ()
    seen = [_no_better(newer, before) for newer in seen]
    kept_ones = [one for one in before if not any(apart_mm(one, newer) <= MEASURED_AGAIN_MM for newer in seen)]
    if len(kept_ones) + len(seen) > MOST_NEIGHBOURS:
        words = f"must come to at most {MOST_NEIGHBOURS} with those of the record"
        raise RefusedRequest(Refusal(f"{PLACE}/neighbours", "too_many", words, {"most": MOST_NEIGHBOURS}))
    request["neighbours"] = [*kept_ones, *seen]


def _no_better(newer: dict[str, Any], before: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    """A fastener that was taken to carry something still does: that it never will takes more than a look at it."""
    there = [one for one in before if apart_mm(one, newer) <= MEASURED_AGAIN_MM]
    carries = any((one.get("state") or UNKNOWN) in CARRIES for one in there)
    return {**newer, "state": UNKNOWN} if carries and newer.get("state") == "unloaded" else newer


def _from_origin(positions: Sequence[Mapping[str, float]], nearest: Mapping[str, float]) -> dict[str, float]:
    """Turn distances of the nearest fastener to each edge into distances of the origin to it."""
    edges = {}
    for name, distance in nearest.items():
        along = [float(place[f"{name[0]}_mm"]) for place in positions]
        edges[name] = distance - min(along) if name.endswith("minus_mm") else distance + max(along)
    return edges


def strength_verified(request: Mapping[str, Any], rulebook: Rulebook) -> float:
    """The strength that a verification reckons with.

    Args:
        request: Its request.
        rulebook: Its rulebook, which says what unknown costs.

    Returns:
        f_ck (MPa).
    """
    covers = rulebook.families[request["fastener"]["family"]]["assessment"]["covers"]
    return assumed_strength(made(Member, request["member"]), rulebook, Assumptions(), covers).f_ck_mpa


def _out_of_place(selection: Selection, given: Mapping[str, Any], place: str) -> Iterator[Refusal]:
    """Find what cannot be so of the fastener, in what is said now as in what earlier checks are said to have found."""
    family = selection.family
    if selection.row is None:
        for name in ("hole_depth_mm", "nominal_embedment_mm"):
            if name in given:
                words = "the embedment of the record is not assessed, so this tells nothing: give embedment_mm"
                yield Refusal(f"{place}/{name}", "conflict", words)
    elif "hole_depth_mm" in given and selection.row["depth"]["hole_mm"] is None:
        words = "nothing is drilled for this fastener: give nominal_embedment_mm"
        yield Refusal(f"{place}/hole_depth_mm", "conflict", words)
    if cast_in(selection):
        for name in ("hole_cleaned", "hole_diameter_mm", "drilling"):
            if name in given:
                yield Refusal(f"{place}/{name}", "conflict", "nothing is drilled for this fastener: leave it out")
    if "head_seated" in given and not has_head(selection):
        words = "this fastener has no head that rests on the fixture: leave it out"
        yield Refusal(f"{place}/head_seated", "conflict", words)
    if "sleeve_expanded" in given and family["mechanism"] != "deformation_controlled_expansion":
        words = "only a drop-in is expanded by a setting tool: leave it out"
        yield Refusal(f"{place}/sleeve_expanded", "conflict", words)
    for name in fields_of(Measurement.SCREWED_IN):
        if name in given and not has_inner_thread(selection):
            yield Refusal(f"{place}/{name}", "conflict", "this fastener has no inner thread: leave it out")
    if "weld_tested" in given and not cast_in(selection):
        words = "only studs are welded to their plate: leave it out"
        yield Refusal(f"{place}/weld_tested", "conflict", words)
    if "mark_shows" in given and family["mechanism"] != "undercut":
        words = "only an undercut fastener shows by a mark that it is expanded: leave it out"
        yield Refusal(f"{place}/mark_shows", "conflict", words)
    if not bonded(selection):
        for name in OF_RESIN:
            if name in given:
                yield Refusal(f"{place}/{name}", "conflict", "this fastener is set without resin: leave it out")


def _torque_without_sense(record: Record, selection: Selection, given: Mapping[str, Any]) -> Iterator[Refusal]:
    if "torque_nm" not in given:
        return
    setting = selection.size["setting"]
    if setting["installation_torque_nm"] is None and setting["impact_driver_torque_max_nm"] is None:
        words = "the assessment asks for no torque, so a reading shows nothing: leave it out"
        yield Refusal("#/as_built/torque_nm", "conflict", words)
    elif given.get("torque_tool") == "by_feel":
        words = "by feel nobody reads a torque: leave torque_nm out, or say under torque_tool what it was read with"
        yield Refusal("#/as_built/torque_nm", "conflict", words)
    elif "torque_tool" not in given and (record.request.get("site") or {}).get("torque_control") == "by_feel":
        words = "the record says tightened by feel, which reads no torque: say under torque_tool what it was read with"
        yield Refusal("#/as_built/torque_nm", "conflict", words)


def _colder(found: FoundOnSite) -> Iterator[Refusal]:
    setting, coldest = found.values.get("concrete_temperature_c"), found.values.get("coldest_until_cured_c")
    if setting is not None and coldest is not None and coldest > setting:
        words = f"the coldest until cured can't be above the {setting:g} °C at setting, which counts too"
        yield Refusal("#/as_built/coldest_until_cured_c", "conflict", words)


def _positions(verified: Sequence[Mapping[str, float]], given: Mapping[str, Any]) -> list[dict[str, float]]:
    if len(given.get("missing_numbers", ())) == len(verified):
        words = "every fastener is said to be missing: nothing holds, and nothing is left to verify"
        raise RefusedRequest(Refusal("#/as_built/missing_numbers", "wrong_count", words, {"count": len(verified)}))
    if len({*given.get("missing_numbers", ()), *given.get("to_set_numbers", ())}) == len(verified):
        words = "must leave one that stands: where none is set yet, change the request and have it verified anew"
        raise RefusedRequest(Refusal("#/as_built/to_set_numbers", "wrong_count", words, {"count": len(verified)}))
    if "positions" in given:
        if len(given["positions"]) != len(verified):
            words = f"must list every fastener, {len(verified)} of them; for some of them use moved"
            raise RefusedRequest(Refusal("#/as_built/positions", "wrong_count", words, {"count": len(verified)}))
        return [dict(place) for place in given["positions"]]
    positions = [dict(place) for place in verified]
    for moved in given.get("moved", ()):
        positions[moved["number"] - 1] = {"x_mm": moved["x_mm"], "y_mm": moved["y_mm"]}
    return positions


def _put_strength(request: dict[str, Any], found: Mapping[str, Any], rulebook: Rulebook) -> None:
    """Take the lower strength and the less favourable evidence: a single figure is no assessment of a structure."""
    if found["strength_mpa"] < strength_verified(request, rulebook):
        request["member"]["strength_mpa"] = found["strength_mpa"]
        request["member"]["strength_class"] = None
    elif (request["fixture"].get("grout") or {}).get("thickness_mm"):
        # Nothing is gained by stronger concrete, but over grout that is weaker shear has a lever arm.
        most = request["member"].get("strength_most_mpa") or 0.0
        request["member"]["strength_most_mpa"] = max(found["strength_mpa"], most)
    values = rulebook.factors["site-conditions"]["conditions"]["strength_evidence"]["values"]
    before = (request.get("site") or {}).get("strength_evidence") or UNKNOWN
    evidence = min((before, EVIDENCE[found["found_by"]]), key=lambda value: float(values[value]["factor"]))
    request["site"] = {**(request.get("site") or {}), "strength_evidence": evidence}
