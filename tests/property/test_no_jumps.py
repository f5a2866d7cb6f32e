"""A small action changes a utilisation by no more than it does alone, so that nothing jumps as actions grow or turn.

Source: each utilisation is a largest of norms of the actions (EN 1992-4:2018, 6.2.2.2 and 7.2.2, from memory); such a
one grows by at most what is added to it. The standard's own step is left out: pry-out turns to single fasteners where
a component of their forces changes sign.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from hypothesis import assume, example, given
from hypothesis import strategies as st

from tests.property.variations import EDGES, PROPERTY, ROUNDED, SEEDS, Request, changed, check, fixing, utilisations

if TYPE_CHECKING:
    from collections.abc import Mapping

Action = tuple[float, float, float]
"""Shear in x and y (kN) and torsion (kNm)."""
ANGLES = st.floats(0.0, 2.0 * math.pi)


def flush(seed: int) -> Request:
    """A random fixing flat on the concrete, every hole filled."""
    request = fixing(seed)
    request["fixture"] |= {"stand_off_mm": 0, "grout": {"thickness_mm": 0, "strength_mpa": None}, "clearance": "filled"}
    return request


def about_the_centre(request: Request, action: Action) -> dict[str, object]:
    """A load case whose shear passes through the middle of the fasteners."""
    places = request["positions"]
    x, y = (sum(p[axis] for p in places) / len(places) for axis in ("x_mm", "y_mm"))
    torsion = action[2] + (x * action[1] - y * action[0]) / 1e3
    return {"name": "turn", "shear_x_kn": action[0], "shear_y_kn": action[1], "torsion_knm": torsion}


def under(request: Request, action: Action, mode: str) -> dict[str | None, float]:
    """Utilisations of a mode by edge."""
    case = about_the_centre(request, action)
    found = utilisations(check(changed(request, lambda r: r.update(load_cases=[case]))))
    return {edge: used for (_, name, edge), used in found.items() if name == mode}


def assert_no_jump(request: Request, action: Action, step: Action, mode: str) -> None:
    """The step changes the mode by at most twice what the step does alone, whichever way it acts."""
    before = under(request, action, mode)
    after = under(request, (action[0] + step[0], action[1] + step[1], action[2] + step[2]), mode)
    alone = (under(request, step, mode), under(request, (-step[0], -step[1], -step[2]), mode))
    for edge in before.keys() | after.keys():
        most = 2.0 * sum(_of(part, edge) for part in alone)
        first, second = _of(before, edge), _of(after, edge)
        assert abs(second - first) <= most + ROUNDED * max(first, second), (edge, first, second, most)


def _of(found: Mapping[str | None, float], edge: str | None) -> float:
    return found.get(edge, 0.0)


@PROPERTY
@given(
    seed=SEEDS,
    shear=st.sampled_from([0.0, 0.001, 1.0, 20.0]),
    angle=ANGLES,
    torsion=st.floats(-5.0, 5.0),
    step=st.sampled_from([0.001, 0.1]),
    turn=ANGLES,
    twist=st.sampled_from([-0.0005, 0.0, 0.0005]),
)
@example(seed=3, shear=0.0, angle=0.0, torsion=5.0, step=0.001, turn=1.0, twist=0.0)
def test_edge(seed: int, shear: float, angle: float, torsion: float, step: float, turn: float, twist: float) -> None:
    request = flush(seed)
    assume(len(request["positions"]) > 1)
    assume(any(request["member"]["edges"][name] is not None for name in EDGES))
    action = (shear * math.cos(angle), shear * math.sin(angle), torsion)
    assert_no_jump(request, action, (step * math.cos(turn), step * math.sin(turn), twist), "concrete_edge")


def turns(request: Request, action: Action) -> bool:
    """Whether pry-out is verified by single fasteners, told from the elastic forces (statics)."""
    places = [(p["x_mm"], p["y_mm"]) for p in request["positions"]]
    n = len(places)
    x, y = (sum(p[axis] for p in places) / n for axis in (0, 1))
    per_arm = 1e3 * action[2] / sum((a - x) ** 2 + (b - y) ** 2 for a, b in places)
    forces = [(action[0] / n - per_arm * (b - y), action[1] / n + per_arm * (a - x)) for a, b in places]
    off = 1e3 * abs(action[2]) > 0.5 * math.hypot(action[0], action[1])
    told = 0.5 * abs(per_arm)
    return off and any(min(f[axis] for f in forces) < -told and max(f[axis] for f in forces) > told for axis in (0, 1))


@PROPERTY
@given(
    seed=SEEDS,
    shear=st.sampled_from([0.0, 0.001, 1.0, 20.0]),
    angle=ANGLES,
    torsion=st.floats(-5.0, 5.0),
    step=st.sampled_from([0.0001, 0.001, 0.1]),
    turn=ANGLES,
)
@example(seed=3, shear=0.0, angle=0.0, torsion=2.0, step=0.001, turn=0.8)
def test_pry_out_beside_torsion(
    seed: int, shear: float, angle: float, torsion: float, step: float, turn: float
) -> None:
    request = flush(seed)
    assume(len(request["positions"]) > 1)
    action = (shear * math.cos(angle), shear * math.sin(angle), torsion)
    small = (step * math.cos(turn), step * math.sin(turn), 0.0)
    assume(turns(request, action) == turns(request, (action[0] + small[0], action[1] + small[1], torsion)))
    assert_no_jump(request, action, small, "pry_out")
