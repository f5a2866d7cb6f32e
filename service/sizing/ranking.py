"""Why a choice ranks where it does: each step of the selection order, and the same in words."""

from collections.abc import Mapping, Sequence
from typing import Any

from service.sizing.causes import cause_of_candidate
from service.sizing.search import FamilyResult, Judged, Terms
from service.sizing.selection import deciding_criterion
from service.sizing.words import words
from service.verification.statements import rounded

MM3_PER_CM3 = 1000.0
BETTER: Mapping[str, str] = {
    "fastener_count": "fewer fasteners",
    "drilled_volume": "less to drill",
    "preference_rank": "preferred by the company",
    "availability": "in the company's stores",
    "utilisation": "less of its resistance used",
}
WORSE: Mapping[str, str] = {
    "fastener_count": "more fasteners",
    "drilled_volume": "more to drill",
    "preference_rank": "less preferred by the company",
    "availability": "has to be ordered",
    "utilisation": "more of its resistance used",
}


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
    return [
        {
            "criterion": criterion,
            "value": rounded(mine.value(criterion)),
            "next_value": None if other is None else rounded(other.value(criterion)),
            "decides": criterion == decisive,
        }
        for criterion in order
    ]


def reasons(best_first: Sequence[FamilyResult], index: int, families: int, terms: Terms, shown: int) -> list[str]:
    """Say in words why a family is proposed at its rank, and why in this size and depth.

    Args:
        best_first: The families that pass, best first.
        index: Which of them.
        families: How many families were searched.
        terms: What the search went by.
        shown: How many are proposed.

    Returns:
        The `reasons` of the choice.
    """
    result = best_first[index]
    mine = _best(result)
    said = [_passing(mine, terms)]
    if len(best_first) == 1 and families > 1:
        said.append(
            f"The only one of {families} families that passes; what stops each of the others is under rejected."
        )
    if index == 0:
        said += [_ahead(mine, _best(other), terms) for other in best_first[1 : max(shown, 2)]]
    else:
        said.append(behind(mine, _best(best_first[index - 1]), terms))
    said.append(_size(result, terms))
    return said


def behind(worse: Judged, better: Judged, terms: Terms) -> str:
    """Say why one family ranks behind another.

    Args:
        worse: The one behind.
        better: The one ahead of it.
        terms: What the search went by.

    Returns:
        The reason in words.
    """
    return f"Behind {_title(better)}: {_difference(worse, better, terms, WORSE)}."


def _ahead(better: Judged, worse: Judged, terms: Terms) -> str:
    return f"Ahead of {_title(worse)}: {_difference(better, worse, terms, BETTER)}."


def _difference(mine: Judged, other: Judged, terms: Terms, phrases: Mapping[str, str]) -> str:
    criterion = deciding_criterion(mine.figures, other.figures, terms.order)
    if criterion is None:
        return "equal in every criterion, so by the order of the names"
    shown = [_figure(criterion, judged.figures.value(criterion)) for judged in (mine, other)]
    return f"{phrases[criterion]}, {shown[0]} against {shown[1]}"


def _figure(criterion: str, value: float) -> str:
    if criterion == "drilled_volume":
        return f"{value / MM3_PER_CM3:.3g} cm³"
    if criterion == "preference_rank":
        return f"rank {value:g}"
    return f"{value:.3g}"


def _passing(judged: Judged, terms: Terms) -> str:
    governing = judged.assessment.governing if judged.assessment else None
    if governing is None or judged.utilisation is None:
        return "Passes: no check is left to make, the fasteners are not loaded."
    mode, load_case, edge = governing
    where = f" at edge {words(edge)}" if edge else ""
    used = f"{words(mode)}{where} governs in load case '{load_case}', utilisation {judged.utilisation:.3g}"
    return f"Passes: {used} of {terms.utilisation_max:g} allowed."


def _size(result: FamilyResult, terms: Terms) -> str:
    if result.cheaper is None:
        return "Nothing smaller is offered in this family."
    name = result.cheaper.candidate.name
    return f"The next smaller of this family, {name}, does not pass: {_why_not(result.cheaper, terms)}."


def _why_not(judged: Judged, terms: Terms) -> str:
    return cause_of_candidate(judged, terms).detail


def _best(result: FamilyResult) -> Judged:
    if result.best is None:
        raise ValueError("only a family that passes ranks")
    return result.best


def _title(judged: Judged) -> str:
    return str(judged.candidate.fastener.family["title"])
