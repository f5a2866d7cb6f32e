"""What in the request, if it were relaxed, would let a rejected family pass; each is tried before it is said."""

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import chain, groupby
from typing import Any, Literal

from service.contract import wanted
from service.contract.sizing_codes import CauseCode, RelaxationCode, Setting
from service.contract.verification_codes import Edge, Mechanism, ToppingKind
from service.sizing.candidates import Candidate, Cause, removability
from service.sizing.causes import open_fact
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
from service.verification import GROUT_STRENGTH_MIN_MPA, STRENGTH_CLASSES, Assessment
from service.verification.requirements import Requirement
from service.verification.statements import rounded
from service.words import Audience, Statement, Value, catalogue

# Grids that a standard covers have at most so many rows each way.
MOST_ROWS = 3
# How much farther away an edge is tried, one after the other (mm).
EDGE_STEPS_MM = (5.0, 10.0, 25.0, 50.0, 100.0, 150.0, 200.0, 300.0, 500.0)
UTILISATION_STEP = 1e-3
FAMILIES = "#/limits/families"
EDGE_CODES = frozenset({"edge_distance", "edge_with_spacing"})
KNOWN: Mapping[str, tuple[RelaxationCode, str | None]] = {
    "exposure_allowed": (RelaxationCode.EXPOSURE_KNOWN, "exposure"),
    "hole_covered": (RelaxationCode.HOLE_KNOWN, "hole"),
    "temperature_range_covered": (RelaxationCode.TEMPERATURE_RANGE_KNOWN, "range"),
    "overhead_allowed": (RelaxationCode.NOT_OVERHEAD_KNOWN, None),
    "state_covered": (RelaxationCode.STATE_KNOWN, "state"),
    "strength_shown": (RelaxationCode.STRENGTH_SHOWN, "strength_class"),
}
"""What may be known where a requirement is held against an open fact, and the figure that says as what."""

Operation = Literal["set", "append", "one_of"]
Known = float | str | bool | None | tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Change:
    """A place in the request, what stands there, what would have to, and the candidate that then passes."""

    statement: Statement
    pointer: str
    given: Known
    needed: Known
    admitted: Candidate
    operation: Operation = "set"
    values: tuple[Any, ...] | None = None
    """What is put at the pointer; None: what is needed."""


@dataclass(frozen=True, slots=True)
class Relaxation:
    """A change with every family that it would admit; it has the names of its schema."""

    statement: Statement
    changes: tuple[Change, ...]

    @property
    def pointer(self) -> str:
        """Place in the request."""
        return self.changes[0].pointer

    @property
    def given(self) -> Any:
        """What stands there."""
        return _as_json(self.changes[0].given)

    @property
    def needed(self) -> Any:
        """What would do; families that are not asked for are all named."""
        each = [_as_json(change.needed) for change in self.changes]
        return each if self.pointer == FAMILIES else each[0]

    @property
    def operation(self) -> Operation:
        """How the values go to the pointer: put there, added to the list there, or any one of them put there."""
        return self.changes[0].operation

    @property
    def values(self) -> list[Any]:
        """What to put at the pointer."""
        if self.changes[0].values is not None:
            return list(self.changes[0].values)
        return self.needed if isinstance(self.needed, list) else [self.needed]

    @property
    def admits(self) -> list[Candidate]:
        """The fixings that would pass."""
        return [change.admitted for change in self.changes]

    @property
    def families(self) -> list[str]:
        """Their families."""
        return [candidate.fastener.family_id for candidate in self.admits]

    @property
    def sentence(self) -> str:
        """The sentence for engineers, with what would then pass."""
        english = catalogue(Audience.ENGINEER)
        fixings = "; ".join(
            english.say(
                "{title} ({number} of size {size} with h_ef {embedment_mm} mm)",
                title=candidate.fastener.title,
                number=candidate.fastener_count,
                size=candidate.fastener.size,
                embedment_mm=candidate.fastener.embedment_mm,
            )
            for candidate in self.admits
        )
        change = english.sentence(self.statement)
        return english.say("{change} would admit {fixings}", change=change, fixings=fixings)


