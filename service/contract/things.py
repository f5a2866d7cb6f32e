"""What comes for people of the things that load models know, if their fixing fails.

Stated once, for the answers of load models and for requests whose loads came from one.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from service.contract.verification_codes import CONSEQUENCES, Consequence

UNDER_A_SLAB = "soffit"
"""The word of every load model for what hangs under a slab."""
WHATEVER_IS_TOLD: Mapping[str, Consequence] = MappingProxyType({
    "guardrail_post": Consequence.FALL_PROTECTION,
    "racking_upright": Consequence.PEOPLE_BELOW,
    "soffit_hanger": Consequence.PEOPLE_BELOW,
})
ASKED_WHERE = ("eyebolt", "pipe_clamp")
"""Things that may hang under a slab and over people, by what they are told of their surface."""
LIFTS, HANGS_FOR_GOOD = "eyebolt", "steady_pull"


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
