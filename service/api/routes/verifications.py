"""Verification: does this fixing pass its checks?"""

from typing import Any

from service import verification
from service.api.operations import Call, bound
from service.contract.verification import PATHS


def verify_fixing(call: Call) -> dict[str, Any]:
    """Verify the fixing of a call."""
    request, rulebook, assumed = call.resolved()
    return verification.verify(request, rulebook, assessed_on_assumed=assumed)


OPERATIONS = bound(
    PATHS,
    {"verifyFixing": verify_fixing},
)
