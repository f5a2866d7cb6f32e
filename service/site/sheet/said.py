"""Saying anew, in the crew's words, what an answer says by a code with figures."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from service.contract.verification_codes import stated
from service.site.sheet.content import Figure, Line
from service.site.sheet.source import Source
from service.words import Code, Quantity, Statement, Term


def said(source: Source, entry: Mapping[str, Any], codes: Iterable[Code], place: str) -> Line:
    """Say an entry of the answer; in its recorded words where they are the rulebook's, or stand without figures.

    Args:
        source: The record with its rulebook.
        entry: The entry, a caution or an assumption.
        codes: The codes that it may be one of.
        place: JSON pointer to it in the record.

    Returns:
        The line.
    """
    statement = stated(entry, codes)
    if statement is None:
        return Line(entry["text"], from_=f"{place}/text", code=entry["code"])
    text = source.words.catalogue.sentence(statement)
    return Line(text, tuple(_figures(statement, f"{place}/figures")), from_=place, code=entry["code"])


def _figures(statement: Statement, place: str) -> Iterator[Figure]:
    """The figures of a statement that stand in its sentence as they are; a word from a list has a name there."""
    for figure in statement.code.says.figures:
        value, unit = statement.figures[figure.name], figure.unit if isinstance(figure, Quantity) else "1"
        if isinstance(figure, Term) or value is None:
            continue
        if isinstance(value, tuple):
            yield from (
                Figure(figure.name, one, unit, from_=f"{place}/{figure.name}/{i}") for i, one in enumerate(value)
            )
        else:
            yield Figure(figure.name, value, unit, from_=f"{place}/{figure.name}")
