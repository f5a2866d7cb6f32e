"""An installation sheet as data: every figure with the place it was taken from."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Any


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure and where it comes from: a path of the rulebook, a place in the record, or an expression of others.

    Attributes:
        name: What it is, in lower snake case.
        value: The value; a word where the record or the rulebook has a word there.
        unit: Its unit; "1" for a ratio, "count" for a number of things.
        rule: Rulebook path that it stands at.
        from_: JSON pointer into the record that it stands at.
        expression: How it follows from other figures, in numbers, for a pocket calculator.
        of: The figures of the expression, each with its own origin.
    """

    name: str
    value: float | str
    unit: str
    rule: str | None = None
    from_: str | None = None
    expression: str | None = None
    of: tuple[Figure, ...] = ()

    @property
    def number(self) -> float:
        """The value as a number.

        Raises:
            TypeError: It is a word.
        """
        if isinstance(self.value, str):
            raise TypeError(f"{self.name} is a word")
        return self.value


def plain(value: float) -> str:
    """Write a number for an expression, without an exponent or a needless point.

    Args:
        value: The number.

    Returns:
        Its decimal digits.
    """
    return f"{value:.10g}"


def derived(name: str, unit: str, value: float, template: str, *of: Figure) -> Figure:
    """Make a figure that follows from others.

    Args:
        name: What it is.
        unit: Its unit.
        value: The value.
        template: The expression, with one pair of braces for each figure in turn.
        *of: The figures.

    Returns:
        The figure, its expression written in numbers; negative ones in brackets.
    """
    shown = [f"({plain(f.number)})" if f.number < 0 else plain(f.number) for f in of]
    whole = int(value) if float(value).is_integer() else value
    return Figure(name, whole, unit, expression=template.format(*shown), of=of)


def total(name: str, unit: str, parts: tuple[Figure, ...]) -> Figure:
    """Add figures up.

    Args:
        name: What the sum is.
        unit: Its unit.
        parts: The figures, at least one.

    Returns:
        The sum, or the figure itself where there is but one.
    """
    if len(parts) == 1:
        return parts[0]
    return derived(name, unit, math.fsum(f.number for f in parts), " + ".join(["{}"] * len(parts)), *parts)


@dataclass(frozen=True, slots=True)
class Line:
    """One thing that the crew reads, with the figures in its words.

    Attributes:
        text: The words, figures included.
        figures: The figures in them.
        rule: Rulebook path of the words where they are the rulebook's own.
        from_: Pointer into the record where they are the record's own.
        code: Stable code, where there is one.
    """

    text: str
    figures: tuple[Figure, ...] = ()
    rule: str | None = None
    from_: str | None = None
    code: str | None = None


@dataclass(frozen=True, slots=True)
class Tick(Line):
    """A condition that the crew ticks where it meets it.

    Attributes:
        in_step: Code of the step in which it is met; None: before starting.
    """

    in_step: str | None = None


def met_in(step: str | None, line: Line) -> Tick:
    """Say beside a condition in which step the crew meets it.

    Args:
        step: Code of the step; None: before starting.
        line: The condition.

    Returns:
        The tick.
    """
    return Tick(line.text, line.figures, line.rule, line.from_, line.code, step)


@dataclass(frozen=True, slots=True)
class Step:
    """A step of the work, in the order of the work."""

    code: str
    title: str
    lines: tuple[Line, ...]
    notice: str | None = None


@dataclass(frozen=True, slots=True)
class ResinRow:
    """Times of the resin in one range of temperature; a border counts to the row that asks for more care.

    Attributes:
        temperature_min: Lowest temperature.
        temperature_max: Highest temperature.
        working_range: For which temperatures the working time holds, in words.
        curing_range: For which temperatures the curing times hold, in words.
        working: Working time.
        curing_dry: Curing time in a dry hole.
        curing_wet: Curing time in a wet hole.
        holds: Whether its working time holds at the temperature given.
        holds_for_curing: Whether its curing time holds at the coldest temperature given.
    """

    temperature_min: Figure
    temperature_max: Figure
    working_range: str
    curing_range: str
    working: Figure
    curing_dry: Figure
    curing_wet: Figure
    holds: bool
    holds_for_curing: bool


@dataclass(frozen=True, slots=True)
class Resin:
    """The resin of a bonded fastener: how long it may be worked, how long it must be left, how much a hole takes."""

    rows: tuple[ResinRow, ...]
    concrete_temperature: Figure | None
    coldest_until_cured: Figure | None
    working: Figure | None
    curing: Figure | None
    volume_of_a_hole: Figure
    strokes_of_a_hole: Figure | None


@dataclass(frozen=True, slots=True)
class Distance:
    """A distance as it was verified, and the least that the assessment asks for."""

    code: str
    title: str
    verified: Figure
    least: Figure | None


