"""All versions that can be answered by: what the register names and can be proven, and what is being worked on."""

from __future__ import annotations

import threading
from collections.abc import Mapping
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any

from service.rulebook import schemas
from service.rulebook.archive import Archive, GitArchive, NoArchive, ReleaseContent
from service.rulebook.book import Rulebook, RulebookInvalid, check, of_documents, of_tree, refuse_errors
from service.rulebook.history import commit_of
from service.rulebook.pack import open_pack
from service.rulebook.register import Entry, entries
from service.rulebook.repository import Repository
from service.rulebook.signatures import fault_of
from service.rulebook.suspensions import Suspension, suspensions
from service.rulebook.tree import RULEBOOK, SIGNATURES, SUSPENSIONS, Tree, read
from service.rulebook.versions import order

RELEASED, REFUSED = "released", "refused"
IDLE = "suspension_stops_nothing"


class UnknownVersion(ValueError):  # noqa: N818 - the name is part of the package's interface
    """A version that is not served.

    Attributes:
        known: The versions that are, oldest first.
        why: Why this one is refused, where the register names it.
    """

    def __init__(self, version: str, known: tuple[str, ...], why: str | None) -> None:
        """Say what is unknown.

        Args:
            version: The version.
            known: The versions that are served.
            why: Why this one is refused, where the register names it.
        """
        reason = f": {why}" if why else ""
        super().__init__(f"version {version} is not served{reason}; served: {', '.join(known) or 'none'}")
        self.known = known
        self.why = why


class NoneInForce(ValueError):  # noqa: N818 - the name is part of the package's interface
    """No version is in force on a day."""


@dataclass(frozen=True)
class ReleaseFault:
    """What is wrong with a release, a tag or the working rules, for readiness.

    Attributes:
        version: The version; None where it concerns none.
        code: Stable code.
        detail: In words.
        proven: Whether what was read proves it; False where something could not be read or looked at.
    """

    version: str | None
    code: str
    detail: str
    proven: bool = True

    @property
    def told(self) -> dict[str, str | None]:
        """What is told of it to whoever asks for the versions."""
        return {"version": self.version, "code": self.code, "detail": self.detail}


@dataclass(frozen=True)
class Release:
    """A release of the register, and whether it is served.

    Attributes:
        entry: The register's entry.
        fault: Why it is refused; None where it is served.
        content: Its documents and commit; None where it is refused before they were found.
    """

    entry: Entry
    fault: ReleaseFault | None
    content: ReleaseContent | None

    @property
    def state(self) -> str:
        """Whether it is served, in a word."""
        return RELEASED if self.fault is None else REFUSED


