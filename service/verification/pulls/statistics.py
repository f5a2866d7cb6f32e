"""What pulls to failure show of one fastener: the lower fractile of the failure loads, and what its steel bears."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from service.engine import failure_loads
from service.engine.en1992_4 import steel_shear, steel_tension
from service.engine.tolerance_factor import tolerance_factor
from service.verification.assumptions import WEAKEST_COVERED
from service.verification.fixing import N_PER_KN
from service.verification.selection import Selection

BASE_MATERIAL_FAILURES = ("pull_out", "concrete_cone", "splitting", "unit_pull_out")
NORMAL, LOG_NORMAL, LESSER = "normal", "log_normal", "lesser_of_both"


@dataclass(frozen=True, slots=True)
class Pull:
    """One pull: its load (N), how it ended, and how wide a crack ran through its place (mm), 0 where none is known."""

    name: str
    load_n: float
    failure: str
    crack_mm: float = 0.0

    @property
    def failed(self) -> bool:
        """Whether the base material failed; else the load is a lower bound of what it holds."""
        return self.failure in BASE_MATERIAL_FAILURES


@dataclass(frozen=True, slots=True)
class Statistics:
    """How the failure loads became a characteristic resistance (N)."""

    spread: failure_loads.Spread
    tolerance_factor: float
    normal_n: float
    log_normal_n: float
    distribution: str
    variation_factor: float
    mechanism_factor: float
    before_cap_n: float
    steel_n: float

    @property
    def characteristic_n(self) -> float:
        """Characteristic resistance, never above that of the steel or of the label (N)."""
        return min(self.before_cap_n, self.steel_n)


def statistics_of(pulls: Sequence[Pull], selection: Selection, rules: Mapping[str, Any]) -> Statistics:
    """The characteristic resistance that failure loads show.

    ISO 16269-6:2014 for the fractile; which distribution, content, confidence and scatter is the rulebook's.

    Args:
        pulls: The pulls, at least two of them to failure of the base material.
        selection: The pulled fastener.
        rules: The rulebook's rules of site tests.

    Returns:
        The characteristic resistance and how it came about (N).
    """
    asked = rules["allowable_tests"]
    failures = [pull.load_n for pull in pulls if pull.failed]
    bounds = [pull.load_n for pull in pulls if not pull.failed]
    k = tolerance_factor(len(failures), float(asked["content"]), float(asked["confidence"]))
    found = {
        NORMAL: failure_loads.normal_fractile(failures, bounds, k),
        LOG_NORMAL: failure_loads.log_normal_fractile(failures, bounds, k),
    }
    wanted = asked["distribution"]
    distribution = min(found, key=lambda name: found[name]) if wanted == LESSER else wanted
    spread = failure_loads.spread(failures, bounds)
    scatter = failure_loads.variation_factor(
        spread.variation, float(asked["variation_free"]), float(asked["variation_slope"])
    )
    mechanism = rules["mechanisms"].get(selection.family["mechanism"])
    factor = 0.0 if mechanism is None else float(mechanism["factor"])
    return Statistics(
        spread=spread,
        tolerance_factor=k,
        normal_n=found[NORMAL],
        log_normal_n=found[LOG_NORMAL],
        distribution=distribution,
        variation_factor=scatter,
        mechanism_factor=factor,
        before_cap_n=found[distribution] * scatter * factor,
        steel_n=steel_n(selection),
    )


def label_n(selection: Selection) -> float:
    """What the label of a fastener states (N), infinite where its assessment gives the full figures."""
    simplified = (selection.row or {}).get("simplified")
    return math.inf if simplified is None else float(simplified["resistance_kn"]) * N_PER_KN


def steel_n(selection: Selection) -> float:
    """Most that the fastener itself bears in tension: N_Rk,s, and no more than its label states (N)."""
    return min(label_n(selection), ultimate_n(selection))


def ultimate_n(selection: Selection) -> float:
    """What the steel of a fastener bears in tension, N_Rk,s; infinite where nothing is known of its steel (N)."""
    steel, geometry = selection.size["steel"], selection.size["geometry"]
    if steel is None:
        return math.inf
    if steel["tension_kn"] is not None:
        return float(steel["tension_kn"]) * N_PER_KN
    area, strength = float(geometry["stress_area_mm2"]), float(steel["tensile_strength_mpa"])
    return steel_tension.steel_resistance(area, strength)


def yield_n(selection: Selection) -> float:
    """Load at which the steel of a fastener yields, A_s·f_yk; infinite where nothing is known of its steel (N)."""
    steel, area = selection.size["steel"], selection.size["geometry"]["stress_area_mm2"]
    return math.inf if steel is None or area is None else float(area) * float(steel["yield_strength_mpa"])


def steel_shear_n(selection: Selection, count: int) -> float:
    """Most that one fastener of a group itself bears in shear: k7·V0_Rk,s, and no more than its label states (N)."""
    steel, geometry = selection.size["steel"], selection.size["geometry"]
    if steel is None:
        return label_n(selection)
    alone = (
        float(steel["shear_kn"]) * N_PER_KN
        if steel["shear_kn"] is not None
        else steel_shear.steel_resistance(float(geometry["stress_area_mm2"]), float(steel["tensile_strength_mpa"]))
    )
    factor = steel_shear.group_factor(steel["shear_group_factor"], count, bool(steel["ductile"]))
    return min(label_n(selection), factor * alone)


def warmth_factor(selection: Selection, temperature_range: str) -> float | None:
    """What resin that was pulled on a cool day loses in a temperature range.

    The assessment's own figures show it: bond in the range over bond in the strongest one, the least of what it gives
    for cracked and uncracked concrete and each condition of the hole.

    Args:
        selection: The fastener.
        temperature_range: Range of the use, or that the weakest one counts.

    Returns:
        Factor on the resistance (no unit); 1 where the fastener has no resin, None where the range is not assessed.
    """
    bond = selection.size["bond"]
    if bond is None:
        return 1.0
    shares: list[float] = []
    for by_hole in bond["characteristic_mpa"].values():
        for by_range in (by_hole or {}).values():
            found = {name: float(tau) for name, tau in (by_range or {}).items() if tau is not None}
            names = found if temperature_range == WEAKEST_COVERED else [temperature_range]
            shares += [found[name] / max(found.values()) for name in names if name in found]
    return min(shares, default=None)
