"""Seeded random fixings for the comparison: requests as the API takes them, made from what a rulebook offers."""

from __future__ import annotations

import json
import math
import random
from typing import TYPE_CHECKING, Any

from tests.shipped import VERSION

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    Arrange = Callable[[random.Random, Mapping[str, Any]], tuple[list[tuple[float, float]], tuple[int, int]]]

CLASSES = ("C20/25", "C25/30", "C30/37", "C35/45", "C40/50", "C50/60")
HIGH_CLASSES = (*CLASSES, "C60/75", "C70/85", "C90/105")
SITE = {
    "torque_control": ("calibrated_wrench", "impact_driver_set", "by_feel", "unknown"),
    "strength_evidence": ("documented", "rebound_hammer", "drawings_only", "unknown"),
    "hole_cleaning": ("verified", "stated", "unknown"),
    "installer": ("trained", "supervised", "unknown"),
    "drilling": ("hammer", "hammer", "hammer", "hollow_bit", "diamond_core", "unknown"),
}


def random_fixing(
    seed: int, families: Mapping[str, Mapping[str, Any]], arrange: Arrange | None = None
) -> dict[str, Any]:
    """One verification request.

    Args:
        seed: Number of the fixing; the same number gives the same request.
        families: Families of the rulebook by id.
        arrange: What places the fasteners near edges; left out, grids that the standard draws, near edges or not.

    Returns:
        A body for a verification.
    """
    r = random.Random(seed)  # noqa: S311 (no secret is made of it)
    names = sorted(families)
    family = families[names[seed % len(names)]]
    size_name = r.choice(sorted(family["sizes"]))
    size = family["sizes"][size_name]
    depth = r.choice(sorted(size["embedments"]))
    row = size["embedments"][depth]
    away = r.random() < 0.25 and arrange is None
    points, shape = _positions(r, row, away) if arrange is None else arrange(r, row)
    edges = (
        {f"{e}_mm": None for e in ("x_minus", "x_plus", "y_minus", "y_plus")}
        if away
        else _edges(r, row, points, family["mechanism"] == "headed_fastener")
    )
    fixture = _fixture(r, size, row, points, shape, edges)
    cracked = family["assessment"]["covers"]["cracked"] and r.random() < 0.6
    bonded = size["bond"] is not None
    request: dict[str, Any] = {
        "rulebook": VERSION,
        "assessed_on": "2026-11-25",
        "fastener": {"family": family["id"], "size": size_name, "embedment_mm": row["depth"]["effective_mm"]},
        "member": {
            "state": "cracked" if cracked else "uncracked",
            "thickness_mm": round(row["limits"]["member_thickness_min_mm"] * r.choice((1.0, 1.2, 1.7, 3.0))),
            "edges": edges,
            "reinforcement": _reinforcement(r),
        }
        | _strength(r, family["assessment"]["covers"]["strength_max_mpa"]),
        "positions": [{"x_mm": x, "y_mm": y} for x, y in points],
        "fixture": fixture,
        "load_cases": _load_cases(r, size, row, points, fixture),
        "use": {
            "situation": r.choice(("persistent", "persistent", "accidental")),
            "redundancy": {"points": 3 + len(points) % 3, "bridging_shown_by": "structural engineer"}
            if family["assessment"]["covers"]["redundant_use_only"] and r.random() < 0.9
            else None,
            "structural": family["approval"]["uses"] is None or r.random() < 0.1,
            "consequence": (None, ["people_below"], [], [], [], [], [], [])[seed // len(names) % 8],
            "overhead": r.random() < 0.1,
            "exposure": "dry_internal",
            "hole": r.choice(family["assessment"]["covers"]["hole_conditions"]),
        }
        | ({"temperature_range": r.choice(("I", "II"))} if bonded else {}),
        "site": {name: r.choice(values) for name, values in SITE.items() if r.random() < 0.8},
    }
    if arrange is None and family["form"] in {"sleeve_eyebolt", "sleeve_hook"} and r.random() < 0.8:
        _hang(request)
    return request


def _hang(request: dict[str, Any]) -> None:
    """What a ring or hook is for: one of them, away from edges, that something hangs from."""
    request["positions"] = [{"x_mm": 0, "y_mm": 0}]
    request["member"]["edges"] = dict.fromkeys(request["member"]["edges"])
    request["fixture"]["stand_off_mm"] = 0
    for name in ("grout", "centre"):
        request["fixture"].pop(name, None)
    for case in request["load_cases"]:
        case["normal_kn"] = abs(case.get("normal_kn") or 0.5)
        case |= dict.fromkeys(("shear_x_kn", "shear_y_kn", "moment_x_knm", "moment_y_knm", "torsion_knm"), 0)


def standing_off(seed: int, families: Mapping[str, Mapping[str, Any]]) -> dict[str, Any]:
    """A random fixing whose fixture stands on levelling nuts, so that its fasteners are pressed as well as pulled."""
    request, r = random_fixing(seed, families), random.Random(seed)  # noqa: S311 (no secret is made of it)
    chosen = request["fastener"]
    row = families[chosen["family"]]["sizes"][chosen["size"]]["embedments"][f"{chosen['embedment_mm']:g}"]
    longest = max(bolt["fixture_thickness_max_mm"] or 0.0 for bolt in row["lengths"])
    request["fixture"].pop("grout", None)
    stand_off, rotation = round(max(8.0, longest * r.uniform(0.2, 0.6))), r.choice(("held", "free"))
    request["fixture"] |= {"stand_off_mm": stand_off, "rotation": rotation}
    for case in request["load_cases"]:
        case["normal_kn"] = -abs(case.get("normal_kn") or 1.0) * r.choice((0.5, 2.0, 8.0))
    return request


def among_others(seed: int, families: Mapping[str, Mapping[str, Any]]) -> dict[str, Any]:
    """A random fixing with one to three others near it where they fit, none nearer than the least spacing."""
    request, r = random_fixing(seed, families), random.Random(seed)  # noqa: S311 (no secret is made of it)
    chosen, edges = request["fastener"], request["member"]["edges"]
    row = families[chosen["family"]]["sizes"][chosen["size"]]["embedments"][f"{chosen['embedment_mm']:g}"]
    limits, h = row["limits"], row["depth"]["effective_mm"]
    simple = row["simplified"] or {"spacing_mm": 0}
    least = max(limits["spacing_min_mm"], limits["edge_min_spacing_mm"], simple["spacing_mm"])
    points = [(place["x_mm"], place["y_mm"]) for place in request["positions"]]
    found: list[dict[str, Any]] = []
    for _ in range(r.choice((1, 1, 2, 3))):
        x, y = r.choice(points)
        # In line with one of ours as often as not, which is where an edge is as near to it as to ours.
        way = r.choice((r.uniform(0.0, 2 * math.pi), r.randrange(4) * math.pi / 2))
        far = r.uniform(least, max(1.5 * least, 4.0 * h))
        place = {"x_mm": round(x + far * math.cos(way), 1), "y_mm": round(y + far * math.sin(way), 1)}
        inside = all(
            far_edge is None or (1 if name.endswith("plus_mm") else -1) * place[f"{name[0]}_mm"] < far_edge - 15.0
            for name, far_edge in edges.items()
        )
        if inside and all(math.dist((place["x_mm"], place["y_mm"]), point) > least for point in points):
            depth = r.choice((None, round(0.7 * h), h, h, round(1.3 * h)))
            state = r.choice(("loaded", "loaded", "unknown", "unloaded"))
            found.append(place | {"state": state} | ({} if depth is None else {"embedment_mm": depth}))
    return request | {"neighbours": found}


def _strength(r: random.Random, most: float) -> dict[str, Any]:
    if r.random() < 0.1:
        return {"strength_mpa": round(r.uniform(20, most), 1)}
    return {"strength_class": r.choice(HIGH_CLASSES if most >= 90 else CLASSES)}


def with_other_figures(seed: int, family: Mapping[str, Any]) -> dict[str, Any]:
    """A family whose figures are given where the shipped ones are left to a formula, and the other way round."""
    r = random.Random(seed)  # noqa: S311 (no secret is made of it)
    other: dict[str, Any] = json.loads(json.dumps(family, default=dict))
    for size in other["sizes"].values():
        for figure in ("tension_kn", "shear_kn", "bending_nm", "shear_group_factor"):
            if r.random() < 0.5:
                size["steel"][figure] = None
        size["steel"]["ductile"] = r.random() < 0.5
        size["factors"]["gamma_ms_tension"] = r.choice((None, 1.9))
        size["factors"]["gamma_ms_shear"] = r.choice((None, 1.6))
        for row in size["embedments"].values():
            if row["concrete"] is not None:
                row["concrete"]["splitting_kn"] = r.choice((None, 12.0))
                row["concrete"]["shear_length_mm"] = None
        if size["bond"] is not None and r.random() < 0.5:
            size["bond"]["sustained_factor"] = {}
    return other


def _positions(
    r: random.Random, row: Mapping[str, Any], away: bool
) -> tuple[list[tuple[float, float]], tuple[int, int]]:
    shape = r.choice(((1, 1), (1, 2), (2, 1), (2, 2), (2, 2), (3, 1), (2, 3), (3, 3), (1, 3)))
    limits = row["limits"]
    simple = row["simplified"] or {"spacing_mm": 0}
    least = max(limits["spacing_min_mm"], limits["edge_min_spacing_mm"], simple["spacing_mm"])
    h = row["depth"]["effective_mm"]
    step_x, step_y = (round(r.uniform(1.02, 1.0 + max(0.5, 4.0 * h / least)) * least) for _ in range(2))
    shift_x, shift_y = (r.choice((0, 0, r.randint(-60, 60))) for _ in range(2))
    points = [
        ((i - (shape[0] - 1) / 2) * step_x + shift_x, (j - (shape[1] - 1) / 2) * step_y + shift_y)
        for j in range(shape[1])
        for i in range(shape[0])
    ]
    if away and len(points) > 2 and r.random() < 0.5:  # as drilled: a little off the grid
        off = 0.03 * min(step_x, step_y)
        points = [(round(x + r.uniform(-off, off), 1), round(y + r.uniform(-off, off), 1)) for x, y in points]
    r.shuffle(points)
    return points, shape


def undrawn(r: random.Random, row: Mapping[str, Any]) -> tuple[list[tuple[float, float]], tuple[int, int]]:
    """Places that the standard does not draw: a moved fastener, a longer row, a triangle, anything.

    Args:
        r: Where chance comes from.
        row: An embedment of the rulebook.

    Returns:
        The places, and a shape that tells no grid.
    """
    limits = row["limits"]
    simple = row["simplified"] or {"spacing_mm": 0}
    least = max(limits["spacing_min_mm"], limits["edge_min_spacing_mm"], simple["spacing_mm"])
    step_x, step_y = (round(least * r.uniform(1.6, 3.0)) for _ in range(2))
    kind = r.choice(("moved", "moved", "row", "triangle", "two rows", "scattered"))
    columns, rows = {
        "moved": r.choice(((2, 2), (2, 3), (3, 1), (3, 3), (2, 1))),
        "row": r.choice(((4, 1), (1, 5), (6, 1), (1, 7))),
        "two rows": r.choice(((2, 4), (4, 2))),
    }.get(kind, (3, 1))
    points = [(i * float(step_x), j * float(step_y)) for j in range(rows) for i in range(columns)]
    if kind == "triangle":
        points = [(0.0, 0.0), (float(step_x), 0.0), (step_x / 2 + r.choice((0, 20)), step_y * 1.0)]
        if r.random() < 0.5:
            points = [(-y, x) for x, y in points]
    if kind == "scattered":
        points = [(k * step_x * 0.8, r.uniform(0.0, 3.0) * step_y) for k in range(r.choice((4, 5)))]
    if kind == "moved" or r.random() < 0.3:
        k, way = r.randrange(len(points)), r.choice(((1, 0), (0, 1), (-1, 0), (0, -1)))
        far = r.uniform(0.12, 0.42)
        points[k] = (points[k][0] + way[0] * far * step_x, points[k][1] + way[1] * far * step_y)
    points = [(round(x - step_x / 2, 1), round(y - step_y / 2, 1)) for x, y in points]
    r.shuffle(points)
    return points, (0, 0)


def _edges(
    r: random.Random, row: Mapping[str, Any], points: list[tuple[float, float]], headed: bool
) -> dict[str, float | None]:
    """Edges at distances from c_min to twice c_cr, on one to four sides."""
    limits, h = row["limits"], row["depth"]["effective_mm"]
    least = max(limits["edge_min_mm"], (row["simplified"] or {"edge_mm": 0})["edge_mm"])
    if r.random() < 0.05:
        least *= 0.8  # now and then closer than the assessment allows
    sides = r.sample(("x_minus", "x_plus", "y_minus", "y_plus"), r.choice((1, 1, 2, 2, 3, 4)))
    extreme = {
        "x_minus": -min(x for x, _ in points), "x_plus": max(x for x, _ in points),
        "y_minus": -min(y for _, y in points), "y_plus": max(y for _, y in points),
    }  # fmt: skip
    most = r.choice((1.05, 1.5, 3.0, 6.0)) * max(least, h)
    if headed and r.random() < 0.4:
        most = 0.5 * h  # where a head can blow out of the side
    return {f"{s}_mm": round(extreme[s] + r.uniform(least, most)) if s in sides else None for s in extreme}


def _fixture(
    r: random.Random,
    size: Mapping[str, Any],
    row: Mapping[str, Any],
    points: list[tuple[float, float]],
    shape: tuple[int, int],
    edges: Mapping[str, float | None],
) -> dict[str, Any]:
    d = size["geometry"]["diameter_mm"]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    margins = [round(r.uniform(2.5, 6.0) * d) for _ in range(2)]
    close = any(e is not None for e in edges.values())
    loose = shape in {(0, 0), (1, 1), (1, 2), (2, 1), (2, 2)} or not close
    most = max(0 if b["fixture_thickness_max_mm"] is None else b["fixture_thickness_max_mm"] for b in row["lengths"])
    thickness = r.choice((5, 8, 10)) if most == 0 else max(2, round(most * r.uniform(0.3, 0.5)))
    stand_off = round(most * r.uniform(0.2, 0.4)) if most and r.random() < 0.1 else 0
    fixture: dict[str, Any] = {
        "width_mm": max(xs) - min(xs) + 2 * margins[0],
        "depth_mm": max(ys) - min(ys) + 2 * margins[1],
        "thickness_mm": thickness,
        "centre": {
            "x_mm": round((max(xs) + min(xs)) / 2 + r.choice((0, 0, 3.0)), 3),
            "y_mm": round((max(ys) + min(ys)) / 2, 3),
        },
        "clearance": r.choices(("normal", "filled", "oversize"), (6, 3, 1))[0]
        if loose or r.random() < 0.05
        else "filled",
        "stand_off_mm": stand_off,
        "rotation": r.choice(("held", "free")),
        "washer_clamped": r.random() < 0.5,
    }
    if not stand_off and most > 20 and r.random() < 0.15:
        fixture["grout"] = {
            "thickness_mm": round(min(most - thickness, r.uniform(0.2, 3.0) * d), 1),
            "strength_mpa": r.choice((20, 40, 60)),
        }
    return fixture


def _reinforcement(r: random.Random) -> str | dict[str, object]:
    if r.random() < 0.4:
        return "unknown"
    edge = r.choice(("none", "edge_bar", "edge_bar_with_stirrups"))
    return {
        "spacing_mm": r.choice((80, 120, 150, 200)),
        "diameter_mm": r.choice((8, 10, 16)),
        "edge": edge,
        "stirrup_spacing_mm": r.choice((80, 100, 150)) if edge == "edge_bar_with_stirrups" else None,
        "cracks_held_to_0_3_mm": r.random() < 0.3,
    }


def _load_cases(
    r: random.Random,
    size: Mapping[str, Any],
    row: Mapping[str, Any],
    points: list[tuple[float, float]],
    fixture: Mapping[str, Any],
) -> list[dict[str, Any]]:
    """One to three load cases of a size that uses up a fair part of the concrete."""
    h = row["depth"]["effective_mm"]
    force = 7.7 * 25**0.5 * h**1.5 / 1e3 / 3.0
    if row["simplified"]:
        force = row["simplified"]["resistance_kn"] / 3.0
    lever = max(fixture["width_mm"], fixture["depth_mm"]) / 1e3
    cases: list[dict[str, Any]] = []
    for number in range(r.choice((1, 1, 2, 3))):
        kind = r.choice(("tension", "shear", "bending", "biaxial", "compression", "torsion", "all"))
        case: dict[str, Any] = {"name": f"case {number + 1}"}
        if kind in {"tension", "all", "torsion"}:
            case["normal_kn"] = round(force * r.uniform(0.1, 1.2), 3)
        if kind == "compression":
            case["normal_kn"] = -round(force * r.uniform(0.2, 2.0), 3)
        if kind in {"shear", "torsion", "compression", "all"} or r.random() < 0.4:
            case["shear_x_kn"] = round(force * r.uniform(-0.6, 0.6), 3)
            case["shear_y_kn"] = r.choice((0.0, round(force * r.uniform(-0.6, 0.6), 3)))
        if kind in {"bending", "biaxial", "compression", "all"}:
            case["moment_x_knm"] = round(force * lever * r.uniform(-0.5, 0.5), 4)
        if kind in {"biaxial", "all"}:
            case["moment_y_knm"] = round(force * lever * r.uniform(-0.5, 0.5), 4)
        if kind in {"torsion", "all"} and len(points) > 1:
            case["torsion_knm"] = round(force * lever * r.uniform(-0.3, 0.3), 4)
        if fixture["stand_off_mm"] and len(points) > 3:  # off the concrete: enough tension that nothing is pressed
            case["normal_kn"] = round(force * r.uniform(0.8, 1.2), 3)
            for name in set(case) - {"name", "normal_kn"}:
                case[name] = round(0.15 * case[name], 4)
        if len(points) == 1 and (case.get("shear_x_kn") or case.get("shear_y_kn")):  # shear acts on the fastener's axis
            x, y = points[0]
            case["torsion_knm"] = (x * case.get("shear_y_kn", 0.0) - y * case.get("shear_x_kn", 0.0)) / 1e3
        if size["bond"] is not None:
            case["sustained_share"] = r.choice((0.0, 0.5, 0.8, 1.0))
        if r.random() < 0.3:
            case |= {"kind": "characteristic", "permanent_share": r.choice((0.0, 0.3, 1.0))}
        cases.append(case)
    return cases
