"""Partial factors of resistance (EN 1992-4:2018, 4.4.2, Table 4.1); coefficients are national choices, so arguments."""

from __future__ import annotations

from service.engine.model import Fixing
from service.engine.trace import Trace

CLAUSE = "4.4.2"


def steel_tension(tensile_mpa: float, yield_mpa: float, numerator: float, minimum: float) -> float:
    """gamma_Ms in tension: max(numerator/(f_yk/f_uk), minimum).

    EN 1992-4:2018, Table 4.1.

    Args:
        tensile_mpa: f_uk (MPa).
        yield_mpa: f_yk (MPa).
        numerator: 1.2 persistent, 1.05 accidental where the recommended values are taken (no unit).
        minimum: 1.4 persistent, 1.25 accidental where the recommended values are taken (no unit).

    Returns:
        gamma_Ms (no unit).
    """
    return max(numerator / (yield_mpa / tensile_mpa), minimum)


def steel_shear(
    tensile_mpa: float,
    yield_mpa: float,
    numerator: float,
    minimum: float,
    otherwise: float,
    tensile_max_mpa: float,
    ratio_max: float,
) -> float:
    """gamma_Ms in shear: max(numerator/(f_yk/f_uk), minimum) for mild steel, else a fixed value.

    EN 1992-4:2018, Table 4.1.

    Args:
        tensile_mpa: f_uk (MPa).
        yield_mpa: f_yk (MPa).
        numerator: 1.0 where the recommended value is taken (no unit).
        minimum: 1.25 where the recommended value is taken (no unit).
        otherwise: 1.5 persistent, 1.3 accidental where the recommended values are taken (no unit).
        tensile_max_mpa: Largest f_uk of mild steel, 800 (MPa).
        ratio_max: Largest f_yk/f_uk of mild steel, 0.8 (no unit).

    Returns:
        gamma_Ms (no unit).
    """
    if is_mild(tensile_mpa, yield_mpa, tensile_max_mpa, ratio_max):
        return max(numerator / (yield_mpa / tensile_mpa), minimum)
    return otherwise


def is_mild(tensile_mpa: float, yield_mpa: float, tensile_max_mpa: float, ratio_max: float) -> bool:
    """Whether steel is mild enough for the lower factor in shear: f_uk and f_yk/f_uk at most their limits.

    EN 1992-4:2018, Table 4.1.

    Args:
        tensile_mpa: f_uk (MPa).
        yield_mpa: f_yk (MPa).
        tensile_max_mpa: Largest f_uk (MPa).
        ratio_max: Largest f_yk/f_uk (no unit).

    Returns:
        True for mild steel.
    """
    return tensile_mpa <= tensile_max_mpa and yield_mpa / tensile_mpa <= ratio_max


def concrete(gamma_c: float, installation_factor: float) -> float:
    """gamma_Mc = gamma_c·gamma_inst; also gamma_Mp and gamma_Msp.

    EN 1992-4:2018, Table 4.1.

    Args:
        gamma_c: Partial factor of concrete (no unit).
        installation_factor: gamma_inst, 1.0 in shear (no unit).

    Returns:
        gamma_Mc (no unit).
    """
    return gamma_c * installation_factor


def symbol(suffix: str) -> str:
    """Symbol of the partial factor of a resistance, such as gamma_Mp for N_Rk,p. EN 1992-4:2018, Table 4.1."""
    return {"s": "gamma_Ms", "s,M": "gamma_Ms", "p": "gamma_Mp", "sp": "gamma_Msp", "0": "gamma_M"}.get(
        suffix, "gamma_Mc"
    )


def concrete_in_tension(fixing: Fixing, suffix: str, trace: Trace) -> float:
    """gamma_Mc, gamma_Mp or gamma_Msp in tension (no unit), with its working. EN 1992-4:2018, Table 4.1."""
    gamma_c, gamma_inst = fixing.factors.concrete, fixing.fastener.installation_factor
    gamma = concrete(gamma_c, gamma_inst)
    if trace.wanted:
        trace.add("gamma_c", gamma_c, "-", "national choice", CLAUSE, fixing.factors.rules.get("concrete"))
        trace.add("gamma_inst", gamma_inst, "-", "assessment", CLAUSE, fixing.fastener.rules.get("installation_factor"))
        trace.add(symbol(suffix), gamma, "-", "gamma_c·gamma_inst", CLAUSE)
    return gamma


def concrete_in_shear(fixing: Fixing, trace: Trace) -> float:
    """gamma_Mc of the fixing in shear, where gamma_inst is 1.0 (no unit). EN 1992-4:2018, Table 4.1."""
    gamma_c = fixing.factors.concrete
    trace.add("gamma_c", gamma_c, "-", "national choice", CLAUSE, fixing.factors.rules.get("concrete"))
    return trace.add("gamma_Mc", concrete(gamma_c, 1.0), "-", "gamma_c·1.0", CLAUSE)


def steel(fixing: Fixing, kind: str, trace: Trace) -> float:
    """gamma_Ms of the fixing (no unit), with its working. EN 1992-4:2018, Table 4.1.

    Args:
        fixing: The fixing with its factors.
        kind: ``N`` for tension, ``V`` for shear and bending.
        trace: Where the working goes.

    Returns:
        gamma_Ms (no unit).
    """
    factors, fastener = fixing.factors, fixing.fastener
    value, expression, rule = (
        (factors.steel_tension, factors.steel_tension_expression, factors.rules.get("steel_tension"))
        if kind == "N"
        else (factors.steel_shear, factors.steel_shear_expression, factors.rules.get("steel_shear"))
    )
    if trace.wanted:
        rules = fastener.rules
        trace.add("f_uk", fastener.tensile_strength_mpa, "MPa", "assessment", CLAUSE, rules.get("tensile_strength_mpa"))
        trace.add("f_yk", fastener.yield_strength_mpa, "MPa", "assessment", CLAUSE, rules.get("yield_strength_mpa"))
    return trace.add("gamma_Ms", value, "-", expression, CLAUSE, rule)
