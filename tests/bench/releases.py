"""Thirty released versions of the shipped rules: how long until the service is ready, and how long one version takes.

Usage: python -m tests.bench.releases
"""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
import tempfile
import time
from dataclasses import asdict
from pathlib import Path

from service.api import create_app
from service.rulebook.digest import digest
from service.rulebook.register import Entry
from service.rulebook.repository import Repository
from service.rulebook.shelf import open_shelf
from service.rulebook.signatures import sign
from service.rulebook.tree import read

ROOT = Path(__file__).resolve().parents[2]
VERSIONS = 30
SIGNATORY = "head-of-structural-engineering"


def git(repository: Path, *words: str) -> None:
    """Run git in the repository."""
    identity = ("-c", "user.name=Rules editor", "-c", "user.email=rules@example.org", "-c", "commit.gpgsign=false")
    subprocess.run(["git", *identity, "-C", str(repository), *words], check=True, capture_output=True)


def history(directory: Path) -> tuple[Path, Path]:
    """Make a repository with thirty signed releases, each of another figure."""
    rules = directory / "repository" / "rules"
    left_out = shutil.ignore_patterns("register.json", "signatures", "notes")
    shutil.copytree(ROOT / "rules", rules, ignore=left_out)
    git(rules.parent, "init", "-q")
    key = directory / "key"
    subprocess.run(["ssh-keygen", "-q", "-t", "ed25519", "-N", "", "-f", str(key)], check=True)
    signers = directory / "signers"
    signers.write_text(f"{SIGNATORY} {key.with_suffix('.pub').read_text('utf-8')}", "utf-8")
    entries = []
    (rules / "signatures").mkdir()
    for number in range(1, VERSIONS + 1):
        document = json.loads((rules / "rulebook.json").read_text("utf-8"))
        version = f"2030.{number}.0"
        document |= {"version": version}
        document["site_reduction"]["floor"] = 0.3 + number / 1000
        (rules / "rulebook.json").write_text(json.dumps(document), "utf-8")
        who = {"author": "rules editor", "checker": "fastening engineer", "approver": "head"}
        content = digest(read(rules).documents)
        entry = Entry(version, content, "2030-01-01", "bench", **who, signatory=SIGNATORY)
        entries.append(entry)
        (rules / "register.json").write_text(json.dumps({"releases": [asdict(one) for one in entries]}), "utf-8")
        (rules / "signatures" / f"{version}.sig").write_bytes(sign(entry, key))
        git(rules.parent, "add", "-A")
        git(rules.parent, "commit", "-q", "-m", version)
    return rules, signers


def tell(line: str) -> None:
    """Print a line."""
    sys.stdout.write(line + "\n")


def main() -> None:
    """Print the times."""
    with tempfile.TemporaryDirectory() as directory:
        rules, signers = history(Path(directory))
        start = time.perf_counter()
        client = create_app(rules, signers=signers).test_client()
        ready = client.get("/health/ready").get_json()
        seconds = time.perf_counter() - start
        assert len(ready["versions"]) == VERSIONS, ready
        tell(f"ready with {VERSIONS} signed versions   {seconds:6.2f} s   aim 2 s: {seconds / 2:.2f} of it")
        repository = Repository.of(rules)
        assert repository is not None
        start = time.perf_counter()
        digest(repository.tree(repository.commit("HEAD~9")).documents)
        cold = 1000 * (time.perf_counter() - start)
        start = time.perf_counter()
        digest(repository.tree(repository.commit("HEAD~19")).documents)
        warm = 1000 * (time.perf_counter() - start)
        tell(f"reading and proving one version   {cold:6.1f} ms  aim 100 ms: {cold / 100:.2f} of it")
        tell(f"reading and proving a second one  {warm:6.1f} ms  {warm / cold:.2f} of the first")
        shelf = open_shelf(rules, signers)
        start = time.perf_counter()
        shelf.book("2030.7.0")
        tell(f"checking one when first asked for {1000 * (time.perf_counter() - start):6.1f} ms")


if __name__ == "__main__":
    main()
