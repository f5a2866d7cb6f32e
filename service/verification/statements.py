"""Statements as answers show them: code, severity, figures, and the English sentence for engineers made of these."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from service.contract import common
from service.contract.writing import rounded as rounded
from service.contract.writing import writer
from service.rulebook import Rulebook
from service.verification.assumptions import Assumption
from service.verification.requirements import Requirement
from service.words import Audience, Severity, Statement, Value, catalogue

__all__ = [
    "Caution",
    "caution",
    "cautions_of_rulebook",
    "own_cautions",
    "rounded",
    "sentence",
    "shown_assumption",
    "shown_caution",
    "shown_requirement",
]


@dataclass(frozen=True, slots=True)
class Caution:
    """What to beware of: a statement, or what a rulebook says by a code of its own."""

    code: str
    severity: str
    text: Statement | str
    figures: Mapping[str, Value] = field(default_factory=dict)


def caution(statement: Statement) -> Caution:
    """A caution by a statement."""
    return Caution(statement.word, statement.code.says.weight.value, statement, statement.figures)


def sentence(statement: Statement) -> str:
    """The English sentence of a statement, for engineers."""
    return catalogue(Audience.ENGINEER).sentence(statement)


def own_cautions(rulebook: Rulebook) -> list[Caution]:
    """The cautions that a rulebook brings to every answer, in its own words.

    Args:
        rulebook: The rulebook.

    Returns:
        The cautions; somebody has to decide on each, and none has figures.
    """
    return [Caution(own["code"], Severity.DECIDE.value, own["text"]) for own in rulebook.document["cautions"]]


def cautions_of_rulebook(rulebook: Rulebook) -> list[dict[str, Any]]:
    """The cautions that a rulebook brings to every answer, as answers show them."""
    return [writer(common.Caution)(own) for own in own_cautions(rulebook)]


def shown_caution(statement: Statement) -> dict[str, Any]:
    """A caution as answers show it."""
    return writer(common.Caution)(caution(statement))


def shown_assumption(assumption: Assumption) -> dict[str, Any]:
    """An assumption as answers show it."""
    return writer(common.Assumption)(assumption)


def shown_requirement(requirement: Requirement) -> dict[str, Any]:
    """A requirement as answers show it."""
    return writer(common.Requirement)(requirement)
