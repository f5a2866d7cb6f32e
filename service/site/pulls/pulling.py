"""How a fastener is pulled: not so hard that its steel stretches, with the bridge not so near that it helps."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from service.rulebook import Rulebook
from service.verification.answer import rounded
from service.verification.cautions import Caution
from service.verification.fixing import N_PER_KN, STANDARD_GRAVITY
from service.verification.pulls.fastener import label_n, ultimate_n, yield_n
from service.verification.pulls.gauge import READINGS, Gauge, expired, read_gauge, reading_field
from service.verification.pulls.requirements import CURES, RELATIVE_TOLERANCE, RULES
from service.verification.refusal import Refusal, RefusedRequest
from service.verification.requirements import Requirement
from service.verification.selection import Selection
from service.verification.tolerance import reaches_mm

LOADING = f"{RULES}/loading"


@dataclass(frozen=True, slots=True)
class Pulling:
    """What the rulebook asks of every pull, for one fastener (mm, N).

    ``limit_n`` is None where neither its steel nor its label says what it bears, ``ultimate_n`` where nothing is known
    of its steel.
    """

    selection: Selection
    embedment_mm: float
    limit_n: float | None
    limit_words: str
    limit_rule: str
    label_only: bool
    hold_minutes: float
    movement_mm: float
    support_proof_mm: float
    support_allowable_mm: float
    ultimate_n: float | None

    @property
    def cures(self) -> bool:
        """Whether it holds only once its resin has cured."""
        return self.selection.family["mechanism"] in CURES


def counted(number: float, what: str) -> str:
    """A number with what it counts, in the singular or the plural: 1 fastener, 2 fasteners."""
    return f"{number:g} {what}" if number == 1 else f"{number:g} {what}s"


def pulling_of(selection: Selection, embedment_mm: float, rulebook: Rulebook) -> Pulling:
    """Read what the rulebook asks of pulls of a fastener.

    Args:
        selection: The fastener.
        embedment_mm: Its effective embedment (mm).
        rulebook: The rulebook.

    Returns:
        Limits and distances (mm, N).
    """
    rules = rulebook.factors["site-tests"]["loading"]
    stated, ultimate = label_n(selection), ultimate_n(selection)
    limit = min(stated, float(rules["steel_yield_share_max"]) * yield_n(selection))
    return Pulling(
        selection=selection,
        embedment_mm=embedment_mm,
        limit_n=limit if math.isfinite(limit) else None,
        limit_words="what its label states" if limit == stated else "a share of A_s·f_yk",
        limit_rule=selection.row_path("simplified", "resistance_kn")
        if limit == stated
        else f"{LOADING}/steel_yield_share_max",
        label_only=math.isfinite(stated),
        hold_minutes=float(rules["hold_minutes"]),
        movement_mm=float(rules["movement_max_mm"]),
        support_proof_mm=float(rules["support_factor_proof"]) * embedment_mm,
        support_allowable_mm=float(rules["support_factor_allowable"]) * embedment_mm,
        ultimate_n=ultimate if math.isfinite(ultimate) else None,
    )


def below_steel(pulling: Pulling, load_n: float, otherwise: str) -> Iterator[Requirement]:
    """Whether a load leaves the fastener itself unharmed; nothing where nothing is known of it.

    Args:
        pulling: What the rulebook asks of the pull.
        load_n: The load (N).
        otherwise: What to do where it does not.

    Yields:
        The requirement.
    """
    if pulling.limit_n is None:
        return
    met = load_n <= pulling.limit_n * (1.0 + RELATIVE_TOLERANCE)
    words = f"at most {pulling.limit_n / N_PER_KN:.4g} kN, {pulling.limit_words}, so that the fastener is not harmed"
    yield Requirement(
        "pull_below_steel", met, words if met else f"{words}; {otherwise}",
        load_n / N_PER_KN, pulling.limit_n / N_PER_KN, "kN", pulling.limit_rule,
    )  # fmt: skip


def feet_far_enough(given_mm: float | None, least_mm: float, rule: str) -> Iterator[Requirement]:
    """Whether the feet of the bridge stand far enough away (mm); nothing where nobody says where they stand."""
    if given_mm is not None:
        yield Requirement(
            "feet_far_enough", reaches_mm(given_mm, least_mm),
            f"the feet of the bridge stand at least {least_mm:g} mm from the fastener: nearer, they hold down what "
            "would break out, and the pull proves nothing",
            given_mm, least_mm, "mm", f"{LOADING}/{rule}",
        )  # fmt: skip


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
    points = given.get("points") or ()
    gauge = read_gauge(given, reading_field(points[0]) if points else READINGS[0])
    over = tuple(expired(gauge, day, "#/gauge"))
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


def shown_cautions(rulebook: Rulebook, cautions: Iterator[Caution]) -> list[dict[str, str]]:
    """The cautions of the rulebook, and those that a test brings."""
    own = dict.fromkeys((caution.code, caution.text) for caution in cautions)
    said = [{"code": caution["code"], "text": caution["text"]} for caution in rulebook.document["cautions"]]
    return said + [{"code": code, "text": text} for code, text in own]


def shown_fastener(selection: Selection, embedment_mm: float) -> dict[str, Any]:
    """The pulled fastener as answers show it."""
    return {
        "family": selection.family_id,
        "title": selection.family["title"],
        "size": selection.size_name,
        "embedment_mm": rounded(embedment_mm),
    }
