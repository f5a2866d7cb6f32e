"""Files that were renamed: gone under one name, there under another, with nearly the same content."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Any

from service.audit.changes.places import is_list, written

NEARLY_THE_SAME = 0.9
"""Share of equal values from which on a file counts as renamed; families of one mechanism share up to about 0.85."""
RENAMED_WITH_THE_FILE = "id"
DIRECTORIES = ("families/", "reference/")


def renamed(gone: Mapping[str, Any], come: Mapping[str, Any]) -> dict[str, str]:
    """Match files that are gone with files that have come.

    Args:
        gone: Documents by path that are there before only.
        come: Documents by path that are there after only.

    Returns:
        The old path by the new one, of the most alike first; each file is matched once.
    """
    before = {file: _values(document) for file, document in gone.items() if file.startswith(DIRECTORIES)}
    after = {file: _values(document) for file, document in come.items() if file.startswith(DIRECTORIES)}
    pairs = sorted(
        (-alike, new, old)
        for new, its in after.items()
        for old, their in before.items()
        if new.split("/")[0] == old.split("/")[0] and (alike := _alike(its, their)) >= NEARLY_THE_SAME
    )
    matched: dict[str, str] = {}
    for _, new, old in pairs:
        if new not in matched and old not in matched.values():
            matched[new] = old
    return matched


def _alike(one: Counter[tuple[str, str]], other: Counter[tuple[str, str]]) -> float:
    total = one.total() + other.total()
    return 2 * (one & other).total() / total if total else 0.0


def _values(document: object) -> Counter[tuple[str, str]]:
    return Counter((place, value) for place, value in _leaves(document, "") if place != f"/{RENAMED_WITH_THE_FILE}")


def _leaves(value: object, place: str) -> Iterator[tuple[str, str]]:
    if isinstance(value, Mapping):
        for name, inner in value.items():
            yield from _leaves(inner, f"{place}/{name}")
    elif is_list(value):
        for entry in value:
            yield from _leaves(entry, f"{place}/-")
    else:
        yield place, f"{type(value).__name__ if isinstance(value, bool) else ''}{written(value)}"
