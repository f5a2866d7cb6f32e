"""The command line as a person or a script meets it."""

import http.client
import io
import json
import os
import re
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from dataclasses import asdict
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from service import __version__, rulebook, sizing, verification
from service.api import create_app
from service.cli import commands, main
from service.contract.faults import LARGEST_BYTES
from service.rulebook.shelf import Shelf, open_shelf
from tests.shipped import VERSION, shipped_rules, shipped_shelf

ROOT = Path(__file__).resolve().parents[2]
RULES = ROOT / "rules"
EXAMPLE = ROOT / "deploy" / "example"
RELEASED = shipped_shelf().book(VERSION)


@pytest.fixture(autouse=True)
def wide_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "200")
    monkeypatch.delenv("ANCHOR_RULES_DIR", raising=False)


@pytest.fixture(autouse=True)
def shipped_rules_opened_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Commands open the rules that they are given, but the shipped ones not anew each time."""

    def opened(rules: Path, signers: Path | None) -> Shelf:
        return shipped_shelf() if rules.resolve() == RULES and signers is None else open_shelf(rules, signers)

    monkeypatch.setattr(commands, "open_shelf", opened)


def example(name: str, **changes: Any) -> dict[str, Any]:
    request: dict[str, Any] = json.loads((EXAMPLE / f"{name}.json").read_text("utf-8"))
    return request | changes


def written(directory: Path, request: dict[str, Any]) -> str:
    file = directory / "request.json"
    file.write_text(json.dumps(request), "utf-8")
    return str(file)


def heavier(request: dict[str, Any], factor: float) -> dict[str, Any]:
    cases = [case | {"moment_y_knm": case["moment_y_knm"] * factor} for case in request["load_cases"]]
    return request | {"load_cases": cases}


def test_a_verified_fixing_is_told_in_words_and_exits_0(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["verify", str(EXAMPLE / "verification.json"), "--rules", str(RULES)]) == 0
    out = capsys.readouterr().out
    assert out.startswith("verified: passes its checks")
    assert "Through-bolt with expansion clip, stainless steel, size M12, set depth (h_nom) 87 mm, h_ef 75 mm" in out
    assert "concrete edge, edge x plus" in out
    assert "requirements are met" in out
    assert "Demonstration rulebook: every fastener figure is invented" in out
    assert "safe" not in out.lower()


def test_the_combinations_of_actions_are_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Source: 1.35·1 + 1.5·2 = 4.35 kN, by hand."""
    weight = {"name": "weight", "kind": "permanent", "normal_kn": 1}
    wind = {"name": "wind", "kind": "variable", "normal_kn": 2, "shear_x_kn": 1}
    request = example("verification", load_cases=None, actions=[weight, wind])
    main(["verify", written(tmp_path, request), "--rules", str(RULES)])
    out = capsys.readouterr().out
    assert "Combinations of actions to EN 1990" in out
    assert re.search(r"1\.35·weight \+ 1\.5·wind\W+wind\W+4\.35\W+1\.5\W", out)