class Shelf:
    """A snapshot of what can be served; a release's rulebook is made and checked when it is first asked for."""

    def __init__(
        self,
        path: Path,
        tree: Tree,
        working: Rulebook | None,
        releases: tuple[Release, ...],
        stopped: tuple[Suspension, ...],
        faults: tuple[ReleaseFault, ...],
        note: str | None,
    ) -> None:
        """Hold what was found; `open_shelf` finds it.

        Args:
            path: The rules directory or the packed rulebook.
            tree: What lay there when it was read.
            working: The rules that lie in the directory; None where they cannot be calculated with.
            releases: What the register names, oldest first.
            stopped: What is suspended.
            faults: What is wrong beside the releases.
            note: What is to be said of the place that the rules come from.
        """
        self.path = path
        self.tree = tree
        self.working = working
        self.suspensions = stopped
        self.note = note
        self.faults_beside = faults
        self._releases = releases
        self._made: dict[str, Rulebook | ReleaseFault] = {}
        self._given: dict[tuple[str, tuple[Suspension, ...], str | None], Rulebook] = {}
        self._lock = threading.Lock()
        if working is not None and working.state == RELEASED:
            self._made[working.version] = working

    @property
    def releases(self) -> tuple[Release, ...]:
        """What the register names, oldest first, with what is known of each by now."""
        made = {version: book for version, book in self._made.items() if isinstance(book, ReleaseFault)}
        return tuple(
            replace(release, fault=made[release.entry.version]) if release.entry.version in made else release
            for release in self._releases
        )

    @property
    def served(self) -> tuple[tuple[Entry, ReleaseContent], ...]:
        """The releases that are not refused, oldest first, each with its content."""
        return tuple((one.entry, one.content) for one in self.releases if one.content is not None and one.fault is None)

    @property
    def faults(self) -> tuple[ReleaseFault, ...]:
        """What is wrong, releases that are refused among it."""
        return (*self.faults_beside, *(release.fault for release in self.releases if release.fault is not None))

    @property
    def versions(self) -> tuple[str, ...]:
        """Versions that are served, oldest first."""
        released = [entry.version for entry, _ in self.served]
        own = [self.working.version] if self.working is not None and self.working.version not in released else []
        return tuple(sorted(released + own, key=order))

    def book(self, version: str) -> Rulebook:
        """Give a version with the suspensions that concern it.

        Args:
            version: The version.

        Returns:
            The rulebook.

        Raises:
            UnknownVersion: It is not served.
        """
        return self._as_given(self._book(version), self._concerning({None, version}))

    def on(self, version: str, day: date) -> Rulebook:
        """Give a version as it is named on a day, with the higher one that is in force instead, if there is one.

        Args:
            version: The version.
            day: The day.

        Returns:
            The rulebook, with the suspensions that concern it.

        Raises:
            UnknownVersion: It is not served.
        """
        named = self.book(version)
        try:
            other = self.in_force(day).version
        except NoneInForce:
            return named
        return self._as_given(named, named.suspensions, other) if order(other) > order(version) else named

    def by_digest(self, version: str, digest: str) -> Rulebook | None:
        """Give exactly the rules that an answer was made with.

        Args:
            version: Version of the answer's rulebook.
            digest: Its digest.

        Returns:
            The rulebook; None where no rules of that version and digest are served.
        """
        for served in self.versions:
            if served == version:
                try:
                    found = self.book(version)
                except UnknownVersion:
                    return None
                return found if found.digest == digest else None
        return None

    def in_force(self, day: date) -> Rulebook:
        """Give the highest released version in force on a day, leaving out what is suspended where that leaves any.

        Where nothing was ever released, the working rules stand in.

        Args:
            day: The day.

        Returns:
            The rulebook, with the suspensions that concern it or that led to it.

        Raises:
            NoneInForce: There is none.
        """
        candidates = self._in_period(day)
        stopped = {suspension.version for suspension in self.suspensions if suspension.version is not None}
        for version in sorted(candidates, key=lambda version: (version not in stopped, order(version)), reverse=True):
            try:
                found = self._book(version)
            except UnknownVersion:
                continue
            skipped = {other for other in candidates if other in stopped and order(other) > order(version)}
            return self._as_given(found, self._concerning({None, version} | skipped))
        raise NoneInForce(
            f"no version of the rulebook is in force on {day.isoformat()}; "
            f"served: {', '.join(self.versions) or 'none'}; name one under rulebook to use it all the same"
        )

    def newest(self) -> Rulebook:
        """Give the highest version that is served, released ones first.

        Returns:
            The rulebook.

        Raises:
            UnknownVersion: None can be served.
        """
        for version in sorted((entry.version for entry, _ in self.served), key=order, reverse=True):
            try:
                return self.book(version)
            except UnknownVersion:
                continue
        return self.book(self.working.version if self.working is not None else "")

    def with_suspensions(self, stopped: tuple[Suspension, ...]) -> Shelf:
        """Give the same shelf under other suspensions.

        Args:
            stopped: What is suspended.

        Returns:
            The shelf; what was made stays made.
        """
        other = Shelf(self.path, self.tree, self.working, self._releases, stopped, self.faults_beside, self.note)
        other._made = self._made
        return other

    def idle(self, stopped: tuple[Suspension, ...]) -> tuple[ReleaseFault, ...]:
        """Name the suspensions that stop nothing of what is held here.

        Args:
            stopped: Suspensions.

        Returns:
            A fault for each of them.
        """
        contents = [release.content.documents for release in self._releases if release.content is not None]
        contents += [self.tree.documents] if self.working is not None else []
        return tuple(_idle(stop) for stop in stopped if not _matches(stop, contents))

    def check_all(self) -> None:
        """Make and check every release, so that faults are known before anybody asks."""
        for version in self.versions:
            try:
                self._book(version)
            except UnknownVersion:
                continue

    def content(self, version: str) -> Mapping[str, Any]:
        """Give the documents of a served version, as they were parsed.

        Args:
            version: The version.

        Returns:
            Documents by path relative to the rules directory.

        Raises:
            UnknownVersion: It is not served.
        """
        self._book(version)
        for release in self._releases:
            if release.entry.version == version and release.content is not None:
                return release.content.documents
        return self.tree.documents

    def _in_period(self, day: date) -> list[str]:
        periods = {entry.version: content.documents[RULEBOOK] for entry, content in self.served}
        if not self._releases and self.working is not None:
            periods[self.working.version] = self.working.document
        return [
            version
            for version, document in periods.items()
            if document["effective_from"] <= day.isoformat() <= (document["effective_until"] or "9999-12-31")
        ]

    def _concerning(self, versions: AbstractSet[str | None]) -> tuple[Suspension, ...]:
        return tuple(s for s in self.suspensions if s.version in versions)

    def _as_given(
        self, found: Rulebook, concerning: tuple[Suspension, ...], superseded_by: str | None = None
    ) -> Rulebook:
        """A rulebook with what is suspended: one object for all who ask, so that what it has worked out is kept."""
        key = found.version, concerning, superseded_by
        if key not in self._given:
            self._given[key] = replace(found, suspensions=concerning, superseded_by=superseded_by)
        return self._given[key]

    def _book(self, version: str) -> Rulebook:
        for release in self._releases:
            if release.entry.version == version:
                return self._released(release)
        if self.working is not None and self.working.version == version:
            return self.working
        raise UnknownVersion(version, self.versions, None)

    def _released(self, release: Release) -> Rulebook:
        version = release.entry.version
        if release.fault is None and release.content is not None:
            with self._lock:
                if version not in self._made:
                    self._made[version] = _made(release.entry, release.content, self.path)
                made = self._made[version]
            if isinstance(made, Rulebook):
                return made
            raise UnknownVersion(version, self.versions, made.detail)
        raise UnknownVersion(version, self.versions, release.fault.detail if release.fault else None)


