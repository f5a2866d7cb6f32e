"""The commands replay, impact and guard as a person or a script meets them."""

from __future__ import annotations

import io
import json
import sys
from pathlib import Path
from typing import Any

import pytest

from service.audit.impact.outcome import documents_of
from service.cli import main
from service.verification.record import record_id
from tests.audit.changes_repository import Workshop
from tests.audit.changes_repository import workshop as workshop_in
from tests.audit.replay_shelf import BASE, base, record_of

FACTOR = "factors/site-conditions#/conditions/installer/values/trained/factor"


@pytest.fixture(autouse=True)
def wide_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "240")
    monkeypatch.delenv("ANCHOR_ALLOWED_SIGNERS", raising=False)


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    made = workshop_in(tmp_path / "repository")
    heavier = {"load_cases/0/normal_kn": 10, "site/installer": "trained"}
    made.put({f"reference/post#/request/{place}": value for place, value in heavier.items()})
    made.commit("the post pulls harder")
    made.put({FACTOR: 0.86})
    made.commit("trained setters count for less")
    return made


def run(*words: str) -> int:
    return main(["--rules", str(BASE), *words])


def written(directory: Path, *lines: Any) -> str:
    file = directory / "file.json"
    file.write_text("".join(line if isinstance(line, str) else f"{json.dumps(line)}\n" for line in lines), "utf-8")
    return str(file)


