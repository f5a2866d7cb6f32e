"""A verification request as a record holds it, which may say what requests can say no more; it still replays."""

from collections.abc import Mapping
from typing import Any, ClassVar

from service.contract.fields import Flag, Part
from service.contract.fixing import Use
from service.contract.verification import VerificationRequest

ASSERTED = ("redundant",)
"""Fields of `use` that once proved what they only asserted; by the rules of their day they still count in a replay."""


class RecordedUse(Use):
    """What a recorded fixing is for and what surrounds it."""

    RENAMED: ClassVar[Mapping[str, str]] = {}

    redundant = Flag(
        "As it was stated before `redundancy` took its place; it counts in a replay under the record's own rules, and "
        "nowhere else.",
        absent="it was not stated",
    )


class RecordedRequest(VerificationRequest):
    """A verification request as it was sent, today or earlier."""

    use = Part(RecordedUse, "What the fixing is for.", absent="each of its fields left out")


def asked_today(request: Mapping[str, Any]) -> dict[str, Any]:
    """Ask for a recorded fixing as requests can ask today.

    Args:
        request: Its request.

    Returns:
        The request without what proves nothing any more.
    """
    use = request.get("use")
    if not isinstance(use, Mapping):
        return dict(request)
    return {**request, "use": {name: value for name, value in use.items() if name not in ASSERTED}}
