"""Fields that take exactly what JSON says: no text for a number, no number for a flag, nothing beyond the range.

marshmallow's own fields read "1.5" and true as numbers and 0 as false, which a contract for engineering figures can't
have. Each field here also writes its own part of the contract document, so that what is
checked and what is published are one.
"""

import math
import re
from collections.abc import Mapping, Sequence
from datetime import date
from types import MappingProxyType
from typing import Any

from marshmallow import Schema, ValidationError, fields

from service.contract.codes import refusal

PRINTABLE = r"^[^\u0000-\u001f\u007f-\u009f\u2028\u2029\u202a-\u202e\u2066-\u2069]*$"
UNKNOWN = "unknown"
LEFT_OUT = "x-when-left-out"
"""Keyword of the contract document: what leaving a field out comes to."""

WORD = r"^[A-Za-z0-9][A-Za-z0-9_-]*$"
DAY = r"^[0-9]{4}-[0-9]{2}-[0-9]{2}$"

# Far below what rounding leaves behind (about 1e-16 of a figure), far above what squares and cubes lose to underflow.
SMALLEST = 1e-30

_PRINTABLE = re.compile(PRINTABLE)
_WORD = re.compile(WORD)
_DAY = re.compile(DAY)

_MESSAGES: dict[str, str | list[Any] | dict[Any, Any]] = {
    "required": refusal("required", "must be given"),
    "null": refusal("wrong_type", "must not be null"),
}


def _described(description: str, absent: str | None, default: Any) -> dict[str, Any]:
    """Gather what the contract document says of any field."""
    words = description if absent is None else f"{description} Left out or null: {absent}."
    # Not as `default`: a client made from the document would then state what its user never said.
    return {"description": words} if default is None else {"description": words, LEFT_OUT: default}


class Strict(fields.Field[Any]):
    """A field of one JSON type, with its part of the contract document.

    A field of a request that may be left out may be null too, as clients built from forms send it; both mean the same.
    A field of an answer says by `of` where its value comes from, where that has another name; see writing.py.
    """

    default_error_messages = _MESSAGES

    def __init__(
        self,
        description: str,
        *,
        required: bool = False,
        nullable: bool = False,
        absent: str | None = None,
        default: Any = None,
        of: str | None = None,
        **contract: Any,
    ) -> None:
        self.of = of
        metadata = _described(description, absent, default) | contract
        super().__init__(required=required, allow_none=nullable or absent is not None, metadata=metadata)

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> Any:
        return self.read(value)

    def read(self, value: Any) -> Any:
        """Take the value or refuse it.

        Args:
            value: What the JSON reader made of it, never null.

        Returns:
            The value.

        Raises:
            NotImplementedError: Each kind of field reads for itself.
        """
        raise NotImplementedError


class Number(Strict):
    """A finite number with a unit and a range."""

    def __init__(
        self,
        description: str,
        unit: str,
        *,
        minimum: float | None = None,
        maximum: float | None = None,
        above: float | None = None,
        **rest: Any,
    ) -> None:
        bounds = {"minimum": minimum, "maximum": maximum, "exclusiveMinimum": above}
        given: dict[str, Any] = {name: bound for name, bound in bounds.items() if bound is not None}
        self.minimum, self.maximum, self.above = minimum, maximum, above
        super().__init__(description, type="number", **(given | {"x-unit": unit} | rest))

    def read(self, value: Any) -> float:
        """Take a finite number within the range."""
        if type(value) not in {int, float}:
            raise ValidationError(refusal("wrong_type", "must be a number"))
        if not math.isfinite(value):
            raise ValidationError(refusal("not_finite", "must be a finite number"))
        if 0 < abs(value) < SMALLEST:
            words = f"must be 0 or at least {SMALLEST:g} in size"
            raise ValidationError(refusal("below_minimum", words, smallest=SMALLEST))
        if self.minimum is not None and value < self.minimum:
            words = f"must be at least {self.minimum:.10g}"
            raise ValidationError(refusal("below_minimum", words, minimum=self.minimum))
        if self.above is not None and value <= self.above:
            raise ValidationError(refusal("below_minimum", f"must be above {self.above:.10g}", above=self.above))
        if self.maximum is not None and value > self.maximum:
            words = f"must be at most {self.maximum:.10g}"
            raise ValidationError(refusal("above_maximum", words, maximum=self.maximum))
        number: float = value
        return number


