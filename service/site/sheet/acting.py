"""What pulls, pushes and turns the whole fixture, where no load model says it in the terms of a thing."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, fields
from typing import Any

from service.contract.sheet_codes import SheetLineCode
from service.site.load_models.actions import MM_PER_M, Wrench
from service.site.sheet.content import Figure, Line, derived
from service.site.sheet.work import Work

COMPONENTS = tuple(field.name for field in fields(Wrench))
SAME_LOAD = 5e-6
"""What rounding may leave of kN or kNm where loads moved with their fixture, more than once."""
KG_PER_KN = 100.0
"""What weighs a little less than 1 kN, by 9.81 m/s²."""
DESIGN, ACCIDENTAL = "design", "accidental"


def alike(one: Mapping[str, Any], other: Mapping[str, Any]) -> bool:
    """Say whether kind and components of two loads are the same.

    Args:
        one: A load; what it leaves out is 0, and one without a kind is a design load case.
        other: Another one.

    Returns:
        Whether they are the same.
    """
    pairs = ((_of(one, name), _of(other, name)) for name in COMPONENTS)
    same = all(math.isclose(first, second, rel_tol=0.0, abs_tol=SAME_LOAD) for first, second in pairs)
    return same and (one.get("kind") or DESIGN) == (other.get("kind") or DESIGN)


def acting(work: Work, told: Sequence[Mapping[str, Any]]) -> Iterator[Line]:
    """Say what acts on the whole fixture: each characteristic action, or the most of all design load cases.

    Args:
        work: The work of the fixing.
        told: The loads of things that the sheet names; they are not said again.

    Yields:
        The lines; none for what only presses, which has a line of its own.
    """
    request = work.source.request
    for index, action in enumerate(request.get("actions") or ()):
        if any(alike(one, action) for one in told):
            continue
        acts = _Acting(work, (f"#/request/actions/{index}",), factored=False)
        if parts := acts.parts():
            yield acts.said(parts, str(action["name"]), accidental=action["kind"] == ACCIDENTAL)
    cases = [
        f"#/request/load_cases/{index}"
        for index, case in enumerate(request.get("load_cases") or ())
        if not any(alike(one, case) for one in told)
    ]
    acts = _Acting(work, tuple(cases), factored=True)
    if cases and (parts := acts.parts()):
        yield acts.said(parts)


def _of(load: Mapping[str, Any], name: str) -> float:
    return float(load.get(name) or 0.0)


@dataclass(frozen=True)
class _Acting:
    """One action, or the most of several load cases."""

    work: Work
    places: tuple[str, ...]
    factored: bool

    def said(self, parts: Sequence[tuple[str, tuple[Figure, ...]]], name: str | None = None, *,
             accidental: bool = False) -> Line:  # fmt: skip
        words = self.work.words
        what = words.every([text for text, _ in parts])
        if name is None:
            line = words.tell(
                "On the whole fixture, by design values, no more than: {what}", what=what, code=SheetLineCode.ACTS
            )
        elif accidental:
            line = words.tell(
                "On the whole fixture in an accident ({name}): {what}", name=name, what=what, code=SheetLineCode.ACTS
            )
        else:
            line = words.tell(
                "On the whole fixture, without factors ({name}): {what}", name=name, what=what, code=SheetLineCode.ACTS
            )
        figures = tuple(figure for _, of in parts for figure in of)
        return Line(line.text, figures, code=line.code, from_=self.places[0] if len(self.places) == 1 else None)

    def parts(self) -> list[tuple[str, tuple[Figure, ...]]]:
        """What it does, in words, each with its figures."""
        say = self.work.words.say
        found: list[tuple[str, tuple[Figure, ...]]] = []
        if pull := self._most("pull_kn", "normal_kn"):
            weight = self._weight("hanging_kg", pull)
            said = (
                say("{force} of pull (without factors the weight of {mass})", force=pull, mass=weight)
                if self.factored
                else say("{force} of pull (the weight of {mass})", force=pull, mass=weight)
            )
            found.append((said, (pull, weight)))
        if push := self._most("push_kn", "shear_x_kn", "shear_y_kn"):
            weight = self._weight("pushing_kg", push)
            said = (
                say("{force} sideways (without factors the weight of {mass})", force=push, mass=weight)
                if self.factored
                else say("{force} sideways (the weight of {mass})", force=push, mass=weight)
            )
            found.append((said, (push, weight)))
        if moment := self._most("moment_knm", "moment_x_knm", "moment_y_knm"):
            height = self._height()
            if height is None:
                found.append((say("a moment of {moment} that tilts it", moment=moment), (moment,)))
            else:
                said = say("a moment of {moment}, as of that push {height} off the concrete", moment=moment,
                           height=height)  # fmt: skip
                found.append((said, (moment, height)))
        if twist := self._most("twist_knm", "torsion_knm"):
            found.append((say("a moment of {moment} that twists it on the concrete", moment=twist), (twist,)))
        return found

    def _given(self, place: str, *names: str) -> tuple[Figure, ...]:
        """Those components that are said and are not 0."""
        *_, part, index = place.split("/")
        load = self.work.source.request[part][int(index)]
        given = self.work.source.given
        return tuple(
            given(name, "kN" if name.endswith("_kn") else "kNm", f"{place}/{name}") for name in names if _of(load, name)
        )

    def _most(self, name: str, *components: str) -> Figure | None:
        """The most of something in any of the loads, down to N and Nm: it is a limit. What presses is no pull."""
        found = []
        for place in self.places:
            of = self._given(place, *components)
            if of and (name != "pull_kn" or of[0].number > 0.0):
                value = math.floor(round(1000 * math.hypot(*(one.number for one in of)), 6)) / 1000
                template = f"floor(1000 * hypot({', '.join(['{}'] * len(of))})) / 1000"
                found.append(derived(name, of[0].unit, value, template, *of))
        return max(found, key=lambda figure: figure.number, default=None)

    def _weight(self, name: str, force: Figure) -> Figure:
        """The mass that weighs as much without the greatest factor of actions, rounded down: crews weigh."""
        if not self.factored:
            value = math.floor(round(KG_PER_KN * force.number, 6))
            return derived(name, "kg", value, "floor(100 * {})", force)
        factor = self.work.source.rule("partial_factor_variable", "1", "rulebook#/partial_factors/actions/variable")
        value = math.floor(round(KG_PER_KN * force.number / factor.number, 6))
        return derived(name, "kg", value, "floor(100 * {} / {})", force, factor)

    def _height(self) -> Figure | None:
        """How far off the concrete the push acts, where that alone gives the moment: M = r × F."""
        if len(self.places) != 1:
            return None
        pushing = self._given(self.places[0], "shear_x_kn", "shear_y_kn")
        tilting = self._given(self.places[0], "moment_x_knm", "moment_y_knm")
        at = {figure.name: figure.number for figure in (*pushing, *tilting)}
        x, y = at.get("shear_x_kn", 0.0), at.get("shear_y_kn", 0.0)
        about_x, about_y = at.get("moment_x_knm", 0.0), at.get("moment_y_knm", 0.0)
        if not pushing:
            return None
        lever = (about_y * x - about_x * y) / (x**2 + y**2)
        if lever <= 0.0 or math.hypot(about_y - lever * x, about_x + lever * y) > SAME_LOAD:
            return None
        of, by = (", ".join(["{}"] * len(group)) for group in (tilting, pushing))
        expression = f"round(1000 * hypot({of}) / hypot({by}))"
        return derived("push_height_mm", "mm", round(MM_PER_M * lever), expression, *tilting, *pushing)
