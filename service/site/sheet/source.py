"""Where the figures of a sheet stand: each is read from the very place that it names."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from service.contract import wanted
from service.rulebook import Rulebook
from service.site.sheet.content import Figure, Line
from service.site.sheet.wording import Wording
from service.verification.refusal import Refusal
from service.verification.selection import Selection, select

INSTALLATION = "factors/installation"


class NoSheet(ValueError):  # noqa: N818 - no error of the program: there is no sheet for what was asked
    """A fixing for which there is no sheet.

    Attributes:
        reasons: Why, at least one: the place in the fixing, a stable code and words that help.
    """

    def __init__(self, *reasons: Refusal) -> None:
        """Keep the reasons.

        Args:
            *reasons: At least one.
        """
        super().__init__("; ".join(reason.detail for reason in reasons))
        self.reasons = reasons


def at(value: Any, steps: Sequence[str]) -> Any:
    """Follow the steps of a JSON pointer.

    Args:
        value: Parsed JSON.
        steps: The steps as they are written in the pointer.

    Returns:
        What stands there.
    """
    for step in steps:
        name = step.replace("~1", "/").replace("~0", "~")
        value = value[int(name)] if isinstance(value, Sequence) else value[name]
    return value


@dataclass(frozen=True)
class Source:
    """A verified fixing: its request, its answer, the rulebook it was verified by, and the words for its crew."""

    request: Mapping[str, Any]
    answer: Mapping[str, Any]
    rulebook: Rulebook
    words: Wording

    @cached_property
    def fixing(self) -> wanted.Verification:
        """What the request wants, on the day that the answer names."""
        return wanted.made(wanted.Verification, {**self.request, "assessed_on": self.answer["assessed_on"]})

    @cached_property
    def selection(self) -> Selection:
        """What the request chose."""
        return select(self.fixing.fastener, self.rulebook)

    @property
    def mechanism(self) -> str:
        """Mechanism of the family."""
        return str(self.selection.family["mechanism"])

    def read(self, path: str) -> Any:
        """Read the rulebook.

        Args:
            path: A rulebook path, as `factors/installation#/torque/tolerance_share`.

        Returns:
            What stands there.
        """
        file, _, pointer = path.partition("#/")
        kind, _, name = file.partition("/")
        document = {"families": self.rulebook.families, "factors": self.rulebook.factors}.get(kind)
        return at(self.rulebook.document if document is None else document[name], pointer.split("/"))

    def rule(self, name: str, unit: str, path: str) -> Figure:
        """Take a figure from the rulebook.

        Args:
            name: What it is.
            unit: Its unit.
            path: Its rulebook path.

        Returns:
            The figure.
        """
        return Figure(name, self.read(path), unit, rule=path)

    def rule_or_none(self, name: str, unit: str, path: str) -> Figure | None:
        """Take a figure from the rulebook that it may not have.

        Args:
            name: What it is.
            unit: Its unit.
            path: Its rulebook path.

        Returns:
            The figure, None where the rulebook has null.
        """
        return None if self.read(path) is None else self.rule(name, unit, path)

    def rule_if_there(self, name: str, unit: str, path: str) -> Figure | None:
        """Take a figure from the rulebook that rules made before it was asked for do not have.

        Args:
            name: What it is.
            unit: Its unit.
            path: Its rulebook path.

        Returns:
            The figure, None where the rulebook has no such field or no such group.
        """
        try:
            return self.rule(name, unit, path)
        except KeyError:
            return None

    def given(self, name: str, unit: str, pointer: str) -> Figure:
        """Take a figure from the record.

        Args:
            name: What it is.
            unit: Its unit.
            pointer: Its place, as `#/request/fixture/thickness_mm`.

        Returns:
            The figure.
        """
        value = at({"request": self.request, "answer": self.answer}, pointer.removeprefix("#/").split("/"))
        return Figure(name, value, unit, from_=pointer)

    def verbatim(self, path: str, code: str | None = None) -> Line:
        """Take a line from the rulebook word by word.

        Args:
            path: Its rulebook path.
            code: Its stable code.

        Returns:
            The line.
        """
        return Line(str(self.read(path)), rule=path, code=code)

    def taken(self, name: str, default: Any) -> Any:
        """Say how a field of `use` was taken.

        Args:
            name: The field.
            default: How the verification takes it where it is left out.

        Returns:
            The value.
        """
        given = getattr(self.fixing.use, name)
        return default if given is None else given

    @property
    def overhead(self) -> bool:
        """Whether the holes are drilled overhead; taken so where the request leaves it open."""
        return bool(self.taken("overhead", True))

    def requirement(self, code: str) -> int | None:
        """Find a requirement of the answer.

        Args:
            code: Its code.

        Returns:
            Its index, None where the answer has none.
        """
        codes = [requirement["code"] for requirement in self.answer["requirements"]]
        return codes.index(code) if code in codes else None
