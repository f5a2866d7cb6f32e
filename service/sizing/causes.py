"""Why a candidate or a family is rejected, with what was asked and what is allowed."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import groupby

from service.contract import wanted
from service.contract.sizing_codes import CauseCode
from service.contract.verification_codes import Edge, Mode
from service.sizing.candidates import Cause, CauseKind
from service.sizing.search import VERIFIED, FamilyResult, Judged, Terms
from service.verification import Assessment
from service.verification.answer import statement_of_limit
from service.verification.requirements import Requirement
from service.words import Audience, Code, Statement, Value, catalogue
from service.words.units import written

APPROVAL_CODES = ("approval", "approved_use")
# Where the request says what a requirement asks; of what it leaves open there, the less favourable way is taken.
FACTS: Mapping[str, tuple[tuple[str, str], ...]] = {
    "approved_use_redundant": (("use", "redundancy"),),
    "approved_use_non_structural": (("use", "structural"), ("use", "consequence")),
    "approved_use_dry_internal": (("use", "exposure"),),
    "use_not_excluded": (("use", "consequence"),),
    "exposure_allowed": (("use", "exposure"),),
    "hole_covered": (("use", "hole"),),
    "temperature_range_covered": (("use", "temperature_range"),),
    "overhead_allowed": (("use", "overhead"),),
    "redundant_use": (("use", "redundancy"),),
    "state_covered": (("member", "state"),),
    "strength_shown": (("member", "strength_class"),),
}


@dataclass(frozen=True, slots=True)
class Group:
    """Families that the same cause stops, with the cause of each; it has the names of its schema."""

    families: tuple[str, ...]
    causes: tuple[Cause, ...]

    @property
    def kind(self) -> CauseKind:
        """Kind of the cause."""
        return self.causes[0].kind

    @property
    def statement(self) -> Statement:
        """The cause with the figures that all of them have; None where they differ."""
        first, *others = (cause.statement for cause in self.causes)
        figures = {
            name: value if all(other.figures[name] == value for other in others) else None
            for name, value in first.figures.items()
        }
        return Statement(first.code, figures)

    @property
    def figure(self) -> float | str | None:
        """The figure of the cause where it is the same for all."""
        figures = {cause.figure for cause in self.causes}
        return figures.pop() if len(figures) == 1 else None

    @property
    def least(self) -> float | None:
        """The smallest of their figures; None where these are no numbers."""
        return min(self._numbers, default=None)

    @property
    def most(self) -> float | None:
        """The largest of them."""
        return max(self._numbers, default=None)

    @property
    def unit(self) -> str | None:
        """Unit of the figures."""
        return self.causes[0].unit

    @property
    def sentence(self) -> str:
        """What they have in common, for engineers."""
        first = self.causes[0]
        if all((cause.statement, cause.left_open) == (first.statement, first.left_open) for cause in self.causes):
            return first.sentence
        english = catalogue(Audience.ENGINEER)
        cause: dict[str, Value] = {"cause": english.name(_named(first))}
        if isinstance(self.figure, str):
            return english.say("{cause}: {figure}", **cause, figure=self.figure)
        if self.least is None or self.most is None:
            return english.name(_named(first))
        span: dict[str, Value] = {"least": self.least, "most": self.most}
        if self.kind == "mode":
            return english.say("{cause} over its resistance: utilisation {least:.5g} to {most:.5g}", **cause, **span)
        unit = written(self.unit or "")
        if self.least == self.most:
            return english.say("{cause}: {least:.3g} {unit}", **cause, least=self.least, unit=unit).rstrip()
        return english.say("{cause}: {least:.3g} to {most:.3g} {unit}", **cause, **span, unit=unit).rstrip()

    @property
    def _numbers(self) -> tuple[float, ...]:
        numbers = tuple(cause.figure for cause in self.causes if isinstance(cause.figure, int | float))
        return numbers if len(numbers) == len(self.causes) else ()


def _named(cause: Cause) -> Code:
    """The code that has the name of a cause in a few words: a mode that is over goes by its own."""
    return Mode(cause.code) if cause.kind == "mode" else cause.statement.code


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
    return (
        cause_of_candidate(result.nearest, terms) if result.nearest else Cause(Statement(CauseCode.NO_LAYOUT), "limit")
    )


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
        return Cause(statement_of_limit(assessment.scope_limits[0]), "scope")
    if assessment.unmet:
        first, *others = (_cause_of_requirement(unmet, terms.sizing) for unmet in assessment.unmet)
        return replace(first, also=(*others, *_check_behind(assessment, terms)))
    if assessment.governing is None:
        raise ValueError("nothing stops this candidate")
    return _used_too_much(assessment, terms, over=assessment.verdict != VERIFIED)


def _check_behind(assessment: Assessment, terms: Terms) -> Iterator[Cause]:
    """The check that would stop the candidate once its requirements were met."""
    used = assessment.utilisation
    if assessment.governing is not None and used is not None and used > terms.utilisation_max:
        yield _used_too_much(assessment, terms, over=used > 1.0)


def _used_too_much(assessment: Assessment, terms: Terms, *, over: bool) -> Cause:
    """A check that is over its resistance, or one that uses more of it than the request allows."""
    if assessment.governing is None or assessment.utilisation is None:
        raise ValueError("no check governs this candidate")
    mode, load_case, edge = assessment.governing
    figures: dict[str, Value] = {
        "mode": Mode(mode),
        **({"load_case": load_case} if over else {}),
        "edge": Edge(edge) if edge else None,
        "utilisation": assessment.utilisation,
        "utilisation_max": terms.utilisation_max,
    }
    if over:
        return Cause(Statement(CauseCode.MODE_OVER, figures), "mode")
    return Cause(Statement(CauseCode.UTILISATION, figures), "limit")


def _cause_of_requirement(unmet: Requirement, sizing: wanted.Sizing) -> Cause:
    kind: CauseKind = "approval" if unmet.code.startswith(APPROVAL_CODES) else "requirement"
    fact = open_fact(unmet.code, sizing)
    return Cause(unmet.statement, kind, None if fact is None else "#/" + "/".join(fact))


def open_fact(code: str, sizing: wanted.Sizing) -> tuple[str, str] | None:
    """Find the fact that a requirement is held against and the request leaves open.

    Args:
        code: Code of the requirement.
        sizing: The sizing.

    Returns:
        Part and name of the first; None where the request states them, or where the requirement asks for none.
    """
    for part, name in FACTS.get(code, ()):
        stated = getattr(getattr(sizing, part), name)
        if stated is None:
            return part, name
        if stated is True:
            # What is so decides alone, whatever the facts behind it.
            return None
    return None


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
        Group(names, tuple(causes[name] for name in names))
        for names in (tuple(found) for _, found in groupby(sorted(causes, key=key), key=key))
    ]
    return tuple(sorted(groups, key=lambda group: -len(group.families)))
