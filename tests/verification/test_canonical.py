"""The fast canonical form. Source: RFC 8785 by the `rfc8785` package, an independent implementation."""

from __future__ import annotations

import json
from enum import StrEnum
from types import MappingProxyType
from typing import Any

import pytest
import rfc8785
from hypothesis import given, settings
from hypothesis import strategies as st

from service.rulebook.canonical import canonical

NUMBERS = st.one_of(
    st.floats(allow_nan=False, allow_infinity=False),
    st.floats(min_value=-1e7, max_value=1e7),
    st.integers(min_value=-(2**53) + 1, max_value=2**53 - 1),
)
TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
DOCUMENTS: st.SearchStrategy[Any] = st.recursive(
    st.one_of(st.none(), st.booleans(), NUMBERS, TEXT),
    lambda inner: st.one_of(st.lists(inner, max_size=5), st.dictionaries(TEXT, inner, max_size=5)),
    max_leaves=20,
)


@settings(max_examples=400, derandomize=True, deadline=None)
@given(DOCUMENTS)
def test_same_bytes_as_the_reference(document: Any) -> None:
    assert canonical(document) == rfc8785.dumps(document)


@pytest.mark.parametrize(
    "number",
    [0.0, -0.0, 70.0, 0.1, 1e-5, 9.99e-6, 1e-6, 1e-7, 5e-324, 1e15, 1e16, 123456789012345680.0, 1e21, 1e22, 2**53 - 1],
)
def test_numbers_at_the_borders_of_the_forms(number: float) -> None:
    for sign in (1, -1):
        assert canonical({"n": sign * number}) == rfc8785.dumps({"n": sign * number})


def test_layout_is_not_content() -> None:
    first = json.loads('{"b": [1.0, {"y": null, "x": "é"}], "a": 2}')
    second = json.loads('{"a":2.0,"b":[1,{"x":"\\u00e9","y":null}]}')
    assert canonical(first) == canonical(second)


def test_read_only_views_are_taken_too() -> None:
    assert canonical(MappingProxyType({"a": (1, 2)})) == b'{"a":[1,2]}'


def test_members_of_an_enumeration_are_texts_and_need_no_slow_serialiser(monkeypatch: pytest.MonkeyPatch) -> None:
    class State(StrEnum):
        CRACKED = "cracked"

    document: Any = {"depth": 70.0, "covered": [State.CRACKED], "state": State.CRACKED}
    expected = rfc8785.dumps(document)
    monkeypatch.delattr(rfc8785, "dumps")
    assert canonical(document) == expected == b'{"covered":["cracked"],"depth":70,"state":"cracked"}'
