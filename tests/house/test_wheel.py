"""A wheel does outside any checkout what the checkout does: it sizes, verifies, lints and serves, and says by what."""

import json
import os
import shutil
import socket
import subprocess
import sys
import sysconfig
import time
import urllib.request
import venv
import zipfile
from pathlib import Path
from typing import Any

import pytest

from service.cli import main
from tests.shipped import VERSION

ROOT = Path(__file__).resolve().parents[2]
EXAMPLE = ROOT / "deploy" / "example"
BUILD = "import sys; from setuptools import build_meta; build_meta.build_wheel(sys.argv[1])"
# Dependencies are those of the running environment: they are not what is tested, and no network is needed.
PACKAGES = [sysconfig.get_paths()["purelib"], *(path for path in sys.path if path.endswith("site-packages"))]


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Built once, from a copy, so that nothing left over in the checkout gets into it."""
    directory = tmp_path_factory.mktemp("wheel")
    copy = directory / "checkout"
    for name in ("service", "schemas", "rules", "deploy"):
        shutil.copytree(ROOT / name, copy / name, ignore=shutil.ignore_patterns("__pycache__"))
    for name in ("pyproject.toml", "README.md"):
        shutil.copy(ROOT / name, copy / name)
    subprocess.run([sys.executable, "-c", BUILD, directory], cwd=copy, check=True, capture_output=True)
    return next(directory.glob("*.whl"))


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An environment with nothing of ours but the wheel, inside a repository of somebody else's rules."""
    around = tmp_path_factory.mktemp("elsewhere")
    for words in (["init", "--quiet"], ["commit", "--quiet", "--allow-empty", "--message=theirs"]):
        subprocess.run(["git", "-c", "user.name=x", "-c", "user.email=x@example.org", *words], cwd=around, check=True)
    for version in (VERSION, "2020.1.0"):
        subprocess.run(["git", "tag", f"rules/{version}"], cwd=around, check=True)
    environment = around / "environment"
    venv.create(environment, symlinks=True)
    packages = Path(sysconfig.get_path("purelib", "venv", {"base": str(environment)}))
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(packages)
    (packages / "zz-dependencies.pth").write_text("\n".join(PACKAGES), "utf-8")
    return environment


def command(installed: Path, *words: str | Path) -> list[str]:
    start = "import sys; from service.cli import main; sys.exit(main())"
    return [str(installed / "bin" / "python"), "-c", start, *map(str, words)]


def environment() -> dict[str, str]:
    return {name: value for name, value in os.environ.items() if not name.startswith(("ANCHOR_", "PYTHON"))}


def told(installed: Path, *words: str | Path, code: int = 0) -> str:
    done = subprocess.run(
        command(installed, *words), cwd=installed, env=environment(), capture_output=True, text=True, check=False
    )
    assert (done.returncode, "Traceback" in done.stderr) == (code, False), done.stdout + done.stderr
    return done.stdout + done.stderr


def test_a_wheel_holds_every_file_that_the_package_needs(wheel: Path) -> None:
    names = set(zipfile.ZipFile(wheel).namelist())
    files = subprocess.run(
        ["git", "ls-files", "--", "service", "schemas"], cwd=ROOT, check=True, capture_output=True, text=True
    ).stdout.split()
    wanted = {file if file.startswith("service/") else f"service/carried/{file}" for file in files}
    assert wanted - names == set()
    assert "service/py.typed" in names
    assert {name.partition("/")[0] for name in names if ".dist-info/" not in name} == {"service"}


def test_the_code_that_runs_is_the_wheels(installed: Path) -> None:
    where = "import service; print(service.__file__, service.load_rulebook().path)"
    done = subprocess.run(
        [installed / "bin" / "python", "-c", where], cwd=installed, check=True, capture_output=True, text=True
    )
    assert all(Path(path).is_relative_to(installed) for path in done.stdout.split())


@pytest.mark.parametrize("name", ["verify", "size"])
def test_answers_are_those_of_the_checkout(
    name: str, installed: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    example = EXAMPLE / {"verify": "verification.json", "size": "sizing.json"}[name]
    assert main([name, "--json", "--rules", str(ROOT / "rules"), str(example)]) == 0
    ours, theirs = json.loads(capsys.readouterr().out), json.loads(told(installed, name, "--json", example))
    for answer in (ours, theirs):
        # The wheel has no commit to name.
        answer["rulebook"].pop("commit")
    assert theirs == ours


def test_the_demonstration_is_one_release_and_says_where_the_others_are(installed: Path) -> None:
    listed = json.loads(told(installed, "releases", "--json"))
    assert [(release["version"], release["state"]) for release in listed["releases"]] == [(VERSION, "released")]
    register = json.loads((ROOT / "rules" / "register.json").read_text("utf-8"))["releases"]
    assert [listed["releases"][0][name] for name in register[-1]] == [*register[-1].values()]
    assert listed["faults"] == []
    assert "there is no git repository here" in listed["note"]
    assert "packed rulebook" in listed["note"]


def test_an_earlier_release_is_refused_in_words(installed: Path, tmp_path: Path) -> None:
    request = json.loads((EXAMPLE / "verification.json").read_text("utf-8")) | {"rulebook": "2026.1.0"}
    (tmp_path / "earlier.json").write_text(json.dumps(request), "utf-8")
    assert f"no such version is held here; held: {VERSION}" in told(
        installed, "verify", tmp_path / "earlier.json", code=2
    )


def test_lint_takes_the_demonstration_a_directory_and_a_packed_file(installed: Path, tmp_path: Path) -> None:
    assert "0 errors, 0 warnings" in told(installed, "lint")
    assert "0 errors" in told(installed, "lint", "--rules", ROOT / "rules")
    packed = tmp_path / "packed.json"
    assert "Packed 1 releases" in told(installed, "pack", packed)
    assert "0 errors, 0 warnings" in told(installed, "lint", "--rules", packed)


def test_serve_serves_the_demonstration_and_says_so(installed: Path, tmp_path: Path) -> None:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    body = (EXAMPLE / "verification.json").read_bytes()
    log = tmp_path / "log"
    with log.open("wb") as stream:
        service = subprocess.Popen(
            command(installed, "serve", "--port", str(port)),
            cwd=installed,
            env=environment(),
            stdout=stream,
            stderr=subprocess.STDOUT,
        )
    try:
        answer = asked(port, body, service)
    finally:
        service.terminate()
        service.wait(30)
    assert (answer["verdict"], answer["rulebook"]["version"]) == ("verified", VERSION)
    said = log.read_text("utf-8")
    assert "this serves the demonstration rulebook" in said
    assert "content_not_found" not in said
    assert "Traceback" not in said


def asked(port: int, body: bytes, service: "subprocess.Popen[bytes]") -> Any:
    request = urllib.request.Request(
        f"http://127.0.0.1:{port}/v1/verifications", body, {"Content-Type": "application/json"}
    )
    until = time.monotonic() + 30
    while True:
        try:
            with urllib.request.urlopen(request, timeout=30) as response:
                return json.load(response)
        except OSError:
            if service.poll() is not None or time.monotonic() > until:
                raise
            time.sleep(0.1)
