"""Cleaning, temperature and curing, as far as they were said; aborted holes nearby."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from service.contract.as_built_codes import (
    AsBuiltRequirementCode,
    Cleaning,
    ResinSeen,
    SetWithin,
    ToDoCode,
)
from service.contract.verification_codes import Filling, HoleState
from service.rulebook import Rulebook
from service.site.as_built.apart import apart_mm
from service.site.as_built.model import Built, Requirement, bonded, cast_in
from service.site.holes.used_again import serves_again
from service.verification.aborted_hole import least_distance, pushed_to_under
from service.verification.tolerance import TOLERANCE, reaches_mm
from service.words import Statement, Value


def cleaning(built: Built) -> Iterator[Requirement]:
    """Say whether the hole was cleaned.

    Args:
        built: The work as built.

    Yields:
        One requirement, where it was said.
    """
    if "hole_cleaned" not in built.found.values:
        return
    met = bool(built.found.values["hole_cleaned"])
    yield Requirement(
        AsBuiltRequirementCode.HOLE_CLEANED,
        met,
        {"cleaning": Cleaning.CLEANED if met else Cleaning.NOT_CLEANED},
        built.selection.path("installation", "cleaning_steps"),
        () if met else (Statement(ToDoCode.SET_ANEW_IN_CLEAN_HOLE),),
        decisive=bonded(built.selection),
    )


def resin(built: Built) -> Iterator[Requirement]:
    """Hold temperature and curing against the table of the resin.

    Args:
        built: The work as built.

    Yields:
        What was found, where it was said.
    """
    if not bonded(built.selection):
        return
    values, path = built.found.values, built.selection.path("installation", "working_and_curing")
    setting, coldest = values.get("concrete_temperature_c"), values.get("coldest_until_cured_c")
    if setting is not None:
        yield _setting_temperature(built, float(setting), path)
    if values.get("resin_filled") is not None:
        yield _filled(bool(values["resin_filled"]))
    if values.get("set_within_working_time") is not None:
        yield _working_time(bool(values["set_within_working_time"]), path)
    if coldest is not None or values.get("curing_minutes") is not None:
        yield _curing(built, coldest, values.get("curing_minutes"), path)


def _rows_at(built: Built, temperature: float) -> list[Mapping[str, Any]]:
    """The rows of the table that hold: at the border of two ranges both do, and the longer curing time counts."""
    table: list[Mapping[str, Any]] = built.selection.family["installation"]["working_and_curing"]
    return [row for row in table if row["temperature_min_c"] <= temperature <= row["temperature_max_c"]]


def _range(built: Built) -> dict[str, Value]:
    """Between which temperatures the table of the resin lies (°C)."""
    table: list[Mapping[str, Any]] = built.selection.family["installation"]["working_and_curing"]
    return {
        "temperature_min_c": table[0]["temperature_min_c"],
        "temperature_max_c": table[-1]["temperature_max_c"],
    }


def _setting_temperature(built: Built, temperature: float, path: str) -> Requirement:
    met = bool(_rows_at(built, temperature))
    figures = {"temperature_c": temperature, **_range(built)}
    to_do = () if met else (Statement(ToDoCode.SET_ANEW_IN_RANGE),)
    return Requirement(AsBuiltRequirementCode.SETTING_TEMPERATURE, met, figures, path, to_do, decisive=True)


def _filled(met: bool) -> Requirement:
    seen = ResinSeen.FILLED if met else ResinSeen.NOT_FILLED
    to_do = () if met else (Statement(ToDoCode.SET_ANEW_FILLED),)
    return Requirement(AsBuiltRequirementCode.RESIN_FILLED, met, {"resin": seen}, to_do=to_do, decisive=True)


def _working_time(met: bool, path: str) -> Requirement:
    setting = SetWithin.WITHIN if met else SetWithin.BEYOND
    to_do = () if met else (Statement(ToDoCode.SET_ANEW_IN_TIME),)
    return Requirement(AsBuiltRequirementCode.WORKING_TIME, met, {"setting": setting}, path, to_do, decisive=True)


def _curing(built: Built, coldest: float | None, waited: float | None, path: str) -> Requirement:
    code = AsBuiltRequirementCode.CURING_TIME
    figures: dict[str, Value] = {
        "curing_minutes": waited,
        "curing_min_minutes": None,
        "coldest_c": coldest,
        "temperature_min_c": None,
        "temperature_max_c": None,
        "hole": None,
    }
    if coldest is None:
        return Requirement(code, None, figures, path, (Statement(ToDoCode.SAY_COLDEST),))
    rows = _rows_at(built, coldest)
    if not rows:
        to_do = (Statement(ToDoCode.SET_ANEW_WHEN_WARM),)
        return Requirement(code, False, figures | _range(built), path, to_do, decisive=True)
    dry = (built.request.get("use") or {}).get("hole") == "dry"
    least = max(float(row["curing_dry_minutes" if dry else "curing_wet_minutes"]) for row in rows)
    figures |= {"curing_min_minutes": least, "hole": HoleState.DRY if dry else HoleState.WET}
    if waited is None:
        return Requirement(code, None, figures, path, (Statement(ToDoCode.SAY_CURING),))
    met = waited >= least - TOLERANCE
    return Requirement(code, met, figures, path, () if met else (Statement(ToDoCode.CURED_TOO_SHORT),))


def aborted(built: Built, answer: Mapping[str, Any], rulebook: Rulebook) -> Iterator[Requirement]:
    """Hold the distance of each aborted hole to the nearest fastener against the rulebook.

    Args:
        built: The work as built.
        answer: The answer to its request, with the shear of each fastener.
        rulebook: The rulebook.

    Yields:
        One requirement an aborted hole.
    """
    geometry, request = built.selection.size["geometry"], built.request
    own = float(geometry["hole_diameter_mm"] or geometry["nominal_diameter_mm"])
    for hole in built.found.values.get("aborted_holes", ()):
        diameter = max(own, float(hole.get("diameter_mm") or own))
        index, place = min(enumerate(request["positions"]), key=lambda spot: apart_mm(spot[1], hole))
        found = apart_mm(place, hole)
        filled = bool(hole.get("refilled")) and not pushed_to_under(answer, (hole["x_mm"], hole["y_mm"]))
        least = least_distance(rulebook, diameter, float(hole["depth_mm"]), filled=filled)
        met = reaches_mm(found, least.distance_mm)
        [number] = built.named([built.numbers[index]])
        where: dict[str, Value] = {"x_mm": hole["x_mm"], "y_mm": hole["y_mm"], "number": number}
        figures: dict[str, Value] = where | {
            "distance_mm": found,
            "distance_min_mm": least.distance_mm,
            "filling": _filling(hole, filled),
        }
        remedy = ToDoCode.MOVE_FROM_HOLE if hole.get("refilled") else ToDoCode.FILL_HOLE
        to_do = () if met else (Statement(remedy, where),)
        yield Requirement(AsBuiltRequirementCode.ABORTED_HOLE_DISTANCE, met, figures, least.rule, to_do)


def used_again(built: Built) -> Iterator[Requirement]:
    """Say which fasteners were set anew in a hole that does not serve twice.

    Args:
        built: The work as built.

    Yields:
        One requirement, or none.
    """
    numbers = built.named(built.in_used_holes)
    if not numbers or serves_again(built.selection):
        return
    removal, code = built.selection.path("installation", "removal"), AsBuiltRequirementCode.SET_IN_NEW_HOLE
    figures: dict[str, Value] = {"numbers": numbers, "removal": str(built.selection.family["installation"]["removal"])}
    studs = cast_in(built.selection)
    named: dict[str, Value] = {"numbers": None if studs else numbers, "studs": numbers if studs else None}
    to_do = (Statement(ToDoCode.SET_IN_NEW_HOLE, named),)
    yield Requirement(code, False, figures, removal, to_do, decisive=True)


def _filling(hole: Mapping[str, Any], filled: bool) -> Filling:
    if filled:
        return Filling.GROUT
    return Filling.PUSHED if hole.get("refilled") else Filling.EMPTY
