"""Partial factors of actions. Source: EN 1990, Table A1.2(B), recommended values: 1.35, 1.0 and 1.5."""

from __future__ import annotations

import pytest

from service.rulebook import Rulebook
from service.verification import verify
from tests.shipped import shipped_rules


@pytest.fixture(scope="module")
def rulebook() -> Rulebook:
    return shipped_rules()


def test_rulebook_has_the_recommended_factors(rulebook: Rulebook) -> None:
    """Source: EN 1990, Table A1.2(B)."""
    factors = rulebook.document["partial_factors"]["actions"]
    assert (factors["permanent_unfavourable"], factors["permanent_favourable"], factors["variable"]) == (1.35, 1.0, 1.5)


@pytest.mark.parametrize(
    ("share", "unfavourable", "favourable"), [(1.0, 1.35, 1.0), (0.4, 1.44, 1.3), (0.25, 1.4625, 1.375)]
)
def test_characteristic_load_case(share: float, unfavourable: float, favourable: float, rulebook: Rulebook) -> None:
    """Source: EN 1990, by hand: each component times γ_G·p + γ_Q·(1 − p), with both factors on the permanent part."""
    request = {
        "assessed_on": "2026-11-25",
        "fastener": {"family": "bolt-expansion-stainless", "size": "M12", "embedment_mm": 75},
        "member": {"strength_class": "C25/30", "state": "cracked", "thickness_mm": 250},
        "positions": [{"x_mm": 0, "y_mm": 0}],
        "fixture": {"width_mm": 100, "depth_mm": 100, "thickness_mm": 10},
        "load_cases": [
            {"name": "pull", "kind": "characteristic", "permanent_share": share, "normal_kn": 1.0, "shear_x_kn": 2.0}
        ],
    }
    found = {f["combination"]: f["fasteners"][0] for f in verify(request, rulebook)["fastener_forces"]}
    for combination, factor in (("permanent_unfavourable", unfavourable), ("permanent_favourable", favourable)):
        assert found[combination]["tension_kn"] == pytest.approx(factor)
        assert found[combination]["shear_x_kn"] == pytest.approx(2.0 * factor)
