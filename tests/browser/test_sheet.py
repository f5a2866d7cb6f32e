"""Sheets and drawings in a browser without network: nothing overlaps, nothing is too small, nothing is cut off."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from service.contract.verification_codes import Mode
from service.site.sheet import drawing, make, page
from service.words import Audience, catalogue
from tests.browser.conftest import Watched
from tests.site.sheet_cases import REQUESTS, fixing, job, made
from tests.words.pseudo import catalogues_script

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


@pytest.mark.parametrize("name", ["guardrail", "slow resin in a wet hole, grouted", "stand-off", "screw near a corner"])
def test_a_language_of_longer_words_fits_the_drawing_and_its_warning_is_whole(
    desk: Desk, name: str, tmp_path: Path
) -> None:
    script = catalogues_script()
    script.write_pseudo(tmp_path)
    words = catalogue(Audience.CREW, script.PSEUDO, tmp_path)
    desk.show(drawing.of_sheet(make([job(REQUESTS[name])], words=words)))
    assert desk.page.evaluate(OVERLAPS) == []
    shown = " ".join(desk.page.locator("text").all_text_contents())
    assert words.say("DEMONSTRATION: invented figures, do not build") in shown
    assert words.say("break line: no edge assumed") in shown or name.startswith("slow")


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
    """Plan of the guardrail post at 1 : 7.5: 150 mm apart both ways."""
    desk.show(drawing.of_sheet(made("guardrail")))
    centres = desk.page.evaluate(
        '() => [...document.querySelectorAll("circle[r]")].filter((c) => !c.closest("defs")).map((c) => '
        "[c.cx.baseVal.value, c.cy.baseVal.value])"
    )
    assert len(centres) == 4
    xs, ys = sorted({x for x, _ in centres}), sorted({y for _, y in centres})
    assert xs[-1] - xs[0] == pytest.approx(20, abs=0.02)
    assert ys[-1] - ys[0] == pytest.approx(20, abs=0.02)


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


WIDE = "往抽水泵房的方向一直走到水边为止那一侧的混凝土边缘处然后再往前走"


def test_a_name_that_does_not_fit_on_the_plan_stands_below_it_in_full(desk: Desk) -> None:
    one_word = "alongthequaywalltowardsthepumphouse-gate"
    desk.show(drawing.of_sheet(made("guardrail", side_names={"x_plus": one_word, "y_plus": "the yard"})))
    texts = desk.page.locator("text").all_text_contents()
    assert "side B" in texts
    assert f"side B: {one_word}" in texts
    assert "side A: the yard" in texts
    desk.show(drawing.of_sheet(made("guardrail", side_names={"x_plus": WIDE})))
    assert "…" not in "".join(desk.page.locator("text").all_text_contents())
    assert desk.page.evaluate(OVERLAPS) == []


PLATE = """() => {
  const boxes = [...document.querySelectorAll("rect")].filter((r) => r.getAttribute("stroke-width") === "0.5");
  return boxes.map((r) => [r.width.baseVal.value, r.height.baseVal.value]);
}"""


def large_plate(**edges: float) -> str:
    request = fixing(
        ("bonded-rod-hybrid-fast", "M16", 148), [(x, y) for y in (-350, 350) for x in (-600, 600)],
        {"width_mm": 1400, "depth_mm": 900, "thickness_mm": 25}, (10, 0), {"temperature_range": "I"},
        {"thickness_mm": 500, "edges": edges},
    )  # fmt: skip
    return drawing.of_sheet(make([job(request)]))


@pytest.mark.parametrize(
    "edges", [{"y_minus_mm": 470, "x_plus_mm": 4000}, {"x_minus_mm": 9000, "x_plus_mm": 9000}, {"y_minus_mm": 1200}]
)
def test_a_large_plate_takes_a_third_of_the_plan_however_far_the_edges_are(desk: Desk, edges: dict[str, float]) -> None:
    """The plan is 61 mm wide on paper."""
    desk.show(large_plate(**edges))
    [(wide, _)] = desk.page.evaluate(PLATE)
    assert wide >= 61 / 3
    assert desk.page.evaluate(OVERLAPS) == []
    texts = desk.page.locator("text").all_text_contents()
    for distance in edges.values():
        nearest = distance - 350 if "y_minus_mm" in edges and distance in {470, 1200} else distance - 600
        assert f"{nearest:g}" in texts


@pytest.mark.parametrize("name", REQUESTS)
def test_every_plate_takes_a_third_of_the_plan_and_none_is_drawn_where_there_is_none(desk: Desk, name: str) -> None:
    desk.show(drawing.of_sheet(made(name)))
    drawn = desk.page.evaluate(PLATE)
    assert len(drawn) == (name != "eyebolt")
    assert all(max(wide / 61, high / 64) >= 1 / 3 for wide, high in drawn)


def test_an_edge_that_is_broken_off_is_a_thick_line_with_its_distance(desk: Desk) -> None:
    thick = "() => document.querySelectorAll('line[stroke-width=\"0.8\"]').length"
    desk.show(large_plate(y_minus_mm=470, x_plus_mm=4000))
    assert desk.page.evaluate(thick) == 2
    texts = desk.page.locator("text").all_text_contents()
    assert {"120", "3400", "double break line: shortened, the dimension counts"} <= set(texts)
    desk.show(large_plate(y_minus_mm=470))
    assert desk.page.evaluate(thick) == 1
    assert "double break line: shortened, the dimension counts" not in desk.page.locator("text").all_text_contents()


def test_a_drawing_reads_out_title_and_description(desk: Desk) -> None:
    desk.show(drawing.of_sheet(made("guardrail")))
    svg = desk.page.locator("svg")
    names = (svg.get_attribute("aria-labelledby") or "").split()
    words = [desk.page.locator(f"#{name}").text_content() or "" for name in names]
    assert svg.get_attribute("role") == "img"
    assert words[0] == "Installation sheet"
    assert "Holes Ø12 mm, 97 mm deep." in words[1]
    assert "Nearest fastener to the edge at side B (right of the plan): 125 mm." in words[1]


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
    body = page.page(make(jobs, title="Quay & <valve room>", job="Week 48", temperature_c=12))
    headers = {"Content-Type": "text/html; charset=utf-8", "Content-Security-Policy": page.content_policy()}
    watched.page.route("http://127.0.0.1/sheet", lambda route: route.fulfill(body=body, headers=headers))
    watched.page.goto("http://127.0.0.1/sheet")
    return watched


def test_the_page_shows_under_its_own_policy_without_network(served: Watched) -> None:
    assert served.complaints == []
    assert served.strays == []
    assert served.page.locator("h1").inner_text() == "Quay & <valve room>"
    assert served.page.evaluate('getComputedStyle(document.querySelector(".notice")).borderTopWidth') != "0px"


def test_the_drawings_of_the_page_lie_on_white_not_under_it(served: Watched) -> None:
    """What comes later in an SVG covers what comes before it."""
    met = served.page.locator("svg[role=img]").evaluate_all(
        """(all) => all.map((svg) => [...svg.children].findIndex((e) => e.localName === "rect")
          < [...svg.children].findIndex((e) => e.localName === "g"))"""
    )
    assert met == [True] * 6


def test_the_page_fits_a_phone(served: Watched) -> None:
    served.page.set_viewport_size({"width": 360, "height": 740})
    assert served.page.evaluate("document.documentElement.scrollWidth") <= 360


def test_on_a_phone_section_and_plan_stand_one_below_the_other_and_in_view(served: Watched) -> None:
    served.page.set_viewport_size({"width": 360, "height": 740})
    boxes = [svg.bounding_box() for svg in served.page.locator("svg[role=img]").all()[:2]]
    section, plan = ((box["x"], box["y"], box["width"], box["height"]) for box in boxes if box is not None)
    assert plan[1] >= section[1] + section[3] - 1
    for x, _, wide, _ in (section, plan):
        assert x >= 0
        assert x + wide <= 360
        assert wide > 300


def test_the_bill_of_materials_is_not_squeezed_on_a_phone(served: Watched) -> None:
    """A line of the longest entry has several words: at most one line for every 20 letters."""
    served.page.set_viewport_size({"width": 360, "height": 740})
    rows = served.page.evaluate(
        """() => [...document.querySelectorAll(".bill tbody tr")].map((e) => [
          e.textContent.length, e.offsetHeight / parseFloat(getComputedStyle(e).lineHeight)])"""
    )
    assert len(rows) > 4
    for letters, lines in rows:
        assert lines <= 4 + letters / 20


def test_every_printed_page_says_what_it_is_about_and_its_number(served: Watched) -> None:
    served.page.emulate_media(media="print")
    heads = served.page.locator(".pages > .head")
    shown = heads.evaluate_all("(all) => all.map((e) => [getComputedStyle(e).display, e.textContent])")
    assert [display for display, _ in shown] == ["table-header-group"] * 4
    words = [text for _, text in shown]
    assert words[0] == "Week 48 – Quay & <valve room>"
    assert words[1] == "Week 48 – Fixing 1: PS4-rail-017, copy ____ of 3"
    assert "counter(page)" in page.style()
    assert "counter(pages)" in page.style()


def test_aborted_holes_are_never_alone_on_a_page(served: Watched) -> None:
    """Kept with the form of the fixing, which takes a third of a page with them; cautions flow where there is room."""
    served.page.emulate_media(media="print")
    kept = served.page.locator("section.block:has(.once):has(h3:text('Aborted holes'))")
    assert kept.count() == 3
    assert set(kept.evaluate_all("(all) => all.map((e) => getComputedStyle(e).breakInside)")) == {"avoid"}
    listed = served.page.locator("section.listed").evaluate_all(
        "(all) => all.map((e) => getComputedStyle(e).breakInside)"
    )
    assert set(listed) == {"auto"}
    facts = served.page.locator(".facts").evaluate_all("(all) => all.map((e) => getComputedStyle(e).breakAfter)")
    assert facts == ["avoid"] * 3


def test_forms_of_several_copies_can_be_told_apart(served: Watched) -> None:
    lines = served.page.locator(".which").all_inner_texts()
    assert lines == ["Copy ____ of 3, location: ____________________"] * 3


def test_curing_comes_on_top_only_where_something_cures() -> None:
    assert "curing" not in page.page(make([job(REQUESTS["guardrail"])])).partition("<h2>")[0].partition("<body>")[2]
    both = page.page(make([job(REQUESTS["slow resin in a wet hole, grouted"])]))
    assert ", without curing of the resin and hardening of the grout." in both


def test_what_it_is_used_to_is_said_in_per_cent_and_the_mode_in_words() -> None:
    for name in REQUESTS:
        written = page.page(make([job(REQUESTS[name])]))
        assert re.search(r"Utilisation \d+\u00a0%; governing: [a-z, -]+\. Record", written), name
        [governing] = re.findall(r"governing: (.*?)\. Record", written)
        assert governing in {catalogue(Audience.CREW).name(mode) for mode in Mode}, "as the page names them"


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
    # The first goes on below the bill of materials, so that no page is left nearly empty.
    assert begins == ["auto", "page", "page"]
    notices = served.page.locator(".notice").all_inner_texts()
    # Once on the first page, and on each page that another fixing begins.
    assert len(notices) == 3
    assert all("DO NOT BUILD" in notice for notice in notices)
    assert len(served.page.locator("svg[role=img]").all()) == 6
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
    order = ["What it holds", "What it rests on: tick before starting", "PPE", "What is drilled and set",
             "Installation sequence"]  # fmt: skip
    assert [head for head in heads if head in order] == order


def test_the_temperature_given_marks_its_row(served: Watched) -> None:
    assert served.page.locator("td.holds").all_text_contents() == [
        "from 10\u00a0°C to under 20\u00a0°C", "9\u00a0min",
        "above 10\u00a0°C to 20\u00a0°C", "2\u00a0h\u00a015\u00a0min",
    ]  # fmt: skip
