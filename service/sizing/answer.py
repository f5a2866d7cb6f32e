"""The answer of a sizing, built from what the search through each family found."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain
from typing import Any

from service.contract.verification_codes import CAUTIONS
from service.rulebook import Rulebook, plain
from service.sizing.causes import cause_of_family, grouped
from service.sizing.comparison import compared
from service.sizing.ranking import behind, reasons, steps
from service.sizing.relaxations import relaxations
from service.sizing.search import FamilyResult, Judged, Terms, distance, verification_request
from service.sizing.selection import selection_key
from service.verification.answer import rulebook_identity, shown_suspension
from service.verification.statements import cautions_of_rulebook, rounded

# The length is a result of the sizing, in the request of each choice, and no assumption any more.
LENGTH_CHOSEN = "length_chosen"
NOT_VERIFIED = "The limits of the request left no candidate to verify."


@dataclass(frozen=True)
class Sized:
    """What a sizing found: every family, and those that pass with the best first."""

    results: tuple[FamilyResult, ...]
    best_first: tuple[FamilyResult, ...]
    terms: Terms
    max_choices: int


def found(results: Iterable[FamilyResult], terms: Terms, max_choices: int) -> Sized:
    """Put the families that pass in the rulebook's selection order.

    Args:
        results: What the search found, a family each.
        terms: What the search went by.
        max_choices: How many families to propose.

    Returns:
        All of it; families that are equal in everything come by their id.
    """
    listed = tuple(results)
    passing = [result for result in listed if result.best]
    best_first = sorted(passing, key=lambda r: (selection_key(_best(r).figures, terms.order), r.family["id"]))
    return Sized(listed, tuple(best_first), terms, max_choices)


def built(sized: Sized, request: Mapping[str, Any], rulebook: Rulebook, layouts_off_member: int) -> dict[str, Any]:
    """Build the answer.

    Args:
        sized: What the sizing found.
        request: The sizing request.
        rulebook: The rules it was sized by.
        layouts_off_member: Grids of the pattern left out because a fastener would stand outside the member.

    Returns:
        The answer of `POST /v1/sizings`.
    """
    terms = sized.terms
    chosen = sized.best_first[: sized.max_choices]
    answers = [_verified(_best(result), terms) for result in chosen]
    spoken_for = answers or [_verified(judged, terms) for judged in _nearest_of_all(sized)]
    return {
        "choices": [_choice(sized, index, answer) for index, answer in enumerate(answers)],
        "passed_over": [_passed_over(result, sized) for result in sized.best_first[sized.max_choices :]],
        "rejected": _rejected(sized),
        "rejected_groups": _rejected_groups(sized),
        "relaxations": relaxations(sized.results, terms),
        "searched": _searched(sized.results, layouts_off_member),
    } | _common(spoken_for, request, rulebook)


def _choice(sized: Sized, index: int, answer: Mapping[str, Any]) -> dict[str, Any]:
    terms, judged = sized.terms, _best(sized.best_first[index])
    following = sized.best_first[index + 1].best if index + 1 < len(sized.best_first) else None
    return {
        "rank": index + 1,
        "request": _resolved_request(judged, answer, terms),
        "fastener": dict(answer["fastener"]),
        "positions": [{"x_mm": p.x_mm, "y_mm": p.y_mm} for p in judged.candidate.layout],
        "hole": _hole(judged),
        "torque_nm": judged.candidate.fastener.torque_nm,
        "impact_driver_torque_max_nm": judged.candidate.fastener.impact_driver_torque_max_nm,
        "governing": answer["governing"],
        "utilisation": judged.utilisation,
        "comparison": compared(judged, answer, terms),
        "ranking": steps(judged, following, terms.order),
        "cautions": _own_cautions(answer),
        "reasons": reasons(sized.best_first, index, len(sized.results), terms, sized.max_choices),
    }


def _own_cautions(answer: Mapping[str, Any]) -> list[dict[str, Any]]:
    """Cautions that are about this choice and not about every answer of the rulebook."""
    return [dict(caution) for caution in answer["cautions"] if caution["code"] in CAUTIONS]


def _passed_over(result: FamilyResult, sized: Sized) -> dict[str, Any]:
    judged = _best(result)
    last = _best(sized.best_first[sized.max_choices - 1])
    return {
        "family": result.family["id"],
        "title": result.family["title"],
        "size": judged.candidate.fastener.size,
        "embedment_mm": judged.candidate.fastener.embedment_mm,
        "fastener_count": len(judged.candidate.layout),
        "utilisation": judged.utilisation,
        "reason": behind(judged, last, sized.terms),
    }


def _rejected(sized: Sized) -> list[dict[str, Any]]:
    causes = ((result, cause_of_family(result, sized.terms)) for result in sized.results)
    return [
        {
            "family": result.family["id"],
            "title": result.family["title"],
            "cause": {
                "kind": cause.kind,
                "code": cause.code,
                "detail": cause.detail,
                "figure": _rounded(cause.figure),
                "limit": _rounded(cause.limit),
                "unit": cause.unit,
                "also": list(cause.also),
            },
            "nearest": _nearest(result.nearest),
        }
        for result, cause in causes
        if cause
    ]


def _rejected_groups(sized: Sized) -> list[dict[str, Any]]:
    causes = {result.family["id"]: cause_of_family(result, sized.terms) for result in sized.results}
    return [
        {"kind": group.kind, "code": group.code, "detail": group.detail, "families": list(group.families)}
        for group in grouped({family: cause for family, cause in causes.items() if cause})
    ]


def _resolved_request(judged: Judged, answer: Mapping[str, Any], terms: Terms) -> dict[str, Any]:
    """A request that posts back unchanged, with day, rulebook version and length."""
    request = verification_request(terms.request, judged.candidate)
    fastener = request.pop("fastener") | {"length_mm": answer["fastener"]["length_mm"]}
    identity = {"rulebook": answer["rulebook"]["version"], "assessed_on": answer["assessed_on"]}
    return identity | {"fastener": fastener} | {k: v for k, v in request.items() if k not in identity}


def _searched(results: Sequence[FamilyResult], layouts_off_member: int) -> dict[str, Any]:
    within = [result for result in results if not result.blocking]
    return {
        "families": len(results),
        "candidates": sum(len(result.candidates) for result in within),
        "verified": sum(result.verified for result in within),
        "pruned": sum(result.pruned for result in within),
        "skipped_off_fixture": sum(result.skipped_off_fixture for result in within),
        "skipped_grids_off_member": layouts_off_member,
    }


def _common(answers: Sequence[Mapping[str, Any]], request: Mapping[str, Any], rulebook: Rulebook) -> dict[str, Any]:
    """What every answer carries, from the proposed candidates, or from the nearest ones where none passes."""
    design_basis = rulebook.document["design_basis"]
    return {
        "assumptions": _assumptions(answers),
        "cautions": _union(a["cautions"] for a in answers) or cautions_of_rulebook(rulebook),
        "basis": {
            "standards": plain(design_basis["standards"]),
            "national_choices": plain(design_basis["national_choices"]),
            "open_readings": _union(a["basis"]["open_readings"] for a in answers),
            "note": answers[0]["basis"]["note"] if answers else NOT_VERIFIED,
        },
        "rulebook": rulebook_identity(rulebook),
        "suspensions": [shown_suspension(suspension) for suspension in rulebook.suspensions],
        "assessed_on": request["assessed_on"],
        "site_reduction": answers[0]["site_reduction"] if answers else None,
    }


def _assumptions(answers: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """Each assumption once; where one is not the same for every fixing, each says for which it is."""
    merged = [a for a in _union(answer["assumptions"] for answer in answers) if a["code"] != LENGTH_CHOSEN]
    codes = Counter((entry["code"], entry["pointer"]) for entry in merged)
    places = {code: place for place, code in enumerate(codes)}
    return [
        entry if codes[entry["code"], entry["pointer"]] == 1 else {**entry, "text": f"{entry['text']} ({names})"}
        for entry in sorted(merged, key=lambda entry: places[entry["code"], entry["pointer"]])
        for names in [", ".join(_names_of(answer) for answer in answers if entry in answer["assumptions"])]
    ]


def _names_of(answer: Mapping[str, Any]) -> str:
    fastener = answer["fastener"]
    return f"{fastener['family']} {fastener['size']}"


def _verified(judged: Judged, terms: Terms) -> Mapping[str, Any]:
    return terms.judge.verify(verification_request(terms.request, judged.candidate) | {"detail": "summary"})


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
        "drilled_volume_mm3": rounded(count * fastener.drilled_volume_mm3),
    }


def _nearest_of_all(sized: Sized) -> tuple[Judged, ...]:
    assessed = [result.nearest for result in sized.results if result.nearest and result.nearest.assessment]
    return tuple(sorted(assessed, key=lambda judged: distance(judged, sized.terms))[:1])


def _nearest(judged: Judged | None) -> dict[str, Any] | None:
    if judged is None:
        return None
    return {
        "size": judged.candidate.fastener.size,
        "embedment_mm": judged.candidate.fastener.embedment_mm,
        "positions_count": len(judged.candidate.layout),
        "utilisation": judged.utilisation,
    }


def _best(result: FamilyResult) -> Judged:
    if result.best is None:
        raise ValueError("only a family that passes has a best candidate")
    return result.best


def _rounded(value: float | str | None) -> float | str | None:
    return rounded(value) if isinstance(value, int | float) else value
