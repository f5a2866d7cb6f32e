"""Why a candidate or a family is rejected, with what was asked and what is allowed."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import groupby

from service.sizing.candidates import Cause, CauseKind
from service.sizing.search import VERIFIED, FamilyResult, Judged, rounded
from service.sizing.words import words
from service.verification import Assessment
from service.verification.requirements import Requirement

APPROVAL_CODES = ("approval", "approved_use")
NO_LAYOUT = Cause("limit", "no_layout", "no grid of the pattern lies on the member")


@dataclass(frozen=True)
class Group:
    """Families that the same cause stops."""

    kind: CauseKind
    code: str
    detail: str
    families: tuple[str, ...]


def cause_of_family(result: FamilyResult, utilisation_max: float) -> Cause | None:
    """Say what stops a family.

    Args:
        result: What the search through it found.
        utilisation_max: The utilisation a choice may reach.

    Returns:
        The limit that leaves it out, or what stops its nearest candidate; None where one passes.
    """
    if result.best:
        return None
    if result.blocking:
        return result.blocking[0]
    return cause_of_candidate(result.nearest, utilisation_max) if result.nearest else NO_LAYOUT


def cause_of_candidate(judged: Judged, utilisation_max: float) -> Cause:
    """Say what stops a candidate.

    Args:
        judged: A candidate that does not pass.
        utilisation_max: The utilisation a choice may reach.

    Returns:
        What spared its verification, else what the assessment finds.

    Raises:
        ValueError: Nothing stops it.
    """
    if judged.obstacles:
        return judged.obstacles[0]
    if judged.assessment is None:
        raise ValueError("a candidate that was neither stopped nor assessed has no cause")
    return _cause_of_assessment(judged.assessment, utilisation_max)


def _cause_of_assessment(assessment: Assessment, utilisation_max: float) -> Cause:
    if assessment.scope_limits:
        first = assessment.scope_limits[0]
        return Cause("scope", first.code, first.detail)
    if assessment.unmet:
        return _cause_of_requirements(assessment.unmet)
    if assessment.governing is None or assessment.utilisation is None:
        raise ValueError("nothing stops this candidate")
    mode, load_case, edge = assessment.governing
    used = assessment.utilisation
    where = f" at edge {words(edge)}" if edge else ""
    if assessment.verdict == VERIFIED:
        detail = f"{words(mode)}{where} uses {used:.3g}; limits.utilisation allows {utilisation_max:g}"
        return Cause("limit", "utilisation", detail, used, utilisation_max, "1")
    detail = f"{words(mode)}{where}: {times(used)} its resistance in load case '{load_case}'"
    return Cause("mode", mode, detail, used, utilisation_max, "1")


def times(used: float) -> str:
    """Put a utilisation over 1 into words.

    Args:
        used: The utilisation.

    Returns:
        How many times the resistance the action is.
    """
    return f"{used:.3g} times" if f"{used:.3g}" != "1" else "slightly over"


def _cause_of_requirements(unmet: tuple[Requirement, ...]) -> Cause:
    first = unmet[0]
    others = ", ".join(words(r.code) for r in unmet[1:])
    detail = first.detail + _asked(first) + (f" (also not met: {others})" if others else "")
    kind: CauseKind = "approval" if first.code.startswith(APPROVAL_CODES) else "requirement"
    return Cause(kind, first.code, detail, first.given, first.limit, first.unit)


def _asked(requirement: Requirement) -> str:
    if requirement.given is None or requirement.code.startswith(APPROVAL_CODES):
        return ""
    if isinstance(requirement.given, str):
        return f"; asked: {words(requirement.given)}"
    return f"; here {requirement.given:.4g} {requirement.unit or ''}".rstrip()


def grouped(causes: Mapping[str, Cause]) -> tuple[Group, ...]:
    """Group families that the same cause stops.

    Args:
        causes: The cause by family.

    Returns:
        A group for each kind and code, the largest first.
    """

    def key(family: str) -> tuple[str, str]:
        return causes[family].kind, causes[family].code

    groups = [
        Group(causes[names[0]].kind, causes[names[0]].code, _in_common([causes[name] for name in names]), names)
        for names in (tuple(found) for _, found in groupby(sorted(causes, key=key), key=key))
    ]
    return tuple(sorted(groups, key=lambda group: -len(group.families)))


def _in_common(causes: list[Cause]) -> str:
    first = causes[0]
    if all(cause.detail == first.detail for cause in causes):
        return first.detail
    return words(first.code) + "".join(_ranges(causes))


def _ranges(causes: Iterable[Cause]) -> Iterator[str]:
    listed = list(causes)
    figures = [cause.figure for cause in listed]
    if all(isinstance(figure, str) for figure in figures) and len(set(figures)) == 1:
        yield f": asked is {words(str(figures[0]))}, which none of these allows"
        return
    numbers = [rounded(float(figure)) for figure in figures if isinstance(figure, int | float)]
    if numbers and len(numbers) == len(listed):
        unit = listed[0].unit
        shown = [f"{number:.3g}" for number in (min(numbers), max(numbers))]
        span = shown[0] if shown[0] == shown[1] else f"{shown[0]} to {shown[1]}"
        yield (
            f": {span} times its resistance"
            if listed[0].kind == "mode"
            else f": {span} {unit if unit != '1' else ''}".rstrip()
        )
