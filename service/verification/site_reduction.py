"""What is taken off because of how sure the site can be: the product of the rulebook's site factors."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import prod
from typing import Any

from service.rulebook import Rulebook
from service.verification.assumptions import Assumptions
from service.verification.selection import UNKNOWN


@dataclass(frozen=True, slots=True)
class Part:
    """One site condition and its factor (no unit)."""

    condition: str
    value: str
    factor: float
    reason: str
    rule: str | None


@dataclass(frozen=True, slots=True)
class SiteReduction:
    """The reduction of every resistance (no unit), at least the rulebook's floor."""

    factor: float
    floor: float
    floor_applied: bool
    parts: tuple[Part, ...]


def site_reduction(
    site: Mapping[str, Any] | None, mechanism: str, rulebook: Rulebook, assumptions: Assumptions
) -> SiteReduction:
    """The site reduction of a fixing.

    Args:
        site: The ``site`` part of a request; what is missing is not known.
        mechanism: Mechanism of the family.
        rulebook: The rulebook with its site conditions and floor.
        assumptions: Where unknown conditions are noted.

    Returns:
        The reduction with its parts.
    """
    parts = tuple(
        _part(name, condition, (site or {}).get(name) or UNKNOWN, mechanism, assumptions)
        for name, condition in rulebook.factors["site-conditions"]["conditions"].items()
    )
    floor = float(rulebook.document["site_reduction"]["floor"])
    product = prod(part.factor for part in parts)
    return SiteReduction(max(product, floor), floor, product < floor, parts)


def _part(name: str, condition: Mapping[str, Any], value: str, mechanism: str, assumptions: Assumptions) -> Part:
    if mechanism not in condition["applies_to"]:
        return Part(name, value, 1.0, "Does not apply to this mechanism", None)
    entry = condition["values"][value]
    factor = float(entry["factor"])
    if value == UNKNOWN:
        assumptions.add(
            f"{name}_unknown", f"{condition['title']}: not known, every resistance times {factor:g}", f"#/site/{name}"
        )
    path = f"factors/site-conditions#/conditions/{name}/values/{value}/factor"
    return Part(name, value, factor, entry["reason"], path)
