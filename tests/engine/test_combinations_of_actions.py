"""Combinations of actions. Source: EN 1990:2002, 6.4.3, from memory, by hand; recommended factors 1.35, 1.0 and 1.5."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import permutations
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.engine.en1990 import (
    Action,
    Combination,
    Equation,
    Kind,
    PartialFactors,
    combinations,
    eq_6_10,
    eq_6_10a,
    eq_6_10b,
    eq_6_11,
    number_of_combinations,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

FEW = settings(max_examples=50, deadline=None)
RECOMMENDED = PartialFactors(1.35, 1.0, 1.5, 0.9)
WITH_A_AND_B = PartialFactors(1.35, 1.0, 1.5, 0.9, permanent_reduction=0.85)
WEIGHT = Action("weight", "permanent", (5.0, 0.0))
CROWD = Action("crowd", "variable", (5.0, 0.0), psi_0=0.7, psi_1=0.5, psi_2=0.3)
WIND = Action("wind", "variable", (0.0, 2.0), psi_0=0.6, psi_1=0.2, psi_2=0.0)
TRUCK = Action("truck", "accidental", (1.0, 10.0))


def found(*actions: Action, partial: PartialFactors = RECOMMENDED) -> set[tuple[float, ...]]:
    """The sums of all combinations, to nine digits."""
    return {tuple(round(part, 9) for part in each.components) for each in combinations(actions, partial)}


def factors(made: Iterable[Combination]) -> list[dict[str, float]]:
    return [dict(each.factors) for each in made]


def test_each_equation_by_hand() -> None:
    """Source: EN 1990:2002, Eq. (6.10), (6.10a), (6.10b) and (6.11), from memory, by hand."""
    assert eq_6_10({"weight": 1.35}, CROWD, [WIND], 1.5) == pytest.approx({"weight": 1.35, "crowd": 1.5, "wind": 0.9})
    assert eq_6_10a({"weight": 1.35}, [CROWD, WIND], 1.5) == pytest.approx({"weight": 1.35, "crowd": 1.05, "wind": 0.9})
    assert eq_6_10b({"weight": 1.35, "pump": 1.0}, CROWD, [WIND], 1.5, ["weight"], 0.85) == pytest.approx({
        "weight": 1.1475,
        "pump": 1.0,
        "crowd": 1.5,
        "wind": 0.9,
    })
    assert eq_6_11({"weight": 1.0}, TRUCK, CROWD, [WIND]) == {"weight": 1.0, "truck": 1.0, "crowd": 0.5, "wind": 0.0}


def test_a_permanent_and_a_variable_action_of_one_direction_add_up() -> None:
    """The trap: as two alternatives they came to 7.5 kN. Source: 1.35·5 + 1.5·5 = 14.25, by hand."""
    made = combinations([WEIGHT, Action("load", "variable", (5.0, 0.0))], RECOMMENDED)
    (only,) = made
    assert only.components == pytest.approx((14.25, 0.0))
    assert only.leading == "load"


def test_what_lasts_of_a_sum_is_told() -> None:
    """Source: 1.35·5 + 0.4·1.5·5 = 9.75 of 14.25, by hand."""
    made = combinations([WEIGHT, Action("load", "variable", (5.0, 0.0), sustained_share=0.4)], RECOMMENDED)
    whole = max(made, key=lambda each: each.components[0])
    assert whole.sustained[0] == pytest.approx(9.75)


def test_wind_against_weight_meets_weight_at_its_least_and_at_its_most() -> None:
    """Source: by hand; weight that holds down counts 0.9, other weight 1.0."""
    lifts = Action("wind", "variable", (0.0, 3.0))
    presses = Action("weight", "permanent", (-2.0, 0.0))
    holds = Action("weight", "permanent", (-2.0, 0.0), holding_down=True)
    assert found(presses, lifts) == {(-2.7, 0.0), (-2.7, 4.5), (-2.0, 4.5)}
    assert found(holds, lifts) == {(-2.7, 0.0), (-2.7, 4.5), (-1.8, 4.5)}


def test_one_source_has_one_factor_at_a_time() -> None:
    """Source: EN 1990:2002, Table A1.2(B), note 3, from memory."""
    left, right = Action("left arm", "permanent", (1.0, 0.0)), Action("right arm", "permanent", (0.0, 1.0))
    same = [Action(each.name, "permanent", each.components, source="sign") for each in (left, right)]
    assert found(*same) == {(1.35, 1.35)}
    assert found(left, right) == {(1.35, 1.35), (1.35, 1.0), (1.0, 1.35)}


def test_a_source_that_holds_down_does_so_as_a_whole() -> None:
    held = Action("weight", "permanent", (-1.0, 0.0), source="frame", holding_down=True)
    arm = Action("arm", "permanent", (0.0, 1.0), source="frame")
    assert {tuple(each.values()) for each in factors(combinations([held, arm], RECOMMENDED))} == {(1.35, 1.35)}
    against = combinations([held, arm, Action("wind", "variable", (1.0, 0.0))], RECOMMENDED)
    assert {"weight": 0.9, "arm": 0.9, "wind": 1.5} in factors(against)


def test_wind_from_either_side_never_blows_from_both() -> None:
    east = Action("wind east", "variable", (3.0, 1.0), excludes=frozenset({"wind west"}))
    west = Action("wind west", "variable", (-3.0, 1.0))
    assert found(east, west) == {(4.5, 1.5), (-4.5, 1.5)}


def test_each_variable_action_leads_once() -> None:
    """Source: by hand: 1.5·5 = 7.5 with 0.6·1.5·2 = 1.8, or 0.7·1.5·5 = 5.25 with 1.5·2 = 3."""
    assert found(CROWD, WIND) == {(7.5, 0.0), (7.5, 1.8), (5.25, 3.0), (0.0, 3.0)}


def test_accidents_act_one_at_a_time_and_leave_out_what_they_exclude() -> None:
    """Source: Eq. (6.11), by hand: weight 1.0, or 0.9 where it holds down; psi_1 of the leading action."""
    blast = Action("blast", "accidental", (7.0, 7.0), excludes=frozenset({"crowd"}))
    weight = Action("weight", "permanent", (-1.0, 0.0), holding_down=True)
    made = [each for each in combinations([weight, CROWD, TRUCK, blast], RECOMMENDED) if each.accidental]
    assert {each.equation for each in made} == {Equation.EQ_6_11}
    assert factors(made) == [
        {"weight": 1.0, "truck": 1.0},
        {"weight": 1.0, "truck": 1.0, "crowd": 0.5},
        {"weight": 1.0, "blast": 1.0},
        {"weight": 0.9, "truck": 1.0},
        {"weight": 0.9, "truck": 1.0, "crowd": 0.5},
        {"weight": 0.9, "blast": 1.0},
    ]


def test_national_choice_of_6_10a_and_6_10b() -> None:
    """Source: by hand: 1.35 and 0.7·1.5, or 0.85·1.35 = 1.1475 and 1.5."""
    crosswise = Action("weight", "permanent", (0.0, 4.0))
    made = {
        (e.equation, *(round(f, 9) for f in e.factors.values())) for e in combinations([crosswise, CROWD], WITH_A_AND_B)
    }
    assert {(Equation.EQ_6_10A, 1.35, 1.05), (Equation.EQ_6_10B, 1.1475, 1.5)} <= made
    assert (Equation.EQ_6_10, 1.35, 1.5) not in made


def test_equal_and_smaller_combinations_of_one_direction_are_left_out() -> None:
    """Of what lasts no share may be lost with them."""
    short = Action("snow", "variable", (5.0, 0.0), sustained_share=0.0)
    made = combinations([WEIGHT, short], RECOMMENDED)
    assert found(WEIGHT, short) == {(6.75, 0.0), (14.25, 0.0)}
    assert [each.sustained[0] for each in made] == pytest.approx([6.75, 6.75])
    twice = combinations([Action("a", "variable", (1.0, 0.0)), Action("b", "variable", (1.0, 0.0))], RECOMMENDED)
    assert [each.components for each in twice] == [(3.0, 0.0)]


def test_no_actions_at_all_make_no_combination() -> None:
    assert combinations([], RECOMMENDED) == ()


def test_the_number_is_known_before_any_is_made() -> None:
    """Source: by hand: 2 factors of the weight, times 1 + 11·2^10 choices of a leading action among eleven."""
    many = [Action(f"load {index}", "variable", (1.0, float(index)), psi_0=0.5) for index in range(11)]
    assert number_of_combinations([WEIGHT, *many], RECOMMENDED) == 2 * (1 + 11 * 2**10)
    even = [replace(each, psi_0=1.0) for each in many]
    assert number_of_combinations([WEIGHT, *even], RECOMMENDED) == 2 * 2**11


SHARES = st.sampled_from([0.0, 0.3, 0.7, 1.0])
PARTS = st.tuples(*[st.integers(min_value=-4, max_value=4).map(float)] * 3)
DIRECTIONS = st.tuples(*[st.integers(min_value=-3, max_value=3).map(float)] * 3)


@st.composite
def sets_of_actions(draw: st.DrawFn) -> list[Action]:
    """Up to five actions that may all act together."""
    kinds: list[Kind] = draw(st.lists(st.sampled_from(["permanent", "variable"]), min_size=1, max_size=5))
    return [
        Action(f"{kind} {number}", kind, draw(PARTS), psi_0=draw(SHARES), sustained_share=draw(SHARES))
        for number, kind in enumerate(kinds)
    ]


def along(direction: Sequence[float], components: Sequence[float]) -> float:
    return sum(a * b for a, b in zip(direction, components, strict=True))


@FEW
@given(actions=sets_of_actions(), direction=DIRECTIONS)
def test_the_most_in_any_direction_is_that_of_the_equation(actions: list[Action], direction: Sequence[float]) -> None:
    """Source: Eq. (6.10), by hand: each action at whichever of its factors is worse, one variable action leading."""
    permanent = [along(direction, each.components) for each in actions if each.kind == "permanent"]
    variable = [(along(direction, e.components), e.psi_0) for e in actions if e.kind == "variable"]
    unfavourable = [(value, psi) for value, psi in variable if value > 0.0]
    most = sum(max(1.35 * value, value) for value in permanent) + sum(1.5 * psi * value for value, psi in unfavourable)
    most += max((1.5 * (1.0 - psi) * value for value, psi in unfavourable), default=0.0)
    got = max((along(direction, each.components) for each in combinations(actions, RECOMMENDED)), default=0.0)
    # A smaller multiple of a combination that does nothing unfavourable in this direction may have been left out.
    assert max(got, 0.0) == pytest.approx(max(most, 0.0), abs=1e-9)


@FEW
@given(actions=sets_of_actions())
def test_the_order_of_the_actions_changes_nothing(actions: list[Action]) -> None:
    """Source: a sum has no order."""
    said = {(each.equation, each.components, each.sustained) for each in combinations(actions, RECOMMENDED)}
    for other in list(permutations(actions))[:6]:
        again = combinations(other, RECOMMENDED)
        assert {(each.equation, each.components, each.sustained) for each in again} == said


@FEW
@given(actions=sets_of_actions(), factor=st.sampled_from([1.5, 2.0, 4.0]))
def test_all_actions_larger_make_every_combination_larger(actions: list[Action], factor: float) -> None:
    """Source: combinations are linear in the actions."""
    larger = [replace(each, components=tuple(factor * part for part in each.components)) for each in actions]
    before, after = combinations(actions, RECOMMENDED), combinations(larger, RECOMMENDED)
    assert len(before) == len(after)
    for small, large in zip(before, after, strict=True):
        assert large.components == pytest.approx(tuple(factor * part for part in small.components))
        assert math.hypot(*large.sustained) == pytest.approx(factor * math.hypot(*small.sustained))
