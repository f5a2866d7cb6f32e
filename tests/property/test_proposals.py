"""Sizing and verification speak of the same thing. No source: two paths of this service have to agree."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given, settings

from service.sizing import size
from tests.property.variations import PROPERTY, ROUNDED, SEEDS, check, fixing
from tests.shipped import shipped_rules

if TYPE_CHECKING:
    from collections.abc import Mapping


def sizing_request(seed: int) -> dict[str, Any]:
    """A random fixing with its fastener left open."""
    request = fixing(seed)
    request.pop("fastener")
    request["use"] |= {"redundancy": {"points": 1}, "structural": True, "temperature_range": "I"}
    request["member"]["thickness_mm"] = max(request["member"]["thickness_mm"], 160)
    request["limits"] = {"utilisation": 0.95}
    plate = request["fixture"]
    half = {name: plate[name] / 2 for name in ("width_mm", "depth_mm")}
    plate["attached_section"] = half | {"profile": "hollow"}
    return request


def proposals(seed: int) -> list[Mapping[str, Any]]:
    return list(size(sizing_request(seed), shipped_rules())["choices"])


@settings(PROPERTY, max_examples=25)
@given(seed=SEEDS)
def test_verification_accepts_what_sizing_proposes(seed: int) -> None:
    for choice in proposals(seed):
        answer = check(choice["request"])
        assert answer["verdict"] == "verified"
        found = max((c["utilisation"] for c in answer["checks"]), default=0.0)
        assert found <= 0.95 * (1 + ROUNDED)
        assert choice["utilisation"] == pytest.approx(found, rel=ROUNDED, abs=1e-9)


def test_random_fixings_do_get_proposals() -> None:
    """The property above means something only if some are found."""
    assert sum(bool(proposals(seed)) for seed in range(12)) >= 3
