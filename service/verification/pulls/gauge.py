"""What a gauge shows and what it means: readings in kN, kg or bar become loads by the table of its calibration."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from typing import Any

from service.contract import wanted
from service.verification.fixing import KG_PER_LB, N_PER_KN, STANDARD_GRAVITY
from service.verification.refusal import Refusal, RefusedRequest

UNITS: Mapping[str, str] = {"reading_kn": "kN", "reading_kg": "kg", "reading_lb": "lb", "reading_bar": "bar"}
ITSELF_A_LOAD: Mapping[str, float] = {
    "reading_kn": N_PER_KN,
    "reading_kg": STANDARD_GRAVITY,
    "reading_lb": KG_PER_LB * STANDARD_GRAVITY,
}


NOT_STATED = 0.05
"""Accuracy of a gauge that states none, over the load, where a rulebook has no figure (common practice, no source)."""
PERCENT = 100.0
WITHIN_ACCURACY = "is no more than the accuracy of the gauge, so that it shows no load: use a finer gauge"


@dataclass(frozen=True, slots=True)
class Accuracy:
    """How far the load may lie from what a gauge shows: a share of it, and a load (N) besides."""

    share: float
    load_n: float
    stated: bool

    def least_n(self, shown_n: float) -> float:
        """The least load (N) at which the gauge may show one."""
        return max(0.0, shown_n * (1.0 - self.share) - self.load_n)

    def most_n(self, shown_n: float) -> float:
        """The most load (N) at which the gauge may show one."""
        return shown_n * (1.0 + self.share) + self.load_n

    def to_reach(self, load_n: float) -> float:
        """What the gauge has to show (N) so that a load is reached whichever way it errs."""
        return (load_n + self.load_n) / (1.0 - self.share)

    def not_beyond(self, load_n: float) -> float:
        """What the gauge may show at most (N) so that a load is not passed whichever way it errs."""
        return max(0.0, load_n - self.load_n) / (1.0 + self.share)


@dataclass(frozen=True, slots=True)
class Measured:
    """A load as a gauge shows it, between the least and the most that it may be (N)."""

    least_n: float
    most_n: float


@dataclass(frozen=True, slots=True)
class Gauge:
    """A gauge in the unit of its readings, with the points of its calibration: reading and load (N)."""

    name: str
    certificate: str
    calibrated_on: date | None
    valid_until: date
    points: tuple[tuple[float, float], ...]

    @property
    def unit(self) -> str:
        """Unit of the readings."""
        return UNITS[self.name]

    def load_n(self, reading: float) -> float | None:
        """Load of a reading (N), linear between the points of the calibration; None outside them."""
        if not self.points:
            return reading * ITSELF_A_LOAD[self.name]
        return _between(self.points, reading)

    def reading(self, load_n: float) -> float | None:
        """Reading at a load (N), None outside the calibration."""
        if not self.points:
            return load_n / ITSELF_A_LOAD[self.name]
        return _between([(load, shown) for shown, load in self.points], load_n)


def read_gauge(given: wanted.Gauge, name: str) -> Gauge:
    """Read a gauge.

    Args:
        given: The gauge of a request, its points in the unit of the readings.
        name: Field of the readings.

    Returns:
        The gauge.
    """
    return Gauge(
        name=name,
        certificate=given.certificate,
        calibrated_on=given.calibrated_on,
        valid_until=given.valid_until,
        points=tuple((point.in_unit(name), N_PER_KN * point.load_kn) for point in given.points),
    )


def accuracy_of(given: wanted.Gauge | None, rules: Mapping[str, Any]) -> Accuracy:
    """Read how accurate a gauge is.

    Args:
        given: The gauge; None where none is named.
        rules: The rulebook's rules of site tests; versions before 2026.7.0 have none of gauges.

    Returns:
        What it states; where it states nothing, what the rulebook takes.
    """
    share = None if given is None else given.accuracy_percent
    load = None if given is None else given.accuracy_kn
    if share is None and load is None:
        return Accuracy(float(rules.get("gauges", {}).get("accuracy_not_stated", NOT_STATED)), 0.0, stated=False)
    return Accuracy((share or 0.0) / PERCENT, (load or 0.0) * N_PER_KN, stated=True)


def loads_measured(
    given: wanted.Gauge, tested_on: date, pulls: Sequence[wanted.Reading], rules: Mapping[str, Any], place: str
) -> tuple[Measured, ...]:
    """Loads of the pulls of a test.

    Args:
        given: The gauge.
        tested_on: Day of the pulls.
        pulls: The pulls, all readings in one unit.
        rules: The rulebook's rules of site tests.
        place: Where the tests stand in the request, as a JSON pointer.

    Returns:
        The loads, each between what it is at least and at most.

    Raises:
        RefusedRequest: For a calibration that had expired, or a reading outside of it or within its accuracy.
    """
    name = pulls[0].unit
    gauge = read_gauge(given, name)
    refusals = [*expired(gauge, tested_on, f"{place}/gauge")]
    loads = [gauge.load_n(pull.in_unit(name)) for pull in pulls]
    refusals += [
        Refusal(f"{place}/pulls/{index}/{name}", "outside_calibration", _outside(gauge))
        for index, load in enumerate(loads)
        if load is None or load <= 0.0
    ]
    accuracy = accuracy_of(given, rules)
    refusals += [
        Refusal(f"{place}/pulls/{index}/{name}", "outside_calibration", WITHIN_ACCURACY)
        for index, load in enumerate(loads)
        if load is not None and load > 0.0 and accuracy.least_n(load) <= 0.0
    ]
    if refusals:
        raise RefusedRequest(*refusals)
    return tuple(Measured(accuracy.least_n(load), accuracy.most_n(load)) for load in loads if load is not None)


def expired(gauge: Gauge, day: date, place: str) -> Iterator[Refusal]:
    """Find a calibration that is over on a day, or was not yet made.

    Args:
        gauge: The gauge.
        day: The day.
        place: Where the gauge stands in the request.

    Yields:
        The refusal.
    """
    if gauge.valid_until < day:
        words = (
            f"the calibration ended on {gauge.valid_until}, before the pulls of {day}: a gauge that nobody vouches for "
            "shows nothing; have it calibrated and pull again"
        )
        yield Refusal(f"{place}/valid_until", "calibration_expired", words)

    if gauge.calibrated_on is not None and day < gauge.calibrated_on:
        words = (
            f"the calibration was made on {gauge.calibrated_on}, after the pulls of {day}: name the one that held on "
            "that day, or pull again"
        )
        yield Refusal(f"{place}/calibrated_on", "calibration_expired", words)


def _outside(gauge: Gauge) -> str:
    if not gauge.points:
        return "the reading must be a load above 0"
    first, last = gauge.points[0][0], gauge.points[-1][0]
    return (
        f"the calibration covers loads above 0 and readings of {first:g} to {last:g} {gauge.unit}; nothing is "
        "extrapolated: use a gauge whose calibration covers the reading"
    )


def _between(points: Sequence[tuple[float, float]], value: float) -> float | None:
    for (x0, y0), (x1, y1) in pairwise(points):
        if x0 <= value <= x1:
            return y0 + (y1 - y0) * (value - x0) / (x1 - x0)
    return None
