"""What of a fixing stands by now, what is left to do, and how the crew is told so before anything else."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from service.contract.as_built_codes import Measurement
from service.contract.as_built_codes.measurements import OF_EACH_FASTENER
from service.site.holes.loosened import OF_TIGHTENING, comes_off, loosened
from service.site.sheet.content import AsBuilt, Figure, Line, derived
from service.site.sheet.source import Source
from service.verification.requirements import BY_FEEL

if TYPE_CHECKING:
    from service.site.sheet.work import Work

BUILT = "#/request/built"


@dataclass(frozen=True)
class Progress:
    """How far the work of one fixing is: of a fixing that nobody has checked as built all is still to do."""

    source: Source

    @property
    def as_built(self) -> bool:
        """Whether an as-built check has found something."""
        built = self.source.fixing.built
        return bool(built.measured or built.to_set_numbers)

    @property
    def every(self) -> tuple[int, ...]:
        """The fasteners that stand or are to stand."""
        return self.source.fixing.built.numbers(len(self.source.fixing.positions))

    @property
    def to_set(self) -> tuple[int, ...]:
        """The fasteners that are still to be drilled and set."""
        if not self.as_built:
            return self.every
        return tuple(number for number in self.every if number in self.source.fixing.built.to_set_numbers)

    @property
    def standing(self) -> tuple[int, ...]:
        """The fasteners that stand."""
        return tuple(number for number in self.every if number not in self.to_set)

    @property
    def number_to_set(self) -> Figure:
        """How many are still to be set."""
        count = len(self.to_set)
        if not self.as_built:
            return Figure("fasteners_per_fixing", count, "count", from_="#/request/positions")
        if not count:
            return Figure("fasteners_per_fixing", 0, "count", expression="0")
        return Figure("fasteners_per_fixing", count, "count", from_=f"{BUILT}/to_set_numbers")

    @property
    def loosened(self) -> bool:
        """Whether what stands is tightened again once all is set."""
        return loosened(self.source.request, self.source.selection)

    @property
    def felt(self) -> bool:
        """Whether what stands was found tightened by feel: no wrench that is put on later reads how tight it is."""
        found = self.source.fixing.built.measured
        by_feel = self.source.fixing.site.value("torque_control") == BY_FEEL and Measurement.TORQUE_TOOL.value in found
        return by_feel and bool(self.standing) and not self.loosened and Measurement.TORQUE.value not in found

    def measured(self, code: Measurement | None) -> bool:
        """Say whether something was measured of what stands.

        Args:
            code: What; None: it is no measurement.

        Returns:
            True where an as-built check was told, and the work that is left does not undo it.
        """
        if code in OF_TIGHTENING and self.loosened:
            return False
        return self.as_built and code is not None and code.value in self.source.fixing.built.measured

    def open_for(self, code: Measurement | None) -> tuple[int, ...]:
        """Find the fasteners that something is still to be measured of.

        Args:
            code: What.

        Returns:
            Their numbers: those that are to be set, and those that stand where nobody has measured it.
        """
        settled = self.measured(code) or (code is Measurement.TORQUE and self.felt)
        return self.to_set if settled else self.every

    def is_open(self, code: Measurement | None) -> bool:
        """Say whether what is measured once for the fixing is still to be.

        Args:
            code: What.

        Returns:
            True too where it was measured, and is another thing of each fastener that is still to be set.
        """
        return not self.measured(code) or (code in OF_EACH_FASTENER and bool(self.to_set))


def as_built_of(work: Work, open_codes: Sequence[Measurement]) -> AsBuilt | None:
    """Say what stands and what is left to do.

    Args:
        work: The work of the fixing.
        open_codes: What is still to be measured of fasteners that stand.

    Returns:
        The words, None where nothing was checked as built.
    """
    progress = work.progress
    if not progress.as_built:
        return None
    lines = (
        *_replaced(work),
        *_standing(work, open_codes),
        *_to_set(work, open_codes),
        *_moved(work),
        *_not_loaded(work),
        *_missing(work),
        *_lengths(work),
    )
    record = work.source.fixing.came_from_record
    return AsBuilt(record, progress.standing, progress.to_set, lines, tuple(_measured(work)))


def _list(numbers: Sequence[int]) -> str:
    return ", ".join(map(str, numbers))


def _replaced(work: Work) -> Iterator[Line]:
    if work.source.fixing.came_from_record is not None:
        record = work.source.given("record", "", "#/request/came_from_record")
        yield work.words.tell("It replaces the sheet of record {record}: take that one off the job", record=record)


def _standing(work: Work, open_codes: Sequence[Measurement]) -> Iterator[Line]:
    words, standing = work.words, work.progress.standing
    if not standing:
        return
    yield Line(
        words.count(
            "Fastener {numbers} stands and stays: it is not drilled, set, taken out or ordered again",
            "Fasteners {numbers} stand and stay: they are not drilled, set, taken out or ordered again",
            len(standing),
            numbers=_list(standing),
        )
    )
    yield from _fixture_over_them(work)
    if work.progress.felt:
        yield words.tell(
            "What stands was tightened by feel: leave it as it is, neither tightened nor slackened, until the engineer "
            "has decided"
        )
    if work.progress.measured(Measurement.TORQUE):
        yield words.tell("What stands is tightened: do not tighten it again")
    if open_codes:
        named = words.every([words.catalogue.figure(code) for code in open_codes])
        yield words.tell("Still to be found out of what stands, and written in the form: {named}", named=named)


def _fixture_over_them(work: Work) -> Iterator[Line]:
    """What becomes of the fixture where some stand and some are still to be set."""
    tell, source, fixture_stands = work.words.tell, work.source, not work.without_plate and not work.cast_in
    if comes_off(source.request, source.selection) and work.through_fixture:
        yield tell(
            "The fixture comes off for its new hole where that cannot be made in place: prop or lift what it carries "
            "first, and nobody beneath. It goes on again over what stands before the {base} is drilled through it",
            base=work.base,
        )
    elif comes_off(source.request, source.selection):
        yield tell(
            "The fixture comes off for what is still to be set, if it is on: prop or lift what it carries first, and "
            "nobody beneath. Drill and set before it goes on again"
        )
    elif work.progress.to_set and fixture_stands:
        yield tell(
            "Leave the fixture in place, and what holds it as tight as it is: what is still to be set is drilled "
            "through it there. If it has to come off, stop and ask"
        )
    if work.holes_filled and comes_off(source.request, source.selection):
        yield tell(
            "The mortar around those that stand breaks as it comes off: clear it out of every hole of the fixture and "
            "off every fastener before it goes on again, then a new filling washer on each, and all are filled anew"
        )
    if work.progress.loosened:
        yield tell(
            "Whatever was tightened before, all are tightened once all are set, in the order of the steps, and looked "
            "at and written down anew: those that stand too"
        )


def _to_set(work: Work, open_codes: Sequence[Measurement]) -> Iterator[Line]:
    words, to_set = work.words, work.progress.to_set
    if not to_set:
        yield words.tell("Nothing is left to drill or set")
        if not open_codes:
            yield words.tell("Keep this sheet as the record of what stands")
        return
    yield Line(
        words.count(
            "Fastener {numbers} is still to be set: bill, steps and form are for it",
            "Fasteners {numbers} are still to be set: bill, steps and form are for them",
            len(to_set),
            numbers=_list(to_set),
        )
    )


def _not_loaded(work: Work) -> Iterator[Line]:
    if work.progress.to_set:
        yield work.words.tell("Do not load the fixing before all are set and checked as built")


def _moved(work: Work) -> Iterator[Line]:
    places = {place.number: place for place in work.places}
    for index, moved in enumerate(work.source.fixing.built.moved_from):
        place = places[moved.number]
        parts: dict[str, Any] = {
            "x": place.x,
            "y": place.y,
            "x_before": work.source.given("x_mm", "mm", f"{BUILT}/moved_from/{index}/x_mm"),
            "y_before": work.source.given("y_mm", "mm", f"{BUILT}/moved_from/{index}/y_mm"),
            "number": str(moved.number),
        }
        if place.stands:
            yield work.words.tell(
                "Fastener {number} was moved: it stands at x {x}, y {y}, and was planned at x {x_before}, y {y_before}",
                **parts,
            )
        else:
            yield work.words.tell(
                "Fastener {number} is moved: it is set at x {x}, y {y}, and no longer at x {x_before}, y {y_before}",
                **parts,
            )


def _missing(work: Work) -> Iterator[Line]:
    missing = work.source.fixing.built.missing_numbers
    if missing:
        yield Line(
            work.words.count(
                "Fastener {numbers} is not there: the rest were verified without it and keep the numbers of the first "
                "sheet",
                "Fasteners {numbers} are not there: the rest were verified without them and keep the numbers of the "
                "first sheet",
                len(missing),
                numbers=_list(missing),
            )
        )


def _lengths(work: Work) -> Iterator[Line]:
    for index, other in enumerate(work.source.fixing.built.other_lengths):
        yield work.words.tell(
            "Fastener {number} is {length} long, where the others are {usual}",
            number=str(other.number),
            length=work.source.given("length_mm", "mm", f"{BUILT}/other_lengths/{index}/length_mm"),
            usual=work.length,
        )


def _measured(work: Work) -> Iterator[Line]:
    """What was measured of those that stand: of several a record has the one that counts."""
    words, known = work.words, tuple(_figures(work))
    if known:
        named = [words.say("{what} {figure}", what=code, figure=figure) for code, figure in known]
        yield Line(
            words.say("Measured by now, of several the one that counts: {measured}", measured=words.every(named)),
            tuple(figure for _, figure in known),
        )
    told = {code for code, _ in known}
    seen = [code for code in Measurement if work.progress.measured(code) and code not in told]
    if seen:
        named = [words.catalogue.figure(code) for code in seen]
        yield words.tell("Looked at by now: {seen}", seen=words.every(named))


def _figures(work: Work) -> Iterator[tuple[Measurement, Figure]]:
    built = work.source.request.get("built") or {}
    for code, field, unit in (
        (Measurement.HOLE_DEPTH, "hole_depth_mm", "mm"),
        (Measurement.SET_DEPTH, "embedment_mm", "mm"),
        (Measurement.TORQUE, "torque_nm", "Nm"),
        (Measurement.CONCRETE_TEMPERATURE, "concrete_temperature_c", "°C"),
        (Measurement.COLDEST_UNTIL_CURED, "coldest_until_cured_c", "°C"),
        (Measurement.CURING, "curing_minutes", "min"),
    ):
        if work.progress.measured(code) and built.get(field) is not None:
            figure = work.source.given(field, unit, f"{BUILT}/{field}")
            yield code, _set_depth(work, figure) if code is Measurement.SET_DEPTH else figure


def _set_depth(work: Work, reached: Figure) -> Figure:
    """As a tape shows it: a record keeps the effective embedment."""
    nominal, effective = work.nominal_embedment, work.embedment
    value = reached.number + nominal.number - effective.number
    return derived("set_depth_mm", "mm", value, "{} + {} - {}", reached, nominal, effective)
