"""What the reader of rule files takes and what it does not follow."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

import pytest

from service.rulebook import lint
from service.rulebook.tree import LARGEST_FILE, read

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path


def test_bytes_that_are_not_utf8_are_a_finding_with_line_and_offset(base: Path) -> None:
    (base / "factors/exposures.json").write_bytes(b'{\n"id": "caf\xe9"}')
    [finding] = lint(base)
    assert (finding.file, finding.rule, finding.pointer) == ("factors/exposures.json", "strict_json", "#")
    assert finding.message == "line 2 is not UTF-8"
    assert finding.found == "byte 0xe9 at offset 12"


def test_symbolic_link_to_a_file_is_not_followed(base: Path, tmp_path: Path) -> None:
    outside = tmp_path / "outside.json"
    outside.write_text((base / "families/bolt.json").read_text(encoding="utf-8"), encoding="utf-8")
    (base / "families/bolt.json").unlink()
    (base / "families/bolt.json").symlink_to(outside)
    found = {(finding.file, finding.rule, finding.found) for finding in lint(base)}
    assert ("families/bolt.json", "reachable_files", "a symbolic link") in found
    assert "families/bolt.json" not in read(base).documents


def test_symbolic_link_to_a_directory_is_not_followed(base: Path, tmp_path: Path) -> None:
    (base / "reference").rename(tmp_path / "reference")
    (base / "reference").symlink_to(tmp_path / "reference")
    [finding] = lint(base)
    assert (finding.file, finding.rule, finding.found) == ("reference", "reachable_files", "a symbolic link")


def test_named_pipe_does_not_hang_the_reader(base: Path) -> None:
    os.mkfifo(base / "families/pipe.json")
    [finding] = lint(base)
    assert (finding.file, finding.found) == ("families/pipe.json", "a special file")


def test_directory_within_families_is_a_finding(base: Path) -> None:
    (base / "families/old").mkdir()
    [finding] = lint(base)
    assert (finding.file, finding.rule, finding.found) == ("families/old", "reachable_files", "a directory")


def test_file_name_that_is_not_utf8_is_a_finding(base: Path) -> None:
    (base / os.fsdecode(b"families/\xff.json")).write_text("{}", encoding="utf-8")
    [finding] = lint(base)
    assert (finding.file, finding.rule) == ("families/\\xff.json", "reachable_files")


def test_guide_is_no_stray_file(base: Path) -> None:
    (base / "README.md").write_text("how to change a rule", encoding="utf-8")
    assert lint(base) == ()


def test_missing_directory_is_a_finding(tmp_path: Path) -> None:
    found = {(finding.file, finding.rule, finding.found) for finding in lint(tmp_path / "none")}
    assert (".", "readable_files", "no such file or directory") in found


def test_file_too_large_to_review_is_a_finding(base: Path) -> None:
    (base / "families/bolt.json").write_bytes(b" " * (LARGEST_FILE + 1))
    [finding] = lint(base)
    assert (finding.file, finding.rule, finding.found) == (
        "families/bolt.json",
        "readable_files",
        f"over {LARGEST_FILE} bytes",
    )


@pytest.mark.skipif(os.geteuid() == 0, reason="root reads every file")
def test_file_that_may_not_be_read_is_a_finding(base: Path) -> None:
    (base / "families/bolt.json").chmod(0)
    [finding] = lint(base)
    assert (finding.file, finding.rule, finding.found) == ("families/bolt.json", "readable_files", "permission denied")


def test_rulebook_without_families_is_a_finding(base: Path, broken: Callable[..., Path]) -> None:
    families = [f"families/{path.name}" for path in (base / "families").iterdir()]
    [finding] = lint(broken({"delete": [*families, "reference/post.json"]}))
    assert (finding.file, finding.rule, finding.message) == ("families", "reachable_files", "there is no family")
