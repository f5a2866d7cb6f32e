"""The commands that tell what changed in the rules, as a person or a script meets them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from service.cli import main
from tests.audit.changes_repository import BASE, Workshop, workshop

TENSION = "families/bolt#/sizes/M12/steel/tension_kn"


@pytest.fixture(autouse=True)
def wide_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "200")
    monkeypatch.delenv("ANCHOR_RULES_DIR", raising=False)


@pytest.fixture
def made(tmp_path: Path) -> Workshop:
    return workshop(tmp_path / "company")


def run(made: Workshop, *words: str) -> int:
    return main([words[0], "--rules", str(made.rules), *words[1:]])


def test_changes_are_printed_as_markdown_and_exit_0(made: Workshop, capsys: pytest.CaptureFixture[str]) -> None:
    made.set({TENSION: 999})
    assert run(made, "changes", "HEAD~1..HEAD") == 0
    told = capsys.readouterr()
    assert told.out.startswith("# Rule changes from version 2026.1.0 (commit ")
    assert "## Less safe (1)" in told.out
    assert told.err == ""


@pytest.mark.parametrize("span", ["HEAD~1..", "main~1..main", "first..HEAD"])
def test_a_side_left_out_is_head_and_any_revision_will_do(
    made: Workshop, span: str, capsys: pytest.CaptureFixture[str]
) -> None:
    made.git("tag", "first")
    made.set({TENSION: 999})
    assert run(made, "changes", span, "--json") == 0
    report = json.loads(capsys.readouterr().out)
    assert [change["rule"] for change in report["changes"]] == [TENSION]


def test_what_lacks_an_approver_exits_1_and_says_what_to_add(
    made: Workshop, capsys: pytest.CaptureFixture[str]
) -> None:
    made.set({TENSION: 999}, trailers="Checker: fastening engineer")
    assert run(made, "changes", "HEAD~1..HEAD", "--json") == 1
    told = capsys.readouterr()
    assert 'names no approver: add a line "Approver: <role>" at the end of its message' in told.err
    assert json.loads(told.out)["faults"][0]["missing"] == ["Approver"]


def test_changes_are_written_to_a_file(made: Workshop, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    made.set({TENSION: 999})
    page = tmp_path / "changes.html"
    assert run(made, "changes", "HEAD~1..HEAD", "--html", "--output", str(page)) == 0
    assert capsys.readouterr().out == ""
    assert page.read_text(encoding="utf-8").startswith("<!DOCTYPE html>")


@pytest.mark.parametrize(
    ("span", "words"),
    [
        ("HEAD", "names no two versions or revisions. Write the older one, two dots"),
        ("HEAD...HEAD", "names no two versions or revisions"),
        ("nowhere..HEAD", "'nowhere' names no commit of this repository"),
        ("HEAD..--output=x", "'--output=x' can't be the name of a commit"),
        ("HEAD..$(id)", "can't be the name of a commit"),
    ],
)
def test_revisions_that_name_nothing_exit_2(
    made: Workshop, span: str, words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(made, "changes", span) == 2
    told = capsys.readouterr()
    assert words in told.err
    assert told.out == ""


def test_a_file_that_cannot_be_written_exits_2(
    made: Workshop, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(made, "changes", "HEAD..HEAD", "--output", str(tmp_path / "no" / "such")) == 2
    assert "No such file or directory. Give the path of a file that can be written." in capsys.readouterr().err


@pytest.mark.parametrize("words", [("changes", "HEAD..HEAD"), ("history", TENSION)])
def test_without_a_repository_nothing_is_told_and_that_is_said(
    words: tuple[str, ...], tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    assert main([words[0], "--rules", str(BASE), *words[1:]]) == 2
    assert "there is no git repository that may be read here" in capsys.readouterr().err
    assert main([words[0], "--rules", str(tmp_path / "none"), *words[1:]]) == 2
    assert "no such directory" in capsys.readouterr().err


def test_history_is_a_table(made: Workshop, capsys: pytest.CaptureFixture[str]) -> None:
    commit = made.set({TENSION: 40}, "Weaker", "Reason: weak steel\nChecker: fastening engineer")
    assert run(made, "history", TENSION) == 0
    told = capsys.readouterr().out
    assert "Characteristic resistance N_Rk,s to steel failure in tension (kN)" in told
    row = next(line for line in told.splitlines() if commit[:12] in line)
    assert row.split()[0] == "40"
    assert "weak steel" in row
    assert "approver: none named" in told


def test_history_as_json(made: Workshop, capsys: pytest.CaptureFixture[str]) -> None:
    made.set({TENSION: 40})
    assert run(made, "history", TENSION, "--json") == 0
    told = json.loads(capsys.readouterr().out)
    assert told["rule"] == TENSION
    assert [value["value"] for value in told["values"]][-1] == 40


def test_history_of_nothing_says_what_is_near(made: Workshop, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(made, "history", TENSION.replace("tension", "tention")) == 2
    assert "has no 'tention_kn'; did you mean tension_kn" in capsys.readouterr().err