def relaxations(results: Iterable[FamilyResult], terms: Terms) -> tuple[Relaxation, ...]:
    """List what would admit a rejected family.

    Args:
        results: What the search found, a family each.
        terms: What the search went by.

    Returns:
        The relaxations, what admits most families first.
    """
    found = list(chain.from_iterable(_of_family(result, terms) for result in results if result.best is None))
    grouped = [tuple(group) for _, group in groupby(sorted(found, key=_sort_key), key=_sort_key)]
    return tuple(_together(group) for group in sorted(grouped, key=lambda group: -len(group)))


def _sort_key(change: Change) -> tuple[str, str, float, str]:
    number = change.needed if isinstance(change.needed, int | float) else 0.0
    # Families that are not asked for differ in the family by which they would be, and belong together all the same.
    needed = "" if change.pointer == FAMILIES else _listed(change.needed)
    return (change.pointer, _listed(change.given), number, needed)


def _listed(value: Known) -> str:
    return ", ".join(value) if isinstance(value, tuple) else str(value)


def _together(changes: tuple[Change, ...]) -> Relaxation:
    first = changes[0]
    if first.pointer == FAMILIES:
        return Relaxation(_said(RelaxationCode.FAMILIES, families=tuple(str(c.needed) for c in changes)), changes)
    return Relaxation(first.statement, changes)


def _said(code: RelaxationCode, **figures: Value) -> Statement:
    return Statement(code, figures)


def _as_json(value: Known) -> Any:
    return [str(each) for each in value] if isinstance(value, tuple) else value


def _pattern(layout: Layout) -> dict[str, Any]:
    """The pattern of a request that offers just this grid."""
    pattern: dict[str, Any] = {}
    for axis, places in (("x", sorted({p.x_mm for p in layout})), ("y", sorted({p.y_mm for p in layout}))):
        pattern[axis] = {"counts": [len(places)]}
        if len(places) > 1:
            pattern[axis]["spacings_mm"] = [rounded(places[1] - places[0])]
    return pattern


def _of_family(result: FamilyResult, terms: Terms) -> Iterator[Change]:
    if result.blocking:
        yield from _without_the_limit_on_the_family(result, terms)
        return
    for code in (RelaxationCode.HOLE_DIAMETER, RelaxationCode.HOLE_DEPTH):
        yield from _larger_hole(result, code, terms)
    yield from _grout_made_known(result, terms)
    yield from _topping_off(result, terms)
    yield from _washers_on_the_concrete(result, terms)
    if result.nearest and result.nearest.assessment:
        yield from _for_the_nearest(result.nearest, result.nearest.assessment, terms)


def _without_the_limit_on_the_family(result: FamilyResult, terms: Terms) -> Iterator[Change]:
    cause = result.blocking[0]
    # Naming one mechanism where none is named would leave all others out, and a stud suits no concrete that stands.
    if len(result.blocking) > 1 or cause.code == CauseCode.CAST_IN_NOT_ASKED_FOR:
        return
    free = [candidate for candidate in result.candidates if not obstacles_of(candidate, terms)]
    found = first_that_passes(free, terms, Tally())
    if found is not None:
        yield _without(cause, terms.limits, found.candidate)


def _without(cause: Cause, limits: wanted.Limits, admitted: Candidate) -> Change:
    """The limit on a family so far relaxed that it admits this one."""
    family = admitted.fastener.family
    pointer = f"#/limits/{cause.code}"
    given = getattr(limits, cause.code)
    if cause.code == CauseCode.REMOVABLE:
        said = _said(RelaxationCode.REMOVABLE, removable=removability(family["removable"]))
        return Change(said, pointer, given, family["removable"], admitted, values=(None,))
    if cause.code == CauseCode.SETTING:
        said = _said(RelaxationCode.SETTING, setting=Setting(family["setting"]))
        return Change(said, pointer, given, family["setting"], admitted, values=(None,))
    if cause.code == CauseCode.FAMILIES:
        said = _said(RelaxationCode.FAMILIES, families=(family["id"],))
        return Change(said, pointer, given, family["id"], admitted, "append")
    mechanism = family["mechanism"]
    said = _said(
        RelaxationCode.MECHANISM, mechanism=Mechanism(mechanism), mechanisms=tuple(Mechanism(each) for each in given)
    )
    return Change(said, pointer, given, mechanism, admitted, "append")


