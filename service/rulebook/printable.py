"""Text out of data as it may be shown: nothing in it steers a terminal, forges a line or turns the order of reading."""

from __future__ import annotations

import re

STEERING = re.compile(
    "[\x00-\x1f\x7f-\x9f"  # control characters, line ends among them
    "\u2028\u2029"  # more line ends
    "\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069"  # order of reading
    "\u00ad\u180e\u200b\u2060-\u2065\u206a-\u206f\ufeff\ufff9-\ufffb\U000e0000-\U000e007f"  # invisible
    "\ud800-\udfff\ufffe\uffff]"  # no characters
)


def printable(text: str) -> str:
    r"""Write the characters that steer as escapes; every other character stays.

    Args:
        text: A text out of rules, a request, a record or a repository.

    Returns:
        The text, on one line, like "\x1b[2J" for what would clear a screen.
    """
    if text.isprintable():
        return text
    return STEERING.sub(lambda found: ascii(found[0])[1:-1], text)


def printable_json(written: str) -> str:
    """Write the characters that steer as the escapes of JSON, so that the same document is read back.

    Args:
        written: JSON; its line ends stand between values.

    Returns:
        The same JSON.
    """
    return STEERING.sub(lambda found: found[0] if found[0] == "\n" else _json_escape(found[0]), written)


def _json_escape(character: str) -> str:
    units = character.encode("utf-16-be", "surrogatepass")
    return "".join(f"\\u{units[place : place + 2].hex()}" for place in range(0, len(units), 2))
