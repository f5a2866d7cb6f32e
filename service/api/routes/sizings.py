"""Sizing: which approved fixing should be used?"""

from typing import Any

from service.api.operations import Call, bound
from service.contract.sizing import PATHS
from service.site import new_requests


def size_fixing(call: Call) -> dict[str, Any]:
    """Size the fixing of a call."""
    request, rulebook, assumed = call.resolved()
    return new_requests.size(request, rulebook, assessed_on_assumed=assumed)


OPERATIONS = bound(
    PATHS,
    {"sizeFixing": size_fixing},
)