def _larger_hole(result: FamilyResult, code: RelaxationCode, terms: Terms) -> Iterator[Change]:
    name, at_most = (figure.name for figure in code.says.figures)
    given: float | None = getattr(terms.limits, name)
    if given is None:
        return
    stopped = [c for c in result.candidates if [cause.code for cause in obstacles_of(c, terms)] == [name]]
    figures = sorted({getattr(candidate.fastener, name) for candidate in stopped})
    for figure in figures:
        within = [candidate for candidate in stopped if getattr(candidate.fastener, name) == figure]
        found = first_that_passes(within, terms, Tally())
        if found:
            said = _said(code, **{name: figure, at_most: given})
            yield Change(said, f"#/limits/{name}", given, figure, found.candidate)
            return


def _for_the_nearest(nearest: Judged, assessment: Assessment, terms: Terms) -> Iterator[Change]:
    codes = frozenset(requirement.code for requirement in assessment.unmet)
    if assessment.scope_limits:
        return
    if assessment.verdict == VERIFIED:
        used = assessment.utilisation or 0.0
        needed = min(1.0, math.ceil(used / UTILISATION_STEP) * UTILISATION_STEP)
        given, used = terms.utilisation_max, rounded(needed)
        said = _said(RelaxationCode.UTILISATION, utilisation=used, utilisation_max=given)
        yield Change(said, "#/limits/utilisation", given, used, nearest.candidate)
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


def _other_thickness(candidate: Candidate, short: Requirement, terms: Terms) -> Iterator[Change]:
    part = "member" if short.code in {"member_thickness", "hole_leaves_member"} else "fixture"
    stated = getattr(terms.sizing, part)
    given = stated.thickness_mm
    if given is None or not isinstance(short.given, int | float) or not isinstance(short.limit, int | float):
        return
    needed = {
        "member_thickness": short.limit,
        "hole_leaves_member": given + (short.limit - short.given),
        "fixture_thickness": given - (short.given - short.limit),
        # The bending stress of a plate falls with the square of its thickness.
        "fixture_stays_elastic": math.ceil(given * math.sqrt(short.given / short.limit)),
        # How far it bends, with the cube.
        "fixture_stiff_enough": math.ceil(given * math.cbrt(short.given / short.limit)) if short.limit else None,
        "fixture_shown_stiff": math.ceil(short.limit),
    }.get(short.code)
    if needed is None or needed <= 0:
        return
    needed = rounded(needed)
    changed = _changed(terms.sizing, part, thickness_mm=needed)
    if passes(terms.judge.assess_under(changed, candidate), terms.utilisation_max):
        code = RelaxationCode.MEMBER_THICKNESS if part == "member" else RelaxationCode.FIXTURE_THICKNESS
        said = _said(code, thickness_mm=needed, thickness_given_mm=given)
        yield Change(said, f"#/{part}/thickness_mm", given, needed, candidate)


def _fact_made_known(candidate: Candidate, short: Requirement, terms: Terms) -> Iterator[Change]:
    """What the request leaves open and is taken the less favourable way; what it states is no limit to relax."""
    fact = open_fact(short.code, terms.sizing)
    if short.code not in KNOWN or fact is None:
        return
    part, name = fact
    code, figure = KNOWN[short.code]
    limit = short.statement.figures.get(short.code.says.limit or "")
    allowed = tuple(map(str, limit)) if isinstance(limit, tuple) else (limit,) if isinstance(limit, str) else ()
    if figure and not allowed:
        return
    # The values stand in order, the hardest last: what passes there passes in the ones before it.
    value = allowed[-1] if figure else False
    stated = (terms.request.get(part) or {}).get(name)
    changed = _changed(terms.sizing, part, **{name: value}, **_at_least(name, terms.sizing))
    if passes(terms.judge.assess_under(changed, candidate), terms.utilisation_max):
        said = _said(code, **({figure: limit} if figure else {}))
        yield Change(said, f"#/{part}/{name}", stated, allowed or value, candidate, "one_of")


def _at_least(name: str, sizing: wanted.Sizing) -> dict[str, float]:
    """What stands beside a least strength that was shown: the concrete may be stronger than that and than grout."""
    said = sizing.member.strength_most_mpa
    return {"strength_most_mpa": math.inf} if name == "strength_class" and said is None else {}


