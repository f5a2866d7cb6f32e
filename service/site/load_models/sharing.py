"""How a thing on several points shares its weight among them."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook import Rulebook
from service.site.load_models.inputs import (
    Given,
    NumberInput,
    RuleFigure,
    RuleWord,
    Word,
    entries_of,
    figure_of,
    unwanted,
)
from service.site.load_models.model import STATICS, Disagreement, Working

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
    absent="in a line, which costs more",
    default=IN_LINE,
    titles={
        IN_LINE: "In a line, or not known",
        AT_CORNERS: "At the corners, evenly around the middle",
    },
)
LARGEST_SHARE = NumberInput(
    "largest_share",
    "Share of the most loaded one, 0 to 1, if known",
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
    default="unknown",
    file="load-models",
    table="uneven_shares",
    figure="factor",
)
PERMANENT_SHARE = NumberInput(
    "permanent_share",
    "Share that never changes, 0 to 1",
    "Share of the mass that never changes, from 0 to 1; the rest counts as variable, with the higher factor.",
    absent="0, all of it variable",
    default=0,
    minimum=0,
    maximum=1,
)


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
    yield from unwanted(given, "largest_share", count == 1.0, f"where {number} is 1, which carries all of it")
    if given.has("largest_share") and given.figure("largest_share") < 1.0 / count - ROUNDING:
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
    words = "share of the most loaded point"
    if count == 1.0:
        return working.step("k_n", "share of the one point", 1.0, "1", "n = 1", STATICS)
    if given.has("largest_share"):
        told = working.given("k_s", f"{words}, as given", given.figure("largest_share"), "1")
        return working.step("k_n", words, max(told, 1.0 / count), "1", "max(k_s, 1/n)")
    ruled = _least_uneven(rulebook) if count == DETERMINATE else given.chosen("levelling", rulebook)
    uneven = working.ruled("k_u", "load of the most loaded point over that of even sharing", ruled, "1")
    if not in_line or count < FEWEST_WITH_AN_INNER_ONE:
        return working.step("k_n", words, min(1.0, uneven / count), "1", "min(1, k_u/n)")
    least = ON_TWO if uneven >= RESTS_ON_TWO else 0.0
    working.step("k_2", "least share, where it may rest on two points alone", least, "1", "½ where k_u is 2 or more")
    stiff = figure_of(rulebook, "load-models", "continuous_pipe", "factor")
    runs_on = working.ruled("k_c", "load of an inner point over one span, where a stiff thing runs on", stiff, "1")
    span = working.step(
        "k_t", "one span, which an inner point in a line carries", 1.0 / (count - 1.0), "1", "1/(n − 1)"
    )
    share = min(1.0, max(max(uneven, runs_on) * span, least))
    return working.step("k_n", words, share, "1", "min(1, max(max(k_u, k_c)·k_t, k_2))")


def _least_uneven(rulebook: Rulebook) -> RuleFigure:
    """Two points carry what equilibrium asks of them however they were set; what is left is a mass off the middle."""
    table = entries_of(rulebook, LEVELLING)
    word = min(table, key=lambda entry: float(table[entry][LEVELLING.figure]))
    return figure_of(rulebook, LEVELLING.file, LEVELLING.table, word, LEVELLING.figure)


def notes_of(count: float, given: Given, many: str, *, in_line: bool) -> tuple[tuple[str, str], ...]:
    """What was assumed about how the points share.

    Args:
        count: Number of points (no unit).
        given: The request.
        many: What the points are called, as "hangers".
        in_line: Whether the points stand in a line.

    Returns:
        Codes and words.
    """
    if count == 1.0:
        return ()
    if given.has("largest_share"):
        words = (
            f"Which share the most loaded of the {many} carries was given, and has to be shown by statics or weighing"
        )
        return (("largest_share_to_be_shown", words),)
    inner = in_line and count >= FEWEST_WITH_AN_INNER_ONE
    stand = f"The {many} stand in a line at equal distances, the mass is" if inner else "The mass is"
    words = (
        f"{stand} evenly spread and its centre is in the middle of the {many}. Where it is not, the nearest takes up "
        "to all of it: work out or weigh what the most loaded one carries, and give that as largest_share, or as the "
        "mass on one alone"
    )
    return (("mass_evenly_spread", words),)


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
