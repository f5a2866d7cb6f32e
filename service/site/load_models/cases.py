"""From situations to load cases: EN 1990, with the rulebook's partial factors of actions.

Design load cases have the permanent actions at their most, at their least, and alone. Weight that holds a thing down is
at its least with the factor of static equilibrium. The characteristic actions say the same before any factor, to be
combined with others by the service.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict, astuple
from typing import Any

from service.contract.terms import LARGEST_KN, MOST_ACTIONS
from service.rulebook import Rulebook
from service.site.load_models.actions import NOTHING, Situation, Wrench
from service.verification.loads import holding_factor
from service.verification.refusal import Refusal, RefusedRequest
from service.verification.statements import rounded


def design_load_cases(situations: Sequence[Situation], rulebook: Rulebook) -> list[dict[str, Any]]:
    """Design load cases of situations, as a verification or a sizing takes them.

    EN 1990, Eq. (6.10) with one variable action.

    Args:
        situations: Characteristic actions.
        rulebook: The rulebook with its partial factors.

    Returns:
        The load cases, each once.

    Raises:
        RefusedRequest: The actions are larger than a load case of the API can be.
    """
    found: dict[tuple[float, ...], dict[str, Any]] = {}
    told: set[str] = set()
    for situation in situations:
        for words, sustained, total in _combined(situation, rulebook):
            share = rounded(sustained_share(sustained, total))
            name = f"{situation.name}, {words}"
            case = {"name": name, "kind": "design"} | components(total)
            told |= {name} if situation.told else set()
            found.setdefault((*astuple(total), share), case | {"sustained_share": share})
    largest = max(abs(component) for total in found for component in total)
    if largest > LARGEST_KN:
        most = f"a load case holds at most {LARGEST_KN:g}"
        words = f"the actions come to {largest:.6g} kN or kNm; {most}: check the inputs"
        raise RefusedRequest(Refusal("#", "above_maximum", words, {"maximum": LARGEST_KN}))
    worth = [case for case in found.values() if any(case[name] for name in asdict(Wrench()))]
    pulling = [case for case in worth if case["name"] in told or not _only_presses(case)]
    return pulling or worth[:1]


def actions_of(situations: Sequence[Situation], thing: str) -> list[dict[str, Any]]:
    """Characteristic actions of situations, as a verification or a sizing takes them.

    The weight is one permanent action, and what varies in each situation a variable one that excludes the others.

    Args:
        situations: Characteristic actions, alternatives.
        thing: What the weight is of, so that actions of several things can be posted together.

    Returns:
        The actions; none where the situations have no weight in common, or come to more than a request may have.
    """
    (weight, *others) = dict.fromkeys(situation.permanent for situation in situations)
    varying = [situation for situation in situations if not situation.variable.zero]
    if others or len(varying) + (not weight.zero) > MOST_ACTIONS:
        return []
    names = [situation.name for situation in varying]
    found = [
        {"name": situation.name, "kind": "variable"}
        | components(situation.variable)
        | {"sustained_share": rounded(sustained_share(situation.stays, situation.variable))}
        | ({"excludes": [name for name in names if name != situation.name]} if len(names) > 1 else {})
        for situation in varying
    ]
    if weight.zero:
        return found
    permanent = {"name": f"weight, {thing.lower()}", "kind": "permanent"} | components(weight)
    return [permanent | {"holding_down": holds_down(weight)}, *found]


def sustained_share(sustained: Wrench, total: Wrench) -> float:
    """Share of the tension that stays for long, α_sus (no unit).

    EN 1992-4:2018, 7.2.1.6: the ratio of sustained to total actions. Pull and moments can have different ones; the
    highest counts. A sustained moment that works against the only moment there is pulls nothing that the total pulls;
    in any other opposition the share is taken as 1.

    Args:
        sustained: Actions that stay, with their factors.
        total: All actions, with their factors.

    Returns:
        The share, between 0 and 1.
    """
    x, y = (sustained.moment_x_knm, total.moment_x_knm), (sustained.moment_y_knm, total.moment_y_knm)
    shares = [_share(*x, opposed=0.0 if _none(*y) else 1.0), _share(*y, opposed=0.0 if _none(*x) else 1.0)]
    if sustained.normal_kn > 0.0:
        shares.append(_share(sustained.normal_kn, total.normal_kn, opposed=1.0))
    return min(1.0, max(shares))


def _none(*values: float) -> bool:
    return all(abs(value) < NOTHING for value in values)


def _share(stays: float, whole: float, *, opposed: float) -> float:
    if _none(stays):
        return 0.0
    return stays / whole if stays * whole > 0.0 else opposed


def _combined(situation: Situation, rulebook: Rulebook) -> Iterator[tuple[str, Wrench, Wrench]]:
    """Words, sustained part and whole of each combination."""
    gamma = rulebook.document["partial_factors"]["actions"]
    variable = situation.variable * float(gamma["variable"])
    stays = situation.stays * float(gamma["variable"])
    high = situation.permanent * float(gamma["permanent_unfavourable"])
    favourable = holding_factor(rulebook) if holds_down(situation.permanent) else float(gamma["permanent_favourable"])
    low = situation.permanent * favourable
    if situation.permanent.zero:
        yield "design", stays, variable
        return
    yield "design, weight high", high + stays, high + variable
    if not situation.variable.zero:
        yield "design, weight low", low + stays, low + variable
        yield "design, weight alone", high, high


def holds_down(permanent: Wrench) -> bool:
    """Whether the permanent actions press the thing on the concrete, so that weight keeps its balance.

    Args:
        permanent: What of the characteristic actions is permanent.

    Returns:
        Whether they do.
    """
    return permanent.normal_kn < -NOTHING


def components(wrench: Wrench) -> dict[str, float]:
    """Write a wrench by the names of the API (kN and kNm)."""
    # What the sines of right angles leave behind is no action.
    least = NOTHING * max(map(abs, wrench.all))
    return {name: rounded(value) if abs(value) > least else 0 for name, value in asdict(wrench).items()}


def _only_presses(case: dict[str, Any]) -> bool:
    return Wrench(*(case[name] for name in asdict(Wrench()))).only_presses
