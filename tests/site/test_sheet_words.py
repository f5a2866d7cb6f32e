"""No sentence of a sheet escapes the catalogue: in the pseudo-language all that is left in English is data."""

from __future__ import annotations

import copy
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from functools import cache
from html.parser import HTMLParser
from typing import Any
from xml.etree.ElementTree import fromstring

import pytest

from service.contract.as_built_codes import Measurement
from service.site.sheet import Job, Made, as_json, drawing, make, page
from service.site.sheet.content import Line
from service.site.sheet.steps import Steps
from service.site.sheet.wording import SYMBOLS
from service.site.sheet.work import SIDES
from service.words import Audience, Catalogue, catalogue
from tests.site.sheet_cases import ONE_TO_SET, REQUESTS, book, fixing, job
from tests.words.pseudo import CUT, catalogues_script, outside

NUMBER = re.compile(r"[-−]?\d+(?:\.\d+)?")
MACHINE = re.compile(
    r"[a-z][a-z0-9_]*|grout\.[a-z_]+|.*#/.*|[-+*/(),.\d e]*|(?:ceil|floor|max|round|hypot|[-+*/(),.\d e])*"
)
"""Codes, names of figures, places in rules and record, expressions: what a program reads, not a person."""
AXES = {"x", "y"}
NAMES = {"x_plus": "ahead of you: the water", "y_minus": "towards the pump hall & its door"}
TITLE, JOB = "Quay & valve room", "Week 48"
NEWER = "2099.1.0"


@pytest.fixture(scope="module")
def pseudo(tmp_path_factory: pytest.TempPathFactory) -> Catalogue:
    directory = tmp_path_factory.mktemp("locale")
    script = catalogues_script()
    script.write_pseudo(directory)
    return catalogue(Audience.CREW, script.PSEUDO, directory)


def changed(name: str, **parts: Mapping[str, Any]) -> dict[str, Any]:
    """A request of the cases with members of its parts changed, or left out where they are None."""
    request = copy.deepcopy(REQUESTS[name])
    for part, members in parts.items():
        request[part] = {key: value for key, value in {**request.get(part, {}), **members}.items() if value is not None}
    return request


def on(kind: str, thickness_mm: float, *, comes_off: bool = False) -> dict[str, Any]:
    """What lies on the concrete."""
    return {"topping": {"kind": kind, "thickness_mm": thickness_mm, "comes_off": comes_off}}


