"""Every value that a figure ever had, and who set it."""

from __future__ import annotations

import difflib
import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from service.audit.changes import places
from service.audit.changes.ancestry import Ancestry
from service.audit.changes.changed_values import relative
from service.audit.changes.places import ABSENT, Element, Step, is_list, or_null, same, written
from service.audit.changes.report import told_commit
from service.audit.changes.rule_fields import RuleField, root, title_of
from service.contract.writing import shown_figure
from service.rulebook.repository import Commit, Repository

LONGEST_PATH = 1000
SHOWN_NAMES = 12


class UnknownFigure(ValueError):  # noqa: N818 - the name is part of the package's interface
    """A path that leads to no figure, with what there is near."""


@dataclass(frozen=True)
class FigurePath:
    """A figure by its path.

    Attributes:
        file: Its file, relative to the rules directory.
        pointer: The JSON pointer, without the leading "#".
    """

    file: str
    pointer: str


@dataclass(frozen=True)
class Setting:
    """A value that a figure was given.

    Attributes:
        commit: The commit that gave it.
        version: Version of the rulebook in that commit.
        file: The file, as it was named then.
        there: Whether the figure is there from then on.
        value: Its value; None for null, and where it is not there.
        before: Its value before; None too where there was none.
    """

    commit: Commit
    version: str | None
    file: str
    there: bool
    value: Any
    before: Any


def parse(path: str) -> FigurePath:
    """Read a rulebook path.

    Args:
        path: As in traces of answers, "families/bolt#/sizes/M12/steel/tension_kn", or with .json before the "#".

    Returns:
        The figure; whether it is there is another question.

    Raises:
        UnknownFigure: The path is not of that form.
    """
    file, mark, pointer = path.partition("#")
    well_formed = mark and pointer.startswith("/") and len(path) <= LONGEST_PATH and path.isprintable()
    if not well_formed or not file:
        raise UnknownFigure(
            f"{path[:80]!r} is not a path of a figure; write the file, # and the way to it, like "
            "families/bolt-expansion-zinc#/sizes/M12/steel/tension_kn"
        )
    return FigurePath(file if file.endswith(".json") else f"{file}.json", pointer)


def history_of(repository: Repository, path: str) -> dict[str, Any]:
    """List every value that a figure ever had up to HEAD, under whatever name its file had.

    Args:
        repository: The repository.
        path: Path of the figure in the rulebook.

    Returns:
        The figure in words, and its values, oldest first.

    Raises:
        UnknownFigure: There never was such a figure.
    """
    figure = parse(path)
    history = Ancestry(repository, repository.commit("HEAD"))
    start, steps = _start(history, figure)
    # An old name is followed to the newest one first, and from there back.
    commit, file = _newest(history, start, figure.file)
    names = _names(history, commit, file)
    described = places.pointer(root(file), history.document(start, figure.file), steps)
    field = root(file)
    for step in steps:
        field = places.below(field, step)
    settings = list(_settings(history, names, steps))
    return {
        "rule": file.removesuffix(".json") + described,
        "asked": path,
        "title": title_of(file, history.document(commit, file)),
        "words": field.words,
        "symbol": field.symbol,
        "unit": field.unit,
        "values": [_told(setting) for setting in settings],
        "remarks": _remarks(repository, history, settings),
    }


def _start(history: Ancestry, figure: FigurePath) -> tuple[str, tuple[Step, ...]]:
    """The newest commit that has the figure, and the way to it there."""
    fault: UnknownFigure | None = None
    for commit in (history.until, *reversed(history.commits)):
        document = history.document(commit, figure.file)
        if document is ABSENT:
            continue
        try:
            return commit, _steps(figure, document)
        except UnknownFigure as unknown:
            fault = fault or unknown
    raise fault or _unknown_file(history, figure)


def _newest(history: Ancestry, commit: str, file: str) -> tuple[str, str]:
    """Follow a file through the commits after one as long as it is there."""
    children: dict[str, list[str]] = {}
    for later in (*(commit.hash for commit in history), history.until):
        for parent in history.parents(later):
            if later != parent:
                children.setdefault(parent, []).append(later)
    while True:
        named = [(child, history.after(child, commit, file)) for child in children.get(commit, ())]
        there = [(child, name) for child, name in named if name in history.files(child)]
        if not there:
            return commit, file
        commit, file = there[-1]


def _names(history: Ancestry, commit: str, file: str) -> dict[str, str]:
    """The name of the file in every commit, from the newest that has it back; after that one, its last name."""
    names = dict.fromkeys((history.until, *history.commits), file) if commit != history.until else {}
    known = {commit: file}
    waiting = [commit]
    while waiting:
        later = waiting.pop()
        for parent in history.parents(later):
            if parent not in known:
                known[parent] = history.before(later, parent, known[later])
                waiting.append(parent)
    return names | known


