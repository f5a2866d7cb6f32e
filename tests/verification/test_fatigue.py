"""What comes and goes so often that it may tire its fasteners is not covered: none is assessed for fatigue.

1000 times: EN 1992-4, 8, from memory.
"""

from __future__ import annotations

from typing import Any

import pytest

from service import sizing, verification
from service.site.load_models import load_cases
from tests.shipped import shipped_rules

BOOK = shipped_rules()
DAY = {"assessed_on": "2026-11-30", "rulebook": BOOK.version}
HOIST = {"surface": "soffit", "mass_kg": 50, "angle_degrees": 0, "eye_height_mm": 40}
PUMP = {"mass_kg": 60, "centre_height_mm": 300, "shaft": "x"}


def fixing(model: str, **inputs: Any) -> dict[str, Any]:
    found = load_cases(model, DAY | inputs, BOOK)
    return DAY | {
        "member": {"strength_class": "C30/37", "state": "cracked", "thickness_mm": 400},
        "positions": [{"x_mm": x, "y_mm": y} for x in (-150, 150) for y in (-100, 100)],
        "fixture": {"width_mm": 400, "depth_mm": 300, "thickness_mm": 40, "yield_mpa": 235,
                    "attached_section": {"width_mm": 240, "depth_mm": 140, "profile": "solid"}},
        "load_cases": found["load_cases"],
        "loads_from": [found["loads_from"]],
        "use": {"exposure": "dry_internal", "hole": "dry", **found["use"]},
        "site": {"torque_control": "calibrated_wrench", "strength_evidence": "documented", "hole_cleaning": "verified",
                 "installer": "trained", "drilling": "hammer"},
    }  # fmt: skip


def verified(request: dict[str, Any]) -> dict[str, Any]:
    return verification.verify(
        request | {"fastener": {"family": "bolt-expansion-zinc", "size": "M12", "embedment_mm": 75}}, BOOK
    )


TIRING = [
    ("machine_base", PUMP | {"machine": "reciprocating"}),
    ("machine_base", PUMP | {"machine": "unknown"}),
    ("machine_base", PUMP),
    ("eyebolt", HOIST | {"lifting": "power_hoist"}),
    ("eyebolt", HOIST | {"lifting": "power_hoist", "lifts": 1001}),
    ("eyebolt", HOIST | {"lifting": "hand_hoist", "lifts": 5000}),
    ("eyebolt", HOIST),
]
NOT_TIRING = [
    ("machine_base", PUMP | {"machine": "rotating_balanced"}),
    ("eyebolt", HOIST | {"lifting": "power_hoist", "lifts": 1000}),
    ("eyebolt", HOIST | {"lifting": "hand_hoist"}),
    ("eyebolt", HOIST | {"lifting": "steady_pull"}),
]


@pytest.mark.parametrize(("model", "inputs"), TIRING)
def test_what_may_tire_its_fasteners_is_outside_what_is_covered(model: str, inputs: dict[str, Any]) -> None:
    answer = verified(fixing(model, **inputs))
    assert answer["verdict"] == "outside_scope"
    assert [(one["code"], one["figures"]) for one in answer["scope_limits"]] == [("fatigue", {"cycles_max": 1000})]
    assert answer["checks"] == []


@pytest.mark.parametrize(("model", "inputs"), NOT_TIRING)
def test_what_is_told_to_come_and_go_seldom_counts_as_static(model: str, inputs: dict[str, Any]) -> None:
    answer = verified(fixing(model, **inputs))
    assert answer["verdict"] in {"verified", "not_verified"}
    assert answer["scope_limits"] == []
    assert answer["checks"]


def test_a_sizing_offers_nothing_for_a_machine_that_tires_its_fasteners() -> None:
    asked = fixing("machine_base", **PUMP, machine="reciprocating") | {"max_choices": 1}
    assert sizing.size(asked, BOOK)["choices"] == []
    told = fixing("machine_base", **PUMP, machine="rotating_balanced") | {"max_choices": 1}
    assert sizing.size(told, BOOK)["choices"] != []
