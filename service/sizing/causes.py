"""Why a candidate or a family is rejected, with what was asked and what is allowed."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import groupby

from service.contract import wanted
from service.sizing.candidates import Cause, CauseKind
from service.sizing.search import VERIFIED, FamilyResult, Judged, Terms
from service.sizing.words import stop_words, words
from service.verification import Assessment
from service.verification.answer import statement_of_limit
from service.verification.requirements import Requirement
from service.verification.statements import rounded, sentence

APPROVAL_CODES = ("approval", "approved_use")
# Where the request says what a requirement asks; what it leaves open is taken the less favourable way.
FACTS: Mapping[str, tuple[str, str]] = {
    "exposure_allowed": ("use", "exposure"),
    "hole_covered": ("use", "hole"),
    "temperature_range_covered": ("use", "temperature_range"),
    "overhead_allowed": ("use", "overhead"),
    "redundant_use": ("use", "redundant"),
    "state_covered": ("member", "state"),
}
NO_LAYOUT = Cause("limit", "no_layout", "no grid of the pattern lies on the member")


@dataclass(frozen=True)
class Group:
    """Families that the same cause stops."""

    kind: CauseKind
    code: str
    detail: str
    families: tuple[str, ...]


def cause_of_family(result: FamilyResult, terms: Terms) -> Cause | None:
    """Say what stops a family.

    Args:
        result: What the search through it found.
        terms: What the search went by.

    Returns:
        The limit that leaves it out, or what stops its nearest candidate; None where one passes.
    """
    if result.best:
        return None
    if result.blocking:
        return result.blocking[0]
    return cause_of_candidate(result.nearest, terms) if result.nearest else NO_LAYOUT


def cause_of_candidate(judged: Judged, terms: Terms) -> Cause:
    """Say what stops a candidate.

    Args:
        judged: A candidate that does not pass.
        terms: What the search went by.

    Returns:
        What spared its verification, else what the assessment finds.

    Raises:
        ValueError: Nothing stops it.
    """
    if judged.obstacles:
        return judged.obstacles[0]
    if judged.assessment is None:
        raise ValueError("a candidate that was neither stopped nor assessed has no cause")
    return _cause_of_assessment(judged.assessment, terms)


def _cause_of_assessment(assessment: Assessment, terms: Terms) -> Cause:
    if assessment.scope_limits:
        first = assessment.scope_limits[0]
        return Cause("scope", first.code, sentence(statement_of_limit(first)))
    if assessment.unmet:
        return _cause_of_requirements(assessment.unmet, terms.sizing, _mode_behind(assessment, terms))
    if assessment.governing is None or assessment.utilisation is None:
        raise ValueError("nothing stops this candidate")
    mode, load_case, edge = assessment.governing
    used = assessment.utilisation
    where = f" at edge {words(edge)}" if edge else ""
    if assessment.verdict == VERIFIED:
        detail = f"{words(mode)}{where} uses {used:.3g}; limits.utilisation allows {terms.utilisation_max:g}"
        return Cause("limit", "utilisation", detail, used, terms.utilisation_max, "1")
    detail = f"{words(mode)}{where} {over(used)} in load case '{load_case}'"
    return Cause("mode", mode, detail, used, terms.utilisation_max, "1")


def over(used: float) -> str:
    """Put a utilisation over 1 into words.

    Args:
        used: The utilisation.

    Returns:
        How many times the resistance the action is.
    """
    shown = f"{used:.3g}"
    return "is just over its resistance" if shown == "1" else f"reaches {shown} times its resistance"


def _mode_behind(assessment: Assessment, terms: Terms) -> tuple[str, str] | None:
    """The mode that would stop the candidate once its requirements were met, and the same in words."""
    if (
        assessment.governing is None
        or assessment.utilisation is None
        or assessment.utilisation <= terms.utilisation_max
    ):
        return None
    mode = assessment.governing[0]
    return mode, f"{words(mode)} {over(assessment.utilisation)}"


def _cause_of_requirements(
    unmet: tuple[Requirement, ...], sizing: wanted.Sizing, mode_behind: tuple[str, str] | None
) -> Cause:
    first = unmet[0]
    behind = [mode_behind] if mode_behind else []
    others = ", ".join([*(stop_words(r.code) for r in unmet[1:]), *(said for _, said in behind)])
    detail = sentence(first.statement) + _asked(first, sizing) + (f" (also: {others})" if others else "")
    kind: CauseKind = "approval" if first.code.startswith(APPROVAL_CODES) else "requirement"
    also = (*(r.code for r in unmet[1:]), *(mode for mode, _ in behind))
    return Cause(kind, first.code, detail, first.given, first.limit, first.unit, also)


def _asked(requirement: Requirement, sizing: wanted.Sizing) -> str:
    """That what was held against a requirement was taken, as the request leaves it open."""
    if not isinstance(requirement.given, str) or not is_open(requirement.code, sizing):
        return ""
    return f"; not known, so taken as: {words(requirement.given)}"


def is_open(code: str, sizing: wanted.Sizing) -> bool:
    """Tell whether a requirement is held against a fact that the request leaves open.

    Args:
        code: Code of the requirement.
        sizing: The sizing.

    Returns:
        False where the request states the fact, or where the requirement asks for none.
    """
    if code not in FACTS:
        return False
    part, name = FACTS[code]
    return getattr(getattr(sizing, part), name) is None


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
    return stop_words(first.code) + "".join(_ranges(causes))


def _ranges(causes: list[Cause]) -> Iterator[str]:
    figures = [cause.figure for cause in causes]
    if len(set(figures)) == 1 and isinstance(figures[0], str):
        yield f": asked is {words(figures[0])}, which none of these allows"
    numbers = [figure for figure in figures if isinstance(figure, int | float)]
    if numbers and len(numbers) == len(causes):
        least, most = (f"{rounded(number):.3g}" for number in (min(numbers), max(numbers)))
        span = least if least == most else f"{least} to {most}"
        unit = " times the resistance" if causes[0].kind == "mode" else f" {causes[0].unit or ''}".removesuffix(" 1")
        yield f": {span}{unit}".rstrip()
