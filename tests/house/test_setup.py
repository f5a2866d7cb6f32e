"""What a fresh machine gets: locks that hold to the ranges, and scripts that say what the README says."""

import re
import subprocess
import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).resolve().parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
RUNTIME = [Requirement(text) for text in PROJECT["project"]["dependencies"]]
TEST = RUNTIME + [Requirement(text) for text in PROJECT["project"]["optional-dependencies"]["test"]]
HASHES = r"((?: {4}--hash=sha256:[0-9a-f]{64}(?: \\)?\n)+)"
ENTRY = re.compile(r"^([A-Za-z0-9._-]+)==(\S+?)(?: ; .*?)? \\\n" + HASHES, re.MULTILINE)


def locked(name: str) -> dict[str, list[str]]:
    text = (ROOT / "deploy" / name).read_text("utf-8")
    versions: dict[str, list[str]] = {}
    for package, version, _ in ENTRY.findall(text):
        versions.setdefault(canonicalize_name(package), []).append(version)
    return versions


@pytest.mark.parametrize("name", ["runtime.lock", "test.lock"])
def test_every_entry_of_a_lock_has_its_version_and_hashes(name: str) -> None:
    text = (ROOT / "deploy" / name).read_text("utf-8")
    rest = [line for line in ENTRY.sub("", text).splitlines() if line.strip() and not line.strip().startswith("#")]
    assert rest == []
    assert locked(name)


@pytest.mark.parametrize(("name", "wanted"), [("runtime.lock", RUNTIME), ("test.lock", TEST)])
def test_a_lock_holds_to_the_ranges(name: str, wanted: list[Requirement]) -> None:
    versions = locked(name)
    for requirement in wanted:
        found = versions[canonicalize_name(requirement.name)]
        assert all(requirement.specifier.contains(version) for version in found), requirement


def test_tests_run_on_what_is_deployed() -> None:
    tested = locked("test.lock")
    assert {n: v for n, v in locked("runtime.lock").items() if tested.get(n) != v} == {}


@pytest.mark.parametrize(
    "name",
    ["deploy/runtime.lock", "deploy/test.lock", "tests/clients/requirements.lock", "tests/clients/package-lock.json"],
)
def test_a_lock_names_no_place_to_fetch_from(name: str) -> None:
    assert not re.search(r"https?:|file:|index-url|find-links| @ ", (ROOT / name).read_text("utf-8"))


@pytest.mark.parametrize("script", ["deploy/start", "deploy/test", "deploy/test-long", "deploy/lock", ".ci/run"])
def test_a_script_is_executable_and_parses(script: str) -> None:
    path = ROOT / script
    assert path.stat().st_mode & 0o111
    subprocess.run(["bash", "-n", str(path)], check=True)


def test_the_readme_gives_the_commands_that_exist_and_ci_runs_the_second() -> None:
    readme = (ROOT / "README.md").read_text("utf-8")
    assert re.search(r"^deploy/start$", readme, re.MULTILINE)
    assert re.search(r"^deploy/test$", readme, re.MULTILINE)
    assert (ROOT / ".ci" / "run").read_text("utf-8").splitlines()[-1] == "deploy/test"


def test_start_refuses_what_it_does_not_know() -> None:
    result = subprocess.run([ROOT / "deploy" / "start", "--twice"], capture_output=True, text=True, check=False)
    assert result.returncode == 1
    assert "usage: deploy/start [--once]" in result.stderr


def test_every_part_of_the_long_tests_is_listed_and_can_be_asked_for() -> None:
    """The refusal of an unknown part lists the known ones, and each is a function of the script."""
    script = ROOT / "deploy" / "test-long"
    result = subprocess.run([script, "nothing"], capture_output=True, text=True, check=False)
    assert result.returncode == 1
    listed = re.findall(r"^  (\w+): \S", result.stderr, re.MULTILINE)
    assert "requests" in listed
    assert listed == re.findall(r"^part_(\w+)\(\) \{$", script.read_text("utf-8"), re.MULTILINE)
