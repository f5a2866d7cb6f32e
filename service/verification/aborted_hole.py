"""How far a fastener keeps from a hole that was begun and given up, or that is old; one rule wherever there is one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from service.engine.model import Point
from service.rulebook import Rulebook
from service.verification.tolerance import TOLERANCE

ABORTED_HOLE = "factors/installation#/aborted_hole"


@dataclass(frozen=True, slots=True)
class LeastDistance:
    """Least distance, centre to centre, of a fastener to an aborted hole.

    Attributes:
        distance_mm: The distance (mm).
        rule: Rulebook path of the factor that decides it.
    """

    distance_mm: float
    rule: str


def least_distance(
    rulebook: Rulebook, hole_diameter_mm: float, depth_mm: float, *, filled: bool = False
) -> LeastDistance:
    """The least distance to an aborted hole: the larger of what its depth and its diameter ask for.

    Args:
        rulebook: The rulebook with its factors.
        hole_diameter_mm: The larger diameter of the aborted hole and of the fastener's own (mm).
        depth_mm: Depth of the aborted hole (mm).
        filled: Whether it is filled with high-strength grout that has hardened, and does not lie where the shear
            pushes; its depth does not count then.

    Returns:
        The distance, and the factor that decides it.
    """
    rules = rulebook.factors["installation"]["aborted_hole"]
    by_diameter = float(rules["hole_diameter_factor"]) * hole_diameter_mm
    by_depth = 0.0 if filled else float(rules["depth_factor"]) * depth_mm
    if by_depth > by_diameter:
        return LeastDistance(by_depth, f"{ABORTED_HOLE}/depth_factor")
    return LeastDistance(by_diameter, f"{ABORTED_HOLE}/hole_diameter_factor")


def pushed_to(hole: Point, shear: Iterable[tuple[Point, Point]]) -> bool:
    """Whether the shear of a fastener points to the side of a hole, so that its filling does not count.

    Args:
        hole: Where the hole is (mm).
        shear: Where each fastener stands (mm), and its shear in x and y in any unit.

    Returns:
        True where one pushes towards it.
    """
    return any(v_x * (hole[0] - x) + v_y * (hole[1] - y) > TOLERANCE for (x, y), (v_x, v_y) in shear)


def pushed_to_under(answer: Mapping[str, Any], hole: Point) -> bool:
    """Whether the shear of any fastener points to the side of a hole in any load case of an answer.

    Args:
        answer: The answer, with the forces of its fasteners.
        hole: Where the hole is (mm).

    Returns:
        True where one pushes towards it, and where no forces are known.
    """
    forces = [force for case in answer["fastener_forces"] for force in case["fasteners"]]
    if not forces:
        return True
    shear = (((one["x_mm"], one["y_mm"]), (one["shear_x_kn"], one["shear_y_kn"])) for one in forces)
    return pushed_to(hole, shear)
