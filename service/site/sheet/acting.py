"""What pulls, pushes and turns the whole fixture, and which way, where no load model says it in the terms of a thing.

Every load is told as it was verified, with the sides of the plan. The most of several load cases together would be
one that nobody verified: of each the way stands with its own figures.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from service.contract.sheet_codes import SheetLineCode
from service.site.load_models.actions import MM_PER_M
from service.site.load_models.following import COMPONENTS, SAME_LOAD, alike
from service.site.sheet.content import Figure, Line, derived
from service.site.sheet.work import SIDES, Work

KG_PER_KN = 100.0
"""What weighs a little less than 1 kN, by 9.81 m/s²."""
ACCIDENTAL = "accidental"
MOST_CASES = 12
"""As many load cases stand on a sheet; what is left unsaid is not allowed without the engineer."""
TOWARDS = {"shear_x_kn": ("x_plus", "x_minus"), "shear_y_kn": ("y_plus", "y_minus")}
"""Where a component pushes to where it is positive, and where it is negative."""
TILTS = {"moment_x_knm": ("y_minus", "y_plus"), "moment_y_knm": ("x_plus", "x_minus")}
"""Where a moment tilts the fixture to: by the right hand, one about +y presses at +x, one about +x at −y."""
OPPOSITE = {"x_plus": "x_minus", "x_minus": "x_plus", "y_plus": "y_minus", "y_minus": "y_plus"}


@dataclass(frozen=True)
class Acting:
    """A load that the sheet says: a characteristic action, or a design load case.

    Attributes:
        work: The work of the fixing.
        place: Where it stands in the record.
        arrow: The name of its arrow on the plan; None where it pushes to no side.
    """

    work: Work
    place: str
    arrow: str | None

    @property
    def load(self) -> Mapping[str, Any]:
        """The load as the record has it."""
        *_, part, index = self.place.split("/")
        load: Mapping[str, Any] = self.work.source.request[part][int(index)]
        return load

    @property
    def towards(self) -> tuple[float, float]:
        """What pushes along x and y on the plan (kN)."""
        return _of(self.load, "shear_x_kn"), _of(self.load, "shear_y_kn")

    @property
    def _factored(self) -> bool:
        return "/load_cases/" in self.place

    def said(self) -> Line | None:
        """What it does, in words with its figures; None for what only presses, which has a line of its own."""
        words = self.work.words
        parts = list(self._parts())
        if not parts:
            return None
        what, name = words.every([text for text, _ in parts]), str(self.load["name"])
        where = words.say("On it as a whole") if self.work.without_plate else words.say("On the whole fixture")
        if self._factored:
            text = words.say(
                "{where}, by design values ({name}), no more than: {what}", where=where, name=name, what=what
            )
        elif self.load["kind"] == ACCIDENTAL:
            text = words.say("{where} in an accident ({name}): {what}", where=where, name=name, what=what)
        else:
            text = words.say("{where}, without factors ({name}): {what}", where=where, name=name, what=what)
        figures = tuple(figure for _, of in parts for figure in of)
        return Line(text, figures, from_=self.place, code=SheetLineCode.ACTS)

    def _parts(self) -> Iterator[tuple[str, tuple[Figure, ...]]]:
        yield from self._along()
        yield from self._push()
        yield from self._tilt()
        if twist := self._given("torsion_knm"):
            say, left = self.work.words.say, twist[0].number > 0.0
            moment = self._most("twist_anticlockwise_knm" if left else "twist_clockwise_knm", *twist)
            if left:
                text = say("a moment of {moment} that twists it anticlockwise on the plan", moment=moment)
            else:
                text = say("a moment of {moment} that twists it clockwise on the plan", moment=moment)
            yield text, (moment,)

    def _along(self) -> Iterator[tuple[str, tuple[Figure, ...]]]:
        """What pulls out of the concrete; what presses where nothing else says it."""
        say, along = self.work.words.say, self._given("normal_kn")
        if not along:
            return
        if along[0].number > 0.0:
            pull = self._most("pull_kn", *along)
            weight = self._weight("hanging_kg", pull)
            if self._factored:
                text = say("{force} of pull (without factors the weight of {mass})", force=pull, mass=weight)
            else:
                text = say("{force} of pull (the weight of {mass})", force=pull, mass=weight)
            yield text, (pull, weight)
        elif self.work.stand_off is not None and self._factored:
            # What bears on nothing bends or buckles under more.
            press = self._most("press_kn", *along)
            yield say("{force} that presses on it", force=press), (press,)

    def _push(self) -> Iterator[tuple[str, tuple[Figure, ...]]]:
        pushing = self._given(*TOWARDS)
        if not pushing or self.arrow is None:
            return
        ways = [(_sense(TOWARDS, figure), figure) for figure in pushing]
        forces = [self._most(f"push_{way}_kn", figure) for way, figure in ways]
        parts: dict[str, Any] = {"force": forces[0], "side": SIDES[ways[0][0]], "arrow": self.arrow}
        weight = self._weight("pushing_kg", forces[0] if len(ways) == 1 else self._most("push_kn", *pushing))
        parts["mass"] = weight
        if len(ways) > 1:
            parts |= {"other": forces[1], "beside": SIDES[ways[1][0]]}
        yield _pushed(self.work, parts, factored=self._factored), (*forces, weight)

    def _tilt(self) -> Iterator[tuple[str, tuple[Figure, ...]]]:
        say, tilting = self.work.words.say, self._given(*TILTS)
        height = self._height()
        if height is not None:
            moment = self._most("moment_knm", *tilting)
            text = say(
                "a moment of {moment}, as of that push {height} off the {base}",
                moment=moment,
                height=height,
                base=self.work.base,
            )
            yield text, (moment, height)
            return
        for figure in tilting:
            way = _sense(TILTS, figure)
            moment = self._most(f"tilt_{way}_knm", figure)
            text = say(
                "a moment of {moment} that tilts it towards side {side} and lifts it at side {lifted}",
                moment=moment,
                side=SIDES[way],
                lifted=SIDES[OPPOSITE[way]],
            )
            yield text, (moment,)

    def _given(self, *names: str) -> tuple[Figure, ...]:
        """Those components that are not 0."""
        given = self.work.source.given
        return tuple(
            given(name, "kN" if name.endswith("_kn") else "kNm", f"{self.place}/{name}")
            for name in names
            if _of(self.load, name)
        )

    def _most(self, name: str, *of: Figure) -> Figure:
        """How much it is together, down to N and Nm: it is a limit."""
        value = math.floor(round(1000 * math.hypot(*(one.number for one in of)), 6)) / 1000
        template = f"floor(1000 * hypot({', '.join(['{}'] * len(of))})) / 1000"
        return derived(name, of[0].unit, value, template, *of)

    def _weight(self, name: str, force: Figure) -> Figure:
        """The mass that weighs as much without the greatest factor of actions, rounded down: crews weigh."""
        if not self._factored:
            value = math.floor(round(KG_PER_KN * force.number, 6))
            return derived(name, "kg", value, "floor(100 * {})", force)
        factor = self.work.source.rule("partial_factor_variable", "1", "rulebook#/partial_factors/actions/variable")
        value = math.floor(round(KG_PER_KN * force.number / factor.number, 6))
        return derived(name, "kg", value, "floor(100 * {} / {})", force, factor)

    def _height(self) -> Figure | None:
        """How far off the concrete the push acts, where that alone gives the moment: M = r × F."""
        pushing, tilting = self._given(*TOWARDS), self._given(*TILTS)
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


def _sense(ways: Mapping[str, tuple[str, str]], figure: Figure) -> str:
    positive, negative = ways[figure.name]
    return positive if figure.number > 0.0 else negative


def _pushed(work: Work, parts: Mapping[str, Any], *, factored: bool) -> str:
    say = work.words.say
    if "other" in parts and factored:
        return say(
            "{force} towards side {side} and at once {other} towards side {beside} (arrow {arrow}; together without "
            "factors the weight of {mass})",
            **parts,
        )
    if "other" in parts:
        return say(
            "{force} towards side {side} and at once {other} towards side {beside} (arrow {arrow}; together the "
            "weight of {mass})",
            **parts,
        )
    if factored:
        return say("{force} towards side {side} (arrow {arrow}; without factors the weight of {mass})", **parts)
    return say("{force} towards side {side} (arrow {arrow}; the weight of {mass})", **parts)


def loads_to_say(work: Work, told: Sequence[Mapping[str, Any]]) -> tuple[Acting, ...]:
    """Find the loads that are said in figures, and number the arrows of those that push.

    Args:
        work: The work of the fixing.
        told: The loads of things that the sheet names; they are not said again.

    Returns:
        All characteristic actions, and the design load cases that no other one covers, of many the largest.
    """
    request = work.source.request
    found: list[tuple[str, Mapping[str, Any]]] = []
    for part in ("actions", "load_cases"):
        each = [(f"#/request/{part}/{index}", load) for index, load in enumerate(request.get(part) or ())
                if not any(alike(one, load) for one in told)]  # fmt: skip
        found += each if part == "actions" else _hardest(work, each)[:MOST_CASES]
    pushing = [place for place, load in found if any(_of(load, name) for name in TOWARDS)]
    arrows = {place: work.words.say("L{number}", number=number) for number, place in enumerate(pushing, start=1)}
    return tuple(Acting(work, place, arrows.get(place)) for place, _ in found)


def acting(work: Work, told: Sequence[Mapping[str, Any]]) -> Iterator[Line]:
    """Say what acts on the whole fixture, each as it was verified, and that it acts no other way.

    Args:
        work: The work of the fixing.
        told: The loads of things that the sheet names; they are not said again.

    Yields:
        The lines; none for what only presses, which has a line of its own.
    """
    loads = loads_to_say(work, told)
    lines = [line for line in (one.said() for one in loads) if line is not None]
    if not lines:
        return
    tell = work.words.tell
    cases = [one for one in loads if "/load_cases/" in one.place and one.said() is not None]
    if len(cases) > 1:
        yield tell(
            "Of the loads by design values only one at a time, as each was verified: never two together, nor a part of "
            "one with a part of another",
            code=SheetLineCode.ONE_AT_A_TIME,
        )
    yield from lines
    yield from _not_said(work, len(cases))
    yield from _never_together(work, loads)
    yield _no_other_way(work, any(one.arrow for one in loads))


def _not_said(work: Work, said: int) -> Iterator[Line]:
    """That there are more load cases than stand on the sheet."""
    every = len(work.source.request.get("load_cases") or ())
    if said < MOST_CASES or every == said:
        return
    yield work.words.tell(
        "The {shown} largest of {every} load cases that were verified stand here; for any other ask the engineer",
        shown=Figure("load_cases_shown", said, "count", expression=str(said)),
        every=Figure("load_cases", every, "count", from_="#/request/load_cases"),
        code=SheetLineCode.ACTS,
    )


def _never_together(work: Work, loads: Sequence[Acting]) -> Iterator[Line]:
    for one in loads:
        excluded = one.load.get("excludes") or ()
        if excluded:
            yield work.words.tell(
                "{name}: never together with {others}",
                name=str(one.load["name"]),
                others=work.words.either([str(name) for name in excluded]),
                from_=f"{one.place}/excludes",
                code=SheetLineCode.ONE_AT_A_TIME,
            )


def _no_other_way(work: Work, arrows: bool) -> Line:
    """The way is a condition: towards an edge on the other side far less may hold."""
    request, tell, code = work.source.request, work.words.tell, SheetLineCode.LOAD_WAYS
    loads = [*(request.get("actions") or ()), *(request.get("load_cases") or ())]
    pushed = {
        TOWARDS[name][0 if _of(load, name) > 0.0 else 1] for load in loads for name in TOWARDS if _of(load, name)
    }
    never = [letter for name, letter in SIDES.items() if name not in pushed]
    if not pushed:
        return tell(
            "Only the way it says: no push or slanting pull towards any side; turned round it was not verified, so "
            "stop and ask",
            code=code,
        )
    if not arrows:
        return tell("Only the way it says: turned round it was not verified, so stop and ask", code=code)
    if not never:
        return tell(
            "Each only the way it says, as its arrow on the plan shows: turned round or led another way it was not "
            "verified, so stop and ask",
            code=code,
        )
    return tell(
        "Each only the way it says, as its arrow on the plan shows, and none towards side {sides}: turned round or led "
        "another way it was not verified, so stop and ask",
        sides=work.words.either(never),
        code=code,
    )


def _hardest(work: Work, cases: Sequence[tuple[str, Mapping[str, Any]]]) -> list[tuple[str, Mapping[str, Any]]]:
    """Those that no other one covers, the largest first: whoever keeps to what is said keeps to what was verified."""
    kept: list[tuple[str, Mapping[str, Any]]] = []
    for place, case in cases:
        if any(_covers(work, other, case) for _, other in kept):
            continue
        kept = [(at, other) for at, other in kept if not _covers(work, case, other)] + [(place, case)]
    if len(kept) <= MOST_CASES:
        return kept
    return sorted(kept, key=lambda one: -max(abs(_of(one[1], name)) for name in COMPONENTS))


def _covers(work: Work, one: Mapping[str, Any], other: Mapping[str, Any]) -> bool:
    """Whether a case does all that another one does, the same way, and no less; less that presses is no less."""
    may_bend = work.stand_off is not None
    for name in COMPONENTS:
        hard, less = _of(one, name), _of(other, name)
        if name == "normal_kn" and less <= 0.0:
            if hard < less or (may_bend and less < min(hard, 0.0)):
                return False
        elif less and (hard * less < 0.0 or abs(hard) < abs(less)):
            return False
    return True


def _of(load: Mapping[str, Any], name: str) -> float:
    return float(load.get(name) or 0.0)
