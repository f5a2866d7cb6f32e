"""From a thing to be fixed to load cases: one module a kind of thing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from types import MappingProxyType
from typing import Any

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
    characteristic_load_cases,
    components,
    design_load_cases,
    holding_factor,
    holds_down,
    permanent_share,
)
from service.site.load_models.cautions import CAUTIONS
from service.site.load_models.inputs import Given, RuleFigure, figure_of, unknown_words
from service.site.load_models.model import LoadModel, ModelActions, Step, Working
from service.verification.answer import cautions_of_rules, rounded, rulebook_identity
from service.verification.refusal import Refusal, RefusedRequest
from service.verification.selection import check_version

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
    ("γ_G", "partial factor of permanent actions where they are unfavourable", "permanent_unfavourable"),
    ("γ_G,fav", "partial factor of permanent actions where they are favourable", "permanent_favourable"),
    ("γ_Q", "partial factor of variable actions", "variable"),
)


def load_cases(name: str, request: Mapping[str, Any], rulebook: Rulebook) -> dict[str, Any]:
    """Turn a thing to be fixed into load cases.

    Args:
        name: Name of a load model.
        request: What the model asks for, each field sound; ``assessed_on`` resolved.
        rulebook: The rulebook with loads, shares and partial factors.

    Returns:
        Design and characteristic load cases at the origin, the working, what was assumed, and what to beware of.

    Raises:
        RefusedRequest: Inputs contradict each other, or the rulebook does not know a word.
    """
    check_version(request, rulebook)
    model = MODELS[name]
    given = model.given(request)
    refusals = [
        *unknown_words(given, rulebook),
        *(Refusal(f"#/{field}", code, words) for field, code, words in model.disagree(given)),
    ]
    if refusals:
        raise RefusedRequest(*refusals)
    working = Working()
    found = model.find(given, rulebook, working)
    _note_factors(found, rulebook, working)
    return {
        "model": model.name,
        "title": model.title,
        "surface": asdict(found.surface),
        "load_cases": design_load_cases(found.situations, rulebook),
        "characteristic_load_cases": characteristic_load_cases(found.situations),
        "actions": _actions(found),
        "working": [_step(step) for step in working.all()],
        "assumptions": _assumptions(given, found),
        "cautions": _cautions(model, found, rulebook),
        "rulebook": rulebook_identity(rulebook),
        "assessed_on": request["assessed_on"],
    }


def _note_factors(found: ModelActions, rulebook: Rulebook, working: Working) -> None:
    data = rulebook.document["partial_factors"]
    for symbol, words, name in FACTORS:
        rule = f"rulebook#/partial_factors/actions/{name}"
        working.ruled(symbol, words, RuleFigure(float(data["actions"][name]), rule, data["source"]["document"]), "1")
    if any(holds_down(situation) for situation in found.situations):
        _note_holding_down(rulebook, working)


def _note_holding_down(rulebook: Rulebook, working: Working) -> None:
    if "holding_down" in rulebook.factors["load-models"]:
        figure = figure_of(rulebook, "load-models", "holding_down", "factor")
        working.ruled("γ_G,stb", "partial factor of weight that holds the thing down, in place of γ_G,fav", figure, "1")
        return
    words = "weight that holds the thing down is not counted, in place of γ_G,fav: this rulebook has no factor for it"
    working.step("γ_G,stb", words, holding_factor(rulebook), "1", "0")


def _actions(found: ModelActions) -> list[dict[str, Any]]:
    actions = []
    for situation in found.situations:
        share = permanent_share(situation)
        actions.append({
            "situation": situation.name,
            "permanent": components(situation.permanent),
            "variable": components(situation.variable),
            "sustained": components(situation.permanent + situation.stays),
            "permanent_share": None if share is None else rounded(share),
        })
    return actions


def _step(step: Step) -> dict[str, Any]:
    return asdict(step) | {"value": rounded(step.value)}


def _assumptions(given: Given, found: ModelActions) -> list[dict[str, Any]]:
    notes = [{"code": code, "text": text, "pointer": None} for code, text in found.notes]
    return [*(asdict(assumption) for assumption in given.assumptions(found.idle)), *notes]


def _cautions(model: LoadModel, found: ModelActions, rulebook: Rulebook) -> list[dict[str, str]]:
    resting = ("weight_holds_down",) if any(holds_down(situation) for situation in found.situations) else ()
    own = [{"code": code, "text": CAUTIONS[code]} for code in ("actions_to_be_confirmed", *resting, *model.cautions)]
    general = [{"code": caution["code"], "text": caution["text"]} for caution in rulebook.document["cautions"]]
    return [*own, *cautions_of_rules(rulebook), *general]
