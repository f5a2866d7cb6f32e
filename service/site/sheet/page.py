"""The sheet as a page to print: one file, nothing fetched, no script, everything escaped by construction."""

from __future__ import annotations

import base64
import hashlib
import math
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import cache
from pathlib import Path
from types import MappingProxyType
from xml.etree.ElementTree import Element, SubElement, tostring

from service.site.sheet import drawing
from service.site.sheet.content import Blank, Figure, FixingSheet, Line, Resin, Sheet, plain
from service.site.sheet.make import Made
from service.site.sheet.paper import clean
from service.site.sheet.steps import DEMONSTRATION_STEP
from service.site.sheet.tightening import filled_later
from service.site.sheet.work import Work

STYLE = Path(__file__).with_name("page.css")
COLUMNS = 5
FEW_COLUMNS = 3
UNIT_APART = re.compile(r"(?<=\d) (?=(?:mm|ml|min|h|°C|N·m|MPa)\b)|(?<=\b[xy]) (?=-?\d)")
"""A figure and its unit stay on one line."""
ABORTED_ROWS = 3
COUNTED = (
    "x to the right and y upwards on the plan, in mm; measure from a fastener: its x and y stand beside its number."
)
MODES_IN_WORDS: Mapping[str, str] = MappingProxyType({
    "steel_tension": "steel under pull",
    "concrete_cone": "concrete cone under pull",
    "pull_out": "pull-out",
    "bond": "bond and concrete cone under pull",
    "splitting": "splitting of the concrete",
    "blow_out": "blow-out of the concrete at the edge",
    "steel_shear": "steel under shear",
    "steel_shear_lever_arm": "steel under shear with a lever arm",
    "pry_out": "pry-out of the concrete under shear",
    "concrete_edge": "concrete edge under shear",
    "interaction_steel": "steel under pull and shear together",
    "interaction_concrete": "concrete under pull and shear together",
    "simplified_resultant": "pull and shear together, by the simplified method",
})
LETS_IN_NOTHING = "This sheet does not replace the assessment, local codes or a licensed or chartered engineer."


_WAITS: Mapping[str, Callable[[Work], bool]] = MappingProxyType({
    "curing of the resin": lambda work: work.source.mechanism == "bonded",
    "hardening of the grout": filled_later,
})
"""What takes time without work."""


@cache
def style() -> str:
    """Read the style of the page.

    Returns:
        The style sheet.
    """
    return STYLE.read_text("utf-8")


@cache
def content_policy() -> str:
    """Write what a browser may do with the page: show it in its own style, and nothing else.

    Returns:
        The Content-Security-Policy.
    """
    digest = base64.b64encode(hashlib.sha256(style().encode()).digest()).decode()
    return (
        f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    )


def page(made: Made) -> str:
    """Write the page of a sheet.

    Args:
        made: The sheet.

    Returns:
        The HTML document.
    """
    sheet = made.sheet
    html = Element("html", {"lang": "en"})
    head = SubElement(html, "head")
    SubElement(head, "meta", {"charset": "utf-8"})
    SubElement(head, "meta", {"name": "viewport", "content": "width=device-width, initial-scale=1"})
    _add(head, "title", sheet.title)
    SubElement(head, "style").text = style()
    main = SubElement(SubElement(html, "body"), "main")
    first = _running(main, "section", "opening", sheet.title, sheet)
    _opening(first, sheet, made.works)
    _materials(first, sheet)
    for fixing, work in zip(sheet.fixings, made.works, strict=True):
        said = _named(fixing) + ("" if fixing.count.number == 1 else f", copy ____ of {fixing.count.text}")
        _fixing(_running(main, "section", "fixing", said, sheet), sheet, fixing, work)
    return "<!DOCTYPE html>\n" + tostring(html, encoding="unicode", method="html") + "\n"


def _add(parent: Element, tag: str, text: str | None = None, kind: str | None = None) -> Element:
    element = SubElement(parent, tag, {"class": kind} if kind else {})
    element.text = None if text is None else UNIT_APART.sub("\u00a0", clean(text))
    return element