def _sound_grout_mpa(member: wanted.Member) -> float:
    """Strength at which grout of any thickness is sound: that of grout itself and of the concrete under it (MPa)."""
    most = max(GROUT_STRENGTH_MIN_MPA, member.strength_most_mpa or 0.0)
    if member.strength_mpa is not None:
        return max(most, member.strength_mpa)
    return most if member.strength_class is None else max(most, STRENGTH_CLASSES[member.strength_class])


def _grout_made_known(result: FamilyResult, terms: Terms) -> Iterator[Change]:
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
        said = _said(RelaxationCode.GROUT_STRENGTH_KNOWN, strength_mpa=needed)
        yield Change(said, "#/fixture/grout/strength_mpa", None, needed, found.candidate)


def _topping_off(result: FamilyResult, terms: Terms) -> Iterator[Change]:
    """A topping that stays keeps the plate off the concrete: other candidates pass once it is taken off."""
    topping = terms.sizing.member.topping
    if topping is None or topping.comes_off:
        return
    changed = _changed(terms.sizing, "member", topping=replace(topping, comes_off=True))
    bare = replace(terms, sizing=changed, judge=terms.judge.under(changed))
    free = [candidate for candidate in result.candidates if not obstacles_of(candidate, terms)]
    found = first_that_passes(free, bare, Tally())
    if found:
        said = _said(RelaxationCode.TOPPING_OFF, topping=ToppingKind(topping.kind))
        stated = ((terms.request.get("member") or {}).get("topping") or {}).get("comes_off")
        yield Change(said, "#/member/topping/comes_off", stated, True, found.candidate)


def _washers_on_the_concrete(result: FamilyResult, terms: Terms) -> Iterator[Change]:
    """Off the concrete a nut on it shortens the lever arm, and is what an expanding anchor is tightened against."""
    fixture, topping = terms.sizing.fixture, terms.sizing.member.topping
    lies_on_it = fixture.grout.thickness_mm > 0.0 or (topping is not None and not topping.comes_off)
    if fixture.stand_off_mm == 0.0 or fixture.washer_clamped or lies_on_it:
        return
    changed = _changed(terms.sizing, "fixture", washer_clamped=True)
    clamped = replace(terms, sizing=changed, judge=terms.judge.under(changed))
    free = [candidate for candidate in result.candidates if not obstacles_of(candidate, terms)]
    found = first_that_passes(free, clamped, Tally())
    if found:
        stated = (terms.request.get("fixture") or {}).get("washer_clamped")
        said = Statement(RelaxationCode.WASHER_CLAMPED)
        yield Change(said, "#/fixture/washer_clamped", stated, True, found.candidate)


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


def _edge_farther_away(candidate: Candidate, edge: str | None, terms: Terms) -> Iterator[Change]:
    if edge is None:
        return
    name, edges = f"{edge}_mm", terms.sizing.member.edges
    given: float | None = getattr(edges, name)
    if given is None:
        # One that is not given and counts however far it is: no distance helps.
        return
    for step_mm in EDGE_STEPS_MM:
        needed = rounded(given + step_mm)
        changed = _changed(terms.sizing, "member", edges=replace(edges, **{name: needed}))
        if passes(terms.judge.assess_under(changed, candidate), terms.utilisation_max):
            said = _said(RelaxationCode.EDGE_FARTHER, edge=Edge(edge), distance_mm=needed, distance_given_mm=given)
            yield Change(said, f"#/member/edges/{edge}_mm", given, needed, candidate)
            return


def _more_fasteners(candidate: Candidate, terms: Terms) -> Iterator[Change]:
    most = max(len(layout) for layout in terms.layouts)
    larger = (
        Candidate(candidate.fastener, layout)
        for layout in larger_grids(terms.sizing, MOST_ROWS)
        if len(layout) > most and terms.member.clearance_mm(layout) > 0
    )
    free = [c for c in in_order(larger, terms) if not obstacles_of(c, terms)]
    found = first_that_passes(free, terms, Tally())
    if found:
        layout = found.candidate.layout
        said = _said(RelaxationCode.MORE_FASTENERS, fastener_count=len(layout), fastener_count_max=most)
        yield Change(said, "#/pattern", most, len(layout), found.candidate, values=(_pattern(layout),))
