"""A fixing is the same however it is looked at. No source: a matter of geometry."""

from __future__ import annotations

import json
import random
from typing import TYPE_CHECKING

import pytest
from hypothesis import given

from tests.property.variations import PROPERTY, ROUNDED, SEEDS, Request, changed, check, fixing, utilisations

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping


MIRRORED = {"x_minus": "x_plus", "x_plus": "x_minus", "y_minus": "y_minus", "y_plus": "y_plus"}
TURNED = {"x_minus": "y_minus", "x_plus": "y_plus", "y_minus": "x_plus", "y_plus": "x_minus"}
NUMBERED = {edge: edge for edge in MIRRORED}
RENUMBERING = 12


def moved(request: Request, edges: Mapping[str, str], move: Callable[[float, float], tuple[float, float]]) -> None:
    """Move places and edges; `move` takes x and y."""
    places = [*request["positions"], *(request["fixture"][name] for name in ("centre",) if name in request["fixture"])]
    for place in places:
        place["x_mm"], place["y_mm"] = move(place["x_mm"], place["y_mm"])
    old = request["member"]["edges"]
    request["member"]["edges"] = {f"{edges[name]}_mm": old[f"{name}_mm"] for name in edges}


def mirror(request: Request) -> None:
    """Turn x into -x; moments and torsion are axial vectors."""
    moved(request, MIRRORED, lambda x, y: (-x, y))
    for case in request["load_cases"]:
        for name in ("shear_x_kn", "moment_y_knm", "torsion_knm"):
            case[name] = -case.get(name, 0.0)


def turn(request: Request) -> None:
    """A quarter turn: x becomes -y, y becomes x."""
    moved(request, TURNED, lambda x, y: (-y, x))
    fixture = request["fixture"]
    fixture["width_mm"], fixture["depth_mm"] = fixture["depth_mm"], fixture["width_mm"]
    for case in request["load_cases"]:
        for x, y in (("shear_x_kn", "shear_y_kn"), ("moment_x_knm", "moment_y_knm")):
            case[x], case[y] = -case.get(y, 0.0), case.get(x, 0.0)


def renumber(request: Request) -> None:
    """The same places in another order."""
    random.Random(RENUMBERING).shuffle(request["positions"])  # noqa: S311 (no secret is made of it)


@pytest.mark.parametrize(
    ("change", "edges"), [(mirror, MIRRORED), (turn, TURNED), (renumber, NUMBERED)], ids=["mirror", "turn", "renumber"]
)
@PROPERTY
@given(seed=SEEDS)
def test_view_changes_no_utilisation(change: Callable[[Request], None], edges: Mapping[str, str], seed: int) -> None:
    request = fixing(seed)
    answer, other = check(request), check(changed(request, change))
    assert other["verdict"] == answer["verdict"]
    expected = {(case, mode, edge and edges[edge]): u for (case, mode, edge), u in utilisations(answer).items()}
    assert utilisations(other) == pytest.approx(expected, rel=ROUNDED, abs=1e-6)


@PROPERTY
@given(seed=SEEDS)
def test_repeated_request_gives_the_same_answer(seed: int) -> None:
    request = changed(fixing(seed), lambda r: r.update(detail="full"))
    first, second = check(request), check(changed(request, dict))
    assert json.dumps(second) == json.dumps(first)  # order of fields and every digit
    assert first["record"]["id"].startswith("sha256:")
