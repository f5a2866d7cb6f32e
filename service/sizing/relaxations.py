"""What in the request, if it were relaxed, would let a rejected family pass; each is tried before it is said."""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import chain, groupby
from typing import Any

from service.contract import wanted
from service.sizing.candidates import CAST_IN_NOT_ASKED_FOR, Candidate
from service.sizing.causes import FACTS, is_open
from service.sizing.layouts import Layout, larger_grids
from service.sizing.search import (
    VERIFIED,
    FamilyResult,
    Judged,
    Tally,
    Terms,
    first_that_passes,
    in_order,
    obstacles_of,
    passes,
)
from service.sizing.words import words
from service.verification import GROUT_STRENGTH_MIN_MPA, STRENGTH_CLASSES, Assessment
from service.verification.requirements import Requirement
from service.verification.statements import rounded

# Grids that a standard covers have at most so many rows each way.
MOST_ROWS = 3
# How much farther away an edge is tried, one after the other (mm).
EDGE_STEPS_MM = (5.0, 10.0, 25.0, 50.0, 100.0, 150.0, 200.0, 300.0, 500.0)
HOLE_LIMITS = ("hole_diameter_mm", "hole_depth_mm")
UTILISATION_STEP = 1e-3
FAMILIES = "#/limits/families"
MECHANISMS = "#/limits/mechanisms"
OVERHEAD = "overhead_allowed"
EDGE_CODES = frozenset({"edge_distance", "edge_with_spacing"})

Value = float | str | bool | None


@dataclass(frozen=True)
class Relaxation:
    """A place in the request, what stands there, what would have to, and the candidate that then passes."""

    pointer: str
    given: Value
    needed: Value
    admitted: Candidate


def relaxations(results: Iterable[FamilyResult], terms: Terms) -> list[dict[str, Any]]:
    """List what would admit a rejected family.

    Args:
        results: What the search found, a family each.
        terms: What the search went by.

    Returns:
        The `relaxations` of the answer, what admits most families first.
    """
    found = list(chain.from_iterable(_of_family(result, terms) for result in results if result.best is None))
    grouped = [list(group) for _, group in groupby(sorted(found, key=_sort_key), key=_sort_key)]
    return [_described(group) for group in sorted(grouped, key=lambda group: -len(group))]


def _sort_key(relaxation: Relaxation) -> tuple[str, str, float, str]:
    number = relaxation.needed if isinstance(relaxation.needed, int | float) else 0.0
    # Families that are not asked for differ in the family by which they would be, and belong together all the same.
    needed = "" if relaxation.pointer == FAMILIES else str(relaxation.needed)
    return (relaxation.pointer, str(relaxation.given), number, needed)


def _described(group: Sequence[Relaxation]) -> dict[str, Any]:
    first = group[0]
    admitted = "; ".join(f"{r.admitted.fastener.family['title']} ({r.admitted.name})" for r in group)
    return {
        "pointer": first.pointer,
        "given": rounded(first.given) if isinstance(first.given, float) else first.given,
        "needed": ", ".join(str(r.needed) for r in group) if first.pointer == FAMILIES else first.needed,
        "operation": _operation(first),
        "values": _values(group),
        "detail": f"{_in_words(first)} would admit {admitted}",
        "families": [r.admitted.fastener.family["id"] for r in group],
    }


def _operation(relaxation: Relaxation) -> str:
    """How the values go to the pointer: put there, added to the list there, or any one of them put there."""
    if relaxation.pointer in {MECHANISMS, FAMILIES}:
        return "append"
    return "one_of" if relaxation.pointer.startswith(("#/use/", "#/member/state")) else "set"


def _values(group: Sequence[Relaxation]) -> list[Any]:
    first = group[0]
    if first.pointer == FAMILIES:
        return [relaxation.needed for relaxation in group]
    if first.pointer in {"#/limits/removable", "#/limits/setting"}:
        return [None]
    if first.pointer == "#/pattern":
        return [_pattern(first.admitted.layout)]
    if _operation(first) == "one_of" and isinstance(first.needed, str):
        return list(first.needed.split(", "))
    return [first.needed]


def _pattern(layout: Layout) -> dict[str, Any]:
    """The pattern of a request that offers just this grid."""
    pattern: dict[str, Any] = {}
    for axis, places in (("x", sorted({p.x_mm for p in layout})), ("y", sorted({p.y_mm for p in layout}))):
        pattern[axis] = {"counts": [len(places)]}
        if len(places) > 1:
            pattern[axis]["spacings_mm"] = [rounded(places[1] - places[0])]
    return pattern


