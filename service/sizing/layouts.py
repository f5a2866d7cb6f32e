"""Where the fasteners may stand: given positions, or every grid of a pattern centred on the fixture."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import combinations, product
from typing import Any, NamedTuple

from service.contract.terms import MAX_GRID_CASES
from service.verification.refusal import Refusal, RefusedRequest

# Each grid is verified with every fastener of the rulebook and every load case: what one answer may cost.


class Position(NamedTuple):
    """One fastener in the surface of the member (mm)."""

    x_mm: float
    y_mm: float


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


def smallest_spacing_mm(layout: Layout) -> float:
    """Measure how close the fasteners of a layout stand.

    Args:
        layout: The positions.

    Returns:
        The smallest centre distance of two fasteners (mm), infinite for a single one.
    """
    return min((math.dist(a, b) for a, b in combinations(layout, 2)), default=math.inf)


def member_region(request: Mapping[str, Any]) -> Rectangle:
    """Read the surface of the member; an edge that is not given is out of reach.

    Args:
        request: The sizing request.

    Returns:
        The region, infinite where there is no edge.
    """
    edges = request["member"].get("edges") or {}

    def distance(name: str) -> float:
        given = edges.get(name)
        return math.inf if given is None else float(given)

    return Rectangle(-distance("x_minus_mm"), distance("x_plus_mm"), -distance("y_minus_mm"), distance("y_plus_mm"))


def fixture_region(request: Mapping[str, Any]) -> Rectangle:
    """Read the outline of the fixture.

    Args:
        request: The sizing request.

    Returns:
        The rectangle of the plate.
    """
    x_mm, y_mm = _fixture_centre(request)
    half_width_mm = request["fixture"]["width_mm"] / 2
    half_depth_mm = request["fixture"]["depth_mm"] / 2
    return Rectangle(x_mm - half_width_mm, x_mm + half_width_mm, y_mm - half_depth_mm, y_mm + half_depth_mm)


def layouts(request: Mapping[str, Any]) -> tuple[Layout, ...]:
    """List the layouts that a sizing request leaves open.

    Args:
        request: The sizing request with either `positions` or `pattern`.

    Returns:
        The given positions as the only layout, or each grid of the pattern once.

    Raises:
        RefusedRequest: The pattern gives more grids than a search should go through.
    """
    pattern = request.get("pattern")
    if pattern is None:
        return (tuple(Position(p["x_mm"], p["y_mm"]) for p in request["positions"]),)
    grids = _grids(pattern, _fixture_centre(request))
    cases = len(request["load_cases"])
    if len(grids) * cases > MAX_GRID_CASES:
        detail = (
            f"gives {len(grids)} grids; with {cases} load cases at most {MAX_GRID_CASES // cases} are searched: "
            "list fewer counts, spacings or load cases"
        )
        raise RefusedRequest(Refusal("#/pattern", "too_many", detail))
    return grids


def larger_grids(request: Mapping[str, Any], most_rows: int) -> tuple[Layout, ...]:
    """List the grids that one more row along an axis would add to the pattern.

    Args:
        request: The sizing request.
        most_rows: How many rows an axis may have at most.

    Returns:
        The added grids, fewest fasteners first; none where the holes are fixed or no spacing is given.
    """
    pattern = request.get("pattern")
    if pattern is None:
        return ()
    wider = {
        axis: {**given, "counts": [*given["counts"], *_one_more(given, most_rows)]}
        for axis, given in ((axis, pattern[axis]) for axis in ("x", "y"))
    }
    centre = _fixture_centre(request)
    known = set(_grids(pattern, centre))
    return tuple(sorted((grid for grid in _grids(wider, centre) if grid not in known), key=len))


def _one_more(axis: Mapping[str, Any], most_rows: int) -> tuple[int, ...]:
    rows = max(axis["counts"]) + 1
    return (rows,) if rows <= most_rows and axis.get("spacings_mm") else ()


def _grids(pattern: Mapping[str, Any], centre: tuple[float, float]) -> tuple[Layout, ...]:
    x_rows, y_rows = (_row_options(pattern[axis]) for axis in ("x", "y"))
    return tuple(
        tuple(Position(centre[0] + x_mm, centre[1] + y_mm) for y_mm, x_mm in product(y_row, x_row))
        for x_row, y_row in product(x_rows, y_rows)
    )


def _row_options(axis: Mapping[str, Any]) -> tuple[tuple[float, ...], ...]:
    single = ((0.0,),) if 1 in axis["counts"] else ()
    several = sorted(count for count in axis["counts"] if count > 1)
    spacings_mm = sorted(axis["spacings_mm"]) if several else []
    return single + tuple(_row(count, spacing_mm) for count in several for spacing_mm in spacings_mm)


def _row(count: int, spacing_mm: float) -> tuple[float, ...]:
    return tuple((i - (count - 1) / 2) * spacing_mm for i in range(count))


def _fixture_centre(request: Mapping[str, Any]) -> tuple[float, float]:
    centre = request["fixture"].get("centre") or {}
    return float(centre.get("x_mm") or 0), float(centre.get("y_mm") or 0)
