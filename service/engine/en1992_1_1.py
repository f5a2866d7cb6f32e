"""Concrete properties of EN 1992-1-1:2004, Table 3.1 and 3.1.6 (MPa)."""

from __future__ import annotations

import math

STRENGTH_CLASSES: dict[str, float] = {
    "C12/15": 12.0,
    "C16/20": 16.0,
    "C20/25": 20.0,
    "C25/30": 25.0,
    "C30/37": 30.0,
    "C35/45": 35.0,
    "C40/50": 40.0,
    "C45/55": 45.0,
    "C50/60": 50.0,
    "C55/67": 55.0,
    "C60/75": 60.0,
    "C70/85": 70.0,
    "C80/95": 80.0,
    "C90/105": 90.0,
}
"""Strength class and its characteristic cylinder strength f_ck (MPa), EN 1992-1-1:2004, Table 3.1."""

ALPHA_CC_MIN = 0.85
"""The lowest alpha_cc (no unit), EN 1992-1-1:2004, 3.1.6: 0.85 to 1.0 by national choice, from memory."""


def mean_strength_mpa(f_ck_mpa: float) -> float:
    """f_cm = f_ck + 8 (MPa). EN 1992-1-1:2004, Table 3.1.

    Args:
        f_ck_mpa: Characteristic cylinder strength (MPa).

    Returns:
        Mean cylinder strength (MPa).
    """
    return f_ck_mpa + 8.0


def mean_tensile_strength_mpa(f_ck_mpa: float) -> float:
    """f_ctm = 0.30·f_ck^(2/3) up to C50/60, 2.12·ln(1 + f_cm/10) above (MPa). EN 1992-1-1:2004, Table 3.1.

    Args:
        f_ck_mpa: Characteristic cylinder strength (MPa).

    Returns:
        Mean tensile strength (MPa).
    """
    if f_ck_mpa <= 50.0:
        return float(0.30 * f_ck_mpa ** (2.0 / 3.0))
    return 2.12 * math.log(1.0 + mean_strength_mpa(f_ck_mpa) / 10.0)


def secant_modulus_mpa(f_ck_mpa: float) -> float:
    """E_cm = 22·(f_cm/10)^0.3 GPa (MPa). EN 1992-1-1:2004, Table 3.1.

    Args:
        f_ck_mpa: Characteristic cylinder strength (MPa).

    Returns:
        Secant modulus (MPa).
    """
    return float(22_000.0 * (mean_strength_mpa(f_ck_mpa) / 10.0) ** 0.3)


def design_strength_mpa(f_ck_mpa: float, gamma_c: float, alpha_cc: float) -> float:
    """f_cd = alpha_cc·f_ck/gamma_c (MPa). EN 1992-1-1:2004, 3.1.6.

    Args:
        f_ck_mpa: Characteristic cylinder strength (MPa).
        gamma_c: Partial factor of concrete (no unit).
        alpha_cc: Factor for long-term effects (no unit), nationally determined.

    Returns:
        Design compressive strength (MPa).
    """
    return alpha_cc * f_ck_mpa / gamma_c
