"""What is settled before the service calculates: day, version, and that the rulebook has the conditions named."""

from collections.abc import Mapping
from typing import Any

from service.api.operations import Call
from service.api.problems import Fault, Refused, pointer


def resolved(call: Call) -> tuple[dict[str, Any], bool]:
    """Resolve day and version of a request.

    Args:
        call: The call, with a request as its body.

    Returns:
        The request with its day, and whether the day was filled in.

    Raises:
        Refused: The service does not hold the version, or the rulebook has no such site condition.
    """
    version = call.body.get("rulebook")
    if version is not None and not call.serving.known_version(version):
        raise Refused(422, [call.serving.unknown_version(pointer="#/rulebook")])
    faults = _unknown_conditions(
        call.body.get("site", {}), call.serving.rulebook.factors["site-conditions"]["conditions"]
    )
    if faults:
        raise Refused(422, faults)
    assumed = "assessed_on" not in call.body
    day = {"assessed_on": call.serving.clock().isoformat()} if assumed else {}
    return {**call.body, **day}, assumed


def _unknown_conditions(given: Mapping[str, Any], known: Mapping[str, Any]) -> list[Fault]:
    """Find site conditions that the rulebook has not, which would otherwise be passed over in silence."""
    words = f"no such site condition; the conditions are: {', '.join(known)}"
    return [Fault("unknown_field", words, pointer=pointer(("site", name))) for name in given if name not in known]
