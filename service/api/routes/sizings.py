"""Sizing: which approved fixing should be used?"""

from typing import Any

from service import sizing
from service.api.operations import Call, bound
from service.contract.coherence import without_nulls
from service.contract.sizing import (
    PATHS,
)


def size_fixing(call: Call) -> dict[str, Any]:
    """Size the fixing of a call."""
    request, rulebook, assumed = call.resolved()
    # A sizing has no record, so nothing hangs on how the request was written.
    return sizing.size(without_nulls(request), rulebook, assessed_on_assumed=assumed)


OPERATIONS = bound(
    PATHS,
    {"sizeFixing": size_fixing},
)
