"""A verification request as a record holds it, which may say what requests can say no more; it still replays."""

from collections.abc import Mapping
from typing import Any, ClassVar

from service.contract.coherence import OF_A_VERIFICATION, Rule, permanent_share_fits_the_kind
from service.contract.fields import Choice, Flag, Items, Part
from service.contract.fixing import LoadCase, Use
from service.contract.quantities import share
from service.contract.request_schema import Gone
from service.contract.terms import RECORDED_KINDS
from service.contract.verification import VerificationRequest

ASSERTED = ("redundant",)
"""Fields of `use` that once proved what they only asserted; by the rules of their day they still count in a replay."""


class RecordedUse(Use):
    """What a recorded fixing is for and what surrounds it."""

    RENAMED: ClassVar[Mapping[str, Gone]] = {}

    redundant = Flag(
        "As it was stated before `redundancy` took its place; it counts in a replay under the record's own rules, and "
        "nowhere else.",
        absent="it was not stated",
    )


class RecordedLoadCase(LoadCase):
    """A load case of a record; one of kind characteristic was taken before there were actions."""

    RENAMED: ClassVar[Mapping[str, Gone]] = {}

    kind = Choice(
        "Design values, or characteristic values to be factored.", RECORDED_KINDS, absent="design", default="design"
    )
    permanent_share = share(
        "Permanent part of a characteristic load case, as a ratio of each component; required where kind is "
        "characteristic and refused where it is design.",
        absent="refused where kind is characteristic",
    )


class RecordedRequest(VerificationRequest):
    """A verification request as it was sent, today or earlier."""

    use = Part(RecordedUse, "What the fixing is for.", absent="each of its fields left out")
    load_cases = Items(
        Part(RecordedLoadCase, "One load case."),
        "Load cases: alternatives, never added. A record has load_cases or actions, not both.",
        fewest=1,
        most=100,
        absent="actions must be given",
    )

    @staticmethod
    def rules() -> tuple[Rule, ...]:
        """Rules across fields."""
        return (*OF_A_VERIFICATION, permanent_share_fits_the_kind)


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
