"""The page in a language that nobody speaks: what of its words no catalogue brought."""

from __future__ import annotations

import json
import re
import threading
from collections.abc import Iterator, Mapping
from dataclasses import astuple, replace
from datetime import date
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, Route, expect
from werkzeug.serving import make_server

from service.api import create_app
from service.engine.en1992_1_1 import STRENGTH_CLASSES
from service.rulebook import Rulebook
from tests.browser import page_walk as walk
from tests.browser.conftest import RULES, Desks, Watched
from tests.shipped import shipped_rules
from tests.words.pseudo import catalogues_script, outside

TEXTS = """() => {
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT), found = [];
    while (walker.nextNode()) {
        const node = walker.currentNode;
        if (node.parentElement.closest("[hidden], noscript, script")) continue;
        if (node.textContent.trim()) found.push(node.textContent);
    }
    for (const one of document.querySelectorAll("[aria-label], [placeholder]")) {
        if (one.closest("[hidden]")) continue;
        found.push(one.getAttribute("aria-label") ?? one.getAttribute("placeholder"));
    }
    return [document.title, ...found];
}"""
"""Every text that is not hidden, folds included, and what is read out or stands in empty fields."""
MARKS = " \n.:;,“”()×"
BETWEEN = re.compile(r"[\s;:,.()“”×=/–%°+-]+")
NUMBER = re.compile(r"Ø?[-−]?\d+(?:[.,]\d+)*")
JOBS = {
    "pump indoors": replace(walk.PUMP, site={**walk.PUMP.site, "exposure": "dry_internal"}),
    "too heavy": walk.TOO_HEAVY,
    "on grout of unknown strength": replace(walk.PUMP, mortar={"grout": "30"}),
    "nothing known": replace(walk.QUAY_POST, concrete={"thickness": "400"}, site={}),
    "half known": replace(
        walk.PIPE_HANGER, concrete={"strength": "C25/30", "thickness": "220"}, site={"exposure": "external"}
    ),
}
PASSES = {"pump indoors", "half known"}
"""Those that pass; of the others one is too heavy, one a change would help, and one is below the floor of the site.
Indoors a screw passes that no torque is named for."""


@pytest.fixture(scope="module")
def pseudo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Address of a service that speaks the pseudo-language."""
    directory = tmp_path_factory.mktemp("locale")
    catalogues_script().write_pseudo(directory)
    app = create_app(RULES, clock=lambda: date(2026, 11, 25), locale=directory)
    server = make_server("127.0.0.1", 0, app, threaded=True)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    thread.join()


@pytest.fixture
def speaking(desks: Desks) -> Iterator[Watched]:
    """A page whose browser asks for the pseudo-language."""
    with desks.page(360, 800, catalogues_script().PSEUDO) as watched:
        yield watched


def _strings(value: object) -> Iterator[str]:
    """Every text within a value, and its names: families and sizes are called by theirs."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, Mapping):
        for name, part in value.items():
            yield str(name)
            yield from _strings(part)
    elif isinstance(value, list | tuple):
        for part in value:
            yield from _strings(part)


def _units(document: object) -> Iterator[str]:
    """The units of the contract."""
    if isinstance(document, Mapping):
        if isinstance(document.get("x-unit"), str):
            yield document["x-unit"]
        for part in document.values():
            yield from _units(part)
    elif isinstance(document, list):
        for part in document:
            yield from _units(part)


def _known(book: Rulebook, contract: object, job: walk.Job) -> set[str]:
    """Words of the rulebook, units of the contract, and what was typed."""
    typed = [text for part in astuple(job) for text in _strings(part)]
    texts = {
        *_strings(book.document),
        *_strings(book.factors),
        *_strings(book.families),
        *typed,
        *_units(contract),
        *STRENGTH_CLASSES,
    }
    texts = {text.strip(MARKS) for text in texts} | {book.version}
    # A title begins with a small letter where it stands within a sentence.
    return texts | {f"{text[0].lower()}{text[1:]}" for text in texts if text}


def _escaped(page: Page, known: set[str]) -> list[str]:
    """Texts, or parts of them, that no template brought and that are none of these."""
    told = outside(page.evaluate(TEXTS))
    return [piece for piece in told if not _made_of(piece.strip(MARKS), known)]


