"""Real repositories with real keys: a small rulebook whose releases are made, signed, tagged, and tampered with."""

from __future__ import annotations

import json
import shutil
import subprocess
from dataclasses import asdict
from pathlib import Path
from typing import Any

import pytest

from service.rulebook import load
from service.rulebook.register import Entry
from service.rulebook.signatures import sign

BASE = Path(__file__).parents[1] / "rules" / "base"
SIGNATORY = "head-of-structures"


class Company:
    """A company's repository of rules and its keys."""

    def __init__(self, directory: Path) -> None:
        self.directory = directory
        self.repository = directory / "repository"
        self.rules = self.repository / "rules"

    @classmethod
    def founded(cls, directory: Path) -> Company:
        """Make a company that has rules and no release."""
        company = cls(directory)
        shutil.copytree(BASE, company.rules)
        fixing = company.read("reference/post.json")
        fixing["request"].pop("rulebook", None)
        company.write("reference/post.json", fixing)
        company.git("init", "-q", "-b", "main", "--template=")
        company.commit("First rules")
        return company

    def copied(self, directory: Path) -> Company:
        """Make another one that is like this one."""
        return Company(Path(shutil.copytree(self.directory, directory, symlinks=True, dirs_exist_ok=True)))

    def git(self, *words: str) -> str:
        identity = ("-c", "user.name=Rules Editor", "-c", "user.email=rules@example.org", "-c", "commit.gpgsign=false")
        command = ["git", *identity, "-C", str(self.repository), *words]
        return subprocess.run(command, check=True, capture_output=True, text=True).stdout.strip()

    def commit(self, subject: str, **trailers: str) -> str:
        self.git("add", "-A")
        lines = "\n".join(f"{name.capitalize()}: {value}" for name, value in trailers.items())
        self.git("commit", "-q", "--allow-empty", "-m", f"{subject}\n\n{lines}".strip())
        return self.git("rev-parse", "HEAD")

    def read(self, file: str) -> Any:
        return json.loads((self.rules / file).read_text("utf-8"))

    def write(self, file: str, document: object) -> None:
        (self.rules / file).parent.mkdir(exist_ok=True)
        (self.rules / file).write_text(json.dumps(document, indent=2), "utf-8")

    def change(self, file: str, pointer: str, value: object) -> None:
        document = inner = self.read(file)
        *steps, last = pointer.removeprefix("#/").split("/")
        for step in steps:
            inner = inner[step]
        inner[last] = value
        self.write(file, document)

    def version(self, version: str, spanner_mm: float) -> str:
        """Commit rules with a version of their own."""
        self.change("families/bolt.json", "#/sizes/M12/geometry/spanner_mm", spanner_mm)
        self.change("rulebook.json", "#/version", version)
        return self.commit(f"Rules {version}")

    def key(self, name: str) -> Path:
        """Make a key pair."""
        path = self.directory / name
        if not path.exists():
            subprocess.run(["ssh-keygen", "-q", "-t", "ed25519", "-N", "", "-f", str(path)], check=True)
        return path

    def signers(self, *keys: str) -> Path:
        """Write a file of allowed signers, outside the repository."""
        public = [self.key(key).with_suffix(".pub").read_text("utf-8").split()[:2] for key in keys]
        path = self.directory / "allowed-signers"
        path.write_text("".join(f"{SIGNATORY} {kind} {text}\n" for kind, text in public), "utf-8")
        return path

    def register(self, key: str | None = None, **changed: str) -> Entry:
        """Enter the rules as they are into the register, signed or not, and commit that."""
        book = load(self.rules)
        entry = Entry(
            **(
                {
                    "version": book.version,
                    "digest": book.digest,
                    "date": "2026-02-01",
                    "reason": "test",
                    "author": "rules editor",
                    "checker": "fastening engineer",
                    "approver": "head of structural engineering",
                    "signatory": SIGNATORY,
                }
                | changed
            )
        )
        document = self.read("register.json") if (self.rules / "register.json").exists() else {"releases": []}
        document["releases"].append(asdict(entry))
        self.write("register.json", document)
        if key is not None:
            self.put_signature(entry.version, sign(entry, self.key(key)))
        self.commit(f"Release {entry.version}")
        return entry

    def put_signature(self, version: str, signature: bytes) -> None:
        (self.rules / "signatures").mkdir(exist_ok=True)
        (self.rules / "signatures" / f"{version}.sig").write_bytes(signature)

    def signature(self, version: str) -> bytes:
        return (self.rules / "signatures" / f"{version}.sig").read_bytes()

    def tag(self, version: str, commit: str = "HEAD") -> None:
        self.git("tag", "-a", "-m", f"rules {version}", f"rules/{version}", commit)

    def clone(self, name: str, *words: str) -> Path:
        """Clone the branch alone and give the clone's rules directory."""
        target = self.directory / name
        source = self.repository.as_uri()
        subprocess.run(["git", "clone", "-q", "--single-branch", "--no-tags", *words, source, str(target)], check=True)
        return target / "rules"


@pytest.fixture(scope="session")
def company_before(tmp_path_factory: pytest.TempPathFactory) -> Company:
    """What each test is given a copy of: to make one takes longer than most tests."""
    return Company.founded(tmp_path_factory.mktemp("company"))


@pytest.fixture(scope="session")
def three_before(company_before: Company, tmp_path_factory: pytest.TempPathFactory) -> Company:
    company = company_before.copied(tmp_path_factory.mktemp("three"))
    company.register("head")
    for version, spanner in (("2026.2.0", 20), ("2026.3.0", 21)):
        company.version(version, spanner)
        company.register("head")
    return company


@pytest.fixture
def company(company_before: Company, tmp_path: Path) -> Company:
    return company_before.copied(tmp_path)


@pytest.fixture
def three(three_before: Company, tmp_path: Path) -> Company:
    """Three signed releases."""
    return three_before.copied(tmp_path)
