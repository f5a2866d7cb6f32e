"""Fixings for the properties, and the changes that are made to them."""

from __future__ import annotations

import copy
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from hypothesis import settings
from hypothesis import strategies as st

from service.rulebook import Rulebook
from service.verification import verify
from tests.independent.fixings import random_fixing
from tests.shipped import shipped_rules

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

Request = dict[str, Any]
SEEDS = st.integers(min_value=0, max_value=20_000)
EDGES = ("x_minus_mm", "x_plus_mm", "y_minus_mm", "y_plus_mm")
CONCRETE_MODES = frozenset({"concrete_cone", "pull_out", "bond", "splitting", "blow_out", "pry_out", "concrete_edge"})
ROUNDED = 2e-5  # published figures have six significant digits
PROPERTY = settings.get_profile("properties")


def fixing(seed: int) -> Request:
    """A random fixing of any mechanism with any load cases."""
    return random_fixing(seed, shipped_rules().families)


def check(request: Mapping[str, Any], rulebook: Rulebook | None = None) -> dict[str, Any]:
    """Verify under the shipped rulebook, or another one."""
    return verify(request, rulebook or shipped_rules())


def evenly_loaded(seed: int) -> Request:
    """A random fixing whose tension and shear act at the centre of the fasteners, whatever the stiffnesses."""
    request = fixing(seed)
    places = request["positions"]
    x, y = (sum(p[axis] for p in places) / len(places) for axis in ("x_mm", "y_mm"))
    n, v_x, v_y = 0.3 * len(places), 0.2 * len(places), -0.1 * len(places)
    request["load_cases"] = [
        {
            "name": "through the centre",
            "normal_kn": n,
            "shear_x_kn": v_x,
            "shear_y_kn": v_y,
            "moment_x_knm": n * y / 1e3,
            "moment_y_knm": -n * x / 1e3,
            "torsion_knm": (x * v_y - y * v_x) / 1e3,
            "sustained_share": 0.5,
        }
    ]
    request["fixture"] |= {"stand_off_mm": 0, "grout": {"thickness_mm": 0, "strength_mpa": None}, "clearance": "filled"}
    return request


def utilisations(answer: Mapping[str, Any]) -> dict[tuple[str, str, str | None], float]:
    """Largest utilisation by load case, mode and edge."""
    found: dict[tuple[str, str, str | None], float] = {}
    for check in answer["checks"]:
        key = (check["load_case"], check["mode"], check["edge"])
        found[key] = max(found.get(key, 0.0), check["utilisation"])
    return found


def changed(request: Request, change: Callable[[Request], object]) -> Request:
    """A copy of a request with a change made to it."""
    other = copy.deepcopy(request)
    change(other)
    return other


def in_member(request: Request, **figures: object) -> Request:
    """A copy of a request with other figures of the member."""
    other = copy.deepcopy(request)
    other["member"].update(figures)
    return other


def with_family(family: str, change: Callable[[dict[str, Any]], object]) -> Rulebook:
    """The shipped rulebook with one family changed."""
    rulebook = shipped_rules()
    other = copy.deepcopy(_plain(rulebook.families[family]))
    change(other)
    return replace(rulebook, families={**rulebook.families, family: other})


def _plain(value: Any) -> Any:
    if hasattr(value, "items"):
        return {key: _plain(part) for key, part in value.items()}
    return [_plain(part) for part in value] if isinstance(value, list | tuple) else value


def near_edges(request: Mapping[str, Any], within: float) -> int:
    """How many edges are nearer than a distance to any fastener."""
    edges, places = request["member"]["edges"], request["positions"]
    distances = []
    for name in EDGES:
        if edges[name] is not None:
            axis, sign = f"{name[0]}_mm", (1.0 if "minus" in name else -1.0)
            distances.append(min(edges[name] + sign * p[axis] for p in places))
    return sum(d < within for d in distances)
