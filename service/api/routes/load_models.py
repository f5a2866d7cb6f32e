"""Load models: from a thing to be fixed to load cases."""

from collections.abc import Callable
from dataclasses import asdict
from typing import Any

from service.api.operations import Call, bound
from service.contract.load_models import LIST_PATH, PATHS, operation_of
from service.rulebook import Rulebook
from service.site.load_models import MODELS, inputs, load_cases
from service.site.load_models.model import LoadModel
from service.verification.answer import rulebook_identity


def list_load_models(call: Call) -> dict[str, Any]:
    """List the load models with what each asks for."""
    version = call.query.get("rulebook")
    book = call.serving.rulebook
    if version is not None:
        book = call.rulebook(version, "rulebook")
    return {"models": [_summary(model, book) for model in MODELS.values()], "rulebook": rulebook_identity(book)}


def _summary(model: LoadModel, book: Rulebook) -> dict[str, Any]:
    return {
        "model": model.name,
        "title": model.title,
        "words": model.words,
        "path": f"{LIST_PATH}/{model.name}",
        "surfaces": [asdict(surface) for surface in model.surfaces],
        "inputs": [_input(asked, book) for asked in model.inputs],
        "exactly_one": model.exactly_one,
        "crew": asdict(model.crew) | {"words": model.crew.words or model.words},
    }


def _input(asked: inputs.Input, book: Rulebook) -> dict[str, Any]:
    told = {
        "name": asked.name,
        "title": asked.title,
        "meaning": asked.words,
        "required": asked.absent is None,
        "absent": asked.absent,
        "default": asked.default,
        "needed_where": asked.needed_where and asdict(asked.needed_where),
        "only_where": asked.only_where and asdict(asked.only_where),
        "crew": asdict(asked.crew)
        | {
            "label": asked.crew.label or asked.title,
            "hint": asked.crew.hint or asked.words,
            "left_empty": asked.crew.left_empty or asked.absent,
            "first": asked.crew.first or asked.absent is None,
        },
    }
    if isinstance(asked, inputs.NumberInput):
        kind = "whole_number" if asked.whole else "number"
        range_ = {"unit": asked.unit, "minimum": asked.minimum, "maximum": asked.maximum}
        return told | {"kind": kind, "allowed": None} | range_
    return told | {"kind": "word", "allowed": _allowed(asked, book), "unit": None, "minimum": None, "maximum": None}


def _allowed(asked: inputs.Input, book: Rulebook) -> list[dict[str, str]]:
    if isinstance(asked, inputs.RuleWord):
        titles = {word: str(entry["title"]) for word, entry in inputs.entries_of(book, asked).items()}
        words = inputs.words_of(book, asked)
        return [{"value": word, "title": titles.get(word, inputs.NOT_KNOWN)} for word in words]
    titles = dict(asked.titles) if isinstance(asked, inputs.Word) else {}
    return [{"value": value, "title": title} for value, title in titles.items()]


def _find_load_cases(name: str) -> Callable[[Call], dict[str, Any]]:
    def find(call: Call) -> dict[str, Any]:
        request, rulebook, _ = call.resolved()
        return load_cases(name, request, rulebook)

    return find


OPERATIONS = bound(
    PATHS,
    {"listLoadModels": list_load_models} | {operation_of(name): _find_load_cases(name) for name in MODELS},
)
