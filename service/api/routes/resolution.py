"""What is settled before the service calculates: day and version."""

from datetime import date
from typing import Any

from service.api.operations import Call
from service.rulebook import Rulebook


def resolved(call: Call) -> tuple[dict[str, Any], Rulebook, bool]:
    """Resolve day and version of a request.

    Args:
        call: The call, with a request as its body.

    Returns:
        The request with its day, the rulebook to answer it by, and whether the day was filled in.
    """
    assumed = call.body.get("assessed_on") is None
    day = {"assessed_on": call.serving.clock().isoformat()} if assumed else {}
    request = {**call.body, **day}
    on = date.fromisoformat(request["assessed_on"])
    return request, call.serving.pinned(request.get("rulebook"), on, pointer="#/rulebook"), assumed
