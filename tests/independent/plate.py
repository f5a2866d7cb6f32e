"""Forces of the fasteners: a rigid plate on elastic concrete, found as the least energy of a convex function.

The strain plane e(x, y) = u0 + u1·x + u2·y is the minimum of the stored energy of fasteners (tension only) and
concrete (compression only) less the work of the actions. Newton's method with an exact line search finds it;
areas under pressure are polygons, cut at the line of no strain and integrated triangle by triangle.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
import shapely
from scipy.optimize import brentq

from tests.independent.inputs import STEEL_MODULUS

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from tests.independent.inputs import Action, Fixing

    Vector = NDArray[np.floating]
    Corners = list[tuple[float, float]]

LENGTH = 100.0  # scale of coordinates, so that the three unknowns are alike
TAPE = 0.5  # what a tape tells (mm)
STRAIN = 1e-4  # scale of strains


@dataclass(frozen=True)
class AxialForces:
    """Tension of each fastener (N), and the contact force (N) with its place."""

    tension: tuple[float, ...]
    compression: float
    compression_x: float
    compression_y: float
    largest_pressure: float
    mean_pressure: float
    in_balance: bool


def contact_area(fixing: Fixing) -> Corners:
    """The part of the fixture that lies over concrete, a convex polygon."""
    far = 1e6
    member = shapely.box(
        -min(fixing.edges["x_minus"], far), -min(fixing.edges["y_minus"], far),
        min(fixing.edges["x_plus"], far), min(fixing.edges["y_plus"], far),
    )  # fmt: skip
    corners = shapely.get_coordinates(shapely.box(*fixing.fixture).intersection(member))
    return [(float(x), float(y)) for x, y in corners[:-1]]


def forces_in_contact(fixing: Fixing, action: Action) -> AxialForces:
    """Equilibrium of normal force and two moments with a plate on the concrete (6.2)."""
    target = np.array([action.normal, -action.moment_y / LENGTH, action.moment_x / LENGTH])
    count = len(fixing.points)
    if not target.any():
        return AxialForces((0.0,) * count, 0.0, 0.0, 0.0, 0.0, 0.0, in_balance=True)
    plate = contact_area(fixing)
    rows = np.array([(1.0, x / LENGTH, y / LENGTH) for x, y in fixing.points])
    stiffness = STEEL_MODULUS * fixing.stress_area * STRAIN
    modulus = fixing.modulus * STRAIN
    u = _minimum(rows, stiffness, plate, modulus, target)
    tension = np.maximum(rows @ u, 0.0) * stiffness
    tension[tension < 1e-6 * tension.max(initial=0.0)] = 0.0
    contact, _ = _contact(u, plate, modulus)
    residual = rows.T @ tension + contact - target
    force = -float(contact[0])
    pressed = float(_area_matrix(_pressed_part(u, plate))[0, 0])
    pressure = max(0.0, -min(_strains(u, plate)) * modulus)
    return AxialForces(
        tuple(float(t) for t in tension),
        force,
        -float(contact[1]) * LENGTH / force if force > 0 else 0.0,
        -float(contact[2]) * LENGTH / force if force > 0 else 0.0,
        pressure,
        force / pressed if pressed > 0.0 else 0.0,
        in_balance=bool(np.abs(residual).max() < 1e-6 * np.abs(target).max()),
    )


def forces_off_the_concrete(fixing: Fixing, action: Action, height: float) -> AxialForces:
    """A linear bolt group with tension and compression, no contact.

    `height` (mm above the surface) is where the fasteners' own bending is nil; there the axial forces balance the
    moments alone. Moments of the request are at the surface and contain shear times height.
    """
    moment_x = action.moment_x + height * action.shear_y
    moment_y = action.moment_y - height * action.shear_x
    target = np.array([action.normal, -moment_y / LENGTH, moment_x / LENGTH])
    rows = np.array([(1.0, x / LENGTH, y / LENGTH) for x, y in fixing.points])
    bolts = _drawn_to_a_line(rows)
    u, *_ = np.linalg.lstsq(bolts.T @ bolts, target, rcond=1e-9)
    forces = bolts @ u
    scale = max(float(np.abs(target).max()), abs(height * action.shear_x), abs(height * action.shear_y), 1.0)
    forces[np.abs(forces) < 1e-6 * max(float(np.abs(forces).max()), 1e-3)] = 0.0
    # what a tape does not tell: the place of the force by 0.5 mm, the direction of a line by that over its half
    half = float(np.hypot(*(bolts[:, 1:] - bolts[:, 1:].mean(axis=0)).T).max())
    couple = float(np.hypot(*(target[1:] - action.normal * bolts[:, 1:].mean(axis=0))))
    untold = TAPE / LENGTH * (abs(action.normal) + (couple / half if half > 0.0 else 0.0))
    balanced = bool(np.abs(bolts.T @ forces - target).max() < 1e-6 * scale + untold)
    return AxialForces(tuple(float(f) for f in forces), 0.0, 0.0, 0.0, 0.0, 0.0, in_balance=balanced)


def _drawn_to_a_line(rows: Vector) -> Vector:
    """Fasteners that a tape calls a line, put on it: within 0.5 mm of the axis of the group."""
    centre = rows[:, 1:].mean(axis=0)
    arms = rows[:, 1:] - centre
    _, _, axes = np.linalg.svd(arms) if len(rows) > 1 else (None, None, np.eye(2))
    beside = arms @ axes[1]
    if np.abs(beside).max() > TAPE / LENGTH:
        return rows
    return np.column_stack([rows[:, 0], rows[:, 1:] - np.outer(beside, axes[1])])


def _minimum(rows: Vector, stiffness: float, plate: Corners, modulus: float, target: Vector) -> Vector:
    u = np.zeros(3)
    hessian = stiffness * rows.T @ rows + _area_matrix(plate) * modulus
    scale = float(np.trace(hessian))
    gradient = -target
    for _ in range(200):
        step = np.linalg.solve(hessian + 1e-13 * scale * np.eye(3), -gradient)
        u = u + _line_search(u, step, rows, stiffness, plate, modulus, target) * step
        strain = rows @ u
        active = strain > 0
        contact, contact_matrix = _contact(u, plate, modulus)
        gradient = rows.T @ (np.maximum(strain, 0.0) * stiffness) + contact - target
        if np.abs(gradient).max() < 1e-12 * np.abs(target).max():
            break
        hessian = stiffness * rows[active].T @ rows[active] + contact_matrix
    return u


def _line_search(
    u: Vector, step: Vector, rows: Vector, stiffness: float, plate: Corners, modulus: float, target: Vector
) -> float:
    """Where the directional derivative of the energy is nil."""

    def slope(t: float) -> float:
        v = u + t * step
        contact, _ = _contact(v, plate, modulus)
        return float(step @ (rows.T @ (np.maximum(rows @ v, 0.0) * stiffness) + contact - target))

    if slope(1.0) <= 0:
        high = 1.0
        while slope(high) < 0 and high < 1e9:
            high *= 2.0
        return high if high == 1.0 or slope(high) < 0 else float(brentq(slope, high / 2, high, xtol=1e-15, rtol=1e-14))
    return float(brentq(slope, 0.0, 1.0, xtol=1e-15, rtol=1e-14)) if slope(0.0) < 0 else 1.0


def _contact(u: Vector, plate: Corners, modulus: float) -> tuple[Vector, Vector]:
    """Resultants of the contact pressure (negative) and their derivative with respect to u."""
    matrix = _area_matrix(_pressed_part(u, plate)) * modulus
    return matrix @ u, matrix


def _strains(u: Vector, corners: Corners) -> list[float]:
    u0, u1, u2 = u.tolist()
    return [u0 + (x * u1 + y * u2) / LENGTH for x, y in corners]


def _pressed_part(u: Vector, plate: Corners) -> Corners:
    """The part of the plate where the strain is compression, by cutting at the line of no strain."""
    values = _strains(u, plate)
    kept = []
    for i, value in enumerate(values):
        j = (i + 1) % len(values)
        (x, y), (next_x, next_y) = plate[i], plate[j]
        if value <= 0:
            kept.append((x, y))
        if (value <= 0) != (values[j] <= 0):
            share = value / (value - values[j])
            kept.append((x + share * (next_x - x), y + share * (next_y - y)))
    return kept


def _area_matrix(corners: Corners) -> Vector:
    """Integral of (1, x, y)ᵀ(1, x, y) over a convex polygon, by triangles with the midpoint rule (exact)."""
    whole = of_x = of_y = of_xx = of_xy = of_yy = 0.0
    a = corners[0] if corners else (0.0, 0.0)
    for b, c in pairwise(corners[1:]):
        third = abs((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])) / 6.0
        for p, q in ((a, b), (b, c), (c, a)):
            x, y = (p[0] + q[0]) / 2.0 / LENGTH, (p[1] + q[1]) / 2.0 / LENGTH
            whole += third
            of_x += third * x
            of_y += third * y
            of_xx += third * x * x
            of_xy += third * x * y
            of_yy += third * y * y
    return np.array(((whole, of_x, of_y), (of_x, of_xx, of_xy), (of_y, of_xy, of_yy)))