class Whole(Strict):
    """A whole number with a range; 12.0 is whole, as JSON Schema has it."""

    def __init__(self, description: str, *, minimum: int, maximum: int | None = None, **rest: Any) -> None:
        given: dict[str, Any] = {"minimum": minimum} if maximum is None else {"minimum": minimum, "maximum": maximum}
        self.minimum, self.maximum = minimum, maximum
        super().__init__(description, type="integer", **(given | {"x-unit": "1"} | rest))

    def read(self, value: Any) -> int:
        """Take a whole number within the range."""
        if type(value) not in {int, float} or not math.isfinite(value) or value != int(value):
            raise ValidationError(refusal("wrong_type", "must be a whole number"))
        if value < self.minimum:
            raise ValidationError(refusal("below_minimum", f"must be at least {self.minimum}", minimum=self.minimum))
        if self.maximum is not None and value > self.maximum:
            raise ValidationError(refusal("above_maximum", f"must be at most {self.maximum}", maximum=self.maximum))
        return int(value)


class Flag(Strict):
    """True or false."""

    def __init__(self, description: str, **rest: Any) -> None:
        super().__init__(description, type="boolean", **rest)

    def read(self, value: Any) -> bool:
        """Take true or false."""
        if type(value) is not bool:
            raise ValidationError(refusal("wrong_type", "must be true or false"))
        return value


class Text(Strict):
    """A text of bounded length without control characters."""

    def __init__(self, description: str, *, longest: int, shortest: int = 1, **rest: Any) -> None:
        self.longest, self.shortest = longest, shortest
        written: dict[str, Any] = {"minLength": shortest, "maxLength": longest, "pattern": PRINTABLE}
        super().__init__(description, type="string", **(written | rest))

    def read(self, value: Any) -> str:
        """Take a printable text."""
        if not isinstance(value, str):
            raise ValidationError(refusal("wrong_type", "must be a text"))
        if len(value) < self.shortest:
            words = f"must have at least {self.shortest} characters"
            raise ValidationError(refusal("too_short", words, shortest=self.shortest))
        if len(value) > self.longest:
            words = f"must have at most {self.longest} characters"
            raise ValidationError(refusal("too_long", words, longest=self.longest))
        if not _PRINTABLE.fullmatch(value):
            raise ValidationError(refusal("control_character", "must not hold control characters"))
        return value


class Word(Text):
    """A word of the rulebook: letters, digits, hyphen and underscore."""

    def __init__(self, description: str, **rest: Any) -> None:
        super().__init__(description, longest=80, pattern=WORD, **rest)

    def read(self, value: Any) -> str:
        """Take a word."""
        text = super().read(value)
        if not _WORD.fullmatch(text):
            raise ValidationError(refusal("not_allowed", "must be letters, digits, hyphens and underscores"))
        return text


class Choice(Strict):
    """One of a few words; of a word that once was one of them, `gone` says what to give in its place."""

    def __init__(
        self,
        description: str,
        values: Sequence[str],
        *,
        nullable: bool = False,
        absent: str | None = None,
        gone: Mapping[str, str] = MappingProxyType({}),
        **rest: Any,
    ) -> None:
        self.values, self.gone = tuple(values), gone
        listed: list[str | None] = [*values, None] if nullable or absent is not None else [*values]
        super().__init__(description, type="string", enum=listed, nullable=nullable, absent=absent, **rest)

    def read(self, value: Any) -> str:
        """Take one of the words."""
        if not isinstance(value, str):
            raise ValidationError(refusal("wrong_type", "must be a text"))
        if value not in self.values:
            words = self.gone.get(value, f"must be one of: {', '.join(self.values)}")
            raise ValidationError(refusal("not_allowed", words, allowed=self.values))
        return value


class Day(Strict):
    """A day of the calendar, ISO 8601."""

    def __init__(self, description: str, **rest: Any) -> None:
        super().__init__(description, type="string", format="date", pattern=DAY, **rest)

    def read(self, value: Any) -> str:
        """Take a day."""
        if not isinstance(value, str):
            raise ValidationError(refusal("wrong_type", "must be a text"))
        if not _DAY.fullmatch(value) or not _on_the_calendar(value):
            raise ValidationError(refusal("not_a_day", "must be a day of the calendar written as YYYY-MM-DD"))
        return value


def _on_the_calendar(text: str) -> bool:
    """Say whether the text is a day that exists."""
    try:
        date.fromisoformat(text)
    except ValueError:
        return False
    return True


