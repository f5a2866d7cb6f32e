"""From a thing to be fixed to load cases: one module a kind of thing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict
from datetime import date
from types import MappingProxyType
from typing import Any

from service.contract.load_model_codes import Caution, StepCode
from service.contract.things import consequence_of
from service.rulebook import Rulebook
from service.site.load_models import (
    eyebolt,
    guardrail_post,
    machine_base,
    pipe_clamp,
    racking_upright,
    soffit_hanger,
    wall_bracket,
)
from service.site.load_models.cases import (
    actions_of,
    components,
    design_load_cases,
    holds_down,
)
from service.site.load_models.inputs import (
    Disagreement,
    Given,
    RuleFigure,
    Told,
    contradictions,
    figure_of,
    unknown_words,
)
from service.site.load_models.model import LoadModel, ModelActions, Step, Surface, Working
from service.verification.answer import cautions_of_rules, rulebook_identity
from service.verification.assumptions import Assumption
from service.verification.loads import holding_factor
from service.verification.refusal import Refusal, RefusedRequest
from service.verification.selection import check_version
from service.verification.statements import cautions_of_rulebook, rounded, shown_assumption, shown_caution
from service.words import Audience, Statement, catalogue

MODELS: Mapping[str, LoadModel] = MappingProxyType({
    module.MODEL.name: module.MODEL
    for module in (
        guardrail_post,
        wall_bracket,
        soffit_hanger,
        racking_upright,
        pipe_clamp,
        machine_base,
        eyebolt,
    )
})
FACTORS = (
    ("γ_G", StepCode.FACTOR_OF_UNFAVOURABLE_PERMANENT_ACTIONS, "permanent_unfavourable"),
    ("γ_G,fav", StepCode.FACTOR_OF_FAVOURABLE_PERMANENT_ACTIONS, "permanent_favourable"),
    ("γ_Q", StepCode.FACTOR_OF_VARIABLE_ACTIONS, "variable"),
)


def load_cases(name: str, request: Mapping[str, Any], rulebook: Rulebook) -> dict[str, Any]:
    """Turn a thing to be fixed into load cases.

    Args:
        name: Name of a load model.
        request: What the model asks for, each field sound; ``assessed_on`` resolved.
        rulebook: The rulebook with loads, shares and partial factors.

    Returns:
        Design load cases and characteristic actions at the origin, the working, assumptions and cautions.

    Raises:
        RefusedRequest: Inputs contradict each other, or the rulebook does not know a word.
    """
    check_version(request.get("rulebook"), date.fromisoformat(request["assessed_on"]), rulebook)
    model = MODELS[name]
    given = model.given(request)
    refusals = [
        *unknown_words(given, rulebook),
        *(Refusal(f"#/{field}", code, words) for field, code, words in _disagreements(model, given)),
    ]
    if refusals:
        raise RefusedRequest(*refusals)
    working = Working()
    found = model.find(given, rulebook, working)
    _note_factors(found, rulebook, working)
    own = _cautions(model, found)
    told = tuple(given.told(found.idle, rulebook))
    return {
        "model": model.name,
        "title": model.title,
        "surface": asdict(found.surface),
        "load_cases": design_load_cases(found.situations, rulebook),
        "actions": actions_of(found.situations, model.title) or None,
        "situations": _situations(found),
        "working": [_step(step) for step in working.all()],
        "assumptions": _assumptions(given, found, rulebook),
        "cautions": [*own, *cautions_of_rules(rulebook), *cautions_of_rulebook(rulebook)],
        "use": {"consequence": _consequence(model, told)},
        "loads_from": {
            "load_model": model.name,
            "cautions": [caution["code"] for caution in own],
            "told": [asdict(one) for one in told],
        },
        "rulebook": rulebook_identity(rulebook),
        "assessed_on": request["assessed_on"],
    }


def surface_of(name: str, inputs: Mapping[str, Any], rulebook: Rulebook) -> Surface | None:
    """Say what surface a thing is fixed to, and so which way its axes point.

    Args:
        name: Name of a load model.
        inputs: What it was told, from which its loads follow; empty where that is not known.
        rulebook: The rulebook.

    Returns:
        The surface, None where several come into question.
    """
    model = MODELS[name]
    if len(model.surfaces) == 1:
        return model.surfaces[0]
    return model.find(model.given(inputs), rulebook, Working()).surface if inputs else None


def _disagreements(model: LoadModel, given: Given) -> Iterator[Disagreement]:
    yield from contradictions(given, model.exactly_one)
    yield from model.disagree(given)


def _note_factors(found: ModelActions, rulebook: Rulebook, working: Working) -> None:
    data = rulebook.document["partial_factors"]
    for symbol, words, name in FACTORS:
        rule = f"rulebook#/partial_factors/actions/{name}"
        working.ruled(symbol, words, RuleFigure(float(data["actions"][name]), rule, data["source"]["document"]), "1")
    if _rests(found):
        _note_holding_down(rulebook, working)


def _note_holding_down(rulebook: Rulebook, working: Working) -> None:
    if "holding_down" in rulebook.factors["load-models"]:
        figure = figure_of(rulebook, "load-models", "holding_down", "factor")
        working.ruled(
            "γ_G,stb",
            StepCode.FACTOR_OF_WEIGHT_THAT_HOLDS_DOWN,
            figure,
            "1",
        )
        return
    working.step(
        "γ_G,stb",
        StepCode.WEIGHT_NOT_COUNTED,
        holding_factor(rulebook),
        "1",
        "0",
    )


def _situations(found: ModelActions) -> list[dict[str, Any]]:
    return [
        {
            "situation": situation.name,
            "permanent": components(situation.permanent),
            "variable": components(situation.variable),
            "sustained": components(situation.permanent + situation.stays),
        }
        for situation in found.situations
    ]


def _step(step: Step) -> dict[str, Any]:
    return {
        "symbol": step.symbol,
        "code": step.says.code,
        "figures": dict(step.says.figures),
        "words": catalogue(Audience.ENGINEER).sentence(step.says),
        "value": rounded(step.value),
        "unit": step.unit,
        "expression": step.expression,
        "source": step.source,
        "rule": step.rule,
        "weighs": step.weighs,
    }


def _assumptions(given: Given, found: ModelActions, rulebook: Rulebook) -> list[dict[str, Any]]:
    notes = (Assumption(note, None) for note in found.notes)
    return [shown_assumption(assumption) for assumption in (*given.assumptions(found.idle, rulebook), *notes)]


def _consequence(model: LoadModel, told: Sequence[Told]) -> list[str] | None:
    """What comes of it for people if the fixing fails; None where the thing alone does not tell."""
    words = {one.input: one.word for one in told if one.word is not None}
    return [each.value for each in consequence_of(model.name, words)] or None


def _rests(found: ModelActions) -> bool:
    return any(holds_down(situation.permanent) for situation in found.situations)


def _cautions(model: LoadModel, found: ModelActions) -> list[dict[str, Any]]:
    resting = (Caution.WEIGHT_HOLDS_DOWN,) if _rests(found) else ()
    codes = (Caution.ACTIONS_TO_BE_CONFIRMED, *resting, *found.cautions, *model.cautions)
    return [shown_caution(Statement(code)) for code in codes]
