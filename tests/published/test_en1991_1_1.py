"""Line loads on guards. Source: EN 1991-1-1:2002, Table 6.12 and 6.4 (from memory; its text was not at hand)."""

from __future__ import annotations

import pytest

from service.rulebook import Rulebook
from tests.shipped import shipped_rules


@pytest.fixture(scope="module")
def rulebook() -> Rulebook:
    return shipped_rules()


@pytest.mark.parametrize(
    ("category", "line_load", "least", "most"),
    [
        ("A", 0.5, 0.2, 1.0),
        ("B_C1", 0.5, 0.2, 1.0),
        ("C2_C3_C4_D", 1.0, 0.8, 1.0),
        ("C5", 3.0, 3.0, 5.0),
        ("E", 2.0, 0.8, 2.0),
    ],
)
def test_line_load_by_category(rulebook: Rulebook, category: str, line_load: float, least: float, most: float) -> None:
    found = rulebook.factors["guard-loads"]["categories"][category]
    assert (found["line_load_kn_per_m"], found["range_min_kn_per_m"], found["range_max_kn_per_m"]) == (
        line_load, least, most
    )  # fmt: skip


def test_every_category_of_the_table_is_there(rulebook: Rulebook) -> None:
    assert set(rulebook.factors["guard-loads"]["categories"]) == {"A", "B_C1", "C2_C3_C4_D", "C5", "E"}


def test_the_load_acts_no_higher_than_the_standard_has_it(rulebook: Rulebook) -> None:
    assert rulebook.factors["guard-loads"]["height_max_m"] == 1.2
