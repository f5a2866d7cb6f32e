"""What is settled before the service calculates: day and version."""

from typing import Any

from service.api.operations import Call
from service.api.problems import Refused


def resolved(call: Call) -> tuple[dict[str, Any], bool]:
    """Resolve day and version of a request.

    Args:
        call: The call, with a request as its body.

    Returns:
        The request with its day, and whether the day was filled in.

    Raises:
        Refused: The service does not hold the version.
    """
    version = call.body.get("rulebook")
    if version is not None and not call.serving.known_version(version):
        raise Refused(422, [call.serving.unknown_version(pointer="#/rulebook")])
    assumed = call.body.get("assessed_on") is None
    day = {"assessed_on": call.serving.clock().isoformat()} if assumed else {}
    return {**call.body, **day}, assumed
