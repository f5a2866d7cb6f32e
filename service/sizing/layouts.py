"""Where the fasteners may stand: given positions, or every grid of a pattern centred on the fixture."""

import math
from dataclasses import dataclass, replace
from itertools import product

from service.contract import wanted
from service.contract.terms import MAX_GRID_CASES
from service.contract.wanted import Position
from service.verification.refusal import Refusal, RefusedRequest

# Each grid is verified with every fastener of the rulebook and every load case: what one answer may cost.


Layout = tuple[Position, ...]


@dataclass(frozen=True)
class Rectangle:
    """A region of the surface, from its lower to its upper bound each way (mm)."""

    x_min_mm: float
    x_max_mm: float
    y_min_mm: float
    y_max_mm: float

    def clearance_mm(self, layout: Layout) -> float:
        """Measure how far inside the region the outermost position lies.

        Args:
            layout: The positions.

        Returns:
            The smallest distance to a bound (mm), negative outside, infinite where nothing bounds.
        """
        return min(
            min(p.x_mm - self.x_min_mm, self.x_max_mm - p.x_mm, p.y_mm - self.y_min_mm, self.y_max_mm - p.y_mm)
            for p in layout
        )


def member_region(member: wanted.Member) -> Rectangle:
    """Read the surface of the member; an edge that is not given is out of reach.

    Args:
        member: The member of the request.

    Returns:
        The region, infinite where there is no edge.
    """
    x_minus, x_plus, y_minus, y_plus = (math.inf if edge is None else edge for edge in member.edges.all_mm)
    return Rectangle(-x_minus, x_plus, -y_minus, y_plus)


def fixture_region(fixture: wanted.Fixture) -> Rectangle:
    """Read the outline of the fixture.

    Args:
        fixture: The fixture of the request.

    Returns:
        The rectangle of the plate.
    """
    return Rectangle(*fixture.outline_mm)


def layouts(sizing: wanted.Sizing, cases: int) -> tuple[Layout, ...]:
    """List the layouts that a sizing request leaves open.

    Args:
        sizing: The sizing, with either `positions` or `pattern`.
        cases: How many load cases, or combinations of actions, each layout is verified under.

    Returns:
        The given positions as the only layout, or each grid of the pattern once.

    Raises:
        RefusedRequest: The pattern gives more grids than a search should go through.
    """
    if sizing.pattern is None:
        return (sizing.positions or (),)
    grids = _grids(sizing.pattern, sizing.fixture.centre)
    if len(grids) * cases > MAX_GRID_CASES:
        most = MAX_GRID_CASES // cases
        detail = (
            f"gives {len(grids)} grids; with {cases} {_called(sizing)} at most {most} are searched: "
            f"list fewer counts, spacings or {_called(sizing)}"
        )
        raise RefusedRequest(Refusal("#/pattern", "too_many_grids", detail, {"came_to": len(grids), "most": most}))
    return grids


def _called(sizing: wanted.Sizing) -> str:
    return "combinations of actions" if sizing.actions else "load cases"


def larger_grids(sizing: wanted.Sizing, most_rows: int) -> tuple[Layout, ...]:
    """List the grids that one more row along an axis would add to the pattern.

    Args:
        sizing: The sizing.
        most_rows: How many rows an axis may have at most.

    Returns:
        The added grids, fewest fasteners first; none where the holes are fixed or no spacing is given.
    """
    pattern, centre = sizing.pattern, sizing.fixture.centre
    if pattern is None:
        return ()
    wider = wanted.Pattern(_with_one_more(pattern.x, most_rows), _with_one_more(pattern.y, most_rows))
    known = set(_grids(pattern, centre))
    return tuple(sorted((grid for grid in _grids(wider, centre) if grid not in known), key=len))


def _with_one_more(axis: wanted.PatternAxis, most_rows: int) -> wanted.PatternAxis:
    rows = max(axis.counts) + 1
    return replace(axis, counts=(*axis.counts, rows)) if rows <= most_rows and axis.spacings_mm else axis


def _grids(pattern: wanted.Pattern, centre: wanted.Centre) -> tuple[Layout, ...]:
    x_rows, y_rows = _row_options(pattern.x), _row_options(pattern.y)
    return tuple(
        tuple(Position(centre.x_mm + x_mm, centre.y_mm + y_mm) for y_mm, x_mm in product(y_row, x_row))
        for x_row, y_row in product(x_rows, y_rows)
    )


def _row_options(axis: wanted.PatternAxis) -> tuple[tuple[float, ...], ...]:
    single = ((0.0,),) if 1 in axis.counts else ()
    several = sorted(count for count in axis.counts if count > 1)
    spacings_mm = sorted(axis.spacings_mm)
    return single + tuple(_row(count, spacing_mm) for count in several for spacing_mm in spacings_mm)


def _row(count: int, spacing_mm: float) -> tuple[float, ...]:
    return tuple((i - (count - 1) / 2) * spacing_mm for i in range(count))
