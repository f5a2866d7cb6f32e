"""How a fastener is pulled: not so hard that its steel stretches, with the bridge not so near that it helps."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from service.contract.site_test_codes import PlanRequirementCode, PullLimit
from service.rulebook import Rulebook
from service.verification.fixing import N_PER_KN
from service.verification.pulls.fastener import label_n, ultimate_n, yield_n
from service.verification.pulls.requirements import CURES, RELATIVE_TOLERANCE, RULES
from service.verification.requirements import Requirement
from service.verification.selection import Selection
from service.verification.statements import rounded
from service.verification.tolerance import reaches_mm
from service.words import Value

LOADING = f"{RULES}/loading"
SOFTER = "more_softer"
"""Scheme of the rulebook that pulls more fasteners less hard."""


@dataclass(frozen=True, slots=True)
class Pulling:
    """What the rulebook asks of every pull, for one fastener (mm, N).

    ``limit_n`` is None where neither its steel nor its label says what it bears, ``ultimate_n`` where nothing is known
    of its steel.
    """

    selection: Selection
    embedment_mm: float
    limit_n: float | None
    limit_kind: PullLimit
    limit_rule: str
    label_only: bool
    hold_minutes: float
    movement_mm: float
    support_proof_mm: float
    support_allowable_mm: float
    ultimate_n: float | None

    def beyond_steel(self, load_n: float) -> bool:
        """Whether a load (N) is more than the steel bears, so that its reading was misread or mistyped."""
        return self.ultimate_n is not None and load_n > self.ultimate_n * (1.0 + RELATIVE_TOLERANCE)

    @property
    def cures(self) -> bool:
        """Whether it holds only once its resin has cured."""
        return self.selection.family["mechanism"] in CURES


def pulling_of(selection: Selection, embedment_mm: float, rulebook: Rulebook) -> Pulling:
    """Read what the rulebook asks of pulls of a fastener.

    Args:
        selection: The fastener.
        embedment_mm: Its effective embedment (mm).
        rulebook: The rulebook.

    Returns:
        Limits and distances (mm, N).
    """
    rules = rulebook.factors["site-tests"]["loading"]
    stated, ultimate = label_n(selection), ultimate_n(selection)
    limit = min(stated, float(rules["steel_yield_share_max"]) * yield_n(selection))
    return Pulling(
        selection=selection,
        embedment_mm=embedment_mm,
        limit_n=limit if math.isfinite(limit) else None,
        limit_kind=PullLimit.LABEL if limit == stated else PullLimit.YIELD,
        limit_rule=selection.row_path("simplified", "resistance_kn")
        if limit == stated
        else f"{LOADING}/steel_yield_share_max",
        label_only=math.isfinite(stated),
        hold_minutes=float(rules["hold_minutes"]),
        movement_mm=float(rules["movement_max_mm"]),
        support_proof_mm=float(rules["support_factor_proof"]) * embedment_mm,
        support_allowable_mm=float(rules["support_factor_allowable"]) * embedment_mm,
        ultimate_n=ultimate if math.isfinite(ultimate) else None,
    )


def below_steel(pulling: Pulling, load_n: float) -> Iterator[Requirement]:
    """Whether a load leaves the fastener itself unharmed; nothing where nothing is known of it.

    Args:
        pulling: What the rulebook asks of the pull.
        load_n: The load (N).

    Yields:
        The requirement.
    """
    if pulling.limit_n is None:
        return
    met = load_n <= pulling.limit_n * (1.0 + RELATIVE_TOLERANCE)
    figures: dict[str, Value] = {
        "load_kn": load_n / N_PER_KN,
        "load_max_kn": pulling.limit_n / N_PER_KN,
        "limit": pulling.limit_kind,
        "softer": None if met else SOFTER,
    }
    yield Requirement(PlanRequirementCode.PULL_BELOW_STEEL, met, figures, pulling.limit_rule)


def feet_far_enough(given_mm: float | None, least_mm: float, rule: str) -> Iterator[Requirement]:
    """Whether the feet of the bridge stand far enough away (mm); nothing where nobody says where they stand."""
    if given_mm is not None:
        met, figures = reaches_mm(given_mm, least_mm), {"support_mm": given_mm, "support_min_mm": least_mm}
        yield Requirement(PlanRequirementCode.FEET_FAR_ENOUGH, met, figures, f"{LOADING}/{rule}")


def shown_fastener(selection: Selection, embedment_mm: float) -> dict[str, Any]:
    """The pulled fastener as answers show it."""
    return {
        "family": selection.family_id,
        "title": selection.family["title"],
        "size": selection.size_name,
        "embedment_mm": rounded(embedment_mm),
    }
