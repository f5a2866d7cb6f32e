"""Cleaning, temperature and curing, as far as they were said; aborted holes nearby."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from service.rulebook import Rulebook
from service.site.as_built.found import apart_mm
from service.site.as_built.model import TOLERANCE, Built, Requirement, bonded
from service.site.holes.aborted import least_distance
from service.verification.statements import rounded

SET_ANEW = "take it out of use, treat the hole as aborted and set a new fastener at the distance for that"


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
        "hole_cleaned",
        met,
        "cleaned in the steps of the assessment" if met else "the hole was not cleaned in the steps of the assessment",
        "cleaned" if met else "not cleaned",
        "cleaned",
        None,
        built.selection.path("installation", "cleaning_steps"),
        None if met else f"dust parts the fastener from the concrete: {SET_ANEW}",
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


def _ranges(built: Built) -> str:
    table: list[Mapping[str, Any]] = built.selection.family["installation"]["working_and_curing"]
    return f"{table[0]['temperature_min_c']:g} to {table[-1]['temperature_max_c']:g}"


def _setting_temperature(built: Built, temperature: float, path: str) -> Requirement:
    met, ranges = bool(_rows_at(built, temperature)), _ranges(built)
    return Requirement(
        "setting_temperature", met, f"the resin may be set in concrete of {ranges} °C", temperature, ranges, "°C", path,
        None if met else f"no bond is assessed for it: {SET_ANEW}, at a temperature of the table", decisive=True,
    )  # fmt: skip


def _filled(met: bool) -> Requirement:
    words = "resin came out at the top" if met else "no resin came out at the top: there is air beside the rod"
    return Requirement(
        "resin_filled", met, words, "filled" if met else "not filled", "filled", None, None,
        None if met else f"nobody knows how much of the rod the resin holds; none is filled in later: {SET_ANEW}",
        decisive=True,
    )  # fmt: skip


def _working_time(met: bool, path: str) -> Requirement:
    words = "set within the working time of the resin" if met else "set when the resin had begun to stiffen"
    return Requirement(
        "working_time", met, words, "within" if met else "beyond", "within", None, path,
        None if met else f"resin that stiffens no longer wets rod and concrete: {SET_ANEW}", decisive=True,
    )  # fmt: skip


def _curing(built: Built, coldest: float | None, waited: float | None, path: str) -> Requirement:
    if coldest is None:
        return Requirement(
            "curing_time", None, "how long it has to cure goes by the coldest that the concrete was until then, which "
            "nobody took", waited, None, "min", path,
            "say coldest_until_cured_c, nights included; the temperature at setting does not tell it",
        )  # fmt: skip
    rows = _rows_at(built, coldest)
    if not rows:
        return Requirement(
            "curing_time", False, f"at {coldest:g} °C, the coldest until then, the table has no curing time; it has "
            f"{_ranges(built)} °C", waited, None, "min", path,
            f"no bond is assessed for it: {SET_ANEW}, when the concrete stays within the table", decisive=True,
        )  # fmt: skip
    dry = (built.request.get("use") or {}).get("hole") == "dry"
    least = max(float(row["curing_dry_minutes" if dry else "curing_wet_minutes"]) for row in rows)
    words = f"at least {least:g} minutes at {coldest:g} °C, the coldest until then, in a {'dry' if dry else 'wet'} hole"
    if waited is None:
        return Requirement(
            "curing_time", None, words, None, rounded(least), "min", path,
            "say curing_minutes, from setting to tightening or loading, whichever came first",
        )  # fmt: skip
    met = waited >= least - TOLERANCE
    to_do = (
        f"it was tightened or loaded before it had cured, which harms the bond for good: {SET_ANEW}, or have it "
        "proof-loaded and accepted by the engineer"
    )
    return Requirement("curing_time", met, words, waited, rounded(least), "min", path, None if met else to_do)


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
        filled = bool(hole.get("refilled")) and not _shear_pushes_to(answer, request, hole)
        least = least_distance(rulebook, diameter, float(hole["depth_mm"]), filled=filled)
        met = found >= least.distance_mm - TOLERANCE
        yield Requirement(
            "aborted_hole_distance",
            met,
            f"the aborted hole at x {hole['x_mm']:g}, y {hole['y_mm']:g} mm is {found:.4g} mm from fastener {index}, "
            f"{_why(hole, filled)}: at least {least.distance_mm:.6g} mm",
            rounded(found),
            rounded(least.distance_mm),
            "mm",
            least.rule,
            None if met else _for_aborted_hole(hole),
        )


def _shear_pushes_to(answer: Mapping[str, Any], request: Mapping[str, Any], hole: Mapping[str, float]) -> bool:
    """Whether the shear of a fastener points to the side of the hole in any load case; unknown forces count as such."""
    cases = answer["fastener_forces"]
    if not cases:
        return True
    for case in cases:
        for force in case["fasteners"]:
            place = request["positions"][force["number"] - 1]
            along = force["shear_x_kn"] * (hole["x_mm"] - place["x_mm"])
            along += force["shear_y_kn"] * (hole["y_mm"] - place["y_mm"])
            if along > TOLERANCE:
                return True
    return False


def _why(hole: Mapping[str, Any], filled: bool) -> str:
    if filled:
        return "filled with high-strength grout"
    return "filled, but the shear pushes towards it" if hole.get("refilled") else "empty"


def _for_aborted_hole(hole: Mapping[str, Any]) -> str:
    if hole.get("refilled"):
        return "move the fastener farther away and have the new place verified, or ask the engineer"
    return (
        "fill the aborted hole with high-strength grout, let it harden and check again with refilled true, or move "
        "the fastener farther away and have the new place verified"
    )
