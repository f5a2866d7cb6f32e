"""What is drilled, bought and tightened: the figures that steps, drawing and bill of materials share."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from service.contract.fields import UNKNOWN
from service.contract.verification_codes import ToppingKind
from service.engine.model import EDGE_NAMES
from service.rulebook import Rulebook
from service.site.holes.depth_windows import (
    DEPTH_TOLERANCE,
    SET_FLUSH,
    hole_depth_window,
    set_depth_window,
)
from service.site.holes.loosened import through_fixture
from service.site.sheet.built import Progress
from service.site.sheet.content import Distance, Figure, Place, Side, derived, total
from service.site.sheet.source import NoSheet, Source
from service.site.sheet.ways import ways
from service.site.sheet.wording import Wording
from service.verification.aborted_hole import pushed_to_under
from service.verification.below_fixture import lies_on_nuts, room_mm, tightened_below
from service.verification.fixture_holes import HEAD_RATIO, hold_of, is_wide, washer_mm, widest_under_head_mm
from service.verification.fixture_holes import RINGS as RINGS
from service.verification.hole_depth import HEAD_RESTS_ON_FIXTURE as HEAD_RESTS_ON_FIXTURE
from service.verification.hole_depth import needed_hole_mm, tip_mm
from service.verification.length import NUT_ON_THREAD, WELDED_ON
from service.verification.refusal import Refusal
from service.verification.selection import Selection
from service.verification.tolerance import TOLERANCE, reaches_mm, same_mm

THREAD_SHOWS = NUT_ON_THREAD
INNER_THREAD = ("internally_threaded_sleeve",)
PAIR, FEW = 2, 4
ALIKE_MM = 1.0
"""So far two lengths may differ that were marked out to be alike; from memory."""
SIDES = {"y_plus": "A", "x_plus": "B", "y_minus": "C", "x_minus": "D"}
"""Letters, clockwise: a plan that is turned over the work is still read right."""


@dataclass(frozen=True, slots=True)
class Topping:
    """What lies on the concrete where the fixture stands, and how thick it is."""

    kind: ToppingKind
    thickness: Figure


@dataclass(frozen=True, slots=True)
class Across:
    """The length from one fastener to another that stands neither beside nor above it."""

    start: Place
    end: Place
    length: Figure


@dataclass(frozen=True)
class Work:
    """The work of one fixing; each figure knows where it stands."""

    source: Source
    side_names: Mapping[str, str | None] = field(default_factory=dict)

    @property
    def words(self) -> Wording:
        """The words for the crew."""
        return self.source.words

    @property
    def form(self) -> str:
        """Form of the fastener."""
        return str(self.source.selection.family["form"])

    @property
    def holes_filled(self) -> bool:
        """Whether the gap between each fastener and its hole in the fixture is filled, as it was verified."""
        fixture = self.source.fixing.standing_fixture
        return fixture.clearance == "filled" and not self.cast_in and not self.without_plate

    @property
    def holes_to_span(self) -> bool:
        """Whether holes are wider than the assessment has them and stay open, so that a washer has to span them."""
        return self.washer is not None and not self.holes_filled

    @cached_property
    def washer(self) -> Figure | None:
        """How thick the washer over each hole of the fixture may be at most; None where a common one does."""
        fixture = self.source.fixing.standing_fixture
        most = washer_mm(fixture, self.source.selection)
        if most == 0.0:
            return None
        if fixture.washer_thickness_mm is not None:
            return self.source.given("washer_thickness_mm", "mm", "#/request/fixture/washer_thickness_mm")
        return derived("washer_thickness_mm", "mm", most, f"{most:g}")

    @property
    def masonry(self) -> bool:
        """Whether pulls in masonry show what holds it: there are joints, and nothing of what concrete has."""
        return self.source.fixing.in_masonry

    @property
    def base(self) -> str:
        """What it is set into, within a sentence."""
        return self.words.say("masonry") if self.masonry else self.words.say("concrete")

    @property
    def cast_in(self) -> bool:
        """Whether nothing is drilled."""
        return self.source.mechanism == "headed_fastener"

    @property
    def through_fixture(self) -> bool:
        """Whether the hole is drilled through the fixture in place."""
        return through_fixture(self.source.request, self.source.selection)

    @property
    def tightened_below(self) -> bool:
        """Whether the torque is that of a nut on the concrete, which no socket reaches once the fixture is on."""
        return tightened_below(self.source.fixing.fixture, self.source.selection)

    @property
    def fixture_step(self) -> str:
        """Code of the step in which the fixture is put where it stays."""
        return "fixture_first" if self.through_fixture else "fixture_on"

    @cached_property
    def progress(self) -> Progress:
        """What stands by now, and what is left to do."""
        return Progress(self.source)

    @property
    def fasteners(self) -> int:
        """Number of fasteners of one fixing."""
        return len(self.source.fixing.positions)

    @cached_property
    def concrete_strength(self) -> Figure | None:
        """Strength of the concrete as verified: that of cylinders where it was given, else its class."""
        member, place = self.source.fixing.member, "#/request/member"
        if member.strength_mpa is not None:
            return self.source.given("strength_mpa", "MPa", f"{place}/strength_mpa")
        if member.strength_class is not None:
            return self.source.given("strength_class", "", f"{place}/strength_class")
        return None

    @cached_property
    def length(self) -> Figure:
        """Length to buy."""
        return self.source.given("length_mm", "mm", "#/answer/fastener/length_mm")

    @cached_property
    def embedment(self) -> Figure:
        """Effective embedment."""
        return self._of_row("effective_embedment_mm", "effective_mm")

    @property
    def hole_condition(self) -> str:
        """Condition of the hole as the verification took it."""
        index = self.source.requirement("hole_covered")
        return "dry" if index is None else str(self.source.answer["requirements"][index]["given"])

    @property
    def brushed(self) -> bool:
        """Whether a brush is needed: by what cleans for resin, and where slurry sticks to the wall of a hole."""
        return self.source.mechanism == "bonded" or (not self.cast_in and self.hole_condition != "dry")

    @property
    def state(self) -> str:
        """Cracked or uncracked, as the verification took it."""
        return self.source.fixing.member.state or str(self.source.read("rulebook#/unknown/state"))

    @property
    def temperature_range(self) -> str | None:
        """Temperature range as the verification took it, None where nothing is bonded."""
        bond = self.source.selection.size["bond"]
        if bond is None:
            return None
        given = self.source.taken("temperature_range", UNKNOWN)
        by_range = bond["characteristic_mpa"][self.state][self.hole_condition]
        return str(least_favourable_range(by_range) if given == UNKNOWN else given)

    @cached_property
    def nominal_embedment(self) -> Figure:
        """Nominal embedment as the assessment has it."""
        return self._of_row("nominal_embedment_mm", "nominal_mm")

    @cached_property
    def fixture_thickness(self) -> Figure:
        """Thickness of the fixture."""
        return self.source.given("fixture_thickness_mm", "mm", "#/request/fixture/thickness_mm")

    @cached_property
    def stand_off(self) -> Figure | None:
        """Free height under the fixture, None where there is none."""
        return self._gap("stand_off_mm", "stand_off_mm")

    @cached_property
    def grout(self) -> Figure | None:
        """Grout under the fixture, None where there is none."""
        return self._gap("grout_thickness_mm", "grout/thickness_mm")

    @cached_property
    def grout_strength(self) -> Figure | None:
        """Strength of the grout when hardened, None where it is not given."""
        return self._gap("grout_strength_mpa", "grout/strength_mpa", "MPa")

    @cached_property
    def topping(self) -> Topping | None:
        """What lies on the concrete, None where nothing does."""
        given = self.source.fixing.member.topping
        if given is None:
            return None
        thickness = self.source.given("topping_thickness_mm", "mm", "#/request/member/topping/thickness_mm")
        return Topping(ToppingKind(given.kind), thickness)

    @property
    def topping_left(self) -> Topping | None:
        """What of it stays under the fixture, None where nothing does."""
        return self.topping if self.source.fixing.member.topping_left_mm else None

    @property
    def cut_out(self) -> Topping | None:
        """What stays but around the holes, so that resin is seen at the concrete itself; None where nothing does."""
        return self.topping_left if self.source.mechanism == "bonded" else None

    @property
    def head_over(self) -> Topping | None:
        """What stays under a fixture that a head is seated on: where it is thinner, hole and fastener reach deeper."""
        return self.topping_left if self.form in HEAD_RESTS_ON_FIXTURE else None

    @property
    def bare(self) -> bool:
        """Whether it is a rod without a plate: something hangs on its thread, and nothing is clamped."""
        return hold_of(self.source.fixing.fixture, self.source.selection) == "bare"

    @property
    def without_plate(self) -> bool:
        """Whether it holds no fixture: a ring, a hook or a bare rod."""
        return self.bare or self.form in RINGS

    @property
    def second_nut(self) -> bool:
        """Whether a second nut locks the one below what hangs on a bare rod; else its thread has no room for it."""
        if not self.bare or self.thread_shown is None:
            return False
        deeper = 0.0 if self.set_most is None else self.set_most.number - self.nominal_embedment.number
        return reaches_mm(self.thread_shown.number - deeper, room_mm(self.source.selection, 2))

    @property
    def on_the_concrete(self) -> bool:
        """Whether the fixture lies on the concrete itself; a ring, a hook or a bare rod has none that could."""
        off = self.stand_off is not None or self.grout is not None or self.topping_left is not None
        return not off and not self.without_plate

    @property
    def _off_the_concrete(self) -> tuple[Figure, ...]:
        """Fixture and all that lies under it."""
        topping = None if self.topping_left is None else self.topping_left.thickness
        parts = (self.fixture_thickness, self.stand_off, self.grout, topping)
        return tuple(part for part in parts if part is not None)

    @cached_property
    def gap(self) -> Figure | None:
        """All that lies between fixture and concrete together, None where the fixture lies on it."""
        parts = self._off_the_concrete[1:]
        return total("gap_mm", "mm", parts) if parts else None

    @property
    def washer_clamped(self) -> bool:
        """Whether a washer and nut are tight against the concrete under a fixture that stands off."""
        return self.source.fixing.fixture.washer_clamped

    @cached_property
    def room_for_nuts(self) -> Figure | None:
        """How high the nuts are that have to stand in the open gap under the fixture, None where none has to."""
        index = self.source.requirement("room_for_nuts")
        limit = f"#/answer/requirements/{index}/limit"
        return None if index is None else self.source.given("stand_off_min_mm", "mm", limit)

    @property
    def lies_on_nuts(self) -> bool:
        """Whether it lies on nuts on fasteners that are set before it, as on a bare rod it has to; else on shims."""
        if self.stand_off is None or self.through_fixture:
            return False
        return self.bare or lies_on_nuts(self.source.fixing.fixture, self.source.selection)

    @cached_property
    def clamped(self) -> Figure:
        """What lies between nut and concrete."""
        return total("clamped_thickness_mm", "mm", self._off_the_concrete)

    @cached_property
    def hole_diameter(self) -> Figure | None:
        """Diameter of the hole, None for what is cast in."""
        return self._of_size("hole_diameter_mm", "mm", "geometry", "hole_diameter_mm")

    @cached_property
    def clearance_hole(self) -> Figure | None:
        """Largest hole in the fixture; None without a plate, welded to it, or wide and nobody told how wide."""
        if self.without_plate:
            return None
        if is_wide(self.source.fixing.fixture, self.source.selection):
            return self.source.given("fixture_hole_mm", "mm", "#/request/fixture/hole_diameter_mm")
        if self.holes_to_span:
            return None
        return self._of_size("clearance_hole_mm", "mm", "geometry", "clearance_hole_mm")

    @cached_property
    def widest_hole(self) -> Figure | None:
        """How wide a hole that a washer has to span may be at most: a wider one is refused as built."""
        common = self._of_size("clearance_hole_mm", "mm", "geometry", "clearance_hole_mm")
        diameter = self._of_size("diameter_mm", "mm", "geometry", "diameter_mm")
        if not self.holes_to_span or common is None or diameter is None:
            return None
        most = widest_under_head_mm(self.source.selection)
        if self.spanner is None:
            template = f"max({HEAD_RATIO:g} * {{}}, {{}})"
            return derived("fixture_hole_max_mm", "mm", most, template, diameter, common)
        return derived("fixture_hole_max_mm", "mm", most, "max({}, {})", self.spanner, common)

    @cached_property
    def spanner(self) -> Figure | None:
        """Spanner size, None where the rulebook has none."""
        return self._of_size("spanner_mm", "mm", "geometry", "spanner_mm")

    @cached_property
    def bolt_grade(self) -> Figure:
        """Property class of what is screwed into a sleeve, no weaker than verified: 500 MPa and 0.8 of it are 5.8."""
        path = self.source.selection.size_path
        tensile = self.source.rule("tensile_strength_mpa", "MPa", path("steel", "tensile_strength_mpa"))
        yielding = self.source.rule("yield_strength_mpa", "MPa", path("steel", "yield_strength_mpa"))
        whole, tenths = math.ceil(tensile.number / 100), math.ceil(round(10 * yielding.number / tensile.number, 6))
        expression = "ceil({} / 100) + ceil(10 * {} / {}) / 10"
        return derived("property_class", "1", round(whole + tenths / 10, 1), expression, tensile, yielding, tensile)

    @cached_property
    def screwed_in(self) -> tuple[Figure | None, Figure | None]:
        """How far a bolt is screwed into its sleeve, at least and at most; None where the rulebook does not say."""
        path, rule = self.source.selection.size_path, self.source.rule_if_there
        least, most = "screw_in_min_mm", "screw_in_max_mm"
        return rule(least, "mm", path("setting", least)), rule(most, "mm", path("setting", most))

    @property
    def bolt_lengths(self) -> tuple[Figure | None, Figure | None]:
        """Least and greatest length of what is screwed in, under its head; None where the rulebook does not say."""
        least, most = self.screwed_in
        return self._of_bolt("bolt_length_min_mm", least), self._of_bolt("bolt_length_max_mm", most)

    def _of_bolt(self, name: str, depth: Figure | None) -> Figure | None:
        if depth is None:
            return None
        return derived(name, "mm", self.clamped.number + depth.number, "{} + {}", self.clamped, depth)

    @cached_property
    def torque(self) -> Figure | None:
        """Installation torque, None where none is asked for."""
        return self._of_size("installation_torque_nm", "Nm", "setting", "installation_torque_nm")

    @cached_property
    def impact_driver_torque(self) -> Figure | None:
        """Largest torque of an impact driver, None where none may be used."""
        return self._of_size("impact_driver_torque_max_nm", "Nm", "setting", "impact_driver_torque_max_nm")

    @cached_property
    def reach(self) -> Figure:
        """How deep the fastener reaches: deeper than nominal where its head rests on a thin fixture."""
        if self.form == WELDED_ON and self.gap is not None:
            value = self.length.number - self.gap.number
            return derived("reach_mm", "mm", value, "{} - {}", self.length, self.gap)
        if self.form not in HEAD_RESTS_ON_FIXTURE:
            return self.nominal_embedment
        off = self._off_the_concrete
        depth = tip_mm(self.form, self._row, self.length.number, self.clamped.number)
        if depth == self.nominal_embedment.number:
            return self.nominal_embedment
        return derived("reach_mm", "mm", depth, " - ".join(["{}"] * (len(off) + 1)), self.length, *off)

    @property
    def set_at_least(self) -> bool:
        """Whether a head lets it reach deeper than its set depth, over a topping or a washer that is thinner."""
        return self.head_over is not None or self.set_depth is not self.reach

    @property
    def set_depth(self) -> Figure:
        """The one depth that the crew sets to: from the concrete surface to the end of the fastener in it.

        Under a washer a head lets it reach less deep; the hole is drilled as if none lay there, for a thinner one.
        """
        if self.washer is None or self.reach is self.nominal_embedment or self.form not in HEAD_RESTS_ON_FIXTURE:
            return self.reach
        return derived("set_depth_mm", "mm", self.reach.number - self.washer.number, "{} - {}", self.reach, self.washer)

    @cached_property
    def hole_depth(self) -> Figure | None:
        """Depth of the hole in the concrete, None for what is cast in."""
        path = self.source.selection.row_path("depth", "hole_mm")
        assessed = self.source.rule_or_none("hole_depth_mm", "mm", path)
        deeper = needed_hole_mm(self.form, self._row, self.length.number, self.clamped.number)
        if assessed is None or deeper is None or self.reach is self.nominal_embedment:
            return assessed
        return derived("hole_depth_mm", "mm", deeper, "{} + {} - {}", assessed, self.reach, self.nominal_embedment)

    @cached_property
    def stop(self) -> Figure | None:
        """Depth at which the drill is stopped, from the top of what is drilled through."""
        if self.hole_depth is None or self.over_concrete is None:
            return self.hole_depth
        value = self.hole_depth.number + self.over_concrete.number
        return derived("drill_stop_mm", "mm", value, "{} + {}", self.hole_depth, self.over_concrete)

    @property
    def over_concrete(self) -> Figure | None:
        """What lies over the concrete where it is drilled, cleaned and set through; None where nothing does."""
        if self.through_fixture:
            return self.clamped
        return None if self.topping_left is None or self.cut_out else self.topping_left.thickness

    @cached_property
    def mark_on_rod(self) -> Figure:
        """How far from its end a rod is marked, for the mark to come level with what it is set through."""
        if self.over_concrete is None:
            return self.set_depth
        value = self.set_depth.number + self.over_concrete.number
        return derived("mark_on_rod_mm", "mm", value, "{} + {}", self.set_depth, self.over_concrete)

    @cached_property
    def thread_shown(self) -> Figure | None:
        """How much of the fastener projects above the fixture, None where its head rests on it."""
        if self.form not in THREAD_SHOWS:
            return None
        value = self.length.number - self.nominal_embedment.number - self.clamped.number
        of = (self.length, self.nominal_embedment, self.clamped)
        return derived("shown_above_fixture_mm", "mm", value, "{} - {} - {}", *of)

    @cached_property
    def projection(self) -> Figure | None:
        """How much of a fastener that is set before its fixture projects from the concrete; None for others."""
        if self.thread_shown is None or self.through_fixture:
            return None
        value = self.length.number - self.nominal_embedment.number
        return derived("projection_mm", "mm", value, "{} - {}", self.length, self.nominal_embedment)

    @cached_property
    def least_shown(self) -> Figure | None:
        """How little of it projects where it is set as deep as it may be; None where no release says how deep."""
        most = self.thread_shown if self.projection is None else self.projection
        if most is None or self.set_most is None:
            return None
        value = most.number + self.nominal_embedment.number - self.set_most.number
        of = (most, self.nominal_embedment, self.set_most)
        return derived("shown_least_mm", "mm", value, "{} + {} - {}", *of)

    @cached_property
    def hole_most(self) -> Figure | None:
        """The most that the hole may be deep; None where nothing is drilled, or the release does not say."""
        tolerance = self.source.rule_if_there("hole_deeper_mm", "mm", f"{DEPTH_TOLERANCE}/hole_deeper_mm")
        window, ordered = hole_depth_window(*self._windows), self.hole_depth
        if window is None or tolerance is None or ordered is None:
            return None
        name, most = "hole_most_mm", window[1]
        if same_mm(most, window[0]):
            return derived(name, "mm", ordered.number, "{}", ordered)
        if same_mm(most, ordered.number + tolerance.number):
            return derived(name, "mm", most, "{} + {}", ordered, tolerance)
        # What the assessment leaves behind its own hole stays behind this one.
        row = self.source.selection.row_path
        least = self.source.rule("least_member_thickness_mm", "mm", row("limits", "member_thickness_min_mm"))
        assessed = self.source.rule("hole_depth_mm", "mm", row("depth", "hole_mm"))
        return derived(name, "mm", most, "{} - ({} - {})", self.member_thickness, least, assessed)

    @property
    def deepest(self) -> Figure | None:
        """How deep a bit may get in the concrete; under a head also where next to nothing lies on the concrete."""
        most = self.hole_most or self.hole_depth
        if most is None or self.head_over is None:
            return most
        thickness = self.head_over.thickness
        return derived("deepest_mm", "mm", most.number + thickness.number, "{} + {}", most, thickness)

    @cached_property
    def set_most(self) -> Figure | None:
        """The most that it may be set deep; None where head, sleeve or formwork decide it, or no release does."""
        tolerance = self.source.rule_if_there("set_deeper_mm", "mm", f"{DEPTH_TOLERANCE}/set_deeper_mm")
        window = set_depth_window(*self._windows)
        if window is None or tolerance is None or self.hole_most is None or self._depth_is_given:
            return None
        if same_mm(window[1], self.set_depth.number + tolerance.number):
            return derived("set_most_mm", "mm", window[1], "{} + {}", self.set_depth, tolerance)
        return derived("set_most_mm", "mm", window[1], "{}", self.hole_most)

    @property
    def _depth_is_given(self) -> bool:
        """Whether nobody chooses on site how deep it is set."""
        return self.form in HEAD_RESTS_ON_FIXTURE or self.source.mechanism == SET_FLUSH

    @property
    def _windows(self) -> tuple[Rulebook, Selection, float, float, float]:
        source = self.source
        return source.rulebook, source.selection, self.length.number, self.clamped.number, self.member_thickness.number

    @cached_property
    def member_thickness(self) -> Figure:
        """Thickness of the member."""
        return self.source.given("member_thickness_mm", "mm", "#/request/member/thickness_mm")

    @cached_property
    def places(self) -> tuple[Place, ...]:
        """Where the fasteners stand."""
        return tuple(
            Place(
                number,
                self.source.given("x_mm", "mm", f"#/request/positions/{index}/x_mm"),
                self.source.given("y_mm", "mm", f"#/request/positions/{index}/y_mm"),
                number in self.progress.standing,
            )
            for index, number in enumerate(self.progress.every)
        )

    @cached_property
    def across(self) -> tuple[Across, ...]:
        """Lengths that show whether the fasteners stand where they were verified: between opposite corners.

        Of three and four fasteners every slanting length; none of two, or of a row along an axis.
        """
        if self.fasteners <= PAIR:
            return ()
        few = [(a, b) for number, a in enumerate(self.places) for b in self.places[number + 1 :]]
        pairs = few if self.fasteners <= FEW else self._corners
        return tuple(Across(*pair, _spacing("across_mm", *pair)) for pair in pairs if _slanting(*pair))

    @property
    def out_of_square(self) -> bool:
        """Whether the diagonals differ by more than marking out does: then nobody squares up what was verified so."""
        if self.fasteners < FEW or not self.across:
            return False
        first, second = (_apart(*pair) for pair in self._corners)
        return abs(first - second) > ALIKE_MM

    @property
    def _corners(self) -> list[tuple[Place, Place]]:
        """The outermost fasteners, each with the one at the opposite corner."""
        outermost = [
            max(self.places, key=lambda place: place.x.number * along_x + place.y.number * along_y)
            for along_x, along_y in ((-1, -1), (1, 1), (1, -1), (-1, 1))
        ]
        return [(outermost[0], outermost[1]), (outermost[2], outermost[3])]

    @cached_property
    def edges(self) -> dict[str, Figure]:
        """The edges of the member that are given, measured from the origin."""
        return {
            name: self.source.given(f"{name}_mm", "mm", f"#/request/member/edges/{name}_mm")
            for name, distance in zip(EDGE_NAMES, self.source.fixing.member.edges.all_mm, strict=True)
            if distance is not None
        }

    @cached_property
    def sides(self) -> tuple[Side, ...]:
        """The sides of the fixing, and how far the nearest fastener is from the edge of the member there."""
        known = ways(self.source)
        return tuple(
            Side(name, letter, self._on_plan[name], self.side_names.get(name) or known.get(name), self._to_edge(name))
            for name, letter in SIDES.items()
        )

    @property
    def _on_plan(self) -> dict[str, str]:
        say = self.words.say
        return {
            "y_plus": say("top of the plan"),
            "x_plus": say("right of the plan"),
            "y_minus": say("bottom of the plan"),
            "x_minus": say("left of the plan"),
        }

    def named(self, side: Side) -> str:
        """Name a side within a sentence.

        Args:
            side: The side.

        Returns:
            Its letter, with the caller's words or its place on the plan.
        """
        return self.words.say("side {letter} ({where})", letter=side.letter, where=side.own_words or side.on_plan)

    @cached_property
    def distances(self) -> tuple[Distance, ...]:
        """Edge distances, spacings and thicknesses: what was verified and the least that is assessed."""
        return tuple(self._distances())

    def check(self) -> None:
        """Find out whether the work can be done as verified.

        Raises:
            NoSheet: Something is missing or does not fit.
        """
        reasons = list(self._missing())
        if reasons:
            raise NoSheet(*reasons)

    def _missing(self) -> Iterator[Refusal]:
        if self.bare and (self.source.mechanism != "bonded" or self.stand_off is not None):
            words = (
                "no sheet tells how a bare rod is pushed across, or how one is used that no resin holds: an engineer "
                "has to write what is to be done"
            )
            yield Refusal("/fixture/plate", "no_plate", words)
        if self.cut_out is not None and self.through_fixture:
            words = (
                "no sheet tells how resin is seen at the concrete under a fixture and what lies there: take the "
                "topping off, or set before the fixture"
            )
            yield Refusal("/member/topping", "resin_not_seen", words)
        if self.source.fixing.fixture.thickness_mm is None:
            yield Refusal(
                "/fixture/thickness_mm",
                "fixture_thickness_missing",
                "a sheet needs the thickness of the fixture, or of what lies under a ring or hook, for the length to "
                "buy and the depth to drill: measure it, give it as fixture.thickness_mm and verify anew",
            )
        elif self.source.answer["fastener"]["article_code"] is None:
            yield Refusal("/fastener/length_mm", "length_missing", "no length to buy was found for this fixing")
        elif self.progress.to_set and not any(one["length_mm"] == self.length.number for one in self._row["lengths"]):
            words = "this length serves only where it was set by now, less deep than planned: size new fasteners anew"
            yield Refusal("/fastener/length_mm", "length_as_built", words)

    @property
    def _row(self) -> Mapping[str, Any]:
        # A sheet is made of what verifies, and that has an embedment of the rulebook.
        return self.source.selection.row or {}

    def _of_size(self, name: str, unit: str, *path: str) -> Figure | None:
        return self.source.rule_or_none(name, unit, self.source.selection.size_path(*path))

    def _of_row(self, name: str, field: str) -> Figure:
        return self.source.rule(name, "mm", self.source.selection.row_path("depth", field))

    def _gap(self, name: str, path: str, unit: str = "mm") -> Figure | None:
        value: Any = self.source.request["fixture"]
        for step in path.split("/"):
            value = (value or {}).get(step)
        return self.source.given(name, unit, f"#/request/fixture/{path}") if value else None

    @property
    def least_edge(self) -> Figure:
        """The least distance to an edge that was assessed, or shown by pulls."""
        return self._least[1]

    @cached_property
    def pushed_to(self) -> tuple[Side, ...]:
        """The sides towards which the shear of any fastener pushes in any load case; every one where none is known."""
        forces = [one for case in self.source.answer["fastener_forces"] for one in case["fasteners"]]
        pushes = {
            "y_plus": any(one["shear_y_kn"] > TOLERANCE for one in forces),
            "x_plus": any(one["shear_x_kn"] > TOLERANCE for one in forces),
            "y_minus": any(one["shear_y_kn"] < -TOLERANCE for one in forces),
            "x_minus": any(one["shear_x_kn"] < -TOLERANCE for one in forces),
        }
        return tuple(side for side in self.sides if pushes[side.name] or not forces)

    @cached_property
    def holes_pushed_to(self) -> tuple[int, ...]:
        """The fasteners still to be set whose hole, were it given up, the shear of another one pushes towards."""
        return tuple(
            place.number
            for place in self.places
            if not place.stands and pushed_to_under(self.source.answer, (place.x.number, place.y.number))
        )

    @cached_property
    def _least(self) -> tuple[Figure, Figure, Figure]:
        """Least thickness of the member, edge distance and spacing that were assessed, or shown by pulls."""
        source, limits = self.source, ("limits",)
        row = source.selection.row_path
        thickness = source.rule("least_member_thickness_mm", "mm", row(*limits, "member_thickness_min_mm"))
        edge = source.rule("least_edge_distance_mm", "mm", row(*limits, "edge_min_mm"))
        spacing = source.rule("least_spacing_mm", "mm", row(*limits, "spacing_min_mm"))
        if source.answer.get("site_test") is not None:
            reach = "#/answer/site_test/reach"
            thickness = source.given("least_member_thickness_mm", "mm", f"{reach}/thickness_min_mm")
            edge = source.given("least_edge_distance_mm", "mm", f"{reach}/edge_min_mm")
            spacing = source.given("least_spacing_mm", "mm", f"{reach}/spacing_min_mm")
        elif source.selection.row is not None and source.selection.row["simplified"] is not None:
            edge = self._larger(edge, row("simplified", "edge_mm"))
            spacing = self._larger(spacing, row("simplified", "spacing_mm"))
        return thickness, edge, spacing

    def _distances(self) -> Iterator[Distance]:
        thickness, edge, spacing = self._least
        title = self.words.say("Thickness of the {base}", base=self.base)
        yield Distance("member_thickness", title, self.member_thickness, thickness)
        for side in self.sides:
            yield from self._edge_distances(side, edge)
        yield from self._spacings(spacing)

    def _larger(self, figure: Figure, path: str) -> Figure:
        other = self.source.rule(figure.name, figure.unit, path)
        return other if other.number > figure.number else figure

    def at_edges(self, place: Place) -> tuple[tuple[Side, Figure], ...]:
        """The edges that a fastener is in the nearest row to, and how far it is from each.

        Args:
            place: Where the fastener stands.

        Returns:
            Each side, and the distance; a row is as wide as a hole.
        """
        row_mm = self.hole_diameter.number if self.hole_diameter is not None else 0.0
        found = []
        for side in self.sides:
            edge = self.edges.get(side.name)
            if edge is None or side.to_edge is None:
                continue
            along = place.x if side.name[0] == "x" else place.y
            sign, template = (1.0, "{} + {}") if side.name.endswith("minus") else (-1.0, "{} - {}")
            distance = edge.number + sign * along.number
            if distance <= side.to_edge.number + row_mm + TOLERANCE:
                found.append((side, derived("edge_distance_mm", "mm", distance, template, edge, along)))
        return tuple(found)

    def nearest_to(self, side: Side) -> tuple[int, ...]:
        """The fasteners that stand nearest to an edge, by their numbers.

        Args:
            side: A side with an edge.

        Returns:
            One, or all that are as near.
        """
        axis, sign = side.name[0], 1.0 if side.name.endswith("minus") else -1.0
        along = {place.number: sign * (place.x if axis == "x" else place.y).number for place in self.places}
        nearest = min(along.values())
        return tuple(number for number, distance in along.items() if same_mm(distance, nearest))

    @property
    def edges_to_set(self) -> bool:
        """Whether a fastener that is still to be set comes to stand in the row nearest to an edge."""
        return any(self.at_edges(place) for place in self.places if not place.stands)

    def _to_edge(self, name: str) -> Figure | None:
        edge = self.edges.get(name)
        return None if edge is None else self._from_edge(name, edge)["nearest"]

    def _from_edge(self, name: str, edge: Figure) -> dict[str, Figure]:
        axis, sign = name[0], 1.0 if name.endswith("minus") else -1.0
        along = [place.x if axis == "x" else place.y for place in self.places]
        by_distance = sorted(along, key=lambda figure: edge.number + sign * figure.number)
        template = "{} + {}" if sign > 0 else "{} - {}"
        ends = {"nearest": by_distance[0], "farthest": by_distance[-1]}
        if ends["nearest"].number == ends["farthest"].number:
            del ends["farthest"]
        return {
            which: derived(
                f"{which}_edge_distance_mm", "mm", edge.number + sign * figure.number, template, edge, figure
            )
            for which, figure in ends.items()
        }

    def _edge_distances(self, side: Side, least: Figure) -> Iterator[Distance]:
        edge, say, where = self.edges.get(side.name), self.words.say, self.named(side)
        if edge is None:
            return
        found = self._from_edge(side.name, edge)
        title = say("Nearest fastener to the edge at {side}", side=where)
        yield Distance(f"nearest_to_{side.name}", title, found["nearest"], least)
        if "farthest" in found:
            title = say("Farthest fastener to the edge at {side}", side=where)
            yield Distance(f"farthest_to_{side.name}", title, found["farthest"], None)

    def _spacings(self, least: Figure) -> Iterator[Distance]:
        pairs = [(a, b) for number, a in enumerate(self.places) for b in self.places[number + 1 :]]
        if not pairs:
            return
        say, nearest = self.words.say, min(pairs, key=lambda pair: _apart(*pair))
        title = say("Smallest spacing, a diagonal") if _slanting(*nearest) else say("Smallest spacing")
        yield Distance("smallest_spacing", title, _spacing("smallest_spacing_mm", *nearest), least)
        if len(pairs) > 1:
            farthest = max(pairs, key=lambda pair: _apart(*pair))
            title = (
                say("Largest spacing, a diagonal: for information")
                if _slanting(*farthest)
                else say("Largest spacing: for information")
            )
            yield Distance("largest_spacing", title, _spacing("largest_spacing_mm", *farthest), None)


def _apart(a: Place, b: Place) -> float:
    return math.hypot(b.x.number - a.x.number, b.y.number - a.y.number)


def _slanting(a: Place, b: Place) -> bool:
    return a.x.number != b.x.number and a.y.number != b.y.number


def straight(start: Place, end: Place) -> Figure:
    """Measure from one fastener to another.

    Args:
        start: Where the tape is held.
        end: Where it ends.

    Returns:
        The length (mm).
    """
    return _spacing("straight_mm", start, end)


def _spacing(name: str, a: Place, b: Place) -> Figure:
    """To the nearest tenth, as the plan has it: rounded up or down, measuring by it would be off."""
    return derived(name, "mm", round(_apart(a, b), 1), "round(hypot({} - {}, {} - {}), 1)", b.x, a.x, b.y, a.y)


def least_favourable_range(by_range: Mapping[str, float | None]) -> str:
    """Find the temperature range that a verification takes where none is given.

    Args:
        by_range: Bond strength by temperature range (MPa); None: not assessed.

    Returns:
        The range with the least bond.
    """
    assessed = {name: bond for name, bond in by_range.items() if bond is not None}
    return min(assessed, key=lambda name: (assessed[name], name))
