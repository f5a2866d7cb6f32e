"""Cracked concrete never holds better than uncracked."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding
from service.rulebook.lint.draft import Draft, Size

RULE = __name__.rpartition(".")[2]
SUMMARY = "pull-out, bond and cone factor in uncracked concrete ≥ those in cracked concrete"
FIGURES = (("pull_out", "kn", "N_Rk,p"), ("concrete", "factor", "the cone factor"))
TIP = "check that the lines of cracked and uncracked concrete were not swapped"


def check(draft: Draft) -> Iterator[Finding]:
    """Cracked concrete never holds better than uncracked."""
    for embedment in draft.embedments():
        for group, figure, symbol in FIGURES:
            values = embedment.content[group]
            if values is not None and _better(values[f"cracked_{figure}"], values[f"uncracked_{figure}"]):
                yield embedment.error(
                    RULE,
                    f"{symbol} in cracked concrete is above that in uncracked concrete",
                    group,
                    f"cracked_{figure}",
                    found=f"cracked {values[f'cracked_{figure}']:g}, uncracked {values[f'uncracked_{figure}']:g}",
                    allowed="cracked ≤ uncracked",
                    tip=TIP,
                )
    for size in draft.sizes():
        yield from _bond(size)


def _bond(size: Size) -> Iterator[Finding]:
    strengths = size.content["bond"]["characteristic_mpa"] if size.content["bond"] else {"cracked": None}
    for hole, ranges in (strengths["cracked"] or {}).items():
        for name, cracked in ranges.items():
            uncracked = ((strengths["uncracked"] or {}).get(hole) or {}).get(name)
            if _better(cracked, uncracked):
                yield size.error(
                    RULE,
                    "tau_Rk in cracked concrete is above that in uncracked concrete",
                    "bond",
                    "characteristic_mpa",
                    "cracked",
                    hole,
                    name,
                    found=f"cracked {cracked:g}, uncracked {uncracked:g}",
                    allowed="cracked ≤ uncracked",
                    tip=TIP,
                )


def _better(cracked: float | None, uncracked: float | None) -> bool:
    return cracked is not None and uncracked is not None and cracked > uncracked
