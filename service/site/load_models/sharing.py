"""How a thing on several points shares its weight among them."""

from __future__ import annotations

from service.rulebook import Rulebook
from service.site.load_models.inputs import Figure, Given, RuleWord
from service.site.load_models.model import STATICS, Working

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
PERMANENT_SHARE = Figure(
    "permanent_share",
    "Share that never changes, 0 to 1",
    "Share of the mass that never changes, from 0 to 1; the rest counts as variable, with the higher factor.",
    absent="0, all of it variable",
    default=0,
    minimum=0,
    maximum=1,
)


def share_of_one(count: float, given: Given, rulebook: Rulebook, working: Working) -> float:
    """Share of the most loaded point in the whole (no unit); one point carries it all, and none more than the whole.

    Args:
        count: Number of points (no unit).
        given: The request, with ``levelling``.
        rulebook: The rulebook with its unevenness.
        working: Where the steps are noted.

    Returns:
        The share.
    """
    if count == 1.0:
        return working.step("k_n", "share of the one point", 1.0, "1", "n = 1", STATICS)
    uneven = working.ruled(
        "k_u", "load of the most loaded point over the mean", given.chosen("levelling", rulebook), "1"
    )
    return working.step("k_n", "share of the most loaded point", min(1.0, uneven / count), "1", "min(1, k_u/n)")
