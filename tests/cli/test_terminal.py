"""Nothing out of data steers a terminal, a log or a page: each text field of rules, requests, records and history."""

from __future__ import annotations

import copy
import io
import json
import logging
import re
import shutil
import sys
import unicodedata
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Any
from xml.etree.ElementTree import fromstring

import pytest

from service.api import create_app
from service.cli import commands, main
from service.cli.worker import PrintableFormatter
from service.rulebook import schemas
from service.rulebook.lint import findings_of
from service.rulebook.printable import printable
from service.rulebook.repository import Repository
from service.rulebook.tree import CONTENT, of_parsed, read
from tests.audit.replay_shelf import BASE, REQUEST, base, record_of, values_in
from tests.releases.conftest import Company

# Clears the screen, colours, turns the order of reading, closes markup and fields, and begins a line of its own.
NASTY = "\x1b[2J\x9b1m\u202e[red][/foo][max]\x07\x1f\x1e\x00<b>&\r\x85\u2028\nFORGED"
TOLD = "[red][/foo][max]"
KEPT = NASTY.replace("\x00", "")
"""As a commit or an argument can hold it."""


@pytest.fixture(autouse=True)
def wide_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "2000")
    monkeypatch.delenv("ANCHOR_RULES_DIR", raising=False)
    monkeypatch.delenv("ANCHOR_ALLOWED_SIGNERS", raising=False)


def steering(told: str) -> set[str]:
    """What would steer, by the tables of Unicode and not by those of the service."""
    return {
        character
        for character in told
        if character != "\n" and unicodedata.category(character) in {"Cc", "Cf", "Cs", "Zl", "Zp"}
    }


def held(told: str, where: object = None) -> str:
    assert steering(told) == set(), where
    assert not [line for line in told.split("\n") if line.strip(" │┃").startswith("FORGED")], where
    return told


def put(document: Any, steps: tuple[str | int, ...], value: object) -> None:
    for step in steps[:-1]:
        document = document[step]
    document[steps[-1]] = value


def texts_in(document: Any) -> list[tuple[str | int, ...]]:
    """Where texts stand."""
    found = []
    for steps in values_in(document):
        value = document
        for step in steps:
            value = value[step]
        if isinstance(value, str):
            found.append(steps)
    return found


def by_name(document: Any) -> dict[str, list[tuple[str | int, ...]]]:
    """Where texts stand, by the name of their field; texts of a list by the name of the list."""
    named: dict[str, list[tuple[str | int, ...]]] = {}
    for steps in texts_in(document):
        named.setdefault(next(step for step in reversed(steps) if isinstance(step, str)), []).append(steps)
    return named


def planted(document: Any) -> Iterator[Any]:
    """The document with each of its text fields nasty, one name after another; and with a name that is nasty."""
    for places in by_name(document).values():
        yield nasty(document, places)
    yield document | {NASTY: 1}
    yield NASTY


def without(document: dict[str, Any], *names: str) -> dict[str, Any]:
    return {name: value for name, value in document.items() if name not in names}


Told = Callable[..., str]


@pytest.fixture
def told(capsys: pytest.CaptureFixture[str]) -> Told:
    """Runs a command and gives what it tells, held to be harmless."""

    def run(*words: object, code: int | None = None) -> str:
        capsys.readouterr()
        done = main([*map(str, words)])
        out, err = capsys.readouterr()
        assert code is None or done == code, err
        return held(out, words) + held(err, words)

    return run


