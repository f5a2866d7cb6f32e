"""The search through one family: cheapest candidates first, until one passes its checks."""

import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from heapq import heappop, heappush
from itertools import groupby, islice
from typing import Any

from service.contract import wanted
from service.contract.verification_codes import RequirementCode
from service.sizing.bounds import Bound
from service.sizing.candidates import (
    Candidate,
    Cause,
    candidate_obstacles,
    family_obstacles,
    fasteners,
)
from service.sizing.layouts import Layout, Rectangle
from service.sizing.selection import SelectionFigures, known_before_verification, selection_key
from service.verification import Assessment
from service.verification.statements import rounded

SIZING_ONLY = ("pattern", "limits", "max_choices")
# Candidates of a family that are sure to be over their resistance and are calculated all the same, to say by how much.
MOST_HOPELESS = 8
VERIFIED, OUTSIDE = "verified", "outside_scope"

Verify = Callable[[Mapping[str, Any]], Mapping[str, Any]]


@dataclass(frozen=True)
class Judge:
    """Who judges candidates: in short, in full, by bounds that spare the judgement, and under another request.

    The first bound is asked of every candidate and orders them; each that follows costs more than the one before.
    `assess_under` judges one candidate under another request, `under` gives who judges all of them under it.
    """

    assess: Callable[[Candidate], Assessment]
    verify: Verify
    bounds: Sequence[Callable[[Candidate], Bound]]
    assess_under: Callable[[wanted.Sizing, Candidate], Assessment]
    under: Callable[[wanted.Sizing], "Judge"]


@dataclass(frozen=True)
class Terms:
    """What every family is searched under; ``request`` is the request as it was read, for what is told of it."""

    request: Mapping[str, Any]
    sizing: wanted.Sizing
    layouts: tuple[Layout, ...]
    member: Rectangle
    plate: Rectangle
    hole_edge_factor: float
    order: tuple[str, ...]
    judge: Judge

    @property
    def limits(self) -> wanted.Limits:
        """The limits of the request."""
        return self.sizing.limits

    @property
    def utilisation_max(self) -> float:
        """The utilisation a choice may reach."""
        return self.sizing.limits.utilisation

    @cached_property
    def known(self) -> tuple[str, ...]:
        """The criteria that need no verification."""
        return known_before_verification(self.order)


@dataclass(frozen=True)
class Judged:
    """A candidate with either what spared its verification or the assessment of it."""

    candidate: Candidate
    obstacles: tuple[Cause, ...]
    assessment: Assessment | None

    @property
    def utilisation(self) -> float | None:
        """Utilisation of the governing check, as published; None where no check was made."""
        used = self.assessment.utilisation if self.assessment else None
        return None if used is None else rounded(used)

    @property
    def figures(self) -> SelectionFigures:
        """What the candidate is compared by; where no check is left, nothing is used."""
        return self.candidate.figures(self.utilisation or 0.0)

    def passes(self, utilisation_max: float) -> bool:
        """Tell whether the fixing is verified and within the utilisation asked for.

        Args:
            utilisation_max: The utilisation it may reach.

        Returns:
            True where sizing may propose it.
        """
        return self.assessment is not None and passes(self.assessment, utilisation_max)


@dataclass
class Tally:
    """What became of the candidates of a family."""

    assessed: dict[tuple[tuple[str, str, str], Layout], Assessment] = field(default_factory=dict)
    bounds: dict[tuple[int, tuple[str, str, str], Layout], Bound] = field(default_factory=dict)
    pruned: int = 0


@dataclass(frozen=True)
class FamilyResult:
    """What the search through one family found."""

    family: Mapping[str, Any]
    best: Judged | None
    cheaper: Judged | None
    nearest: Judged | None
    blocking: tuple[Cause, ...]
    candidates: tuple[Candidate, ...]
    verified: int
    pruned: int
    skipped_off_fixture: int

    @property
    def family_id(self) -> str:
        """Id of the family."""
        return str(self.family["id"])

    @property
    def title(self) -> str:
        """Title of the family."""
        return str(self.family["title"])


def passes(assessment: Assessment, utilisation_max: float) -> bool:
    """Tell whether an assessment lets a fixing be proposed.

    Args:
        assessment: The assessment.
        utilisation_max: The utilisation it may reach.

    Returns:
        True where it is verified and within that utilisation.
    """
    return assessment.verdict == VERIFIED and (assessment.utilisation or 0.0) <= utilisation_max


