"""Far apart equals alone. Source: the definition of a group in EN 1992-4:2018 (from memory), and areas by hand.

What a fastener far from the others gets is what it gets alone under its own force. Left out, because the standard
asks for the whole fixing there: k7 of steel in shear, the waiver of splitting at 1.2·c_cr,sp, the interaction of the
worst in tension with the worst in shear, and a row in shear at an edge, which is checked whole as well.
"""

from __future__ import annotations

import dataclasses

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.engine.codes import Mode
from service.engine.model import Bond, Fastener
from service.engine.verification import verify
from tests.engine.fixings import FLUSH, INF, bolt, fixing, load_case
from tests.property.variations import PROPERTY

ALIKE = (Mode.CONCRETE_CONE, Mode.PULL_OUT, Mode.BOND, Mode.BLOW_OUT, Mode.PRY_OUT)
SMALL = dataclasses.replace(FLUSH, width_mm=60.0, depth_mm=60.0)
STAND_OFF = dataclasses.replace(FLUSH, width_mm=1e5, depth_mm=1e5, stand_off_mm=30.0, thickness_mm=10.0)


def bonded() -> Fastener:
    bond = Bond(8.0, 1.0, 10.0, None)
    return dataclasses.replace(bolt(12.0, 110.0), mechanism="bonded", pull_out=None, assessed_bond=bond)


def headed() -> Fastener:
    return dataclasses.replace(bolt(16.0, 200.0), mechanism="headed_fastener", head_diameter_mm=30.0, pull_out=None)


FASTENERS = {"bolt": bolt(12.0, 70.0), "bonded": bonded(), "headed": headed()}


def worst(checks: dict[int, dict[Mode, float]], mode: Mode) -> float:
    return max(found.get(mode, 0.0) for found in checks.values())


@PROPERTY
@given(
    name=st.sampled_from(sorted(FASTENERS)),
    shape=st.sampled_from([(2, 2), (3, 2), (2, 3)]),
    more=st.floats(0.0, 400.0),
    near=st.sampled_from([90.0, 250.0, INF]),
    loads=st.tuples(*[st.floats(-4e3, 4e3)] * 2, *[st.floats(-1e6, 1e6)] * 3),
)
def test_far_apart_equals_alone(
    name: str, shape: tuple[int, int], more: float, near: float, loads: tuple[float, float, float, float, float]
) -> None:
    fastener = FASTENERS[name]
    step = 4.0 * fastener.embedment_mm + more
    middle_x, middle_y = (step * (count - 1) / 2 for count in shape)
    points = [(i * step - middle_x, j * step - middle_y) for i in range(shape[0]) for j in range(shape[1])]
    edges = (near + middle_x, INF, INF, INF)
    shear_x, shear_y, moment_x, moment_y, torsion = loads
    actions = load_case(30e3 * len(points), (shear_x, shear_y), (moment_x, moment_y), torsion)
    (case,) = verify(fixing(fastener, points, actions, edges_mm=edges, fixture=STAND_OFF), want_trace=False)
    assert case.forces is not None
    alone: dict[int, dict[Mode, float]] = {}
    for i, (x, _) in enumerate(points):
        at_it = load_case(case.forces.tension_n[i], case.forces.shear_n[i])
        west = (near + middle_x + x, INF, INF, INF)
        # Bending of a stand-off is no axial force of a single fastener; a fixture on the concrete leaves it out.
        (own,) = verify(fixing(fastener, [(0.0, 0.0)], at_it, edges_mm=west, fixture=SMALL), want_trace=False)
        alone[i] = {check.mode: check.utilisation for check in own.checks}
    together = {check.mode: check.utilisation for check in case.checks}
    for mode in ALIKE:
        if mode in together or worst(alone, mode):
            assert together.get(mode, 0.0) == pytest.approx(worst(alone, mode), rel=1e-9), mode
    # A group is checked in splitting where one of it is near an edge, alone each fastener may be waived.
    assert together.get(Mode.SPLITTING, 0.0) >= worst(alone, Mode.SPLITTING) * (1 - 1e-9)