def _running(main: Element, tag: str, kind: str, words: str, sheet: Sheet) -> Element:
    """Begin a part whose pages each say, on paper, what they are about; sheets of paper are parted and mixed up."""
    part = SubElement(main, tag, {"class": f"{kind} pages"})
    said = words if not sheet.job else f"{sheet.job} – {words}"
    head = _add(part, "div", kind="head")
    head.set("aria-hidden", "true")
    _add(head, "p", said)
    return _add(part, "div", kind="body")


def _named(fixing: FixingSheet) -> str:
    return f"Fixing {fixing.number}" + (f": {fixing.reference}" if fixing.reference else "")


def _notice(parent: Element, sheet: Sheet) -> None:
    if sheet.notice:
        _add(parent, "p", sheet.notice, "notice")


def _opening(main: Element, sheet: Sheet, works: Iterable[Work]) -> None:
    _add(main, "h1", sheet.title)
    if sheet.job:
        _add(main, "p", f"Job: {sheet.job}")
    _notice(main, sheet)
    for text in dict.fromkeys(e.text for f in sheet.fixings for e in f.before_work if e.code == "superseded"):
        _add(main, "p", text, "first")
    book = sheet.rulebook
    _add(main, "p", f"Rulebook {book['version']} ({book['status']}), digest {book['digest']}", "small")
    _add(main, "p", LETS_IN_NOTHING)
    later = [name for name, waits in _WAITS.items() if any(waits(work) for work in works)]
    words = f"Time for the work at all fixings, for planning: {sheet.working_time.text}"
    _add(main, "p", words + (f"; {' and '.join(later)} on top of it." if later else "."))


def _materials(main: Element, sheet: Sheet) -> None:
    block = _add(main, "section", kind="block")
    _add(block, "h3", "Bill of materials")
    rows = [
        (
            plain(material.quantity.number),
            material.title,
            material.article_code or "",
            ", ".join(str(number) for number in material.for_fixings),
        )
        for material in sheet.materials
    ]
    _table(block, ("Quantity", "What", "Article", "For fixing"), rows, figures={0}, whole={2})
    for table in block.iter("table"):
        table.set("class", "bill")


def _table(
    parent: Element,
    heads: Sequence[str],
    rows: Iterable[Sequence[str]],
    figures: Iterable[int] = (),
    marked: Iterable[int] = (),
    whole: Iterable[int] = (),
) -> None:
    kinds = dict.fromkeys(whole, "word") | dict.fromkeys(figures, "figure")
    bold = set(marked)
    table = SubElement(SubElement(parent, "div", {"class": "scroll"}), "table")
    line = SubElement(SubElement(table, "thead"), "tr")
    for column, head in enumerate(heads):
        cell = _add(line, "th", head, kinds.get(column))
        cell.set("scope", "col")
    body = SubElement(table, "tbody")
    for number, row in enumerate(rows):
        line = SubElement(body, "tr", {"class": "holds"} if number in bold else {})
        for column, text in enumerate(row):
            _add(line, "td", text, kinds.get(column)).set("data-head", heads[column])


def _fixing(part: Element, sheet: Sheet, fixing: FixingSheet, work: Work) -> None:
    _add(part, "h2", _named(fixing))
    _notice(part, sheet)
    for entry in fixing.before_work:
        _add(part, "p", entry.text, "first")
    _suspensions(part, fixing)
    _bought(part, fixing)
    twin = _add(part, "div", kind="twin")
    _lines(twin, "What must be so on site", fixing.on_site, "checks")
    _lines(twin, "Protect yourself", fixing.protective_equipment, "checks")
    _facts(part, sheet, fixing, work)
    figure = SubElement(part, "figure", {"class": "views"})
    figure.extend(drawing.views_of(fixing, work))
    _distances(part, fixing)
    _add(part, "h3", "The work, in this order")
    _steps(part, fixing)
    if fixing.resin is not None:
        _resin(part, sheet, fixing.resin)
    _lines(part, "All cautions", fixing.cautions, "small")
    _proof(part, sheet, fixing)
    _places(part, fixing)


