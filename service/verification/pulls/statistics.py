"""What pulls to failure show of one fastener: the lower fractile of the failure loads."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from service.contract.pulls import BASE_MATERIAL_FAILURES
from service.engine import failure_loads
from service.engine.tolerance_factor import tolerance_factor
from service.verification.pulls.fastener import steel_n
from service.verification.selection import Selection

VARIATION_MIN = 0.10
"""What counts as coefficient of variation at least, where a rulebook has no figure; EN 1990 D.7 in spirit,
from memory."""
NORMAL, LOG_NORMAL, LESSER = "normal", "log_normal", "lesser_of_both"


@dataclass(frozen=True, slots=True)
class Pull:
    """One pull: its load (N), how it ended, and how wide a crack ran through its place (mm), 0 where none is known."""

    name: str
    load_n: float
    failure: str
    crack_mm: float = 0.0

    def too_early(self, least_failure_n: float) -> bool:
        """Whether it was stopped below the least failure load (N), where it shows nothing."""
        return not self.failed and self.load_n < least_failure_n

    @property
    def failed(self) -> bool:
        """Whether the base material failed; else the load is a lower bound of what it holds."""
        return self.failure in BASE_MATERIAL_FAILURES


@dataclass(frozen=True, slots=True)
class Statistics:
    """How the failure loads became a characteristic resistance (N)."""

    spread: failure_loads.Spread
    measured_variation: float
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
    least = float(asked.get("variation_min", VARIATION_MIN))
    fractiles = {
        NORMAL: failure_loads.normal_fractile(failures, bounds, k, least),
        LOG_NORMAL: failure_loads.log_normal_fractile(failures, bounds, k, least),
    }
    wanted = asked["distribution"]
    distribution = min(fractiles, key=lambda name: fractiles[name]) if wanted == LESSER else wanted
    measured = failure_loads.spread(failures, bounds)
    spread = failure_loads.spread(failures, bounds, least * measured.mean_n)
    scatter = failure_loads.variation_factor(
        spread.variation, float(asked["variation_free"]), float(asked["variation_slope"])
    )
    mechanism = rules["mechanisms"].get(selection.family["mechanism"])
    factor = 0.0 if mechanism is None else float(mechanism["factor"])
    return Statistics(
        spread=spread,
        measured_variation=measured.variation,
        tolerance_factor=k,
        normal_n=fractiles[NORMAL],
        log_normal_n=fractiles[LOG_NORMAL],
        distribution=distribution,
        variation_factor=scatter,
        mechanism_factor=factor,
        before_cap_n=fractiles[distribution] * scatter * factor,
        steel_n=steel_n(selection),
    )