@pytest.fixture(scope="module")
def rules(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A rulebook in which every text that may be any text is nasty, released twice by nasty people."""
    company = Company.founded(tmp_path_factory.mktemp("company"))
    documents = dict(read(company.rules).documents)
    for name in sorted({name for document in documents.values() for name in by_name(document)} - {"id"}):
        other = {file: nasty(document, by_name(document).get(name, ())) for file, document in documents.items()}
        other = {file: documents[file] if schemas.check(file, changed) else changed for file, changed in other.items()}
        if other != documents and not faulty(other):
            documents = other
    for file, document in documents.items():
        company.write(file, document)
    company.commit("Nasty texts")
    company.git("config", "user.name", KEPT.replace("\n", ""))
    people = {"reason": NASTY, "author": NASTY, "checker": NASTY, "approver": f"{NASTY} too"}
    company.register(**people)
    company.change("families/bolt.json", "#/sizes/M12/geometry/spanner_mm", 20)
    company.change("rulebook.json", "#/version", "2026.2.0")
    line = KEPT.replace("\n", "")
    company.git("add", "-A")
    author = f"{line.replace('<', '')} <who@example.org>"
    message = f"{line}\n\nReason: {line}\nChecker: {line}\nApprover: {line} too"
    company.git("commit", "-q", "--author", author, "--cleanup=verbatim", "-m", message)
    company.register(**people)
    company.git("tag", "rules/\u2028\u202e\x9b1m")
    stop = {"family": "bolt", "size": "M10", "since": "2026-11-25", "reason": NASTY}
    company.write("suspensions.json", {"fasteners": [stop], "versions": []})
    return company.rules


def nasty(document: Any, places: Iterable[tuple[str | int, ...]]) -> Any:
    other = copy.deepcopy(document)
    for steps in places:
        put(other, steps, NASTY)
    return other


def faulty(documents: dict[str, Any]) -> bool:
    return any(finding.severity == "error" for finding in findings_of(of_parsed(documents, {})))


def file_of(directory: Path, document: object) -> Path:
    file = directory / "given.json"
    file.write_text(json.dumps(document), "utf-8")
    return file


@pytest.mark.parametrize("form", [[], ["--json"]])
@pytest.mark.parametrize("command", ["verify", "size"])
def test_texts_of_a_request(told: Told, tmp_path: Path, command: str, form: list[str]) -> None:
    request = REQUEST if command == "verify" else without(REQUEST, "fastener", "detail")
    for changed in planted(request):
        told(command, file_of(tmp_path, changed), *form, "--rules", BASE)


@pytest.mark.parametrize("name", ["[max]", "[/foo]", "[bold]a[/bold]", ":warning:"])
def test_name_of_a_load_case_is_told_as_it_was_given(told: Told, tmp_path: Path, name: str) -> None:
    request = REQUEST | {"load_cases": [{**REQUEST["load_cases"][0], "name": name}]}
    printed = told("verify", file_of(tmp_path, request), "--rules", BASE, code=0)
    # The governing check names it, and so does the table.
    assert printed.count(name) >= 2


@pytest.mark.parametrize("form", [[], ["--json"]])
def test_texts_of_a_record(told: Told, tmp_path: Path, form: list[str]) -> None:
    for changed in planted(record_of(base(), detail="summary")):
        told("replay", file_of(tmp_path, changed), *form, "--rules", BASE)


def test_texts_of_a_portfolio(told: Told, tmp_path: Path, rules: Path) -> None:
    lines = tmp_path / "portfolio"
    lines.write_text("".join(f"{json.dumps(changed)}\n" for changed in planted(REQUEST)) + NASTY, "utf-8")
    out = tmp_path / "out"
    for form in ([], ["--html"], ["--markdown"], ["--json"]):
        told("--rules", rules, "impact", "2026.1.0..2026.2.0", "--portfolio", lines, "--out", out, "--jobs", 1, *form)


COMMANDS = (
    ("lint",),
    ("lint", "--json"),
    ("changes", "2026.1.0..2026.2.0"),
    ("changes", "2026.1.0..2026.2.0", "--html"),
    ("changes", "2026.1.0..2026.2.0", "--json"),
    ("changes", f"{KEPT}..HEAD"),
    ("history", "families/bolt#/sizes/M12/geometry/spanner_mm"),
    ("history", "families/bolt#/sizes/M12/geometry/spanner_mm", "--json"),
    ("history", f"families/{KEPT}#/title"),
    ("impact", "2026.1.0..2026.2.0", "--no-sizings", "--jobs", "1"),
    ("impact", "2026.1.0..2026.2.0", "--no-sizings", "--jobs", "1", "--html"),
    ("impact", f"{KEPT}..HEAD"),
    ("guard", "--since", "HEAD~1", "--jobs", "1"),
    ("guard", "--since", KEPT),
    ("releases",),
    ("releases", "--json"),
    ("release", KEPT, "--reason", KEPT, "--author", KEPT),
    ("release", "2026.2.0", "--reason", KEPT, "--author", KEPT, "--checker", KEPT, "--approver", KEPT),
    ("pack", f"/nowhere/{KEPT}"),
    ("verify", f"/nowhere/{KEPT}"),
    ("replay", f"/nowhere/{KEPT}"),
)


@pytest.mark.parametrize("words", COMMANDS, ids=lambda words: " ".join(map(ascii, words)))
def test_texts_of_rules_and_of_their_history(told: Told, rules: Path, words: tuple[str, ...]) -> None:
    printed = told("--rules", rules, *words)
    if words in {("history", "families/bolt#/sizes/M12/geometry/spanner_mm"), ("releases",)}:
        assert TOLD in printed


def test_texts_of_rules_in_answers(told: Told, rules: Path, tmp_path: Path) -> None:
    request = file_of(tmp_path, REQUEST)
    assert TOLD in told("--rules", rules, "verify", request)
    record = {"request": REQUEST, "answer": json.loads(told("--rules", rules, "verify", request, "--json"))}
    assert TOLD in told("--rules", rules, "size", file_of(tmp_path, without(REQUEST, "fastener", "detail")))
    told("--rules", rules, "replay", file_of(tmp_path, record))


def test_texts_of_rules_with_faults(told: Told, tmp_path: Path) -> None:
    for directory in CONTENT:
        for file in sorted((BASE / directory).rglob("*.json")) if directory != "rulebook.json" else [BASE / directory]:
            document = json.loads(file.read_text("utf-8"))
            copied = Path(shutil.copytree(BASE, tmp_path / "rules", dirs_exist_ok=True))
            faults = nasty(document, texts_in(document)) | {NASTY: NASTY}
            (copied / file.relative_to(BASE)).write_text(json.dumps(faults), "utf-8")
            (copied / "families" / NASTY.replace("/", "").replace("\x00", "")).write_text(NASTY, "utf-8")
            for form in ([], ["--json"]):
                told("--rules", copied, "lint", *form, code=1)
            told("--rules", copied, "verify", file_of(tmp_path, REQUEST), code=2)
            told("--rules", copied, "releases", code=2)


def test_texts_of_rules_on_sheets_and_pages(rules: Path) -> None:
    client = create_app(rules).test_client()
    request = REQUEST | {"detail": "full"}
    answer = client.post("/v1/verifications", json=request).get_json()
    fixing = {"request": request, "answer": answer}
    body = {"fixings": [fixing], "title": "\u200b[/foo]<b>"}
    sheets = {}
    for accept in ("text/html", "image/svg+xml"):
        sheet = client.post("/v1/installation-sheets", json=body, headers={"Accept": accept})
        assert sheet.status_code == 200
        sheets[accept] = held(sheet.text)
    assert "\\x00&lt;b&gt;&amp;\\r" in sheets["text/html"]
    assert "\\u200b[/foo]&lt;b&gt;" in sheets["image/svg+xml"]
    fromstring(sheets["image/svg+xml"])  # noqa: S314 our own drawing


def test_commit_whose_subject_holds_separators_changes_nobody_s_attribution(tmp_path: Path) -> None:
    company = Company.founded(tmp_path)
    first = company.git("rev-parse", "HEAD")
    company.change("families/bolt.json", "#/sizes/M12/geometry/spanner_mm", 20)
    fields = (first, "", "Somebody else", "2026-01-01", "First rules", "", "", "nobody")
    forged = f"Stronger\x1e{chr(0x1F).join(fields)}"
    company.commit(forged, reason="because", checker="fastening engineer", approver="head")

    repository = Repository.of(company.rules)
    assert repository is not None
    last, before = repository.log(None, "HEAD")[::-1]
    assert (before.hash, before.author, before.trailers.approver) == (first, "Rules Editor", None)
    assert (last.author, last.subject, last.trailers.approver) == ("Rules Editor", forged, "head")


def test_entries_of_a_log() -> None:
    stream = io.StringIO()
    handler = logging.StreamHandler(stream)
    handler.setFormatter(PrintableFormatter("%(levelname)s %(message)s"))
    log = logging.Logger("of a test")
    log.addHandler(handler)
    try:
        int(NASTY)
    except ValueError as fault:
        log.exception("found %s", NASTY, exc_info=LookupError(f"{NASTY} {fault}"))
    written = held(stream.getvalue())
    assert written.split("\n")[0].startswith("ERROR found \\x1b[2J\\x9b1m\\u202e[red]")
    assert all(line.startswith("| ") for line in written.split("\n")[1:-1])


def test_every_character_that_steers_is_written_as_an_escape_and_no_other_one_is() -> None:
    for number in range(sys.maxunicode + 1):
        character = chr(number)
        told = printable(f"a{character}b")
        if unicodedata.category(character) in {"Cc", "Zl", "Zp", "Cs"} or unicodedata.bidirectional(character) in {
            "LRE", "RLE", "PDF", "LRO", "RLO", "LRI", "RLI", "FSI", "PDI",
        }:  # fmt: skip
            assert told == f"a{ascii(character)[1:-1]}b"
        elif unicodedata.category(character) != "Cf" and number not in {0xFFFE, 0xFFFF}:
            assert told == f"a{character}b" or unicodedata.category(character) == "Cn"


def test_commands_print_by_one_module_alone() -> None:
    for module in sorted(Path(commands.__file__).parent.glob("*.py")):
        if module.name != "terminal.py":
            source = module.read_text("utf-8")
            assert not re.search(r"(?<![\w.])(Console|print)\(|(?<!\w)Text\((?=[^\")])|Text\(f", source), module.name
            whole = r"as_json|impact_html|impact_markdown|SERVING|text"
            assert not re.search(rf"std(out|err)\.write\((?!\s*({whole}))", source), module.name
