"""The page for people, from the first question to the printed sheet, and what it says when that does not go well."""

from __future__ import annotations

import json
import re
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import date
from itertools import product
from pathlib import Path
from subprocess import run
from typing import Any
from urllib.request import Request, urlopen

import pytest
from playwright.sync_api import Browser, Locator, Page, expect
from werkzeug.serving import make_server

from service.api import create_app
from service.contract.load_model_codes import Caution as LoadModelCaution
from service.contract.verification_codes import CautionCode, RequirementCode
from service.words import Audience, Statement, catalogue
from tests.browser import page_walk as walk
from tests.browser.conftest import RULES, Desks, Watched

WIDTHS = (360, 1280)
HANDS = {"mouse": walk.Mouse, "keyboard": walk.Keyboard}
JOBS = {"post at a quay": walk.QUAY_POST, "pipe hanger": walk.PIPE_HANGER, "pump on a plinth": walk.PUMP}
IMPATIENT = "const real = AbortSignal.timeout.bind(AbortSignal); AbortSignal.timeout = () => real(300);"
# Each width, each job and both hands in every run; all of them together in the long one.
IN_EVERY_RUN = {
    (360, "post at a quay", "mouse"), (360, "pipe hanger", "keyboard"), (1280, "pump on a plinth", "mouse"),
}  # fmt: skip
WALKS = [
    pytest.param(*walk, marks=[] if walk in IN_EVERY_RUN else [pytest.mark.long])
    for walk in product(WIDTHS, JOBS, HANDS)
]
MACHINE_WORDS = re.compile(r"\b[a-z]+[a-z0-9]*_[a-z0-9_]+\b|#/|\b[xy] (?:plus|minus)\b|[+−]x\b|[+−]y\b")
MIDDLE_OF_PLAN = 180
PRAISE = re.compile(r"\b(?:is|are|be) safe\b|\bsafely\b", re.IGNORECASE)


@pytest.fixture(params=WIDTHS)
def sized(request: pytest.FixtureRequest, desks: Desks) -> Iterator[Watched]:
    """A page at phone and at desk size."""
    with desks.page(request.param, 800, "en-GB") as watched:
        yield watched


@contextmanager
def _served(rules: Path) -> Iterator[str]:
    server = make_server("127.0.0.1", 0, create_app(rules, clock=lambda: date(2026, 11, 25)), threaded=True)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    thread.join()


def _walk_to_site(hands: walk.Mouse, job: walk.Job, address: str) -> None:
    walk.begin(hands.page, address)
    walk.to_loads(hands, job)
    walk.to_concrete(hands, job)
    walk.to_plate(hands, job)
    walk.to_site(hands, job)


def _walk_to_answer(hands: walk.Mouse, job: walk.Job, address: str) -> None:
    _walk_to_site(hands, job, address)
    walk.to_answer(hands, job)


def _fits(page: Page) -> bool:
    fits: bool = page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    return fits


def _sides_of_the_page(page: Page) -> dict[str, str]:
    """Where in the drawing of the page the words of each side stand."""
    ends = "all => all.map((e) => [e.textContent, e.x.baseVal[0].value, e.y.baseVal[0].value])"
    found = page.locator("#plan .side").evaluate_all(ends)
    return {words: _place([x, y, x, y]) for words, x, y in found}


def _sides_of_the_sheet(sheet: Page) -> dict[str, str]:
    """The same of the plan of a sheet, from where its letters lie among one another."""
    boxes = """all => all.map((e) => [e.textContent, e.getBoundingClientRect()])
        .map(([words, box]) => [words, box.x + box.width / 2, box.y + box.height / 2])"""
    named = [one for one in sheet.locator("svg text").evaluate_all(boxes) if one[0].startswith("side ")]
    told = r"\b([A-D]): ((?:ahead of|behind) you|to your (?:left|right))"
    letters = dict(re.findall(told, sheet.locator("body").inner_text()))
    assert len(named) == len(letters) == 4
    middle = [(max(one[at] for one in named) + min(one[at] for one in named)) / 2 for at in (1, 2)]
    places = {}
    for words, x, y in named:
        at = [MIDDLE_OF_PLAN + x - middle[0], MIDDLE_OF_PLAN + y - middle[1]]
        places[letters[words[len("side ")]]] = _place([*at, *at])
    return places


def _walk_to_answer_looking(hands: walk.Mouse, job: walk.Job, address: str) -> dict[str, list[str]]:
    """What keeps people out at each step up to the answer."""
    walk.begin(hands.page, address)
    found = {"thing": walk.findings(hands.page)}
    for name, step in walk.STEPS.items():
        step(hands, job)
        found[name] = walk.findings(hands.page)
        assert _fits(hands.page), name
    return found


@pytest.mark.parametrize(("sized", "job", "hands"), WALKS, indirect=["sized"])
def test_from_the_first_question_to_the_printed_sheet_nothing_keeps_people_out(
    sized: Watched, address: str, hands: str, job: str
) -> None:
    using = HANDS[hands](sized.page)
    found = _walk_to_answer_looking(using, JOBS[job], address)
    expect(sized.page.locator("#answer-title")).to_be_focused()
    first = sized.page.locator("#answer article h3").first.inner_text().partition(". ")[2]
    walk.to_why(using)
    expect(sized.page.locator("#why-title")).to_have_text(f"Why {first}?")
    expect(sized.page.locator("#why-title")).to_be_focused()
    found["why"] = walk.findings(sized.page)
    assert {name: those for name, those in found.items() if those} == {}
    sheet = walk.to_sheet(using)
    complaints = Watched(sheet).complaints
    expect(sheet.locator("h1")).to_have_text("Installation sheet")
    assert sized.page.locator("#record-id").inner_text() in sheet.content()
    assert _sides_of_the_page(sized.page) == _sides_of_the_sheet(sheet)
    assert len(sheet.pdf()) > 10_000
    assert (sized.complaints, sized.strays, complaints) == ([], [], [])


def test_what_a_page_would_fetch_from_elsewhere_is_seen_and_gets_nowhere(watched: Watched) -> None:
    """An address by name, and one that needs none: 192.0.2.0/24 is kept for examples by RFC 5737."""
    elsewhere = ["http://elsewhere.example/", "http://192.0.2.1/"]
    fetched = "address => fetch(address).then(() => 'came', () => 'failed')"
    assert [watched.page.evaluate(fetched, address) for address in elsewhere] == ["failed"] * 2
    assert watched.strays == elsewhere
    assert [complaint.split(":")[-1].strip() for complaint in watched.complaints] == ["ERR_NAME_NOT_RESOLVED"] * 2