def test_replay_of_a_record_as_it_was_given(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("replay", written(tmp_path, record_of(base()))) == 0
    out = capsys.readouterr().out
    assert out.startswith("identical: recomputed, every value is the same")
    assert "It passes its checks under the rules in force today." in out


def test_replay_of_an_altered_record(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    record = record_of(base())
    record["answer"]["governing"]["utilisation"] *= 0.5
    file = written(tmp_path, record)
    assert run("replay", file) == 1
    out = capsys.readouterr().out
    assert out.startswith("different: the record is not what comes out")
    assert "#/answer/governing/utilisation" in out
    assert "+100.000%" in out
    assert run("replay", file, "--json") == 1
    assert json.loads(capsys.readouterr().out)["cause"] == "altered"


def test_replay_of_a_record_whose_sentences_have_other_words(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    record = record_of(base())
    record["answer"]["basis"]["note"] = "as it was worded then"
    assert run("replay", written(tmp_path, record)) == 0
    out = capsys.readouterr().out
    assert out.startswith("same figures: every figure, verdict and code comes out the same")
    assert "sentences have other words now" in out
    assert "#/answer/basis/note" in out


def test_replay_of_an_identical_record_that_no_longer_passes(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    over = record_of(base(), load_cases=[{"name": "pull", "normal_kn": 90}])
    assert run("replay", written(tmp_path, over)) == 1
    out = capsys.readouterr().out
    assert out.startswith("identical")
    assert "It does not pass under the rules in force today" in out


def test_replay_under_rules_that_are_not_here(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    record = record_of(base())
    answer = record["answer"]
    answer["rulebook"]["digest"] = f"sha256:{'1' * 64}"
    request = {**record["request"], "rulebook": answer["rulebook"]["version"]}
    answer["record"]["id"] = record_id(request, answer, answer["rulebook"]["digest"])
    assert run("replay", written(tmp_path, record)) == 1
    out = capsys.readouterr().out
    assert out.startswith("impossible: its rulebook is not known here")
    assert "served: 2026.1.0" in out


@pytest.mark.parametrize(
    ("content", "words"),
    [
        ("{", "not JSON"),
        ("[]", "#: must be an object [wrong_type]"),
        ('{"request": {}}', "#/answer: must be given [required]"),
    ],
)
def test_replay_of_what_is_no_record(
    content: str, words: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run("replay", written(tmp_path, content)) == 2
    assert words in capsys.readouterr().err
    assert run("replay", written(tmp_path, content), "--json") == 2
    assert json.loads(capsys.readouterr().out)["status"] in {400, 422}


def test_replay_of_a_file_that_is_not_there(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("replay", "/no/such/file.json") == 2
    assert "No such file" in capsys.readouterr().err


def test_replay_reads_standard_input(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    raw = json.dumps(record_of(base())).encode()
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(raw)))
    assert run("replay", "-") == 0
    assert "identical" in capsys.readouterr().out


def test_impact_between_two_commits(workshop: Workshop, capsys: pytest.CaptureFixture[str]) -> None:
    rules = ("--rules", str(workshop.rules))
    assert run(*rules, "impact", "HEAD~1..HEAD", "--jobs", "1") == 1
    out = capsys.readouterr().out
    assert "Impact of the rules from HEAD~1 to HEAD" in out
    assert "verified → not verified" in out
    assert run(*rules, "impact", "HEAD..HEAD~1", "--no-sizings", "--jobs", "1") == 0
    assert "not verified → verified" in capsys.readouterr().out
    assert run(*rules, "impact", "HEAD..HEAD", "--no-sizings", "--jobs", "1") == 0


def test_impact_of_what_is_not_committed_yet(workshop: Workshop, capsys: pytest.CaptureFixture[str]) -> None:
    workshop.put({FACTOR: 1.0})
    assert run("--rules", str(workshop.rules), "impact", "HEAD..", "--no-sizings", "--jobs", "1", "--json") == 0
    shown = json.loads(capsys.readouterr().out)
    assert shown["impact"]["counts"]["to_passing"] == 1
    assert shown["portfolio"] is None


@pytest.mark.parametrize(("form", "start"), [("--markdown", "# Impact"), ("--html", "<!doctype html>")])
def test_impact_as_a_document(form: str, start: str, workshop: Workshop, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("--rules", str(workshop.rules), "impact", "HEAD~1..HEAD", form, "--no-sizings", "--jobs", "1") == 1
    assert capsys.readouterr().out.startswith(start)


@pytest.mark.parametrize(
    ("span", "words"),
    [
        ("HEAD", "names no two states"),
        ("..", "names no two states"),
        ("a...b", "names no two states"),
        ("no-such..HEAD", "names no commit of this repository"),
        ("--upload-pack=x..HEAD", "can't be the name of a commit"),
        ("2019.1.0..HEAD", "version 2019.1.0 is not served"),
    ],
)
def test_impact_of_what_cant_be_compared(
    span: str, words: str, workshop: Workshop, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run("--rules", str(workshop.rules), "impact", "--no-sizings", "--", span) == 2
    assert words in capsys.readouterr().err


def test_impact_without_a_repository(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for file, document in documents_of(base()).items():
        (tmp_path / file).parent.mkdir(exist_ok=True)
        (tmp_path / file).write_text(json.dumps(document), "utf-8")
    assert run("--rules", str(tmp_path), "impact", "HEAD..", "--no-sizings") == 2
    assert "there is no git repository here" in capsys.readouterr().err
    assert run("--rules", str(tmp_path), "impact", "2026.1.0..", "--no-sizings", "--jobs", "1") == 0


def test_impact_on_a_portfolio(workshop: Workshop, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    kept = record_of(base(), fixing_reference="kept", load_cases=[{"name": "pull", "normal_kn": 13}])
    file = written(tmp_path, kept, "{\n", kept["request"] | {"fixing_reference": "bare"})
    out = tmp_path / "out.ndjson"
    words = ("impact", "HEAD~1..HEAD", "--portfolio", file, "--out", str(out), "--no-sizings", "--jobs", "2")
    assert run("--rules", str(workshop.rules), *words, "--json") == 1
    told = capsys.readouterr()
    assert "line 2: #: not JSON" in told.err
    assert json.loads(told.out)["portfolio"]["counts"]["bad"] == 1
    lines = [json.loads(line) for line in out.read_text("utf-8").splitlines()]
    assert [(line["line"], line["fixing_reference"], line["effect"]) for line in lines] == [
        (1, "kept", "to_not_passing"),
        (2, None, "bad"),
        (3, "bare", "to_not_passing"),
    ]


def test_a_bad_line_alone_is_a_failure(workshop: Workshop, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = ("impact", "HEAD..HEAD", "--portfolio", written(tmp_path, "\n"), "--no-sizings", "--jobs", "1")
    assert run("--rules", str(workshop.rules), *words) == 1
    assert "the line is empty" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--out", "x"), "Name one with --portfolio"),
        (("--portfolio", "/no/such/file"), "No such file"),
        (("--portfolio", str(BASE / "rulebook.json"), "--out", "/no/such/directory/x"), "can be written"),
    ],
)
def test_a_portfolio_that_cant_be_read(
    words: tuple[str, ...], told: str, workshop: Workshop, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run("--rules", str(workshop.rules), "impact", "HEAD..HEAD", "--no-sizings", *words) == 2
    assert told in capsys.readouterr().err


def test_guard_tells_what_nobody_guards(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("guard", "--jobs", "1") == 1
    out = capsys.readouterr().out
    assert "over the limit of 5.0%" in out
    assert "families/bolt#/sizes/M12/steel/shear_kn" in out
    assert run("guard", "--jobs", "1", "--limit", "1", "--json") == 0
    assert json.loads(capsys.readouterr().out)["within_limit"]


def test_guard_of_what_a_change_touches(workshop: Workshop, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("--rules", str(workshop.rules), "guard", "--since", "HEAD~1", "--jobs", "1", "--json") == 0
    shown = json.loads(capsys.readouterr().out)
    assert (shown["calculating"], shown["unguarded"]) == (1, [])
    assert run("--rules", str(workshop.rules), "guard", "--since", "no-such") == 2
    assert "names no commit" in capsys.readouterr().err


@pytest.mark.parametrize("words", [("--limit", "2"), ("--limit", "x"), ("--jobs", "0"), ("--jobs", "many")])
def test_guard_refuses_what_is_no_share_or_number(words: tuple[str, ...], capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit, match="2"):
        run("guard", *words)
    assert "must be a" in capsys.readouterr().err
