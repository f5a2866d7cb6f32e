"""The sheet as a page to print: one file, nothing fetched, no script, everything escaped by construction."""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from xml.etree.ElementTree import Element, SubElement, tostring

from service.contract.verification_codes import Mode
from service.site.sheet import drawing
from service.site.sheet.content import Blank, Figure, FixingSheet, Form, Line, Material, Place, Resin, Sheet
from service.site.sheet.make import Made
from service.site.sheet.paper import clean
from service.site.sheet.steps import demonstration_step
from service.site.sheet.tightening import filled_later
from service.site.sheet.wording import Wording
from service.site.sheet.work import Work
from service.words.units import hundredths

STYLE = Path(__file__).with_name("page.css")
COLUMNS = 5
FEW_COLUMNS = 3
UNIT_APART = re.compile(r"(?<=\d) (?=(?:mm|ml|min|h|°C|N·m|MPa|kNm|kN|kg)\b|%)|(?<=\d h) (?=\d)|(?<=\b[xy]) (?=-?\d)")
"""A figure and its unit stay on one line."""
ABORTED_ROWS = 3
KNOWN = "–"
"""What is not asked of a fastener again."""


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
    sheet, words = made.sheet, made.words
    html = Element("html", {"lang": sheet.language.replace("_", "-")})
    head = SubElement(html, "head")
    SubElement(head, "meta", {"charset": "utf-8"})
    SubElement(head, "meta", {"name": "viewport", "content": "width=device-width, initial-scale=1"})
    _add(head, "title", sheet.title)
    SubElement(head, "style").text = style()
    main = SubElement(SubElement(html, "body"), "main")
    first = _running(main, "opening", sheet.title, sheet)
    _opening(first, made)
    _materials(first, made)
    for fixing, work in zip(sheet.fixings, made.works, strict=True):
        part = _running(main, "fixing", _copy_of(fixing, words), sheet, _call(fixing, words))
        _Fixing(part, sheet, fixing, work).write()
    return "<!DOCTYPE html>\n" + tostring(html, encoding="unicode", method="html") + "\n"


def _add(parent: Element, tag: str, text: str | None = None, kind: str | None = None) -> Element:
    element = SubElement(parent, tag, {"class": kind} if kind else {})
    element.text = None if text is None else UNIT_APART.sub("\u00a0", clean(text))
    return element


def _running(main: Element, kind: str, words: str, sheet: Sheet, call: str | None = None) -> Element:
    """Begin a part whose pages each say, on paper, what they are about and whom to call; sheets are mixed up."""
    part = SubElement(main, "section", {"class": f"{kind} pages"})
    said = words if not sheet.job else f"{sheet.job} – {words}"
    head = _add(part, "div", kind="head")
    head.set("aria-hidden", "true")
    _add(head, "p", said if call is None else f"{said} – {call}")
    return _add(part, "div", kind="body")


def _named(fixing: FixingSheet, words: Wording) -> str:
    if fixing.reference:
        return words.say("Fixing {number}: {reference}", number=fixing.number, reference=fixing.reference)
    return words.say("Fixing {number}", number=fixing.number)


def _copy_of(fixing: FixingSheet, words: Wording) -> str:
    named = _named(fixing, words)
    if fixing.count.number == 1:
        return named
    return words.say("{fixing}, copy ____ of {count}", fixing=named, count=fixing.count)


def _call(fixing: FixingSheet, words: Wording) -> str | None:
    return None if fixing.job.call is None else words.say("call: {name}", name=fixing.job.call)


def _notice(parent: Element, sheet: Sheet) -> None:
    if sheet.notice:
        _add(parent, "p", sheet.notice, "notice")


def _opening(main: Element, made: Made) -> None:
    sheet, say = made.sheet, made.words.say
    _add(main, "h1", sheet.title)
    if sheet.job:
        _add(main, "p", say("Job: {job}", job=sheet.job))
    _notice(main, sheet)
    for text in dict.fromkeys(e.text for f in sheet.fixings for e in f.before_work if e.code == "superseded"):
        _add(main, "p", text, "first")
    _add(main, "p", _rulebook(made), "small")
    _add(main, "p", say("This sheet does not replace the assessment, local codes or a licensed or chartered engineer."))
    _add(main, "p", _time(made))
    changed = [str(fixing.number) for fixing in sheet.fixings if fixing.as_built is not None]
    if changed:
        told = made.words.count(
            "Fixing {numbers} was checked as built: read its box “As built” before anything is ordered or drilled.",
            "Fixings {numbers} were checked as built: read their boxes “As built” before anything is ordered or "
            "drilled.",
            len(changed),
            numbers=", ".join(changed),
        )
        _add(main, "p", told, "first")