def test_axe_would_find_something(watched: Watched, address: str) -> None:
    walk.begin(watched.page, address)
    watched.page.evaluate("document.querySelector('main').append(document.createElement('input'))")
    assert any(one.startswith("label") for one in walk.findings(watched.page))


def test_what_it_shows_is_what_the_api_answers(watched: Watched, address: str) -> None:
    answers: dict[str, Any] = {}
    watched.page.on("response", lambda one: answers.update({one.url.removeprefix(address): one}))
    using = walk.Mouse(watched.page)
    _walk_to_answer(using, walk.QUAY_POST, address)
    sizing = answers["/v1/sizings"].json()
    shown = watched.page.locator("#answer article h3").all_inner_texts()
    wanted = [
        "{rank}. {count} × {title}, size {size}".format(
            rank=choice["rank"], count=len(choice["positions"]), **choice["fastener"]
        )
        for choice in sizing["choices"]
    ]
    assert shown == wanted
    said = watched.page.locator("#answer").inner_text()
    assert [words for words in _in_words_of_the_crew(sizing["cautions"]) if words not in said] == []
    _holds_cautions_of_loads(watched.page.locator("#answer"), sizing["cautions"])
    walk.to_why(using)
    verification = answers["/v1/verifications"].json()
    words = watched.page.locator("#why").inner_text()
    assert verification["record"]["id"] in words
    assert [said for said in _in_words_of_the_crew(verification["cautions"]) if said not in words] == []
    _holds_cautions_of_loads(watched.page.locator("#why"), verification["cautions"])
    everything = watched.page.locator("#why").text_content() or ""
    crew, requirements = catalogue(Audience.CREW), verification["requirements"]
    assert f"{len(requirements)} requirements" in everything
    # Names that only programs use are in other words on the page.
    numbers = [
        one for one in requirements if not any(isinstance(figure, str | list) for figure in one["figures"].values())
    ]
    details = [
        crew.say(RequirementCode(one["code"]).says.template(Audience.CREW, one["figures"]), **one["figures"])
        for one in numbers
    ]
    assert len(details) > len(requirements) / 4
    # They begin with a capital letter where they stand alone.
    assert [detail for detail in details if detail[1:] not in everything] == []


def _in_words_of_the_crew(cautions: list[dict[str, Any]]) -> Iterator[str]:
    """Cautions that are not those of the load model; those that the rulebook brings are in its own words."""
    crew, known = catalogue(Audience.CREW), {*CautionCode}
    for caution in cautions:
        code, figures = caution["code"], caution["figures"]
        if code in known:
            yield crew.say(CautionCode(code).says.template(Audience.CREW, figures), **figures)
        elif code not in {*LoadModelCaution}:
            yield caution["text"]


def _holds_cautions_of_loads(place: Locator, cautions: list[dict[str, Any]]) -> None:
    """Those of the load model stand together, folded, in the words of the crew."""
    codes = {caution["code"] for caution in cautions} & {*LoadModelCaution}
    assert codes
    crew, said = catalogue(Audience.CREW), place.text_content() or ""
    assert [code for code in codes if crew.sentence(Statement(LoadModelCaution(code))) not in said] == []


def test_who_could_be_hurt_and_what_takes_over_is_asked_and_sent(watched: Watched, address: str) -> None:
    asked: list[Any] = []
    page, using = watched.page, walk.Mouse(watched.page)
    page.on("request", lambda one: asked.append(one.post_data_json) if one.url.endswith("/v1/sizings") else None)
    _walk_to_site(using, walk.PIPE_HANGER, address)
    # What hangs under a slab hangs over people, whatever else is said.
    expect(page.locator("#hurt-people_below")).to_be_checked()
    using.tick("#hurt-nobody")
    using.tick("#redundant-yes")
    using.press("#step-site button[type=submit]")
    expect(page.locator("#shared-points-error")).to_have_text("must be given")
    expect(page.locator("#shown-by-error")).to_have_text("must be given")
    assert asked == []
    using.write("#shared-points", "6")
    using.write("#shown-by", "engineer of the gallery")
    walk.to_answer(using, walk.PIPE_HANGER)
    [sent] = asked
    assert sent["use"]["consequence"] == ["people_below"]
    assert sent["use"]["redundancy"] == {"points": 6, "bridging_shown_by": "engineer of the gallery"}
    assert [one["load_model"] for one in sent["loads_from"]] == ["soffit_hanger"]


def test_a_ring_or_a_bare_rod_is_told_and_asks_nothing_of_a_plate(watched: Watched, address: str) -> None:
    asked: list[Any] = []
    page, using = watched.page, walk.Mouse(watched.page)
    page.on("request", lambda one: asked.append(one.post_data_json) if one.url.endswith("/v1/sizings") else None)
    hanger = replace(walk.PIPE_HANGER, edges={"far": "400"}, measured="plate")
    walk.begin(page, address)
    walk.to_loads(using, hanger)
    walk.to_concrete(using, hanger)
    walk.to_plate(using, hanger)
    using.tick("#has-plate-no")
    for hidden in ("#plate-x", "#holes", "#bedding-asked", "#section-x", "#plate-hole"):
        expect(page.locator(hidden)).to_be_hidden()
    using.write("#plate-thickness", "3")
    using.tick("#others-no")
    using.press("#step-plate button[type=submit]")
    expect(page.locator("#trouble")).to_contain_text("measure from the middle of the hole")
    using.press("#step-plate [data-back]")
    using.tick("#measured-hole")
    walk.submit(using, "concrete", "plate")
    walk.submit(using, "plate", "site")
    walk.to_answer(using, hanger)
    [sent] = asked
    assert sent["fixture"] == {"plate": False, "width_mm": 10, "depth_mm": 10, "thickness_mm": 3}
    assert sent["pattern"] == {"x": {"counts": [1]}, "y": {"counts": [1]}}
    assert 400 in sent["member"]["edges"].values()
    assert (watched.complaints, watched.strays) == ([], [])


def test_record_that_is_downloaded_can_be_replayed(watched: Watched, address: str) -> None:
    using = walk.Mouse(watched.page)
    _walk_to_answer(using, walk.PIPE_HANGER, address)
    walk.to_why(using)
    with watched.page.expect_download() as download:
        using.press("#record-link")
    record = download.value.path().read_bytes()
    asked = Request(f"{address}/v1/replays", record, {"Content-Type": "application/json"})
    with urlopen(asked) as answer:
        replayed = json.load(answer)
    assert replayed["record"]["consistent"] is True


