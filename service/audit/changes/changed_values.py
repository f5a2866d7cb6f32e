"""What differs between two sets of rules, in engineering terms; pure functions of parsed documents."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from service.audit.changes import directions, places, renames
from service.audit.changes.places import (
    ABSENT,
    Element,
    Keyed,
    Step,
    is_group,
    is_list,
    is_number,
    or_null,
    same,
    written,
)
from service.audit.changes.rule_fields import RuleField, root, title_of
from service.contract.changes import Effect

Kind = Literal["changed", "added", "removed", "renamed"]
FAMILIES, REFERENCE = "families/", "reference/"
SIZES, EMBEDMENTS = "sizes", "embedments"
SHOWN_FIGURES = 6
UNIT_SUFFIX = re.compile(r"_(mm|mm2|mm3|kn|nm|mpa|ml|c|minutes)$")


@dataclass(frozen=True)
class Change:
    """One value, or one group of values that came or went together.

    Attributes:
        file: The file, relative to the rules directory: its newer name, the older where it is gone.
        steps: The way to the value, independent of the order of lists.
        pointer: The same as a JSON pointer into the newer file, into the older where the value is gone.
        kind: What happened to it.
        effect: What that does to fixings.
        old: What stood there; None for null and for nothing.
        new: What stands there; None for null and for nothing.
        title: Title of the family or file.
        size: Size of the fastener, where it belongs to one.
        embedment_mm: Effective embedment, where it belongs to one (mm).
        group: Names of the groups it stands in.
        words: What it is, in words of the schema.
        symbol: Symbol of EN 1992-4, where it has one.
        unit: Unit, where it has one.
        null_words: What null stands for, where the schema says so.
        figures: How many figures came or went with it; 0 for a single value.
        summary: What came or went, in short.
        old_file: The older name of a renamed file, else the same as `file`.
    """

    file: str
    steps: tuple[Step, ...]
    pointer: str
    kind: Kind
    effect: Effect
    old: Any
    new: Any
    title: str
    size: str | None
    embedment_mm: float | None
    group: str | None
    words: str
    symbol: str | None
    unit: str | None
    null_words: str | None
    figures: int
    summary: str | None
    old_file: str

    @property
    def rule(self) -> str:
        """Path in the rulebook, as traces of answers give it."""
        return self.file.removesuffix(".json") + self.pointer

    @property
    def whole(self) -> bool:
        """Whether a whole file, size or embedment came or went, whose values are counted and not listed."""
        return self.kind in {"added", "removed"} and (not self.steps or (self.is_family and _is_fastener(self.steps)))

    @property
    def is_family(self) -> bool:
        """Whether it stands in the file of a family."""
        return self.file.startswith(FAMILIES)

    @property
    def relative(self) -> float | None:
        """New over old, less one; None unless both are numbers and the old one is not 0."""
        return relative(self.old, self.new)


@dataclass(frozen=True)
class Changes:
    """What differs between two sets of rules.

    Attributes:
        values: Changes of what calculates or is shown, less safe first.
        reference: Changes of reference fixings, by file.
        only_order: The files differ in nothing but the order of lists.
    """

    values: tuple[Change, ...]
    reference: tuple[Change, ...]
    only_order: bool

    def count(self, effect: Effect) -> int:
        """Count changes by their effect."""
        return sum(change.effect is effect for change in self.values)


@dataclass(frozen=True)
class _Files:
    """A file before and after."""

    file: str
    old_file: str
    old: Any
    new: Any


@dataclass(frozen=True)
class _Raw:
    """A difference before it is put into words."""

    steps: tuple[Step, ...]
    field: RuleField
    kind: Kind
    effect: Effect
    old: Any
    new: Any


def changes_of(old: Mapping[str, Any], new: Mapping[str, Any]) -> Changes:
    """Compare two sets of documents.

    Args:
        old: The older documents by path relative to the rules directory; those that calculate, no others.
        new: The newer ones.

    Returns:
        What differs; neither layout nor the order of keys does.
    """
    pairs = list(_pairs(old, new))
    changes = [change for files in pairs for change in _of_files(files)]
    values = [change for change in changes if not change.file.startswith(REFERENCE)]
    reference = tuple(change for change in changes if change.file.startswith(REFERENCE))
    # Sorting is stable, so that within a group the order of the file is kept.
    return Changes(
        values=tuple(sorted(values, key=_order)),
        reference=reference,
        only_order=not changes and not same(old, new),
    )


def relative(old: object, new: object) -> float | None:
    """Compare two figures.

    Args:
        old: The older one.
        new: The newer one.

    Returns:
        New over old, less one (ratio); None unless both are numbers and the old one is not 0.
    """
    figures = [value for value in (old, new) if is_number(value)]
    if len(figures) < 2 or figures[0] == 0:
        return None
    return (figures[1] - figures[0]) / abs(figures[0])


def size_order(size: str | None) -> tuple[tuple[int, float, str], ...]:
    """Give what sizes are ordered by, so that M8 stands before M10.

    Args:
        size: The size, None for none.

    Returns:
        Its parts.
    """
    parts = re.findall(r"[0-9]+(?:\.[0-9]+)?|[^0-9]+", size or "")
    return tuple((0, float(part), "") if part[0].isdecimal() else (1, 0.0, part) for part in parts)


def _order(change: Change) -> tuple[Any, ...]:
    kinds = ("", "factors/", FAMILIES)
    directory = change.file[: change.file.rfind("/") + 1]
    place = kinds.index(directory) if directory in kinds else len(kinds)
    effect = tuple(Effect).index(change.effect)
    return (effect, place, change.file, size_order(change.size), change.embedment_mm or 0.0)


def _pairs(old: Mapping[str, Any], new: Mapping[str, Any]) -> Iterator[_Files]:
    gone = {file: document for file, document in old.items() if file not in new}
    come = {file: document for file, document in new.items() if file not in old}
    names = renames.renamed(gone, come)
    files = (old.keys() | new.keys()) - set(names.values())
    for file in sorted(files):
        old_file = names.get(file, file)
        yield _Files(file, old_file, old.get(old_file, ABSENT), new.get(file, ABSENT))


def _of_files(files: _Files) -> Iterator[Change]:
    field = root(files.file)
    if files.old is ABSENT or files.new is ABSENT:
        comes = files.old is ABSENT
        yield _told(
            files, _Raw((), field, "added" if comes else "removed", _of_file(files.file, comes), files.old, files.new)
        )
        return
    if files.file != files.old_file:
        yield _renaming(files, field)
    for raw in _between((), field, files.old, files.new):
        if files.file != files.old_file and raw.steps == (renames.RENAMED_WITH_THE_FILE,):
            continue
        yield _told(files, raw)


def _of_file(file: str, comes: bool) -> Effect:
    if file.startswith(FAMILIES):
        return Effect.LESS_SAFE if comes else Effect.SAFER
    return Effect.NONE if file.startswith(REFERENCE) else Effect.DEPENDS


def _renaming(files: _Files, field: RuleField) -> Change:
    told = _told(files, _Raw((), field, "renamed", Effect.NONE, files.old, files.new))
    names = (file.rpartition("/")[2].removesuffix(".json") for file in (files.old_file, files.file))
    old, new = names
    return replace(told, old=old, new=new, figures=0, summary=None)


def _between(steps: tuple[Step, ...], field: RuleField, old: Any, new: Any) -> Iterator[_Raw]:
    if same(old, new):
        return
    if isinstance(old, Mapping) and isinstance(new, Mapping):
        yield from _between_objects(steps, field, old, new)
    elif is_list(old) and is_list(new) and field.listing != "sequence":
        yield from _between_lists(steps, field, old, new)
    else:
        yield _Raw(steps, field, _kind(old, new), directions.of_values(field, old, new), old, new)


def _between_objects(
    steps: tuple[Step, ...], field: RuleField, old: Mapping[str, Any], new: Mapping[str, Any]
) -> Iterator[_Raw]:
    for name in dict.fromkeys((*new, *old)):
        before, after = old.get(name, ABSENT), new.get(name, ABSENT)
        member = field.member(name)
        if field.is_map and (before is ABSENT or after is ABSENT):
            comes = before is ABSENT
            effect = directions.of_entry(field, comes=comes)
            yield _Raw((*steps, name), member, _kind(before, after), effect, before, after)
        else:
            yield from _between((*steps, name), member, before, after)


def _between_lists(steps: tuple[Step, ...], field: RuleField, old: Sequence[Any], new: Sequence[Any]) -> Iterator[_Raw]:
    before, after = _entries(field, old), _entries(field, new)
    from_or_to_empty = not old or not new
    for step in dict.fromkeys((*after, *before)):
        one, other = before.get(step, ABSENT), after.get(step, ABSENT)
        place = (*steps, step)
        if one is ABSENT or other is ABSENT:
            effect = directions.of_entry(field, comes=one is ABSENT, from_or_to_empty=from_or_to_empty)
            described = field if isinstance(step, Element) else field.entry()
            yield _Raw(place, described, _kind(one, other), effect, one, other)
        else:
            yield from _between(place, field.entry(), one, other)


def _entries(field: RuleField, values: Sequence[Any]) -> dict[Step, Any]:
    if field.listing == "set" and not any(map(is_group, values)):
        return {Element(written(value)): value for value in values}
    steps = places.keyed(field, values)
    return dict(enumerate(values)) if steps is None else dict(zip(steps, values, strict=True))


def _kind(old: object, new: object) -> Kind:
    if old is ABSENT or (old is None and isinstance(new, Mapping)):
        return "added"
    return "removed" if new is ABSENT or (new is None and isinstance(old, Mapping)) else "changed"


def _told(files: _Files, raw: _Raw) -> Change:
    gone = raw.new is ABSENT
    document = files.old if gone else files.new
    size, embedment = _fastener(files.file, raw.steps)
    whole = raw.old if gone or raw.new is None else raw.new
    comes_or_goes = raw.kind in {"added", "removed"} and is_group(whole)
    return Change(
        file=files.file,
        steps=raw.steps,
        pointer=places.pointer(root(files.file), document, raw.steps),
        kind=raw.kind,
        effect=raw.effect,
        old=or_null(raw.old),
        new=or_null(raw.new),
        title=title_of(files.file, document),
        size=size,
        embedment_mm=embedment,
        group=_group(files.file, raw.steps),
        words=_words(files.file, raw),
        symbol=raw.field.symbol,
        unit=raw.field.unit,
        null_words=raw.field.null_words,
        figures=len(list(_figures("", whole))) if comes_or_goes else 0,
        summary=_summary(files.file, raw.steps, whole) if comes_or_goes else None,
        old_file=files.old_file,
    )


def _fastener(file: str, steps: tuple[Step, ...]) -> tuple[str | None, float | None]:
    if not file.startswith(FAMILIES) or len(steps) < 2 or steps[0] != SIZES:
        return None, None
    size = str(steps[1])
    if len(steps) < 4 or steps[2] != EMBEDMENTS:
        return size, None
    try:
        return size, float(str(steps[3]))
    except ValueError:
        return size, None


def _words(file: str, raw: _Raw) -> str:
    if not raw.steps:
        family, reference = file.startswith(FAMILIES), file.startswith(REFERENCE)
        return "Family" if family else "Reference fixing" if reference else "File of rules"
    if file.startswith(FAMILIES) and _is_fastener(raw.steps):
        return {2: "Size", 4: "Embedment"}.get(len(raw.steps), raw.field.words)
    return raw.field.words


def _group(file: str, steps: tuple[Step, ...]) -> str | None:
    """Names of the groups a value stands in; size and embedment, which are told by themselves, left out."""
    field = root(file)
    names = []
    for depth, step in enumerate(steps):
        last = depth == len(steps) - 1
        if isinstance(step, Keyed):
            names.append(" ".join(step.values) + (f" ({step.occurrence + 1})" if step.occurrence else ""))
        elif isinstance(step, int):
            names.append(str(step + 1))
        elif isinstance(step, str) and field.is_map and not _is_fastener(steps[: depth + 1]):
            names.append(step)
        elif isinstance(step, str) and not last and not _is_fastener(steps[: depth + 1]):
            names.append(UNIT_SUFFIX.sub("", step).replace("_", " "))
        field = places.below(field, step)
    return ", ".join(names) or None


def _is_fastener(steps: tuple[Step, ...]) -> bool:
    """Whether the steps lead to the sizes, a size, its embedments, or an embedment."""
    return steps[0] == SIZES and (len(steps) <= 2 or (len(steps) <= 4 and steps[2] == EMBEDMENTS))


def _figures(name: str, value: object) -> Iterator[tuple[str, float]]:
    if isinstance(value, Mapping):
        for inner_name, inner in value.items():
            yield from _figures(f"{name} {inner_name}" if name else str(inner_name), inner)
    elif is_list(value):
        for inner in value:
            yield from _figures(name, inner)
    elif is_number(value):
        yield name, value


def _summary(file: str, steps: tuple[Step, ...], whole: Any) -> str | None:
    """What came or went, in short; None where it is short enough to be shown as it is."""
    figures = list(_figures("", whole))
    counted = f"{len(figures)} {'figure' if len(figures) == 1 else 'figures'}"
    if file.startswith(FAMILIES) and isinstance(whole, Mapping):
        if not steps:
            return f"{_listed('size', 'sizes', whole.get(SIZES))}; {counted}"
        if _is_fastener(steps) and len(steps) == 2:
            return f"{_listed('embedment', 'embedments', whole.get(EMBEDMENTS), ' mm')}; {counted}"
        if _is_fastener(steps) and len(steps) == 4:
            return counted
    if not steps:
        return counted
    if not figures:
        return None
    shown = ", ".join(f"{name.replace('_', ' ')} {value:g}".strip() for name, value in figures[:SHOWN_FIGURES])
    more = len(figures) - SHOWN_FIGURES
    return f"{shown} and {more} more" if more > 0 else shown


def _listed(one: str, many: str, entries: object, unit: str = "") -> str:
    names: Iterable[str] = entries if isinstance(entries, Mapping) else ()
    ordered = sorted(names, key=size_order)
    return f"{one if len(ordered) == 1 else many} {', '.join(ordered)}{unit}" if ordered else f"no {many}"
