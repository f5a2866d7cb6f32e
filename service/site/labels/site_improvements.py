"""What the site could do about its reduction: which single improvement gains most."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from math import prod
from types import MappingProxyType
from typing import Any

from service.contract import checks, wanted
from service.contract import labels as contract
from service.contract.fields import UNKNOWN
from service.contract.label_codes import ImprovementCautionCode, ImprovementCode, Lacking
from service.contract.writing import writer
from service.rulebook import Rulebook
from service.verification.answer import cautions_of_rules, rulebook_identity
from service.verification.assumptions import Assumptions
from service.verification.selection import check_allowed_values, check_version, family_named
from service.verification.site_reduction import (
    Part,
    SiteReduction,
    figures_of_floor,
    names_torque,
    site_reduction,
    within_sentence,
)
from service.verification.statements import cautions_of_rulebook, shown_assumption, shown_caution
from service.verification.tolerance import TOLERANCE
from service.words import Statement, Value

TORQUE_CONTROL = "torque_control"
TORQUE_NEEDED: Mapping[str, tuple[str, Lacking]] = MappingProxyType({
    "calibrated_wrench": ("installation_torque_nm", Lacking.TORQUE),
    "impact_driver_set": ("impact_driver_torque_max_nm", Lacking.DRIVER_TORQUE),
})
"""Ways to tighten, each with the figure that a size needs for it, and what the assessment names where it lacks."""


@dataclass(frozen=True, slots=True)
class Improvement:
    """One site condition brought to its best value, all else as it is.

    Attributes:
        condition: Site condition.
        title: Its title.
        value: Its value now.
        better: Its best value.
        factor: Its factor now (no unit).
        better_factor: Its factor then (no unit).
        reduction: The site reduction then (no unit).
        gain: By how much every resistance grows, as a share.
        reason: Why the best value costs least.
        statement: What is said of it.
    """

    condition: str
    title: str
    value: str
    better: str
    factor: float
    better_factor: float
    reduction: float
    gain: float
    reason: str
    statement: Statement


def improvements(
    site: wanted.Site,
    rulebook: Rulebook,
    mechanism: str,
    family: Mapping[str, Any] | None = None,
) -> tuple[Improvement, ...]:
    """What each site condition would gain if it alone were brought to its best value.

    Args:
        site: The conditions of the site; what is missing is not known.
        rulebook: The rulebook with its site conditions and floor.
        mechanism: Mechanism of the family.
        family: The family, so that nothing is offered that none of its sizes can have; None: it is not known.

    Returns:
        The improvements, the one that gains most first; conditions at their best are left out.
    """
    sizes = {} if family is None else family["sizes"]
    now = site_reduction(site, mechanism, rulebook, Assumptions(), torque_named=_some_torque(sizes))
    found = (_improvement(part, now, rulebook, sizes) for part in now.parts if part.rule is not None)
    return tuple(sorted((one for one in found if one is not None), key=lambda one: (-one.gain, -_ratio(one))))


def _some_torque(sizes: Mapping[str, Any]) -> bool:
    """Whether some size of a family has a torque that can be read; taken so where the family is not known."""
    return not sizes or any(names_torque(size) for size in sizes.values())


def _ratio(improvement: Improvement) -> float:
    return improvement.better_factor / improvement.factor


def over_the_floor_together(found: tuple[Improvement, ...], reduction: SiteReduction) -> tuple[Improvement, ...]:
    """The fewest improvements that together bring a site over its floor.

    Args:
        found: The improvements of the site.
        reduction: Its reduction.

    Returns:
        The improvements, the greatest first; none where all of them together leave it under the floor.
    """
    product, taken = reduction.factor, []
    for improvement in sorted(found, key=_ratio, reverse=True):
        product *= _ratio(improvement)
        taken.append(improvement)
        if product >= reduction.floor - TOLERANCE:
            return tuple(taken)
    return ()


def least_favourable_mechanism(site: wanted.Site, rulebook: Rulebook) -> str:
    """The mechanism to which the site conditions do most, for when nobody knows how the fastener holds.

    Args:
        site: The conditions of the site.
        rulebook: The rulebook.

    Returns:
        The mechanism.
    """
    conditions = rulebook.factors["site-conditions"]["conditions"].values()
    known: dict[str, None] = dict.fromkeys(
        mechanism for condition in conditions for mechanism in condition["applies_to"]
    )

    def product(mechanism: str) -> float:
        return prod(part.factor for part in site_reduction(site, mechanism, rulebook, Assumptions()).parts)

    return min(known, key=product)


def explained(request: Mapping[str, Any], rulebook: Rulebook) -> dict[str, Any]:
    """Explain the site reduction of a site: each factor with its reason, and what would gain most.

    Args:
        request: ``site``, and ``family`` or ``mechanism``; ``assessed_on`` resolved.
        rulebook: The rulebook.

    Returns:
        The reduction, the improvements, and what was assumed.

    Raises:
        RefusedRequest: The rulebook does not know the family, a condition or a value.
    """
    check_version(request.get("rulebook"), date.fromisoformat(request["assessed_on"]), rulebook)
    site = wanted.Site.of(request.get("site"))
    check_allowed_values(wanted.Use(), site, rulebook)
    family = _family(request, rulebook)
    mechanism = str(request["mechanism"] if family is None else family["mechanism"])
    assumptions = Assumptions()
    named = _some_torque({} if family is None else family["sizes"])
    reduction = site_reduction(site, mechanism, rulebook, assumptions, torque_named=named)
    found = improvements(site, rulebook, mechanism, family)
    return {
        "mechanism": mechanism,
        "site_reduction": writer(checks.SiteReduction)(reduction),
        "improvements": [writer(contract.SiteImprovement)(one) for one in found],
        "assumptions": [shown_assumption(assumption) for assumption in assumptions.all()],
        "cautions": _cautions(reduction, found, rulebook, request.get("family")),
        "rulebook": rulebook_identity(rulebook),
        "assessed_on": request["assessed_on"],
    }


def floor_caution(reduction: SiteReduction, found: tuple[Improvement, ...]) -> Statement:
    """The caution for a site whose factors multiply to less than the floor.

    Args:
        reduction: The reduction, below its floor.
        found: The improvements of the site.

    Returns:
        The caution; where no single improvement brings the site to its floor, which of them together do.
    """
    enough = (one.title for one in found if one.reduction >= reduction.floor - TOLERANCE)
    best = next(enough, None)
    together = () if best else over_the_floor_together(found, reduction)
    improved = reduction.factor * prod(_ratio(one) for one in together) if together else None
    figures: dict[str, Value] = {
        **figures_of_floor(reduction),
        "best": best,
        "together": tuple(within_sentence(one.title) for one in together),
        "improved": improved,
    }
    return Statement(ImprovementCautionCode.SITE_REDUCTION_FLOOR, figures)


def _cautions(
    reduction: SiteReduction, found: tuple[Improvement, ...], rulebook: Rulebook, family: str | None
) -> list[dict[str, Any]]:
    own = [shown_caution(floor_caution(reduction, found))] if reduction.below_floor else []
    own += cautions_of_rules(rulebook, *(() if family is None else ((family, None),)))
    return own + cautions_of_rulebook(rulebook)


def _family(request: Mapping[str, Any], rulebook: Rulebook) -> Mapping[str, Any] | None:
    """The family of a request; None where it gives a mechanism in its place."""
    if request.get("mechanism") is not None:
        return None
    return family_named(request["family"], rulebook, "#")


def _missing(condition: str, value: str, sizes: Mapping[str, Any]) -> list[str]:
    """Sizes that cannot have a value, as a wrench shows nothing where the assessment names no torque."""
    if condition != TORQUE_CONTROL or value not in TORQUE_NEEDED:
        return []
    figure, _ = TORQUE_NEEDED[value]
    return [name for name, size in sizes.items() if size["setting"][figure] is None]


def _improvement(part: Part, now: SiteReduction, rulebook: Rulebook, sizes: Mapping[str, Any]) -> Improvement | None:
    condition = rulebook.factors["site-conditions"]["conditions"][part.condition]
    missing = {value: _missing(part.condition, value, sizes) for value in condition["values"]}
    possible = [value for value, without in missing.items() if not sizes or len(without) < len(sizes)]
    better = max(possible, key=lambda value: float(condition["values"][value]["factor"]))
    entry = condition["values"][better]
    factor = float(entry["factor"])
    if factor <= part.factor:
        return None
    others = prod(other.factor for other in now.parts if other.condition != part.condition)
    then = others * factor
    gain = then / now.factor - 1.0
    return Improvement(
        condition=part.condition,
        title=condition["title"],
        value=part.value,
        better=better,
        factor=part.factor,
        better_factor=factor,
        reduction=then,
        gain=gain,
        reason=entry["reason"],
        statement=_said(condition, (part.value, better), missing[better], _gained(gain, then, now)),
    )


def _gained(gain: float, product: float, now: SiteReduction) -> tuple[ImprovementCode, dict[str, Value]]:
    gained: dict[str, Value] = {"gain_percent": 100.0 * gain}
    if product < now.floor - TOLERANCE:
        return ImprovementCode.GAINS_BELOW_FLOOR, gained | {"product": product, "floor": now.floor}
    return ImprovementCode.GAINS, gained


def _said(
    condition: Mapping[str, Any],
    change: tuple[str, str],
    without: list[str],
    gained: tuple[ImprovementCode, dict[str, Value]],
) -> Statement:
    """A gain with the change that brings it, and the sizes for which it is out of reach."""
    (value, better), (code, gain) = change, gained
    figures: dict[str, Value] = {
        "title": condition["title"],
        "better": better,
        "better_title": _plain(condition, better),
        "value": None if value == UNKNOWN else value,
        "value_title": None if value == UNKNOWN else _plain(condition, value),
        **gain,
        "without": tuple(without),
        "lacking": TORQUE_NEEDED[better][1] if without else None,
    }
    return Statement(code, figures)


def _plain(condition: Mapping[str, Any], value: str) -> str:
    """A value in words: its title where the rulebook gives one."""
    title: str = condition["values"][value].get("title", value.replace("_", " "))
    return title