def test_nothing_passes_in_words_that_help(sized: Watched, address: str) -> None:
    _walk_to_answer(walk.Mouse(sized.page), walk.TOO_HEAVY, address)
    words = sized.page.locator("#answer").inner_text()
    assert words.startswith("No answer yet: improve the site first.")
    assert "Why nothing passes" in words
    assert sized.page.locator("#answer article").count() == 0
    taken = sized.page.locator("#answer .unknown li").all_inner_texts()
    assert len(taken) == 10
    assert [one for one in taken if re.search(r": .*(?:taken|every resistance times)", one) is None] == []
    assert any("resin, the least favourable that each is assessed for was taken" in one for one in taken)
    # 0.7 for a hole that nobody has seen clean, as the rulebook has it.
    assert any("Who has seen the hole clean: every resistance times 0.7, for fasteners" in one for one in taken)
    assert walk.findings(sized.page) == []
    assert _fits(sized.page)
    assert (sized.complaints, sized.strays) == ([], [])


def test_what_would_help_is_told_where_one_change_does(watched: Watched, address: str) -> None:
    job = replace(walk.PIPE_HANGER, site={**walk.PIPE_HANGER.site, "exposure": "marine"}, edges={"far": "60"})
    answers: list[Any] = []
    watched.page.on("response", lambda one: answers.append(one) if one.url.endswith("/v1/sizings") else None)
    _walk_to_answer(walk.Mouse(watched.page), job, address)
    details = [one["detail"] for one in answers[-1].json()["relaxations"]]
    assert any("edge x plus" in detail for detail in details)
    words = watched.page.locator("#answer").inner_text()
    assert "What would help" in words
    assert words.count(" would pass") == len(details) > 0
    assert "The edge (ahead of you)" in words
    assert "x plus" not in words


@pytest.mark.parametrize("language", ["de-DE", "en-GB"])
def test_comma_and_point_are_the_same_and_figures_are_shown_as_the_reader_writes(
    browser: Browser, address: str, language: str
) -> None:
    context = browser.new_context(locale=language)
    page = context.new_page()
    sent: list[Any] = []
    page.on("request", lambda one: sent.append(one.post_data_json) if one.url.endswith("guardrail_post") else None)
    using = walk.Mouse(page)
    for text in ("18,5", "18.5"):
        walk.begin(page, address)
        walk.to_loads(using, walk.QUAY_POST)
        walk.to_concrete(using, replace(walk.QUAY_POST, loads={**walk.QUAY_POST.loads, "mass_kg": text}))
    assert [one["mass_kg"] for one in sent] == [18.5, 18.5]
    shown = page.locator("#loads-words").inner_text()
    # 2 kN/m over 1.2 m, times 1.25 as the rail runs on and 1.5 for variable actions, 1.1 m above the concrete: by hand.
    assert ("4,95 kNm" if language == "de-DE" else "4.95 kNm") in shown
    context.close()


@pytest.mark.parametrize("text", ["1,100", "1.100"])
def test_what_can_be_read_in_two_ways_is_asked_again(watched: Watched, address: str, text: str) -> None:
    using = walk.Mouse(watched.page)
    walk.begin(watched.page, address)
    walk.to_loads(using, walk.QUAY_POST)
    using.write("#input-rail_height_mm", text)
    using.press("#step-loads button[type=submit]")
    expect(watched.page.locator("#trouble")).to_be_focused()
    expect(watched.page.locator("#input-rail_height_mm-error")).to_contain_text("write 1100")
    expect(watched.page.locator("#input-rail_height_mm")).to_have_attribute("aria-invalid", "true")


def test_weight_may_be_given_as_a_force_and_forces_be_shown_as_weight(watched: Watched, address: str) -> None:
    using = walk.Mouse(watched.page)
    sent: list[Any] = []
    watched.page.on("request", lambda one: sent.append(one.post_data_json) if one.url.endswith("_hanger") else None)
    walk.begin(watched.page, address)
    walk.to_loads(using, walk.PIPE_HANGER)
    using.choose("#input-mass_kg-unit", "kN")
    walk.to_concrete(using, replace(walk.PIPE_HANGER, loads={"mass_kg": "1,76520"}))
    # 1.7652 kN over 9.80665 m/s²: by hand.
    assert sent[-1]["mass_kg"] == pytest.approx(180, rel=1e-4)
    walk.to_plate(using, walk.PIPE_HANGER)
    walk.to_site(using, walk.PIPE_HANGER)
    walk.to_answer(using, walk.PIPE_HANGER)
    expect(watched.page.locator("#answer")).to_contain_text("a pull of up to 2.65 kN")
    using.tick("#shown-kg")
    # 180 kg times 1.5, the factor of variable actions.
    expect(watched.page.locator("#answer")).to_contain_text("a pull of up to 2.65 kN (about 270 kg)")


def test_a_refusal_stands_at_its_field_and_focus_goes_to_it(watched: Watched, address: str) -> None:
    using = walk.Mouse(watched.page)
    walk.begin(watched.page, address)
    walk.to_loads(using, walk.QUAY_POST)
    using.write("#input-rail_height_mm", "20")
    using.press("#step-loads button[type=submit]")
    page = watched.page
    expect(page.locator("#trouble")).to_be_focused()
    words = "“20” was given; what can be calculated is from 300 to 3000 mm"
    expect(page.locator("#input-rail_height_mm-error")).to_have_text(words)
    expect(page.locator("#input-mounting-error")).to_have_text("must be given")
    assert walk.findings(page) == []
    page.locator("#trouble a", has_text="Height of the rail").click()
    expect(page.locator("#input-rail_height_mm")).to_be_focused()


def test_a_refusal_of_an_earlier_step_leads_back_to_it_in_words_of_the_page(watched: Watched, address: str) -> None:
    """What the page let through and the service refuses: no pointer and no name of a field is shown."""
    using = walk.Mouse(watched.page)
    _walk_to_site(using, walk.PIPE_HANGER, address)
    refused = {
        "title": "Some fields are wrong",
        "detail": "2 fields are wrong.",
        "errors": [
            {
                "pointer": "#/member/thickness_mm",
                "code": "below_minimum",
                "detail": "must be more; see #/fixture/width_mm",
                "given": "220",
            },
            {"pointer": "#/load_cases/3/edge_x_max", "code": "x", "detail": "edge_x_max must be given"},
        ],
    }
    watched.page.route("**/v1/sizings", lambda route: route.fulfill(status=422, json=refused))
    using.press("#step-site button[type=submit]")
    trouble = watched.page.locator("#trouble")
    expect(trouble).to_contain_text("Some answers have to be changed")
    expect(trouble).to_contain_text("“220” was given; this is too little beside your other answers")
    expect(trouble).to_contain_text("names no question of this page")
    assert MACHINE_WORDS.search(trouble.inner_text()) is None
    trouble.locator("summary").click()
    expect(trouble.locator("details")).to_contain_text("edge_x_max must be given")
    watched.page.locator("#trouble a", has_text="Thickness of the concrete").click()
    expect(watched.page.locator("#thickness")).to_be_focused()
    expect(watched.page.locator("#thickness-error")).to_contain_text("this is too little")


