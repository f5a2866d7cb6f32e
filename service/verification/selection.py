"""Finding in the rulebook what a request names; an unknown name is refused with the known ones."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from service.rulebook import Rulebook
from service.verification.refusal import Refusal, RefusedRequest
from service.verification.tolerance import same_mm

UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Selection:
    """What the request chose, as the rulebook's own data; ``row`` is None for an embedment that is not assessed."""

    family_id: str
    family: Mapping[str, Any]
    size_name: str
    size: Mapping[str, Any]
    row_name: str | None
    row: Mapping[str, Any] | None

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


def select(request: Mapping[str, Any], rulebook: Rulebook) -> Selection:
    """The family, size and embedment of a request.

    Args:
        request: A verification request.
        rulebook: The rulebook.

    Returns:
        The selection.

    Raises:
        RefusedRequest: For an unknown family or size, with those known.
    """
    wanted = request["fastener"]
    family = rulebook.families.get(wanted["family"])
    if family is None:
        raise RefusedRequest(
            Refusal("#/fastener/family", "unknown_family", f"unknown; known are {', '.join(sorted(rulebook.families))}")
        )
    size = family["sizes"].get(wanted["size"])
    if size is None:
        raise RefusedRequest(
            Refusal(
                "#/fastener/size",
                "unknown_size",
                f"{wanted['family']} has no such size; it has {', '.join(family['sizes'])}",
            )
        )
    for name, row in size["embedments"].items():
        if same_mm(float(row["depth"]["effective_mm"]), float(wanted["embedment_mm"])):
            return Selection(wanted["family"], family, wanted["size"], size, name, row)
    return Selection(wanted["family"], family, wanted["size"], size, None, None)


def in_period(day: date, start: str, until: str | None) -> bool:
    """Whether a day lies in a period of the rulebook, its first and last day included; None ends nothing."""
    return date.fromisoformat(start) <= day and (until is None or day <= date.fromisoformat(until))


def check_version(request: Mapping[str, Any], rulebook: Rulebook) -> None:
    """Refuse a version that is not served, or a day on which none is in force.

    Args:
        request: A request with ``assessed_on`` resolved.
        rulebook: The rulebook that is served.

    Raises:
        RefusedRequest: With the known versions.
    """
    wanted = request.get("rulebook")
    if wanted is not None:
        if wanted != rulebook.version:
            raise RefusedRequest(Refusal("#/rulebook", "unknown_version", f"unknown; known is {rulebook.version}"))
        return
    day = date.fromisoformat(request["assessed_on"])
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


def check_allowed_values(request: Mapping[str, Any], rulebook: Rulebook) -> None:
    """Refuse values of exposure, temperature range and site conditions that the rulebook does not list.

    Args:
        request: A verification or sizing request.
        rulebook: The rulebook.

    Raises:
        RefusedRequest: One refusal a value, each with the allowed ones.
    """
    refusals = []
    use = request.get("use") or {}
    lists = (
        ("exposure", rulebook.factors["exposures"]["exposures"]),
        ("temperature_range", rulebook.factors["temperature-ranges"]["ranges"]),
    )
    for name, allowed in lists:
        given = use.get(name)
        if given is not None and given != UNKNOWN and given not in allowed:
            refusals.append(_not_allowed(f"#/use/{name}", allowed))
    conditions = rulebook.factors["site-conditions"]["conditions"]
    for name, given in (request.get("site") or {}).items():
        if name not in conditions:
            words = f"no such site condition; the conditions are: {', '.join(conditions)}"
            refusals.append(Refusal(f"#/site/{_escaped(name)}", "unknown_field", words))
        elif given is not None and given not in conditions[name]["values"]:
            refusals.append(_not_allowed(f"#/site/{name}", conditions[name]["values"]))
    if refusals:
        raise RefusedRequest(*refusals)


def _not_allowed(pointer: str, allowed: Mapping[str, Any]) -> Refusal:
    return Refusal(pointer, "not_allowed", f"must be one of {', '.join(allowed)}")
