"""The page of a change in a browser, on a phone, at a desk and on paper."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser

from service.audit.changes.as_html import changes_html
from service.audit.changes.report import changes_between
from tests.audit.changes_repository import workshop

LONG = "families/bolt#/sizes/M12/embedments/70/lengths/0/fixture_thickness_max_mm"


@pytest.fixture(scope="module")
def page_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    directory = tmp_path_factory.mktemp("changes")
    made = workshop(directory / "company")
    made.set({LONG: 77, "families/bolt#/title": "<script>document.title = 'taken'</script>" + "w" * 60}, trailers="")
    file = directory / "changes.html"
    file.write_text(changes_html(changes_between(made.repository, "HEAD~1", "HEAD")), encoding="utf-8")
    return file


@pytest.mark.parametrize("width", [360, 768, 1280])
def test_the_page_fits_its_width_and_runs_nothing(browser: Browser, page_file: Path, width: int) -> None:
    context = browser.new_context(viewport={"width": width, "height": 800})
    page = context.new_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(page_file.as_uri())
    assert asked == [page_file.as_uri()]
    assert page.evaluate("document.documentElement.scrollWidth") == width
    assert page.title().startswith("Rule changes from version")
    assert page.get_by_text("less safe", exact=True).first.is_visible()
    assert page.get_by_text("names no checker and no approver").is_visible()
    context.close()


def test_table_headings_are_told_beside_each_value_on_a_phone(browser: Browser, page_file: Path) -> None:
    context = browser.new_context(viewport={"width": 360, "height": 800})
    page = context.new_page()
    page.goto(page_file.as_uri())
    told = page.evaluate("getComputedStyle(document.querySelector('td.effect'), '::before').content")
    assert told == '"Effect"'
    assert page.locator("td.effect").first.bounding_box() is not None
    context.close()


def test_the_page_prints(browser: Browser, page_file: Path) -> None:
    context = browser.new_context()
    page = context.new_page()
    page.goto(page_file.as_uri())
    assert page.pdf(format="A4").startswith(b"%PDF")
    page.emulate_media(media="print")
    assert page.evaluate("getComputedStyle(document.querySelector('tbody tr')).breakInside") == "avoid"
    context.close()
