"""JSON by orjson, which is fast and strict, and made stricter where it is lenient in what it writes."""

import math
from collections.abc import Iterable, Mapping
from typing import Any

import orjson
from flask.json.provider import JSONProvider

_PLAIN = frozenset({str, int, bool, type(None)})


class OrjsonProvider(JSONProvider):
    """Flask's JSON by orjson."""

    def dumps(self, obj: Any, **kwargs: Any) -> str:
        """Write JSON.

        Args:
            obj: What to write; every number in it finite.
            **kwargs: Taken for Flask's sake; there are no options.

        Returns:
            The JSON.
        """
        refuse_loose_numbers(obj)
        return orjson.dumps(obj, default=_plain).decode()

    def loads(self, s: str | bytes, **kwargs: Any) -> Any:
        """Read JSON.

        Args:
            s: The JSON.
            **kwargs: Taken for Flask's sake; there are no options.

        Returns:
            What it says.
        """
        return orjson.loads(s)


def refuse_loose_numbers(value: Any) -> None:
    """Refuse NaN and infinity, which orjson would write as null.

    Args:
        value: What is to be written.

    Raises:
        ValueError: A number in it is not finite.
    """
    waiting: list[Iterable[Any]] = [(value,)]
    for several in waiting:
        for inner in several:
            # By exact type first: an answer has hundreds of values, and asking for Mapping is slow.
            kind = type(inner)
            if kind in _PLAIN:
                continue
            if kind is float:
                if not math.isfinite(inner):
                    raise ValueError("a number of the answer is not finite")
            elif kind is list:
                waiting.append(inner)
            elif kind is dict or isinstance(inner, Mapping):
                waiting.append(inner.values())
            elif isinstance(inner, list | tuple):
                waiting.append(inner)


def _plain(value: Any) -> Any:
    """Give orjson a dict for the rulebook's read-only mappings."""
    if isinstance(value, Mapping):
        return dict(value)
    raise TypeError(f"no JSON for {type(value).__name__}")
