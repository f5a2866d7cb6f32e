"""Each fastener figure of the demonstration follows from the rule stated in rules/notes/demonstration-figures.md.

Source of the numbers: the note itself; stress areas of threads: ISO 898-1; the cone: EN 1992-4, 7.2.1.4 (from memory).
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import Any

import pytest

from tests.rules import demonstration_figures as stated
from tests.shipped import RULES

FAMILIES = [json.loads(path.read_text("utf-8")) for path in sorted((RULES / "families").glob("*.json"))]
SIZES = [
    pytest.param(family, name, size, id=f"{family['id']} {name}")
    for family in FAMILIES
    for name, size in family["sizes"].items()
]


FIXED = frozenset({
    "diameter_mm", "nominal_diameter_mm", "hole_diameter_mm", "clearance_hole_mm", "head_diameter_mm",
    "head_thickness_mm", "spanner_mm", "shear_group_factor", "gamma_ms_tension", "gamma_ms_shear", "cracked_factor",
    "uncracked_factor", "splitting_kn",
})  # fmt: skip
"""What a standard fixes, as the note says, or is null."""


def numbers_in(value: Any, names: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    """The path of each number in the file of a family."""
    if isinstance(value, dict):
        for name, inner in value.items():
            yield from numbers_in(inner, (*names, name))
    elif isinstance(value, list):
        for inner in value:
            yield from numbers_in(inner, names)
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield names


def rules_of(family: Mapping[str, Any], name: str, size: Mapping[str, Any]) -> stated.Stated:
    bit = size["geometry"]["hole_diameter_mm"]
    return stated.Stated(stated.tables()[family["id"]], int(name.lstrip("M")), bit)


def differences(expected: Mapping[str, Any], found: Mapping[str, Any], place: str = "") -> Iterator[str]:
    """Where a figure is not what its rule gives."""
    for key, value in expected.items():
        here = f"{place}/{key}"
        if isinstance(value, dict):
            yield from differences(value, found[key] or {}, here)
        elif value != found[key] and value != pytest.approx(found[key], abs=1e-9):
            yield f"{here}: {found[key]} where the note gives {value}"


@pytest.mark.parametrize("family", FAMILIES, ids=lambda family: family["id"])
def test_note_has_rules_for_the_family_and_the_family_says_so(family: dict[str, Any]) -> None:
    assert family["id"] in stated.tables()
    assert family["assessment"]["basis"].endswith("notes/demonstration-figures.md")


def test_note_has_rules_for_no_other() -> None:
    assert set(stated.tables()) == {family["id"] for family in FAMILIES}


@pytest.mark.parametrize(("family", "name", "size"), SIZES)
def test_size_follows_the_note(family: dict[str, Any], name: str, size: dict[str, Any]) -> None:
    rules = rules_of(family, name, size)
    geometry = size["geometry"]
    assert list(differences(stated.geometry(family, rules), geometry)) == []
    steel = stated.steel(rules, geometry["stress_area_mm2"], geometry["section_modulus_mm3"], size["steel"])
    assert list(differences(steel, size["steel"])) == []
    assert list(differences(stated.setting(family, rules), size["setting"])) == []
    if size["bond"]:
        bond = stated.bond(rules, size["factors"]["installation_factor"])
        assert list(differences(bond, size["bond"])) == []


@pytest.mark.parametrize(("family", "name", "size"), SIZES)
def test_embedments_follow_the_note(family: dict[str, Any], name: str, size: dict[str, Any]) -> None:
    rules = rules_of(family, name, size)
    depths = [float(key) for key in size["embedments"]]
    assert set(depths) <= set(stated.depths(rules))
    for depth, row in zip(depths, size["embedments"].values(), strict=True):
        assert list(differences(stated.embedment(family, size, rules, depth), row)) == []


@pytest.mark.parametrize(
    "family", [family for family in FAMILIES if family["mechanism"] == "bonded"], ids=lambda f: f["id"]
)
def test_resin_sets_as_the_note_says(family: dict[str, Any]) -> None:
    intervals = family["installation"]["working_and_curing"]
    made = stated.working_and_curing(stated.tables()[family["id"]], intervals)
    assert [list(differences(one, row)) for one, row in zip(made, intervals, strict=True)] == [[] for _ in intervals]


@pytest.mark.parametrize(("family", "name", "size"), SIZES)
def test_no_figure_is_without_a_rule(family: dict[str, Any], name: str, size: dict[str, Any]) -> None:
    rules = rules_of(family, name, size)
    made = {
        "geometry": stated.geometry(family, rules),
        "steel": stated.steel(rules, 1.0, 1.0, size["steel"]),
        "setting": stated.setting(family, rules),
        "factors": stated.factors(rules),
        "bond": stated.bond(rules, size["factors"]["installation_factor"]) if size["bond"] else None,
        "embedments": {
            depth: stated.embedment(family, size, rules, float(depth)) | stated.lengths(family, rules, row)
            for depth, row in size["embedments"].items()
        },
    }
    found = {path for path in numbers_in(size) if path[-1] not in FIXED}
    assert found - {*numbers_in(made)} == set()


@pytest.mark.parametrize(("family", "name", "size"), SIZES)
def test_installation_factors_and_lengths_follow_the_note(
    family: dict[str, Any], name: str, size: dict[str, Any]
) -> None:
    rules = rules_of(family, name, size)
    assert list(differences(stated.factors(rules), size["factors"])) == []
    for row in size["embedments"].values():
        made = stated.lengths(family, rules, row)["lengths"]
        assert [list(differences(*pair)) for pair in zip(made, row["lengths"], strict=True)] == [[] for _ in made]
