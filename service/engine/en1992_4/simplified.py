"""One resistance in any direction, from a label or from pulls on site (EN 1992-4:2018, Annex G, method C in spirit)."""

from __future__ import annotations

import math
from collections.abc import Sequence

from service.engine.codes import Mode
from service.engine.en1992_4.design_check import finish
from service.engine.model import Fixing
from service.engine.results import Check
from service.engine.trace import new_trace

CLAUSE = "Annex G"


def resultant(tension_n: float, shear_x_n: float, shear_y_n: float) -> float:
    """√(N² + V²) of one fastener.

    EN 1992-4:2018, Annex G.

    Args:
        tension_n: N (N).
        shear_x_n: Shear in x (N).
        shear_y_n: Shear in y (N).

    Returns:
        F_Ed (N).
    """
    return math.sqrt(tension_n**2 + shear_x_n**2 + shear_y_n**2)


def verify(
    fixing: Fixing, tension_n: Sequence[float], shear_n: Sequence[tuple[float, float]], want_trace: bool
) -> Check:
    """Check the fastener with the largest resultant.

    EN 1992-4:2018, Annex G.

    Args:
        fixing: The fixing.
        tension_n: Tension of each fastener (N).
        shear_n: Shear in x and y of each fastener (N).
        want_trace: Whether the working is wanted.

    Returns:
        The check.

    Raises:
        ValueError: When the family has no stated resistance.
    """
    trace = new_trace(want_trace)
    given = fixing.fastener.simplified
    if given is None:
        raise ValueError("this fastener has no stated resistance")
    rules = fixing.fastener.rules
    forces = [resultant(n, *v) for n, v in zip(tension_n, shear_n, strict=True)]
    index = max(range(len(forces)), key=lambda i: forces[i])
    trace.add("F_Rk,0", given.resistance_n, "N", given.origin, CLAUSE, rules.get("resistance_n"))
    trace.add("gamma_M", given.partial_factor, "-", "rulebook", CLAUSE, rules.get("resistance_factor"))
    trace.add("N_Ed", tension_n[index], "N", "tension of this fastener", "6.2")
    trace.add("V_Ed", math.hypot(*shear_n[index]), "N", "shear of this fastener", "6.2")
    return finish(
        Mode.SIMPLIFIED_RESULTANT,
        CLAUSE,
        "0",
        "F",
        (index,),
        forces[index],
        given.resistance_n,
        given.partial_factor,
        fixing.site_factor,
        trace,
    )
