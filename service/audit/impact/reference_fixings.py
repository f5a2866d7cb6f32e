"""What a change of the rules does to the reference fixings, and to what would be chosen for them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from types import MappingProxyType
from typing import Any

from service import sizing
from service.audit.impact.outcome import (
    CHANGED,
    TO_NOT_PASSING,
    TO_PASSING,
    UNCHANGED,
    Comparison,
    Portable,
    always_in_force,
    compared,
    pinned,
    portable,
)
from service.audit.impact.workers import Work, in_order
from service.rulebook import Rulebook, plain
from service.verification.refusal import RefusedRequest

CAST_IN = "headed_fastener"
EFFECTS = (TO_NOT_PASSING, TO_PASSING, CHANGED, UNCHANGED)
"""What a change may do to a fixing, what matters most first."""

ASKED: Mapping[str, str] = MappingProxyType({
    "as_before": "stands in both",
    "new": "stands only in the rules after",
    "removed": "stands only in the rules before",
    "changed_as_before": "itself changed; asked as it was before",
    "changed_as_after": "itself changed; asked as it is after",
})
"""Where a reference fixing stands; a change must not be judged only by fixings that it has changed to suit itself."""

FIXINGS_A_PART = 8


@dataclass(frozen=True)
class FixingImpact:
    """A reference fixing before and after a change.

    Attributes:
        id: Its id.
        title: What people call it.
        family: Family of its fastener.
        size: Size of its fastener.
        embedment_mm: Its effective embedment (mm).
        comparison: What it came to and comes to.
        asked: One of ASKED: whether the fixing itself stands, comes, goes or changes with the rules.
    """

    id: str
    title: str
    family: str
    size: str
    embedment_mm: float
    comparison: Comparison
    asked: str

    def as_json(self) -> dict[str, Any]:
        """Give the fixing as plain data.

        Returns:
            Its name, its fastener, both outcomes and the effect.
        """
        return {
            "id": self.id,
            "title": self.title,
            "fastener": {"family": self.family, "size": self.size, "embedment_mm": self.embedment_mm},
            "effect": self.comparison.effect,
            "before": self.comparison.before.as_json(),
            "after": self.comparison.after.as_json(),
            "fixing": self.asked,
        }


@dataclass(frozen=True)
class FirstChoice:
    """What sizing chooses first, or why it chooses nothing.

    Attributes:
        family: Family of the first choice; None where there is none.
        size: Its size.
        embedment_mm: Its effective embedment (mm).
        utilisation: Utilisation of its governing check.
        refusal: Why the request was refused; None where it was not.
    """

    family: str | None
    size: str | None
    embedment_mm: float | None
    utilisation: float | None
    refusal: str | None

    @property
    def fastener(self) -> tuple[str | None, str | None, float | None]:
        """What would be bought; the same fastener at another utilisation is the same choice."""
        return self.family, self.size, self.embedment_mm

    def as_json(self) -> dict[str, Any] | None:
        """Give the choice as plain data.

        Returns:
            Its fastener and utilisation; None where nothing is chosen.
        """
        if self.family is None:
            return None
        return {
            "family": self.family,
            "size": self.size,
            "embedment_mm": self.embedment_mm,
            "utilisation": self.utilisation,
        }


@dataclass(frozen=True)
class SizingImpact:
    """A sizing whose first choice changes.

    Attributes:
        id: Id of the reference fixing whose holes, actions and surroundings it takes.
        title: What people call that.
        before: What was chosen first.
        after: What is chosen first.
    """

    id: str
    title: str
    before: FirstChoice
    after: FirstChoice

    def as_json(self) -> dict[str, Any]:
        """Give the sizing as plain data."""
        return {"id": self.id, "title": self.title, "before": self.before.as_json(), "after": self.after.as_json()}


@dataclass(frozen=True)
class ComparedRules:
    """One of the two rulebooks.

    Attributes:
        name: What the caller called it: a version, or a revision of the repository.
        version: Its version.
        digest: Its digest.
    """

    name: str
    version: str
    digest: str


@dataclass(frozen=True)
class Impact:
    """What a change does.

    Attributes:
        old: The rules before.
        new: The rules after.
        fixings: Reference fixings that it touches, those that no longer pass first.
        unchanged: Number of reference fixings that it does not touch.
        sizings: Sizings whose first choice it changes; None where sizings were not asked for.
        sizings_unchanged: Number of sizings whose first choice it does not change.
    """

    old: ComparedRules
    new: ComparedRules
    fixings: tuple[FixingImpact, ...]
    unchanged: int
    sizings: tuple[SizingImpact, ...] | None
    sizings_unchanged: int

    def counted(self) -> dict[str, int]:
        """Count the reference fixings by what the change does to them."""
        counts = {effect: sum(fixing.comparison.effect == effect for fixing in self.fixings) for effect in EFFECTS}
        return counts | {UNCHANGED: self.unchanged}

    def as_json(self) -> dict[str, Any]:
        """Give the impact as plain data."""
        sizings = self.sizings
        return {
            "old": asdict(self.old),
            "new": asdict(self.new),
            "counts": self.counted(),
            "fixings": [fixing.as_json() for fixing in self.fixings],
            "sizings": None
            if sizings is None
            else {"changed": [sizing.as_json() for sizing in sizings], "unchanged": self.sizings_unchanged},
        }


@dataclass(frozen=True)
class Question:
    """A reference fixing as it is asked of both rulebooks.

    Attributes:
        id: Its id.
        title: What people call it.
        request: Its request, with its day.
        asked: As for FixingImpact.
    """

    id: str
    title: str
    request: Mapping[str, Any]
    asked: str


Found = tuple[FixingImpact, tuple[FirstChoice, FirstChoice] | None]


def impact_of_change(
    old: Rulebook,
    new: Rulebook,
    day: str,
    *,
    names: tuple[str, str] | None = None,
    sizings: bool = True,
    jobs: int = 1,
) -> Impact:
    """Say what a change of the rules does to the reference fixings.

    Each rulebook counts as in force, so that its rules decide and not the day of its release.

    Args:
        old: The rules before.
        new: The rules after.
        day: Day for the reference fixings that name none, ISO 8601.
        names: What to call the two; None takes their versions.
        sizings: Whether to size each fixing anew as well.
        jobs: Number of processes.

    Returns:
        What is touched, what no longer passes first.
    """
    called = names or (old.version, new.version)
    asked = tuple(questions(old, new, day))
    parts = [asked[first : first + FIXINGS_A_PART] for first in range(0, len(asked), FIXINGS_A_PART)]
    work = Work(examiner, (portable(old), portable(new), sizings))
    found = [result for results in in_order(work, parts, jobs) for result in results]
    touched = [fixing for fixing, _ in found if fixing.comparison.effect != UNCHANGED]
    chosen = [
        SizingImpact(fixing.id, fixing.title, *choices)
        for fixing, choices in found
        if choices is not None and choices[0].fastener != choices[1].fastener
    ]
    return Impact(
        old=ComparedRules(called[0], old.version, old.digest),
        new=ComparedRules(called[1], new.version, new.digest),
        fixings=tuple(sorted(touched, key=lambda fixing: urgency(fixing.comparison))),
        unchanged=len(found) - len(touched),
        sizings=tuple(chosen) if sizings else None,
        sizings_unchanged=sum(choices is not None for _, choices in found) - len(chosen),
    )


def urgency(comparison: Comparison) -> tuple[int, float]:
    """Give what comparisons are ordered by.

    Args:
        comparison: A comparison.

    Returns:
        A sort key: what no longer passes, then what passes now, then the larger change of utilisation.
    """
    return EFFECTS.index(comparison.effect), -comparison.growth


def questions(old: Rulebook, new: Rulebook, day: str) -> Iterator[Question]:
    """Gather the reference fixings of both rulebooks.

    Args:
        old: The rules before.
        new: The rules after.
        day: Day for those that name none, ISO 8601.

    Yields:
        The fixings by the order of their ids; one that differs both as it was and as it is.
    """
    before, after = ({fixing["id"]: fixing for fixing in book.reference} for book in (old, new))
    for name in sorted(before.keys() | after.keys()):
        if name in before and name in after and plain(before[name]["request"]) != plain(after[name]["request"]):
            yield _question(before[name], "changed_as_before", day)
            yield _question(after[name], "changed_as_after", day)
        elif name in after:
            yield _question(after[name], "as_before" if name in before else "new", day)
        else:
            yield _question(before[name], "removed", day)


def _question(fixing: Mapping[str, Any], asked: str, day: str) -> Question:
    request = plain(fixing["request"])
    request |= {"assessed_on": request.get("assessed_on") or day}
    return Question(fixing["id"], fixing["title"], request, asked)


def examiner(given: tuple[Portable, Portable, bool]) -> Callable[[Sequence[Question]], tuple[Found, ...]]:
    """Make what examines fixings, in the process that is to do it.

    Args:
        given: Both rulebooks, and whether to size.

    Returns:
        A function from questions to what was found.
    """
    old, new, sizings = given
    books = always_in_force(old.book()), always_in_force(new.book())

    def examined(asked: Iterable[Question]) -> tuple[Found, ...]:
        return tuple((_fixing(question, *books), _choices(question, *books) if sizings else None) for question in asked)

    return examined


def _fixing(question: Question, old: Rulebook, new: Rulebook) -> FixingImpact:
    fastener = question.request["fastener"]
    return FixingImpact(
        id=question.id,
        title=question.title,
        family=fastener["family"],
        size=fastener["size"],
        embedment_mm=fastener["embedment_mm"],
        comparison=compared(question.request, old, new),
        asked=question.asked,
    )


def _choices(question: Question, old: Rulebook, new: Rulebook) -> tuple[FirstChoice, FirstChoice]:
    family = question.request["fastener"]["family"]
    known = new.families.get(family) or old.families.get(family)
    wanted = {name: part for name, part in question.request.items() if name not in {"fastener", "detail"}}
    wanted["max_choices"] = 1
    if known is not None and known["mechanism"] == CAST_IN:
        # Sizing offers what is cast in only where it is asked for.
        wanted["limits"] = {"mechanisms": [CAST_IN]}
    return _first_choice(wanted, old), _first_choice(wanted, new)


def _first_choice(request: Mapping[str, Any], book: Rulebook) -> FirstChoice:
    try:
        choices = sizing.size(pinned(request, book), book)["choices"]
    except RefusedRequest as refusal:
        return FirstChoice(None, None, None, None, str(refusal))
    if not choices:
        return FirstChoice(None, None, None, None, None)
    first = choices[0]
    fastener = first["fastener"]
    return FirstChoice(fastener["family"], fastener["size"], fastener["embedment_mm"], first["utilisation"], None)
