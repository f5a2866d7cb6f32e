"""Which figures of the rulebook somebody would notice if they were wrong: each is moved, one at a time, up and down.

A figure is guarded when both moves change what is published of a reference fixing, or are found by the checker.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from types import MappingProxyType
from typing import Any

from service import verification
from service.audit.changes.figures import RuleNumber, allowed, figures_of
from service.audit.impact.outcome import Portable, always_in_force, documents_of, pinned, portable
from service.audit.impact.workers import Work, in_order
from service.rulebook import Rulebook
from service.rulebook.lint import RULES
from service.rulebook.lint.draft import Draft
from service.rulebook.tree import RULEBOOK
from service.verification.refusal import RefusedRequest

MOVE = 0.05
LIMIT = 0.05
VERDICT, REQUIREMENT, UTILISATION, LIMIT_SHOWN, LINT = "verdict", "requirement", "utilisation", "limit", "lint"
KINDS = (VERDICT, REQUIREMENT, UTILISATION, LIMIT_SHOWN, LINT)
"""What can notice a move, the strongest first."""

FAMILIES, FACTORS = "families/", "factors/"
FIGURES_A_PART = 24
Steps = tuple[str | int, ...]


@dataclass(frozen=True)
class Guarding:
    """What notices when a figure is moved.

    Attributes:
        figure: The figure.
        up: What notices that it is 5 % higher, one of KINDS; None where nothing does.
        down: What notices that it is 5 % lower.
    """

    figure: RuleNumber
    up: str | None
    down: str | None

    @property
    def guarded(self) -> bool:
        """Whether both moves are noticed."""
        return self.up is not None and self.down is not None

    @property
    def by(self) -> str | None:
        """What guards the figure: of its two moves the one that is noticed less strongly."""
        if self.up is None or self.down is None:
            return None
        return max(self.up, self.down, key=KINDS.index)


@dataclass(frozen=True)
class GuardReport:
    """What came of moving the figures.

    Attributes:
        version: Version of the rulebook.
        fixings: Number of reference fixings.
        figures: Every figure that was moved, in the order of files and places.
        limit: The share of calculating figures that may be unguarded (ratio).
    """

    version: str
    fixings: int
    figures: tuple[Guarding, ...]
    limit: float

    @property
    def calculating(self) -> tuple[Guarding, ...]:
        """Figures that enter a check."""
        return tuple(guarding for guarding in self.figures if not guarding.figure.setting)

    @property
    def setting(self) -> tuple[Guarding, ...]:
        """Setting data."""
        return tuple(guarding for guarding in self.figures if guarding.figure.setting)

    @property
    def unguarded(self) -> tuple[Guarding, ...]:
        """Calculating figures that may be wrong without anybody noticing."""
        return tuple(guarding for guarding in self.calculating if not guarding.guarded)

    @property
    def share(self) -> float:
        """Share of the calculating figures that nobody guards (ratio)."""
        return len(self.unguarded) / len(self.calculating) if self.calculating else 0.0

    @property
    def within(self) -> bool:
        """Whether that share is within the limit."""
        return self.share <= self.limit

    def counted(self) -> dict[str, int]:
        """Count the calculating figures by what guards them."""
        return {kind: sum(guarding.by == kind for guarding in self.calculating) for kind in KINDS}

    def as_json(self) -> dict[str, Any]:
        """Give the report as plain data."""
        return {
            "rulebook": self.version,
            "reference_fixings": self.fixings,
            "moved_by": MOVE,
            "calculating": len(self.calculating),
            "guarded_by": self.counted(),
            "unguarded": [_shown(guarding) for guarding in self.unguarded],
            "unguarded_share": self.share,
            "limit": self.limit,
            "within_limit": self.within,
            "setting_data": len(self.setting),
            "setting_data_unguarded": [_shown(guarding) for guarding in self.setting if not guarding.guarded],
        }


def guard_figures(
    book: Rulebook, day: str, *, only: frozenset[tuple[str, Steps]] | None = None, limit: float = LIMIT, jobs: int = 1
) -> GuardReport:
    """Move each figure of a rulebook and see what notices.

    Args:
        book: The rulebook.
        day: Day for the reference fixings that name none, ISO 8601.
        only: Files and places of the figures to move; None moves all.
        limit: The share of calculating figures that may be unguarded (ratio).
        jobs: Number of processes.

    Returns:
        What guards each figure.
    """
    figures = [figure for figure in figures_of(documents_of(book)) if only is None or _is_in(figure, only)]
    parts = (
        tuple(same_file[first : first + FIGURES_A_PART])
        for _, found in groupby(figures, key=lambda figure: figure.file)
        for same_file in [list(found)]
        for first in range(0, len(same_file), FIGURES_A_PART)
    )
    results = in_order(Work(mover, (portable(book), day)), parts, jobs)
    guardings = tuple(guarding for part in results for guarding in part)
    return GuardReport(book.version, len(book.reference), guardings, limit)


def mover(given: tuple[Portable, str]) -> Callable[[Sequence[RuleNumber]], tuple[Guarding, ...]]:
    """Make what moves figures, in the process that is to do it.

    Args:
        given: The rulebook and the day for reference fixings that name none.

    Returns:
        A function from figures to what guards them.
    """
    shipped, day = given
    moves = Moves(shipped.book(), shipped.documents, day)
    return lambda figures: tuple(moves.guarding(figure) for figure in figures)


@dataclass(frozen=True)
class _Published:
    """What is published of a reference fixing and would change with a figure."""

    verdict: str
    met: tuple[tuple[str, bool], ...]
    utilisations: tuple[tuple[str, str, str | None, float], ...]
    limits: tuple[tuple[Any, ...], ...]

    def noticed(self, other: _Published) -> str | None:
        """Say what differs most strongly from another state of it."""
        if self.verdict != other.verdict:
            return VERDICT
        if self.met != other.met:
            return REQUIREMENT
        if self.utilisations != other.utilisations:
            return UTILISATION
        return LIMIT_SHOWN if self.limits != other.limits else None


class Moves:
    """A rulebook with its reference fixings, ready for figures to be moved."""

    def __init__(self, book: Rulebook, documents: Mapping[str, Any], day: str) -> None:
        """Verify every reference fixing as the rules stand.

        Args:
            book: The rulebook.
            documents: Its documents as the parser gave them.
            day: Day for the reference fixings that name none.
        """
        self._book = always_in_force(book)
        self._documents = documents
        self._fixings = tuple(
            pinned({"assessed_on": day, **documents[f"reference/{fixing['id']}.json"]["request"]}, book)
            for fixing in book.reference
        )
        self._published = tuple(_published(request, self._book) for request in self._fixings)
        self._findings: dict[str, frozenset[tuple[str, str, str]]] = {}

    def guarding(self, figure: RuleNumber) -> Guarding:
        """Move a figure up and down."""
        step = abs(figure.value) * MOVE or MOVE
        return Guarding(figure, self._noticed(figure, figure.value + step), self._noticed(figure, figure.value - step))

    def _noticed(self, figure: RuleNumber, value: float) -> str | None:
        moved = with_value(self._book, figure, value)
        strongest: str | None = None
        for place in self._concerned(figure):
            found = self._published[place].noticed(_published(self._fixings[place], moved))
            if found is not None and (strongest is None or KINDS.index(found) < KINDS.index(strongest)):
                strongest = found
            if strongest == VERDICT:
                return strongest
        if strongest is None and self._found_by_lint(figure, value):
            return LINT
        return strongest

    def _concerned(self, figure: RuleNumber) -> Iterator[int]:
        """Which reference fixings can notice: those of the family, the size, the embedment; all for the rest."""
        family = figure.file.removeprefix(FAMILIES).removesuffix(".json") if figure.file.startswith(FAMILIES) else None
        size = figure.steps[1] if family and figure.steps[0] == "sizes" else None
        row = figure.steps[3] if size and figure.steps[2] == "embedments" else None
        for place, request in enumerate(self._fixings):
            fastener = request["fastener"]
            if (
                family in {None, fastener["family"]}
                and size in {None, fastener["size"]}
                and row in {None, f"{fastener['embedment_mm']:g}"}
            ):
                yield place

    def _found_by_lint(self, figure: RuleNumber, value: float) -> bool:
        if not allowed(figure, value):
            return True
        if figure.file not in self._findings:
            self._findings[figure.file] = self._found(figure.file, self._documents[figure.file])
        moved = _replaced(self._documents[figure.file], figure.steps, value)
        return not self._found(figure.file, moved) <= self._findings[figure.file]

    def _found(self, file: str, document: Any) -> frozenset[tuple[str, str, str]]:
        # The other families and the fixings would cost most of the time; what is missing without them is missing before
        # a move as well as after it.
        shared = (path for path in self._documents if path == RULEBOOK or path.startswith(FACTORS))
        documents = {**{path: self._documents[path] for path in shared}, file: document}
        draft = Draft(documents, frozenset(), (), {}, frozenset())
        findings = (finding for rule in RULES for finding in rule.check(draft))
        return frozenset((finding.file, finding.pointer, finding.rule) for finding in findings)


def with_value(book: Rulebook, figure: RuleNumber, value: float) -> Rulebook:
    """Give a rulebook in which one figure has another value; everything else is shared with the one given."""
    name = figure.file.rpartition("/")[2].removesuffix(".json")
    if figure.file.startswith(FAMILIES):
        return replace(book, families=_replaced(book.families, (name, *figure.steps), value))
    if figure.file.startswith(FACTORS):
        return replace(book, factors=_replaced(book.factors, (name, *figure.steps), value))
    return replace(book, document=_replaced(book.document, figure.steps, value))


def _replaced(whole: Any, steps: Steps, value: float) -> Any:
    if not steps:
        return value
    first, rest = steps[0], steps[1:]
    if isinstance(whole, Mapping):
        changed = {**whole, first: _replaced(whole[first], rest, value)}
        return changed if isinstance(whole, dict) else MappingProxyType(changed)
    kind = type(whole)
    return kind(_replaced(item, rest, value) if index == first else item for index, item in enumerate(whole))


def _published(request: Mapping[str, Any], book: Rulebook) -> _Published:
    try:
        answer = verification.verify(request, book)
    except RefusedRequest as refusal:
        return _Published(str(refusal), (), (), ())
    requirements: Iterable[Mapping[str, Any]] = answer["requirements"]
    return _Published(
        verdict=answer["verdict"],
        met=tuple((requirement["code"], requirement["met"]) for requirement in requirements),
        utilisations=tuple((c["load_case"], c["mode"], c["edge"], c["utilisation"]) for c in answer["checks"]),
        limits=tuple(
            (requirement["code"], requirement["limit"], tuple(sorted(requirement["figures"].items(), key=str)))
            for requirement in requirements
        ),
    )


def _is_in(figure: RuleNumber, wanted: frozenset[tuple[str, Steps]]) -> bool:
    return (figure.file, figure.steps) in wanted


def _shown(guarding: Guarding) -> dict[str, Any]:
    figure = guarding.figure
    return {"path": figure.path, "value": figure.value, "up": guarding.up, "down": guarding.down}
