"""Concrete properties. Source: EN 1992-1-1:2004, Table 3.1, every row (strengths in MPa, E_cm in GPa)."""

from __future__ import annotations

import pytest

from service.engine import en1992_1_1

# class, f_ck, f_cm, f_ctm, E_cm as printed
TABLE_3_1 = (
    ("C12/15", 12, 20, 1.6, 27),
    ("C16/20", 16, 24, 1.9, 29),
    ("C20/25", 20, 28, 2.2, 30),
    ("C25/30", 25, 33, 2.6, 31),
    ("C30/37", 30, 38, 2.9, 33),
    ("C35/45", 35, 43, 3.2, 34),
    ("C40/50", 40, 48, 3.5, 35),
    ("C45/55", 45, 53, 3.8, 36),
    ("C50/60", 50, 58, 4.1, 37),
    ("C55/67", 55, 63, 4.2, 38),
    ("C60/75", 60, 68, 4.4, 39),
    ("C70/85", 70, 78, 4.6, 41),
    ("C80/95", 80, 88, 4.8, 42),
    ("C90/105", 90, 98, 5.0, 44),
)


@pytest.mark.parametrize(("name", "f_ck", "f_cm", "f_ctm", "e_cm"), TABLE_3_1)
def test_row_of_table_3_1(name: str, f_ck: float, f_cm: float, f_ctm: float, e_cm: float) -> None:
    """Source: EN 1992-1-1:2004, Table 3.1; the table is rounded to 0.1 MPa and to 1 GPa (31.48 printed as 31)."""
    assert en1992_1_1.STRENGTH_CLASSES[name] == f_ck
    assert en1992_1_1.mean_strength_mpa(f_ck) == f_cm
    assert round(en1992_1_1.mean_tensile_strength_mpa(f_ck), 1) == f_ctm
    assert round(en1992_1_1.secant_modulus_mpa(f_ck) / 1e3) == e_cm


def test_table_3_1_is_complete() -> None:
    """Source: EN 1992-1-1:2004, Table 3.1 has fourteen classes."""
    assert list(en1992_1_1.STRENGTH_CLASSES) == [row[0] for row in TABLE_3_1]


def test_design_strength() -> None:
    """Source: EN 1992-1-1:2004, 3.1.6, by hand: 0.85·25/1.5."""
    assert en1992_1_1.design_strength_mpa(25.0, 1.5, 0.85) == pytest.approx(14.1667, rel=1e-5)
