"""The commits of the rules as a graph that values are followed through, files read only where they changed."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from functools import cached_property
from typing import Any

from service.audit.changes import places, renames
from service.audit.changes.places import ABSENT, Step
from service.audit.changes.rule_fields import root
from service.rulebook.repository import Commit, Repository
from service.rulebook.tree import CONTENT, RULEBOOK


class Ancestry:
    """The history of the rules up to one commit."""

    def __init__(self, repository: Repository, until: str, together: Collection[str] = ()) -> None:
        """Read which commits there are; their files are read when they are asked for.

        Args:
            repository: The repository.
            until: Full hash of the last commit.
            together: Paths of files that are read at once where one file of a commit is.
        """
        self._repository = repository
        self.until = until
        self.commits: dict[str, Commit] = {commit.hash: commit for commit in repository.log(None, until)}
        self._together = together
        self._read: set[str] = set()
        self._files: dict[str, Mapping[str, str]] = {}
        self._renames: dict[tuple[str, str], Mapping[str, str]] = {}

    @cached_property
    def tips(self) -> tuple[str, ...]:
        """Commits that no other follows; where there are several, the last commit merged them and changed nothing."""
        parents = {parent for commit in self.commits.values() for parent in commit.parents}
        return tuple(name for name in reversed(self.commits) if name not in parents)

    def files(self, commit: str) -> Mapping[str, str]:
        """List the files of a commit that calculate.

        Args:
            commit: A full hash.

        Returns:
            Blob ids by path relative to the rules directory.
        """
        if commit not in self._files:
            blobs = self._repository.blobs(commit).items()
            self._files[commit] = {path: blob for path, blob in blobs if _calculates(path)}
        return self._files[commit]

    def document(self, commit: str, path: str) -> Any:
        """Read a file of a commit.

        Args:
            commit: A full hash.
            path: Path relative to the rules directory.

        Returns:
            The document; None where it is no JSON, ABSENT where there is no such file.
        """
        files = self.files(commit)
        if commit not in self._read:
            self._read.add(commit)
            self._repository.read_ahead(files[file] for file in self._together if file in files)
        blob = files.get(path)
        return ABSENT if blob is None else self._repository.document(blob)

    def value(self, commit: str, path: str, steps: tuple[Step, ...]) -> Any:
        """Look up a value in a commit.

        Args:
            commit: A full hash.
            path: Path relative to the rules directory.
            steps: The way to the value.

        Returns:
            The value, or ABSENT.
        """
        return places.found(root(path), self.document(commit, path), steps)

    def version(self, commit: str) -> str | None:
        """Name the version of the rulebook that a commit holds.

        Args:
            commit: A full hash.

        Returns:
            The version; None where rulebook.json is not there or has none.
        """
        version = self.value(commit, RULEBOOK, ("version",))
        return version if isinstance(version, str) else None

    def parents(self, commit: str) -> tuple[str, ...]:
        """List the commits before one that are part of this history.

        Args:
            commit: A full hash; the last commit itself follows the tips where it changed nothing.

        Returns:
            Their hashes.
        """
        if commit not in self.commits:
            return self.tips
        return tuple(parent for parent in self.commits[commit].parents if parent in self.commits)

    def before(self, commit: str, parent: str, path: str) -> str:
        """Name a file as it was named in a parent.

        Args:
            commit: A full hash.
            parent: A parent of it.
            path: Path of the file in the commit.

        Returns:
            Its path in the parent; the same where it was not renamed.
        """
        if path in self.files(parent) or path not in self.files(commit):
            return path
        return self._renamed(commit, parent).get(path, path)

    def after(self, commit: str, parent: str, path: str) -> str:
        """Name a file of a parent as it is named in a commit.

        Args:
            commit: A full hash.
            parent: A parent of it.
            path: Path of the file in the parent.

        Returns:
            Its path in the commit; the same where it was not renamed, though it may be gone.
        """
        if path in self.files(commit):
            return path
        return next((new for new, old in self._renamed(commit, parent).items() if old == path), path)

    def unchanged(self, commit: str, path: str, parent: str, before: str) -> bool:
        """Say whether a file is the same object in a commit and its parent, so that it need not be read.

        Args:
            commit: A full hash.
            path: Path of the file in the commit.
            parent: A parent of it.
            before: Path of the file in the parent.

        Returns:
            Whether it is.
        """
        return self.files(commit).get(path) == self.files(parent).get(before)

    def _renamed(self, commit: str, parent: str) -> Mapping[str, str]:
        pair = (commit, parent)
        if pair not in self._renames:
            now, then = self.files(commit), self.files(parent)
            gone = {path: self.document(parent, path) for path in then if path not in now}
            come = {path: self.document(commit, path) for path in now if path not in then}
            self._renames[pair] = renames.renamed(gone, come) if gone and come else {}
        return self._renames[pair]

    def __iter__(self) -> Iterator[Commit]:
        return iter(self.commits.values())


def _calculates(path: str) -> bool:
    return path.split("/")[0] in CONTENT and path.endswith(".json")
