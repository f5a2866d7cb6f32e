"""A fastener with its figures for a member and a use: each is read at a place of the rulebook, which a trace names."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from service.engine.en1992_1_1 import STRENGTH_CLASSES
from service.engine.model import Bond, Cone, Displacement, Fastener, Member, PullOut, Simplified
from service.verification.assumptions import WEAKEST_COVERED, Use
from service.verification.fixing import N_PER_KN, NMM_PER_NM, NO_STEEL_MPA
from service.verification.selection import Selection
from service.verification.tolerance import reaches_mpa

INDOOR = ("dry_internal", "damp_internal")


def fastener(selection: Selection, member: Member, use: Use, *, traced: bool = False) -> Fastener:
    """The fastener with its figures for this member and use.

    Args:
        selection: Family, size and embedment.
        member: The concrete, whose state and strength choose among figures.
        use: Hole condition and temperature range, which do so too.
        traced: Whether a trace is to name where each figure stands in the rulebook.

    Returns:
        The fastener (N, mm, MPa).

    Raises:
        ValueError: The embedment is not assessed, so that it has no figures.
    """
    if selection.row is None:
        raise ValueError("an embedment that is not assessed has no figures")
    return _Figures(selection, member, use, traced).fastener()


class _Figures:
    """Figures of a selection; the place of each in the rulebook is noted by the engine's name of the figure."""

    def __init__(self, selection: Selection, member: Member, use: Use, traced: bool) -> None:
        self._selection, self._member, self._use = selection, member, use
        self._row: Mapping[str, Any] = selection.row or {}
        self._state = "cracked" if member.cracked else "uncracked"
        self._rules: dict[str, str] | None = {} if traced else None

    def fastener(self) -> Fastener:
        """The fastener with every figure (N, mm, MPa)."""
        selection, use, size = self._selection, self._use, self._of_size
        mechanism, steel = selection.family["mechanism"], selection.size["steel"]
        diameter = _given(size("diameter_mm", "geometry", "diameter_mm"))
        area = size("stress_area_mm2", "geometry", "stress_area_mm2")
        covers = selection.family["assessment"]["covers"]
        return Fastener(
            mechanism=mechanism,
            diameter_mm=diameter,
            nominal_diameter_mm=_given(size("nominal_diameter_mm", "geometry", "nominal_diameter_mm")),
            # A label gives no stress area; it only shares tension among equal fasteners, for which the shank's will do.
            stress_area_mm2=math.pi / 4.0 * diameter**2 if area is None else area,
            section_modulus_mm3=size("section_modulus_mm3", "geometry", "section_modulus_mm3") or 0.0,
            head_diameter_mm=size("head_diameter_mm", "geometry", "head_diameter_mm")
            if mechanism == "headed_fastener"
            else None,
            embedment_mm=_given(self._of_row("embedment_mm", "depth", "effective_mm")),
            displacement=self._displacement(),
            tensile_strength_mpa=_or_none(size("tensile_strength_mpa", "steel", "tensile_strength_mpa")),
            yield_strength_mpa=_or_none(size("yield_strength_mpa", "steel", "yield_strength_mpa")),
            ductile=steel is not None and bool(steel["ductile"]),
            steel_tension_n=size("steel_tension_n", "steel", "tension_kn", unit=N_PER_KN),
            steel_shear_n=size("steel_shear_n", "steel", "shear_kn", unit=N_PER_KN),
            steel_bending_nmm=size("steel_bending_nmm", "steel", "bending_nm", unit=NMM_PER_NM),
            shear_group_factor=size("shear_group_factor", "steel", "shear_group_factor"),
            installation_factor=self._installation_factor(),
            member_thickness_min_mm=_given(
                self._of_row("member_thickness_min_mm", "limits", "member_thickness_min_mm")
            ),
            pull_out=self._pull_out(),
            assessed_bond=self._bond(),
            assessed_cone=self._cone(),
            simplified=self._simplified(),
            redundant_indoor_use=use.redundant and use.exposure in INDOOR,
            stand_off_compression=bool(covers["stand_off_compression"]),
            rules=self._rules or {},
        )

    def _of_size(self, name: str, group: str, *steps: str, unit: float = 1.0) -> float | None:
        """A figure at size level in the unit of the engine; None where the rulebook gives none."""
        value = _at(self._selection.size[group], steps)
        if value is None:
            return None
        if self._rules is not None:
            self._rules[name] = self._selection.size_path(group, *steps)
        return float(value) * unit

    def _of_row(self, name: str, group: str, *steps: str, unit: float = 1.0) -> float | None:
        """A figure at embedment level, as at size level."""
        value = _at(self._row.get(group), steps)
        if value is None:
            return None
        if self._rules is not None:
            self._rules[name] = self._selection.row_path(group, *steps)
        return float(value) * unit

    def _installation_factor(self) -> float:
        by_hole = self._selection.size["factors"]["installation_factor"]
        if self._use.hole not in by_hole:
            return float(max(by_hole.values(), default=1.0))
        return _given(self._of_size("installation_factor", "factors", "installation_factor", self._use.hole))

    def _displacement(self) -> Displacement | None:
        given = _at(self._row.get("beyond_static"), ("displacement",))
        return None if given is None else Displacement(given["tension_kn"] * N_PER_KN, given["short_term_mm"])

    def _pull_out(self) -> PullOut | None:
        reference = self._of_row("pull_out_n", "pull_out", f"{self._state}_kn", unit=N_PER_KN)
        if reference is None:
            return None
        by_class = strength_class(self._row["pull_out"]["strength_factor"], self._member.f_ck_mpa)
        factor = self._of_row("pull_out_strength_factor", "pull_out", "strength_factor", by_class)
        return PullOut(reference, _given(factor))

    def _cone(self) -> Cone | None:
        if self._row.get("concrete") is None:
            return None
        row, group = self._of_row, "concrete"
        return Cone(
            cone_factor=_given(row("cone_factor", group, f"{self._state}_factor")),
            cone_spacing_mm=_given(row("cone_spacing_mm", group, "cone_spacing_mm")),
            cone_edge_mm=_given(row("cone_edge_mm", group, "cone_edge_mm")),
            splitting_spacing_mm=_given(row("splitting_spacing_mm", group, "splitting_spacing_mm")),
            splitting_edge_mm=_given(row("splitting_edge_mm", group, "splitting_edge_mm")),
            splitting_n=row("splitting_n", group, "splitting_kn", unit=N_PER_KN),
            pry_out_factor=_given(row("pry_out_factor", group, "pry_out_factor")),
            shear_length_mm=row("shear_length_mm", group, "shear_length_mm"),
        )

    def _simplified(self) -> Simplified | None:
        if self._row.get("simplified") is None:
            return None
        return Simplified(
            resistance_n=_given(self._of_row("resistance_n", "simplified", "resistance_kn", unit=N_PER_KN)),
            partial_factor=_given(self._of_row("resistance_factor", "simplified", "partial_factor")),
        )

    def _bond(self) -> Bond | None:
        bond = self._selection.size["bond"]
        if bond is None:
            return None
        size, hole, taus = self._of_size, self._use.hole, ("bond", "characteristic_mpa")
        warmth = temperature_range(bond["characteristic_mpa"][self._state][hole], self._use)
        by_class = strength_class(bond["strength_factor"], self._member.f_ck_mpa)
        listed = warmth in (bond["sustained_factor"] or ())
        return Bond(
            characteristic_mpa=_given(size("bond_mpa", *taus, self._state, hole, warmth)),
            strength_factor=_given(size("bond_strength_factor", "bond", "strength_factor", by_class)),
            uncracked_reference_mpa=_given(size("bond_uncracked_mpa", *taus, "uncracked", hole, warmth)),
            sustained_factor=size("sustained_factor", "bond", "sustained_factor", warmth) if listed else None,
        )