def _rulebook(made: Made) -> str:
    book, say = made.sheet.rulebook, made.words.say
    if made.sheet.notice:
        return say(
            "Rulebook {version} (demonstration), digest {digest}", version=book["version"], digest=book["digest"]
        )
    return say("Rulebook {version}, digest {digest}", version=book["version"], digest=book["digest"])


def _time(made: Made) -> str:
    """How long the crew works, and what takes time without work; working time is a word of resin alone."""
    words = made.words
    waits = []
    if any(work.source.mechanism == "bonded" for work in made.works):
        waits.append(words.say("curing of the resin"))
    if any(filled_later(work) for work in made.works):
        waits.append(words.say("hardening of the grout"))
    if any(work.cast_in for work in made.works):
        waits.append(words.say("hardening of the concrete"))
    if not waits:
        return words.say("Hours of work for all fixings, for planning: {time}.", time=made.sheet.working_time)
    return words.say(
        "Hours of work for all fixings, for planning: {time}, without {waits}.",
        time=made.sheet.working_time,
        waits=words.every(waits),
    )


def _materials(main: Element, made: Made) -> None:
    block, words = _add(main, "section", kind="block"), made.words
    _add(block, "h3", words.say("Bill of materials"))
    if not made.sheet.materials:
        _add(block, "p", words.say("Nothing to order: all stand"))
        return
    rows = [
        (
            words.number(material.quantity.number),
            material.title,
            material.article_code or "",
            _per_fixing(material, made.words),
            _used_in(material, made),
        )
        for material in made.sheet.materials
    ]
    heads = (
        words.say("Quantity"),
        words.say("Item"),
        words.say("Article"),
        words.say("Each fixing"),
        words.say("Used in"),
    )
    _table(block, heads, rows, figures={0}, whole={2})
    for table in block.iter("table"):
        table.set("class", "bill")


def _per_fixing(material: Material, words: Wording) -> str:
    """What one piece of each fixing needs, the number of the fixing beside it where there are several."""
    if len({share.quantity.number for share in material.per_fixing}) == 1:
        return words.number(material.per_fixing[0].quantity.number)
    return ", ".join(
        words.say("no. {fixing}: {quantity}", fixing=share.fixing, quantity=share.quantity)
        for share in material.per_fixing
    )


def _used_in(material: Material, made: Made) -> str:
    users = [fixing for fixing in made.sheet.fixings if fixing.number in material.for_fixings]
    return made.words.count(
        "fixing no. {numbers}; total for {made}",
        "fixings no. {numbers}; total for {made}",
        len(users),
        numbers=", ".join(str(fixing.number) for fixing in users),
        made=sum(fixing.count.number for fixing in users),
    )


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