def _in_words(relaxation: Relaxation) -> str:
    name = relaxation.pointer.rsplit("/", 1)[-1]
    given, needed = relaxation.given, relaxation.needed
    if relaxation.pointer.startswith("#/member/edges/"):
        edge = words(name.removesuffix("_mm"))
        return f"The {edge} edge {needed:g} mm from the origin in place of {given:g} mm"
    if relaxation.pointer.startswith(("#/use/", "#/member/state")):
        known = "false" if needed is False else str(needed).replace(", ", " or ")
        return f"Knowing that {relaxation.pointer[2:].replace('/', '.')} is {known}"
    sayings = {
        "#/limits/utilisation": "A utilisation of up to {1:g} in place of {0:g}",
        "#/limits/mechanisms": "Allowing the mechanism {1}",
        FAMILIES: "Naming them in limits.families",
        "#/limits/removable": "Allowing fasteners whatever limits.removable says",
        "#/limits/setting": "Allowing it to be set {1}",
        "#/limits/hole_depth_mm": "Holes {1:g} mm deep in place of {0:g} mm at most",
        "#/limits/hole_diameter_mm": "Holes of {1:g} mm diameter in place of {0:g} mm at most",
        "#/fixture/grout/strength_mpa": "Knowing that the grout reaches {1:g} MPa",
        "#/fixture/thickness_mm": "A fixture {1:g} mm thick in place of {0:g} mm",
        "#/member/thickness_mm": "A member {1:g} mm thick in place of {0:g} mm",
        "#/pattern": "{1:g} fasteners in place of {0:g} at most",
    }
    shown = (words(value) if isinstance(value, str) else value for value in (given, needed))
    return sayings[relaxation.pointer].format(*shown)


def _of_family(result: FamilyResult, terms: Terms) -> Iterator[Relaxation]:
    if result.blocking:
        yield from _without_the_limit_on_the_family(result, terms)
        return
    for name in HOLE_LIMITS:
        yield from _larger_hole(result, name, terms)
    yield from _grout_made_known(result, terms)
    if result.nearest and result.nearest.assessment:
        yield from _for_the_nearest(result.nearest, result.nearest.assessment, terms)


def _without_the_limit_on_the_family(result: FamilyResult, terms: Terms) -> Iterator[Relaxation]:
    cause = result.blocking[0]
    # Naming one mechanism where none is named would leave all others out, and a stud suits no concrete that stands.
    if len(result.blocking) > 1 or cause.code == CAST_IN_NOT_ASKED_FOR:
        return
    free = [candidate for candidate in result.candidates if not obstacles_of(candidate, terms)]
    found = first_that_passes(free, terms, Tally())
    if found is None:
        return
    if cause.code == "removable":
        asked = bool(terms.limits.removable)
        yield Relaxation("#/limits/removable", asked, not asked, found.candidate)
    else:
        yield Relaxation(f"#/limits/{cause.code}", cause.limit, cause.figure, found.candidate)


def _larger_hole(result: FamilyResult, name: str, terms: Terms) -> Iterator[Relaxation]:
    given: float | None = getattr(terms.limits, name)
    if given is None:
        return
    stopped = [c for c in result.candidates if [cause.code for cause in obstacles_of(c, terms)] == [name]]
    figures = sorted({getattr(candidate.fastener, name) for candidate in stopped})
    for figure in figures:
        within = [candidate for candidate in stopped if getattr(candidate.fastener, name) == figure]
        found = first_that_passes(within, terms, Tally())
        if found:
            yield Relaxation(f"#/limits/{name}", given, figure, found.candidate)
            return


def _for_the_nearest(nearest: Judged, assessment: Assessment, terms: Terms) -> Iterator[Relaxation]:
    codes = frozenset(requirement.code for requirement in assessment.unmet)
    if assessment.scope_limits:
        return
    if assessment.verdict == VERIFIED:
        used = assessment.utilisation or 0.0
        needed = min(1.0, math.ceil(used / UTILISATION_STEP) * UTILISATION_STEP)
        yield Relaxation("#/limits/utilisation", terms.utilisation_max, rounded(needed), nearest.candidate)
    if codes and codes <= EDGE_CODES:
        yield from _edge_farther_away(nearest.candidate, _nearest_edge(nearest.candidate, terms), terms)
    elif not codes:
        governing = assessment.governing[2] if assessment.governing else None
        yield from _edge_farther_away(nearest.candidate, governing, terms)
        yield from _more_fasteners(nearest.candidate, terms)
    elif len(codes) == 1:
        yield from _other_thickness(nearest.candidate, assessment.unmet[0], terms)
        yield from _fact_made_known(nearest.candidate, assessment.unmet[0], terms)


def _changed(sizing: wanted.Sizing, part: str, **changes: Any) -> wanted.Sizing:
    """The sizing with some fields of a part of it changed."""
    return replace(sizing, **{part: replace(getattr(sizing, part), **changes)})


