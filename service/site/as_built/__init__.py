"""As built: what was really done, held against what was verified."""

from service.site.as_built.check import check
from service.site.as_built.model import Record, Requirement
from service.site.as_built.request import new_request

__all__ = (
    "Record",
    "Requirement",
    "check",
    "new_request",
)