def test_an_overloaded_fixing_exits_1(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = written(tmp_path, heavier(example("verification"), 5))
    assert main(["verify", file]) == 1
    assert capsys.readouterr().out.startswith("not verified: does not pass")


def test_an_unmet_requirement_is_shown_with_its_limit(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    request = example("verification")
    request["member"]["thickness_mm"] = 100
    assert main(["verify", written(tmp_path, request)]) == 1
    out = capsys.readouterr().out
    assert "Requirements not met (1 of " in out
    assert "member thickness" in out
    assert "100 mm" in out


def test_a_case_outside_the_method_exits_1_and_says_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    rows = (-180, -60, 60, 180)
    request = example("verification", positions=[{"x_mm": x, "y_mm": y} for x in rows for y in rows])
    box = {"width_mm": 300, "depth_mm": 300, "profile": "hollow"}
    request["fixture"] |= {"width_mm": 440, "depth_mm": 440, "attached_section": box}
    request["member"]["edges"] = {"x_plus_mm": 600}
    assert main(["verify", written(tmp_path, request)]) == 1
    out = capsys.readouterr().out
    assert out.startswith("outside scope: the method does not cover this case, so no figure is given")
    assert "Outside the method:" in out


def test_json_is_the_answer_of_the_service(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["verify", str(EXAMPLE / "verification.json"), "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == verification.verify(example("verification"), RELEASED)


def test_a_sizing_shows_choices_and_rejections_and_exits_0(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["size", str(EXAMPLE / "sizing.json")]) == 0
    out = capsys.readouterr().out
    assert "Choices, best first" in out
    assert "Side by side" in out
    assert "Rejected, by what stopped" in out
    assert "Ahead of " in out
    assert "The next smaller of this family" in out


def test_json_of_a_sizing_is_the_answer_of_the_service(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["size", str(EXAMPLE / "sizing.json"), "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == sizing.size(example("sizing"), RELEASED)


def test_a_sizing_without_a_choice_exits_1(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["size", written(tmp_path, heavier(example("sizing"), 100))]) == 1
    assert "No approved fixing passes its checks within these limits." in capsys.readouterr().out


def test_below_the_floor_of_the_site_that_is_the_headline(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Of a bonded rod on a site that nobody knows anything about."""
    headline = "No answer yet: improve the site first."
    request = example("verification", site={})
    request["fastener"] = {"family": "bonded-rod-epoxy-slow", "size": "M12", "embedment_mm": 111}
    assert main(["verify", written(tmp_path, request), "--rules", str(RULES)]) == 1
    assert capsys.readouterr().out.startswith(headline)
    offered = example("sizing", site={}, limits={"mechanisms": ["bonded"]})
    assert main(["size", written(tmp_path, offered), "--rules", str(RULES)]) == 1
    assert capsys.readouterr().out.startswith(headline)


def test_standard_input_is_read(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    body = (EXAMPLE / "verification.json").read_bytes()
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(body)))
    assert main(["verify", "-"]) == 0
    assert capsys.readouterr().out.startswith("verified")


def test_the_day_is_today_where_it_is_left_out_and_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    request = example("verification")
    del request["assessed_on"]
    before = datetime.now(UTC).date()
    assert main(["verify", written(tmp_path, request), "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["assessed_on"] in {before.isoformat(), datetime.now(UTC).date().isoformat()}
    assert any(answer["assessed_on"] in assumption["text"] for assumption in answer["assumptions"])


@pytest.mark.parametrize(
    ("body", "words"),
    [
        ("", "#: the body is empty [malformed_json]"),
        ("{", "#: not JSON at line 1"),
        ('{"member": 1, "member": 2}', "#/member: must be given once [duplicate_key]"),
        ("[]", "must be an object [wrong_type]"),
        ("{}", "#/member: must be given [required]"),
    ],
)
def test_a_body_that_is_no_request_is_refused(
    body: str, words: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "request.json"
    file.write_text(body, "utf-8")
    assert main(["verify", str(file)]) == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    assert f"anchor-rulebook: {file}: the request is refused." in printed.err
    assert words in printed.err
    assert "Correct these fields and run the command again." in printed.err


@pytest.mark.parametrize(
    ("changes", "pointer", "words"),
    [
        ({"colour": "red"}, "#/colour", "not a field here; the fields are: rulebook, assessed_on"),
        ({"member": {"thickness_mm": 20}}, "#/member/thickness_mm", "must be at least 60"),
        ({"rulebook": "2019.1.0"}, "#/rulebook", VERSION),
        ({"use": {"exposure": "tropical"}}, "#/use/exposure", "must be one of dry_internal"),
        (
            {"fastener": {"family": "rivet", "size": "M12", "embedment_mm": 70}},
            "#/fastener/family",
            "known are bolt-expansion-stainless",
        ),
    ],
)
def test_a_refusal_says_where_and_what_is_allowed(
    changes: dict[str, Any], pointer: str, words: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["verify", written(tmp_path, example("verification", **changes))]) == 2
    (line,) = [line for line in capsys.readouterr().err.splitlines() if line.startswith(f"  {pointer}: ")]
    assert words in line


@pytest.mark.parametrize(
    ("command", "name", "meant"),
    [
        ("verify", "sizing", "It names no fastener, so it is a request to size. Did you mean: anchor-rulebook size "),
        (
            "size",
            "verification",
            "It names a fastener, so it is a request to verify. Did you mean: anchor-rulebook ver",
        ),
    ],
)
def test_a_file_for_the_other_command_is_recognised(
    command: str, name: str, meant: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([command, str(EXAMPLE / f"{name}.json")]) == 2
    assert capsys.readouterr().err.splitlines()[-1].startswith(meant)


@pytest.mark.parametrize(
    ("body", "status", "pointer"),
    [
        ("{", 400, "#"),
        (json.dumps(example("verification", member={"thickness_mm": 20})), 422, "#/member/thickness_mm"),
        (
            json.dumps(example("verification", fastener={"family": "rivet", "size": "M12", "embedment_mm": 70})),
            422,
            "#/fastener/family",
        ),
    ],
    ids=["no JSON", "out of range", "unknown family"],
)
def test_a_refusal_as_json_is_the_problem_document_of_the_service(
    body: str, status: int, pointer: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "request.json"
    file.write_text(body, "utf-8")
    assert main(["verify", str(file), "--json"]) == 2
    printed = capsys.readouterr()
    document = json.loads(printed.out)
    headers = {"Content-Type": "application/json"}
    answered = create_app(RULES).test_client().post("/v1/verifications", data=body, headers=headers)
    assert document == answered.get_json()
    assert (document["status"], document["errors"][0]["pointer"]) == (status, pointer)
    assert printed.err == ""


@pytest.mark.parametrize("name", ["verification", "sizing"])
def test_no_word_is_broken_on_a_terminal_of_80_columns(
    name: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    command = {"verification": "verify", "sizing": "size"}[name]
    assert main([command, str(EXAMPLE / f"{name}.json")]) == 0
    wide = set(re.findall(r"[a-z]{3,}", capsys.readouterr().out))
    monkeypatch.setenv("COLUMNS", "80")
    assert main([command, str(EXAMPLE / f"{name}.json")]) == 0
    narrow = capsys.readouterr().out
    assert set(re.findall(r"[a-z]{3,}", narrow)) <= wide
    assert max(len(line) for line in narrow.splitlines()) <= 80


def test_the_checks_say_that_resistances_stand_before_the_site_reduction(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["verify", str(EXAMPLE / "verification.json")]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "resistances before the site reduction, utilisations after it; fasteners numbered from 1" in out


def test_fasteners_are_numbered_from_1(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["verify", str(EXAMPLE / "verification.json")]) == 0
    rows = [line.split("  ") for line in capsys.readouterr().out.splitlines()]
    shown = {cells[0].strip(): [cell.strip() for cell in cells if cell.strip()] for cells in rows}
    assert shown["pry-out"][2] == "1, 2, 3, 4"
    assert shown["concrete cone"][2] == "1, 3"


def test_the_choices_stand_side_by_side(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["size", str(EXAMPLE / "sizing.json")]) == 0
    rows = [line.strip() for line in capsys.readouterr().out.splitlines()]
    for heading in (
        "Holes to drill", "Hole diameter", "Hole depth", "Tightened with", "Removable", "Beyond least edge distance",
        "Beyond least spacing", "Fixture up to", "Governing mode", "Utilisation",
    ):  # fmt: skip
        assert any(row.startswith(heading) for row in rows)


@pytest.mark.parametrize("order", [["--rules", "DIR", "lint"], ["lint", "--rules", "DIR"]])
def test_the_rules_may_be_named_before_or_after_the_command(
    order: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    rules = str(broken_rules(tmp_path))
    assert main([rules if word == "DIR" else word for word in order]) == 1
    assert rules in capsys.readouterr().out


@pytest.mark.parametrize("arguments", [["--help"], ["verify", "--help"], ["size", "--help"]])
def test_the_help_says_what_a_dash_does(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit, match="0"):
        main(arguments)
    assert "standard input" in " ".join(capsys.readouterr().out.split())


def test_a_file_that_is_not_there_is_named(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["size", "nowhere.json"]) == 2
    err = capsys.readouterr().err
    assert err == (
        "anchor-rulebook: nowhere.json: No such file or directory. "
        "Give the path of a JSON file, or - for standard input.\n"
    )


@pytest.mark.parametrize("command", [["lint"], ["verify", str(EXAMPLE / "verification.json")], ["serve"]])
def test_rules_that_are_not_there_are_named(command: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*command, "--rules", "nowhere"]) == 2
    words = "nowhere: no such directory. Name the directory of a rulebook, or a packed rulebook, with --rules."
    assert words in capsys.readouterr().err


def broken_rules(directory: Path) -> Path:
    rules = directory / "rules"
    rules.mkdir()
    (rules / "rulebook.json").write_text("{}", "utf-8")
    return rules


@pytest.mark.parametrize("command", [["verify", str(EXAMPLE / "verification.json")], ["serve"]])
def test_nothing_is_calculated_by_rules_with_errors(
    command: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([*command, "--rules", str(broken_rules(tmp_path))]) == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    assert "the rulebook has" in printed.err
    assert "See all of it with: anchor-rulebook lint" in printed.err


def test_lint_of_the_shipped_rulebook_finds_no_error(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["lint", "--rules", str(RULES)]) == 0
    assert f"{RULES}: 0 errors" in capsys.readouterr().out


def test_lint_exits_1_and_gives_file_pointer_and_tip(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["lint", "--rules", str(broken_rules(tmp_path))]) == 1
    out = capsys.readouterr().out
    assert "rulebook.json#" in out
    assert "allowed: " in out
    assert "tip: " in out


def test_lint_as_json_gives_every_finding(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    rules = broken_rules(tmp_path)
    assert main(["lint", "--json", "--rules", str(rules)]) == 1
    findings = json.loads(capsys.readouterr().out)
    assert findings == [asdict(finding) for finding in rulebook.lint(rules)]
    assert {"file", "pointer", "rule", "severity", "found", "allowed", "tip", "message"} == findings[0].keys()


def test_the_rules_may_be_named_by_the_environment(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("ANCHOR_RULES_DIR", str(broken_rules(tmp_path)))
    assert main(["lint"]) == 1
    assert str(tmp_path / "rules") in capsys.readouterr().out


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ([], "the following arguments are required: COMMAND"),
        (["calculate"], "invalid choice: 'calculate'"),
        (["verify"], "the following arguments are required: FILE"),
        (["serve", "--port", "99999"], "must be a port from 1 to 65535, not '99999'"),
        (["serve", "--port", "http"], "must be a port from 1 to 65535, not 'http'"),
    ],
)
def test_a_misused_command_exits_2(arguments: list[str], words: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit, match="2"):
        main(arguments)
    assert words in capsys.readouterr().err


def test_the_help_documents_the_exit_codes(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit, match="0"):
        main(["--help"])
    assert "exit codes:" in capsys.readouterr().out


def test_the_version_is_the_packages(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit, match="0"):
        main(["--version"])
    assert capsys.readouterr().out == f"anchor-rulebook {__version__}\n"


@pytest.fixture(scope="module")
def served() -> Iterator[str]:
    """A service that all tests ask. Told to end while a worker still starts, one would take half a minute to end."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    command = [sys.executable, "-m", "service.cli", "serve", "--port", str(port), "--rules", str(RULES)]
    environment = {name: value for name, value in os.environ.items() if name != "ANCHOR_RULES_DIR"}
    process = subprocess.Popen(command, cwd=ROOT, env=environment, stderr=subprocess.DEVNULL)
    try:
        yield f"http://127.0.0.1:{port}"
    finally:
        process.terminate()
        process.wait(timeout=90)


def fetched(url: str, body: bytes | None = None) -> Any:
    deadline = time.monotonic() + 20
    request = urllib.request.Request(url, data=body, headers={"Content-Type": "application/json"})
    while True:
        try:
            with urllib.request.urlopen(request, timeout=10) as response:
                return json.load(response)
        except OSError:
            if time.monotonic() > deadline:
                raise
            time.sleep(0.1)


def test_the_start_script_asks_a_running_service_for_a_fixing(served: str) -> None:
    command = [sys.executable, str(ROOT / "deploy" / "ask.py"), served, str(EXAMPLE / "sizing.json")]
    environment = os.environ | {"PYTHONPATH": str(ROOT)}
    result = subprocess.run(command, env=environment, capture_output=True, text=True, timeout=60, check=False)
    assert result.stderr == ""
    assert result.returncode == 0
    assert "Choices, best first" in result.stdout


def test_a_body_over_the_limit_leaves_the_connection_for_the_next_request(served: str) -> None:
    fetched(f"{served}/health/live")
    connection = http.client.HTTPConnection(served.removeprefix("http://"), timeout=30)
    for body, status in ((b" " * (LARGEST_BYTES * 3), 413), (b"{}", 422), (b" " * (LARGEST_BYTES + 1), 413)):
        connection.request("POST", "/v1/verifications", body, {"Content-Type": "application/json"})
        response = connection.getresponse()
        assert response.status == status
        assert json.loads(response.read())["status"] == status
    connection.close()


def test_serve_starts_the_api_with_the_rules(served: str) -> None:
    assert fetched(f"{served}/health/ready")["rulebook"]["digest"] == shipped_rules().digest
    answer = fetched(f"{served}/v1/verifications", (EXAMPLE / "verification.json").read_bytes())
    assert answer["verdict"] == "verified"
