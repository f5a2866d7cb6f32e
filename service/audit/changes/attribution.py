"""Which commit set a changed value, found commit by commit, and whether it names who checked and approved it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from service.audit.changes.ancestry import Ancestry
from service.audit.changes.changed_values import Change, changes_of
from service.audit.changes.places import ABSENT, Step, is_group, same
from service.audit.changes.renames import RENAMED_WITH_THE_FILE
from service.rulebook.repository import Commit, Repository

UNRELATED = "the two have no history in common, so nobody changed one into the other"
CUT_OFF = "the history was cut off here when the repository was cloned; fetch the rest with: git fetch --unshallow"
NEVER = "it was never there in the history of the newer rules; only the older ones have it"
NO_HISTORY = "there is no history to look it up in"


@dataclass(frozen=True)
class Attribution:
    """Who is behind a changed value.

    Attributes:
        commit: The commit that last set it; None where that can't be said.
        also: Commits that later changed anything inside what came with it, oldest last.
        answerable: Those of them that changed it towards less safety or perhaps so, and need a checker and an approver.
        why: Why no commit is named, in words; None where one is.
    """

    commit: Commit | None
    also: tuple[Commit, ...] = ()
    answerable: tuple[Commit, ...] = ()
    why: str | None = None


@dataclass(frozen=True)
class ApprovalGap:
    """What a change towards less safety lacks.

    Attributes:
        commit: The commit whose message lacks it; None where no commit could be found.
        missing: Trailers that are missing.
        rules: Rulebook paths of the changes.
        detail: What is wrong and what to do, in words.
    """

    commit: Commit | None
    missing: tuple[str, ...]
    rules: tuple[str, ...]
    detail: str


def attribute(repository: Repository, older: str, newer: str, found: Sequence[Change]) -> tuple[Attribution, ...]:
    """Find who is behind each change between two commits.

    Args:
        repository: The repository.
        older: Full hash of the older commit.
        newer: Full hash of the newer commit.
        found: What differs between them.

    Returns:
        An attribution for each change.
    """
    if not found:
        return ()
    history = Ancestry(repository, newer, together={change.file for change in found})
    other = {commit.hash for commit in repository.log(None, older)}
    if other and other.isdisjoint(history.commits) and not repository.shallow:
        return (Attribution(None, why=UNRELATED),) * len(found)
    return tuple(_attribution(history, change, cut_off=repository.shallow) for change in found)


def unattributed(found: Sequence[Change], why: str = NO_HISTORY) -> tuple[Attribution, ...]:
    """Say of each change that nobody can be named.

    Args:
        found: The changes.
        why: Why not, in words.

    Returns:
        An attribution for each change.
    """
    return (Attribution(None, why=why),) * len(found)


def approval_gaps(found: Sequence[Change], attributions: Sequence[Attribution]) -> tuple[ApprovalGap, ...]:
    """List changes towards less safety that nobody is named for.

    Args:
        found: The changes.
        attributions: Who is behind each of them.

    Returns:
        A gap for each commit whose message lacks a checker or an approver, and for each reason why changes could
        not be held against a commit.
    """
    lacking: dict[str, tuple[Commit, list[str]]] = {}
    alone: dict[str, tuple[Commit, list[str]]] = {}
    unknown: dict[str, list[str]] = {}
    for change, attribution in zip(found, attributions, strict=True):
        if not change.effect.guarded:
            continue
        if attribution.commit is None:
            unknown.setdefault(attribution.why or NO_HISTORY, []).append(change.rule)
        for commit in _behind(attribution):
            if missing_trailers(commit):
                lacking.setdefault(commit.hash, (commit, []))[1].append(change.rule)
            elif _same_role(commit):
                alone.setdefault(commit.hash, (commit, []))[1].append(change.rule)
    return (
        *(_lacking(commit, tuple(rules)) for commit, rules in lacking.values()),
        *(_alone(commit, tuple(rules)) for commit, rules in alone.values()),
        *(_unknown(why, tuple(rules)) for why, rules in unknown.items()),
    )


def missing_trailers(commit: Commit) -> tuple[str, ...]:
    """List the trailers that a change towards less safety needs and a commit lacks.

    Args:
        commit: The commit.

    Returns:
        Their names.
    """
    given = {"Checker": commit.trailers.checker, "Approver": commit.trailers.approver}
    return tuple(name for name, value in given.items() if not value)


def _behind(attribution: Attribution) -> Iterator[Commit]:
    if attribution.commit is not None:
        yield attribution.commit
    yield from attribution.answerable


def _lacking(commit: Commit, rules: tuple[str, ...]) -> ApprovalGap:
    missing = missing_trailers(commit)
    lines = " and ".join(f'a line "{name}: <role>"' for name in missing)
    detail = (
        f"commit {commit.hash[:12]} ({commit.subject}) makes {_counted(rules)} that may be less safe and names "
        f"no {' and no '.join(name.lower() for name in missing)}: add {lines} at the end of its message"
    )
    return ApprovalGap(commit, missing, rules, detail)


def _same_role(commit: Commit) -> bool:
    given = commit.trailers
    return (given.checker or "").strip().casefold() == (given.approver or "").strip().casefold()


def _alone(commit: Commit, rules: tuple[str, ...]) -> ApprovalGap:
    detail = (
        f"commit {commit.hash[:12]} ({commit.subject}) makes {_counted(rules)} that may be less safe, and its checker "
        f"is its approver ({commit.trailers.approver}): two different roles are needed"
    )
    return ApprovalGap(commit, ("Approver",), rules, detail)


def _unknown(why: str, rules: tuple[str, ...]) -> ApprovalGap:
    detail = f"{_counted(rules)} that may be less safe can't be held against a commit: {why}"
    return ApprovalGap(None, ("Checker", "Approver"), rules, detail)


def _counted(rules: Iterable[str]) -> str:
    number = len(tuple(rules))
    return f"{number} {'change' if number == 1 else 'changes'}"


@dataclass(frozen=True)
class _Walk:
    """The way of one value back through the history."""

    history: Ancestry
    file: str
    steps: tuple[Step, ...]

    def value(self, commit: str, path: str) -> Any:
        return self.history.value(commit, path, self.steps)

    def last_set(self, commit: str, path: str, agree: Callable[[Any, Any], bool]) -> tuple[str, str]:
        """Go back while a parent agrees; a merge passes on what it took from one of its parents."""
        value = self.value(commit, path)
        while True:
            for parent, before in self.before(commit, path):
                same_file = self.history.unchanged(commit, path, parent, before)
                if same_file or agree(value, self.value(parent, before)):
                    commit, path = parent, before
                    break
            else:
                return commit, path

    def before(self, commit: str, path: str) -> Iterator[tuple[str, str]]:
        """Parents of a commit, and the name of the file in each."""
        for parent in self.history.parents(commit):
            yield parent, self.history.before(commit, parent, path)

    def inside(self) -> Iterator[tuple[Commit, bool]]:
        """Commits that later changed something within a group that came, and whether it has to be approved."""
        waiting = [(self.history.until, self.file)]
        seen = set()
        while waiting:
            commit, path = self.last_set(*waiting.pop(), same)
            if commit in seen or commit not in self.history.commits:
                continue
            seen.add(commit)
            before = [
                (parent, name) for parent, name in self.before(commit, path) if is_group(self.value(parent, name))
            ]
            made = self._made(commit, path, before) if before else {}
            if made:
                yield self.history.commits[commit], any(made.values())
            waiting.extend(before)

    def _made(self, commit: str, path: str, parents: list[tuple[str, str]]) -> dict[tuple[Step, ...], bool]:
        """Changes that a commit makes here and took from none of its parents, and whether each has to be approved."""
        now = self.history.document(commit, path)
        made = [self._changes({path: self.history.document(parent, name)}, {path: now}) for parent, name in parents]
        return {steps: made[0][steps] for steps in set.intersection(*(set(changes) for changes in made))}

    def _changes(self, old: Mapping[str, Any], new: Mapping[str, Any]) -> dict[tuple[Step, ...], bool]:
        depth = len(self.steps)
        found = changes_of(old, new)
        changes = (*found.values, *found.reference)
        return {change.steps: change.effect.guarded for change in changes if change.steps[:depth] == self.steps}


def _attribution(history: Ancestry, change: Change, *, cut_off: bool) -> Attribution:
    renamed = change.kind == "renamed"
    walk = _Walk(history, change.file, (RENAMED_WITH_THE_FILE,) if renamed else change.steps)
    value = walk.value(history.until, change.file)
    group = change.kind == "added" and is_group(value)
    name, _ = walk.last_set(history.until, change.file, _both_groups if group else same)
    commit = history.commits.get(name)
    if cut_off and not history.parents(name):
        return Attribution(None, why=CUT_OFF)
    if commit is None or (value is ABSENT and not history.parents(name)):
        return Attribution(None, why=NEVER)
    inside = tuple(walk.inside()) if group else ()
    return Attribution(commit, tuple(one for one, _ in inside), tuple(one for one, answerable in inside if answerable))


def _both_groups(one: object, other: object) -> bool:
    return is_group(one) and is_group(other)
