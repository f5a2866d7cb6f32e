"""The steps of the work in their order, and what must be so on site."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from service.site.sheet.content import Figure, Line, Resin, ResinRow, Step, derived, line
from service.site.sheet.source import INSTALLATION, NoSheet, Source
from service.site.sheet.work import HEAD_RESTS_ON_FIXTURE, INNER_THREAD, Work
from service.verification.refusal import Refusal

DRILLS = {
    "hammer": "hammer drill", "hollow_bit": "hammer drill with hollow bit and vacuum cleaner",
    "diamond_core": "diamond core drill", "unknown": "hammer drill",
}  # fmt: skip
NOT_KNOWN = "unknown"


def torque_range(source: Source, torque: Figure) -> tuple[Figure, Figure]:
    """Say between which readings a torque counts as the installation torque.

    Args:
        source: The verified fixing.
        torque: Its installation torque (N·m).

    Returns:
        The lowest and the highest reading (N·m).
    """
    share = source.rule("torque_tolerance_share", "1", f"{INSTALLATION}#/torque/tolerance_share")
    least, most = torque.number * (1 - share.number), torque.number * (1 + share.number)
    return (
        derived("least_torque_nm", "Nm", least, "{} * (1 - {})", torque, share),
        derived("largest_torque_nm", "Nm", most, "{} * (1 + {})", torque, share),
    )


@dataclass(frozen=True)
class Steps:
    """Writes the steps for the work of one fixing."""

    work: Work
    temperature_c: float | None = None

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

    @cached_property
    def torque_control(self) -> str:
        """How the torque is controlled, as verified."""
        return str((self.source.request.get("site") or {}).get("torque_control") or NOT_KNOWN)

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
            ("drill", "Drill", self._drill()),
            ("clean", "Clean the hole", self._clean()),
            ("resin", "Fill with resin", self._resin()),
            ("set", "Set", self._set()),
            ("cure", "Leave it to cure", self._cure()),
            ("tighten", "Tighten", self._tighten()),
            ("check", "Check and write down", self._check()),
            ("failed_hole", "If a hole fails or is given up", self._failed_hole()),
            ("removal", "Removal", self._removal()),
        )
        found = ((code, title, tuple(lines)) for code, title, lines in written)
        return tuple(Step(code, title, lines) for code, title, lines in found if lines)

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
        return tuple(self._on_site())

    @cached_property
    def resin(self) -> Resin | None:
        """The resin's times and volume, None without resin."""
        if not self.bonded:
            return None
        rows = tuple(self._resin_rows())
        volume = self.source.rule("resin_volume_of_a_hole_ml", "ml", self.source.selection.row_path("resin_volume_ml"))
        holding = [row for row in rows if row.holds]
        if self.temperature_c is None:
            return Resin(rows, None, None, None, volume)
        if not holding:
            raise NoSheet(self._not_at_this_temperature(rows))
        temperature = Figure("concrete_temperature_c", self.temperature_c, "°C", from_="#/concrete_temperature_c")
        # At the border of two ranges the shorter working and the longer curing time holds.
        working = min((row.working for row in holding), key=lambda figure: figure.number)
        curing = max((self._curing_of(row) for row in holding), key=lambda figure: figure.number)
        return Resin(rows, temperature, working, curing, volume)

    @cached_property
    def hole(self) -> str:
        """Condition of the hole as the verification took it."""
        index = self.source.requirement("hole_covered")
        return "dry" if index is None else str(self.source.answer["requirements"][index]["given"])

    def _curing_of(self, row: ResinRow) -> Figure:
        return row.curing_dry if self.hole == "dry" else row.curing_wet

    def _resin_rows(self) -> Iterator[ResinRow]:
        path = self.source.selection.path("installation", "working_and_curing")
        for index, entry in enumerate(self.source.read(path)):
            place = f"{path}/{index}"
            least, most = float(entry["temperature_min_c"]), float(entry["temperature_max_c"])
            yield ResinRow(
                self.source.rule("temperature_min_c", "°C", f"{place}/temperature_min_c"),
                self.source.rule("temperature_max_c", "°C", f"{place}/temperature_max_c"),
                self.source.rule("working_minutes", "min", f"{place}/working_minutes"),
                self.source.rule("curing_dry_minutes", "min", f"{place}/curing_dry_minutes"),
                self.source.rule("curing_wet_minutes", "min", f"{place}/curing_wet_minutes"),
                self.temperature_c is not None and least <= self.temperature_c <= most,
            )

    def _not_at_this_temperature(self, rows: tuple[ResinRow, ...]) -> Refusal:
        return Refusal(
            "#/concrete_temperature_c",
            "temperature_not_covered",
            f"the resin may not be set in concrete of {self.temperature_c:g} °C, only from "
            f"{rows[0].temperature_min.text} to {rows[-1].temperature_max.text}: wait or warm the concrete through, or "
            "choose another family; leave concrete_temperature_c out for a sheet with the whole table",
        )

    def _tools(self) -> Iterator[Line]:
        work, fastener = self.work, self.source.answer["fastener"]
        count = Figure("fasteners_per_fixing", work.fasteners, "count", from_="#/request/positions")
        yield line(
            f"{{}} of article {fastener['article_code']}: {fastener['title']}, {fastener['size']}, {{}} long",
            count, work.length,
        )  # fmt: skip
        if work.hole_diameter is not None and work.stop is not None:
            drill = DRILLS.get(self.drilling, self.drilling.replace("_", " "))
            yield line(
                f"{drill.capitalize()}; bit {{}}, long enough for {{}}; depth stop", work.hole_diameter, work.stop
            )
            yield Line("Detector for bars, pipes and cables; pump to blow the hole out" + self._brush())
        if self.bonded:
            yield Line(
                "Dispenser, cartridge within its shelf life, mixing nozzles, clock, thermometer for the concrete"
            )
        if self.source.mechanism == "deformation_controlled_expansion":
            yield Line(
                "Hammer and the setting tool of the very size; a tool of another size does not expand the sleeve"
            )
        if self.source.mechanism == "undercut":
            yield Line("The undercutting tool of the very size")
        if work.impact_driver_torque is not None:
            yield line("Impact driver with no more than {}", work.impact_driver_torque)
        if work.torque is not None:
            yield Line("Torque wrench" + (", calibrated" if self.torque_control == "calibrated_wrench" else ""))
        if work.spanner is not None:
            yield line("Spanner or socket {}", work.spanner)
        if work.cast_in:
            yield Line("Stud-welding set and a welder qualified for it, or plates that come with their studs welded on")

    def _brush(self) -> str:
        return " and the brush of the hole's diameter" if self.bonded else ""

    def _surface(self) -> Iterator[Line]:
        yield from self.holding("surface_checks")

    def _mark(self) -> Iterator[Line]:
        yield Line(
            "Hold the plan as you look at the fixture and write its letters A to D on plate and concrete; "
            + "; ".join(f"{side.letter}: {side.own_words or side.on_plan}" for side in self.work.sides)
        )
        for side in self.work.sides:
            if side.to_edge is not None:
                yield line(f"Edge at {side.words} to the middle of the nearest fastener: {{}}", side.to_edge)

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
        if work.stop is work.hole_depth:
            yield line("Drill before the fixture is there; set the stop at {}", work.stop)
        else:
            yield line("Drill through the fixture in place; set the stop at {} from its top", work.stop)
        if work.reach is not work.nominal_embedment:
            yield line(
                "Deeper than the table of the assessment: with its head on this fixture the fastener reaches {} into "
                "the concrete",
                work.reach,
            )
        path = self.source.selection.path("installation", "drilling_methods")
        method = DRILLS.get(self.drilling, self.drilling.replace("_", " "))
        yield Line(f"Drill with a {method}, as verified and no other way", rule=path)
        if self.drilling != "hollow_bit":
            yield Line("Draw the dust off at the bit")

    def _clean(self) -> Iterator[Line]:
        path = self.source.selection.path("installation", "cleaning_steps")
        for index in range(len(self.source.read(path))):
            yield self.source.words(f"{path}/{index}")

    def _resin(self) -> Iterator[Line]:
        if self.resin is None:
            return
        resin, rules = self.resin, f"{INSTALLATION}#/resin"
        yield Line("Measure the temperature of the concrete, not of the air, and read the times in the table below")
        if resin.concrete_temperature is not None and resin.working is not None:
            yield line("At {}: work it within {}", resin.concrete_temperature, resin.working)
        yield line(
            "Below {} or above {} it may not be set", resin.rows[0].temperature_min, resin.rows[-1].temperature_max
        )
        yield line(
            "Throw the first {} of each nozzle away, and more until its colour is even; a new nozzle after each pause "
            "longer than the working time",
            self.source.rule("discarded_ml", "ml", f"{rules}/discarded_ml"),
        )
        yield line(
            "Fill from the bottom without air: {} a hole at least; it has to well up when the rod goes in",
            resin.volume_of_a_hole,
        )

    def _set(self) -> Iterator[Line]:
        work = self.work
        if work.cast_in:
            yield line(
                "Studs {} long, welded to the plate as the drawing shows; test the welds before the pour", work.length
            )
            yield Line("Fix plate and studs to the formwork; compact the concrete well around the heads")
            return
        yield line(f"{self._setting_words()}, to an embedment of at least {{}}", work.nominal_embedment)
        if work.thread_shown is not None:
            yield line("Where it is deep enough, no more than {} stand out above the fixture", work.thread_shown)
        if self.source.selection.family["installation"]["own_screw_only"]:
            yield Line(
                "Only with the screw that belongs to it: any other screw makes the figures void",
                rule=self.source.selection.path("installation", "own_screw_only"),
            )
        if work.clearance_hole is not None:
            yield line("Holes in the fixture at most {}", work.clearance_hole)

    def _setting_words(self) -> str:
        mechanism, form = self.source.mechanism, self.work.form
        words = {
            "bonded": "Turn the rod in slowly by hand, marked at its depth, before the working time is over",
            "undercut": "Set the fastener in the undercut hole and drive its sleeve until the mark shows",
            "concrete_screw": "Screw it in through the fixture in one go until its head lies on it, then stop",
            "deformation_controlled_expansion": "Push the sleeve in flush and drive the setting tool in with the "
            "hammer until its shoulder meets the sleeve",
            "plastic_anchor": "Push the plug in through the fixture until its collar lies on it and drive the screw "
            "in until its head is seated, then stop",
        }
        through = "through the fixture" if self.work.through_fixture else "before the fixture"
        default = f"Drive it in {through} with the hammer, nut or head kept on its thread"
        if form in HEAD_RESTS_ON_FIXTURE and mechanism == "torque_controlled_expansion":
            default = "Drive it in through the fixture with the hammer until its head lies on it"
        return words.get(mechanism, default)

    def _cure(self) -> Iterator[Line]:
        if self.resin is None:
            return
        if self.resin.curing is not None:
            yield line(f"Do not touch, tighten or load it for {{}} ({self.hole} hole)", self.resin.curing)
        else:
            yield Line("Do not touch, tighten or load it before the curing time of the table is over")

    def _tighten(self) -> Iterator[Line]:
        work = self.work
        if work.torque is not None and work.form in INNER_THREAD:
            yield line("Fasten the fixture with bolt or rod at {}, no more", work.torque)
            yield Line("How far the bolt is screwed in is not in the rulebook: take it from the assessment")
        elif work.torque is not None:
            yield line(
                f"Tighten to {{}} with {self._wrench()}, in one go, clean thread, washer under the nut", work.torque
            )
        if work.impact_driver_torque is not None:
            yield line("Impact driver: set to no more than {}; stop when the head is seated", work.impact_driver_torque)
        if work.torque is None and work.impact_driver_torque is None and not work.cast_in:
            yield Line("The assessment asks for no torque: seat the head and turn no further")

    def _wrench(self) -> str:
        return {
            "calibrated_wrench": "a calibrated torque wrench set to it",
            "impact_driver_set": "an impact driver set for it; the verification reckons that nobody reads it",
        }.get(self.torque_control, "a torque wrench; the verification reckons with a torque that nobody reads")

    def _check(self) -> Iterator[Line]:
        work = self.work
        if work.torque is not None:
            yield line(
                "Read the torque when it is set, from {} to {}, and write it down",
                *torque_range(self.source, work.torque),
            )
            yield Line("Read later, a bolt shows less, as its pull settles; that is no reason to tighten it on")
        yield Line(
            "Fixture flat, nothing cracked or spalled, nothing turning in its hole, every hole filled and numbered"
        )
        yield Line("What differs from this sheet (place, depth, length, torque, concrete) goes to the as-built check")

    def _failed_hole(self) -> Iterator[Line]:
        if self.work.cast_in:
            yield Line(
                "A stud that is missing, bent or out of place: stop and ask; nothing is drilled in its place unverified"
            )
            return
        rules = f"{INSTALLATION}#/aborted_hole"
        depth = self.source.rule("depth_factor", "1", f"{rules}/depth_factor")
        diameter = self.source.rule("hole_diameter_factor", "1", f"{rules}/hole_diameter_factor")
        yield line("The new hole: at least {} times the depth of the empty one away, centre to centre", depth)
        yield line(
            "Nearer, but at least {} times the hole's diameter, only where the empty one is filled with mortar of high "
            "strength, has hardened and does not lie where the shear pushes",
            diameter,
        )
        yield Line(
            "A moved fastener is another fixing: have the new place verified (as-built check) before it is loaded"
        )
        yield Line("Never fix a fastener that spins, sits loose or falls short of its torque by packing or gluing it")

    def _removal(self) -> Iterator[Line]:
        yield self.source.words(self.source.selection.path("installation", "removal"))
        if not self.source.selection.family["reusable"]:
            yield Line("Not to be used a second time", rule=self.source.selection.path("reusable"))

    def _on_site(self) -> Iterator[Line]:
        yield from self._concrete()
        for index, part in enumerate(self.source.answer["site_reduction"]["parts"]):
            if part["rule"] is not None and part["value"] != NOT_KNOWN:
                title = self.source.read(f"factors/site-conditions#/conditions/{part['condition']}/title")
                place = f"#/answer/site_reduction/parts/{index}/value"
                yield Line(f"{title}: {part['value'].replace('_', ' ')}", from_=place, code=part["condition"])
        if not self.work.cast_in:
            yield from self._stated("hole", "Hole when the fastener is set: {}")
        yield from self._stated("exposure", "Exposure no harsher than: {}")
        if self.bonded:
            yield from self._stated("temperature_range", "Temperature range of the concrete in service: {}")
        if self.source.taken("redundant", False):
            yield Line("Redundant: other fixings carry the load where one fails", from_="#/request/use/redundant")

    def _concrete(self) -> Iterator[Line]:
        member = self.source.request["member"]
        if member.get("strength_mpa") is not None:
            yield line(
                "Strength of the concrete (cylinder) at least {}",
                self.source.given("strength_mpa", "MPa", "#/request/member/strength_mpa"),
            )
        elif member.get("strength_class") not in {None, NOT_KNOWN}:
            given = self.source.given("strength_class", "", "#/request/member/strength_class")
            yield line("Strength class of the concrete at least {}", given, code="strength")
        if member.get("state") == "uncracked":
            yield Line(
                "Uncracked concrete, shown for the service life: a crack seen near a hole stops the work",
                from_="#/request/member/state",
                code="state",
            )
        yield line("Member at least {} thick", self.work.member_thickness, code="member_thickness")
        reinforcement: Any = member.get("reinforcement")
        if isinstance(reinforcement, dict) and reinforcement.get("spacing_mm") is not None:
            given = self.source.given("reinforcement_spacing_mm", "mm", "#/request/member/reinforcement/spacing_mm")
            yield line("Bars at the surface no closer than {}", given, code="reinforcement")

    def _stated(self, name: str, template: str) -> Iterator[Line]:
        value = self.source.taken(name, NOT_KNOWN)
        if value != NOT_KNOWN:
            yield Line(template.format(str(value).replace("_", " ")), from_=f"#/request/use/{name}", code=name)