@dataclass(frozen=True, slots=True)
class Side:
    """A side of the fixing, by its letter on the plan and the caller's own words."""

    name: str
    letter: str
    on_plan: str
    own_words: str | None
    to_edge: Figure | None


@dataclass(frozen=True, slots=True)
class Place:
    """Where a fastener stands, or is to stand."""

    number: int
    x: Figure
    y: Figure
    stands: bool = False


@dataclass(frozen=True, slots=True)
class AsBuilt:
    """What of a fixing stands by now, and what is left to do.

    Attributes:
        replaces: Id of the record whose sheet this one replaces; None: it is not known.
        standing: The fasteners that stand, by their numbers.
        to_set: Those that are still to be set.
        lines: The same in words, with what was moved, is missing or has another length.
        known: What was measured by now.
    """

    replaces: str | None
    standing: tuple[int, ...]
    to_set: tuple[int, ...]
    lines: tuple[Line, ...]
    known: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class Fastener:
    """What is bought."""

    family: str
    title: str
    mechanism: str
    size: str
    setting: str
    article_code: str
    length: Figure
    embedment: Figure
    per_fixing: Figure


@dataclass(frozen=True, slots=True)
class Blank:
    """Something that the crew writes down.

    Attributes:
        label: What.
        as_built: The field of the as-built check that it is told in, or of an aborted hole; None: it has none.
        asked: The figure that the sheet asks for; None where it asks for none.
        least: The least that it may be; None where it has none.
        most: The most that it may be; None where it has none.
        numbers: The fasteners that it is written down for; empty where it is once for the fixing, or for each hole.
    """

    label: str
    as_built: str | None = None
    asked: Figure | None = None
    least: Figure | None = None
    most: Figure | None = None
    numbers: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Form:
    """What the crew writes down: for each fastener, once for the fixing, and for each aborted hole."""

    each_fastener: tuple[Blank, ...]
    once: tuple[Blank, ...]
    aborted_hole: tuple[Blank, ...]


@dataclass(frozen=True, slots=True)
class JobLines:
    """Which job a fixing belongs to; None: the sheet leaves a line to write it on."""

    structure: str | None
    drawing: str | None
    revision: str | None
    issued_by: str | None
    call: str | None


@dataclass(frozen=True, slots=True)
class Proof:
    """What stands behind the sheet of a fixing."""

    record_id: str
    engine: str
    assessed_on: str
    utilisation: Figure | None
    governing: str | None


@dataclass(frozen=True, slots=True)
class FixingSheet:
    """The sheet of one fixing, made once or several times over."""

    number: int
    pointer: str
    reference: str | None
    as_built: AsBuilt | None
    job: JobLines
    holds: tuple[Line, ...]
    count: Figure
    proof: Proof
    fastener: Fastener
    fixture_thickness: Figure
    clearance_hole: Figure | None
    hole_diameter: Figure | None
    hole_depth: Figure | None
    sides: tuple[Side, ...]
    places: tuple[Place, ...]
    distances: tuple[Distance, ...]
    before_work: tuple[Line, ...]
    on_site: tuple[Tick, ...]
    steps: tuple[Step, ...]
    resin: Resin | None
    protective_equipment: tuple[Line, ...]
    to_fill_in: Form
    cautions: tuple[Line, ...]
    suspensions: tuple[Mapping[str, Any], ...]
    site_test: Any
    minutes: Figure


@dataclass(frozen=True, slots=True)
class Share:
    """What one piece of a fixing needs of a material, spares left out."""

    fixing: int
    quantity: Figure


@dataclass(frozen=True, slots=True)
class Material:
    """One line of the bill of materials; what is shared among fixings, as bits, has no shares."""

    kind: str
    title: str
    article_code: str | None
    quantity: Figure
    for_fixings: tuple[int, ...]
    per_fixing: tuple[Share, ...] = ()


@dataclass(frozen=True, slots=True)
class Sheet:
    """An installation sheet for one or several fixings, in one language."""

    language: str
    title: str
    job: str | None
    notice: str | None
    rulebook: Mapping[str, Any]
    fixings: tuple[FixingSheet, ...]
    materials: tuple[Material, ...]
    working_time: Figure


def as_json(value: Any) -> Any:
    """Write a part of a sheet out as plain data.

    Args:
        value: A part of a sheet.

    Returns:
        Dicts, lists, texts and numbers; `from_` is written `from`.
    """
    if hasattr(value, "__dataclass_fields__"):
        return {field.name.rstrip("_"): as_json(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, Mapping):
        return {name: as_json(inner) for name, inner in value.items()}
    return [as_json(inner) for inner in value] if isinstance(value, tuple | list) else value
