"""Holding the work as built against the record: verdict, figures, and what to do."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from service.contract import as_built as contract
from service.contract.as_built_codes import (
    AsBuiltCautionCode,
    AsBuiltRequirementCode,
    FoundBy,
    LoadAt,
    Measurement,
    ToDoCode,
)
from service.contract.as_built_codes.measurements import fields_of
from service.contract.verification_codes import requirement_code
from service.contract.wanted import PulledFastener, made
from service.contract.writing import writer
from service.rulebook import Rulebook
from service.site.as_built.apart import MEASURED_AGAIN_MM, same_hole
from service.site.as_built.base import drilled_as_ordered, wall_cracked
from service.site.as_built.depth import depth, more_resin_ml, replace_shallow
from service.site.as_built.expanded import expanded, weld
from service.site.as_built.found import found_of
from service.site.as_built.hole import aborted, cleaning, resin, used_again
from service.site.as_built.measured import all_set, decisive, missing, not_measured, nothing
from service.site.as_built.model import (
    NOT_SHOWN,
    NOT_VERIFIED,
    VERIFIED,
    Built,
    Record,
    Requirement,
    numbers_standing,
    without_nulls,
)
from service.site.as_built.numbering import by_place, check_by_record, requirement_by_record
from service.site.as_built.otherwise import attached_elsewhere, outlines
from service.site.as_built.request import EVIDENCE, strength_verified
from service.site.as_built.screwed_in import screwed_in
from service.site.as_built.set_depth import below_tip_mm, looks_nominal
from service.site.as_built.shifted import FIELD, load_moved, readings, shift_of
from service.site.as_built.standing import as_it_stands, hole_diameter, of_standing
from service.site.as_built.to_do import Checked, to_do
from service.site.as_built.torque import below_asked, felt, first_tightening, torque
from service.site.as_built.under_fixture import bearings, bears, rests_on_grout
from service.site.holes.depth_windows import tolerances_of
from service.verification import verify
from service.verification.selection import Selection, select
from service.verification.statements import shown_caution
from service.words import Statement, Value


@dataclass(frozen=True, slots=True)
class Change:
    """A field of the request that is not as it was."""

    pointer: str
    verified: Any
    as_built: Any


@dataclass(frozen=True, slots=True)
class NotMeasured:
    """What nobody measured, and whether nothing is shown without it."""

    code: Measurement
    decisive: bool

    @property
    def statement(self) -> Statement:
        """What is said of it."""
        return Statement(self.code)

    @property
    def fields(self) -> tuple[str, ...]:
        """The fields that say it."""
        return fields_of(self.code)

    @property
    def asks(self) -> ToDoCode:
        """What is to be done about it, which says how much it matters and to whom."""
        return ToDoCode.MEASURE_EACH if self.decisive else ToDoCode.TAKEN_AS_VERIFIED


def check(
    record: Record,
    as_built: Mapping[str, Any],
    request: Mapping[str, Any],
    rulebook: Rulebook,
    now: Mapping[str, Any] | None = None,
) -> dict[str, Any]:
    """Hold the work as built against the record that it was verified by.

    Args:
        record: The record, found to be true.
        as_built: What was really done; what is left out is as it was verified, and listed as not measured.
        request: The request for the work as built, of `new_request`.
        rulebook: The rulebook of the record, with what is suspended today.
        now: What the record's request comes to today, None where that is not asked.

    Returns:
        Verdict, utilisation before and after, what is broken now, what was not measured, what to do, and the new
        record; no record unless it verifies as built.

    Raises:
        RefusedRequest: What is said of the work does not fit the record.
    """
    given = by_place(record.request, without_nulls(as_built))
    standing = as_it_stands(record, given, rulebook)
    verified, selection = _selected(standing.request, rulebook), _selected(request, rulebook)
    found_by_now = found_of(standing, given, verified)
    stood = [standing.request["positions"][number - 1] for number in numbers_standing(standing.request, given)]
    shift = shift_of(given, stood, request["positions"], request["fixture"], selection)
    ways = (
        way
        for one in readings(request, given, shift)
        for other in outlines(one, standing.request)
        for way in bearings(other, standing.request, given)
    )
    request, answer = max(((one, verify(one, rulebook)) for one in ways), key=_badness)
    on_grout = answer["verdict"] == VERIFIED and rests_on_grout(request, found_by_now, rulebook)
    tolerances = tolerances_of(rulebook)
    built = Built(standing, given, found_by_now, request, verified, selection, tolerances, shift, on_grout)
    extra = tuple(_requirements(built, answer, rulebook))
    # Beside work that no resistance is assessed for no figure may stand.
    no_figure = any(entry.decisive and entry.met is False for entry in extra)
    verdict = _verdict(answer["verdict"], extra)
    goes_on = verdict == NOT_SHOWN and bool(built.to_set) and all(_may_stay_open(entry) for entry in extra)
    found = Checked(
        verdict=verdict,
        to_set=built.named(built.to_set),
        goes_on=goes_on,
        open=tuple(entry for entry in extra if not entry.met),
        unmet=tuple(entry for entry in answer["requirements"] if not entry["met"]),
        over=() if no_figure else tuple(one for one in answer["checks"] if one["utilisation"] > 1),
        not_measured=not_measured(built),
        decisive=frozenset(code for codes in missing(built) for code in codes),
        answer=answer,
        replace=replace_shallow(built, rulebook),
    )
    run_out, numbers = tuple(_run_out(record, now)), built.named(built.numbers)
    fitted = {**record.request["fastener"], "length_mm": record.answer["fastener"]["length_mm"]}
    return {
        "verdict": verdict,
        "verdict_before": record.answer["verdict"],
        "utilisation_before": _utilisation(record.answer),
        "utilisation_after": None if no_figure else _utilisation(answer),
        "changes": [asdict(change) for change in _changes({**record.request, "fastener": fitted}, request)],
        "as_built_requirements": [writer(contract.AsBuiltRequirement)(entry) for entry in extra],
        "not_measured": [
            writer(contract.NotMeasured)(NotMeasured(code, code in found.decisive)) for code in found.not_measured
        ],
        "unmet_requirements": [requirement_by_record(entry, numbers) for entry in found.unmet],
        "run_out_requirements": list(run_out),
        "checks_over": [check_by_record(one, numbers) for one in found.over],
        "scope_limits": answer["scope_limits"],
        "cautions": [shown_caution(caution) for caution in _cautions(built, answer, rulebook, run_out)],
        "to_do": [writer(contract.ToDo)(one) for one in to_do(found)],
        "came_from_record": record.answer["record"]["id"],
        # Whoever holds a record may build on it: none stands for work that does not pass, or is not shown to. Who is
        # still to set some needs the one by which they are set.
        "record": {"request": request, "answer": answer} if verdict == VERIFIED or goes_on else None,
        "suspensions": list(answer.get("suspensions") or ()),
        "rulebook": answer["rulebook"],
    }


def _verdict(of_verification: str, extra: Sequence[Requirement]) -> str:
    if of_verification != VERIFIED:
        return of_verification
    if any(entry.met is False for entry in extra):
        return NOT_VERIFIED
    return NOT_SHOWN if any(entry.met is None for entry in extra) else VERIFIED


def _may_stay_open(entry: Requirement) -> bool:
    """Whether the rest of the work can go on where it is not met: what can be measured as well once all are set."""
    return entry.met is True or (entry.met is None and entry.code in _MEASURED_LATER)


_MEASURED_LATER = frozenset({
    AsBuiltRequirementCode.ALL_SET,
    AsBuiltRequirementCode.DECISIVE_NOT_MEASURED,
    AsBuiltRequirementCode.TORQUE_NOT_READ,
    AsBuiltRequirementCode.CURING_TIME,
})


def _badness(read: tuple[Mapping[str, Any], Mapping[str, Any]]) -> tuple[bool, float, float]:
    """How unfavourable the answer to a reading of a request is."""
    _, answer = read
    utilisation = _utilisation(answer)
    plate = answer["plate"]
    of_plate = plate["stress_ratio"], plate["deformation_mm"] and plate["deformation_mm"] / plate["deformation_max_mm"]
    worst = max(used or 0.0 for used in of_plate)
    return answer["verdict"] != VERIFIED, math.inf if utilisation is None else utilisation, worst


def _utilisation(answer: Mapping[str, Any]) -> float | None:
    governing = answer["governing"]
    return None if governing is None else governing["utilisation"]


def _selected(request: Mapping[str, Any], rulebook: Rulebook) -> Selection:
    return select(made(PulledFastener, request["fastener"]), rulebook)


def _changes(before: Any, after: Any, place: str = "#") -> Iterator[Change]:
    if isinstance(before, Mapping) and isinstance(after, Mapping):
        for name in dict.fromkeys([*before, *after]):
            if name not in {"came_from_record", "built"}:
                yield from _changes(before.get(name), after.get(name), f"{place}/{name}")
    elif isinstance(before, list) and isinstance(after, list) and len(before) == len(after):
        for index, pair in enumerate(zip(before, after, strict=True)):
            yield from _changes(*pair, f"{place}/{index}")
    elif before != after:
        yield Change(place, before, after)


def _requirements(built: Built, answer: Mapping[str, Any], rulebook: Rulebook) -> Iterator[Requirement]:
    yield from nothing(built)
    yield from all_set(built)
    yield from decisive(built)
    yield from hole_diameter(built, rulebook)
    yield from torque(built, rulebook)
    yield from depth(built)
    yield from expanded(built)
    yield from screwed_in(built)
    yield from cleaning(built)
    yield from drilled_as_ordered(built)
    yield from wall_cracked(built)
    yield from weld(built)
    yield from resin(built)
    yield from used_again(built)
    yield from aborted(built, answer, rulebook)
    yield from bears(built)
    yield from attached_elsewhere(built)
    if "strength_found" in built.given:
        yield _strength(built, rulebook)


def _strength(built: Built, rulebook: Rulebook) -> Requirement:
    found, verified = built.given["strength_found"], strength_verified(built.record.request, rulebook)
    evidence = EVIDENCE[found["found_by"]]
    taken = min(float(found["strength_mpa"]), verified)
    figures: dict[str, Value] = {
        "taken_mpa": taken,
        "found_mpa": found["strength_mpa"],
        "verified_mpa": verified,
        "found_by": FoundBy(found["found_by"]),
    }
    rule = f"factors/site-conditions#/conditions/strength_evidence/values/{evidence}/factor"
    return Requirement(AsBuiltRequirementCode.STRENGTH_SHOWN, True, figures, rule)


def _cautions(
    built: Built, answer: Mapping[str, Any], rulebook: Rulebook, run_out: Sequence[Mapping[str, Any]]
) -> Iterator[Statement]:
    yield from of_standing(built, answer)
    yield from _of_depth(built)
    yield from below_asked(built, rulebook)
    yield from first_tightening(built)
    yield from felt(built)
    yield from _old_holes(built)
    yield from _moved_aside(built)
    for entry in run_out:
        day = built.record.request["assessed_on"]
        yield Statement(AsBuiltCautionCode.RUN_OUT_SINCE, {"requirement": requirement_code(entry["code"]), "day": day})
    found = built.given.get("strength_found")
    verified = strength_verified(built.record.request, rulebook)
    if found is not None and float(found["strength_mpa"]) > verified:
        figures: dict[str, Value] = {"found_mpa": found["strength_mpa"], "verified_mpa": verified}
        yield Statement(AsBuiltCautionCode.STRENGTH_NOT_RAISED, figures)


def _moved_aside(built: Built) -> Iterator[Statement]:
    """Say where the load was taken to act, as the fixture stands aside and nobody said."""
    if math.hypot(*built.shift_mm) > MEASURED_AGAIN_MM and FIELD not in built.given:
        stayed = load_moved(built.request) == load_moved(built.record.request)
        x_mm, y_mm = built.shift_mm
        figures: dict[str, Value] = {"x_mm": x_mm, "y_mm": y_mm, "load": LoadAt.STAYED if stayed else LoadAt.MOVED}
        yield Statement(AsBuiltCautionCode.FIXTURE_MOVED, figures)


def _old_holes(built: Built) -> Iterator[Statement]:
    """Name the holes that fasteners of an earlier check have left."""
    if not built.record.request.get("built"):
        return
    stand, holes = built.request["positions"], built.found.values.get("aborted_holes", ())
    for number in built.numbers:
        place = built.record.request["positions"][number - 1]
        if not any(same_hole(place, other, built.verified) for other in (*stand, *holes)):
            [named] = built.named([number])
            figures = {"number": named, "x_mm": place["x_mm"], "y_mm": place["y_mm"]}
            yield Statement(AsBuiltCautionCode.OLD_HOLE_LEFT, figures)


def _run_out(record: Record, now: Mapping[str, Any] | None) -> Iterator[Mapping[str, Any]]:
    """What of the record no longer holds today; what is set stays judged by its own day."""
    if now is None:
        return
    met = {entry["code"] for entry in record.answer["requirements"] if entry["met"]}
    yield from (entry for entry in now["requirements"] if not entry["met"] and entry["code"] in met)


def _of_depth(built: Built) -> Iterator[Statement]:
    if looks_nominal(built.verified, built.given):
        figures = {"embedment_mm": built.given["embedment_mm"], "below_tip_mm": below_tip_mm(built.verified)}
        yield Statement(AsBuiltCautionCode.EMBEDMENT_LOOKS_NOMINAL, figures)
    more = more_resin_ml(built)
    if more is not None:
        deeper, millilitres = more
        resin: dict[str, Value] = {"deeper_mm": deeper, "resin_ml": millilitres}
        yield Statement(AsBuiltCautionCode.DEEPER_HOLE_MORE_RESIN, resin)
