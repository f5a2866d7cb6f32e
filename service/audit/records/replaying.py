"""Replay: was this record made by these rules, and does its fixing still pass under those of today?"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from service import verification
from service.audit.changes.places import ABSENT, is_number
from service.audit.impact.outcome import Outcome, outcome_of, pinned, refused
from service.audit.records.differences import Difference, answer_differences, difference
from service.audit.records.record import RECORD_MEMBERS, Record
from service.audit.records.used_figures import ChangedFigure, changed_figures, used_paths
from service.audit.records.versions import asked_then, in_names_of_today
from service.contract.names import stop_name
from service.contract.recorded import asked_today
from service.contract.replays import (
    ALTERED,
    ANOTHER_ENGINE,
    ANSWER_GAINED,
    DIFFERENT,
    IDENTICAL,
    IMPOSSIBLE,
    MOST_DIFFERENCES,
    NOT_MADE_HERE,
    REPRODUCED,
    REWORDED,
    RULEBOOK_UNKNOWN,
    SAME_FIGURES,
)
from service.contract.terms import CONTRACT_VERSION
from service.rulebook import Rulebook
from service.rulebook.shelf import NoneInForce, Shelf
from service.verification.answer import rulebook_identity
from service.verification.record import ENGINE
from service.verification.refusal import RefusedRequest

NOT_CONTENT = "commit"
"""Member of an answer's rulebook that the record's id does not cover: the same rules may lie in several commits."""


@dataclass(frozen=True)
class Today:
    """What the request of a record comes to on another day.

    Attributes:
        assessed_on: The day.
        rulebook: The rules in force on it; None where none are.
        before: What the record's own rules make of it; what the record says where those are unknown.
        after: What it comes to; None where no rules are in force.
        changed: Figures that it stands on and that have changed since; None where its own rules are unknown.
        suspensions: What it uses and is suspended.
        words: All of it in words.
    """

    assessed_on: str
    rulebook: Mapping[str, Any] | None
    before: Outcome | None
    after: Outcome | None
    changed: tuple[ChangedFigure, ...] | None
    suspensions: tuple[Mapping[str, Any], ...]
    words: str

    @property
    def passes(self) -> bool:
        """Whether the fixing is verified."""
        return self.after is not None and self.after.passes

    def as_json(self) -> dict[str, Any]:
        """Give it as plain data."""
        return {
            "assessed_on": self.assessed_on,
            "rulebook": self.rulebook,
            "passes": self.passes,
            "before": None if self.before is None else self.before.as_json(),
            "after": None if self.after is None else self.after.as_json(),
            "changed_figures": None if self.changed is None else [figure.as_json() for figure in self.changed],
            "suspensions": [dict(suspension) for suspension in self.suspensions],
            "words": self.words,
        }


@dataclass(frozen=True)
class Replay:
    """What came of replaying a record.

    Attributes:
        record: The record.
        outcome: "identical", "same_figures", "different" or "impossible".
        cause: Stable code of the likely cause; None where it is identical.
        answer: The answer as it comes out now under the record's own rules; None where it can't be calculated.
        words: Outcome and cause in words.
        content_id: The id of the record's content; None where no record can have such content.
        differences: Where the record and what was calculated differ, at most MOST_DIFFERENCES.
        more: Whether there are further ones.
        refusal: Why the record's own rules refuse its request; None where they don't.
        known_versions: Versions that this service can recompute with.
        rulebook_known: Whether the record's own rulebook is among them.
        commit_now: The commit by which this service knows the rulebook; None where it knows none.
        today: What it comes to today.
    """

    record: Record
    outcome: str
    cause: str | None
    answer: Mapping[str, Any] | None
    words: str
    content_id: str | None
    differences: tuple[Difference, ...]
    more: bool
    refusal: str | None
    known_versions: tuple[str, ...]
    rulebook_known: bool
    commit_now: str | None
    today: Today

    @property
    def consistent(self) -> bool:
        """Whether the record's content has the record's id."""
        return self.content_id == self.record.id

    def as_json(self) -> dict[str, Any]:
        """Give the replay as plain data."""
        return {
            "outcome": self.outcome,
            "cause": self.cause,
            "words": self.words,
            "record": {
                "id": self.record.id,
                "id_of_content": self.content_id,
                "consistent": self.consistent,
                "engine": self.record.engine,
                "engine_now": ENGINE,
                "contract_version": self.record.contract_version,
                "contract_version_now": CONTRACT_VERSION,
            },
            "own_rulebook": {
                "version": self.record.version,
                "digest": self.record.digest,
                "known": self.rulebook_known,
                "known_versions": list(self.known_versions),
                "commit_recorded": _text_or_none(self.record.answer["rulebook"].get(NOT_CONTENT)),
                "commit_now": self.commit_now,
            },
            "differences": [difference.as_json() for difference in self.differences],
            "more_differences": self.more,
            "refusal": self.refusal,
            "today": self.today.as_json(),
        }


@dataclass(frozen=True)
class _Recomputed:
    """What the record's own rules make of its request."""

    answer: Mapping[str, Any] | None
    refusal: RefusedRequest | None

    @property
    def outcome(self) -> Outcome | None:
        if self.refusal is not None:
            return refused(self.refusal)
        return None if self.answer is None else outcome_of(self.answer)


