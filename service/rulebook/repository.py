"""The git repository that holds the rules, through git's own command line; only a release writes to it."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

from service.rulebook import strict_json
from service.rulebook.canonical import canonical
from service.rulebook.digest import of_parts
from service.rulebook.finding import Finding
from service.rulebook.shipped import carried_by_a_wheel
from service.rulebook.tree import CONTENT, SIGNATURES, Tree, gathered

PATIENCE_SECONDS = 30.0
REVISION = re.compile(r"[A-Za-z0-9][A-Za-z0-9._/~^@{}+-]{0,199}")
FIELD = "\x1f"
"""What no name of a ref can hold."""
END = "\0"
"""What no message of a commit can hold."""
TRAILERS = ("Reason", "Checker", "Approver")
LOG_FIELDS = (
    "%H",
    "%P",
    "%an",
    "%as",
    "%s",
    *(f"%(trailers:key={name},valueonly,unfold,separator=%x20)" for name in TRAILERS),
)
REGULAR, LINK, MODULE = 0o100644, 0o120000, 0o160000


class UnknownRevision(ValueError):  # noqa: N818 - the name is part of the package's interface
    """A word that names no commit of the repository."""


class RepositoryFault(RuntimeError):  # noqa: N818 - the name is part of the package's interface
    """Git could not do what was asked: an object is missing, or it took too long."""


@dataclass(frozen=True)
class Trailers:
    """What a commit's message says at its end; None where it does not.

    Attributes:
        reason: Why the rules were changed.
        checker: Role of who read the change against its source.
        approver: Role of who agreed to it.
    """

    reason: str | None
    checker: str | None
    approver: str | None


@dataclass(frozen=True)
class Commit:
    """A commit that touches the rules.

    Attributes:
        hash: Its full name.
        parents: Its parents, or their nearest ancestors that touch the rules.
        author: Name of its author.
        date: Day on which it was written, ISO 8601.
        subject: First line of its message.
        trailers: Reason, checker and approver.
    """

    hash: str
    parents: tuple[str, ...]
    author: str
    date: str
    subject: str
    trailers: Trailers


class Repository:
    """The repository around a rules directory; what was read once is kept, since objects never change.

    Attributes:
        head: The commit that was checked out when the repository was found.
    """

    head: str

    def __init__(self, rules: Path, git: str) -> None:
        """Take a directory that is known to lie in a repository; `of` finds out.

        Args:
            rules: The rules directory.
            git: Path of git.
        """
        self._rules = rules
        self._git = git
        self._documents: dict[str, tuple[bytes, Any, tuple[Finding, ...]]] = {}
        self._blobs: dict[str, Mapping[str, tuple[int, str]]] = {}
        self._trees: dict[str, Tree] = {}
        self._canonical: dict[str, bytes] = {}

    @classmethod
    def of(cls, rules: Path) -> Repository | None:
        """Find the repository of a rules directory.

        Args:
            rules: The rules directory.

        Returns:
            The repository; None without git, outside a repository, without a commit, where git refuses one of
            another user, or for the rules inside an installed package.
        """
        git = shutil.which("git")
        if git is None or not _is_directory(rules) or carried_by_a_wheel(rules):
            return None
        found = cls(rules.resolve(), git)
        try:
            found.head = found.commit("HEAD")
        except (UnknownRevision, RepositoryFault):
            return None
        return found

    @cached_property
    def shallow(self) -> bool:
        """Whether the history was cut off when the repository was cloned."""
        return self._text("rev-parse", "--is-shallow-repository").strip() == "true"

    @cached_property
    def _prefix(self) -> str:
        return self._text("rev-parse", "--show-prefix").rstrip("\n")

    def commit(self, revision: str) -> str:
        """Name a commit in full.

        Args:
            revision: A branch, tag, hash, or one of these with ~n or ^n.

        Returns:
            The full hash.

        Raises:
            UnknownRevision: It names no commit here.
        """
        if not REVISION.fullmatch(revision):
            words = "use a branch, a tag, a hash, or one of these with ~n"
            raise UnknownRevision(f"{revision!r} can't be the name of a commit; {words}")
        asked = ("rev-parse", "--verify", "--quiet", "--end-of-options", f"{revision}^{{commit}}")
        done = self._run(*asked, check=False)
        if done.returncode != 0:
            words = "git log --oneline shows the commits, git tag the tags"
            raise UnknownRevision(f"{revision!r} names no commit of this repository; {words}")
        # --verify prints the hash alone; --end-of-options is repeated by some versions of git.
        return done.stdout.decode("ascii", "replace").split()[-1]

    def blobs(self, commit: str) -> Mapping[str, str]:
        """List the rule files of a commit.

        Args:
            commit: A full hash.

        Returns:
            Blob ids by path relative to the rules directory; links and submodules are left out.
        """
        return {path: blob for path, (mode, blob) in self._entries(commit).items() if mode == REGULAR}

    def document(self, blob: str) -> Any:
        """Parse a blob as a document.

        Args:
            blob: A blob id out of `blobs`.

        Returns:
            The parsed JSON; None where it is no strict JSON.
        """
        self._fetch([("", blob)])
        return self._documents[blob][1]

    def read_ahead(self, blobs: Iterable[str]) -> None:
        """Read documents at once that would else be read one by one; git takes longer to start than to answer.

        Args:
            blobs: Blob ids out of `blobs` or `states`; what is not there is told only where it is asked for.
        """
        self._read(("", blob) for blob in blobs)

    def tree(self, commit: str) -> Tree:
        """Read the rules as they are at a commit.

        Args:
            commit: A full hash.

        Returns:
            The documents and what is wrong with the files.
        """
        if commit not in self._trees:
            entries = self._entries(commit)
            self._fetch(self.blobs(commit).items())
            modes = ((path, mode) for path, (mode, _) in entries.items())
            self._trees[commit] = gathered(modes, lambda path: self._parsed(entries, path))
        return self._trees[commit]

    def digest(self, commit: str) -> str:
        """Digest the rules as they are at a commit; the canonical form of a blob is written once.

        Args:
            commit: A full hash.

        Returns:
            "sha256:" and the digest of the documents that calculate.
        """
        entries = self._entries(commit)
        parts = {}
        for file, document in self.tree(commit).documents.items():
            blob = entries[file][1]
            if blob not in self._canonical:
                self._canonical[blob] = canonical(document)
            parts[file] = self._canonical[blob]
        return of_parts(parts)

    def log(self, since: str | None, until: str) -> tuple[Commit, ...]:
        """List the commits that touch the rules.

        Args:
            since: Full hash of a commit whose history is left out; None for none.
            until: Full hash of the last commit.

        Returns:
            The commits with merges, oldest first.
        """
        span = until if since is None else f"{since}..{until}"
        words = ("--topo-order", "--reverse", "--full-history", "--simplify-merges", "--parents", "--no-show-signature")
        text = self._text("log", "-z", *words, f"--format={'%x00'.join(LOG_FIELDS)}", span, "--", ".")
        fields = text.split(END)[:-1]
        size = len(LOG_FIELDS)
        return tuple(_commit(*fields[place : place + size]) for place in range(0, len(fields), size))

    def states(self) -> tuple[tuple[str, tuple[str, ...], str], ...]:
        """List the states of the calculating files in the history of HEAD.

        Returns:
            For each commit that touches the rules, newest first: its hash, the object ids of the calculating files
            and directories, which name its content, and the id of rulebook.json.
        """
        hashes = self._text("log", "--topo-order", "--full-history", "--format=%H", "HEAD", "--", ".").split()
        return self.states_of(hashes)

    def states_of(self, commits: Sequence[str]) -> tuple[tuple[str, tuple[str, ...], str], ...]:
        """Give the states of the calculating files at some commits.

        Args:
            commits: Full hashes.

        Returns:
            As `states`; commits without rulebook.json are left out.
        """
        names = [f"{commit}:{self._prefix}" for commit in commits]
        states = []
        for commit, raw in zip(commits, self._batch(names), strict=True):
            content = dict(_tree_entries(raw, len(commit) // 2)) if raw is not None else {}
            if "rulebook.json" in content:
                key = tuple(content.get(name, "") for name in CONTENT)
                states.append((commit, key, content["rulebook.json"]))
        return tuple(states)

    def tags(self, prefix: str) -> Mapping[str, str]:
        """List tags with the commits that they point at.

        Args:
            prefix: What the names begin with, like "rules/".

        Returns:
            Commits by the rest of the name; a tag that points at no commit has an empty one.
        """
        words = f"--format=%(refname){FIELD}%(objectname){FIELD}%(*objectname){FIELD}%(objecttype){FIELD}%(*objecttype)"
        found = {}
        for line in self._text("for-each-ref", words, f"refs/tags/{prefix}").split("\n")[:-1]:
            name, own, pointed, kind, pointed_kind = line.split(FIELD)
            commit = own if kind == "commit" else pointed if pointed_kind == "commit" else ""
            found[name.removeprefix(f"refs/tags/{prefix}")] = commit
        return found

    def tag_name_inside(self, tag: str) -> str | None:
        """Read the name that an annotated tag gives itself, which its ref need not have.

        Args:
            tag: Name of the tag's ref, without refs/tags/.

        Returns:
            The name inside; None for a lightweight tag.
        """
        raw = self._text("for-each-ref", "--format=%(tag)", f"refs/tags/{tag}").strip()
        return raw or None

    def clean(self) -> bool:
        """Say whether the rules directory is exactly what is committed.

        Returns:
            Whether nothing under it is changed, staged or untracked.
        """
        return not self._text("status", "--porcelain", "--untracked-files=all", "--", ".").strip()

    def author(self) -> str:
        """Say who would be named as the author of a commit made now.

        Returns:
            The name that git is set up with.
        """
        return self._text("var", "GIT_AUTHOR_IDENT").rsplit("<", 1)[0].strip()

    def record(self, files: Sequence[str], message: str, tag: str) -> str:
        """Commit files of the rules directory, and nothing else, and tag the commit with a tag that is not there yet.

        Args:
            files: Paths relative to the rules directory.
            message: Message of the commit and of the tag.
            tag: Name of the tag.

        Returns:
            The commit.
        """
        self._run("add", "--", *files)
        self._run("commit", "--quiet", "--file=-", "--", *files, given=message.encode())
        self._run("tag", "--annotate", "--file=-", "--", tag, given=message.encode())
        return self.commit("HEAD")

    def fingerprint(self) -> str:
        """Name the state in which the history was found, cheaply.

        Returns:
            A text that is another one whenever HEAD or a tag of a release is.
        """
        return self.head + self._text("for-each-ref", "--format=%(refname)%(objectname)", "refs/tags/rules")

    def _parsed(self, entries: Mapping[str, tuple[int, str]], path: str) -> tuple[Any, bytes, tuple[Finding, ...]]:
        raw, document, findings = self._documents[entries[path][1]]
        return (None, raw, ()) if path.startswith(f"{SIGNATURES}/") else (document, b"", findings)

    def _entries(self, commit: str) -> Mapping[str, tuple[int, str]]:
        if commit not in self._blobs:
            raw = self._run("ls-tree", "-r", "-z", "--end-of-options", commit, "--", ".").stdout
            self._blobs[commit] = dict(_listed(raw))
        return self._blobs[commit]

    def _fetch(self, wanted: Iterable[tuple[str, str]]) -> None:
        wanted = list(wanted)
        self._read(wanted)
        for path, blob in wanted:
            if blob not in self._documents:
                raise RepositoryFault(f"object {blob} of {path} is not in this repository")

    def _read(self, wanted: Iterable[tuple[str, str]]) -> None:
        """Parse the files that are there and were not read before."""
        missing = {blob: path for path, blob in wanted if blob not in self._documents}
        for (blob, path), raw in zip(missing.items(), self._batch(list(missing)), strict=True):
            if raw is not None:
                document, findings = strict_json.parse(path, raw)
                # Only a signature is wanted as it was written.
                self._documents[blob] = (raw if path.startswith(f"{SIGNATURES}/") else b"", document, findings)

    def _batch(self, names: list[str]) -> Iterator[bytes | None]:
        if not names:
            return
        raw = self._run("cat-file", "--batch", given="".join(f"{name}\n" for name in names).encode()).stdout
        place = 0
        for _ in names:
            end = raw.index(b"\n", place)
            head = raw[place:end].split()
            place = end + 1
            if head[-1] in {b"missing", b"ambiguous"}:
                yield None
                continue
            size = int(head[-1])
            yield raw[place : place + size]
            place += size + 1

    def _text(self, *words: str) -> str:
        return self._run(*words).stdout.decode("utf-8", "replace")

    def _run(self, *words: str, given: bytes = b"", check: bool = True) -> subprocess.CompletedProcess[bytes]:
        # A repository's own settings may name programs to run (a file monitor, hooks): none of them is wanted here.
        settings = ("-c", "core.fsmonitor=false", "-c", f"core.hooksPath={os.devnull}", "-c", "log.showSignature=false")
        environment = {name: value for name, value in os.environ.items() if not _steers_git(name)}
        environment |= {"GIT_OPTIONAL_LOCKS": "0", "LC_ALL": "C", "GIT_TERMINAL_PROMPT": "0", "GIT_NO_LAZY_FETCH": "1"}
        try:
            return subprocess.run(  # noqa: S603 - a list of words, each fixed, checked or an object id; no shell
                [self._git, *settings, "-C", str(self._rules), *words],
                env=environment,
                input=given,
                capture_output=True,
                timeout=PATIENCE_SECONDS,
                check=check,
            )
        except subprocess.CalledProcessError as problem:
            said = problem.stderr.decode("utf-8", "replace").strip().splitlines()
            last = said[-1] if said else "it says nothing"
            raise RepositoryFault(f"git {words[0]} did not work: {last}") from problem
        except (OSError, subprocess.SubprocessError) as problem:
            raise RepositoryFault(f"git {words[0]} could not be run in {self._rules}") from problem


def _is_directory(path: Path) -> bool:
    """Whether there is a directory; none can be told within a parent that may not be searched."""
    try:
        return path.is_dir()
    except OSError:
        return False


def _steers_git(name: str) -> bool:
    """Whether a variable of the environment would point git at another repository or setting."""
    return name.startswith("GIT_") and not name.startswith(("GIT_AUTHOR_", "GIT_COMMITTER_", "GIT_CONFIG_"))


def _commit(name: str, parents: str, author: str, date: str, subject: str, *trailers: str) -> Commit:
    said = [" ".join(text.split()) or None for text in trailers]
    return Commit(name, tuple(parents.split()), author, date, subject, Trailers(*said))


def _listed(raw: bytes) -> Iterator[tuple[str, tuple[int, str]]]:
    for entry in raw.split(b"\0")[:-1]:
        head, path = entry.split(b"\t", 1)
        mode, _, blob = head.split()
        kind = int(mode, 8)
        # An executable file is a file like any other here.
        yield (
            path.decode("utf-8", "backslashreplace"),
            (kind if kind in {LINK, MODULE} else REGULAR, blob.decode("ascii")),
        )


def _tree_entries(raw: bytes, id_length: int) -> Iterator[tuple[str, str]]:
    place = 0
    while place < len(raw):
        end = raw.index(b"\0", place)
        name = raw[place:end].split(b" ", 1)[1].decode("utf-8", "backslashreplace")
        yield name, raw[end + 1 : end + 1 + id_length].hex()
        place = end + 1 + id_length