BARS = {"spacing_mm": 200, "edge": "edge_bar_with_stirrups", "stirrup_spacing_mm": 100, "cracks_held_to_0_3_mm": True}
HOLES = [{"x_mm": 400.0, "y_mm": y, "depth_mm": 10, "refilled": y > 0} for y in range(-11, 11)]
SITE = {
    "strength_evidence": "rebound_hammer",
    "hole_cleaning": "stated",
    "installer": "supervised",
    "drilling": "hammer",
}
LIGHT = [{"name": "light", "kind": "design", "normal_kn": 0.3, "sustained_share": 0.5}]
CASES: dict[str, dict[str, Any]] = {
    **REQUESTS,
    "screw by impact wrench": changed("screw near a corner", site={"torque_control": "impact_driver_set"}),
    "screw by hand": changed("screw near a corner", site={"torque_control": "by_feel"}),
    "stainless screw by impact wrench": changed("three in a row, close", site={"torque_control": "impact_driver_set"}),
    "bolt by feel": changed("guardrail", site={"torque_control": "by_feel"}),
    "plug by hand": changed("nylon", site={"torque_control": "by_feel"}),
    "sleeves by feel": changed("drop-ins overhead", site={"torque_control": "by_feel"}),
    "eyebolt by feel": changed("eyebolt", site={"torque_control": "by_feel"}),
    "flooded": changed("slow resin in a wet hole, grouted", use={"hole": "flooded"}),
    "resin overhead": changed("resin", use={"overhead": True}) | {"load_cases": LIGHT},
    "weak grout": changed("slow resin in a wet hole, grouted", fixture={"grout": {"thickness_mm": 6}})
    | {"load_cases": LIGHT},
    "bolts on grout": fixing(
        ("bolt-expansion-stainless", "M16", 100), [(-200, -200), (200, 200), (-200, 200), (200, -200)],
        {"width_mm": 600, "depth_mm": 600, "thickness_mm": 20, "grout": {"thickness_mm": 30, "strength_mpa": 45}},
        (6, 0), {"exposure": "external"}, {"thickness_mm": 500},
    ),
    "site little known": changed("guardrail", site=SITE) | {"load_cases": LIGHT},
    "concrete little known": changed("three in a row, close", member={"state": None}) | {"load_cases": LIGHT},
    "concrete by name": changed("guardrail", member={"material": "normal_weight_concrete"}),
    "through screed that stays": changed("three in a row, close", member=on("screed", 20))
    | {"load_cases": LIGHT},
    "sleeves through insulation that stays": changed("drop-ins overhead", member=on("insulation", 20))
    | {"load_cases": LIGHT},
    "plaster taken off": changed("guardrail", member=on("plaster", 25, comes_off=True)),
    "hole not known": changed("guardrail", use={"hole": None}) | {"load_cases": LIGHT},
    "strength in MPa": changed("guardrail", member={"strength_class": None, "strength_mpa": 32}),
    "resin, range not known": changed("resin", use={"temperature_range": None}) | {"load_cases": LIGHT},
    "exposure not known": changed("slow resin in a wet hole, grouted", use={"exposure": None}) | {"load_cases": LIGHT},
    "reinforced": changed("guardrail", member={"reinforcement": BARS}, fixture={"yield_mpa": 235}),
    "aborted holes": REQUESTS["guardrail"] | {"built": {"aborted_holes": HOLES}},
    "one of several still to be set": ONE_TO_SET,
    "all stand": ONE_TO_SET
    | {"built": {**ONE_TO_SET["built"], "to_set_numbers": [], "measured": [code.value for code in Measurement]}},
    "holes filled": changed("guardrail", fixture={"clearance": "filled"}),
}  # fmt: skip


def told(name: str, words: Catalogue, *, bare: bool = False) -> tuple[Made, Job]:
    """A sheet that shows all that it can show; a bare one lacks what callers may leave out."""
    # What stands is of one fixing.
    one = job(CASES[name], None if bare or "came_from_record" in CASES[name] else 3)
    assert one.answer["verdict"] == "verified", (name, one.answer["requirements"])
    if bare:
        return make([one], words=words), one
    bonded = one.answer["fastener"]["mechanism"] == "bonded"
    sheet = make(
        [replace(one, side_names=NAMES)],
        title=TITLE,
        job=JOB,
        temperature_c=12 if bonded else None,
        coldest_c=8 if bonded else None,
        newest=NEWER,
        words=words,
    )
    return sheet, one