@dataclass(frozen=True)
class _Fixing:
    """Writes the part of the page that is about one fixing."""

    part: Element
    sheet: Sheet
    fixing: FixingSheet
    work: Work

    @property
    def words(self) -> Wording:
        """The words of the crew."""
        return self.work.words

    def write(self) -> None:
        """Write it."""
        part, fixing, say = self.part, self.fixing, self.words.say
        _add(part, "h2", _named(fixing, self.words))
        self._job()
        self._as_built()
        if fixing.number > 1:
            # Above the first one it stands on the same sheet of paper.
            _notice(part, self.sheet)
        for entry in fixing.before_work:
            _add(part, "p", entry.text, "first")
        self._suspensions()
        _lines(part, say("What it holds"), fixing.holds, "checks columns")
        to_set = self.work.progress.to_set
        rests = say("What it rests on: tick before starting") if to_set else say("What it rests on: tick what is so")
        _lines(part, rests, [tick for tick in fixing.on_site if tick.in_step is None], "checks columns")
        _add(part, "p", say("Ticked by (name, date, signature): ______________________________"), "signed")
        if fixing.protective_equipment:
            _lines(part, say("PPE"), fixing.protective_equipment, "checks columns")
        self._bought()
        self._facts()
        figure = SubElement(part, "figure", {"class": "views"})
        figure.extend(drawing.views_of(fixing, self.work))
        self._distances()
        _add(part, "h3", say("Installation sequence"))
        self._steps()
        if fixing.resin is not None:
            self._resin(fixing.resin)
        self._cautions()
        self._proof()
        self._form()

    def _job(self) -> None:
        """Whose it is and whom to call; what was not told is written on it by hand."""
        job, say = self.fixing.job, self.words.say
        told = (
            say("Structure: {name}", name=job.structure) if job.structure else say("Structure: ______________"),
            say("Drawing: {drawing}", drawing=job.drawing) if job.drawing else say("Drawing: ______________"),
            say("Revision: {revision}", revision=job.revision) if job.revision else say("Revision: ____"),
            say("Issued by: {name}", name=job.issued_by) if job.issued_by else say("Issued by: ______________"),
        )
        listed = _add(self.part, "ul", kind="columns job")
        for text in told:
            _add(listed, "li", text)
        call = (
            say("Where this sheet says stop or ask, call: {name}", name=job.call)
            if job.call
            else say("Where this sheet says stop or ask, call: ____________________")
        )
        _add(self.part, "p", call, "call")

    def _as_built(self) -> None:
        """What stands comes before anything that reads as an order."""
        if self.fixing.as_built is None:
            return
        block = _add(self.part, "section", kind="built")
        _add(block, "h3", self.words.say("As built"))
        listed = _add(block, "ul")
        for entry in self.fixing.as_built.lines:
            _add(listed, "li", entry.text)

    def _bought(self) -> None:
        chosen, words = self.fixing.fastener, self.words
        if not self.work.progress.to_set:
            said = words.say(
                "What stands: {title}, size {size}, {length} long where nothing else is said above, article {article}",
                title=chosen.title,
                size=chosen.size,
                length=chosen.length,
                article=chosen.article_code,
            )
            _add(self.part, "p", said)
            return
        said = words.count(
            "{number} fastener: {title}, size {size}, {length} long, article {article}",
            "{number} fasteners: {title}, size {size}, {length} long, article {article}",
            int(chosen.per_fixing.number),
            title=chosen.title,
            size=chosen.size,
            length=chosen.length,
            article=chosen.article_code,
        )
        _add(self.part, "p", said)
        if self.fixing.count.number != 1:
            _add(self.part, "p", words.say("This fixing is made {count} times", count=self.fixing.count))

    def _facts(self) -> None:
        fixing, say, part = self.fixing, self.words.say, _add(self.part, "section", kind="block facts")
        to_set = self.work.progress.to_set
        _add(part, "h3", say("What is drilled and set") if to_set else say("What it was verified with"))
        self._demonstration(part)
        listed = _add(part, "ul", kind="columns")
        if fixing.hole_depth is None:
            facts = [say("Cast in with its plate")]
        elif fixing.fastener.setting == "through_fixture":
            facts = [say("Set through the fixture in place")]
        elif self.work.without_plate:
            facts = [say("Set before anything hangs on it")]
        else:
            facts = [say("Set before the fixture goes on")]
        if self.work.bare:
            facts.append(say("What hangs on the rod: {thickness} thick", thickness=fixing.fixture_thickness))
        elif self.work.without_plate:
            facts.append(say("What lies under ring or hook: {thickness} thick", thickness=fixing.fixture_thickness))
        else:
            facts.append(say("Fixture {thickness} thick", thickness=fixing.fixture_thickness))
        if fixing.clearance_hole is not None:
            facts.append(say("Holes in the fixture no more than Ø{diameter}", diameter=fixing.clearance_hole))
        if fixing.hole_diameter is not None and fixing.hole_depth is not None:
            facts.append(self._hole_fact(fixing.hole_diameter, fixing.hole_depth))
        facts.append(self._set_fact())
        if fixing.count.number == 1:
            facts.append(say("Hours of work, for planning: {time}", time=fixing.minutes))
        else:
            facts.append(
                say("Hours of work for all {count}, for planning: {time}", count=fixing.count, time=fixing.minutes)
            )
        for fact in facts:
            _add(listed, "li", fact)
        embedment = fixing.fastener.embedment
        said = say(
            "For the engineer: effective embedment {embedment}; it is not measured on site.", embedment=embedment
        )
        _add(part, "p", said, "small")

    def _hole_fact(self, diameter: Figure, depth: Figure) -> str:
        say, most, over, base = self.words.say, self.work.hole_most, self.work.head_over, self.work.base
        if over is not None:
            return say(
                "Hole Ø{diameter}, {depth} to {most} deep in the concrete where the {topping} measures {thickness}, as "
                "much deeper as it measures less",
                diameter=diameter,
                depth=depth,
                most=most or depth,
                topping=over.kind,
                thickness=over.thickness,
            )
        if most is None:
            return say("Hole Ø{diameter}, {depth} deep in the {base}", diameter=diameter, depth=depth, base=base)
        return say(
            "Hole Ø{diameter}, {depth} to {most} deep in the {base}",
            diameter=diameter,
            depth=depth,
            most=most,
            base=base,
        )

    def _set_fact(self) -> str:
        say, depth, most, base = self.words.say, self.work.set_depth, self.work.set_most, self.work.base
        if self.work.set_at_least:
            return say("Set depth at least {depth} from the {base} surface", depth=depth, base=base)
        if most is None:
            return say("Set depth {depth} from the {base} surface", depth=depth, base=base)
        return say("Set depth {depth} to {most} from the {base} surface", depth=depth, most=most, base=base)

    def _demonstration(self, parent: Element) -> None:
        if self.sheet.notice:
            _add(parent, "p", demonstration_step(self.words), "beside")

    def _suspensions(self) -> None:
        words = self.words
        for entry in self.fixing.suspensions:
            said = words.say(
                "Suspended for new work since {day}: {what}. {reason}",
                day=entry["since"],
                what=" ".join(str(entry[name]) for name in ("family", "size", "version") if entry.get(name)),
                reason=entry["reason"],
            )
            _add(self.part, "p", said, "notice")
        tests = self.fixing.site_test
        if tests is not None:
            said = words.count(
                "The resistance comes from {number} pull test on site on {day}, not from an assessment: only in "
                "{material}, and for new work until {until}.",
                "The resistance comes from {number} pull tests on site on {day}, not from an assessment: only in "
                "{material}, and for new work until {until}.",
                tests["number_of_tests"],
                day=tests["tested_on"],
                material=tests["reach"]["base_material"],
                until=tests["valid_until"],
            )
            _add(self.part, "p", said, "notice")

    def _distances(self) -> None:
        block, say = _add(self.part, "section", kind="block"), self.words.say
        _add(block, "h3", say("Distances as verified: if a hole has to move, have the fixing verified again"))
        rows = [(entry.title, self.words.text(entry.verified)) for entry in self.fixing.distances]
        _table(block, ("", say("Verified")), rows, figures={1})
        for entry in self.fixing.distances:
            if entry.code == "smallest_spacing" and entry.least is not None:
                said = say(
                    "The least spacing that the assessment allows at all is {least}; nearer than verified only after a "
                    "new verification.",
                    least=entry.least,
                )
                _add(block, "p", said, "small")

    def _steps(self) -> None:
        listed = _add(self.part, "ol", kind="steps")
        for number, step in enumerate(self.fixing.steps, start=1):
            item = SubElement(listed, "li")
            _add(item, "span", str(number), "number")
            _add(item, "b", step.title)
            if step.notice:
                _add(item, "p", step.notice, "beside")
            _list(item, step.lines)
            _list(item, [tick for tick in self.fixing.on_site if tick.in_step == step.code], "checks")
            if step.code == "check":
                signed = self.words.say("Ticked in these steps by (name, date, signature): ____________________")
                _add(item, "p", signed, "signed")

    def _cautions(self) -> None:
        """What the crew has not read above, word by word, as it was first said or as a tick."""
        fixing = self.fixing
        in_steps = (line for step in fixing.steps for line in step.lines)
        above = {line.text for line in (*fixing.before_work, *fixing.holds, *fixing.on_site, *in_steps)}
        left = [line for line in fixing.cautions if line.text not in above]
        if left:
            _lines(self.part, self.words.say("More cautions"), left, "small")

    def _resin(self, resin: Resin) -> None:
        block, say, text = _add(self.part, "section", kind="block"), self.words.say, self.words.text
        _add(block, "h3", say("Resin: times by temperature of the {base}", base=self.work.base))
        self._demonstration(block)
        self._slide(block)
        table = SubElement(SubElement(block, "div", {"class": "scroll"}), "table")
        heads = (
            say("Temperature when set"),
            say("Working time"),
            say("Coldest until cured"),
            say("Curing time, dry hole"),
            say("Curing time, wet or flooded hole"),
        )
        top = SubElement(SubElement(table, "thead"), "tr")
        for head in heads:
            _add(top, "th", head).set("scope", "col")
        body = SubElement(table, "tbody")
        for row in resin.rows:
            line = SubElement(body, "tr")
            for said, holds in (
                (row.working_range, row.holds),
                (text(row.working), row.holds),
                (row.curing_range, row.holds_for_curing),
                (text(row.curing_dry), row.holds_for_curing and row.curing_dry == resin.curing),
                (text(row.curing_wet), row.holds_for_curing and row.curing_wet == resin.curing),
            ):
                _add(line, "td", said, "word holds" if holds else "word")
        said = say(
            "At the border of two rows the shorter working time and the longer curing time apply, as the table says. "
            "Do not set outside these temperatures."
        )
        _add(block, "p", said)

    def _slide(self, block: Element) -> None:
        """On a narrow screen a wide table looks whole where it is cut off."""
        _add(block, "p", self.words.say("Slide the table sideways to see all of it"), "slide")

    def _form(self) -> None:
        form, places, words = self.fixing.to_fill_in, self.fixing.places, self.words
        if len(places) == 1 and self.fixing.count.number > 1 and self.fixing.as_built is None:
            self._form_of_copies(form)
            return
        asked = {number for blank in form.each_fastener for number in blank.numbers}
        # What is still to be set has most to be filled in: a narrow screen shows its columns first.
        places = tuple(sorted((place for place in places if place.number in asked), key=lambda place: place.stands))
        for start in range(0, max(len(places), 1), COLUMNS):
            shown = places[start : start + COLUMNS]
            heads = (words.say("Fastener"), *(f"{place.number}: {self._where(place)}" for place in shown))
            block = _add(self.part, "section", kind="block fasteners")
            if start == 0:
                self._form_head(block)
            if not shown:
                continue
            rows = [
                (self._asked(blank), *("" if place.number in blank.numbers else KNOWN for place in shown))
                for blank in form.each_fastener
            ]
            if len(shown) <= FEW_COLUMNS:
                block.set("class", "block fasteners few")
            else:
                self._slide(block)
            _table(block, heads, rows)
            _make_room(block)
        # Kept together, so that no table of a few rows is left alone on a sheet of paper.
        last = _add(self.part, "section", kind="block")
        self._once(_add(last, "div", kind="once"), form.once)
        self._aborted_holes(last, form)

    def _aborted_holes(self, block: Element, form: Form, *first: str) -> None:
        if not form.aborted_hole:
            return
        heads = (*first, *(blank.label for blank in form.aborted_hole))
        _add(block, "h3", self.words.say("Aborted holes"))
        self._slide(block)
        aborted = _add(block, "div")
        _table(aborted, heads, [[""] * len(heads)] * ABORTED_ROWS)
        _make_room(aborted)

    def _form_of_copies(self, form: Form) -> None:
        """Of fixings with one fastener a column is a fixing: nobody fills in two sheets of paper for each hanger."""
        say, block = self.words.say, _add(self.part, "section", kind="fasteners copies")
        count = self.fixing.count
        _add(block, "h3", say("To be filled in: one column for each of the {count} fixings", count=count))
        _add(block, "p", say("Copies ____ to ____ of {count}; take as many of these pages as it needs", count=count))
        _add(block, "p", say("x to the right and y upwards on the plan, in mm"), "small")
        columns = min(COLUMNS, int(count.number))
        heads = (say("Fixing"), *[say("copy ____")] * columns)
        if columns > FEW_COLUMNS:
            self._slide(block)
        labels = (say("Location"), *(self._asked(blank) for blank in (*form.each_fastener, *form.once)))
        _table(block, heads, [(label, *[""] * columns) for label in labels])
        _make_room(block)
        self._aborted_holes(_add(self.part, "section", kind="block"), form, say("Copy"))

    def _form_head(self, block: Element) -> None:
        say, count = self.words.say, self.fixing.count
        if count.number == 1:
            _add(block, "h3", say("To be filled in"))
            _add(block, "p", say("Location: ____________________"), "which")
        else:
            _add(block, "h3", say("To be filled in: one copy for each of the {count} fixings", count=count))
            _add(block, "p", say("Copy ____ of {count}, location: ____________________", count=count), "which")
        if self.fixing.as_built is not None:
            for entry in self.fixing.as_built.known:
                _add(block, "p", entry.text)
            if any(blank.numbers != self.work.progress.every for blank in self.fixing.to_fill_in.each_fastener):
                _add(block, "p", say("{known} in the form: known by now, not asked again", known=KNOWN), "small")
        said = say(
            "x to the right and y upwards on the plan, in mm; measure from a fastener: its x and y stand beside its "
            "number."
        )
        _add(block, "p", said, "small")

    def _where(self, place: Place) -> str:
        return f"x {self.words.number(place.x.number)}, y {self.words.number(place.y.number)}"

    def _once(self, block: Element, blanks: Sequence[Blank]) -> None:
        """Two columns, so that all that is written down of a fixing is on few sheets of paper."""
        half = (len(blanks) + 1) // 2
        labels = [self._asked(blank) for blank in blanks] + [""] * (2 * half - len(blanks))
        rows = [(left, "", right, "") for left, right in zip(labels[:half], labels[half:], strict=True)]
        _table(block, (self.words.say("Once for the fixing"), "", "", ""), rows)
        _make_room(block)

    def _asked(self, blank: Blank) -> str:
        """What is written down, with what it has to be."""
        say, label = self.words.say, blank.label
        if blank.least is not None and blank.most is not None:
            if blank.asked is None or blank.asked in {blank.least, blank.most}:
                return say("{label}: {least} to {most}", label=label, least=blank.least, most=blank.most)
            return say(
                "{label}, required: {figure} ({least} to {most})",
                label=label,
                figure=blank.asked,
                least=blank.least,
                most=blank.most,
            )
        if blank.least is not None:
            return say("{label}: at least {least}", label=label, least=blank.least)
        if blank.most is not None:
            return say("{label}: no more than {most}", label=label, most=blank.most)
        return label if blank.asked is None else say("{label}, required: {figure}", label=label, figure=blank.asked)

    def _proof(self) -> None:
        proof, book, say = self.fixing.proof, self.sheet.rulebook, self.words.say
        said = [say("Verified for {day} under rulebook {version}.", day=proof.assessed_on, version=book["version"])]
        if proof.utilisation is None or proof.governing is None:
            said.append(say("No check remains."))
        else:
            share = f"{self.words.number(hundredths(proof.utilisation.number))} %"
            said.append(say("Utilisation {share}; governing: {mode}.", share=share, mode=Mode(proof.governing)))
        record, digest = proof.record_id, book["digest"]
        said.append(
            say(
                "Record {record}; rulebook digest {digest}; {engine}.",
                record=record,
                digest=digest,
                engine=proof.engine,
            )
        )
        _add(self.part, "p", " ".join(said), "small")


def _lines(parent: Element, title: str, lines: Sequence[Line], kind: str) -> None:
    block = _add(parent, "section", kind="listed")
    _add(block, "h3", title)
    _list(block, lines, kind)


def _list(parent: Element, lines: Sequence[Line], kind: str | None = None) -> None:
    if lines:
        listed = _add(parent, "ul", kind=kind)
        for entry in lines:
            _add(listed, "li", entry.text)


def _make_room(block: Element) -> None:
    """Give the empty cells room for a pen; the table keeps its columns alike."""
    for table in block.iter("table"):
        table.set("class", "form")
    for cell in block.iter("td"):
        if not cell.text:
            cell.set("class", "fill")
