"""Head or nut and washer find room beside what stands on the plate.

A washer is twice as wide as its thread: ISO 7089, from memory.
"""

from __future__ import annotations

import pytest

from tests.verification.conftest import Ask

CORNERS = [{"x_mm": x, "y_mm": y} for x in (-75, 75) for y in (-75, 75)]


@pytest.mark.parametrize(
    ("profile", "wide", "deep", "room_mm"),
    [
        # Walls on the bolts, 5 mm outside them and 11 mm beside them; M12 wants 12 mm.
        ("hollow", 150, 150, 0),
        ("hollow", 160, 160, 5),
        ("hollow", 128, 160, 11),
        ("hollow", 126, 160, None),
        # Nobody tightens a nut within a block; within a wide tube it has room.
        ("solid", 220, 220, 0),
        ("hollow", 200, 200, None),
        # Beside the flange that reaches past the bolts, and between flanges with the web far off.
        ("i_web_along_y", 200, 130, 10),
        ("i_web_along_x", 130, 200, 10),
        ("i_web_along_y", 200, 200, None),
        # Where the walls of any other shape stand nobody knows.
        ("other", 200, 200, None),
        ("other", 140, 160, 5),
    ],
)
def test_a_nut_wants_room_beside_what_stands_on_the_plate(
    ask: Ask, profile: str, wide: float, deep: float, room_mm: float | None
) -> None:
    """A tube through its bolts, or a block over them, was the easiest way to make a soft plate pass."""
    section = {"width_mm": wide, "depth_mm": deep, "profile": profile}
    answer = ask(positions=CORNERS, fixture={"width_mm": 220, "depth_mm": 220, "attached_section": section})
    found = [one["given"] for one in answer["requirements"] if one["code"] == "room_beside_section"]
    assert found == ([] if room_mm is None else [pytest.approx(room_mm)])
    if room_mm is not None:
        assert answer["verdict"] == "not_verified"
