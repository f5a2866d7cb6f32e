"""The state that outlives a worker: what one process keeps another finds whole, or says that it is lost."""

from __future__ import annotations

import os
from datetime import date
from typing import TYPE_CHECKING

import pytest

from service.api.keeper import Keeper
from service.rulebook import plain
from service.rulebook.kept import KeptState, StateLost
from service.rulebook.shelf import Shelf, open_shelf
from service.rulebook.suspensions import Suspension

if TYPE_CHECKING:
    from tests.releases.conftest import Company

DAY = date(2026, 11, 25)
STOP = Suspension("bolt", None, None, "2026-11-25", "A batch failed on site")


def forked(kept: KeptState) -> KeptState:
    """What another process that shares the files knows."""
    other = KeptState()
    other._files = (os.dup(kept._files[0]), os.dup(kept._files[1]))
    other._known = kept._known
    return other


@pytest.fixture
def shelf(three: Company) -> Shelf:
    """Three releases of which one is refused, and working rules."""
    three.put_signature("2026.2.0", three.signature("2026.3.0"))
    three.change("rulebook.json", "#/version", "2026.4.0")
    return open_shelf(three.rules, three.signers("head")).with_suspensions((STOP,))


def test_another_process_finds_the_state_as_it_was_kept(shelf: Shelf) -> None:
    kept = KeptState()
    other = forked(kept)
    kept.keep(shelf)
    found = other.newer(shelf.path)
    assert found is not None
    assert (found.releases, found.suspensions, found.faults, found.note) == (
        shelf.releases, shelf.suspensions, shelf.faults, shelf.note,
    )  # fmt: skip
    assert (found.versions, found.path) == (shelf.versions, shelf.path)
    for version in shelf.versions:
        one, before = found.book(version), shelf.book(version)
        assert (one.digest, one.commit, one.state, one.suspensions) == (
            before.digest, before.commit, before.state, before.suspensions,
        )  # fmt: skip
        assert plain(one.families) == plain(before.families)
        assert found.content(version) == shelf.content(version)


def test_nothing_is_newer_until_another_process_keeps_something(shelf: Shelf) -> None:
    kept = KeptState()
    other = forked(kept)
    assert other.newer(shelf.path) is None
    for _ in range(3):
        kept.keep(shelf)
        assert other.newer(shelf.path) is not None
        assert other.newer(shelf.path) is None
    assert kept.newer(shelf.path) is None


def test_state_that_a_killed_process_wrote_in_part_leaves_the_one_before(shelf: Shelf) -> None:
    kept = KeptState()
    kept.keep(shelf)
    other = forked(kept)
    kept.keep(shelf.with_suspensions(()))
    newest = kept._files[kept._known % 2]
    os.ftruncate(newest, os.fstat(newest).st_size - 1)
    assert other.newer(shelf.path) is None
    with pytest.raises(StateLost, match="is not what was kept"):
        kept.newer(shelf.path)


@pytest.mark.parametrize("place", [0, 40, 300])
def test_altered_state_stops_answers(three: Company, place: int) -> None:
    keeper = Keeper(three.rules, None, lambda: DAY)
    for file in keeper._kept._files:
        raw = os.pread(file, 1, place)
        os.pwrite(file, bytes([raw[0] ^ 1]) if raw else b"x", place)
    three.write("suspensions.json", {"fasteners": [], "versions": []})
    assert keeper.look() is True
    assert keeper.serving.stopped
    assert [fault.code for fault in keeper.serving.faults] == ["state_lost"]


def test_state_that_cannot_be_kept_is_served_and_said(three: Company, monkeypatch: pytest.MonkeyPatch) -> None:
    keeper = Keeper(three.rules, None, lambda: DAY)

    def full(*_: object) -> int:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "pwrite", full)
    entry = {"family": "bolt", "since": "2026-11-25", "reason": "A batch failed on site"}
    three.write("suspensions.json", {"fasteners": [entry], "versions": []})
    assert keeper.look() is True
    assert [suspension.family for suspension in keeper.serving.shelf.suspensions] == ["bolt"]
    assert [fault.code for fault in keeper.serving.faults] == ["state_not_kept"]
    assert keeper.serving.kept


def test_history_out_of_reach_is_no_proof_that_releases_are_gone(three: Company) -> None:
    keeper = Keeper(three.rules, None, lambda: DAY)
    (three.repository / ".git").rename(three.repository / "away")
    assert keeper.look() is False
    assert keeper.serving.shelf.versions == ("2026.1.0", "2026.2.0", "2026.3.0")
    assert keeper.serving.kept


def test_signature_out_of_reach_is_no_proof_and_a_removed_one_is(three: Company) -> None:
    keeper = Keeper(three.rules, three.signers("head"), lambda: DAY)
    signature = three.rules / "signatures" / "2026.3.0.sig"
    raw = signature.read_bytes()
    signature.unlink()
    (three.rules / "signatures" / "2026.3.0.sig").symlink_to("elsewhere")
    assert keeper.look() is True
    assert keeper.serving.stopped
    signature.unlink()
    signature.write_bytes(raw)
    assert keeper.look() is True
    assert not keeper.serving.stopped
    keeper._signers = three.directory / "gone"
    assert keeper.look() is False
    assert keeper.serving.kept


def test_entry_of_the_register_altered_after_it_was_served_stops_answers(three: Company) -> None:
    keeper = Keeper(three.rules, None, lambda: DAY)
    register = three.read("register.json")
    register["releases"][0]["approver"] = "somebody else"
    three.write("register.json", register)
    assert keeper.look() is True
    assert keeper.serving.stopped
    assert [(fault.version, fault.code) for fault in keeper.serving.faults] == [("2026.1.0", "release_altered")]
