"""How far away other fasteners have to be so that they change nothing, from the checks that were made."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence, Set
from dataclasses import dataclass

from service.engine.arrangement import Grid, recognise_grid
from service.engine.codes import Mode
from service.engine.en1992_4 import bond, splitting
from service.engine.en1992_4.concrete_edge import reach_of_others_mm
from service.engine.free_edges import open_ends
from service.engine.model import EDGE_NAMES, Fixing
from service.engine.results import CaseResult, Check


@dataclass(frozen=True, slots=True)
class NeighbourReach:
    """Distance along x and along y from each fastener, beyond either of which another changes nothing (mm)."""

    spacing_mm: float
    """The widest s_cr."""
    blow_out_mm: float
    """4·c_1 of blow-out."""
    edge_mm: float
    """3·c_1 of edge failure, in a thin and narrow member 3·c'_1."""

    def around_mm(self, depth_ratio: float) -> float:
        """The distance of every mode but edge failure (mm). EN 1992-4:2018, 7.2.1.

        Args:
            depth_ratio: Depth of the deepest neighbour that is reckoned with by ours, at least 1 (no unit): a deeper
                one needs more concrete of its own.

        Returns:
            The distance (mm).
        """
        return max(self.spacing_mm * (1.0 + depth_ratio) / 2.0, self.blow_out_mm)

    def at_edge_mm(self, depth_ratio: float) -> float | None:
        """The distance of edge failure where it reaches farther; None where it does not (mm). EN 1992-4:2018, 7.2.2.

        Args:
            depth_ratio: Depth of the deepest neighbour that is reckoned with by ours, at least 1 (no unit).

        Returns:
            The distance (mm).
        """
        return self.edge_mm if self.edge_mm > self.around_mm(depth_ratio) else None


def neighbour_reach(fixing: Fixing, results: Sequence[CaseResult]) -> NeighbourReach:
    """How far others have to be: s_cr,N, s_cr,Np, s_cr,sp, 4·c_1 and 3·c_1 of the checks that were made.

    EN 1992-4:2018, 7.2.1 and 7.2.2.

    Args:
        fixing: The fixing.
        results: Its load cases.

    Returns:
        The distances (mm).
    """
    checks = [check for result in results for check in result.checks]
    grid = recognise_grid(fixing.positions)
    sheared = _checked_edges_mm(fixing, grid, checks)
    if sheared:
        # Whether it governs alone or not: what pushes along with ours may make it govern.
        sheared |= dict.fromkeys(open_ends(fixing.member), (math.inf,))
    reaches = (
        reach_of_others_mm(fixing, fixing.positions, edge, c1) for edge, found in sheared.items() for c1 in found
    )
    blown = [c1 for check in checks if check.mode is Mode.BLOW_OUT for c1 in _row_mm(fixing, grid, check)]
    return NeighbourReach(
        max(_spacings(fixing, {check.mode for check in checks}), default=0.0),
        max((4.0 * c1 for c1 in blown), default=0.0),
        max(reaches, default=0.0),
    )


def _checked_edges_mm(fixing: Fixing, grid: Grid | None, checks: Sequence[Check]) -> dict[int, tuple[float, ...]]:
    """c_1 of each fastener of the row at the edges that were checked in shear, by their index (mm)."""
    sheared = [check for check in checks if check.mode is Mode.CONCRETE_EDGE and check.edge is not None]
    return {EDGE_NAMES.index(str(check.edge)): _row_mm(fixing, grid, check) for check in sheared}


def _spacings(fixing: Fixing, modes: Set[Mode]) -> Iterator[float]:
    """Characteristic spacings of the modes that were checked (mm); that of bond is largest where nothing is sustained.

    Yields:
        The spacings.
    """
    if modes & {Mode.CONCRETE_CONE, Mode.PRY_OUT}:
        yield fixing.fastener.cone.cone_spacing_mm
    if Mode.CONCRETE_CONE in modes and _may_split(fixing):
        yield fixing.fastener.cone.splitting_spacing_mm
    if modes & {Mode.BOND, Mode.PRY_OUT} and fixing.fastener.assessed_bond is not None:
        yield bond.spacing_of(fixing, 0.0)


def _may_split(fixing: Fixing) -> bool:
    """Whether splitting is asked for as soon as a neighbour, which may stand nearer to an edge, makes a group."""
    cone, member = fixing.fastener.cone, fixing.member
    nearest = min(member.nearest_mm(fixing.positions)) - cone.splitting_spacing_mm
    thickness_min, count = fixing.fastener.member_thickness_min_mm, len(fixing.positions) + 1
    return not splitting.may_be_left_out(member, cone, nearest, count, thickness_min)


def _row_mm(fixing: Fixing, grid: Grid | None, check: Check) -> tuple[float, ...]:
    """Distance of each fastener of the row of a check to its edge (mm)."""
    if check.edge is None:
        return ()
    edge = EDGE_NAMES.index(check.edge)
    row = range(len(fixing.positions)) if grid is None else grid.front_row(edge)
    distances = fixing.member.distances_mm([fixing.positions[i] for i in row], edge)
    return tuple(distance for distance in distances if math.isfinite(distance))
