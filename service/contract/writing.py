"""From results to the answer of the contract: one writer a schema, compiled once from its statement.

A field says by `of` where its value comes from; without it the value has the field's own name. Units are converted and
figures rounded here and nowhere else.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Mapping
from datetime import date
from functools import cache
from math import floor, isfinite, log10
from typing import Any

from marshmallow import Schema, fields

from service.contract.fields import Day, Items, Number, Part
from service.contract.statement import Figures, Free, RulesSchema, Sentence
from service.words import Audience, Statement, Value, catalogue

N_PER_KN = 1000.0
LARGEST_EXACT = 1e15
SIGNIFICANT = 6
_WHOLE = 10**SIGNIFICANT
"""Whole numbers below have no digit to lose."""

Writer = Callable[[Any], dict[str, Any]]
_Convert = Callable[[Any], Any]


def rounded(value: float) -> float:
    """A published figure: six significant digits, never minus zero and never anything but a finite number.

    A whole number is given as an integer, as its canonical form has it, so that the record needs no second look.

    Args:
        value: The figure.

    Returns:
        The rounded figure.

    Raises:
        ArithmeticError: When the figure is not finite.
    """
    figure = float(value)
    if not figure.is_integer() or not -_WHOLE < figure < _WHOLE:
        if not isfinite(figure):
            raise ArithmeticError("a figure of the answer is not finite")
        # As `float(f"{figure:.6g}")`, in half the time.
        figure = round(figure, SIGNIFICANT - 1 - floor(log10(abs(figure))))
        if not figure.is_integer() or not -LARGEST_EXACT < figure < LARGEST_EXACT:
            return figure
    return int(figure)


def shown_figure(value: Any) -> Any:
    """A figure of a code: a rounded number, a word, a list of them, or null."""
    kind = type(value)
    if kind is float or kind is int:
        return rounded(value)
    return [shown_figure(each) for each in value] if kind is tuple else value


@cache
def writer(schema: type[Schema]) -> Writer:
    """Compile what writes an object of an answer.

    Args:
        schema: The statement of the object.

    Returns:
        The function: it takes the object that the values come from, and leaves out what need not be there and is None.
    """
    stated = schema().fields
    used: dict[str, Any] = {}
    always, optional = [], []
    sources, shared = _sources(schema, stated)
    for name, field in stated.items():
        source, key = sources[name], field.data_key or name
        convert = _conversion(field)
        if convert is not None:
            used[f"to_{name}"] = convert
        given = f"{source} / {N_PER_KN}" if _in_newtons(field) else source
        entry = source if convert is None else f"to_{name}({given})"
        if field.required and not (field.allow_none and convert):
            always.append(f"{key!r}: {entry}")
        elif field.required:
            always.append(f"{key!r}: None if {source} is None else {entry}")
        else:
            optional.append(f"    if {source} is not None:\n        written[{key!r}] = {entry}\n")
    written = f"    written = {{{', '.join(always)}}}\n{''.join(optional)}"
    code = f"def write(source):\n{shared}{written}    return written\n"
    # Of names of fields and attributes that stand in this package, never of anything that a caller sends.
    exec(compile(code, f"<writer of {schema.__name__}>", "exec"), used)  # noqa: S102
    write: Writer = used["write"]
    return write


def _sources(schema: type[Schema], stated: Mapping[str, fields.Field[Any]]) -> tuple[dict[str, str], str]:
    """Where each value comes from, and the lines that fetch once what several come from."""
    if issubclass(schema, RulesSchema):
        return {name: f"source[{name!r}]" for name in stated}, ""
    paths = {name: getattr(field, "of", None) or name for name, field in stated.items()}
    # What `value` of an enumeration looks up on each call.
    paths = {name: re.sub(r"\.value$", "._value_", path) for name, path in paths.items()}
    roots = Counter(path.partition(".")[0] for path in paths.values())
    several = [root for root, times in roots.items() if times > 1]
    shared = "".join(f"    of_{root} = source.{root}\n" for root in several)
    return {
        name: f"of_{path}" if path.partition(".")[0] in several else f"source.{path}" for name, path in paths.items()
    }, shared


def _conversion(field: fields.Field[Any]) -> _Convert | None:
    """What is done to a value of a field; None: nothing."""
    if isinstance(field, Part):
        return writer(type(field.schema))
    if isinstance(field, Items):
        inner = _conversion(field.inner)
        return list if inner is None else lambda values: [inner(value) for value in values]
    if isinstance(field, Sentence):
        return _said()
    if isinstance(field, Figures):
        return _figures
    if isinstance(field, Free):
        return shown_figure
    if isinstance(field, Day):
        return _day
    if isinstance(field, Number):
        return rounded
    return None


def _in_newtons(field: fields.Field[Any]) -> bool:
    """Whether a field is in kN and the value that it comes from in N: its name ends so."""
    return isinstance(field, Number) and field.metadata["x-unit"] == "kN" and (field.of or "").endswith("_n")


def _figures(figures: Mapping[str, Value]) -> dict[str, Any]:
    return {name: None if value is None else shown_figure(value) for name, value in figures.items()}


def _said() -> Callable[[str | Statement], str]:
    """What makes a sentence of an answer: in English for engineers from a code, or as it is from a text."""
    of_statement = catalogue(Audience.ENGINEER).sentence
    return lambda said: said if isinstance(said, str) else of_statement(said)


def _day(day: date | str) -> str:
    return day if isinstance(day, str) else day.isoformat()
