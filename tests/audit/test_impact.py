"""What a change of the rules does to reference fixings and sizings."""

from __future__ import annotations

from html.parser import HTMLParser
from typing import Any

import pytest

from service.audit.impact.as_html import impact_html
from service.audit.impact.as_markdown import impact_markdown
from service.audit.impact.outcome import Comparison, Outcome, always_in_force, compared, documents_of, portable
from service.audit.impact.portfolio import LineImpact, PortfolioImpact
from service.audit.impact.reference_fixings import (
    FirstChoice,
    FixingImpact,
    Impact,
    SizingImpact,
    impact_of_change,
    urgency,
)
from service.audit.impact.workers import Work, WorkerFailed, in_order
from service.rulebook import Rulebook
from service.rulebook.book import of_documents
from tests.audit.replay_shelf import DAY, NEWER, REQUEST, base, changed

INSTALLER = "factors/site-conditions#/conditions/installer/values"
PULL_OUT = "families/bolt#/sizes/M12/embedments/70/pull_out/cracked_kn"


@pytest.fixture(scope="module")
def old() -> Rulebook:
    return with_fixings(base(), {"post": {}, "light": {"load_cases": [{"name": "pull", "normal_kn": 0.5}]}})


def with_fixings(book: Rulebook, fixings: dict[str, dict[str, Any]]) -> Rulebook:
    """The rulebook with reference fixings made of its one, each with parts of its request replaced."""
    documents = documents_of(book)
    post = documents.pop("reference/post.json")
    for name, parts in fixings.items():
        request = {**post["request"], **parts}
        request.pop("rulebook")
        documents[f"reference/{name}.json"] = {**post, "id": name, "title": name.title(), "request": request}
    return of_documents(documents, path=book.path, commit=None, state="working")


def of(report: Impact) -> dict[str, tuple[str, str]]:
    return {fixing.id: (fixing.comparison.effect, fixing.asked) for fixing in report.fixings}


def test_a_rulebook_against_itself_changes_nothing(old: Rulebook) -> None:
    report = impact_of_change(old, old, DAY)
    assert report.fixings == ()
    assert report.unchanged == 2
    assert report.sizings == ()
    assert report.sizings_unchanged == 2


def test_a_text_or_a_period_changes_no_figure(old: Rulebook) -> None:
    new = changed(
        old,
        NEWER,
        {
            "rulebook#/effective_from": "2027-01-01",
            "families/bolt#/title": "Another title",
            f"{INSTALLER}/unknown/reason": "in other words",
        },
    )
    assert impact_of_change(old, new, DAY).unchanged == 2


def test_a_factor_that_is_tightened_turns_a_verdict_and_moves_a_figure(old: Rulebook) -> None:
    new = changed(old, NEWER, {"rulebook#/site_reduction/floor": 0.01, f"{INSTALLER}/unknown/factor": 0.09})
    report = impact_of_change(old, new, DAY, sizings=False)
    assert of(report) == {"post": ("to_not_passing", "as_before"), "light": ("changed", "as_before")}
    assert [fixing.id for fixing in report.fixings] == ["post", "light"]
    assert report.counted() == {"to_not_passing": 1, "to_passing": 0, "changed": 1, "unchanged": 0}
    assert report.sizings is None
    back = impact_of_change(new, old, DAY, sizings=False)
    assert of(back)["post"] == ("to_passing", "as_before")


def test_a_family_that_is_gone_is_refused_after(old: Rulebook) -> None:
    documents = documents_of(old)
    documents["families/anchor.json"] = {**documents.pop("families/bolt.json"), "id": "anchor"}
    new = of_documents(documents, path=old.path, commit=None, state="working")
    report = impact_of_change(old, new, DAY)
    post = next(fixing for fixing in report.fixings if fixing.id == "post")
    assert (post.comparison.effect, post.comparison.after.verdict) == ("to_not_passing", "refused")
    assert "unknown; known are anchor" in str(post.comparison.after.refusal)


def test_fixings_that_come_go_and_change(old: Rulebook) -> None:
    new = with_fixings(old_base := base(), {"post": {"load_cases": [{"name": "pull", "normal_kn": 90}]}, "fresh": {}})
    assert old_base.version == new.version
    tightened = changed(new, NEWER, {f"{INSTALLER}/unknown/factor": 0.8})
    report = impact_of_change(old, tightened, DAY, sizings=False)
    asked = sorted((fixing.id, fixing.asked) for fixing in report.fixings)
    # The change may not be judged by a fixing that it has changed: what it was before is asked as well.
    assert asked == [
        ("fresh", "new"),
        ("light", "removed"),
        ("post", "changed_as_after"),
        ("post", "changed_as_before"),
    ]
    assert {fixing.comparison.effect for fixing in report.fixings} == {"changed"}


