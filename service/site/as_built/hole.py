"""Cleaning, temperature and curing, as far as they were said; aborted holes nearby."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

from service.rulebook import Rulebook
from service.site.aborted_holes import least_distance
from service.site.as_built.model import TOLERANCE, Built, Requirement, bonded
from service.verification.answer import rounded

SET_ANEW = "take it out of use, treat the hole as aborted and set a new fastener at the distance for that"


def cleaning(built: Built) -> Iterator[Requirement]:
    """Say whether the hole was cleaned.

    Args:
        built: The work as built.

    Yields:
        One requirement, where it was said.
    """
    if "hole_cleaned" not in built.given:
        return
    met = bool(built.given["hole_cleaned"])
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
    table: list[Mapping[str, Any]] = built.selection.family["installation"]["working_and_curing"]
    temperature, waited = built.given.get("concrete_temperature_c"), built.given.get("curing_minutes")
    path = built.selection.path("installation", "working_and_curing")
    # At the border of two ranges both hold, and the longer time counts.
    rows = [
        row
        for row in table
        if temperature is not None and row["temperature_min_c"] <= temperature <= row["temperature_max_c"]
    ]
    if temperature is not None:
        ranges = f"{table[0]['temperature_min_c']:g} to {table[-1]['temperature_max_c']:g}"
        yield Requirement(
            "setting_temperature",
            bool(rows),
            f"the resin may be set in concrete of {ranges} °C",
            temperature,
            ranges,
            "°C",
            path,
            None if rows else f"no bond is assessed for it: {SET_ANEW}, at a temperature of the table",
            decisive=True,
        )
    if waited is not None and (rows or temperature is None):
        yield _curing(built, rows, float(waited), path)


def _curing(built: Built, rows: list[Mapping[str, Any]], waited: float, path: str) -> Requirement:
    if not rows:
        return Requirement(
            "curing_time", None, "how long it has to cure goes by the temperature of the concrete, which nobody took",
            waited, None, "min", path, "say concrete_temperature_c as it was when the fastener was set",
        )  # fmt: skip
    dry = (built.request.get("use") or {}).get("hole") == "dry"
    least = max(float(row["curing_dry_minutes" if dry else "curing_wet_minutes"]) for row in rows)
    met = waited >= least - TOLERANCE
    return Requirement(
        "curing_time",
        met,
        f"at least {least:g} minutes at that temperature in a {'dry' if dry else 'wet'} hole",
        waited,
        rounded(least),
        "min",
        path,
        None
        if met
        else f"it was tightened or loaded before it had cured, which harms the bond for good: {SET_ANEW}, or have it "
        "proof-loaded and accepted by the engineer",
    )


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
    for number, hole in enumerate(built.given.get("aborted_holes", ())):
        diameter = max(own, float(hole.get("diameter_mm") or own))
        index, place = min(enumerate(request["positions"]), key=lambda spot: _apart(spot[1], hole))
        found = _apart(place, hole)
        filled = bool(hole.get("refilled")) and not _shear_pushes_to(answer, request, hole)
        least = least_distance(rulebook, diameter, float(hole["depth_mm"]), filled=filled)
        met = found >= least.distance_mm - TOLERANCE
        yield Requirement(
            "aborted_hole_distance",
            met,
            f"aborted hole {number} is {found:.4g} mm from fastener {index}, {_why(hole, filled)}: at least "
            f"{least.distance_mm:.6g} mm",
            rounded(found),
            rounded(least.distance_mm),
            "mm",
            least.rule,
            None if met else _for_aborted_hole(hole),
        )


def _apart(a: Mapping[str, float], b: Mapping[str, float]) -> float:
    return math.hypot(a["x_mm"] - b["x_mm"], a["y_mm"] - b["y_mm"])


def _shear_pushes_to(answer: Mapping[str, Any], request: Mapping[str, Any], hole: Mapping[str, float]) -> bool:
    """Whether the shear of a fastener points to the side of the hole in any load case; unknown forces count as such."""
    cases = answer["fastener_forces"]
    if not cases:
        return True
    for case in cases:
        for force in case["fasteners"]:
            place = request["positions"][force["index"]]
            along = force["shear_x_kn"] * (hole["x_mm"] - place["x_mm"])
            along += force["shear_y_kn"] * (hole["y_mm"] - place["y_mm"])
            if along > TOLERANCE:
                return True
    return False


def _why(hole: Mapping[str, Any], filled: bool) -> str:
    if filled:
        return "filled with mortar of high strength"
    return "filled, but the shear pushes towards it" if hole.get("refilled") else "empty"


def _for_aborted_hole(hole: Mapping[str, Any]) -> str:
    if hole.get("refilled"):
        return "move the fastener farther away and have the new place verified, or ask the engineer"
    return (
        "fill the aborted hole with mortar of high strength, let it harden and check again with refilled true, or move "
        "the fastener farther away and have the new place verified"
    )
