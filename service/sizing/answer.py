"""The answer of a sizing, built from what the search through each family found."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain
from typing import Any

from service.contract import checks
from service.contract import sizing as stated
from service.contract.load_model_codes import Caution as LoadModelCaution
from service.contract.verification_codes import CAUTIONS
from service.contract.writing import writer
from service.rulebook import Rulebook, plain
from service.sizing.candidates import Candidate, Cause
from service.sizing.causes import cause_of_family, grouped
from service.sizing.comparison import compared
from service.sizing.ranking import Reason, behind, reasons, steps
from service.sizing.relaxations import relaxations
from service.sizing.search import FamilyResult, Judged, Terms, distance, verification_request
from service.sizing.selection import selection_key
from service.verification.answer import rulebook_identity, shown_suspension
from service.verification.loads import Loads
from service.verification.statements import cautions_of_rulebook

# The length is a result of the sizing, in the request of each choice, and no assumption any more.
LENGTH_CHOSEN = "length_chosen"
NOT_VERIFIED = "The limits of the request left no candidate to verify."


OF_A_CHOICE = tuple(code for code in CAUTIONS if not isinstance(code, LoadModelCaution))


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


def built(sized: Sized, request: Mapping[str, Any], loads: Loads, layouts_off_member: int) -> dict[str, Any]:
    """Build the answer.

    Args:
        sized: What the sizing found.
        request: The sizing request.
        loads: What acts, by the rules that it was sized by.
        layouts_off_member: Grids of the pattern left out because a fastener would stand outside the member.

    Returns:
        The answer of `POST /v1/sizings`.
    """
    terms = sized.terms
    chosen = sized.best_first[: sized.max_choices]
    answers = [_verified(_best(result), terms) for result in chosen]
    spoken_for = answers or [_verified(judged, terms) for judged in _nearest_of_all(sized)]
    rejected = _rejected(sized)
    groups = grouped({one.result.family_id: one.cause for one in rejected})
    return {
        "choices": [_choice(sized, index, answer) for index, answer in enumerate(answers)],
        "passed_over": _passed_over(sized),
        "rejected": [writer(stated.Rejected)(one) for one in rejected],
        "rejected_groups": [writer(stated.RejectedGroup)(group) for group in groups],
        "relaxations": [writer(stated.Relaxation)(one) for one in relaxations(sized.results, terms)],
        "searched": writer(stated.Searched)(_searched(sized.results, layouts_off_member)),
        **_combinations(loads),
    } | _common(spoken_for, request, loads.rulebook)


def _combinations(loads: Loads) -> dict[str, Any]:
    """The combinations of actions; nothing where there are load cases."""
    listed = [writer(checks.ActionCombination)(each) for each in loads.combinations]
    return {"combinations": listed} if listed else {}


def _choice(sized: Sized, index: int, answer: Mapping[str, Any]) -> dict[str, Any]:
    terms, judged = sized.terms, _best(sized.best_first[index])
    following = sized.best_first[index + 1].best if index + 1 < len(sized.best_first) else None
    return {
        "rank": index + 1,
        "request": _resolved_request(judged, answer, terms),
        "fastener": dict(answer["fastener"]),
        "positions": [{"x_mm": p.x_mm, "y_mm": p.y_mm} for p in judged.candidate.layout],
        "hole": writer(stated.Hole)(judged.candidate),
        "torque_nm": judged.candidate.fastener.torque_nm,
        "impact_driver_torque_max_nm": judged.candidate.fastener.impact_driver_torque_max_nm,
        "governing": answer["governing"],
        "utilisation": judged.utilisation,
        "comparison": writer(stated.Comparison)(compared(judged, answer, terms)),
        "ranking": steps(judged, following, terms.order),
        "cautions": _own_cautions(answer),
        "reasons": [
            writer(stated.Reason)(reason)
            for reason in reasons(sized.best_first, index, len(sized.results), terms, sized.max_choices)
        ],
    }


def _own_cautions(answer: Mapping[str, Any]) -> list[dict[str, Any]]:
    """Cautions that are about this choice and not about its loads or every answer of the rulebook."""
    return [dict(caution) for caution in answer["cautions"] if caution["code"] in OF_A_CHOICE]


@dataclass(frozen=True, slots=True)
class _PassedOver:
    """A family that passes but ranks below the choices."""

    candidate: Candidate
    utilisation: float | None
    reason: Reason


def _passed_over(sized: Sized) -> list[dict[str, Any]]:
    below = [_best(result) for result in sized.best_first[sized.max_choices :]]
    last = _best(sized.best_first[sized.max_choices - 1]) if below else None
    return [
        writer(stated.PassedOver)(_PassedOver(judged.candidate, judged.utilisation, behind(judged, last, sized.terms)))
        for judged in below
        if last
    ]


@dataclass(frozen=True, slots=True)
class _Rejected:
    """A family without a candidate that passes."""

    result: FamilyResult
    cause: Cause


def _rejected(sized: Sized) -> list[_Rejected]:
    causes = ((result, cause_of_family(result, sized.terms)) for result in sized.results)
    return [_Rejected(result, cause) for result, cause in causes if cause]


def _resolved_request(judged: Judged, answer: Mapping[str, Any], terms: Terms) -> dict[str, Any]:
    """A request that posts back unchanged, with day, rulebook version and length."""
    request = verification_request(terms.request, judged.candidate)
    fastener = request.pop("fastener") | {"length_mm": answer["fastener"]["length_mm"]}
    identity = {"rulebook": answer["rulebook"]["version"], "assessed_on": answer["assessed_on"]}
    return identity | {"fastener": fastener} | {k: v for k, v in request.items() if k not in identity}


@dataclass(frozen=True, slots=True)
class _Searched:
    """What the search looked at."""

    families: int
    candidates: int
    verified: int
    pruned: int
    skipped_off_fixture: int
    skipped_grids_off_member: int


def _searched(results: Sequence[FamilyResult], layouts_off_member: int) -> _Searched:
    within = [result for result in results if not result.blocking]
    return _Searched(
        families=len(results),
        candidates=sum(len(result.candidates) for result in within),
        verified=sum(result.verified for result in within),
        pruned=sum(result.pruned for result in within),
        skipped_off_fixture=sum(result.skipped_off_fixture for result in within),
        skipped_grids_off_member=layouts_off_member,
    )


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
    """Each assumption once, with the fasteners that it holds for where it does not hold for all."""
    merged = [a for a in _union(answer["assumptions"] for answer in answers) if a["code"] != LENGTH_CHOSEN]
    codes = dict.fromkeys((entry["code"], entry["pointer"]) for entry in merged)
    places = {code: place for place, code in enumerate(codes)}
    return [
        {**entry, "fasteners": _fasteners_of([answer for answer in answers if entry in answer["assumptions"]], answers)}
        for entry in sorted(merged, key=lambda entry: places[entry["code"], entry["pointer"]])
    ]


def _fasteners_of(
    some: Sequence[Mapping[str, Any]], answers: Sequence[Mapping[str, Any]]
) -> list[dict[str, Any]] | None:
    if len(some) == len(answers):
        return None
    return [{name: answer["fastener"][name] for name in ("family", "size", "embedment_mm")} for answer in some]


def _verified(judged: Judged, terms: Terms) -> Mapping[str, Any]:
    return terms.judge.verify(verification_request(terms.request, judged.candidate) | {"detail": "summary"})


def _union(lists: Iterable[Sequence[Mapping[str, Any]]]) -> list[dict[str, Any]]:
    merged: list[dict[str, Any]] = []
    for entry in chain.from_iterable(lists):
        if entry not in merged:
            merged.append(dict(entry))
    return merged


def _nearest_of_all(sized: Sized) -> tuple[Judged, ...]:
    assessed = [result.nearest for result in sized.results if result.nearest and result.nearest.assessment]
    return tuple(sorted(assessed, key=lambda judged: distance(judged, sized.terms))[:1])


def _best(result: FamilyResult) -> Judged:
    if result.best is None:
        raise ValueError("only a family that passes has a best candidate")
    return result.best
