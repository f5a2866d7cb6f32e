"""Holding the work as built against the record: verdict, figures, and what to do."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from service.rulebook import Rulebook
from service.site.as_built.depth import depth, more_resin_ml
from service.site.as_built.hole import aborted, cleaning, resin
from service.site.as_built.measured import NOT_MEASURED, not_measured, nothing
from service.site.as_built.model import Built, Record, Requirement, without_nulls
from service.site.as_built.request import EVIDENCE, strength_verified
from service.site.as_built.torque import torque
from service.verification import verify
from service.verification.cautions import Caution
from service.verification.selection import select

VERIFIED, NOT_VERIFIED, NOT_SHOWN = "verified", "not_verified", "not_shown"
VERDICTS = (VERIFIED, NOT_VERIFIED, "outside_scope", NOT_SHOWN)


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
        as_built: What was really done; what is left out is as it was verified, and listed as not measured.
        request: The request for the work as built, of `new_request`.
        rulebook: The rulebook of the record, with what is suspended today.

    Returns:
        Verdict, utilisation before and after, what is broken now, what was not measured, what to do, and the new
        record; no record where the work itself keeps the verdict from being that of the verification.

    Raises:
        RefusedRequest: What is said of the work does not fit the record.
    """
    built = Built(record, without_nulls(as_built), request, select(record.request, rulebook), select(request, rulebook))
    answer = verify(request, rulebook)
    extra = tuple(_requirements(built, answer, rulebook))
    # Beside work that no resistance is assessed for no figure may stand.
    no_figure = any(entry.decisive and entry.met is False for entry in extra)
    verdict = _verdict(answer["verdict"], extra)
    found = _Found(
        verdict=verdict,
        open=tuple(entry for entry in extra if not entry.met),
        unmet=tuple(entry for entry in answer["requirements"] if not entry["met"]),
        over=() if no_figure else tuple(one for one in answer["checks"] if one["utilisation"] > 1),
        not_measured=not_measured(built),
        answer=answer,
    )
    fitted = {**record.request["fastener"], "length_mm": record.answer["fastener"]["length_mm"]}
    return {
        "verdict": verdict,
        "verdict_before": record.answer["verdict"],
        "utilisation_before": _utilisation(record.answer),
        "utilisation_after": None if no_figure else _utilisation(answer),
        "changes": [asdict(change) for change in _changes({**record.request, "fastener": fitted}, request)],
        "as_built_requirements": [_shown(entry) for entry in extra],
        "not_measured": [{"code": code, "text": NOT_MEASURED[code]} for code in found.not_measured],
        "unmet_requirements": list(found.unmet),
        "checks_over": list(found.over),
        "scope_limits": answer["scope_limits"],
        "cautions": [asdict(caution) for caution in _cautions(built, rulebook)],
        "to_do": list(_to_do(found)),
        "came_from_record": record.answer["record"]["id"],
        # A record says nothing of torque or aborted holes: one that passes must not stand for work that does not.
        "record": {"request": request, "answer": answer} if verdict == answer["verdict"] and not no_figure else None,
        "suspensions": list(answer.get("suspensions") or ()),
        "rulebook": answer["rulebook"],
    }


@dataclass(frozen=True, slots=True)
class _Found:
    """What a check came to: what is open of the work and of the verification, and what was not measured."""

    verdict: str
    open: tuple[Requirement, ...]
    unmet: tuple[Mapping[str, Any], ...]
    over: tuple[Mapping[str, Any], ...]
    not_measured: tuple[str, ...]
    answer: Mapping[str, Any]


def _verdict(of_verification: str, extra: Sequence[Requirement]) -> str:
    if of_verification != VERIFIED:
        return of_verification
    if any(entry.met is False for entry in extra):
        return NOT_VERIFIED
    return NOT_SHOWN if any(entry.met is None for entry in extra) else VERIFIED


def _utilisation(answer: Mapping[str, Any]) -> float | None:
    governing = answer["governing"]
    return None if governing is None else governing["utilisation"]


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


