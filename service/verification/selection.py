"""Finding in the rulebook what a request names; an unknown name is refused with the known ones."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from service.contract import wanted
from service.contract.fields import UNKNOWN
from service.rulebook import Rulebook
from service.verification.refusal import Refusal, RefusedRequest
from service.verification.tolerance import same_mm


@dataclass(frozen=True, slots=True)
class Selection:
    """What the request chose, as the rulebook's own data; ``row`` is None for an embedment that is not assessed."""

    family_id: str
    family: Mapping[str, Any]
    size_name: str
    size: Mapping[str, Any]
    row_name: str | None
    row: Mapping[str, Any] | None

    @property
    def title(self) -> str:
        """Title of the family."""
        return str(self.family["title"])

    @property
    def mechanism(self) -> str:
        """Mechanism of the family."""
        return str(self.family["mechanism"])

    def path(self, *names: str) -> str:
        """Rulebook path of a figure at family level."""
        return f"families/{self.family_id}#{_steps(names)}"

    def size_path(self, *names: str) -> str:
        """Rulebook path of a figure at size level."""
        return f"families/{self.family_id}#/sizes/{_escaped(self.size_name)}{_steps(names)}"

    def row_path(self, *names: str) -> str:
        """Rulebook path of a figure at embedment level."""
        return self.size_path("embedments", self.row_name or "", *names)


def _steps(names: tuple[str, ...]) -> str:
    steps = "/".join(names)
    plain = steps.count("/") == len(names) - 1 and "~" not in steps
    return "/" + (steps if plain else "/".join(_escaped(name) for name in names))


def _escaped(name: str) -> str:
    return name.replace("~", "~0").replace("/", "~1")


def select(fastener: wanted.PulledFastener, rulebook: Rulebook) -> Selection:
    """The family, size and embedment of a fastener.

    Args:
        fastener: The fastener that a request names.
        rulebook: The rulebook.

    Returns:
        The selection.

    Raises:
        RefusedRequest: For an unknown family or size, with those known.
    """
    family = family_named(fastener.family, rulebook, "#/fastener")
    size = size_named(family, fastener.size, "#/fastener")
    for name, row in size["embedments"].items():
        if same_mm(float(row["depth"]["effective_mm"]), fastener.embedment_mm):
            return Selection(fastener.family, family, fastener.size, size, name, row)
    return Selection(fastener.family, family, fastener.size, size, None, None)


def family_named(name: str, rulebook: Rulebook, place: str) -> Mapping[str, Any]:
    """The family of a name.

    Args:
        name: The name.
        rulebook: The rulebook.
        place: Where the request names it.

    Returns:
        The family as the rulebook has it.

    Raises:
        RefusedRequest: For an unknown family, with those known.
    """
    family = rulebook.families.get(name)
    if family is None:
        words = f"unknown; known are {', '.join(sorted(rulebook.families))}"
        allowed = {"allowed": sorted(rulebook.families)}
        raise RefusedRequest(Refusal(f"{place}/family", "unknown_family", words, allowed))
    return family


def size_named(family: Mapping[str, Any], name: str, place: str) -> Mapping[str, Any]:
    """The size of a name.

    Args:
        family: Its family.
        name: The name.
        place: Where the request names it.

    Returns:
        The size as the rulebook has it.

    Raises:
        RefusedRequest: For an unknown size, with those known.
    """
    size: Mapping[str, Any] | None = family["sizes"].get(name)
    if size is None:
        words = f"{family['id']} has no such size; it has {', '.join(family['sizes'])}"
        raise RefusedRequest(Refusal(f"{place}/size", "unknown_size", words, {"allowed": list(family["sizes"])}))
    return size


def in_period(day: date, start: str, until: str | None) -> bool:
    """Whether a day lies in a period of the rulebook, its first and last day included; None ends nothing."""
    return date.fromisoformat(start) <= day and (until is None or day <= date.fromisoformat(until))


def check_version(version: str | None, day: date, rulebook: Rulebook) -> None:
    """Refuse a version that is not served, or a day on which none is in force.

    Args:
        version: The version that a request names, if any.
        day: Day of the assessment.
        rulebook: The rulebook that is served.

    Raises:
        RefusedRequest: With the known versions.
    """
    if version is not None:
        if version != rulebook.version:
            words, allowed = f"unknown; known is {rulebook.version}", {"allowed": [rulebook.version]}
            raise RefusedRequest(Refusal("#/rulebook", "unknown_version", words, allowed))
        return
    start = rulebook.document["effective_from"]
    if not in_period(day, start, rulebook.document["effective_until"]):
        raise RefusedRequest(
            Refusal(
                "#/assessed_on",
                "no_version_in_force",
                f"no rulebook version is in force on that day; {rulebook.version} is from {start}; "
                "name it under rulebook to use it all the same",
            )
        )


def check_allowed_values(use: wanted.Use, site: wanted.Site, rulebook: Rulebook) -> None:
    """Refuse values of exposure, temperature range and site conditions that the rulebook does not list.

    Args:
        use: Use of the fixing, as the request has it.
        site: The conditions of the site.
        rulebook: The rulebook.

    Raises:
        RefusedRequest: One refusal a value, each with the allowed ones.
    """
    refusals = []
    lists = (
        ("exposure", use.exposure, rulebook.factors["exposures"]["exposures"]),
        ("temperature_range", use.temperature_range, rulebook.factors["temperature-ranges"]["ranges"]),
    )
    for name, given, allowed in lists:
        if given is not None and given not in allowed:
            refusals.append(_not_allowed(f"#/use/{name}", (*allowed, UNKNOWN)))
    conditions = rulebook.factors["site-conditions"]["conditions"]
    for name, value in site.conditions.items():
        if name not in conditions:
            words = f"no such site condition; the conditions are: {', '.join(conditions)}"
            refusals.append(Refusal(f"#/site/{_escaped(name)}", "unknown_field", words, {"allowed": list(conditions)}))
        elif value not in conditions[name]["values"]:
            refusals.append(_not_allowed(f"#/site/{name}", conditions[name]["values"]))
    if refusals:
        raise RefusedRequest(*refusals)


def _not_allowed(pointer: str, allowed: Iterable[str]) -> Refusal:
    return Refusal(pointer, "not_allowed", f"must be one of {', '.join(allowed)}", {"allowed": list(allowed)})
