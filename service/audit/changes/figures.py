"""The figures of a rulebook: where each one stands, and whether it enters a check."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from jsonschema import Draft202012Validator

from service.audit.changes.places import is_number
from service.audit.changes.rule_fields import RuleField, root
from service.rulebook.finding import pointer_to

REFERENCE = "reference/"
NO_DIRECTION = "none"

SETTING: tuple[tuple[str, ...], ...] = (
    ("installation", "working_and_curing"),
    ("setting",),
    ("hole_diameter_mm",),
    ("long_term_max_c",),
    ("short_term_max_c",),
    ("depth", "nominal_mm"),
    ("depth", "hole_mm"),
    ("beyond_static",),
)
"""What no check reads although a direction is declared: what to set by, what a temperature range is called after, and
figures beyond static loads."""


@dataclass(frozen=True)
class RuleNumber:
    """A number of the rulebook.

    Attributes:
        file: Path of its file, relative to the rules directory.
        steps: Keys and indices from the root of the document.
        value: The number.
        setting: Whether it is setting data, which enters no check: a torque, a time, a volume.
    """

    file: str
    steps: tuple[str | int, ...]
    value: float
    setting: bool

    @property
    def path(self) -> str:
        """Its rulebook path, as traces name it."""
        return f"{self.file.removesuffix('.json')}{pointer_to(*self.steps)}"


def figures_of(documents: Mapping[str, Any]) -> tuple[RuleNumber, ...]:
    """List the figures of a rulebook; reference fixings are questions, not rules.

    Args:
        documents: Documents by path relative to the rules directory.

    Returns:
        The figures, file by file.
    """
    return tuple(
        RuleNumber(file, steps, value, _is_setting(file, steps))
        for file, document in sorted(documents.items())
        if not file.startswith(REFERENCE)
        for steps, value in leaves(document)
        if is_number(value)
    )


def leaves(value: object, steps: tuple[str | int, ...] = ()) -> Iterator[tuple[tuple[str | int, ...], Any]]:
    """Walk through the values of a document that hold no others; an empty object or list is one of them.

    Args:
        value: A document or a part of it.
        steps: Where it stands.

    Yields:
        Place and value of each.
    """
    if isinstance(value, Mapping) and value:
        for key, inner in value.items():
            yield from leaves(inner, (*steps, key))
    elif isinstance(value, list | tuple) and value:
        for index, inner in enumerate(value):
            yield from leaves(inner, (*steps, index))
    else:
        yield steps, value


def changed_since(
    documents: Mapping[str, Any], earlier: Mapping[str, Any]
) -> frozenset[tuple[str, tuple[str | int, ...]]]:
    """Find the figures that an earlier state of the rules did not have, or had with another value.

    Args:
        documents: Documents of today.
        earlier: Documents of then.

    Returns:
        File and steps of each.
    """
    before = {
        (file, steps): value
        for file, document in earlier.items()
        for steps, value in leaves(document)
        if is_number(value)
    }
    return frozenset(
        (figure.file, figure.steps)
        for figure in figures_of(documents)
        if before.get((figure.file, figure.steps)) != figure.value
    )


def _is_setting(file: str, steps: tuple[str | int, ...]) -> bool:
    if _field(file, steps).direction == NO_DIRECTION:
        return True
    names = [step for step in steps if isinstance(step, str)]
    return any(
        tuple(names[place : place + len(run)]) == run for run in SETTING for place in range(len(names) - len(run) + 1)
    )


def allowed(figure: RuleNumber, value: float) -> bool:
    """Say whether the schema allows another value in place of a figure."""
    return Draft202012Validator(_field(figure.file, figure.steps).schema).is_valid(value)


def _field(file: str, steps: tuple[str | int, ...]) -> RuleField:
    field = root(file)
    for step in steps:
        field = field.member(step) if isinstance(step, str) else field.entry()
    return field
