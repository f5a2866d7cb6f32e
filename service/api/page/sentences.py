"""The catalogue that the page makes its sentences from: names and sentences of codes, and its own texts."""

from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

from service.api.page.names import LISTS
from service.contract.known_codes import ENUMERATIONS, word_lists
from service.words import Audience, Catalogue, Code, Term, catalogue, figures_in


@cache
def page_words(language: str, directory: Path) -> dict[str, Any]:
    """Gather the catalogue of the page.

    Args:
        language: Code of the language.
        directory: Where the languages are.

    Returns:
        The catalogue, with the codes of every part of an answer.
    """
    words = catalogue(Audience.CREW, language, directory)
    lists = {name: tuple(listed) for name, listed in LISTS.items()} | word_lists()
    return {
        "language": language,
        "codes": {
            part: {code.value: _entry(code, words) for listed in kinds for code in listed}
            for part, kinds in ENUMERATIONS.items()
        },
        "names": {name: {code.value: words.name(code) for code in listed} for name, listed in lists.items()},
        "texts": dict(words.texts),
        "counted": {one: words.forms(one, many) for one, many in words.counted},
    }


def _entry(code: Code, words: Catalogue) -> dict[str, Any]:
    return {
        "sentences": list(_sentences(code.says.templates(Audience.CREW), words)),
        "shorts": list(_sentences(code.says.shorts, words)),
        "terms": {figure.name: figure.terms.__name__ for figure in code.says.figures if isinstance(figure, Term)},
    }


def _sentences(templates: Iterable[str], words: Catalogue) -> Iterator[dict[str, Any]]:
    for template in templates:
        yield {"says": words.translated(template), "asks": sorted(figures_in(template))}
