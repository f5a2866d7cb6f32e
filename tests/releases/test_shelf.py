"""Which versions are served: those that register, signature, content and tag agree on."""

from __future__ import annotations

import shutil
import subprocess
from datetime import date
from typing import TYPE_CHECKING

import pytest

from service.rulebook import RulebookInvalid
from service.rulebook.digest import digest
from service.rulebook.shelf import NoneInForce, Shelf, UnknownVersion, open_shelf
from service.rulebook.tree import read

if TYPE_CHECKING:
    from pathlib import Path

    from tests.releases.conftest import Company

DAY = date(2026, 11, 25)
ALL = ("2026.1.0", "2026.2.0", "2026.3.0")


def refused(shelf: Shelf) -> dict[str | None, str]:
    return {fault.version: fault.code for fault in shelf.faults}


def spanner(shelf: Shelf, version: str) -> object:
    return shelf.book(version).families["bolt"]["sizes"]["M12"]["geometry"]["spanner_mm"]


def test_every_release_is_served_beside_the_others(three: Company) -> None:
    shelf = open_shelf(three.rules, three.signers("head"))
    assert (shelf.versions, shelf.faults, shelf.note) == (ALL, (), None)
    assert [spanner(shelf, version) for version in ALL] == [19, 20, 21]
    assert {shelf.book(version).state for version in ALL} == {"released"}
    assert shelf.in_force(DAY).version == "2026.3.0"


def test_a_release_is_known_by_version_digest_and_the_commit_that_made_it(three: Company) -> None:
    shelf = open_shelf(three.rules)
    commits = three.git("log", "--format=%H %s", "--reverse").splitlines()
    made = {line.split(" ", 1)[1]: line.split(" ", 1)[0] for line in commits}
    assert shelf.book("2026.1.0").commit == made["First rules"]
    assert shelf.book("2026.2.0").commit == made["Rules 2026.2.0"]
    digest = shelf.book("2026.2.0").digest
    found = shelf.by_digest("2026.2.0", digest)
    assert found is not None
    assert found.digest == digest
    assert shelf.by_digest("2026.1.0", digest) is None
    assert shelf.by_digest("2026.9.0", digest) is None


def test_working_rules_are_served_when_named_and_never_by_default(three: Company) -> None:
    three.change("rulebook.json", "#/version", "2026.4.0")
    shelf = open_shelf(three.rules)
    assert shelf.versions == (*ALL, "2026.4.0")
    assert shelf.book("2026.4.0").state == "working"
    assert shelf.in_force(DAY).version == "2026.3.0"
    assert shelf.newest().version == "2026.3.0"


def test_the_highest_version_in_force_on_the_day_is_taken(company: Company) -> None:
    company.register()
    company.change("rulebook.json", "#/effective_from", "2026-06-01")
    company.version("2026.2.0", 20)
    company.register()
    shelf = open_shelf(company.rules)
    assert shelf.in_force(date(2026, 5, 31)).version == "2026.1.0"
    assert shelf.in_force(date(2026, 6, 1)).version == "2026.2.0"
    with pytest.raises(NoneInForce, match=r"no version of the rulebook is in force on 2025-12-31; served: 2026\.1\.0"):
        shelf.in_force(date(2025, 12, 31))


def test_unknown_version_is_refused_with_those_known(three: Company) -> None:
    with pytest.raises(UnknownVersion, match=r"version 2027\.1\.0 is not served; served: 2026\.1\.0, 2026\.2\.0"):
        open_shelf(three.rules).book("2027.1.0")


def test_unsigned_release_is_not_served_where_signatures_are_asked_for(three: Company) -> None:
    (three.rules / "signatures" / "2026.2.0.sig").unlink()
    shelf = open_shelf(three.rules, three.signers("head"))
    assert shelf.versions == ("2026.1.0", "2026.3.0")
    assert refused(shelf) == {"2026.2.0": "unsigned"}
    with pytest.raises(UnknownVersion, match="there is no signature"):
        shelf.book("2026.2.0")
    assert open_shelf(three.rules).versions == ALL


