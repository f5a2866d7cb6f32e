"""Limits that are met or not, with no utilisation: approval, assessment, distances, thicknesses, use."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import combinations
from typing import Any

from service.engine.model import Member, Point
from service.rulebook import Rulebook
from service.verification.assumptions import WEAKEST_COVERED, Strength, Use
from service.verification.selection import Selection, in_period

TOLERANCE_MM = 1e-9
IMPACT_DRIVER = "impact_driver_set"
USE_WORDS = {"non_structural": "non-structural", "dry_internal": "dry internal"}


@dataclass(frozen=True, slots=True)
class Requirement:
    """One limit: what was given, what is asked for, and whether it is met.

    ``decisive`` marks limits below which the assessment gives no resistance, so that no check can be made.
    """

    code: str
    met: bool
    detail: str
    given: float | str | None
    limit: float | str | None
    unit: str | None
    rule: str | None
    clause: str | None = None
    decisive: bool = False


def not_suspended(selection: Selection, rulebook: Rulebook) -> Iterator[Requirement]:
    """What is suspended for new work, whatever the approval of the version says; nothing where nothing is."""
    for suspension in rulebook.suspensions:
        if suspension.version == rulebook.version or suspension.concerns(selection.family_id, selection.size_name):
            what = "this version of the rulebook" if suspension.version else suspension.size or "the whole family"
            yield Requirement(
                "not_suspended",
                False,
                f"{what} is suspended for new work (entry of {suspension.since}): {suspension.reason}",
                suspension.version or suspension.size or suspension.family,
                "nothing that is suspended",
                None,
                None,
            )


def approval(selection: Selection, use: Use, assessed_on: date) -> Iterator[Requirement]:
    """What the company's approval asks for on a day."""
    size_level = selection.size.get("approval")
    given: Mapping[str, Any] = size_level if size_level is not None else selection.family["approval"]
    path = selection.size_path("approval") if size_level is not None else selection.path("approval")
    status = given["status"]
    reason = f"{given['reason']}; use {given['replacement']} instead" if given["replacement"] else given["reason"]
    yield Requirement(
        "approval_status",
        status in ("approved", "restricted"),
        f"approved by the company: {reason}"
        if status == "approved"
        else f"the company's approval is {status}: {reason}",
        status,
        "approved or restricted",
        None,
        f"{path}/status",
    )
    until = given["until"]
    yield Requirement(
        "approval_in_force",
        in_period(assessed_on, given["from"], until),
        f"approved from {given['from']} until {until or 'further notice'}",
        assessed_on.isoformat(),
        f"{given['from']} to {until or 'further notice'}",
        None,
        path,
    )
    for wanted in given["uses"] or ():
        yield Requirement(
            f"approved_use_{wanted}",
            _use_holds(wanted, use),
            f"approved for {USE_WORDS.get(wanted, wanted)} use only",
            "as requested" if _use_holds(wanted, use) else "not shown by the request",
            wanted,
            None,
            f"{path}/uses",
        )


def _use_holds(wanted: str, use: Use) -> bool:
    # The request cannot say that a fixing is temporary, so a temporary-only approval is never shown to hold.
    return {
        "redundant": use.redundant,
        "non_structural": not use.structural,
        "dry_internal": use.exposure == "dry_internal",
    }.get(wanted, False)


def assessed_cover(
    selection: Selection, embedment_mm: float, strength: Strength, cracked: bool, use: Use
) -> Iterator[Requirement]:
    """What the assessment has to cover."""
    covers = selection.family["assessment"]["covers"]
    path = selection.path("assessment", "covers")
    known = ", ".join(selection.size["embedments"])
    embedment_known = selection.row is not None
    yield Requirement(
        "embedment_assessed", embedment_known, f"assessed effective embedments of {selection.size_name}: {known} mm",
        embedment_mm, known, "mm", selection.size_path("embedments"),
        decisive=True,
    )  # fmt: skip
    least, most = covers["strength_min_mpa"], covers["strength_max_mpa"]
    yield Requirement(
        "strength_covered", least <= strength.f_ck_mpa <= most, f"assessed for f_ck {least:g} to {most:g} MPa",
        strength.f_ck_mpa, f"{least:g} to {most:g}", "MPa", path, decisive=True,
    )  # fmt: skip
    state = "cracked" if cracked else "uncracked"
    yield Requirement(
        "state_covered", bool(covers[state]) and _state_has_figures(selection, state),
        "assessed for " + " and ".join(s for s in ("cracked", "uncracked") if covers[s]) + " concrete",
        state, ", ".join(s for s in ("cracked", "uncracked") if covers[s]), None, f"{path}/{state}", decisive=True,
    )  # fmt: skip
    if selection.family["mechanism"] != "headed_fastener":
        holes = ", ".join(covers["hole_conditions"])
        yield Requirement(
            "hole_covered", use.hole in covers["hole_conditions"], f"assessed for holes that are: {holes}",
            use.hole, holes, None, f"{path}/hole_conditions", decisive=True,
        )  # fmt: skip
    if covers["redundant_use_only"]:
        yield Requirement(
            "redundant_use", use.redundant, "assessed for redundant use only",
            "redundant" if use.redundant else "not redundant", "redundant", None, f"{path}/redundant_use_only",
        )  # fmt: skip
    yield from _temperature(selection, state, use)