def _settings(history: Ancestry, names: Mapping[str, str], steps: tuple[Step, ...]) -> Iterator[Setting]:
    for commit in history:
        if commit.hash not in names:
            continue
        file = names[commit.hash]
        parents = [(parent, names.get(parent, file)) for parent in history.parents(commit.hash)]
        if any(history.unchanged(commit.hash, file, parent, name) for parent, name in parents):
            continue
        value = history.value(commit.hash, file, steps)
        before = [history.value(parent, name, steps) for parent, name in parents]
        if any(_agree(root(file), steps, value, other) for other in before) or (value is ABSENT and not before):
            continue
        earlier = next((other for other in before if other is not ABSENT), ABSENT)
        yield Setting(commit, history.version(commit.hash), file, value is not ABSENT, or_null(value), or_null(earlier))


def _agree(field: RuleField, steps: tuple[Step, ...], one: object, other: object) -> bool:
    """Whether two values mean the same; a set does in any order."""
    for step in steps:
        field = places.below(field, step)
    if field.listing == "set" and is_list(one) and is_list(other):
        return {written(entry) for entry in one} == {written(entry) for entry in other}
    return same(one, other)


def _told(setting: Setting) -> dict[str, Any]:
    return {
        "value": setting.value,
        "there": setting.there,
        "relative": shown_figure(relative(setting.before, setting.value)),
        "version": setting.version,
        "file": setting.file,
    } | told_commit(setting.commit)


def _remarks(repository: Repository, history: Ancestry, settings: list[Setting]) -> list[str]:
    remarks = []
    if repository.shallow:
        remarks.append(
            "the history was cut off when the repository was cloned, so the first value may be older than its commit; "
            "fetch the rest with: git fetch --unshallow"
        )
    if settings and not history.parents(settings[0].commit.hash) and not repository.shallow:
        remarks.append("the first value came with the first rules")
    if settings and not settings[-1].there:
        remarks.append("the figure is no longer there")
    return remarks


def _steps(figure: FigurePath, document: Any) -> tuple[Step, ...]:
    """Read a pointer as a way that does not depend on the order of lists."""
    field, value = root(figure.file), document
    steps: list[Step] = []
    passed = "#"
    for token in figure.pointer[1:].split("/"):
        name = token.replace("~1", "/").replace("~0", "~")
        step = _step(field, value, name)
        inner = places.found(field, value, (step,)) if step is not None else ABSENT
        if step is None or inner is ABSENT:
            raise UnknownFigure(_unknown_name(figure, passed, name, value))
        steps.append(step)
        passed += f"/{token}"
        field, value = places.below(field, step), inner
    if isinstance(value, Mapping) or (is_list(value) and field.listing is None):
        listed = _listed(value.keys() if isinstance(value, Mapping) else map(str, range(len(value))))
        raise UnknownFigure(f"{figure.file}{passed} is a group and not one figure; it has: {listed}")
    return tuple(steps)


def _step(field: RuleField, value: Any, name: str) -> Step | None:
    if isinstance(value, Mapping):
        return name
    if not is_list(value) or not name.isdecimal() or not name.isascii() or len(name) > len(str(len(value))):
        return None
    index = int(name)
    if index >= len(value):
        return None
    if field.listing == "set":
        return Element(written(value[index]))
    keys = places.keyed(field, value)
    return index if keys is None else keys[index]


def _unknown_name(figure: FigurePath, passed: str, name: str, value: Any) -> str:
    if isinstance(value, Mapping):
        names = [str(known) for known in value]
    else:
        names = list(map(str, range(len(value)))) if is_list(value) else []
    if not names:
        found = json.dumps(value, ensure_ascii=False, default=str)
        return f"{figure.file}{passed} is {found} and has nothing below it, so no {name!r} either"
    near = difflib.get_close_matches(name, names, n=3, cutoff=0.4)
    meant = f"did you mean {' or '.join(near)}? " if near else ""
    return f"{figure.file}{passed} has no {name!r}; {meant}there is: {_listed(names)}"


def _unknown_file(history: Ancestry, figure: FigurePath) -> UnknownFigure:
    files = {path for commit in (history.until, *history.commits) for path in history.files(commit)}
    names = sorted(path.removesuffix(".json") for path in files)
    asked = figure.file.removesuffix(".json")
    near = difflib.get_close_matches(asked, names, n=3, cutoff=0.4)
    meant = f"did you mean {' or '.join(near)}?" if near else f"there is: {_listed(names)}"
    return UnknownFigure(f"no commit of the rules has a file {asked!r}; {meant}")


def _listed(names: Iterable[str]) -> str:
    listed = list(names)
    more = f" and {len(listed) - SHOWN_NAMES} more" if len(listed) > SHOWN_NAMES else ""
    return ", ".join(listed[:SHOWN_NAMES]) + more