def strength_class(table: Mapping[str, float], f_ck_mpa: float) -> str:
    """The strongest listed class that the member reaches, whose psi_c counts: between classes nothing is gained.

    Args:
        table: Factor by strength class.
        f_ck_mpa: Strength of the member (MPa).

    Returns:
        The class; the weakest listed one where none is reached.
    """
    reached = [name for name in table if reaches_mpa(f_ck_mpa, STRENGTH_CLASSES[name])]
    return max(reached, key=STRENGTH_CLASSES.__getitem__) if reached else min(table, key=STRENGTH_CLASSES.__getitem__)


def temperature_range(by_range: Mapping[str, float | None], use: Use) -> str:
    """The temperature range that is calculated with: the one given, or the one with the least bond (MPa by range)."""
    if use.temperature_range != WEAKEST_COVERED:
        return use.temperature_range
    assessed = {name: tau for name, tau in by_range.items() if tau is not None}
    return min(assessed, key=lambda name: (assessed[name], name))


def _at(group: Any, steps: tuple[str, ...]) -> Any:
    """What stands in a group of the rulebook; None where it has nothing there, or not the group."""
    for step in steps:
        if group is None:
            return None
        group = group[step]
    return group


def _given(figure: float | None) -> float:
    if figure is None:
        raise ValueError("the rulebook lacks a figure that every assessment gives")
    return figure


def _or_none(strength_mpa: float | None) -> float:
    return NO_STEEL_MPA if strength_mpa is None else strength_mpa
