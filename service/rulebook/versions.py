"""Versions: CalVer year.number.patch."""

from __future__ import annotations

import re

FORM = re.compile(r"20[0-9]{2}\.(?:0|[1-9][0-9]{0,3})\.(?:0|[1-9][0-9]{0,3})")


def is_version(text: str) -> bool:
    """Say whether a text is a version.

    Args:
        text: Any text.

    Returns:
        Whether it has the form year.number.patch.
    """
    return FORM.fullmatch(text) is not None


def order(version: str) -> tuple[int, ...]:
    """Give what versions are ordered by.

    Args:
        version: A version.

    Returns:
        Year, number and patch.
    """
    return tuple(int(part) for part in version.split("."))
