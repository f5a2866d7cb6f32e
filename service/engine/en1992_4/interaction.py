"""Tension and shear together (EN 1992-4:2018, 7.2.3)."""

from __future__ import annotations

import math
from collections.abc import Sequence

from service.engine.codes import Mode
from service.engine.results import Check
from service.engine.trace import new_trace

CLAUSE = "7.2.3"


def steel_utilisation(beta_n: float, beta_v: float) -> float:
    """√(beta_N² + beta_V²): the share of the actions that uses the fastener's steel up (no unit).

    EN 1992-4:2018, 7.2.3: beta_N² + beta_V² ≤ 1.

    Args:
        beta_n: Steel utilisation in tension (no unit).
        beta_v: Steel utilisation in shear (no unit).

    Returns:
        Utilisation (no unit).
    """
    return math.hypot(beta_n, beta_v)


def concrete_utilisation(beta_n: float, beta_v: float) -> float:
    """max(beta_N, beta_V, min((beta_N^1.5 + beta_V^1.5)^(2/3), (beta_N + beta_V)/1.2)) (no unit).

    EN 1992-4:2018, 7.2.3: either interaction suffices, each utilisation at most 1.

    Args:
        beta_n: Largest utilisation in tension of modes other than steel (no unit).
        beta_v: Largest utilisation in shear of modes other than steel (no unit).

    Returns:
        Utilisation (no unit).
    """
    curved = float((beta_n**1.5 + beta_v**1.5) ** (2.0 / 3.0))
    return max(beta_n, beta_v, min(curved, (beta_n + beta_v) / 1.2))


def verify_steel(
    tension: Check, shear: Check, tension_n: Sequence[float], shear_n: Sequence[tuple[float, float]], want_trace: bool
) -> Check | None:
    """Check the steel of each fastener in tension and shear and give the worst, or None when none has both.

    EN 1992-4:2018, 7.2.3.

    Args:
        tension: Check of steel in tension.
        shear: Check of steel in shear.
        tension_n: Tension of each fastener (N).
        shear_n: Shear in x and y of each fastener (N).
        want_trace: Whether the working is wanted.

    Returns:
        The worst check, or None.
    """
    if not tension.action_n or not shear.action_n:
        return None
    per_n, per_v = tension.utilisation / tension.action_n, shear.utilisation / shear.action_n
    betas = [
        (per_n * n, per_v * math.hypot(*v)) if n > 0.0 and math.hypot(*v) > 0.0 else (0.0, 0.0)
        for n, v in zip(tension_n, shear_n, strict=True)
    ]
    index = max(range(len(betas)), key=lambda i: steel_utilisation(*betas[i]))
    beta_n, beta_v = betas[index]
    if beta_n == 0.0:
        return None
    trace = new_trace(want_trace)
    trace.add("beta_N", beta_n, "-", "steel in tension, this fastener", CLAUSE)
    trace.add("beta_V", beta_v, "-", "steel in shear, this fastener", CLAUSE)
    used = trace.add("beta_NV", steel_utilisation(beta_n, beta_v), "-", "√(beta_N² + beta_V²)", CLAUSE)
    return Check(Mode.INTERACTION_STEEL, (index,), None, CLAUSE, None, None, None, None, used, trace.entries())


def verify_concrete(tension: Sequence[Check], shear: Sequence[Check], count: int, want_trace: bool) -> Check | None:
    """Check the worst mode in tension with the worst in shear, steel apart, or None when one of them has no action.

    EN 1992-4:2018, 7.2.3.

    Args:
        tension: Checks in tension other than steel.
        shear: Checks in shear other than steel.
        count: Number of fasteners.
        want_trace: Whether the working is wanted.

    Returns:
        The check, or None.
    """
    beta_n = max((check.utilisation for check in tension), default=0.0)
    beta_v = max((check.utilisation for check in shear), default=0.0)
    if beta_n <= 0.0 or beta_v <= 0.0:
        return None
    trace = new_trace(want_trace)
    trace.add("beta_N", beta_n, "-", "largest of the tension modes other than steel", CLAUSE)
    trace.add("beta_V", beta_v, "-", "largest of the shear modes other than steel", CLAUSE)
    used = trace.add(
        "beta_NV",
        concrete_utilisation(beta_n, beta_v),
        "-",
        "max(beta_N, beta_V, min((beta_N^1.5 + beta_V^1.5)^(2/3), (beta_N + beta_V)/1.2))",
        CLAUSE,
    )
    members = tuple(range(count))
    return Check(Mode.INTERACTION_CONCRETE, members, None, CLAUSE, None, None, None, None, used, trace.entries())
