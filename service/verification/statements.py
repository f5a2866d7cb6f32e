"""Statements as answers show them: code, severity, figures, and the English sentence for engineers made of these."""

from __future__ import annotations

from typing import Any

from service.contract.writing import rounded as rounded
from service.rulebook import Rulebook
from service.verification.assumptions import Assumption
from service.verification.requirements import Requirement
from service.words import Audience, Severity, Statement, Value, catalogue


def shown_figure(value: Value) -> Any:
    """A figure of a code: a rounded number, a word, a list of them, or null.

    Args:
        value: The figure.

    Returns:
        The same as JSON.
    """
    if value is None or isinstance(value, str):
        return value
    if isinstance(value, tuple):
        return [shown_figure(each) for each in value]
    return rounded(float(value))


def sentence(statement: Statement) -> str:
    """The English sentence of a statement, for engineers."""
    return catalogue(Audience.ENGINEER).sentence(statement)


def shown_statement(statement: Statement) -> dict[str, Any]:
    """Code, severity and figures of a statement."""
    return {
        "code": statement.word,
        "severity": statement.code.says.severity.value,
        "figures": {name: shown_figure(value) for name, value in statement.figures.items()},
    }


def shown_caution(statement: Statement) -> dict[str, Any]:
    """A caution as answers show it."""
    return shown_statement(statement) | {"text": sentence(statement)}


def shown_assumption(assumption: Assumption) -> dict[str, Any]:
    """An assumption as answers show it."""
    statement = assumption.statement
    return shown_statement(statement) | {"text": sentence(statement), "pointer": assumption.pointer}


def shown_requirement(requirement: Requirement) -> dict[str, Any]:
    """A requirement as answers show it."""
    statement = requirement.statement
    return shown_statement(statement) | {
        "met": requirement.met,
        "clause": requirement.clause,
        "detail": sentence(statement),
        "given": shown_figure(requirement.given),
        "limit": shown_figure(requirement.limit),
        "unit": requirement.unit,
        "rule": requirement.rule,
    }


def cautions_of_rulebook(rulebook: Rulebook) -> list[dict[str, Any]]:
    """The cautions that a rulebook brings to every answer, in its own words.

    Args:
        rulebook: The rulebook.

    Returns:
        The cautions; somebody has to decide on each, and none has figures.
    """
    return [
        {"code": caution["code"], "severity": Severity.DECIDE.value, "figures": {}, "text": caution["text"]}
        for caution in rulebook.document["cautions"]
    ]
