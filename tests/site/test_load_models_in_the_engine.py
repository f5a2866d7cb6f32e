"""What a load model calls outwards lifts the fasteners on the inner side, and the engine's forces balance its loads.

Source: api.md's own sums, N = ΣF, Mx = Σ y·F, My = −Σ x·F, T = Σ (x·Vy − y·Vx), contact pressure with a negative sign.
"""

from __future__ import annotations

from math import cos, radians, sin
from typing import Any

import pytest

from service import verification
from service.site.load_models import load_cases
from service.site.load_models.actions import force
from service.site.load_models.cases import components, sustained_share
from tests.shipped import shipped_rules

RULEBOOK = shipped_rules()
POST = {
    "mounting": "top",
    "category": "A",
    "rail_height_mm": 1000,
    "post_spacing_mm": 1000,
    "mass_kg": 12,
    "along_kn": 0.1,
}
SIDE = POST | {"mounting": "side", "fixing_below_floor_mm": 100, "post_off_face_mm": 50}


def verified(inputs: dict[str, Any]) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    found = load_cases("guardrail_post", inputs | {"assessed_on": "2026-11-25"}, RULEBOOK)
    request = {
        "assessed_on": "2026-11-25",
        "fastener": {"family": "bolt-expansion-stainless", "size": "M12", "embedment_mm": 75},
        "member": {"strength_class": "C25/30", "state": "cracked", "thickness_mm": 300},
        "positions": [{"x_mm": x, "y_mm": y} for x in (-75, 75) for y in (-75, 75)],
        "fixture": {"width_mm": 220, "depth_mm": 220, "thickness_mm": 15},
        "load_cases": found["load_cases"],
    }
    return found["load_cases"], verification.verify(request, RULEBOOK)["fastener_forces"]


@pytest.mark.parametrize("inputs", [POST, SIDE], ids=["top", "side"])
def test_the_forces_of_the_fasteners_balance_the_load_case(inputs: dict[str, Any]) -> None:
    cases, forces = verified(inputs)
    for case, found in zip(cases, forces, strict=True):
        contact = found["contact"] or {"compression_kn": 0, "x_mm": 0, "y_mm": 0}
        pulls = [(f["tension_kn"], f["x_mm"] / 1000, f["y_mm"] / 1000) for f in found["fasteners"]]
        pulls.append((-contact["compression_kn"], contact["x_mm"] / 1000, contact["y_mm"] / 1000))
        sums = {
            "normal_kn": sum(f for f, _, _ in pulls),
            "moment_x_knm": sum(f * y for f, _, y in pulls),
            "moment_y_knm": -sum(f * x for f, x, _ in pulls),
            "shear_x_kn": sum(f["shear_x_kn"] for f in found["fasteners"]),
            "shear_y_kn": sum(f["shear_y_kn"] for f in found["fasteners"]),
            "torsion_knm": sum(
                (f["x_mm"] * f["shear_y_kn"] - f["y_mm"] * f["shear_x_kn"]) / 1000 for f in found["fasteners"]
            ),
        }
        assert {name: case[name] for name in sums} == pytest.approx(sums, rel=1e-4, abs=1e-4)


def test_a_load_outwards_lifts_the_inner_fasteners() -> None:
    cases, forces = verified({name: value for name, value in POST.items() if name != "along_kn"})
    [outwards] = [
        found
        for case, found in zip(cases, forces, strict=True)
        if case["name"] == "guard load outwards, design, weight low"
    ]
    inner = [f["tension_kn"] for f in outwards["fasteners"] if f["x_mm"] < 0]
    outer = [f["tension_kn"] for f in outwards["fasteners"] if f["x_mm"] > 0]
    assert min(inner) > max(outer)


def test_a_load_outwards_pulls_the_upper_fasteners_off_the_face() -> None:
    cases, forces = verified({name: value for name, value in SIDE.items() if name != "along_kn"})
    [outwards] = [
        found
        for case, found in zip(cases, forces, strict=True)
        if case["name"] == "guard load outwards, design, weight low"
    ]
    upper = [f["tension_kn"] for f in outwards["fasteners"] if f["y_mm"] > 0]
    lower = [f["tension_kn"] for f in outwards["fasteners"] if f["y_mm"] < 0]
    assert min(upper) > max(lower)


