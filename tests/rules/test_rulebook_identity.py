"""Loading a rulebook: its content, its digest and its place in history."""

from __future__ import annotations

import hashlib
import json
import os
import subprocess
from typing import TYPE_CHECKING

import pytest

from service.rulebook import RulebookInvalid, load, plain

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path


def git(directory: Path, *words: str) -> str:
    identity = ("-c", "user.name=Rules Editor", "-c", "user.email=rules@example.org", "-c", "commit.gpgsign=false")
    done = subprocess.run(["git", *identity, "-C", str(directory), *words], check=True, capture_output=True, text=True)
    return done.stdout.strip()


@pytest.fixture
def committed(base: Path) -> Path:
    """The small valid rulebook as the only content of a repository."""
    git(base.parent, "init", "-q")
    git(base.parent, "add", "-A")
    git(base.parent, "commit", "-q", "-m", "rules")
    return base


def test_rulebook_gives_its_parts_by_id(base: Path) -> None:
    book = load(base)
    assert (book.version, book.status, book.state, book.path) == (
        "2026.1.0",
        "demonstration",
        "working",
        base.resolve(),
    )
    assert set(book.families) == {"bolt", "frame-fixing", "resin-rod", "screw", "stud"}
    assert set(book.factors) == {
        "exposures",
        "guard-loads",
        "installation",
        "load-models",
        "site-conditions",
        "site-tests",
        "stated-loads",
        "temperature-ranges",
    }
    assert [reference["id"] for reference in book.reference] == ["post"]
    assert book.document["unknown"]["state"] == "cracked"


def test_rulebook_cannot_be_changed(base: Path) -> None:
    book = load(base)
    with pytest.raises(TypeError, match="does not support item assignment"):
        book.families["bolt"]["sizes"]["M12"]["steel"]["tension_kn"] = 99
    assert isinstance(book.families["bolt"]["exposures"], tuple)


def test_plain_gives_back_what_was_in_the_file(base: Path) -> None:
    assert plain(load(base).families["bolt"]) == json.loads((base / "families/bolt.json").read_text(encoding="utf-8"))


def test_rulebook_with_errors_is_refused_with_its_findings(broken: Callable[..., Path]) -> None:
    rules = broken({"set": {"rulebook.json#/version": "1", "families/bolt.json#/sizes/M12/steel/tension_kn": 57.5}})
    with pytest.raises(
        RulebookInvalid, match=r"2 error\(s\):\nfamilies/bolt\.json#/sizes/M12/steel/tension_kn: "
    ) as refusal:
        load(rules)
    assert [finding.rule for finding in refusal.value.findings] == ["steel_resistance", "schema"]


def test_refusal_shows_the_first_five_of_many_errors(broken: Callable[..., Path]) -> None:
    rules = broken({
        "remove": [f"families/bolt.json#/{name}" for name in ("id", "title", "status", "form", "setting", "sizes")]
    })
    with pytest.raises(RulebookInvalid, match=r"(?s)6 error\(s\):.*and 1 more$"):
        load(rules)


def test_digest_is_that_of_the_canonical_form_of_all_documents(base: Path) -> None:
    """The base holds no number or key whose RFC 8785 form differs from that of Python's json, except whole floats."""

    def whole(value: object) -> object:
        if isinstance(value, dict):
            return {key: whole(inner) for key, inner in value.items()}
        if isinstance(value, list):
            return [whole(inner) for inner in value]
        return int(value) if isinstance(value, float) and value.is_integer() else value

    documents = {
        path.relative_to(base).as_posix(): whole(json.loads(path.read_text(encoding="utf-8")))
        for path in base.rglob("*.json")
    }
    canonical = json.dumps(documents, ensure_ascii=False, sort_keys=True, separators=(",", ":")).encode()
    assert load(base).digest == "sha256:" + hashlib.sha256(canonical).hexdigest()


