"""Bond strengths stand for the temperature ranges covered, no more and no less."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from service.rulebook.finding import Finding, error, pointer_to
from service.rulebook.lint.draft import Draft, Size

RULE = __name__.rpartition(".")[2]
SUMMARY = (
    "bond strength and psi0_sus are given for each temperature range and hole condition covered and no other; "
    "the ranges exist in factors/temperature-ranges.json"
)


def check(draft: Draft) -> Iterator[Finding]:
    """Bond strengths stand for the temperature ranges covered, no more and no less."""
    known = draft.factor("temperature-ranges")
    for file, family in draft.families():
        for index, name in enumerate(family["assessment"]["covers"]["temperature_ranges"]):
            if known is not None and name not in known["ranges"]:
                yield error(
                    file,
                    pointer_to("assessment", "covers", "temperature_ranges", index),
                    RULE,
                    "the temperature range is not known",
                    found=name,
                    allowed=", ".join(known["ranges"]),
                    tip="correct the id, or add the range to factors/temperature-ranges.json",
                )
    for size in draft.sizes():
        if size.content["bond"] is not None:
            yield from _bond(size)


def _bond(size: Size) -> Iterator[Finding]:
    covers, bond = size.family["assessment"]["covers"], size.content["bond"]
    ranges, holes = covers["temperature_ranges"], covers["hole_conditions"]
    yield from _differing(size, ("sustained_factor",), bond["sustained_factor"], ranges)
    for state, by_hole in bond["characteristic_mpa"].items():
        if by_hole is None:
            continue
        yield from _differing(size, ("characteristic_mpa", state), by_hole, holes)
        for hole, by_range in by_hole.items():
            yield from _differing(size, ("characteristic_mpa", state, hole), by_range, ranges)


def _differing(
    size: Size, steps: tuple[str, ...], given: Collection[str], covered: Collection[str]
) -> Iterator[Finding]:
    if set(given) != set(covered):
        yield size.error(
            RULE,
            "the figures do not stand for what the assessment covers",
            "bond",
            *steps,
            found=", ".join(given),
            allowed=", ".join(covered) or "none",
            tip="give a figure for each one covered; what has no figure in the assessment is not covered",
        )
