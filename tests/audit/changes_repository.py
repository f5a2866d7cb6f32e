"""Real git repositories with a small rulebook, to change its rules in."""

from __future__ import annotations

import json
import shutil
import subprocess
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

from service.rulebook.repository import Repository
from service.rulebook.tree import read

BASE = Path(__file__).parents[1] / "rules" / "base"
SIGNED = "Reason: found on site\nChecker: fastening engineer\nApprover: head of structural engineering"
REMOVED = object()


@dataclass(frozen=True)
class Workshop:
    """A repository whose rules are changed and committed."""

    root: Path

    @property
    def rules(self) -> Path:
        return self.root / "rules"

    @property
    def repository(self) -> Repository:
        found = Repository.of(self.rules)
        assert found is not None
        return found

    def git(self, *words: str) -> str:
        identity = ("-c", "user.name=Rules Editor", "-c", "user.email=rules@example.org", "-c", "commit.gpgsign=false")
        command = ["git", *identity, "-C", str(self.root), *words]
        return subprocess.run(command, check=True, capture_output=True, text=True).stdout.strip()

    def put(self, places: Mapping[str, Any]) -> None:
        """Set values by path of the rulebook, "families/bolt#/sizes/M12/steel/tension_kn"."""
        for place, value in places.items():
            file, _, pointer = place.partition("#/")
            self.edit(file, partial(put, pointer=pointer, value=value))

    def edit(self, file: str, change: Callable[[Any], None]) -> None:
        path = self.rules / f"{file}.json"
        document = json.loads(path.read_text(encoding="utf-8"))
        change(document)
        path.write_text(laid_out(document), encoding="utf-8")

    def rename_family(self, old: str, new: str) -> None:
        (self.rules / f"families/{old}.json").rename(self.rules / f"families/{new}.json")
        self.put({f"families/{new}#/id": new})

    def commit(self, subject: str = "rules", trailers: str = SIGNED) -> str:
        self.git("add", "-A")
        self.git("commit", "-q", "--allow-empty", "-m", f"{subject}\n\n{trailers}")
        return self.git("rev-parse", "HEAD")

    def set(self, places: Mapping[str, Any], subject: str = "rules", trailers: str = SIGNED) -> str:
        self.put(places)
        return self.commit(subject, trailers)


def laid_out(document: object) -> str:
    """A document as it is written here: a line for each value, so that changes of different values merge."""
    return json.dumps(document, indent=2, ensure_ascii=False) + "\n"


def put(document: Any, pointer: str, value: object) -> None:
    """Set or remove a value of a document by its pointer."""
    *steps, last = (step.replace("~1", "/").replace("~0", "~") for step in pointer.split("/"))
    for step in steps:
        document = document[int(step)] if isinstance(document, list) else document[step]
    key: Any = int(last) if isinstance(document, list) else last
    if value is REMOVED:
        del document[key]
    else:
        document[key] = value


def documents() -> dict[str, Any]:
    """The documents of the small rulebook, to be changed."""
    return {file: json.loads((BASE / file).read_bytes()) for file in read(BASE).documents}


def workshop(directory: Path) -> Workshop:
    """A repository with the small rulebook committed."""
    shutil.copytree(BASE, directory / "rules")
    for path in (directory / "rules").rglob("*.json"):
        path.write_text(laid_out(json.loads(path.read_bytes())), encoding="utf-8")
    made = Workshop(directory)
    made.git("init", "-q", "-b", "main")
    made.commit("first rules")
    return made
