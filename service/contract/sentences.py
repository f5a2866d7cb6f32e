"""Which members of an answer are sentences: prose made from codes, or texts that the rulebook's digest covers.

A field of the answer says so where it is stated. A record's digest covers an answer without its sentences, so that a
better word changes no id.
"""

from __future__ import annotations

import functools
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from marshmallow import Schema, fields

from service.contract.verification import VerificationAnswer

EACH = "*"
"""Stands for each entry of a list in a place."""

Tree = Mapping[str, Any]
"""Places as a tree by name; None where a sentence stands."""


@functools.cache
def sentences() -> tuple[str, ...]:
    """List the places of the sentences in the answer of a verification.

    Returns:
        The places in order, as in `requirements/*/detail`.
    """
    return tuple(sorted("/".join(place) for place in _marked(VerificationAnswer(), ())))


def without_sentences(answer: Mapping[str, Any]) -> dict[str, Any]:
    """Leave the sentences out of an answer.

    Args:
        answer: An answer; any object will do.

    Returns:
        What is left; parts that hold no sentence are the same objects.
    """
    return _object_without(answer, _tree())


def is_sentence(steps: Iterable[str | int]) -> bool:
    """Say whether a sentence stands at a place of an answer.

    Args:
        steps: Names and indices from the answer down.

    Returns:
        Whether it does.
    """
    branch: Any = _tree()
    for step in steps:
        name = EACH if isinstance(step, int) else step
        if branch is None or name not in branch:
            return False
        branch = branch[name]
    return branch is None


def _marked(schema: Schema, above: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    for name, field in schema.fields.items():
        inner, place = field, (*above, name)
        while isinstance(inner, fields.List):
            inner, place = inner.inner, (*place, EACH)
        if isinstance(inner, fields.Nested):
            yield from _marked(inner.schema, place)
        elif inner.metadata.get("x-sentence"):
            yield place


@functools.cache
def _tree() -> Tree:
    tree: dict[str, Any] = {}
    for place in sentences():
        *above, last = place.split("/")
        branch = tree
        for step in above:
            branch = branch.setdefault(step, {})
        branch[last] = None
    return tree


def _object_without(value: Mapping[str, Any], branch: Tree) -> dict[str, Any]:
    kept = dict(value)
    for name, below in branch.items():
        if below is None:
            kept.pop(name, None)
        elif name in kept:
            kept[name] = _without(kept[name], below)
    return kept


def _without(value: Any, branch: Tree) -> Any:
    if EACH in branch:
        return [_without(entry, branch[EACH]) for entry in value] if isinstance(value, list) else value
    return _object_without(value, branch) if isinstance(value, dict) else value
