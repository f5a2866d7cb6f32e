"""Forces of fasteners without a contact plate: a linear group in tension and compression (EN 1992-4:2018, 6.2.1)."""

from __future__ import annotations

import math
from collections.abc import Sequence

from service.engine.arrangement import TAPE_MM
from service.engine.model import Point

_TOLERANCE = 1e-6


class BendingOfGroupError(ArithmeticError):
    """Fasteners in one line, or a single one, would have to carry a moment that only their bending could take."""


def moment_without_bending(
    moment_x_nmm: float, moment_y_nmm: float, shear_x_n: float, shear_y_n: float, carried_arm_mm: float
) -> tuple[float, float]:
    """Moments at the surface left for the axial forces once the fasteners carry their part in bending.

    EN 1992-4:2018, 6.2.1 and 6.2.2.3, by statics: a fastener held at depth a_3 with the bending V·l_a/alpha_M there
    has V·(l_a/alpha_M - a_3) left at the surface.

    Args:
        moment_x_nmm: Moment about x at the surface (Nmm).
        moment_y_nmm: Moment about y at the surface (Nmm).
        shear_x_n: Shear in x (N).
        shear_y_n: Shear in y (N).
        carried_arm_mm: l_a/alpha_M - a_3 (mm).

    Returns:
        Remaining moments about x and y (Nmm).
    """
    return moment_x_nmm + shear_y_n * carried_arm_mm, moment_y_nmm - shear_x_n * carried_arm_mm


def linear_forces(
    positions: Sequence[Point], normal_n: float, moment_x_nmm: float, moment_y_nmm: float, scale_nmm: float
) -> tuple[float, ...]:
    """Axial force of each fastener of a linear group, positive in tension.

    EN 1992-4:2018, 6.2.1.

    Args:
        positions: Positions of the fasteners (mm).
        normal_n: Normal force at the origin (N).
        moment_x_nmm: Moment about x left for the axial forces (Nmm).
        moment_y_nmm: Moment about y left for the axial forces (Nmm).
        scale_nmm: Size of the moments in play, against which a remainder counts as nothing (Nmm).

    Returns:
        Axial forces (N).

    Raises:
        BendingOfGroupError: When axial forces alone cannot be in equilibrium.
    """
    count = len(positions)
    centre_x = sum(x for x, _ in positions) / count
    centre_y = sum(y for _, y in positions) / count
    about_x = moment_x_nmm - normal_n * centre_y
    about_y = -moment_y_nmm - normal_n * centre_x
    arms = [(x - centre_x, y - centre_y) for x, y in positions]
    ixx = sum(x * x for x, _ in arms)
    ixy = sum(x * y for x, y in arms)
    iyy = sum(y * y for _, y in arms)
    determinant = ixx * iyy - ixy * ixy
    if not _in_line(arms, 0.5 * math.atan2(2.0 * ixy, ixx - iyy)):
        b = (about_y * iyy - about_x * ixy) / determinant
        c = (about_x * ixx - about_y * ixy) / determinant
        return tuple(normal_n / count + b * x + c * y for x, y in arms)
    return _forces_in_line(arms, normal_n, about_x, about_y, scale_nmm)


def _in_line(arms: Sequence[Point], angle: float) -> bool:
    """Whether a tape calls it a line: no fastener beside the axis of the group by more than it tells (mm)."""
    return all(abs(y * math.cos(angle) - x * math.sin(angle)) <= TAPE_MM for x, y in arms)


def _forces_in_line(
    arms: Sequence[Point], normal_n: float, about_x: float, about_y: float, scale_nmm: float
) -> tuple[float, ...]:
    far = max(arms, key=lambda arm: math.hypot(*arm))
    length = math.hypot(*far)
    along = (far[0] / length, far[1] / length) if length > 0.0 else (0.0, 0.0)
    carried = about_y * along[0] + about_x * along[1]
    left = math.hypot(about_y - carried * along[0], about_x - carried * along[1])
    untold = TAPE_MM * (abs(normal_n) + (abs(carried) / length if length > 0.0 else 0.0))
    if left > _TOLERANCE * scale_nmm + untold:
        raise BendingOfGroupError("fasteners in one line would carry a moment across it by bending")
    places = [x * along[0] + y * along[1] for x, y in arms]
    inertia = sum(s * s for s in places)
    return tuple(normal_n / len(arms) + (carried * s / inertia if inertia > 0.0 else 0.0) for s in places)
