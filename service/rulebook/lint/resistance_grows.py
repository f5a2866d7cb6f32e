"""A resistance does not fall as size and embedment grow, unless a note says why."""

from __future__ import annotations

from collections.abc import Iterator
from math import pi

from service.rulebook.finding import Finding
from service.rulebook.lint.draft import Draft, Embedment, Size, sizes_of

RULE = __name__.rpartition(".")[2]
SUMMARY = (
    "no resistance is less than that of a smaller size or shallower embedment, "
    "unless a note with code resistance_falls says why"
)
NOTE = "resistance_falls"
TIP = "check the line of the table; if the assessment does say so, add a note with code resistance_falls that says why"
STEEL = (("tension_kn", "N_Rk,s", "kN"), ("shear_kn", "V0_Rk,s", "kN"), ("bending_nm", "M0_Rk,s", "N·m"))


def check(draft: Draft) -> Iterator[Finding]:
    """A resistance does not fall as size and embedment grow, unless a note says why."""
    for file, family in draft.families():
        yield from _steel(list(sizes_of(file, family)))
        yield from _concrete([embedment for size in sizes_of(file, family) for embedment in size.embedments()])


def _steel(sizes: list[Size]) -> Iterator[Finding]:
    for larger in sizes:
        smaller = [size for size in sizes if _diameter(size) < _diameter(larger)]
        if larger.content["steel"] is None or any(_noted(embedment) for embedment in larger.embedments()):
            continue
        for field, symbol, unit in STEEL:
            figures = [(size.content["steel"][field], size.name) for size in smaller if size.content["steel"]]
            before = max((figure for figure in figures if figure[0] is not None), default=None)
            after = larger.content["steel"][field]
            if before is not None and after is not None and after < before[0]:
                yield larger.error(
                    RULE,
                    f"{symbol} is less than that of a smaller size",
                    "steel",
                    field,
                    found=f"{after:g} {unit} after {before[0]:g} {unit} of {before[1]}",
                    allowed=f"at least {before[0]:g} {unit}",
                    tip=TIP,
                )


def _concrete(embedments: list[Embedment]) -> Iterator[Finding]:
    figures = [(embedment, _figures(embedment)) for embedment in embedments]
    for larger, after in figures:
        smaller = [(other, before) for other, before in figures if _is_smaller(other, larger)]
        for steps, figure in () if _noted(larger) else after.items():
            best = max(((before[steps], _name(other)) for other, before in smaller if steps in before), default=None)
            if best is not None and figure < best[0]:
                yield larger.size.error(
                    RULE,
                    "the resistance is less than that of a smaller size or embedment",
                    *_place(larger, steps),
                    found=f"{figure:.4g} kN after {best[0]:.4g} kN of {best[1]}",
                    allowed=f"at least {best[0]:.4g} kN",
                    tip=TIP,
                )


def _figures(embedment: Embedment) -> dict[tuple[str, ...], float]:
    content, bond = embedment.content, embedment.size.content["bond"]
    figures: dict[tuple[str, ...], float | None] = {}
    if content["pull_out"] is not None:
        figures |= {("pull_out", field): content["pull_out"][field] for field in ("cracked_kn", "uncracked_kn")}
    if content["simplified"] is not None:
        figures["simplified", "resistance_kn"] = content["simplified"]["resistance_kn"]
    surface = pi * embedment.size.content["geometry"]["diameter_mm"] * content["depth"]["effective_mm"]
    for state, holes in bond["characteristic_mpa"].items() if bond else ():
        for hole, ranges in (holes or {}).items():
            figures |= {
                ("bond", "characteristic_mpa", state, hole, name): strength * surface / 1000
                for name, strength in ranges.items()
            }
    return {steps: figure for steps, figure in figures.items() if figure is not None}


def _place(embedment: Embedment, steps: tuple[str, ...]) -> tuple[str, ...]:
    return steps if steps[0] == "bond" else ("embedments", embedment.key, *steps)


def _is_smaller(one: Embedment, other: Embedment) -> bool:
    mine = (_diameter(one.size), one.content["depth"]["effective_mm"])
    theirs = (_diameter(other.size), other.content["depth"]["effective_mm"])
    return mine != theirs and mine[0] <= theirs[0] and mine[1] <= theirs[1]


def _diameter(size: Size) -> float:
    diameter: float = size.content["geometry"]["nominal_diameter_mm"]
    return diameter


def _name(embedment: Embedment) -> str:
    return f"{embedment.size.name} at {embedment.key} mm"


def _noted(embedment: Embedment) -> bool:
    return any(note["code"] == NOTE for note in embedment.content["notes"])