def _bought(part: Element, fixing: FixingSheet) -> None:
    chosen, per = fixing.fastener, fixing.fastener.per_fixing.text
    times = "" if fixing.count.number == 1 else f", to be made {fixing.count.text} times"
    _add(
        part,
        "p",
        f"{per} × {chosen.title}, size {chosen.size}, {chosen.length.text} long, article {chosen.article_code}{times}",
    )


def _facts(parent: Element, sheet: Sheet, fixing: FixingSheet, work: Work) -> None:
    chosen, part = fixing.fastener, _add(parent, "section", kind="block facts")
    _add(part, "h3", "What is drilled and set")
    if sheet.notice:
        _add(part, "p", DEMONSTRATION_STEP, "beside")
    setting = "through the fixture in place" if chosen.setting == "through_fixture" else "before the fixture is there"
    how = f"Set {setting}" if fixing.hole_depth is not None else "Cast in with its plate"
    facts = [how, f"fixture {fixing.fixture_thickness.text} thick"]
    if fixing.clearance_hole is not None:
        facts.append(f"holes in the fixture at most {fixing.clearance_hole.text}")
    if fixing.hole_diameter is not None and fixing.hole_depth is not None:
        facts.append(f"hole {fixing.hole_diameter.text} wide, {fixing.hole_depth.text} deep in the concrete")
    facts.append(f"set depth {work.set_depth.text} from the concrete surface")
    facts.append(f"{fixing.minutes.text} of work on all of them, for planning")
    _add(part, "p", "; ".join(facts) + ".")
    words = f"Calculated with an effective embedment of {chosen.embedment.text}; that is not measured on site."
    _add(part, "p", words, "small")


def _suspensions(part: Element, fixing: FixingSheet) -> None:
    for entry in fixing.suspensions:
        what = " ".join(str(entry[name]) for name in ("family", "size", "version") if entry.get(name))
        _add(part, "p", f"Suspended for new work since {entry['since']}: {what}. {entry['reason']}", "notice")
    tests = fixing.site_test
    if tests is not None:
        words = (
            f"The resistance comes from {tests['number_of_tests']} pulls on site on {tests['tested_on']}, not from an "
            f"assessment: only in {tests['reach']['base_material']}, and for new work until {tests['valid_until']}."
        )
        _add(part, "p", words, "notice")


def _lines(parent: Element, title: str, lines: Sequence[Line], kind: str) -> None:
    block = _add(parent, "section", kind="listed")
    _add(block, "h3", title)
    listed = _add(block, "ul", kind=kind)
    for entry in lines:
        _add(listed, "li", entry.text)


def _distances(part: Element, fixing: FixingSheet) -> None:
    block = _add(part, "section", kind="block")
    _add(block, "h3", "Distances: verified as they stand here; a moved hole is another fixing")
    rows = [
        (entry.title, entry.verified.text, "" if entry.least is None else entry.least.text)
        for entry in fixing.distances
    ]
    _table(block, ("", "Verified", "Least that is assessed"), rows, figures={1, 2})


def _steps(part: Element, fixing: FixingSheet) -> None:
    listed = _add(part, "ol", kind="steps")
    for number, step in enumerate(fixing.steps, start=1):
        item = SubElement(listed, "li")
        _add(item, "span", str(number), "number")
        _add(item, "b", step.title)
        if step.notice:
            _add(item, "p", step.notice, "beside")
        lines = SubElement(item, "ul")
        for entry in step.lines:
            _add(lines, "li", entry.text)