def test_every_side_must_be_answered(watched: Watched, address: str) -> None:
    using = walk.Mouse(watched.page)
    walk.begin(watched.page, address)
    walk.to_loads(using, walk.PIPE_HANGER)
    walk.to_concrete(using, walk.PIPE_HANGER)
    using.press("#step-concrete button[type=submit]")
    trouble = watched.page.locator("#trouble")
    expect(trouble.locator("li")).to_have_count(6)
    assert trouble.inner_text().count("answer yes or no") == 4
    expect(trouble.locator("li").first).to_contain_text("Does anything lie on the concrete")
    expect(trouble.locator("li").nth(1)).to_contain_text("Thickness of the concrete")
    expect(watched.page.locator("#thickness-hint")).to_contain_text("have it measured")
    using.write("#thickness", "220 mm")
    expect(watched.page.locator("#thickness-error")).to_have_count(0)
    using.tick("#edge-left-no")
    expect(watched.page.locator("#edge-left-no-error")).to_have_count(0)
    expect(watched.page.locator("#edge-right-no-error")).to_have_count(1)


def test_all_that_is_missing_is_said_at_once_and_in_words(watched: Watched, address: str) -> None:
    using, page = walk.Mouse(watched.page), watched.page
    walk.begin(page, address)
    walk.to_loads(using, walk.QUAY_POST)
    using.choose("#input-mounting", "side")
    using.write("#input-rail_height_mm", "1,1 m")
    using.press("#step-loads button[type=submit]")
    faults = page.locator("#trouble li").all_inner_texts()
    for name in ("Who uses the place", "Height of the rail", "Distance to the next post", "Fixing below the floor",
                 "Concrete face to the post's centre", "Mass of post and rail"):  # fmt: skip
        assert any(fault.startswith(name) for fault in faults), name
    expect(page.locator("#input-rail_height_mm-error")).to_have_text(
        "“1,1 m” was given; the figure is asked in mm: give it in mm"
    )
    assert page.locator("#input-rail_height_mm").get_attribute("inputmode") == "decimal"
    page.go_back()
    walk.to_loads(using, walk.PUMP)
    assert page.locator("#input-centre_x_mm").get_attribute("inputmode") == "text"
    assert "φ" not in page.locator("#step-loads").inner_text()
    assert "costs most" not in (page.locator("#step-loads").text_content() or "")


def test_a_hanger_is_a_plate_and_what_each_gets_is_said(watched: Watched, address: str) -> None:
    """180 kg on two: 90 kg each, by hand; the service says what the most loaded one gets."""
    using, page = walk.Mouse(watched.page), watched.page
    walk.begin(page, address)
    walk.to_loads(using, walk.PIPE_HANGER)
    expect(page.locator("#input-hangers-hint")).to_contain_text("One plate with two rods is one hanger")
    using.write("#input-mass_kg", "180 kg")
    expect(page.locator("#shared")).to_be_empty()
    using.write("#input-hangers", "2")
    expect(page.locator("#shared")).to_contain_text("180 kg on 2 hangers: 90 kg on each hanger")
    walk.submit(using, "loads", "concrete")
    expect(page.locator("#loads-words")).to_contain_text("those of one hanger, which is one plate with all its bolts")
    walk.to_plate(using, walk.PIPE_HANGER)
    # Sizes that nobody measured are never taken.
    assert page.locator("#plate-x").input_value() == ""
    assert page.locator("#plate-x").get_attribute("placeholder") == "for example 100"
    using.press("#step-plate button[type=submit]")
    missing = page.locator("#trouble").inner_text()
    asked = ("Size of the plate from front", "Thickness of the plate", "How many holes", "Is there grout")
    for name in (*asked, "Are there other"):
        assert name in missing
    using.tick("#bedding-yes")
    using.write("#grout", "30")
    for _ in ("concrete", "loads", "thing"):
        page.go_back()
    walk.to_loads(using, walk.QUAY_POST)
    expect(page.locator("#bedding-yes")).not_to_be_checked()
    assert page.locator("#grout").input_value() == ""


@pytest.mark.parametrize(
    ("surface", "side", "edge", "place", "words"),
    [
        ("top_of_slab", "left", "y_plus", "top", "to your left"),
        ("top_of_slab", "far", "x_plus", "right", "ahead of you"),
        ("soffit", "left", "y_minus", "bottom", "to your left"), ("soffit", "near", "x_minus", "left", "behind you"),
        ("vertical_face", "left", "x_minus", "left", "to the left"), ("vertical_face", "far", "y_plus", "top", "above"),
    ],
)  # fmt: skip
def test_drawing_words_request_and_sheet_agree_on_each_surface(
    watched: Watched, address: str, surface: str, side: str, edge: str, place: str, words: str
) -> None:
    """Axes as /v1/load-models has them: y is to the left of x on a slab, to the right of who stands under one.

    From memory: whoever faces ahead under a ceiling and turns what they see overhead until ahead is on the right has
    their left at the bottom; seen from above, as on a floor, it is at the top.
    """
    sent: list[Any] = []
    watched.page.on("request", lambda one: sent.append(one.post_data_json) if one.url.endswith("/v1/sizings") else None)
    using = walk.Mouse(watched.page)
    walk.begin(watched.page, address)
    using.tick("#thing-forces")
    walk.submit(using, "thing", "loads")
    using.tick(f"#surface-{surface}")
    kind = "variable" if surface == "vertical_face" else "design"
    using.tick(f"#kind-{kind}")
    using.write("#force-normal_kn", "200 kg")
    using.choose("#force-normal_kn-unit", "kg")
    walk.submit(using, "loads", "concrete")
    job = replace(walk.PIPE_HANGER, edges={side: "400"})
    question = f"Is there an edge of the concrete {words}, within 3 m?"
    expect(watched.page.locator(f'[data-side-words="{side}"]')).to_have_text(question)
    walk.to_plate(using, job)
    watched.page.go_back()
    line = watched.page.locator("#plan .edge")
    assert _place(line.evaluate("e => [e.x1, e.y1, e.x2, e.y2].map((one) => one.baseVal.value)")) == place
    rim = watched.page.locator("#plan .side", has_text=words).evaluate("e => [e.x, e.y].map((a) => a.baseVal[0].value)")
    assert _place([*rim, *rim]) == place
    seen = {"soffit": "Seen from below", "top_of_slab": "Seen from above", "vertical_face": "Seen from in front"}[
        surface
    ]
    expect(watched.page.locator("#plan-words")).to_contain_text(seen)
    expect(watched.page.locator("#plan-words")).to_contain_text(f"{words} 400 mm")
    named = watched.page.evaluate(
        "([base, at]) => import(`${base}/page/sides.js`).then((own) => own.sideNames({}, at))", [address, surface]
    )
    assert named[edge].startswith(words)
    watched.page.go_forward()
    walk.to_site(using, job)
    walk.to_answer(using, job)
    assert sent[-1]["member"]["edges"] == {f"{edge}_mm": 400}
    # 200 kg times 9.80665 m/s²
    (load,) = sent[-1]["load_cases" if kind == "design" else "actions"]
    assert (load["kind"], load["normal_kn"]) == (kind, pytest.approx(1.96133, rel=1e-5))
    assert sent[-1]["use"]["overhead"] is (surface == "soffit")
    assert watched.complaints == []


