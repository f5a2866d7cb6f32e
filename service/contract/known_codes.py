"""Every code that an answer under a rulebook may hold: the one register of their enumerations.

The codes that a version of the rulebook lists and the words in a language are both made from it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Any

from service.contract import as_built_codes, label_codes, load_model_codes, sheet_codes, site_test_codes, sizing_codes
from service.contract import verification_codes as verified
from service.contract.codes import CODES, FIGURES
from service.contract.load_models import inputs_taken
from service.rulebook import Rulebook
from service.words import Audience, Code, Meaning, Quantity, Severity, Term, Verbatim, figures_in

ENUMERATIONS: Mapping[str, tuple[type[Code], ...]] = MappingProxyType({
    "requirements": (verified.RequirementCode, verified.PullRequirementCode),
    "scope_limits": (verified.ScopeLimitCode,),
    "assumptions": (verified.AssumptionCode,),
    "cautions": (verified.CautionCode, verified.PullCautionCode),
    "open_readings": (verified.OpenReadingCode,),
    "reasons": (sizing_codes.ReasonCode,),
    "causes": (sizing_codes.CauseCode,),
    "relaxations": (sizing_codes.RelaxationCode,),
    "load_model_assumptions": (load_model_codes.InputTaken, load_model_codes.Note),
    "load_model_cautions": (load_model_codes.Caution,),
    "load_model_steps": (load_model_codes.StepCode,),
    "label_cautions": (label_codes.LabelCautionCode,),
    "label_assumptions": (label_codes.LabelAssumptionCode,),
    "label_limits": (label_codes.LimitCode,),
    "void": (label_codes.VoidCode,),
    "not_answered": (label_codes.NotAnsweredCode,),
    "improvements": (label_codes.ImprovementCode,),
    "improvement_cautions": (label_codes.ImprovementCautionCode,),
    "site_test_requirements": (site_test_codes.PlanRequirementCode,),
    "site_test_cautions": (site_test_codes.SiteTestCautionCode,),
    "as_built_requirements": (as_built_codes.AsBuiltRequirementCode,),
    "as_built_cautions": (as_built_codes.AsBuiltCautionCode,),
    "not_measured": (as_built_codes.Measurement,),
    "to_do": (as_built_codes.ToDoCode,),
    "sheet_lines": (sheet_codes.SheetLineCode,),
})
"""The enumerations of codes, by the part of an answer that holds them."""

OF_FIELDS: tuple[type[Code], ...] = (
    verified.Mode,
    verified.Verdict,
    verified.Combination,
    verified.FixtureFigure,
    label_codes.LoadMeaning,
    label_codes.TakenAs,
    sizing_codes.TorqueTool,
)
"""Lists of words that fields of answers hold, beside those among the figures of codes."""


def word_lists() -> dict[str, tuple[Code, ...]]:
    """Gather the lists of words that fields of answers and figures of codes come from.

    Returns:
        The words of each list, by its name.
    """
    codes = (code for kinds in ENUMERATIONS.values() for kind in kinds for code in kind)
    terms = (figure.terms for code in codes for figure in code.says.figures if isinstance(figure, Term))
    return {listed.__name__: _members(listed) for listed in (*OF_FIELDS, *terms)}


def _members(listed: type[Code]) -> tuple[Code, ...]:
    """The words of a list; the one of requirements is of two."""
    return verified.REQUIREMENTS if listed is verified.AskedCode else tuple(listed)


def known_codes(rulebook: Rulebook) -> dict[str, list[dict[str, Any]]]:
    """Gather the codes, those that the rulebook brings with it included.

    Args:
        rulebook: The rulebook.

    Returns:
        The codes as the contract lists them, by the part of an answer that holds them.
    """
    listed = {
        part: [_described(word, code.says) for kind in kinds for code in kind for word in _words(code, rulebook)]
        for part, kinds in ENUMERATIONS.items()
    }
    own = [_described(caution["code"], _of_rules(caution["text"])) for caution in rulebook.document["cautions"]]
    return listed | {"cautions": own + listed["cautions"], "faults": [*_faults()]}


def _faults() -> Iterator[dict[str, Any]]:
    for code, says in CODES.items():
        figures = [{"name": name, "meaning": FIGURES[name]} for name in says.figures]
        yield {"code": code, "meaning": says.meaning, "figures": figures}


def _words(code: Code, rulebook: Rulebook) -> Iterator[str]:
    """A code as answers hold it: with each of what may stand in its place, where one is left open in it."""
    open_places = figures_in(code.value)
    if not open_places:
        yield code.value
        return
    [name] = open_places
    yield from (code.format_map({name: word}) for word in _may_stand_for(code, rulebook))


def _may_stand_for(code: Code, rulebook: Rulebook) -> tuple[str, ...]:
    if code is verified.AssumptionCode.SITE_CONDITION_UNKNOWN:
        return tuple(rulebook.factors["site-conditions"]["conditions"])
    if code is sizing_codes.CauseCode.MODE_OVER:
        return tuple(mode.value for mode in verified.Mode)
    return inputs_taken(code)


def _of_rules(text: str) -> Meaning:
    return Meaning(text, text, severity=Severity.DECIDE, concerns=Audience.ENGINEER)


def _described(word: str, says: Meaning) -> dict[str, Any]:
    """Describe a code for who builds on the API; a step of a working, which is no finding, is good to know."""
    return {
        "code": word,
        "meaning": says.meaning,
        "severity": (says.severity or Severity.KNOW).value,
        "concerns": says.concerns.value,
        "figures": [_figure(figure) for figure in says.figures],
    }


def _figure(figure: Quantity | Term | Verbatim) -> dict[str, Any]:
    return {
        "name": figure.name,
        "unit": figure.unit if isinstance(figure, Quantity) else None,
        "words": [term.value for term in _members(figure.terms)] if isinstance(figure, Term) else None,
    }
