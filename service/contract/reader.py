"""From a parsed body to a request: one reader a schema, compiled once from its statement.

A reader takes just what its schema takes, by the same fields and the same rules across fields, and says nothing of what
it does not take: the schema itself then tells what is wrong. It spares a sound request marshmallow's bookkeeping of
errors, which costs several times what the reading does.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any

from marshmallow import EXCLUDE, Schema, ValidationError, fields

from service.contract.coherence import Rule, without_nulls
from service.contract.fields import Items, Part, PartOrUnknown, Strict
from service.contract.request_schema import RequestSchema

Reader = Callable[[Any], Any]
_Plan = tuple[tuple[str, str, bool, bool, Reader], ...]
_MISSING = object()


class Unsound(ValueError):  # noqa: N818 - the interface speaks of what a request is, not of an error
    """A body that its schema does not take."""


@cache
def reader(schema: type[Schema]) -> Reader:
    """Compile what reads an object of a request.

    Args:
        schema: The statement of the object.

    Returns:
        The function: it gives the object as the schema loads it, or raises Unsound or marshmallow's ValidationError.
    """
    stated = schema()
    plan = tuple(
        (field.data_key or name, field.attribute or name, field.required, field.allow_none, _reading(field))
        for name, field in stated.fields.items()
    )
    rules = schema.rules() if issubclass(schema, RequestSchema) else ()
    return _object_reader(plan, stated.unknown == EXCLUDE, rules)


def _object_reader(plan: _Plan, tolerant: bool, rules: tuple[Rule, ...]) -> Reader:
    def read(given: Any) -> dict[str, Any]:
        if type(given) is not dict:
            raise Unsound
        taken: dict[str, Any] = {}
        for key, name, required, nullable, read_value in plan:
            value = given.get(key, _MISSING)
            if value is _MISSING:
                if required:
                    raise Unsound
            elif value is not None:
                taken[name] = read_value(value)
            elif nullable:
                taken[name] = None
            else:
                raise Unsound
        if not tolerant and len(taken) != len(given):
            raise Unsound
        if rules:
            _hold(rules, taken)
        return taken

    return read


def _hold(rules: tuple[Rule, ...], taken: dict[str, Any]) -> None:
    given = without_nulls(taken)
    for rule in rules:
        for _ in rule(given):
            raise Unsound


def _reading(field: fields.Field[Any]) -> Reader:
    """What reads a value of a field, never null."""
    if field.validators:
        return field.deserialize
    if isinstance(field, PartOrUnknown):
        inside = reader(type(field.schema))
        return lambda value: value if field.is_unknown(value) else inside(value)
    if isinstance(field, Part):
        return reader(type(field.schema))
    if isinstance(field, Items):
        return _list_reader(field, _reading(field.inner))
    # What is not one of ours reads itself, as marshmallow has it.
    return field.read if isinstance(field, Strict) else field.deserialize


def _list_reader(field: Items, read_entry: Reader) -> Reader:
    nullable = field.inner.allow_none

    def read(given: Any) -> list[Any]:
        field.check_length(given)
        if None in given and not nullable:
            raise Unsound
        taken = [None if entry is None else read_entry(entry) for entry in given]
        field.check_unique(taken)
        return taken

    return read


def sound(schema: Schema, body: Any) -> dict[str, Any] | None:
    """Read a body that has nothing wrong with it.

    Args:
        schema: The schema.
        body: The body as parsed.

    Returns:
        The request; None where something is wrong, which the schema then tells.
    """
    try:
        request: dict[str, Any] = reader(type(schema))(body)
    except (Unsound, ValidationError):
        return None
    return request
