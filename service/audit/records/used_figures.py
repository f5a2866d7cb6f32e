"""Which figures of the rulebook a fixing stands on, and which of them another version has changed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import asdict, dataclass
from types import MappingProxyType
from typing import Any

from service.audit.changes.figures import leaves
from service.audit.changes.places import ABSENT, or_null, same
from service.rulebook import Rulebook
from service.rulebook.finding import pointer_to

ALWAYS = (
    "rulebook#/effective_from",
    "rulebook#/effective_until",
    "rulebook#/site_reduction/floor",
    "rulebook#/partial_factors/actions",
)
"""What decides about every fixing although no trace names it: the period, the floor, the factors of actions."""

TAKEN_FOR_UNKNOWN: Mapping[str, tuple[str, ...]] = MappingProxyType({
    "strength_unknown": ("strength_class",),
    "state_unknown": ("state",),
    "exposure_unknown": ("exposure",),
    "hole_unknown": ("hole", "hole_without_resin"),
    "temperature_range_unknown": ("temperature_range",),
})
"""Assumptions of an answer, and what of the rulebook's `unknown` they were taken from."""

PROVENANCE = "source"


@dataclass(frozen=True)
class ChangedFigure:
    """A value of the rulebook that a fixing stands on and that another version has changed.

    Attributes:
        path: Its rulebook path.
        old: The value before; null too where there was none.
        new: The value after; null too where there is none.
        change: "changed", "added" or "removed".
    """

    path: str
    old: Any
    new: Any
    change: str

    def as_json(self) -> dict[str, Any]:
        """Give the change as plain data."""
        return asdict(self)


def used_paths(answer: Mapping[str, Any]) -> frozenset[str]:
    """Gather where the figures of an answer stand in the rulebook.

    Args:
        answer: The answer of a verification, with traces.

    Returns:
        Rulebook paths of its traces, requirements and site conditions, of the approval, and of what always decides.
    """
    entries = [entry for check in answer["checks"] for entry in check.get("trace", ())]
    named = [entry["rule"] for entry in (*entries, *answer["requirements"], *answer["site_reduction"]["parts"])]
    assumed = {assumption["code"] for assumption in answer["assumptions"]}
    unknown = (name for code, names in TAKEN_FOR_UNKNOWN.items() if code in assumed for name in names)
    fastener = answer["fastener"]
    family = f"families/{fastener['family']}"
    approvals = (f"{family}#/approval", f"{family}{pointer_to('sizes', fastener['size'], 'approval')}")
    taken = (f"rulebook#/unknown/{name}" for name in unknown)
    return frozenset([*(path for path in named if path is not None), *approvals, *taken, *ALWAYS])


def changed_figures(paths: Iterable[str], old: Rulebook, new: Rulebook) -> tuple[ChangedFigure, ...]:
    """Find what of some places of the rulebook another version has changed.

    Args:
        paths: Rulebook paths of values, or of parts with all their values.
        old: The rules before.
        new: The rules after.

    Returns:
        The changed values by their paths; where they come from is left out.
    """
    before, after = ({place: value for path in paths for place, value in _values(path, book)} for book in (old, new))
    return tuple(
        _changed(place, before.get(place, ABSENT), after.get(place, ABSENT))
        for place in sorted(before.keys() | after.keys())
        if not same(before.get(place, ABSENT), after.get(place, ABSENT))
    )


def _changed(path: str, old: Any, new: Any) -> ChangedFigure:
    change = "added" if old is ABSENT else "removed" if new is ABSENT else "changed"
    return ChangedFigure(path, or_null(old), or_null(new), change)


def _values(path: str, book: Rulebook) -> Iterator[tuple[str, Any]]:
    file, _, pointer = path.partition("#")
    directory, _, name = file.rpartition("/")
    part: Any = {"families": book.families, "factors": book.factors}.get(directory, {"rulebook": book.document})
    steps = [name, *(step.replace("~1", "/").replace("~0", "~") for step in pointer.split("/")[1:])]
    for step in steps:
        if not isinstance(part, Mapping) or step not in part:
            return
        part = part[step]
    for inner, value in leaves(part):
        if PROVENANCE not in inner:
            yield f"{path}{pointer_to(*inner)[1:]}", None if isinstance(value, Mapping | tuple) else value
