"""The committed basis table is the one that the code gives, and tests say where their numbers come from."""

from __future__ import annotations

from tests.house import basis


def test_table_is_up_to_date() -> None:
    assert basis.TABLE.read_text(encoding="utf-8") == basis.table(), "run: python -m tests.house.basis"


def test_every_calculating_test_names_its_source() -> None:
    unnamed = {f"{use.file}::{use.test}" for uses in basis.uses().values() for use in uses if use.source == "not named"}
    assert unnamed == set()


def test_every_equation_is_called_by_a_test() -> None:
    held = basis.uses()
    equations = {
        (function.module, function.name)
        for function in basis.functions()
        if function.module.startswith("service.engine.en1992")
        and function.name
        in {
            "characteristic_resistance", "edge_factor", "eccentricity_factor", "corner_factor", "thickness_factor",
            "group_factor", "direction_factor", "action_on_edge",
            "reinforcement_factor", "shell_spalling_factor", "compression_factor",
            "narrow_member_embedment", "steel_utilisation", "concrete_utilisation", "reduced_edge", "steel_resistance",
            "sustained_factor", "characteristic_spacing", "headed_resistance", "elastic_shear", "linear_forces",
        }
    }  # fmt: skip
    assert len(equations) > 20
    assert equations - held.keys() == set()
