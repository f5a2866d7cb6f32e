"""Where the rules stand in the history of their repository."""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

from service.rulebook.tree import NOTES, README, REGISTER, SIGNATURES, SUSPENSIONS

PATIENCE_SECONDS = 2.0
# The guide for people and what is said about releases are no rules: a change of them does not make the rules others.
RULES_ONLY = ("--", ".", *(f":(exclude){name}" for name in (README, REGISTER, SUSPENSIONS, SIGNATURES, NOTES)))


def commit_of(rules: Path) -> str | None:
    """Find the commit that the rules are, byte for byte.

    Args:
        rules: The rules directory.

    Returns:
        The last commit that touched the rules, or None when that cannot be said: no git, no repository, a repository of
        another user, rules that differ from what is committed, or a repository too slow to ask.
    """
    git = shutil.which("git")
    if git is None:
        return None
    changes = _ask(git, rules, "status", "--porcelain", "--untracked-files=all", "--ignored=matching", *RULES_ONLY)
    if changes != "":
        return None
    return _ask(git, rules, "log", "-1", "--format=%H", *RULES_ONLY) or None


def _ask(git: str, rules: Path, *words: str) -> str | None:
    # A repository's own settings may name programs to run (a file monitor, hooks): none of them is wanted here.
    command = [git, "-c", "core.fsmonitor=false", "-c", f"core.hooksPath={os.devnull}", "-C", str(rules), *words]
    environment = {name: value for name, value in os.environ.items() if not name.startswith("GIT_")}
    environment |= {"GIT_OPTIONAL_LOCKS": "0", "LC_ALL": "C"}
    try:
        done = subprocess.run(  # noqa: S603 - fixed words and a path of the operator's, no shell
            command,
            env=environment,
            stdin=subprocess.DEVNULL,
            capture_output=True,
            timeout=PATIENCE_SECONDS,
            check=True,
        )
    except (OSError, subprocess.SubprocessError):
        return None
    return done.stdout.decode("utf-8", "replace").strip()