def _resin(part: Element, sheet: Sheet, resin: Resin) -> None:
    block = _add(part, "section", kind="block")
    _add(block, "h3", "Resin: times by temperature of the concrete")
    if sheet.notice:
        _add(block, "p", DEMONSTRATION_STEP, "beside")
    table = SubElement(SubElement(block, "div", {"class": "scroll"}), "table")
    heads = (
        "Concrete when set",
        "Work it within",
        "Coldest until cured",
        "Cure, dry hole",
        "Cure, wet or flooded hole",
    )
    top = SubElement(SubElement(table, "thead"), "tr")
    for head in heads:
        _add(top, "th", head).set("scope", "col")
    body = SubElement(table, "tbody")
    for row in resin.rows:
        line = SubElement(body, "tr")
        for text, holds in (
            (row.working_range, row.holds),
            (row.working.text, row.holds),
            (row.curing_range, row.holds_for_curing),
            (row.curing_dry.text, row.holds_for_curing and row.curing_dry == resin.curing),
            (row.curing_wet.text, row.holds_for_curing and row.curing_wet == resin.curing),
        ):
            _add(line, "td", text, "word holds" if holds else "word")
    words = (
        "At the border of two rows the shorter working time and the longer curing time hold, as the table says. "
        "Outside these temperatures it may not be set."
    )
    _add(block, "p", words)


def _places(part: Element, fixing: FixingSheet) -> None:
    once = fixing.count.number == 1
    copies = "" if once else f", one copy for each of {fixing.count.text}"
    which = "Place: ____________________" if once else f"Copy ____ of {fixing.count.text}, place: ____________________"
    form, places = fixing.to_fill_in, fixing.places
    for start in range(0, len(places), COLUMNS):
        shown = places[start : start + COLUMNS]
        heads = ("Fastener", *(f"{place.number}: x {_short(place.x)}, y {_short(place.y)}" for place in shown))
        block = _add(part, "section", kind="block fasteners")
        if start == 0:
            _add(block, "h3", f"To be filled in{copies}")
            _add(block, "p", which, "which")
            _add(block, "p", COUNTED, "small")
        _blanks(block, heads, [(blank, len(shown)) for blank in form.each_fastener])
        if len(shown) <= FEW_COLUMNS:
            block.set("class", "block fasteners few")
    # Kept together, so that no table of a few rows is left alone on a sheet of paper.
    last = _add(part, "section", kind="block")
    _once(_add(last, "div", kind="once"), form.once)
    if form.aborted_hole:
        _add(last, "h3", "Holes given up")
        given_up = _add(last, "div")
        empty = [[""] * len(form.aborted_hole)] * ABORTED_ROWS
        _table(given_up, [blank.label for blank in form.aborted_hole], empty)
        _make_room(given_up)


def _blanks(block: Element, heads: Sequence[str], blanks: Iterable[tuple[Blank, int]]) -> None:
    _table(block, heads, [(_asked(blank), *[""] * count) for blank, count in blanks])
    _make_room(block)


def _once(block: Element, blanks: Sequence[Blank]) -> None:
    """Two columns, so that all that is written down of a fixing is on few sheets of paper."""
    half = (len(blanks) + 1) // 2
    labels = [_asked(blank) for blank in blanks] + [""] * (2 * half - len(blanks))
    rows = [(left, "", right, "") for left, right in zip(labels[:half], labels[half:], strict=True)]
    _table(block, ("Once for the fixing", "", "", ""), rows)
    _make_room(block)


def _make_room(block: Element) -> None:
    """Give the empty cells room for a pen; the table keeps its columns alike."""
    for table in block.iter("table"):
        table.set("class", "form")
    for cell in block.iter("td"):
        if not cell.text:
            cell.set("class", "fill")


def _asked(blank: Blank) -> str:
    return blank.label if blank.asked is None else f"{blank.label}, asked: {blank.asked.text}"


def _short(figure: Figure) -> str:
    return plain(figure.number)


def _upwards(utilisation: float) -> str:
    """Write a utilisation in whole hundredths, never below what it is."""
    return f"{math.ceil(utilisation * 100 - 1e-9)}\u00a0%"


def _proof(part: Element, sheet: Sheet, fixing: FixingSheet) -> None:
    proof, book = fixing.proof, sheet.rulebook
    used = "no check is left" if proof.utilisation is None else f"used to {_upwards(proof.utilisation.number)}"
    mode = "" if proof.governing is None else f"; what governs: {MODES_IN_WORDS[proof.governing]}"
    words = (
        f"Verified for {proof.assessed_on} under rulebook {book['version']}: {used}{mode}. Record {proof.record_id}; "
        f"rulebook digest {book['digest']}; {proof.engine}."
    )
    _add(part, "p", words, "small")
