"""What the second calculation reads out of a verification request, a family and the rulebook (N, mm, MPa).

This is the independent check: it imports nothing of `service`. Where the design notes are silent, the reading
taken is written where it is used and marked "reading".
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

EDGES = ("x_minus", "x_plus", "y_minus", "y_plus")
STEEL_MODULUS = 210_000.0
STRENGTH_CLASSES = {  # EN 1992-1-1 Table 3.1, cylinder strength (MPa)
    "C12/15": 12.0, "C16/20": 16.0, "C20/25": 20.0, "C25/30": 25.0, "C30/37": 30.0, "C35/45": 35.0, "C40/50": 40.0,
    "C45/55": 45.0, "C50/60": 50.0, "C55/67": 55.0, "C60/75": 60.0, "C70/85": 70.0, "C80/95": 80.0, "C90/105": 90.0,
}  # fmt: skip


@dataclass(frozen=True)
class Action:
    """One load case with its partial factors in it."""

    load_case: str
    combination: str
    normal: float
    shear_x: float
    shear_y: float
    moment_x: float
    moment_y: float
    torsion: float
    sustained: float


@dataclass(frozen=True)
class Near:
    """A fastener of another fixing that pulls, or may; how much wider than ours its concrete is, and if it shares."""

    at: tuple[float, float]
    ratio: float
    shares: bool


@dataclass(frozen=True)
class Fixing:
    """Everything the equations need, defaults filled."""

    points: tuple[tuple[float, float], ...]
    edges: dict[str, float]
    thickness: float
    strength: float
    cracked: bool
    family: Mapping[str, Any]
    size: Mapping[str, Any]
    row: Mapping[str, Any]
    embedment: float
    hole: str
    temperature_range: str | None
    situation: str
    fixture: tuple[float, float, float, float]
    fixture_thickness: float | None
    clearance: str
    stand_off: float
    grout: float
    grout_strength: float | None
    rotation: str
    washer_clamped: bool
    wide_bars: bool
    edge_stirrups: float | None
    cracks_held: bool
    redundant: bool
    structural: bool
    consequence: tuple[str, ...] | None
    overhead: bool
    exposure: str
    drilling: str
    torque_control: str
    assessed_on: str
    length: float | None
    site_factor: float
    site_floor: float
    partial_factors: Mapping[str, Any]
    near: tuple[Near, ...] = ()

    @property
    def modulus(self) -> float:
        """E_cm (MPa) of EN 1992-1-1 Table 3.1, by its formula, for the strength as it is (not held at 60)."""
        return float(22_000.0 * ((self.bed_strength + 8.0) / 10.0) ** 0.3)

    @property
    def bed_strength(self) -> float:
        """The strength of what the fixture lies on (MPa); weaker grout bears at its own."""
        on_grout = self.grout > 0.0 and self.grout_strength is not None
        return min(self.strength, float(self.grout_strength or 0.0)) if on_grout else self.strength

    @property
    def f_ck(self) -> float:
        """The strength that enters resistances (MPa)."""
        return min(self.strength, 60.0)

    @property
    def diameter(self) -> float:
        """Diameter d (mm)."""
        return float(self.size["geometry"]["diameter_mm"])

    @property
    def nominal_diameter(self) -> float:
        """Outside diameter d_nom (mm)."""
        return float(self.size["geometry"]["nominal_diameter_mm"])

    @property
    def stress_area(self) -> float:
        """A_s (mm2)."""
        return float(self.size["geometry"]["stress_area_mm2"])

    @property
    def reach(self) -> float:
        """How far an edge may be and still count in shear (mm)."""
        return max(10.0 * self.embedment, 60.0 * self.nominal_diameter)

    def distances(self, index: int) -> dict[str, float]:
        """Distance of one fastener to each edge (mm)."""
        return self.distances_of(self.points[index])

    def distances_of(self, place: tuple[float, float]) -> dict[str, float]:
        """Distance of a place to each edge (mm)."""
        x, y = place
        return {
            "x_minus": x + self.edges["x_minus"],
            "x_plus": self.edges["x_plus"] - x,
            "y_minus": y + self.edges["y_minus"],
            "y_plus": self.edges["y_plus"] - y,
        }


def read_fixing(
    request: Mapping[str, Any],
    family: Mapping[str, Any],
    rulebook: Mapping[str, Any],
    factors: Mapping[str, Mapping[str, Any]],
) -> Fixing:
    """Fill the defaults of a request the safe way."""
    unknown = rulebook["unknown"]
    member, use, fixture = request["member"], request.get("use", {}), request["fixture"]
    chosen, bars = request["fastener"], _mapping(member.get("reinforcement"))
    size = family["sizes"][chosen["size"]]
    row = size["embedments"][f"{chosen['embedment_mm']:g}"]
    state = _known(member.get("state"), unknown["state"])
    edges = _mapping(member.get("edges"))
    centre, grout = fixture.get("centre", {"x_mm": 0.0, "y_mm": 0.0}), fixture.get("grout", {})
    return Fixing(
        points=tuple((float(p["x_mm"]), float(p["y_mm"])) for p in request["positions"]),
        edges={e: math.inf if edges.get(f"{e}_mm") is None else float(edges[f"{e}_mm"]) for e in EDGES},
        thickness=float(member["thickness_mm"]),
        strength=_strength(member, unknown),
        cracked=state == "cracked",
        family=family,
        size=size,
        row=row,
        embedment=float(row["depth"]["effective_mm"]),
        hole=_known(use.get("hole"), unknown["hole"]),
        temperature_range=use.get("temperature_range"),
        situation=use.get("situation") or "persistent",
        fixture=(
            centre["x_mm"] - fixture["width_mm"] / 2, centre["y_mm"] - fixture["depth_mm"] / 2,
            centre["x_mm"] + fixture["width_mm"] / 2, centre["y_mm"] + fixture["depth_mm"] / 2,
        ),
        fixture_thickness=fixture.get("thickness_mm"),
        clearance=fixture.get("clearance") or "normal",
        stand_off=float(fixture.get("stand_off_mm") or 0.0),
        grout=float(grout.get("thickness_mm") or 0.0),
        grout_strength=grout.get("strength_mpa"),
        rotation=fixture.get("rotation") or "free",
        washer_clamped=bool(fixture.get("washer_clamped", False)),
        wide_bars=_wide_bars(bars),
        edge_stirrups=bars.get("stirrup_spacing_mm") if bars.get("edge") == "edge_bar_with_stirrups" else None,
        cracks_held=bool(bars.get("cracks_held_to_0_3_mm", False)),
        redundant=_redundant(
            _mapping(use.get("redundancy")),
            family["assessment"]["covers"],
            len(request["positions"]),
            read_actions(request, rulebook),
        ),
        structural=bool(use.get("structural", True)),
        consequence=None if use.get("consequence") is None else tuple(use["consequence"]),
        overhead=bool(use.get("overhead", True)),  # reading: not said means overhead
        exposure=_known(use.get("exposure"), unknown["exposure"]),
        drilling=_known(request.get("site", {}).get("drilling"), "unknown"),
        torque_control=_known(request.get("site", {}).get("torque_control"), "unknown"),
        assessed_on=request["assessed_on"],
        length=chosen.get("length_mm"),
        site_factor=_site_factor(request.get("site", {}), family["mechanism"], size, factors),
        site_floor=float(rulebook["site_reduction"]["floor"]),
        partial_factors=rulebook["partial_factors"],
        near=_near(request.get("neighbours") or (), unknown, float(row["depth"]["effective_mm"])),
    )  # fmt: skip


def _near(told: Sequence[Mapping[str, Any]], unknown: Mapping[str, Any], ours: float) -> tuple[Near, ...]:
    """What is loaded or may be; of unknown depth it is as deep as the rulebook says, and shares nothing."""
    found = []
    for one in told:
        if one.get("state", "unknown") in {"loaded", "unknown"}:
            deep = one.get("embedment_mm")
            taken = max(float(unknown.get("neighbour_embedment_mm", 0.0)), ours) if deep is None else float(deep)
            at = float(one["x_mm"]), float(one["y_mm"])
            found.append(Near(at, max(1.0, taken / ours), deep is not None and deep <= ours + 1e-9))
    return tuple(found)


def read_actions(request: Mapping[str, Any], rulebook: Mapping[str, Any]) -> list[Action]:
    """Design values of every load case; a characteristic one gives two (EN 1990)."""
    gamma = rulebook["partial_factors"]["actions"]
    actions = []
    for case in request["load_cases"]:
        if case.get("kind", "design") == "design":
            scales = {"design": 1.0}
        else:
            p = case["permanent_share"]
            scales = {
                f"permanent_{side}": gamma[f"permanent_{side}"] * p + gamma["variable"] * (1.0 - p)
                for side in (("unfavourable", "favourable") if p > 0 else ("unfavourable",))
            }
        actions += [_action(case, name, scale) for name, scale in scales.items()]
    return actions


def _action(case: Mapping[str, Any], combination: str, scale: float) -> Action:
    sustained = case.get("sustained_share")
    return Action(
        load_case=case["name"],
        combination=combination,
        normal=scale * 1e3 * float(case.get("normal_kn") or 0.0),
        shear_x=scale * 1e3 * float(case.get("shear_x_kn") or 0.0),
        shear_y=scale * 1e3 * float(case.get("shear_y_kn") or 0.0),
        moment_x=scale * 1e6 * float(case.get("moment_x_knm") or 0.0),
        moment_y=scale * 1e6 * float(case.get("moment_y_knm") or 0.0),
        torsion=scale * 1e6 * float(case.get("torsion_knm") or 0.0),
        sustained=1.0 if sustained is None else float(sustained),
    )


def _redundant(shared: Mapping[str, Any], covers: Mapping[str, Any], count: int, actions: Sequence[Action]) -> bool:
    """n1, n2 and n3 of one set; reading: a moment on a point is covered by none, and a push counts as a pull."""
    if not shared.get("bridging_shown_by") or any((a.moment_x, a.moment_y, a.torsion) != (0, 0, 0) for a in actions):
        return False
    n3 = max(math.sqrt(a.normal**2 + a.shear_x**2 + a.shear_y**2) for a in actions) / 1e3
    n2 = min(shared.get("fasteners_per_point") or 1, count)
    return any(
        shared["points"] >= each["points_min"]
        and n2 >= each["fasteners_per_point_min"]
        and n3 <= each["action_per_point_max_kn"] + 1e-9
        for each in covers.get("redundancy_sets") or ()
    )


def _mapping(value: object) -> dict[str, Any]:
    return dict(value) if isinstance(value, dict) else {}


def _known(value: str | None, otherwise: str) -> str:
    return otherwise if value in {None, "unknown"} else str(value)


def _strength(member: Mapping[str, Any], unknown: Mapping[str, Any]) -> float:
    if member.get("strength_mpa") is not None:
        return float(member["strength_mpa"])
    return STRENGTH_CLASSES[_known(member.get("strength_class"), unknown["strength_class"])]


def _wide_bars(bars: Mapping[str, Any]) -> bool:
    spacing, diameter = bars.get("spacing_mm"), bars.get("diameter_mm")
    if spacing is None:  # reading: bars nobody knows of are taken as close together
        return False
    return bool(spacing >= 150 or (spacing >= 100 and diameter is not None and diameter <= 10))


def _site_factor(
    site: Mapping[str, Any],
    mechanism: str,
    size: Mapping[str, Any],
    factors: Mapping[str, Mapping[str, Any]],
) -> float:
    product = 1.0
    for name, condition in factors["site-conditions"]["conditions"].items():
        if mechanism in condition["applies_to"]:
            entry = condition["values"][_known(site.get(name), "unknown")]
            if size["setting"]["installation_torque_nm"] is None and "without_torque" in entry:
                entry = condition["values"][entry["without_torque"]]  # no torque is named, so none is read
            product *= entry["factor"]
    return float(product)
