"""What proof tests show: which pulls held, and what follows for the lot."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from service.rulebook import Rulebook
from service.site.plans import LINE_WORDS, MEMORY_WORDS, PROOF_WORDS, scheme_of
from service.site.proof_tests import NextStep, next_step, number_to_pull, proof_load
from service.site.pulling import RELATIVE_TOLERANCE, Pulling, feet_far_enough, pulling_of, shown_fastener
from service.verification.answer import rounded, shown_requirement
from service.verification.cautions import Caution
from service.verification.fixing import N_PER_KN
from service.verification.gauge import loads_n
from service.verification.site_test import selected

PLACE = "#/proof"
HELD, FAILED, NOT_COUNTED = "held", "failed", "not_counted"


@dataclass(frozen=True, slots=True)
class Proven:
    """One pull of a proof test: its load (N), whether it held, and why."""

    name: str
    load_n: float
    result: str
    text: str


def assess_proof(tests: Mapping[str, Any], rulebook: Rulebook) -> tuple[dict[str, Any], tuple[Caution, ...]]:
    """Assess proof tests of a lot.

    Args:
        tests: Proof tests, without nulls.
        rulebook: The rulebook.

    Returns:
        Their part of the answer, and its cautions.

    Raises:
        RefusedRequest: For a fastener that the rulebook has not, or a gauge that proves nothing.
    """
    rules = rulebook.factors["site-tests"]
    scheme = scheme_of(rules, tests.get("scheme"))
    selection = selected(tests, rulebook, PLACE)
    pulling = pulling_of(selection, float(tests["fastener"]["embedment_mm"]), rulebook)
    load_n = proof_load(float(tests["service_action_kn"]) * N_PER_KN, scheme.figures)
    support = tuple(feet_far_enough(tests["support_distance_mm"], pulling.support_proof_mm, "support_factor_proof"))
    supported = not all(requirement.met for requirement in support)
    pulls = [
        _proven(pull, load, load_n, pulling, supported)
        for pull, load in zip(tests["pulls"], loads_n(tests, PLACE), strict=True)
    ]
    counted, failed = sum(p.result != NOT_COUNTED for p in pulls), sum(p.result == FAILED for p in pulls)
    step = next_step(tests["number"], counted, failed, scheme.figures)
    found_why = tests.get("cause_of_failure")
    if step is NextStep.ACCEPT and failed and found_why is None:
        step = NextStep.INVESTIGATE_AND_EXTEND
    wanted = number_to_pull(tests["number"], scheme.figures.after_one_failure if failed else scheme.figures.sample)
    return {
        "next_step": step.value,
        "text": _words(step, tests, counted, failed, wanted),
        "name": tests["name"],
        "fastener": shown_fastener(selection, pulling.embedment_mm),
        "tested_on": tests["tested_on"],
        "scheme": scheme.name,
        "proof_load_kn": rounded(load_n / N_PER_KN),
        "number": tests["number"],
        "number_wanted": max(wanted, tests["number"]) if step is NextStep.TEST_ALL_AND_RECONSIDER else wanted,
        "number_counted": counted,
        "number_failed": failed,
        "cause_of_failure": found_why,
        "pulls": [
            {"name": p.name, "load_kn": rounded(p.load_n / N_PER_KN), "result": p.result, "text": p.text} for p in pulls
        ],
        "requirements": [shown_requirement(requirement) for requirement in support],
    }, tuple(_cautions(pulls, pulling))


def _proven(pull: Mapping[str, Any], load_n: float, proof_n: float, pulling: Pulling, supported: bool) -> Proven:
    result, text = _judged(pull, load_n, proof_n, pulling, supported)
    return Proven(pull["name"], load_n, result, text)


def _judged(
    pull: Mapping[str, Any], load_n: float, proof_n: float, pulling: Pulling, supported: bool
) -> tuple[str, str]:
    moved = float(pull.get("movement_mm", 0.0))
    if pull["failure"] != "none":
        return FAILED, f"failed: {pull['failure'].replace('_', ' ')}"
    if moved > pulling.movement_mm:
        return FAILED, f"failed: moved {moved:g} mm, more than {pulling.movement_mm:g} mm"
    if supported:
        return NOT_COUNTED, "does not count: the feet of the bridge stood too near and held the base material down"
    if load_n < proof_n * (1.0 - RELATIVE_TOLERANCE):
        return NOT_COUNTED, f"does not count: {load_n / N_PER_KN:.4g} kN is below the proof load; pull it again"
    if float(pull["held_minutes"]) < pulling.hold_minutes:
        return NOT_COUNTED, f"does not count: held for less than {pulling.hold_minutes:g} min; pull it again"
    return HELD, "held the proof load"


def _words(step: NextStep, tests: Mapping[str, Any], counted: int, failed: int, wanted: int) -> str:
    if step is NextStep.CONTINUE:
        return f"{counted} of {wanted} pulls that are wanted count so far, none failed: pull the rest."
    if step is NextStep.ACCEPT and failed:
        return (
            f"{counted} pulls, one failure, its cause found: the setting of the others is proven. Replace the one that "
            "failed; that the cause is confined to it is the engineer's to agree to."
        )
    if step is NextStep.ACCEPT:
        return f"{counted} pulls held the proof load: the setting of the lot of {tests['number']} is proven."
    if step is NextStep.INVESTIGATE_AND_EXTEND:
        why = "" if tests.get("cause_of_failure") is not None else "Find out why it failed and say so. "
        more = f"Pull on until {wanted} count, {counted} do so far. " if counted < wanted else ""
        return f"One failed. {why}{more}Replace the one that failed. Until then the lot is not proven."
    return (
        f"{failed} failed: the lot is condemned. Pull every one of its {tests['number']} fasteners, use none until "
        "then, and "
        "have the fixing reconsidered by the engineer who designed it: fastener, setting, base material and action."
    )


def _cautions(pulls: list[Proven], pulling: Pulling) -> Iterator[Caution]:
    yield from (PROOF_WORDS, LINE_WORDS, MEMORY_WORDS)
    limit = pulling.limit_n
    if limit is not None and any(pull.load_n > limit for pull in pulls):
        yield Caution(
            "loaded_beyond_steel",
            f"Pulls went beyond {limit / N_PER_KN:.4g} kN, where the fastener itself comes to harm: replace those "
            "fasteners, "
            "whether they held or not.",
        )
