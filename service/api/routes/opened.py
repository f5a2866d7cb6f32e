"""Fixings that a caller hands over to be worked on: requests are verified first, records are replayed."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from service import verification
from service.api.operations import Call
from service.audit.records import Record, Replay, read_record, replay_record
from service.contract.faults import Fault, Refused
from service.contract.recorded import asked_today
from service.contract.replays import ALTERED, REPRODUCED, RULEBOOK_UNKNOWN
from service.rulebook import Rulebook
from service.verification.refusal import RefusedRequest


@dataclass(frozen=True)
class Opened:
    """A fixing that can be worked on.

    Attributes:
        request: Its request, day and version resolved.
        answer: Its answer: as its record comes out again, with the record's id, or of its verification just now.
        now: What its request comes to under the same rules today, with what is suspended, superseded or has run out.
        rulebook: The rulebook of its answer, with what is suspended and superseded today.
    """

    request: Mapping[str, Any]
    answer: Mapping[str, Any]
    now: Mapping[str, Any]
    rulebook: Rulebook


def opened(call: Call, given: Mapping[str, Any], place: str) -> Opened:
    """Open a request or a record.

    Args:
        call: The call.
        given: The request or the record.
        place: Where it stands in the body, as `/fixings/0`.

    Returns:
        The fixing.

    Raises:
        Refused: The request is refused, or the record is not true or cannot be held against its own rules.
    """
    try:
        return _record(call, given, place) if "answer" in given else _request(call, given)
    except RefusedRequest as refused:
        faults = [replace(error.fault, pointer=_within(place, error.pointer)) for error in refused.errors]
        raise Refused(422, faults) from None
    except Refused as refused:
        if refused.status != 422:
            raise
        faults = [replace(fault, pointer=_within(place, fault.pointer or "#")) for fault in refused.faults]
        raise Refused(422, faults) from None


def _within(place: str, pointer: str) -> str:
    return f"#{place}{pointer.removeprefix('#')}"


def _request(call: Call, given: Mapping[str, Any]) -> Opened:
    request, rulebook, assumed = replace(call, body=given).resolved()
    answer = verification.verify(request, rulebook, assessed_on_assumed=assumed)
    by_today = _by_today(call, request)
    now = answer if by_today is request else verification.verify(by_today, rulebook)
    return Opened({**request, "rulebook": rulebook.version}, answer, now, rulebook)


def _record(call: Call, given: Mapping[str, Any], place: str) -> Opened:
    record = read_record(given["request"], given["answer"])
    shelf = call.serving.shelf
    found = replay_record(record, shelf, call.serving.clock())
    if found.answer is None or found.outcome not in REPRODUCED:
        raise Refused(409, [_fault(found, place)], "The record can't be built on.")
    rulebook = shelf.on(record.version, call.serving.clock())
    return _replayed(call, record, found.answer, rulebook)


def _replayed(call: Call, record: Record, answer: Mapping[str, Any], rulebook: Rulebook) -> Opened:
    """Build on what comes out, which has today's names, and words that nobody can have changed in the record."""
    request, assumed = record.resolved, record.day_was_assumed
    now = verification.verify(_by_today(call, asked_today(request)), rulebook, assessed_on_assumed=assumed)
    rules = answer["rulebook"] | {"commit": record.answer["rulebook"].get("commit")}
    return Opened(request, {**answer, "record": record.answer["record"], "rulebook": rules}, now, rulebook)


def _by_today(call: Call, request: Mapping[str, Any]) -> Mapping[str, Any]:
    """Give a request the day of the call, on which approvals and site tests may have run out since its own."""
    today = call.serving.clock().isoformat()
    return request if today <= request["assessed_on"] else {**request, "assessed_on": today}


def _fault(found: Replay, place: str) -> Fault:
    """Say why a record is not to be built on."""
    if found.cause == ALTERED:
        return Fault("record_altered", found.words, pointer=f"#{place}/answer/record/id")
    if found.cause == RULEBOOK_UNKNOWN:
        words = f"{found.words} Or verify the request anew under a rulebook that is served, and take the new record."
        return Fault("rulebook_not_served", words, pointer=f"#{place}/answer/rulebook")
    places = ", ".join(one.pointer for one in [one for one in found.differences if one.contradicts][:5])
    words = f"{found.words} It differs at: {places}. Verify the request anew and take the new record."
    return Fault("record_not_reproduced", words, pointer=f"#{place}/answer")
