"""Where the content of a release is found: by its digest, whatever became of the commits and tags around it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Protocol

from service.rulebook.register import Entry
from service.rulebook.repository import Repository

TAGS = "rules/"


@dataclass(frozen=True)
class ReleaseContent:
    """The content of a release.

    Attributes:
        documents: Documents that calculate, by path relative to the rules directory.
        commit: The earliest commit that holds them; None outside a repository.
    """

    documents: Mapping[str, Any]
    commit: str | None


class Archive(Protocol):
    """A place that holds contents of releases."""

    @property
    def lacking(self) -> str:
        """What is to be said where the place lacks a release, and what would help."""

    @property
    def note(self) -> str | None:
        """What is to be said of the place itself; None for nothing."""

    @property
    def whole(self) -> bool:
        """Whether what is not found here is known to be gone, and not only out of reach."""

    @property
    def tags(self) -> frozenset[str]:
        """Versions that a tag names."""

    def find(self, entry: Entry) -> ReleaseContent | None:
        """Find the content of a release by its digest; None where the place does not hold it."""

    def tag_fault(self, entry: Entry) -> str | None:
        """Say in words how a tag of the release disagrees with the register; None where none does."""


class NoArchive:
    """A directory of files without a repository: it holds what lies in it and nothing else.

    Attributes:
        lacking: What is to be said where a release is asked for.
        note: The same, of the place itself.
        whole: A repository may be there all the same, and not readable just now.
        tags: None.
    """

    note = lacking = (
        "there is no git repository here, so only the rules that lie in the directory can be served; serve from a "
        "clone, or from a packed rulebook (anchor-rulebook pack)"
    )
    whole = False
    tags: frozenset[str] = frozenset()

    def find(self, _entry: Entry) -> None:
        """Find nothing."""

    def tag_fault(self, _entry: Entry) -> None:
        """Know no tags."""


class GitArchive:
    """The history of a repository.

    Attributes:
        note: Nothing is to be said of the place.
    """

    def __init__(self, repository: Repository) -> None:
        """Take a repository as it is now; later commits and tags are not seen.

        Args:
            repository: The repository around the rules.
        """
        self._repository = repository
        self._tags = repository.tags(TAGS)
        states = (*repository.states_of([commit for commit in self._tags.values() if commit]), *repository.states())
        # Newest first, and each content once, with the earliest commit of the history that has it.
        self._commits = {key: commit for commit, key, _ in states}
        self._rulebooks = {key: blob for _, key, blob in states}
        repository.read_ahead(self._rulebooks.values())

    note = None

    @property
    def lacking(self) -> str:
        """What is to be said where the place lacks a release, and what would help."""
        if self._repository.shallow:
            return "this clone is shallow and lacks the commits of the release; git fetch --unshallow gets them"
        return "no commit in this repository's history or tags holds rules with that digest"

    @property
    def whole(self) -> bool:
        """Whether the history goes back to its beginning."""
        return not self._repository.shallow

    @property
    def tags(self) -> frozenset[str]:
        """Versions that a tag names."""
        return frozenset(self._tags)

    def find(self, entry: Entry) -> ReleaseContent | None:
        """Find the content of a release by its digest."""
        for commit in self._candidates(entry.version):
            if self._repository.digest(commit) == entry.digest:
                return ReleaseContent(self._repository.tree(commit).documents, commit)
        return None

    def tag_fault(self, entry: Entry) -> str | None:
        """Hold the tag of a release, where there is one, against the register.

        Args:
            entry: The register's entry.

        Returns:
            How it disagrees, in words; None where it does not.
        """
        if entry.version not in self._tags:
            return None
        name, commit = f"{TAGS}{entry.version}", self._tags[entry.version]
        inside = self._repository.tag_name_inside(name)
        if inside not in {None, name}:
            return f"the tag {name} points at a tag that calls itself {inside}"
        if not commit or self._repository.digest(commit) != entry.digest:
            return f"the tag {name} points at other rules than those that the register names"
        return None

    def _candidates(self, version: str) -> Iterator[str]:
        for key, commit in self._commits.items():
            document = self._repository.document(self._rulebooks[key])
            if isinstance(document, dict) and document.get("version") == version:
                yield commit