class Conditions(Strict):
    """Named conditions of the site; which names and values there are is the rulebook's to say."""

    most = 20

    def __init__(self, description: str, **rest: Any) -> None:
        word = {"type": "string", "minLength": 1, "maxLength": 80, "pattern": WORD}
        super().__init__(
            description,
            type="object",
            propertyNames=word,
            additionalProperties=word
            | {"type": ["string", "null"], "description": "One of the condition's values; null: unknown."},
            maxProperties=self.most,
            **rest,
        )
        self.word = Word("A word of the rulebook.")

    def read(self, value: Any) -> dict[str, str | None]:
        """Take the conditions."""
        if not isinstance(value, dict):
            raise ValidationError(refusal("wrong_type", "must be an object"))
        if len(value) > self.most:
            raise ValidationError(refusal("too_many", f"must have at most {self.most} entries", most=self.most))
        faults = {name: found for name, word in value.items() if (found := self._faults(name, word))}
        if faults:
            raise ValidationError(faults)
        return value

    def _faults(self, name: str, word: Any) -> list[str]:
        if not _WORD.fullmatch(name):
            return [refusal("unknown_field", "no site condition has such a name")]
        if word is None:
            return []
        try:
            self.word.read(word)
        except ValidationError as error:
            return list(error.messages)
        return []


class Items(fields.List[Any]):
    """A list of bounded length; the length is read first, so that a huge list costs nothing."""

    default_error_messages = _MESSAGES | {"invalid": refusal("wrong_type", "must be a list")}

    def __init__(
        self,
        inner: fields.Field[Any],
        description: str,
        *,
        fewest: int = 0,
        most: int | None = None,
        required: bool = False,
        nullable: bool = False,
        absent: str | None = None,
        unique: bool = False,
        of: str | None = None,
    ) -> None:
        self.fewest, self.most, self.unique, self.of = fewest, most, unique, of
        bounds: dict[str, Any] = {"minItems": fewest} if fewest else {}
        bounds |= {} if most is None else {"maxItems": most}
        bounds |= {"uniqueItems": True} if unique else {}
        metadata = _described(description, absent, None) | bounds
        super().__init__(inner, required=required, allow_none=nullable or absent is not None, metadata=metadata)

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> list[Any]:
        self.check_length(value)
        taken = super()._deserialize(value, attr, data, **kwargs)
        self.check_unique(taken)
        return taken

    def check_length(self, value: Any) -> None:
        """Refuse what is no list, or one of the wrong length.

        Args:
            value: What the JSON reader made of it.

        Raises:
            ValidationError: It is.
        """
        if not isinstance(value, list):
            raise self.make_error("invalid")
        if len(value) < self.fewest:
            words = f"must have at least {self.fewest} {_entries(self.fewest)}"
            raise ValidationError(refusal("too_few", words, fewest=self.fewest))
        if self.most is not None and len(value) > self.most:
            words = f"must have at most {self.most} {_entries(self.most)}"
            raise ValidationError(refusal("too_many", words, most=self.most))

    def check_unique(self, taken: Sequence[Any]) -> None:
        """Refuse a value that stands twice in a list of different ones.

        Args:
            taken: The entries, each of them read.

        Raises:
            ValidationError: One does.
        """
        if self.unique and len(set(taken)) != len(taken):
            raise ValidationError(refusal("duplicate_value", "must not name the same value twice"))


def _entries(count: int) -> str:
    """Say "entry" in the right number."""
    return "entry" if count == 1 else "entries"


class Part(fields.Nested):
    """An object of its own schema."""

    default_error_messages = _MESSAGES

    def __init__(
        self,
        schema: type[Schema],
        description: str,
        *,
        required: bool = False,
        nullable: bool = False,
        absent: str | None = None,
        default: Any = None,
        of: str | None = None,
    ) -> None:
        self.of = of
        metadata = _described(description, absent, default)
        super().__init__(schema, required=required, allow_none=nullable or absent is not None, metadata=metadata)


class PartOrUnknown(Part):
    """An object of its own schema, or the word "unknown"."""

    @staticmethod
    def is_unknown(value: Any) -> bool:
        """Whether a value is the word in place of the object."""
        return bool(value == UNKNOWN)

    def _deserialize(self, value: Any, *args: Any, **kwargs: Any) -> Any:
        if self.is_unknown(value):
            return value
        if not isinstance(value, dict):
            raise ValidationError(refusal("wrong_type", 'must be an object or "unknown"'))
        return super()._deserialize(value, *args, **kwargs)