def verification_request(request: Mapping[str, Any], candidate: Candidate) -> dict[str, Any]:
    """Turn a sizing request and a candidate into a verification request.

    Args:
        request: The sizing request.
        candidate: The fastener and its positions.

    Returns:
        The request without what only sizing knows, with `fastener` and `positions`.
    """
    fastener = candidate.fastener
    kept = {name: value for name, value in request.items() if name not in SIZING_ONLY}
    return kept | {
        "fastener": {"family": fastener.family["id"], "size": fastener.size, "embedment_mm": fastener.embedment_mm},
        "positions": [{"x_mm": p.x_mm, "y_mm": p.y_mm} for p in candidate.layout],
    }


def search_family(family: Mapping[str, Any], terms: Terms) -> FamilyResult:
    """Find the best candidate of a family, or the nearest one.

    The candidates are taken in the rulebook's selection order as far as it is known beforehand. The first ones that
    pass then beat all that follow, so the search ends there. What a bound shows to fail is not verified.

    Args:
        family: The family as in the rulebook.
        terms: What the search goes by.

    Returns:
        The best candidate with the next cheaper one, or the nearest to passing; neither where the limits leave the
        whole family out.
    """
    blocking = family_obstacles(family, terms.limits)
    offered = tuple(in_order((Candidate(f, layout) for layout in terms.layouts for f in fasteners(family)), terms))
    if blocking:
        return FamilyResult(family, None, None, None, blocking, offered, 0, 0, 0)
    obstacles = [obstacles_of(candidate, terms) for candidate in offered]
    free = [candidate for candidate, found in zip(offered, obstacles, strict=True) if not found]
    skipped = sum(any(cause.code == RequirementCode.HOLE_EDGE_DISTANCE for cause in found) for found in obstacles)
    tally = Tally()
    best = first_that_passes(free, terms, tally)
    cheaper = nearest = None
    if best is None:
        stopped = [Judged(c, found, None) for c, found in zip(offered, obstacles, strict=True) if found]
        nearest = _nearest(free, stopped, terms, tally)
    else:
        cheaper = _next_cheaper(best.candidate, free, terms, tally)
    return FamilyResult(family, best, cheaper, nearest, (), offered, len(tally.assessed), tally.pruned, skipped)


def obstacles_of(candidate: Candidate, terms: Terms) -> tuple[Cause, ...]:
    """Say why a candidate need not be verified.

    Args:
        candidate: A fastener in a layout.
        terms: What the search goes by.

    Returns:
        What stops it.
    """
    hole_mm = terms.sizing.fixture.hole_diameter_mm if terms.sizing.fixture.plate else 0.0
    return candidate_obstacles(candidate, terms.limits, terms.plate, terms.hole_edge_factor, hole_mm)


def in_order(candidates: Iterable[Candidate], terms: Terms) -> list[Candidate]:
    """Sort candidates by what is known of them before verification.

    Args:
        candidates: The candidates.
        terms: What the search goes by.

    Returns:
        The cheapest first.
    """
    return sorted(candidates, key=lambda candidate: selection_key(candidate.figures(), terms.known))


def first_that_passes(candidates: Sequence[Candidate], terms: Terms, tally: Tally) -> Judged | None:
    """Go through candidates in order until some pass.

    Args:
        candidates: The candidates in order.
        terms: What the search goes by.
        tally: Where it is counted.

    Returns:
        The best of the first that pass, or None.
    """
    for tier in _tiers(candidates, terms):
        within = [candidate for candidate in tier if _admitted(candidate, terms, tally)]
        passing = [j for j in (judged(c, terms, tally) for c in within) if j.passes(terms.utilisation_max)]
        if passing:
            return min(passing, key=lambda j: selection_key(j.figures, terms.order))
    return None


def judged(candidate: Candidate, terms: Terms, tally: Tally) -> Judged:
    """Judge a candidate once.

    Args:
        candidate: A fastener in a layout.
        terms: What the search goes by.
        tally: Where the assessment is kept.

    Returns:
        The candidate with its assessment.
    """
    key = (candidate.fastener.row_key, candidate.layout)
    if key not in tally.assessed:
        tally.assessed[key] = terms.judge.assess(candidate)
    return Judged(candidate, (), tally.assessed[key])


