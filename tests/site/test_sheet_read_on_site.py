"""What a foreman stumbled over who built by three printed sheets; each trap as a test of its own."""

from __future__ import annotations

import pytest

from service.site.sheet.page import page, style
from tests.site.sheet_cases import REQUESTS, made


@pytest.mark.parametrize("name", REQUESTS)
def test_no_list_stands_in_a_grid_that_a_page_break_could_cut(name: str) -> None:
    """Rows of a grid that goes on over a page are printed over each other: a tick under another tick."""
    gridded = {rule.split("{")[0].strip() for rule in style().split("}") if "display: grid" in rule}
    assert gridded == {"figure.views"}
    shown = page(made(name))
    assert 'class="twin"' not in shown
    ticks = shown.index("tick before starting")
    assert ticks < shown.index("Ticked by (name, date, signature): ____") < shown.index("PPE")