def test_release_signed_by_another_key_is_not_served(company: Company) -> None:
    company.register("stranger")
    shelf = open_shelf(company.rules, company.signers("head"))
    assert refused(shelf) == {"2026.1.0": "signature_not_valid"}
    # The working rules are the same content: they are not served in its place.
    assert shelf.versions == ()


def test_key_of_another_signatory_does_not_sign_for_this_one(company: Company) -> None:
    company.register("head", signatory="somebody-else")
    assert refused(open_shelf(company.rules, company.signers("head"))) == {"2026.1.0": "signature_not_valid"}


def test_signature_copied_from_another_version_is_found_out(three: Company) -> None:
    three.put_signature("2026.3.0", three.signature("2026.2.0"))
    shelf = open_shelf(three.rules, three.signers("head"))
    assert refused(shelf) == {"2026.3.0": "signature_not_valid"}
    assert shelf.in_force(DAY).version == "2026.2.0"


@pytest.mark.parametrize(
    ("field", "value"), [("approver", "somebody else"), ("reason", "another"), ("date", "2026-02-02")]
)
def test_entry_of_the_register_edited_after_signing_is_found_out(three: Company, field: str, value: str) -> None:
    document = three.read("register.json")
    document["releases"][2][field] = value
    three.write("register.json", document)
    assert refused(open_shelf(three.rules, three.signers("head"))) == {"2026.3.0": "signature_not_valid"}


def test_signature_of_another_purpose_does_not_count(company: Company) -> None:
    entry = company.register("head")
    message = company.directory / "message"
    message.write_bytes(entry.message())
    command = ["ssh-keygen", "-q", "-Y", "sign", "-f", str(company.key("head")), "-n", "git", str(message)]
    subprocess.run(command, check=True, capture_output=True)
    company.put_signature("2026.1.0", message.with_suffix(".sig").read_bytes())
    assert refused(open_shelf(company.rules, company.signers("head"))) == {"2026.1.0": "signature_not_valid"}


def test_rules_edited_after_their_release_are_found_out_and_the_release_is_still_served(three: Company) -> None:
    three.change("families/bolt.json", "#/sizes/M12/geometry/spanner_mm", 22)
    shelf = open_shelf(three.rules, three.signers("head"))
    assert refused(shelf) == {"2026.3.0": "working_invalid"}
    assert "the rules were edited after their version was released" in shelf.faults[0].detail
    assert spanner(shelf, "2026.3.0") == 21


def test_rules_edited_after_their_release_do_not_start_where_the_release_is_lost(
    three: Company, tmp_path: Path
) -> None:
    three.change("families/bolt.json", "#/sizes/M12/geometry/spanner_mm", 22)
    bare = shutil.copytree(three.rules, tmp_path / "files" / "rules")
    with pytest.raises(RulebookInvalid, match="edited after their version was released"):
        open_shelf(bare)


def test_digest_that_no_content_has_is_not_served(three: Company) -> None:
    document = three.read("register.json")
    document["releases"][0]["digest"] = "sha256:" + "0" * 64
    three.write("register.json", document)
    shelf = open_shelf(three.rules)
    assert refused(shelf) == {"2026.1.0": "content_not_found"}
    assert "no commit in this repository's history or tags holds rules with that digest" in shelf.faults[0].detail


def test_tag_that_agrees_changes_nothing(three: Company) -> None:
    three.tag("2026.3.0")
    three.git("tag", "rules/2026.2.0", "HEAD~2")
    assert open_shelf(three.rules).faults == ()


def test_tag_that_points_at_other_rules_keeps_the_release_back(three: Company) -> None:
    three.tag("2026.2.0", "HEAD")
    shelf = open_shelf(three.rules)
    assert refused(shelf) == {"2026.2.0": "tag_disagrees"}
    assert shelf.versions == ("2026.1.0", "2026.3.0")