def _made_of(piece: str, known: set[str]) -> bool:
    """Whether a piece is a known text, or known texts and numbers with marks between them."""
    if piece in known or not any(letter.isalpha() for letter in NUMBER.sub("", piece)):
        return True
    for mark in BETWEEN.finditer(piece):
        first, rest = piece[: mark.start()], piece[mark.end() :]
        if (first == "" or first in known or NUMBER.fullmatch(first)) and rest != piece and _made_of(rest, known):
            return True
    return False


@pytest.mark.parametrize("name", JOBS)
def test_no_sentence_escapes_the_catalogues(speaking: Watched, pseudo: str, name: str) -> None:
    job = JOBS[name]
    page, using, records = speaking.page, walk.Mouse(speaking.page), list[Any]()
    page.on("response", lambda one: records.append(one) if one.request.method == "POST" else None)
    contract = page.request.get(f"{pseudo}/openapi.json").json()
    known = _known(shipped_rules(), contract, job)
    walk.begin(page, pseudo)
    found = {"thing": _escaped(page, known)}
    for at, step in walk.STEPS.items():
        step(using, job)
        known |= {figure["unit"] for one in records for figure in one.json().get("working", [])}
        found[at] = _escaped(page, known)
    assert (page.locator("#answer article").count() > 0) is (name in PASSES)
    for place in range(page.locator("#answer article").count()):
        page.locator("#answer article").nth(place).get_by_role("button").click()
        expect(page.locator("#step-why")).to_be_visible()
        found[f"why {place}"] = _escaped(page, known | {records[-1].json()["record"]["id"]})
        page.go_back()
    assert [f"{step}: {piece}" for step, pieces in found.items() for piece in pieces] == []
    assert (speaking.complaints, speaking.strays) == ([], [])


def test_a_sentence_of_the_service_that_escapes_into_an_answer_is_found(speaking: Watched, pseudo: str) -> None:
    """A code that the catalogue does not have is said in the service's own English."""
    page, using = speaking.page, walk.Mouse(speaking.page)

    def strange(route: Route) -> None:
        response = route.fetch()
        answer = response.json()
        answer["rejected_groups"] = []
        answer["rejected"][0]["cause"] |= {"kind": "scope", "code": "moon_too_near", "also": [], "left_open": None}
        route.fulfill(response=response, json=answer)

    page.route("**/v1/sizings", strange)
    known = _known(shipped_rules(), page.request.get(f"{pseudo}/openapi.json").json(), walk.PUMP)
    walk.begin(page, pseudo)
    for step in walk.STEPS.values():
        step(using, walk.PUMP)
    escaped = _escaped(page, known)
    assert [piece.strip(MARKS) for piece in escaped] == ["exposure damp_internal; allowed: dry_internal"]


def test_what_is_wrong_is_said_in_the_language_too(speaking: Watched, pseudo: str) -> None:
    page, using = speaking.page, walk.Mouse(speaking.page)
    walk.begin(page, pseudo)
    using.press("#step-thing button[type=submit]")
    known = _known(shipped_rules(), {}, walk.QUAY_POST)
    assert _escaped(page, known) == []
    walk.to_loads(using, walk.QUAY_POST)
    using.choose("#input-mounting", "side")
    using.write("#input-rail_height_mm", "1,1 m")
    using.press("#step-loads button[type=submit]")
    expect(page.locator("#trouble li").first).to_be_visible()
    units = set(_units(page.request.get(f"{pseudo}/openapi.json").json()))
    assert _escaped(page, known | units | {"1,1 m"}) == []


@pytest.mark.parametrize("planted", ["Nobody translated this", "must be given", "splitting reaches 1.1 times"])
def test_a_sentence_that_escapes_is_found(speaking: Watched, pseudo: str, planted: str) -> None:
    page = speaking.page
    walk.begin(page, pseudo)
    known = _known(shipped_rules(), {}, walk.PUMP)
    page.evaluate("words => document.querySelector('main').append(words)", planted)
    assert _escaped(page, known) == [planted]


def test_a_language_without_words_is_english(browser: Browser, pseudo: str) -> None:
    context = browser.new_context(locale="pt-BR")
    page = context.new_page()
    walk.begin(page, pseudo)
    assert page.locator("html").get_attribute("lang") == "en"
    page.goto(f"{pseudo}/?lang={catalogues_script().PSEUDO}")
    assert page.locator("html").get_attribute("lang") == catalogues_script().PSEUDO
    missing = page.request.get(f"{pseudo}/v1/words/xx")
    assert (missing.status, json.loads(missing.text())["errors"][0]["code"]) == (404, "unknown_language")
    context.close()
