"""What acts on a fixing: load cases as they are given, or actions combined by EN 1990; kN and kNm become N and Nmm."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from service.contract import wanted
from service.contract.terms import ACCIDENTAL, PERSISTENT
from service.contract.verification_codes import AssumptionCode
from service.engine import en1990
from service.engine.model import LoadCase
from service.rulebook import Rulebook
from service.verification.assumptions import Assumptions
from service.verification.fixing import N_PER_KN, NMM_PER_KNM
from service.verification.refusal import Refusal, RefusedRequest

MOST_COMBINATIONS = 400
"""How many combinations one answer may cost, counted before equal ones are left out."""

SHORT_DIGITS, ALL_DIGITS = 6, 17
"""Significant digits of factors in the name of a combination: as many as tell it from the others."""
UNITS = (N_PER_KN, N_PER_KN, N_PER_KN, NMM_PER_KNM, NMM_PER_KNM, NMM_PER_KNM)
"""Of the components of an action, in N and Nmm for kN and kNm."""


@dataclass(frozen=True, slots=True)
class Combined:
    """A combination of actions, and the name that its checks have."""

    name: str
    found: en1990.Combination
    characteristic: wanted.Components

    @property
    def components(self) -> wanted.Components:
        """Design forces and moments."""
        return wanted.Components(*self.found.components)

    @property
    def factors(self) -> tuple[Factor, ...]:
        """Each action that acts, with its factor."""
        return tuple(Factor(name, factor) for name, factor in self.found.factors.items())


@dataclass(frozen=True, slots=True)
class Factor:
    """What an action counts in a combination (no unit)."""

    action: str
    factor: float


@dataclass(frozen=True, slots=True)
class Loads:
    """What acts on the fixing of a request.

    Attributes:
        request: The request.
        rulebook: The rulebook with its partial factors of actions.
        combinations: Combinations of its actions; none where it has load cases.
    """

    request: wanted.Fixing
    rulebook: Rulebook
    combinations: tuple[Combined, ...]

    @property
    def number(self) -> int:
        """How many cases are verified, a characteristic load case counted once."""
        return len(self.combinations) or len(self.request.load_cases)

    def cases(self, situation: str, *, bonded: bool, assumptions: Assumptions) -> dict[str, tuple[LoadCase, ...]]:
        """The design load cases (N, Nmm) of each design situation in which anything acts.

        Args:
            situation: The situation of load cases; of a combination its equation says it.
            bonded: Whether it matters what of the actions stays for long.
            assumptions: Where it is noted what was taken.

        Returns:
            Load cases by design situation, persistent first.
        """
        if not self.combinations:
            return {situation: tuple(_factored_cases(self.request.load_cases, self.rulebook, bonded, assumptions))}
        _note_what_is_taken(self.request.actions, self.rulebook, bonded, assumptions)
        made = [(each.found.accidental, _load_case(each, bonded=bonded)) for each in self.combinations]
        by_situation = {
            PERSISTENT: tuple(case for accidental, case in made if not accidental),
            ACCIDENTAL: tuple(case for accidental, case in made if accidental),
        }
        return {name: cases for name, cases in by_situation.items() if cases}


def loads_of(request: wanted.Fixing, rulebook: Rulebook) -> Loads:
    """Combine the actions of a request, where it has any.

    Args:
        request: The request.
        rulebook: The rulebook with its partial factors of actions.

    Returns:
        What acts on the fixing.

    Raises:
        RefusedRequest: There are too many combinations, or nothing acts in any.
    """
    given = request.actions
    if not given:
        return Loads(request, rulebook, ())
    actions, partial = tuple(_action(action) for action in given), partial_factors(rulebook)
    count = en1990.number_of_combinations(actions, partial)
    if count > MOST_COMBINATIONS:
        figures = {"came_to": count, "most": MOST_COMBINATIONS}
        words = (
            f"come to {count} combinations, and at most {MOST_COMBINATIONS} are verified: give permanent actions that "
            "are larger or smaller together one source, name in excludes what never acts together, or give design "
            "values as load_cases"
        )
        raise RefusedRequest(Refusal("#/actions", "too_many_combinations", words, figures))
    combined = _combined(tuple(en1990.combinations(actions, partial)), given)
    if not combined:
        raise RefusedRequest(Refusal("#/actions", "all_zero", "cancel each other in every combination"))
    return Loads(request, rulebook, combined)


def holding_factor(rulebook: Rulebook) -> float:
    """Partial factor of weight that holds a thing down, γ_G,inf of static equilibrium (no unit).

    EN 1990:2002, 6.4.1 and Table A1.2(A): where losing the balance is the question, weight that works against it counts
    less than the 1.0 of Table A1.2(B).

    Args:
        rulebook: The rulebook; releases before 2026.6.0 have no such factor.

    Returns:
        The factor; 0 where the rulebook has none, so that nothing rests on weight.
    """
    entry = rulebook.factors["load-models"].get("holding_down")
    return 0.0 if entry is None else float(entry["factor"])


def action_factors(case: wanted.LoadCase, rulebook: Rulebook) -> dict[str, float]:
    """Factor of a load case by combination (no unit): 1 for a design case, EN 1990, 6.4.3.2 for one of a record."""
    if case.factored:
        return {"design": 1.0}
    permanent = case.permanent_share
    if permanent is None:
        raise ValueError("a characteristic load case has its permanent share")
    gamma = partial_factors(rulebook)
    variable = gamma.variable * (1.0 - permanent)
    factors = {"permanent_unfavourable": gamma.permanent_unfavourable * permanent + variable}
    if permanent > 0.0:
        factors["permanent_favourable"] = gamma.permanent_favourable * permanent + variable
    return factors


def partial_factors(rulebook: Rulebook) -> en1990.PartialFactors:
    """Partial factors of actions. EN 1990, Table A1.2(B).

    Args:
        rulebook: The rulebook.

    Returns:
        The factors (no unit).
    """
    gamma: Mapping[str, Any] = rulebook.document["partial_factors"]["actions"]
    reduction = gamma.get("permanent_reduction")
    return en1990.PartialFactors(
        permanent_unfavourable=float(gamma["permanent_unfavourable"]),
        permanent_favourable=float(gamma["permanent_favourable"]),
        variable=float(gamma["variable"]),
        holding_down=holding_factor(rulebook),
        permanent_reduction=None if reduction is None else float(reduction),
    )


def _holds_down(action: wanted.Action) -> bool:
    """Whether it counts as weight that holds down: any permanent action that does not say otherwise."""
    # What presses, turns back (a counterweight) or pushes back relieves; where it helps nothing, it decides nothing.
    return action.kind == "permanent" and action.holding_down is not False


def _action(given: wanted.Action) -> en1990.Action:
    psi_0, psi_1, psi_2, share = (
        1.0 if value is None else value for value in (given.psi_0, given.psi_1, given.psi_2, given.sustained_share)
    )
    return en1990.Action(
        name=given.name,
        kind=given.kind,
        components=given.all,
        source=given.source,
        excludes=frozenset(given.excludes),
        psi_0=psi_0,
        psi_1=psi_1,
        psi_2=psi_2,
        sustained_share=share,
        holding_down=_holds_down(given),
    )


def _combined(found: tuple[en1990.Combination, ...], given: tuple[wanted.Action, ...]) -> tuple[Combined, ...]:
    """Name combinations by their factors, with all digits where a few do not tell them apart."""
    short = Counter(_name(each, SHORT_DIGITS) for each in found)
    made = []
    for each in found:
        name = _name(each, SHORT_DIGITS)
        acting = [action.all for action in given if action.name in each.factors]
        characteristic = wanted.Components(*map(math.fsum, zip(*acting, strict=True)))
        made.append(Combined(name if short[name] == 1 else _name(each, ALL_DIGITS), each, characteristic))
    return tuple(made)


def _name(found: en1990.Combination, digits: int) -> str:
    return " + ".join(f"{factor:.{digits}g}·{action}" for action, factor in found.factors.items())


def _load_case(combined: Combined, *, bonded: bool) -> LoadCase:
    found = combined.found
    sustained = _case(combined.name, found.equation, found.sustained, 0.0) if bonded else None
    return _case(combined.name, found.equation, found.components, 0.0, sustained)


def _case(
    name: str,
    combination: str,
    components: en1990.Components,
    sustained_share: float,
    sustained: LoadCase | None = None,
    factor: float = 1.0,
) -> LoadCase:
    normal, shear_x, shear_y, moment_x, moment_y, torsion = (
        factor * unit * value for unit, value in zip(UNITS, components, strict=True)
    )
    return LoadCase(
        name=name,
        combination=combination,
        normal_n=normal,
        shear_x_n=shear_x,
        shear_y_n=shear_y,
        moment_x_nmm=moment_x,
        moment_y_nmm=moment_y,
        torsion_nmm=torsion,
        sustained_share=sustained_share,
        sustained=sustained,
    )


def _factored_cases(
    given: tuple[wanted.LoadCase, ...], rulebook: Rulebook, bonded: bool, assumptions: Assumptions
) -> Iterator[LoadCase]:
    for number, case in enumerate(given):
        share = case.sustained_share
        if share is None:
            share = 1.0
            if bonded:
                code, pointer = AssumptionCode.SUSTAINED_SHARE_NOT_GIVEN, f"#/load_cases/{number}/sustained_share"
                assumptions.add(code, pointer, load_case=case.name)
        for combination, factor in action_factors(case, rulebook).items():
            yield _case(case.name, combination, case.all, share, factor=factor)


def _note_what_is_taken(
    given: tuple[wanted.Action, ...], rulebook: Rulebook, bonded: bool, assumptions: Assumptions
) -> None:
    """What the actions leave open and counts: factors, source, and whether weight holds down."""
    permanent = sum(action.kind == "permanent" for action in given)
    for number, action in enumerate(given):
        place = f"#/actions/{number}"
        if action.kind == "permanent":
            if action.source is None and permanent > 1:
                assumptions.add(AssumptionCode.SOURCE_NOT_GIVEN, f"{place}/source", action=action.name)
            if action.holding_down is None and len(given) > 1:
                factor = holding_factor(rulebook)
                code = AssumptionCode.HOLDING_DOWN_NOT_GIVEN
                assumptions.add(code, f"{place}/holding_down", action=action.name, factor=factor)
        elif action.kind == "variable":
            if _psi_counts(action, given):
                assumptions.add(AssumptionCode.PSI_NOT_GIVEN, place, action=action.name)
            if bonded and action.sustained_share is None:
                code = AssumptionCode.ACTION_SUSTAINED_SHARE_NOT_GIVEN
                assumptions.add(code, f"{place}/sustained_share", action=action.name)


def _psi_counts(action: wanted.Action, given: tuple[wanted.Action, ...]) -> bool:
    """Whether a combination factor that is left open counts beside any other action."""
    for other in given:
        together = other is not action and other.name not in action.excludes and action.name not in other.excludes
        if together and other.kind == "variable" and action.psi_0 is None:
            return True
        if together and other.kind == "accidental" and None in {action.psi_1, action.psi_2}:
            return True
    return False
