"""As built: what was really done, held against what was verified."""

from service.site.as_built.check import VERDICTS, check
from service.site.as_built.measured import NOT_MEASURED
from service.site.as_built.model import CAUTIONS, REQUIREMENTS, Record, Requirement
from service.site.as_built.request import EVIDENCE, TOOLS, new_request

__all__ = (
    "CAUTIONS",
    "EVIDENCE",
    "NOT_MEASURED",
    "REQUIREMENTS",
    "TOOLS",
    "VERDICTS",
    "Record",
    "Requirement",
    "check",
    "new_request",
)
