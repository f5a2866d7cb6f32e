"""The codes of an as-built check: what each means, its severity, whom it concerns, its figures and its sentences."""

from __future__ import annotations

from service.contract.as_built_codes.cautions import AsBuiltCautionCode
from service.contract.as_built_codes.requirements import AsBuiltRequirementCode
from service.contract.as_built_codes.terms import (
    TOOLS,
    VERDICTS,
    Cleaning,
    Counted,
    FoundBy,
    Head,
    HoleKnownBy,
    LoadAt,
    Mark,
    Measurement,
    ResinSeen,
    SetWithin,
    Sleeve,
    Weld,
)
from service.contract.as_built_codes.to_do import ToDoCode

__all__ = [
    "TOOLS",
    "VERDICTS",
    "AsBuiltCautionCode",
    "AsBuiltRequirementCode",
    "Cleaning",
    "Counted",
    "FoundBy",
    "Head",
    "HoleKnownBy",
    "LoadAt",
    "Mark",
    "Measurement",
    "ResinSeen",
    "SetWithin",
    "Sleeve",
    "ToDoCode",
    "Weld",
]
