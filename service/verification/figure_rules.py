"""Where each figure of a fastener stands in the rulebook, for the trace of an answer."""

from __future__ import annotations

from typing import Final

from service.engine.model import Member
from service.verification.assumptions import Use
from service.verification.fixing import strength_factor, temperature_range
from service.verification.selection import Selection

OF_SIZE: Final = (
    ("geometry", "diameter_mm", "diameter_mm"),
    ("geometry", "nominal_diameter_mm", "nominal_diameter_mm"),
    ("geometry", "stress_area_mm2", "stress_area_mm2"),
    ("geometry", "section_modulus_mm3", "section_modulus_mm3"),
    ("geometry", "head_diameter_mm", "head_diameter_mm"),
    ("steel", "tensile_strength_mpa", "tensile_strength_mpa"),
    ("steel", "yield_strength_mpa", "yield_strength_mpa"),
    ("steel", "tension_kn", "steel_tension_n"),
    ("steel", "shear_kn", "steel_shear_n"),
    ("steel", "bending_nm", "steel_bending_nmm"),
    ("steel", "shear_group_factor", "shear_group_factor"),
)
"""Group and name in the rulebook, and the field of the engine's fastener."""

OF_CONCRETE: Final = (
    ("cone_spacing_mm", "cone_spacing_mm"),
    ("cone_edge_mm", "cone_edge_mm"),
    ("splitting_spacing_mm", "splitting_spacing_mm"),
    ("splitting_edge_mm", "splitting_edge_mm"),
    ("splitting_kn", "splitting_n"),
    ("pry_out_factor", "pry_out_factor"),
    ("shear_length_mm", "shear_length_mm"),
)


def figure_rules(selection: Selection, member: Member, use: Use) -> dict[str, str]:
    """Rulebook paths by the engine's name of the figure.

    Args:
        selection: Family, size and embedment.
        member: The concrete, whose state and strength choose among figures.
        use: Hole condition and temperature range, which do so too.

    Returns:
        A path for each figure that the rulebook gives.
    """
    rules = {
        field: selection.size_path(group, name)
        for group, name, field in OF_SIZE
        if selection.size[group] is not None and selection.size[group][name] is not None
    }
    rules["installation_factor"] = selection.size_path("factors", "installation_factor", use.hole)
    rules["embedment_mm"] = selection.row_path("depth", "effective_mm")
    rules["member_thickness_min_mm"] = selection.row_path("limits", "member_thickness_min_mm")
    state = "cracked" if member.cracked else "uncracked"
    return rules | _of_row(selection, member, state) | _of_bond(selection, member, use, state)


def _of_row(selection: Selection, member: Member, state: str) -> dict[str, str]:
    row = selection.row or {}
    rules: dict[str, str] = {}
    if row.get("concrete") is not None:
        rules["cone_factor"] = selection.row_path("concrete", f"{state}_factor")
        rules |= {field: selection.row_path("concrete", name) for name, field in OF_CONCRETE}
    if row.get("pull_out") is not None:
        by_class, _ = strength_factor(row["pull_out"]["strength_factor"], member.f_ck_mpa)
        rules["pull_out_n"] = selection.row_path("pull_out", f"{state}_kn")
        rules["pull_out_strength_factor"] = selection.row_path("pull_out", "strength_factor", by_class)
    if row.get("simplified") is not None:
        rules["resistance_n"] = selection.row_path("simplified", "resistance_kn")
        rules["resistance_factor"] = selection.row_path("simplified", "partial_factor")
    return rules


def _of_bond(selection: Selection, member: Member, use: Use, state: str) -> dict[str, str]:
    bond = selection.size["bond"]
    if bond is None:
        return {}
    name = temperature_range(bond["characteristic_mpa"][state][use.hole], use)
    by_class, _ = strength_factor(bond["strength_factor"], member.f_ck_mpa)
    rules = {
        "bond_mpa": selection.size_path("bond", "characteristic_mpa", state, use.hole, name),
        "bond_uncracked_mpa": selection.size_path("bond", "characteristic_mpa", "uncracked", use.hole, name),
        "bond_strength_factor": selection.size_path("bond", "strength_factor", by_class),
    }
    if (bond["sustained_factor"] or {}).get(name) is not None:
        rules["sustained_factor"] = selection.size_path("bond", "sustained_factor", name)
    return rules
