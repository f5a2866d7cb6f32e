"""Whether a hole that a fastener was taken out of serves for another one."""

from __future__ import annotations

from service.verification.selection import Selection

SERVES_AGAIN = frozenset({"plastic_anchor"})
"""Mechanisms that come out of their hole and leave it as it was.

Common practice, no source: what expands, bonds or is cast in stays where it is, and a screw has cut its thread.
"""


def serves_again(selection: Selection) -> bool:
    """Say whether another fastener may be set in the hole of one that was taken out.

    Args:
        selection: The fastener.

    Returns:
        False where it cannot be taken out, or its hole may not be used twice.
    """
    return selection.mechanism in SERVES_AGAIN
