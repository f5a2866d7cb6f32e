"""Writers compiled from the statement of an answer. Rounding to six significant digits is our own rule."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.contract import checks, common, identity
from service.contract.fields import Day, Items, Part, Whole
from service.contract.statement import AnswerSchema, Free, RulesSchema, flag, many, number, part, string
from service.contract.verification_codes import RequirementCode
from service.contract.writing import rounded, writer
from service.verification.requirements import Requirement
from tests.site.sheet_cases import REQUESTS, book


class Step(AnswerSchema):
    """A step."""

    symbol = string("Symbol.")
    value = Free("Value.", ("number", "string", "null"))


class Shown(AnswerSchema):
    """Something shown."""

    name = string("Name.", of="inner.title")
    pull_kn = number("Pull.", "kN", of="inner.pull_n", nullable=True)
    depth_mm = number("Depth.", "mm")
    met = flag("Whether.")
    numbers = many(Whole("One.", minimum=0), "Numbers.")
    first = part(Step, "First step; null: none.", nullable=True)
    steps = Items(Part(Step, "A step."), "Steps; only where asked for.")


@dataclass
class Inner:
    title: str = "bolt"
    pull_n: float | None = 1234.5678


@dataclass
class OneStep:
    symbol: str
    value: float | str | bool | None


@dataclass
class Source:
    inner: Inner
    depth_mm: float = 70.0
    met: bool = True
    numbers: tuple[int, ...] = (0, 3)
    first: OneStep | None = None
    steps: tuple[OneStep, ...] | None = None


def test_values_come_from_where_the_field_says_in_its_unit() -> None:
    assert writer(Shown)(Source(Inner())) == {
        "name": "bolt",
        "pull_kn": 1.23457,
        "depth_mm": 70,
        "met": True,
        "numbers": [0, 3],
        "first": None,
    }


def test_null_stays_null_and_parts_are_written_by_their_own_statement() -> None:
    steps = (OneStep("h_ef", 70.00000001), OneStep("state", "cracked"), OneStep("k", None), OneStep("b", True))
    written = writer(Shown)(Source(Inner(pull_n=None), first=steps[0], steps=steps))
    assert written["pull_kn"] is None
    assert written["first"] == {"symbol": "h_ef", "value": 70}
    assert [step["value"] for step in written["steps"]] == [70, "cracked", None, True]


def test_a_writer_is_compiled_once_and_a_schema_of_one_field_is_written_too() -> None:
    class Single(AnswerSchema):
        """One field."""

        name = string("Name.", of="title")

    assert writer(Single) is writer(Single)
    assert writer(Single)(Inner()) == {"name": "bolt"}


def test_a_source_without_the_value_is_an_error_and_no_gap() -> None:
    with pytest.raises(AttributeError, match="inner"):
        writer(Shown)(Inner())


@pytest.mark.parametrize(
    ("value", "shown"),
    [(1234.5678, 1234.57), (-0.0, 0), (70.0, 70), (0.1 + 0.2, 0.3), (1e15, 1e15), (1.5e-7, 1.5e-7), (123456.7, 123457)],
)
def test_figures_have_six_digits_and_whole_ones_are_integers(value: float, shown: float) -> None:
    assert rounded(value) == shown
    assert isinstance(rounded(value), int) == (float(shown).is_integer() and abs(shown) < 1e15)
    assert math.copysign(1, rounded(value)) == math.copysign(1, shown)


@given(st.floats(allow_nan=False, allow_infinity=False) | st.floats(-1e4, 1e4) | st.integers(-(10**16), 10**16))
def test_rounding_is_that_of_python_to_six_digits(value: float) -> None:
    assert rounded(value) == float(f"{value:.6g}")


@pytest.mark.parametrize("power", range(-12, 16))
def test_rounding_holds_where_a_figure_is_next_to_a_power_of_ten(power: int) -> None:
    exact = 10.0**power
    for value in (
        exact,
        math.nextafter(exact, 0),
        math.nextafter(exact, math.inf),
        9.999995 * exact,
        0.9999995 * exact,
    ):
        assert rounded(value) == float(f"{value:.6g}")


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_a_figure_that_is_not_finite_is_never_published(value: float) -> None:
    with pytest.raises(ArithmeticError, match="not finite"):
        rounded(value)


def test_the_rulebook_is_written_by_the_names_of_its_statement() -> None:
    written: dict[str, Any] = writer(identity.RulebookIdentity)(book())
    assert written["version"] == REQUESTS["guardrail"]["rulebook"]
    assert written.keys() == identity.RulebookIdentity().fields.keys()


def test_a_day_is_written_as_iso_and_a_part_of_the_rulebook_by_its_members() -> None:
    class Rules(RulesSchema):
        """Of the rulebook."""

        title = string("Title.")

    class Dated(AnswerSchema):
        """With a day."""

        since = Day("Day.", required=True, of="when.since")
        until = Day("Day.", required=True, of="when.until")
        of_rules = part(Rules, "Rules.", of="rules")

    @dataclass
    class When:
        since: date = date(2026, 11, 25)
        until: str = "2027-11-25"

    @dataclass
    class Source:
        when: When
        rules: dict[str, str]

    written = writer(Dated)(Source(When(), {"title": "Expansion bolt", "note": "not shown"}))
    assert written == {"since": "2026-11-25", "until": "2027-11-25", "of_rules": {"title": "Expansion bolt"}}


def test_a_statement_is_written_with_its_code_its_figures_and_its_sentence() -> None:
    figures = {"thickness_mm": 150.0000001, "thickness_min_mm": 200.0}
    requirement = Requirement(RequirementCode.MEMBER_THICKNESS, False, figures, "families/f#/x", decisive=True)
    assert writer(common.Requirement)(requirement) == {
        "code": "member_thickness",
        "severity": "stops",
        "figures": {"thickness_mm": 150, "thickness_min_mm": 200},
        "met": False,
        "clause": None,
        "detail": "member thickness h 150 mm, at least 200 mm",
        "given": 150,
        "limit": 200,
        "unit": "mm",
        "rule": "families/f#/x",
    }


def test_no_two_fields_of_a_check_come_from_one_value() -> None:
    sources = [getattr(field, "of", None) or name for name, field in checks.Check().fields.items()]
    assert len(sources) == len(set(sources))
