"""How a thing on several points shares its weight among them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from service.contract.load_model_codes import Because, Note, Points, StepCode
from service.rulebook import Rulebook
from service.site.load_models.inputs import (
    Condition,
    Crew,
    Disagreement,
    Given,
    NumberInput,
    RuleFigure,
    RuleWord,
    Where,
    Word,
    entries_of,
    figure_of,
)
from service.site.load_models.model import STATICS, Working
from service.words import Statement

IN_LINE, AT_CORNERS = "in_line", "at_corners"
DETERMINATE = 2.0
MOST_CORNERS = 4.0
RESTS_ON_TWO, ON_TWO = 2.0, 0.5
"""Unevenness from which on a stiff thing is taken to rest on two points, and the least share of one of them then."""
FEWEST_WITH_AN_INNER_ONE = 3.0
ROUNDING = 0.005
"""By how much a share may be short of the mean and still be the mean, rounded (no unit)."""

ARRANGEMENT = Word(
    "arrangement",
    "How they stand",
    "How three or more of them stand: in a line, where an inner one carries more than its number says, or evenly "
    "around the middle of the mass.",
    absent="in a line, which loads one of them more",
    default=IN_LINE,
    because=Because.LOADS_ONE_MORE,
    titles={
        IN_LINE: "In a line, or not known",
        AT_CORNERS: "At the corners, evenly around the middle",
    },
)
_LARGEST_SHARE = NumberInput(
    "largest_share",
    "Share of the most loaded one, if known",
    "Share of the mass that the most loaded one carries, from 0 to 1, known from statics or from weighing; takes the "
    "place of the estimate.",
    absent="estimated from their number, how they stand and how they were set",
    minimum=0.01,
    maximum=1,
)

LEVELLING = RuleWord(
    "levelling",
    "How the points were set",
    "How hangers or brackets were set, which says how unevenly they share; matters where there are several.",
    absent="what costs most in the rulebook",
    crew=Crew(left_empty="the least favourable of these"),
    default="unknown",
    because=Because.COSTS_MOST,
    file="load-models",
    table="uneven_shares",
    figure="factor",
)
PERMANENT_SHARE = NumberInput(
    "permanent_share",
    "Share that never changes",
    "Share of the mass that never changes, from 0 to 1; the rest counts as variable, with the higher factor.",
    default=0,
    because=Because.ALL_VARIABLE,
    minimum=0,
    maximum=1,
)


def largest_share(number: str) -> NumberInput:
    """What is asked of the most loaded point; of a single one there is nothing to ask.

    Args:
        number: Name of the input that says how many points there are.

    Returns:
        The input.
    """
    return replace(_LARGEST_SHARE, only_where=Where(number, Condition.ABOVE, above=1.0))


def disagree(given: Given, number: str) -> Iterator[Disagreement]:
    """Find a share that cannot be that of the most loaded point.

    Args:
        given: The request.
        number: Name of the input that says how many points there are.

    Yields:
        Field, code and words.
    """
    count = given.figure(number)
    if given.has("arrangement") and given.word("arrangement") == AT_CORNERS and count > MOST_CORNERS:
        words = f"must be {IN_LINE} where {number} is {count:g}: corners are three or four"
        yield "arrangement", "conflict", words
    if count > 1.0 and given.has("largest_share") and given.figure("largest_share") < 1.0 / count - ROUNDING:
        words = f"must be at least {1.0 / count:.3g} where {number} is {count:g}: the most loaded one carries the mean"
        yield "largest_share", "below_minimum", f"{words} or more"


def share_of_one(count: float, given: Given, rulebook: Rulebook, working: Working, *, in_line: bool) -> float:
    """Share of the most loaded point in the whole (no unit); one point carries it all, and none more than the whole.

    Of n points in a line at equal distances an inner one carries one of n − 1 spans, and 10/8 of it where the thing
    runs on as a stiff beam; points evenly around the centre carry 1/n each.

    Args:
        count: Number of points (no unit).
        given: The request, with ``levelling`` and ``largest_share``.
        rulebook: The rulebook with its unevenness.
        working: Where the steps are noted.
        in_line: Whether the points stand in a line.

    Returns:
        The share.
    """
    if count == 1.0:
        return working.step("k_n", StepCode.SHARE_OF_THE_ONE_POINT, 1.0, "1", "n = 1", STATICS)
    if given.has("largest_share"):
        told = working.given("k_s", StepCode.LARGEST_SHARE_AS_GIVEN, given.figure("largest_share"), "1")
        return working.step("k_n", StepCode.LARGEST_SHARE, max(told, 1.0 / count), "1", "max(k_s, 1/n)")
    ruled = _least_uneven(rulebook) if count == DETERMINATE else given.chosen("levelling", rulebook)
    uneven = working.ruled("k_u", StepCode.UNEVENNESS, ruled, "1")
    if not in_line or count < FEWEST_WITH_AN_INNER_ONE:
        return working.step("k_n", StepCode.LARGEST_SHARE, min(1.0, uneven / count), "1", "min(1, k_u/n)")
    least = ON_TWO if uneven >= RESTS_ON_TWO else 0.0
    working.step("k_2", StepCode.LEAST_SHARE, least, "1", "½ where k_u is 2 or more")
    stiff = figure_of(rulebook, "load-models", "continuous_pipe", "factor")
    runs_on = working.ruled("k_c", StepCode.INNER_POINT_OF_A_STIFF_THING, stiff, "1")
    span = working.step("k_t", StepCode.ONE_SPAN_IN_A_LINE, 1.0 / (count - 1.0), "1", "1/(n − 1)")
    share = min(1.0, max(max(uneven, runs_on) * span, least))
    return working.step("k_n", StepCode.LARGEST_SHARE, share, "1", "min(1, max(max(k_u, k_c)·k_t, k_2))")


def _least_uneven(rulebook: Rulebook) -> RuleFigure:
    """Two points carry what equilibrium asks of them however they were set; what is left is a mass off the middle."""
    table = entries_of(rulebook, LEVELLING)
    word = min(table, key=lambda entry: float(table[entry][LEVELLING.figure]))
    return figure_of(rulebook, LEVELLING.file, LEVELLING.table, word, LEVELLING.figure)


def notes_of(count: float, given: Given, many: Points, *, in_line: bool) -> tuple[Statement, ...]:
    """What was assumed about how the points share.

    Args:
        count: Number of points (no unit).
        given: The request.
        many: What the points are called.
        in_line: Whether the points stand in a line.

    Returns:
        The statements.
    """
    if count == 1.0:
        return ()
    if given.has("largest_share"):
        return (Statement(Note.LARGEST_SHARE_TO_BE_SHOWN, {"many": many}),)
    inner = in_line and count >= FEWEST_WITH_AN_INNER_ONE
    return (Statement(Note.MASS_EVENLY_SPREAD, {"many": many, "in_line": many if inner else None}),)


def idle_inputs(count: float, given: Given) -> tuple[str, ...]:
    """Inputs about sharing that had no effect.

    Args:
        count: Number of points (no unit).
        given: The request.

    Returns:
        Their names.
    """
    if count <= DETERMINATE or given.has("largest_share"):
        return (LEVELLING.name, ARRANGEMENT.name)
    return ()
