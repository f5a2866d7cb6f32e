"""Loads as a crew reads them: in kN, in kg, and on its gauge, rounded to the side that does no harm."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from service.contract import wanted
from service.contract.pulls import READINGS
from service.verification.fixing import N_PER_KN, STANDARD_GRAVITY
from service.verification.pulls.gauge import Accuracy, Gauge, accuracy_of, expired, read_gauge
from service.verification.refusal import Refusal, RefusedRequest
from service.verification.statements import rounded


def counted(number: float, what: str) -> str:
    """A number with what it counts, in the singular or the plural: 1 fastener, 2 fasteners."""
    return f"{number:g} {what}" if number == 1 else f"{number:g} {what}s"


@dataclass(frozen=True, slots=True)
class PlanGauge:
    """The gauge that a plan is made for: None where none is named, and how accurate it is."""

    named: Gauge | None
    accuracy: Accuracy


def gauge_of_plan(given: Mapping[str, Any] | None, day: str, rules: Mapping[str, Any]) -> PlanGauge:
    """Read the gauge of a plan.

    Args:
        given: The gauge, None where none is named.
        day: Day of the plan, ISO 8601.
        rules: The rulebook's rules of site tests.

    Returns:
        The gauge.

    Raises:
        RefusedRequest: Its calibration is over.
    """
    if given is None:
        return PlanGauge(None, accuracy_of(None, rules))
    named = wanted.made(wanted.Gauge, given)
    gauge = read_gauge(named, named.points[0].unit if named.points else READINGS[0])
    over = tuple(expired(gauge, date.fromisoformat(day), "#/gauge"))
    if over:
        raise RefusedRequest(*over)
    return PlanGauge(gauge, accuracy_of(named, rules))


def at_most(load_n: float) -> str:
    """A load that is not to be passed, in words for a crew: rounded down to four digits, in kN."""
    return f"{_in_digits(load_n / N_PER_KN, 4, math.floor):g} kN"


def at_least(load_n: float) -> str:
    """A load that is to be reached, in words for a crew: rounded up to four digits, in kN."""
    return f"{_in_digits(load_n / N_PER_KN, 4, math.ceil):g} kN"


def to_be_shown(load_n: float, gauge: PlanGauge, *, reached: bool) -> str:
    """What a gauge is to show for a load, in words for a crew, to the side that does no harm whichever way it errs.

    Args:
        load_n: The load (N).
        gauge: The gauge of the plan.
        reached: Whether the load is to be reached; else it is not to be passed.

    Returns:
        The load in kN that the gauge shows, in four digits, and its reading where that is no load in kN, in three.
    """
    shown_n = gauge.accuracy.to_reach(load_n) if reached else gauge.accuracy.not_beyond(load_n)
    words = at_least(shown_n) if reached else at_most(shown_n)
    named = gauge.named
    reading = None if named is None or named.name == "reading_kn" else named.reading(shown_n)
    if named is None or not reading:
        return words
    shown = _in_digits(reading, 3, math.ceil if reached else math.floor)
    return f"{words} ({shown:g} {named.unit} on the gauge)"


def _in_digits(value: float, digits: int, direction: Callable[[float], int]) -> float:
    if value == 0.0:
        return 0.0
    scale = 10.0 ** (digits - 1 - math.floor(math.log10(abs(value))))
    # Rounded beyond those digits first, so that 9.3 kN made of floating numbers is not taken for a little more.
    return direction(round(value * scale, 5)) / scale


def load_with_reading(load_n: float, gauge: PlanGauge, place: str, *, reached: bool) -> dict[str, Any]:
    """A load in kN and kg, and what the gauge has to show for it whichever way it errs.

    Args:
        load_n: The load (N).
        gauge: The gauge of the plan.
        place: Where what asks for the load stands in the request.
        reached: Whether the load is to be reached; else it is not to be passed.

    Returns:
        The load and its reading.

    Raises:
        RefusedRequest: The load is outside the calibration.
    """
    shown: dict[str, Any] = dict.fromkeys(READINGS)
    named = gauge.named
    if named is not None:
        shown_n = gauge.accuracy.to_reach(load_n) if reached else gauge.accuracy.not_beyond(load_n)
        reading = named.reading(shown_n)
        if reading is None:
            first, last = (load / N_PER_KN for load in (named.points[0][1], named.points[-1][1]))
            words = (
                f"asks for a load of {shown_n / N_PER_KN:.4g} kN on the gauge; the calibration covers {first:g} to "
                f"{last:g} kN: use another gauge"
            )
            raise RefusedRequest(Refusal(place, "outside_calibration", words))
        shown[named.name] = rounded(reading)
    return {"load_kn": rounded(load_n / N_PER_KN), "load_kg": rounded(load_n / STANDARD_GRAVITY), **shown}
