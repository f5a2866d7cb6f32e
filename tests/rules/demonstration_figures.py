"""Each demonstration figure by its rule in rules/notes/demonstration-figures.md: the note is read, not copied."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from functools import cache
from pathlib import Path
from typing import Any

NOTE = Path(__file__).parents[2] / "rules" / "notes" / "demonstration-figures.md"
Row = Mapping[str, str]
Figures = dict[str, Any]

_SQUARE_ROOT_OF_F_CK = math.sqrt(20)
_CLASSES = {"C20/25": 20, "C25/30": 25, "C30/37": 30, "C35/45": 35, "C40/50": 40, "C45/55": 45, "C50/60": 50}
_THREAD_MM2 = {6: 20.1, 8: 36.6, 10: 58.0, 12: 84.3, 16: 157, 20: 245, 24: 353}
"""Stress area A_s of metric coarse threads (ISO 898-1, Table 4)."""
_UNDERCUT_BITS_MM = (16, 18, 24)
_STANDS_OUT_MM = {8: 12, 10: 15, 12: 18, 16: 23, 20: 28, 24: 33}
"""What of a thread stands out beyond the fixture, with its nut."""
_RINGS_LONGER_MM = {8: 46, 10: 56}
_NUTS_ON = ("through_bolt", "threaded_rod", "undercut_bolt")
_RINGS = ("sleeve_eyebolt", "sleeve_hook")


@cache
def tables() -> Mapping[str, Row]:
    """All cells of the note, by family: each table's row of the family under the heading of its column."""
    rows: dict[str, dict[str, str]] = {}
    head: list[str] = []
    section = ""
    for line in NOTE.read_text("utf-8").splitlines():
        if line.startswith("## "):
            section = line[3:]
        if not line.startswith("| ") or line.startswith("| ---"):
            continue
        cells = [cell.strip() for cell in line.strip("|").split("|")]
        if cells[0] == "family":
            head = cells
        else:
            row = rows.setdefault(cells[0], {})
            row |= {f"{section}: {name}": cell for name, cell in zip(head[1:], cells[1:], strict=True)}
    return rows


@dataclass(frozen=True)
class Stated:
    """The rules of one family, and the diameters of one of its sizes."""

    row: Row
    size: int
    """The number in the name of the size: thread, stud, screw or plug."""
    bit_mm: float | None

    def number(self, name: str) -> float:
        return float(self.row[name])

    def has(self, name: str) -> bool:
        return self.row.get(name, "none") != "none"

    @property
    def basis_mm(self) -> float:
        of = self.row["Depth and hole: basis"]
        return self.size if of in ("d", "d_nom") else float(self.bit_mm or 0)


def rounded(value: float, step: float = 1.0) -> float:
    """To the nearest step, halves up."""
    return float((Decimal(str(round(value / step, 9)))).quantize(Decimal(1), ROUND_HALF_UP)) * step


def up(value: float, step: float) -> float:
    return float(math.ceil(round(value / step, 9)) * step)


def down(value: float, step: float = 0.1) -> float:
    return round(math.floor(round(value / step, 9)) * step, 6)


def depths(stated: Stated) -> list[float]:
    """Each h_ef that the ratios give for this size."""
    ratios = [float(ratio) for ratio in stated.row["Depth and hole: h_ef ratios"].split(",")]
    least = stated.number("Depth and hole: least h_ef mm")
    return [max(least, rounded(ratio * stated.basis_mm)) for ratio in ratios]


def cone_kn(h_ef: float, factor: float) -> float:
    return factor * _SQUARE_ROOT_OF_F_CK * math.sqrt(h_ef) ** 3 / 1000


