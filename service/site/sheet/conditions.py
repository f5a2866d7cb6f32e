"""What the verification relied on and the site must make true, in words that say what to do."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType
from typing import Any

from service.site.sheet import tightening
from service.site.sheet.content import Line, line
from service.site.sheet.source import Source
from service.site.sheet.work import Work
from service.verification.assumptions import WETNESS

NOT_KNOWN = "unknown"
NOBODY_KNEW = ": nobody knew it, find out before drilling"
IN_WORDS: Mapping[tuple[str, str], str] = MappingProxyType({
    ("strength_evidence", "documented"): "Test results of the concrete placed, or cores beside the fixing, are at hand",
    ("strength_evidence", "rebound_hammer"): "The concrete has been tried with a rebound hammer",
    ("strength_evidence", "drawings_only"): "The strength of the concrete stands in the drawings",
    ("hole_cleaning", "verified"): "A second person looks into each hole after cleaning and signs for it",
    ("hole_cleaning", "stated"): "Whoever cleans the holes signs for it",
    ("installer", "trained"): "Set by someone trained for this kind of fastener and on the site's list",
    ("installer", "supervised"): "Set under the eyes of someone trained for this kind of fastener",
    ("drilling", "hammer"): "Holes drilled with a hammer drill",
    ("drilling", "hollow_bit"): "Holes drilled with a hollow bit and vacuum cleaner",
    ("drilling", "diamond_core"): "Holes drilled with a diamond core drill",
})
"""A title and a value side by side, as in a form, are misread on site; what is not listed here is shown so."""

TO_BE_FOUND_ON_SITE = (
    "edges_out_of_reach", "edge_reinforcement_to_be_shown", "holes_filled_to_be_shown", "rotation_held_to_be_shown",
)  # fmt: skip
"""Assumptions that the crew can see to be so or not; the others make the verification no less careful."""


def on_site(work: Work) -> Iterator[Line]:
    """List what must be so on site.

    Args:
        work: The work of the fixing.

    Yields:
        The lines.
    """
    source = work.source
    if work.stand_off is None and work.grout is None:
        yield Line("Fixture stiff, and lying on the concrete over its whole face", code="full_contact")
    yield from _fixture(work)
    yield from _grout(work)
    yield from _concrete(work)
    yield from _assumed(work)
    yield from _site(work)
    if not work.cast_in:
        yield _hole(work)
    yield _exposure(source)
    if source.mechanism == "bonded":
        yield from _temperature(work)
    if source.taken("redundant", False):
        yield Line("Redundant: other fixings carry the load where one fails", from_="#/request/use/redundant")


def _fixture(work: Work) -> Iterator[Line]:
    if work.source.request["fixture"].get("yield_mpa") is not None:
        given = work.source.given("fixture_yield_mpa", "MPa", "#/request/fixture/yield_mpa")
        yield line("Steel of the fixture with a yield strength of at least {}", given, code="fixture_steel")
    if work.stand_off is not None:
        yield line("Fixture no more than {} clear of what is under it", work.stand_off, code="stand_off")
        if work.washer_clamped and not work.cast_in:
            yield Line("A washer and nut on each fastener, tight against the concrete", code="washer_clamped")


def _grout(work: Work) -> Iterator[Line]:
    if work.grout is None:
        return
    words, figures = "Grout, hardened, under the whole fixture: {} thick", [work.grout]
    if work.grout_strength is None:
        words += "; its strength was not given, so the fixture is reckoned not to bear on it"
    else:
        words += " and of at least {}"
        figures.append(work.grout_strength)
    yield line(words, *figures, code="grout")


def _assumed(work: Work) -> Iterator[Line]:
    for index, entry in enumerate(work.source.answer["assumptions"]):
        if entry["code"] not in TO_BE_FOUND_ON_SITE:
            continue
        words = str(entry["text"])
        for side in work.sides:
            words = words.replace(side.name, f"side {side.letter}")
        if entry["code"] == "edges_out_of_reach":
            words += "; an edge, opening or joint nearer than that stops the work"
        yield Line(words, from_=f"#/answer/assumptions/{index}/text", code=entry["code"])


def _site(work: Work) -> Iterator[Line]:
    source = work.source
    for index, part in enumerate(source.answer["site_reduction"]["parts"]):
        condition, value = str(part["condition"]), str(part["value"])
        if part["rule"] is None or value == NOT_KNOWN:
            continue
        place = f"#/answer/site_reduction/parts/{index}/value"
        if condition == "torque_control":
            tightened = tightening.condition(work)
            if tightened is not None:
                yield replace(tightened, from_=place, code=condition)
            continue
        words = IN_WORDS.get((condition, value))
        if words is None:
            title = source.read(f"factors/site-conditions#/conditions/{condition}/title")
            words = f"{title}: {value.replace('_', ' ')}"
        yield Line(words, from_=place, code=condition)


def _temperature(work: Work) -> Iterator[Line]:
    source, value = work.source, work.temperature_range
    if value is None:
        return
    path = f"factors/temperature-ranges#/ranges/{value}"
    long = source.rule("long_term_max_c", "°C", f"{path}/long_term_max_c")
    short = source.rule("short_term_max_c", "°C", f"{path}/short_term_max_c")
    assumed = source.taken("temperature_range", NOT_KNOWN) == NOT_KNOWN
    yield line(
        "Concrete in service never warmer than {} for long and {} for a short time "
        f"(temperature range {value} of the assessment)" + (NOBODY_KNEW if assumed else ""),
        long,
        short,
        code="temperature_range",
    )


def _concrete(work: Work) -> Iterator[Line]:
    source, member = work.source, work.source.request["member"]
    if member.get("strength_mpa") is not None:
        yield line(
            "Strength of the concrete (cylinder) at least {}",
            source.given("strength_mpa", "MPa", "#/request/member/strength_mpa"),
        )
    elif member.get("strength_class") not in {None, NOT_KNOWN}:
        given = source.given("strength_class", "", "#/request/member/strength_class")
        yield line("Strength class of the concrete at least {}", given, code="strength")
    else:
        taken = source.rule("strength_class", "", "rulebook#/unknown/strength_class")
        yield line("Concrete at least {}" + NOBODY_KNEW, taken, code="strength")
    if not (work.cast_in and work.state == "cracked"):
        # Whoever casts a plate in has no cracks to look at, and those to come are reckoned with.
        yield _state(work)
    yield line("Member at least {} thick", work.member_thickness, code="member_thickness")
    yield from _reinforcement(work)


def _state(work: Work) -> Line:
    given = work.source.request["member"].get("state")
    assumed = given in {None, NOT_KNOWN}
    if work.state == "uncracked":
        words = "Uncracked concrete, shown for the service life: a crack seen near a hole stops the work"
        words += NOBODY_KNEW if assumed else ""
    else:
        words = "Verified for cracked concrete: fine cracks do not stop the work; at open or wet ones stop and ask"
    if assumed:
        return line(words, code="state")
    return Line(words, from_="#/request/member/state", code="state")


def _reinforcement(work: Work) -> Iterator[Line]:
    given: Any = work.source.request["member"].get("reinforcement")
    if not isinstance(given, dict):
        return
    path = "#/request/member/reinforcement"
    if given.get("spacing_mm") is not None:
        spacing = work.source.given("reinforcement_spacing_mm", "mm", f"{path}/spacing_mm")
        yield line("Bars at the surface no closer than {}", spacing, code="reinforcement")
    if given.get("edge") not in {None, "none"}:
        yield Line("A bar along the edge, as the drawings of the reinforcement show", from_=f"{path}/edge", code="edge")
    if given.get("edge") == "edge_bar_with_stirrups" and given.get("stirrup_spacing_mm") is not None:
        stirrups = work.source.given("stirrup_spacing_mm", "mm", f"{path}/stirrup_spacing_mm")
        yield line("Stirrups around it no farther apart than {}", stirrups, code="stirrups")
    if given.get("cracks_held_to_0_3_mm"):
        words = "Reinforcement that holds cracks to 0.3 mm, as the engineer of the member confirms"
        yield Line(words, from_=f"{path}/cracks_held_to_0_3_mm", code="cracks_held")


def _hole(work: Work) -> Line:
    """The conditions that the result covers: never so that the worst of them reads as an order."""
    taken, given = work.hole_condition, work.source.taken("hole", NOT_KNOWN)
    covered = work.source.selection.family["assessment"]["covers"]["hole_conditions"]
    may = [name for name in WETNESS[: WETNESS.index(taken) + 1] if name in covered or name == taken]
    never = [name for name in WETNESS if name not in may]
    words = f"Hole {_or(may)} when the fastener is set"
    if never:
        words += f", not {_or(never)}" + ("" if taken == "dry" else ": stop where water stands in it")
    index = work.source.requirement("hole_covered")
    origin = f"#/answer/requirements/{index}/given" if given == NOT_KNOWN else "#/request/use/hole"
    return Line(words, from_=origin, code="hole")


def _or(names: Sequence[str]) -> str:
    return " or ".join([*([", ".join(names[:-1])] if len(names) > 1 else []), names[-1]])


def _title(source: Source, exposure: str) -> str:
    return str(source.rulebook.factors["exposures"]["exposures"][exposure]["title"])


def _exposure(source: Source) -> Line:
    given = str(source.taken("exposure", NOT_KNOWN))
    if given != NOT_KNOWN:
        words = f"Exposure no harsher than: {_title(source, given)}"
        return Line(words, from_="#/request/use/exposure", code="exposure")
    path = "rulebook#/unknown/exposure"
    words = f"Exposure not known, so taken as: {_title(source, str(source.read(path)))}"
    return Line(words, rule=path, code="exposure")
