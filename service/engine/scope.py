"""Limits of the method: where EN 1992-4:2018 does not cover a case, no number is given."""

from __future__ import annotations

from collections.abc import Iterator

from service.engine.arrangement import LONGEST_ROW, TAPE_MM, Grid
from service.engine.codes import Limit
from service.engine.en1992_4 import lever_arm
from service.engine.en1992_4.concrete_edge import reach_of
from service.engine.model import Fixing, LoadCase
from service.engine.results import ScopeLimit

FASTENERS_MAX = 9
EMBEDMENT_MIN_MM = 40.0
EMBEDMENT_MIN_REDUNDANT_MM = 30.0
DIAMETER_MIN_MM = 6.0
TENSILE_MAX_MPA = 1000.0


def limits_of_fixing(fixing: Fixing, grid: Grid | None) -> Iterator[ScopeLimit]:
    """Limits that hold for every load case of a fixing.

    EN 1992-4:2018, 1.2 and 6.2, from memory.

    Args:
        fixing: The fixing (mm, MPa).
        grid: The grid in which its fasteners stand, drawn or intended, or None.

    Yields:
        What the method does not cover.
    """
    fastener = fixing.fastener
    if len(fixing.positions) > FASTENERS_MAX:
        counts = {"fasteners": len(fixing.positions), "fasteners_max": FASTENERS_MAX}
        yield ScopeLimit(Limit.TOO_MANY_FASTENERS, "1.2", counts)
    if fastener.tensile_strength_mpa > TENSILE_MAX_MPA:
        strengths = {"tensile_strength_mpa": fastener.tensile_strength_mpa, "tensile_strength_max_mpa": TENSILE_MAX_MPA}
        yield ScopeLimit(Limit.STEEL_TOO_STRONG, "1.2", strengths)
    if fastener.simplified is not None:
        return
    if not fastener.headed:
        least = EMBEDMENT_MIN_REDUNDANT_MM if fastener.redundant_indoor_use else EMBEDMENT_MIN_MM
        if fastener.embedment_mm < least:
            depths = {"embedment_mm": fastener.embedment_mm, "embedment_min_mm": least}
            yield ScopeLimit(Limit.EMBEDMENT_BELOW_METHOD, "1.2", depths)
    if fastener.diameter_mm < DIAMETER_MIN_MM:
        diameters = {"diameter_mm": fastener.diameter_mm, "diameter_min_mm": DIAMETER_MIN_MM}
        yield ScopeLimit(Limit.DIAMETER_BELOW_METHOD, "1.2", diameters)
    in_row = 0 if grid is None else max(len(grid.columns), len(grid.rows))
    if in_row > LONGEST_ROW and near_edge(fixing):
        figures = {"in_row": in_row, "in_row_max": LONGEST_ROW, "edge_reach_mm": edge_reach_mm(fixing)}
        yield ScopeLimit(Limit.LONG_ROW_NEAR_EDGE, "6.2.2", figures)


def edge_reach_mm(fixing: Fixing) -> float:
    """max(10·h_ef, 60·d_nom), within which an edge matters (mm). EN 1992-4:2018, 7.2.2.5."""
    return reach_of(fixing.fastener)


def near_edge(fixing: Fixing) -> bool:
    """Whether an edge is within max(10·h_ef, 60·d_nom) of a fastener (mm). EN 1992-4:2018, 7.2.2.5."""
    return min(fixing.member.nearest_mm(fixing.positions)) <= edge_reach_mm(fixing)


def lacks_bending_resistance(fixing: Fixing, grid: Grid | None) -> bool:
    """Whether shear has a lever arm (mm) and the fastener no figure for its bending. EN 1992-4:2018, 7.2.2.3.2."""
    fastener = fixing.fastener
    if fastener.steel_bending_nmm is not None or fastener.section_modulus_mm3 > 0.0:
        return False
    return lever_arm.shear_path(fixing, grid, True, True).arm is not None


def _needs_plate(fixing: Fixing, case: LoadCase) -> bool:
    """Whether something presses, turns or is shared, which only a plate could do (N, Nmm). EN 1992-4:2018, 6.2.1."""
    turns = case.moment_x_nmm != 0.0 or case.moment_y_nmm != 0.0
    # What pushes a bare rod at a height has a moment at the surface, which its bending carries.
    bends = fixing.fixture.hold == "bare" and fixing.fixture.stand_off_mm > 0.0
    return case.normal_n < 0.0 or (turns and not bends) or len(fixing.positions) > 1


def _raised_without_figure(fixing: Fixing, grid: Grid | None, sheared: bool) -> bool:
    """Whether a fastener that has no figure but its label's would bend over a gap (mm)."""
    fixture = fixing.fixture
    if not fixture.plate:
        # The label's load hangs in the ring itself, or pulls at the bare fastener. What lies under a ring raises it.
        lifted = sheared and (fixture.thickness_mm or 0.0) / 2.0 > TAPE_MM
        return lifted or fixture.stand_off_mm > 0.0 or fixture.grout_mm > 0.0
    return not lever_arm.bears_on_concrete(fixing) or lever_arm.shear_path(fixing, grid, True, True).arm is not None


def limits_of_case(fixing: Fixing, grid: Grid | None, case: LoadCase, turned: bool) -> Iterator[ScopeLimit]:
    """Limits that depend on the actions.

    EN 1992-4:2018, 6.2.2, from memory.

    Args:
        fixing: The fixing (mm).
        grid: The grid in which its fasteners stand, or None.
        case: Design actions (N, Nmm).
        turned: Whether there is torsion about the centre of the fasteners.

    Yields:
        What the method does not cover.
    """
    sheared = case.shear_x_n != 0.0 or case.shear_y_n != 0.0 or turned
    if turned and len(fixing.positions) == 1:
        yield ScopeLimit(Limit.TORSION_ON_ONE_FASTENER, "6.2.2")
    elif turned and fixing.fixture.clearance == "oversize":
        yield ScopeLimit(Limit.TORSION_WITH_OVERSIZE_HOLES, "6.2.2")
    if not fixing.fixture.plate and _needs_plate(fixing, case):
        yield ScopeLimit(Limit.WITHOUT_PLATE, "6.2.1")
    if fixing.fixture.hold == "bare" and sheared and fixing.fixture.stand_off_mm == 0.0:
        yield ScopeLimit(Limit.HEIGHT_NOT_GIVEN, "6.2.2.3")
    if fixing.fastener.simplified is not None:
        if _raised_without_figure(fixing, grid, sheared):
            yield ScopeLimit(Limit.SIMPLIFIED_WITH_STAND_OFF, "Annex G")
        return
    if sheared and lacks_bending_resistance(fixing, grid):
        yield ScopeLimit(Limit.NO_BENDING_RESISTANCE, "7.2.2.3.2")
