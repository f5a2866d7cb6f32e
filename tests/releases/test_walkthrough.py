"""The walk-through of rules/README.md does what it says, in a plain clone; the shipped history is proven there too."""

from __future__ import annotations

import importlib.util
import subprocess
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from service.rulebook.repository import Repository
from service.rulebook.shelf import open_shelf
from tests.releases.warm_command import warm

if TYPE_CHECKING:
    from types import ModuleType

ROOT = Path(__file__).parents[2]
RULES = ROOT / "rules"
SIGNERS = ROOT / "deploy" / "demonstration-signers"


def whole_history() -> bool:
    repository = Repository.of(RULES)
    return repository is not None and not repository.shallow


pytestmark = pytest.mark.skipif(not whole_history(), reason="needs a clone with the whole history")


@pytest.fixture(scope="module")
def guide() -> ModuleType:
    spec = importlib.util.spec_from_file_location("walkthrough", ROOT / "deploy" / "walkthrough.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_walk_through_shows_what_the_guide_says(guide: ModuleType, tmp_path: Path) -> None:
    steps = guide.steps(guide.GUIDE.read_text("utf-8"))
    assert len(steps) == 5
    clone = guide.cloned(tmp_path)
    with warm(tmp_path, clone) as anchor:
        shown = guide.followed([commands for commands, _ in steps], clone, anchor)
    told = [text for _, text in steps]
    assert [guide.alike(text) for text in shown] == [guide.alike(text) for text in told], "run deploy/walkthrough.py"


def test_plain_clone_proves_every_shipped_release_without_tags(tmp_path: Path) -> None:
    clone = tmp_path / "clone"
    subprocess.run(["git", "clone", "-q", "--no-tags", "--single-branch", ROOT.as_uri(), str(clone)], check=True)
    shelf = open_shelf(clone / "rules", SIGNERS)
    shelf.check_all()
    assert shelf.faults == ()
    assert [release.state for release in shelf.releases] == ["released"] * len(shelf.releases)
    assert len(shelf.releases) >= 6
