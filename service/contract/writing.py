"""From results to the answer of the contract: one writer a schema, compiled once from its statement.

A field says by `of` where its value comes from; without it the value has the field's own name. Units are converted and
figures rounded here and nowhere else.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import cache
from typing import Any

from marshmallow import Schema, fields

from service.contract.fields import Items, Number, Part
from service.contract.statement import Free

N_PER_KN = 1000.0
LARGEST_EXACT = 1e15

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
    if not math.isfinite(value):
        raise ArithmeticError("a figure of the answer is not finite")
    figure = float(f"{value:.6g}")
    return int(figure) if figure.is_integer() and abs(figure) < LARGEST_EXACT else figure


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
    for name, field in stated.items():
        source = f"source.{getattr(field, 'of', None) or name}"
        convert = _conversion(field)
        if convert is not None:
            used[f"to_{name}"] = convert
        entry = source if convert is None else f"to_{name}({source})"
        if field.required and not (field.allow_none and convert):
            always.append(f"{name!r}: {entry}")
        elif field.required:
            always.append(f"{name!r}: None if {source} is None else {entry}")
        else:
            optional.append(f"    if {source} is not None:\n        written[{name!r}] = {entry}\n")
    code = f"def write(source):\n    written = {{{', '.join(always)}}}\n{''.join(optional)}    return written\n"
    # Of names of fields and attributes that stand in this package, never of anything that a caller sends.
    exec(compile(code, f"<writer of {schema.__name__}>", "exec"), used)  # noqa: S102
    write: Writer = used["write"]
    return write


def _conversion(field: fields.Field[Any]) -> _Convert | None:
    """What is done to a value of a field; None: nothing."""
    if isinstance(field, Part):
        return writer(type(field.schema))
    if isinstance(field, Items):
        inner = _conversion(field.inner)
        return list if inner is None else lambda values: [inner(value) for value in values]
    if isinstance(field, Free):
        return _figure
    if isinstance(field, Number):
        return _kilonewtons if field.metadata["x-unit"] == "kN" and _in_newtons(field) else rounded
    return None


def _in_newtons(field: Number) -> bool:
    """Whether the value that a field comes from is in N: its name ends so."""
    return (field.of or "").endswith("_n")


def _figure(value: Any) -> Any:
    return rounded(value) if type(value) in {int, float} else value


def _kilonewtons(value_n: float) -> float:
    return rounded(value_n / N_PER_KN)
