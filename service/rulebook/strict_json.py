"""JSON as the rules need it: nothing that two readers could read differently."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from service.rulebook.finding import Finding, error, pointer_to

RULE = "strict_json"
DEEPEST = 32
LARGEST_INTEGER = 2**53 - 1


class _Repeating(dict[str, Any]):
    """An object in which a key stands more than once; it does not outlive the reading."""

    repeated: tuple[str, ...]


@dataclass(frozen=True)
class _Unreadable:
    """A number that JSON or a double cannot hold, as it was written."""

    written: str


def parse(file: str, raw: bytes) -> tuple[Any, tuple[Finding, ...]]:
    """Read a document and say what is wrong with its JSON.

    Refused beside malformed JSON: bytes that are not UTF-8, a key that stands twice, NaN and infinities, numbers that a
    double cannot hold, half surrogates, and nesting deeper than any rule file needs.

    Args:
        file: Path of the file, relative to the rules directory, for the findings.
        raw: The bytes of the file.

    Returns:
        The document and no findings, or None and at least one finding.
    """
    try:
        document = json.loads(
            raw.decode("utf-8"),
            object_pairs_hook=_object,
            parse_constant=_Unreadable,
            parse_float=_double,
            parse_int=_integer,
        )
    except UnicodeDecodeError as problem:
        return None, (_not_utf8(file, raw, problem),)
    except json.JSONDecodeError as problem:
        return None, (_malformed(file, problem),)
    except RecursionError:
        return None, (_too_deep(file, "#"),)
    findings = tuple(_faults(file, document))
    return (None, findings) if findings else (document, ())


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    plain = dict(pairs)
    if len(plain) == len(pairs):
        return plain
    keys = [key for key, _ in pairs]
    repeating = _Repeating(plain)
    repeating.repeated = tuple(key for key in plain if keys.count(key) > 1)
    return repeating


def _double(written: str) -> float | _Unreadable:
    value = float(written)
    return value if math.isfinite(value) else _Unreadable(written)


def _integer(written: str) -> int | _Unreadable:
    if len(written) > len(str(-LARGEST_INTEGER)) or abs(int(written)) > LARGEST_INTEGER:
        return _Unreadable(written)
    return int(written)


def _faults(file: str, document: object) -> Iterator[Finding]:
    waiting: list[tuple[tuple[str | int, ...], object]] = [((), document)]
    while waiting:
        steps, value = waiting.pop()
        if _is_faulty(value):
            yield from _faults_of(file, pointer_to(*steps), value)
        if len(steps) > DEEPEST:
            yield _too_deep(file, pointer_to(*steps[:3]))
        elif isinstance(value, dict):
            waiting.extend(((*steps, key), inner) for key, inner in reversed(value.items()))
        elif isinstance(value, list):
            waiting.extend(((*steps, index), inner) for index, inner in reversed(list(enumerate(value))))


def _is_faulty(value: object) -> bool:
    """Whether something is wrong at this very place; a pointer to every sound one would cost most of the reading."""
    if isinstance(value, str):
        return not value.isascii() and _has_half_character(value)
    if isinstance(value, dict):
        return isinstance(value, _Repeating) or any(not key.isascii() and _has_half_character(key) for key in value)
    return isinstance(value, _Unreadable)


def _has_half_character(text: str) -> bool:
    return any("\ud800" <= character <= "\udfff" for character in text)


def _faults_of(file: str, pointer: str, value: object) -> Iterator[Finding]:
    if isinstance(value, _Repeating):
        yield from (_twice(file, pointer, key) for key in value.repeated)
    if isinstance(value, _Unreadable):
        yield _no_number(file, pointer, value.written)
    texts = [*value] if isinstance(value, dict) else [value]
    for text in texts:
        if isinstance(text, str) and _has_half_character(text):
            yield _half_character(file, pointer, text)


def _not_utf8(file: str, raw: bytes, problem: UnicodeDecodeError) -> Finding:
    line = raw.count(b"\n", 0, problem.start) + 1
    return error(
        file,
        "#",
        RULE,
        f"line {line} is not UTF-8",
        found=f"byte 0x{raw[problem.start]:02x} at offset {problem.start}",
        allowed="UTF-8 without a byte order mark",
        tip="save the file as UTF-8",
    )


def _malformed(file: str, problem: json.JSONDecodeError) -> Finding:
    return error(
        file,
        "#",
        RULE,
        f"line {problem.lineno}, column {problem.colno} is not JSON",
        found=problem.msg,
        allowed="one JSON document (RFC 8259)",
        tip="look at the end of the line before: a comma too many or too few is the usual cause",
    )


def _too_deep(file: str, pointer: str) -> Finding:
    return error(
        file,
        pointer,
        RULE,
        "the document is nested too deeply",
        found=f"more than {DEEPEST} levels",
        allowed=f"at most {DEEPEST} levels",
        tip="no rule file needs as many levels; look for brackets that were pasted twice",
    )


def _twice(file: str, pointer: str, key: str) -> Finding:
    place = "#" + pointer[1:] + pointer_to(key)[1:]
    return error(
        file,
        place,
        RULE,
        "the key stands more than once in its object, so readers would disagree about its value",
        found=f"{json.dumps(key)} more than once",
        allowed="each key once",
        tip="keep the entry that the source gives and remove the other",
    )


def _no_number(file: str, pointer: str, written: str) -> Finding:
    shown = written if len(written) <= 30 else f"{written[:30]}… ({len(written)} characters)"
    return error(
        file,
        pointer,
        RULE,
        "this is no number that every reader can hold",
        found=shown,
        allowed=f"a finite double, an integer within ±{LARGEST_INTEGER}",
        tip="write null for a figure that the source does not give",
    )


def _half_character(file: str, pointer: str, text: str) -> Finding:
    return error(
        file,
        pointer,
        RULE,
        "the text has half a character (a lone surrogate)",
        found=ascii(text)[:60],
        allowed="whole Unicode characters",
        tip="write the character itself; the file is UTF-8",
    )