def _admitted(candidate: Candidate, terms: Terms, tally: Tally) -> bool:
    bounds = (_bound(step, candidate, terms, tally) for step in range(len(terms.judge.bounds)))
    admitted = all(bound.admits(terms.utilisation_max) for bound in bounds)
    tally.pruned += not admitted
    return admitted


def _bound(step: int, candidate: Candidate, terms: Terms, tally: Tally) -> Bound:
    key = (step, candidate.fastener.row_key, candidate.layout)
    if key not in tally.bounds:
        tally.bounds[key] = terms.judge.bounds[step](candidate)
    return tally.bounds[key]


def _tiers(candidates: Iterable[Candidate], terms: Terms) -> Iterator[Iterable[Candidate]]:
    def key(candidate: Candidate) -> tuple[float, ...]:
        return selection_key(candidate.figures(), terms.known)

    return (tier for _, tier in groupby(candidates, key=key))


def _next_cheaper(best: Candidate, free: Sequence[Candidate], terms: Terms, tally: Tally) -> Judged | None:
    """The dearest of the cheaper candidates, in the layout in which it comes nearest to passing."""
    key = selection_key(best.figures(), terms.known)
    below = [candidate for candidate in free if selection_key(candidate.figures(), terms.known) < key]
    if not below:
        return None
    last = below[-1]
    alike = [c for c in below if c.fastener is last.fastener and len(c.layout) == len(last.layout)]
    return _nearest(alike, (), terms, tally)


Distance = tuple[bool, bool, int, float]


def _nearest(free: Sequence[Candidate], stopped: Sequence[Judged], terms: Terms, tally: Tally) -> Judged | None:
    """The candidate nearest to passing, the cheapest of those that are equally near."""
    # What is free to be verified comes before what a limit of the request stops. A bound says how near a candidate can
    # be at most, and the next bound says it more closely, so the search ends with the first one that none of the rest
    # can beat. How far off the hopeless are is found out for a few, the most hopeful first.
    first = sorted((_least_distance(_bound(0, c, terms, tally), terms), index) for index, c in enumerate(free))
    hopeless = (place for place, (least, _) in enumerate(first) if least[3] > terms.utilisation_max)
    waiting = [(least, index, 1) for least, index in first[: next(islice(hopeless, MOST_HOPELESS, None), None)]]
    best: tuple[Distance, int, Judged] | None = None
    while waiting:
        least, index, step = heappop(waiting)
        if best is not None and best[:2] <= (least, index):
            break
        if step < len(terms.judge.bounds):
            closer = _least_distance(_bound(step, free[index], terms, tally), terms)
            heappush(waiting, ((*least[:2], max(least[2], closer[2]), max(least[3], closer[3])), index, step + 1))
            continue
        found = judged(free[index], terms, tally)
        far = distance(found, terms)
        if best is None or (far, index) < best[:2]:
            best = (far, index, found)
    if best is not None:
        return best[2]
    return min(stopped, key=lambda j: (len(j.obstacles), _excess(j.obstacles[0])), default=None)


def _least_distance(bound: Bound, terms: Terms) -> Distance:
    return (False, False, bound.unmet, max(bound.utilisation, terms.utilisation_max))


def distance(found: Judged, terms: Terms) -> Distance:
    """Measure how far a candidate is from passing.

    Args:
        found: An assessed candidate.
        terms: What the search goes by.

    Returns:
        A sort key: within scope first, then fewest unmet requirements, then least over the limit.

    Raises:
        ValueError: It was not assessed.
    """
    if found.assessment is None:
        raise ValueError("only an assessed candidate has a distance")
    used = found.assessment.utilisation
    calculated = not any(requirement.decisive for requirement in found.assessment.unmet)
    least = terms.utilisation_max if calculated else math.inf
    over = least if used is None else max(used, least)
    return (False, found.assessment.verdict == OUTSIDE, len(found.assessment.unmet), over)


def _excess(cause: Cause) -> float:
    if isinstance(cause.figure, int | float) and isinstance(cause.limit, int | float):
        return abs(cause.figure - cause.limit)
    return math.inf
