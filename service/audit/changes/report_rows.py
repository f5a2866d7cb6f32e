"""The cells of a report of changes in words, for whatever they are written in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from service.contract.changes import EFFECTS

NOTHING = "—"
HASH_SHOWN = 12
VALUE_SHOWN = 300
LONG_PERCENT = 999.5
SECTIONS = {
    "less_safe": "Less safe",
    "depends_on_the_fixing": "Depends on the fixing",
    "safer": "Safer",
    "none": "No effect on what passes",
}
COUNTED = {
    "less_safe": "less safe",
    "depends_on_the_fixing": "depending on the fixing",
    "safer": "safer",
    "none": "without effect",
}
EXPLAINED = {
    "less_safe": "More fixings pass, or more may be used, than before. Each needs a checker and an approver.",
    "depends_on_the_fixing": "Some fixings may pass that did not, others not. Each needs a checker and an approver.",
    "safer": "Fewer fixings pass, or less may be used, than before.",
    "none": "Texts, order and names; no check and no limit uses them.",
}
CAUTION = (
    "Effects are told field by field: which way a change of this one value goes while everything else stays. What a "
    "change does to a fixing, its verification shows. Where people can be hurt, the valid assessment of the very "
    "fastener, local codes and a licensed or chartered engineer decide."
)
HEADINGS = ("What", "Old", "New", "Change", "Effect", "Set by", "Reason")


@dataclass(frozen=True)
class Row:
    """A change in words.

    Attributes:
        place: Family or file, size and embedment.
        what: What changed.
        rule: Path in the rulebook.
        old: What stood there.
        new: What stands there.
        relative: By how much, in percent.
        effect: What it does to fixings.
        set_by: Commit, day, author, checker and approver.
        reason: Why.
        numeric: Whether old and new are figures.
    """

    place: str
    what: str
    rule: str
    old: str
    new: str
    relative: str
    effect: str
    set_by: tuple[str, ...]
    reason: str
    numeric: bool


@dataclass(frozen=True)
class Section:
    """Changes of one effect.

    Attributes:
        title: The effect as a heading.
        explained: What it means.
        rows: The changes.
    """

    title: str
    explained: str
    rows: tuple[Row, ...]


def title(report: Mapping[str, Any]) -> str:
    """Name a report."""
    return f"Rule changes from {_side(report['older'])} to {_side(report['newer'])}"


def counted(report: Mapping[str, Any]) -> str:
    """Count the changes of a report in one sentence."""
    counts = [f"{report['counts'][effect]} {COUNTED[effect]}" for effect in EFFECTS]
    reference = len(report["reference"])
    if not any(report["counts"].values()) and not reference:
        return "No rule changes."
    fixings = f"; {reference} {'change' if reference == 1 else 'changes'} of reference fixings" if reference else ""
    return f"Changes: {', '.join(counts)}{fixings}."


def sections(report: Mapping[str, Any]) -> Iterator[Section]:
    """Part the changes of a report by their effect, less safe first.

    Args:
        report: The report.

    Yields:
        A section for each effect that there is.
    """
    for effect, heading in SECTIONS.items():
        rows = tuple(_row(change, effect) for change in report["changes"] if change["effect"] == effect)
        if rows:
            yield Section(heading, EXPLAINED[effect], rows)


def reference(report: Mapping[str, Any]) -> Section | None:
    """Gather the changes of reference fixings."""
    # What a person expects is read first: changing it may hide what a change of the rules does.
    ordered = sorted(report["reference"], key=lambda change: not change["expectation"])
    rows = tuple(_row(change, "expectation" if change["expectation"] else "input") for change in ordered)
    explained = "What the rules are tried on. A changed expectation may hide what a change of the rules does: ask why."
    return Section("Reference fixings", explained, rows) if rows else None


def percent(relative: float | None) -> str:
    """Write a relative change.

    Args:
        relative: The change (ratio); None for none.

    Returns:
        It in percent with its sign.
    """
    if relative is None:
        return ""
    figure = 100 * relative
    # Beyond three digits an exponent would be harder to read than the digits.
    written = f"{figure:+.3g}" if abs(figure) < LONG_PERCENT else f"{figure:+.0f}"
    return f"{written} %".replace("-", "−")


def value_words(value: object, unit: str | None, null_means: str | None) -> str:
    """Write a value as people read it.

    Args:
        value: The value.
        unit: Its unit, None for none.
        null_means: What null stands for, where that is known.

    Returns:
        The words.
    """
    if value is None:
        return f"null ({null_means})" if null_means else "null"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return f"{value:.10g} {unit or ''}".rstrip()
    if isinstance(value, Mapping):
        words = ", ".join(f"{name}: {value_words(inner, None, None)}" for name, inner in value.items())
    elif isinstance(value, list | tuple):
        words = "; ".join(value_words(inner, None, None) for inner in value) or "none"
    else:
        words = str(value)
    return words if len(words) <= VALUE_SHOWN else words[: VALUE_SHOWN - 1] + "…"


def _row(change: Mapping[str, Any], effect: str) -> Row:
    return Row(
        place=_place(change),
        what=_what(change),
        rule=change["rule"],
        old=_cell(change, "old", nothing="added"),
        new=_cell(change, "new", nothing="removed"),
        relative=percent(change["relative"]),
        effect=effect.replace("_", " "),
        set_by=tuple(_set_by(change)),
        reason=(change["set_by"] or {}).get("reason") or "none given",
        numeric=any(isinstance(change[side], int | float) for side in ("old", "new")),
    )


def _cell(change: Mapping[str, Any], side: str, *, nothing: str) -> str:
    if change["kind"] == nothing:
        return NOTHING
    if change["summary"] is not None:
        return str(change["summary"])
    return value_words(change[side], change["unit"], change["null_means"])


def _place(change: Mapping[str, Any]) -> str:
    embedment = "" if change["embedment_mm"] is None else f", h_ef {change['embedment_mm']:g} mm"
    return f"{change['title']}{' ' + change['size'] if change['size'] else ''}{embedment}"


def _what(change: Mapping[str, Any]) -> str:
    words, symbol = change["words"], change["symbol"]
    named = words if symbol is None or symbol in words else f"{symbol}: {words}"
    group = f" ({change['group']})" if change["group"] else ""
    return f"{named}{group}" + ("" if change["kind"] == "changed" else f", {change['kind']}")


def _set_by(change: Mapping[str, Any]) -> Iterator[str]:
    commit = change["set_by"]
    if commit is None:
        yield f"not known: {change['not_attributed']}"
        return
    yield f"commit {commit['commit'][:HASH_SHOWN]}"
    yield str(commit["date"])
    yield f"author: {commit['author']}"
    yield f"checker: {commit['checker'] or 'none named'}"
    yield f"approver: {commit['approver'] or 'none named'}"
    for other in change["also_set_by"]:
        yield f"changed again in {other['commit'][:HASH_SHOWN]}: {other['reason'] or other['subject']}"


def _side(side: Mapping[str, Any]) -> str:
    version = f"version {side['version']}" if side["version"] else "rules without a version"
    commit = f"commit {side['commit'][:HASH_SHOWN]}" if side["commit"] else "no commit"
    return f"{version} ({commit})"
