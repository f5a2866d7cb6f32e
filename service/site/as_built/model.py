"""What an as-built check is made of."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from service.contract import wanted
from service.contract.as_built_codes import AsBuiltRequirementCode, Measurement
from service.contract.wanted import Fixture, made, standing_in
from service.site.as_built.apart import same_hole
from service.site.as_built.numbering import numbers_of
from service.site.as_built.plate_holes import has_holes, taken_as_oversize
from service.site.holes.depth_windows import Tolerances
from service.verification.fixture_holes import clearance_of, hold_of
from service.verification.hole_depth import HEAD_RESTS_ON_FIXTURE
from service.verification.requirements import BY_FEEL
from service.verification.selection import Selection
from service.words import Statement, Value

VERIFIED, NOT_VERIFIED, NOT_SHOWN = "verified", "not_verified", "not_shown"
OVERSIZE = "oversize"


@dataclass(frozen=True, slots=True)
class Record:
    """A record that was found to be true: its request with day and version resolved, and its answer.

    ``ordered`` is the fastener of the record where both have another one, which stands there in its place, and
    ``made_for_mm`` the hole in the fixture that it was to have, where it has one; ``place`` is where its request stands
    in what was sent.
    """

    request: Mapping[str, Any]
    answer: Mapping[str, Any]
    ordered: Mapping[str, Any] | None = None
    made_for_mm: float | None = None
    place: str = "#/record/request"


@dataclass(frozen=True, slots=True)
class Requirement:
    """What the work as built has to keep beside the verification, and what to do where it does not.

    ``met`` is None where nobody has measured what would show it. ``decisive`` marks what no resistance is assessed
    without, so that no figure may stand beside it.
    """

    code: AsBuiltRequirementCode
    met: bool | None
    figures: Mapping[str, Value] = field(default_factory=dict)
    rule: str | None = None
    to_do: tuple[Statement, ...] = ()
    decisive: bool = False

    @property
    def statement(self) -> Statement:
        """What is said of it."""
        return Statement(self.code, self.figures)

    @property
    def given(self) -> float | str | None:
        """What was done; None where there is no such figure, or several."""
        return self.code.says.given_of(self.figures)

    @property
    def limit(self) -> float | str | None:
        """What is allowed; None where there is no such figure, or several."""
        return self.code.says.limit_of(self.figures)

    @property
    def unit(self) -> str | None:
        """Unit of both; None where they have none."""
        return self.code.says.unit


@dataclass(frozen=True, slots=True)
class FoundOnSite:
    """What was found by now, in this check and in earlier ones.

    Attributes:
        values: What was found; `embedment_mm` is the effective one, however it was said.
        said: What was measured.
        in_other_holes: Fasteners, by their index, that stand in another hole than the record has them in.
        deepest_hole_mm: The deepest hole (mm), of earlier fasteners too, None where nobody said.
    """

    values: Mapping[str, Any]
    said: frozenset[Measurement]
    in_other_holes: tuple[int, ...] = ()
    deepest_hole_mm: float | None = None


def still_felt(record: Record, found: FoundOnSite, numbers: Sequence[int]) -> bool:
    """Say whether an earlier check found some of what stands tightened by feel, which nobody had ordered.

    Args:
        record: The record.
        found: What was found by now.
        numbers: Places of the fasteners that stand, from 1.

    Returns:
        False where each of them is another one by now.
    """
    before = (record.request.get("built") or {}).get("measured") or ()
    control = (record.request.get("site") or {}).get("torque_control")
    felt_then = control == BY_FEEL and Measurement.TORQUE_TOOL.value in before
    return felt_then and not {number - 1 for number in numbers} <= set(found.in_other_holes)


@dataclass(frozen=True, slots=True)
class Built:
    """The work as built beside the record it was done by.

    Attributes:
        record: The record.
        given: What was said of it now, without what is null.
        found: What was found by now, also in earlier checks.
        request: The request as built.
        verified: What the record's request chose.
        selection: What the request as built chooses.
        tolerances: How far depths may be off.
        shift_mm: How far the fixture moved with its fasteners, along x and y (mm).
        rests_on_grout: Whether it does not verify without the strength of the grout, which nobody said.
    """

    record: Record
    given: Mapping[str, Any]
    found: FoundOnSite
    request: Mapping[str, Any]
    verified: Selection
    selection: Selection
    tolerances: Tolerances
    shift_mm: tuple[float, float] = (0.0, 0.0)
    rests_on_grout: bool = False

    @property
    def missing(self) -> tuple[int, ...]:
        """Places in the record, from 1, of the fasteners that are not there."""
        return tuple(sorted(self.given.get("missing_numbers", ())))

    @property
    def set_anew(self) -> tuple[int, ...]:
        """Places in the record, from 1, of the fasteners that replace others which were taken out."""
        return tuple(sorted(self.given.get("replaced_numbers", ())))

    @property
    def in_used_holes(self) -> tuple[int, ...]:
        """Those of them that stand in the hole of the one that was taken out, or nearer to it than a hole is wide."""
        before, now = self.record.request["positions"], dict(zip(self.numbers, self.request["positions"], strict=True))
        return tuple(
            number for number in self.set_anew if same_hole(before[number - 1], now[number], self.verified)
        )

    @property
    def holes_not_told(self) -> tuple[int, ...]:
        """Places of those that left a hole, or have none to stand in yet, of which neither is said."""
        left = set(self.set_anew) - set(self.in_used_holes)
        undrilled, places = set(self.given.get("undrilled_numbers", ())), self.record.request["positions"]
        holes = self.found.values.get("aborted_holes", ())
        return tuple(
            number
            for number in sorted({*self.missing, *self.to_set, *left})
            if number not in undrilled and not any(same_hole(places[number - 1], hole, self.verified) for hole in holes)
        )

    @property
    def numbers(self) -> tuple[int, ...]:
        """Places of the record's fasteners that are there, in the order of the request as built."""
        return numbers_standing(self.record.request, self.given)

    def named(self, places: Iterable[int]) -> tuple[int, ...]:
        """Number fasteners, told by their places in the record, as the first sheet did."""
        numbers = numbers_of(self.record.request)
        return tuple(numbers[place - 1] for place in places)

    @property
    def holes_taken(self) -> bool:
        """Whether the holes in the fixture were taken as oversize, as nobody said how wide they are."""
        stood = [self.record.request["positions"][number - 1] for number in self.numbers]
        made_for = self.record.made_for_mm
        return taken_as_oversize(self.given, stood, self.request["positions"], self.fixture, self.selection, made_for)

    @property
    def hole_size_not_told(self) -> bool:
        """Whether holes in the fixture are wider than the table has them, and nobody told how wide they are now."""
        if not has_holes(self.fixture, self.selection) or clearance_of(self.fixture, self.selection) != OVERSIZE:
            return False
        before = clearance_of(made(Fixture, self.record.request["fixture"]), self.selection)
        widened = self.holes_taken or ("clearance" in self.given and before != OVERSIZE)
        return (self.given.get("fixture_hole_diameter_mm") if widened else self.fixture.hole_diameter_mm) is None

    @property
    def masonry(self) -> bool:
        """Whether pulls in masonry show what holds it."""
        return made(wanted.Verification, self.request).in_masonry

    @property
    def bare(self) -> bool:
        """Whether it is a rod without a plate: nothing is clamped, so no torque is asked for."""
        return hold_of(self.fixture, self.selection) == "bare"

    @property
    def fixture(self) -> Fixture:
        """The fixture as built, as it stands off the concrete."""
        return standing_in(self.request)

    @property
    def lengths_mm(self) -> tuple[float | None, ...]:
        """Lengths that are fitted (mm), each once; None where none was chosen."""
        return lengths_mm(self.request)

    @property
    def to_set(self) -> tuple[int, ...]:
        """Places in the record, from 1, of the fasteners that are still to be set."""
        return tuple(sorted(self.given.get("to_set_numbers", ())))

    @property
    def shallow(self) -> tuple[int, ...]:
        """Places in the record, from 1, of the fasteners that alone are as shallow as was said."""
        return tuple(sorted(self.given.get("shallow_numbers", ())))


