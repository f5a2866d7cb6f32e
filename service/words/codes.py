"""Codes: what each means, how much it matters, whom it concerns, and which figures go with it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import EnumType, StrEnum
from functools import cache
from string import Formatter
from typing import Any, Self, TypeAlias


class Audience(StrEnum):
    """For whom a sentence is made."""

    ENGINEER = "engineer"
    CREW = "crew"


_CREW = Audience.CREW
"""Fetched once: an answer has dozens of sentences, and fetching a member by its name is slow."""


class Severity(StrEnum):
    """How much a code matters: it stops the work, somebody has to decide, or it is good to know."""

    STOPS = "stops"
    DECIDE = "decide"
    KNOW = "know"


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number that goes with a code, or several, in a unit of the contract; the unit ``1`` is a ratio or a count."""

    name: str
    unit: str


@dataclass(frozen=True, slots=True)
class Term:
    """A word from a list that goes with a code, or several; its values are members of ``terms``."""

    name: str
    terms: type[Code]


@dataclass(frozen=True, slots=True)
class Verbatim:
    """A name, a day or words of the rulebook, or several, that are the same in every language."""

    name: str


@dataclass(frozen=True, slots=True)
class Meaning:
    """What a code stands for.

    Attributes:
        meaning: One line for who builds on the API: when the code appears.
        engineer: Template of the sentence for engineers, in English, with the figures by name: ``{edge_mm}``. Of
            several the first is taken whose figures are all there.
        crew: The same for crews; None where one sentence serves both.
        severity: How much it matters; None for words that are no finding, which no answer shows by themselves.
        concerns: Who has to act on it.
        figures: What goes with it.
        short: A few words for it, where its sentence needs the figures or says more than its place asks for.
    """

    meaning: str
    engineer: str | tuple[str, ...]
    crew: str | tuple[str, ...] | None = None
    severity: Severity | None = None
    concerns: Audience = Audience.ENGINEER
    figures: tuple[Quantity | Term | Verbatim, ...] = ()
    short: str | tuple[str, ...] = ()

    @property
    def weight(self) -> Severity:
        """How much a finding matters, which has to be stated.

        Raises:
            ValueError: It is not: what stops work may not pass for good to know.
        """
        if self.severity is None:
            raise ValueError(f"{self.meaning} It is not stated how much this matters.")
        return self.severity

    @property
    def compared(self) -> tuple[tuple[str, str], ...]:
        """Names of the figures that are held against a limit, each with that of its limit; here none."""
        return ()

    def templates(self, audience: Audience) -> tuple[str, ...]:
        """The English templates of the sentence for an audience, to be tried in order."""
        return _several(self.crew if audience is _CREW and self.crew is not None else self.engineer)

    @property
    def shorts(self) -> tuple[str, ...]:
        """The English templates of the few words, to be tried in order; none where the sentence is short enough."""
        return _several(self.short)

    def template(self, audience: Audience, figures: Mapping[str, Value]) -> str:
        """The first template whose figures are all there; a figure that is None or an empty list is not.

        Args:
            audience: For whom.
            figures: The figures.

        Returns:
            The template, the last one where something is missing from each.
        """
        templates = self.templates(audience)
        for template in templates[:-1]:
            for name in figures_in(template):
                if figures.get(name) in {None, ()}:
                    break
            else:
                return template
        return templates[-1]


def means(
    meaning: str,
    engineer: str | tuple[str, ...],
    *figures: Quantity | Term | Verbatim,
    crew: str | tuple[str, ...] | None = None,
    short: str | tuple[str, ...] = (),
    severity: Severity,
    concerns: Audience = Audience.ENGINEER,
) -> Meaning:
    """State what a code stands for, its figures in a row; the arguments are those of Meaning."""
    return Meaning(meaning, engineer, crew, severity, concerns, figures, short)


def _several(given: str | tuple[str, ...]) -> tuple[str, ...]:
    return (given,) if isinstance(given, str) else given


@cache
def figures_in(template: str) -> frozenset[str]:
    """Names of the figures that a template asks for."""
    return frozenset(name for _, name, _, _ in Formatter().parse(template) if name)


@cache
def digits_in(template: str) -> Mapping[str, str]:
    """How many digits a template asks for, by the name of the figure; empty where it leaves that open."""
    return {name: digits or "" for _, name, digits, _ in Formatter().parse(template) if name}


class _NamedByItself(EnumType):
    """Makes the word of a code of the name of its member, in lower case, where a meaning stands alone."""

    def __new__(cls, name: str, bases: tuple[type, ...], members: Any, **options: Any) -> Any:
        for member, says in list(members.items()):
            if isinstance(says, Meaning):
                # As a dict: an enumeration lets nobody give a member anew.
                dict.__setitem__(members, member, (member.lower(), says))
        return super().__new__(cls, name, bases, members, **options)


class Code(StrEnum, metaclass=_NamedByItself):
    """A list of codes; a member is its word and carries what it means.

    `EDGE_DISTANCE = Meaning(…)` has the word `edge_distance`. Another word stands before the meaning, and one before a
    plain name, which serves as meaning and sentence alike.
    """

    says: Meaning
    figure_names: frozenset[str]
    compared: tuple[tuple[str, str], ...]

    def __new__(cls, word: str, says: Meaning | str = "") -> Self:
        """Make a member of its word and its meaning; a plain name serves as meaning and sentence alike.

        Raises:
            ValueError: It is given no meaning, which may only be left out where a member is found by its word.
        """
        if not says:
            raise ValueError(f"{word} is given no meaning")
        member = str.__new__(cls, word)
        member._value_ = word
        member.says = Meaning(says, says) if isinstance(says, str) else says
        member.compared = member.says.compared
        member.figure_names = frozenset(figure.name for figure in member.says.figures)
        return member


Value: TypeAlias = "float | str | tuple[float | str, ...] | None"
"""A figure: a number, a name or a member of a list of codes, several of them, or None where there is none."""


@dataclass(frozen=True, slots=True)
class Statement:
    """What was found, as a code with its figures."""

    code: Code
    figures: Mapping[str, Value] = field(default_factory=dict)

    @property
    def word(self) -> str:
        """The code as it is written; where a rulebook brings a part of it, such as a site condition, with that part."""
        return self.code.format_map(self.figures) if "{" in self.code else self.code.value

    def __post_init__(self) -> None:
        """Hold the figures against those that the code is stated with.

        Raises:
            ValueError: A figure is missing, or one is given that the code does not have.
        """
        if self.figures.keys() != self.code.figure_names:
            stated = [figure.name for figure in self.code.says.figures]
            raise ValueError(f"{self.code} goes with {stated}, not with {list(self.figures)}")
