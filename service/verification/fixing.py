"""From a request and the rulebook's data to the engine's plain data: kN and kNm become N and Nmm only here."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from types import MappingProxyType
from typing import Any

from service.contract import wanted
from service.contract.verification_codes import AssumptionCode
from service.engine.en1992_1_1 import STRENGTH_CLASSES
from service.engine.en1992_4 import partial_factors
from service.engine.model import (
    Bond,
    Clearance,
    Cone,
    Fastener,
    Fixture,
    LoadCase,
    Member,
    PartialFactors,
    PullOut,
    Reinforcement,
    Simplified,
)
from service.rulebook import Rulebook
from service.verification.assumptions import WEAKEST_COVERED, Assumptions, Strength, Use
from service.verification.selection import Selection

N_PER_KN = 1e3
NMM_PER_KNM = 1e6
NMM_PER_NM = 1e3
STANDARD_GRAVITY = 9.80665
"""g_n (m/s²), BIPM SI Brochure."""
KG_PER_LB = 0.45359237
"""The avoirdupois pound, by definition (from memory)."""

NO_STEEL: Mapping[str, Any] = MappingProxyType({
    "tensile_strength_mpa": 1.0,
    "yield_strength_mpa": 1.0,
    "ductile": False,
    "tension_kn": None,
    "shear_kn": None,
    "bending_nm": None,
    "shear_group_factor": None,
})
"""Stands in for a family known only from its label, whose one resistance contains its steel."""

INDOOR = ("dry_internal", "damp_internal")


def member(given: wanted.Member, strength: Strength, cracked: bool, reinforcement: Reinforcement) -> Member:
    """The concrete (mm, MPa); an edge that is not given is out of reach."""
    west, east, south, north = (math.inf if distance is None else distance for distance in given.edges.all_mm)
    return Member(
        f_ck_mpa=strength.f_ck_mpa,
        cracked=cracked,
        thickness_mm=given.thickness_mm,
        edges_mm=(west, east, south, north),
        reinforcement=reinforcement,
    )


def fixture(given: wanted.Fixture, welded: bool, assumptions: Assumptions) -> Fixture:
    """The plate that is held (mm, MPa); what is left open about its hold is taken the safe way."""
    section, grout = given.attached_section, given.grout
    if given.raised:
        _note_rotation(given.rotation, assumptions)
    if grout.thickness_mm > 0.0 and grout.strength_mpa is None:
        assumptions.add(AssumptionCode.GROUT_STRENGTH_UNKNOWN, "#/fixture/grout/strength_mpa")
    return Fixture(
        centre=(given.centre.x_mm, given.centre.y_mm),
        width_mm=given.width_mm,
        depth_mm=given.depth_mm,
        thickness_mm=given.thickness_mm,
        yield_mpa=given.yield_mpa,
        section_mm=None if section is None else (section.width_mm, section.depth_mm),
        clearance=_clearance(given.clearance, welded, assumptions),
        stand_off_mm=given.stand_off_mm,
        grout_mm=grout.thickness_mm,
        grout_mpa=grout.strength_mpa,
        rotation_held=given.rotation == "held",
        washer_clamped=given.washer_clamped,
    )


def _clearance(given: Clearance | None, welded: bool, assumptions: Assumptions) -> Clearance:
    if welded and given != "oversize":
        # A stud welded to its plate has no hole to have clearance in.
        return "filled"
    if given is None:
        assumptions.add(AssumptionCode.CLEARANCE_NOT_GIVEN, "#/fixture/clearance")
        return "normal"
    if given == "filled":
        assumptions.add(AssumptionCode.HOLES_FILLED_TO_BE_SHOWN, "#/fixture/clearance")
    return given


def _note_rotation(rotation: str | None, assumptions: Assumptions) -> None:
    if rotation is None:
        assumptions.add(AssumptionCode.ROTATION_NOT_GIVEN, "#/fixture/rotation")
    elif rotation == "held":
        assumptions.add(AssumptionCode.ROTATION_HELD_TO_BE_SHOWN, "#/fixture/rotation")


def _float(value: float | None) -> float | None:
    return None if value is None else float(value)


def load_cases(
    given: Sequence[wanted.LoadCase], rulebook: Rulebook, bonded: bool, assumptions: Assumptions
) -> tuple[LoadCase, ...]:
    """Design load cases (N, Nmm); a characteristic one becomes two, with unfavourable and favourable permanent part.

    EN 1990, 6.4.3.2: gamma_G·p + gamma_Q·(1 − p), p the permanent share.

    Args:
        given: The load cases of a request.
        rulebook: The rulebook with its factors of actions.
        bonded: Whether the sustained share matters.
        assumptions: Where a missing sustained share is noted.

    Returns:
        The design load cases, in the order of the request.
    """
    design: list[LoadCase] = []
    for number, case in enumerate(given):
        share = case.sustained_share
        if share is None:
            share = 1.0
            if bonded:
                code, pointer = AssumptionCode.SUSTAINED_SHARE_NOT_GIVEN, f"#/load_cases/{number}/sustained_share"
                assumptions.add(code, pointer, load_case=case.name)
        design.extend(_combinations(case, share, rulebook))
    return tuple(design)


def action_factors(case: wanted.LoadCase, rulebook: Rulebook) -> dict[str, float]:
    """Factor of the actions by combination (no unit): 1 for a design case."""
    if case.kind == "design":
        return {"design": 1.0}
    permanent = case.permanent_share
    if permanent is None:
        raise ValueError("a characteristic load case has its permanent share")
    gamma = rulebook.document["partial_factors"]["actions"]
    variable = float(gamma["variable"]) * (1.0 - permanent)
    factors = {"permanent_unfavourable": float(gamma["permanent_unfavourable"]) * permanent + variable}
    if permanent > 0.0:
        factors["permanent_favourable"] = float(gamma["permanent_favourable"]) * permanent + variable
    return factors


def _combinations(case: wanted.LoadCase, sustained_share: float, rulebook: Rulebook) -> Iterator[LoadCase]:
    for combination, factor in action_factors(case, rulebook).items():
        yield LoadCase(
            name=case.name,
            combination=combination,
            normal_n=factor * N_PER_KN * case.normal_kn,
            shear_x_n=factor * N_PER_KN * case.shear_x_kn,
            shear_y_n=factor * N_PER_KN * case.shear_y_kn,
            moment_x_nmm=factor * NMM_PER_KNM * case.moment_x_knm,
            moment_y_nmm=factor * NMM_PER_KNM * case.moment_y_knm,
            torsion_nmm=factor * NMM_PER_KNM * case.torsion_knm,
            sustained_share=sustained_share,
        )


def factors(selection: Selection, rulebook: Rulebook, situation: str) -> PartialFactors:
    """Partial factors of resistance for the design situation; an assessment's own gamma_Ms outranks Table 4.1."""
    data = rulebook.document["partial_factors"]
    path = "rulebook#/partial_factors"
    rules = {"concrete": f"{path}/concrete/{situation}"}
    steel, own = selection.size["steel"] or NO_STEEL, selection.size["factors"]
    tensile, yielding = float(steel["tensile_strength_mpa"]), float(steel["yield_strength_mpa"])
    tension_data, shear_data = data["steel_tension"][situation], data["steel_shear"][situation]
    mild_up_to = float(data["steel_shear"]["tensile_strength_max_mpa"])
    ratio_max = float(data["steel_shear"]["yield_ratio_max"])
    tension = partial_factors.steel_tension(
        tensile, yielding, float(tension_data["numerator"]), float(tension_data["minimum"])
    )
    shear = partial_factors.steel_shear(
        tensile,
        yielding,
        float(shear_data["numerator"]),
        float(shear_data["minimum"]),
        float(shear_data["otherwise"]),
        mild_up_to,
        ratio_max,
    )
    tension_words = f"max({tension_data['numerator']:g}/(f_yk/f_uk), {tension_data['minimum']:g})"
    mild = f"f_uk ≤ {mild_up_to:g} MPa and f_yk/f_uk ≤ {ratio_max:g}"
    if partial_factors.is_mild(tensile, yielding, mild_up_to, ratio_max):
        shear_words = f"max({shear_data['numerator']:g}/(f_yk/f_uk), {shear_data['minimum']:g}), {mild}"
    else:
        shear_words = f"{shear_data['otherwise']:g}, not {mild}"
    rules["steel_tension"] = f"{path}/steel_tension/{situation}"
    rules["steel_shear"] = f"{path}/steel_shear/{situation}"
    # An assessment outranks Table 4.1, also in an accidental situation, where the table alone would ask for less.
    if own["gamma_ms_tension"] is not None:
        tension, tension_words = float(own["gamma_ms_tension"]), "assessment"
        rules["steel_tension"] = selection.size_path("factors", "gamma_ms_tension")
    if own["gamma_ms_shear"] is not None:
        shear, shear_words = float(own["gamma_ms_shear"]), "assessment"
        rules["steel_shear"] = selection.size_path("factors", "gamma_ms_shear")
    return PartialFactors(
        concrete=float(data["concrete"][situation]),
        steel_tension=tension,
        steel_shear=shear,
        steel_tension_expression=tension_words,
        steel_shear_expression=shear_words,
        rules=rules,
    )