def geometry(family: Mapping[str, Any], stated: Stated) -> Figures:
    """A_s and W_el; a screw's thread and its clearance hole; an undercut's bit."""
    mechanism, d = family["mechanism"], stated.size
    area: float
    if mechanism == "concrete_screw":
        area = math.pi / 4 * (0.9 * d) ** 2
    elif mechanism == "plastic_anchor":
        area = math.pi / 4 * (0.55 * d) ** 2
    elif mechanism == "headed_fastener":
        area = math.pi / 4 * d**2
    else:
        area = _THREAD_MM2[d] * (0.85 if family["form"] == "through_bolt" else 1)
    area = rounded(area, 0.1)
    figures: Figures = {
        "stress_area_mm2": area,
        "section_modulus_mm3": rounded(area**1.5 / (4 * math.sqrt(math.pi)), 0.1),
    }
    if mechanism == "concrete_screw":
        thread = 1.25 * d
        figures |= {"diameter_mm": thread, "clearance_hole_mm": thread + (1 if thread <= 8 else 2)}
    if mechanism == "undercut":
        bit = next(bit for bit in _UNDERCUT_BITS_MM if bit >= 1.5 * d)
        figures |= {"nominal_diameter_mm": bit, "hole_diameter_mm": bit}
    return figures


def steel(stated: Stated, area_mm2: float, modulus_mm3: float, old: Mapping[str, Any]) -> Figures:
    """N_Rk,s, V_Rk,s and M0_Rk,s from A_s, f_uk and the share; what the assessment does not give stays null."""
    strength = stated.number("Steel: f_uk MPa")
    tension = down(area_mm2 * strength / 1000)
    figures: Figures = {
        "tensile_strength_mpa": strength,
        "yield_strength_mpa": stated.number("Steel: f_yk MPa"),
        "tension_kn": tension,
    }
    if stated.has("Steel: V share"):
        figures["shear_kn"] = down(stated.number("Steel: V share") * tension)
    if old["bending_nm"] is not None:
        figures["bending_nm"] = down(1.2 * modulus_mm3 * strength / 1000)
    return figures


def factors(stated: Stated) -> Figures:
    """gamma_inst by hole."""
    column = "Installation factors"
    holes = [hole for hole in ("dry", "wet", "flooded") if stated.has(f"{column}: {hole}")]
    return {"installation_factor": {hole: stated.number(f"{column}: {hole}") for hole in holes}}


def lengths(family: Mapping[str, Any], stated: Stated, row: Mapping[str, Any]) -> Figures:
    """The thickest fixture of each length, and the length itself where no fixture is clamped by it."""
    h_ef, h_nom = row["depth"]["effective_mm"], row["depth"]["nominal_mm"]
    if family["form"] in _RINGS:
        return {"lengths": [{"length_mm": h_ef + _RINGS_LONGER_MM[stated.size]}]}
    if row["lengths"][0]["fixture_thickness_max_mm"] is None:
        return {"lengths": [{"length_mm": h_nom}]}
    out = _STANDS_OUT_MM[stated.size] if family["form"] in _NUTS_ON else 0
    whole = [rounded(entry["length_mm"], 5) for entry in row["lengths"]]
    return {"lengths": [{"length_mm": long, "fixture_thickness_max_mm": long - h_nom - out} for long in whole]}


def setting(family: Mapping[str, Any], stated: Stated) -> Figures:
    """Torque, an impact driver's limit, and how far a bolt is screwed into a drop-in."""
    torque = stated.has("Steel: T")
    limit = stated.has("Steel: I")
    figures: Figures = {
        "installation_torque_nm": rounded(stated.number("Steel: T") * stated.size**3) if torque else None,
        "impact_driver_torque_max_nm": rounded(stated.number("Steel: I") * stated.size**2, 5) if limit else None,
    }
    if family["mechanism"] == "deformation_controlled_expansion":
        (h_ef,) = depths(stated)
        figures |= {"screw_in_min_mm": stated.size, "screw_in_max_mm": down(0.43 * h_ef, 1)}
    return figures


