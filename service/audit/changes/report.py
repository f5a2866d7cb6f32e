"""The report of what changed between two rulebooks: plain data, whichever way it is shown."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from service.audit.changes import attribution
from service.audit.changes.attribution import ApprovalGap, Attribution
from service.audit.changes.changed_values import Change, Changes, changes_of
from service.contract.changes import Effect
from service.contract.writing import shown_figure
from service.rulebook.digest import digest
from service.rulebook.repository import Commit, Repository, RepositoryFault
from service.rulebook.tree import RULEBOOK

SHOWN = 5


class UnreadableRules(ValueError):  # noqa: N818 - the name is part of the package's interface
    """Rules of which a file is no JSON, so that a comparison would take it for one that was removed."""


@dataclass(frozen=True)
class RulesSide:
    """One of the two rulebooks.

    Attributes:
        documents: Its documents by path relative to the rules directory; those that calculate.
        commit: Full hash of its commit; None where it has none.
        name: What it was asked for by: a revision or a version.
    """

    documents: Mapping[str, Any]
    commit: str | None
    name: str


def changes_between(repository: Repository, older: str, newer: str) -> dict[str, Any]:
    """Report what changed between two commits, and who is behind it.

    Args:
        repository: The repository.
        older: Revision of the older rules.
        newer: Revision of the newer rules.

    Returns:
        The report.
    """
    return report_changes(side_of(repository, older), side_of(repository, newer), repository)


def side_of(repository: Repository, revision: str) -> RulesSide:
    """Read the rules of a commit.

    Args:
        repository: The repository.
        revision: A branch, tag or hash.

    Returns:
        The rules.

    Raises:
        UnreadableRules: A file is no JSON.
    """
    commit = repository.commit(revision)
    tree = repository.tree(commit)
    if tree.findings:
        places = [finding.text for finding in tree.findings]
        more = f"; and {len(places) - SHOWN} more" if len(places) > SHOWN else ""
        raise UnreadableRules(f"the rules of {revision} can't be compared: {'; '.join(places[:SHOWN])}{more}")
    return RulesSide(tree.documents, commit, revision)


def report_changes(older: RulesSide, newer: RulesSide, repository: Repository | None) -> dict[str, Any]:
    """Report what changed between two rulebooks.

    Args:
        older: The older rules.
        newer: The newer rules.
        repository: The repository that holds the commits of both; None for none, and nobody is named.

    Returns:
        Names, versions and digests of both, counts by effect, the changes, those of reference fixings, the faults, and
        remarks.
    """
    found = changes_of(older.documents, newer.documents)
    every = (*found.values, *found.reference)
    named = _attributions(older, newer, repository, every)
    values, reference = named[: len(found.values)], named[len(found.values) :]
    faults = attribution.approval_gaps(found.values, values)
    return {
        "older": _side(older),
        "newer": _side(newer),
        "counts": {str(effect): found.count(effect) for effect in Effect},
        "changes": [_change(change, by) for change, by in zip(found.values, values, strict=True)],
        "reference": [_reference(change, by) for change, by in zip(found.reference, reference, strict=True)],
        "faults": [_fault(fault) for fault in faults],
        "remarks": _remarks(found, named),
    }


def _attributions(
    older: RulesSide, newer: RulesSide, repository: Repository | None, found: Sequence[Change]
) -> tuple[Attribution, ...]:
    if repository is None:
        return attribution.unattributed(found)
    if older.commit is None or newer.commit is None:
        return attribution.unattributed(found, "the rules are not those of a commit")
    try:
        return attribution.attribute(repository, older.commit, newer.commit, found)
    except RepositoryFault:
        return attribution.unattributed(found, "git could not read the history; its objects may be missing")


def _side(side: RulesSide) -> dict[str, Any]:
    document = side.documents.get(RULEBOOK)
    version = document.get("version") if isinstance(document, Mapping) else None
    return {"name": side.name, "version": version, "commit": side.commit, "digest": digest(side.documents)}


def _change(change: Change, by: Attribution) -> dict[str, Any]:
    return {
        "rule": change.rule,
        "file": change.file,
        "pointer": change.pointer,
        "kind": change.kind,
        "effect": str(change.effect),
        "old": None if change.whole else change.old,
        "new": None if change.whole else change.new,
        "relative": shown_figure(change.relative),
        "unit": change.unit,
        "null_means": change.null_words,
        "symbol": change.symbol,
        "words": change.words,
        "group": change.group,
        "title": change.title,
        "size": change.size,
        "embedment_mm": change.embedment_mm,
        "figures": change.figures,
        "summary": change.summary,
        "set_by": _commit(by.commit),
        "also_set_by": [_commit(commit) for commit in by.also],
        "not_attributed": by.why,
    }


def _reference(change: Change, by: Attribution) -> dict[str, Any]:
    expectation = change.pointer.startswith("#/expected")
    return _change(change, by) | {"expectation": expectation}


def _commit(commit: Commit | None) -> dict[str, Any] | None:
    return None if commit is None else told_commit(commit)


def told_commit(commit: Commit) -> dict[str, Any]:
    """Tell a commit.

    Args:
        commit: The commit.

    Returns:
        Hash, author, date, subject, reason, checker and approver.
    """
    return {
        "commit": commit.hash,
        "author": commit.author,
        "date": commit.date,
        "subject": commit.subject,
        "reason": commit.trailers.reason,
        "checker": commit.trailers.checker,
        "approver": commit.trailers.approver,
    }


def _fault(fault: ApprovalGap) -> dict[str, Any]:
    return {
        "commit": fault.commit.hash if fault.commit else None,
        "missing": list(fault.missing),
        "rules": list(fault.rules),
        "detail": fault.detail,
    }


def _remarks(found: Changes, named: Sequence[Attribution]) -> list[str]:
    order = ["the files differ in nothing but the order of lists, which changes no rule"] if found.only_order else []
    unnamed = dict.fromkeys(by.why for by in named if by.why is not None)
    return [*order, *(f"where no commit is named: {why}" for why in unnamed)]
