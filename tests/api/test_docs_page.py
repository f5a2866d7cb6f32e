"""The contract for people: served from here alone, under a strict policy."""

import re

import pytest
from flask import Flask

from service.api.docs import OWN_FILES, VIEWER_FILES


def test_page_names_only_files_that_are_served_here(app: Flask) -> None:
    client = app.test_client()
    page = client.get("/docs", buffered=True)
    assert page.status_code == 200
    named = re.findall(r'(?:href|src)="([^"]+)"', page.text)
    assert {f"/docs/{name}" for name in (*OWN_FILES, *VIEWER_FILES)} <= set(named)
    assert all(client.get(path, buffered=True).status_code == 200 for path in named)


def test_page_holds_no_script_and_no_style_of_its_own(app: Flask) -> None:
    page = app.test_client().get("/docs", buffered=True).text
    assert re.findall(r"<script[^>]*>([^<]+)", page) == []
    assert "<style" not in page
    assert re.search(r"\son\w+=", page) is None


@pytest.mark.parametrize("path", ["/docs", *(f"/docs/{name}" for name in (*OWN_FILES, *VIEWER_FILES))])
def test_policy_lets_nothing_in_from_elsewhere(app: Flask, path: str) -> None:
    response = app.test_client().get(path, buffered=True)
    policy = dict(part.strip().split(" ", 1) for part in response.headers["Content-Security-Policy"].split(";"))
    assert policy["default-src"] == "'none'"
    assert policy["script-src"] == "'self'"
    assert policy["connect-src"] == "'self'"
    assert "http" not in response.headers["Content-Security-Policy"]


def test_page_reads_the_contract_and_asks_no_validator(app: Flask) -> None:
    script = app.test_client().get("/docs/start.js", buffered=True).text
    assert 'url: "/openapi.json"' in script
    assert "validatorUrl: null" in script


@pytest.mark.parametrize("path", ["/docs/index.css", "/docs/../body.py", "/docs/page.html"])
def test_other_files_are_not_served(app: Flask, path: str) -> None:
    assert app.test_client().get(path, buffered=True).status_code == 404
