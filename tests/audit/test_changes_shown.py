"""Reports of changes as Markdown and as a page: complete, in words, and nothing in them but text."""

from __future__ import annotations

import html
import json
import re
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from service.audit.changes import report_rows as change_words
from service.audit.changes.as_html import changes_html
from service.audit.changes.as_markdown import changes_markdown, escaped
from service.audit.changes.report import changes_between
from tests.audit.changes_repository import REMOVED, workshop

TENSION = "families/bolt#/sizes/M12/steel/tension_kn"
HOSTILE = "<script>alert(1)</script> | **bold** @everyone #12 [x](http://evil.example) `code` <!-- "


@pytest.fixture(scope="module")
def report(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    made = workshop(tmp_path_factory.mktemp("company") / "repository")
    made.set({TENSION: 999, "families/bolt#/title": HOSTILE}, HOSTILE, f"Reason: {HOSTILE}")
    made.set({"rulebook#/site_reduction/floor": 0.1, "reference/post#/expected/verdict": "not_verified"})
    made.set({"families/bolt#/sizes/M10": REMOVED, "families/bolt#/approval/until": "2027-01-01"})
    made.set({"families/bolt#/sizes/M12/geometry/diameter_mm": 13, "rulebook#/cautions/0": REMOVED})
    return changes_between(made.repository, "HEAD~4", "HEAD")


@pytest.fixture(scope="module")
def markdown(report: dict[str, Any]) -> str:
    return changes_markdown(report)


@pytest.fixture(scope="module")
def page(report: dict[str, Any]) -> str:
    return changes_html(report)


class Texts(HTMLParser):
    """Elements of a page, and its text without its style."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.elements: list[str] = []
        self.attributes: list[tuple[str, str | None]] = []
        self.text = ""
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append(tag)
        self.attributes += attrs

    def handle_data(self, data: str) -> None:
        if self.elements[-1:] != ["style"]:
            self.text += data


def test_a_report_is_plain_data(report: dict[str, Any]) -> None:
    assert json.loads(json.dumps(report)) == report


def test_sections_stand_in_the_order_of_safety(markdown: str, page: str) -> None:
    headings = [line.removeprefix("## ") for line in markdown.splitlines() if line.startswith("## ")]
    assert headings == [
        "Faults: these changes may not be released",
        "Less safe (2)",
        "Depends on the fixing (1)",
        "Safer (3)",
        "No effect on what passes (1)",
        "Reference fixings (1)",
    ]
    assert [html.unescape(found) for found in re.findall(r"<h2>(.*?)</h2>", page)] == headings


def test_every_change_has_its_row_with_its_effect_in_words(report: dict[str, Any], markdown: str, page: str) -> None:
    rows = [line for line in markdown.splitlines() if line.startswith("| **")]
    every = [*report["changes"], *report["reference"]]
    assert len(rows) == len(every) == page.count('<tr><th scope="row">')
    for change in report["changes"]:
        effect = change["effect"].replace("_", " ")
        assert any(f"<code>{change['rule']}</code>" in row and f"| {effect} |" in row for row in rows)
        assert f'data-heading="Effect">{effect}</td>' in page
    assert all(len(re.findall(r"(?<!\\)\|", row)) == len(change_words.HEADINGS) + 1 for row in rows)


def test_old_and_new_are_shown_with_their_unit_and_what_null_means(markdown: str) -> None:
    tension = next(line for line in markdown.splitlines() if TENSION in line)
    assert re.search(r"\| [\d.]+ kN \| 999 kN \| \+\d+ % \| less safe \|", tension)
    until = next(line for line in markdown.splitlines() if "approval/until" in line)
    assert "| null (until revoked) | 2027-01-01 |" in until
    assert "checker: fastening engineer" in until
    size = next(line for line in markdown.splitlines() if "sizes/M10</code>" in line)
    assert re.search(r"\| embedment 60 mm; \d+ figures \| — \|", size)


def test_who_lacks_is_said_first(report: dict[str, Any], markdown: str, page: str) -> None:
    [fault] = report["faults"]
    assert markdown.index("names no checker and no approver") < markdown.index("## Less safe")
    assert html.escape(fault["detail"]) in page
    assert "checker: none named" in markdown


def test_the_trade_s_caution_closes_both(markdown: str, page: str) -> None:
    assert markdown.rstrip().endswith(f"_{change_words.CAUTION}_")
    assert "licensed or chartered engineer decide" in page


def test_a_page_holds_no_script_and_fetches_nothing(page: str) -> None:
    seen = Texts(page)
    assert set(seen.elements).isdisjoint({"script", "img", "link", "iframe", "object", "form", "a", "base"})
    names = {name for name, _ in seen.attributes}
    assert names <= {"lang", "charset", "name", "content", "http-equiv", "class", "scope", "data-heading", "aria-label"}
    assert "url(" not in page
    assert "@import" not in page
    assert HOSTILE.strip() in seen.text


def test_a_page_says_language_title_and_headings_of_its_tables(page: str) -> None:
    assert page.startswith('<!DOCTYPE html>\n<html lang="en">')
    assert re.search(r"<title>Rule changes from version 2026\.1\.0 \(commit \w{12}\) to ", page)
    assert page.count("<table") == page.count("<thead>") == page.count("aria-label=")
    assert page.count('<th scope="col">') == page.count("<table") * len(change_words.HEADINGS)
    assert 'name="viewport"' in page


def test_markdown_holds_no_element_but_its_own(markdown: str) -> None:
    assert set(re.findall(r"<[^>]*>", markdown)) == {"<br>", "<code>", "</code>", "<!-- -->"}


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("N_Rk,p", "N_Rk,p"),
        ("_a_ *b*", r"\_a\_ \*b\*"),
        ("a|b", r"a\|b"),
        ("`x`", r"\`x\`"),
        ("[a](b)", r"\[a\](b)"),
        ("a\n# b", "a # b"),
        ("# b", "#<!-- --> b"),
        ("- b", r"\- b"),
        ("1. b", "1<!-- -->. b"),
        ("17.5 kN", "17.5 kN"),
        ("+4.5 %", "+4.5 %"),
        ("@team #3", "@<!-- -->team #<!-- -->3"),
        ("http://x.example", "http<!-- -->://x.example"),
        ("<b>&", "&lt;b&gt;&amp;"),
        (r"\*", r"\\\*"),
        ("~~x~~", r"\~\~x\~\~"),
        ("", ""),
    ],
)
def test_markdown_shows_a_text_as_it_is(text: str, written: str) -> None:
    assert escaped(text) == written


@pytest.mark.parametrize(
    ("value", "unit", "null", "words"),
    [
        (1.5, "kN", None, "1.5 kN"),
        (2.0, None, None, "2"),
        (True, None, None, "yes"),
        (False, None, None, "no"),
        (None, "mm", "cast in", "null (cast in)"),
        (None, None, None, "null"),
        (["a", "b"], None, None, "a; b"),
        ([], None, None, "none"),
        ({"code": "x", "text": None}, None, None, "code: x, text: null"),
        ("x" * 400, None, None, "x" * 299 + "…"),
    ],
)
def test_a_value_is_written_as_people_read_it(value: Any, unit: str | None, null: str | None, words: str) -> None:
    assert change_words.value_words(value, unit, null) == words


@pytest.mark.parametrize(
    ("relative", "words"), [(0.045, "+4.5 %"), (31.25, "+3125 %"), (-0.5, "−50 %"), (None, ""), (0.0, "+0 %")]
)
def test_a_relative_change_has_its_sign(relative: float | None, words: str) -> None:
    assert change_words.percent(relative) == words


def test_no_changes_are_said_in_one_sentence(tmp_path: Path) -> None:
    made = workshop(tmp_path / "company")
    report = changes_between(made.repository, "HEAD", "HEAD")
    assert "**No rule changes.**" in changes_markdown(report)
    assert "<strong>No rule changes.</strong>" in changes_html(report)
    assert "<table" not in changes_html(report)


def test_a_heading_may_stand_deeper(report: dict[str, Any]) -> None:
    assert changes_markdown(report, heading=2).startswith("## Rule changes from")
    assert "\n### Less safe (2)\n" in changes_markdown(report, heading=2)
