"""What every object of a request has in common."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, ClassVar, cast

from marshmallow import RAISE, Schema, ValidationError, validates_schema

from service.contract.codes import refusal
from service.contract.coherence import Rule, disagreements


@dataclass(frozen=True, slots=True)
class Gone:
    """What to write in place of a field that is no more: advice, and the fields that say the same now."""

    advice: str
    new_fields: tuple[str, ...] = ()

    @property
    def refusal(self) -> str:
        """What is said to whoever gives it."""
        if self.new_fields:
            return refusal("renamed_field", self.advice, new_fields=list(self.new_fields))
        return refusal("removed_field", self.advice)


class RequestSchema(Schema):
    """An object of a request: a field that the contract has not is refused, with those it has.

    Attributes:
        RENAMED: What to write in place of fields that are gone or have another name, by that name.
    """

    RENAMED: ClassVar[Mapping[str, Gone]] = {}

    class Meta:
        """Options."""

        unknown = RAISE

    def __init__(self, **options: Any) -> None:
        super().__init__(**options)
        known = f"not a field here; the fields are: {', '.join(self.fields)}"
        self.error_messages = self.error_messages | {
            "type": refusal("wrong_type", "must be an object"),
            "unknown": refusal("unknown_field", known, allowed=list(self.fields)),
        }

    def handle_error(self, error: ValidationError, data: Any, *, many: bool, **_: Any) -> None:
        """Say of a field that is gone or has another name by now what to write in its place.

        Args:
            error: What is wrong.
            data: The object as it was given.
            many: Never.
            **_: What else the library says.
        """
        renamed = self.RENAMED.keys() & data.keys() if isinstance(data, Mapping) and not many else ()
        for name in renamed:
            cast("dict[str, Any]", error.messages)[name] = [self.RENAMED[name].refusal]

    @staticmethod
    def rules() -> tuple[Rule, ...]:
        """Rules across the fields of the object; each finds what is right field by field and wrong together.

        Returns:
            The rules; none where a schema states none.
        """
        return ()

    @validates_schema(skip_on_field_errors=True)
    def check_rules(self, data: Mapping[str, Any], **_: Any) -> None:
        """Refuse what the rules across fields find, all of it in one error.

        Args:
            data: The object, each field of it sound.

        Raises:
            ValidationError: A rule found something.
        """
        found = disagreements(data, self.rules())
        if found:
            raise ValidationError(found)