def _place(line: list[float]) -> str:
    """On which side of the plate of the page's drawing a line or a point lies."""
    x, y = (line[0] + line[2]) / 2 - MIDDLE_OF_PLAN, (line[1] + line[3]) / 2 - MIDDLE_OF_PLAN
    if abs(x) > abs(y):
        return "right" if x > 0 else "left"
    return "bottom" if y > 0 else "top"


def test_drawing_and_its_words_show_the_answers(watched: Watched, address: str) -> None:
    using = walk.Mouse(watched.page)
    walk.begin(watched.page, address)
    walk.to_loads(using, walk.QUAY_POST)
    walk.to_concrete(using, walk.QUAY_POST)
    expect(watched.page.locator("#plan line")).to_have_count(0)
    walk.to_plate(using, walk.QUAY_POST)
    watched.page.go_back()
    expect(watched.page.locator("#plan .edge")).to_have_count(1)
    expect(watched.page.locator("#plan .distance-label")).to_have_text(["180 mm"])
    words = "ahead of you 180 mm from the middle of the plate; behind you none within 3 m"
    expect(watched.page.locator("#plan-words")).to_contain_text(words)


def test_a_service_without_rulebook_says_so(browser: Browser, tmp_path: Path) -> None:
    page = browser.new_page()
    with _served(tmp_path) as address:
        page.goto(f"{address}/")
        expect(page.locator("#trouble h2")).to_have_text("The service has no rulebook to answer by")
        expect(page.locator("#trouble")).to_be_focused()
        assert walk.findings(page) == []
    page.close()


def test_a_service_that_is_down_can_be_tried_again(browser: Browser, address: str) -> None:
    page = browser.new_page()
    page.route("**/v1/**", lambda route: route.abort())
    page.goto(f"{address}/")
    expect(page.locator("#trouble h2")).to_have_text("The service is down")
    page.unroute("**/v1/**")
    page.get_by_role("button", name="Try again").click()
    expect(page.locator("#step-thing")).to_be_visible()
    expect(page.locator("#trouble")).to_be_hidden()
    page.close()


def test_offline_and_too_slow_have_words_and_the_answers_stay(browser: Browser, address: str) -> None:
    context = browser.new_context()
    page = context.new_page()
    using = walk.Mouse(page)
    page.add_init_script(IMPATIENT)
    walk.begin(page, address)
    walk.to_loads(using, walk.PIPE_HANGER)
    using.write("#input-mass_kg", "180")
    context.set_offline(True)
    using.press("#step-loads button[type=submit]")
    expect(page.locator("#trouble h2")).to_have_text("No connection")
    context.set_offline(False)
    page.route("**/v1/load-models/**", lambda _: None)
    using.press("#step-loads button[type=submit]")
    expect(page.locator("#status")).to_have_text("Working out the loads …")
    expect(page.locator("#trouble h2")).to_have_text("No answer in time")
    page.unroute("**/v1/load-models/**")
    expect(page.locator("#input-mass_kg")).to_have_value("180")
    walk.submit(using, "loads", "concrete")
    context.close()


def test_a_suspended_family_is_named_with_its_reason(browser: Browser, tmp_path: Path) -> None:
    run(["git", "clone", "--quiet", "--shared", str(RULES.parent), str(tmp_path / "clone")], check=True)
    rules = tmp_path / "clone" / "rules"
    reason = "Clips found cracked in one delivery"
    stop = {"family": "bolt-expansion-stainless", "since": "2026-11-20", "reason": reason}
    (rules / "suspensions.json").write_text(json.dumps({"fasteners": [stop], "versions": []}))
    context = browser.new_context()
    page = context.new_page()
    with _served(rules) as address:
        _walk_to_answer(walk.Mouse(page), walk.PIPE_HANGER, address)
        expect(page.locator("#answer")).to_contain_text(reason)
    context.close()


def test_the_way_back_keeps_the_answers(watched: Watched, address: str) -> None:
    using = walk.Mouse(watched.page)
    _walk_to_answer(using, walk.PIPE_HANGER, address)
    watched.page.go_back()
    expect(watched.page.locator("#step-site")).to_be_visible()
    using.press("#step-site [data-back]")
    expect(watched.page.locator("#step-plate")).to_be_visible()
    expect(watched.page.locator("#plate-x")).to_have_value("100")


def test_an_answer_to_questions_that_were_changed_is_not_shown_again(watched: Watched, address: str) -> None:
    using = walk.Mouse(watched.page)
    _walk_to_answer(using, walk.PIPE_HANGER, address)
    watched.page.go_back()
    using.choose("#hole", "flooded")
    watched.page.go_forward()
    expect(watched.page.locator("#step-site")).to_be_visible()
    for _ in ("site", "plate", "concrete", "loads"):
        watched.page.go_back()
    expect(watched.page.locator("#step-loads")).to_be_visible()
    using.write("#input-mass_kg", "900")
    watched.page.go_forward()
    expect(watched.page.locator("#step-loads")).to_be_visible()
    assert watched.complaints == []


def test_axes_are_told_where_the_questions_need_them(watched: Watched, address: str) -> None:
    using = walk.Mouse(watched.page)
    walk.begin(watched.page, address)
    walk.to_loads(using, walk.PUMP)
    expect(watched.page.locator("#thing-axes")).to_contain_text("Stand at one end of the base and look along it")
    expect(watched.page.locator("#input-shaft option")).to_have_text([
        "No answer",
        "Along the base",
        "Across the base",
        "Upright",
    ])
    watched.page.go_back()
    walk.to_loads(using, walk.PIPE_HANGER)
    expect(watched.page.locator("#thing-axes")).to_be_empty()


