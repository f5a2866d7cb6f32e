"""What a change of the rules does to the company's own records: line by line, in parallel, in bounded memory."""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, BinaryIO

from service.audit.impact.outcome import (
    CHANGED,
    TO_NOT_PASSING,
    TO_PASSING,
    Comparison,
    Portable,
    always_in_force,
    compared,
    portable,
)
from service.audit.impact.reference_fixings import EFFECTS
from service.audit.impact.workers import Work, in_order
from service.contract.replays import REFUSED
from service.rulebook import Rulebook

BAD = "bad"
LONGEST_LINE = 4 * 1024 * 1024
LINES_A_PART = 64
BYTES_A_PART = 1024 * 1024
LISTED = 100
"""How many lines of each kind a report lists; all of them are counted."""

Reader = Callable[[bytes], "Mapping[str, Any] | str"]
"""Reads a line: a sound verification request with its day, or in words what is wrong with the line."""


@dataclass(frozen=True)
class Line:
    """A line of a portfolio.

    Attributes:
        number: Its number, from 1.
        raw: Its bytes; None where it is too long to be read.
        read_bytes: Bytes of the portfolio up to its end.
    """

    number: int
    raw: bytes | None
    read_bytes: int


@dataclass(frozen=True)
class LineImpact:
    """What became of a line.

    Attributes:
        number: Its number, from 1.
        reference: The caller's own name for the fixing, where it has one.
        comparison: What it came to and comes to; None where the line is bad.
        reason: What is wrong with the line; None where nothing is.
    """

    number: int
    reference: str | None
    comparison: Comparison | None
    reason: str | None

    def as_json(self) -> dict[str, Any]:
        """Give the line as plain data."""
        shown = self.comparison
        return {
            "line": self.number,
            "fixing_reference": self.reference,
            "effect": BAD if shown is None else shown.effect,
            "before": None if shown is None else shown.before.as_json(),
            "after": None if shown is None else shown.after.as_json(),
            "reason": self.reason,
        }


@dataclass
class PortfolioImpact:
    """Counts over all lines, and the first or most telling of each kind; it does not grow with the portfolio.

    Attributes:
        counts: Number of lines by effect, bad ones among them.
        listed: The first lines that no longer pass, that pass now, and that are bad.
    """

    counts: dict[str, int] = field(default_factory=lambda: dict.fromkeys((*EFFECTS, BAD), 0))
    listed: dict[str, list[LineImpact]] = field(default_factory=lambda: {TO_NOT_PASSING: [], TO_PASSING: [], BAD: []})
    _largest: list[tuple[float, int, LineImpact]] = field(default_factory=list)

    @property
    def lines(self) -> int:
        """Number of lines."""
        return sum(self.counts.values())

    @property
    def largest(self) -> list[LineImpact]:
        """Of the lines whose figures alone change those with the largest change of utilisation, largest first."""
        return [line for _, _, line in sorted(self._largest, key=lambda entry: entry[:2], reverse=True)]

    def add(self, line: LineImpact) -> None:
        """Count a line, and keep it where it is among those to be listed."""
        effect = BAD if line.comparison is None else line.comparison.effect
        self.counts[effect] += 1
        kept = self.listed.get(effect)
        if kept is not None and len(kept) < LISTED:
            kept.append(line)
        if line.comparison is not None and effect == CHANGED:
            entry = (line.comparison.growth, -line.number, line)
            if len(self._largest) < LISTED:
                heapq.heappush(self._largest, entry)
            else:
                heapq.heappushpop(self._largest, entry)

    def as_json(self) -> dict[str, Any]:
        """Give the report as plain data.

        Returns:
            Counts of all lines, and the lines that are listed.
        """
        return {
            "lines": self.lines,
            "counts": dict(self.counts),
            "listed_at_most": LISTED,
            "to_not_passing": [line.as_json() for line in self.listed[TO_NOT_PASSING]],
            "to_passing": [line.as_json() for line in self.listed[TO_PASSING]],
            "largest_changes": [line.as_json() for line in self.largest],
            "bad_lines": [line.as_json() for line in self.listed[BAD]],
        }


def lines_of(source: BinaryIO, longest: int = LONGEST_LINE) -> Iterator[Line]:
    """Read a portfolio line by line; of a line that is too long no more than its allowed length is ever held.

    Args:
        source: The portfolio.
        longest: Largest length of a line (bytes).

    Yields:
        Each line.
    """
    number = read_bytes = 0
    while raw := source.readline(longest + 1):
        number += 1
        read_bytes += len(raw)
        # One byte over the length may be the end of the line.
        too_long = len(raw) > longest and not raw.endswith(b"\n")
        while too_long and (rest := source.readline(longest)):
            read_bytes += len(rest)
            if rest.endswith(b"\n"):
                break
        yield Line(number, None if too_long else raw.rstrip(b"\r\n"), read_bytes)


def portfolio_impact(
    old: Rulebook,
    new: Rulebook,
    source: BinaryIO,
    reader: Reader,
    *,
    jobs: int,
    each: Callable[[LineImpact], None],
    progress: Callable[[int], None],
) -> PortfolioImpact:
    """Say what a change of the rules does to the records of a portfolio.

    Each rulebook counts as in force, so that its rules decide and not the day of its release.

    Args:
        old: The rules before.
        new: The rules after.
        source: The portfolio: a record or a verification request a line.
        reader: Reads a line; it must be found by its name in another process.
        jobs: Number of processes.
        each: Told of each line, in the order of the portfolio.
        progress: Told how many bytes have been handed out.

    Returns:
        Counts and the lines that matter most.
    """
    report = PortfolioImpact()
    work = Work(examiner, (portable(old), portable(new), reader))
    for results in in_order(work, _parts(lines_of(source), progress), jobs):
        for line in results:
            report.add(line)
            each(line)
    return report


def examiner(given: tuple[Portable, Portable, Reader]) -> Callable[[Sequence[Line]], tuple[LineImpact, ...]]:
    """Make what examines lines, in the process that is to do it.

    Args:
        given: Both rulebooks, and what reads a line.

    Returns:
        A function from lines to what became of them.
    """
    old, new, reader = given
    books = always_in_force(old.book()), always_in_force(new.book())
    return lambda lines: tuple(_examined(line, reader, *books) for line in lines)


def _examined(line: Line, reader: Reader, old: Rulebook, new: Rulebook) -> LineImpact:
    if line.raw is None:
        words = f"the line is longer than {LONGEST_LINE} bytes, so it was not read"
        return LineImpact(line.number, None, None, words)
    request = reader(line.raw)
    if isinstance(request, str):
        return LineImpact(line.number, None, None, request)
    reference = request.get("fixing_reference")
    try:
        comparison = compared(request, old, new)
    except ArithmeticError:
        return LineImpact(line.number, reference, None, "its figures are beyond what can be calculated with")
    if comparison.before.verdict == comparison.after.verdict == REFUSED:
        return LineImpact(line.number, reference, None, f"refused before and after: {comparison.after.refusal}")
    return LineImpact(line.number, reference, comparison, None)


def _parts(lines: Iterable[Line], progress: Callable[[int], None]) -> Iterator[tuple[Line, ...]]:
    part: list[Line] = []
    size = 0
    for line in lines:
        part.append(line)
        size += len(line.raw or b"")
        if len(part) >= LINES_A_PART or size >= BYTES_A_PART:
            yield tuple(part)
            progress(line.read_bytes)
            part, size = [], 0
    if part:
        yield tuple(part)
        progress(part[-1].read_bytes)
