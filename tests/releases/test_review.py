"""The review of a proposed change: run from the base branch, it reads the proposal and executes nothing of it."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.releases.warm_command import warm

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tests.releases.conftest import Company

ROOT = Path(__file__).parents[2]
SCRIPT = ROOT / "deploy" / "review-rules"
JOB = ROOT / "deploy" / "ci" / "rules-review.yml"
Review = Callable[..., subprocess.CompletedProcess[str]]
AGREED = {"reason": "a site test", "checker": "fastening engineer", "approver": "head of structural engineering"}


@pytest.fixture(scope="module")
def review(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Review]:
    with warm(tmp_path_factory.mktemp("warm"), ROOT) as anchor:
        yield partial(reviewed, anchor)


def reviewed(anchor: str, company: Company, *revisions: str) -> subprocess.CompletedProcess[str]:
    command = company.directory / "anchor"
    command.write_text(f'#!/bin/sh\nexec {anchor} "$@"\n', "utf-8")
    command.chmod(0o755)
    words = [str(SCRIPT), str(company.rules), *revisions, str(company.directory / "review")]
    environment = os.environ | {"ANCHOR": str(command), "PYTHONPATH": str(ROOT)}
    return subprocess.run(words, env=environment, capture_output=True, text=True, check=False)


def report(company: Company, name: str) -> str:
    return (company.directory / "review" / name).read_text("utf-8")


def propose(company: Company, tension_kn: float, **trailers: str) -> None:
    company.git("checkout", "-q", "-b", "proposal")
    company.change("families/bolt.json", "#/sizes/M12/steel/tension_kn", tension_kn)
    company.commit("Tension of the M12", **trailers)
    company.git("checkout", "-q", "main")


def test_review_tells_changes_impact_findings_and_unguarded_figures(company: Company) -> None:
    """By processes of their own, as the job starts them; the other reviews call one that is warm."""
    propose(company, 52, **AGREED)
    done = reviewed(f"{sys.executable} -m service.cli", company, "main", "proposal")
    assert done.returncode in {0, 1}, done.stderr
    comment = report(company, "comment.md")
    assert "families/bolt#/sizes/M12/steel/tension_kn" in comment
    assert "Impact of the rules" in comment
    assert "0 errors" in comment
    assert "Unguarded share" in comment
    assert company.git("worktree", "list").count("\n") == 0


def test_change_towards_less_safety_without_an_approver_stands_against_the_proposal(
    company: Company, review: Review
) -> None:
    propose(company, 52, reason="a site test", checker="fastening engineer")
    assert review(company, "main", "proposal").returncode == 1
    assert "names no approver" in report(company, "comment.md")


def test_proposal_that_the_checker_refuses_is_told(company: Company, review: Review) -> None:
    propose(company, 500, **AGREED)
    assert review(company, "main", "proposal").returncode == 1
    assert "[steel_resistance]" in report(company, "comment.md")
    assert "can't be calculated with" in report(company, "impact.md")


def test_entry_of_the_register_that_was_edited_stands_against_the_proposal(three: Company, review: Review) -> None:
    three.git("checkout", "-q", "-b", "proposal")
    document = three.read("register.json")
    document["releases"][1]["reason"] = "Nothing"
    three.write("register.json", document)
    three.commit("Quietly")
    three.git("checkout", "-q", "main")
    assert review(three, "main", "proposal").returncode == 1
    assert "2026.2.0: the register says otherwise than at" in report(three, "comment.md")


def test_signature_copied_from_another_version_stands_against_the_proposal(
    three: Company, review: Review, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("ANCHOR_ALLOWED_SIGNERS", str(three.signers("head")))
    assert review(three, "main", "main").returncode == 0
    three.git("checkout", "-q", "-b", "proposal")
    three.put_signature("2026.3.0", three.signature("2026.2.0"))
    three.commit("Quietly")
    three.git("checkout", "-q", "main")
    assert review(three, "main", "proposal").returncode == 1
    assert "2026.3.0: signature_not_valid" in report(three, "comment.md")


def test_suspension_that_is_lifted_stands_at_the_top(company: Company, review: Review) -> None:
    entry = {"family": "bolt", "since": "2026-11-25", "reason": "A batch failed on site"}
    company.write("suspensions.json", {"fasteners": [entry], "versions": []})
    company.commit("Stop")
    company.git("checkout", "-q", "-b", "proposal")
    company.write("suspensions.json", {"fasteners": [], "versions": []})
    company.commit("Lift it")
    company.git("checkout", "-q", "main")
    assert review(company, "main", "proposal").returncode == 1
    comment = report(company, "comment.md")
    assert comment.lstrip().startswith("## The emergency stop changes")
    before, _, proposed = comment.partition("## Checker")[0].partition("Proposed:")
    assert "A batch failed on site" in before
    assert '"fasteners": []' in proposed


def test_entry_of_the_register_that_was_taken_out_stands_against_the_proposal(three: Company, review: Review) -> None:
    three.git("checkout", "-q", "-b", "proposal")
    document = three.read("register.json")
    del document["releases"][1]
    three.write("register.json", document)
    (three.rules / "signatures" / "2026.2.0.sig").unlink()
    three.commit("Quietly")
    three.git("checkout", "-q", "main")
    assert review(three, "main", "proposal").returncode == 1
    releases = report(three, "comment.md").partition("## Releases")[2].partition("# Rule changes")[0]
    assert "Fault: register: 2026.2.0" in releases


def test_step_that_can_do_nothing_leaves_its_messages_and_no_section_empty(company: Company, review: Review) -> None:
    propose(company, 500, **AGREED)
    review(company, "main", "proposal")
    comment = report(company, "comment.md")
    for heading in ("Checker", "Releases", "Impact", "Figures that nobody guards"):
        section = comment.partition(f"## {heading}\n")[2].partition("\n## ")[0].partition("\n# ")[0]
        assert "error" in section or "can't be calculated with" in section, heading


def test_what_the_base_branch_gained_is_not_the_proposals_doing(company: Company, review: Review) -> None:
    propose(company, 52, **AGREED)
    company.change("families/bolt.json", "#/title", "Bolt with another title")
    company.commit("Another title")
    review(company, "main", "proposal")
    assert "Bolt with another title" not in report(company, "changes.md")


@pytest.mark.parametrize("revision", ["nowhere", "--output=x", "$(touch harm)", "HEAD; touch harm"])
def test_words_that_name_no_commit_end_the_review(company: Company, review: Review, revision: str) -> None:
    assert review(company, "main", revision).returncode == 2
    assert not list(company.directory.rglob("harm"))


def test_job_checks_out_the_base_and_only_fetches_the_proposal() -> None:
    job = JOB.read_text("utf-8")
    assert "ref: ${{ github.event.pull_request.base.sha }}" in job
    assert "fetch-depth: 0" in job
    assert "deploy/review-rules rules" in job
    assert job.count("ANCHOR_ALLOWED_SIGNERS: deploy/demonstration-signers") == 1
    assert job.count("        id: review\n        env:\n          # Who may sign") == 1
    assert "head.sha" not in job
    assert "github.head_ref" not in job