def test_tag_ref_with_the_tag_of_another_version_keeps_the_release_back(three: Company) -> None:
    three.tag("2026.3.0")
    three.git("update-ref", "refs/tags/rules/2026.2.0", "refs/tags/rules/2026.3.0")
    shelf = open_shelf(three.rules)
    assert refused(shelf) == {"2026.2.0": "tag_disagrees"}
    assert "calls itself rules/2026.3.0" in shelf.faults[0].detail


def test_tag_that_points_at_no_commit_keeps_the_release_back(three: Company) -> None:
    three.git("tag", "rules/2026.2.0", "HEAD:rules/rulebook.json")
    assert refused(open_shelf(three.rules)) == {"2026.2.0": "tag_disagrees"}


def test_tag_without_an_entry_of_the_register_is_no_release(three: Company) -> None:
    three.tag("2026.7.0")
    shelf = open_shelf(three.rules)
    assert refused(shelf) == {"2026.7.0": "tag_not_registered"}
    assert shelf.versions == ALL


def test_plain_clone_of_the_branch_proves_every_release(three: Company) -> None:
    three.tag("2026.1.0", "HEAD~4")
    shelf = open_shelf(three.clone("plain"), three.signers("head"))
    assert (shelf.versions, shelf.faults) == (ALL, ())


