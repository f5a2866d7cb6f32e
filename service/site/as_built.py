"""As built: what was really done, held against what was verified."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass
from typing import Any

from service.rulebook import Rulebook
from service.site.sheet.source import INSTALLATION
from service.verification import verify
from service.verification.answer import rounded
from service.verification.assumptions import Assumptions
from service.verification.assumptions import strength as assumed_strength
from service.verification.refusal import Refusal, RefusedRequest
from service.verification.selection import Selection, select

TOLERANCE = 1e-9
EDGES = ("x_minus_mm", "x_plus_mm", "y_minus_mm", "y_plus_mm")
EVIDENCE = {"rebound": "rebound_hammer", "cores": "documented"}
TOOLS = ("calibrated_wrench", "impact_driver_set", "by_feel")
TIGHTENS_ITSELF = ("torque_controlled_expansion", "undercut")


@dataclass(frozen=True, slots=True)
class Record:
    """A record that was found to be true: its request with day and version resolved, and its answer."""

    request: Mapping[str, Any]
    answer: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Requirement:
    """What the work as built has to keep beside the verification: met or not, and what to do."""

    code: str
    met: bool
    detail: str
    given: float | str | None
    limit: float | str | None
    unit: str | None
    rule: str | None
    to_do: str | None = None


@dataclass(frozen=True, slots=True)
class Change:
    """A field of the request that is not as it was."""

    pointer: str
    verified: Any
    as_built: Any


def check(
    record: Record, as_built: Mapping[str, Any], request: Mapping[str, Any], rulebook: Rulebook
) -> dict[str, Any]:
    """Hold the work as built against the record that it was verified by.

    Args:
        record: The record, found to be true.
        as_built: What was really done; what is left out is as it was verified.
        request: The request for the work as built, of `new_request`.
        rulebook: The rulebook of the record, with what is suspended today.

    Returns:
        Verdict, utilisation before and after, what is broken now, what to do, and the new record; no record where the
        work itself keeps the verdict from being that of the verification.

    Raises:
        RefusedRequest: What is said of the work does not fit the record.
    """
    given = _without_nulls(as_built)
    answer = verify(request, rulebook)
    extra = tuple(_requirements(record, given, request, answer, rulebook))
    fitted = {**record.request["fastener"], "length_mm": record.answer["fastener"]["length_mm"]}
    unmet = [entry for entry in extra if not entry.met]
    broken_requirements = [entry for entry in answer["requirements"] if not entry["met"]]
    broken_checks = [check for check in answer["checks"] if check["utilisation"] > 1]
    verdict = "not_verified" if unmet and answer["verdict"] == "verified" else answer["verdict"]
    return {
        "verdict": verdict,
        "verdict_before": record.answer["verdict"],
        "utilisation_before": _utilisation(record.answer),
        "utilisation_after": _utilisation(answer),
        "changes": [_shown(change) for change in _changes({**record.request, "fastener": fitted}, request)],
        "as_built_requirements": [_requirement(entry) for entry in extra],
        "unmet_requirements": broken_requirements,
        "checks_over": broken_checks,
        "scope_limits": answer["scope_limits"],
        "to_do": list(_to_do(verdict, unmet, broken_requirements, broken_checks, answer)),
        "came_from_record": record.answer["record"]["id"],
        # A record says nothing of torque or aborted holes: one that passes must not stand for work that does not.
        "record": {"request": request, "answer": answer} if verdict == answer["verdict"] else None,
        "suspensions": list(answer.get("suspensions") or ()),
        "rulebook": answer["rulebook"],
    }


def _without_nulls(given: Mapping[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in given.items() if value is not None}


def _utilisation(answer: Mapping[str, Any]) -> float | None:
    governing = answer["governing"]
    return None if governing is None else governing["utilisation"]


def new_request(record: Record, as_built: Mapping[str, Any], rulebook: Rulebook) -> dict[str, Any]:
    """Write the request for the work as built; it names the record that it came from.

    Args:
        record: The record, found to be true.
        as_built: What was really done; what is left out is as it was verified.
        rulebook: The rulebook of the record.

    Returns:
        A verification request.

    Raises:
        RefusedRequest: What is said of the work does not fit the record.
    """
    given = _without_nulls(as_built)
    request: dict[str, Any] = deepcopy(dict(record.request))
    request["came_from_record"] = record.answer["record"]["id"]
    request["positions"] = _positions(record.request["positions"], given)
    selection = select(record.request, rulebook)
    fastener, member = request["fastener"], request["member"]
    # What the length clamps was settled when it was bought: another is not chosen silently.
    fastener["length_mm"] = given.get("length_mm", record.answer["fastener"]["length_mm"])
    reached = _embedment_reached(selection, given, float(fastener["embedment_mm"]))
    if reached is not None:
        fastener["embedment_mm"] = _assessed_embedment(selection, min(reached, float(fastener["embedment_mm"])))
        fastener["length_mm"] = _length_at(selection, fastener)
    if "fixture_thickness_mm" in given:
        request["fixture"]["thickness_mm"] = given["fixture_thickness_mm"]
    if "member_thickness_mm" in given:
        member["thickness_mm"] = given["member_thickness_mm"]
    if "edges" in given:
        edges = {name: value for name, value in given["edges"].items() if value is not None}
        member["edges"] = {**(member.get("edges") or {}), **edges}
    if given.get("cracks_seen"):
        member["state"] = "cracked"
    if "hole" in given:
        request["use"] = {**(request.get("use") or {}), "hole": given["hole"]}
    _put_strength(request, given, rulebook)
    _put_torque_tool(request, given)
    return request


def _positions(verified: Sequence[Mapping[str, float]], given: Mapping[str, Any]) -> list[dict[str, float]]:
    if "positions" in given:
        if len(given["positions"]) != len(verified):
            words = f"must list every fastener, {len(verified)} of them; for some of them use moved"
            raise RefusedRequest(Refusal("#/as_built/positions", "wrong_count", words))
        return [dict(place) for place in given["positions"]]
    positions = [dict(place) for place in verified]
    for entry, moved in enumerate(given.get("moved", ())):
        if moved["index"] >= len(positions):
            words = f"the record has fasteners 0 to {len(positions) - 1}"
            raise RefusedRequest(Refusal(f"#/as_built/moved/{entry}/index", "not_allowed", words))
        positions[moved["index"]] = {"x_mm": moved["x_mm"], "y_mm": moved["y_mm"]}
    return positions


def _embedment_reached(selection: Selection, given: Mapping[str, Any], verified_mm: float) -> float | None:
    """The effective embedment that was reached (mm), None where it is as verified."""
    if "embedment_mm" in given:
        return float(given["embedment_mm"])
    if "hole_depth_mm" not in given:
        return None
    row = selection.row or {}
    hole_mm = row.get("depth", {}).get("hole_mm")
    if hole_mm is None:
        words = "nothing is drilled for this fastener: give embedment_mm"
        raise RefusedRequest(Refusal("#/as_built/hole_depth_mm", "conflict", words))
    # A hole that is short by so much lets the fastener reach less deep by as much.
    return verified_mm - max(float(hole_mm) - float(given["hole_depth_mm"]), 0.0)


def _assessed_embedment(selection: Selection, reached_mm: float) -> float:
    """The deepest assessed embedment that was reached (mm); what was reached, where none is that shallow."""
    depths = [float(row["depth"]["effective_mm"]) for row in selection.size["embedments"].values()]
    covered = [depth for depth in depths if depth <= reached_mm + TOLERANCE]
    found = max(covered, default=reached_mm)
    return int(found) if found.is_integer() else found


def _length_at(selection: Selection, fastener: Mapping[str, Any]) -> float | None:
    """The length, where it is one of those of the embedment that counts now; else it is left open."""
    row = next(
        (
            row
            for row in selection.size["embedments"].values()
            if math.isclose(float(row["depth"]["effective_mm"]), float(fastener["embedment_mm"]), abs_tol=TOLERANCE)
        ),
        None,
    )
    length = fastener["length_mm"]
    if row is None or length is None:
        return None
    return length if any(float(entry["length_mm"]) == float(length) for entry in row["lengths"]) else None


def _put_strength(request: dict[str, Any], given: Mapping[str, Any], rulebook: Rulebook) -> None:
    if "strength_found" not in given:
        return
    found, member = given["strength_found"], request["member"]
    strength = found["strength_mpa"]
    if found["found_by"] == "rebound":
        # The surface reads harder than the depth, so a rebound hammer may lower the strength and never raise it.
        strength = min(strength, assumed_strength(member, rulebook, Assumptions()).f_ck_mpa)
    member["strength_mpa"] = strength
    member["strength_class"] = None
    request["site"] = {**(request.get("site") or {}), "strength_evidence": EVIDENCE[found["found_by"]]}


def _put_torque_tool(request: dict[str, Any], given: Mapping[str, Any]) -> None:
    tool = given.get("torque_tool")
    if tool is not None:
        request["site"] = {**(request.get("site") or {}), "torque_control": tool}


def _changes(before: Any, after: Any, place: str = "#") -> Iterator[Change]:
    if isinstance(before, Mapping) and isinstance(after, Mapping):
        for name in dict.fromkeys([*before, *after]):
            if name != "came_from_record":
                yield from _changes(before.get(name), after.get(name), f"{place}/{name}")
    elif isinstance(before, list) and isinstance(after, list) and len(before) == len(after):
        for index, pair in enumerate(zip(before, after, strict=True)):
            yield from _changes(*pair, f"{place}/{index}")
    elif before != after:
        yield Change(place, before, after)


def _shown(change: Change) -> dict[str, Any]:
    return {"pointer": change.pointer, "verified": change.verified, "as_built": change.as_built}


def _requirement(entry: Requirement) -> dict[str, Any]:
    return {
        "code": entry.code, "met": entry.met, "detail": entry.detail, "given": entry.given, "limit": entry.limit,
        "unit": entry.unit, "rule": entry.rule, "to_do": entry.to_do,
    }  # fmt: skip


def _requirements(
    record: Record,
    given: Mapping[str, Any],
    request: Mapping[str, Any],
    answer: Mapping[str, Any],
    rulebook: Rulebook,
) -> Iterator[Requirement]:
    selection = select(request, rulebook)
    yield from _torque(selection, given, rulebook)
    yield from _embedment(select(record.request, rulebook), given, record, request)
    yield from _aborted(selection, given, request, answer, rulebook)
    if given.get("strength_found", {}).get("found_by") == "rebound":
        yield Requirement(
            "strength_shown",
            True,
            "a rebound hammer alone is indicative: it never raises the strength that was verified, and the "
            "rulebook's reduction for it is taken; cores show more",
            "rebound",
            None,
            None,
            "factors/site-conditions#/conditions/strength_evidence/values/rebound_hammer/factor",
        )


def _torque(selection: Selection, given: Mapping[str, Any], rulebook: Rulebook) -> Iterator[Requirement]:
    if "torque_nm" not in given:
        return
    setting, read = selection.size["setting"], float(given["torque_nm"])
    asked, most = setting["installation_torque_nm"], setting["impact_driver_torque_max_nm"]
    if given.get("torque_tool") == "impact_driver_set" and most is not None:
        met = read <= float(most) + TOLERANCE
        yield Requirement(
            "installation_torque", met, f"an impact driver with no more than {most:g} N·m", read, f"at most {most:g}",
            "Nm",
            selection.size_path("setting", "impact_driver_torque_max_nm"),
            None if met else _too_tight(selection),
        )  # fmt: skip
        return
    if asked is None:
        yield Requirement(
            "installation_torque", True, "the assessment asks for no torque, so the reading shows nothing", read, None,
            "Nm", selection.size_path("setting", "installation_torque_nm"),
        )  # fmt: skip
        return
    share = float(rulebook.factors["installation"]["torque"]["tolerance_share"])
    least, largest = float(asked) * (1 - share), float(asked) * (1 + share)
    low, high = read < least - TOLERANCE, read > largest + TOLERANCE
    to_do = _too_loose(selection) if low else _too_tight(selection) if high else None
    yield Requirement(
        "installation_torque",
        not (low or high),
        f"installation torque {asked:g} N·m, read between {least:g} and {largest:g} N·m",
        read,
        f"{least:g} to {largest:g}",
        "Nm",
        selection.size_path("setting", "installation_torque_nm"),
        to_do,
    )


def _too_loose(selection: Selection) -> str:
    if selection.family["mechanism"] in TIGHTENS_ITSELF:
        return (
            "tighten it to the installation torque with a calibrated wrench; if it turns without reaching it, it is "
            "not "
            "expanded: take it out of use, treat the hole as aborted and set a new fastener at the distance for that"
        )
    return (
        "tighten it to the installation torque with a calibrated wrench, resin only after its curing time; if it turns "
        "in the hole or does not reach the torque, take it out of use and treat the hole as aborted"
    )


def _too_tight(selection: Selection) -> str:
    return (
        "too high a torque may have damaged thread, bond or concrete, and slackening it does not undo that: look for "
        "cracks and a stretched thread, and replace the fastener in a new hole, or have it proof-loaded and accepted "
        "by "
        f"the engineer; {selection.family['installation']['removal'][0].lower()}"
        f"{selection.family['installation']['removal'][1:]}"
    )


def _embedment(
    selection: Selection, given: Mapping[str, Any], record: Record, request: Mapping[str, Any]
) -> Iterator[Requirement]:
    verified = float(record.request["fastener"]["embedment_mm"])
    reached = _embedment_reached(selection, given, verified)
    if reached is None:
        return
    counts = float(request["fastener"]["embedment_mm"])
    known = ", ".join(selection.size["embedments"])
    met = any(
        abs(float(row["depth"]["effective_mm"]) - counts) < TOLERANCE for row in selection.size["embedments"].values()
    )
    if met and counts < reached - TOLERANCE:
        words = f"{reached:g} mm is not assessed; the shallower {counts:g} mm is, and is what was verified"
    elif met:
        words = f"{counts:g} mm is assessed and is what was verified"
    else:
        words = f"{reached:g} mm is less than any assessed embedment ({known} mm), so nothing can be verified for it"
    if met and request["fastener"]["length_mm"] is None and record.answer["fastener"]["length_mm"] is not None:
        words += (
            f"; {record.answer['fastener']['length_mm']:g} mm is no length of that embedment, so the new record leaves "
            "the length open: see on site that the nut grips on its thread"
        )
    yield Requirement(
        "embedment_reached", met, words, rounded(reached), known, "mm", selection.size_path("embedments"),
        None
        if met
        else "drill a new hole to the full depth at the distance for aborted holes, or have the fixing sized anew",
    )  # fmt: skip


def _aborted(
    selection: Selection,
    given: Mapping[str, Any],
    request: Mapping[str, Any],
    answer: Mapping[str, Any],
    rulebook: Rulebook,
) -> Iterator[Requirement]:
    own = float(selection.size["geometry"]["hole_diameter_mm"] or selection.size["geometry"]["nominal_diameter_mm"])
    for number, hole in enumerate(given.get("aborted_holes", ())):
        diameter = max(own, float(hole.get("diameter_mm") or own))
        depth = float(hole["depth_mm"])
        spots = list(enumerate(request["positions"]))
        index, place = min(spots, key=lambda spot: _apart(spot[1], hole))
        found = _apart(place, hole)
        refilled = bool(hole.get("refilled")) and not _shear_pushes_to(answer, request, hole)
        least, rule = _least_distance(rulebook, diameter, depth, refilled=refilled)
        met = found >= least - TOLERANCE
        why = _why(hole, refilled)
        yield Requirement(
            "aborted_hole_distance",
            met,
            f"aborted hole {number} is {found:.4g} mm from fastener {index}, {why}: at least {least:.6g} mm",
            rounded(found),
            rounded(least),
            "mm",
            f"{INSTALLATION}#/aborted_hole/{rule}",
            None if met else _for_aborted_hole(hole),
        )


def _apart(a: Mapping[str, float], b: Mapping[str, float]) -> float:
    return math.hypot(a["x_mm"] - b["x_mm"], a["y_mm"] - b["y_mm"])


def _least_distance(rulebook: Rulebook, diameter_mm: float, depth_mm: float, *, refilled: bool) -> tuple[float, str]:
    """Least distance of a fastener to an aborted hole (mm), and the name of the factor that decides it."""
    rules = rulebook.factors["installation"]["aborted_hole"]
    by_diameter = float(rules["hole_diameter_factor"]) * diameter_mm
    by_depth = float(rules["depth_factor"]) * depth_mm
    if refilled or by_diameter >= by_depth:
        return by_diameter, "hole_diameter_factor"
    return by_depth, "depth_factor"


def _shear_pushes_to(answer: Mapping[str, Any], request: Mapping[str, Any], hole: Mapping[str, float]) -> bool:
    """Whether the shear of a fastener points to the side of the hole in any load case; unknown forces count as such."""
    cases = answer["fastener_forces"]
    if not cases:
        return True
    for case in cases:
        for force in case["fasteners"]:
            place = request["positions"][force["index"]]
            along = force["shear_x_kn"] * (hole["x_mm"] - place["x_mm"])
            along += force["shear_y_kn"] * (hole["y_mm"] - place["y_mm"])
            if along > TOLERANCE:
                return True
    return False


def _why(hole: Mapping[str, Any], refilled: bool) -> str:
    if refilled:
        return "filled with mortar of high strength"
    return "filled, but the shear pushes towards it" if hole.get("refilled") else "empty"


def _for_aborted_hole(hole: Mapping[str, Any]) -> str:
    if hole.get("refilled"):
        return "move the fastener farther away and have the new place verified, or ask the engineer"
    return (
        "fill the aborted hole with mortar of high strength, let it harden and check again with refilled true, or move "
        "the fastener farther away and have the new place verified"
    )


def _to_do(
    verdict: str,
    unmet: Sequence[Requirement],
    requirements: Sequence[Mapping[str, Any]],
    checks: Sequence[Mapping[str, Any]],
    answer: Mapping[str, Any],
) -> Iterator[str]:
    if verdict == "verified":
        yield "It passes its checks as built: keep the new record in place of the old one, with what was measured."
        return
    yield "Do not load it, or take the load off it, until it is settled."
    if unmet and answer["verdict"] == "verified":
        yield "There is no new record: mend what is broken, then check again against the record it came from."
    yield from dict.fromkeys(f"{entry.code}: {entry.to_do}" for entry in unmet if entry.to_do)
    for entry in requirements:
        yield f"{entry['code']}: {entry['detail']}"
    modes = dict.fromkeys(check["mode"] for check in checks)
    if modes:
        names = ", ".join(mode.replace("_", " ") for mode in modes)
        yield (
            f"It is overloaded in {names}: reduce the load, add a fixing that shares it, or size the place anew at "
            "/v1/sizings with the positions that can still be drilled."
        )
    for limit in answer["scope_limits"]:
        yield f"The method does not cover it as built: {limit['detail']}"
    yield "Tell the engineer who designed it; a competent structural engineer decides what may stay."
