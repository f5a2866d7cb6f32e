"""Pulls on site as answers show them: where a resistance comes from, and how far it reaches."""

from __future__ import annotations

from typing import Any

from service.verification.fixing import N_PER_KN
from service.verification.pulls.resistance import SiteTest
from service.verification.statements import rounded


def shown_origin(test: SiteTest) -> dict[str, Any]:
    """The origin of a resistance from pulls on site, and how far it reaches."""
    reach, resistance = test.reach, test.characteristic_n
    return {
        "id": test.id,
        "origin": "site_test",
        "reference": test.reference,
        "number_of_tests": test.number,
        "number_of_pulls": len(test.pulls),
        "tested_on": reach.tested_on.isoformat(),
        "valid_until": reach.valid_until.isoformat(),
        "characteristic_resistance_kn": None if resistance is None else rounded(resistance / N_PER_KN),
        "partial_factor": rounded(test.partial_factor),
        "reach": {
            "family": reach.family,
            "size": reach.size,
            "embedment_mm": rounded(reach.embedment_mm),
            "base_material": reach.base_material,
            "drilling": reach.drilling,
            "hole": reach.hole,
            "concrete_state": reach.concrete_state,
            "crack_width_mm": None if reach.crack_mm is None else rounded(reach.crack_mm),
            "edge_min_mm": rounded(reach.edge_mm),
            "edge_min_under_shear_mm": rounded(reach.shear_edge_mm),
            "spacing_min_mm": rounded(reach.spacing_mm),
            "thickness_min_mm": rounded(reach.thickness_mm),
        },
    }