def test_a_first_choice_that_changes(old: Rulebook) -> None:
    new = changed(old, NEWER, {"families/bolt#/approval/status": "withdrawn"})
    report = impact_of_change(old, new, DAY)
    assert report.sizings is not None
    assert [(sizing.id, sizing.before.family, sizing.after.family) for sizing in report.sizings] == [
        ("light", "bolt", "resin-rod"),
        ("post", "bolt", "resin-rod"),
    ]


def test_it_is_the_same_over_processes(old: Rulebook) -> None:
    new = changed(old, NEWER, {PULL_OUT: 15})
    assert impact_of_change(old, new, DAY, jobs=2) == impact_of_change(old, new, DAY)


def test_what_turns_comes_first_then_the_larger_change() -> None:
    def comparison(effect: str, before: float | None, after: float | None) -> Comparison:
        one, other = (Outcome("verified", None, used, (), None) for used in (before, after))
        return Comparison(one, other, effect)

    worse, better = comparison("to_not_passing", 0.9, 1.1), comparison("to_passing", 1.1, 0.9)
    large, small, none = (comparison("changed", 0.2, after) for after in (0.5, 0.3, None))
    assert sorted([none, small, better, large, worse], key=urgency) == [worse, better, large, small, none]


def test_a_day_of_release_does_not_matter(old: Rulebook) -> None:
    later = changed(old, NEWER, {"rulebook#/effective_from": "2030-01-01"})
    request = {**REQUEST, "detail": "summary"}
    assert compared(request, always_in_force(old), always_in_force(later)).effect == "unchanged"
    assert compared(request, old, later).effect == "to_not_passing"


def fixing(title: str) -> FixingImpact:
    before, after = Outcome("verified", "bond", 0.9, (), None), Outcome("not_verified", "bond", 1.2, ("spacing",), None)
    return FixingImpact("post", title, "bolt", "M12", 70, Comparison(before, after, "to_not_passing"), "new")


def report_of(title: str, old: Rulebook) -> tuple[Impact, PortfolioImpact]:
    made = impact_of_change(old, old, DAY, sizings=False, names=("main|<b>", "HEAD"))
    portfolio = PortfolioImpact()
    portfolio.add(LineImpact(1, title, fixing(title).comparison, None))
    portfolio.add(LineImpact(2, None, None, f"no JSON {title}"))
    chosen, none = FirstChoice("bolt", "M12", 70, 0.5, None), FirstChoice(None, None, None, None, None)
    sizing = SizingImpact("post", title, chosen, none)
    return Impact(made.old, made.new, (fixing(title),), 1, (sizing,), 0), portfolio


HOSTILE = "<script>alert(1)</script> | [x](javascript:x) `a` \n# b"


def test_markdown_keeps_its_tables_whatever_a_title_holds(old: Rulebook) -> None:
    text = impact_markdown(*report_of(HOSTILE, old))
    assert "<script>" not in text
    assert "\n# b" not in text
    assert r"\<script\>" in text
    rows = [line for line in text.splitlines() if line.startswith("|") and "script" in line and "no JSON" not in line]
    assert [row.replace(r"\|", "").count("|") for row in rows] == [6, 4, 6]
    assert "passed, no longer passes" in text
    assert "licensed or chartered engineer" in text
    assert r"0.9 → 1.2" in text


def test_html_is_whole_and_holds_no_markup_of_a_title(old: Rulebook) -> None:
    page = impact_html(*report_of(HOSTILE, old))
    tags: list[str] = []

    class Reader(HTMLParser):
        def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
            tags.append(tag)

    Reader().feed(page)
    assert not {"script", "img", "link", "a"} & set(tags)
    assert tags.count("table") >= 4
    assert "&lt;script&gt;" in page
    assert "http" not in page
    assert "Portfolio: bad lines" in page


def test_a_process_that_dies_is_told() -> None:
    with pytest.raises(WorkerFailed, match="ended before its work was done"):
        list(in_order(Work(_no_such_book, portable), [1, 2, 3], 2))


def _no_such_book(given: Any) -> Any:
    raise SystemExit(3)


def test_at_least_one_process_is_needed() -> None:
    with pytest.raises(ValueError, match="at least one process"):
        list(in_order(Work(_no_such_book, None), [1], 0))
