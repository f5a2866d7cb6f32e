"""The catalogue that the page makes its sentences from: names and sentences of codes, and its own texts."""

from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from service.api.page.names import LISTS
from service.contract import sizing_codes as sized
from service.contract import verification_codes as verified
from service.site.load_models import codes as load_models
from service.words import Audience, Catalogue, Code, Term, catalogue, figures_in

REQUIREMENTS = (verified.RequirementCode, verified.PullRequirementCode)
PARTS: Mapping[str, tuple[type[Code], ...]] = MappingProxyType({
    "requirements": REQUIREMENTS,
    "scope_limits": (verified.ScopeLimitCode,),
    "assumptions": (verified.AssumptionCode, load_models.Note),
    "cautions": (verified.CautionCode, verified.PullCautionCode, load_models.Caution),
    "steps": (load_models.StepCode,),
    "reasons": (sized.ReasonCode,),
    "causes": (*REQUIREMENTS, verified.ScopeLimitCode, sized.CauseCode),
    "relaxations": (sized.RelaxationCode,),
})
"""The lists of codes that each part of an answer may hold."""


@cache
def page_words(language: str, directory: Path) -> dict[str, Any]:
    """Gather the catalogue of the page.

    Args:
        language: Code of the language.
        directory: Where the languages are.

    Returns:
        The catalogue.
    """
    words = catalogue(Audience.CREW, language, directory)
    terms = dict.fromkeys(term.terms for code in _codes() for term in code.says.figures if isinstance(term, Term))
    lists = dict(LISTS) | {listed.__name__: listed for listed in terms}
    return {
        "language": language,
        "codes": {
            part: {code.value: _entry(code, words) for listed in kinds for code in listed}
            for part, kinds in PARTS.items()
        },
        "names": {name: {code.value: words.name(code) for code in listed} for name, listed in lists.items()},
        "texts": dict(words.texts),
        "counted": {one: words.forms(one, many) for one, many in words.counted},
    }


def _codes() -> Iterator[Code]:
    return (code for kinds in PARTS.values() for listed in kinds for code in listed)


def _entry(code: Code, words: Catalogue) -> dict[str, Any]:
    return {
        "sentences": list(_sentences(code.says.templates(Audience.CREW), words)),
        "shorts": list(_sentences(code.says.shorts, words)),
        "terms": {figure.name: figure.terms.__name__ for figure in code.says.figures if isinstance(figure, Term)},
    }


def _sentences(templates: Iterable[str], words: Catalogue) -> Iterator[dict[str, Any]]:
    for template in templates:
        yield {"says": words.translated(template), "asks": sorted(figures_in(template))}
