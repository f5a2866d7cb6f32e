"""Resin: how long it may be worked, how long it must be left, and how a hole is filled."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from service.site.sheet.content import Figure, Line, Resin, ResinRow, derived, line, plain, up
from service.site.sheet.source import INSTALLATION, NoSheet, Source
from service.site.sheet.work import Work
from service.verification.refusal import Refusal

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
        working = next((row.working for row in rows if row.holds), None)
        curing = next((self._curing_of(row) for row in rows if row.holds_for_curing), None)
        return Resin(
            rows,
            _given("concrete_temperature_c", setting),
            _given("coldest_until_cured_c", coldest),
            working,
            curing,
            self._volume,
            self._strokes(self._volume),
        )

    def fill(self) -> Iterator[Line]:
        """Write how a hole is filled.

        Yields:
            The lines.
        """
        resin = self.resin
        yield Line(
            "Measure the temperature of the concrete, not of the air. The working time goes by the concrete as it is "
            "now; the curing time by the coldest that it will be until the resin has cured, night and frost included"
        )
        if resin.concrete_temperature is not None and resin.working is not None:
            yield line("At {}: work it within {}", resin.concrete_temperature, resin.working)
        first, last = resin.rows[0].temperature_min, resin.rows[-1].temperature_max
        yield line("Concrete from {} to {}, when it is filled and until it has cured; else leave it", first, last)
        yield self._cartridge()
        yield self._discard()
        yield from self._amount()
        yield Line(
            "Where the working time runs out or the resin stiffens in mid-hole: stop, set nothing, throw the nozzle "
            "away. The hole has failed: leave it to cure, do not scrape it out, top it up with resin or drive a rod "
            "into it; the same where a rod does not go in to its mark"
        )

    def cure(self) -> Iterator[Line]:
        """Write how long it is left.

        Yields:
            The lines.
        """
        resin, coldest = self.resin, self.resin.coldest_until_cured
        if resin.curing is None:
            yield Line("Do not touch, tighten or load it before the curing time of the table is over")
        elif coldest is not None:
            yield line(
                f"Do not touch, tighten or load it for {{}} ({self.hole} hole, concrete never colder than {{}})",
                resin.curing,
                coldest,
            )
        elif resin.concrete_temperature is not None:
            yield line(
                f"Do not touch, tighten or load it for {{}} ({self.hole} hole); this holds only if the concrete does "
                "not get colder than {} until then",
                resin.curing,
                resin.concrete_temperature,
            )
        yield Line(
            "Where the concrete gets colder meanwhile, the curing time is that of the row of the coldest, counted from "
            "the last rod set; below the table it does not cure: ask the engineer"
        )

    @property
    def deep(self) -> Figure | None:
        """Depth from which on a hole is filled through a hose; None: every hole."""
        return self.source.rule_if_there("deep_hole_mm", "mm", f"{RULES}/deep_hole_mm")

    @property
    def needs_hose(self) -> bool:
        """Whether a bare nozzle would leave air in the hole: it is deep, or overhead."""
        depth, deep = self.work.hole_depth, self.deep
        return self.source.overhead or deep is None or depth is None or depth.number >= deep.number

    @property
    def _volume(self) -> Figure:
        return self.source.rule("resin_volume_of_a_hole_ml", "ml", self.source.selection.row_path("resin_volume_ml"))

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
        last = len(entries) - 1
        # At a border the warmer row has the shorter working time and the colder one the longer curing time.
        working, curing = _row_at(bounds, self.temperatures.setting_c), _row_at(bounds, self.temperatures.curing_c)
        for index, (least, most) in enumerate(bounds):
            place = f"{path}/{index}"
            yield ResinRow(
                self.source.rule("temperature_min_c", "°C", f"{place}/temperature_min_c"),
                self.source.rule("temperature_max_c", "°C", f"{place}/temperature_max_c"),
                f"from {plain(least)} °C to {'' if index == last else 'under '}{plain(most)} °C",
                f"{'above' if index else 'from'} {plain(least)} °C to {plain(most)} °C",
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
            return Line("Cartridge within its shelf life and within the temperatures printed on it")
        return line(
            "Cartridge within its shelf life and from {} to {}; what is printed on it counts where it is narrower",
            least,
            most,
        )

    def _discard(self) -> Line:
        discarded = self.source.rule("discarded_ml", "ml", f"{RULES}/discarded_ml")
        strokes = self._strokes(discarded)
        words = "{}" if strokes is None else f"{{}} ({{}} {_strokes_word(strokes)})"
        return line(
            f"Throw the first {words} of each nozzle away, and more until the colour is even without streaks; a new "
            "nozzle after each pause longer than the working time",
            *(figure for figure in (discarded, strokes) if figure is not None),
        )

    def _amount(self) -> Iterator[Line]:
        if self.needs_hose and self.work.hole_depth is not None:
            yield line(
                "Fill it through an extension hose with a piston plug of the hole's diameter, long enough for {}; the "
                "plug is pushed out by the resin, never pulled",
                self.work.hole_depth,
            )
        volume, strokes = self._volume, self._strokes(self._volume)
        whole = (
            volume if float(volume.number).is_integer() else derived("ml", "ml", up(volume.number), "ceil({})", volume)
        )
        amount = (
            "{} a hole or more"
            if strokes is None
            else f"{{}} a hole or more, that is {{}} full {_strokes_word(strokes)}"
        )
        figures = (whole,) if strokes is None else (whole, strokes)
        yield line(f"Fill from the bottom without air: {amount}; it has to well up when the rod goes in", *figures)
        if self.source.overhead:
            yield Line("Overhead: hold each rod with a wedge or cap until the resin has cured, so that it cannot slide")


def _strokes_word(strokes: Figure) -> str:
    return "stroke" if strokes.number == 1 else "strokes"


def _given(name: str, value: float | None) -> Figure | None:
    return None if value is None else Figure(name, value, "°C", from_=f"#/{name}")


def _row_at(bounds: list[tuple[float, float]], temperature_c: float | None) -> list[int]:
    """The rows that a temperature touches: two at a border."""
    if temperature_c is None:
        return []
    return [index for index, (least, most) in enumerate(bounds) if least <= temperature_c <= most]


def _not_at(name: str, given: float, rows: tuple[ResinRow, ...]) -> Refusal:
    return Refusal(
        f"#/{name}",
        "temperature_not_covered",
        f"the resin may not be set, nor does it cure, in concrete of {given:g} °C, only from "
        f"{rows[0].temperature_min.text} to {rows[-1].temperature_max.text}: wait or warm the concrete through, or "
        f"choose another family; leave {name} out for a sheet with the whole table",
    )