def utilisation(inputs: dict[str, Any]) -> float:
    found = load_cases("machine_base", inputs | {"assessed_on": "2026-11-25"}, RULEBOOK)
    request = {
        "assessed_on": "2026-11-25",
        "fastener": {"family": "bolt-expansion-stainless", "size": "M12", "embedment_mm": 75},
        "member": {"strength_class": "C25/30", "state": "cracked", "thickness_mm": 300},
        "positions": [{"x_mm": x, "y_mm": y} for x in (-300, 300) for y in (-60, 60)],
        "fixture": {"width_mm": 700, "depth_mm": 200, "thickness_mm": 20},
        "load_cases": found["load_cases"],
    }
    governing: dict[str, float] = verification.verify(request, RULEBOOK)["governing"]
    return governing["utilisation"]


@pytest.mark.parametrize("direction", ["x", "y", "any"])
def test_a_push_of_ten_newtons_never_helps_a_machine_to_stand(direction: str) -> None:
    """A long narrow base tips across: a push along it once took that load case away: 1.07 became 0.27."""
    machine = {"mass_kg": 300, "centre_height_mm": 500, "machine": "reciprocating"}
    push = {"horizontal_kn": 0.01, "horizontal_direction": direction}
    assert utilisation(machine | push) >= utilisation(machine)


BOLT = {"family": "bolt-expansion-stainless", "size": "M12", "embedment_mm": 75}
RESIN = {"family": "bonded-rod-epoxy-slow", "size": "M12", "embedment_mm": 111}


@pytest.mark.parametrize(
    ("shaft", "fastener", "half", "edges"),
    [
        ("x", BOLT, (300, 60), {"y_plus": 200}),
        ("z", BOLT, (100, 150), {"x_plus": 260, "y_plus": 300}),
        ("y", RESIN, (150, 150), {"x_plus": 320}),
    ],
)
def test_no_way_that_a_machine_swings_costs_more_than_the_ways_taken(
    shaft: str, fastener: dict[str, Any], half: tuple[int, int], edges: dict[str, int]
) -> None:
    """Every 15 degrees about the shaft, in full and no harder: each is within what the eight harder ways come to.

    The force by the model's own working, (φ − 1)·G at the centre of mass, weight 1.35 or 0.9 times (EN 1990, 6.10).
    """
    machine = {"mass_kg": 250, "centre_height_mm": 500, "machine": "reciprocating", "shaft": shaft}
    found = load_cases("machine_base", machine | {"assessed_on": "2026-11-25"}, RULEBOOK)
    [swing] = [step["value"] for step in found["working"] if step["symbol"] == "D_k"]
    weight = force(z_kn=-250 * 9.80665e-3, z_mm=500)
    first, second = {"x": (1, 2), "y": (2, 0), "z": (0, 1)}[shaft]
    cases = []
    for degrees in range(0, 360, 15):
        along = [0.0, 0.0, 0.0]
        along[first], along[second] = swing * cos(radians(degrees)), swing * sin(radians(degrees))
        for factor in (1.35, 0.9):
            still, whole = weight * factor, weight * factor + force(*along, z_mm=500) * 1.5
            case = {"name": f"{degrees} {factor}", "kind": "design", "sustained_share": sustained_share(still, whole)}
            cases.append(case | components(whole))
    request = {
        "assessed_on": "2026-11-25",
        "fastener": fastener,
        "member": {"strength_class": "C25/30", "state": "cracked", "thickness_mm": 300, "edges": edges},
        "positions": [{"x_mm": x, "y_mm": y} for x in (-half[0], half[0]) for y in (-half[1], half[1])],
        "fixture": {"width_mm": 2 * half[0] + 80, "depth_mm": 2 * half[1] + 80, "thickness_mm": 20},
    }
    taken = verification.verify(request | {"load_cases": found["load_cases"]}, RULEBOOK)["governing"]["utilisation"]
    swept = verification.verify(request | {"load_cases": cases}, RULEBOOK)["governing"]["utilisation"]
    assert 0 < swept <= taken