def open_shelf(rules: Path, signers: Path | None = None) -> Shelf:
    """Find every version that a rules directory or a packed rulebook can prove.

    Args:
        rules: The rules directory, or the file of a packed rulebook.
        signers: The file of allowed signers; with it, a release needs a signature of its signatory.

    Returns:
        The shelf.

    Raises:
        RulebookInvalid: The rules in the directory have errors and no release can be served in their place, or what
            is suspended cannot be read.
    """
    rules = rules.resolve()
    if rules.is_file():
        pack = open_pack(rules)
        return _shelf(rules, pack.tree, None, pack, signers, ())
    tree = read(rules)
    repository = Repository.of(rules)
    archive: Archive = GitArchive(repository) if repository else NoArchive()
    try:
        working = of_tree(tree, path=rules, commit=commit_of(rules))
    except RulebookInvalid as invalid:
        # What is suspended must not be lifted by a slip in the file that suspends it.
        if any(finding.file == SUSPENSIONS and finding.severity == "error" for finding in invalid.findings):
            raise
        fault = ReleaseFault(version_of(tree), "working_invalid", str(invalid))
        shelf = _shelf(rules, tree, None, archive, signers, (fault,))
        if not shelf.versions:
            raise
        return shelf
    return _shelf(rules, tree, working, archive, signers, ())


def version_of(tree: Tree) -> str | None:
    """Read the version that the files of a directory give themselves."""
    document = tree.documents.get(RULEBOOK)
    version = document.get("version") if isinstance(document, dict) else None
    return version if isinstance(version, str) else None


