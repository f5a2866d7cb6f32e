"""Rules that decide in few fixings. Source: the design notes on EN 1992-4 (from memory), by hand."""

from __future__ import annotations

import dataclasses

import pytest

from service.engine.codes import Mode, Note
from service.engine.model import Bond, Clearance
from service.engine.verification import verify
from tests.engine.fixings import FLUSH, bolt, fixing, load_case

PAIR = ((-100.0, 0.0), (100.0, 0.0))


def test_mean_spacing_of_bonded_fasteners_in_no_grid() -> None:
    # By hand: to its nearest neighbour 100, 100 and 150 mm; the largest counts.
    rod = dataclasses.replace(bolt(12.0, 110.0), pull_out=None, assessed_bond=Bond(8.0, 1.0, 10.0, None))
    pulled = fixing(rod, [(0.0, 0.0), (100.0, 0.0), (0.0, 150.0)], load_case(9000.0))
    (case,) = verify(pulled, want_trace=True)
    bond = next(check for check in case.checks if check.mode is Mode.BOND)
    assert {entry.symbol: entry.value for entry in bond.trace}["s"] == 150.0
    assert Note.ARRANGEMENT_NOT_DRAWN in case.notes


@pytest.mark.parametrize(
    ("points", "clearance", "said"),
    [(PAIR, "oversize", True), (PAIR, "normal", False), (PAIR[:1], "oversize", False)],
)
def test_one_fastener_takes_the_shear_in_oversize_holes(
    points: tuple[tuple[float, float], ...], clearance: Clearance, said: bool
) -> None:
    x = sum(point[0] for point in points) / len(points)
    plate = dataclasses.replace(FLUSH, clearance=clearance)
    sheared = fixing(bolt(12.0, 70.0), points, load_case(shear_n=(0.0, 5000.0), torsion_nmm=x * 5000.0), fixture=plate)
    (case,) = verify(sheared, want_trace=False)
    assert (Note.ONE_FASTENER_TAKES_SHEAR in case.notes) == said
    assert case.forces is not None
    share = 5000.0 if said else 5000.0 / len(points)
    assert case.forces.shear_n == ((0.0, share),) * len(points)


def test_what_rounding_leaves_of_a_torsion_turns_nothing() -> None:
    # 0.1 is no binary number: the torsion of shear through the centre, worked out in floats, leaves a remainder.
    shear_x, shear_y = 1234.5, 678.9
    points = [(1000.1, 77.7), (1100.3, 77.7)]
    x, y = (1000.1 + 1100.3) / 2.0, 77.7
    torsion = x * shear_y - y * shear_x + 1e-9
    (case,) = verify(fixing(bolt(12.0, 70.0), points, load_case(shear_n=(shear_x, shear_y), torsion_nmm=torsion)),
                     want_trace=False)  # fmt: skip
    assert case.forces is not None
    assert case.forces.shear_n == ((shear_x / 2, shear_y / 2),) * 2
