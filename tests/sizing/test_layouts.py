"""Grids of a pattern, and the regions they must stay in."""

from typing import Any

import pytest

from service.contract import wanted
from service.contract.wanted import Position
from service.sizing.layouts import Rectangle, fixture_region, layouts, member_region
from service.verification.refusal import RefusedRequest

FIXTURE = {"width_mm": 220, "depth_mm": 120}


def sizing(**parts: Any) -> wanted.Sizing:
    return wanted.made(wanted.Sizing, pattern({"counts": [1]}, {"counts": [1]}) | parts)


def pattern(x: dict[str, Any], y: dict[str, Any], **fixture: Any) -> dict[str, Any]:
    return {
        "assessed_on": "2026-11-25",
        "pattern": {"x": x, "y": y},
        "fixture": FIXTURE | fixture,
        "member": {"thickness_mm": 200},
        "load_cases": [{"name": "pull"}],
    }


def test_every_count_with_every_spacing_is_a_grid_and_a_single_row_needs_none() -> None:
    axis = {"counts": [1, 2], "spacings_mm": [100, 150]}
    found = layouts(sizing(**pattern(axis, axis)), 1)
    assert len(found) == 3 * 3
    assert sorted(len(layout) for layout in found) == [1, 2, 2, 2, 2, 4, 4, 4, 4]
    assert len(set(found)) == 9


def test_a_single_fastener_stands_at_the_centre_of_the_fixture() -> None:
    request = pattern({"counts": [1]}, {"counts": [1]}, centre={"x_mm": 30, "y_mm": -20})
    assert layouts(sizing(**request), 1) == ((Position(30, -20),),)


def test_rows_lie_evenly_about_the_centre() -> None:
    request = pattern({"counts": [3], "spacings_mm": [80]}, {"counts": [1]}, centre={"x_mm": 10})
    assert layouts(sizing(**request), 1) == ((Position(-70, 0), Position(10, 0), Position(90, 0)),)


def test_given_positions_are_the_only_layout() -> None:
    request = {"pattern": None, "positions": [{"x_mm": 1, "y_mm": 2}, {"x_mm": 3, "y_mm": 4}]}
    assert layouts(sizing(**request), 1) == ((Position(1, 2), Position(3, 4)),)


@pytest.mark.parametrize(("rows", "cases", "most"), [(20, 1, 400), (3, 28, 14)])
def test_a_pattern_too_large_to_search_is_refused(rows: int, cases: int, most: int) -> None:
    axis = {"counts": [1, 2], "spacings_mm": list(range(50, 50 + rows))}
    request = pattern(axis, axis) | {"load_cases": [{"name": str(case)} for case in range(cases)]}
    words = rf"#/pattern: gives {(rows + 1) ** 2} grids; with {cases} load cases at most {most} are searched"
    with pytest.raises(RefusedRequest, match=words) as refused:
        layouts(sizing(**request), cases)
    [error] = refused.value.errors
    assert (error.pointer, error.code) == ("#/pattern", "too_many_grids")
    assert error.figures == {"came_to": (rows + 1) ** 2, "most": most}


def test_the_plate_lies_about_its_centre() -> None:
    region = fixture_region(sizing(fixture=FIXTURE | {"centre": {"x_mm": 10, "y_mm": 5}}).fixture)
    assert region == Rectangle(-100, 120, -55, 65)


def test_an_edge_that_is_not_given_is_out_of_reach() -> None:
    region = member_region(wanted.Member(200, edges=wanted.Edges(x_plus_mm=200)))
    assert region.clearance_mm((Position(-5000, 5000),)) == 5200
    assert region.clearance_mm((Position(150, 0), Position(190, 0))) == 10
    assert region.clearance_mm((Position(230, 0),)) == -30


def test_without_edges_nothing_bounds_the_member() -> None:
    assert member_region(wanted.Member(200)).clearance_mm((Position(0, 0),)) == float("inf")
