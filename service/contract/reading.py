"""Reading JSON strictly: what JSON itself leaves loose is refused with its place."""

import json
import math
import re
import sys
from codecs import BOM_UTF8
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice
from typing import Any, TypeAlias

import orjson
from marshmallow import Schema, ValidationError

from service.contract.faults import MOST_ERRORS, NAMED_TWICE, Fault, Refused, faults_of, pointer
from service.contract.reader import sound

# A place points at the one it is in: thousands of deep places share their steps, so that no body can make them costly.
Place: TypeAlias = "tuple[Place, str | int] | None"

_TOO_DEEP = Fault("nested_too_deep", "the body nests too deep", pointer="#")
_SURROGATE = re.compile("[\ud800-\udfff]")


@dataclass(frozen=True)
class _NoNumber:
    """A word that other readers take for a number: NaN, Infinity or -Infinity."""

    word: str


def parse(raw: bytes) -> Any:
    """Parse JSON strictly.

    Args:
        raw: The body.

    Returns:
        What it says.

    Raises:
        Refused: It is no JSON, or holds duplicate keys, numbers that are not finite or half a surrogate pair.
    """
    try:
        value = orjson.loads(raw)
    except orjson.JSONDecodeError as error:
        raise Refused(400, _diagnosis(raw, error)) from None
    # orjson keeps the last of two equal keys in silence, so a second reader has to look.
    duplicates = tuple(islice(_duplicate_keys(raw), MOST_ERRORS))
    if duplicates:
        raise Refused(400, duplicates, NAMED_TWICE)
    return value


def checked(schema: Schema, body: Any) -> dict[str, Any]:
    """Hold a parsed body against the schema of a request.

    Args:
        schema: The schema.
        body: The body as parsed.

    Returns:
        The request: the body, each field of it sound and those that exclude each other not both there.

    Raises:
        Refused: Something is wrong with it.
    """
    request = sound(schema, body)
    if request is not None:
        return request
    try:
        loaded: dict[str, Any] = schema.load(body)
    except ValidationError as error:
        raise Refused(422, faults_of(error.messages)) from None
    return loaded


def _diagnosis(raw: bytes, error: orjson.JSONDecodeError) -> list[Fault]:
    """Find out what the strict reader did not take, with a lenient one."""
    if not raw.strip():
        return [Fault("malformed_json", "the body is empty", pointer="#")]
    if raw.startswith(BOM_UTF8):
        words = "the body starts with a byte order mark; send UTF-8 without one"
        return [Fault("malformed_json", words, pointer="#")]
    words = f"not JSON at line {error.lineno}, column {error.colno}"
    where = {"line": error.lineno, "column": error.colno}
    at_a_place = [Fault("malformed_json", words, pointer="#", figures=where)]
    try:
        value = json.loads(raw.decode("utf-8"), parse_int=float, parse_constant=_NoNumber)
    except UnicodeDecodeError:
        return [Fault("not_unicode", "the body is not UTF-8", pointer="#")]
    except RecursionError:
        return [_TOO_DEEP]
    except ValueError:
        return at_a_place
    return list(islice(_loose_values(value), MOST_ERRORS)) or at_a_place


def _loose_values(value: Any) -> Iterator[Fault]:
    """Find what the lenient reader takes and JSON has not."""
    for place, inner in _walk(value):
        if isinstance(inner, _NoNumber):
            words = f"{inner.word} is no number of JSON; a finite number must stand here"
            yield Fault("not_finite", words, pointer=pointer(_steps(place)))
        if isinstance(inner, float) and not math.isfinite(inner):
            words = f"the number is too large to be held; the largest is about {sys.float_info.max:.2g}"
            yield Fault("not_finite", words, pointer=pointer(_steps(place)))
        texts = [inner] if isinstance(inner, str) else list(inner) if isinstance(inner, dict) else []
        if any(_SURROGATE.search(text) for text in texts):
            yield Fault("not_unicode", "must not hold half of a surrogate pair", pointer=pointer(_steps(place)))


def _duplicate_keys(raw: bytes) -> Iterator[Fault]:
    """Find objects that name a key twice."""
    doubled: dict[int, tuple[dict[str, Any], list[str]]] = {}

    def gather(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        gathered = dict(pairs)
        if len(gathered) != len(pairs):
            counts = Counter(key for key, _ in pairs)
            # The object is kept beside its id, so that no other object can take the id over.
            doubled[id(gathered)] = gathered, sorted(key for key, count in counts.items() if count > 1)
        return gathered

    try:
        value = json.loads(raw, object_pairs_hook=gather, parse_int=float)
    except RecursionError:
        yield _TOO_DEEP
        return
    for place, inner in _walk(value) if doubled else ():
        for key in doubled.get(id(inner), (None, []))[1]:
            yield Fault("duplicate_key", "must be given once", pointer=pointer((*_steps(place), key)))


def _walk(value: Any) -> Iterator[tuple[Place, Any]]:
    """Visit a parsed value and all that is in it."""
    waiting: list[tuple[Place, Any]] = [(None, value)]
    while waiting:
        place, inner = waiting.pop()
        yield place, inner
        if isinstance(inner, dict):
            waiting.extend(((place, key), item) for key, item in inner.items())
        elif isinstance(inner, list):
            waiting.extend(((place, index), item) for index, item in enumerate(inner))


def _steps(place: Place) -> list[str | int]:
    """Write a place out, from the root."""
    steps: list[str | int] = []
    while place is not None:
        place, step = place
        steps.append(step)
    return steps[::-1]
