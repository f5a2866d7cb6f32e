"""The factor for stronger concrete starts at 1.0 and never falls."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise

from service.rulebook.finding import Finding
from service.rulebook.lint.draft import Draft, Size

RULE = __name__.rpartition(".")[2]
SUMMARY = "psi_c is 1.0 at C20/25 and does not fall as the strength class rises"
REFERENCE = "C20/25"


def check(draft: Draft) -> Iterator[Finding]:
    """The factor for stronger concrete starts at 1.0 and never falls."""
    for size in draft.sizes():
        if size.content["bond"] is not None:
            yield from _faults(size, ("bond",), size.content["bond"]["strength_factor"])
        for embedment in size.embedments():
            if embedment.content["pull_out"] is not None:
                yield from _faults(
                    size, ("embedments", embedment.key, "pull_out"), embedment.content["pull_out"]["strength_factor"]
                )


def _faults(size: Size, steps: tuple[str, ...], factors: Mapping[str, float]) -> Iterator[Finding]:
    if factors.get(REFERENCE) != 1.0:
        yield size.error(
            RULE,
            "the resistances stand for C20/25, so its factor is one",
            *steps,
            "strength_factor",
            found=f"psi_c of {REFERENCE}: {factors.get(REFERENCE, 'none')}",
            allowed="1.0",
            tip="add C20/25 with 1.0; if the assessment gives resistances for another class, convert them first",
        )
    for (weak, lower), (strong, higher) in pairwise(sorted(factors.items(), key=_strength)):
        if higher < lower:
            yield size.error(
                RULE,
                "the factor falls although the concrete is stronger",
                *steps,
                "strength_factor",
                strong,
                found=f"psi_c {higher:g} of {strong} after {lower:g} of {weak}",
                allowed=f"at least {lower:g}",
                tip="check the order of the classes in the table named as source",
            )


def _strength(entry: tuple[str, float]) -> int:
    return int(entry[0].removeprefix("C").partition("/")[0])
