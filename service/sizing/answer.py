"""The answer of a sizing, built from what the search through each family found."""

from collections.abc import Iterable, Mapping, Sequence
from itertools import chain
from typing import Any

from service.rulebook import Rulebook, plain
from service.sizing.search import FamilyResult, Judged, Terms, verification_request
from service.sizing.selection import deciding_criterion, selection_key
from service.sizing.words import words

CRITERIA = {
    "fastener_count": ("number of fasteners", "{:g}"),
    "drilled_volume": ("drilled volume in mm³", "{:.0f}"),
    "preference_rank": ("preference rank of the company", "{:g}"),
    "utilisation": ("utilisation", "{:.3g}"),
}
SIGNIFICANT_DIGITS = 6
# The length is a result of the sizing, in the request of each choice, and no assumption any more.
LENGTH_CHOSEN = "length_chosen"
NOT_VERIFIED = "The limits of the request left no candidate to verify."


def ranked(results: Iterable[FamilyResult], order: Sequence[str]) -> tuple[Judged, ...]:
    """Put the best candidate of each family in the rulebook's selection order.

    Args:
        results: What the search found, a family each.
        order: The rulebook's `selection_order`.

    Returns:
        The candidates, best first; families that are equal in everything come by their id.
    """
    passing = [r.best for r in results if r.best]
    return tuple(sorted(passing, key=lambda j: (selection_key(j.figures, order), j.candidate.fastener.family["id"])))


def choices(best_first: Sequence[Judged], terms: Terms, max_choices: int) -> list[dict[str, Any]]:
    """Describe the families that are proposed.

    Args:
        best_first: The ranked candidates.
        terms: What the search went by.
        max_choices: How many to propose.

    Returns:
        The `choices` of the answer.
    """
    return [
        {
            "rank": index + 1,
            "request": resolved_request(judged, terms),
            "fastener": dict(_answer(judged)["fastener"]),
            "positions": [{"x_mm": p.x_mm, "y_mm": p.y_mm} for p in judged.candidate.layout],
            "hole": _hole(judged),
            "torque_nm": judged.candidate.fastener.torque_nm,
            "impact_driver_torque_max_nm": judged.candidate.fastener.impact_driver_torque_max_nm,
            "governing": _answer(judged)["governing"],
            "utilisation": judged.utilisation,
            "reasons": _reasons(best_first, index, terms.order),
        }
        for index, judged in enumerate(best_first[:max_choices])
    ]


def passed_over(best_first: Sequence[Judged], terms: Terms, max_choices: int) -> list[dict[str, Any]]:
    """Describe the families that pass but rank below the proposed ones.

    Args:
        best_first: The ranked candidates.
        terms: What the search went by.
        max_choices: How many are proposed.

    Returns:
        The `passed_over` of the answer.
    """
    return [
        {
            "family": judged.candidate.fastener.family["id"],
            "title": judged.candidate.fastener.family["title"],
            "size": judged.candidate.fastener.size,
            "embedment_mm": judged.candidate.fastener.embedment_mm,
            "utilisation": judged.utilisation,
            "reason": _against(best_first[max_choices - 1], judged, terms.order, "below"),
        }
        for judged in best_first[max_choices:]
    ]


def rejected(results: Iterable[FamilyResult]) -> list[dict[str, Any]]:
    """Describe the families without a candidate that passes.

    Args:
        results: What the search found, a family each.

    Returns:
        The `rejected` of the answer.
    """
    return [
        {
            "family": r.family["id"],
            "title": r.family["title"],
            "cause": {
                "kind": r.cause.kind,
                "code": r.cause.code,
                "detail": r.cause.detail,
                "figure": _rounded(r.cause.figure),
                "limit": _rounded(r.cause.limit),
            },
            "nearest": _nearest(r.nearest),
        }
        for r in results
        if r.cause
    ]


def resolved_request(judged: Judged, terms: Terms) -> dict[str, Any]:
    """Write the verification request of a choice, with nothing left for the service to resolve.

    Args:
        judged: The choice.
        terms: What the search went by.

    Returns:
        A request that posts back unchanged, with day, rulebook version and length.
    """
    answer = _answer(judged)
    request = verification_request(terms.request, judged.candidate)
    fastener = request.pop("fastener") | {"length_mm": answer["fastener"]["length_mm"]}
    identity = {"rulebook": answer["rulebook"]["version"], "assessed_on": answer["assessed_on"]}
    return identity | {"fastener": fastener} | {k: v for k, v in request.items() if k not in identity}