def test_rewritten_history_proves_every_release(three: Company, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FILTER_BRANCH_SQUELCH_WARNING", "1")  # git waits ten seconds after its warning
    before = three.git("rev-list", "HEAD").splitlines()
    three.git("filter-branch", "-f", "--msg-filter", "sed s/^/again:/", "--", "main")
    shelf = open_shelf(three.clone("rewritten"), three.signers("head"))
    assert not set(before) & set(three.git("rev-list", "HEAD").splitlines())
    assert (shelf.versions, shelf.faults) == (ALL, ())


def test_release_merged_from_a_branch_is_found(company: Company) -> None:
    company.register("head")
    company.git("checkout", "-q", "-b", "proposal")
    company.version("2026.2.0", 20)
    company.git("checkout", "-q", "main")
    company.change("families/bolt.json", "#/title", "Bolt with another title")
    company.change("rulebook.json", "#/version", "2026.3.0")
    company.commit("Another change")
    company.git("merge", "-q", "-s", "ours", "-m", "Merge the proposal", "proposal")
    company.git("checkout", "-q", "proposal")
    company.register("head")
    entry = company.read("register.json")
    signature = company.signature("2026.2.0")
    company.git("checkout", "-q", "main")
    company.write("register.json", entry)
    company.put_signature("2026.2.0", signature)
    company.commit("Take the release over")
    shelf = open_shelf(company.rules, company.signers("head"))
    assert (shelf.versions, shelf.faults) == (("2026.1.0", "2026.2.0", "2026.3.0"), ())


def test_shallow_clone_serves_what_it_holds_and_says_what_it_lacks(three: Company) -> None:
    shelf = open_shelf(three.clone("shallow", "--depth=1"), three.signers("head"))
    assert shelf.versions == ("2026.3.0",)
    assert refused(shelf) == {"2026.1.0": "content_not_found", "2026.2.0": "content_not_found"}
    assert "git fetch --unshallow" in shelf.faults[0].detail


def test_files_without_a_repository_are_served_alone_and_say_so(three: Company, tmp_path: Path) -> None:
    shelf = open_shelf(shutil.copytree(three.rules, tmp_path / "files" / "rules"), three.signers("head"))
    assert shelf.versions == ("2026.3.0",)
    assert shelf.note is not None
    assert "no git repository" in shelf.note


def test_machine_without_git_serves_the_files_alone(three: Company, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", str(three.directory))
    shelf = open_shelf(three.rules)
    assert shelf.versions == ("2026.3.0",)
    assert shelf.note is not None


def test_machine_without_ssh_proves_no_signature(three: Company, monkeypatch: pytest.MonkeyPatch) -> None:
    signers = three.signers("head")
    git = shutil.which("git")
    assert git is not None
    (three.directory / "bin").mkdir()
    (three.directory / "bin" / "git").symlink_to(git)
    monkeypatch.setenv("PATH", str(three.directory / "bin"))
    shelf = open_shelf(three.rules, signers)
    assert shelf.versions == ()
    assert "ssh-keygen, which verifies signatures, is not installed" in shelf.faults[0].detail


def test_release_whose_rules_are_invalid_is_not_served(company: Company) -> None:
    company.register("head")
    # Released although the checker would have refused it: the resistance exceeds what the steel can give.
    company.change("families/bolt.json", "#/sizes/M12/steel/tension_kn", 500)
    company.version("2026.2.0", 20)
    entry = company.read("register.json")
    entry["releases"].append(
        entry["releases"][0] | {"version": "2026.2.0", "digest": digest(read(company.rules).documents)}
    )
    company.write("register.json", entry)
    company.commit("Release 2026.2.0")
    company.git("revert", "--no-edit", "HEAD~1")
    company.change("rulebook.json", "#/version", "2026.3.0")
    company.commit("Rules 2026.3.0")
    shelf = open_shelf(company.rules)
    shelf.check_all()
    assert refused(shelf) == {"2026.2.0": "invalid"}
    assert shelf.in_force(DAY).version == "2026.1.0"
    with pytest.raises(UnknownVersion, match="steel_resistance"):
        shelf.book("2026.2.0")


def test_suspended_version_is_passed_by_and_still_given_when_named(three: Company) -> None:
    stop = {"version": "2026.3.0", "since": "2026-11-20", "reason": "A figure was misread"}
    three.write("suspensions.json", {"fasteners": [], "versions": [stop]})
    shelf = open_shelf(three.rules)
    taken = shelf.in_force(DAY)
    assert taken.version == "2026.2.0"
    assert [suspension.version for suspension in taken.suspensions] == ["2026.3.0"]
    assert [suspension.version for suspension in shelf.book("2026.3.0").suspensions] == ["2026.3.0"]
    assert shelf.book("2026.1.0").suspensions == ()


def test_where_every_version_is_suspended_the_highest_is_taken_with_its_suspension(three: Company) -> None:
    stops = [{"version": version, "since": "2026-11-20", "reason": "All of them"} for version in ALL]
    three.write("suspensions.json", {"fasteners": [], "versions": stops})
    taken = open_shelf(three.rules).in_force(DAY)
    assert (taken.version, [s.version for s in taken.suspensions]) == ("2026.3.0", ["2026.3.0"])


def test_version_below_the_one_in_force_is_named_as_superseded(three: Company) -> None:
    shelf = open_shelf(three.rules)
    superseded = {version: shelf.on(version, DAY).superseded_by for version in ALL}
    assert superseded == {"2026.1.0": "2026.3.0", "2026.2.0": "2026.3.0", "2026.3.0": None}
    assert shelf.in_force(DAY).superseded_by is None


def test_suspended_version_does_not_supersede_the_one_that_stands_in(three: Company) -> None:
    stop = {"version": "2026.3.0", "since": "2026-11-20", "reason": "A figure was misread"}
    three.write("suspensions.json", {"fasteners": [], "versions": [stop]})
    shelf = open_shelf(three.rules)
    assert shelf.on("2026.2.0", DAY).superseded_by is None
    assert shelf.on("2026.1.0", DAY).superseded_by == "2026.2.0"


def test_suspended_family_is_suspended_in_every_version(three: Company) -> None:
    stop = {"family": "bolt", "size": "M12", "since": "2026-11-20", "reason": "A batch failed on site"}
    three.write("suspensions.json", {"fasteners": [stop], "versions": []})
    shelf = open_shelf(three.rules)
    for version in ALL:
        (suspension,) = shelf.book(version).suspensions
        assert suspension.concerns("bolt", "M12")
        assert not suspension.concerns("bolt", "M10")
    assert open_shelf(three.rules).book("2026.3.0").state == "released"
