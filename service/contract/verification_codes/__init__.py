"""The codes of a verification: what each means, its severity, whom it concerns, its figures and its sentences.

Whoever emits a code uses the member. Clients tolerate codes that are added.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from service.contract.load_model_codes import Caution as LoadModelCaution
from service.contract.verification_codes.assumptions import AssumptionCode
from service.contract.verification_codes.cautions import CautionCode
from service.contract.verification_codes.open_readings import OpenReadingCode
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
    CONSEQUENCES,
    ApprovalStatus,
    BaseMaterial,
    Combination,
    ConcreteState,
    Consequence,
    Edge,
    Filling,
    FixtureFigure,
    HoleState,
    Importance,
    Mechanism,
    Mode,
    Redundancy,
    SectionProfile,
    TestedMaterial,
    ToppingKind,
    Verdict,
)
from service.words import Code, Quantity, Statement, Term, Value, Verbatim

__all__ = [
    "ASSUMPTIONS",
    "CAUTIONS",
    "CONSEQUENCES",
    "REQUIREMENTS",
    "SCOPE_LIMITS",
    "ApprovalStatus",
    "Asked",
    "AskedCode",
    "AssumptionCode",
    "BaseMaterial",
    "BaseState",
    "CautionCode",
    "Combination",
    "ConcreteState",
    "Consequence",
    "Curing",
    "Distance",
    "Edge",
    "Filling",
    "FixtureFigure",
    "HoleState",
    "Importance",
    "Mechanism",
    "Mode",
    "OpenReadingCode",
    "PlateNotChecked",
    "PullCautionCode",
    "PullRequirementCode",
    "Redundancy",
    "RequirementCode",
    "ScopeLimitCode",
    "SectionProfile",
    "TestedMaterial",
    "TestedState",
    "ToppingKind",
    "Verdict",
    "requirement_code",
    "stated",
]

REQUIREMENTS: tuple[Code, ...] = (*RequirementCode, *PullRequirementCode)
SCOPE_LIMITS: tuple[Code, ...] = tuple(ScopeLimitCode)
ASSUMPTIONS: tuple[Code, ...] = tuple(AssumptionCode)
CAUTIONS: tuple[Code, ...] = (*CautionCode, *PullCautionCode, *LoadModelCaution)
"""Beside these an answer repeats the cautions of the rulebook, each with a code of its own."""


def requirement_code(word: str) -> AskedCode:
    """The requirement of a code word, as an answer holds it."""
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
