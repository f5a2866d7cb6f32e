"""The working of a number, kept as data beside the formulas."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol


@dataclass(frozen=True, slots=True)
class TraceEntry:
    """One step of the working: a symbol of the standard, its value, and how it came about."""

    symbol: str
    value: float
    unit: str
    expression: str
    clause: str
    rule: str | None


class Trace(Protocol):
    """What a check writes its working to."""

    @property
    def wanted(self) -> bool:
        """Whether anybody reads the working, so that costly expressions need not be built otherwise."""

    def add(self, symbol: str, value: float, unit: str, expression: str, clause: str, rule: str | None = None) -> float:
        """Note one step and hand its value back."""

    def entries(self) -> tuple[TraceEntry, ...]:
        """The steps so far, in order of use."""


class Recorder:
    """Keeps every step."""

    def __init__(self) -> None:
        self._entries: list[TraceEntry] = []

    @property
    def wanted(self) -> bool:
        """A recorder is always read."""
        return True

    def add(self, symbol: str, value: float, unit: str, expression: str, clause: str, rule: str | None = None) -> float:
        """Note one step and hand its value back."""
        self._entries.append(TraceEntry(symbol, value, unit, expression, clause, rule))
        return value

    def entries(self) -> tuple[TraceEntry, ...]:
        """The steps so far, in order of use."""
        return tuple(self._entries)


class Silent:
    """Keeps nothing, for answers without working."""

    @property
    def wanted(self) -> bool:
        """Nobody reads a silent trace."""
        return False

    def add(self, symbol: str, value: float, unit: str, expression: str, clause: str, rule: str | None = None) -> float:
        """Hand the value back."""
        return value

    def entries(self) -> tuple[TraceEntry, ...]:
        """Always empty."""
        return ()


def new_trace(wanted: bool) -> Trace:
    """A recorder when the working is wanted, else a silent one."""
    return Recorder() if wanted else Silent()