class Texts(HTMLParser):
    """Texts of a page that a person reads, styles left out."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.found: list[str] = []
        self._style = False
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._style = tag == "style"
        self.found += [value for name, value in attrs if name in {"data-head", "aria-label", "alt"} and value]

    def handle_data(self, data: str) -> None:
        if not self._style:
            self.found.append(data)


def in_page(made: Made) -> list[str]:
    return Texts(page.page(made)).found


def in_drawing(made: Made) -> list[str]:
    root = fromstring(drawing.of_sheet(made))  # noqa: S314 our own drawing
    return [text for text in root.itertext() if text.strip()]


def in_json(made: Made) -> list[str]:
    return list(_strings(as_json(made.sheet)))


def _strings(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        if not MACHINE.fullmatch(value):
            yield value
    elif isinstance(value, Mapping):
        for inner in value.values():
            yield from _strings(inner)
    elif isinstance(value, list | tuple):
        for inner in value:
            yield from _strings(inner)


@cache
def of_rules() -> frozenset[str]:
    """Texts of the rulebook."""
    rules = book()
    texts = [text for part in (rules.document, rules.families, rules.factors) for text in _strings(part)]
    return frozenset(text for text in texts if " " in text)


def data(one: Job) -> frozenset[str]:
    """What is no sentence of the service: texts of the rules, names of the record, words of the caller."""
    answer, request = one.answer, one.request
    record = answer["record"]
    named = {str(answer["fastener"][name]) for name in ("family", "title", "size", "article_code")}
    named |= {record["id"], record["engine"], answer["assessed_on"], answer["rulebook"]["digest"]}
    named |= {str(request.get("came_from_record"))}
    named |= set(_strings(answer["rulebook"])) | {str(request.get("fixing_reference")), NEWER, TITLE, JOB}
    named |= {str(request["member"].get("strength_class")), str(one.rulebook.document["unknown"]["strength_class"])}
    named |= set(one.rulebook.factors["temperature-ranges"]["ranges"])
    named |= {title["title"] for title in one.rulebook.factors["exposures"]["exposures"].values()}
    named |= {str(load["name"]) for load in (*request.get("load_cases", ()), *request.get("actions", ()))}
    named |= {word for entry in answer["cautions"] for word in _strings(entry["figures"])}
    return of_rules() | named | set(NAMES.values())


def escaped(texts: Iterable[str], made: Made, one: Job) -> list[str]:
    """Pieces of texts that came from no catalogue and are neither data, figure nor symbol."""
    allowed = {_plain(text) for text in data(one)}
    units = {figure["unit"] for figure in _figures(as_json(made.sheet))}
    symbols = units | {SYMBOLS.get(unit, unit) for unit in units} | {"h"} | AXES | set(SIDES.values())
    return [piece for piece in map(_plain, outside(texts)) if not _is_data(piece, allowed, symbols)]


def _plain(text: str) -> str:
    return " ".join(text.replace("\ufffe", "\ufffd").split())


def _is_data(piece: str, allowed: set[str], symbols: set[str]) -> bool:
    if piece in allowed or (
        piece.endswith(CUT) and any(one.startswith(piece.strip("– ").removesuffix(CUT)) for one in allowed)
    ):
        return True
    parts = [part for part in re.split(r" – |–", piece) if part.strip() and part.strip() not in allowed]
    words = [word for part in parts for word in re.split(r"[\s,:;./×%Ø]+", NUMBER.sub(" ", part)) if word]
    return all(word in symbols for word in words)


def _figures(value: Any) -> Iterator[dict[str, Any]]:
    if isinstance(value, dict):
        if {"value", "unit"} <= value.keys():
            yield value
        for inner in value.values():
            yield from _figures(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from _figures(inner)


@pytest.mark.parametrize("name", CASES)
@pytest.mark.parametrize("bare", [False, True], ids=["all given", "bare"])
def test_no_sentence_escapes_the_catalogue(pseudo: Catalogue, name: str, bare: bool) -> None:
    made, one = told(name, pseudo, bare=bare)
    for read in (in_page, in_drawing, in_json):
        texts = read(made)
        assert len(texts) > 15
        assert sum("⟦" in text for text in texts) > 5
        assert escaped(texts, made, one) == [], read.__name__


@pytest.mark.parametrize("planted", ["Nobody translated this", "the sleeve", "Nobody translated {word}"])
def test_a_sentence_that_escapes_is_found(pseudo: Catalogue, monkeypatch: pytest.MonkeyPatch, planted: str) -> None:
    """Plain, a word put into a template as it is, and a template that the catalogues do not hold."""
    check = Steps._check

    def more(steps: Steps) -> Iterator[Line]:
        yield from check(steps)
        words = steps.work.words
        if planted == "the sleeve":
            yield words.tell("{condition}: {value}", condition=planted, value="4")
        elif "{" in planted:
            yield words.tell(planted, word="3")
        else:
            yield Line(planted)

    monkeypatch.setattr(Steps, "_check", more)
    made, one = told("guardrail", pseudo)
    shown = planted.replace("{word}", "3")
    assert escaped(in_page(made), made, one) == [shown]
    assert escaped(in_json(made), made, one) == [shown]


def test_the_page_names_its_language(pseudo: Catalogue) -> None:
    made, _ = told("guardrail", pseudo)
    assert page.page(made).startswith(f'<!DOCTYPE html>\n<html lang="{pseudo.language}">')
    assert as_json(made.sheet)["language"] == pseudo.language
    english, _ = told("guardrail", catalogue(Audience.CREW))
    assert '<html lang="en">' in page.page(english)
    assert book().version in page.page(english)