def _shown(entry: Requirement) -> dict[str, Any]:
    return {name: value for name, value in asdict(entry).items() if name != "decisive"}


def _requirements(built: Built, answer: Mapping[str, Any], rulebook: Rulebook) -> Iterator[Requirement]:
    yield from nothing(built)
    yield from torque(built, rulebook)
    yield from depth(built)
    yield from cleaning(built)
    yield from resin(built)
    yield from aborted(built, answer, rulebook)
    if "strength_found" in built.given:
        yield _strength(built, rulebook)


def _strength(built: Built, rulebook: Rulebook) -> Requirement:
    found, verified = built.given["strength_found"], strength_verified(built.record.request, rulebook)
    evidence = EVIDENCE[found["found_by"]]
    taken = min(float(found["strength_mpa"]), verified)
    words = f"{taken:g} MPa is taken, the lower of what was found and the {verified:g} MPa that was verified"
    if found["found_by"] == "rebound":
        words += "; a rebound hammer alone is indicative, and the rulebook's reduction for it is taken: cores show more"
    return Requirement(
        "strength_shown", True, words, found["found_by"], None, None,
        f"factors/site-conditions#/conditions/strength_evidence/values/{evidence}/factor",
    )  # fmt: skip


def _cautions(built: Built, rulebook: Rulebook) -> Iterator[Caution]:
    more = more_resin_ml(built)
    if more is not None:
        deeper, millilitres = more
        words = (
            f"Each hole that is {deeper:g} mm too deep takes about {millilitres} ml more resin than planned, beside "
            "what is wasted: fill it from the bottom, see resin come out at the top when the rod is set, and hold the "
            "rod at its mark, or it sinks."
        )
        yield Caution("deeper_hole_more_resin", words)
    found = built.given.get("strength_found")
    verified = strength_verified(built.record.request, rulebook)
    if found is not None and float(found["strength_mpa"]) > verified:
        words = (
            f"{found['strength_mpa']:g} MPa was found and does not count: the {verified:g} MPa that was verified stays."
            " A higher strength needs enough tests, their report and the characteristic in-situ strength to EN 13791, "
            "evaluated by the engineer, and then a new request."
        )
        yield Caution("strength_not_raised", words)


def _to_do(found: _Found) -> Iterator[str]:
    missing = ", ".join(NOT_MEASURED[code] for code in found.not_measured)
    if found.verdict == VERIFIED:
        far = ", as far as it was measured" if missing else ""
        yield f"It passes its checks as built{far}: keep the new record in place of the old, with what was measured."
    elif found.verdict == NOT_SHOWN:
        yield (
            "Nothing found is against it, but it is not shown that it passes as built: do not load it before that is "
            "shown. There is no new record: measure what is missing, then check again against the record it came from."
        )
    else:
        yield "Do not load it, or take the load off it, until it is settled."
        if found.answer["verdict"] == VERIFIED:
            yield "There is no new record: mend what is broken, then check again against the record it came from."
    yield from dict.fromkeys(f"{entry.code}: {entry.to_do}" for entry in found.open if entry.to_do)
    yield from _of_verification(found)
    if missing:
        yield f"Not measured, and taken as verified: {missing}."
    if found.verdict not in {VERIFIED, NOT_SHOWN}:
        yield "Tell the engineer who designed it; a competent structural engineer decides what may stay."


def _of_verification(found: _Found) -> Iterator[str]:
    for entry in found.unmet:
        yield f"{entry['code']}: {entry['detail']}"
    modes = dict.fromkeys(one["mode"] for one in found.over)
    if modes:
        names = ", ".join(mode.replace("_", " ") for mode in modes)
        yield (
            f"It is overloaded in {names}: reduce the load, add a fixing that shares it, or size the place anew at "
            "/v1/sizings with the positions that can still be drilled."
        )
    for limit in found.answer["scope_limits"]:
        yield f"The method does not cover it as built: {limit['detail']}"