def lengths_mm(request: Mapping[str, Any]) -> tuple[float | None, ...]:
    """Find the lengths that a request names.

    Args:
        request: The request, as built.

    Returns:
        The length of most (mm), None where none was chosen, and each other one once.
    """
    built = made(wanted.Built, request.get("built") or {})
    return tuple(dict.fromkeys((request["fastener"]["length_mm"], *built.other_lengths_mm)))


def numbers_standing(request: Mapping[str, Any], given: Mapping[str, Any]) -> tuple[int, ...]:
    """Find the fasteners that are there.

    Args:
        request: The record's request.
        given: What was said of the work, without nulls, each fastener by its place.

    Returns:
        Their places in the record, from 1, ascending.
    """
    missing = set(given.get("missing_numbers", ()))
    return tuple(number for number in range(1, len(request["positions"]) + 1) if number not in missing)


def numbers_set(request: Mapping[str, Any], given: Mapping[str, Any]) -> tuple[int, ...]:
    """Find the fasteners that are set: those that are there and not still to be set.

    Args:
        request: The record's request.
        given: What was said of the work, without nulls, each fastener by its place.

    Returns:
        Their places in the record, from 1, ascending.
    """
    open_yet = set(given.get("to_set_numbers", ()))
    return tuple(number for number in numbers_standing(request, given) if number not in open_yet)


def without_nulls(given: Mapping[str, Any]) -> dict[str, Any]:
    """Take what was said of the work; null says nothing, and neither does a part in which all is null.

    Args:
        given: What was really done.

    Returns:
        The same without nulls.
    """
    said = {
        name: without_nulls(value) if isinstance(value, Mapping) else value
        for name, value in given.items()
        if value is not None
    }
    return {name: value for name, value in said.items() if value != {}}


def cast_in(selection: Selection) -> bool:
    """Whether nothing is drilled.

    Args:
        selection: What was chosen.

    Returns:
        True for what was placed before the pour.
    """
    return bool(selection.family["mechanism"] == "headed_fastener")


def bonded(selection: Selection) -> bool:
    """Whether resin holds it.

    Args:
        selection: What was chosen.

    Returns:
        True for bonded fasteners.
    """
    return bool(selection.family["mechanism"] == "bonded")


def has_head(selection: Selection) -> bool:
    """Whether a head rests on the fixture.

    Args:
        selection: What was chosen.

    Returns:
        True for screws, frame fixings and bolts with a head.
    """
    return selection.family["form"] in HEAD_RESTS_ON_FIXTURE
