"""What comes for people of the things that load models know, if their fixing fails, and what to beware of with each.

Stated once, for the answers of load models and for requests whose loads came from one.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from service.contract.load_model_codes import Caution
from service.contract.verification_codes import CONSEQUENCES, Consequence

CAUTIONS_OF: Mapping[str, tuple[Caution, ...]] = MappingProxyType({
    "guardrail_post": (Caution.GUARD_INFILL_NOT_COVERED, Caution.RAIL_CONTINUITY, Caution.POST_AND_RAIL_NOT_CHECKED),
    "wall_bracket": (Caution.CLIMBING_AND_LEANING, Caution.BRACKET_NOT_CHECKED),
    "soffit_hanger": (),
    "racking_upright": (Caution.FORK_UPLIFT, Caution.TRUCK_IMPACT_NOT_COVERED, Caution.RACKING_STABILITY_NOT_CHECKED),
    "pipe_clamp": (Caution.LOADS_ALONG_THE_PIPE, Caution.FULL_FOR_THE_TEST),
    "machine_base": (Caution.FATIGUE_AND_VIBRATION_NOT_CHECKED, Caution.STARTING_AND_SHORT_CIRCUIT),
    "eyebolt": (Caution.ONE_EYEBOLT_TAKES_ALL, Caution.LIFTING_GEAR_RULES, Caution.NO_ONE_UNDER_THE_LOAD),
})
"""Every thing that a load model knows, with what to beware of whatever is told of it."""
THINGS = tuple(CAUTIONS_OF)
UNDER_A_SLAB = "soffit"
"""The word of every load model for what hangs under a slab."""
WHATEVER_IS_TOLD: Mapping[str, Consequence] = MappingProxyType({
    "guardrail_post": Consequence.FALL_PROTECTION,
    "racking_upright": Consequence.PEOPLE_BELOW,
    "soffit_hanger": Consequence.PEOPLE_BELOW,
})
ASKED_WHERE = ("eyebolt", "pipe_clamp")
"""Things that may hang under a slab and over people, by what they are told of their surface."""
ALWAYS_UNDER_A_SLAB = ("soffit_hanger",)
LIFTS, HANGS_FOR_GOOD = "eyebolt", "steady_pull"
MOST_CYCLES = 1000
"""How often a load may come and go that counts as static (EN 1992-4:2018, 8.1, from memory)."""
HOW_IT_MOVES = MappingProxyType({"machine_base": "machine", LIFTS: "lifting"})
MOVES_ALL_THE_TIME = (("machine_base", "reciprocating"), (LIFTS, "power_hoist"))
ON_A_FACE = "guardrail_post"
BELOW_THE_FLOOR = "fixing_below_floor_mm"
"""What a post is told of how much lower than the floor its fixing lies."""
NEXT_ONES: Mapping[str, Mapping[str, str]] = MappingProxyType({
    "pipe_clamp": {"span_mm": "x", "other_span_mm": "x"},
    "racking_upright": {"upright_spacing_mm": "x"},
})
"""Inputs that say how far the next fixing of the same kind stands, and along which axis, whatever else is told."""


def under_a_slab(load_model: str, told: Mapping[str, str]) -> bool:
    """Say whether a thing is known to hang under a slab.

    Args:
        load_model: Name of the load model.
        told: The words that it was told or took, by input.

    Returns:
        True where it always does, or was told to.
    """
    return load_model in ALWAYS_UNDER_A_SLAB or told.get("surface") == UNDER_A_SLAB


def may_tire(load_model: str, words: Mapping[str, str], numbers: Mapping[str, float]) -> bool:
    """Say whether a thing loads its fasteners so often that it may tire them, or nobody told that it does not.

    Args:
        load_model: Name of the load model.
        words: The words that it was told or took, by input.
        numbers: The numbers that it was told or took, by input.

    Returns:
        True for machines that reciprocate, and for what lifts more often than is covered, or by power and nobody knows
        how often.
    """
    if load_model == LIFTS and "lifts" in numbers:
        return numbers["lifts"] > MOST_CYCLES
    return (load_model, words.get(HOW_IT_MOVES.get(load_model, ""))) in MOVES_ALL_THE_TIME


def next_ones(
    load_model: str, words: Mapping[str, str], numbers: Mapping[str, float]
) -> tuple[tuple[str, float], ...]:
    """List the next fixings of the same kind that a load model was told of.

    Args:
        load_model: Name of the load model.
        words: The words that it was told or took, by input.
        numbers: The numbers that it was told or took, by input.

    Returns:
        Of each the axis it stands along, on either side, and how far from centre to centre (mm).
    """
    asked: dict[str, str | None] = dict(NEXT_ONES.get(load_model, {}))
    if load_model == ON_A_FACE:
        along, aside = ("x", None) if on_a_face(load_model, words) else ("y", "x")
        behind = {"end": None, "corner": aside}.get(words.get("post", ""), along)
        asked = {"post_spacing_mm": along, "other_post_spacing_mm": behind}
    return tuple((axis, numbers[name]) for name, axis in asked.items() if axis is not None and name in numbers)


def stands_on_a_floor(load_model: str, told: Mapping[str, str]) -> bool:
    """Say whether a thing has its height told over the floor, and stands on the concrete below it.

    Args:
        load_model: Name of the load model.
        told: The words that it was told or took, by input.

    Returns:
        True for a post that was not told to be fixed to a face.
    """
    return load_model == ON_A_FACE and told.get("mounting") != "side"


def on_a_face(load_model: str, told: Mapping[str, str]) -> bool:
    """Say whether a thing is known to be fixed to the front face of a slab, which ends above and below it.

    Args:
        load_model: Name of the load model.
        told: The words that it was told or took, by input.

    Returns:
        True where it was told so.
    """
    return load_model == ON_A_FACE and told.get("mounting") == "side"


def consequence_of(load_model: str, told: Mapping[str, str]) -> tuple[Consequence, ...]:
    """Say what comes of a thing for people if its fixing fails.

    Args:
        load_model: Name of the load model.
        told: The words that it was told or took, by input; where a word is missing, the less favourable counts.

    Returns:
        What comes of it, in the order of the list; empty where the thing alone does not tell.
    """
    found = {WHATEVER_IS_TOLD.get(load_model)}
    if load_model in ASKED_WHERE and told.get("surface", UNDER_A_SLAB) == UNDER_A_SLAB:
        found.add(Consequence.PEOPLE_BELOW)
    # Who has not said how it is pulled may be lifting.
    if load_model == LIFTS and told.get("lifting") != HANGS_FOR_GOOD:
        found.add(Consequence.LIFTING)
    return tuple(each for each in CONSEQUENCES if each in found)


def cautions_of(load_model: str, given: Sequence[str]) -> tuple[Caution, ...]:
    """List what to beware of where loads came from a load model.

    Args:
        load_model: Name of the load model.
        given: Codes of its cautions, as a request gives them.

    Returns:
        Those that are given, and those that go with the thing whatever is given.
    """
    always = (Caution.ACTIONS_TO_BE_CONFIRMED, *CAUTIONS_OF[load_model])
    return tuple(dict.fromkeys((*map(Caution, given), *always)))
