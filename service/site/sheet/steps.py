"""The steps of the work in their order, and what must be so on site."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from service.site.holes.aborted import least_distance
from service.site.sheet import conditions, tightening
from service.site.sheet.conditions import NOT_KNOWN
from service.site.sheet.content import Figure, Line, Resin, Step, derived, line, up
from service.site.sheet.resin import Filling, Temperatures
from service.site.sheet.source import INSTALLATION, Source
from service.site.sheet.tightening import Tool
from service.site.sheet.work import HEAD_RESTS_ON_FIXTURE, Work

DRILLS = {
    "hammer": "hammer drill", "hollow_bit": "hammer drill with hollow bit and vacuum cleaner",
    "diamond_core": "diamond core drill", "unknown": "hammer drill",
}  # fmt: skip
WITH_FIGURES = ("mark", "drill", "resin", "set", "cure", "grout", "tighten", "check", "failed_hole")
"""Steps that somebody could build from; a demonstration says beside each of them that they must not."""
GIVEN_UP_SHOWN = 20
TWO = 2
DEMONSTRATION_STEP = "DEMONSTRATION: invented figures, do not build"


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
        value = (self.source.request.get("site") or {}).get("drilling") or NOT_KNOWN
        methods = self.source.selection.family["installation"]["drilling_methods"]
        return str(methods[0] if value == NOT_KNOWN and methods else value)

    def all(self) -> tuple[Step, ...]:
        """Write every step.

        Returns:
            The steps that the fixing needs, in the order of the work.
        """
        written = (
            ("tools", "Tools and bits", self._tools()),
            ("surface", "Look at the surface", self._surface()),
            ("mark", "Mark the places out", self._mark()),
            ("scan", "Scan for bars and services", self._scan()),
            ("fixture_first", "Put the fixture up", tightening.fixture_first(self.work)),
            ("drill", "Drill", self._drill()),
            ("clean", "Clean the hole", self._clean()),
            ("resin", "Fill with resin", self._resin()),
            ("set", "Set", self._set()),
            ("cure", "Leave it to cure", self._cure()),
            ("fixture_on", "Put the fixture on", tightening.fixture_on(self.work, bonded=self.bonded)),
            ("grout", "Fill the gap with grout", tightening.fill_gap(self.work)),
            ("tighten", "Tighten", tightening.tighten(self.work)),
            ("check", "Check and write down", self._check()),
            ("failed_hole", "If a hole fails or is given up", self._failed_hole()),
            ("removal", "Removal", self._removal()),
        )
        demonstration = self.source.rulebook.status == "demonstration"
        warned = WITH_FIGURES if demonstration else ()
        found = ((code, title, tuple(lines)) for code, title, lines in written)
        return tuple(
            Step(code, title, lines, DEMONSTRATION_STEP if code in warned else None)
            for code, title, lines in found
            if lines
        )

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
            self.source.words(f"{path}/{index}/text", entry["code"])
            for index, entry in enumerate(entries)
            if holds[entry["when"]]
        )

    def on_site(self) -> tuple[Line, ...]:
        """List what the verification relied on and the site must make true.

        Returns:
            The lines.
        """
        return tuple(conditions.on_site(self.work))

    @cached_property
    def filling(self) -> Filling | None:
        """How the holes are filled, None without resin."""
        return Filling(self.work, self.temperatures) if self.bonded else None

    @property
    def resin(self) -> Resin | None:
        """The resin's times and volume, None without resin."""
        return None if self.filling is None else self.filling.resin

    def _tools(self) -> Iterator[Line]:
        work, fastener = self.work, self.source.answer["fastener"]
        count = Figure("fasteners_per_fixing", work.fasteners, "count", from_="#/request/positions")
        yield line(
            f"{{}} of article {fastener['article_code']}: {fastener['title']}, size {fastener['size']}, {{}} long",
            count, work.length,
        )  # fmt: skip
        if work.hole_diameter is not None and work.stop is not None:
            drill = DRILLS.get(self.drilling, self.drilling.replace("_", " "))
            yield line(
                f"{drill.capitalize()}; bit {{}}, long enough for {{}}; depth stop", work.hole_diameter, work.stop
            )
            yield Line("Detector for bars, pipes and cables")
            yield from self._cleaning_tools()
        if self.filling is not None:
            yield Line(
                "Dispenser, cartridge within its shelf life, mixing nozzles, clock, thermometer for the concrete"
            )
            if self.filling.needs_hose:
                yield Line("Extension hose and piston plug of the hole's diameter")
        if self.source.mechanism == "deformation_controlled_expansion":
            yield Line(
                "Hammer and the setting tool of the very size; a tool of another size does not expand the sleeve"
            )
        if self.source.mechanism == "undercut":
            yield Line("The undercutting tool of the very size, and a hammer")
        if self.source.mechanism == "torque_controlled_expansion":
            yield Line("Hammer")
        yield from tightening.grout_tools(work)
        yield from tightening.tools(work)
        if work.cast_in:
            yield Line("Stud-welding set and a welder qualified for it, or plates that come with their studs welded on")

    def _cleaning_tools(self) -> Iterator[Line]:
        depth = self.work.hole_depth
        if depth is None:
            return
        yield line(
            "Pump to blow the hole out, its hose or lance longer than {}; compressed air only where the cleaning steps "
            "name it, and free of oil",
            depth,
        )
        if self.bonded:
            yield line("Brush of the hole's diameter, with its shaft longer than {}; worn ones are thrown away", depth)

    def _surface(self) -> Iterator[Line]:
        yield from self.holding("surface_checks")
        yield from tightening.levelled(self.work)

    def _mark(self) -> Iterator[Line]:
        ground = "formwork" if self.work.cast_in else "concrete"
        yield Line(
            f"Hold the plan as you look at the fixture and write its letters A to D on plate and {ground}; "
            + "; ".join(f"{side.letter}: {side.own_words or side.on_plan}" for side in self.work.sides)
        )
        for side in self.work.sides:
            if side.to_edge is not None:
                yield line(f"Edge at {side.words} to the middle of the nearest fastener: {{}}", side.to_edge)
        if self.work.fasteners > 1:
            near = any(side.to_edge is not None for side in self.work.sides)
            first = "The others from there" if near else "The first where the job has it, the others from it"
            diagonals = "; measure the diagonals too" if self.work.fasteners > TWO else ""
            yield Line(f"{first} as the plan shows{diagonals}")

    def _scan(self) -> Iterator[Line]:
        if self.work.cast_in or self.work.hole_depth is None:
            return
        yield line("Scan each place to at least {}: bars, tendons, pipes, cables, heating", self.work.hole_depth)
        yield Line(
            "Never drill a tendon, a pipe or a live cable. A bar in the way is not drilled through either: ask the "
            "engineer for other positions and have them verified first"
        )

    def _drill(self) -> Iterator[Line]:
        work = self.work
        if work.hole_diameter is None or work.hole_depth is None or work.stop is None:
            return
        yield line(
            "Drill {} wide and {} deep into the concrete, square to the surface", work.hole_diameter, work.hole_depth
        )
        if work.drilled_no_deeper is not None:
            yield line("No deeper than {}: a hole that is deeper is no use", work.drilled_no_deeper)
        if work.stop is work.hole_depth:
            yield line("Drill before the fixture is there; set the stop at {}", work.stop)
        else:
            yield line("Drill through the fixture in place; set the stop at {} from its top", work.stop)
            yield Line("Where the fixture hides the hole, look into each before its fastener goes in")
        if work.reach is not work.nominal_embedment:
            yield line(
                "Deeper than the table of the assessment: with its head seated on this fixture the fastener reaches {} "
                "into the concrete",
                work.set_depth,
            )
        path = self.source.selection.path("installation", "drilling_methods")
        method = DRILLS.get(self.drilling, self.drilling.replace("_", " "))
        known = (self.source.request.get("site") or {}).get("drilling") or NOT_KNOWN
        verified = "" if known == NOT_KNOWN else ", as verified"
        yield Line(f"Drill with a {method}{verified} and no other way", rule=path)
        if self.drilling != "hollow_bit":
            yield Line("Draw the dust off at the bit")
        yield from self._listed("drilling_steps")

    def _clean(self) -> Iterator[Line]:
        if self.work.hole_depth is None:
            return
        yield Line("From the bottom of the hole outwards, and on until no dust comes; dust that stays costs force")
        if self.hole == "flooded":
            yield from self._listed("flooded_hole_steps")
        yield from self._listed("cleaning_steps")
        if self.bonded:
            got = {"dry": "wet or dusty", "wet": "flooded or dusty"}.get(self.hole, "dusty")
            yield Line(f"A hole that has stood open, or got {got} since, is cleaned anew before it is filled")

    def _listed(self, name: str) -> Iterator[Line]:
        """Steps as the family's rules word them; older rules have not every list."""
        if name in self.source.selection.family["installation"]:
            path = self.source.selection.path("installation", name)
            for index in range(len(self.source.read(path))):
                yield self.source.words(f"{path}/{index}")

    def _resin(self) -> Iterator[Line]:
        return iter(()) if self.filling is None else self.filling.fill()

    @cached_property
    def hole(self) -> str:
        """Condition of the hole as the verification took it."""
        return Filling(self.work, self.temperatures).hole

    def _set(self) -> Iterator[Line]:
        work = self.work
        if work.cast_in:
            yield line(
                "Studs {} long, welded to the plate as the drawing shows; test the welds before the pour", work.length
            )
            yield Line("Fix plate and studs to the formwork; compact the concrete well around the heads")
            return
        least = "at least " if work.reach is work.nominal_embedment else ""
        yield line(
            f"{self._setting_words()}: set depth {least}{{}}, from the concrete surface to the end in the concrete",
            work.set_depth,
        )
        yield from self._listed("setting_steps")
        if work.set_no_deeper is not None:
            yield line("No deeper than {}, or the nut may not get its whole thread", work.set_no_deeper)
        if work.stands_out is not None:
            yield line("Where it is deep enough, no more than {} stand out of the concrete", work.stands_out)
        elif work.thread_shown is not None:
            yield line("Where it is deep enough, no more than {} stand out above the fixture", work.thread_shown)
        if self.source.selection.family["installation"]["own_screw_only"]:
            yield Line(
                "Only with the screw that belongs to it: any other screw makes the figures void",
                rule=self.source.selection.path("installation", "own_screw_only"),
            )
        if self.bonded:
            yield Line("Straighten it at once and do not touch it again; wipe off what has welled up")

    def _setting_words(self) -> str:
        mechanism, form = self.source.mechanism, self.work.form
        words = {
            "bonded": "Turn the rod in slowly by hand, marked at its depth, before the working time is over",
            "undercut": "Set the fastener in the undercut hole and drive its sleeve until the mark shows",
            "concrete_screw": f"Screw it in {self._by} through the fixture in one go until its head lies on it, then "
            "stop",
            "deformation_controlled_expansion": self._sleeve_in(),
            "plastic_anchor": "Push the plug in through the fixture until its collar lies on it and drive the screw "
            "in until its head is seated, then stop",
        }
        through = "through the fixture" if self.work.through_fixture else "before the fixture"
        default = f"Drive it in {through} with the hammer, nut or head kept on its thread"
        if form in HEAD_RESTS_ON_FIXTURE and mechanism == "torque_controlled_expansion":
            default = "Drive it in through the fixture with the hammer until its head lies on it"
        return words.get(mechanism, default)

    def _sleeve_in(self) -> str:
        if self.source.selection.family["installation"].get("setting_steps"):
            return "Push the sleeve in flush"
        # Older rules say nothing of the setting tool among what is done when it is set.
        return "Push the sleeve in flush and drive the setting tool in with the hammer until its shoulder meets it"

    @cached_property
    def _tool(self) -> Tool:
        return tightening.tool_of(self.work)

    @property
    def _by(self) -> str:
        return "with the impact driver" if self._tool is Tool.DRIVER else "by hand with ratchet or spanner"

    def _cure(self) -> Iterator[Line]:
        return iter(()) if self.filling is None else self.filling.cure()

    def _check(self) -> Iterator[Line]:
        yield from tightening.tightened(self.work)
        if self.work.cast_in:
            yield Line("Plate in its place and flat, concrete sound around it and without voids")
        else:
            yield Line(
                "Fixture flat, nothing cracked or spalled, nothing turning in its hole, every fastener in place and "
                "numbered"
            )
        torque = "" if self._tool in {Tool.NONE, Tool.HAND} else " torque,"
        yield Line(f"What differs from this sheet (place, depth, length,{torque} concrete) goes to the as-built check")

    def _failed_hole(self) -> Iterator[Line]:
        if self.work.cast_in:
            yield Line(
                "A stud that is missing, bent or out of place: stop and ask; nothing is drilled in its place unverified"
            )
            return
        yield from self._given_up()
        yield from self._aborted_hole()
        yield Line(
            "A moved fastener is another fixing: have the new place verified (as-built check) before it is loaded"
        )
        short = " or falls short of its torque" if self._tool is Tool.WRENCH else ""
        spins = "spins, sits loose" if short else "spins or sits loose"
        yield Line(f"Never fix a fastener that {spins}{short} by packing or gluing it")

    def _given_up(self) -> Iterator[Line]:
        """List the holes that earlier as-built checks found."""
        holes = (self.source.request.get("built") or {}).get("aborted_holes") or ()
        for index, hole in enumerate(holes[:GIVEN_UP_SHOWN]):
            place = f"#/request/built/aborted_holes/{index}"
            figures = [self.source.given(name, "mm", f"{place}/{name}") for name in ("x_mm", "y_mm", "depth_mm")]
            filled = ", filled" if hole.get("refilled") else ""
            yield line(f"A hole given up before, from the origin: x {{}}, y {{}}, {{}} deep{filled}", *figures)
        if len(holes) > GIVEN_UP_SHOWN:
            yield Line(f"And {len(holes) - GIVEN_UP_SHOWN} more: see the record")

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
            "least_to_empty_hole_mm", "mm", up(full), "ceil(max({} * {}, {} * {}))", by_depth, depth, by_diameter,
            diameter,
        )  # fmt: skip
        least = derived("least_to_any_hole_mm", "mm", up(filled), "ceil({} * {})", by_diameter, diameter)
        yield line(
            "New hole, from the middle of the empty one: at least {} where that is {} deep; where it is shallower, its "
            "depth times {}, but never less than {}",
            full_figure,
            depth,
            by_depth,
            least,
        )
        yield line(
            "Down to {} only where the empty one is filled with mortar of high strength, has hardened and does not lie "
            "where the shear pushes",
            least,
        )
        yield Line("A hole given up is filled all the same, and written into the sheet with place, depth and diameter")

    def _removal(self) -> Iterator[Line]:
        yield self.source.words(self.source.selection.path("installation", "removal"))
        if not self.source.selection.family["reusable"]:
            yield Line("Not to be used a second time", rule=self.source.selection.path("reusable"))
