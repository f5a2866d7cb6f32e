"""How a sheet orders holes to be drilled; its cleaning is that of such a hole."""

from __future__ import annotations

from service.contract.fields import UNKNOWN
from service.verification.selection import Selection


def drilling_ordered(selection: Selection, verified: str) -> str:
    """Say how holes are ordered to be drilled.

    Args:
        selection: What is fitted.
        verified: How they were verified to be drilled, which may be unknown.

    Returns:
        As verified, else the first method of the assessment.
    """
    methods = selection.family["installation"]["drilling_methods"]
    return str(methods[0] if verified == UNKNOWN and methods else verified)
