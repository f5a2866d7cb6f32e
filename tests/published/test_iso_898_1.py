"""Stress areas and breaking loads of bolts. Source: ISO 898-1, minimum ultimate tensile loads of coarse threads."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from service.engine.en1992_4 import steel_tension

# size: stress area (mm2), load in class 4.6, 5.8 and 8.8 (kN)
BREAKING_LOADS = {
    "M8": (36.6, 14.6, 19.0, 29.2),
    "M10": (58.0, 23.2, 30.2, 46.4),
    "M12": (84.3, 33.7, 43.8, 67.4),
    "M14": (115.0, 46.0, 59.8, 92.0),
    "M16": (157.0, 62.8, 81.6, 125.0),
    "M18": (192.0, 76.8, 99.8, 159.0),
    "M20": (245.0, 98.0, 127.0, 203.0),
    "M22": (303.0, 121.0, 158.0, 252.0),
    "M24": (353.0, 141.0, 184.0, 293.0),
    "M27": (459.0, 184.0, 239.0, 381.0),
    "M30": (561.0, 224.0, 292.0, 466.0),
}
# smallest tensile strength R_m,min by class, to M16 and above (MPa)
MINIMUM_STRENGTH = {"4.6": (400.0, 400.0), "5.8": (520.0, 520.0), "8.8": (800.0, 830.0)}
FAMILIES = Path(__file__).parents[2] / "rules" / "families"


@pytest.mark.parametrize("size", BREAKING_LOADS)
@pytest.mark.parametrize("position", [0, 1, 2], ids=["4.6", "5.8", "8.8"])
def test_breaking_load_is_area_times_minimum_strength(size: str, position: int) -> None:
    """Source: ISO 898-1; the table keeps three digits and cuts M16 8.8 from 125.6 to 125 kN."""
    area, *loads = BREAKING_LOADS[size]
    strength = list(MINIMUM_STRENGTH.values())[position][int(size[1:]) > 16]
    assert steel_tension.steel_resistance(area, strength) / 1e3 == pytest.approx(loads[position], rel=0.005)


def test_nominal_strength_of_en_1992_4_is_another_quantity_than_the_minimum_of_iso_898_1() -> None:
    """Source: ISO 898-1 (M20 8.8 breaks at 203 kN = 245 × 830) and EN 1992-4 (nominal f_uk 800: 196 kN)."""
    assert steel_tension.steel_resistance(245.0, 800.0) == 196_000.0
    assert steel_tension.steel_resistance(245.0, 830.0) == pytest.approx(203_000.0, rel=0.002)


def threaded_sizes() -> list[tuple[str, str, float]]:
    found = []
    for file in sorted(FAMILIES.glob("*.json")):
        family = json.loads(file.read_text(encoding="utf-8"))
        if family["form"] in {"threaded_rod", "undercut_bolt", "sleeve_hexagon_bolt"}:
            found += [
                (family["id"], name, size["geometry"]["stress_area_mm2"]) for name, size in family["sizes"].items()
            ]
    return [row for row in found if row[1] in BREAKING_LOADS]


@pytest.mark.parametrize(("family", "size", "area"), threaded_sizes())
def test_full_threads_of_the_rulebook_have_the_published_stress_area(family: str, size: str, area: float) -> None:
    """Source: ISO 898-1. Families whose weakest section is the thread itself."""
    assert area == BREAKING_LOADS[size][0], family
