"""Combinations of actions of EN 1990:2002, 6.4.3, one function an equation; the formulas are from memory.

Actions have components in any units, as long as all of one place have the same. Partial factors are handed in: they are
determined nationally.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import product
from typing import Literal

Kind = Literal["permanent", "variable", "accidental"]
Components = tuple[float, ...]
Factors = dict[str, float]
"""What an action counts in a combination (no unit), by its name; one that is absent has none."""

SAME_DIRECTION_DIGITS = 12
"""Digits to which two directions agree that are taken as one."""


class Equation(StrEnum):
    """The equations of EN 1990:2002, 6.4.3, that combine actions."""

    EQ_6_10 = "eq_6_10"
    EQ_6_10A = "eq_6_10a"
    EQ_6_10B = "eq_6_10b"
    EQ_6_11 = "eq_6_11"


@dataclass(frozen=True, slots=True)
class Action:
    """A characteristic action; of an accidental one its design value A_d."""

    name: str
    kind: Kind
    components: Components
    source: str | None = None
    excludes: frozenset[str] = frozenset()
    psi_0: float = 1.0
    psi_1: float = 1.0
    psi_2: float = 1.0
    sustained_share: float = 1.0
    holding_down: bool = False


@dataclass(frozen=True, slots=True)
class PartialFactors:
    """Partial factors of actions (no unit); without a reduction of permanent actions Eq. (6.10) is used."""

    permanent_unfavourable: float
    permanent_favourable: float
    variable: float
    holding_down: float
    permanent_reduction: float | None = None


@dataclass(frozen=True, slots=True)
class Combination:
    """Actions that act together, with their factors, their sum and what of it stays for long."""

    equation: Equation
    leading: str | None
    factors: Factors
    components: Components
    sustained: Components

    @property
    def accidental(self) -> bool:
        """Whether it belongs to an accidental design situation."""
        return self.equation is Equation.EQ_6_11


def eq_6_10(
    permanent: Mapping[str, float], leading: Action | None, others: Sequence[Action], gamma_q: float
) -> Factors:
    """Σ γ_G·G + γ_Q·Q_1 + Σ γ_Q·ψ_0·Q_i. EN 1990:2002, 6.4.3.2, Eq. (6.10).

    Args:
        permanent: γ_G of each permanent action (no unit).
        leading: The leading variable action; None: no variable action acts.
        others: Those that accompany it.
        gamma_q: γ_Q (no unit).

    Returns:
        The factor of each action that acts.
    """
    led = {} if leading is None else {leading.name: gamma_q}
    return {**permanent, **led, **{action.name: gamma_q * action.psi_0 for action in others}}


def eq_6_10a(permanent: Mapping[str, float], variable: Sequence[Action], gamma_q: float) -> Factors:
    """Σ γ_G·G + Σ γ_Q·ψ_0·Q_i, the leading one among them. EN 1990:2002, 6.4.3.2, Eq. (6.10a).

    Args:
        permanent: γ_G of each permanent action (no unit).
        variable: The variable actions that act.
        gamma_q: γ_Q (no unit).

    Returns:
        The factor of each action that acts.
    """
    return eq_6_10(permanent, None, variable, gamma_q)


def eq_6_10b(
    permanent: Mapping[str, float],
    leading: Action | None,
    others: Sequence[Action],
    gamma_q: float,
    reduced: Iterable[str],
    xi: float,
) -> Factors:
    """Σ ξ·γ_G·G + γ_Q·Q_1 + Σ γ_Q·ψ_0·Q_i. EN 1990:2002, 6.4.3.2, Eq. (6.10b).

    Args:
        permanent: γ_G of each permanent action (no unit).
        leading: The leading variable action; None: no variable action acts.
        others: Those that accompany it.
        gamma_q: γ_Q (no unit).
        reduced: Permanent actions that are unfavourable; ξ stands on no other.
        xi: ξ (no unit).

    Returns:
        The factor of each action that acts.
    """
    less = {name: xi * permanent[name] for name in reduced}
    return eq_6_10({**permanent, **less}, leading, others, gamma_q)


def eq_6_11(
    permanent: Mapping[str, float], accidental: Action, leading: Action | None, others: Sequence[Action]
) -> Factors:
    """Σ G + A_d + ψ_1·Q_1 + Σ ψ_2·Q_i. EN 1990:2002, 6.4.3.3, Eq. (6.11).

    Where the standard leaves ψ_1 or ψ_2 of the leading action to the situation, ψ_1 is taken, which is not the smaller.

    Args:
        permanent: Factor of each permanent action (no unit), 1 but for weight that holds down.
        accidental: The accidental action.
        leading: The leading variable action; None: no variable action acts.
        others: Those that accompany it.

    Returns:
        The factor of each action that acts.
    """
    led = {} if leading is None else {leading.name: max(leading.psi_1, leading.psi_2)}
    accompany = {action.name: action.psi_2 for action in others}
    return {**permanent, accidental.name: 1.0, **led, **accompany}


@dataclass(frozen=True, slots=True)
class _Permanent:
    """Factors of the permanent actions, and which of them stand at their most."""

    factors: Factors
    unfavourable: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Together:
    """Actions that act together by an equation, their factors not yet made."""

    equation: Equation
    permanent: _Permanent
    accident: Action | None
    leading: Action | None
    others: tuple[Action, ...]

    def factors(self, partial: PartialFactors) -> Factors:
        """The factor of each action."""
        permanent, gamma_q = self.permanent.factors, partial.variable
        if self.accident is not None:
            return eq_6_11(permanent, self.accident, self.leading, self.others)
        if self.equation is Equation.EQ_6_10A:
            return eq_6_10a(permanent, self.others, gamma_q)
        if partial.permanent_reduction is None:
            return eq_6_10(permanent, self.leading, self.others, gamma_q)
        high, xi = self.permanent.unfavourable, partial.permanent_reduction
        return eq_6_10b(permanent, self.leading, self.others, gamma_q, high, xi)


def number_of_combinations(actions: Sequence[Action], partial: PartialFactors) -> int:
    """Count the ways in which actions may act together, before equal ones are left out; it makes none of them.

    Args:
        actions: The actions, their names different.
        partial: The partial factors of actions.

    Returns:
        The number.
    """
    return sum(1 for _ in _all_together(actions, partial))


def combinations(actions: Sequence[Action], partial: PartialFactors) -> tuple[Combination, ...]:
    """Combine actions in every way in which they may act together. EN 1990:2002, 6.4.3.2 and 6.4.3.3.

    Permanent actions of one source have one factor at a time, the unfavourable or the favourable one. Each variable
    action leads once, accompanies or is absent; accidental ones act one at a time. Left out are combinations without
    an action, equal ones but the first, and those that are a smaller multiple of another with no more of it sustained.

    Args:
        actions: The actions, their names different.
        partial: The partial factors of actions.

    Returns:
        The combinations, those of persistent situations first.
    """
    return _worth_verifying(_summed(actions, each, each.factors(partial)) for each in _all_together(actions, partial))


def _all_together(actions: Sequence[Action], partial: PartialFactors) -> Iterator[_Together]:
    for permanent in _permanents(actions, partial.permanent_unfavourable, partial.permanent_favourable, partial):
        yield from _persistent(actions, permanent, partial)
    for permanent in _permanents(actions, 1.0, 1.0, partial):
        yield from _accidental(actions, permanent)


def _permanents(actions: Sequence[Action], most: float, least: float, partial: PartialFactors) -> Iterator[_Permanent]:
    """Every choice of one factor for each source; an action without a source is one of its own."""
    sources: dict[tuple[str, str], list[Action]] = {}
    for action in actions:
        if action.kind == "permanent":
            key = ("alone", action.name) if action.source is None else ("source", action.source)
            sources.setdefault(key, []).append(action)
    choices = []
    for members in sources.values():
        held = any(action.holding_down for action in members)
        low = min(least, partial.holding_down) if held else least
        choices.append([(members, most, True), *([(members, low, False)] if low < most else [])])
    for chosen in product(*choices):
        factors = {action.name: gamma for members, gamma, _ in chosen for action in members}
        high = tuple(action.name for members, _, at_most in chosen if at_most for action in members)
        yield _Permanent(factors, high)


def _persistent(actions: Sequence[Action], permanent: _Permanent, partial: PartialFactors) -> Iterator[_Together]:
    reduced = partial.permanent_reduction is not None
    for acting in _acting_together([action for action in actions if action.kind == "variable"]):
        if reduced:
            yield _Together(Equation.EQ_6_10A, permanent, None, None, acting)
        equation = Equation.EQ_6_10B if reduced else Equation.EQ_6_10
        for leading, others in _led(acting, {action.name for action in acting if action.psi_0 < 1.0}):
            yield _Together(equation, permanent, None, leading, others)


def _accidental(actions: Sequence[Action], permanent: _Permanent) -> Iterator[_Together]:
    variable = [action for action in actions if action.kind == "variable"]
    for accident in (action for action in actions if action.kind == "accidental"):
        for acting in _acting_together([action for action in variable if not _exclusive(accident, action)]):
            for leading, others in _led(acting, {action.name for action in acting if action.psi_2 < action.psi_1}):
                yield _Together(Equation.EQ_6_11, permanent, accident, leading, others)


def _exclusive(one: Action, other: Action) -> bool:
    """Whether two actions never act together; it is enough that either says so."""
    return other.name in one.excludes or one.name in other.excludes


def _acting_together(variable: Sequence[Action]) -> Iterator[tuple[Action, ...]]:
    """Every choice of variable actions none of which excludes another, the empty one first."""
    yield ()
    for index, action in enumerate(variable):
        beside = [other for other in variable[index + 1 :] if not _exclusive(action, other)]
        for others in _acting_together(beside):
            yield (action, *others)


def _led(acting: tuple[Action, ...], more: set[str]) -> Iterator[tuple[Action | None, tuple[Action, ...]]]:
    """Each action that counts more where it leads, one of the others, or none where none acts; and those beside it."""
    even = next((index for index, action in enumerate(acting) if action.name not in more), None)
    if not acting:
        yield None, ()
    for index, leading in enumerate(acting):
        if leading.name in more or index == even:
            yield leading, acting[:index] + acting[index + 1 :]


def _summed(actions: Sequence[Action], together: _Together, factors: Factors) -> Combination:
    """The sum of what acts, exact before it is rounded, so that no order of the actions makes another figure."""
    acting = [(action, factors[action.name]) for action in actions if factors.get(action.name)]
    number = len(actions[0].components) if actions else 0
    total = _sum(number, ((factor, action) for action, factor in acting))
    sustained = _sum(number, ((factor * _sustained_share(action), action) for action, factor in acting))
    leading = None if together.leading is None else together.leading.name
    return Combination(together.equation, leading, {action.name: factor for action, factor in acting}, total, sustained)


def _sum(number: int, counted: Iterable[tuple[float, Action]]) -> Components:
    rows = [[factor * part for part in action.components] for factor, action in counted]
    return tuple(math.fsum(row[index] for row in rows) for index in range(number))


def _sustained_share(action: Action) -> float:
    """What of an action stays for long: all of a permanent one, nothing of an accident."""
    if action.kind == "permanent":
        return 1.0
    return action.sustained_share if action.kind == "variable" else 0.0


def _worth_verifying(found: Iterable[Combination]) -> tuple[Combination, ...]:
    """Leave out what another combination of the same direction covers; a fixing's use grows with its actions."""
    kept: dict[tuple[bool, Components, Components], list[Combination]] = {}
    every = []
    for combination in found:
        size = math.hypot(*combination.components)
        if size == 0.0:
            continue
        key = combination.accidental, _direction(combination.components), _direction(combination.sustained)
        rivals = kept.setdefault(key, [])
        if not any(_covers(rival, combination) for rival in rivals):
            rivals[:] = [rival for rival in rivals if not _covers(combination, rival)]
            rivals.append(combination)
            every.append(combination)
    remaining = {id(combination) for rivals in kept.values() for combination in rivals}
    return tuple(combination for combination in every if id(combination) in remaining)


def _covers(one: Combination, other: Combination) -> bool:
    """Whether one is at least as large as another of its direction, with at least as much of it sustained."""
    size, less = math.hypot(*one.components), math.hypot(*other.components)
    stays, stays_less = math.hypot(*one.sustained), math.hypot(*other.sustained)
    # Compared as products, with what rounding leaves behind, so that equal ones cover each other.
    nearly = 1.0 + 10.0**-SAME_DIRECTION_DIGITS
    return less <= size * nearly and stays_less * size <= stays * less * nearly


def _direction(components: Components) -> Components:
    size = math.hypot(*components)
    return tuple(round(part / size, SAME_DIRECTION_DIGITS) + 0.0 for part in components) if size else components