def strength_factor(table: Mapping[str, float], f_ck_mpa: float) -> tuple[str, float]:
    """psi_c of the strongest listed class that the member reaches (no unit): between classes nothing is gained.

    Args:
        table: Factor by strength class.
        f_ck_mpa: Strength of the member (MPa).

    Returns:
        The class and its factor; 1 with the weakest listed class where none is reached.
    """
    reached = [name for name in table if STRENGTH_CLASSES[name] <= f_ck_mpa + 1e-9]
    name = max(reached, key=lambda n: STRENGTH_CLASSES[n]) if reached else min(table, key=lambda n: STRENGTH_CLASSES[n])
    return name, float(table[name])


def fastener(selection: Selection, member: Member, use: Use, rules: Mapping[str, str]) -> Fastener:
    """The fastener with its figures for this member and use (N, mm, MPa), and where they stand if a trace wants it."""
    row = selection.row
    if row is None:
        raise ValueError("an embedment that is not assessed has no figures")
    geometry, steel = selection.size["geometry"], selection.size["steel"] or NO_STEEL
    covers = selection.family["assessment"]["covers"]
    return Fastener(
        mechanism=selection.family["mechanism"],
        diameter_mm=float(geometry["diameter_mm"]),
        nominal_diameter_mm=float(geometry["nominal_diameter_mm"]),
        stress_area_mm2=_stress_area(geometry),
        section_modulus_mm3=float(geometry["section_modulus_mm3"] or 0.0),
        head_diameter_mm=_float(geometry["head_diameter_mm"])
        if selection.family["mechanism"] == "headed_fastener"
        else None,
        embedment_mm=float(row["depth"]["effective_mm"]),
        tensile_strength_mpa=float(steel["tensile_strength_mpa"]),
        yield_strength_mpa=float(steel["yield_strength_mpa"]),
        ductile=bool(steel["ductile"]),
        steel_tension_n=_scaled(steel["tension_kn"], N_PER_KN),
        steel_shear_n=_scaled(steel["shear_kn"], N_PER_KN),
        steel_bending_nmm=_scaled(steel["bending_nm"], NMM_PER_NM),
        shear_group_factor=_float(steel["shear_group_factor"]),
        installation_factor=_installation_factor(selection, use),
        member_thickness_min_mm=float(row["limits"]["member_thickness_min_mm"]),
        pull_out=_pull_out(selection, member),
        assessed_bond=_bond(selection, member, use),
        assessed_cone=_cone(selection, member),
        simplified=_simplified(selection),
        redundant_indoor_use=use.redundant and use.exposure in INDOOR,
        stand_off_compression=bool(covers["stand_off_compression"]),
        rules=rules,
    )


