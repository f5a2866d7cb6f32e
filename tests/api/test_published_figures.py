"""Figures of answers are meant: nothing that an iteration leaves behind stands in content that a record digests."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

import pytest

from service.rulebook import Rulebook
from service.verification import verify
from tests.independent.fixings import random_fixing
from tests.shipped import shipped_rules

SAMPLES = 200
LEAST = 1e-9
MEASURES = ("_mm", "_kn")
UNITS = {"mm", "N", "kN", "mm2", "mm²", "Nmm"}


@pytest.fixture(scope="module")
def rulebook() -> Rulebook:
    return shipped_rules()


def lengths_and_forces(value: Any, place: str = "") -> Iterator[tuple[str, float]]:
    """List the lengths and forces of an answer, those of traces and requirements by the unit beside them."""
    if isinstance(value, list):
        for index, item in enumerate(value):
            yield from lengths_and_forces(item, f"{place}/{index}")
        return
    if not isinstance(value, Mapping):
        return
    beside = value.get("unit") in UNITS
    for name, inner in value.items():
        if isinstance(inner, float | int) and not isinstance(inner, bool):
            if name.endswith(MEASURES) or (beside and name in {"value", "given", "limit"}):
                yield f"{place}/{name}", inner
        else:
            yield from lengths_and_forces(inner, f"{place}/{name}")


def test_every_length_and_force_is_nought_or_large_enough_to_be_meant(rulebook: Rulebook) -> None:
    noise, seen = [], 0
    for seed in range(SAMPLES):
        answer = verify(random_fixing(seed, rulebook.families) | {"detail": "full"}, rulebook)
        for place, figure in lengths_and_forces(answer):
            seen += 1
            if figure != 0 and abs(figure) < LEAST:
                noise.append((seed, place, figure))
    assert seen > SAMPLES * 50
    assert noise == []
