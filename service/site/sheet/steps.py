"""The steps of the work in their order, and what must be so on site."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from service.contract.as_built_codes import Measurement
from service.contract.fields import UNKNOWN
from service.contract.sheet_codes import SheetLineCode
from service.site.holes.depth_windows import EXPANDED_AT_THE_BOTTOM
from service.site.holes.ordered import drilling_ordered
from service.site.holes.used_again import serves_again
from service.site.sheet import conditions, tightening
from service.site.sheet.content import Figure, Line, Place, Resin, Side, Step, Tick, derived, met_in
from service.site.sheet.nearby import nearby
from service.site.sheet.resin import Filling, Temperatures
from service.site.sheet.source import INSTALLATION, Source
from service.site.sheet.tightening import Tool
from service.site.sheet.ways import guards_an_edge, people_beneath
from service.site.sheet.wording import Wording
from service.site.sheet.work import HEAD_RESTS_ON_FIXTURE, RINGS, Topping, Work, straight
from service.verification.aborted_hole import least_distance
from service.words.units import up

OF_BARE_CONCRETE = ("bare_concrete", "even_surface")
"""Checks of a rulebook that would take a topping away which was verified to stay."""
OF_A_PLATE = "even_surface"
"""The check of a rulebook for how a fixture lies: a ring, a hook or a bare rod has none."""
OF_UNCRACKED = "cracks"
"""The check of a rulebook for cracks: of a sheet for cracked concrete the ticks say which of them stop the work."""
OF_SOUND_CONCRETE = "sound_concrete"
"""The check of a rulebook by the sound of concrete: masonry has one of its own."""
OF_SETTING = frozenset({"surface", "mark", "scan", "drill", "clean", "resin", "set", "pour"})
"""Steps that only what is still to be set needs."""
FROM_STANDING = 3
"""So many lengths tell where one has to stand, and that none was measured wrong."""
WITH_FIGURES = (
    "mark", "drill", "resin", "set", "pour", "cure", "grout", "tighten", "fill_holes", "check", "failed_hole",
)  # fmt: skip
"""Steps that somebody could build from; a demonstration says beside each of them that they must not."""


def demonstration_step(words: Wording) -> str:
    """Say beside figures that nobody may build from them.

    Args:
        words: The words of the crew.

    Returns:
        The warning.
    """
    return words.say("DEMONSTRATION: invented figures, do not build")


@dataclass(frozen=True)
class Steps:
    """Writes the steps for the work of one fixing."""

    work: Work
    temperatures: Temperatures

    @property
    def source(self) -> Source:
        """The verified fixing."""
        return self.work.source

    @property
    def bonded(self) -> bool:
        """Whether resin holds the fastener."""
        return self.source.mechanism == "bonded"

    @cached_property
    def drilling(self) -> str:
        """How the hole is drilled: as verified, else the first method of the assessment."""
        return drilling_ordered(self.source.selection, self.source.fixing.site.value("drilling"))

    def all(self) -> tuple[Step, ...]:
        """Write every step.

        Returns:
            The steps that the fixing needs, in the order of the work.
        """
        say = self.work.words.say
        ticked = {tick.in_step for tick in self._ticks}
        fixture_on = ("fixture_on", self._fixture_title, tightening.fixture_on(self.work, bonded=self.bonded))
        grout = ("grout", say("Fill the gap with grout"), tightening.fill_gap(self.work))
        tighten = ("tighten", say("Tighten"), tightening.tighten(self.work))
        written = (
            ("tools", say("Tools and bits"), self._tools()),
            ("surface", say("Check the surface"), self._surface()),
            ("mark", say("Mark out"), self._mark()),
            ("scan", self._scan_title, self._scan()),
            ("fixture_first", say("Put the fixture up"), tightening.fixture_first(self.work)),
            ("drill", say("Drill"), self._drill()),
            ("clean", say("Clean the hole"), self._clean()),
            ("resin", say("Fill with resin"), self._resin()),
            ("set", say("Set"), self._set()),
            ("pour", say("Pour, strike and wait"), self._pour()),
            ("cure", say("Leave it to cure"), self._cure()),
            *((tighten, fixture_on) if self.work.tightened_below else (fixture_on, grout, tighten)),
            ("fill_holes", say("Fill the holes of the fixture"), tightening.fill_holes(self.work)),
            ("check", say("Check and record"), self._check()),
            ("failed_hole", self._failed_title, self._failed_hole()),
            ("removal", say("Removal"), self._removal()),
        )
        demonstration = self.source.rulebook.status == "demonstration"
        warned, notice = WITH_FIGURES if demonstration else (), demonstration_step(self.work.words)
        left = self._left
        found = ((code, title, tuple(lines)) for code, title, lines in written if code in left)
        return tuple(
            Step(code, title, lines, notice if code in warned else None)
            for code, title, lines in found
            if lines or code in ticked
        )

    @property
    def _left(self) -> frozenset[str]:
        """Steps that are still to be taken: what stands is only measured, and tightened where nobody has read it."""
        progress, left = self.work.progress, {"check", "failed_hole", "removal"}
        if progress.to_set:
            left |= OF_SETTING
        if progress.to_set and not progress.standing:
            left.add("fixture_first")
        if tightening.is_open(self.work):
            left |= {"tools", "fixture_on", "tighten", "fill_holes"}
        if tightening.grout_is_open(self.work):
            left.add("grout")
        if progress.is_open(Measurement.CURING):
            left.add("cure")
        if progress.is_open(Measurement.STRENGTH):
            left.add("pour")
        return frozenset(left)

    @property
    def _fixture_title(self) -> str:
        say = self.work.words.say
        return say("Put on what it holds") if self.work.without_plate else say("Put the fixture on")

    @property
    def _failed_title(self) -> str:
        say = self.work.words.say
        if self.work.cast_in:
            return say("If a stud is not as the plan has it")
        return say("If a hole fails or is aborted") if self.work.progress.to_set else say("Aborted holes")

    @property
    def _scan_title(self) -> str:
        say = self.work.words.say
        return say("Scan for metal and services") if self.work.masonry else say("Scan for reinforcement and services")

    def holding(self, list_name: str) -> tuple[Line, ...]:
        """Take those lines of a list of the company's that hold for the fixing.

        Args:
            list_name: Name of the list in the installation rules.

        Returns:
            The lines.
        """
        holds = {
            "always": True,
            "drilled": not self.work.cast_in,
            "overhead": self.source.overhead and not self.work.cast_in,
            "bonded": self.bonded,
            "cast_in": self.work.cast_in,
        }
        path = f"{INSTALLATION}#/{list_name}"
        entries = self.source.read(path)
        return tuple(
            self.source.verbatim(f"{path}/{index}/text", entry["code"])
            for index, entry in enumerate(entries)
            if holds[entry["when"]]
        )

    def on_site(self) -> tuple[Tick, ...]:
        """List what the verification relied on and the site must make true.

        Returns:
            The lines; what belongs to a step that is not left is looked at before starting.
        """
        left = {step.code for step in self.all()}
        return tuple(tick if tick.in_step in left else replace(tick, in_step=None) for tick in self._ticks)

    @cached_property
    def _ticks(self) -> tuple[Tick, ...]:
        lines = conditions.on_site(self.work)
        return tuple(line if isinstance(line, Tick) else met_in(None, line) for line in lines)

    @cached_property
    def filling(self) -> Filling | None:
        """How the holes are filled, None without resin."""
        return Filling(self.work, self.temperatures) if self.bonded else None

    @property
    def resin(self) -> Resin | None:
        """The resin's times and volume, None without resin."""
        return None if self.filling is None else self.filling.resin

    @property
    def _drill_name(self) -> str:
        say = self.work.words.say
        named = {
            "hammer": say("hammer drill"),
            "hollow_bit": say("hammer drill with hollow bit and vacuum cleaner"),
            "diamond_core": say("diamond core drill"),
            UNKNOWN: say("hammer drill"),
        }
        return named.get(self.drilling) or self.drilling.replace("_", " ")

    def _tools(self) -> Iterator[Line]:
        work, fastener, tell = self.work, self.source.answer["fastener"], self.work.words.tell
        if not work.progress.to_set:
            yield from tightening.grout_tools(work)
            yield from tightening.tools(work)
            return
        yield tell(
            "{count} of article {article}: {title}, size {size}, {length} long",
            count=work.progress.number_to_set,
            article=fastener["article_code"],
            title=fastener["title"],
            size=fastener["size"],
            length=work.length,
        )
        if work.hole_diameter is not None and work.stop is not None:
            yield tell(
                "Drill: {drill}; bit Ø{diameter}, working length more than {depth}, as the stop takes room; depth stop",
                drill=self._drill_name,
                diameter=work.hole_diameter,
                depth=work.stop,
            )
            yield from self._cleaning_tools()
            yield tell("Detector for metal, pipes and cables")
        yield from self._setting_tools()
        yield from tightening.grout_tools(work)
        yield from tightening.tools(work)
        if work.cast_in:
            yield tell("Stud-welding set and a welder qualified for it, or plates supplied with their studs welded on")

    def _setting_tools(self) -> Iterator[Line]:
        tell, mechanism = self.work.words.tell, self.source.mechanism
        if self.filling is not None:
            yield tell(
                "Dispenser, cartridge within its shelf life, mixing nozzles, clock, thermometer for the {base}",
                base=self.work.base,
            )
            if self.filling.needs_hose:
                yield tell(
                    "Extension hose, at least as long as the bit has to be, and piston plug of the hole's diameter"
                )
            if self.source.overhead:
                yield tell("Wedges or caps that hold the rods until the resin has cured")
        if mechanism == "deformation_controlled_expansion":
            yield tell(
                "Hammer and the setting tool made for this size: a tool for another size does not expand the sleeve"
            )
        if mechanism == "undercut":
            yield tell("Undercutting tool made for this size, and a hammer")
        if mechanism == "torque_controlled_expansion":
            yield tell("Hammer")

    def _cleaning_tools(self) -> Iterator[Line]:
        tell = self.work.words.tell
        yield tell(
            "Blow-out pump, its hose or lance at least as long as the bit has to be; compressed air only where the "
            "cleaning steps say so, and free of oil"
        )
        if self.flushed:
            yield tell("Clean water with a hose or lance at least as long as the bit has to be, and what takes it out")
        if self.work.brushed:
            yield tell(
                "Brush of the hole's diameter, its shaft at least as long as the bit has to be; throw worn brushes away"
            )

    def _surface(self) -> Iterator[Line]:
        if not self.work.cast_in:
            yield self.work.words.tell(
                "Plaster, screed, tiles, lagging and paint may hold asbestos or lead: if nobody has shown that they do "
                "not, stop and ask before any of it comes off",
                code=SheetLineCode.ASBESTOS_OR_LEAD,
            )
        if not self.work.cast_in and people_beneath(self.source):
            yield self.work.words.tell(
                "People can be beneath: close the place beneath off before the first hole, and keep it closed until "
                "the fixing is released for loading",
                code=SheetLineCode.CLOSED_BENEATH,
            )
        if guards_an_edge(self.source):
            yield self.work.words.tell(
                "Nothing keeps anybody from falling here yet: a temporary guard, or a harness on an anchor point that "
                "somebody competent has named, before the first step to the edge; over water a life jacket too",
                code=SheetLineCode.SECURED_AT_EDGE,
            )
        # Under what stays nobody sees or taps the concrete before it is opened where it was marked.
        covered = (*OF_BARE_CONCRETE, OF_SOUND_CONCRETE, OF_UNCRACKED)
        left_out: tuple[str, ...] = covered if self.work.topping_left is not None else ()
        if self.work.state == "cracked":
            left_out = (*left_out, OF_UNCRACKED)
        if self.work.without_plate:
            left_out = (*left_out, OF_A_PLATE)
        if self.work.masonry:
            left_out = (*left_out, OF_UNCRACKED, OF_SOUND_CONCRETE)
            yield self.work.words.tell(
                "Tap it: where bricks, blocks or stones are loose or sound hollow, or joints are empty or soft, it is "
                "not what the fasteners were pulled in",
                code=SheetLineCode.SOUND_MASONRY,
            )
        yield from (line for line in self.holding("surface_checks") if line.code not in left_out)
        yield from tightening.levelled(self.work)

    def _mark(self) -> Iterator[Line]:
        work, words = self.work, self.work.words
        where = {side.letter.lower(): side.own_words or side.on_plan for side in work.sides}
        if work.cast_in:
            yield words.tell(
                "Hold the plan as you look at the fixture and write its letters on plate and formwork. A: {a}; B: {b}; "
                "C: {c}; D: {d}",
                **where,
            )
        elif work.without_plate:
            yield words.tell(
                "Hold the plan as you look at the {base} and write its letters on it. A: {a}; B: {b}; C: {c}; D: {d}",
                base=work.base,
                **where,
            )
        else:
            yield words.tell(
                "Hold the plan as you look at the fixture and write its letters on plate and {base}. A: {a}; B: {b}; "
                "C: {c}; D: {d}",
                base=work.base,
                **where,
            )
        if work.progress.standing:
            yield from self._from_those_that_stand()
            yield from self._opened()
            return
        near = [side for side in work.sides if side.to_edge is not None]
        for side in near:
            if side.to_edge is not None:
                yield self._from_edge(side, side.to_edge)
        axes = {side.name[0] for side in near}
        if len(axes) == 1:
            yield words.tell(
                "Where along {side}: from {drawing}, as this sheet gives no edge that way",
                side=work.named(near[0]),
                drawing=self._drawing,
            )
        elif not near:
            yield words.tell(
                "Set out the first fastener from {drawing}: this sheet gives no edge to measure from",
                drawing=self._drawing,
            )
        if work.fasteners > 1 and (work.through_fixture or work.cast_in or work.without_plate):
            yield words.tell("Mark the other fasteners from the first one by the dimensions on the plan")
        elif work.fasteners > 1:
            # Common practice, no source: no tape sets out what a hole a millimetre wider has to go over.
            yield words.tell(
                "Mark the other fasteners through the holes of the fixture or a template of it, as it has to go over "
                "them, and hold them against the plan"
            )
        yield from self._across()
        yield from self._opened()

    def _opened(self) -> Iterator[Line]:
        """What stays on the concrete hides what is looked at there, and the resin; common practice, no source."""
        topping, tell = self.work.topping_left, self.work.words.tell
        if topping is None:
            return
        if self.work.cut_out is None:
            yield tell("Open the {topping} beside each mark, down to the concrete", topping=topping.kind)
        else:
            yield tell(
                "Cut the {topping} out around each mark, down to the concrete and wide enough to see it all round the "
                "hole; mark the hole again on the concrete",
                topping=topping.kind,
            )
        yield tell(
            "There tap the concrete and look for cracks and old holes: where it sounds hollow, spalls or crumbles, "
            "stop and ask"
        )

    def _from_edge(self, side: Side, distance: Figure) -> Line:
        """From an edge to all that stand in the row nearest to it, by their numbers."""
        words, side_named = self.work.words, self.work.named(side)
        if self.work.fasteners == 1:
            return words.tell(
                "From the edge at {side} to the centre of the fastener: {distance}", side=side_named, distance=distance
            )
        numbers = self.work.nearest_to(side)
        text = words.count(
            "From the edge at {side} to the centre of the nearest, fastener {numbers}: {distance}",
            "From the edge at {side} to the centre of the nearest, fasteners {numbers}: {distance}",
            len(numbers),
            side=side_named,
            distance=distance,
            numbers=", ".join(map(str, numbers)),
        )
        return Line(text, (distance,))

    @property
    def _drawing(self) -> str:
        say, drawing = self.work.words.say, self.source.fixing.job.drawing
        return say("the drawing of the job") if drawing is None else say("drawing {drawing}", drawing=drawing)

    def _from_those_that_stand(self) -> Iterator[Line]:
        """Set out what is still to be set: from what stands, and in the row nearest to an edge from the edge too."""
        tell, standing = self.work.words.tell, [place for place in self.work.places if place.stands]
        for place in self.work.places:
            if place.stands:
                continue
            yield tell(
                "Mark fastener {number} at x {x}, y {y}: x to the right and y upwards on the plan, from the fasteners "
                "that stand",
                number=str(place.number),
                x=place.x,
                y=place.y,
            )
            yield from self._hole_in_fixture(place)
            for side, distance in self.work.at_edges(place):
                yield tell(
                    "From the edge at {side} to the centre of fastener {number}: {distance}; if that and the lengths "
                    "from the others do not agree, stop and ask",
                    side=self.work.named(side),
                    number=str(place.number),
                    distance=distance,
                )
            nearest = sorted(standing, key=lambda other: straight(other, place).number)
            for other in nearest[:FROM_STANDING]:
                yield tell(
                    "From fastener {other}, which stands at x {x}, y {y}, to the centre of fastener {number}: {length}",
                    other=str(other.number),
                    x=other.x,
                    y=other.y,
                    number=str(place.number),
                    length=straight(other, place),
                )

    def _hole_in_fixture(self, place: Place) -> Iterator[Line]:
        """A plate has its hole where the fastener was first planned."""
        moved = {one.number for one in self.source.fixing.built.moved_from}
        if place.number in moved and self.work.clearance_hole is not None:
            yield self.work.words.tell(
                "The fixture needs a hole there for fastener {number}, of no more than Ø{diameter}: make it before the "
                "{base} is drilled",
                base=self.work.base,
                number=str(place.number),
                diameter=self.work.clearance_hole,
            )
            yield self.work.words.tell(
                "No hole is made beside the old one of fastener {number} before the engineer has confirmed that the "
                "fixture carries its load with both",
                number=str(place.number),
            )

    def _across(self) -> Iterator[Line]:
        """The lengths that show whether all stand where they were verified, which may be out of square."""
        work, words = self.work, self.work.words
        if not work.cast_in:
            yield words.tell(
                "Mark to the millimetre, and write down where each really stands: no tolerance was counted on, and a "
                "few millimetres can be too many"
            )
        for one in work.across:
            yield words.tell(
                "Check by measuring from fastener {start} to fastener {end}: {length}",
                start=str(one.start.number),
                end=str(one.end.number),
                length=one.length,
            )
        if work.out_of_square:
            yield words.tell("They do not stand square: so they were verified. Do not square them up")

    def _scan(self) -> Iterator[Line]:
        if self.work.cast_in or self.work.deepest is None:
            return
        tell = self.work.words.tell
        if self.work.masonry:
            yield tell("Scan each position deeper than {depth}: pipes, cables, ties, lintels", depth=self.work.deepest)
        else:
            yield tell(
                "Scan each position deeper than {depth}: reinforcement, tendons, pipes, cables, heating",
                depth=self.work.deepest,
            )
        yield tell(
            "Isolate the services that may run there, and have the permit to drill before the first hole",
            code=SheetLineCode.SERVICES_ISOLATED,
        )
        if self.work.masonry:
            yield tell(
                "Never drill into a pipe, a live cable, a tie or a lintel: ask the engineer for other positions and "
                "have them verified first"
            )
        else:
            yield tell(
                "Never drill into a tendon, a pipe or a live cable. Do not drill through reinforcement either: ask the "
                "engineer for other positions and have them verified first"
            )

    def _drill(self) -> Iterator[Line]:
        work, tell = self.work, self.work.words.tell
        if work.hole_diameter is None or work.hole_depth is None or work.stop is None:
            return
        if names := self._open_holes:
            yield tell(
                "First fill {names} with high-strength grout and let it harden: the plan shows where", names=names
            )
        yield from self._how_deep(work.hole_diameter, work.hole_depth)
        if work.topping_left is not None and work.cut_out is None:
            yield from self._through_topping(work.topping_left, work.hole_depth, work.stop)
        elif work.through_fixture:
            if self.source.overhead:
                yield tell(
                    "Drill through the fixture in place; depth stop at {depth} from its underside", depth=work.stop
                )
            else:
                yield tell("Drill through the fixture in place; depth stop at {depth} from its top", depth=work.stop)
            yield tell("If the fixture hides the hole, look into each one before its fastener goes in")
        elif work.without_plate:
            yield tell("Depth stop at {depth}", depth=work.stop)
        else:
            yield tell("Drill before the fixture goes on; depth stop at {depth}", depth=work.stop)
        if work.reach is not work.nominal_embedment:
            yield tell(
                "This is deeper than the assessment's table has it: with its head seated on this thin fixture the "
                "fastener reaches {depth} into the {base}",
                base=work.base,
                depth=work.set_depth,
            )
        yield self._bar_hit()
        yield from self._method()
        if self.drilling != "hollow_bit":
            yield tell("Extract the dust at the bit, all the while it turns")
        yield from self._listed("drilling_steps")

    def _through_topping(self, topping: Topping, depth: Figure, stop: Figure) -> Iterator[Line]:
        """How deep through what is nowhere as thick as told: it is measured at each hole, and the stop follows it."""
        work, tell = self.work, self.work.words.tell
        kind, thickness = topping.kind, topping.thickness
        if tightening.has_head(work):
            # The head ends it: through less of the topping, hole and screw reach as much deeper.
            yield tell(
                "Drill through the fixture in place and the {topping}; depth stop at {depth} from the outside "
                "of the fixture, also where the {topping} is thinner: there hole and fastener reach as much deeper",
                topping=kind,
                depth=stop,
            )
            return
        if work.through_fixture:
            above = derived("stop_but_topping_mm", "mm", stop.number - thickness.number, "{} - {}", stop, thickness)
            yield tell(
                "Drill through the fixture in place down to the concrete first and measure the {topping} in each hole: "
                "the depth stop from the outside of the fixture is {above} and what it measures, {depth} at "
                "{thickness}",
                topping=kind,
                above=above,
                depth=stop,
                thickness=thickness,
            )
            return
        yield tell(
            "Before the fixture goes on, drill through the {topping} down to the concrete first and measure it in each "
            "hole: the depth stop from the top of the {topping} is {above} and what it measures, {depth} at "
            "{thickness}",
            topping=kind,
            above=depth,
            depth=stop,
            thickness=thickness,
        )

    def _how_deep(self, diameter: Figure, depth: Figure) -> Iterator[Line]:
        """Between which depths, of every mechanism: who drills to the millimetre drills too short half of the time."""
        most, tell, over = self.work.hole_most, self.work.words.tell, self.work.head_over
        if over is not None:
            yield tell(
                "Drill Ø{diameter}, square to the surface: at least {depth} and no more than {most} deep into the "
                "concrete where the {topping} measures {thickness}, and both as much more as it measures less",
                diameter=diameter,
                depth=depth,
                most=most or depth,
                topping=over.kind,
                thickness=over.thickness,
            )
        elif most is None:
            yield tell(
                "Drill Ø{diameter}, {depth} deep into the {base}, square to the surface",
                base=self.work.base,
                diameter=diameter,
                depth=depth,
            )
        else:
            yield tell(
                "Drill Ø{diameter}, at least {depth} and no more than {most} deep into the {base}, square to the "
                "surface",
                base=self.work.base,
                diameter=diameter,
                depth=depth,
                most=most,
            )
        if most is None:
            return
        if self.source.mechanism in EXPANDED_AT_THE_BOTTOM:
            yield tell("In a deeper hole the fastener cannot be used")
        else:
            yield tell("A deeper hole is written down: the as-built check says whether it serves")
        yield tell("Measure the first hole before you drill the next, and move the depth stop until it is right")

    def _bar_hit(self) -> Line:
        """What is done where the bit meets metal: the depth says whether it was one, and whom to ask is on the job."""
        tell, call = self.work.words.tell, self.source.fixing.job.call
        if call is None:
            return tell(
                "If the bit meets metal: stop, write down where and how deep, and ask the engineer before anything "
                "else",
                code=SheetLineCode.BAR_HIT,
            )
        return tell(
            "If the bit meets metal: stop, write down where and how deep, and call {call} before anything else",
            call=call,
            from_="#/request/job/call",
            code=SheetLineCode.BAR_HIT,
        )

    def _method(self) -> Iterator[Line]:
        """The method of the assessment; one that was verified is a tick of this step."""
        if "drilling" not in {tick.code for tick in self._ticks}:
            rule, tell = self.source.selection.path("installation", "drilling_methods"), self.work.words.tell
            yield tell("Drilling method: {drill}, no other", drill=self._drill_name, rule=rule)

    def _clean(self) -> Iterator[Line]:
        if self.work.hole_depth is None:
            return
        tell = self.work.words.tell
        if self.flushed:
            yield from self._listed("flooded_hole_steps")
            yield tell("Flush from the bottom, until the water comes out clear")
        if self.hole == "dry":
            yield tell(
                "From the bottom of the hole outwards, until no more dust comes out; dust left in the hole weakens the "
                "anchor"
            )
        else:
            # Common practice, no source: wet dust does not fly, it sticks. No assessment asks for water there.
            yield tell(
                "From the bottom of the hole outwards, these steps and all of them again until no slurry comes out or "
                "stays on the brush; wet dust sticks to the wall and weakens the anchor as dry dust does"
            )
        yield from self._listed("cleaning_steps")
        if self.bonded:
            yield tell("Clean a hole again before filling if it was left open or has got dusty since")

    @property
    def flushed(self) -> bool:
        """Whether the hole is flushed: where the rules of the family say so, of a hole that is flooded."""
        installation = self.source.selection.family["installation"]
        return self.hole == "flooded" and bool(installation.get("flooded_hole_steps"))

    def _listed(self, name: str) -> Iterator[Line]:
        """Steps as the family's rules word them; older rules have not every list."""
        if name in self.source.selection.family["installation"]:
            path = self.source.selection.path("installation", name)
            for index in range(len(self.source.read(path))):
                yield self.source.verbatim(f"{path}/{index}")

    def _resin(self) -> Iterator[Line]:
        return iter(()) if self.filling is None else self.filling.fill()

    @cached_property
    def hole(self) -> str:
        """Condition of the hole as the verification took it."""
        return Filling(self.work, self.temperatures).hole

    def _set(self) -> Iterator[Line]:
        work, tell = self.work, self.work.words.tell
        if work.cast_in:
            yield tell(
                "Studs welded to the plate as the drawing shows, {length} long after welding, from the plate to the "
                "end of the head; test the welds before the pour",
                length=work.length,
            )
            yield tell("Fix plate and studs to the formwork")
            return
        yield self._setting()
        if work.set_most is not None:
            yield tell(
                "Set depth at least {depth} and no more than {most}, from the {base} surface to the end of the "
                "fastener in the hole",
                base=work.base,
                depth=work.set_depth,
                most=work.set_most,
            )
            yield tell("Set deeper, it is written down: the as-built check says whether its nut still has thread")
        elif work.reach is work.nominal_embedment or work.set_at_least:
            yield tell(
                "Set depth at least {depth}, from the {base} surface to the end of the fastener in the hole",
                base=work.base,
                depth=work.set_depth,
            )
        else:
            yield tell(
                "Set depth {depth}, from the {base} surface to the end of the fastener in the hole",
                base=work.base,
                depth=work.set_depth,
            )
        yield from self._listed("setting_steps")
        yield from self._projects()
        if self.source.selection.family["installation"]["own_screw_only"]:
            yield tell(
                "Only with the screw supplied for it: with any other screw the figures do not apply",
                rule=self.source.selection.path("installation", "own_screw_only"),
            )
        if self.bonded:
            yield tell("Straighten it at once and do not touch it again; wipe off the resin that was squeezed out")

    def _projects(self) -> Iterator[Line]:
        """How much has to be seen of it: on what is set, that alone shows how deep it is."""
        work, tell = self.work, self.work.words.tell
        from_concrete = work.projection is not None
        most = work.projection if from_concrete else work.thread_shown
        if most is None:
            return
        least = work.least_shown
        if least is None and from_concrete:
            yield tell(
                "At the right depth it projects no more than {length} from the {base}", length=most, base=work.base
            )
        elif least is None:
            yield tell("At the right depth it projects no more than {length} out of the fixture", length=most)
        elif from_concrete:
            yield tell(
                "At the right depth it projects at least {least} and no more than {most} from the {base}",
                base=work.base,
                least=least,
                most=most,
            )
        else:
            yield tell(
                "At the right depth it projects at least {least} and no more than {most} out of the fixture",
                least=least,
                most=most,
            )

    def _setting(self) -> Line:
        mechanism, form, tell = self.source.mechanism, self.work.form, self.work.words.tell
        if mechanism == "bonded":
            return self._rod_in()
        if mechanism == "undercut":
            return tell("Set the fastener in the undercut hole and drive its sleeve until the setting mark shows")
        if mechanism == "concrete_screw":
            if self._tool is Tool.DRIVER:
                return tell(
                    "Drive it in with the impact wrench through the fixture in one go until its head bears on it, then "
                    "stop"
                )
            return tell(
                "Screw it in by hand with ratchet or spanner through the fixture in one go until its head bears on it, "
                "then stop"
            )
        if mechanism == "deformation_controlled_expansion":
            return self._sleeve_in()
        if mechanism == "plastic_anchor":
            return tell(
                "Push the plug in through the fixture until its collar bears on it and drive the screw in until its "
                "head is seated, then stop"
            )
        if form in HEAD_RESTS_ON_FIXTURE:
            return tell("Drive it in through the fixture with the hammer until its head bears on it")
        if form in RINGS:
            return tell("Drive it in with the hammer, the ring or hook kept on its thread")
        if self.work.through_fixture:
            return tell("Drive it in through the fixture with the hammer, nut or head kept on its thread")
        return tell("Drive it in with the hammer before the fixture goes on, nut or head kept on its thread")

    def _rod_in(self) -> Line:
        """The mark is as far from the end as the top of what is drilled through, the only surface that is seen."""
        return self.work.words.tell(
            "Turn the rod in slowly by hand, marked {mark} from its end, before the working time is over",
            mark=self.work.mark_on_rod,
        )

    def _sleeve_in(self) -> Line:
        tell = self.work.words.tell
        if self.source.selection.family["installation"].get("setting_steps"):
            return tell("Push the sleeve in flush")
        # Older rules say nothing of the setting tool among what is done when it is set.
        return tell(
            "Push the sleeve in flush and drive the setting tool in with the hammer until its shoulder meets it"
        )

    @cached_property
    def _tool(self) -> Tool:
        return tightening.tool_of(self.work)

    def _pour(self) -> Iterator[Line]:
        """From the pour until it may be loaded; common practice, no source."""
        work, tell, strength = self.work, self.work.words.tell, self.work.concrete_strength
        if not work.cast_in:
            return
        if work.progress.to_set:
            yield tell("Write down day and time of the pour; compact the concrete well around the heads")
            if work.gap is not None:
                yield tell(
                    "At the pour leave {gap} between plate and concrete; no stud less than {depth} in the concrete",
                    gap=work.gap,
                    depth=work.set_depth,
                )
            yield tell("Strike no sooner than the engineer of the structure says; look for voids around the plate")
            if work.gap is not None:
                yield tell("Fill the gap with grout once the concrete has hardened")
        if strength is not None:
            yield tell(
                "Load nothing, hang nothing and weld nothing to the plate before the concrete has reached {strength}, "
                "shown by cubes or cylinders of the pour that hardened beside it",
                strength=strength,
                code=SheetLineCode.HUNG,
            )

    def _cure(self) -> Iterator[Line]:
        return iter(()) if self.filling is None else self.filling.cure()

    def _check(self) -> Iterator[Line]:
        tell = self.work.words.tell
        if tightening.is_open(self.work):
            yield from tightening.tightened(self.work)
        if self._tool in {Tool.NONE, Tool.HAND, Tool.FEEL}:
            yield tell(
                "Report whatever differs from this sheet (position, depth, length, {base}) for the as-built check",
                base=self.work.base,
            )
        else:
            yield tell(
                "Report whatever differs from this sheet (position, depth, length, torque, {base}) for the as-built "
                "check",
                base=self.work.base,
            )

        yield self._not_loaded()

    def _not_loaded(self) -> Line:
        """Whose word lets anything hang on it: the form asks for it."""
        tell, engineer = self.work.words.tell, self.source.fixing.job.issued_by
        if engineer is None:
            return tell("Not loaded until all of this is checked and the engineer has released it below")
        return tell(
            "Not loaded until all of this is checked and {engineer} has released it below",
            engineer=engineer,
            from_="#/request/job/issued_by",
        )

    def _failed_hole(self) -> Iterator[Line]:
        tell = self.work.words.tell
        if self.work.cast_in:
            yield tell(
                "If a stud is missing, bent or out of position: stop and ask; do not drill in a replacement that has "
                "not been verified"
            )
            return
        if self.work.progress.to_set:
            yield self._stop_and_call()
        yield from self._holes_before()
        if not self.work.progress.to_set:
            yield from self._holes_to_fill()
            return
        yield from self._aborted_hole()
        if self._tool is Tool.WRENCH:
            yield tell("Never pack or glue a fastener that spins, sits loose or does not reach its torque")
        else:
            yield tell("Never pack or glue a fastener that spins or sits loose")

    def _stop_and_call(self) -> Line:
        """A hole that failed is no leave to drill another one."""
        tell, call = self.work.words.tell, self.source.fixing.job.call
        if call is None:
            return tell(
                "Stop and ask the engineer. Drill no other hole, and do not load the fixing, until the new position "
                "has been verified (as-built check)",
                code=SheetLineCode.HOLE_FAILED,
            )
        return tell(
            "Stop and call {call}. Drill no other hole, and do not load the fixing, until the new position has been "
            "verified (as-built check)",
            call=call,
            from_="#/request/job/call",
            code=SheetLineCode.HOLE_FAILED,
        )

    def _holes_to_fill(self) -> Iterator[Line]:
        """Name the holes that are not filled yet, where nothing else is left to do."""
        if names := self._open_holes:
            yield self.work.words.tell("Still to be filled with high-strength grout: {names}", names=names)

    @property
    def _open_holes(self) -> str:
        """Names of the aborted holes that nobody has filled yet; empty where there is none."""
        return ", ".join(one.name for one in nearby(self.work) if one.aborted and one.given.state == "open_hole")

    def _holes_before(self) -> Iterator[Line]:
        """Name the holes that earlier as-built checks found."""
        words, names = self.work.words, [one.name for one in nearby(self.work) if one.aborted]
        if names:
            yield words.tell(
                "Aborted holes that are there by now, which plan and ticks show: {names}", names=", ".join(names)
            )
        more = len(self.source.fixing.built.aborted_holes) - len(names)
        if more > 0:
            yield Line(words.count("And {number} more: see the record", "And {number} more: see the record", more))

    def _aborted_hole(self) -> Iterator[Line]:
        diameter, depth = self.work.hole_diameter, self.work.hole_depth
        if diameter is None or depth is None:
            return
        rules = f"{INSTALLATION}#/aborted_hole"
        by_depth = self.source.rule("depth_factor", "1", f"{rules}/depth_factor")
        by_diameter = self.source.rule("hole_diameter_factor", "1", f"{rules}/hole_diameter_factor")
        book = self.source.rulebook
        full = least_distance(book, diameter.number, depth.number).distance_mm
        filled = least_distance(book, diameter.number, depth.number, filled=True).distance_mm
        full_figure = derived(
            "least_to_empty_hole_mm",
            "mm",
            up(full),
            "ceil(max({} * {}, {} * {}))",
            by_depth,
            depth,
            by_diameter,
            diameter,
        )
        least = derived("least_to_any_hole_mm", "mm", up(filled), "ceil({} * {})", by_diameter, diameter)
        tell = self.work.words.tell
        yield tell(
            "For the engineer, who gives the new position: at least {far} from the centre of the empty hole if that is "
            "{depth} deep; if it is shallower, its depth times {factor}, but never less than {least}; and at least "
            "{edge} from every edge of the {base}",
            base=self.work.base,
            far=full_figure,
            depth=depth,
            factor=by_depth,
            least=least,
            edge=self.work.least_edge,
        )
        yield from self._nearer_if_filled(least)
        yield tell(
            "Fill every aborted hole in the {base} with high-strength grout, and write it on this sheet with "
            "position, depth and diameter",
            base=self.work.base,
        )

    def _nearer_if_filled(self, least: Figure) -> Iterator[Line]:
        """What the check as built will count as filled: no hole that the shear of any fastener pushes towards."""
        work, tell = self.work, self.work.words.tell
        sides, empty = work.pushed_to, work.holes_pushed_to
        if len(sides) == len(work.sides):
            yield tell("For the engineer: no nearer, filled or not, as the shear pushes towards every side")
            return
        if empty == work.progress.to_set:
            yield tell(
                "For the engineer: no nearer, filled or not, as the shear of another fastener pushes towards each hole"
            )
            return
        if sides:
            yield tell(
                "For the engineer: down to {least} only if the empty hole has been filled with high-strength grout "
                "that has hardened, and only where it does not lie towards {sides} from the new one: that way the "
                "shear pushes",
                least=least,
                sides=work.words.either([work.named(side) for side in sides]),
            )
        else:
            yield tell(
                "For the engineer: down to {least} only if the empty hole has been filled with high-strength grout "
                "that has hardened",
                least=least,
            )
        if empty:
            yield Line(
                work.words.count(
                    "For the engineer: but no nearer, filled or not, to the hole of fastener {numbers}: the shear of "
                    "another one pushes towards it",
                    "For the engineer: but no nearer, filled or not, to the holes of fasteners {numbers}: the shear of "
                    "another one pushes towards them",
                    len(empty),
                    numbers=", ".join(map(str, empty)),
                )
            )

    def _removal(self) -> Iterator[Line]:
        yield self.work.words.tell(
            "Prop or hang up what it holds before anything is undone; nobody stands beneath", code=SheetLineCode.PROPPED
        )
        yield self.source.verbatim(self.source.selection.path("installation", "removal"))
        if not self.source.selection.family["reusable"]:
            yield self.work.words.tell("Do not use it a second time", rule=self.source.selection.path("reusable"))
        if not self.work.cast_in and not serves_again(self.source.selection):
            yield self.work.words.tell("What replaces it needs a new hole, at a place that was verified first")
