"""A plate on levelling nuts, and a rulebook whose rods may be pressed: no family of the demonstration may."""

from __future__ import annotations

import dataclasses
from typing import Any

from service.contract.verification import GUARDRAIL_POST
from service.rulebook import Rulebook, plain

ON_NUTS: dict[str, Any] = GUARDRAIL_POST | {
    "rulebook": None,
    "fixture": GUARDRAIL_POST["fixture"] | {"stand_off_mm": 25, "washer_clamped": True},
    "load_cases": [{"name": "weight and wind", "normal_kn": -6, "shear_x_kn": 0.4, "moment_y_knm": 0.3}],
    "detail": "full",
}


def covering_compression(rulebook: Rulebook) -> Rulebook:
    """The rulebook with an assessment that covers the rods of ON_NUTS in compression."""
    name = ON_NUTS["fastener"]["family"]
    family: Any = plain(rulebook.families[name])
    family["assessment"]["covers"]["stand_off_compression"] = True
    return dataclasses.replace(rulebook, families=dict(rulebook.families) | {name: family})
