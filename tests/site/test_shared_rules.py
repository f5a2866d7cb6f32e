"""Rules that a sheet and an as-built check share."""

from __future__ import annotations

import pytest

from service.contract import wanted
from service.site.holes.depth_windows import hole_depth_window, set_depth_window, tolerances_of
from service.verification.aborted_hole import least_distance
from service.verification.hole_depth import hole_leaves_member, least_behind_mm, needed_hole_mm, tip_mm
from service.verification.selection import select
from tests.shipped import shipped_shelf
from tests.site.sheet_cases import REQUESTS, book


@pytest.mark.parametrize(
    ("diameter", "depth", "filled", "least", "factor"),
    [
        (12, 60, False, 120, "depth_factor"),
        (12, 5, False, 24, "hole_diameter_factor"),
        (12, 60, True, 24, "hole_diameter_factor"),
    ],
)
def test_the_larger_distance_to_an_aborted_hole_counts(
    diameter: float, depth: float, filled: bool, least: float, factor: str
) -> None:
    """Common practice, no source: twice the depth, and never less than twice the diameter."""
    found = least_distance(book(), diameter, depth, filled=filled)
    assert (found.distance_mm, found.rule) == (least, f"factors/installation#/aborted_hole/{factor}")


def test_what_the_assessment_leaves_behind_its_own_hole_has_to_be_left() -> None:
    """M12 at 75 mm in the family's file: h_min 120 mm, h_1 97 mm; from memory that assessments mean this by h_min."""
    row = book().families["bolt-expansion-zinc"]["sizes"]["M12"]["embedments"]["75"]
    assert least_behind_mm(row) == 23
    assert hole_leaves_member(row, 120, 97)
    assert not hole_leaves_member(row, 120, 97.1)
    assert hole_leaves_member(row, 200, 177)
    assert not hole_leaves_member(row, 200, 200)


def test_nothing_is_drilled_for_a_stud() -> None:
    row = next(iter(book().families["headed-stud"]["sizes"]["19"]["embedments"].values()))
    assert least_behind_mm(row) is None
    assert hole_leaves_member(row, 100, 100)


@pytest.mark.parametrize(
    ("length", "fixture", "tip", "hole"), [(75, 8, 67, 75), (75, 25, 50, 58), (75, 30, 50, 58), (75, None, 50, 58)]
)
def test_a_screw_under_its_head_needs_a_deeper_hole_below_a_thin_fixture(
    length: float, fixture: float | None, tip: float, hole: float
) -> None:
    """The family's file: size 6 reaches 50 mm in a hole of 58 mm; 75 mm under the head less 8 mm reach 67 mm."""
    row = book().families["screw-zinc"]["sizes"]["6"]["embedments"]["41"]
    form = book().families["screw-zinc"]["form"]
    assert tip_mm(form, row, length, fixture) == tip
    assert needed_hole_mm(form, row, length, fixture) == hole
    assert needed_hole_mm("through_bolt", row, length, fixture) == 58


def test_nothing_is_needed_where_nothing_is_drilled() -> None:
    row = next(iter(book().families["headed-stud"]["sizes"]["19"]["embedments"].values()))
    assert needed_hole_mm("welded_headed_stud", row, 110, 25) is None


def fastener(name: str) -> wanted.PulledFastener:
    return wanted.made(wanted.PulledFastener, REQUESTS[name]["fastener"])


def window(name: str, length: float | None, clamped: float, member: float) -> tuple[object, object]:
    selection = select(fastener(name), book())
    return (
        hole_depth_window(book(), selection, length, clamped, member),
        set_depth_window(book(), selection, length, clamped, member),
    )


@pytest.mark.parametrize(
    ("name", "length", "clamped", "member", "hole", "depth"),
    [
        ("guardrail", 120, 10, 250, (97, 99), (87, 90)),
        ("guardrail", 120, 10, 121, (97, 98), (87, 90)),  # h_min 120 mm
        ("guardrail", 120, 10, 120, (97, 97), (87, 90)),
        ("resin", 195, 20, 400, (148, 150), (148, 150)),  # no rod deeper than its hole
        ("resin", 195, 20, 185, (148, 148), (148, 148)),  # h_min 185 mm
        ("drop-ins overhead", 42, 6, 200, (46, 48), (42, 42)),
        ("undercut in a corner", 185, 20, 300, (152, 154), (138, 141)),
        ("screw near a corner", 100, 10, 250, (98, 100), (90, 90)),  # the head decides
        ("studs", 166, 25, 600, None, None),
    ],
)
def test_between_which_depths_it_is_drilled_and_set(
    name: str, length: float, clamped: float, member: float, hole: object, depth: object
) -> None:
    """Depths in the families' files; 2 mm for holes, 3 mm for what is set: common practice, no source."""
    found = window(name, length, clamped, member)
    if name == "studs":
        row = select(fastener(name), book()).row
        assert row is not None
        depth = (row["depth"]["nominal_mm"],) * 2
    assert found == (hole, depth)


def test_a_release_without_tolerances_has_none() -> None:
    old = shipped_shelf().book("2026.1.0")
    assert tolerances_of(old) == type(tolerances_of(old))(0, 0, 0, 0)
    selection = select(fastener("guardrail"), old)
    assert hole_depth_window(old, selection, 120, 10, 250) == (97, 97)
    assert set_depth_window(old, selection, 120, 10, 250) == (87, 87)
