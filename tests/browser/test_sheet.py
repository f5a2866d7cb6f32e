"""Sheets and drawings in a browser without network: nothing overlaps, nothing is too small, nothing is cut off."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from service.site.sheet import drawing, make, page
from tests.browser.conftest import Watched
from tests.site.sheet_cases import REQUESTS, job, made

LEAST_POINTS = 7.0
PAGE_MM = 190.0
"""What is left of A4 between the margins."""

OVERLAPS = """() => {
  const texts = [...document.querySelectorAll("text")].map((e) => [e.textContent, e.getBoundingClientRect()]);
  const paper = document.querySelector("svg").getBoundingClientRect();
  const found = [];
  texts.forEach(([words, a], i) => {
    if (a.left < paper.left || a.right > paper.right || a.top < paper.top || a.bottom > paper.bottom)
      found.push("beyond the paper: " + words);
    for (const [others, b] of texts.slice(i + 1))
      if (Math.min(a.right, b.right) - Math.max(a.left, b.left) > 0.5 &&
          Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 0.5) found.push(words + " on " + others);
  });
  return found;
}"""
SIZES = """() => {
  const svg = document.querySelector("svg");
  const scale = svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
  return [...svg.querySelectorAll("text")].map((e) => parseFloat(getComputedStyle(e).fontSize) * scale);
}"""


@dataclass(frozen=True)
class Desk:
    """A page to look at drawings on."""

    page: Page

    def show(self, svg: str) -> None:
        self.page.set_content(f"<!DOCTYPE html><body style='margin:0'>{svg.partition('?>')[2]}")


@pytest.fixture(scope="module")
def desk(browser: Browser) -> Iterator[Desk]:
    context = browser.new_context(viewport={"width": 1000, "height": 1400})
    yield Desk(context.new_page())
    context.close()


@pytest.mark.parametrize("name", REQUESTS)
def test_no_text_of_a_drawing_overlaps_another(desk: Desk, name: str) -> None:
    desk.show(drawing.of_sheet(made(name)))
    assert desk.page.locator("text").count() > 10
    assert desk.page.evaluate(OVERLAPS) == []


def test_an_overlap_would_be_found(desk: Desk) -> None:
    svg = drawing.of_sheet(made("guardrail"))
    desk.show(
        svg.replace("</svg>", '<text x="20" y="6" font-size="3">in the way</text><text x="400" y="9">out</text></svg>')
    )
    found = desk.page.evaluate(OVERLAPS)
    assert any("in the way" in one for one in found)
    assert any("beyond the paper: out" in one for one in found)


def test_several_fixings_stand_one_below_the_other(desk: Desk) -> None:
    jobs = [job(request, index=index) for index, request in enumerate(REQUESTS.values())]
    desk.show(drawing.of_sheet(make(jobs)))
    assert desk.page.evaluate(OVERLAPS) == []


@pytest.mark.parametrize("name", REQUESTS)
def test_no_text_is_under_seven_points_on_a4(desk: Desk, name: str) -> None:
    svg = drawing.of_sheet(made(name))
    desk.show(svg)
    desk.page.add_style_tag(content=f"svg {{ width: {PAGE_MM}mm; height: auto }}")
    sizes = desk.page.evaluate(SIZES)
    assert sizes
    assert min(sizes) * 72 / 96 >= LEAST_POINTS


@pytest.mark.parametrize("name", ["guardrail", "screw near a corner", "drop-ins overhead"])
def test_section_and_plan_are_to_scale(desk: Desk, name: str) -> None:
    """The bar below each view is as long as it says at the scale it says."""
    desk.show(drawing.of_sheet(made(name)))
    bars: list[Any] = desk.page.evaluate(
        """() => [...document.querySelectorAll("text")].filter((e) => / : /.test(e.textContent)).map((e) => {
          const row = [...document.querySelectorAll("rect")].filter((r) => r.height.baseVal.value === 1);
          const near = row.filter((r) => Math.abs(r.x.baseVal.value - parseFloat(e.getAttribute("x"))) < 40);
          return [e.textContent, near.reduce((sum, r) => sum + r.width.baseVal.value, 0)];
        })"""
    )
    assert len(bars) == 2
    for words, drawn_mm in bars:
        real, _, scale = words.partition(" mm")
        assert drawn_mm * float(scale.partition(":")[2]) == pytest.approx(float(real), rel=0.01)


def test_holes_stand_where_the_record_has_them(desk: Desk) -> None:
    """Plan of the guardrail post at 1 : 10: 150 mm apart both ways."""
    desk.show(drawing.of_sheet(made("guardrail")))
    centres = desk.page.evaluate(
        '() => [...document.querySelectorAll("circle[r]")].filter((c) => !c.closest("defs")).map((c) => '
        "[c.cx.baseVal.value, c.cy.baseVal.value])"
    )
    assert len(centres) == 4
    xs, ys = sorted({x for x, _ in centres}), sorted({y for _, y in centres})
    assert xs[-1] - xs[0] == pytest.approx(15, abs=0.02)
    assert ys[-1] - ys[0] == pytest.approx(15, abs=0.02)


@pytest.mark.parametrize("name", REQUESTS)
def test_sides_are_named_on_the_plan_without_overlap(desk: Desk, name: str) -> None:
    longest = {side: "towards the pump hall & its door, far o"[: 40 - n] for n, side in enumerate(
        ("x_minus", "x_plus", "y_minus", "y_plus"))}  # fmt: skip
    for words in ({}, {"x_plus": "ahead of you"}, longest):
        desk.show(drawing.of_sheet(made(name, side_names=words)))
        assert desk.page.evaluate(OVERLAPS) == []
        shown = " ".join(desk.page.locator("text").all_text_contents())
        assert all(f"side {letter}" in shown for letter in "ABCD")
        if "x_plus" in words:
            assert "side B: " + words["x_plus"].partition(" ")[0] in shown


def test_a_drawing_reads_out_title_and_description(desk: Desk) -> None:
    desk.show(drawing.of_sheet(made("guardrail")))
    svg = desk.page.locator("svg")
    names = (svg.get_attribute("aria-labelledby") or "").split()
    words = [desk.page.locator(f"#{name}").text_content() or "" for name in names]
    assert svg.get_attribute("role") == "img"
    assert words[0] == "Installation sheet"
    assert "holes 12 mm wide and 95 mm deep" in words[1]
    assert "side B (right of the plan) 125 mm" in words[1]


def test_a_drawing_is_black_grey_and_white(desk: Desk) -> None:
    for name in REQUESTS:
        for colour in {part[:7] for part in drawing.of_sheet(made(name)).split('"') if part.startswith("#")}:
            digits = colour.strip("#")
            parts = [digits[i : i + len(digits) // 3] for i in range(0, len(digits), len(digits) // 3)]
            assert len(set(parts)) == 1, colour


@pytest.fixture
def served(watched: Watched) -> Watched:
    """A page with three fixings, under the policy that the service sends."""
    jobs = [job(REQUESTS[name], 3, index) for index, name in enumerate(("guardrail", "resin", "undercut in a corner"))]
    body = page.page(make(jobs, title="Quay & <valve room>", temperature_c=12))
    headers = {"Content-Type": "text/html; charset=utf-8", "Content-Security-Policy": page.content_policy()}
    watched.page.route("http://127.0.0.1/sheet", lambda route: route.fulfill(body=body, headers=headers))
    watched.page.goto("http://127.0.0.1/sheet")
    return watched


def test_the_page_shows_under_its_own_policy_without_network(served: Watched) -> None:
    assert served.complaints == []
    assert served.strays == []
    assert served.page.locator("h1").inner_text() == "Quay & <valve room>"
    assert served.page.evaluate('getComputedStyle(document.querySelector(".notice")).borderTopWidth') != "0px"


def test_the_page_fits_a_phone(served: Watched) -> None:
    served.page.set_viewport_size({"width": 360, "height": 740})
    assert served.page.evaluate("document.documentElement.scrollWidth") <= 360


def test_no_step_is_parted_by_the_end_of_a_page(served: Watched) -> None:
    served.page.emulate_media(media="print")
    kept = served.page.evaluate(
        '() => [...document.querySelectorAll("ol.steps > li, tr, figure")].map((e) => getComputedStyle(e).breakInside)'
    )
    assert len(kept) > 60
    assert set(kept) == {"avoid"}


def test_each_fixing_begins_a_page_and_says_what_it_is(served: Watched) -> None:
    served.page.emulate_media(media="print")
    begins = served.page.evaluate(
        '() => [...document.querySelectorAll(".fixing")].map((e) => getComputedStyle(e).breakBefore)'
    )
    assert begins == ["page"] * 3
    notices = served.page.locator(".notice").all_inner_texts()
    assert len(notices) == 4
    assert all("DO NOT BUILD" in notice for notice in notices)
    assert len(served.page.locator("svg[role=img]").all()) == 3
    ids = served.page.evaluate('() => [...document.querySelectorAll("[id]")].map((e) => e.id)')
    assert len(ids) == len(set(ids))


def test_there_is_room_to_write(served: Watched) -> None:
    """A pen in a gloved hand, common practice, no source: 8 mm high and 24 mm wide at least, on A4."""
    served.page.set_viewport_size({"width": 718, "height": 1000})
    served.page.emulate_media(media="print")
    sizes = served.page.evaluate(
        '() => [...document.querySelectorAll("td.fill")].map((e) => [e.offsetHeight, e.offsetWidth])'
    )
    assert len(sizes) > 100
    assert min(height for height, _ in sizes) * 25.4 / 96 >= 8
    assert min(width for _, width in sizes) * 25.4 / 96 >= 24
    assert served.page.evaluate("document.documentElement.scrollWidth") <= 718


def test_cautions_and_conditions_stand_before_what_is_drilled(served: Watched) -> None:
    heads = served.page.locator("section.fixing").first.locator("h3").all_inner_texts()
    order = ["What must be so on site", "Protect yourself", "What is drilled and set", "The work, in this order"]
    assert [head for head in heads if head in order] == order


def test_the_temperature_given_marks_its_row(served: Watched) -> None:
    assert served.page.locator("td.holds").all_text_contents() == [
        "from 10\u00a0°C to under 20\u00a0°C", "8\u00a0min", "above 10\u00a0°C to 20\u00a0°C", "90\u00a0min",
    ]  # fmt: skip
