"""What a load model asks for: each input with unit, range, meaning, and what leaving it out means.

A form, the API's own check and the calculation all read these, so that the three cannot differ.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any, TypeAlias

from service.contract.fields import UNKNOWN
from service.contract.load_model_codes import Because, InputTaken
from service.rulebook import Rulebook
from service.verification.assumptions import Assumption
from service.verification.refusal import Refusal
from service.words import Statement

NOT_KNOWN = "Not known"
NO_UNIT = "1"
"""Of a ratio or a count."""

Disagreement: TypeAlias = tuple[str, str, str]
"""Field, code and words."""


class Condition(StrEnum):
    """What may have to hold of another input."""

    IS = "is"
    ABOVE = "above"
    GIVEN = "given"
    NOT_GIVEN = "not_given"


@dataclass(frozen=True, slots=True)
class Where:
    """What has to hold of another input, so that this one is needed, or has an effect.

    Attributes:
        name: The other input.
        condition: What has to hold of it.
        value: The word that it has to be.
        above: The figure that it has to exceed.
    """

    name: str
    condition: Condition = Condition.GIVEN
    value: str | None = None
    above: float | None = None


@dataclass(frozen=True, slots=True)
class Crew:
    """What a form for crews says of an input otherwise, where they stand at the thing and know no axes.

    Attributes:
        label: What it is called; None: the title.
        hint: What it means; None: the words of the input.
        left_empty: What leaving it empty means; None: the words of the input.
        first: Asked at once although it need not be given; the others are folded away.
        directed: Answered as seen from where one stands.
    """

    label: str | None = None
    hint: str | None = None
    left_empty: str | None = None
    first: bool = False
    directed: bool = False


@dataclass(frozen=True, slots=True)
class Input:
    """One input.

    Attributes:
        name: Name of the field, ending in its unit.
        title: What a form calls it.
        words: What it means, without names of fields.
        absent: What leaving it out means; None: it must be given.
        default: What is taken where it is left out; None: nothing, or what follows from other inputs.
        follows: The input whose answer is taken where it is left out; None: none's.
        because: Why that is taken, or what it comes to, which is said with a number where absent says nothing.
        needed_where: Where it must be given all the same; None: nowhere.
        only_where: Where alone it has an effect; None: everywhere.
        crew: What a form for crews says otherwise.
    """

    name: str
    title: str
    words: str
    absent: str | None = None
    default: float | str | None = None
    follows: str | None = None
    because: Because | None = None
    needed_where: Where | None = None
    only_where: Where | None = None
    crew: Crew = Crew()

    def __post_init__(self) -> None:
        """Say what leaving it out means, where that is the number taken and why."""
        if self.absent is None and self.because is not None:
            object.__setattr__(self, "absent", f"{self.default}, {self.because.says.engineer}")


@dataclass(frozen=True, slots=True)
class NumberInput(Input):
    """A number with its unit and range; told as the most or the least where less or more on site does no harm."""

    unit: str = "1"
    minimum: float = 0.0
    maximum: float = 0.0
    whole: bool = False
    most: bool = False
    least: bool = False


@dataclass(frozen=True, slots=True)
class Word(Input):
    """One of a few words that the calculation tells apart, each with what a form calls it."""

    titles: Mapping[str, str] = field(default_factory=dict)

    @property
    def values(self) -> tuple[str, ...]:
        """The words."""
        return tuple(self.titles)


@dataclass(frozen=True, slots=True)
class RuleWord(Input):
    """One of the entries of a table of the rulebook; where the default is "unknown", the entry that costs most."""

    file: str = ""
    table: str = ""
    figure: str = ""
    read_in: str | None = None
    """Unit of its figure where a crew is to read that beside the word; None: it is not for them."""


@dataclass(frozen=True, slots=True)
class RuleFigure:
    """A figure of the rulebook, with the place it stands at."""

    value: float
    rule: str
    source: str


def figure_of(rulebook: Rulebook, file: str, *steps: str) -> RuleFigure:
    """Read a figure of a factor file.

    Args:
        rulebook: The rulebook.
        file: Name of the factor file without .json.
        steps: Names that lead to the figure, through an entry that has a source.

    Returns:
        The figure with path and source.
    """
    entry = rulebook.factors[file]
    for step in steps[:-1]:
        entry = entry[step]
    return RuleFigure(float(entry[steps[-1]]), f"factors/{file}#/{'/'.join(steps)}", _source(entry["source"]))


def entries_of(rulebook: Rulebook, asked: RuleWord) -> Mapping[str, Mapping[str, Any]]:
    """Find the table that an input chooses from."""
    table: Mapping[str, Mapping[str, Any]] = rulebook.factors[asked.file][asked.table]
    return table


def words_of(rulebook: Rulebook, asked: RuleWord) -> tuple[str, ...]:
    """List what an input may say.

    Args:
        rulebook: The rulebook.
        asked: The input.

    Returns:
        The entries of its table, and "unknown" where that is allowed.
    """
    return (*entries_of(rulebook, asked), *((UNKNOWN,) if asked.default == UNKNOWN else ()))


@dataclass(frozen=True, slots=True)
class Told:
    """What a load model was told of an input, or took: a number in its unit or a word."""

    input: str
    number: float | None
    word: str | None
    taken: bool


@dataclass(frozen=True, slots=True)
class Given:
    """A request to a load model: what is given, and what is taken for the rest; null is the same as left out."""

    values: Mapping[str, Any]
    inputs: Mapping[str, Input]

    def has(self, name: str) -> bool:
        """Whether the request gives an input."""
        return self.values.get(name) is not None

    def figure(self, name: str) -> float:
        """The figure given, or else the default (unit: the end of the name)."""
        return float(self._taken(name))

    def word(self, name: str) -> str:
        """The word given, or else the default."""
        return str(self._taken(name))

    def holds(self, where: Where) -> bool:
        """Whether what another input asks for is so."""
        match where.condition:
            case Condition.IS:
                return self.word(where.name) == where.value
            case Condition.ABOVE:
                return self.figure(where.name) > float(where.above or 0.0)
            case Condition.GIVEN:
                return self.has(where.name)
            case Condition.NOT_GIVEN:
                return not self.has(where.name)

    def in_words(self, where: Where, *, so: bool) -> str:
        """Say that something is so of another input, or that it is not, in names of fields."""
        if where.condition in {Condition.GIVEN, Condition.NOT_GIVEN}:
            return f"where {where.name} is {'' if (where.condition is Condition.GIVEN) is so else 'not '}given"
        asked = self.inputs[where.name]
        if isinstance(asked, Word):
            return f"where {where.name} is {' or '.join(v for v in asked.values if (v == where.value) is so)}"
        if so or not (where.above or asked.absent is None):
            return f"where there is {'a' if so else 'no'} {where.name}"
        return f"where {where.name} is {where.above:g}"

    def chosen(self, name: str, rulebook: Rulebook) -> RuleFigure:
        """The rulebook's figure for the word given; for "unknown" the highest, and every such figure is an action."""
        asked = self.inputs[name]
        if not isinstance(asked, RuleWord):
            raise TypeError(f"{name} is no word of the rulebook")
        word = _counted(asked, self.word(name), rulebook)
        return figure_of(rulebook, asked.file, asked.table, word, asked.figure)

    def assumptions(self, idle: Collection[str], rulebook: Rulebook) -> Iterator[Assumption]:
        """What was taken for inputs that were left out or are not known; not for those that had no effect."""
        for name, asked in self.inputs.items():
            if name in idle:
                continue
            if not self.has(name) and asked.default is not None:
                yield _taken(InputTaken.NOT_GIVEN, asked, rulebook)
            elif self.values.get(name) == UNKNOWN:
                yield _taken(InputTaken.UNKNOWN, asked, rulebook)

    def told(self, idle: Collection[str], rulebook: Rulebook) -> Iterator[Told]:
        """What the loads follow from: what was told, and what was taken in its place; not what had no effect."""
        for name, asked in self.inputs.items():
            known = self.has(name) and self.values[name] != UNKNOWN
            value = self._taken(name)
            if value is None or (name in idle and not known):
                continue
            if isinstance(asked, RuleWord):
                yield Told(name, None, _counted(asked, str(value), rulebook), taken=not known)
            elif isinstance(asked, Word):
                yield Told(name, None, str(value), taken=not known)
            else:
                yield Told(name, float(value), None, taken=not known)

    def _taken(self, name: str) -> Any:
        value, asked = self.values.get(name), self.inputs[name]
        if value is not None:
            return value
        return asked.default if asked.follows is None else self._taken(asked.follows)