def _state_has_figures(selection: Selection, state: str) -> bool:
    row = selection.row
    if row is None or row["concrete"] is None:
        return True
    return row["concrete"][f"{state}_factor"] is not None


def _temperature(selection: Selection, state: str, use: Use) -> Iterator[Requirement]:
    bond = selection.size["bond"]
    if bond is None or use.temperature_range == WEAKEST_COVERED:
        return
    figures = (bond["characteristic_mpa"].get(state) or {}).get(use.hole) or {}
    yield Requirement(
        "temperature_range_covered", figures.get(use.temperature_range) is not None,
        f"assessed in {state} concrete and a {use.hole} hole for temperature ranges: {', '.join(figures) or 'none'}",
        use.temperature_range, ", ".join(figures) or "none", None, selection.size_path("bond", "characteristic_mpa"),
        decisive=True,
    )  # fmt: skip


def distances(selection: Selection, member: Member, positions: Sequence[Point]) -> Iterator[Requirement]:
    """Least thickness, edge distance and spacing of the assessment."""
    row = selection.row
    if row is None:
        return
    limits, path = row["limits"], ("limits",)
    yield _at_least(
        "member_thickness",
        member.thickness_mm,
        limits["member_thickness_min_mm"],
        "the member is thinner than h_min",
        selection.row_path(*path, "member_thickness_min_mm"),
    )
    edge = min(member.nearest_mm(tuple(positions)))
    spacing = smallest_spacing(positions)
    if row["simplified"] is not None:
        # A family known from its label carries its load at this spacing and edge distance and gives nothing below.
        simple = row["simplified"]
        yield _at_least(
            "edge_distance",
            edge,
            max(simple["edge_mm"], limits["edge_min_mm"]),
            "an edge is nearer than the label allows",
            selection.row_path("simplified", "edge_mm"),
        )
        yield _at_least(
            "spacing",
            spacing,
            max(simple["spacing_mm"], limits["spacing_min_mm"]),
            "fasteners are closer than the label allows",
            selection.row_path("simplified", "spacing_mm"),
        )
        return
    yield _at_least(
        "edge_distance",
        edge,
        limits["edge_min_mm"],
        "an edge is nearer than c_min",
        selection.row_path(*path, "edge_min_mm"),
    )
    yield _at_least(
        "spacing",
        spacing,
        limits["spacing_min_mm"],
        "fasteners are closer than s_min",
        selection.row_path(*path, "spacing_min_mm"),
    )
    yield _edge_with_spacing(selection, limits, edge, spacing)


def _edge_with_spacing(
    selection: Selection, limits: Mapping[str, Any], edge_mm: float, spacing_mm: float
) -> Requirement:
    # The assessment gives two pairs; between them it gives nothing, so one pair has to hold whole.
    by_edge = _reaches(edge_mm, limits["edge_min_mm"]) and _reaches(spacing_mm, limits["edge_min_spacing_mm"])
    by_spacing = _reaches(spacing_mm, limits["spacing_min_mm"]) and _reaches(edge_mm, limits["spacing_min_edge_mm"])
    return Requirement(
        "edge_with_spacing",
        by_edge or by_spacing,
        f"edge distance {limits['edge_min_mm']:g} mm goes with spacing {limits['edge_min_spacing_mm']:g} mm or more, "
        f"spacing {limits['spacing_min_mm']:g} mm with edge distance {limits['spacing_min_edge_mm']:g} mm or more",
        f"edge {_words(edge_mm)}, spacing {_words(spacing_mm)}",
        f"edge {limits['edge_min_mm']:g} with spacing {limits['edge_min_spacing_mm']:g}, "
        f"or spacing {limits['spacing_min_mm']:g} with edge {limits['spacing_min_edge_mm']:g}",
        "mm",
        selection.row_path("limits"),
        decisive=True,
    )


def _words(distance_mm: float) -> str:
    return f"{distance_mm:.6g}" if math.isfinite(distance_mm) else "out of reach"


def _reaches(given: float, limit: float) -> bool:
    return given >= limit - TOLERANCE_MM


def _at_least(code: str, given: float, limit: float, otherwise: str, rule: str) -> Requirement:
    met = _reaches(given, limit)
    detail = f"at least {limit:g} mm" if met else f"{otherwise}: at least {limit:g} mm"
    shown = given if math.isfinite(given) else "out of reach"
    return Requirement(code, met, detail, shown, limit, "mm", rule, decisive=True)


