"""Whether the service runs, and whether it can answer."""

from typing import Any

from service.api.operations import Call, bound
from service.contract.health import PATHS


def live(_: Call) -> dict[str, Any]:
    """Say that the process runs."""
    return {"status": "live"}


def ready(call: Call) -> dict[str, Any]:
    """Say that the service can answer, and by which rulebook.

    Args:
        call: The call.

    Returns:
        The status, the rulebook in force, and whatever keeps a version from being served.
    """
    shelf = call.serving.shelf
    faults = (*call.serving.faults, *shelf.faults)
    return {
        "status": "degraded" if call.serving.kept else "ready",
        "rulebook": call.serving.identity(),
        "versions": shelf.versions,
        "note": shelf.note,
        "faults": [fault.told for fault in faults],
    }


OPERATIONS = bound(
    PATHS,
    {"getLiveness": live, "getReadiness": ready},
)
