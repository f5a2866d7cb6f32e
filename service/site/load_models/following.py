"""Whether the loads of a request follow from what its load models were told."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, fields
from typing import Any

from service.contract.codes import parted
from service.contract.coherence import OF_THE_LOADS, without_nulls
from service.contract.wanted import LoadMoved, LoadsFrom, made
from service.rulebook import Rulebook
from service.site.load_models import MODELS, load_cases
from service.site.load_models.actions import Wrench, moved_load
from service.verification.refusal import Refusal, RefusedRequest

COMPONENTS = tuple(field.name for field in fields(Wrench))
SAME_LOAD = 5e-6
"""What rounding may leave of kN or kNm where loads moved with their fixture, more than once."""
DESIGN = "design"
BESIDE = ("sustained_share", "holding_down", "psi_0", "psi_1", "psi_2", "excludes")
"""What else is said of a load."""
LOADS = ("load_cases", "actions")
ASK_ANEW = (
    "the loads of the request do not follow from what its load model was told: ask the load model anew and post all "
    "that it answers; what else acts stands beside it as loads of its own"
)


def differing(request: Mapping[str, Any], rulebook: Rulebook) -> Iterator[Refusal]:
    """Find load models whose inputs, as the request has them, do not give the loads of the request.

    Args:
        request: The request of a verification or a sizing, its day resolved; of a record it may also say of its load
            models what requests can say no more.
        rulebook: The rulebook that it is answered by.

    Yields:
        A reason for each, placed within the request.
    """
    given = without_nulls(request)
    for rule in OF_THE_LOADS:
        for path, message in rule(given):
            code, words, figures = parted(message)
            yield Refusal("".join(f"/{step}" for step in path), code, words, figures)
    for index, source in enumerate(given.get("loads_from", ())):
        told = made(LoadsFrom, source)
        if told.told and not _follow(given, told, rulebook):
            yield Refusal(f"/loads_from/{index}/told", "loads_differ", ASK_ANEW)


def asked_again(told: LoadsFrom, request: Mapping[str, Any], rulebook: Rulebook) -> dict[str, Any]:
    """Ask a load model again what it was told.

    Args:
        told: One of `loads_from`.
        request: The request that it stands in, its day resolved.
        rulebook: The rulebook that it is answered by.

    Returns:
        The answer of the load model, its loads where their fixture stands by now.

    Raises:
        RefusedRequest: The load model does not take what it was told.
    """
    day = {"assessed_on": request["assessed_on"], "rulebook": rulebook.version}
    found = load_cases(told.load_model, {**inputs_of(told), **day}, rulebook)
    moved = made(LoadMoved, (request.get("built") or {}).get("load_moved") or {"x_mm": 0.0, "y_mm": 0.0})
    return found | {part: [moved_load(one, moved.x_mm, moved.y_mm) for one in found[part] or ()] for part in LOADS}


def inputs_of(told: LoadsFrom) -> dict[str, float | str | None]:
    """Gather what a load model was told, without what it took.

    Args:
        told: One of `loads_from`.

    Returns:
        The values by input.
    """
    return {one.input: one.number if one.word is None else one.word for one in told.told if not one.taken}


def alike(one: Mapping[str, Any], other: Mapping[str, Any]) -> bool:
    """Say whether kind and components of two loads are the same.

    Args:
        one: A load; what it leaves out is 0, and one without a kind is a design load case.
        other: Another one.

    Returns:
        Whether they are the same.
    """
    pairs = ((float(one.get(name) or 0.0), float(other.get(name) or 0.0)) for name in COMPONENTS)
    same = all(math.isclose(first, second, rel_tol=0.0, abs_tol=SAME_LOAD) for first, second in pairs)
    return same and (one.get("kind") or DESIGN) == (other.get("kind") or DESIGN)


def _follow(request: Mapping[str, Any], told: LoadsFrom, rulebook: Rulebook) -> bool:
    """Whether all design load cases, or all actions, of a load model stand among those of the request."""
    model = MODELS.get(told.load_model)
    if model is None or not {one.input for one in told.told} <= {asked.name for asked in model.inputs}:
        return False
    try:
        found = asked_again(told, request, rulebook)
    except RefusedRequest:
        return False
    taken = [asdict(one) for one in model.given(inputs_of(told)).told((), rulebook)]
    if any(asdict(one) not in taken for one in told.told):
        return False
    return any(found[part] and _among(found[part], request.get(part) or ()) for part in LOADS)


def _among(wanted: Sequence[Mapping[str, Any]], given: Sequence[Mapping[str, Any]]) -> bool:
    return all(any(_as_hard(one, other) for other in given) for one in wanted)


def _as_hard(wanted: Mapping[str, Any], given: Mapping[str, Any]) -> bool:
    """Whether a load of the request acts as the one of the load model; what it leaves out counts at its worst."""
    said = {name: given.get(name) for name in BESIDE if given.get(name) is not None}
    return alike(wanted, given) and all(wanted.get(name) == told for name, told in said.items())
