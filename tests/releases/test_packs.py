"""Packed rulebooks with slips: each is a fault that names its place, and nothing of the pack is dropped in silence."""

from __future__ import annotations

import json
import re
from typing import TYPE_CHECKING, Any

import pytest

from service.api.keeper import Keeper
from service.cli import main
from service.rulebook.pack import PackInvalid
from service.rulebook.shelf import open_shelf
from tests.releases.test_keeper import DAY

if TYPE_CHECKING:
    from pathlib import Path

    from tests.releases.conftest import Company

BOLT = {"family": "bolt", "since": "2026-11-25", "reason": "A batch failed on site"}
VERSION = "2026.2.0"


@pytest.fixture
def pack(three: Company) -> Path:
    """Three releases with a suspension."""
    three.write("suspensions.json", {"fasteners": [BOLT], "versions": []})
    target = three.directory / "rules.pack"
    assert main(["--rules", str(three.rules), "pack", str(target)]) == 0
    return target


# Where the slip is, what stands there then, and what is said of it.
SLIPS: dict[str, tuple[str, Any, str]] = {
    "suspensions misspelt": ("suspensions/fastener", [], "suspensions: suspensions.json#/fastener: error [schema]"),
    "suspension without a reason": ("suspensions/fasteners/0", {"family": "bolt"}, "the field reason is missing"),
    "suspensions of another type": ("suspensions/fasteners", "bolt", "suspensions.json#/fasteners: error [schema]"),
    "no suspensions": ("suspensions", None, "the part suspensions is no object"),
    "register of another type": ("register/releases", 7, "register: register.json#/releases: error [schema]"),
    "entry without a digest": ("register/releases/0", {}, "the field digest is missing"),
    "signature that is no text": (f"signatures/{VERSION}", 7, f"signatures: the signature of {VERSION} is no text"),
    "release that is no object": (f"releases/{VERSION}", "files", f"releases: {VERSION}: it is no object with commit"),
    "release without files": (f"releases/{VERSION}", {"commit": None}, f"releases: {VERSION}: it is no object with"),
    "files that are a list": (f"releases/{VERSION}/files", [], f"releases: {VERSION}: files is no object"),
    "name that is a list": (f"releases/{VERSION}/files/rulebook.json", [], f"releases: {VERSION}: files is no object"),
    "commit that is a number": (f"releases/{VERSION}/commit", 7, f"releases: {VERSION}: commit is neither text"),
    "document that is no object": ("documents/first", [], "documents: first is no object"),
    "unknown part": ("suspension", {}, "the part suspension is not known"),
}


def slip(pack: Path, place: str, value: object) -> None:
    document = inner = json.loads(pack.read_text("utf-8"))
    *steps, last = place.split("/", 3)
    for step in steps:
        inner = inner[int(step)] if isinstance(inner, list) else inner[step]
    inner[int(last) if isinstance(inner, list) else last] = value
    pack.write_text(json.dumps(document), "utf-8")


@pytest.mark.parametrize("name", SLIPS)
def test_slip_in_a_pack_is_a_named_fault(pack: Path, name: str, capsys: pytest.CaptureFixture[str]) -> None:
    place, value, said = SLIPS[name]
    slip(pack, place, value)
    with pytest.raises(PackInvalid, match=re.escape(said)):
        open_shelf(pack)
    for command in ("lint", "releases"):
        assert main(["--rules", str(pack), command]) == 2
        assert said in capsys.readouterr().err


@pytest.mark.parametrize("name", SLIPS)
def test_running_service_keeps_what_was_suspended_when_a_pack_has_a_slip(pack: Path, name: str) -> None:
    keeper = Keeper(pack, None, lambda: DAY)
    place, value, said = SLIPS[name]
    slip(pack, place, value)
    assert keeper.look() is False
    assert [suspension.family for suspension in keeper.serving.shelf.suspensions] == ["bolt"]
    assert keeper.serving.kept
    (fault,) = keeper.serving.faults
    assert fault.code == "new_rules_refused"
    assert said in fault.detail


def test_release_with_a_document_missing_is_refused_and_stops_answers_where_it_was_served(pack: Path) -> None:
    keeper = Keeper(pack, None, lambda: DAY)
    slip(pack, f"releases/{VERSION}/files/rulebook.json", "lost")
    assert [(fault.version, fault.code) for fault in open_shelf(pack).faults] == [(VERSION, "content_not_found")]
    assert keeper.look() is True
    assert keeper.serving.stopped


def test_pack_made_of_a_pack_is_the_same(pack: Path) -> None:
    again = pack.with_name("again.pack")
    assert main(["--rules", str(pack), "pack", str(again)]) == 0
    assert again.read_bytes() == pack.read_bytes()
