"""Why a choice ranks where it does: each step of the selection order, and the reasons as codes with their figures."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from service.contract.sizing import RankingStep
from service.contract.sizing_codes import Availability, ReasonCode
from service.contract.verification_codes import Edge, Mode
from service.contract.writing import writer
from service.sizing.candidates import Cause
from service.sizing.causes import cause_of_candidate
from service.sizing.search import FamilyResult, Judged, Terms
from service.sizing.selection import deciding_criterion
from service.words import Audience, Statement, Value, catalogue

MM3_PER_CM3 = 1000.0
AHEAD: Mapping[str | None, ReasonCode] = {
    "fastener_count": ReasonCode.AHEAD_BY_FASTENER_COUNT,
    "drilled_volume": ReasonCode.AHEAD_BY_DRILLED_VOLUME,
    "preference_rank": ReasonCode.AHEAD_BY_PREFERENCE_RANK,
    "availability": ReasonCode.AHEAD_BY_AVAILABILITY,
    "utilisation": ReasonCode.AHEAD_BY_UTILISATION,
    None: ReasonCode.AHEAD_BY_NAME,
}
"""By the criterion that decides; None where none does."""
BEHIND: Mapping[str | None, ReasonCode] = {
    "fastener_count": ReasonCode.BEHIND_BY_FASTENER_COUNT,
    "drilled_volume": ReasonCode.BEHIND_BY_DRILLED_VOLUME,
    "preference_rank": ReasonCode.BEHIND_BY_PREFERENCE_RANK,
    "availability": ReasonCode.BEHIND_BY_AVAILABILITY,
    "utilisation": ReasonCode.BEHIND_BY_UTILISATION,
    None: ReasonCode.BEHIND_BY_NAME,
}


@dataclass(frozen=True, slots=True)
class Step:
    """One criterion of the selection order, with the figures of a choice and of the family that ranks next."""

    criterion: str
    value: float
    next_value: float | None
    decides: bool


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a choice passes, ranks where it does or has this size; with the cause where another one does not pass."""

    statement: Statement
    cause: Cause | None = None

    @property
    def sentence(self) -> str:
        """The sentence for engineers."""
        english = catalogue(Audience.ENGINEER)
        reason = english.sentence(self.statement)
        return (
            reason if self.cause is None else english.say("{reason}: {cause}", reason=reason, cause=self.cause.sentence)
        )


def steps(judged: Judged, following: Judged | None, order: Sequence[str]) -> list[dict[str, Any]]:
    """Show each step of the selection order against the next family.

    Args:
        judged: A choice.
        following: The best candidate of the family that ranks next, or None.
        order: The rulebook's `selection_order`.

    Returns:
        The `ranking` of the choice.
    """
    mine = judged.figures
    other = following.figures if following else None
    decisive = deciding_criterion(mine, other, order) if other else None
    write = writer(RankingStep)
    return [
        write(Step(name, mine.value(name), None if other is None else other.value(name), name == decisive))
        for name in order
    ]


def reasons(
    best_first: Sequence[FamilyResult], index: int, families: int, terms: Terms, shown: int
) -> tuple[Reason, ...]:
    """Say why a family is proposed at its rank, and why in this size and depth.

    Args:
        best_first: The families that pass, best first.
        index: Which of them.
        families: How many families were searched.
        terms: What the search went by.
        shown: How many are proposed.

    Returns:
        The reasons.
    """
    result = best_first[index]
    mine = _best(result)
    given = [_passing(mine, terms)]
    if len(best_first) == 1 and families > 1:
        given.append(_reason(ReasonCode.ONLY_FAMILY, families=families))
    if index == 0:
        given += [_ranked(AHEAD, mine, _best(other), terms) for other in best_first[1 : max(shown, 2)]]
    else:
        given.append(behind(mine, _best(best_first[index - 1]), terms))
    given.append(_size(result, terms))
    return tuple(given)


def behind(worse: Judged, better: Judged, terms: Terms) -> Reason:
    """Say why one family ranks behind another.

    Args:
        worse: The one behind.
        better: The one ahead of it.
        terms: What the search went by.

    Returns:
        The reason.
    """
    return _ranked(BEHIND, worse, better, terms)


def _reason(code: ReasonCode, **figures: Value) -> Reason:
    return Reason(Statement(code, figures))


def _ranked(codes: Mapping[str | None, ReasonCode], mine: Judged, other: Judged, terms: Terms) -> Reason:
    criterion = deciding_criterion(mine.figures, other.figures, terms.order)
    own = {} if criterion is None else _figure(criterion, mine)
    others = {} if criterion is None else _figure(criterion, other)
    title = str(other.candidate.fastener.family["title"])
    return _reason(codes[criterion], other=title, **own, **{f"other_{name}": value for name, value in others.items()})


def _figure(criterion: str, judged: Judged) -> dict[str, Value]:
    """The figure of a criterion by the name that it has in a reason."""
    value = judged.figures.value(criterion)
    if criterion == "drilled_volume":
        return {"drilled_volume_cm3": value / MM3_PER_CM3}
    if criterion == "availability":
        return {criterion: Availability(judged.candidate.fastener.family["availability"])}
    return {criterion: value}


def _passing(judged: Judged, terms: Terms) -> Reason:
    governing = judged.assessment.governing if judged.assessment else None
    if governing is None or judged.utilisation is None:
        return _reason(ReasonCode.PASSES_UNLOADED)
    mode, load_case, edge = governing
    return _reason(
        ReasonCode.PASSES,
        mode=Mode(mode),
        load_case=load_case,
        edge=Edge(edge) if edge else None,
        utilisation=judged.utilisation,
        utilisation_max=terms.utilisation_max,
    )


def _size(result: FamilyResult, terms: Terms) -> Reason:
    if result.cheaper is None:
        return _reason(ReasonCode.NOTHING_SMALLER)
    candidate = result.cheaper.candidate
    figures: dict[str, Value] = {
        "fastener_count": len(candidate.layout),
        "size": candidate.fastener.size,
        "embedment_mm": candidate.fastener.embedment_mm,
    }
    cause = cause_of_candidate(result.cheaper, terms)
    return Reason(Statement(ReasonCode.NEXT_SMALLER_FAILS, figures), cause)


def _best(result: FamilyResult) -> Judged:
    if result.best is None:
        raise ValueError("only a family that passes ranks")
    return result.best