def _other_thickness(candidate: Candidate, short: Requirement, terms: Terms) -> Iterator[Relaxation]:
    part = "member" if short.code == "member_thickness" else "fixture"
    stated = getattr(terms.sizing, part)
    given = stated.thickness_mm
    if given is None or not isinstance(short.given, int | float) or not isinstance(short.limit, int | float):
        return
    needed = {
        "member_thickness": short.limit,
        "fixture_thickness": given - (short.given - short.limit),
        # The bending stress of a plate falls with the square of its thickness.
        "fixture_stays_elastic": math.ceil(given * math.sqrt(short.given / short.limit)),
    }.get(short.code)
    if needed is None or needed <= 0:
        return
    changed = _changed(terms.sizing, part, thickness_mm=needed)
    if passes(terms.judge.assess_under(changed, candidate), terms.utilisation_max):
        yield Relaxation(f"#/{part}/thickness_mm", given, needed, candidate)


def _fact_made_known(candidate: Candidate, short: Requirement, terms: Terms) -> Iterator[Relaxation]:
    """What the request leaves open and is taken the less favourable way; what it states is no limit to relax."""
    if not is_open(short.code, terms.sizing):
        return
    part, name = FACTS[short.code]
    limit = short.statement.figures.get(short.code.says.limit or "")
    allowed = ", ".join(map(str, limit)) if isinstance(limit, tuple) else str(limit)
    # The values stand in order, the hardest last: what passes there passes in the ones before it.
    value = False if short.code == OVERHEAD else allowed.rsplit(", ", 1)[-1]
    stated = (terms.request.get(part) or {}).get(name)
    changed = _changed(terms.sizing, part, **{name: value})
    if passes(terms.judge.assess_under(changed, candidate), terms.utilisation_max):
        yield Relaxation(f"#/{part}/{name}", stated, False if value is False else allowed, candidate)


def _sound_grout_mpa(member: wanted.Member) -> float:
    """Strength at which grout of any thickness is sound: that of grout itself and of the concrete under it (MPa)."""
    if member.strength_mpa is not None:
        return max(GROUT_STRENGTH_MIN_MPA, member.strength_mpa)
    of_class = 0.0 if member.strength_class is None else STRENGTH_CLASSES[member.strength_class]
    return max(GROUT_STRENGTH_MIN_MPA, of_class)


def _grout_made_known(result: FamilyResult, terms: Terms) -> Iterator[Relaxation]:
    """Grout whose strength nobody said is taken to carry nothing: other candidates pass once it is known."""
    grout = terms.sizing.fixture.grout
    if grout.thickness_mm == 0.0 or grout.strength_mpa is not None:
        return
    needed = rounded(_sound_grout_mpa(terms.sizing.member))
    changed = _changed(terms.sizing, "fixture", grout=replace(grout, strength_mpa=needed))
    known = replace(terms, sizing=changed, judge=terms.judge.under(changed))
    free = [candidate for candidate in result.candidates if not obstacles_of(candidate, terms)]
    found = first_that_passes(free, known, Tally())
    if found:
        yield Relaxation("#/fixture/grout/strength_mpa", None, needed, found.candidate)


def _nearest_edge(candidate: Candidate, terms: Terms) -> str | None:
    edges, layout = terms.sizing.member.edges, candidate.layout
    reaches = {
        "x_minus": min(p.x_mm for p in layout),
        "x_plus": min(-p.x_mm for p in layout),
        "y_minus": min(p.y_mm for p in layout),
        "y_plus": min(-p.y_mm for p in layout),
    }
    given = {
        name: reach + distance
        for (name, reach), distance in zip(reaches.items(), edges.all_mm, strict=True)
        if distance is not None
    }
    return min(given, key=lambda name: given[name], default=None)


def _edge_farther_away(candidate: Candidate, edge: str | None, terms: Terms) -> Iterator[Relaxation]:
    if edge is None:
        return
    name, edges = f"{edge}_mm", terms.sizing.member.edges
    given: float = getattr(edges, name)
    for step_mm in EDGE_STEPS_MM:
        needed = rounded(given + step_mm)
        changed = _changed(terms.sizing, "member", edges=replace(edges, **{name: needed}))
        if passes(terms.judge.assess_under(changed, candidate), terms.utilisation_max):
            yield Relaxation(f"#/member/edges/{edge}_mm", given, needed, candidate)
            return


def _more_fasteners(candidate: Candidate, terms: Terms) -> Iterator[Relaxation]:
    most = max(len(layout) for layout in terms.layouts)
    larger = (
        Candidate(candidate.fastener, layout)
        for layout in larger_grids(terms.sizing, MOST_ROWS)
        if len(layout) > most and terms.member.clearance_mm(layout) > 0
    )
    free = [c for c in in_order(larger, terms) if not obstacles_of(c, terms)]
    found = first_that_passes(free, terms, Tally())
    if found:
        yield Relaxation("#/pattern", most, len(found.candidate.layout), found.candidate)
