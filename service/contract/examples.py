"""Examples of requests, published in the contract and run by the tests."""

from typing import Any

_MEMBER: dict[str, Any] = {
    "strength_class": "C25/30",
    "state": "cracked",
    "thickness_mm": 250,
    "edges": {"x_minus_mm": None, "x_plus_mm": 200, "y_minus_mm": None, "y_plus_mm": None},
    "reinforcement": {
        "spacing_mm": 150,
        "diameter_mm": 10,
        "edge": "none",
        "stirrup_spacing_mm": None,
        "cracks_held_to_0_3_mm": False,
    },
}
_FIXTURE: dict[str, Any] = {
    "width_mm": 220,
    "depth_mm": 220,
    "thickness_mm": 15,
    "yield_mpa": 235,
    "attached_section": {"width_mm": 60, "depth_mm": 60},
    "clearance": "normal",
    "stand_off_mm": 0,
    "grout": {"thickness_mm": 0, "strength_mpa": None},
    "rotation": "held",
    "washer_clamped": False,
}
_LOAD_CASES: list[dict[str, Any]] = [
    {
        "name": "guard load",
        "kind": "design",
        "normal_kn": -0.3,
        "shear_x_kn": 1.5,
        "shear_y_kn": 0,
        "moment_x_knm": 0,
        "moment_y_knm": 1.65,
        "torsion_knm": 0,
        "sustained_share": 0,
    }
]
_USE: dict[str, Any] = {
    "situation": "persistent",
    "redundant": False,
    "structural": True,
    "overhead": False,
    "exposure": "external",
    "temperature_range": None,
    "hole": "dry",
}
_SITE: dict[str, Any] = {
    "torque_control": "calibrated_wrench",
    "strength_evidence": "documented",
    "hole_cleaning": "verified",
    "installer": "trained",
    "drilling": "hammer",
}

GUARDRAIL_POST: dict[str, Any] = {
    "rulebook": "2026.6.0",
    "assessed_on": "2026-11-25",
    "fixing_reference": "PS4-rail-017",
    "fastener": {"family": "bolt-expansion-stainless", "size": "M12", "embedment_mm": 70, "length_mm": None},
    "member": _MEMBER,
    "positions": [{"x_mm": x, "y_mm": y} for y in (-75, 75) for x in (-75, 75)],
    "fixture": _FIXTURE,
    "load_cases": _LOAD_CASES,
    "use": _USE,
    "site": _SITE,
    "detail": "full",
}

LEAST_GIVEN: dict[str, Any] = {
    "fastener": {"family": "bolt-expansion-stainless", "size": "M12", "embedment_mm": 70},
    "member": {"thickness_mm": 200},
    "positions": [{"x_mm": 0, "y_mm": 0}],
    "fixture": {"width_mm": 100, "depth_mm": 100},
    "load_cases": [{"name": "pipe hanger", "kind": "characteristic", "normal_kn": 1.2, "permanent_share": 0.6}],
}

GUARDRAIL_POST_FREE_HOLES: dict[str, Any] = {
    "rulebook": "2026.6.0",
    "assessed_on": "2026-11-25",
    "fixing_reference": "PS4-rail-017",
    "member": _MEMBER,
    "pattern": {
        "x": {"counts": [1, 2], "spacings_mm": [100, 150]},
        "y": {"counts": [1, 2], "spacings_mm": [100, 150]},
    },
    "fixture": _FIXTURE,
    "load_cases": _LOAD_CASES,
    "use": _USE,
    "site": _SITE,
    "limits": {
        "utilisation": 0.9,
        "mechanisms": ["concrete_screw", "torque_controlled_expansion"],
        "families": None,
        "removable": None,
        "setting": "through_fixture",
        "hole_depth_mm": 120,
        "hole_diameter_mm": None,
    },
    "max_choices": 5,
}

PIPE_HANGER_FIXED_HOLES: dict[str, Any] = {
    "member": {"strength_class": "C30/37", "thickness_mm": 200},
    "positions": [{"x_mm": -60, "y_mm": 0}, {"x_mm": 60, "y_mm": 0}],
    "fixture": {"width_mm": 180, "depth_mm": 80, "thickness_mm": 8},
    "load_cases": [{"name": "pipe full", "normal_kn": 3, "sustained_share": 1}],
    "use": {"overhead": True, "exposure": "damp_internal", "hole": "dry"},
}
