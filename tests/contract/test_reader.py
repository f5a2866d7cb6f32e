"""The compiled reader of a request against its schema: it takes what the schema takes, and nothing else.

Each example of the contract is changed in one place at a time; the schema, read by marshmallow, is the other reading.
"""

from __future__ import annotations

from collections.abc import Iterator
from copy import deepcopy
from typing import Any

import pytest
from marshmallow import Schema, ValidationError

from service.contract.paths_stated import paths
from service.contract.reader import sound

ODD: tuple[Any, ...] = (
    None, "", "unknown", "x" * 300, "a\u0000b", True, False, 0, 1, -1, 0.5, 1e-31, 1e9, float("inf"), [], [None], {},
    {"x": 1}, [{}], "2026-11-25", "2026-13-01",
)  # fmt: skip
BODIES = [
    pytest.param(path.body, given, id=f"{path.name}-{name}")
    for path in paths()
    if path.body is not None
    for name, given in ((name, entry["value"]) for name, entry in path.examples.items())
]


def changed(value: Any, whole: Any, place: tuple[str | int, ...] = ()) -> Iterator[Any]:
    """The whole with one place of it taken out, doubled, or made something odd."""
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for number, (step, entry) in enumerate(inner, len(place)):
        here = (*place, step)
        # A quarter of them at each place, another one at the next: all of them come to every kind of field.
        for odd in ODD[number % 4 :: 4]:
            yield put(whole, here, lambda holder, last, odd=odd: holder.__setitem__(last, odd))
        yield put(whole, here, lambda holder, last: holder.pop(last))
        if isinstance(value, dict):
            yield put(whole, here, lambda holder, last: holder.__setitem__(f"{last}_too", 1))
        else:
            yield put(whole, here, lambda holder, last: holder.append(deepcopy(holder[last])))
        yield from changed(entry, whole, here)


def put(whole: Any, place: tuple[str | int, ...], change: Any) -> Any:
    body = deepcopy(whole)
    holder = body
    for step in place[:-1]:
        holder = holder[step]
    change(holder, place[-1])
    return body


def loaded(schema: Schema, body: Any) -> dict[str, Any] | None:
    try:
        request: dict[str, Any] = schema.load(deepcopy(body))
    except ValidationError:
        return None
    return request


@pytest.mark.parametrize(("kind", "given"), BODIES)
def test_the_reader_takes_what_the_schema_takes(kind: type[Schema], given: dict[str, Any]) -> None:
    schema = kind()
    assert sound(schema, given) == loaded(schema, given) is not None
    for body in [*changed(given, given), *ODD]:
        # In words, so that true is not 1, and an order that differs shows.
        assert repr(sound(schema, body)) == repr(loaded(schema, body)), body