def smallest_spacing(positions: Sequence[Point]) -> float:
    """Smallest centre distance of two fasteners (mm), infinite for a single one."""
    return min((math.dist(a, b) for a, b in combinations(positions, 2)), default=math.inf)


def surroundings(selection: Selection, use: Use, drilling: str) -> Iterator[Requirement]:
    """Exposure, overhead use and drilling method."""
    allowed = ", ".join(selection.family["exposures"])
    yield Requirement(
        "exposure_allowed", use.exposure in selection.family["exposures"], f"allowed exposures: {allowed}",
        use.exposure, allowed, None, selection.path("exposures"),
    )  # fmt: skip
    covers = selection.family["assessment"]["covers"]
    if use.overhead and not covers["overhead"]:
        yield Requirement(
            "overhead_allowed", False, "not assessed for setting overhead", "overhead", "not overhead", None,
            selection.path("assessment", "covers", "overhead"),
        )  # fmt: skip
    methods = selection.family["installation"]["drilling_methods"]
    if methods and drilling != "unknown":
        yield Requirement(
            "drilling_method", drilling in methods, f"assessed drilling methods: {', '.join(methods)}",
            drilling, ", ".join(methods), None, selection.path("installation", "drilling_methods"),
        )  # fmt: skip


def tightening(selection: Selection, site: Mapping[str, Any] | None) -> Iterator[Requirement]:
    """Whether the impact driver that the site says may tighten the fastener; nothing where it says another tool.

    Args:
        selection: Family, size and embedment.
        site: The ``site`` part of a request.

    Yields:
        One requirement, where an impact driver is to tighten what is set into concrete.
    """
    if (site or {}).get("torque_control") != IMPACT_DRIVER or selection.family["mechanism"] == "headed_fastener":
        return
    setting = selection.size["setting"]
    most, torque = setting["impact_driver_torque_max_nm"], setting["installation_torque_nm"]
    if most is not None:
        detail = f"the assessment allows an impact driver with no more than {most:g} N·m"
    else:
        instead = (
            "set it by hand" if torque is None else f"tighten it to {torque:g} N·m with a calibrated torque wrench"
        )
        detail = f"the assessment gives no torque for an impact driver, so none may be used: {instead}"
    yield Requirement(
        "impact_driver_allowed", most is not None, detail, "impact driver",
        "no impact driver" if most is None else f"at most {most:g} N·m", None,
        selection.size_path("setting", "impact_driver_torque_max_nm"),
    )  # fmt: skip


def outline(fixture: Mapping[str, Any]) -> tuple[float, float, float, float]:
    """Where the fixture of a request ends: x from, x to, y from, y to (mm)."""
    centre = fixture.get("centre") or {}
    x, y = float(centre.get("x_mm") or 0.0), float(centre.get("y_mm") or 0.0)
    half_x, half_y = float(fixture["width_mm"]) / 2.0, float(fixture["depth_mm"]) / 2.0
    return x - half_x, x + half_x, y - half_y, y + half_y


def holes_in_fixture(
    selection: Selection, fixture: Mapping[str, Any], positions: Sequence[Point], rule: Mapping[str, Any]
) -> Iterator[Requirement]:
    """Distance of each clearance hole to the edge of the fixture, by the rulebook's rule for plates."""
    hole = selection.size["geometry"]["clearance_hole_mm"]
    if hole is None:
        return
    least = float(rule["hole_edge_distance_factor"]) * float(hole)
    x0, x1, y0, y1 = outline(fixture)
    nearest = min(min(x - x0, x1 - x, y - y0, y1 - y) for x, y in positions)
    yield Requirement(
        "hole_edge_distance",
        _reaches(nearest, least),
        f"the centre of each clearance hole is at least {least:g} mm from the edge of the fixture",
        nearest,
        least,
        "mm",
        "rulebook#/fixture/hole_edge_distance_factor",
    )


def rulebook_in_force(document: Mapping[str, Any], assessed_on: date) -> Requirement:
    """The rulebook has to be in force on the day, also where a request names it."""
    start, until = document["effective_from"], document["effective_until"]
    in_force = in_period(assessed_on, start, until)
    period = f"{start} to {until or 'further notice'}"
    return Requirement(
        "rulebook_in_force", in_force, f"rulebook {document['version']} is in force from {period}",
        assessed_on.isoformat(), period, None, "rulebook#/effective_from",
    )  # fmt: skip


def plate(stress_mpa: float, yield_mpa: float) -> Requirement:
    """The fixture has to stay elastic, else the forces that were found under a stiff plate do not hold (MPa)."""
    return Requirement(
        "fixture_stays_elastic",
        stress_mpa <= yield_mpa,
        "the method needs a stiff plate; under the found forces its estimated bending stress must stay below yield: "
        "take a thicker plate, or have it stiffened and checked by an engineer",
        stress_mpa,
        yield_mpa,
        "MPa",
        None,
        "6.2.1",
    )
