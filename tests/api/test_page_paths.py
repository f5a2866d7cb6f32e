"""The page for people: served from here alone, under a strict policy, and refusing as the API does."""

import json
import re

import pytest
from flask import Flask

from service.api.page import OWN_FILES
from service.api.page.questions import RANGES
from service.site.sheet.page import content_policy

PATHS = ("/", *(f"/page/{name}" for name in OWN_FILES))


def test_page_names_only_files_that_are_served_here(app: Flask) -> None:
    client = app.test_client()
    page = client.get("/", buffered=True)
    assert (page.status_code, page.mimetype) == (200, "text/html")
    named = re.findall(r'(?:href|src)="([^"]+)"', page.text)
    assert {"/page/page.css", "/page/start.js", "/page/plan.svg"} <= set(named)
    assert all(client.get(path, buffered=True).status_code == 200 for path in named)


def test_scripts_import_only_files_that_are_served_here(app: Flask) -> None:
    client = app.test_client()
    imported = {
        name
        for path in PATHS
        if path.endswith(".js")
        for name in re.findall(r'from "\./([^"]+)"', client.get(path, buffered=True).text)
    }
    assert imported == {name for name in OWN_FILES if name.endswith(".js")} - {"start.js"}


PATTERN = re.compile(r"""(?:[(=,:?!&|\[]|=>|return)\s*/(?![/*\s])[^\n]+/|RegExp|matchAll""")


@pytest.mark.parametrize(
    "line", ['text.replace(/; name it in limits/g, "")', "  [/^x points along/i, 1],", "new RegExp(words)"]
)
def test_a_pattern_in_a_script_is_found(line: str) -> None:
    assert PATTERN.search(line)


def test_patterns_of_the_page_are_about_what_was_typed_and_about_templates(app: Flask) -> None:
    """Sentences are made of codes with figures: no other script takes words apart."""
    scripts = {name: app.test_client().get(f"/page/{name}", buffered=True).text for name in OWN_FILES}
    assert {name for name, text in scripts.items() if name.endswith(".js") and PATTERN.search(text)} == {
        "numbers.js", "words.js",
    }  # fmt: skip


def test_page_holds_no_script_and_no_style_of_its_own(app: Flask) -> None:
    page = app.test_client().get("/", buffered=True).text
    assert re.findall(r"<script[^>]*>([^<]+)", page) == []
    assert "<style" not in page
    assert re.search(r"\s(?:on\w+|style)=", page) is None


@pytest.mark.parametrize("path", PATHS)
def test_headers_let_nothing_in_from_elsewhere(app: Flask, path: str) -> None:
    response = app.test_client().get(path, buffered=True)
    policy = dict(part.strip().split(" ", 1) for part in response.headers["Content-Security-Policy"].split(";"))
    digest = re.findall(r"'sha256-[^']+'", content_policy())
    assert policy["default-src"] == policy["base-uri"] == policy["form-action"] == policy["frame-ancestors"] == "'none'"
    assert policy["script-src"] == policy["connect-src"] == policy["img-src"] == "'self'"
    assert policy["style-src"].split() == ["'self'", *digest]
    assert response.headers["X-Content-Type-Options"] == "nosniff"
    assert response.headers["Referrer-Policy"] == "no-referrer"


@pytest.mark.parametrize("path", PATHS)
def test_other_methods_get_a_problem_document(app: Flask, path: str) -> None:
    refused = app.test_client().post(path, json={})
    assert (refused.status_code, refused.mimetype) == (405, "application/problem+json")
    assert set(refused.headers["Allow"].split(", ")) == {"GET", "HEAD", "OPTIONS"}
    assert app.test_client().options(path).status_code == 204
    assert app.test_client().head(path, buffered=True).status_code == 200


@pytest.mark.parametrize("path", ["/page", "/page/", "/page/page.html", "/page/../__init__.py", "/index.html"])
def test_nothing_else_is_served(app: Flask, path: str) -> None:
    missing = app.test_client().get(path)
    assert (missing.status_code, missing.mimetype) == (404, "application/problem+json")


def test_page_is_served_without_a_rulebook_and_in_no_words_of_its_own(app: Flask) -> None:
    page = app.test_client().get("/", buffered=True).text
    for figure in ("DEMO-", "screw-stainless", "2026."):
        assert figure not in page


@pytest.mark.parametrize(
    ("pointer", "schema", "name"),
    [
        ("#/member/thickness_mm", "Member", "thickness_mm"), ("#/fixture/width_mm", "Fixture", "width_mm"),
        ("#/fixture/attached_section/depth_mm", "AttachedSection", "depth_mm"),
        ("#/fixture/grout/strength_mpa", "Grout", "strength_mpa"),
        ("#/member/strength_most_mpa", "Member", "strength_most_mpa"),
        ("#/load_cases/0/normal_kn", "LoadCase", "normal_kn"), ("distance", "Edges", "y_minus_mm"),
    ],
)  # fmt: skip
def test_ranges_of_the_page_are_those_of_the_contract(app: Flask, pointer: str, schema: str, name: str) -> None:
    said = json.loads(app.test_client().get("/openapi.json").text)["components"]["schemas"][schema]["properties"][name]
    assert float(RANGES[pointer]["maximum"]) == said["maximum"]
    if pointer != "distance":
        assert float(RANGES[pointer]["minimum"]) == said["minimum"]


def test_edges_are_asked_as_far_as_the_method_reckons_with_them(app: Flask) -> None:
    """From memory: EN 1992-4, 7.2.2.5, has edges matter within 10 embedments or 60 diameters of the hole."""
    client = app.test_client()
    families = json.loads(client.get("/v1/families").text)["families"]
    full = [json.loads(client.get(f"/v1/families/{one['id']}").text)["family"] for one in families]
    reach = [
        max(10 * max(map(float, size["embedments"])), 60 * size["geometry"]["nominal_diameter_mm"])
        for one in full
        for size in one["sizes"].values()
    ]
    assert max(reach) > 2000
    assert max(reach) <= _asked_within(client.get("/page/sides.js", buffered=True).text)
    assert client.get("/", buffered=True).text.count("data-side-words=") == 4


def _asked_within(script: str) -> float:
    found = re.search(r"ASKED_WITHIN_MM = (\d+);", script)
    assert found is not None
    return float(found.group(1))


def test_page_carries_the_ranges(app: Flask) -> None:
    page = app.test_client().get("/", buffered=True).text
    field = re.search(r'<input id="thickness"[^>]*>', page)
    assert field is not None
    assert 'data-minimum="60" data-maximum="10000"' in field.group()


def test_whom_to_call_is_asked_where_nobody_has_to_unfold_anything(app: Flask) -> None:
    """A sheet that says stop on every page has to say whom to call, or the crew goes on."""
    page = app.test_client().get("/", buffered=True).text
    asked = page.index('data-pointer="#/job/call"')
    assert page[:asked].count("<details") == page[:asked].count("</details>")


def test_the_most_strength_of_the_concrete_is_asked_beside_the_grout_that_turns_on_it(app: Flask) -> None:
    client = app.test_client()
    page = client.get("/", buffered=True).text
    asked = page.index('data-pointer="#/member/strength_most_mpa"')
    assert page.index('data-pointer="#/fixture/grout/strength_mpa"') < asked < page.index('id="others-asked"')
    script = client.get("/page/start.js", buffered=True).text
    assert 'plate["concrete-most"]' in script
    assert "strength_most_mpa: most" in script
