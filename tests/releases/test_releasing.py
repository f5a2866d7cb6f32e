"""Making a release: what stands against it, and what it writes."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from service.cli import main
from service.rulebook.digest import digest
from service.rulebook.shelf import open_shelf

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.releases.conftest import Company

AGREED = {"reason": "a site test", "checker": "fastening engineer", "approver": "head of structural engineering"}


@pytest.fixture
def release(company: Company, monkeypatch: pytest.MonkeyPatch) -> Callable[..., int]:
    for name in ("AUTHOR", "COMMITTER"):
        monkeypatch.setenv(f"GIT_{name}_NAME", "Rules Editor")
        monkeypatch.setenv(f"GIT_{name}_EMAIL", "rules@example.org")

    def run(version: str, *words: str, **options: str) -> int:
        given = {"reason": "First rules", "checker": "fastening engineer", "approver": "head"} | options
        flags = [text for name, value in given.items() if value for text in (f"--{name}", value)]
        return main(["--rules", str(company.rules), "release", version, *flags, *words])

    return run


def next_version(company: Company, version: str = "2026.2.0", **trailers: str) -> None:
    company.change("families/bolt.json", "#/sizes/M12/steel/tension_kn", 52)
    company.change("rulebook.json", "#/version", version)
    company.commit("Tension of the M12", **trailers)


def test_release_writes_register_signature_notes_commit_and_tag(
    company: Company, release: Callable[..., int], capsys: pytest.CaptureFixture[str]
) -> None:
    assert release("2026.1.0", date="2026-01-15", signatory="head-of-structures", key=str(company.key("head"))) == 0
    assert "Released 2026.1.0, signed for head-of-structures." in capsys.readouterr().out
    (entry,) = company.read("register.json")["releases"]
    assert (entry["version"], entry["date"], entry["author"]) == ("2026.1.0", "2026-01-15", "Rules Editor")
    assert "The first release: 5 families, 1 reference fixings." in (company.rules / "notes/2026.1.0.md").read_text()
    assert company.git("status", "--porcelain") == ""
    assert company.git("rev-parse", "rules/2026.1.0^{commit}") == company.git("rev-parse", "HEAD")
    shelf = open_shelf(company.rules, company.signers("head"))
    assert (shelf.versions, shelf.faults) == (("2026.1.0",), ())


def test_notes_tell_what_changed_and_who_agreed(company: Company, release: Callable[..., int]) -> None:
    release("2026.1.0")
    next_version(company, **AGREED)
    assert release("2026.2.0", reason="A site test") == 0
    notes = (company.rules / "notes/2026.2.0.md").read_text("utf-8")
    assert "<code>families/bolt#/sizes/M12/steel/tension_kn</code>" in notes
    assert "a site test" in notes
    assert "head of structural engineering" in notes


def test_release_that_was_made_is_not_made_again(
    company: Company, release: Callable[..., int], capsys: pytest.CaptureFixture[str]
) -> None:
    release("2026.1.0")
    assert release("2026.1.0") == 1
    said = capsys.readouterr().err
    assert "2026.1.0 does not grow: 2026.1.0 is released" in said
    assert "nothing changed since the last release" in said


def test_version_must_grow_and_be_the_rulebooks_own(
    company: Company, release: Callable[..., int], capsys: pytest.CaptureFixture[str]
) -> None:
    release("2026.1.0")
    next_version(company, **AGREED)
    assert release("2026.3.0") == 1
    assert "rulebook.json says version 2026.2.0, not 2026.3.0" in capsys.readouterr().err
    assert release("2026.0.9") == 1
    assert "2026.0.9 does not grow: 2026.1.0 is released" in capsys.readouterr().err
    assert release("latest") == 1
    assert "'latest' is no version" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("lacking", "words"),
    [
        ("checker", "name with --checker the role"),
        ("approver", "name with --approver the role"),
    ],
)
def test_missing_checker_or_approver_stands_against_it(
    company: Company, release: Callable[..., int], capsys: pytest.CaptureFixture[str], lacking: str, words: str
) -> None:
    assert release("2026.1.0", **{lacking: ""}) == 1
    assert words in capsys.readouterr().err
    assert not (company.rules / "register.json").exists()


def test_checker_does_not_approve(
    company: Company, release: Callable[..., int], capsys: pytest.CaptureFixture[str]
) -> None:
    assert release("2026.1.0", approver="fastening engineer") == 1
    assert "checker and approver are the same" in capsys.readouterr().err


def test_dirty_tree_stands_against_it(
    company: Company, release: Callable[..., int], capsys: pytest.CaptureFixture[str]
) -> None:
    company.change("families/bolt.json", "#/title", "Another title")
    assert release("2026.1.0") == 1
    assert "the rules differ from what is committed" in capsys.readouterr().err


def test_errors_of_the_checker_stand_against_it(
    company: Company, release: Callable[..., int], capsys: pytest.CaptureFixture[str]
) -> None:
    company.change("families/bolt.json", "#/sizes/M12/steel/tension_kn", 500)
    company.commit("Too much")
    assert release("2026.1.0") == 1
    assert "[steel_resistance]" in capsys.readouterr().err


@pytest.mark.parametrize("lacking", ["reason", "checker", "approver"])
def test_changed_figure_needs_reason_checker_and_approver_in_its_commit(
    company: Company, release: Callable[..., int], capsys: pytest.CaptureFixture[str], lacking: str
) -> None:
    release("2026.1.0")
    next_version(company, **{name: value for name, value in AGREED.items() if name != lacking})
    assert release("2026.2.0") == 1
    said = capsys.readouterr().err
    assert "(Tension of the M12)" in said
    assert f"{lacking.capitalize()}: " in said


def stricter(company: Company) -> None:
    company.change("families/bolt.json", "#/sizes/M12/steel/tension_kn", 48)
    company.change("rulebook.json", "#/version", "2026.2.0")
    company.commit("Tension of the M12", **AGREED)


def test_stricter_rules_ask_what_becomes_of_the_versions_before(
    company: Company, release: Callable[..., int], capsys: pytest.CaptureFixture[str]
) -> None:
    release("2026.1.0")
    stricter(company)
    assert release("2026.2.0") == 1
    said = capsys.readouterr().err
    assert "stricter than before: families/bolt#/sizes/M12/steel/tension_kn; requests can still name 2026.1.0" in said
    assert "--earlier-versions" in said
    assert release("2026.2.0", **{"earlier-versions": "Right by the test of then"}) == 0
    assert "- Earlier versions: Right by the test of then" in (company.rules / "notes/2026.2.0.md").read_text()
    assert "Earlier-versions: Right by the test of then" in company.git("log", "-1", "--format=%B")


@pytest.mark.parametrize(
    "document",
    [
        {"fasteners": [], "versions": [{"version": "2026.1.0", "since": "2026-02-02", "reason": "Misread"}]},
        {"fasteners": [{"family": "bolt", "size": "M12", "since": "2026-02-02", "reason": "Misread"}], "versions": []},
        {"fasteners": [{"family": "bolt", "since": "2026-02-02", "reason": "Misread"}], "versions": []},
    ],
)
def test_stricter_rules_are_released_where_the_bolder_figure_is_suspended(
    company: Company, release: Callable[..., int], document: dict[str, object]
) -> None:
    release("2026.1.0")
    stricter(company)
    company.write("suspensions.json", document)
    company.commit("Suspend the figure that was wrong")
    assert release("2026.2.0") == 0


def test_suspension_of_another_fastener_does_not_answer_for_the_figure(
    company: Company, release: Callable[..., int], capsys: pytest.CaptureFixture[str]
) -> None:
    release("2026.1.0")
    stricter(company)
    stop = {"family": "bolt", "size": "M10", "since": "2026-02-02", "reason": "Misread"}
    company.write("suspensions.json", {"fasteners": [stop], "versions": []})
    company.commit("Suspend another size")
    assert release("2026.2.0") == 1
    assert "stricter than before" in capsys.readouterr().err


def test_key_that_does_not_sign_leaves_nothing_behind(
    company: Company, release: Callable[..., int], capsys: pytest.CaptureFixture[str]
) -> None:
    assert release("2026.1.0", key=str(company.directory / "nowhere")) == 2
    assert "ssh-keygen did not sign" in capsys.readouterr().err
    assert company.git("status", "--porcelain") == ""


def test_directory_without_a_repository_releases_nothing(
    company: Company, release: Callable[..., int], capsys: pytest.CaptureFixture[str]
) -> None:
    (company.repository / ".git").rename(company.directory / "elsewhere")
    assert release("2026.1.0") == 1
    assert "lies in no git repository" in capsys.readouterr().err


def test_list_proves_every_release(three: Company, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--rules", str(three.rules), "releases"]) == 0
    assert "Proven by content and tag" in capsys.readouterr().out


def test_list_finds_an_entry_that_was_changed_or_taken_away_afterwards(
    three: Company, capsys: pytest.CaptureFixture[str]
) -> None:
    document = three.read("register.json")
    document["releases"][1]["approver"] = "somebody else"
    del document["releases"][0]
    three.write("register.json", document)
    (three.rules / "signatures" / "2026.1.0.sig").unlink()
    three.commit("Rewrite the past")
    assert main(["--rules", str(three.rules), "releases", "--json"]) == 1
    rewritten = json.loads(capsys.readouterr().out)["rewritten"]
    assert [line.split(":")[0] for line in sorted(rewritten)] == ["2026.1.0", "2026.2.0"]


def test_packed_rulebook_serves_and_proves_every_release(
    three: Company, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    target = three.directory / "rules.pack"
    assert main(["--rules", str(three.rules), "pack", str(target)]) == 0
    assert "Packed 3 releases" in capsys.readouterr().out
    shelf = open_shelf(target, three.signers("head"))
    assert (shelf.versions, shelf.faults) == (("2026.1.0", "2026.2.0", "2026.3.0"), ())
    assert shelf.book("2026.2.0").digest == open_shelf(three.rules).book("2026.2.0").digest
    monkeypatch.setenv("ANCHOR_ALLOWED_SIGNERS", str(three.signers("head")))
    assert main(["--rules", str(target), "releases"]) == 0
    assert main(["--rules", str(target), "lint"]) == 0
    assert "rules.pack: 0 errors" in capsys.readouterr().out


def test_lint_names_version_and_place_in_a_pack(three: Company, capsys: pytest.CaptureFixture[str]) -> None:
    target = three.directory / "rules.pack"
    main(["--rules", str(three.rules), "pack", str(target)])
    document = json.loads(target.read_text("utf-8"))
    release, register = document["releases"]["2026.2.0"], document["register"]["releases"]
    content = dict(document["documents"][release["files"]["families/bolt.json"]])
    content["sizes"] = {**content["sizes"], "M12": {**content["sizes"]["M12"], "colour": "grey"}}
    document["documents"]["altered"] = content
    release["files"]["families/bolt.json"] = "altered"
    held = {file: document["documents"][name] for file, name in release["files"].items()}
    register[1]["digest"] = digest(held)
    target.write_text(json.dumps(document), "utf-8")
    capsys.readouterr()
    assert main(["--rules", str(target), "lint"]) == 1
    assert "2026.2.0/families/bolt.json#/sizes/M12/colour: error [schema]" in capsys.readouterr().out


def test_tampered_pack_is_found_out(three: Company, capsys: pytest.CaptureFixture[str]) -> None:
    target = three.directory / "rules.pack"
    main(["--rules", str(three.rules), "pack", str(target)])
    text = target.read_text("utf-8")
    assert text.count('"tension_kn":') > 0
    document = json.loads(text)
    for content in document["documents"].values():
        if content.get("id") == "bolt":
            content["sizes"]["M12"]["steel"]["tension_kn"] += 1
    target.write_text(json.dumps(document), "utf-8")
    shelf = open_shelf(target)
    assert shelf.versions == ()
    assert {fault.code for fault in shelf.faults} == {"content_not_found"}
    capsys.readouterr()
    assert main(["--rules", str(target), "lint"]) == 1
    printed = capsys.readouterr().out
    assert printed.count("the packed rulebook holds no content with that digest") == 3


@pytest.mark.parametrize("text", ["", "{}", '{"form": "anchor-rulebook-pack/1"}', "[1]", "\x00"])
def test_file_that_is_no_pack_is_refused(three: Company, capsys: pytest.CaptureFixture[str], text: str) -> None:
    target = three.directory / "rules.pack"
    target.write_text(text, "utf-8")
    for command in ("releases", "lint"):
        assert main(["--rules", str(target), command]) == 2
        assert "rules.pack" in capsys.readouterr().err