def bond(stated: Stated, conditions: Mapping[str, Any]) -> Figures:
    """Bond strengths by state, hole and range, psi_c and psi0_sus."""
    dry = stated.number("Resin: u MPa") - stated.number("Resin: v MPa/mm") * stated.size
    states = {"cracked": stated.number("Resin: cracked"), "uncracked": 1.0}
    holes = {"dry": 1.0} | {
        hole: stated.number(f"Resin: {hole}") for hole in ("wet", "flooded") if stated.has(f"Resin: {hole}")
    }
    ranges = {"I": 1.0, "II": stated.number("Resin: range II")}
    return {
        "characteristic_mpa": {
            state: {
                hole: {name: down(dry * share * left * warm) for name, warm in ranges.items()}
                for hole, left in holes.items()
                if hole in conditions
            }
            for state, share in states.items()
        },
        "strength_factor": _grown(stated.number("Resin: p")),
        "sustained_factor": {name: stated.number(f"Resin: ψ0_sus {name}") for name in ranges},
    }


def _grown(power: float) -> dict[str, float]:
    return {name: down((strength / 20) ** power, 0.01) for name, strength in _CLASSES.items()}


def embedment(family: Mapping[str, Any], size: Mapping[str, Any], stated: Stated, h_ef: float) -> Figures:
    """All figures of one depth, in the groups of the family's file."""
    head = size["geometry"]["head_thickness_mm"]
    h_nom = h_ef + _beyond_effective(stated, head)
    drilled = stated.has("Depth and hole: beyond mm")
    hole = h_nom + stated.number("Depth and hole: beyond mm") if drilled else None
    figures: Figures = {
        "depth": {"effective_mm": h_ef, "nominal_mm": h_nom, "hole_mm": hole},
        "limits": _limits(stated, h_ef, h_nom),
        "pull_out": pull_out(family, stated, h_ef),
        "beyond_static": {"displacement": displacement(family, size, stated, h_ef)},
    }
    if family["design_method"] == "full":
        figures["concrete"] = _concrete(stated, h_ef, size["geometry"]["nominal_diameter_mm"])
    else:
        figures["simplified"] = _simplified(stated, h_ef)
    if family["mechanism"] == "bonded":
        ring = math.pi / 4 * (float(stated.bit_mm or 0) ** 2 - stated.size**2)
        figures["resin_volume_ml"] = up(1.6 * ring * h_ef / 1000, 1)
    return figures


def _beyond_effective(stated: Stated, head_mm: float | None) -> float:
    fixed = stated.row["Depth and hole: h_nom fixed mm"]
    added = float(head_mm or 0) if fixed == "head" else float(fixed)
    return rounded(stated.number("Depth and hole: h_nom ratio") * stated.basis_mm) + added


def _of(stated: Stated, name: str, h_ef: float) -> float:
    basis = h_ef if stated.row["Distances: of"] == "h" else stated.basis_mm
    return up(stated.number(f"Distances: {name}") * basis, 5)


def _limits(stated: Stated, h_ef: float, h_nom: float) -> Figures:
    return {
        "member_thickness_min_mm": _member(stated, h_ef, h_nom),
        "edge_min_mm": _of(stated, "c_min", h_ef),
        "edge_min_spacing_mm": _of(stated, "s at c_min", h_ef),
        "spacing_min_mm": _of(stated, "s_min", h_ef),
        "spacing_min_edge_mm": _of(stated, "c at s_min", h_ef),
    }


def _member(stated: Stated, h_ef: float, h_nom: float) -> float:
    rule = stated.row["Distances: member"].split()
    if rule == ["h_ef", "+", "2", "d_0"]:
        least = h_ef + 2 * float(stated.bit_mm or 0)
    elif rule[0] == "h_nom":
        least = h_nom + float(rule[2])
    else:
        least = float(rule[0]) * h_ef
    return max(stated.number("Distances: least mm"), up(least, stated.number("Distances: step mm")))


