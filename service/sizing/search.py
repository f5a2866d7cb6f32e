"""A plain search through one family: cheapest candidates first, until one passes its checks."""

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from service.sizing.candidates import (
    HOLE_EDGE_DISTANCE,
    Candidate,
    Cause,
    CauseKind,
    candidate_obstacle,
    family_obstacle,
    fasteners,
)
from service.sizing.layouts import Layout, Rectangle
from service.sizing.selection import SelectionFigures, known_before_verification, selection_key
from service.sizing.words import words

Verify = Callable[[Mapping[str, Any]], Mapping[str, Any]]

APPROVAL_CODES = ("approval", "approved_use")
SIZING_ONLY = ("pattern", "limits", "max_choices")


@dataclass(frozen=True)
class Terms:
    """What every family is searched under."""

    request: Mapping[str, Any]
    layouts: tuple[Layout, ...]
    plate: Rectangle
    hole_edge_factor: float
    order: tuple[str, ...]
    verify: Verify

    @property
    def limits(self) -> Mapping[str, Any]:
        """The limits of the request, empty where it sets none."""
        return self.request.get("limits") or {}

    @property
    def utilisation_max(self) -> float:
        """The utilisation a choice may reach."""
        cap = self.limits.get("utilisation")
        return 1.0 if cap is None else float(cap)


@dataclass(frozen=True)
class Judged:
    """A candidate with either the limit that spared its verification or the verification's answer."""

    candidate: Candidate
    obstacle: Cause | None
    answer: Mapping[str, Any] | None

    @property
    def utilisation(self) -> float | None:
        """Utilisation of the governing check; None where no check was made."""
        governing = self.answer["governing"] if self.answer else None
        return None if governing is None else float(governing["utilisation"])

    @property
    def unmet(self) -> tuple[Mapping[str, Any], ...]:
        """Requirements that are not met."""
        return tuple(r for r in self.answer["requirements"] if not r["met"]) if self.answer else ()

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
        verified = self.answer is not None and self.answer["verdict"] == "verified"
        return verified and (self.utilisation or 0.0) <= utilisation_max


@dataclass(frozen=True)
class FamilyResult:
    """What the search through one family found."""

    family: Mapping[str, Any]
    best: Judged | None
    nearest: Judged | None
    cause: Cause | None
    candidates: int
    verified: int
    skipped_off_fixture: int


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
    """Find the best candidate of a family, or the nearest one and what stops it.

    The candidates are taken in the rulebook's selection order as far as it is known beforehand. The first ones that
    pass then beat all that follow, so the search ends there.

    Args:
        family: The family as in the rulebook.
        terms: What the search goes by.

    Returns:
        The best candidate, or the nearest with the cause that stops it.
    """
    stopped = family_obstacle(family, terms.limits)
    if stopped:
        return FamilyResult(family, None, None, stopped, 0, 0, 0)
    candidates = [Candidate(fastener, layout) for layout in terms.layouts for fastener in fasteners(family)]
    judged: list[Judged] = []
    best: Judged | None = None
    for tier in _tiers(candidates, terms.order):
        judged_tier = [judge(candidate, terms) for candidate in tier]
        judged += judged_tier
        best = _best(judged_tier, terms)
        if best:
            break
    verified = sum(j.answer is not None for j in judged)
    skipped = sum(j.obstacle is not None and j.obstacle.code == HOLE_EDGE_DISTANCE for j in judged)
    nearest = None if best or not judged else min(judged, key=_distance)
    cause = None if best else _cause(nearest, terms.utilisation_max)
    return FamilyResult(family, best, nearest, cause, len(candidates), verified, skipped)


def judge(candidate: Candidate, terms: Terms) -> Judged:
    """Hold a candidate against the limits and, where they let it through, verify it.

    Args:
        candidate: A fastener in a layout.
        terms: What the search goes by.

    Returns:
        The candidate with its answer or its obstacle.
    """
    obstacle = candidate_obstacle(candidate, terms.limits, terms.plate, terms.hole_edge_factor)
    if obstacle:
        return Judged(candidate, obstacle, None)
    request = verification_request(terms.request, candidate) | {"detail": "summary"}
    return Judged(candidate, None, terms.verify(request))


def _tiers(candidates: Iterable[Candidate], order: tuple[str, ...]) -> Iterable[Iterable[Candidate]]:
    known = known_before_verification(order)

    def key(candidate: Candidate) -> tuple[float, ...]:
        return selection_key(candidate.figures(), known)

    return (tier for _, tier in groupby(sorted(candidates, key=key), key=key))


def _best(judged: Iterable[Judged], terms: Terms) -> Judged | None:
    passing = [j for j in judged if j.passes(terms.utilisation_max)]
    return min(passing, key=lambda j: selection_key(j.figures, terms.order), default=None)


def _distance(judged: Judged) -> tuple[bool, bool, int, float]:
    """How far a candidate is from passing: verified ones first, within scope, fewest unmet requirements, least used."""
    if judged.answer is None:
        return (True, True, 0, _excess(judged.obstacle))
    outside = judged.answer["verdict"] == "outside_scope"
    used = math.inf if judged.utilisation is None else judged.utilisation
    return (False, outside, len(judged.unmet), used)


def _excess(obstacle: Cause | None) -> float:
    if obstacle is None or obstacle.figure is None or obstacle.limit is None:
        return math.inf
    return abs(obstacle.figure - obstacle.limit)


def _cause(nearest: Judged | None, utilisation_max: float) -> Cause:
    if nearest is None:
        return Cause("limit", "no_layout", "no grid of the pattern lies on the member")
    if nearest.obstacle:
        return nearest.obstacle
    return cause_of_answer(nearest, utilisation_max)


def cause_of_answer(judged: Judged, utilisation_max: float) -> Cause:
    """Say what in a verification's answer stops a candidate.

    Args:
        judged: A candidate that was verified and does not pass.
        utilisation_max: The utilisation a choice may reach.

    Returns:
        The first limit of scope, else the first unmet requirement, else the governing mode.

    Raises:
        ValueError: The candidate was not verified.
    """
    if judged.answer is None:
        raise ValueError("only a verified candidate has an answer")
    if judged.answer["scope_limits"]:
        first = judged.answer["scope_limits"][0]
        return Cause("scope", first["code"], first["detail"])
    if judged.unmet:
        return _cause_of_requirement(judged.unmet)
    governing = judged.answer["governing"]
    used, mode = governing["utilisation"], governing["mode"]
    if used <= 1.0:
        detail = f"{words(mode)} uses {used:.3g}; limits.utilisation allows {utilisation_max:g}"
        return Cause("limit", "utilisation", detail, used, utilisation_max)
    detail = f"{words(mode)} in load case {governing['load_case']!r} uses {used:.3g} of its resistance"
    return Cause("mode", mode, detail, used, utilisation_max)


def _cause_of_requirement(unmet: tuple[Mapping[str, Any], ...]) -> Cause:
    first = unmet[0]
    others = ", ".join(words(r["code"]) for r in unmet[1:])
    detail = first["detail"] + (f" (also not met: {others})" if others else "")
    kind: CauseKind = "approval" if first["code"].startswith(APPROVAL_CODES) else "requirement"
    return Cause(kind, first["code"], detail, _number(first["given"]), _number(first["limit"]))


def _number(value: object) -> float | None:
    return value if isinstance(value, int | float) and not isinstance(value, bool) else None
