"""The RFC 8785 form of a document, by the fast serialiser where it writes the same bytes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import orjson
import rfc8785

_DECIMAL_FROM, _DECIMAL_TO = 1e-5, 1e16
"""Between these both serialisers write a number without an exponent."""


class _OnlyByTheBookError(ValueError):
    """Something that the fast serialiser writes in another form."""


def canonical(document: Any) -> bytes:
    """The RFC 8785 form.

    Args:
        document: Parsed JSON: mappings, lists, text, finite numbers, booleans and nulls.

    Returns:
        The canonical bytes.
    """
    try:
        return orjson.dumps(_with_whole_numbers(document), option=orjson.OPT_SORT_KEYS)
    except _OnlyByTheBookError:
        return rfc8785.dumps(document)


def _with_whole_numbers(value: Any) -> Any:
    # RFC 8785 writes 70.0 as 70, and sorts names by UTF-16, the fast serialiser by UTF-8: the same for ASCII.
    kind = type(value)
    if kind is str or value is None or kind is bool:
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
