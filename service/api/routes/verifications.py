"""Verification: does this fixing pass its checks?"""

from typing import Any

from service.api.operations import Call, bound
from service.contract.verification import PATHS
from service.site import new_requests


def verify_fixing(call: Call) -> dict[str, Any]:
    """Verify the fixing of a call."""
    request, rulebook, assumed = call.resolved()
    return new_requests.verify(request, rulebook, assessed_on_assumed=assumed)


OPERATIONS = bound(
    PATHS,
    {"verifyFixing": verify_fixing},
)
