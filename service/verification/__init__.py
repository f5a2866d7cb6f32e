"""Where a request and the rulebook meet the engine: verification of a fixing."""

from service.verification.assessor import Assessment, Assessor
from service.verification.refusal import Refusal, RefusedRequest
from service.verification.verify import verify

__all__ = ["Assessment", "Assessor", "Refusal", "RefusedRequest", "verify"]