def test_a_range_is_shown_in_a_form_that_can_be_typed_in(watched: Watched, address: str) -> None:
    walk.begin(watched.page, address)
    walk.to_loads(walk.Mouse(watched.page), walk.QUAY_POST)
    expect(watched.page.locator("#input-rail_height_mm-hint")).to_contain_text("From 300 to 3000 mm")


def test_cautions_stand_first_and_nothing_is_praised(watched: Watched, address: str) -> None:
    using = walk.Mouse(watched.page)
    _walk_to_answer(using, walk.QUAY_POST, address)
    cautions = watched.page.locator("#cautions")
    expect(cautions).to_contain_text("Demonstration rulebook")
    expect(cautions).to_contain_text("licensed or chartered engineer")
    walk.to_why(using)
    assert PRAISE.search(watched.page.content()) is None


def test_a_hanger_on_site_is_drilled_and_tightened_as_its_sheet_says(watched: Watched, address: str) -> None:
    """The least depth of an assessment is no depth to drill by, and no tool stands there but the one answered."""
    using, page = walk.Mouse(watched.page), watched.page
    unknown = replace(walk.PIPE_HANGER, site={**walk.PIPE_HANGER.site, "condition-torque_control": "unknown"})
    walk.begin(page, address)
    for thing, words in (("soffit_hanger", "straight down"), ("pipe_clamp", "a level pipe or duct")):
        expect(page.locator(f"#thing-{thing}-hint")).to_contain_text(words)
    walk.to_loads(using, unknown)
    walk.to_concrete(using, unknown)
    one_only = "Where the hanger gives way nothing else takes its load"
    assert one_only in (page.locator("#loads-words").text_content() or "")
    assert "the others take its load" not in (page.locator("#loads-words").text_content() or "")
    walk.to_plate(using, unknown)
    expect(page.locator("label[for=section-x]")).to_contain_text("Size of what hangs on the plate")
    walk.to_site(using, unknown)
    expect(page.locator("#exposure-hint")).to_contain_text("where de-icing salt splashes")
    expect(page.locator("#exposure-hint")).to_contain_text("common practice, from no source")
    expect(page.locator("#step-site")).not_to_contain_text("to each of these")
    walk.to_answer(using, unknown)
    for words in page.locator("#answer article").all_text_contents():
        assert re.search(r"Drill one hole, Ø\d+ mm, in the concrete; the sheet says how deep for this plate\.", words)
        assert re.search(r"Holes in the plate at most Ø[\d.]+ mm\. The holes in the concrete are drilled ", words)
        assert "Tighten as the sheet says." in words
        assert re.search(r"Nm|impact (?:driver|wrench)", words) is None
    bolt, screw, rod = (
        page.locator(f"#answer article:has(h3:has-text('{one}'))").first
        for one in ("Through-bolt", "Concrete screw", "Threaded rod")
    )
    expect(bolt).to_contain_text("Holes in the plate at most Ø9 mm. The holes in the concrete are drilled through")
    expect(rod).to_contain_text("drilled before the plate is there")
    walk.to_why(using)
    words = _words(page)
    assert "Distance to the nearest edge: none within reach, at least" in words
    assert "No edge in reach, one fastener: needs no spacing" in words
    assert "out of reach" not in words
    assert re.search(r"\bstands? below", words) is None
    for answer, of_screw in (
        ("calibrated_wrench", "torque wrench, 9 Nm"),
        ("impact_driver_set", "impact wrench, set to 110 Nm at most"),
        ("by_feel", "Tighten as the sheet says."),
    ):
        while page.locator("#step-site").is_hidden():
            page.go_back()
        using.choose("#condition-torque_control", answer)
        walk.submit(using, "site", "answer")
        assert of_screw in (screw.text_content() or "")
        assert (screw.text_content() or "").count("Tighten ") == 1
    assert (watched.complaints, watched.strays) == ([], [])


def test_a_pump_that_only_presses_is_told_in_plain_words(german: Watched, address: str) -> None:
    """650 kg times 9.80665 m/s² and 1.35 are 8.61 kN, by hand: what swings down, 11 kN, is left out and said to be."""
    using, page = walk.Mouse(german.page), german.page
    job = replace(
        walk.PUMP,
        loads={"mass_kg": "650", "centre_height_mm": "450"},
        words={"machine": "rotating_balanced", "shaft": "z"},
    )
    walk.begin(page, address)
    walk.to_loads(using, job)
    expect(page.locator("#thing-words")).to_contain_text("What only presses is left out")
    walk.to_concrete(using, job)
    expect(page.locator("#loads-words")).to_contain_text("a push towards the concrete of up to 8,61 kN")
    expect(page.locator("#loads-words")).to_contain_text("What only presses, without pushing aside")
    working = page.locator("#loads-words").text_content() or ""
    assert "Centre of mass ahead of the middle of the plate: 0 mm" in working
    assert re.search("D_k|γ_G,fav|[XxYy] of the centre of mass", working) is None
    walk.to_plate(using, job)
    walk.to_site(using, job)
    walk.to_answer(using, job)
    words = _words(page)
    assert "exposure “Damp, indoors”" in words
    assert "exposure damp" not in words


def test_what_was_typed_is_quoted_as_it_was_typed(german: Watched, address: str) -> None:
    using = walk.Mouse(german.page)
    walk.begin(german.page, address)
    walk.to_loads(using, walk.QUAY_POST)
    using.write("#input-rail_height_mm", "1.000")
    using.press("#step-loads button[type=submit]")
    expect(german.page.locator("#input-rail_height_mm-error")).to_contain_text("“1.000” can be read in two ways")
    expect(german.page.locator("#trouble")).to_contain_text("“1.000” can be read in two ways")


AT_THE_QUAY = replace(walk.QUAY_POST, edges={"far": "125"}, measured="hole")
ON_MORTAR = replace(walk.PUMP, mortar={"grout": "30"})


def _words(page: Page) -> str:
    """Everything that the step in sight can show, folds included, and what is wrong."""
    return page.locator("main .step:not([hidden])").inner_text() + str(
        page.evaluate(
            "[...document.querySelectorAll('main .step:not([hidden]) details')].map((e) => e.textContent).join(' ')"
        )
    )


@pytest.fixture
def german(desks: Desks) -> Iterator[Watched]:
    """A page on a phone of somebody who writes figures with a comma."""
    with desks.page(360, 800, "de-DE") as watched:
        yield watched