def replay_record(record: Record, shelf: Shelf, today: date) -> Replay:
    """Recompute a record under its own rules, and its request under those of today.

    Args:
        record: The record.
        shelf: The versions that can be recomputed with.
        today: The day.

    Returns:
        Whether it is identical, and whether it still passes.
    """
    book = shelf.by_digest(record.version, record.digest)
    own = None if book is None else replace(book, suspensions=record.suspensions, superseded_by=record.superseded_by)
    recomputed = _recomputed(record, own)
    content_id = record.id_of_content()
    found = tuple(sorted(_differences(record, recomputed, content_id), key=_weight))
    outcome, cause = _judged(record, own, recomputed, content_id, found)
    return Replay(
        record=record,
        outcome=outcome,
        cause=cause,
        answer=recomputed.answer,
        words=_words(outcome, cause, record, shelf.versions, _what_differs(recomputed, found))
        + _commit_words(outcome, record, own)
        + _suspended_words(book, record),
        content_id=content_id,
        differences=found[:MOST_DIFFERENCES],
        more=len(found) > MOST_DIFFERENCES,
        refusal=None if recomputed.refusal is None else str(recomputed.refusal),
        known_versions=shelf.versions,
        rulebook_known=own is not None,
        commit_now=None if own is None else own.commit,
        today=_today(record, own, recomputed.outcome, shelf, today),
    )


def _recomputed(record: Record, book: Rulebook | None) -> _Recomputed:
    if book is None:
        return _Recomputed(None, None)
    try:
        request = pinned(asked_then(record.resolved, record.contract_version), book)
        return _Recomputed(verification.verify(request, book, assessed_on_assumed=record.day_was_assumed), None)
    except RefusedRequest as refusal:
        return _Recomputed(None, refusal)


def _differences(record: Record, recomputed: _Recomputed, content_id: str | None) -> Iterator[Difference]:
    answer = record.answer
    if content_id != record.id:
        yield difference(("answer", "record", "id"), record.id, content_id)
    for name in answer["record"]:
        if name not in RECORD_MEMBERS:
            yield difference(("answer", "record", name), answer["record"][name], ABSENT)
    commit = answer["rulebook"].get(NOT_CONTENT)
    if commit is not None and not isinstance(commit, str):
        yield difference(("answer", "rulebook", NOT_CONTENT), commit, ABSENT)
    for name, said in (("rulebook", record.version), ("assessed_on", answer["assessed_on"])):
        given = record.request.get(name)
        if given is not None and given != said:
            yield difference(("request", name), given, said)
    if recomputed.answer is not None:
        version = record.contract_version
        yield from answer_differences(
            in_names_of_today(_content(answer), version), _content(recomputed.answer), version
        )


def _weight(difference: Difference) -> int:
    """What contradicts the record stands first, then what it lacks, then other words."""
    return 0 if difference.contradicts else 1 if difference.kind == "removed" else 2


def _content(answer: Mapping[str, Any]) -> dict[str, Any]:
    kept = {name: part for name, part in answer.items() if name != "record"}
    kept["rulebook"] = {name: value for name, value in answer["rulebook"].items() if name != NOT_CONTENT}
    return kept


def _judged(
    record: Record,
    book: Rulebook | None,
    recomputed: _Recomputed,
    content_id: str | None,
    found: tuple[Difference, ...],
) -> tuple[str, str | None]:
    beside_content = record.answer["record"].keys() - set(RECORD_MEMBERS) or any(
        entry.pointer == f"#/answer/rulebook/{NOT_CONTENT}" for entry in found
    )
    if content_id != record.id or beside_content:
        return DIFFERENT, ALTERED
    if book is None:
        return IMPOSSIBLE, RULEBOOK_UNKNOWN
    if recomputed.refusal is not None or any(entry.contradicts for entry in found):
        return DIFFERENT, NOT_MADE_HERE if record.engine == ENGINE else ANOTHER_ENGINE
    if found:
        return SAME_FIGURES, ANSWER_GAINED if any(entry.kind == "removed" for entry in found) else REWORDED
    return IDENTICAL, None


def _what_differs(recomputed: _Recomputed, found: tuple[Difference, ...]) -> str:
    """What of a record does not come out, where its content has its id."""
    if recomputed.refusal is not None:
        return "its own rules refuse its request"
    if any(entry.contradicts and entry.of_figures for entry in found):
        return "other figures come out"
    return "a verdict, code or name differs, though no figure does"


