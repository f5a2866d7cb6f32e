"""What proof tests show: which pulls held, and what follows for the lot."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any

from service.contract.site_test_codes import SiteTestCautionCode
from service.contract.site_tests import fastener_of
from service.contract.wanted import Gauge, PulledFastener, Reading, made
from service.rulebook import Rulebook
from service.site.pulls.cautions import OF_PROOF
from service.site.pulls.proof_pulls import JudgedPull, ProofJudge, PullsOfLot
from service.site.pulls.proof_tests import Progress, next_step, proof_load
from service.site.pulls.proof_words import LeftToDo, next_step_text
from service.site.pulls.pulling import Pulling, below_steel, feet_far_enough, pulling_of, shown_fastener
from service.site.pulls.sampling import Sample
from service.site.pulls.schemes import sample_of, scheme_of, shown_drawn
from service.site.pulls.single_fastener import within_resistance
from service.verification.fixing import N_PER_KN
from service.verification.pulls.evidence import of_gauge
from service.verification.pulls.fastener import pulled_fastener
from service.verification.pulls.gauge import accuracy_of, loads_measured
from service.verification.pulls.requirements import cured
from service.verification.requirements import Requirement
from service.verification.statements import rounded, sentence, shown_requirement
from service.words import Statement

PLACE = "#/proof"


def assess_proof(tests: Mapping[str, Any], rulebook: Rulebook) -> tuple[dict[str, Any], tuple[Statement, ...]]:
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
    selection = pulled_fastener(made(PulledFastener, tests["fastener"]), rulebook, PLACE)
    pulling = pulling_of(selection, float(tests["fastener"]["embedment_mm"]), rulebook)
    load_n = proof_load(float(tests["service_action_kn"]) * N_PER_KN, scheme.figures)
    held = tuple(within_resistance(selection, tests, rulebook))
    requirements = (*held, *_requirements(tests, load_n, pulling))
    sample = sample_of(tests, scheme.figures)
    judge = ProofJudge(load_n, pulling, {one.number for one in (*sample.first, *sample.further)}, requirements)
    pulls = _judged(tests, judge, sample, rules)
    cause = tests.get("cause_of_failure")
    progress = Progress(
        fasteners=tests["number"],
        first=pulls.first,
        pulled=pulls.counted,
        failed=pulls.failed,
        replaced=not pulls.to_replace,
        cause_found=cause is not None,
    )
    step = next_step(progress, scheme.figures, within_resistance=all(requirement.met for requirement in held))
    unmet = tuple(sentence(requirement.statement) for requirement in requirements if not requirement.met)
    to_do = LeftToDo(step, progress, len(pulls.wanted), len(pulls.left), pulls.to_replace, unmet)
    others = tuple(pull.name for pull in pulls.all if _is_other(pull, judge, pulls))
    return {
        "next_step": step.value,
        "text": next_step_text(to_do),
        "name": tests["name"],
        "fastener": shown_fastener(selection, pulling.embedment_mm),
        "tested_on": tests["tested_on"],
        "scheme": scheme.name,
        "proof_load_kn": rounded(load_n / N_PER_KN),
        "number": tests["number"],
        "number_wanted": len(pulls.wanted),
        "number_counted": pulls.counted,
        "number_failed": pulls.failed,
        "cause_of_failure": cause,
        "pulls": [
            {"name": p.name, "load_kn": rounded(p.load_n / N_PER_KN), "result": p.result, "text": p.text}
            for p in pulls.all
        ],
        "still_to_pull": [shown_drawn(one) for one in pulls.left],
        "replacements_to_pull": list(pulls.to_replace),
        "not_drawn": list(others),
        "requirements": [shown_requirement(requirement) for requirement in requirements],
    }, (*_cautions(pulls, pulling, others), *of_gauge(accuracy_of(made(Gauge, tests["gauge"]), rules)))


def _is_other(pull: JudgedPull, judge: ProofJudge, pulls: PullsOfLot) -> bool:
    wanted = judge.drawn | {one.number for one in pulls.wanted}
    return pull.replaces is None and pull.number not in wanted


def _requirements(tests: Mapping[str, Any], load_n: float, pulling: Pulling) -> Iterator[Requirement]:
    yield from feet_far_enough(tests["support_distance_mm"], pulling.support_proof_mm, "support_factor_proof")
    yield from below_steel(pulling, load_n)
    if pulling.cures:
        yield cured(tests.get("curing_over"))


def _judged(
    tests: Mapping[str, Any], judge: ProofJudge, sample: Sample, rules: Mapping[str, Any]
) -> PullsOfLot:
    numbers = [fastener_of(pull, tests["number"]) for pull in tests["pulls"]]
    readings = [made(Reading, pull) for pull in tests["pulls"]]
    day = date.fromisoformat(tests["tested_on"])
    loads = loads_measured(made(Gauge, tests["gauge"]), day, readings, rules, PLACE)
    rows = list(zip(tests["pulls"], loads, numbers, strict=True))
    pulls = PullsOfLot([judge.pull(*row) for row in rows], sample, tests)
    if pulls.failed < 2:
        return pulls
    # With a second failure every fastener of the lot is asked for, so that none is beside the draw any more.
    of_all = judge.of_whole_lot(tests["number"])
    return PullsOfLot([of_all.pull(*row) for row in rows], sample, tests)


def _cautions(pulls: PullsOfLot, pulling: Pulling, others: Sequence[str]) -> Iterator[Statement]:
    yield from OF_PROOF
    if others:
        yield Statement(SiteTestCautionCode.PULLS_OF_OTHERS, {"pulls": tuple(others)})
    limit = pulling.limit_n
    if limit is not None and any(pull.harmed for pull in pulls.all):
        yield Statement(SiteTestCautionCode.LOADED_BEYOND_STEEL, {"load_max_kn": limit / N_PER_KN})
