"""What the verification relied on and the site must make true, in words that say what to do."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Any

from service.site.sheet import tightening
from service.site.sheet.content import Line, line
from service.site.sheet.source import Source
from service.site.sheet.work import Work

NOT_KNOWN = "unknown"
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
    yield from _grout(work)
    yield from _concrete(work)
    yield from _assumed(work)
    yield from _site(work)
    if not work.cast_in:
        yield from _stated(source, "hole", "Hole when the fastener is set: {}")
    yield from _stated(source, "exposure", "Exposure no harsher than: {}")
    if source.mechanism == "bonded":
        yield from _temperature(source)
    if source.taken("redundant", False):
        yield Line("Redundant: other fixings carry the load where one fails", from_="#/request/use/redundant")


def _grout(work: Work) -> Iterator[Line]:
    if work.grout is None:
        return
    words, figures = "Grout, hardened, under the whole fixture: {} thick", [work.grout]
    if work.source.request["fixture"]["grout"].get("strength_mpa") is not None:
        words += " and of at least {}"
        figures.append(work.source.given("grout_strength_mpa", "MPa", "#/request/fixture/grout/strength_mpa"))
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


def _temperature(source: Source) -> Iterator[Line]:
    value = str(source.taken("temperature_range", NOT_KNOWN))
    if value == NOT_KNOWN:
        return
    path = f"factors/temperature-ranges#/ranges/{value}"
    long = source.rule("long_term_max_c", "°C", f"{path}/long_term_max_c")
    short = source.rule("short_term_max_c", "°C", f"{path}/short_term_max_c")
    yield line(
        "Concrete in service never warmer than {} for long and {} for a short time "
        f"(temperature range {value} of the assessment)",
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
    if member.get("state") == "uncracked":
        yield Line(
            "Uncracked concrete, shown for the service life: a crack seen near a hole stops the work",
            from_="#/request/member/state",
            code="state",
        )
    yield line("Member at least {} thick", work.member_thickness, code="member_thickness")
    reinforcement: Any = member.get("reinforcement")
    if isinstance(reinforcement, dict) and reinforcement.get("spacing_mm") is not None:
        given = source.given("reinforcement_spacing_mm", "mm", "#/request/member/reinforcement/spacing_mm")
        yield line("Bars at the surface no closer than {}", given, code="reinforcement")


def _stated(source: Source, name: str, template: str) -> Iterator[Line]:
    value = source.taken(name, NOT_KNOWN)
    if value != NOT_KNOWN:
        yield Line(template.format(str(value).replace("_", " ")), from_=f"#/request/use/{name}", code=name)
