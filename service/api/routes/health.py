"""Whether the service runs, and whether it can answer."""

from typing import Any

from service.api.operations import Call, Operation
from service.contract.health import Liveness, Readiness


def live(_: Call) -> dict[str, Any]:
    """Say that the process runs.

    Args:
        _: The call.

    Returns:
        The status.
    """
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
        "status": "ready",
        "rulebook": call.serving.identity(),
        "versions": shelf.versions,
        "note": shelf.note,
        "faults": [{"version": fault.version, "code": fault.code, "detail": fault.detail} for fault in faults],
    }


OPERATIONS = (
    Operation(
        method="GET",
        path="/health/live",
        name="getLiveness",
        summary="Does the process run?",
        description="Answers as long as the process runs, with or without a rulebook. Query parameters are ignored.",
        tag="Running it",
        view=live,
        answer=Liveness,
        ignores_parameters=True,
        names_rulebook=False,
    ),
    Operation(
        method="GET",
        path="/health/ready",
        name="getReadiness",
        summary="Can the service answer?",
        description="Answers 503 as long as the service has no rulebook. Query parameters are ignored.",
        tag="Running it",
        view=ready,
        answer=Readiness,
        ignores_parameters=True,
    ),
)
