"""From a request and the rulebook's data to the engine's plain data: kN and kNm become N and Nmm only here."""

from __future__ import annotations

import math

from service.contract import wanted
from service.contract.verification_codes import AssumptionCode
from service.contract.writing import N_PER_KN as N_PER_KN
from service.engine.en1992_4 import partial_factors
from service.engine.model import (
    Clearance,
    Fixture,
    Member,
    PartialFactors,
    Reinforcement,
)
from service.rulebook import Rulebook
from service.verification.assumptions import Assumptions, Strength
from service.verification.fixture_holes import clearance_of, hold_of, widest_mm
from service.verification.selection import Selection

NMM_PER_KNM = 1e6
NMM_PER_NM = 1e3
STANDARD_GRAVITY = 9.80665
"""g_n (m/s²), BIPM SI Brochure."""
KG_PER_LB = 0.45359237
"""The avoirdupois pound, by definition (from memory)."""

NO_STEEL_MPA = 1.0
"""Stands in for the steel of a family known only from its label, whose one resistance contains its steel."""


def member(given: wanted.Member, strength: Strength, cracked: bool, reinforcement: Reinforcement) -> Member:
    """The concrete (mm, MPa); an edge that is not given is out of reach."""
    west, east, south, north = (math.inf if distance is None else distance for distance in given.edges.all_mm)
    return Member(
        f_ck_mpa=strength.f_ck_mpa,
        cracked=cracked,
        thickness_mm=given.thickness_mm,
        edges_mm=(west, east, south, north),
        reinforcement=reinforcement,
        f_ck_most_mpa=_most_mpa(given, strength),
    )


def _most_mpa(given: wanted.Member, strength: Strength) -> float:
    """The most that the concrete may have (MPa): what was said, else what it is known to have, else anything."""
    if given.strength_most_mpa is not None:
        return given.strength_most_mpa
    return strength.f_ck_mpa if strength.known else math.inf


def fixture(given: wanted.Fixture, selection: Selection, assumptions: Assumptions) -> Fixture:
    """The plate that is held (mm, MPa); what is left open about its hold is taken the safe way."""
    section, grout = given.attached_section, given.grout
    if given.raised and given.plate:
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
        profile=None if section is None else section.profile,
        clearance=_clearance(given, selection, assumptions),
        stand_off_mm=given.stand_off_mm,
        grout_mm=grout.thickness_mm,
        grout_mpa=grout.strength_mpa,
        rotation_held=given.plate and given.rotation == "held",
        washer_clamped=given.washer_clamped,
        hold=hold_of(given, selection),
    )


def _clearance(given: wanted.Fixture, selection: Selection, assumptions: Assumptions) -> Clearance:
    counted = clearance_of(given, selection)
    if counted is None:
        assumptions.add(AssumptionCode.CLEARANCE_NOT_GIVEN, "#/fixture/clearance")
        return "normal"
    if given.clearance == "filled" and widest_mm(selection) is not None:
        assumptions.add(AssumptionCode.HOLES_FILLED_TO_BE_SHOWN, "#/fixture/clearance")
    return counted


def _note_rotation(rotation: str | None, assumptions: Assumptions) -> None:
    if rotation is None:
        assumptions.add(AssumptionCode.ROTATION_NOT_GIVEN, "#/fixture/rotation")
    elif rotation == "held":
        assumptions.add(AssumptionCode.ROTATION_HELD_TO_BE_SHOWN, "#/fixture/rotation")


def factors(selection: Selection, rulebook: Rulebook, situation: str) -> PartialFactors:
    """Partial factors of resistance for the design situation; an assessment's own gamma_Ms outranks Table 4.1."""
    data = rulebook.document["partial_factors"]
    path = "rulebook#/partial_factors"
    rules = {"concrete": f"{path}/concrete/{situation}"}
    steel, own = selection.size["steel"], selection.size["factors"]
    tensile = NO_STEEL_MPA if steel is None else float(steel["tensile_strength_mpa"])
    yielding = NO_STEEL_MPA if steel is None else float(steel["yield_strength_mpa"])
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
