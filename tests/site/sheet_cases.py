"""Fixings of every mechanism that verify under the shipped rulebook, to make sheets of; made up for the tests."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

from service import verification
from service.contract.verification import GUARDRAIL_POST
from service.rulebook import Rulebook
from service.site.sheet import Job, Made, make
from tests.shipped import SHARED, VERSION, shipped_shelf

RULES = Path(__file__).resolve().parents[2] / "rules"
Place = tuple[float, float]


"""A release, whose figures never change again."""


@cache
def book() -> Rulebook:
    """The rulebook of the fixings."""
    return shipped_shelf().book(VERSION)


def fixing(
    fastener: tuple[str, str, float],
    places: list[Place],
    fixture: dict[str, Any],
    loads: tuple[float, float],
    use: dict[str, Any] | None = None,
    member: dict[str, Any] | None = None,
    **more: Any,
) -> dict[str, Any]:
    """Write a request."""
    family, size, embedment = fastener
    # What stands on it leaves room for the nuts; about a lone one a tube would leave none.
    inner = [max(20, 2 * max(abs(place[axis]) for place in places) - 50) for axis in (0, 1)]
    section = {"width_mm": inner[0], "depth_mm": inner[1], "profile": "other" if inner == [20, 20] else "hollow"}
    return {
        "rulebook": book().version,
        "assessed_on": "2026-11-25",
        "fastener": {"family": family, "size": size, "embedment_mm": embedment},
        "member": {"strength_class": "C30/37", "state": "cracked", "thickness_mm": 250, **(member or {})},
        "positions": [{"x_mm": x, "y_mm": y} for x, y in places],
        "fixture": {"width_mm": 220, "depth_mm": 220, "thickness_mm": 15, "yield_mpa": 235, "attached_section": section,
                    **fixture},
        "load_cases": [
            {"name": "service", "kind": "design", "normal_kn": loads[0], "shear_x_kn": loads[1], "sustained_share": 0.5}
        ],
        "use": {"redundancy": {"points": 1}, "structural": True, "overhead": False, "exposure": "dry_internal",
                "hole": "dry", **(use or {})},
        "site": {"torque_control": "calibrated_wrench", "strength_evidence": "documented", "hole_cleaning": "verified",
                 "installer": "trained", "drilling": "hammer"},
        **more,
    }  # fmt: skip


def square(half: float) -> list[Place]:
    """Four places."""
    return [(x, y) for y in (-half, half) for x in (-half, half)]


def met_on_site(request: dict[str, Any], done: dict[str, Any]) -> dict[str, Any]:
    """What a crew that looked met as it was verified: places, edges, base and what lies on it, holes and cracks.

    Whatever is said otherwise in ``done`` is left to it; null there leaves the blank blank.
    """
    member = request["member"]
    met: dict[str, Any] = {"aborted_holes": [], "material": member.get("material") or "normal_weight_concrete"}
    if not {"positions", "moved"} & set(done):
        met["moved"] = []
    if member.get("edges") and not {"edges", "nearest_edges"} & set(done):
        met["edges"] = {name: distance for name, distance in member["edges"].items() if distance is not None}
    if not {"topping", "bare_concrete"} & set(done):
        met |= {"topping": member["topping"]} if member.get("topping") else {"bare_concrete": True}
    if (request.get("use") or {}).get("hole"):
        met["hole"] = request["use"]["hole"]
    if member.get("state") == "uncracked" and "cracks_seen" not in done:
        met["cracks_seen"] = False
    return {**met, **done}


def nearest_edges(request: Mapping[str, Any]) -> dict[str, float]:
    """What a tape shows from the nearest fastener to each edge."""
    edges = {name: value for name, value in (request["member"].get("edges") or {}).items() if value is not None}
    reach = {
        f"{axis}_{way}_mm": max(sign * place[f"{axis}_mm"] for place in request["positions"])
        for axis in "xy"
        for way, sign in (("plus", 1), ("minus", -1))
    }
    return {name: value - reach[name] for name, value in edges.items()}


NOT_FOR_PEOPLE = {"structural": False, "consequence": []}
SOFFIT = {"thickness_mm": 200, "state": "uncracked"}
REQUESTS: dict[str, dict[str, Any]] = {
    "guardrail": GUARDRAIL_POST | {"rulebook": VERSION},
    "resin": fixing(
        ("bonded-rod-hybrid-fast", "M16", 148), square(100),
        {"width_mm": 300, "depth_mm": 300, "thickness_mm": 20,
         "attached_section": {"width_mm": 120, "depth_mm": 120, "profile": "hollow"}},
        (10, 3), {"temperature_range": "I", "exposure": "damp_internal"},
        {"thickness_mm": 400, "edges": {"x_minus_mm": 220, "y_minus_mm": 260, "y_plus_mm": 900}},
    ),
    "slow resin in a wet hole, grouted": fixing(
        ("bonded-rod-epoxy-slow", "M20", 235), [(-300, -200), (300, -200), (-300, 200), (300, 200)],
        {"width_mm": 800, "depth_mm": 600, "thickness_mm": 25, "grout": {"thickness_mm": 6, "strength_mpa": 40}},
        (20, 0), {"temperature_range": "I", "hole": "wet"},
        {"thickness_mm": 3000,
         "edges": {"x_minus_mm": 1200, "x_plus_mm": 600, "y_minus_mm": 450, "y_plus_mm": 5000}},
    ),
    "drop-ins overhead": fixing(
        ("drop-in-zinc", "M10", 42), [(-60, 0), (60, 0)], {"width_mm": 180, "depth_mm": 60, "thickness_mm": 6},
        (1.2, 0), {"overhead": True}, SOFFIT, fixing_reference="PS4-pipe-021",
    ),
    "screw near a corner": fixing(
        ("screw-zinc", "10", 69), [(0, 0)], {"width_mm": 80, "depth_mm": 80, "thickness_mm": 10}, (2, 1), None,
        {"edges": {"x_minus_mm": 150, "y_minus_mm": 150}},
    ),
    "studs": fixing(
        ("headed-stud", "19", 156), square(100), {"width_mm": 300, "depth_mm": 300, "thickness_mm": 25}, (20, 8), None,
        {"thickness_mm": 600, "edges": {"x_plus_mm": 300}},
    ),
    "nylon": fixing(
        ("nylon-frame-fixing", "10", 72), [(0, -200), (0, 200)],
        {"width_mm": 60, "depth_mm": 480, "thickness_mm": 40}, (0.2, 0.1), {"redundancy": SHARED, **NOT_FOR_PEOPLE},
        SOFFIT,
    ),
    "nine in a thick plate": fixing(
        ("bolt-expansion-zinc", "M12", 75), [(x, y) for y in (-150, 0, 150) for x in (-150, 0, 150)],
        {"width_mm": 400, "depth_mm": 400, "thickness_mm": 40}, (9, 0), None, {"thickness_mm": 500},
    ),
    "stand-off": fixing(
        ("bolt-expansion-stainless", "M16", 100), square(100),
        {"width_mm": 280, "depth_mm": 280, "stand_off_mm": 40, "rotation": "held", "washer_clamped": True}, (4, 1),
        {"exposure": "external"}, {"thickness_mm": 1200},
    ),
    "undercut in a corner": fixing(
        ("undercut-stainless", "M12", 132), [(-60, -80), (90, -80), (-60, 80), (90, 80)],
        {"width_mm": 350, "depth_mm": 250, "thickness_mm": 20}, (8, 1), {"exposure": "external"},
        {"thickness_mm": 300, "edges": {"x_plus_mm": 300, "y_plus_mm": 300}},
        fixing_reference="<b>扶手</b> & a name that goes on over the whole width of the sheet and farther " * 2,
    ),
    "eyebolt": fixing(
        ("sleeve-eyebolt-zinc", "M8", 55), [(0, 0)], {"width_mm": 30, "depth_mm": 30, "thickness_mm": 3}, (0.5, 0),
        {"overhead": True, "redundancy": SHARED, **NOT_FOR_PEOPLE}, SOFFIT,
    ),
    "sleeves": fixing(
        ("sleeve-hexagon-zinc", "M10", 74), [(-90, 0), (90, 0)], {"width_mm": 260, "depth_mm": 120, "thickness_mm": 8},
        (3, 0), None, {**SOFFIT, "edges": {"y_minus_mm": 150}},
    ),
    "three in a row, close": fixing(
        ("screw-stainless", "6", 41), [(-45, 0), (0, 0), (45, 0)], {"width_mm": 600, "depth_mm": 60, "thickness_mm": 5},
        (1, 0), None, {"thickness_mm": 200},
    ),
    "among other anchors and old holes": fixing(
        ("bolt-expansion-zinc", "M12", 75), square(75), {"width_mm": 220, "depth_mm": 220, "thickness_mm": 15},
        (2, 0.5), None, {"thickness_mm": 250, "edges": {"x_plus_mm": 200, "y_plus_mm": 900}},
        neighbours=[
            {"x_mm": -200, "y_mm": 75, "embedment_mm": 75},
            {"x_mm": -60, "y_mm": -180, "state": "unloaded"},
            {"x_mm": -190, "y_mm": -75, "state": "open_hole", "hole_diameter_mm": 14, "hole_depth_mm": 40},
            {"x_mm": -150, "y_mm": 180, "state": "filled_hole", "hole_diameter_mm": 20, "hole_depth_mm": 40},
            {"x_mm": -900, "y_mm": 0, "state": "loaded", "embedment_mm": 75},
        ],
    ),
}  # fmt: skip


ONE_TO_SET = {
    **REQUESTS["nine in a thick plate"],
    "fixture": {**REQUESTS["nine in a thick plate"]["fixture"], "thickness_mm": 15},
    "came_from_record": "sha256:" + "0" * 64,
    "built": {
        "embedment_mm": 75, "hole_depth_mm": 98, "torque_nm": 57, "measured": ["hole_depth", "set_depth", "torque"],
        "aborted_holes": [{"x_mm": 150, "y_mm": 200, "depth_mm": 20, "refilled": True}],
        "to_set_numbers": [9, 10], "missing_numbers": [2],
        "moved_from": [{"number": 4, "x_mm": 10, "y_mm": -150}, {"number": 9, "x_mm": 10, "y_mm": 150}],
        "other_lengths": [{"number": 5, "length_mm": 145}],
    },
}  # fmt: skip
"""A fixing that was checked before all of it was set, with all that such a check may keep."""


def job(request: dict[str, Any], count: int | None = None, index: int = 0) -> Job:
    """Verify a request for a sheet."""
    answer = verification.verify(request, book())
    return Job(request, answer, book(), answer["suspensions"], count, f"/fixings/{index}")


def made(
    name: str,
    count: int | None = 3,
    temperature_c: float | None = None,
    side_names: dict[str, str] | None = None,
    coldest_c: float | None = None,
) -> Made:
    """Make the sheet of a fixing."""
    one = replace(job(REQUESTS[name], count), side_names=side_names or {})
    return make([one], temperature_c=temperature_c, coldest_c=coldest_c)
