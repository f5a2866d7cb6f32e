"""Loads as a crew reads them: in kN, in kg, and on its gauge, rounded to the side that does no harm."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from service.contract import wanted
from service.contract.pulls import READINGS
from service.verification.fixing import N_PER_KN, STANDARD_GRAVITY
from service.verification.pulls.gauge import Gauge, expired, read_gauge
from service.verification.refusal import Refusal, RefusedRequest
from service.verification.statements import rounded


def counted(number: float, what: str) -> str:
    """A number with what it counts, in the singular or the plural: 1 fastener, 2 fasteners."""
    return f"{number:g} {what}" if number == 1 else f"{number:g} {what}s"


def gauge_of_plan(given: Mapping[str, Any] | None, day: str) -> Gauge | None:
    """Read the gauge of a plan.

    Args:
        given: The gauge, None where none is named.
        day: Day of the plan, ISO 8601.

    Returns:
        The gauge.

    Raises:
        RefusedRequest: Its calibration is over.
    """
    if given is None:
        return None
    named = wanted.made(wanted.Gauge, given)
    gauge = read_gauge(named, named.points[0].unit if named.points else READINGS[0])
    over = tuple(expired(gauge, date.fromisoformat(day), "#/gauge"))
    if over:
        raise RefusedRequest(*over)
    return gauge


def at_most(load_n: float) -> str:
    """A load that is not to be passed, in words for a crew: rounded down to four digits, in kN."""
    return f"{_in_digits(load_n / N_PER_KN, 4, math.floor):g} kN"


def at_least(load_n: float) -> str:
    """A load that is to be reached, in words for a crew: rounded up to four digits, in kN."""
    return f"{_in_digits(load_n / N_PER_KN, 4, math.ceil):g} kN"


def on_gauge(load_n: float, gauge: Gauge | None, *, reached: bool) -> str:
    """What a gauge shows at a load, in words for a crew, in three digits to the side that does no harm.

    Args:
        load_n: The load (N).
        gauge: The gauge, if one is named.
        reached: Whether the load is to be reached; else it is not to be passed.

    Returns:
        The reading with its unit, in brackets; nothing where the gauge shows the load itself or covers it not.
    """
    reading = None if gauge is None or gauge.name == "reading_kn" else gauge.reading(load_n)
    if gauge is None or not reading:
        return ""
    shown = _in_digits(reading, 3, math.ceil if reached else math.floor)
    return f" ({shown:g} {gauge.unit} on the gauge)"


def _in_digits(value: float, digits: int, direction: Callable[[float], int]) -> float:
    if value == 0.0:
        return 0.0
    scale = 10.0 ** (digits - 1 - math.floor(math.log10(abs(value))))
    # Rounded beyond those digits first, so that 9.3 kN made of floating numbers is not taken for a little more.
    return direction(round(value * scale, 5)) / scale


def load_with_reading(load_n: float, gauge: Gauge | None, place: str) -> dict[str, Any]:
    """A load in kN and kg, and what the gauge shows at it.

    Args:
        load_n: The load (N).
        gauge: The gauge, if one is named.
        place: Where what asks for the load stands in the request.

    Returns:
        The load and its reading.

    Raises:
        RefusedRequest: The load is outside the calibration.
    """
    shown: dict[str, Any] = dict.fromkeys(READINGS)
    if gauge is not None:
        reading = gauge.reading(load_n)
        if reading is None:
            first, last = (load / N_PER_KN for load in (gauge.points[0][1], gauge.points[-1][1]))
            words = (
                f"asks for a load of {load_n / N_PER_KN:.4g} kN; the calibration covers {first:g} to {last:g} kN: use "
                "another gauge"
            )
            raise RefusedRequest(Refusal(place, "outside_calibration", words))
        shown[gauge.name] = rounded(reading)
    return {"load_kn": rounded(load_n / N_PER_KN), "load_kg": rounded(load_n / STANDARD_GRAVITY), **shown}