def _shelf(
    rules: Path,
    tree: Tree,
    working: Rulebook | None,
    archive: Archive,
    signers: Path | None,
    faults: tuple[ReleaseFault, ...],
) -> Shelf:
    sound = {file for file, document in tree.beside.items() if not schemas.check(file, document)}
    usable = replace(tree, beside={file: document for file, document in tree.beside.items() if file in sound})
    registered = entries(usable)
    releases = tuple(_release(entry, usable, working, archive, signers) for entry in registered)
    stray = archive.tags - {entry.version for entry in registered}
    words = "a tag names this version, but the register does not: it was never released"
    unregistered = tuple(ReleaseFault(version, "tag_not_registered", words) for version in sorted(stray))
    refused = {release.entry.version for release in releases if release.fault is not None}
    for release in releases:
        if working is not None and working.digest == release.entry.digest and release.content is not None:
            working = replace(working, commit=release.content.commit)
    if working is not None and working.version in refused:
        # A release that is refused is not served as working rules either.
        working = None
    shelf = Shelf(rules, usable, working, releases, suspensions(usable), (*faults, *unregistered), archive.note)
    shelf.faults_beside += shelf.idle(shelf.suspensions)
    return shelf


def _matches(stop: Suspension, contents: list[Mapping[str, Any]]) -> bool:
    """Whether a suspension stops anything of some version that can be served."""
    for documents in contents:
        if stop.version is not None:
            rulebook = documents.get(RULEBOOK)
            if isinstance(rulebook, dict) and rulebook.get("version") == stop.version:
                return True
            continue
        family = documents.get(f"families/{stop.family}.json")
        if isinstance(family, dict) and (stop.size is None or stop.size in family.get("sizes", {})):
            return True
    return False


def _idle(stop: Suspension) -> ReleaseFault:
    name = stop.version or " ".join(part for part in (stop.family, stop.size) if part)
    detail = f"{SUSPENSIONS} suspends {name}, which no version here has, so it stops nothing; correct the name"
    return ReleaseFault(None, IDLE, detail)


def _release(entry: Entry, tree: Tree, working: Rulebook | None, archive: Archive, signers: Path | None) -> Release:
    if signers is not None:
        fault = _signature_fault(entry, tree, signers)
        if fault is not None:
            return Release(entry, fault, None)
    found = archive.find(entry)
    if found is None and working is not None and (entry.version, entry.digest) == (working.version, working.digest):
        found = ReleaseContent(tree.documents, working.commit)
    if found is None:
        lacking = ReleaseFault(entry.version, "content_not_found", archive.lacking, proven=archive.whole)
        return Release(entry, lacking, None)
    disagreement = archive.tag_fault(entry)
    if disagreement is not None:
        return Release(entry, ReleaseFault(entry.version, "tag_disagrees", disagreement), found)
    malformed = schemas.check(RULEBOOK, found.documents.get(RULEBOOK))
    if malformed:
        return Release(entry, ReleaseFault(entry.version, "invalid", malformed[0].text), found)
    return Release(entry, None, found)


def _signature_fault(entry: Entry, tree: Tree, signers: Path) -> ReleaseFault | None:
    if f"{SIGNATURES}/{entry.version}.sig" in tree.unread:
        return ReleaseFault(entry.version, "signature_not_valid", "its signature cannot be read", proven=False)
    signature = tree.signatures.get(entry.version)
    if signature is None:
        return ReleaseFault(entry.version, "unsigned", "there is no signature")
    fault = fault_of(entry, signature, signers)
    if fault is None:
        return None
    return ReleaseFault(entry.version, "signature_not_valid", fault.detail, proven=fault.proven)


def _made(entry: Entry, content: ReleaseContent, path: Path) -> Rulebook | ReleaseFault:
    try:
        refuse_errors(check(content.documents))
    except RulebookInvalid as invalid:
        return ReleaseFault(entry.version, "invalid", str(invalid))
    return of_documents(content.documents, path=path, commit=content.commit, state=RELEASED)
