"""Resin: how long it may be worked, how long it must be left, and how a hole is filled."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from service.contract.sheet_codes import SheetLineCode
from service.site.sheet.content import Figure, Line, Resin, ResinRow, derived, plain
from service.site.sheet.source import INSTALLATION, NoSheet, Source
from service.site.sheet.work import Work
from service.verification.frost import FREEZING_C, freezes
from service.verification.refusal import Refusal
from service.words.units import up

RULES = f"{INSTALLATION}#/resin"


@dataclass(frozen=True, slots=True)
class Temperatures:
    """What the caller knows of the concrete's temperature.

    Attributes:
        setting_c: When the fasteners are set (°C); None: not known.
        coldest_c: The coldest until the resin has cured (°C); None: taken as when they are set.
    """

    setting_c: float | None = None
    coldest_c: float | None = None

    @property
    def curing_c(self) -> float | None:
        """The temperature that the curing time is read at (°C)."""
        return self.setting_c if self.coldest_c is None else self.coldest_c


@dataclass(frozen=True)
class Filling:
    """Resin for the holes of one fixing whose fasteners are bonded."""

    work: Work
    temperatures: Temperatures

    @property
    def source(self) -> Source:
        """The verified fixing."""
        return self.work.source

    @cached_property
    def hole(self) -> str:
        """Condition of the hole as the verification took it."""
        return self.work.hole_condition

    @cached_property
    def resin(self) -> Resin:
        """Times and amounts.

        Raises:
            NoSheet: The resin may not be set, or does not cure, at a temperature given.
        """
        rows = tuple(self._rows())
        setting, coldest = self.temperatures.setting_c, self.temperatures.coldest_c
        for name, given in (("concrete_temperature_c", setting), ("coldest_until_cured_c", coldest)):
            if given is not None and not rows[0].temperature_min.number <= given <= rows[-1].temperature_max.number:
                raise NoSheet(_not_at(name, given, rows))
            if freezes(self.source.selection, self.hole, given):
                raise NoSheet(_frozen(name, self.hole))
        working = next((row.working for row in rows if row.holds), None)
        curing = next((self._curing_of(row) for row in rows if row.holds_for_curing), None)
        return Resin(
            rows,
            _given("concrete_temperature_c", setting),
            _given("coldest_until_cured_c", coldest),
            working,
            curing,
            self.volume,
            self._strokes(self.volume),
        )

    def fill(self) -> Iterator[Line]:
        """Write how a hole is filled.

        Yields:
            The lines.
        """
        resin, tell = self.resin, self.work.words.tell
        yield tell(
            "Measure the temperature of the {base}, not of the air. The working time goes by the {base} as it is now, "
            "the curing time by the coldest it will get until the resin has cured, night and frost included",
            base=self.work.base,
        )
        if resin.concrete_temperature is not None and resin.working is not None:
            yield tell(
                "At {temperature}: working time {time}", temperature=resin.concrete_temperature, time=resin.working
            )
        yield tell(
            "The {base} from {coldest} to {warmest} while filling and until cured; outside that do not set",
            base=self.work.base,
            coldest=resin.rows[0].temperature_min,
            warmest=resin.rows[-1].temperature_max,
        )
        if resin.rows[0].temperature_min.number <= FREEZING_C and freezes(self.source.selection, self.hole, FREEZING_C):
            yield tell("No resin into a wet hole at or below 0 °C, nor where it may freeze before it has cured")
        yield self._cartridge()
        yield from self._discard()
        yield from self._amount()
        yield tell(
            "If the working time runs out or the resin stiffens part-way: stop, set nothing, throw the nozzle away. "
            "The hole has failed: let it cure; do not scrape it out, top it up with resin or drive a rod into it. "
            "The same if a rod does not go in to its mark"
        )

    def cure(self) -> Iterator[Line]:
        """Write how long it is left.

        Yields:
            The lines.
        """
        resin, tell = self.resin, self.work.words.tell
        if resin.curing is None:
            yield tell("Do not touch, tighten or load it until the curing time in the table is over")
        elif resin.coldest_until_cured is not None:
            yield self._left(resin.curing, resin.coldest_until_cured)
        elif resin.concrete_temperature is not None:
            yield self._left_if_no_colder(resin.curing, resin.concrete_temperature)
        yield tell(
            "Until then hang nothing on it and let nobody rely on it: keep the place fenced off, propped or closed",
            code=SheetLineCode.HUNG,
        )
        yield tell(
            "If the {base} gets colder meanwhile, the curing time is that of the coldest row, counted from the last "
            "rod set; below the table the resin does not cure: ask the engineer",
            base=self.work.base,
        )

    @property
    def _hole_said(self) -> str:
        say = self.work.words.say
        return {"dry": say("dry hole"), "wet": say("wet hole"), "flooded": say("flooded hole")}[self.hole]

    def _left(self, curing: Figure, coldest: Figure) -> Line:
        return self.work.words.tell(
            "Do not touch, tighten or load it for {time} ({hole}, {base} never colder than {coldest})",
            base=self.work.base,
            time=curing,
            hole=self._hole_said,
            coldest=coldest,
        )

    def _left_if_no_colder(self, curing: Figure, temperature: Figure) -> Line:
        return self.work.words.tell(
            "Do not touch, tighten or load it for {time} ({hole}); this holds only if the {base} does not get colder "
            "than {temperature} until then",
            base=self.work.base,
            time=curing,
            hole=self._hole_said,
            temperature=temperature,
        )

    @property
    def deep(self) -> Figure | None:
        """Depth from which on a hole is filled through a hose; None: every hole."""
        return self.source.rule_if_there("deep_hole_mm", "mm", f"{RULES}/deep_hole_mm")

    @property
    def needs_hose(self) -> bool:
        """Whether a bare nozzle would leave air in the hole: it is deep, or overhead."""
        depth, deep = self.work.stop, self.deep
        return self.source.overhead or deep is None or depth is None or depth.number >= deep.number

    @cached_property
    def volume(self) -> Figure:
        """Resin of a hole (ml), up to the top of what it is drilled through: squeezed out below, nobody sees it."""
        path = self.source.selection.row_path("resin_volume_ml")
        in_concrete = self.source.rule("resin_volume_of_a_hole_ml", "ml", path)
        depth, way = self.work.hole_depth, self.work.stop
        if depth is None or way is None or way is depth:
            return in_concrete
        value = in_concrete.number * way.number / depth.number
        return derived("resin_volume_of_a_way_ml", "ml", value, "{} * {} / {}", in_concrete, way, depth)

    def _strokes(self, volume: Figure) -> Figure | None:
        stroke = self.source.rule_if_there("stroke_ml", "ml", f"{RULES}/stroke_ml")
        if stroke is None:
            return None
        return derived("strokes", "count", up(volume.number / stroke.number), "ceil({} / {})", volume, stroke)

    def _curing_of(self, row: ResinRow) -> Figure:
        return row.curing_dry if self.hole == "dry" else row.curing_wet

    def _rows(self) -> Iterator[ResinRow]:
        path = self.source.selection.path("installation", "working_and_curing")
        entries = self.source.read(path)
        bounds = [(float(entry["temperature_min_c"]), float(entry["temperature_max_c"])) for entry in entries]
        last, say = len(entries) - 1, self.work.words.say
        # At a border the warmer row has the shorter working time and the colder one the longer curing time.
        working, curing = _row_at(bounds, self.temperatures.setting_c), _row_at(bounds, self.temperatures.curing_c)
        for index, (least, most) in enumerate(bounds):
            place = f"{path}/{index}"
            yield ResinRow(
                self.source.rule("temperature_min_c", "°C", f"{place}/temperature_min_c"),
                self.source.rule("temperature_max_c", "°C", f"{place}/temperature_max_c"),
                say("from {least} °C to {most} °C", least=least, most=most)
                if index == last
                else say("from {least} °C to under {most} °C", least=least, most=most),
                say("above {least} °C to {most} °C", least=least, most=most)
                if index
                else say("from {least} °C to {most} °C", least=least, most=most),
                self.source.rule("working_minutes", "min", f"{place}/working_minutes"),
                self.source.rule("curing_dry_minutes", "min", f"{place}/curing_dry_minutes"),
                self.source.rule("curing_wet_minutes", "min", f"{place}/curing_wet_minutes"),
                holds=index == max(working, default=None),
                holds_for_curing=index == min(curing, default=None),
            )

    def _cartridge(self) -> Line:
        least = self.source.rule_if_there("cartridge_min_c", "°C", f"{RULES}/cartridge_temperature_min_c")
        most = self.source.rule_if_there("cartridge_max_c", "°C", f"{RULES}/cartridge_temperature_max_c")
        if least is None or most is None:
            return self.work.words.tell("Cartridge within its shelf life and within the temperatures printed on it")
        return self.work.words.tell(
            "Cartridge within its shelf life and from {least} to {most}; if the label is narrower, go by the label",
            least=least,
            most=most,
        )

    def _discard(self) -> Iterator[Line]:
        discarded, words = self.source.rule("discarded_ml", "ml", f"{RULES}/discarded_ml"), self.work.words
        strokes = self._strokes(discarded)
        if strokes is None:
            yield words.tell("Throw away the first {volume} of each nozzle", volume=discarded)
        else:
            yield words.tell_count(
                "Throw away the first {volume} of each nozzle ({number} stroke)",
                "Throw away the first {volume} of each nozzle ({number} strokes)",
                strokes,
                volume=discarded,
            )
        yield words.tell(
            "Go on discarding until the colour is even, without streaks; a new nozzle after each pause longer than the "
            "working time"
        )

    def _amount(self) -> Iterator[Line]:
        words = self.work.words
        if self.needs_hose and self.work.stop is not None:
            yield words.tell(
                "Fill it through an extension hose with a piston plug of the hole's diameter, long enough for {depth}; "
                "the resin pushes the plug out, never pull it",
                depth=self.work.stop,
            )
        yield words.tell(
            "Fill from the bottom, without air; resin must be squeezed out and seen at the {base} surface when the "
            "rod goes in",
            base=self.work.base,
        )
        volume, strokes = self.volume, self._strokes(self.volume)
        whole = (
            volume if float(volume.number).is_integer() else derived("ml", "ml", up(volume.number), "ceil({})", volume)
        )
        if strokes is None:
            yield words.tell("In each hole {volume} or more", volume=whole)
        else:
            yield words.tell_count(
                "In each hole {volume} or more, that is {number} full stroke of {stroke}",
                "In each hole {volume} or more, that is {number} full strokes of {stroke}",
                strokes,
                volume=whole,
                stroke=strokes.of[1],
            )
        if self.source.overhead:
            yield words.tell(
                "Overhead: hold each rod with a wedge or cap until the resin has cured, so it cannot slide"
            )


def _given(name: str, value: float | None) -> Figure | None:
    return None if value is None else Figure(name, value, "°C", from_=f"#/{name}")


def _row_at(bounds: list[tuple[float, float]], temperature_c: float | None) -> list[int]:
    """The rows that a temperature touches: two at a border."""
    if temperature_c is None:
        return []
    return [index for index, (least, most) in enumerate(bounds) if least <= temperature_c <= most]


def _frozen(name: str, hole: str) -> Refusal:
    return Refusal(
        f"#/{name}",
        "temperature_not_covered",
        f"the hole is {hole}, and at or below {FREEZING_C:g} °C the water in it freezes, which the assessment does not "
        "cover by name: dry the hole and verify anew, wait or warm the concrete through",
    )


def _not_at(name: str, given: float, rows: tuple[ResinRow, ...]) -> Refusal:
    return Refusal(
        f"#/{name}",
        "temperature_not_covered",
        f"the resin may not be set, nor does it cure, in concrete of {given:g} °C, only from "
        f"{plain(rows[0].temperature_min.number)} °C to {plain(rows[-1].temperature_max.number)} °C: "
        f"wait or warm the concrete through, or choose another family; leave {name} out for a sheet with the whole "
        "table",
    )
