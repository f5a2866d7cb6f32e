"""Where a request and the rulebook meet the engine: verification of a fixing."""

from service.engine.en1992_1_1 import STRENGTH_CLASSES
from service.engine.en1992_4.lever_arm import GROUT_STRENGTH_MIN_MPA
from service.verification.assessor import Assessment, Assessor
from service.verification.refusal import Refusal, RefusedRequest
from service.verification.verify import verify

__all__ = [
    "GROUT_STRENGTH_MIN_MPA",
    "STRENGTH_CLASSES",
    "Assessment",
    "Assessor",
    "Refusal",
    "RefusedRequest",
    "verify",
]
