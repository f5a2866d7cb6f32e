"""What is taken off because of how sure the site can be: the product of the rulebook's site factors."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import prod
from typing import Any

from service.contract import wanted
from service.contract.fields import UNKNOWN
from service.contract.verification_codes import AssumptionCode
from service.rulebook import Rulebook
from service.verification.assumptions import Assumptions
from service.verification.tolerance import TOLERANCE
from service.words import Value


@dataclass(frozen=True, slots=True)
class Part:
    """One site condition and its factor (no unit)."""

    condition: str
    title: str
    value: str
    factor: float
    reason: str
    rule: str | None


@dataclass(frozen=True, slots=True)
class SiteReduction:
    """The reduction of every resistance (no unit), and the rulebook's floor, below which nothing is fixed."""

    factor: float
    floor: float
    parts: tuple[Part, ...]

    @property
    def below_floor(self) -> bool:
        """Whether too little is known of the site: no floor lifts the factor, who knows less gets less."""
        return self.factor < self.floor - TOLERANCE


def names_torque(size: Mapping[str, Any]) -> bool:
    """Whether the assessment names an installation torque for a size, so that a wrench can show something."""
    return size["setting"]["installation_torque_nm"] is not None


def site_reduction(
    site: wanted.Site,
    mechanism: str,
    rulebook: Rulebook,
    assumptions: Assumptions,
    *,
    torque_named: bool = True,
) -> SiteReduction:
    """The site reduction of a fixing.

    Args:
        site: The conditions of the site; what is missing is not known.
        mechanism: Mechanism of the family.
        rulebook: The rulebook with its site conditions and floor.
        assumptions: Where unknown conditions are noted.
        torque_named: Whether the assessment names an installation torque; where not, none can be read.

    Returns:
        The reduction with its parts.
    """
    parts = tuple(
        _part(name, condition, site.value(name), mechanism, assumptions, torque_named)
        for name, condition in rulebook.factors["site-conditions"]["conditions"].items()
    )
    floor = float(rulebook.document["site_reduction"]["floor"])
    return SiteReduction(prod(part.factor for part in parts), floor, parts)


def figures_of_floor(reduction: SiteReduction) -> dict[str, Value]:
    """What is said of a site below the floor.

    Args:
        reduction: The reduction.

    Returns:
        The product, the floor, and the conditions that nobody knows, of those that count for the mechanism: their names
        in the rulebook, and their titles.
    """
    unknown = [part for part in reduction.parts if part.rule and part.value == UNKNOWN]
    return {
        "product": reduction.factor,
        "floor": reduction.floor,
        "unknown": tuple(part.condition for part in unknown),
        "unknown_titles": tuple(within_sentence(part.title) for part in unknown),
    }


def within_sentence(title: str) -> str:
    """A title as it stands within a sentence: with a small letter first."""
    return title[:1].lower() + title[1:]


def _part(
    name: str,
    condition: Mapping[str, Any],
    value: str,
    mechanism: str,
    assumptions: Assumptions,
    torque_named: bool,
) -> Part:
    if mechanism not in condition["applies_to"]:
        return Part(name, condition["title"], value, 1.0, "Does not apply to this mechanism", None)
    counted = value if torque_named else condition["values"][value].get("without_torque", value)
    entry = condition["values"][counted]
    factor, reason = float(entry["factor"]), entry["reason"]
    if counted != value:
        reason = f"The assessment names no torque, so it counts as {counted.replace('_', ' ')}: {reason}"
    if value == UNKNOWN:
        code, title = AssumptionCode.SITE_CONDITION_UNKNOWN, condition["title"]
        assumptions.add(code, f"#/site/{name}", condition=name, title=title, factor=factor)
    path = f"factors/site-conditions#/conditions/{name}/values/{counted}/factor"
    return Part(name, condition["title"], value, factor, reason, path)