def searched(results: Sequence[FamilyResult], layouts_off_member: int) -> dict[str, Any]:
    """Count what the search looked at.

    Args:
        results: What the search found, a family each.
        layouts_off_member: Grids of the pattern left out because a fastener would stand outside the member.

    Returns:
        The `searched` of the answer.
    """
    return {
        "families": len(results),
        "candidates": sum(r.candidates for r in results),
        "verified": sum(r.verified for r in results),
        "skipped_off_fixture": sum(r.skipped_off_fixture for r in results),
        "skipped_grids_off_member": layouts_off_member,
    }


def common(
    results: Sequence[FamilyResult], chosen: Sequence[Judged], request: Mapping[str, Any], rulebook: Rulebook
) -> dict[str, Any]:
    """Collect what every answer carries: what was assumed, what it stands on and what to beware of.

    Args:
        results: What the search found, a family each.
        chosen: The proposed candidates, best first.
        request: The sizing request.
        rulebook: The rules it was sized by.

    Returns:
        `assumptions`, `cautions`, `basis`, `rulebook`, `assessed_on` and `site_reduction`, from the answers of the
        proposed candidates, or of the nearest ones where none passes.
    """
    spoken_for = chosen or [r.nearest for r in results if r.nearest and r.nearest.answer]
    answers = [_answer(judged) for judged in spoken_for]
    design_basis = rulebook.document["design_basis"]
    return {
        "assumptions": [a for a in _union(a["assumptions"] for a in answers) if a["code"] != LENGTH_CHOSEN],
        "cautions": _union(a["cautions"] for a in answers) or plain(rulebook.document["cautions"]),
        "basis": {
            "standards": plain(design_basis["standards"]),
            "national_choices": plain(design_basis["national_choices"]),
            "open_readings": _union(a["basis"]["open_readings"] for a in answers),
            "note": answers[0]["basis"]["note"] if answers else NOT_VERIFIED,
        },
        "rulebook": {
            "version": rulebook.version,
            "digest": rulebook.digest,
            "commit": rulebook.commit,
            "status": rulebook.status,
        },
        "assessed_on": request["assessed_on"],
        "site_reduction": answers[0]["site_reduction"] if answers else None,
    }


def _union(lists: Iterable[Sequence[Mapping[str, Any]]]) -> list[dict[str, Any]]:
    merged: list[dict[str, Any]] = []
    for entry in chain.from_iterable(lists):
        if entry not in merged:
            merged.append(dict(entry))
    return merged


def _hole(judged: Judged) -> dict[str, Any]:
    fastener, count = judged.candidate.fastener, len(judged.candidate.layout)
    return {
        "diameter_mm": fastener.hole_diameter_mm,
        "depth_mm": fastener.hole_depth_mm,
        "count": count if fastener.hole_depth_mm is not None else 0,
        "drilled_volume_mm3": _rounded(count * fastener.drilled_volume_mm3),
    }


def _nearest(judged: Judged | None) -> dict[str, Any] | None:
    if judged is None:
        return None
    return {
        "size": judged.candidate.fastener.size,
        "embedment_mm": judged.candidate.fastener.embedment_mm,
        "positions_count": len(judged.candidate.layout),
        "utilisation": judged.utilisation,
    }


def _reasons(best_first: Sequence[Judged], index: int, order: Sequence[str]) -> list[str]:
    judged = best_first[index]
    reasons = [_use(judged)]
    if index:
        reasons.append(_against(best_first[index - 1], judged, order, "below"))
    if index + 1 < len(best_first):
        reasons.append(_against(judged, best_first[index + 1], order, "above"))
    return reasons


def _use(judged: Judged) -> str:
    governing = _answer(judged)["governing"]
    if governing is None:
        return "passes: no check is left to make, the fasteners are not loaded"
    return f"passes: {words(governing['mode'])} governs with utilisation {governing['utilisation']:.3g}"


def _against(better: Judged, worse: Judged, order: Sequence[str], side: str) -> str:
    mine, other = (worse, better) if side == "below" else (better, worse)
    name = other.candidate.fastener.family["title"]
    criterion = deciding_criterion(better.figures, worse.figures, order)
    if criterion is None:
        return f"ranks {side} {name} by family id alone: equal in every criterion"
    criterion_words, form = CRITERIA[criterion]
    figures = [form.format(j.figures.value(criterion)) for j in (mine, other)]
    return f"ranks {side} {name} by {criterion_words}: {figures[0]} against {figures[1]}"


def _answer(judged: Judged) -> Mapping[str, Any]:
    if judged.answer is None:
        raise ValueError("only a verified candidate can be proposed")
    return judged.answer


def _rounded(value: float | None) -> float | None:
    return None if value is None else float(f"{value:.{SIGNIFICANT_DIGITS}g}")
