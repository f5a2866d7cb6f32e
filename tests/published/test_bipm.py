"""Units. Source: BIPM SI Brochure: standard gravity g_n = 9.80665 m/s²."""

from __future__ import annotations

import pytest

from service.verification import verify
from service.verification.fixing import STANDARD_GRAVITY
from tests.shipped import shipped_rules


def test_standard_gravity() -> None:
    """Source: BIPM SI Brochure."""
    assert STANDARD_GRAVITY == 9.80665


def test_permissible_mass_hangs_by_standard_gravity() -> None:
    """Source: BIPM SI Brochure: 1 kN holds 101.972 kg."""
    request = {
        "assessed_on": "2026-11-25",
        "fastener": {"family": "bolt-expansion-stainless", "size": "M12", "embedment_mm": 75},
        "member": {"strength_class": "C25/30", "state": "cracked", "thickness_mm": 250},
        "positions": [{"x_mm": 0, "y_mm": 0}],
        "fixture": {"width_mm": 100, "depth_mm": 100, "thickness_mm": 10},
        "load_cases": [{"name": "hanger", "normal_kn": 1.0}],
        "use": {"exposure": "external", "hole": "dry"},
    }
    answer = verify(request, shipped_rules())
    (permissible,) = answer["permissible"]
    assert permissible["service_kg"] == pytest.approx(101.972 * permissible["service_kn"], rel=1e-5)
