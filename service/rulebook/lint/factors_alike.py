"""The factors for stronger concrete and for lasting loads are the same for every size of a family."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from service.rulebook.finding import Finding
from service.rulebook.lint.draft import Draft, Place, Size, sizes_of

RULE = __name__.rpartition(".")[2]
SUMMARY = "psi_c of pull-out and of bond, and psi0_sus, are the same for all sizes of a family; else a warning"
GROUPS = ("bond", "pull_out", "sustained")

Table = tuple[Place, tuple[str, ...], Mapping[str, Any]]


def check(draft: Draft) -> Iterator[Finding]:
    """The factors for stronger concrete and for lasting loads are the same for every size of a family."""
    for file, family in draft.families():
        for group in GROUPS:
            tables = list(_tables(sizes_of(file, family), group))
            for place, steps, table in tables[1:]:
                first = tables[0][2]
                for name in sorted(first.keys() | table.keys()):
                    if first.get(name) != table.get(name):
                        yield _fault(place, steps, name, table.get(name), first.get(name))


def _tables(sizes: Iterable[Size], group: str) -> Iterator[Table]:
    for size in sizes:
        if group == "bond" and size.content["bond"] is not None:
            yield size, ("bond", "strength_factor"), size.content["bond"]["strength_factor"]
        if group == "sustained" and size.content["bond"] is not None:
            yield size, ("bond", "sustained_factor"), size.content["bond"]["sustained_factor"] or {}
        for embedment in size.embedments() if group == "pull_out" else ():
            if embedment.content["pull_out"] is not None:
                yield embedment, ("pull_out", "strength_factor"), embedment.content["pull_out"]["strength_factor"]


def _fault(place: Place, steps: tuple[str, ...], name: str, found: object, first: object) -> Finding:
    return place.warning(
        RULE,
        "the factor differs from that of the family's first size",
        *steps,
        name,
        found=f"{name}: {found}",
        allowed=f"{first}, as at the first size",
        tip="an assessment may give one table a size; let the checker confirm it against the table named as source",
    )
