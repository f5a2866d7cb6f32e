"""Who copied a figure is not who checked it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from service.rulebook.finding import Finding, error, pointer_to
from service.rulebook.lint.draft import Draft

RULE = __name__.rpartition(".")[2]
SUMMARY = "transcribed_by and checked_by of each source are different roles"


def check(draft: Draft) -> Iterator[Finding]:
    """Who copied a figure is not who checked it."""
    for file, document in draft.documents.items():
        for steps, source in _sources(document, ()):
            if source["transcribed_by"].casefold() == source["checked_by"].casefold():
                yield error(
                    file,
                    pointer_to(*steps, "checked_by"),
                    RULE,
                    "the copy was checked by the one who made it",
                    found=f"{source['transcribed_by']}, {source['checked_by']}",
                    allowed="two different roles",
                    tip="have another role read the figures against the document",
                )


def _sources(value: object, steps: tuple[str | int, ...]) -> Iterator[tuple[tuple[str | int, ...], Mapping[str, str]]]:
    if isinstance(value, dict):
        for key, inner in value.items():
            if key == "source":
                yield (*steps, key), inner
            else:
                yield from _sources(inner, (*steps, key))
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            yield from _sources(inner, (*steps, index))
