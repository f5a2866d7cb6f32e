"""The small rulebook in several versions, and records made by them."""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from service.audit.impact.outcome import documents_of
from service.rulebook import Rulebook, load
from service.rulebook.archive import ReleaseContent
from service.rulebook.book import of_documents
from service.rulebook.register import Entry
from service.rulebook.shelf import Release, Shelf
from service.rulebook.suspensions import Suspension
from service.rulebook.tree import of_parsed
from service.verification import verify

BASE = Path(__file__).parents[1] / "rules" / "base"
DAY = "2026-11-25"
VERSION = "2026.1.0"
NEWER = "2026.2.0"

REQUEST: dict[str, Any] = {
    "assessed_on": DAY,
    "fixing_reference": "PS4-pull-001",
    "fastener": {"family": "bolt", "size": "M12", "embedment_mm": 70, "length_mm": 115},
    "member": {"strength_class": "C25/30", "state": "cracked", "thickness_mm": 250, "edges": {"x_plus_mm": 150}},
    "positions": [{"x_mm": -50, "y_mm": 0}, {"x_mm": 50, "y_mm": 0}],
    "fixture": {
        "width_mm": 160, "depth_mm": 80, "thickness_mm": 10,
        "attached_section": {"width_mm": 60, "depth_mm": 60, "profile": "hollow"},
    },
    "load_cases": [{"name": "pull", "normal_kn": 4, "shear_x_kn": 1.5}],
    "use": {"exposure": "external", "hole": "dry", "overhead": False},
    "site": {"drilling": "hammer", "installer": "trained"},
    "detail": "full",
}


def base() -> Rulebook:
    return load(BASE)


def changed(book: Rulebook, version: str, values: Mapping[str, Any]) -> Rulebook:
    """Another version of a rulebook: values by "file#/pointer"."""
    documents = documents_of(book)
    documents["rulebook.json"]["version"] = version
    for fixing in book.reference:
        documents[f"reference/{fixing['id']}.json"]["request"].pop("rulebook", None)
    for place, value in values.items():
        file, _, pointer = place.partition("#/")
        *steps, last = pointer.split("/")
        part = documents[f"{file}.json"]
        for step in steps:
            part = part[int(step)] if isinstance(part, list) else part[step]
        part[last] = value
    return of_documents(documents, path=book.path, commit=None, state="released")


def shelf_of(*books: Rulebook, stopped: tuple[Suspension, ...] = ()) -> Shelf:
    """A shelf on which each rulebook is released."""
    people = ("reason", "author", "checker", "approver", "signatory")
    releases = tuple(
        Release(Entry(book.version, book.digest, DAY, *people), None, ReleaseContent(documents_of(book), None))
        for book in books
    )
    return Shelf(BASE, of_parsed({}, {}), None, releases, stopped, (), None)


def record_of(book: Rulebook, **parts: Any) -> dict[str, Any]:
    request = copy.deepcopy(REQUEST | parts)
    return {"request": request, "answer": verify(request, replace(book, suspensions=()))}


def values_in(part: Any, steps: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """Where the plain values of a document stand."""
    if isinstance(part, dict | list) and part:
        for step, inner in part.items() if isinstance(part, dict) else enumerate(part):
            yield from values_in(inner, (*steps, step))
    else:
        yield steps


def objects_in(part: Any, steps: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """Where the objects of a document stand."""
    if isinstance(part, dict):
        yield steps
    for step, inner in part.items() if isinstance(part, dict) else enumerate(part) if isinstance(part, list) else ():
        yield from objects_in(inner, (*steps, step))


def edited(document: Any, steps: tuple[str | int, ...], edit: Callable[[Any, str | int], None]) -> Any:
    """A copy of a document, edited at one place."""
    other = copy.deepcopy(document)
    part = other
    for step in steps[:-1]:
        part = part[step]
    edit(part, steps[-1])
    return other


def other_value(value: Any) -> Any:
    """Another value of the same type, as near as can be."""
    if isinstance(value, bool):
        return not value
    if isinstance(value, int | float):
        return value + 0.001 * max(1.0, abs(value))
    if isinstance(value, str):
        return f"{value}x"
    return "something" if value is None else [None]
