"""Figures that are moved, one at a time: who notices, who does not, and what setting data is."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import pytest

from service.audit.changes.figures import RuleNumber, allowed, changed_since, figures_of
from service.audit.impact.guarding import KINDS, Guarding, GuardReport, Moves, guard_figures, with_value
from service.audit.impact.outcome import documents_of
from service.rulebook import Rulebook
from tests.audit.replay_shelf import DAY, NEWER, base, changed

ROW = "families/bolt#/sizes/M12/embedments/70"
SCREW = "families/screw#/sizes/8/embedments/52"


@pytest.fixture(scope="module")
def book() -> Rulebook:
    return base()


@pytest.fixture(scope="module")
def report(book: Rulebook) -> GuardReport:
    return guard_figures(book, DAY)


@pytest.fixture(scope="module")
def by_path(report: GuardReport) -> Mapping[str, Guarding]:
    return {guarding.figure.path: guarding for guarding in report.figures}


@pytest.mark.parametrize(
    ("path", "up", "down"),
    [
        # The one reference fixing: a bolt M12 in cracked C25/30, pulled with 1 kN, 0.11 used by pull-out.
        (f"{ROW}/pull_out/cracked_kn", "utilisation", "utilisation"),
        (f"{ROW}/concrete/cracked_factor", "utilisation", "utilisation"),
        ("families/bolt#/sizes/M12/steel/tension_kn", "utilisation", "utilisation"),
        ("factors/site-conditions#/conditions/installer/values/unknown/factor", "utilisation", "utilisation"),
        ("rulebook#/partial_factors/concrete/persistent", "utilisation", "utilisation"),
        (f"{ROW}/limits/member_thickness_min_mm", "limit", "limit"),
        (f"{ROW}/depth/effective_mm", "verdict", "verdict"),
        # Nobody asks about uncracked concrete, shear, another size or an accident.
        (f"{ROW}/pull_out/uncracked_kn", None, None),
        ("families/bolt#/sizes/M12/steel/shear_kn", None, None),
        ("rulebook#/partial_factors/concrete/accidental", None, None),
        # gamma_inst is 1.0, 1.2 or 1.4; a key of an embedment is its depth.
        ("families/screw#/sizes/8/factors/installation_factor/dry", "lint", "lint"),
        (f"{SCREW}/depth/effective_mm", "lint", "lint"),
    ],
)
def test_who_notices(path: str, up: str | None, down: str | None, by_path: Mapping[str, Guarding]) -> None:
    assert (by_path[path].up, by_path[path].down) == (up, down)


def test_setting_data_stands_apart(report: GuardReport) -> None:
    setting = {guarding.figure.path for guarding in report.setting}
    assert {
        "families/bolt#/sizes/M12/setting/installation_torque_nm",
        "families/resin-rod#/installation/working_and_curing/0/curing_dry_minutes",
        "families/resin-rod#/sizes/M12/embedments/70/resin_volume_ml",
        f"{ROW}/depth/hole_mm",
        "families/bolt#/preference_rank",
    } <= setting
    assert len(report.setting) + len(report.calculating) == len(report.figures)


def test_no_setting_data_enters_a_check(report: GuardReport) -> None:
    # A length is the one exception: its list is shown as the limit of a length that a request names.
    entering = {guarding.figure.path for guarding in report.setting if {guarding.up, guarding.down} - {None, "lint"}}
    assert {path.rpartition("/")[2] for path in entering} <= {"length_mm"}


def test_only_numbers_are_moved(report: GuardReport, book: Rulebook) -> None:
    assert all(type(guarding.figure.value) in {int, float} for guarding in report.figures)
    documents: dict[str, Any] = {"rulebook.json": {"a": True, "b": "5", "c": None, "d": [2, {"e": 0.5}]}}
    assert [figure.steps for figure in figures_of(documents)] == [("d", 0), ("d", 1, "e")]
    assert {figure.path for figure in figures_of(documents_of(book)) if figure.file.startswith("reference/")} == set()


def test_the_shares_add_up(report: GuardReport) -> None:
    shown = report.as_json()
    assert sum(shown["guarded_by"].values()) + len(shown["unguarded"]) == shown["calculating"]
    assert shown["unguarded_share"] == len(report.unguarded) / len(report.calculating)
    assert not report.within
    assert {entry["path"] for entry in shown["unguarded"]} >= {f"{ROW}/pull_out/uncracked_kn"}


@pytest.mark.parametrize(
    ("up", "down", "by"),
    [
        ("verdict", "limit", "limit"),
        ("lint", "utilisation", "lint"),
        ("verdict", None, None),
        (None, "lint", None),
        ("requirement", "verdict", "requirement"),
    ],
)
def test_a_figure_is_as_well_guarded_as_the_weaker_of_its_moves(
    up: str | None, down: str | None, by: str | None
) -> None:
    guarding = Guarding(RuleNumber("rulebook.json", ("a",), 1.0, False), up, down)
    assert guarding.by == by
    assert guarding.guarded is (by is not None)


def test_over_processes_it_is_the_same(book: Rulebook, report: GuardReport) -> None:
    assert guard_figures(book, DAY, jobs=2) == report


def test_a_move_changes_one_figure_and_leaves_the_rulebook_as_it_was(book: Rulebook) -> None:
    before = documents_of(book)
    for figure in figures_of(before)[::7]:
        moved = documents_of(with_value(book, figure, figure.value + 1))
        assert changed_since(moved, before) == {(figure.file, figure.steps)}
        assert type(moved[figure.file]) is dict
    assert documents_of(book) == before


def test_a_figure_of_zero_is_moved_too(book: Rulebook) -> None:
    figure = RuleNumber("families/bolt.json", ("sizes", "M12", "steel", "tension_kn"), 0.0, False)
    assert Moves(book, documents_of(book), DAY).guarding(figure).up == "verdict"


def test_since_takes_only_what_changed(book: Rulebook) -> None:
    newer = changed(book, NEWER, {"families/bolt#/sizes/M12/steel/shear_kn": 24, "families/bolt#/title": "Bolt"})
    only = changed_since(documents_of(newer), documents_of(book))
    found = guard_figures(newer, DAY, only=only)
    assert [guarding.figure.path for guarding in found.figures] == ["families/bolt#/sizes/M12/steel/shear_kn"]
    assert found.share == 1.0
    nothing = guard_figures(book, DAY, only=changed_since(documents_of(book), documents_of(book)))
    assert (nothing.figures, nothing.share, nothing.within) == ((), 0.0, True)


def test_a_new_family_is_all_new(book: Rulebook) -> None:
    documents = documents_of(book)
    earlier = {file: document for file, document in documents.items() if file != "families/stud.json"}
    assert {file for file, _ in changed_since(documents, earlier)} == {"families/stud.json"}


def test_what_the_schema_forbids_is_noticed() -> None:
    figure = RuleNumber("families/bolt.json", ("sizes", "M12", "steel", "shear_group_factor"), 1.0, False)
    assert not allowed(figure, 1.05)
    assert allowed(figure, 0.95)


def test_kinds_are_listed_the_strongest_first() -> None:
    assert KINDS == ("verdict", "requirement", "utilisation", "limit", "lint")


def test_without_reference_fixings_lint_alone_is_left(book: Rulebook) -> None:
    found = guard_figures(replace(book, reference=()), DAY)
    assert {guarding.by for guarding in found.figures} == {"lint", None}
