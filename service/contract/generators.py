"""What generators of clients and the readers of answers need of the contract document."""

import re
from collections.abc import Iterator
from typing import Any

from service.contract.paths import COMPONENTS

IN_ANSWER = "InAnswer"
_REFERENCE = re.compile(rf"^{COMPONENTS}(\w+)$")


def open_in_answers(document: dict[str, Any]) -> None:
    """Let requests that stand within answers tolerate added fields: each is a component of its own there.

    Args:
        document: The OpenAPI document, changed in place.
    """
    schemas = document["components"]["schemas"]
    reached = _reached(schemas, _answers(document))
    asked = _reached(schemas, _requests(document))
    both = [name for name in schemas if name in reached & asked]
    renamed = {name: f"{name}{IN_ANSWER}" for name in both if schemas[name].get("additionalProperties") is False}
    for name in reached - asked:
        schemas[name] = _with_references(schemas[name], renamed)
    for name, own in renamed.items():
        # Nor does an answer hold anybody to the rules across the fields of a request.
        held = ("additionalProperties", "dependentSchemas")
        facts = {key: value for key, value in schemas[name].items() if key not in held}
        schemas[own] = _with_references(facts, renamed)


def days_by_format(part: Any) -> None:
    """Say of a day only that it is one: generators make a date of it, which takes no pattern.

    Args:
        part: The OpenAPI document or a part of it, changed in place.
    """
    for inner in _within(part):
        days_by_format(inner)
    if isinstance(part, dict) and part.get("format") == "date":
        part.pop("pattern", None)


def _answers(document: dict[str, Any]) -> Iterator[Any]:
    for path in document["paths"].values():
        for operation in path.values():
            yield operation["responses"]


def _requests(document: dict[str, Any]) -> Iterator[Any]:
    for path in document["paths"].values():
        for operation in path.values():
            yield operation.get("requestBody", {})


def _reached(schemas: dict[str, Any], parts: Iterator[Any]) -> set[str]:
    """Name the components that parts of a document lead to."""
    found: set[str] = set()
    waiting = [name for part in parts for name in _named(part)]
    while waiting:
        name = waiting.pop()
        if name not in found:
            found.add(name)
            waiting += _named(schemas[name])
    return found


def _named(part: Any) -> list[str]:
    """Name the components that a part refers to."""
    found = [name for inner in _within(part) for name in _named(inner)]
    reference = part.get("$ref") if isinstance(part, dict) else None
    match = _REFERENCE.match(reference) if isinstance(reference, str) else None
    return [*found, match[1]] if match else found


def _within(part: Any) -> list[Any]:
    return list(part.values()) if isinstance(part, dict) else part if isinstance(part, list) else []


def _with_references(part: Any, renamed: dict[str, str]) -> Any:
    """Write a part anew with other names in its references."""
    if isinstance(part, list):
        return [_with_references(item, renamed) for item in part]
    if not isinstance(part, dict):
        return part
    return {
        key: _renamed(value, renamed) if key == "$ref" else _with_references(value, renamed)
        for key, value in part.items()
    }


def _renamed(reference: str, renamed: dict[str, str]) -> str:
    name = reference.removeprefix(COMPONENTS)
    return COMPONENTS + renamed.get(name, name)
