"""A record as its keeper hands it back: what it says of itself, and whether its content still has its id."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from rfc8785 import CanonicalizationError

from service.audit.records.versions import READABLE
from service.contract.replays import LONGEST_TEXT, SUSPENSION_MEMBERS
from service.contract.terms import UNSTATED_VERSION
from service.rulebook.suspensions import Suspension
from service.verification.record import record_id
from service.verification.refusal import Refusal, RefusedRequest

DEEPEST = 24
"""Levels of an answer; no answer of the service has half as many."""

RECORD_MEMBERS = ("id", "engine", "contract_version")
TEXTS = (("rulebook", "version"), ("rulebook", "digest"), ("record", "id"), ("record", "engine"))


@dataclass(frozen=True)
class Record:
    """A request with the answer that it was given.

    Attributes:
        request: The verification request, sound by the contract.
        answer: The answer; it has what a record needs and may hold anything beside it.
        suspensions: What was suspended then, as far as the answer says.
        superseded_by: The higher version that was in force then, as far as the answer says; None: there was none.
    """

    request: Mapping[str, Any]
    answer: Mapping[str, Any]
    suspensions: tuple[Suspension, ...]
    superseded_by: str | None

    @property
    def version(self) -> str:
        """Version of the rulebook that the answer names."""
        return str(self.answer["rulebook"]["version"])

    @property
    def digest(self) -> str:
        """Digest of the rulebook that the answer names."""
        return str(self.answer["rulebook"]["digest"])

    @property
    def id(self) -> str:
        """The record's id as it stands in the answer."""
        return str(self.answer["record"]["id"])

    @property
    def engine(self) -> str:
        """The engine that the answer names."""
        return str(self.answer["record"]["engine"])

    @property
    def contract_version(self) -> int:
        """Version of the contract that the answer was written by; a record that states none is of the first."""
        return int(self.answer["record"].get("contract_version", UNSTATED_VERSION))

    @property
    def resolved(self) -> dict[str, Any]:
        """The request with its day and version: where it left them open, those of the answer."""
        open_then = {"assessed_on": self.answer["assessed_on"], "rulebook": self.version}
        return {**self.request, **{name: v for name, v in open_then.items() if self.request.get(name) is None}}

    @property
    def day_was_assumed(self) -> bool:
        """Whether the service filled in the day, which the answer then lists as an assumption."""
        assumptions = self.answer.get("assumptions")
        listed = assumptions if isinstance(assumptions, list) else []
        return any(isinstance(entry, dict) and entry.get("code") == "assessed_on_today" for entry in listed)

    def id_of_content(self) -> str | None:
        """Calculate the id anew.

        Returns:
            The id; None where the content holds a number that no record can hold.
        """
        try:
            return record_id(self.resolved, self.answer, self.digest, self.engine, self.contract_version)
        except CanonicalizationError:
            return None


def read_record(request: Mapping[str, Any], answer: Mapping[str, Any]) -> Record:
    """Read a record.

    Args:
        request: Its request, sound by the contract.
        answer: Its answer, which may hold anything.

    Returns:
        The record.

    Raises:
        RefusedRequest: The answer lacks what makes it one of a record.
    """
    if _deeper(answer, DEEPEST):
        words = f"nests deeper than {DEEPEST} levels, which no answer of this service does"
        raise RefusedRequest(Refusal("#/answer", "nested_too_deep", words))
    wrong = (_missing(answer), _wrong_version(answer.get("record")), _wrong_suspensions(answer.get("suspensions")))
    refusals = [refusal for refusals in wrong for refusal in refusals]
    if refusals:
        raise RefusedRequest(*refusals)
    stopped = tuple(Suspension(**entry) for entry in answer.get("suspensions") or ())
    return Record(request, answer, stopped, answer["rulebook"].get("superseded_by"))


def _missing(answer: Mapping[str, Any]) -> Iterator[Refusal]:
    for group, name in TEXTS:
        part = answer.get(group)
        if not isinstance(part, dict) or name not in part:
            words = "must be given: keep the answer whole, as the service gave it"
            yield Refusal(f"#/answer/{group}/{name}", "required", words)
        elif not isinstance(part[name], str):
            yield Refusal(f"#/answer/{group}/{name}", "wrong_type", "must be a text")
        elif len(part[name]) > LONGEST_TEXT:
            words = f"must have at most {LONGEST_TEXT} characters"
            yield Refusal(f"#/answer/{group}/{name}", "too_long", words, {"longest": LONGEST_TEXT})
    rules = answer.get("rulebook")
    higher = rules.get("superseded_by") if isinstance(rules, dict) else None
    if higher is not None and not isinstance(higher, str):
        yield Refusal("#/answer/rulebook/superseded_by", "wrong_type", "must be a text or null")
    day = answer.get("assessed_on")
    if day is None:
        yield Refusal("#/answer/assessed_on", "required", "must be given: the day for which the answer was made")
    elif not isinstance(day, str) or not _is_day(day):
        yield Refusal("#/answer/assessed_on", "not_a_day", "must be a day of the calendar written as YYYY-MM-DD")


def _wrong_version(record: object) -> Iterator[Refusal]:
    if not isinstance(record, dict) or "contract_version" not in record:
        return
    stated, pointer = record["contract_version"], "#/answer/record/contract_version"
    if type(stated) not in {int, float} or not float(stated).is_integer():
        yield Refusal(pointer, "wrong_type", "must be a whole number; leave it out only where the answer had none")
    elif stated not in READABLE[1:]:
        known = " and ".join(map(str, READABLE[1:]))
        words = f"records of this version can't be read here; read are those that state {known}, or none"
        yield Refusal(pointer, "not_allowed", words, {"allowed": list(READABLE[1:])})


def _wrong_suspensions(given: object) -> Iterator[Refusal]:
    if given is None:
        return
    if not isinstance(given, list):
        yield Refusal("#/answer/suspensions", "wrong_type", "must be a list")
        return
    for index, entry in enumerate(given):
        if not _is_suspension(entry):
            named = ", ".join(SUSPENSION_MEMBERS)
            words = f"must be an object with {named}; the last two are texts, the others may be null"
            yield Refusal(f"#/answer/suspensions/{index}", "wrong_type", words)


def _is_suspension(entry: object) -> bool:
    if not isinstance(entry, dict) or entry.keys() != set(SUSPENSION_MEMBERS):
        return False
    may_be_null, texts = SUSPENSION_MEMBERS[:3], SUSPENSION_MEMBERS[3:]
    return all(isinstance(entry[name], str) for name in texts) and all(
        entry[name] is None or isinstance(entry[name], str) for name in may_be_null
    )


def _is_day(text: str) -> bool:
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False


def _deeper(value: object, levels: int) -> bool:
    waiting = [(value, 0)]
    while waiting:
        inner, level = waiting.pop()
        if level > levels:
            return True
        if isinstance(inner, dict):
            waiting.extend((item, level + 1) for item in inner.values())
        elif isinstance(inner, list):
            waiting.extend((item, level + 1) for item in inner)
    return False
