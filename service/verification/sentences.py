"""Which members of an answer are sentences: prose made from codes, or texts that the rulebook's digest covers.

A record's digest covers an answer without them, so that a better word changes no id.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Any

EACH = "*"
SENTENCES = (
    "assumptions/*/text",
    "basis/national_choices/*/choice",
    "basis/note",
    "basis/open_readings/*/text",
    "basis/standards/*/used_for",
    "cautions/*/text",
    "checks/*/trace/*/expression",
    "fastener/title",
    "permissible/*/basis",
    "plate/reason",
    "requirements/*/detail",
    "scope_limits/*/detail",
    "site_reduction/parts/*/reason",
)
"""Their places in an answer; `*` stands for each entry of a list. The contract marks the same fields."""

Places = Mapping[str, Any]
"""Places as a tree by name; None where a sentence stands."""


def tree_of(places: Iterable[str]) -> Places:
    """Make a tree of places.

    Args:
        places: Places, their steps parted by strokes.

    Returns:
        The tree.
    """
    tree: dict[str, Any] = {}
    for place in places:
        *above, last = place.split("/")
        branch = tree
        for step in above:
            branch = branch.setdefault(step, {})
        branch[last] = None
    return tree


def without_sentences(answer: Mapping[str, Any]) -> dict[str, Any]:
    """Leave the sentences out of an answer.

    Args:
        answer: An answer; any object will do.

    Returns:
        What is left; parts that hold no sentence are the same objects.
    """
    return _object_without(answer, _TREE)


def is_sentence(steps: Iterable[str | int]) -> bool:
    """Say whether a sentence stands at a place of an answer.

    Args:
        steps: Names and indices from the answer down.

    Returns:
        Whether it does.
    """
    branch: Any = _TREE
    for step in steps:
        name = EACH if isinstance(step, int) else step
        if branch is None or name not in branch:
            return False
        branch = branch[name]
    return branch is None


def _object_without(value: Mapping[str, Any], branch: Places) -> dict[str, Any]:
    return {
        name: _without(inner, branch[name]) if name in branch else inner
        for name, inner in value.items()
        if name not in branch or branch[name] is not None
    }


def _without(value: Any, branch: Places) -> Any:
    if EACH in branch:
        return [_without(entry, branch[EACH]) for entry in value] if isinstance(value, list) else value
    return _object_without(value, branch) if isinstance(value, dict) else value


_TREE: Places = MappingProxyType(tree_of(SENTENCES))