def _counted(asked: RuleWord, word: str, rulebook: Rulebook) -> str:
    """The entry that counts for a word; for "unknown" the one with the highest figure."""
    table = entries_of(rulebook, asked)
    return max(table, key=lambda entry: float(table[entry][asked.figure])) if word == UNKNOWN else word


def _taken(code: InputTaken, asked: Input, rulebook: Rulebook) -> Assumption:
    taken = _counted(asked, str(asked.default), rulebook) if isinstance(asked, RuleWord) else asked.default
    unit = asked.unit if isinstance(asked, NumberInput) and asked.unit != NO_UNIT else None
    figures = {"input": asked.name, "taken": taken, "unit": unit, "because": asked.because}
    return Assumption(Statement(code, figures), f"#/{asked.name}")


def unknown_words(given: Given, rulebook: Rulebook) -> Iterator[Refusal]:
    """Find words that the rulebook does not have.

    Args:
        given: The request.
        rulebook: The rulebook.

    Yields:
        A refusal for each, with the words allowed.
    """
    for name, asked in given.inputs.items():
        if isinstance(asked, RuleWord) and given.has(name):
            allowed = words_of(rulebook, asked)
            if given.values[name] not in allowed:
                words = f"must be one of: {', '.join(allowed)}"
                yield Refusal(f"#/{name}", "not_allowed", words, {"allowed": list(allowed)})


def contradictions(given: Given, exactly_one: Sequence[str]) -> Iterator[Disagreement]:
    """Find inputs that are missing where another asks for them, or have no effect beside another.

    Args:
        given: The request.
        exactly_one: Inputs of which exactly one must be given; none where there are none such.

    Yields:
        Field, code and words.
    """
    if exactly_one:
        yield from _one_of(given, exactly_one)
    for name, asked in given.inputs.items():
        needed, only = asked.needed_where, asked.only_where
        if needed is not None and given.holds(needed) and not given.has(name):
            yield name, "required", f"must be given {given.in_words(needed, so=True)}"
        # An answer without effect can only be a slip.
        if only is not None and not given.holds(only) and given.has(name):
            yield name, "conflict", f"must be left out {given.in_words(only, so=False)}"


def _one_of(given: Given, names: Sequence[str]) -> Iterator[Disagreement]:
    there = [name for name in names if given.has(name)]
    for name in there[1:]:
        most = "not both" if len(names) == 2 else "only one of them"
        yield name, "conflict", f"give {_or(names)}, {most}"
    if not there:
        yield names[0], "required", f"{_or(names)} must be given"


def _or(names: Sequence[str]) -> str:
    *first, last = names
    return f"{', '.join(first)} or {last}"


def _source(source: Mapping[str, str]) -> str:
    return source["document"] if source["table"] == "none" else f"{source['document']}, {source['table']}"