def _stress_area(geometry: Mapping[str, Any]) -> float:
    # A label gives no stress area; it only shares tension out among equal fasteners, for which the shank's will do.
    given = geometry["stress_area_mm2"]
    return float(given) if given is not None else math.pi / 4.0 * float(geometry["diameter_mm"]) ** 2


def _scaled(value: float | None, factor: float) -> float | None:
    return None if value is None else float(value) * factor


def _installation_factor(selection: Selection, use: Use) -> float:
    by_hole = selection.size["factors"]["installation_factor"]
    return float(by_hole[use.hole] if use.hole in by_hole else max(by_hole.values(), default=1.0))


def _pull_out(selection: Selection, member: Member) -> PullOut | None:
    given = (selection.row or {}).get("pull_out")
    name = "cracked_kn" if member.cracked else "uncracked_kn"
    if given is None or given[name] is None:
        return None
    _, psi_c = strength_factor(given["strength_factor"], member.f_ck_mpa)
    return PullOut(float(given[name]) * N_PER_KN, psi_c)


def _cone(selection: Selection, member: Member) -> Cone | None:
    given = (selection.row or {}).get("concrete")
    if given is None:
        return None
    factor = "cracked_factor" if member.cracked else "uncracked_factor"
    return Cone(
        cone_factor=float(given[factor]),
        cone_spacing_mm=float(given["cone_spacing_mm"]),
        cone_edge_mm=float(given["cone_edge_mm"]),
        splitting_spacing_mm=float(given["splitting_spacing_mm"]),
        splitting_edge_mm=float(given["splitting_edge_mm"]),
        splitting_n=_scaled(given["splitting_kn"], N_PER_KN),
        pry_out_factor=float(given["pry_out_factor"]),
        shear_length_mm=_float(given["shear_length_mm"]),
    )


def _simplified(selection: Selection) -> Simplified | None:
    given = (selection.row or {}).get("simplified")
    if given is None:
        return None
    return Simplified(float(given["resistance_kn"]) * N_PER_KN, float(given["partial_factor"]))


def temperature_range(by_range: Mapping[str, float | None], use: Use) -> str:
    """The temperature range that is calculated with: the one given, or the one with the least bond (MPa by range)."""
    if use.temperature_range != WEAKEST_COVERED:
        return use.temperature_range
    assessed = {name: tau for name, tau in by_range.items() if tau is not None}
    return min(assessed, key=lambda name: (assessed[name], name))


def _bond(selection: Selection, member: Member, use: Use) -> Bond | None:
    given = selection.size["bond"]
    if given is None:
        return None
    state = "cracked" if member.cracked else "uncracked"
    by_range = given["characteristic_mpa"][state][use.hole]
    name = temperature_range(by_range, use)
    _, psi_c = strength_factor(given["strength_factor"], member.f_ck_mpa)
    reference = given["characteristic_mpa"]["uncracked"][use.hole][name]
    sustained = (given["sustained_factor"] or {}).get(name)
    return Bond(float(by_range[name]), psi_c, float(reference), _float(sustained))