def _concrete(stated: Stated, h_ef: float, nominal_mm: float) -> Figures:
    splitting = stated.number("Distances: c_cr,sp / h_ef") * h_ef
    length = min(h_ef, 12 * nominal_mm if nominal_mm <= 24 else max(8 * nominal_mm, 300))
    return {
        "cone_edge_mm": rounded(1.5 * h_ef, 0.1),
        "cone_spacing_mm": rounded(3 * h_ef, 0.1),
        "splitting_edge_mm": rounded(splitting, 0.1),
        "splitting_spacing_mm": rounded(2 * rounded(splitting, 0.1), 0.1),
        "pry_out_factor": 1.0 if h_ef < 60 else 2.0,
        "shear_length_mm": length,
    }


def pull_out(family: Mapping[str, Any], stated: Stated, h_ef: float) -> Figures | None:
    """N_Rk,p in C20/25 as a share of the cone, and how it grows; none where the cone governs."""
    if not stated.has("Pull-out and displacement: uncracked") or (
        family["mechanism"] == "concrete_screw" and stated.size == 14
    ):
        return None
    wider = float(stated.bit_mm or 0) / 10 if stated.row["Pull-out and displacement: share"] != "fixed" else 1.0
    cracked = stated.has("Pull-out and displacement: cracked")
    return {
        "cracked_kn": down(stated.number("Pull-out and displacement: cracked") * wider * cone_kn(h_ef, 7.7))
        if cracked
        else None,
        "uncracked_kn": down(stated.number("Pull-out and displacement: uncracked") * wider * cone_kn(h_ef, 11.0)),
        "strength_factor": _grown(0.48),
    }


def displacement(family: Mapping[str, Any], size: Mapping[str, Any], stated: Stated, h_ef: float) -> Figures | None:
    """N and the displacements at it; none where the note gives none."""
    if not stated.has("Pull-out and displacement: a mm"):
        return None
    out = pull_out(family, stated, h_ef)
    if out is not None:
        characteristic = out["cracked_kn"] if out["cracked_kn"] is not None else out["uncracked_kn"]
    elif family["mechanism"] == "bonded":
        strength = bond(stated, size["factors"]["installation_factor"])["characteristic_mpa"]["cracked"]["dry"]["I"]
        characteristic = strength * math.pi * stated.size * h_ef / 1000
    else:
        characteristic = cone_kn(h_ef, 8.9 if family["mechanism"] == "headed_fastener" else 7.7)
    tension = down(characteristic / (1.5 * 1.4 * size["factors"]["installation_factor"]["dry"]))
    short = (
        stated.number("Pull-out and displacement: a mm") + stated.number("Pull-out and displacement: b mm/kN") * tension
    )
    return {
        "tension_kn": tension,
        "short_term_mm": round(rounded(short, 0.1), 1),
        "long_term_mm": round(rounded(short, 0.1) + stated.number("Pull-out and displacement: c mm"), 1),
    }


def _simplified(stated: Stated, h_ef: float) -> Figures:
    if stated.has("Stated resistance: N per mm"):
        resistance = down(stated.number("Stated resistance: N per mm") * h_ef / 1000)
    else:
        resistance = down(stated.number("Stated resistance: share of the cone") * cone_kn(h_ef, 11.0))
    return {
        "resistance_kn": resistance,
        "partial_factor": stated.number("Installation factors: of a stated resistance"),
        "spacing_mm": _of(stated, "s_min", h_ef),
        "edge_mm": _of(stated, "c_min", h_ef),
    }


def working_and_curing(row: Row, intervals: list[Mapping[str, Any]]) -> list[Figures]:
    """Working time at the warm end of each interval, curing at its cold end."""
    halves = float(row["Resin: halves with K"])

    def at(minutes: float, temperature_c: float) -> float:
        return float(minutes * 2 ** ((20 - temperature_c) / halves))

    made = []
    for interval in intervals:
        working = at(float(row["Resin: working at 20 °C min"]), interval["temperature_max_c"])
        curing = at(float(row["Resin: curing at 20 °C min"]), interval["temperature_min_c"])
        dry = up(curing, 60 if curing >= 300 else 5)
        made.append({
            "working_minutes": down(working, 1 if working < 10 else 5),
            "curing_dry_minutes": dry,
            "curing_wet_minutes": 2 * dry,
        })
    return made