def test_a_post_at_a_quay_measured_from_the_nearest_hole(german: Watched, address: str) -> None:
    """One set of words from the first question to the sheet; 125 mm and half of 150 mm make 200 mm, by hand."""
    page, using, sent = german.page, walk.Mouse(german.page), list[Any]()
    page.on("request", lambda one: sent.append(one.post_data_json) if one.url.endswith("/v1/sizings") else None)
    walk.begin(page, address)
    told = [_words(page)]
    for step in (walk.to_loads, walk.to_concrete, walk.to_plate):
        step(using, AT_THE_QUAY)
        told.append(_words(page))
    walk.to_site(using, AT_THE_QUAY)
    page.go_back()
    nearest = "Nearest hole to the edge ahead of you: 125 mm (middle of the plate: 200 mm)."
    expect(page.locator("#nearest")).to_have_text(nearest)
    page.go_forward()
    walk.unfold(using, "#reference")
    using.write("#reference", "Post 7")
    using.write("#job-call", "the site office, 555 0100")
    walk.to_answer(using, AT_THE_QUAY)
    assert sent[-1]["member"]["edges"] == {"x_plus_mm": 200}
    told.append(_words(page))
    for article in page.locator("#answer article").all():
        words = article.inner_text()
        assert "From the nearest fastener: 125 mm to the edge ahead of you." in words
        # Common practice, no source: who reads a figure has read first what it does not stand for.
        assert words.index("Demonstration rulebook") < words.index("Drill ")
        assert words.index("Beware") < words.index("Drill ") < words.index("load takes")
    page.reload()
    expect(page.locator("#step-answer article").first).to_be_visible()
    walk.to_why(using)
    told.append(_words(page))
    assert "every check and requirement" not in told[-1]
    assert "Not checked:" in told[-1]
    farther = "Check behind you, to your right, to your left: no edge, joint or opening within"
    assert farther in page.locator("#why").inner_text()
    assert [MACHINE_WORDS.findall(words) for words in told] == [[]] * len(told)
    assert re.search(r"\d,\d", told[-1])
    figures = re.sub(r"EN \d[\d-]*,? [^)]*\)|\d+\.\d+\.\d+|Table [A-Z0-9.]+(?:\([A-Z]\))*", "", told[-1])
    assert re.findall(r"\d+\.\d+", figures) == []
    using.write("#job", "Quay 3")
    page.reload()
    expect(page.locator("#step-why")).to_be_visible()
    expect(page.locator("#job")).to_have_value("Quay 3")
    sheet = walk.to_sheet(using)
    expect(page.locator("#sheet-link a")).to_contain_text("of job “Quay 3”, fixing “Post 7”")
    expect(sheet.locator("body")).to_contain_text("ahead of you, looking outwards")
    expect(sheet.locator("body")).to_contain_text("call: the site office, 555 0100")
    expect(sheet.locator("body")).to_contain_text("Height of the rail: no more than")
    assert "right edge" not in sheet.content()
    # The open sheet is of the job that it was made for; the page offers no link to it under another one.
    using.write("#job", "Quay 4")
    expect(page.locator("#sheet-link a")).to_have_count(0)
    page.get_by_role("button", name="Start again").click()
    assert "125" in page.evaluate("sessionStorage.getItem('answers')"), "dropped without a question"
    page.once("dialog", lambda asked: asked.accept())
    page.get_by_role("button", name="Start again").click()
    expect(page.locator("#step-thing")).to_be_visible()
    assert page.evaluate("sessionStorage.getItem('answers')").count("125") == 0
    expect(page.locator("#things input:checked")).to_have_count(0)
    assert (german.complaints, german.strays) == ([], [])


def test_mortar_of_unknown_strength_is_named_first_and_telling_it_helps(german: Watched, address: str) -> None:
    using, page = walk.Mouse(german.page), german.page
    _walk_to_answer(using, ON_MORTAR, address)
    words = page.locator("#answer").inner_text()
    assert words.startswith("Nothing passes.")
    assert words.index("One answer was “Not known”") < words.index("Why nothing passes")
    assert "found none that helps" not in words
    assert "taken to carry nothing" in words
    assert "Grout known to reach 30 MPa: then " in words
    assert re.search("mortar|stand-off", _words(page), re.IGNORECASE) is None
    page.locator("#answer .unknown a", has_text="strength of the grout").click()
    expect(page.locator("#grout-strength")).to_be_focused()
    using.write("#grout-strength", "40")
    using.write("#concrete-most", "38")
    walk.submit(using, "plate", "site")
    using.choose("#condition-strength_evidence", "unknown")
    walk.submit(using, "site", "answer")
    assert page.locator("#answer article").count() > 0
    expect(page.locator("#answer .unknown")).to_have_count(1)
    walk.to_why(using)
    _resistances_and_shares_agree(_words(page))
    nobody_said = page.locator("#why details", has_text="check on site").text_content() or ""
    assert "“Centre of mass ahead" in nobody_said
    assert "Uncracked concrete was stated" not in nobody_said
    reckoned = page.locator("#why details", has_text="How it was calculated")
    expect(reckoned).to_contain_text("Uncracked concrete was stated")
    title = page.locator("#why-title").inner_text()
    page.reload()
    expect(page.locator("#step-why")).to_be_visible()
    expect(page.locator("#why-title")).to_have_text(title)
    assert "% of what is allowed" in _words(page)


def _resistances_and_shares_agree(words: str) -> None:
    """What a load takes is a share of the resistance that stands beside it; 0,85 as the rulebook has it."""
    found = re.findall(r": ([\d,]+) kN against ([\d,]+) kN × ([\d,]+) \(site\) = ([\d,]+) kN, ([\d,]+)\s%", words)
    assert len(found) > 3
    for action, whole, site, left, share in ([float(one.replace(",", ".")) for one in line] for line in found):
        assert site == 0.85
        assert whole * site == pytest.approx(left, rel=0.01)
        assert action / left * 100 == pytest.approx(share, rel=0.02, abs=0.2)
    assert "What the site costs: every resistance × 0,85" in words
    assert "Together: every resistance × 0,85" in words


def test_what_was_not_known_is_not_called_asked(german: Watched, address: str) -> None:
    site, concrete = {**walk.KNOWN_SITE, "temperature": "I"}, {"state": "cracked", "thickness": "220"}
    using = walk.Mouse(german.page)
    _walk_to_answer(using, replace(walk.PIPE_HANGER, site=site, concrete=concrete), address)
    words = _words(german.page)
    told = german.page.locator("#answer .unknown").inner_text()
    assert "Strength class of the concrete: taken as C20/25; weaker concrete is not covered: have it tested" in told
    assert "least favourable was taken" not in words
    expect(german.page.locator("#cautions")).not_to_have_attribute("open", "")
    expect(german.page.locator("#cautions > summary")).to_have_text("Read this first: demonstration rulebook")
    assert "taken as “Aggressive: wet well" in words
    assert "you said aggressive" not in words
    assert "asked" not in words
    assert "not shown by the request" not in words