def _words(outcome: str, cause: str | None, record: Record, known: tuple[str, ...], differs: str) -> str:
    if outcome == IDENTICAL:
        by = "" if record.engine == ENGINE else f", though it says that {record.engine} made it and this is {ENGINE}"
        return f"Recomputed under its own rules, the answer is the same in every value that its id covers{by}."
    if outcome == SAME_FIGURES:
        since = "answers have gained fields since" if cause == ANSWER_GAINED else "sentences have other words now"
        return (
            f"Recomputed under its own rules, every figure, verdict and code of the record comes out the same; {since}."
        )
    if cause == ALTERED:
        return (
            "The content of the record no longer has the record's id: request or answer was altered after the answer "
            "was made. Do not rely on it; ask whoever keeps it for the record as it was given."
        )
    if cause == RULEBOOK_UNKNOWN:
        return (
            f"The content has the record's id, but its rulebook, {record.version} with digest {record.digest}, is not "
            f"served here; served: {', '.join(known) or 'none'}. To recompute it, serve the repository with its "
            "history, or a packed rulebook, in which that release stands."
        )
    if cause == ANOTHER_ENGINE:
        return (
            f"The content has the record's id, but {differs}. It says that {record.engine} made it, and "
            f"this is {ENGINE}: they may calculate otherwise. An id shows that a record is consistent, not who made it."
        )
    return (
        f"The content has the record's id, the rules and the engine are the same, and yet {differs}: this "
        "service, as it stands, did not make the answer. An id shows that a record is consistent, not who made it."
    )


def _commit_words(outcome: str, record: Record, own: Rulebook | None) -> str:
    """What "the same" leaves out: the commit is not part of what the id covers."""
    recorded = _text_or_none(record.answer["rulebook"].get(NOT_CONTENT))
    known = None if own is None else own.commit
    if outcome not in REPRODUCED or recorded is None or recorded == known:
        return ""
    held = (
        f"no commit is known here to hold {recorded} against"
        if known is None
        else f"it differs: the record names {recorded}, and these rules are known here by {known}"
    )
    return f" The id does not cover the commit, and {held}. The same rules may lie in several commits."


def _suspended_words(book: Rulebook | None, record: Record) -> str:
    """What stands against new work by the record's own rules, which "the same" leaves out as well."""
    stopped = () if book is None else book.suspensions
    reasons = [
        f"{stop.reason.rstrip('.')} (entry of {stop.since})" for stop in stopped if stop.version == record.version
    ]
    return f" Version {record.version} is suspended for new work: {'; '.join(reasons)}." if reasons else ""


def _today(record: Record, own: Rulebook | None, before: Outcome | None, shelf: Shelf, today: date) -> Today:
    day = today.isoformat()
    then = before or _stated(record.answer)
    try:
        book = shelf.in_force(today)
    except NoneInForce as none:
        words = f"Whether it passes today can't be said: {none}."
        return Today(day, None, then, None, None, (), words)
    request = pinned({**asked_today(record.resolved), "assessed_on": day, "detail": "full"}, book)
    try:
        answer = verification.verify(request, book)
    except RefusedRequest as refusal:
        after = refused(refusal)
        return Today(
            day, rulebook_identity(book), then, after, _changed(record, own, book, ()), (), _today_words(after, ())
        )
    after = outcome_of(answer)
    touching = tuple(answer["suspensions"])
    changed = _changed(record, own, book, used_paths(answer))
    return Today(day, rulebook_identity(book), then, after, changed, touching, _today_words(after, touching))


def _today_words(after: Outcome, suspensions: tuple[Mapping[str, Any], ...]) -> str:
    if after.refusal is not None:
        return f"The rules in force today refuse the request: {after.refusal}."
    stopped = "; ".join(str(suspension["reason"]) for suspension in suspensions)
    said = f" It uses what is suspended for new work: {stopped}." if stopped else ""
    if after.passes:
        return f"It passes its checks under the rules in force today.{said}"
    if after.verdict == "outside_scope":
        return f"Under the rules in force today the method does not cover it, and no resistance is given.{said}"
    unmet = ", ".join(map(stop_name, after.unmet))
    return f"It does not pass under the rules in force today{f': {unmet}' if unmet else ''}.{said}"


def _changed(
    record: Record, own: Rulebook | None, now: Rulebook, paths_now: frozenset[str] | tuple[()]
) -> tuple[ChangedFigure, ...] | None:
    if own is None:
        return None
    try:
        asked = asked_then(record.resolved, record.contract_version)
        then = verification.verify(pinned({**asked, "detail": "full"}, own), own)
    except RefusedRequest:
        return changed_figures(paths_now, own, now)
    return changed_figures(used_paths(then) | frozenset(paths_now), own, now)


def _stated(answer: Mapping[str, Any]) -> Outcome | None:
    """What a record says of itself, where its own rules are unknown; None where it does not say it as answers do."""
    verdict, governing = answer.get("verdict"), answer.get("governing")
    if not isinstance(verdict, str) or not isinstance(governing, dict | None):
        return None
    mode = (governing or {}).get("mode")
    used = (governing or {}).get("utilisation")
    figure = used if is_number(used) else None
    return Outcome(verdict[:40], mode[:40] if isinstance(mode, str) else None, figure, (), None)


def _text_or_none(value: object) -> str | None:
    return value[:64] if isinstance(value, str) else None
