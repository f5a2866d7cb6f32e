"""What every object of a request has in common."""

from collections.abc import Mapping
from typing import Any

from marshmallow import RAISE, Schema, ValidationError

from service.contract.codes import refusal
from service.contract.coherence import Rule, disagreements

HOLES = ("dry", "wet", "flooded")


class RequestSchema(Schema):
    """An object of a request: a field that the contract has not is refused, with those it has."""

    class Meta:
        """Options."""

        unknown = RAISE

    def __init__(self, **options: Any) -> None:
        super().__init__(**options)
        known = ", ".join(self.fields)
        self.error_messages = self.error_messages | {
            "type": refusal("wrong_type", "must be an object"),
            "unknown": refusal("unknown_field", f"not a field here; the fields are: {known}"),
        }


def refuse(data: Mapping[str, Any], rules: tuple[Rule, ...]) -> None:
    """Raise what rules across fields find in one error.

    Args:
        data: An object of a request, each field of it sound.
        rules: The rules.

    Raises:
        ValidationError: A rule found something.
    """
    found = disagreements(data, rules)
    if found:
        raise ValidationError(found)
