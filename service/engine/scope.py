"""Limits of the method: where EN 1992-4:2018 does not cover a case, no number is given."""

from __future__ import annotations

from collections.abc import Iterator

from service.engine.arrangement import Grid
from service.engine.en1992_4 import lever_arm
from service.engine.en1992_4.concrete_edge import reach_mm
from service.engine.model import Fixing, LoadCase
from service.engine.results import ScopeLimit

FASTENERS_MAX = 9
EMBEDMENT_MIN_MM = 40.0
EMBEDMENT_MIN_REDUNDANT_MM = 30.0
DIAMETER_MIN_MM = 6.0
TENSILE_MAX_MPA = 1000.0
CLEARANCE_COUNTS = frozenset({(1, 1), (1, 2), (2, 1), (2, 2)})


def limits_of_fixing(fixing: Fixing, grid: Grid | None) -> Iterator[ScopeLimit]:
    """Limits that hold for every load case of a fixing.

    EN 1992-4:2018, 1.2 and 6.2, from memory.

    Args:
        fixing: The fixing (mm, MPa).
        grid: The grid in which its fasteners stand, or None.

    Yields:
        What the method does not cover.
    """
    fastener = fixing.fastener
    if len(fixing.positions) > FASTENERS_MAX:
        yield ScopeLimit(
            "too_many_fasteners",
            f"{len(fixing.positions)} fasteners; the method covers groups up to 3 by 3, at most 9",
            "1.2",
        )
    if fastener.tensile_strength_mpa > TENSILE_MAX_MPA:
        yield ScopeLimit(
            "steel_too_strong", f"f_uk {fastener.tensile_strength_mpa:g} MPa; covered up to 1000 MPa", "1.2"
        )
    if fastener.simplified is not None:
        return
    if not fastener.headed:
        least = EMBEDMENT_MIN_REDUNDANT_MM if fastener.redundant_indoor_use else EMBEDMENT_MIN_MM
        if fastener.embedment_mm < least:
            yield ScopeLimit(
                "embedment_below_method",
                f"h_ef {fastener.embedment_mm:g} mm; post-installed fasteners are covered from 40 mm, "
                "or 30 mm in redundant indoor use",
                "1.2",
            )
    if fastener.diameter_mm < DIAMETER_MIN_MM:
        yield ScopeLimit("diameter_below_method", f"d {fastener.diameter_mm:g} mm; covered from 6 mm", "1.2")
    if grid is None and near_edge(fixing):
        yield ScopeLimit(
            "arrangement_near_edge",
            "this arrangement is not a grid up to 3 by 3, and an edge is within max(10·h_ef, 60·d_nom)",
            "6.2.2",
        )


def near_edge(fixing: Fixing) -> bool:
    """Whether an edge is within max(10·h_ef, 60·d_nom) of a fastener (mm). EN 1992-4:2018, 7.2.2.5."""
    reach = reach_mm(fixing.fastener.embedment_mm, fixing.fastener.nominal_diameter_mm)
    return min(fixing.member.nearest_mm(fixing.positions)) <= reach


def lacks_bending_resistance(fixing: Fixing, grid: Grid | None) -> bool:
    """Whether shear has a lever arm (mm) and the fastener no figure for its bending. EN 1992-4:2018, 7.2.2.3.2."""
    fastener = fixing.fastener
    if fastener.steel_bending_nmm is not None or fastener.section_modulus_mm3 > 0.0:
        return False
    return lever_arm.shear_path(fixing, grid, True, True).arm is not None


def limits_of_case(fixing: Fixing, grid: Grid | None, case: LoadCase, torsion_nmm: float) -> Iterator[ScopeLimit]:
    """Limits that depend on the actions.

    EN 1992-4:2018, 6.2.2, from memory.

    Args:
        fixing: The fixing (mm).
        grid: The grid in which its fasteners stand, or None.
        case: Design actions (N, Nmm).
        torsion_nmm: Torsion about the centre of the fasteners (Nmm).

    Yields:
        What the method does not cover.
    """
    sheared = case.shear_x_n != 0.0 or case.shear_y_n != 0.0 or torsion_nmm != 0.0
    if torsion_nmm != 0.0 and len(fixing.positions) == 1:
        yield ScopeLimit("torsion_on_one_fastener", "a single fastener cannot take torsion", "6.2.2")
    elif torsion_nmm != 0.0 and fixing.fixture.clearance == "oversize":
        yield ScopeLimit(
            "torsion_with_oversize_holes", "with oversize holes torsion has no sure path into the fasteners", "6.2.2"
        )
    if fixing.fastener.simplified is not None:
        if not lever_arm.bears_on_concrete(fixing) or lever_arm.shear_path(fixing, grid, True, True).arm is not None:
            yield ScopeLimit(
                "simplified_with_stand_off",
                "a family known only from its label is not covered with a lever arm",
                "Annex G",
            )
        return
    if sheared and lacks_bending_resistance(fixing, grid):
        yield ScopeLimit(
            "no_bending_resistance",
            "shear would act with a lever arm, and the assessment gives no bending resistance",
            "7.2.2.3.2",
        )
    if (
        sheared
        and fixing.fixture.clearance != "filled"
        and near_edge(fixing)
        and grid is not None
        and (len(grid.columns), len(grid.rows)) not in CLEARANCE_COUNTS
    ):
        yield ScopeLimit(
            "clearance_holes_near_edge",
            "with clearance holes near an edge and shear only one fastener, two, or two by two are covered; "
            "fill the holes or move away from the edge",
            "6.2.2.1",
        )
