"""Which edges count, and what grout does. Source: the design notes on 7.2.1.4, 7.2.2.5 and 6.2.2.3 (from memory)."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from service.engine.codes import Mode
from service.engine.verification import verify
from tests.engine.fixings import FLUSH, INF, bolt, fixing, load_case

if TYPE_CHECKING:
    from service.engine.model import Fixing
    from service.engine.results import Check

PAIR = ((-40.0, 0.0), (40.0, 0.0))


def checks(given: Fixing, mode: Mode) -> list[Check]:
    (case,) = verify(given, want_trace=True)
    return [check for check in case.checks if check.mode is mode]


def psi_m(x_minus_mm: float) -> float:
    """psi_M of a pair of which a moment about y pulls the right fastener, far from the edge, and presses the left."""
    edges = (40.0 + x_minus_mm, INF, INF, INF)
    plate = replace(FLUSH, width_mm=140.0, depth_mm=140.0)
    bent = fixing(bolt(16.0, 100.0), PAIR, load_case(moment_nmm=(0.0, -2e6)), edges_mm=edges, fixture=plate)
    (cone,) = checks(bent, Mode.CONCRETE_CONE)
    assert cone.fasteners == (1,)
    return next(entry.value for entry in cone.trace if entry.symbol == "psi_M,N")


def test_pressure_gives_nothing_where_any_fastener_stands_near_an_edge() -> None:
    # By hand: 1.5·100 = 150 mm; the compressed fastener is the near one.
    assert psi_m(150.0) > 1.1
    assert psi_m(149.9) == 1.0


@pytest.mark.parametrize(("behind_mm", "edges"), [(720.0, {"x_plus", "x_minus"}), (720.1, set())])
def test_one_edge_in_reach_has_all_edges_checked(behind_mm: float, edges: set[str]) -> None:
    # By hand: max(10·70, 60·12) = 720 mm. The shear leaves the near edge and passes along none.
    away = fixing(bolt(12.0, 70.0), PAIR, load_case(shear_n=(5000.0, 0.0), torsion_nmm=1e5),
                  edges_mm=(40.0 + behind_mm, 1500.0, INF, INF))  # fmt: skip
    assert {check.edge for check in checks(away, Mode.CONCRETE_EDGE)} == edges


@pytest.mark.parametrize(
    ("grout_mm", "grout_mpa", "f_ck_mpa", "arm", "factor"),
    [
        (0.0, None, 40.0, False, False),
        (6.0, 40.0, 40.0, False, False),
        (6.0, 39.0, 40.0, True, False),
        (6.0, 29.0, 25.0, True, False),
        (6.1, 40.0, 40.0, False, True),
        (6.1, 39.0, 40.0, True, False),
        (40.0, 40.0, 40.0, False, True),
        (40.1, 40.0, 40.0, True, False),
    ],
)
def test_grout_without_a_lever_arm(
    grout_mm: float, grout_mpa: float | None, f_ck_mpa: float, arm: bool, factor: bool
) -> None:
    # Source: design notes: at least 30 MPa and the member's strength, thin (d/2) and thick (40 mm, 5·d) alike.
    plate = replace(FLUSH, grout_mm=grout_mm, grout_mpa=grout_mpa)
    wide = [(-60.0, 0.0), (60.0, 0.0)]
    given = fixing(bolt(12.0, 70.0), wide, load_case(shear_n=(5000.0, 0.0)), f_ck_mpa=f_ck_mpa, fixture=plate)
    assert bool(checks(given, Mode.STEEL_SHEAR_LEVER_ARM)) == arm
    (plain,) = checks(given, Mode.STEEL_SHEAR)
    assert ("t_grout" in {entry.symbol for entry in plain.trace}) == factor


@pytest.mark.parametrize(("most_mpa", "arm"), [(0.0, False), (40.0, False), (40.1, True), (math.inf, True)])
def test_concrete_that_may_be_stronger_than_the_grout_leaves_a_lever_arm(most_mpa: float, arm: bool) -> None:
    plate = replace(FLUSH, grout_mm=6.0, grout_mpa=40.0)
    given = fixing(bolt(12.0, 70.0), PAIR, load_case(shear_n=(5000.0, 0.0)), fixture=plate)
    given = replace(given, member=replace(given.member, f_ck_most_mpa=most_mpa))
    assert bool(checks(given, Mode.STEEL_SHEAR_LEVER_ARM)) == arm


@pytest.mark.parametrize(("grout_mm", "arm"), [(30.0, False), (30.1, True)])
def test_thick_grout_of_a_slender_fastener(grout_mm: float, arm: bool) -> None:
    # By hand: 5·6 = 30 mm, less than 40.
    plate = replace(FLUSH, grout_mm=grout_mm, grout_mpa=40.0)
    given = fixing(bolt(6.0, 50.0), [(-40.0, 0.0), (40.0, 0.0)], load_case(shear_n=(500.0, 0.0)), fixture=plate)
    assert bool(checks(given, Mode.STEEL_SHEAR_LEVER_ARM)) == arm


def test_weak_grout_bears_at_its_own_strength() -> None:
    # Source: EN 1992-1-1 Table 3.1: E_cm follows the strength, so the fixture on weaker grout is as on such concrete.
    def pulled(f_ck_mpa: float, grout_mpa: float) -> tuple[float, ...]:
        plate = replace(FLUSH, grout_mm=6.0, grout_mpa=grout_mpa)
        bent = fixing(bolt(12.0, 70.0), PAIR, load_case(moment_nmm=(0.0, -2e6)), f_ck_mpa=f_ck_mpa, fixture=plate)
        (case,) = verify(bent, want_trace=False)
        assert case.forces is not None
        return case.forces.tension_n

    assert pulled(50.0, 35.0) == pulled(35.0, 35.0) == pulled(35.0, 80.0)
    assert pulled(50.0, 35.0) != pulled(50.0, 50.0)
