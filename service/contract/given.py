"""What a caller gave at a place that is refused, in short, so that the refusal can say it."""

from __future__ import annotations

from typing import Any
from urllib.parse import unquote

import orjson

LONGEST = 60
NOTHING = object()


def given_at(body: Any, pointer: str) -> str | None:
    """Write what stands at a place of the body.

    Args:
        body: The body as parsed.
        pointer: The place, a JSON pointer as URI fragment.

    Returns:
        The value as JSON, cut where it is long; None where nothing stands there, or a group or list of values.
    """
    value = body
    for token in pointer.removeprefix("#").split("/")[1:]:
        value = _step(value, unquote(token).replace("~1", "/").replace("~0", "~"))
    if value is NOTHING or isinstance(value, (dict, list)):
        return None
    return shortened(orjson.dumps(value).decode("utf-8"))


def shortened(text: str) -> str:
    """Cut a text that is long.

    Args:
        text: The text.

    Returns:
        The text, or its beginning with an ellipsis.
    """
    return text if len(text) <= LONGEST else f"{text[: LONGEST - 1]}…"


def _step(value: Any, token: str) -> Any:
    if isinstance(value, dict):
        return value.get(token, NOTHING)
    if isinstance(value, list) and token.isdecimal() and len(token) < len(str(len(value))) + 1:
        return value[int(token)] if int(token) < len(value) else NOTHING
    return NOTHING
