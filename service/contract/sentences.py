"""Which members of an answer are sentences: prose made from codes, or texts that the rulebook's digest covers.

A field of the answer says so where it is stated. A record's digest covers an answer without its sentences, so that a
better word changes no id.
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any

from marshmallow import Schema, fields

from service.contract.verification import VerificationAnswer

EACH = "*"
"""Stands for each entry of a list in a place."""

Tree = Mapping[str, Any]
"""Places as a tree by name; None where a sentence stands."""

_Without = Callable[[Any], Any]
"""Gives a part of an answer without its sentences."""


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
    kept: dict[str, Any] = _without()(dict(answer))
    return kept


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


@functools.cache
def _without() -> _Without:
    return _without_places(_tree())


def _without_places(branch: Tree) -> _Without:
    """What leaves the sentences of a branch out of it, made once, as an answer has dozens of objects."""
    if EACH in branch:
        each = _without_places(branch[EACH])
        return lambda value: [each(entry) for entry in value] if isinstance(value, list) else value
    left_out = [name for name, below in branch.items() if below is None]
    gone_into = [(name, _without_places(below)) for name, below in branch.items() if below is not None]

    def of_object(value: Any) -> Any:
        if not isinstance(value, dict):
            return value
        kept = value.copy()
        for name in left_out:
            kept.pop(name, None)
        for name, without in gone_into:
            if name in kept:
                kept[name] = without(kept[name])
        return kept

    return of_object
