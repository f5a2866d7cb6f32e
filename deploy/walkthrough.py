"""Follow the walk-through of rules/README.md in a fresh clone and write what it shows into the guide.

Usage: python deploy/walkthrough.py
"""

import os
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
GUIDE = ROOT / "rules" / "README.md"
BLOCK = re.compile(r"(<!-- walk -->\n```sh\n(.*?)```\n\n<!-- shows -->\n```text\n)(.*?)(```)", re.DOTALL)
WHO = {"NAME": "Rules editor", "EMAIL": "rules@example.org"}


def steps(text: str) -> list[tuple[str, str]]:
    """Read the walk-through.

    Args:
        text: The guide.

    Returns:
        For each step its commands and what the guide says they show.
    """
    return [(found[2], found[3]) for found in BLOCK.finditer(text)]


def cloned(directory: Path) -> Path:
    """Clone this repository as someone else would.

    Args:
        directory: An empty directory to work in.

    Returns:
        The clone.

    Raises:
        RuntimeError: There is no git.
    """
    clone = directory / "clone"
    git = shutil.which("git")
    if git is None:
        raise RuntimeError("git is needed")
    subprocess.run([git, "clone", "--quiet", "--no-tags", ROOT.as_uri(), str(clone)], check=True)  # noqa: S603 - fixed
    return clone


def followed(commands: list[str], clone: Path, anchor: str = f"{sys.executable} -m service.cli") -> list[str]:
    """Follow the commands in a clone.

    Args:
        commands: Commands of each step.
        clone: The clone; what they make beside it stays in the directory around it.
        anchor: What `anchor-rulebook` stands for, as a shell calls it.

    Returns:
        What each step shows.

    Raises:
        RuntimeError: A step could not be done.
    """
    bash = shutil.which("bash")
    if bash is None:
        raise RuntimeError("bash is needed")
    command = clone.parent / "bin" / "anchor-rulebook"
    command.parent.mkdir()
    command.write_text(f'#!/bin/sh\nexec {anchor} "$@"\n', "utf-8")
    command.chmod(0o755)
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
    environment |= {f"GIT_{role}_{part}": text for role in ("AUTHOR", "COMMITTER") for part, text in WHO.items()}
    environment |= {"PATH": f"{command.parent}:{os.environ['PATH']}", "COLUMNS": "110", "LC_ALL": "C.UTF-8"}
    shown = []
    for words in commands:
        # The commands are those of the guide, to be run as they stand there.
        run = [bash, "-euc", words]
        done = subprocess.run(run, cwd=clone, env=environment, capture_output=True, text=True, check=False)  # noqa: S603
        if done.returncode not in {0, 1}:
            raise RuntimeError(f"{words}\nended with {done.returncode}:\n{done.stdout}{done.stderr}")
        shown.append("".join(f"{line.rstrip()}\n" for line in (done.stdout + done.stderr).splitlines()))
    return shown


def alike(text: str) -> str:
    """Leave out of what a step shows what differs from run to run.

    Args:
        text: What a step shows.

    Returns:
        The text without hashes and days.
    """
    return re.sub(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", "<day>", re.sub(r"\b[0-9a-f]{12,64}\b", "<hash>", text))


def main() -> None:
    """Write what the steps show into the guide."""
    text = GUIDE.read_text("utf-8")
    with tempfile.TemporaryDirectory() as directory:
        shown = iter(followed([commands for commands, _ in steps(text)], cloned(Path(directory))))
    GUIDE.write_text(BLOCK.sub(lambda found: found[1] + next(shown) + found[4], text), "utf-8")


if __name__ == "__main__":
    main()
