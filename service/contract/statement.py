"""What the statement of an answer is made of: an object, and the fields that are always there."""

from collections.abc import Iterable, Mapping
from typing import Any

from marshmallow import EXCLUDE, Schema, fields

from service.contract.fields import Choice, Flag, Items, Number, Part, Strict
from service.words import Audience, Code, Severity


class AnswerSchema(Schema):
    """An object of an answer; clients tolerate fields added to it."""

    class Meta:
        """Options."""

        unknown = EXCLUDE


class RulesSchema(AnswerSchema):
    """An object of an answer that is one of the rulebook: its values are members of that, by their names."""


FIGURE = ("number", "string", "null")


class Free(Strict):
    """A value of an answer that may be of several JSON types: a figure or a word, where no others are named."""

    def __init__(self, description: str, types: tuple[str, ...] = FIGURE, **rest: Any) -> None:
        items: dict[str, Any] = {"items": {"description": "An entry of a list."}} if "array" in types else {}
        super().__init__(description, required=True, type=list(types), **(items | rest))


def number(description: str, unit: str, *, nullable: bool = False, of: str | None = None, **bounds: float) -> Number:
    """Describe a number that is always there.

    Args:
        description: What it is.
        unit: Its unit.
        nullable: Whether it may be null.
        of: Where its value comes from, where that has another name.
        **bounds: Its range where it has one, as for Number.

    Returns:
        The field.
    """
    return Number(description, unit, required=True, nullable=nullable, of=of, **bounds)


def string(description: str, *, nullable: bool = False, of: str | None = None, **contract: Any) -> Strict:
    """Describe a text that is always there.

    Args:
        description: What it is.
        nullable: Whether it may be null.
        of: Where its value comes from, where that has another name.
        **contract: More of its part of the contract document.

    Returns:
        The field.
    """
    return Strict(description, required=True, nullable=nullable, of=of, type="string", **contract)


class Sentence(Strict):
    """A sentence, written from a code with its figures or as the text that it is."""


def sentence(description: str, *, nullable: bool = False, of: str | None = None) -> Sentence:
    """Describe a sentence: made from codes, or a text of the rulebook; a record's digest covers none.

    Args:
        description: What it says.
        nullable: Whether it may be null.
        of: Where its value comes from, where that has another name.

    Returns:
        The field.
    """
    marked: dict[str, Any] = {"x-sentence": True}
    return Sentence(description, required=True, nullable=nullable, of=of, type="string", **marked)


def code(
    known: Iterable[Code] | Mapping[str, str], more: str = "", *, nullable: bool = False, of: str | None = None
) -> Strict:
    """Describe a stable code that says in one word what the text beside it says at length.

    Args:
        known: The codes there are so far, or their meanings by code.
        more: Which others there are.
        nullable: Whether it may be null.
        of: Where its value comes from, where that has another name.

    Returns:
        The field; the list is open, as answers may gain codes.
    """
    meanings = dict(known) if isinstance(known, Mapping) else {each.value: each.says.meaning for each in known}
    words = f"Stable code; clients tolerate codes that are added. So far: {', '.join(meanings)}.{more}"
    contract: dict[str, Any] = {"x-known-codes": meanings}
    return string(words, nullable=nullable, of=of, **contract)


def flag(description: str) -> Flag:
    """Describe a flag that is always there."""
    return Flag(description, required=True)


def one_of(description: str, values: tuple[str, ...], *, nullable: bool = False, of: str | None = None) -> Choice:
    """Describe a word that is always there.

    Args:
        description: What it is.
        values: The words.
        nullable: Whether it may be null.
        of: Where its value comes from, where that has another name.

    Returns:
        The field.
    """
    return Choice(description, values, required=True, nullable=nullable, of=of)


def part(schema: type[Schema], description: str, *, nullable: bool = False, of: str | None = None) -> Part:
    """Describe an object that is always there.

    Args:
        schema: Its schema.
        description: What it is.
        nullable: Whether it may be null.
        of: Where its value comes from, where that has another name.

    Returns:
        The field.
    """
    return Part(schema, description, required=True, nullable=nullable, of=of)


def many(
    inner: type[Schema] | fields.Field[Any], description: str, *, nullable: bool = False, of: str | None = None
) -> Items:
    """Describe a list that is always there.

    Args:
        inner: Schema or field of an entry.
        description: What it lists.
        nullable: Whether it may be null.
        of: Where its value comes from, where that has another name.

    Returns:
        The field.
    """
    entry = inner if isinstance(inner, fields.Field) else Part(inner, f"One entry: {_first_line(inner)}")
    return Items(entry, description, required=True, nullable=nullable, of=of)


def _first_line(schema: type[Schema]) -> str:
    """Take the first line of a schema's docstring."""
    return (schema.__doc__ or "").splitlines()[0]


class RulesPart(Strict):
    """A part of the rulebook as its file has it; the schema of the file is the schema of the answer."""

    def __init__(self, description: str, component: str) -> None:
        self.component = component
        super().__init__(description, required=True)


def words(description: str, values: tuple[str, ...]) -> Items:
    """Describe a list of words for a form.

    Args:
        description: What they are for.
        values: The words.

    Returns:
        The field.
    """
    return many(one_of("A value.", values), description)


class Figures(Strict):
    """The figures of a code by name."""

    def __init__(self, of: str | None = None) -> None:
        super().__init__(
            "The figures that go with the code, by name: numbers (six significant digits, in the unit that the name "
            "ends in), words, lists of either, or null where there is none. /v1/rulebooks/{version} lists those of "
            "each code.",
            required=True,
            of=of,
            type="object",
            additionalProperties={
                "description": "A number, a word, or a list of them.",
                "type": [*FIGURE, "array"],
                "items": {"description": "One of them.", "type": list(FIGURE)},
            },
        )


def severity(of: str | None = None) -> Choice:
    """Describe how much a code matters.

    Args:
        of: Where its value comes from, where that has another name.

    Returns:
        The field.
    """
    words = (
        "How much it matters: stops: no work before it is met or settled; decide: somebody has to decide or find out; "
        "know: good to know."
    )
    return one_of(words, tuple(each.value for each in Severity), of=of)


class Said(AnswerSchema):
    """What is said by a code with figures; its sentence is made from both."""

    code = string("Stable code.")
    severity = severity()
    figures = Figures()


class Stated(Said):
    """The same of an object that holds it as a statement."""

    severity = severity(of="statement.code.says.weight.value")
    figures = Figures(of="statement.figures")


def concerns(of: str | None = None) -> Choice:
    """Describe whom a code concerns.

    Args:
        of: Where its value comes from, where that has another name.

    Returns:
        The field.
    """
    return one_of("Who has to act on it: engineer or crew.", tuple(each.value for each in Audience), of=of)
