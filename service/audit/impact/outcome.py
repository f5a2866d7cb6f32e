"""What a request comes to under a rulebook, and what of it differs under another one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass, replace
from datetime import date
from pathlib import Path
from types import MappingProxyType
from typing import Any

from service import verification
from service.audit.changes.places import is_number
from service.contract.replays import REFUSED
from service.contract.sentences import without_sentences
from service.rulebook import Rulebook, plain
from service.rulebook.book import of_documents
from service.rulebook.suspensions import Suspension
from service.rulebook.tree import RULEBOOK
from service.verification.refusal import RefusedRequest

VERIFIED = "verified"
UNCHANGED, CHANGED, TO_NOT_PASSING, TO_PASSING = "unchanged", "changed", "to_not_passing", "to_passing"

WORDS_ONLY = frozenset({"assumptions", "cautions", "basis", "rulebook", "record", "suspensions", "assessed_on"})
"""Parts of an answer that hold no figure of the fixing: words, and who answered."""

OF_A_SENTENCE = "figures"
REFERENCES = frozenset({"clause", "rule"})
"""Members that say where a figure stands."""


@dataclass(frozen=True)
class Outcome:
    """What a request comes to under one rulebook.

    Attributes:
        verdict: The verdict; "refused" where the rulebook does not know what the request names.
        mode: The mode that governs; None where none does.
        utilisation: Its utilisation; None where no check was made.
        unmet: Codes of the requirements that are not met.
        refusal: Why the request is refused; None where it is not.
    """

    verdict: str
    mode: str | None
    utilisation: float | None
    unmet: tuple[str, ...]
    refusal: str | None

    @property
    def passes(self) -> bool:
        """Whether the fixing is verified."""
        return self.verdict == VERIFIED

    def as_json(self) -> dict[str, Any]:
        """Give the outcome as plain data."""
        return {**asdict(self), "unmet": list(self.unmet)}


@dataclass(frozen=True)
class Comparison:
    """A request under the rules before and after a change.

    Attributes:
        before: What it came to.
        after: What it comes to.
        effect: "unchanged", "changed" (a figure, but not whether it passes), "to_not_passing" or "to_passing".
    """

    before: Outcome
    after: Outcome
    effect: str

    @property
    def growth(self) -> float:
        """By how much the utilisation changes, either way (no unit); 0 where one of the two has none."""
        if self.before.utilisation is None or self.after.utilisation is None:
            return 0.0
        return abs(self.after.utilisation - self.before.utilisation)


@dataclass(frozen=True)
class Portable:
    """A rulebook as plain data, fit to be sent to another process.

    Attributes:
        documents: Documents that calculate, by path relative to the rules directory.
        path: Where they come from.
        commit: The commit that holds them, if there is one.
        state: "released" or "working".
        suspensions: What is suspended.
    """

    documents: Mapping[str, Any]
    path: Path
    commit: str | None
    state: str
    suspensions: tuple[Suspension, ...]

    def book(self) -> Rulebook:
        """Make the rulebook."""
        made = of_documents(self.documents, path=self.path, commit=self.commit, state=self.state)
        return replace(made, suspensions=self.suspensions)


def portable(book: Rulebook) -> Portable:
    """Make a rulebook fit to be sent to another process."""
    return Portable(documents_of(book), book.path, book.commit, book.state, book.suspensions)


def documents_of(book: Rulebook) -> dict[str, Any]:
    """Give the documents of a rulebook as the JSON parser gave them.

    Args:
        book: The rulebook.

    Returns:
        Documents by path relative to the rules directory.
    """
    documents: dict[str, Any] = {RULEBOOK: plain(book.document)}
    documents |= {f"families/{name}.json": plain(family) for name, family in book.families.items()}
    documents |= {f"factors/{name}.json": plain(factor) for name, factor in book.factors.items()}
    documents |= {f"reference/{fixing['id']}.json": plain(fixing) for fixing in book.reference}
    return documents


def always_in_force(book: Rulebook) -> Rulebook:
    """Take the period of a rulebook away, so that only its rules decide.

    Args:
        book: The rulebook.

    Returns:
        The same rules, in force on every day.
    """
    period = {"effective_from": date.min.isoformat(), "effective_until": None}
    return replace(book, document=MappingProxyType({**book.document, **period}))


def pinned(request: Mapping[str, Any], book: Rulebook) -> dict[str, Any]:
    """Ask for the same by the rules of one rulebook.

    Args:
        request: A verification request with its day.
        book: The rulebook.

    Returns:
        The request, with the rulebook's version in place of the one it names.
    """
    return {**request, "rulebook": book.version}


def compared(request: Mapping[str, Any], old: Rulebook, new: Rulebook) -> Comparison:
    """Verify a request under two rulebooks.

    Args:
        request: A sound verification request with its day; the version it names does not matter.
        old: The rules before.
        new: The rules after.

    Returns:
        Both outcomes and what the change does.
    """
    (before, figures_before), (after, figures_after) = (_verified(request, book) for book in (old, new))
    if before.passes != after.passes:
        effect = TO_PASSING if after.passes else TO_NOT_PASSING
    else:
        effect = UNCHANGED if (before, figures_before) == (after, figures_after) else CHANGED
    return Comparison(before, after, effect)


def outcome_of(answer: Mapping[str, Any]) -> Outcome:
    """Read what an answer comes to.

    Args:
        answer: The answer of a verification.

    Returns:
        The outcome.
    """
    governing = answer["governing"] or {"mode": None, "utilisation": None}
    unmet = tuple(requirement["code"] for requirement in answer["requirements"] if not requirement["met"])
    return Outcome(answer["verdict"], governing["mode"], governing["utilisation"], unmet, None)


def refused(refusal: RefusedRequest) -> Outcome:
    """Say that a request is refused.

    Args:
        refusal: Why.

    Returns:
        The outcome.
    """
    return Outcome(REFUSED, None, None, (), str(refusal))


def _verified(request: Mapping[str, Any], book: Rulebook) -> tuple[Outcome, tuple[Any, ...]]:
    try:
        answer = verification.verify(pinned(request, book), book)
    except RefusedRequest as refusal:
        return refused(refusal), ()
    return outcome_of(answer), tuple(_figures(answer))


def _figures(answer: Mapping[str, Any]) -> Iterator[Any]:
    """Everything of an answer that is no sentence: numbers, what is met, and which mode or length it is about."""
    kept = {name: part for name, part in answer.items() if name not in WORDS_ONLY}
    waiting: list[Any] = [without_sentences(kept)]
    while waiting:
        value = waiting.pop()
        if isinstance(value, dict):
            for name, inner in value.items():
                if name == OF_A_SENTENCE:
                    # Of what a sentence is made of, days and reasons are words.
                    yield from sorted((f, v) for f, v in inner.items() if is_number(v))
                elif name not in REFERENCES:
                    yield name
                    waiting.append(inner)
        elif isinstance(value, list):
            yield len(value)
            waiting.extend(value)
        else:
            yield value