def test_layout_order_of_keys_and_the_guide_are_not_content(base: Path) -> None:
    before = load(base).digest
    for path in base.rglob("*.json"):
        document = json.loads(path.read_text(encoding="utf-8"))
        path.write_text(json.dumps(dict(reversed(document.items())), indent=7), encoding="utf-8")
    (base / "README.md").write_text("a guide", encoding="utf-8")
    assert load(base).digest == before


@pytest.mark.parametrize(
    ("place", "value"),
    [
        ("rulebook.json#/site_reduction/floor", 0.37),
        ("families/bolt.json#/sizes/M12/steel/tension_kn", 51.4),
        ("factors/site-conditions.json#/conditions/installer/values/unknown/factor", 0.37),
        ("factors/temperature-ranges.json#/ranges/I/long_term_max_c", 25),
        ("reference/post.json#/request/load_cases/0/normal_kn", 2),
    ],
)
def test_any_changed_figure_changes_the_digest(
    place: str, value: float, base: Path, broken: Callable[..., Path]
) -> None:
    before = load(base).digest
    assert load(broken({"set": {place: value}})).digest != before


def test_commit_is_the_last_one_that_touched_the_rules(committed: Path) -> None:
    rules_commit = git(committed.parent, "rev-parse", "HEAD")
    (committed.parent / "code.py").write_text("pass\n", encoding="utf-8")
    (committed / "README.md").write_text("a guide", encoding="utf-8")
    git(committed.parent, "add", "-A")
    git(committed.parent, "commit", "-q", "-m", "code and guide")
    assert load(committed).commit == rules_commit


def test_uncommitted_code_beside_the_rules_does_not_matter(committed: Path) -> None:
    (committed.parent / "code.py").write_text("pass\n", encoding="utf-8")
    assert load(committed).commit == git(committed.parent, "rev-parse", "HEAD")


def test_changed_rules_have_no_commit(committed: Path, broken: Callable[..., Path]) -> None:
    broken({"set": {"rulebook.json#/site_reduction/floor": 0.5}})
    assert load(committed).commit is None


@pytest.mark.parametrize("ignore", ["", "rules/reference/new.json\n"], ids=["untracked", "ignored"])
def test_added_rules_have_no_commit(ignore: str, committed: Path) -> None:
    (committed.parent / ".gitignore").write_text(ignore, encoding="utf-8")
    added = json.loads((committed / "reference/post.json").read_text(encoding="utf-8")) | {"id": "new"}
    (committed / "reference/new.json").write_text(json.dumps(added), encoding="utf-8")
    assert load(committed).commit is None


def test_rules_outside_a_repository_have_no_commit(base: Path) -> None:
    assert load(base).commit is None


def test_rules_have_no_commit_where_git_is_not_installed(committed: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", "")
    assert load(committed).commit is None


@pytest.mark.skipif(os.geteuid() != 0, reason="only root may give a directory away")
def test_rules_of_another_user_have_no_commit(committed: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HOME", str(committed.parent / "home"))
    for directory in (committed.parent, committed.parent / ".git"):
        os.chown(directory, 12345, 12345)
    assert load(committed).commit is None


def test_slow_git_is_not_waited_for(committed: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    slow = tmp_path / "bin/git"
    slow.parent.mkdir()
    slow.write_text("#!/bin/sh\nexec sleep 30\n", encoding="utf-8")
    slow.chmod(0o755)
    monkeypatch.setenv("PATH", f"{slow.parent}:/usr/bin:/bin")
    monkeypatch.setattr("service.rulebook.history.PATIENCE_SECONDS", 0.1)
    assert load(committed).commit is None


def test_git_variables_of_the_caller_do_not_lead_elsewhere(
    committed: Path, tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("GIT_DIR", str(tmp_path_factory.mktemp("elsewhere")))
    commit = load(committed).commit
    monkeypatch.delenv("GIT_DIR")
    assert commit == git(committed.parent, "rev-parse", "HEAD")
