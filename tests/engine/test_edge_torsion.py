"""What an edge feels of torsion. Source: statics, by hand, with the readings of the design notes (from memory)."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import pytest

from service.engine.codes import Mode
from service.engine.verification import verify
from tests.engine.fixings import INF, bolt, fixing, load_case

if TYPE_CHECKING:
    from collections.abc import Sequence

    from service.engine.model import Point
    from service.engine.results import Check

RECTANGLE = tuple((x, y) for y in (-80.0, 80.0) for x in (-100.0, 100.0))


def on_top_edge(
    points: Sequence[Point], c_mm: float, shear_n: Point = (0.0, 0.0), torsion_nmm: float = 0.0, x_plus_mm: float = INF
) -> Check:
    """The check of the edge y_plus, at c_mm from the row of largest y."""
    edges = (INF, x_plus_mm, INF, max(y for _, y in points) + c_mm)
    actions = load_case(shear_n=shear_n, torsion_nmm=torsion_nmm)
    (case,) = verify(fixing(bolt(16.0, 85.0), points, actions, edges_mm=edges), want_trace=True)
    (check,) = [c for c in case.checks if c.mode is Mode.CONCRETE_EDGE and c.edge == "y_plus"]
    return check


def worked(check: Check) -> dict[str, float]:
    return {entry.symbol: entry.value for entry in check.trace}


def test_torsion_alone_is_no_milder_than_torsion_beside_a_newton_of_shear() -> None:
    # By hand, near the edge: the couple of the row, 2·9e6/(3·140) = 42 857 N.
    alone = on_top_edge(RECTANGLE, 140.0, torsion_nmm=9e6)
    assert alone.action_n == pytest.approx(42_857.14, rel=1e-6)
    for shear in ((0.0, 1.0), (1.0, 0.0), (0.0, -1.0), (-1.0, 0.0)):
        assert on_top_edge(RECTANGLE, 140.0, shear, 9e6).utilisation == pytest.approx(alone.utilisation, rel=2e-4)


def test_far_from_the_edge_the_elastic_forces_govern() -> None:
    # By hand: Σr² = 65 600 mm², 9e6/65 600 = 137.195 N/mm. Towards the edge 13 719.5 N of each of the two at +100;
    # along it 80·137.195·2 = 21 951 N of the row; couple of both pushes 2·13 719.5·100 Nmm.
    push, along = 2 * 13_719.512, 21_951.22
    wanted = math.hypot(push, along / 2) + 2 * push * 100 / (3 * 600.0)
    assert wanted > 2 * 9e6 / (3 * 600.0)
    assert on_top_edge(RECTANGLE, 600.0, torsion_nmm=9e6).action_n == pytest.approx(wanted, rel=1e-6)


def test_a_row_adds_at_most_the_forces_by_which_it_holds_the_torsion() -> None:
    # By hand: two fasteners 200 apart hold 9 kNm by 45 kN each; at 50 mm the couple alone would add 2·9e6/150 = 120 kN.
    check = on_top_edge(RECTANGLE, 50.0, torsion_nmm=9e6)
    assert check.action_n is not None
    assert check.action_n * 2 / len(check.fasteners) == pytest.approx(90_000.0, rel=1e-6)


def test_a_part_of_a_row_at_a_corner_takes_its_own_push() -> None:
    # By hand: 200 apart is more than 3·50 mm, so the fastener at the corner holds its 9 kNm/200 mm = 45 kN alone.
    check = on_top_edge(RECTANGLE, 50.0, torsion_nmm=9e6, x_plus_mm=130.0)
    assert check.fasteners == (3,)
    assert check.action_n == pytest.approx(45_000.0, rel=1e-6)


def test_a_pull_away_from_the_edge_does_not_relieve_it() -> None:
    alone = on_top_edge(RECTANGLE, 140.0, torsion_nmm=9e6)
    pulled = on_top_edge(RECTANGLE, 140.0, (0.0, -50_000.0), 9e6)
    assert pulled.utilisation == pytest.approx(alone.utilisation)


def test_one_fastener_in_the_row_has_no_couple() -> None:
    # By hand: the pair stands one behind the other 160 apart, so torsion pushes along the edge alone: 4.8e6/160 N.
    check = on_top_edge([(0.0, -80.0), (0.0, 80.0)], 140.0, torsion_nmm=4.8e6)
    assert check.action_n == pytest.approx(30_000.0)
    assert {"V_towards": 0.0, "V_along": 30_000.0, "psi_alpha,V": 2.0}.items() <= worked(check).items()
