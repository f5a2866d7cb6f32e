"""The codes of a verification: what each means, its severity, whom it concerns, its figures and its sentences.

Whoever emits a code uses the member. Clients tolerate codes that are added.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from service.contract.verification_codes.assumptions import AssumptionCode
from service.contract.verification_codes.cautions import CautionCode
from service.contract.verification_codes.plate import PlateNotChecked
from service.contract.verification_codes.pulls import (
    BaseState,
    Curing,
    Distance,
    PullCautionCode,
    PullRequirementCode,
    TestedState,
)
from service.contract.verification_codes.requirements import Asked, AskedCode, RequirementCode
from service.contract.verification_codes.scope import ScopeLimitCode
from service.contract.verification_codes.terms import (
    ApprovalStatus,
    Combination,
    ConcreteState,
    Edge,
    FixtureFigure,
    HoleState,
    Importance,
    Mechanism,
    Mode,
    Redundancy,
    Verdict,
)
from service.engine.open_readings import OPEN_READINGS
from service.rulebook import Rulebook
from service.words import Audience, Code, Meaning, Quantity, Severity, Statement, Term, Value, Verbatim

__all__ = [
    "ASSUMPTIONS",
    "CAUTIONS",
    "REQUIREMENTS",
    "SCOPE_LIMITS",
    "ApprovalStatus",
    "Asked",
    "AskedCode",
    "AssumptionCode",
    "BaseState",
    "CautionCode",
    "Combination",
    "ConcreteState",
    "Curing",
    "Distance",
    "Edge",
    "FixtureFigure",
    "HoleState",
    "Importance",
    "Mechanism",
    "Mode",
    "PlateNotChecked",
    "PullCautionCode",
    "PullRequirementCode",
    "Redundancy",
    "RequirementCode",
    "ScopeLimitCode",
    "TestedState",
    "Verdict",
    "codes_of",
    "described",
    "requirement_code",
    "stated",
]

REQUIREMENTS: tuple[Code, ...] = (*RequirementCode, *PullRequirementCode)
SCOPE_LIMITS: tuple[Code, ...] = tuple(ScopeLimitCode)
ASSUMPTIONS: tuple[Code, ...] = tuple(AssumptionCode)
CAUTIONS: tuple[Code, ...] = (*CautionCode, *PullCautionCode)
"""Beside these an answer repeats the cautions of the rulebook, each with a code of its own."""


def codes_of(rulebook: Rulebook) -> dict[str, list[dict[str, Any]]]:
    """Gather every code that an answer under a rulebook may hold, those that the rulebook brings with it included.

    Args:
        rulebook: The rulebook.

    Returns:
        The codes as the contract lists them, for each part of the answer.
    """
    conditions = rulebook.factors["site-conditions"]["conditions"]
    of_site = AssumptionCode.SITE_CONDITION_UNKNOWN
    own = [code for code in ASSUMPTIONS if code is not of_site]
    of_rulebook = {caution["code"]: caution["text"] for caution in rulebook.document["cautions"]}
    return {
        "requirements": _listed(REQUIREMENTS),
        "scope_limits": _listed(SCOPE_LIMITS),
        "assumptions": _listed(own) + [described(of_site.format(condition=name), of_site.says) for name in conditions],
        "cautions": _stated(of_rulebook, Severity.DECIDE) + _listed(CAUTIONS),
        "open_readings": _stated({code: read.text for code, read in OPEN_READINGS.items()}, Severity.KNOW),
    }


def described(word: str, says: Meaning) -> dict[str, Any]:
    """Describe a code for who builds on the API.

    Args:
        word: The code.
        says: What it means.

    Returns:
        Code, meaning, severity, whom it concerns and its figures.
    """
    return {
        "code": word,
        "meaning": says.meaning,
        "severity": says.severity.value,
        "concerns": says.concerns.value,
        "figures": [_figure(figure) for figure in says.figures],
    }


def requirement_code(word: str) -> AskedCode:
    """The requirement of a code word, as an answer holds it.

    Args:
        word: The code.

    Returns:
        The member.
    """
    return RequirementCode(word) if word in {code.value for code in RequirementCode} else PullRequirementCode(word)


def stated(entry: Mapping[str, Any], codes: Iterable[Code]) -> Statement | None:
    """Read back what an answer says by a code with figures, to say it for another audience or in another language.

    Args:
        entry: An entry of the answer, as a caution.
        codes: The codes that it may be one of.

    Returns:
        Code and figures; None where it is none of the codes, or its figures are not those that the code is stated
        with: an answer of contract version 1 has no figures.
    """
    code = next((code for code in codes if code == entry["code"]), None)
    if code is None:
        return None
    given, known = entry.get("figures", {}), code.says.figures
    if given.keys() != {figure.name for figure in known}:
        return None
    try:
        return Statement(code, {figure.name: _value(figure, given[figure.name]) for figure in known})
    except ValueError:
        # A word that this version does not list, of a later one.
        return None


def _value(figure: Quantity | Term | Verbatim, given: Any) -> Value:
    if isinstance(given, list):
        return tuple(_single(figure, each) for each in given)
    return None if given is None else _single(figure, given)


def _single(figure: Quantity | Term | Verbatim, given: float | str) -> float | str:
    if not isinstance(figure, Term):
        return given
    word = str(given)
    return requirement_code(word) if figure.terms is AskedCode else figure.terms(word)


def _listed(codes: Iterable[Code]) -> list[dict[str, Any]]:
    return [described(code.value, code.says) for code in codes]


def _stated(sentences: Mapping[str, str], severity: Severity) -> list[dict[str, Any]]:
    return [
        described(code, Meaning(text, text, severity=severity, concerns=Audience.ENGINEER))
        for code, text in sentences.items()
    ]


def _figure(figure: Quantity | Term | Verbatim) -> dict[str, Any]:
    return {
        "name": figure.name,
        "unit": figure.unit if isinstance(figure, Quantity) else None,
        "words": [term.value for term in figure.terms] if isinstance(figure, Term) else None,
    }
