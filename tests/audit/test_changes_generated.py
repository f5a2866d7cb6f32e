"""Random changes of a rulebook are found, all of them and no others; documents that fit no schema break nothing."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from service.audit.changes.changed_values import Changes, changes_of
from tests.audit.changes_repository import documents

Place = tuple[str, tuple[str | int, ...]]

# Lists that are sets, sequences or keyed are told entry by entry; those are held to account in test_changes.py.
LEFT_OUT = {
    "hole_conditions", "frozen_hole_conditions", "temperature_ranges", "exposures", "drilling_methods", "uses",
    "cleaning_steps",
}  # fmt: skip
KEYS = {"length_mm", "temperature_min_c", "code", "clause", "selection_order", "applies_to"}


def leaves(value: Any, steps: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    if isinstance(value, dict):
        for name, inner in value.items():
            if name not in LEFT_OUT | KEYS:
                yield from leaves(inner, (*steps, name))
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            yield from leaves(inner, (*steps, index))
    else:
        yield steps


BASE = documents()
PLACES: list[Place] = [(file, steps) for file, document in BASE.items() for steps in leaves(document)]
VALUES = st.one_of(
    st.none(), st.booleans(), st.integers(-5, 5), st.floats(allow_nan=False, allow_infinity=False), st.text(max_size=5)
)
JSON = st.recursive(
    VALUES, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=3), inner, max_size=3)
)


def at(document: Any, steps: tuple[str | int, ...]) -> Any:
    for step in steps:
        document = document[step]
    return document


def pointer(steps: tuple[str | int, ...]) -> str:
    return "#/" + "/".join(str(step).replace("~", "~0").replace("/", "~1") for step in steps)


@settings(max_examples=60, deadline=None)
@given(st.dictionaries(st.sampled_from(PLACES), VALUES, max_size=8))
def test_random_changes_are_found_and_no_others(wanted: dict[Place, Any]) -> None:
    new = copy.deepcopy(BASE)
    for (file, steps), value in wanted.items():
        at(new[file], steps[:-1])[steps[-1]] = value
    expected = {
        (file, pointer(steps)): (at(BASE[file], steps), value)
        for (file, steps), value in wanted.items()
        if differ(at(BASE[file], steps), value)
    }
    told = changes_of(BASE, new)
    found = {(change.file, change.pointer): (change.old, change.new) for change in (*told.values, *told.reference)}
    assert found == expected
    assert len(told.values) + len(told.reference) == len(expected)


@settings(max_examples=60, deadline=None)
@given(st.dictionaries(st.sampled_from(PLACES), VALUES, max_size=5))
def test_changes_back_are_the_same_places_with_the_effects_turned(wanted: dict[Place, Any]) -> None:
    new = copy.deepcopy(BASE)
    for (file, steps), value in wanted.items():
        at(new[file], steps[:-1])[steps[-1]] = value
    there = {change.rule: change for change in changes_of(BASE, new).values}
    back = {change.rule: change for change in changes_of(new, BASE).values}
    assert there.keys() == back.keys()
    for rule, change in there.items():
        assert (back[rule].old, back[rule].new) == (change.new, change.old)
        assert back[rule].effect is change.effect.reversed


FILES = st.sampled_from([
    "rulebook.json", "families/bolt.json", "families/a.json", "factors/site-conditions.json", "factors/odd.json",
    "reference/post.json",
])  # fmt: skip


@settings(max_examples=80, deadline=None)
@given(st.dictionaries(FILES, JSON, max_size=3), st.dictionaries(FILES, JSON, max_size=3))
def test_documents_of_any_form_can_be_compared(old: dict[str, Any], new: dict[str, Any]) -> None:
    assert changes_of(old, old) == Changes((), (), only_order=False)
    told = changes_of(old, new)
    assert (told == Changes((), (), only_order=False)) == (not differ(old, new))


def differ(one: Any, other: Any) -> bool:
    if isinstance(one, dict) and isinstance(other, dict):
        return one.keys() != other.keys() or any(differ(value, other[name]) for name, value in one.items())
    if isinstance(one, list) and isinstance(other, list):
        return len(one) != len(other) or any(map(differ, one, other))
    return (type(one) is bool) != (type(other) is bool) or bool(one != other)


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(sorted(BASE)), st.data())
def test_a_file_with_anything_put_into_it_can_be_compared(file: str, data: st.DataObject) -> None:
    new = copy.deepcopy(BASE)
    places = [steps for name, steps in PLACES if name == file]
    steps = data.draw(st.sampled_from(places))
    depth = data.draw(st.integers(1, len(steps)))
    value = data.draw(JSON)
    at(new[file], steps[: depth - 1])[steps[depth - 1]] = value
    told = changes_of(BASE, new)
    assert bool(told.values or told.reference or told.only_order) == differ(BASE, new)
