"""The RFC 8785 form of a document, by the fast serialiser where it writes the same bytes."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

import orjson
import rfc8785

_DECIMAL_FROM, _DECIMAL_TO = 1e-5, 1e16
"""Between these both serialisers write a number without an exponent."""

_WHOLE = re.compile(rb"\.0[,}\]]")
"""A whole number with a point, or a text like one."""
_DIGITS_AS_ZERO = bytes.maketrans(b"123456789", b"000000000")
_EXPONENT = re.compile(rb"0e[-+]?0+[,}\]]")
"""A number with an exponent, or a text like one, every digit written as 0: so it begins with what is rare."""
_LONG = b"0" * 16
"""A long integer, or a text like one, written so."""
_NESTED = (dict, list)


class _OnlyByTheBookError(ValueError):
    """Something that the fast serialiser writes in another form."""


def canonical(document: Any) -> bytes:
    """The RFC 8785 form.

    Args:
        document: Parsed JSON: mappings, lists, text, finite numbers, booleans and nulls.

    Returns:
        The canonical bytes.
    """
    # The usual document is written once and looked at. Of another one each member is, so that only those that may hold
    # another form are walked through: of a record the request, and not the answer.
    try:
        written = _at_once(document)
        if written is not None:
            return written
        if type(document) is dict and all(map(str.isascii, document)):
            members = (orjson.dumps(name) + b":" + _member(document[name]) for name in sorted(document))
            return b"{" + b",".join(members) + b"}"
        return _walked_through(document)
    except (_OnlyByTheBookError, TypeError):
        return rfc8785.dumps(_plain(document))


def _member(value: Any) -> bytes:
    written = _at_once(value)
    return _walked_through(value) if written is None else written


def _at_once(document: Any) -> bytes | None:
    """What the fast serialiser writes; None where that may not be the canonical form."""
    written = orjson.dumps(document, option=orjson.OPT_SORT_KEYS)
    sure = written[:1] in b"{[" and not _doubtful(written) and (written.isascii() or _names_are_ascii(document))
    return written if sure else None


def _walked_through(document: Any) -> bytes:
    return orjson.dumps(_with_whole_numbers(document), option=orjson.OPT_SORT_KEYS)


def _doubtful(written: bytes) -> bool:
    """Whether there is a whole number with a point, an exponent or a long integer, or a text like one."""
    # Three searches, each of which skips to where it may begin; a single one for all takes three times as long.
    if _WHOLE.search(written):
        return True
    with_zeros = written.translate(_DIGITS_AS_ZERO)
    return _LONG in with_zeros or _EXPONENT.search(with_zeros) is not None


def _names_are_ascii(document: Any) -> bool:
    # The two serialisers order names beyond ASCII differently.
    waiting = [document]
    for value in waiting:
        inner = value
        if isinstance(value, dict):
            if not all(map(str.isascii, value)):
                return False
            inner = value.values()
        waiting.extend([item for item in inner if isinstance(item, _NESTED)])
    return True


def _plain(value: Any) -> Any:
    if isinstance(value, Mapping):
        return {name: _plain(item) for name, item in value.items()}
    return [_plain(item) for item in value] if isinstance(value, list | tuple) else value


def _with_whole_numbers(value: Any) -> Any:
    # RFC 8785 writes 70.0 as 70, and sorts names by UTF-16, the fast serialiser by UTF-8: the same for ASCII.
    kind = type(value)
    if isinstance(value, str) or value is None or kind is bool:
        return value
    if kind is float:
        if value.is_integer() and abs(value) < _DECIMAL_TO:
            return int(value)
        if _DECIMAL_FROM <= abs(value) < _DECIMAL_TO:
            return value
    elif kind is dict and all(name.isascii() for name in value):
        return {name: _with_whole_numbers(item) for name, item in value.items()}
    elif kind is list or kind is tuple:
        return [_with_whole_numbers(item) for item in value]
    elif kind is int and abs(value) < _DECIMAL_TO / 2:
        return value
    elif isinstance(value, Mapping) and kind is not dict:
        return _with_whole_numbers(dict(value))
    raise _OnlyByTheBookError