@pytest.mark.parametrize(
    ("written", "field", "words"),
    [
        ({"plate-x": "600"}, "plate-x", "would stick out 100 mm over the edge: the concrete ends 200 mm"),
        ({"spacing-x": "220"}, "spacing-x", "beyond the plate, which is 220 mm"),
        ({"section-x": "300"}, "section-x", "larger than the plate"),
        ({"plate-x": "9", "plate-thickness": "400"}, "plate-thickness", "“400” was given; what can be calculated is"),
    ],
)
def test_what_cannot_be_on_site_is_said_at_its_field(
    at_the_plate: Watched, written: dict[str, str], field: str, words: str
) -> None:
    page, using = at_the_plate.page, walk.Mouse(at_the_plate.page)
    for name, text in {**PLATE, **written}.items():
        using.write(f"#{name}", text)
    using.press("#step-plate button[type=submit]")
    expect(page.locator("#trouble")).to_be_focused()
    expect(page.locator(f"#{field}-error")).to_contain_text(words)
    expect(page.locator("#step-plate")).to_be_visible()


PLATE = {**walk.SQUARE, "section-x": "60", "section-y": "60"}


@pytest.fixture(scope="module")
def at_the_plate(browser: Browser, address: str) -> Iterator[Watched]:
    """A page on the step of the plate, walked to once."""
    context = browser.new_context(viewport={"width": 360, "height": 800}, locale="en-GB")
    watched = Watched(context.new_page())
    using = walk.Mouse(watched.page)
    walk.begin(watched.page, address)
    walk.to_loads(using, AT_THE_QUAY)
    walk.to_concrete(using, AT_THE_QUAY)
    walk.to_plate(using, AT_THE_QUAY)
    using.tick("#holes-four")
    using.tick("#bedding-no")
    using.tick("#others-no")
    yield watched
    context.close()


def test_from_the_nearest_hole_needs_holes_that_are_told(at_the_plate: Watched) -> None:
    page, using = at_the_plate.page, walk.Mouse(at_the_plate.page)
    for name, text in PLATE.items():
        using.write(f"#{name}", text)
    using.tick("#holes-any")
    using.press("#step-plate button[type=submit]")
    expect(page.locator("#trouble")).to_contain_text("say how many holes there are")
    page.go_back()
    using.tick("#measured-middle")
    walk.submit(using, "concrete", "plate")
    using.tick("#others-yes")
    using.press("#step-plate button[type=submit]")
    expect(page.locator("#other-1-along-error")).to_contain_text("must be given")
    expect(page.locator("#other-1-another-asked")).to_contain_text("answer yes or no")
    using.tick("#others-no")
    expect(page.locator("#nearest")).to_contain_text("125 mm with the holes in the middle, 50 mm with two rows")
    page.reload()
    expect(page.locator("#nearest")).to_contain_text("50 mm with two rows")
    walk.submit(using, "plate", "site")
    page.go_back()
    page.go_back()
    using.write("#thickness", "20")
    using.press("#step-concrete button[type=submit]")
    words = "“20” was given; what can be calculated is from 60 to 10\u202f000 mm"
    expect(page.locator("#thickness-error")).to_have_text(words)
    assert (at_the_plate.complaints, at_the_plate.strays) == ([], [])


def test_other_anchors_and_old_holes_are_asked_for_by_side_and_posted_by_axis(at_the_plate: Watched) -> None:
    page, using = at_the_plate.page, walk.Mouse(at_the_plate.page)
    sent: list[Any] = []
    page.on("request", lambda one: sent.append(one.post_data_json) if one.url.endswith("/v1/sizings") else None)
    # Where the test before left the page: on the concrete, or past it.
    while not page.locator("#step-concrete").is_visible():
        page.go_back()
    using.write("#thickness", "250")
    if page.locator("#measured").is_visible():
        using.tick("#measured-middle")
    walk.submit(using, "concrete", "plate")
    for name, text in PLATE.items():
        using.write(f"#{name}", text)
    using.tick("#holes-four")
    using.tick("#others-yes")
    # Of the first nothing is known but where it is; of the second, all of a hole; a third has a name.
    using.write("#other-1-along", "320")
    using.choose("#other-1-along-way", "near")
    using.write("#other-1-across", "0")
    using.tick("#other-1-another-yes")
    using.choose("#other-2-state", "open_hole")
    using.write("#other-2-along", "40")
    using.write("#other-2-across", "300")
    using.choose("#other-2-across-way", "right")
    using.write("#other-2-hole-diameter", "14")
    using.write("#other-2-hole-depth", "60")
    using.tick("#other-2-another-yes")
    using.choose("#other-3-state", "loaded")
    using.write("#other-3-along", "0")
    using.write("#other-3-across", "410")
    using.write("#other-3-depth", "70")
    using.choose("#other-3-family", "bolt-expansion-zinc")
    using.write("#other-3-size", "M12")
    using.tick("#other-3-another-no")
    walk.submit(using, "plate", "site")
    walk.submit(using, "site", "answer")
    assert sent[-1]["neighbours"] == [
        {"x_mm": -320, "y_mm": 0, "state": "unknown"},
        {"x_mm": 40, "y_mm": -300, "state": "open_hole", "hole_diameter_mm": 14, "hole_depth_mm": 60},
        {"x_mm": 0, "y_mm": 410, "state": "loaded", "embedment_mm": 70, "family": "bolt-expansion-zinc", "size": "M12"},
    ]  # fmt: skip
    expect(page.locator("#answer .unknown")).to_contain_text("taken to be as loaded as the worst one here")
    page.go_back()
    page.go_back()
    using.tick("#others-no")
    walk.submit(using, "plate", "site")
    walk.submit(using, "site", "answer")
    assert "neighbours" not in sent[-1]
    assert (at_the_plate.complaints, at_the_plate.strays) == ([], [])


@pytest.mark.parametrize(
    ("text", "read"), [("1.234,5", 1234.5), ("1,234.5", 1234.5), ("1 200", 1200), ("1.000.000", 1e6)]
)
def test_two_marks_are_read_in_the_only_way_they_can_be(
    at_the_plate: Watched, address: str, text: str, read: float
) -> None:
    """From memory: marks between thousands stand before every third digit, and a decimal mark once and last."""
    shown = at_the_plate.page.evaluate(
        "([base, text]) => import(`${base}/page/numbers.js`).then(({ read }) => read(text))", [address, text]
    )
    assert shown == read
