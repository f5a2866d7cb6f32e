"""The sheet of fasteners whose resistance pulls on site show: it speaks of what was pulled in, and asks how."""

from __future__ import annotations

import re
from typing import Any

import pytest

from service.site.sheet import Made, make
from service.site.sheet.content import Tick
from service.site.sheet.page import page
from tests.shipped import SHARED
from tests.site.sheet_cases import NOT_FOR_PEOPLE, book, job

WALL = "brick wall of the pump room, north side"
FROM_RULES = ("respirable crystalline silica", "concrete member itself")
"""What the rulebook says word by word, which holds of masonry too."""
TOLD_APART = ("as they do in concrete", "stiff fixture on concrete")
"""Where concrete is told apart from what was pulled in."""


def pulled(kind: str | None, **member: Any) -> Made:
    """The sheet of a frame fixing by fifteen pulls in a wall."""
    return make([job(in_wall(kind, **member))])


def in_wall(kind: str | None, **member: Any) -> dict[str, Any]:
    """A frame fixing by fifteen pulls in a wall."""
    readings = [3.9, 4.4, 4.1, 3.6, 4.6, 4.2, 3.8, 4.0, 4.5, 4.3, 4.1, 3.9, 4.2, 4.0, 4.4]
    fastener = {"family": "nylon-frame-fixing", "size": "10", "embedment_mm": 52}
    gauge = {"certificate": "C-1", "calibrated_on": "2026-06-01", "valid_until": "2027-06-01", "accuracy_percent": 2}
    tests: dict[str, Any] = {
        "tested_on": "2026-11-20", "base_material": WALL, "thickness_mm": 300, "fastener": fastener,
        "drilling": "hammer", "hole": "dry", "support_distance_mm": 200, "gauge": gauge,
        "pulls": [
            {"name": str(number), "reading_kn": reading, "failure": "pull_out", "edge_mm": 250, "spacing_mm": 300}
            for number, reading in enumerate(readings)
        ],
    }  # fmt: skip
    if kind is not None:
        tests["base_material_kind"] = kind
    return {
        "rulebook": book().version, "assessed_on": "2026-11-25", "fastener": fastener,
        "member": {"thickness_mm": 300, "state": "uncracked", **member}, "positions": [{"x_mm": 0, "y_mm": 0}],
        "fixture": {"width_mm": 40, "depth_mm": 40, "thickness_mm": 4, "yield_mpa": 235},
        "load_cases": [{"name": "tray", "normal_kn": 0.1, "shear_y_kn": -0.15}],
        "use": {"exposure": "dry_internal", "hole": "dry", "overhead": False, "redundancy": SHARED, **NOT_FOR_PEOPLE},
        "site": {"strength_evidence": "documented", "hole_cleaning": "verified", "installer": "trained",
                 "drilling": "hammer", "torque_control": "calibrated_wrench"},
        "site_test": {"tests": tests}, "base_material": WALL,
    }  # fmt: skip


def ticked(made: Made) -> dict[str | None, Tick]:
    """What is ticked, by its code."""
    return {tick.code: tick for tick in made.sheet.fixings[0].on_site}


def read(made: Made) -> list[str]:
    """The texts of the page, without the style and the names of its patterns."""
    return re.split(r"<[^>]+>", re.sub(r"<style.*?</style>", "", page(made), flags=re.DOTALL))


def test_after_pulls_in_brick_no_line_speaks_of_concrete() -> None:
    bars = {"spacing_mm": 150, "edge": "edge_bar", "cracks_held_to_0_3_mm": True}
    made = pulled("masonry", strength_class="C25/30", reinforcement=bars)
    told = [text for text in read(made) if "concrete" in text.lower()]
    assert told
    assert all(any(words in text for words in (*FROM_RULES, *TOLD_APART)) for text in told), told
    assert not set(ticked(made)) & {"strength", "strength_evidence", "reinforcement", "edge", "cracks_held"}
    assert "masonry 300" in read(made)


def test_pulls_in_concrete_keep_its_words() -> None:
    made = pulled(None)
    assert {"state", "strength_evidence"} <= set(ticked(made))
    assert "concrete 300" in read(made)


@pytest.mark.parametrize("kind", ["masonry", None])
def test_where_and_how_deep_the_pulled_ones_sat_is_asked(kind: str | None) -> None:
    ticks = ticked(pulled(kind))
    assert ticks["pulled_alike"].in_step == "drill"
    deep = ticks["pulled_as_deep"]
    # Length of the article, 65 mm, less the fixture's 4 mm; the tests tell h_ef alone.
    assert [figure.value for figure in deep.figures] == [61, 52]
    assert "otherwise stop and ask" in deep.text
    assert ("in it or in a joint" in ticks["pulled_alike"].text) == (kind == "masonry")


def test_every_brick_has_joints_so_none_of_them_is_an_edge() -> None:
    edges = ticked(pulled("masonry"))["edges_out_of_reach"].text
    assert "movement joint" in edges
    assert "no edge, joint or opening" not in edges
