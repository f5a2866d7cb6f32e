"""Releasing: what keeps the rules from being released, and what a release writes."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from service.audit.changes import attribution
from service.audit.changes.attribution import Attribution
from service.audit.changes.changed_values import FAMILIES, Changes, changes_of
from service.contract.changes import Effect
from service.rulebook.archive import GitArchive
from service.rulebook.digest import digest
from service.rulebook.lint import findings_of
from service.rulebook.register import Entry, entries
from service.rulebook.repository import Repository
from service.rulebook.signatures import sign
from service.rulebook.suspensions import Suspension, suspensions
from service.rulebook.tree import NOTES, REGISTER, RULEBOOK, SIGNATURES, Tree, read
from service.rulebook.versions import is_version, order

SHOWN = 5
EARLIER = "Earlier-versions"


class ReleaseRefused(ValueError):  # noqa: N818 - the name is part of the package's interface
    """Why the rules cannot be released as they are.

    Attributes:
        reasons: Each reason with what to do, in words.
    """

    def __init__(self, *reasons: str) -> None:
        """Gather the reasons.

        Args:
            *reasons: Each with what to do, in words.
        """
        super().__init__("\n".join(reasons))
        self.reasons = reasons


@dataclass(frozen=True)
class Wanted:
    """What is to be released, as whoever releases it says.

    Attributes:
        version: Version, CalVer year.number.patch.
        date: Day of the release, ISO 8601.
        reason: Why there is a release.
        checker: Role of who read the changes against their sources; None or empty is refused.
        approver: Role of who agreed; None or empty is refused.
        author: Who makes it; None: whom git is set up with.
        signatory: Whose key signs, as the file of allowed signers names them; None: the rulebook's signatory, its
            words joined by hyphens.
        earlier: Why earlier versions may still be named by a request, where the rules became stricter; None: not said.
    """

    version: str
    date: str
    reason: str
    checker: str | None
    approver: str | None
    author: str | None = None
    signatory: str | None = None
    earlier: str | None = None


@dataclass(frozen=True)
class Prepared:
    """A release that nothing stands against.

    Attributes:
        entry: The register's new entry.
        since: The release before; None for the first.
        changes: What changed since then; None for the first.
        attributions: Who is behind each changed value.
        repository: The repository.
        earlier: What was said of earlier versions; None: nothing.
    """

    entry: Entry
    since: Entry | None
    changes: Changes | None
    attributions: tuple[Attribution, ...]
    repository: Repository
    earlier: str | None = None


def prepare(rules: Path, wanted: Wanted) -> Prepared:
    """Find out whether the rules can be released, and with which entry of the register.

    Args:
        rules: The rules directory.
        wanted: What is to be released.

    Returns:
        The release, not yet written.

    Raises:
        ReleaseRefused: Something stands against it.
    """
    repository = Repository.of(rules)
    if repository is None:
        raise ReleaseRefused(f"{rules} lies in no git repository that can be read; a release is made from commits")
    if not repository.clean():
        raise ReleaseRefused("the rules differ from what is committed; commit or put back first (git status)")
    tree = read(rules)
    errors = [finding.text for finding in findings_of(tree) if finding.severity == "error"]
    if errors:
        raise ReleaseRefused(*errors[:SHOWN], "anchor-rulebook lint shows all of it")
    registered = entries(tree)
    last = registered[-1] if registered else None
    reasons = [*_version_faults(wanted, tree, last), *_role_faults(wanted)]
    if f"rules/{wanted.version}" in repository.tags(""):
        reasons.append(f"there is a tag rules/{wanted.version} already; a release is never made twice")
    found: Changes | None = None
    attributions: tuple[Attribution, ...] = ()
    if last is not None:
        found, attributions = _since(repository, last)
        reasons += _change_faults(found, attributions)
        if not (wanted.earlier or "").strip():
            reasons += _stricter(found, registered, suspensions(tree))
    if reasons:
        raise ReleaseRefused(*reasons)
    entry = Entry(
        version=wanted.version,
        digest=digest(tree.documents),
        date=wanted.date,
        reason=wanted.reason,
        author=wanted.author or repository.author(),
        checker=wanted.checker or "",
        approver=wanted.approver or "",
        signatory=wanted.signatory or tree.documents[RULEBOOK]["signatory"].replace(" ", "-"),
    )
    return Prepared(entry, last, found, attributions, repository, (wanted.earlier or "").strip() or None)


def write(rules: Path, prepared: Prepared, notes: str, key: Path | None) -> str:
    """Write a release: register, signature, notes, a commit of them, and the tag.

    Args:
        rules: The rules directory.
        prepared: The release.
        notes: Its notes, Markdown.
        key: The key that signs; None: nothing is signed.

    Returns:
        The commit.

    Raises:
        ReleaseRefused: The register would not be in order with the entry.
        SigningFault: The key did not sign.
    """
    entry, tree = prepared.entry, read(rules)
    register = {"releases": [*(tree.beside.get(REGISTER) or {"releases": []})["releases"], asdict(entry)]}
    after = Tree(tree.documents, {**tree.beside, REGISTER: register}, tree.signatures, (), frozenset(), ())
    faults = [finding.text for finding in findings_of(after) if finding.severity == "error"]
    if faults:
        raise ReleaseRefused(*faults)
    # Signed before anything is written: a key that fails leaves nothing behind.
    signature = sign(entry, key) if key is not None else None
    _put(rules / REGISTER, json.dumps(register, indent=2, ensure_ascii=False) + "\n")
    _put(rules / NOTES / f"{entry.version}.md", notes)
    files = [REGISTER, f"{NOTES}/{entry.version}.md"]
    if signature is not None:
        _put(rules / SIGNATURES / f"{entry.version}.sig", signature.decode("ascii"))
        files.append(f"{SIGNATURES}/{entry.version}.sig")
    message = (
        f"Release rules {entry.version}\n\n{entry.reason}\n\n"
        f"Reason: {entry.reason}\nChecker: {entry.checker}\nApprover: {entry.approver}"
    )
    if prepared.earlier is not None:
        message += f"\n{EARLIER}: {' '.join(prepared.earlier.split())}"
    return prepared.repository.record(files, message, f"rules/{entry.version}")


def rewritten_entries(repository: Repository, registered: tuple[Entry, ...]) -> Iterator[str]:
    """Hold the register against every earlier state of itself: entries are added and never changed.

    Args:
        repository: The repository.
        registered: The register as it is now.

    Yields:
        Each entry that once stood otherwise, in words.
    """
    now = {entry.version: asdict(entry) for entry in registered}
    told: set[str] = set()
    for commit in reversed(repository.log(None, repository.commit("HEAD"))):
        blob = repository.blobs(commit.hash).get(REGISTER)
        for release in _releases_in(repository.document(blob) if blob else None):
            version = str(release.get("version"))
            if release != now.get(version) and version not in told:
                told.add(version)
                yield (
                    f"{version}: the register says otherwise than at {commit.hash[:12]} ({commit.date}, "
                    f"{commit.author}); entries are added and never changed"
                )


def _releases_in(register: Any) -> list[dict[str, Any]]:
    releases = register.get("releases") if isinstance(register, dict) else None
    return [release for release in releases if isinstance(release, dict)] if isinstance(releases, list) else []


def _put(file: Path, text: str) -> None:
    file.parent.mkdir(exist_ok=True)
    file.write_text(text, encoding="utf-8")


def _version_faults(wanted: Wanted, tree: Tree, last: Entry | None) -> Iterator[str]:
    own = tree.documents[RULEBOOK]["version"]
    if not is_version(wanted.version):
        yield f"{wanted.version!r} is no version; versions are year.number.patch, like 2026.2.0"
        return
    if last is not None and order(wanted.version) <= order(last.version):
        yield f"{wanted.version} does not grow: {last.version} is released; choose a version above it"
    if own != wanted.version:
        yield f"rulebook.json says version {own}, not {wanted.version}; give it the version in a commit of its own"


def _role_faults(wanted: Wanted) -> Iterator[str]:
    if not wanted.reason.strip():
        yield "there is no reason; say with --reason why there is a release"
    if not (wanted.checker or "").strip():
        yield "there is no checker; name with --checker the role of who read the changes against their sources"
    if not (wanted.approver or "").strip():
        yield "there is no approver; name with --approver the role of who agreed"
    elif wanted.checker == wanted.approver:
        yield f"checker and approver are the same ({wanted.checker}); two different roles are needed"


def _since(repository: Repository, last: Entry) -> tuple[Changes, tuple[Attribution, ...]]:
    content = GitArchive(repository).find(last)
    if content is None or content.commit is None:
        raise ReleaseRefused(
            f"the rules of {last.version} are not in this repository, so nobody can say what changed since; "
            "release from a full clone"
        )
    head = repository.commit("HEAD")
    found = changes_of(content.documents, repository.tree(head).documents)
    return found, attribution.attribute(repository, content.commit, head, found.values)


def _stricter(found: Changes, registered: tuple[Entry, ...], stopped: tuple[Suspension, ...]) -> Iterator[str]:
    """Ask what becomes of the versions before: a request that names one still gets its bolder figures."""
    versions = {entry.version for entry in registered} - {stop.version for stop in stopped}
    fasteners = {(f"{FAMILIES}{stop.family}.json", stop.size) for stop in stopped if stop.family is not None}
    open_ones = [
        change.rule
        for change in found.values
        if change.effect is Effect.SAFER and not {(change.file, change.size), (change.file, None)} & fasteners
    ]
    if not versions or not open_ones:
        return
    more = f" and {len(open_ones) - SHOWN} more" if len(open_ones) > SHOWN else ""
    yield (
        f"stricter than before: {', '.join(open_ones[:SHOWN])}{more}; requests can still name "
        f"{', '.join(sorted(versions, key=order))}. Where a figure in them is wrong, suspend those versions or that "
        "fastener in suspensions.json; of the rest say with --earlier-versions why they may still be named"
    )


def _change_faults(found: Changes, attributions: tuple[Attribution, ...]) -> Iterator[str]:
    if not found.values and not found.reference:
        yield "nothing changed since the last release"
    for fault in attribution.approval_gaps(found.values, attributions):
        yield fault.detail
    without: dict[str, list[str]] = {}
    for change, behind in zip(found.values, attributions, strict=True):
        if behind.commit is not None and not behind.commit.trailers.reason and change.pointer != "#/version":
            without.setdefault(f"{behind.commit.hash[:12]} ({behind.commit.subject})", []).append(change.rule)
    for commit, rules in without.items():
        more = f" and {len(rules) - SHOWN} more" if len(rules) > SHOWN else ""
        yield (
            f"commit {commit} changes {', '.join(rules[:SHOWN])}{more} without a reason; "
            "its message needs a line 'Reason: …' at the end"
        )
