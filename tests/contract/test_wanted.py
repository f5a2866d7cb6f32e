"""The objects that a request becomes, held against the statement that it is read by: a field added to one only fails.

Which field is which is read from the statement; what a default must be is common sense, no source.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import MISSING, FrozenInstanceError, fields
from datetime import date
from pathlib import Path
from types import NoneType
from typing import Annotated, Any, get_args, get_origin, get_type_hints

import pytest
from marshmallow import Schema
from marshmallow.fields import Field

from service.contract import wanted
from service.contract.fields import (
    LEFT_OUT,
    UNKNOWN,
    Choice,
    Conditions,
    Day,
    Flag,
    Items,
    Number,
    Part,
    PartOrUnknown,
    Text,
    Whole,
    Word,
)
from service.contract.fixing import Use
from service.contract.recorded import ASSERTED, RecordedRequest, RecordedUse
from service.contract.sizing import SizingRequest

EXAMPLE = Path(__file__).resolve().parents[2] / "deploy" / "example" / "verification.json"
ROOTS = (("verification", RecordedRequest(), wanted.Verification), ("sizing", SizingRequest(), wanted.Sizing))
ONLY_KEPT = {
    "verification/built": {
        "torque_nm", "hole_cleaned", "hole_diameter_mm", "head_seated", "sleeve_expanded", "mark_shows",
        "weld_tested",
        "bolt_length_mm", "screwed_in_mm",
        "concrete_temperature_c", "coldest_until_cured_c", "curing_minutes", "set_within_working_time", "resin_filled",
    },
}  # fmt: skip
"""What a request keeps for the next as-built check and no verification reckons with."""
ONLY_RECORDED = {"sizing/load_cases": {"permanent_share"}}
"""What only the request of a record may have."""
KEPT_AS_SAID = {"concrete_state"}
"""What counts the same left out and unknown, and is kept as it was said: the id of pulls is one of their words."""
RESOLVED = {"assessed_on"}
"""What is filled in before an object is made."""
KINDS: dict[type[Field[Any]], type] = {Number: float, Whole: int, Flag: bool, Text: str, Word: str, Choice: str}


def pairs(place: str, schema: Schema, kind: Any) -> Iterator[tuple[str, Schema, Any]]:
    """Each object of a request: its place, its statement, its class."""
    # A use is also made of what a record of old says.
    yield place, RecordedUse() if type(schema) is Use else schema, kind
    hints = get_type_hints(kind, include_extras=True)
    for name, field in schema.fields.items():
        inner = field.inner if isinstance(field, Items) else field
        if isinstance(inner, Part) and name in hints:
            yield from pairs(f"{place}/{name}", inner.schema, bare(hints[name]))


def bare(hint: Any) -> Any:
    """The class of an object, also of one that may be left out or stands in a list."""
    inside = [each for each in get_args(hint) if each not in {NoneType, Ellipsis}]
    return bare(inside[0]) if inside else hint


OBJECTS = [pair for root in ROOTS for pair in pairs(*root)]


def default(kind: Any, name: str) -> Any:
    """Default of a field, MISSING where it has none."""
    if issubclass(kind, tuple):
        return kind._field_defaults.get(name, MISSING)
    (field,) = (each for each in fields(kind) if each.name == name)
    return field.default if field.default_factory is MISSING else field.default_factory()


@pytest.mark.parametrize(("place", "schema", "kind"), OBJECTS, ids=[place for place, _, _ in OBJECTS])
def test_an_object_has_the_fields_of_its_statement_and_no_others(place: str, schema: Schema, kind: Any) -> None:
    stated = set(schema.fields) - ONLY_KEPT.get(place, set()) | ONLY_RECORDED.get(place, set())
    assert set(get_type_hints(kind)) == stated


def test_a_recorded_use_says_no_more_than_what_was_once_asserted() -> None:
    assert set(RecordedUse().fields) - set(Use().fields) == set(ASSERTED)


@pytest.mark.parametrize(("place", "schema", "kind"), OBJECTS, ids=[place for place, _, _ in OBJECTS])
def test_each_field_is_of_the_kind_that_is_read(place: str, schema: Schema, kind: Any) -> None:
    hints = get_type_hints(kind, include_extras=True)
    for name in hints.keys() & schema.fields.keys():
        field, hint = schema.fields[name], hints[name]
        if isinstance(field, Items):
            assert get_origin(hint) is tuple or get_origin(get_args(hint)[0]) is tuple, f"{place}/{name}"
        elif isinstance(field, Day):
            assert bare(hint) is date, f"{place}/{name}"
        elif isinstance(field, Conditions):
            assert hint is wanted.Site, f"{place}/{name}"
        elif type(field) in KINDS:
            assert KINDS[type(field)] in {bare(hint), type(bare(hint))}, f"{place}/{name}"
        may_be_unknown = field.metadata.get(LEFT_OUT) == UNKNOWN and not isinstance(field, PartOrUnknown)
        may_be_unknown = may_be_unknown and name not in KEPT_AS_SAID
        assert (get_origin(hint) is Annotated) == may_be_unknown, f"{place}/{name}"


@pytest.mark.parametrize(("place", "schema", "kind"), OBJECTS, ids=[place for place, _, _ in OBJECTS])
def test_what_must_be_given_has_no_default_and_what_may_be_left_out_has_the_stated_one(
    place: str, schema: Schema, kind: Any
) -> None:
    for name in get_type_hints(kind).keys() & schema.fields.keys():
        field, value = schema.fields[name], default(kind, name)
        if field.required or name in RESOLVED:
            assert value is MISSING, f"{place}/{name}"
        elif value is not None and not isinstance(field, Part | Conditions | Items):
            # None stands for what an assumption tells or what nothing counts for; any other default is published.
            assert value == field.metadata[LEFT_OUT], f"{place}/{name}"
        assert value is not MISSING or field.required or name in RESOLVED, f"{place}/{name}"


def test_null_left_out_and_unknown_are_one() -> None:
    body = {"thickness_mm": 200}
    named: dict[str, Any] = dict.fromkeys(("strength_class", "strength_mpa", "state", "edges", "reinforcement"))
    unknown = {"strength_class": UNKNOWN, "state": UNKNOWN, "reinforcement": UNKNOWN}
    made = [wanted.made(wanted.Member, given) for given in (body, body | named, body | unknown)]
    assert made[0] == made[1] == made[2] == wanted.Member(200.0)


def test_a_text_that_reads_unknown_is_a_text() -> None:
    assert wanted.made(wanted.LoadCase, {"name": UNKNOWN}).name == UNKNOWN


def test_minus_zero_is_zero() -> None:
    assert str(wanted.made(wanted.LoadCase, {"name": "any", "normal_kn": -0.0}).normal_kn) == "0.0"


def test_an_object_can_not_be_changed() -> None:
    made = wanted.made(wanted.Verification, json.loads(EXAMPLE.read_text("utf-8")))
    with pytest.raises(FrozenInstanceError, match="thickness_mm"):
        made.member.thickness_mm = 100.0  # type: ignore[misc]  # that it can't be is what is shown
