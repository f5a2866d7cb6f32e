"""What each rule file may look like: JSON Schema 2020-12."""

from __future__ import annotations

import difflib
import functools
import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, cast

from jsonschema import Draft202012Validator, FormatChecker
from jsonschema.exceptions import ValidationError
from referencing import Registry, Resource

from service.rulebook.finding import Finding, error, pointer_to
from service.rulebook.shipped import SCHEMAS

RULE = "schema"
SUFFIX = ".schema.json"
SHOWN = 60
# What a schema's keyword forbids, and what it allows, in words.
MEANINGS = MappingProxyType({
    "type": ("the value is of the wrong type", "{}"),
    "enum": ("the value is not one of those allowed", "{}"),
    "const": ("the value is not the one allowed", "{}"),
    "minimum": ("the number is too small", "at least {}"),
    "exclusiveMinimum": ("the number is too small", "more than {}"),
    "maximum": ("the number is too large", "at most {}"),
    "minLength": ("the text is too short", "{} or more characters"),
    "maxLength": ("the text is too long", "{} or fewer characters"),
    "pattern": ("the text is not of the form allowed", "text of the form {}"),
    "format": ("the text is not of the format allowed", "a {} that exists, ISO 8601"),
    "minItems": ("the list is too short", "{} or more entries"),
    "maxItems": ("the list is too long", "{} or fewer entries"),
    "uniqueItems": ("the list has an entry twice", "each entry once"),
    "minProperties": ("the object has too few entries", "{} or more entries"),
    "maxProperties": ("the object has too many entries", "{} or fewer entries"),
    "anyOf": ("the value is of the wrong type", "{}"),
})


@functools.cache
def validators() -> Mapping[str, Draft202012Validator]:
    """Build a validator for each kind of file, once.

    Returns:
        Validators by kind: family, rulebook, reference, record and one for each factor file.
    """
    documents = {
        path.name.removesuffix(SUFFIX): json.loads(path.read_bytes()) for path in sorted(SCHEMAS.glob("*" + SUFFIX))
    }
    resources = [(document["$id"], Resource.from_contents(document)) for document in documents.values()]
    registry: Registry[Any] = Registry().with_resources(resources)
    formats = FormatChecker(formats=["date"])
    return MappingProxyType({
        kind: Draft202012Validator(document, registry=registry, format_checker=formats)
        for kind, document in documents.items()
    })


def kind_of(file: str) -> str:
    """Tell which schema a file of the rulebook answers to.

    Args:
        file: Path of the file, relative to the rules directory.

    Returns:
        The kind.
    """
    directory, _, name = file.rpartition("/")
    return {"families": "family", "reference": "reference"}.get(directory, name.removesuffix(".json"))


def check(file: str, document: object) -> tuple[Finding, ...]:
    """Check a document against the schema of its kind.

    Args:
        file: Path of the file, relative to the rules directory.
        document: The parsed document.

    Returns:
        A finding for each place that the schema does not allow, from the top of the file down.
    """
    return _checked(file, json.dumps(document))


# Releases share most of their files with each other and with the rules in work, and this takes most of a start.
@functools.lru_cache(maxsize=4096)
def _checked(file: str, written: str) -> tuple[Finding, ...]:
    problems = validators()[kind_of(file)].iter_errors(json.loads(written))
    findings = (finding for problem in problems for finding in _findings(file, problem))
    return tuple(sorted(dict.fromkeys(findings), key=lambda finding: (finding.pointer, finding.message)))


def _findings(file: str, problem: ValidationError) -> Iterator[Finding]:
    place = _Place(file, tuple(problem.absolute_path), cast("Mapping[str, Any]", problem.schema), problem.instance)
    keyword, value = str(problem.validator), cast("Any", problem.validator_value)
    if keyword == "additionalProperties":
        yield from (_unknown_field(place, name) for name in place.unknown_names())
    elif keyword == "anyOf" and (meant := _meant(problem)):
        yield from (finding for inner in meant for finding in _findings(file, inner))
    elif keyword == "required":
        yield from (_missing_field(place, name) for name in value if name not in place.instance)
    else:
        yield _wrong_value(place, keyword, value)


def _meant(problem: ValidationError) -> list[ValidationError]:
    """What is wrong within the alternative that has the value's type; nothing where none has."""
    inner = problem.context or []
    other_type = {error.schema_path[0] for error in inner if error.validator in {"type", "const"} and not error.path}
    return [error for error in inner if error.schema_path[0] not in other_type]


@dataclass(frozen=True)
class _Place:
    """Where a document and its schema part."""

    file: str
    steps: tuple[str | int, ...]
    schema: Mapping[str, Any]
    instance: Any

    def known_names(self) -> list[str]:
        return [*self.schema.get("properties", {})]

    def unknown_names(self) -> list[str]:
        known, patterns = self.known_names(), self.schema.get("patternProperties", {})
        return [name for name in self.instance if name not in known and not any(re.search(p, name) for p in patterns)]


def _unknown_field(place: _Place, name: str) -> Finding:
    patterns = [f"a name of the form {pattern}" for pattern in place.schema.get("patternProperties", {})]
    near = difflib.get_close_matches(name, place.known_names(), n=1)
    return error(
        place.file,
        pointer_to(*place.steps, name),
        RULE,
        "the field is not known here",
        found=_shown(name),
        allowed=", ".join(place.known_names() + patterns) or "no field at all",
        tip=f"did you mean {near[0]}?" if near else "remove it, or look for the field's name in the schema",
    )


def _missing_field(place: _Place, name: str) -> Finding:
    return error(
        place.file,
        pointer_to(*place.steps),
        RULE,
        f"the field {name} is missing",
        found=", ".join(place.instance) or "an empty object",
        allowed=", ".join(place.schema["required"]),
        tip=f"add {name}: {_described(place.schema['properties'][name])}",
    )


def _wrong_value(place: _Place, keyword: str, value: object) -> Finding:
    message, allowed = MEANINGS[keyword]
    listed = [_plain(entry) for entry in value] if isinstance(value, list) else [_plain(value)]
    if keyword == "anyOf":
        listed = [_alternative(entry) for entry in cast("list[Mapping[str, Any]]", value)]
    near = difflib.get_close_matches(str(place.instance), listed, n=1) if keyword == "enum" else []
    return error(
        place.file,
        pointer_to(*place.steps),
        RULE,
        message,
        found=_shown(place.instance),
        allowed=allowed.format(", ".join(listed)),
        tip=f"did you mean {near[0]}?" if near else _described(place.schema),
    )


def _described(schema: Mapping[str, Any]) -> str:
    """What a field is, with the unit of a figure."""
    unit = schema.get("x-unit", "1")
    words = str(schema.get("description", "look for its place in the schema"))
    return words if unit == "1" else f"{words} (in {unit})"


def _alternative(schema: Mapping[str, Any]) -> str:
    return _plain(schema["const"]) if "const" in schema else str(schema.get("type", "object"))


def _plain(value: object) -> str:
    return value if isinstance(value, str) else json.dumps(value)


def _shown(value: object) -> str:
    written = json.dumps(value, ensure_ascii=False)
    return written if len(written) <= SHOWN else written[: SHOWN - 1] + "…"
