"""Who is behind a changed value, on real repositories."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from service.audit.changes.as_html import changes_html
from service.audit.changes.as_markdown import changes_markdown
from service.audit.changes.report import UnreadableRules, changes_between
from service.rulebook.repository import Repository, UnknownRevision
from tests.audit.changes_repository import REMOVED, SIGNED, Workshop, documents, workshop

TENSION = "families/bolt#/sizes/M12/steel/tension_kn"
SHEAR = "families/bolt#/sizes/M10/steel/shear_kn"
FLOOR = "rulebook#/site_reduction/floor"
CRACKED = "families/bolt#/sizes/M12/embedments/70/pull_out/cracked_kn"


@pytest.fixture
def made(tmp_path: Path) -> Workshop:
    return workshop(tmp_path / "company")


def between(made: Workshop, older: str, newer: str = "HEAD") -> dict[str, Any]:
    return changes_between(made.repository, older, newer)


def by_rule(report: dict[str, Any]) -> dict[str, Any]:
    return {change["rule"]: change for change in report["changes"]}


def setters(report: dict[str, Any]) -> dict[str, str | None]:
    return {rule: (change["set_by"] or {}).get("commit") for rule, change in by_rule(report).items()}


def test_each_value_is_attributed_to_the_commit_that_set_it_last(made: Workshop) -> None:
    first = made.git("rev-parse", "HEAD")
    made.set({TENSION: 50})
    second = made.set({TENSION: 99})
    third = made.set({FLOOR: 0.3}, trailers="Reason: weak concrete\nChecker: checker of rules\nApprover: head")
    made.set({"families/screw#/title": "Screw"})
    report = between(made, first)
    assert setters(report)[TENSION] == second
    assert setters(report)[FLOOR] == third
    told = by_rule(report)[FLOOR]["set_by"]
    assert (told["author"], told["reason"], told["checker"], told["approver"]) == (
        "Rules Editor", "weak concrete", "checker of rules", "head",
    )  # fmt: skip
    assert len(told["date"]) == len("2026-01-01")
    assert report["faults"] == []
    assert report["counts"] == {"less_safe": 1, "depends_on_the_fixing": 0, "safer": 1, "none": 1}


def test_both_sides_are_named(made: Workshop) -> None:
    first = made.git("rev-parse", "HEAD")
    second = made.set({"rulebook#/version": "2026.2.0"})
    report = between(made, "HEAD~1")
    assert (report["older"]["version"], report["newer"]["version"]) == ("2026.1.0", "2026.2.0")
    assert (report["older"]["commit"], report["newer"]["commit"]) == (first, second)
    assert report["older"]["digest"] != report["newer"]["digest"]
    assert report["older"]["digest"].startswith("sha256:")


def test_a_rulebook_with_itself_differs_in_nothing(made: Workshop) -> None:
    report = between(made, "HEAD")
    assert (report["changes"], report["reference"], report["faults"], report["remarks"]) == ([], [], [], [])


def test_layout_alone_is_no_change(made: Workshop) -> None:
    made.edit("families/bolt", lambda document: document.update(title=document.pop("title")))
    made.commit()
    report = between(made, "HEAD~1")
    assert (report["changes"], report["remarks"]) == ([], [])


def test_a_change_without_checker_or_approver_is_a_fault(made: Workshop) -> None:
    bare = made.set({TENSION: 999, SHEAR: 1}, "Stronger bolt", trailers="Reason: because")
    report = between(made, "HEAD~1")
    [fault] = report["faults"]
    assert fault["commit"] == bare
    assert fault["missing"] == ["Checker", "Approver"]
    assert fault["rules"] == [TENSION]
    assert fault["detail"] == (
        f"commit {bare[:12]} (Stronger bolt) makes 1 change that may be less safe and names no checker and no "
        'approver: add a line "Checker: <role>" and a line "Approver: <role>" at the end of its message'
    )


@pytest.mark.parametrize(
    ("place", "value", "faults"),
    [
        (TENSION, 999, 1),
        ("families/bolt#/sizes/M12/geometry/diameter_mm", 13, 1),
        (TENSION, 1, 0),
        ("families/bolt#/title", "A", 0),
    ],
)
def test_only_what_may_be_less_safe_needs_an_approver(made: Workshop, place: str, value: object, faults: int) -> None:
    made.set({place: value}, trailers="Checker: fastening engineer")
    assert [fault["missing"] for fault in between(made, "HEAD~1")["faults"]] == [["Approver"]] * faults


def test_a_later_commit_with_names_heals_the_value(made: Workshop) -> None:
    made.set({TENSION: 999}, trailers="")
    made.set({TENSION: 998})
    assert between(made, "HEAD~2")["faults"] == []


def test_a_family_is_attributed_to_the_commit_that_brought_it_and_to_those_that_changed_it(made: Workshop) -> None:
    (made.rules / "families/other.json").write_bytes((made.rules / "families/screw.json").read_bytes())
    other = {"families/other#/id": "other", "families/other#/sizes/8/steel/tension_kn": 1}
    added = made.set(other, "New family")
    widened = made.set({"families/other#/sizes/8/steel/tension_kn": 999}, trailers="")
    tightened = made.set({"families/other#/sizes/8/steel/shear_kn": 0.1}, trailers="")
    retitled = made.set({"families/other#/title": "Other"}, trailers="")
    report = between(made, "HEAD~4")
    told = by_rule(report)["families/other#"]
    assert (told["kind"], told["effect"], told["old"], told["new"]) == ("added", "less_safe", None, None)
    assert told["set_by"]["commit"] == added
    # Each later change inside is named; only what may be less safe has to be checked and approved.
    assert [commit["commit"] for commit in told["also_set_by"]] == [retitled, tightened, widened]
    assert [fault["commit"] for fault in report["faults"]] == [widened]


@pytest.mark.parametrize("place", ["families/bolt#/sizes/M14", "families/bolt#/sizes/M12/embedments/75"])
def test_a_size_or_an_embedment_that_came_names_every_later_commit_inside_it(made: Workshop, place: str) -> None:
    model = place.replace("M14", "M12").replace("/75", "/70")
    file, _, pointer = model.partition("#/")
    part = documents()[f"{file}.json"]
    for step in pointer.split("/"):
        part = part[step]
    added = made.set({place: part})
    embedment = place if "embedments" in place else f"{place}/embedments/70"
    lowered = made.set({f"{embedment}/pull_out/cracked_kn": 0.5}, trailers="Reason: a figure was mistyped")
    made.set({"families/screw#/title": "Screw"})
    report = between(made, "HEAD~3")
    told = by_rule(report)[place]
    assert told["set_by"]["commit"] == added
    assert [(by["commit"], by["reason"]) for by in told["also_set_by"]] == [(lowered, "a figure was mistyped")]
    assert report["faults"] == []
    for shown in (changes_markdown(report), changes_html(report)):
        assert f"changed again in {lowered[:12]}: a figure was mistyped" in shown


def test_a_reference_fixing_that_came_names_every_later_commit_inside_it(made: Workshop) -> None:
    (made.rules / "reference/other.json").write_bytes((made.rules / "reference/post.json").read_bytes())
    added = made.set({"reference/other#/id": "other"})
    later = made.set({"reference/other#/title": "Another post"}, trailers="")
    [told] = between(made, "HEAD~2")["reference"]
    assert told["set_by"]["commit"] == added
    assert [by["commit"] for by in told["also_set_by"]] == [later]


@pytest.mark.parametrize(
    ("checker", "approver", "faults"), [("Boss", " boss ", 1), ("boss", "boss", 1), ("boss", "boss of all", 0)]
)
def test_checker_who_approves_alone_is_a_fault(made: Workshop, checker: str, approver: str, faults: int) -> None:
    made.set({TENSION: 999}, trailers=f"Reason: test\nChecker: {checker}\nApprover: {approver}")
    found = between(made, "HEAD~1")["faults"]
    assert len(found) == faults
    assert all("two different roles are needed" in fault["detail"] for fault in found)


def test_what_went_is_attributed_to_the_commit_that_took_it(made: Workshop) -> None:
    made.set({"families/bolt#/sizes/M10": REMOVED})
    size = made.git("rev-parse", "HEAD")
    (made.rules / "families/stud.json").unlink()
    family = made.commit()
    made.set({FLOOR: 0.5})
    report = between(made, "HEAD~3")
    assert setters(report)["families/bolt#/sizes/M10"] == size
    assert setters(report)["families/stud#"] == family


def test_an_entry_of_a_set_is_attributed_by_itself(made: Workshop) -> None:
    exposures = documents()["families/bolt.json"]["exposures"]
    marine = made.set({"families/bolt#/exposures": [*exposures, "marine"]})
    fewer = made.set({"families/bolt#/exposures": ["marine", *exposures[1:]]})
    report = between(made, "HEAD~2")
    told = {(change["old"], change["new"]): change["set_by"]["commit"] for change in report["changes"]}
    assert told == {(None, "marine"): marine, (exposures[0], None): fewer}


def test_a_rename_is_followed(made: Workshop) -> None:
    first = made.set({TENSION: 50})
    made.rename_family("bolt", "bolt-new")
    second = made.commit("Rename")
    made.set({"families/bolt-new#/title": "Bolt"})
    report = between(made, "HEAD~3")
    assert setters(report)["families/bolt-new#/sizes/M12/steel/tension_kn"] == first
    assert setters(report)["families/bolt-new#"] == second
    [renaming] = [change for change in report["changes"] if change["kind"] == "renamed"]
    assert (renaming["old"], renaming["new"], renaming["effect"]) == ("bolt", "bolt-new", "none")


def test_a_merge_is_blamed_only_for_what_differs_from_all_its_parents(made: Workshop) -> None:
    first = made.git("rev-parse", "HEAD")
    made.git("checkout", "-q", "-b", "side")
    side = made.set({TENSION: 50, FLOOR: 0.5})
    made.git("checkout", "-q", "main")
    main = made.set({SHEAR: 1})
    made.git("merge", "-q", "--no-ff", "--no-commit", "side")
    merge = made.set({FLOOR: 0.6}, "Merge side")
    made.set({"families/screw#/title": "Screw"})
    told = setters(between(made, first))
    assert {rule: told[rule] for rule in (TENSION, SHEAR, FLOOR)} == {TENSION: side, SHEAR: main, FLOOR: merge}


def test_a_merge_that_changes_nothing_is_not_blamed(made: Workshop) -> None:
    made.git("checkout", "-q", "-b", "side")
    side = made.set({TENSION: 999}, trailers="")
    made.git("checkout", "-q", "main")
    made.git("commit", "-q", "--allow-empty", "-m", "no rules")
    made.git("merge", "-q", "--no-ff", "-m", "Merge side", "side")
    report = between(made, "HEAD~1")
    assert setters(report) == {TENSION: side}
    assert [fault["commit"] for fault in report["faults"]] == [side]


def test_branches_that_parted_are_compared_too(made: Workshop) -> None:
    first = made.git("rev-parse", "HEAD")
    made.git("checkout", "-q", "-b", "side")
    side = made.set({TENSION: 50})
    made.git("checkout", "-q", "main")
    (made.rules / "families/stud.json").unlink()
    (made.rules / "families/nail.json").write_text('{"id": "nail", "title": "Nail"}')
    made.set({SHEAR: 1})
    told = by_rule(between(made, "main", "side"))
    assert told[TENSION]["set_by"]["commit"] == side
    assert told[SHEAR]["set_by"]["commit"] == first
    assert told["families/stud#"]["set_by"]["commit"] == first
    assert told["families/nail#"]["set_by"] is None
    assert "only the older ones have it" in told["families/nail#"]["not_attributed"]


def test_the_first_rules_are_compared_with_none(made: Workshop, tmp_path: Path) -> None:
    made.git("rm", "-q", "-r", "--cached", "rules")
    made.git("commit", "-q", "-m", "nothing")
    empty = made.git("rev-parse", "HEAD")
    made.git("add", "rules")
    back = made.commit("Rules again")
    report = between(made, empty, back)
    assert set(setters(report).values()) == {back}
    assert report["older"]["version"] is None


def test_unrelated_histories_name_nobody_and_say_so(made: Workshop) -> None:
    made.git("checkout", "-q", "--orphan", "other")
    made.set({TENSION: 999})
    report = between(made, "main", "other")
    assert setters(report) == {TENSION: None}
    assert "no history in common" in by_rule(report)[TENSION]["not_attributed"]
    [fault] = report["faults"]
    assert fault["commit"] is None
    assert "can't be held against a commit" in fault["detail"]
    assert any("no history in common" in remark for remark in report["remarks"])


def shallow(made: Workshop, directory: Path, depth: int) -> Workshop:
    made.git("clone", "-q", "--depth", str(depth), f"file://{made.root}", str(directory))
    return Workshop(directory)


def test_a_shallow_clone_names_whom_it_can_and_says_what_it_cannot(made: Workshop, tmp_path: Path) -> None:
    made.set({FLOOR: 0.5})
    made.set({SHEAR: 1})
    last = made.set({TENSION: 999})
    clone = shallow(made, tmp_path / "clone", 2)
    assert clone.repository.shallow
    assert setters(between(clone, "HEAD~1")) == {TENSION: last}
    # Turned round, what the older commit set may be older than the clone reaches.
    report = between(clone, "HEAD", "HEAD~1")
    assert setters(report) == {TENSION: None}
    assert "fetch --unshallow" in by_rule(report)[TENSION]["not_attributed"]
    with pytest.raises(UnknownRevision, match="names no commit"):
        between(clone, "HEAD~2")


def test_a_file_that_cannot_be_read_is_not_taken_for_a_removed_one(made: Workshop) -> None:
    (made.rules / "families/bolt.json").write_text("{", encoding="utf-8")
    made.commit()
    with pytest.raises(UnreadableRules, match=r"the rules of HEAD can't be compared: families/bolt.json#"):
        between(made, "HEAD~1")


@pytest.mark.parametrize(
    "revision", ["--output=x", "-h", "HEAD;id", "$(id)", "", "no-such", "main:rules", "HEAD\n", "x" * 300]
)
def test_a_revision_from_outside_is_checked(made: Workshop, revision: str) -> None:
    with pytest.raises(UnknownRevision, match=r"can't be the name of a commit|names no commit"):
        between(made, revision)


def test_only_changed_files_are_read(made: Workshop, monkeypatch: pytest.MonkeyPatch) -> None:
    for value in range(3):
        made.set({TENSION: 50 + value})
    repository = made.repository
    repository.tree(repository.commit("HEAD"))
    repository.tree(repository.commit("HEAD~3"))
    asked: list[str] = []
    document = Repository.document

    def watched(self: Repository, blob: str) -> Any:
        asked.append(blob)
        return document(self, blob)

    monkeypatch.setattr(Repository, "document", watched)
    changes_between(repository, "HEAD~3", "HEAD")
    bolts = {repository.blobs(repository.commit(f"HEAD~{back}"))["families/bolt.json"] for back in range(4)}
    assert set(asked) <= bolts


def test_trailers_may_be_signed_on_several_lines(made: Workshop) -> None:
    made.set({TENSION: 999}, trailers=SIGNED + "\nSigned-off-by: Rules Editor <rules@example.org>")
    assert between(made, "HEAD~1")["faults"] == []
